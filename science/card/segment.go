package card

import (
	"encoding/binary"
	"math"
	"math/bits"
)

const (
	tile         = 4    // pixels: side of the squares whose darkest and lightest pixel count
	nearby, afar = 1, 4 // tiles round one that set its threshold, and where that is too even
	minContrast  = 14   // of 255 between dark and light, below which nothing is seen
	leastSide    = 7    // pixels of a level: the smallest tag looked for
	mostSide     = 110
)

// Bits of the mask.
const (
	isDark  = 1
	wasSeen = 2
)

// extremes are the darkest and lightest pixel of each tile and round it.
type extremes struct {
	w, h              int
	lo, hi            []uint8
	nearLo, nearHi    []uint8
	farLo, farHi      []uint8
	scratch, scratch2 []uint8
}

func (e *extremes) measure(l *level) {
	e.w, e.h = (l.w+tile-1)/tile, (l.h+tile-1)/tile
	n := e.w * e.h
	for _, s := range []*[]uint8{&e.lo, &e.hi, &e.nearLo, &e.nearHi, &e.farLo, &e.farHi, &e.scratch, &e.scratch2} {
		*s = grown(*s, n)
	}
	pairs := l.w / (2 * tile) // of tiles that are as wide as they should be
	for ty := range e.h {
		lo, hi := e.lo[ty*e.w:][:e.w], e.hi[ty*e.w:][:e.w]
		rows := l.pix[ty*tile*l.stride:]
		n := min(tile, l.h-ty*tile)
		done := 0
		if n == tile {
			done = 2 * pairs
			ofPairs(lo[:done], hi[:done], rows, l.stride)
		}
		for tx := done; tx < e.w; tx++ {
			a, b := uint8(255), uint8(0)
			for y := range n {
				for _, v := range rows[y*l.stride+tx*tile : y*l.stride+min(tx*tile+tile, l.w)] {
					a, b = min(a, v), max(b, v)
				}
			}
			lo[tx], hi[tx] = a, b
		}
	}
	// A square of nine tiles is made of three times three squares of three.
	e.spread(e.lo, e.hi, e.nearLo, e.nearHi, nearby)
	e.spread(e.nearLo, e.nearHi, e.farLo, e.farHi, afar-nearby)
}

// ofPairs takes the extremes of whole tiles, two at a time.
func ofPairs(lo, hi, rows []uint8, stride int) {
	for tx := 0; tx+2 <= len(lo); tx += 2 {
		p := rows[tx*tile:]
		a, b := sorted(load8(p), load8(p[stride:]))
		c, d := sorted(load8(p[2*stride:]), load8(p[3*stride:]))
		a, _ = sorted(a, c)
		_, b = sorted(b, d)
		a, _ = sorted(a, a>>8)
		_, b = sorted(b, b>>8)
		a, _ = sorted(a, a>>16)
		_, b = sorted(b, b>>16)
		lo[tx], lo[tx+1] = uint8(a), uint8(a>>32)
		hi[tx], hi[tx+1] = uint8(b), uint8(b>>32)
	}
}

// spread takes the extremes over each tile and the eight that lie d away from it
// across, down or both; beyond an edge that at the edge.
func (e *extremes) spread(lo, hi, outLo, outHi []uint8, d int) {
	for y := range e.h {
		a, b := lo[y*e.w:][:e.w], hi[y*e.w:][:e.w]
		u, v := e.scratch[y*e.w:][:e.w], e.scratch2[y*e.w:][:e.w]
		inside := max(e.w-2*d, 0)
		if inside > 0 {
			extremesOfThree(u[d:d+inside], v[d:d+inside], [3][]uint8{a, a[d:], a[2*d:]}, [3][]uint8{b, b[d:], b[2*d:]})
		}
		// Near the ends, where that at the end stands for what lies beyond.
		for x := 0; x < e.w; x++ {
			if x == d && inside > 0 {
				x += inside
			}
			l, r := max(x-d, 0), min(x+d, e.w-1)
			u[x], v[x] = min(a[x], a[l], a[r]), max(b[x], b[l], b[r])
		}
	}
	for y := range e.h {
		up, here, down := max(y-d, 0)*e.w, y*e.w, min(y+d, e.h-1)*e.w
		rows := func(s []uint8) [3][]uint8 { return [3][]uint8{s[up:][:e.w], s[here:][:e.w], s[down:][:e.w]} }
		extremesOfThree(outLo[here:][:e.w], outHi[here:][:e.w], rows(e.scratch), rows(e.scratch2))
	}
}

// threshold is the grey a part of the way from dark to light near a tile, 0
// where it is too even to tell them apart.
func (e *extremes) threshold(i int, part float32) uint8 {
	if lo, hi := e.nearLo[i], e.nearHi[i]; hi-lo >= minContrast && 2*(hi-lo) >= e.farHi[i]-e.farLo[i] {
		return lo + uint8(float32(hi-lo)*part+.5)
	}
	if lo, hi := e.farLo[i], e.farHi[i]; hi-lo >= minContrast {
		return lo + uint8(float32(hi-lo)*part+.5)
	}
	return 0
}

// darken marks the dark pixels of a level in the mask, which has a margin of
// one light pixel all round.
func (f *Finder) darken(l *level, part float32) {
	f.tiles.measure(l)
	w := l.w + 2
	f.mask = grown(f.mask, w*(l.h+2))
	clear(f.mask[:w])
	clear(f.mask[w*(l.h+1):])
	f.lines = grown(f.lines, f.tiles.w*tile)
	for ty := range f.tiles.h {
		for tx := range f.tiles.w {
			t := f.tiles.threshold(ty*f.tiles.w+tx, part)
			binary.LittleEndian.PutUint32(f.lines[tx*tile:], uint32(t)*0x01010101)
		}
		for y := ty * tile; y < min(ty*tile+tile, l.h); y++ {
			m := f.mask[(y+1)*w:][:w]
			m[0], m[w-1] = 0, 0
			darkenRow(m[1:w-1], l.pix[y*l.stride:][:l.w], f.lines)
		}
	}
}

// darkenRow marks what lies below its line.
func darkenRow(mask, row, lines []uint8) {
	x := 0
	for ; x+8 <= len(mask); x += 8 {
		binary.LittleEndian.PutUint64(mask[x:], below(load8(row[x:]), load8(lines[x:]))>>7)
	}
	for ; x < len(mask); x++ {
		mask[x] = 0
		if row[x] < lines[x] {
			mask[x] = isDark
		}
	}
}

// corner is a point where pixels meet: that of (x, y) is the upper left one
// of pixel (x, y).
type corner struct{ x, y int32 }

// outlines follows the outer edge of each dark area of the level and calls
// visit with those whose size may be a tag's.
func (f *Finder) outlines(l *level, visit func(area float64)) {
	w := l.w + 2
	try := func(x, y int) {
		if area, ok := f.follow(w, x, y); ok {
			visit(area)
		}
	}
	for y := 1; y <= l.h; y++ {
		row := f.mask[y*w : (y+1)*w]
		x := 1
		for ; x+8 <= w; x += 8 {
			now := load8(row[x:])
			// Dark, not seen, and light to the left.
			for c := now &^ (now >> 1) &^ load8(row[x-1:]) & each; c != 0; c &= c - 1 {
				// What was followed before may have gone by here.
				if at := x + bits.TrailingZeros64(c)/8; row[at] == isDark {
					try(at, y)
				}
			}
		}
		for ; x <= l.w; x++ {
			if row[x] == isDark && row[x-1]&isDark == 0 {
				try(x, y)
			}
		}
	}
}

// follow walks round a dark area from the left side of a pixel, along the cracks
// between pixels and with the dark on its right hand, keeping the way in f.edge as
// pixels of the level, and tells its area. Its ways are up, right, down and left. Areas that are
// holes, too small or too large are not ok.
func (f *Finder) follow(w, x, y int) (area float64, ok bool) {
	const most = 4 * mostSide * 2
	f.edge = f.edge[:0]
	// Offsets into the mask of the pixels ahead, left and right, by way, and of the
	// next point.
	left := [4]int{-w - 1, -w, 0, -1}
	right := [4]int{-w, 0, -1, -w - 1}
	on := [4]int{-w, 1, w, -1}
	mask := f.mask
	start := corner{int32(x), int32(y + 1)}
	at, way, i := start, 0, (y+1)*w+x
	sum, n := int64(0), 0
	lo, hi := start, start
	for {
		if n++; n <= most {
			f.edge = append(f.edge, at)
		}
		// Twice the area is the sum of x·dy - y·dx.
		switch way {
		case 0:
			mask[i-w] |= wasSeen
			sum -= int64(at.x)
			at.y--
			lo.y = min(lo.y, at.y)
		case 1:
			sum -= int64(at.y)
			at.x++
			hi.x = max(hi.x, at.x)
		case 2:
			sum += int64(at.x)
			at.y++
			hi.y = max(hi.y, at.y)
		default:
			sum += int64(at.y)
			at.x--
			lo.x = min(lo.x, at.x)
		}
		i += on[way&3]
		switch {
		case mask[i+left[way&3]]&isDark != 0:
			way = (way + 3) & 3
		case mask[i+right[way&3]]&isDark == 0:
			way = (way + 1) & 3
		}
		if at == start && way == 0 {
			break
		}
	}
	long, short := max(hi.x-lo.x, hi.y-lo.y), min(hi.x-lo.x, hi.y-lo.y)
	area = float64(sum) / 2
	return area, n <= most && area >= leastSide*leastSide*.6 && long <= mostSide*3/2 && long >= leastSide && short >= 4
}

// quad finds the four corners of the outline in f.edge, in pixels of the
// level, clockwise; false when it is no four-sided thing.
func (f *Finder) quad(area float64) (q [4]Pixel, ok bool) {
	n := len(f.edge)
	var mx, my float64
	for _, c := range f.edge {
		mx, my = mx+float64(c.x), my+float64(c.y)
	}
	a := f.farthest(mx/float64(n), my/float64(n))
	c := f.farthest(float64(f.edge[a].x), float64(f.edge[a].y))
	if a > c {
		a, c = c, a
	}
	b, okB := f.off(a, c, a, c)
	d, okD := f.off(c, a+n, a, c)
	if !okB || !okD {
		return q, false
	}
	at := [5]int{a, b, c, d, a + n}
	var lines [4][3]float64 // normal and distance
	for i := range 4 {
		if lines[i], ok = f.side(at[i], at[i+1]); !ok {
			return q, false
		}
	}
	for i := range 4 { // corner i lies between sides i-1 and i
		l, m := lines[(i+3)%4], lines[i]
		det := l[0]*m[1] - l[1]*m[0]
		if math.Abs(det) < .1 {
			return q, false
		}
		// The mask's margin shifts by one, and corners lie half a pixel up left.
		q[i] = Pixel{(l[2]*m[1]-l[1]*m[2])/det - 1.5, (l[0]*m[2]-l[2]*m[0])/det - 1.5}
	}
	s := 0.0
	for i := range 4 {
		j := (i + 1) % 4
		s += q[i].X*q[j].Y - q[j].X*q[i].Y
	}
	s /= 2
	return q, s > 0 && area/s > .75 && area/s < 1.25 && convex(q)
}

func convex(q [4]Pixel) bool {
	for i := range 4 {
		a, b, c := q[i], q[(i+1)%4], q[(i+2)%4]
		if (b.X-a.X)*(c.Y-b.Y)-(b.Y-a.Y)*(c.X-b.X) <= 0 {
			return false
		}
	}
	return true
}

func (f *Finder) farthest(x, y float64) int {
	best, at := -1.0, 0
	for i, c := range f.edge {
		dx, dy := float64(c.x)-x, float64(c.y)-y
		if d := dx*dx + dy*dy; d > best {
			best, at = d, i
		}
	}
	return at
}

// off is the point of the outline from index i to j that lies farthest
// outside the line through the points a and c.
func (f *Finder) off(i, j, a, c int) (int, bool) {
	n := len(f.edge)
	p, q := f.edge[a], f.edge[c]
	dx, dy := float64(q.x-p.x), float64(q.y-p.y)
	best, at := 0.0, 0
	for k := i + 1; k < j; k++ {
		e := f.edge[k%n]
		if d := math.Abs(dx*float64(e.y-p.y) - dy*float64(e.x-p.x)); d > best {
			best, at = d, k
		}
	}
	return at, best > .03*(dx*dx+dy*dy)
}

// side lays a line through the outline from index i to j, without its ends.
func (f *Finder) side(i, j int) (l [3]float64, ok bool) {
	n := len(f.edge)
	cut := max(1, (j-i)/8)
	i, j = i+cut, j-cut
	m := float64(j - i + 1)
	if m < 4 {
		return l, false
	}
	var sx, sy, sxx, sxy, syy float64
	for k := i; k <= j; k++ {
		c := f.edge[k%n]
		x, y := float64(c.x), float64(c.y)
		sx, sy, sxx, sxy, syy = sx+x, sy+y, sxx+x*x, sxy+x*y, syy+y*y
	}
	sx, sy = sx/m, sy/m
	sxx, sxy, syy = sxx/m-sx*sx, sxy/m-sx*sy, syy/m-sy*sy
	// The normal belongs to the smaller eigenvalue.
	mean, half := (sxx+syy)/2, math.Hypot((sxx-syy)/2, sxy)
	theta := math.Atan2(2*sxy, sxx-syy)/2 + math.Pi/2
	l[1], l[0] = math.Sincos(theta)
	l[2] = l[0]*sx + l[1]*sy
	rest := max(mean-half, 0)
	length := math.Sqrt(12 * max(mean+half, 0))
	return l, rest < .5+.0025*length*length*.5
}
