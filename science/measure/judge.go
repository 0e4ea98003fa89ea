package measure

import (
	"math"
	"slices"
)

// marks is how many numbers tell a clear outline from others.
const marks = 12

// judge says how clearly an outline stands out.
func (f *fan) judge(out *Proposal) {
	n := f.steps
	var steps []float64
	inner, rough, diff := 0.0, 0.0, 0.0
	var sum, sq, sumOut, sqOut tint
	for i := range rays {
		k := f.edge[i]
		best := 0.0
		for j := max(k-2, 0); j <= min(k+2, n-1); j++ {
			best = max(best, f.step[i*n+j])
		}
		steps = append(steps, best)
		inner += f.inner[i*n+max(k-2, 0)] / rays
		d := float64(f.edge[i] - f.edge[(i+1)%rays])
		rough += d * d / rays
		a, b := max(k-4, 0), min(k+4, n-1)
		diff += (f.odds[i*n+a] - f.odds[i*n+b]) / rays
		for c, v := range f.tints[i*n+a] {
			sum[c] += v / rays
			sq[c] += v * v / rays
		}
		for c, v := range f.tints[i*n+b] {
			sumOut[c] += v / rays
			sqOut[c] += v * v / rays
		}
	}
	slices.Sort(steps)
	mean := 0.0
	for _, v := range steps {
		mean += v / rays
	}
	lo, hi := math.Inf(1), 0.0
	for _, k := range f.edge {
		lo, hi = min(lo, float64(k)), max(hi, float64(k))
	}
	rim, out_ := 0.0, 0.0
	for c := range sum {
		w := []float64{1, 4, 4}[c]
		rim += w * (sq[c] - sum[c]*sum[c])
		out_ += w * (sqOut[c] - sumOut[c]*sumOut[c])
	}
	m := f.learn()
	alike := 0.0
	for b, v := range m.in {
		alike += math.Sqrt(v * m.out[b])
	}
	out.Marks = [marks]float64{mean, steps[rays/10], inner, rough, diff, (hi - lo) / 10, math.Log(out.Contrast), f.seen, math.Log(f.scatter), math.Sqrt(max(rim, 0)), math.Sqrt(max(out_, 0)), alike}
	out.score = 4*mean + 4*steps[rays/10] - 3*inner - .5*rough - 3*alike
}
