package paint

// drawTokens lays the find's marker objects; move shifts those that would lie
// under the specimen.
func (s *scene) drawTokens(move func(p v3) v3) {
	for _, t := range s.g.tokens {
		p := t.at
		if p.x*s.side > 0 { // the card's side stays free, card or no card
			p.x = -p.x
		}
		if move != nil {
			p = move(p)
		}
		p.z = s.groundAt(p) + s.cushioning()
		s.f.token(t, shift(p))
	}
}

// cushioning lifts things that lie on grass or moss.
func (s *scene) cushioning() float32 {
	switch s.g.kind {
	case "grass":
		return 16
	case "moss", "litter", "needles", "chips":
		return 7
	}
	return 3
}

// token draws one thing lying on the ground.
func (f *frame) token(t token, m xform) {
	m = turn(2, t.rot).then(m)
	sz := t.size
	switch t.kind {
	case "berry":
		f.berries(t, m, sz)
	case "pebble", "quartz":
		f.pebble(t, m, sz)
	case "acorn":
		f.acorn(t, m, sz)
	case "cone":
		f.coneToken(m, sz)
	case "shell":
		f.shellToken(m, sz, t.hue)
	case "feather":
		f.feather(t, m, sz)
	case "ivy", "greenleaf", "yellowleaf", "redleaf", "oakleaf":
		f.strayLeaf(t, m, sz)
	case "twig":
		f.twig(t, m, sz)
	case "mast":
		f.husk(t, m, sz)
	case "clover", "daisy":
		f.flowerToken(t, m)
	case "fern":
		f.fern(t, m, sz)
	case "barkbit":
		f.barkBit(t, m, sz)
	}
}

func (f *frame) berries(t token, m xform, sz float32) {
	ms := f.start(matWet)
	col := []v3{rgb(0xb01e1e), rgb(0x8a1030), rgb(0x2a2440), rgb(0xd0502a)}[int(t.hue*3.99)]
	for i := range 3 {
		a := float32(i) * 2.1
		lentil(ms, v3{7 * sz * cos(a), 7 * sz * sin(a), 3}, 4.6*sz, 4.4*sz, col.mul(0.9+0.1*float32(i)))
	}
	f.draw(ms, m, true)
}

func (f *frame) pebble(t token, m xform, sz float32) {
	col := []v3{rgb(0x8d8a86), rgb(0x6c6a70), rgb(0xa58d78), rgb(0x7a4f44)}[int(t.hue*3.99)]
	if t.kind == "quartz" {
		col = rgb(0xe6e2da)
	}
	ms := f.start(matSatin)
	ms.grid(30, 18, true, func(u, v float32) (v3, v3) {
		a, e := u*2*pi, (0.5-v)*pi
		k := 1 + 0.2*noise(u*4, v*4, uint32(t.hue*1e6))
		n := noise(u*30, v*20, 5)
		return v3{14 * sz * k * cos(e) * cos(a), 10 * sz * k * cos(e) * sin(a), 7 * sz * sin(e)}, col.mul(0.8 + 0.35*n)
	})
	f.draw(ms, m, true)
}

func (f *frame) acorn(t token, m xform, sz float32) {
	ms := f.start(matSatin)
	ms.grid(20, 14, true, func(u, v float32) (v3, v3) {
		a, e := u*2*pi, (0.5-v)*pi
		x := 13 * sz * sin(e)
		r := 7.5 * sz * cos(e)
		c := rgb(0x9a7a3a)
		if v < 0.38 {
			c, r = rgb(0x6e5a3c), r*1.12+0.3
		}
		return v3{x, r * cos(a), 5 + r*sin(a)}, c.mul(0.9 + 0.2*noise(u*20, v*3, 3))
	})
	f.draw(ms, m, true)
}

func (f *frame) feather(t token, m xform, sz float32) {
	ms := f.start(matLeaf)
	col := []v3{rgb(0x5a564f), rgb(0xd8d4ca), rgb(0x3c5a8a), rgb(0x8a6a4a)}[int(t.hue*3.99)]
	ms.grid(60, 8, false, func(x, v float32) (v3, v3) {
		y := 2*v - 1
		w := 8 * sz * sqrt(clamp(sin(pi*clamp(x*0.95, 0, 1)), 0, 1)) * smooth(0, 0.25, x)
		bar := 0.75 + 0.25*sin(x*40)
		if abs(y) < 0.15 {
			bar = 1.5
		}
		return v3{(x - 0.5) * 62 * sz, y*w + 6*x*x, 2 + 2*y*y + 4*x}, col.mul(bar)
	})
	f.draw(ms, m, true)
}

func (f *frame) strayLeaf(t token, m xform, sz float32) {
	kind, col := "beech", rgb(0x5f8a3a)
	switch t.kind {
	case "ivy":
		kind, col = "ivy", rgb(0x2f5a2c)
	case "yellowleaf":
		kind, col = "lime", rgb(0xdcb932)
	case "redleaf":
		kind, col = "birch", rgb(0xa83a24)
	case "oakleaf":
		kind, col = "oak", rgb(0xb07c38)
	}
	f.leafTinted(shift(v3{0, 0, 2}).then(m), leafSpec{kind: kind, size: 46 * sz, hue: t.hue, curl: 0.3}, col.mul(0.8+0.4*t.hue), true)
}

func (f *frame) twig(t token, m xform, sz float32) {
	ms := f.start(matWood)
	col := rgb(0x5e4c3c).mix(rgb(0xb9b8a8), t.hue*0.8)
	twig := func(a, b v3, r float32) {
		ms.tube(10, 7, func(q float32) (v3, float32) {
			return a.mix(b, q).add(v3{0, 3 * sin(q*5+t.hue*9), 2}), r * (1 - 0.4*q)
		}, func(q, u float32) (v3, float32) { return col.mul(0.75 + 0.5*noise(q*14, u*6, 3)), 0 })
	}
	twig(v3{-36 * sz, 0, 2}, v3{36 * sz, 4, 4}, 3.2*sz)
	twig(v3{0, 0, 3}, v3{30 * sz, 24 * sz, 6}, 2.2*sz)
	f.draw(ms, m, true)
}

func (f *frame) husk(t token, m xform, sz float32) {
	for i := range 4 {
		lf := turn(1, -0.7).then(shift(v3{9 * sz, 0, 5})).then(turn(2, float32(i)*pi/2)).then(m)
		f.leafTinted(lf, leafSpec{kind: "beech", size: 20 * sz, hue: 0.1, curl: 0.8}, rgb(0x7a5230), true)
	}
}

func (f *frame) fern(t token, m xform, sz float32) {
	for i := range 11 {
		x := float32(i-5) * 8 * sz
		l := (30 - 2.2*float32(i)) * sz
		for _, sg := range [2]float32{1, -1} {
			lf := shift(v3{l / 2, 0, 0}).then(turn(2, sg*1.2)).then(shift(v3{x, 0, 6})).then(m)
			f.leafTinted(lf, leafSpec{kind: "willow", size: l, lod: 1, hue: t.hue}, rgb(0x8a6a2e).mix(rgb(0x5d8a34), smooth(0.3, 0.6, t.hue)), true)
		}
	}
}

func (f *frame) barkBit(t token, m xform, sz float32) {
	ms := f.start(matWood)
	ms.grid(24, 16, false, func(u, v float32) (v3, v3) {
		n := noise(u*9, v*3, uint32(t.hue*1e6))
		e := 0.15 * noise(u*5, 0, 9)
		return v3{(u - 0.5) * 44 * sz, (v-0.5)*26*sz*(1+e) + 4*e, 3 + 7*sin(v*pi) + 2*n}, rgb(0x6a5844).mul(0.6 + 0.7*n)
	})
	f.draw(ms, m, true)
}

func (f *frame) coneToken(m xform, sz float32) {
	ms := f.start(matWood)
	for i := range 70 {
		t := float32(i) / 70
		a := float32(i) * 2.39996
		r := 11 * sz * sin(pi*(0.12+0.8*t))
		x := (t - 0.5) * 46 * sz
		d := v3{0.35, cos(a), sin(a)}.unit()
		c := v3{x, 0, 9 * sz}
		n := int32(len(ms.p))
		tip := c.add(d.mul(r))
		s := d.cross(v3{1, 0, 0}).unit().mul(4.5 * sz)
		ms.p = append(ms.p, c.add(s.mul(0.4)), c.sub(s.mul(0.4)), tip.add(s), tip.sub(s), tip.add(v3{3 * sz, 0, 0}))
		for k := range 5 {
			ms.n = append(ms.n, d)
			ms.c = append(ms.c, rgb(0x6e4c30).mul([5]float32{0.4, 0.4, 0.9, 0.9, 1.4}[k]))
		}
		ms.idx = append(ms.idx, n, n+1, n+3, n, n+3, n+2, n+2, n+3, n+4)
	}
	f.draw(ms, m, true)
}

func (f *frame) shellToken(m xform, sz, hue float32) {
	ms := f.start(matSatin)
	col := rgb(0xd9b45a).mix(rgb(0x8a5a3a), hue)
	ms.tube(90, 10, func(t float32) (v3, float32) {
		a := t * 13
		r := 9 * sz * (1 - 0.85*t)
		return v3{r * cos(a), r * sin(a), 4*sz + 9*sz*t}, 4.4 * sz * (1.05 - 0.9*t)
	}, func(t, a float32) (v3, float32) {
		k := float32(1)
		if a > 0.55 && a < 0.75 {
			k = 0.45
		}
		return col.mul(k), 0
	})
	f.draw(ms, m, true)
}

func (f *frame) flowerToken(t token, m xform) {
	n, l, col, kind := 3, 16*t.size, rgb(0x4f8a34), "lime"
	if t.kind == "daisy" {
		n, l, col, kind = 14, 11*t.size, rgb(0xf2f0ea), "willow"
	}
	for i := range n {
		lf := shift(v3{l * 0.6, 0, 0}).then(turn(1, -0.2)).then(turn(2, 2*pi*float32(i)/float32(n))).then(shift(v3{0, 0, 8})).then(m)
		f.leafTinted(lf, leafSpec{kind: kind, size: l, hue: t.hue, curl: 0.1, lod: 1}, col, true)
	}
	if t.kind == "daisy" {
		ms := f.start(matMatt)
		lentil(ms, v3{0, 0, 8.5}, 4.2*t.size, 2, rgb(0xe8b820))
		f.draw(ms, m, true)
	}
}

// crumbs sticks soil to the foot of a dug-out body.
func (s *scene) crumbs(b *individual, m xform) {
	c := stream(s.find.Seed, "crumbs")
	r := b.stemR * 1.15
	if b.kind != agaric {
		r = b.r * 0.5
	}
	ms := s.f.start(matGround)
	for range 70 {
		a, z := c.in(0, 2*pi), c.in(-0.8, 0.9)*c.f()*b.stemR*1.6-0.3*b.stemR
		rr := r * (1 + 0.3*c.sym(1)) * (1 + 0.5*b.bulb)
		sz := c.in(0.6, 2.6) * clamp(b.stemR/6, 0.5, 1.6)
		lentil(ms, v3{rr * cos(a), rr * sin(a), z}, sz, sz*0.8, s.g.soil.mul(c.in(0.4, 1)))
	}
	s.f.draw(ms, m, true)
	// Threads.
	ms = s.f.start(matMatt)
	for range 16 {
		a := c.in(0, 2*pi)
		p := v3{r * 0.6 * cos(a), r * 0.6 * sin(a), -0.5 * b.stemR}
		q := p.add(v3{c.sym(1), c.sym(1), -c.in(0.4, 1)}.mul(b.stemR * 1.4))
		ms.blade([]v3{p, p.mix(q, 0.5).add(v3{c.sym(2), c.sym(2), 0}), q}, v3{1, 0, 0}, 0.9, rgb(0xe8e2d4), rgb(0xe8e2d4))
	}
	s.f.draw(ms, m, false)
}
