package key

import (
	"math"
	"slices"

	"trug/science/matrix"
)

// bins is how finely a number is divided for the choice of questions. The
// probability of a taxon is reckoned with the number itself.
const bins = 24

// curve is how the sizes of a class lie: normal, or flat on a logarithmic
// scale with shoulders.
type curve struct {
	log        bool
	low, high  float64 // the flat part; equal for a normal curve
	sd         float64
	normalised float64 // the area under the curve whose top is 1
}

// curve returns how the sizes of a printed range lie when they are measured
// with the standard uncertainty u, both in the character's unit.
func (s Size) curve(low, high, at, u float64) curve {
	if s.SDs > 0 {
		sd := max((high-low)/2/s.SDs, 0.002*math.Abs(high), 0.002)
		m := low + (high-low)/2
		return finishCurve(curve{low: m, high: m, sd: math.Hypot(sd, u)})
	}
	sd := s.Shoulder
	if at > 0 {
		sd = math.Hypot(sd, u/at)
	}
	tiny := math.SmallestNonzeroFloat32
	return finishCurve(curve{log: true, low: math.Log(max(low, tiny)), high: math.Log(max(high, tiny)), sd: sd})
}

func finishCurve(c curve) curve {
	c.normalised = c.high - c.low + c.sd*math.Sqrt(2*math.Pi)
	return c
}

// scale takes a number onto the curve's scale.
func (c curve) scale(v float64) float64 {
	if c.log {
		return math.Log(max(v, math.SmallestNonzeroFloat32))
	}
	return v
}

// density at v, per unit of the curve's scale.
func (c curve) density(v float64) float64 {
	x := c.scale(v)
	d := max(c.low-x, x-c.high, 0) / c.sd
	return math.Exp(-d*d/2) / c.normalised
}

// below returns the share of sizes less than v.
func (c curve) below(v float64) float64 {
	x := c.scale(v)
	tail := c.sd * math.Sqrt(2*math.Pi)
	half := func(d float64) float64 { return tail * 0.5 * math.Erfc(d/c.sd/math.Sqrt2) }
	switch {
	case x < c.low:
		return half(c.low-x) / c.normalised
	case x <= c.high:
		return (tail/2 + x - c.low) / c.normalised
	}
	return 1 - half(x-c.high)/c.normalised
}

// reach returns how far sizes can go before the range speaks against them.
func (s Size) reach(low, high float64) (float64, float64) {
	if s.SDs > 0 {
		sd := (high - low) / 2 / s.SDs
		m := low + (high-low)/2
		return m - 3*sd, m + 3*sd
	}
	f := math.Exp(s.Shoulder * math.Sqrt(2*math.Ln10))
	return low / f, high * f
}

// finishNumbers divides the numbers into bins that are about equally likely
// over all taxa, and reckons each class's share of each.
func (c *column) finishNumbers() {
	var marks []float64
	for i := range c.classes {
		if k := &c.classes[i]; k.entry.Status == matrix.Given {
			for range min(k.taxa, 16) {
				marks = append(marks, k.low, k.low+(k.high-k.low)/2, k.high)
			}
		}
	}
	c.informed = len(marks) > 0
	slices.Sort(marks)
	for b := 1; b < bins && c.informed; b++ {
		c.edges = append(c.edges, marks[b*len(marks)/bins])
	}
	c.edges = slices.Compact(c.edges)
	c.answers = len(c.edges) + 1
	for i := range c.classes {
		if c.classes[i].entry.Status == matrix.Inapplicable {
			c.absent = c.answers
			c.answers++
			break
		}
	}
	c.p = make([]float64, len(c.classes)*c.answers)
	usual, taxa := make([]float64, c.answers), 0.0
	for i := range c.classes {
		k := &c.classes[i]
		if k.entry.Status != matrix.Given {
			continue
		}
		taxa += float64(k.taxa)
		curve, last := c.size.curve(k.low, k.high, 0, 0), 0.0
		for a := range len(c.edges) + 1 {
			next := 1.0
			if a < len(c.edges) {
				next = curve.below(c.edges[a])
			}
			c.p[i*c.answers+a] = next - last
			usual[a] += float64(k.taxa) * (next - last)
			last = next
		}
		k.allowed = c.binsWithin(c.size.reach(k.low, k.high))
	}
	c.errNumbers(usual, max(taxa, 1))
}

// errNumbers adds the errors of observation and the classes without a number.
func (c *column) errNumbers(usual []float64, taxa float64) {
	for i := range c.classes {
		k, p := &c.classes[i], c.p[i*c.answers:(i+1)*c.answers]
		for a := range p {
			u := usual[a] / taxa
			switch {
			case k.entry.Status == matrix.Inapplicable && a == c.absent:
				p[a] = 1 - c.wrong
			case a == c.absent && k.entry.Status == matrix.Given:
				p[a] = c.wrong / 2
			case a == c.absent:
				p[a] = 0.5
			case k.entry.Status == matrix.Given:
				p[a] = (1-c.wrong)*p[a] + c.wrong*u
			case k.entry.Status == matrix.Inapplicable:
				p[a] = c.wrong * u
			default:
				p[a] = u
			}
		}
		sum := 0.0
		for _, v := range p {
			sum += v
		}
		for a := range p {
			p[a] /= max(sum, math.SmallestNonzeroFloat64)
		}
		switch k.entry.Status {
		case matrix.Inapplicable:
			k.allowed = 1 << c.absent
		case matrix.Blank, matrix.Depends:
			k.allowed = 1<<c.answers - 1
		}
	}
}

// binsWithin marks the bins that overlap the range.
func (c *column) binsWithin(low, high float64) uint64 {
	mask := uint64(0)
	for a := range len(c.edges) + 1 {
		if (a == 0 || c.edges[a-1] <= high) && (a == len(c.edges) || c.edges[a] >= low) {
			mask |= 1 << a
		}
	}
	return mask
}
