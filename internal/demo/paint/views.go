package paint

// floorViews draws the close views of bodies that stand on a surface.
func (s *scene) floorViews() {
	b := s.bodies[0]
	if b.kind == rosetteLeaf && s.shot.View >= Cut {
		s.viewTop(b) // a thin leaf is neither cut nor dug out
		return
	}
	switch s.shot.View {
	case Top:
		s.viewTop(b)
	case Side:
		if s.laidFlat() {
			s.viewLaid(b, false)
		} else {
			s.viewStanding(b)
		}
	case Underneath:
		s.viewUnder(b)
	case Cut:
		s.viewLaid(b, true)
	case Base:
		s.viewBase(b)
	}
}

// laidFlat: some people lay the specimen down for the side view.
func (s *scene) laidFlat() bool {
	switch s.bodies[0].kind {
	case agaric, stinker:
		return stream(s.find.Seed, "laid").yes(0.45)
	}
	return false
}

// rimHeight is how high above the ground the widest part stays at most in a
// view from above: the litter hides the stem.
const rimHeight = 10

// widestZ is the height of the body's widest part.
func (b *individual) widestZ() float32 {
	switch b.kind {
	case agaric:
		return b.stemL + b.r*b.lift
	case stinker:
		return b.h * 0.78
	case ball:
		return b.h - 0.95*b.r
	case cupDisc, nest, nailDisc:
		return b.h
	case coralTuft:
		return 0.8 * b.h
	case rosetteLeaf:
		return 1
	}
	return 0.45 * b.h
}

func (s *scene) viewTop(b *individual) {
	span, cx := s.frameFor(b.r, b.r)
	level := clamp(b.widestZ(), 2, rimHeight)
	s.aimFrom(v3{cx, 0, level}, s.tilted(), span)
	s.l.dof, s.l.slack = 60, 0.16
	s.keepCard(b.r, level)
	var sunk []area
	for i, o := range s.bodies {
		p := s.at[i]
		if i > 0 && (s.hitsCard(s.capAt(i).sub(s.capAt(0)), o.r, b.r) || abs(p.x-cx) > span || abs(p.y) > span) {
			continue
		}
		p.z = s.groundAt(p) + level - o.widestZ()
		if i == 0 || s.find.Habit == "tufted" { // the measured cap is centred over the origin
			p.x, p.y = p.x-b.lean.x*b.leanUsed(), p.y-b.lean.y*b.leanUsed()
		}
		if i > 0 {
			p.z -= 2 + 4*hashF(int32(i), 3, b.seed)
			if s.find.Habit == "tufted" || s.find.Habit == "clustered" {
				p.z -= level * 0.5
			}
		}
		s.drawBody(i, shift(p), false)
		if b.kind == cupDisc || b.kind == nest { // an open cup must not fill with ground
			sunk = append(sunk, area{p.x - o.r*0.6, p.x + o.r*0.6, p.y - o.r*0.6, p.y + o.r*0.6, p.z - 2})
		}
	}
	s.g.keep = append(s.g.keep, sunk...)
	s.carpet(func(x, y float32) bool { return s.covered(x, y, 0.93) || s.g.taken(x, y) })
	s.drawTokens(nil)
	s.lay(b.r, level)
}

// lay puts the card flat beside a subject of half width r, its face at level.
func (s *scene) lay(r, level float32) {
	if s.shot.Card {
		s.card = s.f.layCard(v3{s.cardSpot(r), 0, level}, v3{0, 0, 1}, v3{1, 0, 0}, s.cardRoll(), float32(s.shot.BendMM))
		s.spoil()
	}
}

// keepCard reserves the card's place on the ground.
func (s *scene) keepCard(r, level float32) {
	if s.shot.Card {
		s.cardR = r
		x := s.cardSpot(r)
		s.g.keep = append(s.g.keep, area{x - CardWidthMM/2 - 4, x + CardWidthMM/2 + 4, -CardHeightMM/2 - 6, CardHeightMM/2 + 6, level})
	}
}

// keepBody reserves the ground below a specimen that lies there.
func (s *scene) keepBody(x0, x1, y0, y1, level float32) {
	s.g.keep = append(s.g.keep, area{x0, x1, y0, y1, level})
}

// leanUsed is 1 for bodies whose lean moves the cap.
func (b *individual) leanUsed() float32 {
	if b.kind == agaric {
		return 1
	}
	return 0
}

func (s *scene) cardRoll() float32 {
	return stream(s.find.Seed, "roll", int(s.shot.View)).sym(0.13)
}

// groundAt is the surface height below a point.
func (s *scene) groundAt(p v3) float32 {
	switch s.g.kind {
	case "wood":
		if s.find.Substrate == "stump" {
			return s.g.faceZ(p.x, p.y)
		}
		r := s.g.logRadius()
		if abs(p.y) < r {
			return sqrt(r*r-p.y*p.y) - r
		}
		return -r
	case "bark":
		return 0
	}
	return s.g.height(p.x, p.y)
}

func (g *ground) logRadius() float32 {
	if g.find.Substrate == "dead_branch" {
		return 30
	}
	return g.bark.radius
}

// hitsCard says whether a companion would stand where the card lies.
func (s *scene) hitsCard(p v3, r, heroR float32) bool {
	if !s.shot.Card {
		return false
	}
	c := s.cardSpot(heroR)
	return abs(p.x-c) < CardWidthMM/2+r+4 && abs(p.y) < CardHeightMM/2+r+12
}

// capAt is where the widest part of a standing body is, seen from above.
func (s *scene) capAt(i int) v3 {
	b := s.bodies[i]
	return s.at[i].add(b.lean.mul(b.leanUsed()))
}

func (s *scene) underCard(x, y, heroR float32) bool {
	return s.shot.Card && abs(x-s.cardSpot(heroR)) < CardWidthMM/2+10 && abs(y) < CardHeightMM/2+12
}

// bare says whether a place is hidden by a standing body anyway.
func (s *scene) bare(x, y float32) bool {
	k := float32(0.5)
	if s.shot.View == Top {
		k = 1.08
	}
	return len(s.g.feet) > 0 && s.covered(x, y, k)
}

// covered says whether a place lies under one of the fruitbodies.
func (s *scene) covered(x, y, k float32) bool {
	for i, b := range s.bodies {
		p := s.at[i]
		if s.shot.View == Top {
			p = s.capAt(i).sub(s.capAt(0))
		}
		dx, dy := x-p.x, y-p.y
		if dx*dx+dy*dy < b.r*b.r*k*k {
			return true
		}
	}
	return false
}

// viewUnder turns the body over on its own ground.
func (s *scene) viewUnder(b *individual) {
	switch b.kind {
	case stinker, coralTuft, clubs, stroma:
		s.viewLaid(b, false)
		return
	}
	span, cx := s.frameFor(b.r*1.12, b.r*1.2)
	rest := s.cushioning() + 4
	s.aimFrom(v3{cx, -0.15 * b.r * b.leanUsed(), rest}, s.tilted(), span)
	s.l.dof, s.l.slack = 50, 0.3
	c := stream(s.find.Seed, "over")
	var m xform
	if b.kind == agaric {
		// Upside down; the stem leans out over the rim, so that it hides little.
		lean := atan2(b.r*1.1, b.stemL) + c.in(0.25, 0.5)
		lean = clamp(lean, 0.6, 1.05)
		m = shift(v3{-b.lean.x, -b.lean.y, -b.stemL}).then(turn(0, pi)).then(turn(0, lean)).
			then(turn(2, c.sym(0.5))).then(shift(v3{0, 0, b.h*0.5 + b.r*0.75*sin(lean) + rest}))
	} else {
		m = shift(v3{0, 0, -b.h * 0.5}).then(turn(0, pi-0.35)).then(shift(v3{0, 0, b.h*0.5 + rest}))
	}
	s.keepCard(b.r*1.12, rest)
	s.keepBody(-b.r*0.8, b.r*0.8, -b.r*0.8, b.r*0.8, rest)
	s.drawBody(0, m, false)
	s.carpet(s.g.taken)
	s.drawTokens(nil)
	s.lay(b.r*1.12, rest)
}

// viewLaid lays the body (or its half) down and looks from above.
func (s *scene) viewLaid(b *individual, half bool) {
	long := b.length()
	span, cx := s.frameFor(b.r, long*0.55)
	s.aimFrom(v3{cx, 0, b.r * 0.4}, s.tilted(), span)
	s.l.dof, s.l.slack = 60, 0.3
	roll := stream(s.find.Seed, "lay").sym(0.18)
	// Stem towards the lower edge of the picture, the local -y face up.
	rest := s.cushioning() * 0.8
	lift := b.r*0.6 + 3 + rest
	if half {
		lift = b.r*0.15 + 5 + rest
	}
	m := shift(v3{-b.lean.x * 0.5 * b.leanUsed(), 0, -long / 2}).then(turn(0, -pi/2)).then(turn(2, roll)).then(shift(v3{0, 0, lift}))
	s.keepCard(b.r, lift)
	s.keepBody(-b.r*0.8-4, b.r*0.8+4, -long*0.52-4, long*0.52+4, rest+1)
	if half {
		b.draw(s.f, m, s.f.cam.f/s.l.focus, true)
	} else {
		s.drawBody(0, m, false)
	}
	s.carpet(s.g.taken)
	s.drawTokens(func(p v3) v3 {
		if abs(p.y) < long*0.6 && abs(p.x) < b.r+24 {
			p.x = -s.side * (b.r + 24)
		}
		return p
	})
	s.lay(b.r, lift*0.9)
}

// viewStanding looks along the ground at the standing body.
func (s *scene) viewStanding(b *individual) {
	tall := b.length()
	if b.kind == rosetteLeaf {
		tall = 2 * b.h
	}
	up := tall
	mid := tall * 0.48
	if s.shot.Card {
		up, mid = max(up, 76), max(mid, 34)
	}
	span, cx := s.frameFor(b.r*1.15, up*0.62)
	c := stream(s.find.Seed, "stand")
	dir := v3{c.sym(0.12), -1, c.in(0.10, 0.22)}
	if b.kind == rosetteLeaf || b.kind == nailDisc {
		dir.z += 0.5
	}
	s.aimFrom(v3{cx, 0, mid}, dir, span)
	s.l.fill = v3{0, -0.75, 0.66}
	s.l.dof, s.l.slack = 26, 0.12
	s.l.sky = s.backdrop()
	s.l.haze = 2500
	s.placeBodies(func(i int) bool {
		p := s.capAt(i)
		return p.y < -b.r*0.6 || s.shot.Card && p.y < b.r+20 && p.x*s.side > b.r*1.15-s.bodies[i].r
	})
	if s.shot.Card {
		x := s.cardSpot(b.r * 1.15)
		s.keepBody(x-CardWidthMM/2-6, x+CardWidthMM/2+6, -90, 12, 2)
	}
	s.keepBody(-b.r, b.r, -90, -4, 2)
	s.carpet(func(x, y float32) bool {
		return y < -0.42*s.span || s.covered(x, y, 0.25) || s.g.kind != "soil" && s.g.kind != "litter" && s.g.taken(x, y)
	})
	s.drawTokens(func(p v3) v3 {
		p.x = -s.side * max(abs(p.x), b.r+14)
		return v3{p.x, -abs(p.y) * 0.4, 0}
	})
	if s.shot.Card {
		n := v3{0, -1, 0.06 + float32(s.shot.TiltDeg)*pi/180*0.8}
		s.card = s.f.layCard(v3{s.cardSpot(b.r * 1.15), 2, CardHeightMM/2 + 1}, n, v3{1, 0, 0}, s.cardRoll()*0.6, 0)
	}
}

// placeBodies draws all bodies standing at their places.
func (s *scene) placeBodies(skip func(i int) bool) {
	for i := range s.bodies {
		p := s.at[i]
		if i > 0 && skip(i) {
			continue
		}
		p.z = s.groundAt(p)
		s.drawBody(i, shift(p), false)
	}
}

// viewBase shows the foot of the stem, dug out and laid down.
func (s *scene) viewBase(b *individual) {
	long := b.length()
	r := max(b.stemR*2.2, min(b.r, long*0.3))
	if b.kind != agaric {
		r = b.r
	}
	span := max(long*0.95, 60, 6*b.stemR)
	cx := float32(0)
	if s.shot.Card {
		span = max(span, (2*max(r, 24)+14+CardWidthMM)*1.2)
		cx = s.side * (14 + CardWidthMM) / 2
	}
	foot := -span * 0.16
	s.aimFrom(v3{cx, 0, b.stemR}, s.tilted(), span)
	s.l.dof, s.l.slack = 60, 0.3
	roll := stream(s.find.Seed, "basal").sym(0.3)
	rest := s.cushioning() * 0.8
	lift := r*0.5 + 3 + rest
	if b.kind == agaric {
		lift = b.stemR + 3 + rest
	}
	m := turn(0, -pi/2).then(turn(2, roll)).then(shift(v3{0, foot, lift}))
	s.keepCard(r, lift)
	s.keepBody(-r-3, r+3, foot-14, foot+long, rest+1)
	s.drawBody(0, m, false)
	s.crumbs(b, m)
	s.carpet(s.g.taken)
	s.drawTokens(func(p v3) v3 {
		if p.y > foot-30 && abs(p.x) < b.r+24 {
			p.x = -s.side * (b.r*0.5 + r + 24)
			p.y *= 0.5
		}
		return p
	})
	s.lay(r, lift)
}

// spoil lays a leaf over a corner of the card, and a shadow across it, where the
// shot asks for them.
func (s *scene) spoil() {
	c := stream(s.find.Seed, "spoil", int(s.shot.View))
	if s.shot.Shaded {
		s.card.shade = c.in(.3, .7)
	}
	if !s.shot.Covered {
		return
	}
	corners := [4][2]float32{{.12, .14}, {.88, .14}, {.88, .86}, {.12, .86}}
	at := corners[int(c.in(0, 3.99))]
	over := s.card.at.add(s.card.x.mul(at[0] * CardWidthMM)).add(s.card.y.mul(at[1] * CardHeightMM)).add(s.card.n.mul(3 + float32(s.shot.BendMM)))
	m := turn(2, c.in(0, 2*pi)).then(shift(over))
	s.f.leafTinted(m, leafSpec{kind: leafKind(s.find), size: c.in(34, 48), hue: c.f(), curl: .1}, paletteAt(c.f()), true)
}
