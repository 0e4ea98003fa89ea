package measure

import "math"

// colours are how often each colour is met inside and outside an outline, in
// a coarse grid of colours. Empty, it knows nothing.
type colours struct {
	in, out []float64
	met     []int32 // the cells of the colours that are met at all
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
	m := colours{in: make([]float64, bins), out: make([]float64, bins)}
	var ni, no float64
	wide := int(stepOf(1.8 * firstPx))
	for i := range rays {
		cells, edge := f.cells[i*f.steps:][:f.steps], f.edge[i]
		for k, b := range cells[:min(f.steps, edge+wide)] {
			if k >= edge-1 && k <= edge+1 {
				continue
			}
			if m.in[b] == 0 && m.out[b] == 0 {
				m.met = append(m.met, b)
			}
			if a := areas[k]; k < edge {
				m.in[b] += a
				ni += a
			} else {
				m.out[b] += a
				no += a
			}
		}
	}
	ni, no = 1/max(ni, 1), 1/max(no, 1)
	for _, b := range m.met {
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
	// A colour that is met nowhere is as likely inside as outside.
	if f.chances == nil {
		f.chances = make([]float64, bins)
	}
	for _, b := range m.met {
		f.chances[b] = min(max(.7*math.Log((m.in[b]+rare)/(m.out[b]+rare)), -1.5), 1.2)
	}
	for i, b := range f.cells {
		f.odds[i] = f.chances[b]
	}
	for _, b := range m.met {
		f.chances[b] = 0
	}
}
