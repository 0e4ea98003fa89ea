package paint

// floorViews draws the close views of bodies that stand on a surface.
func (s *scene) floorViews() {
	b := s.bodies[0]
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

// rimHeight is how high above the ground the widest part stays in a view from
// above: the litter hides the stem.
const rimHeight = 10

func (s *scene) viewTop(b *individual) {
	span, cx := s.frameFor(b.r, b.r)
	level := float32(0)
	sink := float32(0)
	if b.kind == agaric || b.kind == stinker {
		level = rimHeight
		sink = b.stemL - rimHeight
		if b.kind == stinker {
			sink = b.h * 0.75
		}
	}
	s.aimFrom(v3{cx, 0, level}, s.tilted(), span)
	s.l.dof, s.l.slack = 60, 0.16
	shown := 0
	for i := range s.bodies {
		p := s.at[i]
		if i > 0 && s.hitsCard(p, s.bodies[i].r, b.r) || abs(p.x-cx) > span || abs(p.y) > span {
			continue
		}
		drop := sink
		if i > 0 && (b.kind == agaric || b.kind == stinker) {
			drop = s.bodies[i].stemL - rimHeight*0.7
		}
		p.z = s.groundAt(p) - drop
		if i == 0 {
			// The measured cap is centred over the origin.
			p.x, p.y, p.z = -b.lean.x*b.leanUsed(), -b.lean.y*b.leanUsed(), -drop
		} else if s.find.Habit == "tufted" {
			p.x, p.y = p.x-b.lean.x*b.leanUsed(), p.y-b.lean.y*b.leanUsed()
		}
		s.drawBody(i, shift(p), false)
		shown++
	}
	s.carpet(func(x, y float32) bool { return s.covered(x, y, 0.93) || s.underCard(x, y, b.r) })
	s.drawTokens(nil)
	if s.shot.Card {
		s.card = s.f.layCard(v3{s.cardSpot(b.r), 0, level + 0.3}, v3{0, 0, 1}, v3{1, 0, 0}, s.cardRoll())
	}
}

// leanUsed is 1 for bodies whose lean moves the cap.
func (b *individual) leanUsed() float32 {
	if b.kind == agaric || b.kind == stinker {
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
	return abs(p.x-c) < CardWidthMM/2+r+4 && abs(p.y) < CardHeightMM/2+r+8
}

func (s *scene) underCard(x, y, heroR float32) bool {
	if !s.shot.Card {
		return false
	}
	return abs(x-s.cardSpot(heroR)) < CardWidthMM/2+3 && abs(y) < CardHeightMM/2+8
}

// covered says whether a place lies under one of the fruitbodies.
func (s *scene) covered(x, y, k float32) bool {
	for i, b := range s.bodies {
		p := s.at[i]
		if i == 0 {
			p = v3{}
		}
		dx, dy := x-p.x, y-p.y
		if dx*dx+dy*dy < b.r*b.r*k*k {
			return true
		}
		if i > 6 {
			break
		}
	}
	return false
}

// carpet draws the ground and what is strewn over it.
func (s *scene) carpet(clear func(x, y float32) bool) {
	g, f := s.g, s.f
	k := f.cam.f / s.l.focus
	switch g.kind {
	case "wood":
		if s.find.Substrate == "stump" {
			g.drawStump(f, 170+0.4*g.bark.radius, 320, k)
		} else {
			g.barkFloor(f, g.logRadius(), s.span*1.1, k)
		}
		g.drawFloor(f, -320, false)
		p := f.visible(-320, 3000, 60)
		p2 := f.visible(0, s.span, 0)
		gg := *g
		gg.litter = max(g.litter, 0.3)
		gg.strewLeaves(f, p, func(x, y float32) bool { return abs(x) < 240 && abs(y-120) < 240 })
		g.strewLeaves(f, p2, func(x, y float32) bool { return clear(x, y) || s.find.Substrate != "stump" })
		return
	case "bark":
		g.barkFloor(f, g.bark.radius*1.5, s.span*1.1, k)
		return
	}
	g.drawFloor(f, 0, false)
	p := f.visible(0, max(4*s.span, 1800), 40)
	s.strewAll(p, clear)
}

func (s *scene) strewAll(p patch, clear func(x, y float32) bool) {
	g, f := s.g, s.f
	switch g.kind {
	case "grass":
		g.strewGrass(f, p, 34+20*g.rough, 0.10, clear)
	case "moss":
		g.strewMoss(f, p, 0.035, clear)
		g.strewNeedles(f, p, 0.004, clear)
	case "needles":
		g.strewNeedles(f, p, 0.09, clear)
	case "chips":
		g.strewChips(f, p, clear)
	}
	g.strewLeaves(f, p, clear)
}

// viewUnder turns the body over on its own ground.
func (s *scene) viewUnder(b *individual) {
	span, cx := s.frameFor(b.r, b.r)
	if !s.shot.Card {
		span *= 0.92
	}
	s.aimFrom(v3{cx, 0, rimHeight}, s.tilted().add(v3{0, -0.12, 0}), span)
	s.l.dof, s.l.slack = 60, 0.2
	c := stream(s.find.Seed, "over")
	m := identity
	switch b.kind {
	case agaric:
		// Upside down, the stem cut or leaning towards the camera's lower edge.
		m = shift(v3{-b.lean.x, -b.lean.y, -b.stemL}).then(turn(0, pi)).then(turn(0, 0.22+c.f()*0.2)).
			then(turn(2, c.sym(0.5))).then(shift(v3{0, 0, b.h*0.8 + 6}))
	case stinker, coralTuft, clubs, stroma, icicles:
		s.viewLaid(b, false)
		return
	default:
		m = shift(v3{0, 0, -b.h * 0.5}).then(turn(0, pi-0.35)).then(shift(v3{0, 0, b.h*0.5 + 3}))
	}
	s.drawBody(0, m, false)
	s.carpet(func(x, y float32) bool { return x*x+y*y < b.r*b.r*0.8 || s.underCard(x, y, b.r) })
	s.drawTokens(nil)
	if s.shot.Card {
		s.card = s.f.layCard(v3{s.cardSpot(b.r), 0, rimHeight}, v3{0, 0, 1}, v3{1, 0, 0}, s.cardRoll())
	}
}

// viewLaid lays the body (or its half) down and looks from above.
func (s *scene) viewLaid(b *individual, half bool) {
	long := b.length()
	span, cx := s.frameFor(b.r, long*0.55)
	s.aimFrom(v3{cx, 0, b.r * 0.4}, s.tilted(), span)
	s.l.dof, s.l.slack = 60, 0.3
	roll := stream(s.find.Seed, "lay").sym(0.18)
	// Stem towards the lower edge of the picture, the local -y face up.
	lift := b.r*0.55 + 4
	if half {
		lift = b.r*0.1 + 6
	}
	m := shift(v3{-b.lean.x * 0.5 * b.leanUsed(), 0, -long / 2}).then(turn(0, -pi/2)).then(turn(2, roll)).then(shift(v3{0, 0, lift}))
	if half {
		s.bodies[0].draw(s.f, m, s.f.cam.f/s.l.focus, true)
	} else {
		s.drawBody(0, m, false)
	}
	free := func(x, y float32) bool { return abs(x) < b.r && abs(y) < long*0.55 || s.underCard(x, y, b.r) }
	s.carpet(free)
	s.drawTokens(func(p v3) v3 {
		if abs(p.y) < long*0.6 && abs(p.x) < b.r+8 {
			p.x = -s.side * (b.r + 12)
		}
		return p
	})
	if s.shot.Card {
		s.card = s.f.layCard(v3{s.cardSpot(b.r), 0, lift * 0.8}, v3{0, 0, 1}, v3{1, 0, 0}, s.cardRoll())
	}
}

// viewStanding looks along the ground at the standing body.
func (s *scene) viewStanding(b *individual) {
	tall := b.length()
	span, cx := s.frameFor(b.r*1.15, tall*0.62)
	c := stream(s.find.Seed, "stand")
	el := c.in(0.10, 0.22)
	dir := v3{c.sym(0.12), -1, el}
	s.aimFrom(v3{cx, 0, tall * 0.48}, dir, span)
	s.l.fill = v3{0, -0.75, 0.66}
	s.l.dof, s.l.slack = 26, 0.10
	s.l.sky = s.backdrop()
	s.l.haze = 2500
	s.placeBodies(func(p v3) bool {
		return p.y < -b.r*0.6 || s.shot.Card && p.y < b.r+20 && p.x*s.side > b.r*0.6
	})
	s.carpet(func(x, y float32) bool {
		return y < -0.15*s.span && s.g.kind != "grass" && s.g.kind != "moss" || y < -0.5*s.span || s.covered(x, y, 0.25) || s.underCard(x, y, b.r) && y < 6
	})
	s.drawTokens(func(p v3) v3 { return v3{p.x, -abs(p.y)*0.6 - 2, 0} })
	if s.shot.Card {
		x := s.cardSpot(b.r)
		n := v3{0, -1, 0.06 + float32(s.shot.TiltDeg)*pi/180*0.8}
		s.card = s.f.layCard(v3{x, 4, CardHeightMM/2 - 2}, n, v3{1, 0, 0}, s.cardRoll()*0.6)
	}
}

// placeBodies draws all bodies standing at their places.
func (s *scene) placeBodies(skip func(p v3) bool) {
	for i := range s.bodies {
		p := s.at[i]
		if i > 0 && skip(p) {
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
	span := max(long*0.95, 80, 6*b.stemR)
	cx := float32(0)
	if s.shot.Card {
		span = max(span, (2*r+14+CardWidthMM)*1.2)
		cx = s.side * (14 + CardWidthMM) / 2
	}
	foot := -span * 0.16
	s.aimFrom(v3{cx, 0, b.stemR}, s.tilted(), span)
	s.l.dof, s.l.slack = 60, 0.3
	roll := stream(s.find.Seed, "basal").sym(0.3)
	lift := b.stemR + 4
	m := turn(0, -pi/2).then(turn(2, roll)).then(shift(v3{0, foot, lift}))
	s.drawBody(0, m, false)
	s.crumbs(b, m)
	s.carpet(func(x, y float32) bool { return abs(x) < r && y > foot-14 || s.underCard(x, y, r) })
	s.drawTokens(func(p v3) v3 {
		if p.y > foot-15 && abs(p.x) < b.r+8 {
			p.x = -s.side * (r + 16)
			p.y *= 0.5
		}
		return p
	})
	if s.shot.Card {
		s.card = s.f.layCard(v3{s.cardSpot(r), 0, lift}, v3{0, 0, 1}, v3{1, 0, 0}, s.cardRoll())
	}
}
