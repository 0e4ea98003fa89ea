package measure

import (
	"fmt"
	"math"
	"slices"

	"trug/science/card"
	"trug/science/said"
	"trug/science/sharpness"
)

// Shape is what an outline measures.
type Shape struct {
	// Width is the greatest distance between two points of the outline, Across
	// the outline's extent at right angles to it.
	Width, Across Measured
	Area          SquareMillimetres
	AreaU95       SquareMillimetres
	// Ends are the pixels between which the width was taken.
	Ends [2]card.Pixel
}

// Outline measures a closed line of pixels round a fruitbody that lies
// parallel to the card, such as a cap seen from above. Scene.Placing is how
// uncertain each place of the edge is. The errors are those of Curve.
func (s *Scene) Outline(points []card.Pixel) (Shape, error) {
	if len(points) < 3 {
		return Shape{}, said.Errorf("an outline needs three points or more, and %d were given", len(points))
	}
	if err := s.valid(); err != nil {
		return Shape{}, err
	}
	g, err := extentOf(&s.Card.Plane, points)
	if err != nil {
		return Shape{}, err
	}
	out := Shape{Ends: [2]card.Pixel{points[g.i], points[g.j]}}
	factor := truth(1, s.Print.Value, s.Above.middle(), float64(s.Pose.Height))
	ends := out.Ends[:]
	// An edge's uncertainty counts where it is seen, at both ends.
	pxPerMM := s.Card.Plane.PxPerMM(middleOf(&s.Card.Plane, points))
	edge := factor * s.placing() * math.Sqrt2 / pxPerMM
	plane := factor * planeU(&s.Card.Plane, func(p *card.Plane) (float64, error) {
		e, err := extentOf(p, points)
		return e.width, err
	})
	for _, m := range []struct {
		to      *Measured
		nominal float64
	}{{&out.Width, g.width}, {&out.Across, g.across}} {
		v := m.nominal * factor
		*m.to = combine(v, append(s.shared(v, m.nominal, ends),
			Contribution{SourcePlane, plane * m.nominal / max(g.width, 1e-9), false}, Contribution{SourceOutline, edge, false}))
	}
	out.Area = SquareMillimetres(g.area * factor * factor)
	// An area goes with the square of the scale; its edge counts all round.
	u := 0.0
	for _, c := range out.Width.Budget {
		k := 2 * c.U / max(float64(out.Width.Value), 1e-9)
		u += k * k
	}
	out.AreaU95 = SquareMillimetres(2 * math.Sqrt(u) * float64(out.Area))
	return out, nil
}

func middleOf(p *card.Plane, points []card.Pixel) card.Spot {
	var x, y float64
	for _, q := range points {
		x, y = x+q.X/float64(len(points)), y+q.Y/float64(len(points))
	}
	s, _ := p.ToCard(card.Pixel{X: x, Y: y})
	return s
}

// extent is an outline's nominal size.
type extent struct {
	width, across, area float64
	i, j                int // ends of the width
}

func extentOf(p *card.Plane, points []card.Pixel) (e extent, err error) {
	spots := make([][2]float64, len(points))
	for i, q := range points {
		s, ok := p.ToCard(q)
		if !ok {
			return e, ErrHorizon
		}
		spots[i] = [2]float64{float64(s.X), float64(s.Y)}
	}
	for i, a := range spots {
		b := spots[(i+1)%len(spots)]
		e.area += (a[0]*b[1] - b[0]*a[1]) / 2
		for j := range i {
			if d := math.Hypot(a[0]-spots[j][0], a[1]-spots[j][1]); d > e.width {
				e.width, e.i, e.j = d, j, i
			}
		}
	}
	e.area = math.Abs(e.area)
	if e.width == 0 {
		return e, said.Errorf("the outline is one point")
	}
	dx, dy := (spots[e.j][0]-spots[e.i][0])/e.width, (spots[e.j][1]-spots[e.i][1])/e.width
	lo, hi := math.Inf(1), math.Inf(-1)
	for _, a := range spots {
		v := a[1]*dx - a[0]*dy
		lo, hi = min(lo, v), max(hi, v)
	}
	e.across = hi - lo
	return e, nil
}

// Spread writes the sizes of several fruitbodies as the trade does, in
// millimetres: (k-)m-n(-p), with the smallest and largest in brackets round
// the span that holds the middle eight tenths, and n, how many there are. Up
// to four are written as their range.
func Spread(sizes []Millimetres) string {
	if len(sizes) == 0 {
		return ""
	}
	v := slices.Sorted(slices.Values(sizes))
	k, p := round(v[0]), round(v[len(v)-1])
	if len(v) < 5 {
		if k == p {
			return fmt.Sprintf("%s mm (n = %d)", k, len(v))
		}
		return fmt.Sprintf("%s-%s mm (n = %d)", k, p, len(v))
	}
	m, n := round(at(v, .1)), round(at(v, .9))
	low, high := "", ""
	if k != m {
		low = "(" + k + "-)"
	}
	if p != n {
		high = "(-" + p + ")"
	}
	middle := m + "-" + n
	if m == n {
		middle = m
	}
	return fmt.Sprintf("%s%s%s mm (n = %d)", low, middle, high, len(v))
}

// at is the quantile of sorted values, in straight lines between them.
func at(v []Millimetres, q float64) Millimetres {
	x := q * float64(len(v)-1)
	i := min(int(x), len(v)-2)
	return v[i] + (v[i+1]-v[i])*Millimetres(x-float64(i))
}

// round writes whole millimetres, and tenths below 10.
func round(v Millimetres) string {
	if math.Round(float64(v)*10) < 100 {
		return fmt.Sprintf("%.1f", v)
	}
	return fmt.Sprintf("%.0f", v)
}

// Resolving says what a view can show.
type Resolving struct {
	// PxPerMM is the scale at the subject, Blur the spread of edges in pixels.
	PxPerMM, Blur float64
}

// Finest is how many pairs of dark and light fit into a millimetre and can
// still be told apart: two pixels a pair at the least, and where the blur
// leaves a tenth of the contrast, exp(-2 π² σ² f²) = 0.1.
func (r Resolving) Finest() float64 {
	if r.PxPerMM <= 0 {
		return 0
	}
	return sharpness.Finest(r.Blur) * r.PxPerMM
}

// Words says it plainly: "pores finer than 4 per mm can't be seen here".
func (r Resolving) Words() string { return r.Said().String() }

// Said is Words for every language.
func (r Resolving) Said() said.Sentence {
	f := r.Finest()
	if f < .1 {
		return said.As("nothing finer than a centimetre can be seen here: come closer")
	}
	if f < 1 {
		return said.Of("nothing finer than %.0f mm can be seen here: come closer", math.Ceil(1/f))
	}
	return said.Of("pores finer than %.0f per mm can't be seen here: come closer", math.Floor(f))
}
