package main

import (
	"math"
	"slices"

	"trug/science/matrix"
)

// naive is an independent naive Bayes classifier as the reference describes
// it, written without a line of the key's; with joint set it is the Bayes
// optimum, which knows the rate of wrong values and the sizes' correlations.
type naive struct {
	m     *matrix.Matrix
	joint bool
	wrong float64
	mean  [][]float64
	sd    [][]float64
}

func newNaive(m *matrix.Matrix, joint bool, wrong float64) *naive {
	b := &naive{m: m, joint: joint, wrong: wrong}
	for t := range m.Taxa {
		mean, sd := make([]float64, len(m.Characters)), make([]float64, len(m.Characters))
		for c := range m.Characters {
			if low, mid, high, ok := m.Rows[t][c].Extent(); ok {
				mean[c], sd[c] = mid, math.Max((high-low)/6, 0.003)
			}
		}
		b.mean, b.sd = append(b.mean, mean), append(b.sd, sd)
	}
	return b
}

func normal(x, mean, sd float64) float64 {
	z := (x - mean) / sd
	return math.Exp(-z*z/2) / sd / math.Sqrt(2*math.Pi)
}

// average is the density of a value over all species.
func (b *naive) average(c int, x float64) float64 {
	sum := 0.0
	for t := range b.m.Taxa {
		sum += normal(x, b.mean[t][c], b.sd[t][c])
	}
	return sum/float64(len(b.m.Taxa)) + 1e-12
}

// posterior returns the probability of each species.
func (b *naive) posterior(sp specimen, six bool) []float64 {
	logs := make([]float64, len(b.m.Taxa))
	var chars []int
	var values, averages []float64
	for _, a := range sp.answers {
		if six && !sp.six[a.Character] {
			continue
		}
		if a.Number != nil {
			chars, values = append(chars, a.Character), append(values, a.Number.Middle)
			averages = append(averages, b.average(a.Character, a.Number.Middle))
			continue
		}
		for t := range logs {
			logs[t] += math.Log(b.nominal(t, a.Character, a.States[0]))
		}
	}
	for t := range logs {
		logs[t] += math.Log(b.numbers(t, chars, values, averages))
	}
	top, sum := slices.Max(logs), 0.0
	for t := range logs {
		logs[t] = math.Exp(logs[t] - top)
		sum += logs[t]
	}
	for t := range logs {
		logs[t] /= sum
	}
	return logs
}

func (b *naive) nominal(t, c, state int) float64 {
	states, e := len(b.m.Characters[c].States), b.m.Rows[t][c]
	if e.Status != matrix.Given {
		return 1 / float64(states)
	}
	n, listed := len(e.States), slices.ContainsFunc(e.States, func(s matrix.Shown) bool { return s.State == state })
	if b.joint {
		// A wrong value is any other state of the legend than the true one.
		p := 0.0
		for _, s := range e.States {
			if s.State == state {
				p += (1 - b.wrong) / float64(n)
			} else {
				p += b.wrong / float64(n) / float64(states-1)
			}
		}
		return p
	}
	switch {
	case listed:
		return (1 - b.wrong) / float64(n)
	case n == states:
		return 0
	}
	return b.wrong / float64(states-n)
}

// correlation of sizes in the published model.
func correlation(a, b string) float64 {
	switch {
	case a == b:
		return 1
	case a != "cap-diameter" && b != "cap-diameter":
		return 0.7
	}
	return 0.5
}

func (b *naive) numbers(t int, chars []int, values, averages []float64) float64 {
	if !b.joint {
		p := 1.0
		for i, c := range chars {
			p *= normal(values[i], b.mean[t][c], b.sd[t][c]) + b.wrong*averages[i]
		}
		return p
	}
	// Each subset of the values may be wrong; the rest are jointly normal.
	p := 0.0
	for mask := range 1 << len(chars) {
		q := 1.0
		var right []int
		for i := range chars {
			if mask&(1<<i) != 0 {
				q *= b.wrong * averages[i]
			} else {
				q *= 1 - b.wrong
				right = append(right, i)
			}
		}
		if q > 0 {
			p += q * b.jointNormal(t, chars, values, right)
		}
	}
	return p + 1e-300
}

// jointNormal is the density of up to three correlated sizes, by conditioning
// one on the others in turn.
func (b *naive) jointNormal(t int, chars []int, values []float64, right []int) float64 {
	p := 1.0
	var r [3][3]float64
	var y [3]float64
	for i, a := range right {
		c := chars[a]
		z := (values[a] - b.mean[t][c]) / b.sd[t][c]
		for j := range i {
			sum := correlation(b.m.Characters[c].ID, b.m.Characters[chars[right[j]]].ID)
			for k := range j {
				sum -= r[i][k] * r[j][k]
			}
			r[i][j] = sum / r[j][j]
			z -= r[i][j] * y[j]
		}
		v := 1.0
		for j := range i {
			v -= r[i][j] * r[i][j]
		}
		r[i][i] = math.Sqrt(v)
		y[i] = z / r[i][i]
		p *= math.Exp(-y[i]*y[i]/2) / math.Sqrt(2*math.Pi) / r[i][i] / b.sd[t][c]
	}
	return p
}

// reference scores the independent classifier on a set.
func reference(m *matrix.Matrix, set set, six bool, s *score, optimum bool) {
	wrong := 0.05
	if optimum {
		wrong = set.wrong
	}
	b := newNaive(m, optimum, wrong)
	for _, sp := range set.specimens {
		p := b.posterior(sp, six)
		s.place(p, sp.truth)
		top := 0
		for t := range p {
			if p[t] > p[top] {
				top = t
			}
		}
		s.stated = append(s.stated, p[top])
		s.right = append(s.right, top == sp.truth)
	}
}
