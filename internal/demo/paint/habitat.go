package paint

// backdrop is the out-of-focus distance behind a standing specimen.
func (s *scene) backdrop() func(x, y float32) v3 {
	seed := s.g.seed
	if s.g.kind == "grass" {
		sky := rgb(0xcfdbe6).mul(0.8 + 0.3*hashF(1, 8, seed))
		hedge := rgb(0x4f6238).mul(0.7 + 0.6*hashF(2, 8, seed))
		return func(x, y float32) v3 {
			h := 0.27 + 0.05*noise(x*5, 1, seed)
			c := sky.mul(0.9 + 0.1*noise(x*2, y*5, seed))
			return c.mix(hedge.mul(0.8+0.4*noise(x*9, y*12, seed)), smooth(h-0.04, h+0.03, y))
		}
	}
	deep := s.g.green.mul(0.5).mix(rgb(0x5a6148), 0.5).mul(0.5 + 0.6*hashF(3, 8, seed))
	glow := rgb(0xc9d6b8).mix(rgb(0xe6d9a8), hashF(4, 8, seed))
	return func(x, y float32) v3 {
		n := noise(x*3, y*2, seed+3)
		c := deep.mul(0.6 + 0.9*n)
		c = c.mix(glow, 0.65*smooth(0.55, 0.85, noise(x*7+2, y*6, seed+4))*smooth(0.5, 0.1, y))
		t := noise(x*9+5, y*0.15, seed+5)
		return c.mix(rgb(0x3d362c), 0.75*smooth(0.6, 0.68, t))
	}
}

// surroundings draws the find small in its habitat.
func (s *scene) surroundings() {
	b := s.bodies[0]
	c := stream(s.find.Seed, "habitat")
	span := clamp(14*b.r, 620, 1500)
	if s.find.Habit == "ring" || s.find.Habit == "scattered" {
		span = max(span, 1000)
	}
	wall := s.onWall() || s.g.wall
	el := c.in(0.30, 0.48)
	dir := v3{c.sym(0.5), -1, el}
	target := v3{c.sym(0.12) * span, span * 0.08, 0}
	if wall {
		dir.z = c.in(0.02, 0.15)
		target.z = -0.05 * span
	}
	if s.g.kind == "wood" {
		target.z = -70
	}
	s.aimFrom(target, dir, span)
	s.l.fill = v3{0, -0.55, 0.83}
	s.l.dof, s.l.slack = 9, 0.45
	s.l.sky = s.backdrop()
	s.l.haze = 9000
	s.l.aoMM = span * 0.03
	switch {
	case wall || s.g.kind == "wood" && s.find.Substrate != "stump":
		s.habitatOnWood(c)
		return
	case s.g.kind == "wood":
		s.habitatStump(c)
	default:
		s.habitatGround(c)
	}
}

func (s *scene) habitatGround(c *chance) {
	for i := range s.bodies {
		p := s.at[i]
		p.z = s.groundAt(p)
		if s.g.kind == "grass" {
			p.z += 14 // cropped round the caps, so that they show
		}
		s.drawBody(i, shift(p), false)
	}
	g, f := s.g, s.f
	if s.find.Substrate == "dung" {
		g.dung(f, 0, 0)
	}
	g.drawFloor(f, 0, false)
	clear := func(x, y float32) bool { return s.covered(x, y, 0.8) }
	near := f.visible(0, 1300, 30)
	far := f.visible(0, 6000, 100)
	s.strewAll(near, clear)
	beyond := func(x, y float32) bool { return x*x+y*y < 1200*1200 }
	s.strewAll(far, beyond)
	s.drawTokens(nil)
	if g.kind != "grass" {
		g.trees(f, c, 0)
	} else if contains(s.find.Host, "") && c.yes(0.3) {
		g.trees(f, c, 3500)
	}
}

// trees sets trunks of the host behind the find.
func (g *ground) trees(f *frame, c *chance, back float32) {
	x := c.in(-500, 500)
	for i := range 6 {
		y := back + 700 + float32(i)*c.in(500, 1100)
		if i > 0 {
			x = c.in(-0.55, 0.55) * (y + 1500)
		}
		r := c.in(110, 260)
		if back > 0 {
			y += 1500
		}
		k := f.cam.pxPerMM(v3{x, y, 0})
		g.drawTrunk(f, shift(v3{x, y, 0}), r, -100, 3500, k)
	}
}

func (s *scene) habitatStump(c *chance) {
	g, f := s.g, s.f
	r := 170 + 0.4*g.bark.radius
	s.placeBodies(func(p v3) bool { return false })
	g.drawStump(f, r, 320, f.cam.f/s.l.focus)
	g.drawFloor(f, -320, false)
	p := f.visible(-320, 5000, 80)
	gg := *g
	gg.litter = max(g.litter, 0.5)
	away := func(x, y float32) bool { x2, y2 := x, y-r*0.62; return x2*x2+y2*y2 < r*r }
	gg.strewLeaves(f, p, away)
	if g.mossy > 0.5 {
		p2 := f.visible(-320, 1100, 0)
		gg.strewMoss(f, p2, 0.004, away)
	}
	s.drawTokens(nil)
	g.trees(f, c, 500)
}

// habitatOnWood shows a trunk, log or branch with the find on it.
func (s *scene) habitatOnWood(c *chance) {
	g, f := s.g, s.f
	k := f.cam.f / s.l.focus
	r := g.logRadius()
	lying := s.find.Substrate == "dead_fallen" || s.find.Substrate == "dead_branch"
	floor := -c.in(700, 1100)
	if lying {
		floor = -r * 1.3
		m, at := s.logPose(r)
		g.drawTrunk(f, m, r, -2500, 2500, k*0.4)
		for i := range s.bodies {
			s.drawBody(i, at(i), false)
		}
	} else {
		g.drawTrunk(f, identity, r, floor-80, 2600, k*0.7)
		for i := range s.bodies {
			s.drawBody(i, s.wallSpot(i, r), false)
		}
	}
	g.drawFloor(f, floor, false)
	p := f.visible(floor, 5000, 80)
	gg := *g
	gg.litter = max(g.litter, 0.6)
	gg.strewLeaves(f, p, func(x, y float32) bool { return false })
	gg.trees(f, c, 900)
}

// dung lays a heap of horse droppings with its middle at (x, y).
func (g *ground) dung(f *frame, x, y float32) {
	c := stream(g.find.Seed, "dung")
	for range 14 {
		a, d := c.in(0, 2*pi), c.f()*95
		r := c.in(24, 40)
		at := v3{x + d*cos(a), y + d*sin(a) + 20, r*0.3 - d*0.15}
		ms := f.start(matGround)
		col := rgb(0x5c4a30).mul(c.in(0.7, 1.15))
		sd := uint32(c.u64())
		ms.grid(36, 20, true, func(u, v float32) (v3, v3) {
			e, q := (0.5-v)*pi, u*2*pi
			n := fbm(u*8, v*8, 3, sd)
			k := r * (0.9 + 0.22*n)
			straw := smooth(0.62, 0.7, noise(u*40+v*30, v*12-u*9, sd))
			return at.add(v3{k * cos(e) * cos(q), k * cos(e) * sin(q), k * 0.75 * sin(e)}), col.mul(0.6+0.7*n).mix(rgb(0xa8925c), 0.6*straw)
		})
		f.draw(ms, identity, true)
	}
}
