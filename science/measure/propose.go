package measure

import (
	"errors"
	"image"
	"math"

	"trug/science/card"
)

// Picture is a photograph made ready for outlines to be proposed in.
type Picture struct {
	levels []*image.RGBA // each half as wide as the one before
}

// NewPicture prepares an upright sRGB photograph. It keeps a reference to it.
func NewPicture(img *image.RGBA) *Picture {
	p := &Picture{levels: []*image.RGBA{img}}
	for l := img; min(l.Rect.Dx(), l.Rect.Dy()) >= 32; {
		w, h := l.Rect.Dx()/2, l.Rect.Dy()/2
		half := image.NewRGBA(image.Rect(0, 0, w, h))
		for y := range h {
			a, b := l.Pix[2*y*l.Stride:], l.Pix[(2*y+1)*l.Stride:]
			for x := range w {
				for c := range 4 {
					half.Pix[y*half.Stride+4*x+c] = uint8((uint(a[8*x+c]) + uint(a[8*x+4+c]) + uint(b[8*x+c]) + uint(b[8*x+4+c]) + 2) / 4)
				}
			}
		}
		p.levels = append(p.levels, half)
		l = half
	}
	return p
}

// tint is a colour: lightness and two opponents, of the coded values.
type tint [3]float64

func (a tint) minus(b tint) tint     { return tint{a[0] - b[0], a[1] - b[1], a[2] - b[2]} }
func (a tint) dot(b tint) float64    { return a[0]*b[0] + a[1]*b[1] + a[2]*b[2] }
func (a tint) scaled(k float64) tint { return tint{a[0] * k, a[1] * k, a[2] * k} }
func (a tint) plus(b tint) tint      { return tint{a[0] + b[0], a[1] + b[1], a[2] + b[2]} }

// tint samples a level between its pixels.
func (p *Picture) tint(level int, x, y float64) tint {
	l := p.levels[level]
	k := float64(int(1) << level)
	x, y = (x+.5)/k-.5, (y+.5)/k-.5
	x, y = min(max(x, 0), float64(l.Rect.Dx()-1)-1e-3), min(max(y, 0), float64(l.Rect.Dy()-1)-1e-3)
	ix, iy := int(x), int(y)
	fx, fy := x-float64(ix), y-float64(iy)
	var c [3]float64
	o := iy*l.Stride + 4*ix
	for i := range c {
		a, b := float64(l.Pix[o+i]), float64(l.Pix[o+4+i])
		d, e := float64(l.Pix[o+l.Stride+i]), float64(l.Pix[o+l.Stride+4+i])
		c[i] = (a+(b-a)*fx)*(1-fy) + (d+(e-d)*fx)*fy
	}
	return tint{(c[0] + c[1] + c[2]) / 3, c[0] - c[1], (c[0]+c[1])/2 - c[2]}
}

const (
	rays     = 128
	firstPx  = 2.5 // innermost sample
	growth   = 1.04
	harmonic = 7 // of the smooth outline
)

// Proposal is an outline as the program sees it; a person corrects it.
type Proposal struct {
	Points []card.Pixel
	// Placing is the standard uncertainty of the edge, in pixels: put it into
	// Scene.Placing.
	Placing float64
	// Contrast is how clearly the edge stands out, in its noise: below about 3
	// the outline should be looked at twice.
	Contrast float64
	score    float64 // by which outlines of different reach are compared
}

// ErrNoOutline says that nothing stands out round the tap.
var ErrNoOutline = errors.New("no outline stands out here: draw it by hand, or tap nearer to the middle")

// Propose finds the outline of what was tapped: the closed line, seen whole
// from the tap, within which colours are like those at the tap and along
// which they change (the cheapest path through rays from the tap, found by
// dynamic programming; then the edge is placed to a fraction of a pixel).
// largest is the greatest radius looked at, in pixels.
func (p *Picture) Propose(tap card.Pixel, largest float64) (Proposal, error) {
	b := p.levels[0].Rect
	if !(tap.X >= 0 && tap.Y >= 0 && tap.X <= float64(b.Dx()-1) && tap.Y <= float64(b.Dy()-1)) || min(b.Dx(), b.Dy()) < 16 {
		return Proposal{}, errors.New("the tap lies outside the photograph")
	}
	var best Proposal
	err := ErrNoOutline
	// Several greatest radii are tried, since what is tapped may be small and
	// lie on something that stands out as well.
	for reach := max(largest, 24); reach >= 12; reach /= 1.55 {
		one, fault := p.within(tap, reach)
		if fault == nil && (err != nil || one.score > best.score) {
			best, err = one, nil
		}
	}
	return best, err
}

// within proposes an outline no further than reach from its middle.
func (p *Picture) within(tap card.Pixel, reach float64) (Proposal, error) {
	steps := min(max(int(math.Log(reach/firstPx)/math.Log(growth))+1, 12), 220)
	f := &fan{p: p, centre: tap, steps: steps, tints: make([]tint, rays*steps), odds: make([]float64, rays*steps)}
	var model inside
	for pass := range 4 {
		f.sample()
		f.turn = []float64{1.2, 2.5, 5, 5}[pass] // the better it is centred, the rounder
		if pass == 0 {
			model = f.seed()
		} else {
			model = f.learn()
		}
		f.weigh(&model)
		if ok := f.path(); pass < 3 {
			f.recentre()
		} else if !ok {
			return Proposal{}, ErrNoOutline
		}
	}
	out, err := f.polish()
	if err == nil && !holds(out.Points, tap) {
		return out, ErrNoOutline
	}
	return out, err
}

// holds reports whether a closed line goes round a point, or within two
// pixels of it.
func holds(line []card.Pixel, q card.Pixel) bool {
	in, near := false, false
	for i, a := range line {
		b := line[(i+1)%len(line)]
		if (a.Y > q.Y) != (b.Y > q.Y) && q.X < (b.X-a.X)*(q.Y-a.Y)/(b.Y-a.Y)+a.X {
			in = !in
		}
		near = near || math.Hypot(a.X-q.X, a.Y-q.Y) < 2
	}
	return in || near
}

// fan is the picture along rays from a centre, at radii that grow by a
// constant factor.
type fan struct {
	p      *Picture
	centre card.Pixel
	steps  int
	tints  []tint
	odds   []float64 // of being inside against outside, logarithms
	edge   [rays]int // the sample at which each ray leaves
	turn   float64
}

func radius(k float64) float64 { return firstPx * math.Pow(growth, k) }

func direction(i int) (cos, sin float64) {
	sin, cos = math.Sincos(2 * math.Pi * float64(i) / rays)
	return cos, sin
}

func (f *fan) sample() {
	for k := range f.steps {
		r := radius(float64(k))
		// The level whose pixels are about as large as the samples are apart.
		level := 0
		for level+1 < len(f.p.levels) && float64(int(2)<<level) < r*.05 {
			level++
		}
		for i := range rays {
			cos, sin := direction(i)
			f.tints[i*f.steps+k] = f.p.tint(level, f.centre.X+r*cos, f.centre.Y+r*sin)
		}
	}
}

// inside is a model of the colours inside, and of those outside when there is
// one: histograms over a coarse grid, and a normal distribution.
type inside struct {
	mean   tint
	spread tint // standard deviations
	in     map[[3]int8]float64
	out    map[[3]int8]float64
}

// bin is a colour's cell.
func bin(t tint) [3]int8 {
	return [3]int8{int8(t[0] / 14), int8(math.Floor(t[1] / 12)), int8(math.Floor(t[2] / 12))}
}

// seed takes the colours next to the tap.
func (f *fan) seed() inside {
	var m inside
	n := min(int(math.Log(9/firstPx)/math.Log(growth)), f.steps)
	m.fit(f, func(int) int { return n })
	for c := range m.spread { // what the tap does not show of the rest
		m.spread[c] = math.Hypot(m.spread[c], []float64{10, 5, 5}[c])
	}
	return m
}

// fit takes mean and spread of the samples before an end on each ray, each
// by the area it stands for.
func (m *inside) fit(f *fan, end func(ray int) int) {
	var w float64
	var sum, sq tint
	for i := range rays {
		for k := range end(i) {
			a := radius(float64(k))
			a *= a
			t := f.tints[i*f.steps+k]
			w += a
			for c := range t {
				sum[c] += a * t[c]
				sq[c] += a * t[c] * t[c]
			}
		}
	}
	for c := range sum {
		m.mean[c] = sum[c] / w
		m.spread[c] = math.Sqrt(max(sq[c]/w-m.mean[c]*m.mean[c], 0) + 9)
	}
}

// learn takes the colours on either side of the path.
func (f *fan) learn() inside {
	m := inside{in: map[[3]int8]float64{}, out: map[[3]int8]float64{}}
	m.fit(f, func(i int) int { return max(f.edge[i]-1, 2) })
	var ni, no float64
	wide := int(math.Log(1.7) / math.Log(growth))
	for i := range rays {
		for k := range f.steps {
			a := radius(float64(k))
			a *= a
			b := bin(f.tints[i*f.steps+k])
			switch {
			case k < f.edge[i]-1:
				m.in[b] += a
				ni += a
			case k > f.edge[i]+1 && k < f.edge[i]+wide:
				m.out[b] += a
				no += a
			}
		}
	}
	for b := range m.in {
		m.in[b] /= ni
	}
	for b := range m.out {
		m.out[b] /= no
	}
	return m
}

// odds of a colour to be inside, as a logarithm held within limits.
func (m *inside) odds(t tint) float64 {
	d := 0.0
	for c := range t {
		z := (t[c] - m.mean[c]) / m.spread[c]
		d += z * z
	}
	v := (7 - d) / 5
	if m.in != nil {
		b := bin(t)
		v = .5*min(max(v, -2), 2) + .7*math.Log((m.in[b]+4e-3)/(m.out[b]+4e-3))
	}
	return min(max(v-.15, -1.6), 1.2)
}

func (f *fan) weigh(m *inside) {
	for i, t := range f.tints {
		f.odds[i] = m.odds(t)
	}
}

// path finds the closed way round the centre that leaves the most of what is
// like inside within, the most of the rest without, and runs along edges.
func (f *fan) path() bool {
	cost := make([]float64, rays*f.steps)
	for i := range rays {
		sum := 0.0
		for k := range f.steps {
			o := i*f.steps + k
			cost[o] = -sum
			if k > 0 && k < f.steps-1 {
				d := f.tints[o-1].minus(f.tints[o+1])
				cost[o] -= 14 * min(math.Sqrt(d.dot(d))/70, 1)
			}
			if k < 4 || k == f.steps-1 {
				cost[o] += 60
			}
			sum += f.odds[o]
		}
	}
	// Once freely, then through where that was half way round.
	f.sweep(cost, -1)
	f.sweep(cost, f.edge[rays/2])
	inner := 0
	for _, k := range f.edge {
		if k <= 5 || k >= f.steps-2 {
			inner++
		}
	}
	return inner < rays/4
}

// sweep is dynamic programming round the fan from ray rays/2, beginning and
// ending at a sample if one is given.
func (f *fan) sweep(cost []float64, through int) {
	turn := f.turn // cost of a step in or out from one ray to the next
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
			for d := -3; d <= 3; d++ {
				if j := k + d; j >= 0 && j < n {
					if v := best[j] + turn*float64(d*d); v < m {
						m, at = v, int8(d)
					}
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

// recentre moves the centre to the middle of what the path encloses.
func (f *fan) recentre() {
	var a, x, y float64
	for i := range rays {
		j := (i + 1) % rays
		ci, si := direction(i)
		cj, sj := direction(j)
		ri, rj := radius(float64(f.edge[i])), radius(float64(f.edge[j]))
		t := ri * rj * (ci*sj - cj*si)
		a += t
		x += t * (ri*ci + rj*cj) / 3
		y += t * (ri*si + rj*sj) / 3
	}
	if a > 0 {
		f.centre.X += x / a
		f.centre.Y += y / a
	}
}
