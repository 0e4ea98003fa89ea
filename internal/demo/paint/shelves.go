package paint

// Bodies that jut out of an upright surface: the wall is local y = 0 and they
// grow towards -y, z up.

// shelfShape holds what a bracket's surfaces need.
type shelfShape struct {
	proj   float32 // depth from the wall over half the width
	hoof   float32 // 0 thin fan, 1 hoof
	tongue float32
}

func (b *individual) shelfShape() shelfShape {
	c := stream(uint64(b.seed), "shelf")
	s := shelfShape{proj: c.in(0.85, 1.2)}
	s.hoof = clamp(b.h/(2*b.r)*1.6-0.15, 0, 1)
	if contains(b.find.ColourWords, "red") {
		s.tongue = 1
	}
	return s
}

// shelfPoint is a point of the upper (top) or lower surface; q 0 at the wall's
// middle to 1 at the rim, a 0..pi round the front.
func (b *individual) shelfPoint(s shelfShape, q, a float32, top bool) v3 {
	o := lerp(1, b.outline(a), q)
	x := b.r * q * o * cos(a)
	if abs(x) > b.r {
		x = b.r * x / abs(x)
	}
	y := -b.r * s.proj * q * o * sin(a)
	thick := b.h
	if s.hoof > 0.3 {
		if top {
			return v3{x, y, thick * (0.62 - 0.62*pow(q, 2.4) - 0.1)}
		}
		return v3{x, y, -thick * 0.42 * (1 - 0.9*pow(q, 6)) * (1 - 0.25*q)}
	}
	wavy := b.r * (b.wave*1.6*sin(b.waveK*a+b.zonePh)*q*q + 0.12*q*q*sin(a))
	if top {
		return v3{x, y, wavy + 0.5*thick*(1-pow(q, 3))}
	}
	return v3{x, y, wavy - 0.5*thick*(1-pow(q, 4)) - 0.1}
}

func (b *individual) shelfColour(q, a float32, p v3) (v3, float32) {
	x, y := p.x/b.r, p.y/b.r
	bump := float32(0)
	c := b.col
	if b.zones > 0 {
		w := q + 0.05*(noise(a*3, q*4, b.seed)-0.5) + 0.02*(noise(a*14, q*3, b.seed+1)-0.5)
		z := noise(w*b.zones*2.4+b.zonePh*3, 0.5, b.seed)
		pal := b.zonePalette()
		t := clamp(z, 0, 0.999) * float32(len(pal)-1)
		c = pal[int(t)].mix(pal[int(t)+1], smooth(0.3, 0.7, t-floor(t)))
		bump = 0.03 * b.r * (z - 0.5)
		if q > 0.93 {
			c = c.mix(rgb(0xe6dcc6), 0.7*smooth(0.92, 0.97, q))
		}
	} else {
		c = c.mul(0.75 + 0.5*fbm(x*5, y*5+3, 3, b.seed+2))
		bump = 0.02 * b.r * (noise(x*24, y*24, b.seed+4) - 0.5)
	}
	c = c.mul(0.85 + 0.3*fbm(x*6, y*6+8, 3, b.seed+3))
	for i := range b.blots {
		t := b.blot[i]
		dx, dy := x-t.x, y+abs(t.y)
		if d := (dx*dx + dy*dy) / (t.z * t.z); d < 1 {
			c = c.mul(lerp(b.blotTint, 1, d*d))
		}
	}
	for i := range b.bites {
		t := b.bite[i]
		dx, dy := x-t.x, y+abs(t.y)
		if d := sqrt(dx*dx+dy*dy)/t.z + 0.3*noise(x*20, y*20, b.seed); d < 1 {
			c = c.mix(b.flesh.mul(0.8), 0.8)
			bump -= 0.03 * b.r
		}
	}
	return c.mul(b.tone), bump
}

func (b *individual) zonePalette() []v3 {
	if contains(b.find.ColourWords, "blue") {
		h := hashF(3, 9, uint32(b.find.Seed))
		return []v3{b.col.mul(0.55), rgb(0x6a5138), b.col, rgb(0x5c6470).mix(rgb(0x8a7350), h),
			b.col.mul(1.3), rgb(0xb99a6c), rgb(0x4a3a2e)}
	}
	return []v3{b.col.mul(0.6), b.col, b.col.mul(1.25), b.col.mix(rgb(0x8a6a48), 0.5), b.col.mul(1.1)}
}

func (b *individual) drawShelf(f *frame, m xform, k float32, bits uint8, half bool) {
	s := b.shelfShape()
	a0 := float32(0)
	span := pi
	if half { // cut through the middle, across the wall: keep the right part
		span = pi / 2
	}
	na, nq := detail(3.2*b.r, k, 2.6, 30, 520), detail(b.r*s.proj*1.2, k, 2.6, 12, 300)
	mat := matMatt
	if s.tongue > 0 {
		mat = matWet
	}
	ms := f.start(mat | bits | capBit)
	ms.grid(na, nq, false, func(u, v float32) (v3, v3) {
		a, q := a0+u*span, 1-v
		p := b.shelfPoint(s, q, a, true)
		c, bump := b.shelfColour(q, a, p)
		p.z += bump
		return p, c
	})
	f.draw(ms, m, true)
	under := rgb(0xd9cfba).mix(b.flesh, 0.3)
	if s.hoof > 0.3 {
		under = rgb(0xa08a6c)
	}
	if s.tongue > 0 {
		under = rgb(0xdcb98a)
	}
	under = under.mul(0.85 + 0.3*hashF(5, 5, b.seed))
	fr := clamp(8/sqrt(b.r), 0.8, 2)
	ms = f.start(matMatt | bits)
	nq = detail(b.r*s.proj*1.2, k, 2.2, 12, 340)
	ms.grid(na, nq, false, func(u, q float32) (v3, v3) {
		a := a0 + u*span
		p := b.shelfPoint(s, 1-q, a, false)
		d, e, _ := cells(p.x*fr, p.y*fr, b.seed+51)
		hole := smooth(0.06, 0.35, e-d) * smooth(0, 0.05, q)
		if b.under == "gills" {
			t := a * float32(b.gills) * 0.4
			hole = smooth(0.1, 1, abs(t-floor(t)-0.5)*2) * smooth(0, 0.06, q)
		}
		c := under.mul(1.06 - 0.4*hole).mul(0.86 + 0.28*fbm(p.x/b.r*3, p.y/b.r*3, 3, b.seed+52))
		if q < 0.05 {
			c = rgb(0xe8dfca).mix(b.col, 0.3)
		}
		return p.add(v3{0, 0, hole * 0.4}), c
	})
	f.draw(ms, m, true)
	if half {
		b.shelfCut(f, m, s, bits)
	}
}

// shelfCut fills the cut through the middle (local x = 0).
func (b *individual) shelfCut(f *frame, m xform, s shelfShape, bits uint8) {
	ms := f.start(matMatt | bits)
	ms.grid(120, 50, false, func(u, v float32) (v3, v3) {
		t := b.shelfPoint(s, u, pi/2, true)
		l := b.shelfPoint(s, u, pi/2, false)
		p := v3{-0.05, t.y, lerp(l.z, t.z, v)}
		c := b.flesh.mix(b.col, 0.25)
		if s.hoof > 0.3 {
			c = rgb(0x9c6f42)
			if v < 0.55 { // yearly layers of tubes
				c = rgb(0x8a5f3a).mul(0.8 + 0.3*sin(v*60)*0.5)
			}
		}
		if s.tongue > 0 {
			c = rgb(0xa83a36).mix(rgb(0xe0a79a), 0.6*smooth(0.4, 0.7, noise(u*14, v*4, b.seed)))
		}
		if v < 0.22 && s.hoof <= 0.3 {
			c = rgb(0xd8c39a).mul(0.85 + 0.2*noise(u*90, 1, b.seed))
		}
		if v > 0.93 {
			c = b.col.mul(0.7)
		}
		return p, c.mul(0.92 + 0.16*noise(u*20, v*20, b.seed+53))
	})
	f.draw(ms, m, true)
}

// drawEar draws a jelly ear: a thin, folded, hanging cup.
func (b *individual) drawEar(f *frame, m xform, k float32, bits uint8, half bool) {
	c := stream(uint64(b.seed), "ear")
	na, nq := detail(6.3*b.r, k, 3, 30, 420), detail(b.r*1.4, k, 3, 12, 200)
	depth, fold := c.in(0.35, 0.6), c.in(0.03, 0.09)
	droop := c.in(0.2, 0.7)
	inside := b.col.mul(0.85)
	outside := b.col.mix(rgb(0x8f7c70), 0.35)
	span := 2 * pi
	if half {
		span = pi
	}
	for side := range 2 {
		ms := f.start(matJelly | bits | capBit)
		ms.grid(na, nq, !half, func(u, v float32) (v3, v3) {
			q := v
			if side == 0 {
				q = 1 - v
			}
			a := u * span
			o := b.outline(a)
			r := b.r * q * lerp(1, o, q)
			x, z := r*cos(a), r*sin(a)*0.9
			dish := b.r * depth * (1 - q*q)
			vein := fold * b.r * (fbm(x/b.r*3+5, z/b.r*3, 3, b.seed+97) - 0.5) * 3
			wv := b.r * q * q * b.wave * 2 * sin(b.waveK*a+b.zonePh)
			y := -b.h*0.75 - wv + dish*0.9 + vein
			y -= droop * 0.3 * (z + b.r*0.5)
			col := inside
			if side == 1 {
				y += b.r*0.06*smooth(1, 0.85, q) + 0.2
				col = outside.mul(0.85 + 0.3*noise(x, z, b.seed+99))
			}
			col = col.mul(0.8 + 0.4*fbm(x/b.r*4, z/b.r*4+4, 3, b.seed+98))
			if q > 0.94 {
				col = col.mul(1.2)
			}
			return v3{x, min(y, -0.5), z}, col.mul(b.tone)
		})
		f.draw(ms, m, true)
	}
}

// drawIcicles draws a lump with hanging spines.
func (b *individual) drawIcicles(f *frame, m xform, k float32, bits uint8, half bool) {
	c := stream(uint64(b.seed), "icicles")
	ms := f.start(matMatt | bits | capBit)
	base := b.col
	depth := b.r * 0.75
	ms.grid(80, 50, true, func(u, v float32) (v3, v3) {
		a, e := u*2*pi, (0.5-v)*pi
		o := lerp(1, b.outline(a), 0.6)
		p := v3{b.r * 0.92 * cos(e) * cos(a) * o, -depth*0.4 + depth*0.75*cos(e)*sin(a)*o, b.h * 0.62 * (0.62 + 0.5*sin(e)*0.72)}
		n := fbm(p.x*0.05+8, p.z*0.05+p.y*0.05, 3, b.seed+101)
		return p.add(v3{0, 0, 9 * (n - 0.5)}), base.mul(0.8 + 0.3*n)
	})
	n := int(clamp(b.r*b.h*0.07, 320, 1100))
	for range n {
		a, e := c.in(-pi, 0.1), c.in(-0.9, 0.75)
		o := lerp(1, b.outline(a), 0.6) * 0.97
		at := v3{b.r * 0.92 * cos(e) * cos(a) * o, -depth*0.4 + depth*0.75*cos(e)*sin(a)*o, b.h * 0.62 * (0.62 + 0.5*sin(e)*0.72)}
		l := b.h * c.in(0.12, 0.26) * (1.1 - 0.75*smooth(-0.3, 0.8, e))
		l = min(l, at.z)
		out := v3{at.x * 0.08, (at.y + depth*0.4) * 0.22, 0}
		tint := b.col.mul(c.in(1.15, 1.4)).mix(rgb(0xd9b77a), 0.3*b.fade)
		cone(ms, at, at.add(out).sub(v3{0, 0, l}), clamp(b.r*0.03, 1.2, 4.5), 6, tint.mul(0.9), tint)
	}
	f.draw(ms, m, true)
	if half {
		ms = f.start(matMatt | bits)
		ms.grid(40, 40, true, func(u, v float32) (v3, v3) {
			a := u * 2 * pi
			p := v3{b.r * 0.7 * v * cos(a), -depth * 1.3, b.h*0.55 + b.h*0.28*v*sin(a)}
			return p, b.flesh.mul(0.9 + 0.15*noise(p.x*0.15, p.z*0.15, b.seed))
		})
		f.draw(ms, m, false)
	}
}
