package truecolour

import (
	"math"

	"trug/science/colour"
	"trug/science/said"
)

// Seen is a colour as one view tells it.
type Seen struct {
	Lab    colour.Lab
	Spread colour.Spread
}

// Combined is a colour from several views.
type Combined struct {
	Seen
	// Views is how many were joined.
	Views int
	// Agree says that the views differ no more than their uncertainties let
	// expect. Where they don't, Spread has been widened until they do.
	Agree bool
}

// ErrNoViews says that there is nothing to combine.
var ErrNoViews = said.Errorf("no view tells the colour")

// Combine joins views of one part of one fungus: a mean weighed by the inverse of
// each view's covariance. Since the views share card, printing and camera, their
// errors are taken as half alike (correlation 0.5; common practice, no source),
// so that the covariance of the joint colour never falls below half of one
// view's. If they scatter more than that lets expect (chi-square over its degrees
// of freedom above 1), it is widened by the ratio of Birge (Phys. Rev. 40:207,
// 1932).
func Combine(views []Seen) (Combined, error) {
	if len(views) == 0 {
		return Combined{}, ErrNoViews
	}
	if len(views) == 1 {
		return Combined{views[0], 1, true}, nil
	}
	s := newSystem(3)
	var inverses []colour.Matrix
	for _, v := range views {
		inv := colour.Matrix(v.Spread.Plus(colour.RoundSpread(0.05))).Inverse()
		inverses = append(inverses, inv)
		lab := [3]float64{v.Lab.L, v.Lab.A, v.Lab.B}
		weighed := inv.Apply(lab)
		for i := range 3 {
			s.right[i] += weighed[i]
			for j := range 3 {
				s.normal[i][j] += inv[i][j]
			}
		}
	}
	root, ok := s.root()
	if !ok {
		return Combined{}, ErrNoViews
	}
	x := root.solve(s.right)
	out := Combined{Seen: Seen{Lab: colour.Lab{L: x[0], A: x[1], B: x[2]}}, Views: len(views), Agree: true}
	chi := 0.0
	for i, v := range views {
		d := [3]float64{v.Lab.L - x[0], v.Lab.A - x[1], v.Lab.B - x[2]}
		w := inverses[i].Apply(d)
		chi += d[0]*w[0] + d[1]*w[1] + d[2]*w[2]
	}
	n := float64(len(views))
	// Independent errors would shrink to 1/n; half alike ones to (1 + 1/n)/2.
	var normal colour.Matrix
	for i := range 3 {
		copy(normal[i][:], s.normal[i])
	}
	joint := colour.Spread(normal.Inverse()).Times(n * (0.5 + 0.5/n))
	freedom := 3 * (n - 1)
	// Half of each variance is common and does not scatter.
	ratio := chi / (0.5 * freedom)
	out.Agree = ratio <= 1+2*math.Sqrt(2/freedom)
	if ratio > 1 && !out.Agree {
		joint = joint.Times(ratio)
	}
	out.Spread = joint
	return out, nil
}
