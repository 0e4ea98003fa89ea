package render

import (
	"math"
	"math/rand/v2"

	"trug/science/card"
)

// Corner truth of a tag.
type TagTruth struct {
	ID      int           `json:"id"`
	Seat    int           `json:"seat"`
	Corners [4][2]float64 `json:"corners"` // tl, tr, br, bl, pixels
	Covered bool          `json:"covered"`
}

// BodyTruth is a fruitbody.
type BodyTruth struct {
	MiddlePx  [2]float64    `json:"middlePx"`
	WidthMM   float64       `json:"widthMM"` // greatest width of the rim
	AreaMM2   float64       `json:"areaMM2"`
	AboveMM   float64       `json:"aboveMM"` // of the rim above the card's plane
	OutlinePx [][2]float64  `json:"outlinePx"`
	EndsPx    [2][2]float64 `json:"endsPx"` // of the greatest width
}

// Truth is all that is known of a photograph.
type Truth struct {
	Settings       Settings    `json:"settings"`
	Tags           []TagTruth  `json:"tags"`
	Bodies         []BodyTruth `json:"bodies"`
	CameraHeightMM float64     `json:"cameraHeightMM"` // above the card's plane
	// Two lengths of 50 mm (nominal, before the print's scale) on the card and
	// in its plane 34 mm beside it.
	On     [2][2]float64 `json:"on"`
	Beside [2][2]float64 `json:"beside"`
}

// scene is what rays meet.
type scene struct {
	s       Settings
	cam     camera
	card    *sheet
	leaf    *blob // on the card
	bodies  []*blob
	hidden  bool         // the fruitbodies are left out, their shadows not
	shadows [][4]float64 // a line nx, ny, offset and its softness
	decoy   vec
	lx, ly  float64 // direction of the light
	foreign [10][10]bool
	leaves  *leaves
}

func build(s Settings) (*scene, *Truth, error) {
	l, err := card.LayoutByID(s.Layout)
	if err != nil {
		return nil, nil, err
	}
	r := rand.New(rand.NewPCG(s.Seed, 0x7363656e65))
	sc := &scene{s: s, leaves: &leaves{seed: s.Seed}}
	if sc.card, err = s.sheet(l); err != nil {
		return nil, nil, err
	}
	sc.cam = s.camera(sc.card.w)
	a := 2 * math.Pi * r.Float64()
	sc.lx, sc.ly = math.Cos(a), math.Sin(a)
	for range s.Shadows {
		a, o := 2*math.Pi*r.Float64(), (r.Float64()-.5)*1.3*sc.card.w
		sc.shadows = append(sc.shadows, [4]float64{math.Cos(a), math.Sin(a), o, .3 + 12*r.Float64()})
	}
	if s.Glare > 0 {
		sc.card.glare, sc.card.glareX, sc.card.glareY = s.Glare, r.Float64()*float64(l.Width), r.Float64()*float64(l.Height)
	}
	if s.Covered >= 0 {
		sc.cover(r, l)
	}
	if s.Subject > 0 {
		sc.subject(r)
	}
	sc.scatter(r)
	sc.decoy = vec{(r.Float64() - .5) * 40, sc.card.h/2 + 50 + 30*r.Float64(), 0}
	for i := range 64 {
		sc.foreign[1+i/8][1+i%8] = i/8 > 0 && i/8 < 7 && i%8 > 0 && i%8 < 7 && hash(s.Seed+uint64(i))&1 == 1
	}
	for i := range 10 {
		sc.foreign[0][i], sc.foreign[9][i], sc.foreign[i][0], sc.foreign[i][9] = true, true, true, true
	}
	return sc, sc.truth(l), nil
}

// cover lays a leaf over part of a tag.
func (sc *scene) cover(r *rand.Rand, l *card.Layout) {
	b := l.Tags[sc.s.Covered].Black
	side := float64(b.W) * sc.s.PrintScale
	m := sc.card.world(b.Middle())
	leaf := newBlob(r, side*(.35+.5*sc.s.CoverFrac))
	leaf.amp[2] = .25
	leaf.most *= 1.3
	leaf.colour = tones[r.IntN(len(tones))]
	leaf.margin = leaf.colour.mul(.5)
	a := 2 * math.Pi * r.Float64()
	// Moved towards a side until it covers about the part that is wanted.
	for d := 1.2 * side; d > 0; d -= side * .03 {
		leaf.x, leaf.y, leaf.z = m.x+d*math.Cos(a), m.y+d*math.Sin(a), m.z
		n := 0
		for i := range 400 {
			p := sc.card.world(card.Spot{X: b.X + b.W*card.Millimetres(float64(i%20)+.5)/20, Y: b.Y + b.H*card.Millimetres(float64(i/20)+.5)/20})
			if _, ok := leaf.holds(p.x, p.y); ok {
				n++
			}
		}
		if float64(n)/400 >= sc.s.CoverFrac {
			break
		}
	}
	sc.leaf = leaf
}

// subject puts a fruitbody where the camera points.
func (sc *scene) subject(r *rand.Rand) {
	d := sc.cam.ahead
	k := -sc.cam.at.z / d.z
	width := sc.s.Subject * float64(sc.s.Width) / sc.cam.f * k * math.Sqrt(d.dot(d))
	b := newBlob(r, width/2)
	b.x, b.y, b.z = sc.cam.at.x+k*d.x, sc.cam.at.y+k*d.y, .3*width/2
	sc.bodies = append(sc.bodies, b)
}

// scatter lays fruitbodies round the card where the picture shows them whole.
func (sc *scene) scatter(r *rand.Rand) {
	reach := sc.card.w * (.5 + .9*r.Float64())
	for tries := 0; len(sc.bodies) < sc.s.Bodies && tries < 400; tries++ {
		b := newBlob(r, math.Exp(math.Log(6)+r.Float64()*math.Log(40/6.)))
		b.x, b.y = (r.Float64()*2-1)*(sc.card.w/2+reach), (r.Float64()*2-1)*(sc.card.h/2+reach)
		b.z = sc.s.CardZ + math.Max(-sc.s.CardZ, (r.Float64()*1.2-.1)*min(40, 1.6*b.r))
		if !sc.free(b) {
			continue
		}
		sc.bodies = append(sc.bodies, b)
	}
}

// free reports whether a body covers neither card nor another and is seen whole.
func (sc *scene) free(b *blob) bool {
	hw, hh := sc.card.w/2, sc.card.h/2
	// Seen over the card's plane, where its outline falls.
	k := sc.cam.at.z / (sc.cam.at.z - b.z)
	px, py := sc.cam.at.x+(b.x-sc.cam.at.x)*k, sc.cam.at.y+(b.y-sc.cam.at.y)*k
	m := b.most*k + 4
	if math.Abs(px) < hw+m && math.Abs(py) < hh+m || math.Abs(b.x) < hw+m && math.Abs(b.y) < hh+m {
		return false
	}
	if sc.s.Decoy != "" && b.y > hh+20-b.most {
		return false
	}
	for _, o := range sc.bodies {
		ko := sc.cam.at.z / (sc.cam.at.z - o.z)
		ox, oy := sc.cam.at.x+(o.x-sc.cam.at.x)*ko, sc.cam.at.y+(o.y-sc.cam.at.y)*ko
		if math.Hypot(px-ox, py-oy) < m+o.most*ko || math.Hypot(b.x-o.x, b.y-o.y) < b.most+o.most+3 {
			return false
		}
	}
	for _, p := range b.outline(24) {
		x, y, ok := sc.cam.project(vec{p[0], p[1], b.z})
		if !ok || x < 20 || y < 20 || x > float64(sc.s.Width)-20 || y > float64(sc.s.Height)-20 {
			return false
		}
	}
	return true
}

func (sc *scene) at(p vec) [2]float64 {
	x, y, _ := sc.cam.project(p)
	return [2]float64{x, y}
}

func (sc *scene) truth(l *card.Layout) *Truth {
	t := &Truth{Settings: sc.s, CameraHeightMM: sc.cam.at.z - sc.s.CardZ}
	ids, _ := l.Ids(sc.s.Batch)
	for seat := range 4 {
		tag := TagTruth{ID: ids[seat], Seat: seat, Covered: seat == sc.s.Covered}
		for i, c := range l.Corners(seat) {
			tag.Corners[i] = sc.at(sc.card.world(c))
		}
		t.Tags = append(t.Tags, tag)
	}
	x := l.Width/2 - 25
	for i, dx := range []card.Millimetres{0, 50} {
		t.On[i] = sc.at(sc.card.world(card.Spot{X: x + dx, Y: l.Height * .62}))
		t.Beside[i] = sc.at(sc.card.world(card.Spot{X: x + dx, Y: -34}))
	}
	for _, b := range sc.bodies {
		t.Bodies = append(t.Bodies, sc.body(b))
	}
	if sc.s.NoCard {
		t.Tags = nil
	}
	return t
}

func (sc *scene) body(b *blob) BodyTruth {
	rim := b.outline(720)
	out := BodyTruth{AboveMM: b.z - sc.s.CardZ, MiddlePx: sc.at(vec{b.x, b.y, b.z})}
	for i, p := range rim {
		if i%10 == 0 {
			out.OutlinePx = append(out.OutlinePx, sc.at(vec{p[0], p[1], b.z}))
		}
		q := rim[(i+1)%len(rim)]
		out.AreaMM2 += (p[0]*q[1] - p[1]*q[0]) / 2
		for _, q := range rim[:i] {
			if d := math.Hypot(p[0]-q[0], p[1]-q[1]); d > out.WidthMM {
				out.WidthMM = d
				out.EndsPx = [2][2]float64{sc.at(vec{p[0], p[1], b.z}), sc.at(vec{q[0], q[1], b.z})}
			}
		}
	}
	return out
}

// look follows the ray of a pixel to what it meets: its light, and a number
// that tells things apart.
func (sc *scene) look(x, y float64) (rgb, uint64) {
	d := sc.cam.ray(x, y)
	if d.z >= -1e-9 {
		return rgb{.5, .6, .7}, 1
	}
	from := sc.cam.at
	for i, b := range sc.bodies {
		k := (b.z - from.z) / d.z
		px, py := from.x+k*d.x, from.y+k*d.y
		if part, ok := b.holds(px, py); ok && !sc.hidden {
			return b.paint(px, py, part, sc.lx, sc.ly).mul(sc.light(px, py)), firstBody + uint64(i)
		}
	}
	if !sc.s.NoCard {
		if cx, cy, ok := sc.card.hit(from, d); ok {
			return sc.onCard(cx, cy)
		}
	}
	k := -from.z / d.z
	px, py := from.x+k*d.x, from.y+k*d.y
	c, id := sc.floor(px, py)
	shade := float32(1)
	for _, b := range sc.bodies { // what stands above the ground darkens it
		q := math.Hypot(px-b.x+sc.lx*b.z*.5, py-b.y+sc.ly*b.z*.5) / b.r
		if q < 1.5 {
			shade *= float32(.45 + .55*smooth(.6, 1.5, q))
		}
	}
	return c.mul(shade * sc.light(px, py)), id
}

// Numbers of the fruitbodies, and of things on the card: its inks, in the order
// in which they are met.
const firstBody, firstInk, inks = 10, 1000, 1000

func (sc *scene) onCard(cx, cy float64) (rgb, uint64) {
	p := sc.card.world(card.Spot{X: card.Millimetres(cx), Y: card.Millimetres(cy)})
	c := sc.card.ink(cx, cy)
	id := firstInk + uint64(c[0]*400+c[2]*300+c[1]*200)
	if sc.leaf != nil {
		if part, ok := sc.leaf.holds(p.x, p.y); ok {
			c, id = sc.leaf.paint(p.x, p.y, part, sc.lx, sc.ly), firstInk+inks-1
		}
	}
	lit := sc.light(p.x, p.y)
	if sc.card.rho != 0 { // a bent card is lit unevenly
		s := (p.x*sc.card.bx + p.y*sc.card.by) / sc.card.rho
		lit *= float32(1 + .6*s*(sc.lx*sc.card.bx+sc.ly*sc.card.by))
	}
	c = c.mul(lit)
	if g := sc.card.glare; g > 0 {
		q := math.Hypot(cx-sc.card.glareX, (cy-sc.card.glareY)*1.6) / 16
		v := float32(g * math.Exp(-q*q))
		c = c.add(rgb{v, v, v})
	}
	return c, id
}

// floor is the ground with what lies on it beside card and fruitbodies.
func (sc *scene) floor(px, py float64) (rgb, uint64) {
	dx, dy := px-sc.decoy.x, py-sc.decoy.y
	switch sc.s.Decoy {
	case "chess":
		if math.Abs(dx) < 60 && math.Abs(dy) < 24 {
			i, j := int(math.Floor(dx/8)), int(math.Floor(dy/8))
			if (i+j)&1 == 0 {
				return white, 5
			}
			return black, 6
		}
	case "foreign":
		if math.Abs(dx) < 12.5 && math.Abs(dy) < 12.5 {
			if sc.foreign[int((dy+12.5)/2.5)][int((dx+12.5)/2.5)] {
				return white, 5
			}
			return black, 6
		}
	}
	return sc.leaves.ground(px, py)
}

// light is how much of it falls on a point of the ground.
func (sc *scene) light(x, y float64) float32 {
	v := 1.0
	for _, s := range sc.shadows {
		d := x*s[0] + y*s[1] - s[2] + 2*noise(sc.s.Seed+11, x*.06, y*.06)
		v *= sc.s.ShadowLow + (1-sc.s.ShadowLow)*smooth(-s[3], s[3], d)
	}
	return float32(v)
}
