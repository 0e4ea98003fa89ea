package paint

// wallSpot is where body i sits on the trunk: out of the bark towards -y.
func (s *scene) wallSpot(i int, r float32) xform {
	p := s.at[i]
	if s.find.Habit == "tiered" || s.find.Habit == "clustered" || s.find.Habit == "tufted" {
		p = v3{p.x, p.y * 0.8, 0}
	}
	a := clamp(p.x/r, -1.3, 1.3)
	m := turn(2, a).then(shift(v3{r * sin(a), r - r*cos(a), p.y}))
	if s.onWall() {
		return m
	}
	// Bodies that stand on the surface: their z points out of the bark.
	return shift(v3{0, 0, min(float32(i), 1) * 0.5 * s.g.bark.depth}).then(turn(0, pi/2)).then(m)
}

// logPose gives the log's transform and the place of each body on its flank.
func (s *scene) logPose(r float32) (xform, func(i int) xform) {
	phi := float32(0.35)
	if !s.onWall() {
		phi = pi / 2
	}
	m := logTurn(phi, r)
	return m, func(i int) xform {
		p := s.at[i]
		e := phi + clamp(p.y/r, -1.1, 1.0)
		pos := v3{p.x, r*cos(phi) - r*cos(e), r*sin(e) - r*sin(phi)}
		if s.onWall() {
			return shift(pos)
		}
		return turn(0, pi/2-e).then(shift(pos))
	}
}

// wallViews draws the close views of bodies that jut out of wood.
func (s *scene) wallViews() {
	b := s.bodies[0]
	g, f := s.g, s.f
	deep := b.r
	span, cx := s.frameFor(b.r, b.r*1.05)
	var dir, target v3
	switch s.shot.View {
	case Top:
		t := float32(s.shot.TiltDeg) * pi / 180
		dir, target = v3{0, -sin(0.16 + t), cos(0.16 + t)}, v3{cx, -deep * 0.5, 0}
		if b.kind != shelf { // hanging things show their face from the front
			dir, target = v3{0.1, -1, 0.45}, v3{cx, -deep * 0.3, 0}
		}
	case Underneath:
		dir, target = v3{0.12 * s.side, -0.75, -0.8}, v3{cx, -deep * 0.5, 0}
	case Side:
		dir, target = v3{-0.36 * s.side, -1, 0.14 + 0.3*smooth(12, 4, b.h)}, v3{cx * 0.9, -deep * 0.4, 0}
	case Cut:
		s.viewShelfCut(b)
		return
	default:
		dir, target = v3{0.15, -1, 0.35}, v3{cx, -deep * 0.2, -b.h * 0.2}
		if !s.shot.Card {
			span *= 0.7
		}
	}
	if b.kind == icicles {
		target.z += b.h * 0.45
		span = max(span, b.h*1.8)
	}
	s.aimFrom(target, dir, span)
	up := dir.unit()
	s.l.fill = up.add(v3{0, 0, 0.5}).unit()
	if s.shot.View == Underneath {
		f.cam = lookAt(f.cam.pos, target, v3{0, 0, 1}, span)
		s.l.fill = up
		s.l.sun *= 0.4
	}
	s.l.dof, s.l.slack = 30, 0.22
	s.l.sky = s.backdrop()
	s.l.haze = 4000
	r := g.logRadius()
	k := f.cam.f / s.l.focus
	ext := span * 1.3
	floor := -float32(900)
	if s.lying() {
		m, at := s.logPose(r)
		floor = -r * 1.5
		g.drawTrunk(f, m, r, -ext, ext, k)
		s.wallBodies(at, b)
	} else {
		g.drawTrunk(f, identity, r, -ext, ext, k)
		s.wallBodies(func(i int) xform { return s.wallSpot(i, r) }, b)
	}
	if s.shot.View != Underneath {
		s.forestFloor(floor, 0.5, func(x, y float32) bool { return false })
	}
	s.wallTokens(b, r)
	if s.shot.Card {
		at := v3{s.cardSpot(b.r), -deep * 0.5, 0}
		if b.kind == icicles {
			at.z += b.h * 0.45
		}
		at.y = -max(deep*0.5, 24)
		if s.shot.View == Top && b.kind == shelf {
			at.y = -max(deep*0.5, CardHeightMM/2+8)
		}
		t := float32(s.shot.TiltDeg) * pi / 180
		n := up.add(v3{0, 0, t * 0.7})
		right := f.cam.right
		s.card = f.layCard(at, n, right, s.cardRoll(), 0)
	}
}

func (s *scene) wallBodies(at func(i int) xform, b *individual) {
	c := s.cardSpot(b.r)
	for i := range s.bodies {
		p := s.at[i]
		if i > 0 && s.shot.Card && abs(p.x-c) < CardWidthMM/2+s.bodies[i].r {
			continue
		}
		if i > 0 && s.shot.View == Underneath && p.y < 0 && abs(p.x) < b.r {
			continue
		}
		if i > 0 && s.shot.View == Top && p.y > 0 && abs(p.x) < b.r*1.2 {
			continue
		}
		s.drawWallBody(i, at(i))
	}
}

func (s *scene) drawWallBody(i int, m xform) {
	if k := s.scaleOf(i, m); k > 0 {
		s.bodies[i].draw(s.f, m, k, false)
	}
}

// viewShelfCut lays the cut half on the ground, cut face up.
func (s *scene) viewShelfCut(b *individual) {
	span, cx := s.frameFor(b.r, max(b.r, b.h*0.55))
	s.aimFrom(v3{cx, 0, 8}, s.tilted(), span)
	s.l.dof, s.l.slack = 60, 0.3
	m := shift(v3{0, b.r * 0.5, 0}).then(turn(1, pi/2)).then(turn(2, pi/2)).then(shift(v3{0, 0, 8}))
	if b.kind != shelf {
		m = shift(v3{0, 0, -b.h / 2}).then(turn(0, -pi/2)).then(shift(v3{0, 0, b.r*0.4 + 5}))
	}
	b.draw(s.f, m, s.f.cam.f/s.l.focus, true)
	g := *s.g
	g.kind = "litter"
	g.litter = max(g.litter, 0.8)
	s.g = &g
	s.keepCard(b.r, 10)
	s.keepBody(-b.r*0.8, b.r*0.8, -b.r*0.7, b.r*0.7, 4)
	s.carpet(s.g.taken)
	s.drawTokens(func(p v3) v3 {
		if abs(p.y) < b.r*0.8 && abs(p.x) < b.r+24 {
			p.x = -s.side * (b.r + 24)
		}
		return p
	})
	s.lay(b.r, 10)
}

// wallTokens pins a few of the find's marks to the bark near the body.
func (s *scene) wallTokens(b *individual, r float32) {
	for i, t := range s.g.tokens {
		x := -s.side * (b.r + 14 + 16*float32(i))
		z := b.r * (0.5 - 0.45*float32(i))
		if s.g.logRadius() < 60 {
			x, z = -s.side*(b.r+14+24*float32(i)), 4
		}
		if s.onWall() { // things that could not hang on bark become ivy
			switch t.kind {
			case "ivy", "shell", "feather", "yellowleaf", "redleaf", "greenleaf", "oakleaf", "fern", "twig":
			default:
				t.kind = "ivy"
			}
		} else if p := t.at; p.x*s.side > 0 {
			x, z = -p.x, p.y
		} else {
			x, z = p.x, p.y
		}
		a := clamp(x/r, -1.4, 1.4)
		m := turn(0, pi/2).then(shift(v3{0, -3, 0})).then(turn(2, a)).then(shift(v3{r * sin(a), r - r*cos(a), z}))
		s.f.token(t, m)
	}
}
