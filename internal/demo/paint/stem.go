package paint

// stemTop is the height at which stem and cap meet, above the stem's length.
func (b *individual) stemTop() float32 {
	return b.underZ(clamp(b.stemR*0.9/b.r, 0.02, 0.6), 0) + 0.03*b.h
}

// stemAt gives the stem's centre line and radius at t (0 base, 1 cap).
func (b *individual) stemAt(t float32) (v3, float32) {
	top := b.stemL + b.stemTop()
	s := t * t * (1.4 - 0.4*t)
	wob := 0.02 * b.stemL * sin(t*5+b.zonePh) * t * (1 - t)
	r := b.stemR * (1 + 0.12*(0.5-t))
	g := t / 0.14
	r *= 1 + b.bulb*exp(-g*g)
	if t > 0.92 {
		r *= 1 + 1.2*(t-0.92)
	}
	if b.under == "folds" {
		r *= 1 + 1.6*t*t*t
	}
	return v3{b.lean.x*s + wob, b.lean.y*s - wob, t * top}, r
}

func (b *individual) stemTint(t, a float32) (v3, float32) {
	c := b.stemCol
	c = c.mul(0.85 + 0.25*noise(a*b.stemR*9, t*b.stemL*0.08, b.seed+61))
	c = c.mix(b.col.mul(0.6), 0.35*smooth(0.35, 0, t))
	if b.under == "pores" { // a net of raised meshes in the upper part
		d, s, _ := cells(a*14, t*b.stemL*0.25, b.seed+63)
		c = c.mul(1 - 0.25*smooth(0.05, 0.4, s-d)*smooth(0.2, 0.7, t))
	}
	if b.ring > 0 && t < b.ring {
		d, _, id := cells(a*11, t*b.stemL*0.22, b.seed+62)
		k := (1 - smooth(0.2, 0.4, d)) * 0.35 * id
		if b.scales == 0 {
			k *= 0.3
		}
		c = c.mul(1 - k)
	}
	return c, 0.03 * b.stemR * (noise(a*12, t*9, b.seed+64) - 0.5)
}

func (b *individual) drawStem(f *frame, m xform, k float32, half bool, bits uint8) {
	na := detail(6.3*b.stemR, k, 4, 8, 70)
	nt := detail(b.stemL, k, 5, 6, 90)
	span := float32(1)
	if half {
		span = 0.5
	}
	ms := f.start(matMatt | bits)
	ms.grid(na, nt, !half, func(u, t float32) (v3, v3) {
		p, r := b.stemAt(t)
		c, bump := b.stemTint(t, u)
		a := 2 * pi * u * span
		return p.add(v3{cos(a) * (r + bump), sin(a) * (r + bump), 0}), c
	})
	// Rounded foot.
	ms.grid(na, 4, !half, func(u, v float32) (v3, v3) {
		p, r := b.stemAt(0)
		a := 2 * pi * u * span
		q := cos(v * pi / 2)
		c, _ := b.stemTint(0, u)
		return p.add(v3{cos(a) * r * q, sin(a) * r * q, -0.7 * r * sin(v*pi/2)}), c
	})
	if b.ring > 0 && b.find.Ripeness != "button" {
		b.addRing(ms, na, span, half)
	}
	if b.volva {
		b.addVolva(ms, na, span, half)
	}
	f.draw(ms, m, true)
}

func (b *individual) addRing(ms *mesh, na int, span float32, half bool) {
	drop := b.stemR * 1.1
	ms.grid(max(na, 24), 5, !half, func(u, v float32) (v3, v3) {
		p, r := b.stemAt(b.ring)
		a := 2 * pi * u * span
		fl := noise(u*13, 1, b.seed+65)
		rr := r * (1.03 + 0.55*v*v*(0.6+0.8*fl))
		z := -drop * v * (0.6 + 0.6*fl)
		return p.add(v3{cos(a) * rr, sin(a) * rr, z}), b.stemCol.mul(1.02 - 0.12*v)
	})
}

func (b *individual) addVolva(ms *mesh, na int, span float32, half bool) {
	ms.grid(max(na, 24), 8, !half, func(u, v float32) (v3, v3) {
		_, r := b.stemAt(0.02)
		a := 2 * pi * u * span
		fl := noise(u*9, 2, b.seed+66)
		rr := r * (1.25 + 0.25*v) * sqrt(clamp(v*4, 0.02, 1))
		z := -0.8*r + v*r*(2.1+1.4*fl)
		return v3{cos(a) * rr, sin(a) * rr, z}, rgb(0xe6dfcc).mul(0.9 + 0.15*fl)
	})
}

// drawCutAgaric draws the half behind the cut and the cut face (local y = 0,
// seen from -y).
func (b *individual) drawCutAgaric(f *frame, m xform, k float32) {
	b.drawAgaric(f, m, k, true)
	bits := uint8(0)
	if b.hero {
		bits = heroBit
	}
	ms := f.start(matMatt | bits)
	up := v3{b.lean.x, 0, b.stemL}
	nx := detail(2*b.r, k, 2.5, 40, 500)
	ms.grid(nx, 40, false, func(u, v float32) (v3, v3) {
		x := 2*u - 1
		q, a := abs(x), float32(0)
		if x < 0 {
			a = pi
		}
		q = max(q, 0.01)
		top := b.capTop(q, a)
		lo := b.underZ(q, a)
		if lo > top.z {
			lo = top.z
		}
		inner := clamp(b.stemR*0.9/b.r, 0.02, 0.6)
		if q < inner {
			lo = b.underZ(inner, a)
		}
		z := lerp(lo, top.z, v)
		gd := clamp(0.13*b.r*smooth(1, 0.85, q), 0.2, 0.75*(top.z-lo))
		if b.under == "spines" {
			gd = 0.1
		}
		c := b.flesh.mul(0.93 + 0.12*noise(top.x*0.5+9, z*0.5, b.seed+71))
		if q >= inner && z < lo+gd && b.under != "smooth" {
			c = b.gill.mul(0.86 + 0.1*noise(top.x*1.2, z*0.2, b.seed+72))
			if b.under == "pores" {
				c = b.gill.mul(0.8 + 0.3*noise(top.x*2.2, 1, b.seed+72))
			}
		} else if z > top.z-clamp(0.025*b.r, 0.4, 1.5) {
			c = b.col
		}
		c = c.mix(b.stain(), 0.5*smooth(0.55, 0.8, noise(top.x*0.09, z*0.09, b.seed+73)))
		return v3{top.x + up.x, -0.02, z + up.z}, c
	})
	ms.grid(24, detail(b.stemL, k, 4, 20, 200), false, func(u, t float32) (v3, v3) {
		p, r := b.stemAt(t)
		x := 2*u - 1
		c := b.flesh.mul(0.95 + 0.1*noise(x*8, t*6, b.seed+74))
		if abs(x) > 0.9 {
			c = b.stemCol
		}
		hollow := hashF(3, 5, uint32(len(b.find.ColourWords))) < 0.4
		if wid := 0.45 * noise(t*7, 1, b.seed+75); hollow && abs(x) < wid+0.12 && t > 0.06 && t < 0.93 {
			c = c.mul(0.5 + 0.2*noise(x*9, t*30, b.seed))
		}
		c = c.mix(b.stain(), 0.5*smooth(0.5, 0.8, noise(x*2, t*5, b.seed+76)))
		return v3{p.x + x*r, -0.04, p.z}, c
	})
	f.draw(ms, m, true)
}

// stain is the colour the flesh turns when cut.
func (b *individual) stain() v3 {
	w := b.find.ColourWords
	switch {
	case contains(w, "pink flush"):
		return rgb(0xc98a7c)
	case contains(w, "bruising"):
		return rgb(0xe8c81e)
	case contains(w, "orange with green"):
		return rgb(0xdd7f2e)
	case contains(w, "dark red"):
		return rgb(0x9c2f2c)
	}
	return b.flesh.mul(0.86)
}
