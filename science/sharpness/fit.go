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

const (
	// widestSpread is the greatest spread that is looked for, in a picture's own
	// pixels, and fine the steps in which it is.
	widestSpread, fine = 5., .05
	// worth is by how much less an edge must miss the model before the camera's
	// program is taken to have sharpened it: steps that it never touched miss by a
	// third of it less with a little sharpening than without (found on drawn steps).
	worth = 3e-4
)

// fitted is the spread of a profile, and how much it was sharpened.
func fitted(t edge, before, step float64) fit {
	best, least := fit{}, math.Inf(1)
	for a := 0.; a < 1.45; a += .1 {
		s, e := nearest(t, before, step, a)
		if a == 0 {
			best, least = fit{s, a}, e-worth
		} else if e < least {
			best, least = fit{s, a}, e
		}
	}
	return best
}

// spreadOf is the spread of a profile that was sharpened by an amount.
func spreadOf(t edge, before, step, amount float64) float64 {
	s, _ := nearest(t, before, step, amount)
	return s
}

// nearest is the spread that misses a profile least, and by how much.
func nearest(t edge, before, step, amount float64) (spread, least float64) {
	least = math.Inf(1)
	var last, before1, after float64 // misses: the last one, and those beside the least
	for k := 0; fine*float64(k) < widestSpread; k++ {
		s := fine * float64(k)
		e := miss(t, s, amount, before, radius/step)
		if e < least {
			spread, least, before1, after = s, e, last, math.Inf(1)
		} else if math.IsInf(after, 1) {
			after = e
		}
		last = e
	}
	// Between the steps: the top of a parabola.
	if q := before1 - 2*least + after; spread > 0 && q > 0 && !math.IsInf(q, 1) {
		spread += fine * min(max((before1-after)/(2*q), -.5), .5)
	}
	return spread, least
}

func miss(t edge, spread, amount, before, r float64) float64 {
	m := model(0, spread, amount, narrow, before, r)
	e := 2 * math.Log(max(t.ratio, 1e-9)*model(0, spread, amount, wide, before, r)/m)
	sum := e * e
	for d, v := range t.side {
		q := v - model(float64(d+1), spread, amount, narrow, before, r)/m
		sum += q * q
	}
	return sum
}
