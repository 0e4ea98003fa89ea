package paint

// capTop is the upper surface at radius q (0..1) and angle a, local mm.
func (b *individual) capTop(q, a float32) v3 {
	o := b.outline(a)
	// Only the outer part feels the lobes fully, so the middle stays round.
	rr := b.r * q * lerp(1, o, q*q)
	z := b.h * (1 - pow(q, b.dome))
	g := q / 0.22
	z += b.umbo * b.r * 2 * exp(-g*g)
	g = q / 0.45
	z -= b.dip * b.r * 1.6 * exp(-g*g)
	q4 := q * q * q * q
	z += b.r * q4 * (b.lift + b.wave*sin(b.waveK*a+b.zonePh))
	x, y := rr*cos(a), rr*sin(a)
	for i := range b.bites {
		t := b.bite[i]
		dx, dy := x/b.r-t.x, y/b.r-t.y
		d := (dx*dx + dy*dy) / (t.z * t.z)
		if d < 1 {
			z -= b.r * 0.07 * (1 - d*d)
		}
	}
	return v3{x, y, z}
}

func exp(x float32) float32 {
	if x < -20 {
		return 0
	}
	// exp by squaring of a short series: (1 + x/64 + x^2/8192)^64
	y := x / 64
	y = 1 + y + y*y/2 + y*y*y/6
	for range 6 {
		y *= y
	}
	return y
}

// capColour paints the upper surface at radius q, angle a, point p (mm).
func (b *individual) capColour(q, a float32, p v3) (v3, float32) {
	x, y := p.x/b.r, p.y/b.r
	c := b.col
	bump := float32(0)
	if b.zones > 0 {
		wob := 0.25 * noise(x*4, y*4, b.seed)
		z := noise((q+wob*0.3)*b.zones*2.2+b.zonePh, 3.3, b.seed) - 0.5
		c = c.mix(b.second, clamp(0.35+1.5*z, 0, 1))
		c = c.mul(1 - 0.5*clamp(-z*2-0.1, 0, 1))
	}
	if b.fade > 0 {
		edge := 0.35 + 0.45*b.fade + 0.2*(noise(x*3, y*3, b.seed+5)-0.5)
		c = c.mix(b.second, 0.8*(1-smooth(edge-0.12, edge+0.06, q)))
	} else {
		c = c.mul(1.06 - 0.14*(1-q)*(1-q))
	}
	ray := noise(a*b.r*1.2/pi+50, q*3, b.seed+9)
	c = c.mul(1 + b.fibres*(ray-0.5)*2*smooth(0.1, 0.5, q))
	c = c.mul(0.86 + 0.28*fbm(x*2.5+7, y*2.5, 3, b.seed+3))
	for i := range b.blots {
		t := b.blot[i]
		dx, dy := x-t.x, y-t.y
		d := sqrt(dx*dx+dy*dy)/t.z + 0.5*(noise(x*9, y*9, b.seed+11)-0.5)
		k := 1 - smooth(0.75, 1.1, d)
		c = c.mul(lerp(1, b.blotTint, k))
	}
	if b.scales > 0 {
		d, _, id := cells(x*13, y*13, b.seed+21)
		k := (1 - smooth(0.2, 0.45, d)) * (1 - smooth(0.2, 0.9, q)) * b.scales
		c = c.mul(1 - 0.55*k*(0.5+id))
		bump += k * 0.01 * b.r
	}
	if b.warts > 0 {
		fr := 5.5 + 2*hashF(1, 2, b.seed)
		d, _, id := cells(x*fr+31, y*fr, b.seed+23)
		if id < b.warts {
			e := 0.22 + 0.26*id/b.warts - 0.1*q
			k := 1 - smooth(e-0.06, e+0.04, d+0.16*(noise(x*30, y*30, b.seed)-0.5))
			wc := rgb(0xece4cf)
			if b.find.A < 40 {
				wc = b.second
			}
			c = c.mix(wc, k)
			bump += k * 0.035 * b.r * (1 - 0.5*d/e)
		}
	}
	for i := range b.bites {
		t := b.bite[i]
		dx, dy := x-t.x, y-t.y
		d := sqrt(dx*dx+dy*dy)/t.z + 0.35*(noise(x*14, y*14, b.seed+31)-0.5)
		if d < 1 {
			c = c.mix(b.flesh.mul(0.85), smooth(1, 0.8, d))
		}
	}
	if q > 0.97 {
		c = c.mul(1.05)
	}
	return c.mul(b.tone), bump
}

// underZ is the height of the lower surface (gill edges) at radius q.
func (b *individual) underZ(q, a float32) float32 {
	rim := b.capTop(1, a).z
	in := 1 - q
	switch b.under {
	case "folds":
		return rim - b.r*(0.9*in*in+0.25*in)
	case "spines":
		return rim + b.h*0.15*in
	}
	z := rim + b.h*0.35*in - 0.12*b.h*smooth(0.3, 0, in) - b.wave*b.r*in
	top := b.capTop(q, a).z - 0.12*b.h
	return min(z, top)
}

// drawAgaric draws cap, underside and stem. k is the scale in px/mm; half
// keeps only the half behind the cut.
func (b *individual) drawAgaric(f *frame, m xform, k float32, half bool) {
	bits := uint8(0)
	if b.hero {
		bits = heroBit
	}
	up := shift(v3{b.lean.x, b.lean.y, b.stemL}).then(m)
	span := 2 * pi
	if half {
		span = pi
	}
	nu := detail(span*b.r, k, 2.6, 24, 620)
	nv := detail(b.r*1.2, k, 2.6, 6, 160)
	ms := f.start(b.mat | bits | capBit)
	ms.grid(nu, nv, !half, func(u, v float32) (v3, v3) {
		a := u * span
		v = 1 - v
		p := b.capTop(v, a)
		c, bump := b.capColour(v, a, p)
		p.z += bump
		return p, c
	})
	f.draw(ms, up, true)
	b.drawUnder(f, up, k, span, half, bits)
	b.drawStem(f, m, k, half, bits)
	if b.leafOn && !half {
		p := b.capTop(sqrt(b.leafX*b.leafX+b.leafY*b.leafY), 0)
		lf := turn(2, b.leafRot).then(shift(v3{b.leafX * b.r, b.leafY * b.r, p.z + 0.05*b.r})).then(up)
		f.leaf(lf, leafSpec{kind: leafKind(b.find), size: clamp(b.r*0.8, 10, 40), hue: float32(b.seed&255) / 255, curl: 0.25}, true)
	}
}

func (b *individual) drawUnder(f *frame, up xform, k, span float32, half bool, bits uint8) {
	inner := clamp(b.stemR*0.9/b.r, 0.02, 0.6)
	g := float32(b.gills)
	nu := detail(span*b.r, k, 2, 30, 900)
	nv := detail(b.r, k, 4, 5, 70)
	if b.under == "pores" {
		nv = detail(b.r, k, 2.2, 5, 220)
	}
	ms := f.start(matMatt | bits)
	ms.grid(nu, nv, !half, func(u, v float32) (v3, v3) {
		a := u * span
		q := lerp(1, inner, v)
		p := b.capTop(q, a)
		z := b.underZ(q, a)
		depth, c := b.underDetail(q, a, p, g)
		if v == 0 {
			depth = 0
		}
		return v3{p.x * 0.992, p.y * 0.992, z + depth}, c
	})
	f.draw(ms, up, true)
	if b.under == "spines" && k > 1.2 {
		b.drawSpines(f, up, k, half, bits, inner)
	}
}

// underDetail gives the relief and colour of the lower surface.
func (b *individual) underDetail(q, a float32, p v3, g float32) (float32, v3) {
	c := b.gill.mul(0.94 + 0.12*noise(p.x*0.4/1, p.y*0.4, b.seed+41))
	for i := range b.blots {
		t := b.blot[i]
		dx, dy := p.x/b.r+t.x, p.y/b.r-t.y
		if d := (dx*dx + dy*dy) / (t.z * t.z * 0.5); d < 1 {
			c = c.mul(1 - 0.3*(1-d))
		}
	}
	switch b.under {
	case "gills", "folds":
		n := g
		depth := 0.10 * b.r
		if b.under == "folds" {
			n, depth = g*0.32, 0.06*b.r
			a += 0.06 * noise(q*6, a*5, b.seed)
		}
		ph := a*n/(2*pi) + 0.3*noise(q*5, floor(a*n/(2*pi)), b.seed+2)*0.3
		t := abs(ph-floor(ph)-0.5) * 2 // 0 at an edge, 1 in a gap
		// Short gills fill the gaps towards the rim.
		id := hashF(int32(floor(ph+0.5)), 7, b.seed)
		if start := 0.45 + 0.4*id; q > start && b.under == "gills" {
			t = min(t, 2*(1-t)+0.12)
		}
		if b.under == "folds" && q > 0.55 {
			t = min(t, 1.6*(1-t)+0.1)
		}
		ph2 := smooth(0.1, 1, t)
		return depth * ph2 * smooth(1, 0.93, q), c.mul(1.05 - 0.68*ph2)
	case "pores":
		fr := clamp(1.1*b.poreScale(), 0.5, 3)
		d, s, _ := cells(p.x*fr, p.y*fr, b.seed+51)
		k := smooth(0.08, 0.34, s-d)
		return 0.35 * k * smooth(1, 0.94, q), c.mul(1.08 - 0.45*k)
	case "smooth":
		return 0, c.mul(0.9 + 0.2*noise(a*9, q*9, b.seed))
	}
	return 0, c.mul(0.75)
}

// poreScale is pores per mm: bigger bodies are given coarser pores.
func (b *individual) poreScale() float32 { return clamp(60/b.r, 0.6, 1.6) }

// drawSpines hangs little cones under a cap.
func (b *individual) drawSpines(f *frame, up xform, k float32, half bool, bits uint8, inner float32) {
	step := clamp(b.r/22, 1.1, 2.5)
	n := int(b.r / step)
	ms := f.start(matMatt | bits)
	for j := -n; j <= n; j++ {
		for i := -n; i <= n; i++ {
			x := (float32(i) + hashF(int32(i), int32(j), b.seed) - 0.5) * step
			y := (float32(j) + hashF(int32(j), int32(i), b.seed+1) - 0.5) * step
			if half && y < 0 {
				continue
			}
			a := atan2(y, x)
			if a < 0 {
				a += 2 * pi
			}
			q := sqrt(x*x+y*y) / b.r
			if lim := b.outline(a); q > 0.97*lim || q < inner {
				continue
			}
			l := clamp(b.r*0.09, 1.5, 6) * (0.7 + 0.6*hashF(int32(i), int32(j), b.seed+2)) * smooth(1, 0.8, q)
			z := b.underZ(q, a)
			cone(ms, v3{x, y, z + 0.3}, v3{x * 1.01, y * 1.01, z - l}, step*0.42, 6, b.gill.mul(0.7), b.gill.mul(1.1))
		}
	}
	f.draw(ms, up, false)
}

// cone adds a pointed cone from base to tip.
func cone(ms *mesh, base, tip v3, r float32, n int, c0, c1 v3) {
	ax := tip.sub(base).unit()
	ref := v3{1, 0, 0}
	if abs(ax.x) > 0.8 {
		ref = v3{0, 1, 0}
	}
	s := ref.cross(ax).unit()
	t := ax.cross(s)
	o := int32(len(ms.p))
	for i := range n {
		a := 2 * pi * float32(i) / float32(n)
		d := s.mul(cos(a)).add(t.mul(sin(a)))
		ms.p = append(ms.p, base.add(d.mul(r)), tip.add(d.mul(r*0.12)))
		ms.n = append(ms.n, d, d.add(ax.mul(0.6)).unit())
		ms.c = append(ms.c, c0, c1)
	}
	for i := range int32(n) {
		j := (i + 1) % int32(n)
		ms.idx = append(ms.idx, o+2*i, o+2*j, o+2*j+1, o+2*i, o+2*j+1, o+2*i+1)
	}
}
