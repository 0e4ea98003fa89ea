package card

import "fmt"

// Revision counts the ways in which this package has found cards: it goes up
// when the same photograph gives another plane, so that what was kept of a
// card can be found again.
const Revision = 3

// PlaneNumbers is a plane as it is kept: with the layout and the picture's
// size it makes the same plane again, to the last bit.
type PlaneNumbers struct {
	// Shape holds the eight numbers of the projection and that of the lens.
	Shape []float64 `json:"shape,omitempty"`
	// Spread is the covariance of Shape: the lower triangle, row by row.
	Spread []float64 `json:"spread,omitempty"`
}

// Numbers returns what the plane is made of.
func (p *Plane) Numbers() PlaneNumbers {
	n := PlaneNumbers{Shape: append([]float64(nil), p.h[:]...)}
	for i := range planeParams {
		n.Spread = append(n.Spread, p.cov[i][:i+1]...)
	}
	return n
}

// PlaneOf makes a plane of its numbers, for a card of the layout in a picture
// of that size. It fails where they make none.
func PlaneOf(l *Layout, width, height int, n PlaneNumbers) (Plane, error) {
	p := newPlane(l, width, height)
	if len(n.Shape) != planeParams || len(n.Spread) != planeParams*(planeParams+1)/2 {
		return p, fmt.Errorf("a plane has %d numbers and %d of their spread, not %d and %d",
			planeParams, planeParams*(planeParams+1)/2, len(n.Shape), len(n.Spread))
	}
	k := 0
	for i := range planeParams {
		for j := range i + 1 {
			p.cov[i][j], p.cov[j][i] = n.Spread[k], n.Spread[k]
			k++
		}
	}
	if !p.set([planeParams]float64(n.Shape)) {
		return p, ErrNoPlane
	}
	return p, nil
}

// PlaneMaths is what a plane's Shape refers to: see Plane.
type PlaneMaths struct {
	Mid    Spot
	Unit   Millimetres
	Centre Pixel
	Radius float64 // pixels
}

// Maths returns what the plane's numbers refer to, for those who draw with them.
func (p *Plane) Maths() PlaneMaths {
	return PlaneMaths{p.mid, Millimetres(p.unit), p.centre, p.radius}
}
