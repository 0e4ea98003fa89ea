package measure

import (
	"math"

	"trug/science/card"
)

const (
	rays     = 128
	firstPx  = 2.5 // innermost sample
	growth   = 1.04
	harmonic = 7   // of the smooth outline
	most     = 220 // samples on a ray
)

// fan is the picture along rays from a centre, at radii that grow by a
// constant factor.
type fan struct {
	p      *Picture
	centre card.Pixel
	// m takes the even plane, in which a cap is round, to the picture; its
	// determinant is 1, so that radii are pixels on the average.
	m           [4]float64
	narrow      float64 // how much shorter the shortest axis is
	noise       []float64
	steps       int
	tints       []tint
	cells       []int32    // of the tints in the grid of colours
	step        []float64  // how clear an edge is there, 0 to 1
	inner       []float64  // what edges lie further in, squares summed
	odds        []float64  // of being inside against outside, logarithms
	edge        [rays]int  // the sample at which each ray leaves
	least, last [rays]int  // between which it may
	held        [rays]bool // by a point that lies outside

	// Memory of the search for a path, used again and again.
	cost, best, next []float64
	from             []int8
	chances          []float64 // odds by cell of the grid of colours; nothing between uses
}

// radii are those of the samples on a ray.
var radii = func() (r [most]float64) {
	for k := range r {
		r[k] = firstPx * math.Pow(growth, float64(k))
	}
	return r
}()

func stepOf(r float64) float64 { return math.Log(max(r, firstPx)/firstPx) / math.Log(growth) }

var directions = func() (d [rays][2]float64) {
	for i := range d {
		d[i][1], d[i][0] = math.Sincos(2 * math.Pi * float64(i) / rays)
	}
	return d
}()

// begin makes a fan ready for what is asked, radii up to so many pixels. Its memory
// is used again.
func (f *fan) begin(p *Picture, a *Asked, to float64) {
	f.p, f.m, f.narrow, f.centre = p, [4]float64{1, 0, 0, 1}, 1, card.Pixel{}
	for _, q := range a.Inside {
		f.centre.X += q.X / float64(len(a.Inside))
		f.centre.Y += q.Y / float64(len(a.Inside))
	}
	if a.Plane != nil {
		f.flatten(a.Plane)
	}
	f.noise = p.noiseAt(f.centre)
	f.steps = min(int(stepOf(to*1.5))+1, most)
	n := rays * f.steps
	f.tints, f.cells = sized(f.tints, n), sized(f.cells, n)
	f.step, f.inner, f.odds = sized(f.step, n), sized(f.inner, n), sized(f.odds, n)
}

// flatten lays the rays out in the card's plane.
func (f *fan) flatten(p *card.Plane) {
	at, ok := p.ToCard(f.centre)
	if !ok {
		return
	}
	const e = .5
	x1, x0 := p.ToImage(card.Spot{X: at.X + e, Y: at.Y}), p.ToImage(card.Spot{X: at.X - e, Y: at.Y})
	y1, y0 := p.ToImage(card.Spot{X: at.X, Y: at.Y + e}), p.ToImage(card.Spot{X: at.X, Y: at.Y - e})
	m := [4]float64{x1.X - x0.X, y1.X - y0.X, x1.Y - x0.Y, y1.Y - y0.Y}
	det := math.Abs(m[0]*m[3] - m[1]*m[2])
	if !(det > 1e-9) {
		return
	}
	k := 1 / math.Sqrt(det)
	sq := 0.0
	for i := range m {
		m[i] *= k
		sq += m[i] * m[i]
	}
	// Singular values s and 1/s: s² + 1/s² = sq.
	s := math.Sqrt((sq + math.Sqrt(max(sq*sq-4, 0))) / 2)
	if s > 6 { // almost at the horizon
		return
	}
	f.m, f.narrow = m, 1/s
}

// at is where a point of the even plane is seen.
func (f *fan) at(x, y float64) card.Pixel {
	return card.Pixel{X: f.centre.X + f.m[0]*x + f.m[1]*y, Y: f.centre.Y + f.m[2]*x + f.m[3]*y}
}

// even takes a pixel to the even plane.
func (f *fan) even(q card.Pixel) (x, y float64) {
	det := f.m[0]*f.m[3] - f.m[1]*f.m[2]
	dx, dy := q.X-f.centre.X, q.Y-f.centre.Y
	return (f.m[3]*dx - f.m[1]*dy) / det, (f.m[0]*dy - f.m[2]*dx) / det
}

// bound sets between which samples each ray may leave: by the range of radii,
// and by the points that a person has shown.
func (f *fan) bound(a *Asked, from, to float64) {
	lo, hi := int(stepOf(from)), min(int(stepOf(to))+1, f.steps-2)
	for i := range rays {
		f.least[i], f.last[i], f.held[i] = lo, hi, false
	}
	near := func(q card.Pixel, set func(i, k int)) {
		x, y := f.even(q)
		r := math.Hypot(x, y)
		if r < firstPx {
			return
		}
		i := int(math.Round(math.Atan2(y, x)/(2*math.Pi)*rays)) + rays
		for d := -1; d <= 1; d++ {
			set((i+d)%rays, min(int(math.Round(stepOf(r))), f.steps-3))
		}
	}
	for _, q := range a.Inside {
		near(q, func(i, k int) { f.least[i] = max(f.least[i], k) })
	}
	for _, q := range a.Outside {
		near(q, func(i, k int) { f.last[i], f.held[i] = min(f.last[i], max(k-1, 1)), true })
	}
	for _, q := range a.Rim {
		near(q, func(i, k int) { f.least[i], f.last[i] = k, k+1 })
	}
	for i := range rays {
		f.least[i] = min(f.least[i], f.last[i])
	}
}

// sample takes the colours along each ray.
func (f *fan) sample() {
	level := make([]int, f.steps)
	for k := range level {
		level[k] = f.levelAt(radii[k])
	}
	for i, d := range directions {
		// From sample to sample a ray goes on in one direction of the picture.
		dx, dy := f.m[0]*d[0]+f.m[1]*d[1], f.m[2]*d[0]+f.m[3]*d[1]
		tints, cells := f.ray(i), f.cells[i*f.steps:][:f.steps]
		for k, l := range level {
			r := radii[k]
			t := f.p.tint(l, f.centre.X+r*dx, f.centre.Y+r*dy)
			tints[k], cells[k] = t, bin(t)
		}
	}
}

// levelAt is the level whose pixels are about as large as samples are apart.
func (f *fan) levelAt(r float64) int {
	level := 0
	for level+1 < len(f.p.levels) && float64(int(2)<<level) < r*.05*f.narrow {
		level++
	}
	return level
}

// edges finds how much the colours on both sides of each sample differ, the
// noise taken off.
func (f *fan) edges() {
	const w = 3
	n := f.steps
	noise := make([]float64, n)
	for k := range noise {
		noise[k] = f.noiseOf(k)
	}
	// Sums over three rays and along each ray.
	sums := make([]tint, n+1)
	for i := range rays {
		own, left, right := f.ray(i), f.ray((i+rays-1)%rays), f.ray((i+1)%rays)
		var sum tint
		for k, t := range own {
			sum = sum.plus(t.plus(left[k]).plus(right[k]))
			sums[k+1] = sum
		}
		step := f.step[i*n:][:n]
		clear(step)
		for k := w; k < n-w; k++ {
			d := sums[k+w+1].minus(sums[k+1]).minus(sums[k].minus(sums[k-w])).scaled(1. / (3 * w))
			// What noise makes of it: nine samples on each side, some of them alike.
			v := noise[k] * unlog(own[k].l)
			if q := d.l*d.l + 4*d.a*d.a + 4*d.b*d.b - v*v; q > 0 {
				q = math.Sqrt(q)
				step[k] = q / (q + .15)
			}
		}
		f.sumInner(i)
	}
}

// ray is the colours along one.
func (f *fan) ray(i int) []tint { return f.tints[i*f.steps:][:f.steps] }

// unlogs are exp(-v) for lightnesses v from ln 16 on.
var unlogs = func() (t [2048]float64) {
	for i := range t {
		t[i] = math.Exp(-math.Log(dark) - float64(i)/unlogsTo)
	}
	return t
}()

const unlogsTo = 2046 / 2.84 // to one; ln 271 is 2.83 above ln 16

// unlog is exp(-v), to one part in four million.
func unlog(v float64) float64 {
	x := (v - logs[0]) * unlogsTo
	i := int(x) & (len(unlogs) - 1)
	a, b := unlogs[i], unlogs[(i+1)&(len(unlogs)-1)]
	return a + (b-a)*(x-float64(i))
}

// noiseOf is what noise makes of the difference of the nine samples on each
// side of one, in coded values.
func (f *fan) noiseOf(k int) float64 {
	level := f.levelAt(radii[k])
	apart := max(radii[k]*.05*f.narrow/float64(int(1)<<level), .2) // pixels between samples
	return 1.2 * f.noise[level] / min(apart, 1.5)
}

// sumInner sums the squares of the clearest edges on a ray up to a little
// before each sample.
func (f *fan) sumInner(i int) {
	const clear = 3
	n := f.steps
	row, out := f.step[i*n:(i+1)*n], f.inner[i*n:(i+1)*n]
	sum := 0.0
	for k := range out {
		if j := k - clear - 1; j >= clear && row[j] > 0 && top(row[j-clear:][:2*clear+1]) {
			sum += row[j] * row[j]
		}
		out[k] = sum
	}
}

// top reports whether the middle of some values is the highest, or the first of
// the highest.
func top(v []float64) bool {
	m := len(v) / 2
	for d, x := range v {
		if x > v[m] || x == v[m] && d < m {
			return false
		}
	}
	return true
}

// path finds the closed way round the centre that leaves the most of what is
// like inside within, the most of the rest without, and runs along edges.
func (f *fan) path(w way, turn float64) {
	f.cost = sized(f.cost, rays*f.steps)
	cost := f.cost
	lo, hi := f.window()
	for i := range rays {
		sum := 0.0
		for k := range hi {
			o := i*f.steps + k
			if k >= lo {
				cost[o] = -w.colours*sum - w.edges*f.step[o] + w.inner*f.inner[o]
			}
			if k < f.least[i] || k > f.last[i] {
				cost[o] += outOfBounds
			}
			sum += f.odds[o]
		}
	}
	// Once freely, then through where that was half way round.
	f.sweep(cost, turn, -1)
	f.sweep(cost, turn, f.edge[rays/2])
}

// outOfBounds is what a sample costs where a ray may not leave. It is more than
// all else on a ray can come to: odds of 1.5 at each of its samples, and the edges
// left inside.
const outOfBounds = 1000

// sized is a slice of n, of the same memory where that is enough; what it holds is
// left over.
func sized[T any](v []T, n int) []T {
	if cap(v) < n {
		return make([]T, n)
	}
	return v[:n]
}

// farthestStep is how many samples a path goes in or out from a ray to the next.
const farthestStep = 3

// sweep is dynamic programming round the fan from ray rays/2, beginning and
// ending at a sample if one is given. turn is what a step in or out costs from
// one ray to the next.
func (f *fan) sweep(cost []float64, turn float64, through int) {
	n, start := f.steps, rays/2
	lo, hi := f.window()
	// A margin of samples that cost everything spares each step a look at the ends.
	const pad = farthestStep
	f.best, f.next = sized(f.best, hi-lo+2*pad), sized(f.next, hi-lo+2*pad)
	best, next := f.best, f.next
	for k := range best {
		best[k], next[k] = math.Inf(1), math.Inf(1)
	}
	for k := lo; k < hi; k++ {
		if through < 0 || k == through {
			best[k-lo+pad] = cost[start*n+k]
		}
	}
	one, four, nine := turn, turn*4, turn*9
	f.from = sized(f.from, rays*(hi-lo))
	from := f.from
	for s := 1; s <= rays; s++ {
		i := (start + s) % rays
		row, came := cost[i*n+lo:i*n+hi], from[(s-1)*(hi-lo):s*(hi-lo)]
		out := next[pad:][:len(row)]
		for k := range row {
			b := best[k:][: 2*pad+1 : 2*pad+1]
			m, at := b[0]+nine, int8(-3)
			if v := b[1] + four; v < m {
				m, at = v, -2
			}
			if v := b[2] + one; v < m {
				m, at = v, -1
			}
			if v := b[3]; v < m {
				m, at = v, 0
			}
			if v := b[4] + one; v < m {
				m, at = v, 1
			}
			if v := b[5] + four; v < m {
				m, at = v, 2
			}
			if v := b[6] + nine; v < m {
				m, at = v, 3
			}
			came[k] = at
			if s < rays {
				m += row[k]
			}
			out[k] = m
		}
		best, next = next, best
	}
	k := through - lo
	if through < 0 {
		k = 0
		for j := range hi - lo {
			if best[j+pad] < best[k+pad] {
				k = j
			}
		}
	}
	for s := rays; s >= 1; s-- {
		f.edge[(start+s)%rays] = k + lo
		k = min(max(k+int(from[(s-1)*(hi-lo)+k]), 0), hi-lo-1)
	}
}

// window is between which samples paths are looked for. Where all rays have the
// same bounds, the cheapest path keeps to them: held to them it would turn less.
func (f *fan) window() (from, to int) {
	for i := range rays {
		if f.least[i] != f.least[0] || f.last[i] != f.last[0] {
			return 0, f.steps
		}
	}
	return f.least[0], f.last[0] + 1
}

// inBounds reports whether the path keeps to its bounds nearly all the way.
func (f *fan) inBounds() bool {
	out := 0
	for i, k := range f.edge {
		if k <= f.least[i] && f.least[i] > 0 || k >= f.last[i] {
			out++
		}
	}
	return out < rays/4
}

// recentre moves the centre to the middle of what the path encloses.
func (f *fan) recentre() {
	var a, x, y float64
	for i := range rays {
		j := (i + 1) % rays
		ri, rj := radii[f.edge[i]], radii[f.edge[j]]
		di, dj := directions[i], directions[j]
		t := ri * rj * (di[0]*dj[1] - dj[0]*di[1])
		a += t
		x += t * (ri*di[0] + rj*dj[0]) / 3
		y += t * (ri*di[1] + rj*dj[1]) / 3
	}
	if a > 0 {
		f.centre = f.at(x/a, y/a)
	}
}
