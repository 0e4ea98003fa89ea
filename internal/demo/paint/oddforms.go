package paint

func (b *individual) drawStinkhorn(f *frame, m xform, k float32, bits uint8, half bool) {
	head := b.h * 0.24
	na := detail(6.3*b.r, k, 3, 24, 300)
	stemW := b.r * 0.62
	if b.find.Ripeness == "button" {
		b.drawEgg(f, m, k, bits, half)
		return
	}
	at := func(z float32) v3 { t := z / b.h; return v3{b.lean.x * t * t * 0.6, b.lean.y * t * t * 0.6, z} }
	ms := f.start(matMatt | bits)
	span := float32(1)
	if half {
		span = 0.5
	}
	ms.grid(na, detail(b.h, k, 3, 30, 260), !half, func(u, v float32) (v3, v3) {
		z := v * (b.h - head*0.35)
		a := u * 2 * pi * span
		d, _, _ := cells(u*span*16, v*b.h*0.3, b.seed+111)
		pit := smooth(0.5, 0.15, d)
		r := stemW*(0.8+0.35*sin(pi*clamp(v*0.85+0.1, 0, 1))) - pit*0.6
		return at(z).add(v3{r * cos(a), r * sin(a), 0}), b.col.mix(rgb(0xf4efe2), 0.6).mul(1 - 0.3*pit)
	})
	ms.grid(na, 30, !half, func(u, v float32) (v3, v3) { // the egg's skin round the foot
		a := u * 2 * pi * span
		fl := noise(u*9, 1, b.seed+112)
		r := b.r * (0.35 + 0.68*sqrt(clamp(v*3, 0, 1)))
		return v3{r * cos(a), r * sin(a), -b.r*0.6 + v*b.r*(1.3+0.6*fl)}, rgb(0xe8dfcb).mul(0.85 + 0.2*noise(u*20, v*6, b.seed))
	})
	f.draw(ms, m, true)
	slime := rgb(0x4d5130).mul(0.8 + 0.5*hashF(2, 2, b.seed))
	bare := smooth(0.5, 1, map[string]float32{"mature": 0.55, "old": 1}[b.find.Ripeness])
	ms = f.start(matWet | bits | capBit)
	ms.grid(na, detail(head*1.3, k, 2.6, 20, 160), !half, func(u, v float32) (v3, v3) {
		a := u * 2 * pi * span
		o := lerp(1, b.outline(a), 0.6)
		r := b.r * (0.2 + 0.8*pow(v, 0.7)) * o
		d, s, _ := cells(u*span*13, v*6, b.seed+113)
		pit := smooth(0.05, 0.4, s-d)
		if v < 0.08 {
			r = b.r * (0.05 + 0.15*v/0.08)
		}
		c := slime.mix(rgb(0xe5ddc8), bare*(1-pit)*0.9).mul(1 - 0.25*pit)
		p := at(b.h - head*v)
		return p.add(v3{(r - pit*1.2) * cos(a), (r - pit*1.2) * sin(a), 0}), c
	})
	f.draw(ms, m, true)
	if half {
		ms = f.start(matMatt | bits)
		ms.grid(40, 90, false, func(u, v float32) (v3, v3) {
			x, z := 2*u-1, v*(b.h-head*0.1)
			r := stemW * (0.8 + 0.35*sin(pi*clamp(v*0.85+0.1, 0, 1)))
			c := rgb(0xf0ebdc)
			if abs(x) < 0.5 {
				c = rgb(0x9a917e)
			}
			return at(z).add(v3{x * r, -0.3 - at(z).y, 0}), c.mul(0.85 + 0.25*noise(x*9, v*40, b.seed))
		})
		f.draw(ms, m, false)
	}
}

func (b *individual) drawEgg(f *frame, m xform, k float32, bits uint8, half bool) {
	na := detail(6.3*b.r, k, 3, 24, 300)
	prof := func(t float32) (float32, float32) {
		return b.r * 1.0 * sin(pi*clamp(t, 0.01, 0.99)), b.r*1.1 + b.r*1.15*cos(pi*t)
	}
	ms := f.start(matSatin | bits | capBit)
	b.revolve(ms, na, 80, half, prof, func(t, u float32, p v3) (v3, float32) {
		c := rgb(0xe6dcc8).mul(0.85 + 0.25*fbm(u*9, t*5, 3, b.seed))
		return c, 0.04 * b.r * (noise(u*8, t*6, b.seed+1) - 0.5)
	})
	if half {
		b.cutFace(ms, 60, prof, func(x, t float32) v3 {
			r := sqrt(x*x + (t-0.5)*(t-0.5)*4)
			switch {
			case r > 0.9:
				return rgb(0xeee6d6)
			case r > 0.62:
				return rgb(0xb3a36a)
			case r > 0.4:
				return rgb(0x4f5434)
			}
			return rgb(0xf1ecdf)
		})
	}
	f.draw(ms, m, true)
}

// drawNail draws a pale dotted disc on a short stalk.
func (b *individual) drawNail(f *frame, m xform, k float32, bits uint8, half bool) {
	na, nq := detail(6.3*b.r, k, 2, 30, 300), detail(b.r, k, 2, 12, 90)
	ms := f.start(matMatt | bits | capBit)
	span := 2 * pi
	if half {
		span = pi
	}
	ms.grid(na, nq, !half, func(u, v float32) (v3, v3) {
		a, q := u*span, 1-v
		o := lerp(1, b.outline(a), q)
		x, y := q*o*cos(a), q*o*sin(a)
		d, _, id := cells(x*4.2+9, y*4.2, b.seed+121)
		c := b.col.mul(0.9 + 0.15*noise(x*6, y*6, b.seed))
		if d < 0.13+0.08*id && q < 0.93 {
			c = rgb(0x191717)
		}
		if q > 0.96 {
			c = rgb(0x3a3430)
		}
		return v3{x * b.r, y * b.r, b.h + b.r*0.12*(1-q*q) - b.r*0.06*smooth(0.9, 1, q)}, c
	})
	ms.grid(na, 20, !half, func(u, v float32) (v3, v3) {
		a := u * span
		r := b.r * lerp(lerp(1, b.outline(a), 1), 0.3, smooth(0, 0.55, v))
		return v3{r * cos(a), r * sin(a), b.h * (0.97 - 1.05*v)}, rgb(0x2e2925).mix(b.col, 0.25*(1-v))
	})
	f.draw(ms, m, true)
}

// drawRosette draws a leafy lichen: overlapping forked lobes from a centre.
func (b *individual) drawRosette(f *frame, m xform, k float32, bits uint8) {
	c := stream(uint64(b.seed), "lobes")
	ms := f.start(matMatt | bits | capBit)
	n := 15 + c.n(8)
	broad := c.in(0.85, 1.25)
	powder := c.in(0.1, 0.6)
	rim := b.col.mix(rgb(0x7a6a50), 0.3*c.f())
	lobe := func(a, from, to, w, bend, z float32) {
		long := (to - from) / (1.3 * w)
		nt, nw := detail(b.r*(to-from), k, 3, 16, 60), detail(b.r*w*2, k, 3, 6, 24)
		ms.grid(nt, nw, false, func(u, v float32) (v3, v3) {
			t := 1 - (1-u)*(1-u) // close steps at the round end
			y := 2*v - 1
			q := lerp(from, to, t)
			aa := a + bend*t*t
			wid := w * (0.55 + 0.75*t) * (1 + 0.16*sin(t*9+z*9)) * roundEnd((1-t)*long)
			rad := b.r * q * (1 - 0.10*y*y*t)
			p := v3{rad*cos(aa) - y*wid*b.r*sin(aa), rad*sin(aa) + y*wid*b.r*cos(aa), 0}
			net := abs(noise(p.x*0.55+z*7, p.y*0.55, b.seed+131) - 0.5)
			p.z = 0.6 + z + min(b.h, 3)*(0.2*(1-y*y)+0.15*t*t*c2(z))
			col := b.col.mul(0.8 + 0.3*noise(p.x*0.25, p.y*0.25, b.seed+132))
			col = col.mix(rgb(0xe4e6e0), 0.55*smooth(0.09, 0.02, net)*smooth(0.1, 0.5, powder+0.3-0.3*t))
			col = col.mix(rgb(0xd9dcd2), powder*0.7*smooth(0.55, 0.1, q)*noise(p.x, p.y, b.seed))
			col = col.mix(rim, smooth(0.8, 1, t)).mul(1 - 0.25*smooth(0.6, 1, abs(y)))
			return p, col
		})
	}
	for ring := range 3 {
		to := [3]float32{0.99, 0.72, 0.45}[ring]
		from := [3]float32{0.25, 0.1, 0}[ring]
		for i := range n {
			a := 2*pi*(float32(i)+0.5*float32(ring))/float32(n) + c.sym(0.15)
			t := to * lerp(1, b.outline(a), 1) * c.in(0.82, 1)
			w, bend := broad*c.in(0.10, 0.16), c.sym(0.25)
			z := min(b.h, 4) * (0.15*float32(ring) + 0.2*c.f())
			lobe(a, from, t, w, bend, z)
			if ring == 0 {
				lobe(a+c.in(0.06, 0.16), t*0.55, t*c.in(0.9, 1), w*0.7, c.sym(0.4), z+0.3)
			}
		}
	}
	// The greatest width is made exact.
	var far float32
	for _, p := range ms.p {
		far = max(far, p.x*p.x+p.y*p.y)
	}
	s := b.r / sqrt(far)
	for i, p := range ms.p {
		ms.p[i] = v3{p.x * s, p.y * s, p.z}
	}
	f.draw(ms, m, true)
}

// roundEnd is the half width of a strip that ends in a half circle, x being
// the distance from its end in half widths.
func roundEnd(x float32) float32 {
	x = 1 - clamp(x, 0.01, 1)
	return sqrt(1 - x*x)
}

func c2(z float32) float32 { return 0.5 + 0.5*sin(z*23) }

// drawCushion draws a slime mould's cushion.
func (b *individual) drawCushion(f *frame, m xform, k float32, bits uint8, half bool) {
	na, nt := detail(6.3*b.r, k, 2.6, 20, 260), detail(b.r*2, k, 2.6, 12, 140)
	prof := func(t float32) (float32, float32) {
		a := t * pi * 0.98
		return b.r * sin(max(a, 0.02)), max(b.h*0.45+b.h*0.55*cos(a), 0)
	}
	col := b.col
	switch b.find.Ripeness {
	case "old", "rotten":
		col = col.mix(rgb(0x7d7066), 0.7)
	case "button":
		col = col.mul(1.1)
	}
	ms := f.start(matSatin | bits | capBit)
	b.revolve(ms, na, nt, half, prof, func(t, u float32, p v3) (v3, float32) {
		d, _, id := cells(p.x/b.r*7+20, (p.y+p.z)/b.r*7, b.seed+141)
		k := 1 - smooth(0.1, 0.4, d)
		c := col.mul(0.85 + 0.3*fbm(p.x/b.r*2+3, p.z/b.r*2+p.y/b.r, 3, b.seed+142)).mul(1 - 0.25*k*id)
		for i := range b.blots {
			bl := b.blot[i]
			dx, dy := p.x/b.r-bl.x, p.y/b.r-bl.y
			if e := (dx*dx + dy*dy) / (bl.z * bl.z); e < 1 {
				c = c.mul(lerp(b.blotTint, 1, e*e))
			}
		}
		return c, k * 0.02 * b.r
	})
	if half {
		in := rgb(0xe58a86)
		if b.find.Ripeness == "old" || b.find.Ripeness == "mature" {
			in = rgb(0x9a8a80)
		}
		b.cutFace(ms, 50, prof, func(x, t float32) v3 {
			if abs(x) > 0.93 || t < 0.04 {
				return col
			}
			return in.mul(0.9 + 0.2*noise(x*8, t*8, b.seed))
		})
	}
	f.draw(ms, m, true)
}
