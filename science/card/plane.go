package card

import (
	"math"

	"trug/science/said"
)

// planeParams is how many numbers a plane has: eight of a homography and one
// of the lens's radial distortion.
const planeParams = 9

// Plane is the plane of a card as a photograph shows it: a central projection
// (homography) followed by one term of radial distortion about the middle of
// the picture.
type Plane struct {
	// h takes spots, counted from mid in units of unit, to pixels:
	// x = (h0 X + h1 Y + h2) / (h6 X + h7 Y + 1), y likewise with h3 to h5.
	// h[8] is the distortion: a pixel at r radii from the centre is shifted
	// outwards by h[8] r² of its distance.
	h      [planeParams]float64
	mid    Spot
	unit   float64 // millimetres
	centre Pixel
	radius float64 // pixels: half the picture's diagonal
	inv    [9]float64
	cov    [planeParams][planeParams]float64
}

// newPlane is a plane of a layout in a picture, its numbers still to be set.
func newPlane(l *Layout, width, height int) Plane {
	return Plane{
		mid: Spot{l.Width / 2, l.Height / 2}, unit: math.Hypot(float64(l.Width), float64(l.Height)) / 2,
		centre: Pixel{float64(width-1) / 2, float64(height-1) / 2}, radius: math.Hypot(float64(width), float64(height)) / 2,
	}
}

// set takes the numbers and reports whether the plane can be seen at all.
func (p *Plane) set(h [planeParams]float64) bool {
	m := [9]float64{h[0], h[1], h[2], h[3], h[4], h[5], h[6], h[7], 1}
	inv, ok := invert3(m)
	if !ok {
		return false
	}
	p.h, p.inv = h, inv
	return true
}

// ToImage tells where a spot of the card's plane is seen. A spot at or behind
// the horizon gives NaN.
func (p *Plane) ToImage(s Spot) Pixel {
	x, y := float64(s.X-p.mid.X)/p.unit, float64(s.Y-p.mid.Y)/p.unit
	w := p.h[6]*x + p.h[7]*y + 1
	if !(w > 1e-9) {
		return Pixel{math.NaN(), math.NaN()}
	}
	u := (p.h[0]*x+p.h[1]*y+p.h[2])/w - p.centre.X
	v := (p.h[3]*x+p.h[4]*y+p.h[5])/w - p.centre.Y
	k := 1 + p.h[8]*(u*u+v*v)/(p.radius*p.radius)
	return Pixel{p.centre.X + u*k, p.centre.Y + v*k}
}

// ToCard tells which spot of the card's plane a pixel shows; false when the
// pixel lies at or beyond the plane's horizon.
func (p *Plane) ToCard(q Pixel) (Spot, bool) {
	u, v := q.X-p.centre.X, q.Y-p.centre.Y
	if p.h[8] != 0 {
		a, b := u, v
		for range 12 { // a contraction while the distortion is small
			k := 1 + p.h[8]*(a*a+b*b)/(p.radius*p.radius)
			if !(k > .2) {
				return Spot{}, false
			}
			a, b = u/k, v/k
		}
		u, v = a, b
	}
	u, v = u+p.centre.X, v+p.centre.Y
	m := &p.inv
	w := m[6]*u + m[7]*v + m[8]
	x, y := (m[0]*u+m[1]*v+m[2])/w, (m[3]*u+m[4]*v+m[5])/w
	// Before the horizon the way there and back has positive depth.
	if !(p.h[6]*x+p.h[7]*y+1 > 1e-9) || math.IsInf(x, 0) || math.IsInf(y, 0) {
		return Spot{}, false
	}
	return Spot{Millimetres(x*p.unit) + p.mid.X, Millimetres(y*p.unit) + p.mid.Y}, true
}

// PxPerMM is the scale at a spot: the square root of how many square pixels
// show a square millimetre.
func (p *Plane) PxPerMM(s Spot) float64 {
	a, b, c, d := p.jacobian(s)
	return math.Sqrt(math.Abs(a*d - b*c))
}

// jacobian is dx/dX, dx/dY, dy/dX, dy/dY at a spot, in pixels a millimetre.
func (p *Plane) jacobian(s Spot) (a, b, c, d float64) {
	const e = .01
	x1, x0 := p.ToImage(Spot{s.X + e, s.Y}), p.ToImage(Spot{s.X - e, s.Y})
	y1, y0 := p.ToImage(Spot{s.X, s.Y + e}), p.ToImage(Spot{s.X, s.Y - e})
	return (x1.X - x0.X) / (2 * e), (y1.X - y0.X) / (2 * e), (x1.Y - x0.Y) / (2 * e), (y1.Y - y0.Y) / (2 * e)
}

// InPart is the same plane as a part of the picture shows it whose upper left
// corner lies at (left, top): a spot is seen that much further left and up. Lens
// and spread go along.
func (p *Plane) InPart(left, top int) Plane {
	out, dx, dy := *p, float64(left), float64(top)
	out.centre = Pixel{p.centre.X - dx, p.centre.Y - dy}
	h := p.h
	h[0], h[1], h[2] = h[0]-dx*h[6], h[1]-dx*h[7], h[2]-dx
	h[3], h[4], h[5] = h[3]-dy*h[6], h[4]-dy*h[7], h[5]-dy
	if !out.set(h) {
		return *p // cannot be: a shift leaves the determinant as it is
	}
	// The new numbers are linear in the old ones: both sides of the spread go through that.
	move := func(c *[planeParams]float64) {
		c[0], c[1], c[3], c[4] = c[0]-dx*c[6], c[1]-dx*c[7], c[3]-dy*c[6], c[4]-dy*c[7]
	}
	for i := range planeParams {
		move(&out.cov[i])
	}
	for j := range planeParams {
		var column [planeParams]float64
		for i := range planeParams {
			column[i] = out.cov[i][j]
		}
		move(&column)
		for i := range planeParams {
			out.cov[i][j] = column[i]
		}
	}
	return out
}

// Middle is the spot in the card's middle.
func (p *Plane) Middle() Spot { return p.mid }

// ErrNoPlane says that points don't make a plane.
var ErrNoPlane = said.Errorf("the points don't lie so that they show a plane")

// FitPlane lays the plane through spots of a layout as seen at pixels, by
// least squares of the distances in the picture, without distortion. It
// needs four points or more, no three of four in a line; else ErrNoPlane.
func FitPlane(l *Layout, width, height int, spots []Spot, pixels []Pixel) (Plane, error) {
	p := newPlane(l, width, height)
	if len(spots) != len(pixels) || len(spots) < 4 {
		return p, ErrNoPlane
	}
	xy := make([][2]float64, len(spots))
	for i, s := range spots {
		xy[i] = [2]float64{float64(s.X-p.mid.X) / p.unit, float64(s.Y-p.mid.Y) / p.unit}
	}
	h, ok := homography(xy, pixels)
	if !ok || !p.set([planeParams]float64{h[0], h[1], h[2], h[3], h[4], h[5], h[6], h[7]}) {
		return p, ErrNoPlane
	}
	return p, nil
}
