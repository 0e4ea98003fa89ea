package sharpness

import (
	"cmp"
	"math"
	"slices"
)

// sharper is which part of the edges count: most of a round thing's are shades
// that no lens could make steep.
const sharper = .5

// radius is that of the smoothing whose difference a phone's program adds to
// sharpen, in pixels of the photograph (common practice, no source).
const radius = 1.2

// fit is a level's edges in its own pixels.
type fit struct{ spread, sharpened float64 }

// model is an edge of a spread, sharpened by an amount, seen at a distance
// through a smoothing of spread s: the slope of the light.
func model(d, spread, amount, s, before, r float64) float64 {
	v := spread*spread + before + s*s
	return (1+amount)*bell(d, v) - amount*bell(d, v+r*r)
}

func bell(d, v float64) float64 { return math.Exp(-d*d/(2*v)) / math.Sqrt(2*math.Pi*v) }

// typical is the profile of the sharper edges. Edges whose ratio is greater by
// noise alone are no sharper: the part of their lead that noise accounts for is
// taken back.
func typical(edges []edge) edge {
	v := slices.Clone(edges)
	slices.SortFunc(v, func(a, b edge) int { return cmp.Compare(b.ratio, a.ratio) })
	all, lead := median(v), median(v[:max(int(sharper*float64(len(v))), 1)])
	// The middle half of a normal distribution is 1.35 standard deviations wide.
	spread := (v[len(v)/4].ratio - v[len(v)*3/4].ratio) / 1.35
	part := 0.
	if spread > all.noise {
		part = math.Sqrt(1 - all.noise*all.noise/(spread*spread))
	}
	mix := func(a, b float64) float64 { return a + part*(b-a) }
	out := edge{ratio: mix(all.ratio, lead.ratio)}
	for d := range out.side {
		out.side[d] = mix(all.side[d], lead.side[d])
	}
	return out
}

// median is the profile of medians.
func median(v []edge) edge {
	m := make([]float64, len(v))
	take := func(of func(e *edge) float64) float64 {
		for i := range v {
			m[i] = of(&v[i])
		}
		slices.Sort(m)
		return m[len(m)/2]
	}
	out := edge{ratio: take(func(e *edge) float64 { return e.ratio }), noise: take(func(e *edge) float64 { return e.noise })}
	for d := range out.side {
		out.side[d] = take(func(e *edge) float64 { return e.side[d] })
	}
	return out
}

func fitted(edges []edge, before, step float64) fit {
	t := typical(edges)
	best, least := fit{}, math.Inf(1)
	for a := 0.; a < 1.45; a += .1 {
		for s := 0.; s < 4; s += .05 {
			if e := miss(t, s, a, before, radius/step); e < least {
				best, least = fit{s, a}, e
			}
		}
	}
	return best
}

func spreadOf(edges []edge, before, step, amount float64) float64 {
	t := typical(edges)
	best, least := 0., math.Inf(1)
	for s := 0.; s < 4; s += .05 {
		if e := miss(t, s, amount, before, radius/step); e < least {
			best, least = s, e
		}
	}
	return best
}

func miss(t edge, spread, amount, before, r float64) float64 {
	m := model(0, spread, amount, narrow, before, r)
	e := 2 * math.Log(t.ratio*model(0, spread, amount, wide, before, r)/m)
	sum := e * e
	for d, v := range t.side {
		q := v - model(float64(d+1), spread, amount, narrow, before, r)/m
		sum += q * q
	}
	return sum
}
