package measure

import "math"

// colours are how often each colour is met inside and outside an outline, in
// a coarse grid of colours. Empty, it knows nothing.
type colours struct {
	in, out map[[3]int8]float64
}

// bin is a colour's cell.
func bin(t tint) [3]int8 {
	return [3]int8{int8(t[0] / .15), int8(math.Floor(t[1] / .08)), int8(math.Floor(t[2] / .08))}
}

// learn takes the colours on either side of the path, each by the area it
// stands for; those outside up to 1.8 times as far out.
func (f *fan) learn() colours {
	m := colours{in: map[[3]int8]float64{}, out: map[[3]int8]float64{}}
	var ni, no float64
	wide := int(stepOf(1.8 * firstPx))
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
		m.in[b] /= max(ni, 1)
	}
	for b := range m.out {
		m.out[b] /= max(no, 1)
	}
	return m
}

// rare is the share below which a colour counts as not met.
const rare = 4e-3

// odds of a colour to be inside, as a logarithm held within limits.
func (m *colours) odds(t tint) float64 {
	if m.in == nil {
		return 0
	}
	b := bin(t)
	return min(max(.7*math.Log((m.in[b]+rare)/(m.out[b]+rare)), -1.5), 1.2)
}

func (f *fan) weigh(m *colours) {
	for i, t := range f.tints {
		f.odds[i] = m.odds(t)
	}
}
