package measure

import "math"

// colours are how often each colour is met inside and outside an outline, in
// a coarse grid of colours. Empty, it knows nothing.
type colours struct {
	in, out []float64
}

// The grid: lightness from ln 16 to ln 271, opponents from -1 to 1.
const (
	binLight, binHue = .15, .08
	binsLight        = 20
	binsHue          = 26
	bins             = binsLight * binsHue * binsHue
)

// bin is a colour's cell.
func bin(t tint) int32 {
	l := min(max(int32((t.l-2.77)/binLight), 0), binsLight-1)
	a := min(max(int32(t.a/binHue+binsHue/2), 0), binsHue-1)
	b := min(max(int32(t.b/binHue+binsHue/2), 0), binsHue-1)
	return (l*binsHue+a)*binsHue + b
}

// learn takes the colours on either side of the path, each by the area it
// stands for; those outside up to 1.8 times as far out.
func (f *fan) learn() colours {
	m := colours{make([]float64, bins), make([]float64, bins)}
	var ni, no float64
	wide := int(stepOf(1.8 * firstPx))
	for i := range rays {
		for k := range min(f.steps, f.edge[i]+wide) {
			a := areas[k]
			switch b := f.cells[i*f.steps+k]; {
			case k < f.edge[i]-1:
				m.in[b] += a
				ni += a
			case k > f.edge[i]+1:
				m.out[b] += a
				no += a
			}
		}
	}
	ni, no = 1/max(ni, 1), 1/max(no, 1)
	for b := range m.in {
		m.in[b] *= ni
		m.out[b] *= no
	}
	return m
}

// areas are what samples stand for, by their number on the ray.
var areas = func() (a [most]float64) {
	for k := range a {
		a[k] = radii[k] * radii[k]
	}
	return a
}()

// rare is the share below which a colour counts as not met.
const rare = 4e-3

// weigh sets each sample's odds to be inside, as a logarithm held within
// limits.
func (f *fan) weigh(m *colours) {
	if m.in == nil {
		clear(f.odds)
		return
	}
	// Most colours of the grid are met nowhere, and a logarithm takes long.
	var odds [bins]float64
	var told [bins]bool
	for i, b := range f.cells {
		if !told[b] {
			odds[b], told[b] = min(max(.7*math.Log((m.in[b]+rare)/(m.out[b]+rare)), -1.5), 1.2), true
		}
		f.odds[i] = odds[b]
	}
}
