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
}

func radius(k float64) float64 { return firstPx * math.Pow(growth, k) }
func stepOf(r float64) float64 { return math.Log(max(r, firstPx)/firstPx) / math.Log(growth) }

var directions = func() (d [rays][2]float64) {
	for i := range d {
		d[i][1], d[i][0] = math.Sincos(2 * math.Pi * float64(i) / rays)
	}
	return d
}()

func newFan(p *Picture, a *Asked, to float64) *fan {
	f := &fan{p: p, m: [4]float64{1, 0, 0, 1}, narrow: 1}
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
	f.tints, f.cells, f.step, f.inner, f.odds = make([]tint, n), make([]int32, n), make([]float64, n), make([]float64, n), make([]float64, n)
	return f
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

func (f *fan) sample() {
	for k := range f.steps {
		r := radius(float64(k))
		level := f.levelAt(r)
		for i, d := range directions {
			q := f.at(r*d[0], r*d[1])
			t := f.p.tint(level, q.X, q.Y)
			f.tints[i*f.steps+k], f.cells[i*f.steps+k] = t, bin(t)
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
		l, r := (i+rays-1)%rays, (i+1)%rays
		for k := range n {
			t := f.tints[i*n+k].plus(f.tints[l*n+k]).plus(f.tints[r*n+k])
			sums[k+1] = sums[k].plus(t)
		}
		for k := range n {
			f.step[i*n+k] = 0
			if k < w || k >= n-w {
				continue
			}
			d := sums[k+w+1].minus(sums[k+1]).minus(sums[k].minus(sums[k-w])).scaled(1. / (3 * w))
			// What noise makes of it: nine samples on each side, some of them alike.
			v := noise[k] / math.Exp(f.tints[i*n+k][0])
			q := d[0]*d[0] + 4*d[1]*d[1] + 4*d[2]*d[2] - v*v
			if q > 0 {
				q = math.Sqrt(q)
				f.step[i*n+k] = q / (q + .15)
			}
		}
		f.sumInner(i)
	}
}

// noiseOf is what noise makes of the difference of the nine samples on each
// side of one, in coded values.
func (f *fan) noiseOf(k int) float64 {
	level := f.levelAt(radius(float64(k)))
	apart := max(radius(float64(k))*.05*f.narrow/float64(int(1)<<level), .2) // pixels between samples
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
		if j := k - clear - 1; j >= clear {
			top := true
			for d := -clear; d <= clear; d++ {
				top = top && (row[j] > row[j+d] || row[j] == row[j+d] && d >= 0)
			}
			if top {
				sum += row[j] * row[j]
			}
		}
		out[k] = sum
	}
}

// path finds the closed way round the centre that leaves the most of what is
// like inside within, the most of the rest without, and runs along edges.
func (f *fan) path(w way, turn float64) {
	cost := make([]float64, rays*f.steps)
	for i := range rays {
		sum := 0.0
		for k := range f.steps {
			o := i*f.steps + k
			cost[o] = -w.colours*sum - w.edges*f.step[o] + w.inner*f.inner[o]
			if k < f.least[i] || k > f.last[i] {
				cost[o] += 1000
			}
			sum += f.odds[o]
		}
	}
	// Once freely, then through where that was half way round.
	f.sweep(cost, turn, -1)
	f.sweep(cost, turn, f.edge[rays/2])
}

// sweep is dynamic programming round the fan from ray rays/2, beginning and
// ending at a sample if one is given. turn is what a step in or out costs from
// one ray to the next.
func (f *fan) sweep(cost []float64, turn float64, through int) {
	n := f.steps
	best := make([]float64, n)
	from := make([]int8, rays*n)
	start := rays / 2
	for k := range best {
		best[k] = cost[start*n+k]
		if through >= 0 && k != through {
			best[k] = math.Inf(1)
		}
	}
	next := make([]float64, n)
	for s := 1; s <= rays; s++ {
		i := (start + s) % rays
		for k := range n {
			m, at := math.Inf(1), int8(0)
			for d := max(-3, -k); d <= 3 && k+d < n; d++ {
				if v := best[k+d] + turn*float64(d*d); v < m {
					m, at = v, int8(d)
				}
			}
			next[k] = m
			from[(s-1)*n+k] = at
			if s < rays {
				next[k] += cost[i*n+k]
			}
		}
		best, next = next, best
	}
	k := through
	if through < 0 {
		k = 0
		for j := range best {
			if best[j] < best[k] {
				k = j
			}
		}
	}
	for s := rays; s >= 1; s-- {
		f.edge[(start+s)%rays] = k
		k = min(max(k+int(from[(s-1)*n+k]), 0), n-1)
	}
}

// within reports whether the path keeps to its bounds nearly all the way.
func (f *fan) within() bool {
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
		ri, rj := radius(float64(f.edge[i])), radius(float64(f.edge[j]))
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
