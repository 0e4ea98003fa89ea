package paint

// barkLook is how a host's bark is painted.
type barkLook struct {
	col, dark v3
	ridges    float32 // per mm round the trunk
	depth     float32 // mm
	birch     bool
	lichens   float32
	knots     [4]v3 // x, z (mm), size
	radius    float32
}

func barkOf(f *Find, c *chance) barkLook {
	b := barkLook{col: rgb(0x7d7467), dark: rgb(0x3a332b), ridges: 0.05, depth: 7, radius: c.in(160, 260)}
	switch {
	case contains(f.Host, "Fagus"):
		b.col, b.dark, b.ridges, b.depth = rgb(0x8f8b82), rgb(0x6a675f), 0.02, 1.2
	case contains(f.Host, "Betula"):
		b.col, b.dark, b.ridges, b.depth, b.birch = rgb(0xd8d2c6), rgb(0x2f2b28), 0.03, 1.5, true
	case contains(f.Host, "Quercus"):
		b.col, b.ridges, b.depth = rgb(0x7a6c5a), 0.035, 11
	case contains(f.Host, "Pinus"):
		b.col, b.dark = rgb(0xa0673f), rgb(0x4a2f20)
	case contains(f.Host, "Picea"):
		b.col, b.ridges, b.depth = rgb(0x84705e), 0.07, 4
	case contains(f.Host, "Sambucus"):
		b.col, b.ridges, b.depth = rgb(0x9a8d77), 0.09, 3
	case contains(f.Host, "Salix"):
		b.col, b.depth = rgb(0x827a68), 9
	}
	b.col = b.col.mul(c.in(0.8, 1.15))
	b.lichens = c.f()
	for i := range b.knots {
		b.knots[i] = v3{c.sym(140), c.sym(120), c.in(6, 22)}
	}
	return b
}

// barkAt gives the relief (mm) and colour of bark at s mm round the trunk and
// z mm along it.
func (g *ground) barkAt(s, z float32) (float32, v3) {
	b := &g.bark
	wob := 30 * (fbm(z*0.012, s*0.006, 3, g.seed+31) - 0.5)
	n := fbm((s+wob)*b.ridges, z*b.ridges*0.22, 3, g.seed+32)
	r := 1 - abs(2*n-1)*2.2 // cracks where the noise crosses its middle
	crack := smooth(0.55, 1, r)
	fine := fbm(s*0.12, z*0.12, 3, g.seed+33)
	bump := b.depth*(0.5-crack) + 1.2*(fine-0.5)
	c := b.col.mul(0.62+0.6*fine).mix(b.dark, crack*0.75)
	if b.birch {
		l := fbm(s*0.02, z*0.22, 2, g.seed+34)
		c = c.mix(b.dark, smooth(0.66, 0.74, l))
	}
	if k := smooth(0.55, 0.7, fbm(s*0.016+9, z*0.016, 3, g.seed+35)+0.22*(g.mossy-0.5)); g.mossy > 0.35 && k > 0 {
		m := noise(s*0.7, z*0.7, g.seed+36)
		c = c.mix(g.green.mul(0.35+0.7*m), k)
		bump += 4 * k * m
	}
	if b.lichens > 0.5 {
		d, _, id := cells(s*0.022, z*0.022, g.seed+37)
		if id > 0.55 {
			k := 1 - smooth(0.2, 0.28, d+0.1*(fine-0.5))
			c = c.mix(rgb(0xb9c2b0).mul(0.7+0.5*fine), 0.8*k)
		}
	}
	for _, kn := range b.knots {
		dx, dz := s-kn.x, (z-kn.y)*1.4
		d := sqrt(dx*dx+dz*dz) / kn.z
		if d < 1.6 {
			ringy := 0.5 + 0.5*sin(d*14)
			k := 1 - smooth(0.9, 1.6, d)
			c = c.mix(b.dark.mul(0.6+0.8*ringy), 0.8*k)
			bump += 3 * k * (1 - d)
		}
	}
	return bump, c
}

// drawTrunk draws the side of a cylinder of radius r that faces -y; its
// surface passes through the origin. m turns it (a log lies along x).
func (g *ground) drawTrunk(f *frame, m xform, r, z0, z1, k float32) {
	na := detail(2.6*r, k, 4, 30, 420)
	nz := detail(z1-z0, k, 4, 30, 420)
	ms := f.start(matWood)
	ms.grid(na, nz, false, func(u, v float32) (v3, v3) {
		a := (u - 0.5) * 3.3
		z := lerp(z0, z1, v)
		bump, c := g.barkAt(a*r, z)
		bump *= smooth(0.3*g.bodyR, g.bodyR+35, sqrt(a*r*a*r+z*z))
		return v3{(r + bump) * sin(a), r - (r+bump)*cos(a), z}, c
	})
	f.draw(ms, m, true)
}

// logTurn lays a trunk along x with the surface point at roll phi above the
// horizontal in the origin.
func logTurn(phi float32, r float32) xform {
	// local z (along) -> x, local x (round) -> z, local -y (outwards) -> -y
	m := xform{a: v3{0, 0, 1}, b: v3{0, 1, 0}, c: v3{-1, 0, 0}}
	return shift(v3{0, -r, 0}).then(m).then(turn(0, -phi)).then(shift(v3{0, r * cos(phi), -r * sin(phi)}))
}

// drawStump draws a cut stump: its face in z = 0 with the front edge near the
// fruitbodies at the origin, and its bark side.
func (g *ground) drawStump(f *frame, r, tall, k float32) {
	centre := v3{0, r * 0.62, 0}
	na, nr := detail(6.3*r, k, 6, 60, 420), detail(r, k, 4, 20, 200)
	ms := f.start(matWood)
	rim := func(a float32) float32 { return r * (1 + 0.12*(noise(a*1.3+3, 0, g.seed+40)-0.5)) }
	ms.grid(na, nr, true, func(u, v float32) (v3, v3) {
		a := u * 2 * pi
		q := 1 - v
		rr := rim(a) * q
		x, y := rr*cos(a), rr*sin(a)
		return v3{centre.x + x, centre.y + y, g.faceZ(centre.x+x, centre.y+y)}, g.faceColour(x, y, q)
	})
	ms.grid(na, 60, true, func(u, v float32) (v3, v3) {
		a := -u * 2 * pi
		rr := rim(a)
		z := -tall * v
		bump, c := g.barkAt(a*r, z)
		rr += bump * smooth(0, 0.05, v) * 0.6
		return v3{centre.x + rr*cos(a), centre.y + rr*sin(a), z + g.faceZ(centre.x+rr*cos(a), centre.y+rr*sin(a))*(1-v)}, c
	})
	f.draw(ms, identity, true)
}

func (g *ground) faceZ(x, y float32) float32 {
	h := 9 * (fbm(x*0.02, y*0.02, 3, g.seed+41) - 0.5)
	return g.press(h*smooth(0.3*g.bodyR, g.bodyR+50, sqrt(x*x+y*y)), x, y)
}

func (g *ground) faceColour(x, y, q float32) v3 {
	r := sqrt(x*x+y*y) + 10*noise(x*0.02, y*0.02, g.seed+42)
	n := fbm(x*0.05, y*0.05, 3, g.seed+43)
	ring := 0.5 + 0.5*sin(r*0.8)
	c := rgb(0x8a7355).mix(rgb(0x4e4236), n).mul(0.6 + 0.25*ring + 0.2*g.wet)
	a := atan2(y, x)
	if cr := abs(noise(a*4, 1, g.seed+44) - 0.5); cr < 0.02 {
		c = c.mul(0.35)
	}
	if k := smooth(0.5, 0.66, fbm(x*0.014+3, y*0.014, 3, g.seed+45)+0.25*(g.mossy-0.5)); k > 0 {
		c = c.mix(g.green.mul(0.35+0.6*noise(x*0.5, y*0.5, g.seed+46)), k)
	}
	if q > 0.95 {
		c = c.mix(g.bark.dark, 0.7)
	}
	return c
}

// barkFloor is a flat piece of bark or log top seen from above, the log's
// length along x; hump is the log's radius (0 = flat).
func (g *ground) barkFloor(f *frame, hump, wide, k float32) {
	ms := f.start(matWood)
	n := detail(wide*2, k, 4.5, 60, 420)
	lim := wide
	if hump > 0 {
		lim = min(lim, hump*0.98)
	}
	ms.grid(n, n, false, func(u, v float32) (v3, v3) {
		x, y := (u*2-1)*wide, (v*2-1)*lim
		bump, c := g.barkAt(y, x)
		if g.wall {
			bump, c = g.barkAt(x, y)
		}
		z := bump * 0.5 * smooth(0.2*g.bodyR, g.bodyR+30, sqrt(x*x+y*y))
		if hump > 0 {
			z += sqrt(hump*hump-y*y) - hump
		}
		return v3{x, y, g.press(z, x, y)}, c
	})
	f.draw(ms, identity, false)
}
