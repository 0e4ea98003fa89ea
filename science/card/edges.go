package card

import (
	"math"
	"sync"
)

// linearLight takes an sRGB-coded grey to light (IEC 61966-2-1). The lens
// blurs light and the camera codes it afterwards, so that halfway between
// black and white of the code is not where the edge lies: found there, each
// tag looks smaller, by 0.67 of the blur's sigma at each side.
var linearLight = sync.OnceValue(func() *[256]float32 {
	var t [256]float32
	for i := range t {
		x := float64(i) / 255
		if x <= .04045 {
			x /= 12.92
		} else {
			x = math.Pow((x+.055)/1.055, 2.4)
		}
		t[i] = float32(x)
	}
	return &t
})

// phi is the normal distribution's function, tabled from -4 to 4.
var phi = sync.OnceValue(func() *[1026]float64 {
	var t [1026]float64
	for i := range t {
		t[i] = (1 + math.Erf((float64(i)/128-4)/math.Sqrt2)) / 2
	}
	return &t
})

// step is a black to white edge blurred by sigma 1, and its slope.
func step(t *[1026]float64, x float64) (value, slope float64) {
	x = (x + 4) * 128
	if x <= 0 {
		return 0, 0
	}
	if x >= 1024 {
		return 1, 0
	}
	i := int(x)
	d := t[i+1] - t[i]
	return t[i] + d*(x-float64(i)), d * 128
}

// crack is a border between a dark and a light cell, as it is seen on an
// upright tag: a piece of a line of the tag's grid one cell long.
type crack struct {
	along   bool // it runs along u; otherwise along v
	line    int  // which line of the grid, 0 to 8 across the black square
	cell    int  // which cell along it, 0 to 7
	pattern [6]int8
}

// cracks lists the borders of a tag. pattern holds the six cells across the
// border, three to each side, 1 light, 0 dark.
func cracks(id int) []crack {
	cells, err := Cells(id)
	if err != nil {
		return nil
	}
	light := func(along bool, i, j int) int8 { // i across, j along; beyond the ring all is light
		if i < 0 || i >= tagCells {
			return 1
		}
		if along && cells[i][j] || !along && cells[j][i] {
			return 1
		}
		return 0
	}
	var out []crack
	for _, along := range []bool{true, false} {
		for line := 0; line <= blackCells; line++ {
			for cell := range blackCells {
				var k crack
				k.along, k.line, k.cell = along, line, cell
				for p := range k.pattern {
					k.pattern[p] = light(along, line-2+p, cell+1)
				}
				if k.pattern[2] != k.pattern[3] {
					out = append(out, k)
				}
			}
		}
	}
	return out
}

// sight is where a crack was seen: a point of the border on the tag, its
// normal in the photograph, and how far along it the edge lies from where
// the point was thought to be.
type sight struct {
	x, y   float64 // on the card, mm
	at     Pixel   // where it was thought to be
	nx, ny float64 // unit normal
	off    float64 // px along the normal
	sigma  float64 // px, of off
	weight float64 // given by the fit
	light  float64 // 1 where the normal points to the light side, -1 where to the dark
}

// profile is what looking across a border gives.
type profile struct {
	d, v [48]float64 // px along the normal, light
	n    int
}

// gather samples light across a border of a tag whose square is known. It
// tells the point, the normal and how many pixels one cell measures.
func (f *Finder) gather(l *level, sq *square, k *crack, blur float64, p *profile) (at Pixel, nx, ny, cellPx float64, ok bool) {
	const cell = 1. / blackCells
	u, v := float64(k.line)*cell, (float64(k.cell)+.5)*cell
	du, dv := cell, 0.
	if k.along {
		u, v = v, u
		du, dv = 0, cell
	}
	x, y := sq.at(u, v)
	x1, y1 := sq.at(u+du*.5, v+dv*.5)
	x0, y0 := sq.at(u-du*.5, v-dv*.5)
	tx1, ty1 := sq.at(u+dv*.5, v+du*.5) // along the border
	tx0, ty0 := sq.at(u-dv*.5, v-du*.5)
	tx, ty := tx1-tx0, ty1-ty0
	t := math.Hypot(tx, ty)
	ax, ay := x1-x0, y1-y0
	nx, ny = ty/t, -tx/t
	if nx*ax+ny*ay < 0 {
		nx, ny = -nx, -ny
	}
	cellPx = nx*ax + ny*ay
	if !(cellPx > .8) || !(t > .8) {
		return at, 0, 0, 0, false
	}
	reach := min(2.6*blur+1.2, 1.3*cellPx)
	stepPx := max(.5, reach/20)
	side := int(reach / stepPx)
	// Averaged along the middle part of the border, a pixel apart.
	lanes := min(max(int(t*.6), 1), 9)
	lin := linearLight()
	around := reach*math.Hypot(ax, ay)/cellPx + .3*t + 2
	l.need(int(x-around), int(y-around), int(x+around)+1, int(y+around)+1)
	p.n = 0
	for i := -side; i <= side; i++ {
		d := float64(i) * stepPx
		px, py := x+ax*d/cellPx, y+ay*d/cellPx
		sum, in := 0., 0
		for j := range lanes {
			w := (float64(j) - float64(lanes-1)/2) / float64(max(lanes, 1)) * .6
			qx, qy := px+tx*w, py+ty*w
			ix, iy := int(math.Floor(qx)), int(math.Floor(qy))
			if ix < 0 || iy < 0 || ix >= l.w-1 || iy >= l.h-1 {
				continue
			}
			fx, fy := qx-float64(ix), qy-float64(iy)
			o := iy*l.stride + ix
			a, b := float64(lin[l.pix[o]]), float64(lin[l.pix[o+1]])
			c, e := float64(lin[l.pix[o+l.stride]]), float64(lin[l.pix[o+l.stride+1]])
			sum += (a+(b-a)*fx)*(1-fy) + (c+(e-c)*fx)*fy
			in++
		}
		if in > 0 {
			p.d[p.n], p.v[p.n] = d, sum/float64(in)
			p.n++
		}
	}
	return Pixel{x, y}, nx, ny, cellPx, p.n >= 5
}

// edgeFit is where a profile's edge lies, by least squares of dark + (light -
// dark) x the border's pattern blurred.
type edgeFit struct {
	off, sigma float64 // px
	contrast   float64
	rest       float64 // mean square of what is left
}

// place fits the border's pattern to a profile: three cells to each side,
// each a cell wide, blurred by a Gaussian.
func place(p *profile, k *crack, cellPx, blur, from float64) (e edgeFit, ok bool) {
	table := phi()
	e.off = from
	for range 6 {
		// Normal equations for dark, contrast and shift.
		var a [3][3]float64
		var b [3]float64
		sq := 0.
		type row struct{ m, s float64 }
		var rows [48]row
		var s1, sm, sv, smm, smv float64
		for i := range p.n {
			m, s := model(table, k, (p.d[i]-e.off)/blur, cellPx/blur)
			rows[i] = row{m, s / blur}
			s1, sm, sv, smm, smv = s1+1, sm+m, sv+p.v[i], smm+m*m, smv+m*p.v[i]
		}
		det := s1*smm - sm*sm
		if det < 1e-9 {
			return e, false
		}
		e.contrast = (s1*smv - sm*sv) / det
		dark := (sv - e.contrast*sm) / s1
		for i := range p.n {
			j := [3]float64{1, rows[i].m, -e.contrast * rows[i].s}
			rest := p.v[i] - dark - e.contrast*rows[i].m
			sq += rest * rest
			for r := range 3 {
				for c := range 3 {
					a[r][c] += j[r] * j[c]
				}
				b[r] += j[r] * rest
			}
		}
		inv, fine := invert3([9]float64{a[0][0], a[0][1], a[0][2], a[1][0], a[1][1], a[1][2], a[2][0], a[2][1], a[2][2] + 1e-15})
		if !fine || inv[8] <= 0 {
			return e, false
		}
		move := inv[6]*b[0] + inv[7]*b[1] + inv[8]*b[2]
		limit := .5*blur + .3
		move = min(max(move, -limit), limit)
		e.off += move
		e.rest = sq / float64(max(p.n-3, 1))
		// Samples closer than a pixel and blurred together are not independent.
		apart := (p.d[p.n-1] - p.d[0]) / float64(p.n-1)
		e.sigma = math.Sqrt(e.rest * inv[8] * max(1, 1/apart))
		if math.Abs(move) < .003 {
			break
		}
	}
	return e, !math.IsNaN(e.off) && math.Abs(e.off) < p.d[p.n-1]
}

// model is the light of a border's pattern at x sigmas from the border, cells
// being w sigmas wide, and its slope.
func model(t *[1026]float64, k *crack, x, w float64) (value, slope float64) {
	value = float64(k.pattern[0])
	for i := 1; i < len(k.pattern); i++ {
		if j := k.pattern[i] - k.pattern[i-1]; j != 0 {
			v, s := step(t, x-float64(i-3)*w)
			value += float64(j) * v
			slope += float64(j) * s
		}
	}
	return value, slope
}
