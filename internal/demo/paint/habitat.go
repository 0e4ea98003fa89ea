package paint

// backdrop is the out-of-focus distance behind a standing specimen.
func (s *scene) backdrop() func(x, y float32) v3 {
	seed := s.g.seed
	if s.g.kind == "grass" || s.g.kind == "dung" {
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
	span := clamp(11*b.r, 420, 1400)
	switch s.find.Habit {
	case "ring", "scattered":
		span = max(span, 900)
	}
	wall := s.onWall() || s.g.wall
	dir := v3{c.sym(0.5), -1, c.in(0.24, 0.36)}
	target := v3{c.sym(0.12) * span, span * 0.10, 0}
	switch {
	case wall:
		dir.z = c.in(0.02, 0.15)
		target.z = -0.05 * span
		span = max(span, 560)
		if b.kind == rosetteLeaf {
			span = 380 + 2*b.r
		}
	case s.g.kind == "wood":
		target.z = -60
		span = max(span, 760)
	}
	s.aimWide(target, dir, span)
	s.l.fill = v3{0, -0.55, 0.83}
	s.l.dof, s.l.slack = 9, 0.5
	s.l.sky = s.backdrop()
	s.l.haze = 9000
	s.l.aoMM = span * 0.03
	switch {
	case wall || s.g.kind == "wood" && s.find.Substrate != "stump":
		s.habitatOnWood(c)
	case s.g.kind == "wood":
		s.habitatStump(c)
	default:
		s.habitatGround(c)
	}
}

// aimWide is aimFrom with a shorter lens.
func (s *scene) aimWide(target, dir v3, span float32) {
	s.aimFrom(target, dir, span)
	d := 1.1 * span
	s.f.cam = lookAt(target.add(dir.unit().mul(d)), target, v3{0, 0, 1}, span)
	s.l.focus = d
}

func (s *scene) habitatGround(c *chance) {
	g, f := s.g, s.f
	for i := range s.bodies {
		p := s.at[i]
		p.z = s.groundAt(p)
		if g.kind == "grass" {
			p.z += 8 // the turf is thin round the fruitbodies, so that they show
		}
		s.drawBody(i, shift(p), false)
	}
	if s.find.Substrate == "dung" {
		g.dung(f, 0, 40)
	}
	g.drawFloor(f, 0, false)
	clear := func(x, y float32) bool { return s.covered(x, y, 0.8) }
	near, far := float32(1100), float32(4000)
	if s.span < 700 {
		near, far = 700, 3000
	}
	s.strewAll(f.visible(0, near, 30), clear)
	if g.kind == "grass" || g.kind == "dung" {
		g.strewTufts(f, f.visible(0, far, 100), near)
	} else {
		g.strewLeaves(f, f.visible(0, far, 100), func(x, y float32) bool { return abs(x) < near && abs(y) < near })
	}
	s.drawTokens(nil)
	switch g.kind {
	case "grass", "dung":
		if c.yes(0.4) {
			g.trees(f, c, 3500)
		}
	default:
		g.trees(f, c, 0)
	}
}

// strewTufts sets coarse far-off grass beyond the finely drawn turf.
func (g *ground) strewTufts(f *frame, p patch, near float32) {
	g.strewGrass(f, p, 60, 0.0012, func(x, y float32) bool { return abs(x) < near && abs(y) < near })
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
	r := g.stumpRadius()
	s.placeBodies(func(i int) bool { return false })
	g.drawStump(f, r, 320, f.cam.f/s.l.focus)
	away := func(x, y float32) bool { x2, y2 := x, y-r*0.62; return x2*x2+y2*y2 < r*r }
	s.forestFloor(-320, 0.5, away)
	if g.mossy > 0.5 {
		below := *g
		below.strewMoss(f, f.visible(-320, 1100, 0), 0.004, away)
	}
	s.drawTokens(nil)
	g.trees(f, c, 500)
}

// habitatOnWood shows a trunk, log or branch with the find on it.
func (s *scene) habitatOnWood(c *chance) {
	g, f := s.g, s.f
	k := f.cam.f / s.l.focus
	r := g.logRadius()
	floor := -c.in(700, 1100)
	if s.lying() {
		floor = -r * 1.3
		m, at := s.logPose(r)
		g.drawTrunk(f, m, r, -2500, 2500, k*0.4)
		for i := range s.bodies {
			s.drawWallBody(i, at(i))
		}
	} else {
		g.drawTrunk(f, identity, r, floor-80, 2600, k*0.7)
		for i := range s.bodies {
			s.drawWallBody(i, s.wallSpot(i, r))
		}
	}
	if s.onWall() || g.wall {
		s.wallTokens(s.bodies[0], r)
	} else {
		s.drawTokens(nil)
	}
	s.forestFloor(floor, 0.6, func(x, y float32) bool { return false })
	g.trees(f, c, 900)
}

// lying says whether the wood lies on the ground.
func (s *scene) lying() bool {
	return s.find.Substrate == "dead_fallen" || s.find.Substrate == "dead_branch"
}

// dung lays a heap of horse droppings below the level of the find, round
// (x, y).
func (g *ground) dung(f *frame, x, y float32) {
	c := stream(g.find.Seed, "dung")
	for range 16 {
		a, d := c.in(0, 2*pi), 25+c.f()*85
		r := c.in(24, 40)
		at := v3{x + d*cos(a), y + d*sin(a), -r*0.45 - d*0.15}
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
