package paint

import "sync"

// Surface kinds: the low bits of gpix.mat. The high bits mark parts that tests
// and later passes need to find again.
const (
	matNone uint8 = iota
	matMatt
	matSatin
	matWet
	matLeaf
	matGrass
	matWood
	matCard
	matJelly
	matGround
	matKinds

	heroBit uint8 = 0x40 // part of the main fruitbody
	capBit  uint8 = 0x20 // its upper or main coloured surface
	kindOf  uint8 = 0x1f
)

// gpix is what the first pass keeps of the nearest surface in a pixel.
type gpix struct {
	r, g, b    uint16 // albedo, linear
	nx, ny, nz int8
	mat        uint8
}

// mesh is a list of triangles with a normal and colour per corner.
type mesh struct {
	p, n, c []v3
	idx     []int32
	mat     uint8
}

// camera is a pinhole camera; f is in pixels.
type camera struct {
	pos, right, up, fwd v3
	f                   float32
}

// lookAt places a camera at pos looking at target; frame is the width in mm of
// the plane through target that fills the picture's width.
func lookAt(pos, target, up v3, frame float32) camera {
	d := target.sub(pos)
	c := camera{pos: pos, fwd: d.unit()}
	c.right = c.fwd.cross(up).unit()
	c.up = c.right.cross(c.fwd)
	c.f = Width * d.len() / frame
	return c
}

// project gives pixel coordinates (pixel centres at integers) and 1/depth.
func (c *camera) project(p v3) (sx, sy, iz float32) {
	d := p.sub(c.pos)
	z := d.dot(c.fwd)
	if z < 1 {
		return 0, 0, -1
	}
	iz = 1 / z
	return Width/2 + c.f*d.dot(c.right)*iz, Height/2 - c.f*d.dot(c.up)*iz, iz
}

// ray gives the direction through a pixel, with unit depth along fwd.
func (c *camera) ray(sx, sy float32) v3 {
	return c.fwd.add(c.right.mul((sx - Width/2) / c.f)).add(c.up.mul((Height/2 - sy) / c.f))
}

// pxPerMM is the scale at a point.
func (c *camera) pxPerMM(p v3) float32 {
	_, _, iz := c.project(p)
	if iz <= 0 {
		return 0
	}
	return c.f * iz
}

const shadowN = 640

// frame holds the buffers of one picture.
type frame struct {
	cam camera
	iz  []float32
	g   []gpix

	sun        v3 // towards the light
	lr, lu     v3 // axes of the shadow map
	lc         v3 // its centre
	lhalf      float32
	sm         []float32 // height towards the sun, nearest
	sx, sy, sz []float32 // scratch: projected corners
	hdr        []float32
	scratch    []float32
	mesh       mesh // reused by builders
	useShadow  bool
}

var framePool = sync.Pool{New: func() any {
	return &frame{
		iz:      make([]float32, Width*Height),
		g:       make([]gpix, Width*Height),
		sm:      make([]float32, shadowN*shadowN),
		hdr:     make([]float32, 3*Width*Height),
		scratch: make([]float32, 3*Width*Height),
	}
}}

func newFrame() *frame {
	f := framePool.Get().(*frame)
	clear(f.iz)
	clear(f.g)
	for i := range f.sm {
		f.sm[i] = -1e9
	}
	return f
}

// aim sets the sun direction and the square (half side in mm) about centre
// in which shadows are cast.
func (f *frame) aim(sun, centre v3, half float32) {
	f.sun = sun.unit()
	f.lr = f.sun.cross(v3{0.1, 1, 0.2}).unit()
	f.lu = f.lr.cross(f.sun)
	f.lc, f.lhalf = centre, half
}

// draw rasterises a mesh after moving it by m; cast says whether it throws a
// shadow.
func (f *frame) draw(ms *mesh, m xform, cast bool) {
	n := len(ms.p)
	if cap(f.sx) < n {
		f.sx, f.sy, f.sz = make([]float32, 2*n), make([]float32, 2*n), make([]float32, 2*n)
	}
	sx, sy, sz := f.sx[:n], f.sy[:n], f.sz[:n]
	for i, p := range ms.p {
		p = m.at(p)
		ms.p[i] = p
		sx[i], sy[i], sz[i] = f.cam.project(p)
	}
	turned := m != identity
	for i, v := range ms.n {
		if turned {
			v = m.dir(v).unit()
		}
		ms.n[i] = v.mul(127)
		c := ms.c[i]
		ms.c[i] = v3{clamp(c.x, 0, 1) * 65530, clamp(c.y, 0, 1) * 65530, clamp(c.z, 0, 1) * 65530}
	}
	for t := 0; t+2 < len(ms.idx); t += 3 {
		f.tri(ms, ms.idx[t], ms.idx[t+1], ms.idx[t+2], sx, sy, sz)
	}
	if cast && f.useShadow {
		f.castShadow(ms, sx, sy, sz)
	}
}

func (f *frame) tri(ms *mesh, a, b, c int32, sx, sy, sz []float32) {
	za, zb, zc := sz[a], sz[b], sz[c]
	if za <= 0 || zb <= 0 || zc <= 0 {
		return
	}
	ax, ay, bx, by, cx, cy := sx[a], sy[a], sx[b], sy[b], sx[c], sy[c]
	area := (bx-ax)*(cy-ay) - (cx-ax)*(by-ay)
	if !(area <= -1e-6 || area >= 1e-6) { // also drops corners that are no number
		return
	}
	x0, x1 := bounds(ax, bx, cx, Width)
	y0, y1 := bounds(ay, by, cy, Height)
	if x0 > x1 || y0 > y1 {
		return
	}
	inv := 1 / area
	// Normals are turned towards the camera by the side that shows.
	na, nb, nc := ms.n[a], ms.n[b], ms.n[c]
	if area > 0 {
		na, nb, nc = na.mul(-1), nb.mul(-1), nc.mul(-1)
	}
	ca, cb, cc := ms.c[a], ms.c[b], ms.c[c]
	wbx, wby := (cy-ay)*inv, -(cx-ax)*inv
	wcx, wcy := -(by-ay)*inv, (bx-ax)*inv
	for y := y0; y <= y1; y++ {
		dx, dy := float32(x0)-ax, float32(y)-ay
		wb := dx*wbx + dy*wby
		wc := dx*wcx + dy*wcy
		row := y * Width
		xa, xb := x0, x1
		if x1-x0 > 6 { // long thin triangles: go straight to the row's part
			lo, hi := float32(0), float32(x1-x0)
			lo, hi = narrow(wb, wbx, lo, hi)
			lo, hi = narrow(wc, wcx, lo, hi)
			lo, hi = narrow(1-wb-wc, -wbx-wcx, lo, hi)
			if lo > hi {
				continue
			}
			skip := int(lo)
			xa, xb = x0+skip, min(x0+int(hi)+1, x1)
			wb += float32(skip) * wbx
			wc += float32(skip) * wcx
		}
		for x := xa; x <= xb; x++ {
			wa := 1 - wb - wc
			if wa >= -1e-5 && wb >= -1e-5 && wc >= -1e-5 {
				iz := wa*za + wb*zb + wc*zc
				if i := row + x; iz > f.iz[i] {
					f.iz[i] = iz
					f.g[i] = gpix{
						uint16(int32(wa*ca.x + wb*cb.x + wc*cc.x)),
						uint16(int32(wa*ca.y + wb*cb.y + wc*cc.y)),
						uint16(int32(wa*ca.z + wb*cb.z + wc*cc.z)),
						int8(int32(wa*na.x + wb*nb.x + wc*nc.x)),
						int8(int32(wa*na.y + wb*nb.y + wc*nc.y)),
						int8(int32(wa*na.z + wb*nb.z + wc*nc.z)),
						ms.mat,
					}
				}
			}
			wb += wbx
			wc += wcx
		}
	}
}

// narrow cuts the range lo..hi of x to where w + x step is not negative.
func narrow(w, step, lo, hi float32) (float32, float32) {
	switch {
	case step > 1e-9:
		lo = max(lo, -w/step)
	case step < -1e-9:
		hi = min(hi, -w/step)
	case w < -1e-4:
		hi = -1
	}
	return lo, hi
}

// bounds gives the whole pixels between the least and greatest of three.
func bounds(a, b, c float32, n int) (int, int) {
	lo, hi := a, a
	if b < lo {
		lo = b
	} else {
		hi = b
	}
	if c < lo {
		lo = c
	}
	if c > hi {
		hi = c
	}
	if hi < 0 || lo > float32(n-1) {
		return 1, 0
	}
	i0 := 0
	if lo > 0 {
		i0 = int(lo)
		if float32(i0) < lo {
			i0++
		}
	}
	i1 := n - 1
	if hi < float32(n-1) {
		i1 = int(hi)
	}
	return i0, i1
}

// castShadow draws the (already moved) mesh into the shadow map.
func (f *frame) castShadow(ms *mesh, sx, sy, sz []float32) {
	k := shadowN / 2 / f.lhalf
	for i, p := range ms.p {
		d := p.sub(f.lc)
		sx[i] = shadowN/2 + k*d.dot(f.lr)
		sy[i] = shadowN/2 + k*d.dot(f.lu)
		sz[i] = d.dot(f.sun)
	}
	for t := 0; t+2 < len(ms.idx); t += 3 {
		a, b, c := ms.idx[t], ms.idx[t+1], ms.idx[t+2]
		x0, x1 := bounds(sx[a], sx[b], sx[c], shadowN)
		y0, y1 := bounds(sy[a], sy[b], sy[c], shadowN)
		if x0 > x1 || y0 > y1 {
			continue
		}
		area := (sx[b]-sx[a])*(sy[c]-sy[a]) - (sx[c]-sx[a])*(sy[b]-sy[a])
		if !(area <= -1e-6 || area >= 1e-6) {
			continue
		}
		inv := 1 / area
		for y := y0; y <= y1; y++ {
			dy := float32(y) - sy[a]
			for x := x0; x <= x1; x++ {
				dx := float32(x) - sx[a]
				wb := (dx*(sy[c]-sy[a]) - dy*(sx[c]-sx[a])) * inv
				wc := (dy*(sx[b]-sx[a]) - dx*(sy[b]-sy[a])) * inv
				if wb < 0 || wc < 0 || wb+wc > 1 {
					continue
				}
				z := sz[a] + wb*(sz[b]-sz[a]) + wc*(sz[c]-sz[a])
				if i := y*shadowN + x; z > f.sm[i] {
					f.sm[i] = z
				}
			}
		}
	}
}
