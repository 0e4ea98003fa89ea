package card

import (
	"math"
	"math/bits"
)

// seen is a tag as read from a level: its corners in the photograph, upper
// left first, clockwise as it stands upright.
type seen struct {
	id       int
	corners  [4]Pixel
	distance int // bits that had to be mended
	side     float64
}

// square maps the unit square of a tag's black square to four corners.
type square struct{ h [8]float64 }

var unit = [][2]float64{{0, 0}, {1, 0}, {1, 1}, {0, 1}}

func squareOf(q [4]Pixel) (square, bool) {
	h, ok := homography(unit, q[:])
	return square{h}, ok
}

func (s *square) at(u, v float64) (x, y float64) {
	w := s.h[6]*u + s.h[7]*v + 1
	return (s.h[0]*u + s.h[1]*v + s.h[2]) / w, (s.h[3]*u + s.h[4]*v + s.h[5]) / w
}

// What reading a square gave.
const (
	readNothing  = iota
	readForeign  // a dark ring in a light one, but no code
	readMirrored // a code in a mirror
	readTag
)

const (
	maxMended  = 2 // wrong bits of a tag found anywhere
	maxWrong   = 7 // wrong bits of a tag that is known to lie there
	anyTag     = -1
	ringWrong  = 6 // of 32 places round a tag where light doesn't turn to dark
	ringHidden = 12
)

// read reads the tag inside four corners of a level: any, or one that must be
// there and may be partly hidden.
func (l *level) read(q [4]Pixel, want int) (s seen, what int) {
	sq, ok := squareOf(q)
	if !ok {
		return s, readNothing
	}
	var v [tagCells][tagCells]float64
	for r := range tagCells {
		for c := range tagCells {
			v[r][c] = l.cell(&sq, c, r)
		}
	}
	wrong := ringWrong
	if want != anyTag {
		wrong = ringHidden
	}
	if !ringStands(&v, wrong) {
		return s, readNothing
	}
	for _, way := range [4][2]float64{{0, .5}, {0, .62}, {.4, .6}, {.8, .6}} {
		word := readWord(&v, way[0], way[1])
		id, turns, d := tag36h11().nearest(word, want)
		if d <= maxMended || want != anyTag && d <= maxWrong {
			s = seen{id: id, distance: d}
			for i := range 4 { // what is upper left when upright
				p := q[(i+turns)%4]
				s.corners[i] = l.up(p.X, p.Y)
			}
			s.side = side(s.corners)
			return s, readTag
		}
	}
	var m [tagCells][tagCells]float64
	for r := range m {
		for c := range m {
			m[r][c] = v[c][r]
		}
	}
	s.corners[0] = l.up(q[0].X, q[0].Y)
	if _, _, d := tag36h11().match(readWord(&m, 0, .5)); d <= maxMended {
		return s, readMirrored
	}
	if light := bits.OnesCount64(readWord(&v, 0, .5)); light < plain || light > 36-plain {
		return s, readNothing // a square of a chessboard, a stone
	}
	return s, readForeign
}

// plain is how many of the 36 cells inside must differ from the rest before a
// square counts as some maker's tag: fewer than any code of the family has.
const plain = 6

func side(q [4]Pixel) float64 {
	return (math.Hypot(q[0].X-q[2].X, q[0].Y-q[2].Y) + math.Hypot(q[1].X-q[3].X, q[1].Y-q[3].Y)) / 2 / math.Sqrt2
}

// cell is the mean grey about a cell's middle.
func (l *level) cell(sq *square, c, r int) float64 {
	sum := 0.0
	for k := range 5 {
		u := (float64(c) - .5 + [5]float64{0, -.2, .2, -.2, .2}[k]) / blackCells
		v := (float64(r) - .5 + [5]float64{0, -.2, -.2, .2, .2}[k]) / blackCells
		x, y := sq.at(u, v)
		sum += l.at(x, y)
	}
	return sum / 5
}

// ringStands reports whether a dark ring stands in a light one, but for most
// of the 32 places along it.
func ringStands(v *[tagCells][tagCells]float64, most int) bool {
	var dark, light, nd, nl float64
	each := func(fn func(r, c int, outer bool)) {
		for i := range tagCells {
			for _, p := range [4][2]int{{0, i}, {tagCells - 1, i}, {i, 0}, {i, tagCells - 1}} {
				fn(p[0], p[1], true)
			}
		}
		for i := 1; i < tagCells-1; i++ {
			for _, p := range [4][2]int{{1, i}, {tagCells - 2, i}, {i, 1}, {i, tagCells - 2}} {
				fn(p[0], p[1], false)
			}
		}
	}
	each(func(r, c int, outer bool) {
		if outer {
			light, nl = light+v[r][c], nl+1
		} else {
			dark, nd = dark+v[r][c], nd+1
		}
	})
	dark, light = dark/nd, light/nl
	if light-dark < minContrast {
		return false
	}
	// Each cell against its neighbour across the edge, so that shade across the
	// tag does no harm.
	wrong := 0
	for i := 1; i < tagCells-1; i++ {
		for _, p := range [4][4]int{{0, i, 1, i}, {9, i, 8, i}, {i, 0, i, 1}, {i, 9, i, 8}} {
			if v[p[0]][p[1]]-v[p[2]][p[3]] < .2*(light-dark) {
				wrong++
			}
		}
	}
	return wrong <= most
}

// readWord tells dark from light cells by two planes of brightness, through
// the ring of light and that of dark cells: light is what lies more than a
// part of the way from one to the other.
func readWord(v *[tagCells][tagCells]float64, sharpen, part float64) uint64 {
	f := tag36h11()
	light, dark := ringPlane(v, 0), ringPlane(v, 1)
	var word uint64
	for i := range codeBits {
		r, c := f.row[i]+1, f.col[i]+1
		x := v[r][c] + sharpen*(v[r][c]-(v[r-1][c]+v[r+1][c]+v[r][c-1]+v[r][c+1])/4)
		dx, dy := float64(c)-4.5, float64(r)-4.5
		lo, hi := dark[0]+dark[1]*dx+dark[2]*dy, light[0]+light[1]*dx+light[2]*dy
		word <<= 1
		if x > lo+part*(hi-lo) {
			word |= 1
		}
	}
	return word
}

// ringPlane is mean and slopes of the ring at a depth: on a symmetric ring
// the three are independent.
func ringPlane(v *[tagCells][tagCells]float64, depth int) (p [3]float64) {
	lo, hi := depth, tagCells-1-depth
	var n, sx, sy float64
	for r := lo; r <= hi; r++ {
		for c := lo; c <= hi; c++ {
			if r != lo && r != hi && c != lo && c != hi {
				continue
			}
			x, y := float64(c)-4.5, float64(r)-4.5
			n, sx, sy = n+1, sx+x*x, sy+y*y
			p[0], p[1], p[2] = p[0]+v[r][c], p[1]+v[r][c]*x, p[2]+v[r][c]*y
		}
	}
	return [3]float64{p[0] / n, p[1] / sx, p[2] / sy}
}
