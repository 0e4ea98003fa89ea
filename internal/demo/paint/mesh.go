package paint

// start empties the frame's scratch mesh for a new surface.
func (f *frame) start(mat uint8) *mesh {
	m := &f.mesh
	m.p, m.n, m.c, m.idx = m.p[:0], m.n[:0], m.c[:0], m.idx[:0]
	m.mat = mat
	return m
}

// grid adds a surface given over the unit square by fn, with nu x nv cells;
// wrap joins the two ends of u. Normals come from neighbouring corners.
func (m *mesh) grid(nu, nv int, wrap bool, fn func(u, v float32) (p, c v3)) {
	base := len(m.p)
	w := nv + 1
	for i := 0; i <= nu; i++ {
		for j := 0; j <= nv; j++ {
			if wrap && i == nu {
				m.p = append(m.p, m.p[base+j])
				m.c = append(m.c, m.c[base+j])
				continue
			}
			p, c := fn(float32(i)/float32(nu), float32(j)/float32(nv))
			m.p = append(m.p, p)
			m.c = append(m.c, c)
		}
	}
	ps := m.p[base:]
	for i := 0; i <= nu; i++ {
		i0, i1 := max(i-1, 0), min(i+1, nu)
		if wrap {
			if i == 0 {
				i0 = nu - 1
			}
			if i == nu {
				i1 = 1
			}
		}
		for j := 0; j <= nv; j++ {
			j0, j1 := max(j-1, 0), min(j+1, nv)
			du := ps[i1*w+j].sub(ps[i0*w+j])
			dv := ps[i*w+j1].sub(ps[i*w+j0])
			n := du.cross(dv)
			if l := n.dot(n); l < 1e-14 { // a pole: borrow the next ring's direction
				jj := j
				if j == 0 {
					jj = 1
				} else if j == nv {
					jj = nv - 1
				}
				du = ps[i1*w+jj].sub(ps[i0*w+jj])
				n = du.cross(dv)
			}
			m.n = append(m.n, n.unit())
		}
	}
	for i := 0; i < nu; i++ {
		for j := 0; j < nv; j++ {
			a := int32(base + i*w + j)
			b := a + int32(w)
			m.idx = append(m.idx, a, b, b+1, a, b+1, a+1)
		}
	}
}

// blade adds a tapered strip along the points, widest w at its middle, turned
// to show its flat side along the given direction.
func (m *mesh) blade(pts []v3, side v3, w float32, c0, c1 v3) {
	base := int32(len(m.p))
	last := float32(len(pts) - 1)
	for i, p := range pts {
		t := float32(i) / last
		k := w * 0.5 * (1 - t*t*t) * (0.6 + 0.8*t)
		var along v3
		if i+1 < len(pts) {
			along = pts[i+1].sub(p)
		} else {
			along = p.sub(pts[i-1])
		}
		n := along.cross(side).unit()
		c := c0.mix(c1, t)
		m.p = append(m.p, p.add(side.mul(k)), p.sub(side.mul(k)))
		m.n = append(m.n, n.add(side.mul(0.35)).unit(), n.sub(side.mul(0.35)).unit())
		m.c = append(m.c, c, c.mul(0.86))
		if i > 0 {
			a := base + int32(2*i) - 2
			// wound so that the front face carries n outwards
			m.idx = append(m.idx, a, a+1, a+3, a, a+3, a+2)
		}
	}
}

// tube adds a round tube along a path: fn gives centre, radius and colour at
// (t along, a around 0..1).
func (m *mesh) tube(nt, na int, fn func(t float32) (c v3, r float32), tint func(t, a float32) (v3, float32)) {
	m.grid(na, nt, true, func(u, t float32) (v3, v3) {
		c, r := fn(t)
		const e = 0.02
		c1, _ := fn(clamp(t+e, 0, 1))
		c0, _ := fn(clamp(t-e, 0, 1))
		ax := c1.sub(c0).unit()
		ref := v3{0, 1, 0}
		if abs(ax.y) > 0.8 {
			ref = v3{1, 0, 0}
		}
		s := ref.cross(ax).unit()
		q := ax.cross(s)
		col, bump := tint(t, u)
		an := 2 * pi * u
		return c.add(s.mul(cos(an) * (r + bump))).add(q.mul(sin(an) * (r + bump))), col
	})
}

// detail picks a grid count for a length of mm seen at the scale k px/mm, one
// corner every step pixels.
func detail(mm, k, step float32, lo, hi int) int {
	return max(lo, min(hi, int(mm*k/(1.2*step))))
}
