package paint

import "image"

// options are for tests: neutral switches white balance, vignette, noise and
// exposure faults off, bare leaves out whatever could cover the fruitbody.
type options struct{ neutral, bare bool }

// result is a picture with what tests measure it by.
type result struct {
	img  *image.RGBA
	mat  []uint8
	pose *cardPose
	cam  camera
}

// scene is one picture being built.
type scene struct {
	f      *frame
	find   *Find
	shot   Shot
	opt    options
	g      *ground
	bodies []*individual
	at     []v3 // feet of the bodies on the ground
	turnZ  []float32
	card   *cardPose
	l      *light
	side   float32 // the card lies to the right (+1) or left (-1)
	span   float32 // frame width in mm
	cardR  float32 // half width of the subject beside which the card lies
}

func renderWith(find Find, shot Shot, opt options) result {
	f := newFrame()
	defer framePool.Put(f)
	s := &scene{f: f, find: &find, shot: shot, opt: opt, g: groundOf(&find)}
	if opt.bare {
		s.g.tokens = nil
	}
	s.populate()
	s.l = s.lighting()
	f.useShadow = true
	if shot.View == Surroundings {
		s.surroundings()
	} else if s.onWall() {
		s.wallViews()
	} else {
		s.floorViews()
	}
	f.shade(s.l, s.card)
	seed := stream(find.Seed, "noise", int(shot.View)).u64()
	res := result{pose: s.card, cam: f.cam}
	if opt.neutral || opt.bare {
		res.mat = make([]uint8, len(f.g))
		for i, g := range f.g {
			if f.iz[i] > 0 {
				res.mat[i] = g.mat
			}
		}
	}
	res.img = f.develop(s.l, seed)
	return res
}

// onWall says whether the body juts out of an upright surface.
func (s *scene) onWall() bool {
	switch s.bodies[0].kind {
	case shelf, earFan, icicles:
		return true
	}
	return false
}

// populate grows the find's fruitbodies and gives each its place.
func (s *scene) populate() {
	c := stream(s.find.Seed, "places")
	s.side = 1
	if c.yes(0.5) {
		s.side = -1
	}
	hero := grow(s.find, 0)
	n := min(max(s.find.NumberSeen, leastOf[s.find.Habit], 1), 24)
	if hero.kind == rosetteLeaf {
		n = max(n, 5)
	}
	w := 2 * hero.r
	curve, ph := c.in(250, 500), c.in(0, 2*pi)
	for i := range n {
		b := hero
		if i > 0 {
			b = grow(s.find, i)
		}
		var p v3
		if i > 0 {
			p = s.place(c, i, w, curve, ph, hero)
		}
		if s.find.Habit == "tufted" && b.kind == agaric {
			b.lean = v3{b.lean.x*0.4 + p.x*0.9, b.lean.y*0.4 + p.y*0.9, 0}
			p = p.mul(0.25)
		}
		s.bodies = append(s.bodies, b)
		s.at = append(s.at, p)
		s.turnZ = append(s.turnZ, c.in(0, 2*pi)*(1-b.leanUsed())) // a lean keeps its direction
	}
	s.turnZ[0] = 0
	switch s.shot.View {
	case Top, Side, Surroundings:
		for i, p := range s.at {
			if s.shot.View == Top {
				p = s.capAt(i).sub(s.capAt(0))
			}
			s.g.feet = append(s.g.feet, v3{p.x, p.y, s.bodies[i].r})
		}
	}
}

// leastOf is how many bodies a habit needs before it can be seen; somebody
// who counts one tuft as one has not seen fewer.
var leastOf = map[string]int{"tufted": 6, "clustered": 5, "gregarious": 4, "ring": 7, "tiered": 6, "scattered": 2, "carpet": 16}

// place finds a spot for companion i that touches no earlier one.
func (s *scene) place(c *chance, i int, w, curve, ph float32, hero *individual) v3 {
	var p v3
	for try := range 14 {
		a := c.in(0, 2*pi)
		d := float32(0)
		switch s.find.Habit {
		case "tiered":
			p = v3{c.sym(1.3) * w, (float32((i+1)/2) + c.sym(0.2)) * w * 0.42, 0}
			if i%2 == 1 {
				p.y = -p.y
			}
			return p
		case "clustered", "tufted":
			d = w * (0.55 + 0.3*sqrt(float32(i)) + 0.05*float32(try))
		case "gregarious", "carpet":
			d = w*1.25 + c.f()*c.f()*260
			if w < 25 {
				d = w*1.1 + c.f()*14*sqrt(float32(i)+1)
			}
		case "ring":
			t := (float32((i+1)/2) + c.sym(0.3)) * max(w*1.5, 90) / curve
			if i%2 == 1 {
				t = -t
			}
			q := v3{curve * sin(t), curve - curve*cos(t) + c.sym(12), 0}
			return turn(2, ph).at(q)
		default:
			d = w*1.4 + 160 + c.in(0, 420)
		}
		p = v3{d * cos(a), d * sin(a), 0}
		free := true
		for j, q := range s.at {
			r := s.bodies[j].r
			gap := p.sub(q).len()
			if gap < (r+w*0.4)*0.95 {
				free = false
			}
		}
		if free {
			break
		}
	}
	return p
}

func (s *scene) lighting() *light {
	c := stream(s.find.Seed, "light")
	az, el := c.in(0.6, 2.5), c.in(0.7, 1.15)
	if c.yes(0.5) {
		az = -az + pi
	}
	l := &light{sun: c.in(0.25, 0.6), fill: v3{0, 0, 1}, gain: 1, noise: c.in(0.8, 2), vignette: c.in(0.08, 0.22)}
	warm, green := c.sym(0.07), c.sym(0.025)
	l.tint = v3{1 + warm, 1 + green, 1 - warm}
	l.sunTint = v3{1.05, 1, 0.9}
	l.sky = func(x, y float32) v3 { return v3{0.4, 0.45, 0.4} }
	v := stream(s.find.Seed, "exposure", int(s.shot.View))
	l.gain = v.in(0.93, 1.07)
	if !s.shot.ExposureOK {
		l.gain = v.in(0.28, 0.42)
		if v.yes(0.45) {
			l.gain = v.in(1.9, 2.5)
		}
	}
	if !s.shot.Sharp {
		if v.yes(0.5) {
			l.soft = v.in(3, 6)
		} else {
			l.shake = v3{v.in(8, 22), v.in(-14, 14), 0}
		}
	}
	if s.opt.neutral {
		*l = light{sun: 0.3, fill: v3{0, 0, 1}, gain: 1, tint: v3{1, 1, 1}, sunTint: v3{1, 1, 1}, sky: l.sky}
	}
	s.f.sun = v3{cos(az) * cos(el), sin(az) * cos(el), sin(el)}
	return l
}

// frameFor gives the width of the picture in mm and the x of its centre for a
// subject of half width r at the origin and half height up in the picture.
func (s *scene) frameFor(r, up float32) (span, cx float32) {
	r = max(r, 6)
	span = max(3.1*r, 2*up*1.42, 38)
	if s.shot.Card {
		r = max(r, 24)
		need := 2*r + 14 + CardWidthMM
		span = max(need*1.2, 2*up*1.42, 165)
		cx = s.side * (14 + CardWidthMM) / 2
	}
	return span, cx
}

// cardSpot is the centre of a card lying beside a subject of half width r.
func (s *scene) cardSpot(r float32) float32 {
	return s.side * (max(r, 24) + 14 + CardWidthMM/2)
}

// aimFrom puts the camera at a distance that suits the frame.
func (s *scene) aimFrom(target, dir v3, span float32) {
	up := v3{0, 0, 1}
	if abs(dir.unit().z) > 0.8 {
		up = v3{0, 1, 0}
	}
	d := 1.55 * span
	s.span = span
	s.f.cam = lookAt(target.add(dir.unit().mul(d)), target, up, span)
	s.l.focus = d
	s.l.aoMM = span * 0.045
	s.f.aim(s.f.sun, target, span*0.95)
}

// tilted is the direction from a level subject to a camera that leans by the
// shot's tilt.
func (s *scene) tilted() v3 {
	c := stream(s.find.Seed, "tilt", int(s.shot.View))
	az := -pi/2 + c.sym(0.9)
	t := float32(s.shot.TiltDeg) * pi / 180
	return v3{sin(t) * cos(az), sin(t) * sin(az), cos(t)}
}

// draw puts body i into the scene with its foot moved by m.
func (s *scene) drawBody(i int, m xform, half bool) {
	b := s.bodies[i]
	m = turn(2, s.turnZ[i]).then(m)
	if k := s.scaleOf(i, m); k > 0 {
		b.draw(s.f, m, k, half)
	}
}

// scaleOf is the px/mm a body is drawn at, 0 when it is out of the picture.
func (s *scene) scaleOf(i int, m xform) float32 {
	b := s.bodies[i]
	c := m.at(v3{0, 0, b.length() / 2})
	sx, sy, iz := s.f.cam.project(c)
	k := s.f.cam.f * iz
	reach := (b.r*1.5 + b.length()) * k
	if iz <= 0 || sx < -reach || sy < -reach || sx > Width+reach || sy > Height+reach {
		return 0
	}
	if i > 0 {
		if s.shot.View == Surroundings && 1/iz < 0.62*s.l.focus {
			return 0 // would fill the foreground
		}
		k *= 0.62 // companions need less detail
	}
	return k
}
