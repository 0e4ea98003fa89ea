package sharpness

import (
	"math"
	"slices"
)

const (
	// floor is the least spread that arcs are told apart by, own pixels.
	floor = .3
	// directions are tried of a movement.
	directions = 24
	// gathers is by which part of their scatter the arcs must lie closer together
	// before a direction is believed, and by how much, as a logarithm.
	gathers, gathersBy = .3, .04
)

// tell sums up a rim's arcs; false where they do not agree.
func (r *rim) tell() (Reading, bool) {
	scale := r.step / wider
	told := Reading{Known: true, Blur: scale * r.part(lower), Sharpened: r.sharpened, Edges: r.columns}
	told.Along, told.Across = told.Blur, told.Blur
	smear := r.smeared()
	if smear.agree < agreeing {
		return told, false
	}
	s, along := smear.spread*math.Sqrt(1-smear.shape), smear.spread*math.Sqrt(1+smear.shape)
	told.Blur, told.Along, told.Across, told.Direction = scale*smear.spread, scale*along, scale*s, smear.direction*180/math.Pi
	if told.Moved = moved(told.Along, told.Across); told.Moved {
		// A hand that moves smears evenly over a length, which widens a step less than
		// the slope in its middle says.
		length := movement(s, along, r.before, r.step)
		told.Along, told.Blur = scale*math.Sqrt(s*s+length*length/12), scale*math.Sqrt(s*s+length*length/24)
	}
	return told, true
}

// moved says whether spreads along and across, in pixels, differ more than a lens
// does it.
func moved(along, across float64) bool {
	return along > 1.6*math.Hypot(across, .6) && along > 1.2
}

// smear is how arcs are blurred: by a spread in the mean square of all directions,
// whose square is greater by the part shape in a direction and less across it.
type smear struct {
	spread, shape, direction float64 // own pixels, 0 to 1, radians
	agree                    float64 // the part of arcs that are about as this says
}

// smeared finds the shape and direction in which most arcs say the same.
func (r *rim) smeared() smear {
	logs := make([]float64, len(r.arcs))
	z := make([]float64, len(r.arcs))
	under := func(s smear) (middle, scatter float64) {
		for i, a := range r.arcs {
			z[i] = logs[i] - .5*math.Log(1+s.shape*math.Cos(2*(a.angle-s.direction)))
		}
		slices.Sort(z)
		return quantile(z, lower), quantile(z, .7) - quantile(z, .1)
	}
	for i, a := range r.arcs {
		logs[i] = math.Log(max(a.spread, floor))
	}
	var best smear
	middle, least := under(best)
	least = min((1-gathers)*least, least-gathersBy)
	for _, ratio := range []float64{1.3, 1.6, 2, 2.5, 3.2, 4, 6, 9} {
		for k := range directions {
			s := smear{shape: (ratio*ratio - 1) / (ratio*ratio + 1), direction: math.Pi * float64(k) / directions}
			if m, d := under(s); d < least {
				best, middle, least = s, m, d
			}
		}
	}
	under(best)
	best.spread = math.Exp(middle)
	for _, v := range z {
		if math.Abs(v-middle) < alike {
			best.agree += 1 / float64(len(z)+r.silent)
		}
	}
	return best
}

// movement is the length, own pixels, that widens a step of a spread to one whose
// slopes are those of another, larger spread.
func movement(spread, along, before, step float64) float64 {
	low, high := 0., 20.
	for range 12 {
		middle := (low + high) / 2
		if spreadOf(dragged(spread, middle, before), before, step, 0) < along {
			low = middle
		} else {
			high = middle
		}
	}
	return (low + high) / 2
}

// dragged is the profile of a step of a spread that was drawn along a length: the
// difference of two integrals of a Gaussian.
func dragged(spread, length, before float64) edge {
	at := func(d, s float64) float64 {
		v := math.Sqrt(spread*spread+before+s*s) * math.Sqrt2
		if length < 1e-6 {
			return bell(d, v*v/2)
		}
		return (math.Erf((d+length/2)/v) - math.Erf((d-length/2)/v)) / (2 * length)
	}
	e := edge{ratio: at(0, narrow) / at(0, wide)}
	for d := range e.side {
		e.side[d] = at(float64(d+1), narrow) / at(0, narrow)
	}
	return e
}
