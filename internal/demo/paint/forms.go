package paint

// length is the body's extent along its own axis, mm.
func (b *individual) length() float32 {
	switch b.kind {
	case agaric:
		return b.stemL + b.h
	case rosetteLeaf:
		return 2 * b.r
	}
	return b.h
}

// draw draws the body moved by m at k px/mm; half draws it cut lengthwise with
// the cut in local y = 0, seen from -y.
func (b *individual) draw(f *frame, m xform, k float32, half bool) {
	bits := uint8(0)
	if b.hero {
		bits = heroBit
	}
	switch b.kind {
	case agaric:
		if half {
			b.drawCutAgaric(f, m, k)
		} else {
			b.drawAgaric(f, m, k, false)
		}
	case shelf:
		b.drawShelf(f, m, k, bits, half)
	case ball:
		b.drawBall(f, m, k, bits, half)
	case coralTuft:
		b.drawCoral(f, m, k, bits)
	case clubs, stroma:
		b.drawFingers(f, m, k, bits, half)
	case cupDisc, nest:
		b.drawCup(f, m, k, bits, half)
	case earFan:
		b.drawEar(f, m, k, bits, half)
	case stinker:
		b.drawStinkhorn(f, m, k, bits, half)
	case icicles:
		b.drawIcicles(f, m, k, bits, half)
	case nailDisc:
		b.drawNail(f, m, k, bits, half)
	case rosetteLeaf:
		b.drawRosette(f, m, k, bits)
	case cushion:
		b.drawCushion(f, m, k, bits, half)
	}
}

// revolve adds a body given by its profile: fn(t) gives radius and height,
// bump and tint the surface at (t, angle share u).
func (b *individual) revolve(ms *mesh, na, nt int, half bool, prof func(t float32) (r, z float32), skin func(t, u float32, p v3) (v3, float32)) {
	span := 2 * pi
	if half {
		span = pi
	}
	ms.grid(na, nt, !half, func(u, v float32) (v3, v3) {
		t := v
		r, z := prof(t)
		a := u * span
		o := lerp(1, b.outline(a), 0.8)
		p := v3{r * cos(a) * o, r * sin(a) * o, z}
		c, bump := skin(t, u*span/(2*pi), p)
		d := v3{cos(a), sin(a), 0.4}.unit()
		return p.add(d.mul(bump)), c
	})
}

// cutFace fills the profile in the plane y = 0 with a colour from fn(x, z in
// 0..1 over width and height).
func (b *individual) cutFace(ms *mesh, nt int, prof func(t float32) (r, z float32), fn func(x, t float32) v3) {
	ms.grid(60, nt, false, func(u, t float32) (v3, v3) {
		r, z := prof(1 - t)
		x := 2*u - 1
		o := b.outline(0)
		if x < 0 {
			o = b.outline(pi)
		}
		return v3{x * r * lerp(1, o, 0.8), -0.05, z}, fn(x, 1-t)
	})
}

func (b *individual) drawBall(f *frame, m xform, k float32, bits uint8, half bool) {
	na, nt := detail(6.3*b.r, k, 2.6, 24, 500), detail(b.h*1.4, k, 2.6, 16, 300)
	neck := 0.45 + 0.3*hashF(1, 1, b.seed)
	prof := func(t float32) (float32, float32) { // t 0 top .. 1 foot
		hc := b.h - b.r*0.95
		if t < 0.62 {
			a := t / 0.62 * (pi * 0.56)
			return b.r * sin(a), hc + b.r*0.95*cos(a)
		}
		s := (t - 0.62) / 0.38
		_, z0 := b.r*0.98, hc+b.r*0.95*cos(pi*0.56)
		return b.r * lerp(0.985, neck, smooth(0, 0.8, s)), lerp(z0, 0, s)
	}
	old := b.find.Ripeness == "old" || b.find.Ripeness == "rotten"
	base := b.col
	if old {
		base = base.mix(rgb(0x8a6a48), 0.6)
	}
	ms := f.start(matMatt | bits | capBit)
	b.revolve(ms, na, nt, half, prof, func(t, u float32, p v3) (v3, float32) {
		fr := float32(7.5)
		d, _, id := cells(u*6.28*fr*0.9, t*fr*2.3, b.seed+81)
		sp := (1 - smooth(0.05, 0.5, d)) * smooth(0.85, 0.5, t)
		n := fbm(p.x/b.r*2+4, p.z/b.r*2+p.y/b.r, 3, b.seed+82)
		c := base.mul(0.8+0.35*n).mix(base.mul(0.62), 0.6*(1-sp)*smooth(0.9, 0.3, t)*0.6)
		c = c.mix(rgb(0x9a7c58), 0.5*smooth(0.3, 0.0, t)*b.fade+0.3*smooth(0.8, 1, t))
		for i := range b.blots {
			bl := b.blot[i]
			dx, dy := p.x/b.r-bl.x, p.y/b.r-bl.y
			if e := (dx*dx + dy*dy) / (bl.z * bl.z * 0.6); e < 1 {
				c = c.mul(lerp(b.blotTint, 1, e*e))
			}
		}
		bump := sp * b.r * 0.035 * (0.5 + id)
		if hole := t * 10; old && hole < 0.9+0.3*noise(u*20, 1, b.seed) {
			c, bump = rgb(0x3a2c1e), -0.1*b.r
		}
		return c.mul(b.tone), bump
	})
	if half {
		ripe := b.find.Ripeness
		b.cutFace(ms, 90, prof, func(x, t float32) v3 {
			in := rgb(0xf2eee2)
			if ripe == "mature" {
				in = rgb(0xb9b26a)
			} else if old {
				in = rgb(0x6f6236)
			}
			if t > 0.66 {
				in = rgb(0xe2dac6).mul(0.8 + 0.3*noise(x*14, t*40, b.seed))
			}
			if abs(x) > 0.94 || t < 0.03 {
				in = rgb(0xf4f0e6)
			}
			return in.mul(0.93 + 0.14*noise(x*9, t*20, b.seed+83))
		})
	}
	f.draw(ms, m, true)
}

func (b *individual) drawCoral(f *frame, m xform, k float32, bits uint8) {
	c := stream(uint64(b.seed), "coral")
	ms := f.start(matSatin | bits | capBit)
	na := detail(b.r*0.5, k, 4, 5, 14)
	var grow func(p, dir v3, len, r float32, depth int)
	tip := b.col.mix(rgb(0xf4e3a0), 0.35)
	foot := b.flesh.mix(b.col, 0.5)
	grow = func(p, dir v3, ln, r float32, depth int) {
		end := p.add(dir.mul(ln))
		bend := v3{c.sym(0.2), c.sym(0.2), 0}.mul(ln)
		h0, h1 := p.z/b.h, end.z/b.h
		ms.tube(6, na, func(t float32) (v3, float32) {
			q := p.mix(end, t).add(bend.mul(t * (1 - t) * 2))
			rr := r * (1 - 0.3*t)
			if depth == 0 {
				rr = r * sqrt(max(1-t*t, 0.02))
			}
			return q, rr
		}, func(t, a float32) (v3, float32) {
			h := lerp(h0, h1, t)
			return foot.mix(b.col, smooth(0.05, 0.4, h)).mix(tip, smooth(0.75, 1, h)*0.7).mul(0.9 + 0.2*noise(h*9, a*5, b.seed)), 0
		})
		if depth == 0 {
			return
		}
		n := 2
		if c.yes(0.35) {
			n = 3
		}
		a0 := c.in(0, 2*pi)
		for i := range n {
			a := a0 + 2*pi*float32(i)/float32(n) + c.sym(0.4)
			d := dir.mul(1).add(v3{cos(a) * 0.62, sin(a) * 0.62, 0.25}).unit()
			grow(end.sub(dir.mul(r*0.3)), d, ln*c.in(0.6, 0.95), r*0.72, depth-1)
		}
	}
	stems := 3 + c.n(4)
	for i := range stems {
		a := 2*pi*float32(i)/float32(stems) + c.sym(0.5)
		sp := c.in(0.1, 0.55)
		dir := v3{cos(a) * sp, sin(a) * sp, 1}.unit()
		grow(v3{cos(a) * b.r * 0.12, sin(a) * b.r * 0.12, -1}, dir, b.h*c.in(0.32, 0.45), max(b.r*0.09, 0.8), 3)
	}
	// Scale to the measured size.
	var hx, hz float32
	for _, p := range ms.p {
		hx, hz = max(hx, abs(p.x)), max(hz, p.z)
	}
	sx, sz := b.r/hx, b.h/hz
	for i, p := range ms.p {
		ms.p[i] = v3{p.x * sx, p.y * sx, p.z * sz}
	}
	f.draw(ms, m, true)
}

// drawFingers draws clubs or candlesnuff: upright fingers, forked and white
// tipped in the hard black ones.
func (b *individual) drawFingers(f *frame, m xform, k float32, bits uint8, half bool) {
	c := stream(uint64(b.seed), "finger")
	ms := f.start(matMatt | bits | capBit)
	na, nt := detail(b.r*3, k, 2, 8, 40), detail(b.h, k, 3, 12, 120)
	n := 1
	if b.kind == stroma {
		n = 2 + c.n(4)
	}
	for i := range n {
		hh := b.h
		var off v3
		if i > 0 {
			hh *= c.in(0.35, 0.9)
			a := c.in(0, 2*pi)
			off = v3{cos(a), sin(a) * 0.7, 0}.mul(b.r * c.in(1.2, 3.4))
		}
		lean := v3{c.sym(0.45) * hh, c.sym(0.3) * hh, 0}
		r0 := b.r * c.in(0.5, 0.8)
		fork := b.kind == stroma && c.yes(0.75)
		white := c.in(0.35, 0.7)
		if b.find.Ripeness == "old" {
			white = c.in(0.8, 0.95)
		}
		finger := func(from, to float32, sway v3, r float32) {
			ms.tube(nt, na, func(t float32) (v3, float32) {
				h := lerp(from, to, t)
				p := off.add(lean.mul(h * h)).add(sway.mul(t * t)).add(v3{0, 0, h*hh - 0.5})
				q := r * (1 - 0.25*h)
				if b.kind == clubs {
					q = r * (0.55 + 0.6*h)
				}
				return p, q * sqrt(clamp((1-t)*7, 0.02, 1))
			}, func(t, a float32) (v3, float32) {
				h := lerp(from, to, t)
				col := b.col.mul(0.8 + 0.4*noise(h*30, a*8, b.seed+91))
				if b.kind == stroma {
					col = rgb(0x211f1e).mul(0.7+0.7*noise(h*40, a*9, b.seed+91)).
						mix(rgb(0xe6e4de), smooth(white-0.1, white+0.12, h+0.14*(noise(h*20, a*6, b.seed+92)-0.5)))
				}
				return col, r * 0.22 * (noise(h*24, a*6, b.seed+93) - 0.5)
			})
		}
		if fork {
			s := c.in(0.45, 0.7)
			finger(0, s+0.08, v3{}, r0)
			spread := hh * c.in(0.12, 0.3)
			finger(s, 1, v3{spread, c.sym(2), 0}, r0*0.75)
			finger(s, c.in(0.8, 0.97), v3{-spread, c.sym(2), 0}, r0*0.7)
		} else {
			finger(0, 1, v3{}, r0)
		}
	}
	if half {
		b.cutFace(ms, 40, func(t float32) (float32, float32) { return b.r * 0.45, t * b.h * 0.6 }, func(x, t float32) v3 {
			if abs(x) > 0.75 {
				return rgb(0x1d1b1a)
			}
			return rgb(0xeeeae0).mul(0.9 + 0.1*noise(x*5, t*9, b.seed))
		})
	}
	f.draw(ms, m, true)
}

func (b *individual) drawCup(f *frame, m xform, k float32, bits uint8, half bool) {
	na, nt := detail(6.3*b.r, k, 3, 24, 420), detail(b.r+b.h, k, 3, 12, 160)
	c := stream(uint64(b.seed), "cup")
	narrow, open := c.in(0.2, 0.35), c.in(0.5, 0.9)
	mat := matSatin
	if b.kind == nest {
		narrow, open = 0.45, 1.6
		mat = matMatt
	}
	wall := func(q float32) (float32, float32) { // q 0 foot .. 1 rim, inner face
		if q < narrow {
			return b.r * q / narrow * 0.45, b.h * 0.12
		}
		s := (q - narrow) / (1 - narrow)
		return b.r * lerp(0.45, 1, pow(s, open)), b.h * (0.12 + 0.88*pow(s, 1/open))
	}
	inside, outside := b.col, b.col.mix(b.flesh, 0.5)
	if b.kind == nest {
		inside, outside = rgb(0x8d8a84), b.col
	}
	for side := range 2 {
		ms := f.start(mat | bits | capBit)
		if side == 1 {
			ms.mat = matMatt | bits
		}
		span := 2 * pi
		if half {
			span = pi
		}
		ms.grid(na, nt, !half, func(u, v float32) (v3, v3) {
			q := v
			if side == 0 {
				q = 1 - v
			}
			a := u * span
			r, z := wall(max(q, 0.004))
			th := b.r * 0.05
			o := lerp(1, b.outline(a), q)
			wv := q * q * b.r * (b.wave*1.5*sin(b.waveK*a+b.zonePh) + 0.06*(noise(a*4, 1, b.seed)-0.5))
			if side == 1 {
				r, z = r+th*smooth(1, 0.9, q), z-th*smooth(1, 0.8, q)
				if q < narrow {
					z = max(z-b.h*0.1, -1)
				}
			}
			col := inside.mul(0.88 + 0.24*fbm(cos(a)*q*4+9, sin(a)*q*4, 3, b.seed+95))
			if side == 1 {
				col = outside.mul(0.8 + 0.35*noise(a*20, q*8, b.seed+96))
			}
			if b.kind == nest {
				rib := 0.5 + 0.5*sin(a*22)
				col = col.mul(0.75 + 0.35*rib)
				r += rib * 0.03 * b.r
			}
			for i := range b.blots {
				t := b.blot[i]
				dx, dy := q*cos(a)-t.x, q*sin(a)-t.y
				if d := (dx*dx + dy*dy) / (t.z * t.z * 0.5); d < 1 {
					col = col.mul(lerp(b.blotTint, 1, d*d))
				}
			}
			return v3{r * o * cos(a), r * o * sin(a), z + wv}, col.mul(b.tone)
		})
		f.draw(ms, m, true)
	}
	if b.kind == nest && b.find.Ripeness != "button" {
		b.nestEggs(f, m, k, bits, half, c)
	}
}

func (b *individual) nestEggs(f *frame, m xform, k float32, bits uint8, half bool, c *chance) {
	ms := f.start(matSatin | bits)
	n := 3 + c.n(4)
	for i := range n {
		a, d := 2*pi*float32(i)/float32(n)+c.sym(0.3), b.r*c.in(0.15, 0.4)
		if half && sin(a) < 0 {
			a = -a
		}
		at := v3{cos(a) * d, sin(a) * d, b.h * c.in(0.2, 0.32)}
		lentil(ms, at, b.r*0.2, b.r*0.09, rgb(0xb9b4ac).mul(c.in(0.8, 1.1)))
	}
	f.draw(ms, m, false)
}

// lentil adds a flattened sphere.
func lentil(ms *mesh, at v3, r, h float32, col v3) {
	ms.grid(14, 8, true, func(u, v float32) (v3, v3) {
		a, e := u*2*pi, (0.5-v)*pi
		return at.add(v3{r * cos(e) * cos(a), r * cos(e) * sin(a), h * sin(e)}), col
	})
}
