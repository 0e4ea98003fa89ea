package paint

// leafSpec describes one fallen leaf.
type leafSpec struct {
	kind string
	size float32 // length, mm
	hue  float32 // 0..1 through the autumn palette
	curl float32
	lod  int
}

var leafPalette = []v3{
	rgb(0x8a5a32), rgb(0xa86a35), rgb(0xb98245), rgb(0x6e4a30), rgb(0x9a7a50),
	rgb(0xc79a4a), rgb(0xd2b04a), rgb(0x7c6a55), rgb(0x5a4030), rgb(0xb0603a),
}

func paletteAt(h float32) v3 {
	n := float32(len(leafPalette))
	h = (h - floor(h)) * n
	i := int(h) % len(leafPalette)
	return leafPalette[i].mix(leafPalette[(i+1)%len(leafPalette)], h-floor(h))
}

// leafKind is the shape of the leaves under a host.
func leafKind(f *Find) string {
	switch {
	case contains(f.Host, "Quercus"):
		return "oak"
	case contains(f.Host, "Betula"):
		return "birch"
	case contains(f.Host, "Tilia"):
		return "lime"
	case contains(f.Host, "Salix"), contains(f.Host, "Sambucus"):
		return "willow"
	case contains(f.Host, "Alnus"):
		return "lime"
	}
	return "beech"
}

// leafWidth is the half width at t along a leaf of unit length.
func leafWidth(kind string, t float32) float32 {
	s := max(sin(pi*pow(t, 0.9)), 0)
	switch kind {
	case "oak":
		return 0.26 * s * (1 + 0.38*sin(t*27+1)) * (0.7 + 0.5*t)
	case "birch":
		return 0.36 * pow(s, 1.1) * (1.25 - 0.75*t) * (1 + 0.06*sin(t*60))
	case "lime":
		return 0.44 * pow(max(s, 0), 0.6) * (1.1 - 0.35*t)
	case "willow":
		return 0.14 * s
	case "ivy":
		return 0.45 * pow(max(s, 0), 0.6) * (1.2 - 0.9*t) * (1 + 0.3*sin(t*13+2))
	}
	return 0.31 * pow(max(s, 0), 0.85)
}

// leaf draws one leaf lying at m (its middle at the origin, blade in x).
func (f *frame) leaf(m xform, s leafSpec, cast bool) {
	f.leafTinted(m, s, paletteAt(s.hue), cast)
}

func (f *frame) leafTinted(m xform, s leafSpec, col v3, cast bool) {
	nt, nw := 14, 6
	if s.lod == 1 {
		nt, nw = 6, 2
	}
	ms := f.start(matLeaf)
	k := s.size
	ph := s.hue * 40
	ms.grid(nt, nw, false, func(t, v float32) (v3, v3) {
		w := leafWidth(s.kind, t)
		y := 2*v - 1
		z := s.curl*k*(0.25*y*y*w*2.5+0.18*sin(t*3+ph)) + 0.02*k*sin(t*17+ph)*y
		vein := float32(1)
		if abs(y) < 0.12 {
			vein = 1.2
		}
		c := col.mul(vein * (0.82 + 0.18*sin(t*45+abs(y)*6) + 0.2*sin(t*7+y*3+ph)*0.5))
		return v3{(t - 0.5) * k, y * w * k, z}, c
	})
	f.draw(ms, m, cast)
}

// strewLeaves lays the leaf litter; clear tells where nothing may lie on top.
func (g *ground) strewLeaves(f *frame, p patch, clear func(x, y float32) bool) {
	kind := leafKind(g.find)
	size := map[string]float32{"beech": 58, "oak": 85, "birch": 42, "lime": 60, "willow": 75}[kind]
	g.strew(f, p, "leaf", g.litter/1000, 2600, func(c *chance, x, y, px float32) {
		s := leafSpec{kind: kind, size: size * c.in(0.7, 1.25), hue: g.leafHue + c.sym(g.leafDev), curl: c.in(-0.3, 0.7)}
		if c.yes(0.12) {
			s.hue = c.f()
		}
		lift, rot, tx, ty := c.in(1.5, 9), c.in(0, 2*pi), c.sym(0.3), c.sym(0.3)
		shade := c.in(0.6, 1.15)
		if _, near := g.nearest(x, y, s.size*0.55); near {
			tx, ty, lift, s.curl = 0, 0, 0.3, 0
		}
		if clear(x, y) {
			return
		}
		if s.size*px < 60 {
			s.lod = 1
		}
		m := turn(0, tx).then(turn(1, ty)).then(turn(2, rot)).then(shift(v3{x, y, p.level + g.height(x, y) + lift}))
		f.leafTinted(m, s, paletteAt(s.hue).mul(shade), px > 0.7)
	})
}

// strewNeedles lays conifer needles.
func (g *ground) strewNeedles(f *frame, p patch, density float32, clear func(x, y float32) bool) {
	long := float32(16)
	if contains(g.find.Host, "Pinus") {
		long = 45
	}
	ms := f.start(matLeaf)
	g.strew(f, p, "needle", density, 5200, func(c *chance, x, y, px float32) {
		a, l := c.in(0, 2*pi), long*c.in(0.7, 1.2)
		col := rgb(0x8a5a30).mix(rgb(0xb58a52), c.f()).mul(c.in(0.5, 1.2))
		if c.yes(0.04) {
			col = rgb(0x5b7a3a)
		}
		tilt, w, lift := c.sym(0.35), c.in(0.9, 1.4), c.in(0.3, 4)
		if clear(x, y) {
			return
		}
		d := v3{cos(a) * l, sin(a) * l, tilt * l * 0.5}
		o := v3{x, y, p.level + g.height(x, y) + lift}
		bend := v3{-d.y, d.x, 0}.mul(c.sym(0.12))
		side := v3{-sin(a), cos(a), 0}
		if 0.6/px > w {
			w = 0.6 / px
		}
		ms.blade([]v3{o, o.add(d.mul(0.5)).add(bend), o.add(d)}, side, w, col, col.mul(1.1))
	})
	f.draw(ms, identity, false)
}

// strewGrass sets a turf of blades.
func (g *ground) strewGrass(f *frame, p patch, tall, density float32, clear func(x, y float32) bool) {
	ms := f.start(matGrass)
	g.strew(f, p, "grass", density, 9000, func(c *chance, x, y, px float32) {
		a, l := c.in(0, 2*pi), tall*c.in(0.4, 1.25)
		bow := c.in(0.15, 0.85)
		w := c.in(1.3, 3.2)
		tone := c.in(0.65, 1.35)
		dry := c.yes(0.13)
		if clear(x, y) {
			return
		}
		if g.taken(x, y) { // trodden flat under card and specimen
			l, bow = l*0.3, 0.97
		} else if out, near := g.nearest(x, y, l*bow+4); near {
			a = out + c.sym(0.5)
			l, bow = l*0.45, min(bow, 0.4)
		}
		col := g.green.mul(tone)
		if dry {
			col = rgb(0xb09a62).mul(tone)
		}
		if 1.2/px > w {
			w = 1.2 / px
		}
		h := v3{cos(a), sin(a), 0}
		o := v3{x, y, p.level + g.height(x, y) - 1}
		side := v3{-h.y, h.x, 0}
		p1 := o.add(h.mul(l * bow * 0.18)).add(v3{0, 0, l * 0.4})
		p2 := o.add(h.mul(l * bow * 0.5)).add(v3{0, 0, l * 0.75 * (1 - 0.25*bow)})
		p3 := o.add(h.mul(l * bow)).add(v3{0, 0, l * (1 - 0.55*bow)})
		if px < 1.5 {
			ms.blade([]v3{o, p1, p3}, side, w, col.mul(0.6), col.mul(1.15))
		} else {
			ms.blade([]v3{o, p1, p2, p3}, side, w, col.mul(0.5), col.mul(1.15))
		}
	})
	f.draw(ms, identity, false)
}

// strewMoss sets small leafy shoots: stars of short blades.
func (g *ground) strewMoss(f *frame, p patch, density float32, clear func(x, y float32) bool) {
	ms := f.start(matGrass)
	g.strew(f, p, "moss", density, 3600, func(c *chance, x, y, px float32) {
		l := c.in(5, 11)
		tone, a0 := c.in(0.7, 1.4), c.in(0, 6)
		up := c.in(0.4, 1.3)
		if clear(x, y) {
			return
		}
		col := g.green.mul(tone)
		z := p.level + g.height(x, y) - 1
		n := 6
		if px < 2 {
			n = 3
		}
		for i := range n {
			a := a0 + 2*pi*float32(i)/float32(n)
			h := v3{cos(a), sin(a), 0}
			o := v3{x, y, z}
			mid := o.add(h.mul(l * 0.35)).add(v3{0, 0, l * up * 0.7})
			end := o.add(h.mul(l)).add(v3{0, 0, l * up * 0.8})
			ms.blade([]v3{o, mid, end}, v3{-h.y, h.x, 0}, max(l*0.26, 0.8/px), col.mul(0.4), col.mul(1.15))
		}
	})
	f.draw(ms, identity, false)
}

// strewChips lays wood chips.
func (g *ground) strewChips(f *frame, p patch, clear func(x, y float32) bool) {
	ms := f.start(matWood)
	g.strew(f, p, "chip", 0.006, 2500, func(c *chance, x, y, px float32) {
		l, w, h := c.in(12, 40), c.in(5, 14), c.in(2, 6)
		col := rgb(0xa8875c).mix(rgb(0x6e5138), c.f()).mul(c.in(0.6, 1.15))
		rot, tx, ty, z := c.in(0, 2*pi), c.sym(0.5), c.sym(0.5), c.in(0, 6)
		if _, near := g.nearest(x, y, l*0.42); near || clear(x, y) {
			return
		}
		m := turn(0, tx).then(turn(1, ty)).then(turn(2, rot)).then(shift(v3{x, y, p.level + g.height(x, y) + z}))
		box(ms, m, v3{l, w, h}, col)
	})
	f.draw(ms, identity, true)
}

// box adds a flat-sided block with slightly uneven corners.
func box(ms *mesh, m xform, s v3, col v3) {
	for ax := range 3 {
		for _, sg := range [2]float32{-0.5, 0.5} {
			o := int32(len(ms.p))
			var n v3
			for k := range 4 {
				u, v := [4]float32{-0.5, 0.5, 0.5, -0.5}[k], [4]float32{-0.5, -0.5, 0.5, 0.5}[k]
				var p v3
				switch ax {
				case 0:
					p, n = v3{sg, u, v}, v3{2 * sg, 0, 0}
				case 1:
					p, n = v3{v, sg, u}, v3{0, 2 * sg, 0}
				default:
					p, n = v3{u, v, sg}, v3{0, 0, 2 * sg}
				}
				p = v3{p.x * s.x * (1 - 0.3*p.y), p.y * s.y * (1 - 0.4*p.x), p.z * s.z}
				ms.p = append(ms.p, m.at(p))
				ms.n = append(ms.n, m.dir(n))
				ms.c = append(ms.c, col.mul(0.9+0.2*float32(k&1)))
			}
			if sg > 0 {
				ms.idx = append(ms.idx, o, o+1, o+2, o, o+2, o+3)
			} else {
				ms.idx = append(ms.idx, o, o+2, o+1, o, o+3, o+2)
			}
		}
	}
}
