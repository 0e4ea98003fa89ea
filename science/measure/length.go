package measure

import (
	"cmp"
	"math"
	"slices"

	"trug/science/card"
	"trug/science/said"
)

// Source names a line of the budget.
type Source string

// The sources of uncertainty.
const (
	SourcePlane   = Source(said.Words("where the card's tags are seen"))
	SourceFlat    = Source(said.Words("how flat the card lies, and what the lens bends"))
	SourcePrint   = Source(said.Words("how large the card was printed"))
	SourceAbove   = Source(said.Words("how far it lies above or below the card"))
	SourceFocal   = Source(said.Words("the camera's height, from the lens's focal length"))
	SourcePlacing = Source(said.Words("where the end points were placed"))
	SourceOutline = Source(said.Words("where its edge is seen"))
)

// Contribution is a line of a budget: the standard uncertainty that one
// source gives to the result, in the result's unit.
type Contribution struct {
	Source Source
	U      float64
	// Even says that all values within the limits are equally likely, and not
	// the middle ones more.
	Even bool
}

// Measured is a result with its uncertainty and the budget, largest line
// first.
type Measured struct {
	Value Millimetres
	// Expanded is the expanded uncertainty: twice the combined standard one
	// (k = 2).
	Expanded Millimetres
	// U95 is half the width of the interval round Value that holds 95 %: less
	// than Expanded where one rectangular source outweighs the rest, for then
	// k = 2 would hold all.
	U95    Millimetres
	Budget []Contribution
}

// Because tells in words what the uncertainty chiefly comes from.
func (m Measured) Because() string {
	if len(m.Budget) == 0 {
		return ""
	}
	return string(m.Budget[0].Source)
}

// Words says a result plainly: "52 mm, give or take 2 mm, chiefly because of
// how far it lies above or below the card". The value has as many digits as
// the uncertainty allows.
func (m Measured) Words() string { return m.Said().String() }

// Said is Words for every language.
func (m Measured) Said() said.Sentence {
	digits := 0
	if m.U95 < 2 {
		digits = 1
	}
	if m.U95 < .1 {
		digits = 2
	}
	// Rounded up, so that no more is promised than is known.
	step := math.Pow(10, float64(-digits))
	u := math.Ceil(float64(m.U95)/step-1e-9) * step
	return said.As("{size} mm, give or take {u} mm, chiefly because of {source}", "size", fixed(float64(m.Value), digits), "u", fixed(u, digits), "source", said.As(said.Words(m.Because())))
}

// fixed writes a figure with so many digits behind the point.
func fixed(v float64, digits int) said.Figure { return said.Figure{Value: v, Digits: digits} }

// combine makes a result of a value and its budget.
func combine(value float64, budget []Contribution) Measured {
	sum := 0.0
	for _, c := range budget {
		sum += c.U * c.U
	}
	slices.SortStableFunc(budget, func(a, b Contribution) int { return cmp.Compare(b.U, a.U) })
	return Measured{Millimetres(value), Millimetres(2 * math.Sqrt(sum)), Millimetres(interval(budget)), budget}
}

// interval is half the width of the interval that holds 95 % of the sum of
// the budget's sources: rectangular ones are taken point by point, the normal
// ones together by their distribution function.
func interval(budget []Contribution) float64 {
	normal := 0.0
	offsets := []float64{0}
	for _, c := range budget {
		if !c.Even || len(offsets) > 1000 {
			normal += c.U * c.U
			continue
		}
		const n = 32
		next := make([]float64, 0, n*len(offsets))
		for _, o := range offsets {
			for i := range n {
				next = append(next, o+c.U*math.Sqrt(12)*((float64(i)+.5)/n-.5))
			}
		}
		offsets = next
	}
	normal = math.Sqrt(normal)
	whole := normal
	for _, o := range offsets {
		whole = max(whole, math.Abs(o)+normal)
	}
	// A rectangle cut into points is smoothed by half their distance.
	normal = math.Hypot(normal, whole/200) + 1e-12
	lo, hi := 0.0, 4*whole
	for range 40 {
		q := (lo + hi) / 2
		in := 0.0
		for _, o := range offsets {
			in += math.Erf((q-o)/(normal*math.Sqrt2)) + math.Erf((q+o)/(normal*math.Sqrt2))
		}
		if in/2/float64(len(offsets)) < .95 {
			lo = q
		} else {
			hi = q
		}
	}
	return hi
}

// Length measures a straight line between two pixels.
func (s *Scene) Length(a, b card.Pixel) (Measured, error) { return s.Curve([]card.Pixel{a, b}) }

// Curve measures along a line of pixels. Errors are ErrNotParallel, ErrOnScreen,
// ErrTooHigh, ErrHorizon and fewer than two points.
func (s *Scene) Curve(points []card.Pixel) (Measured, error) {
	if len(points) < 2 {
		return Measured{}, said.Errorf("a length needs two points or more, and %d were given", len(points))
	}
	if err := s.valid(); err != nil {
		return Measured{}, err
	}
	nominal, err := along(&s.Card.Plane, points)
	if err != nil {
		return Measured{}, err
	}
	value := truth(nominal, s.Print.Value, s.Above.middle(), float64(s.Pose.Height))
	factor := value / max(nominal, 1e-9)
	budget := s.shared(value, nominal, points)
	budget = append(budget,
		Contribution{SourcePlane, factor * planeU(&s.Card.Plane, func(p *card.Plane) (float64, error) { return along(p, points) }), false},
		Contribution{SourcePlacing, factor * s.placingU(points), false})
	return combine(value, budget), nil
}

// along is the nominal length of a line of pixels in a plane.
func along(p *card.Plane, points []card.Pixel) (float64, error) {
	sum := 0.0
	var last card.Spot
	for i, q := range points {
		at, ok := p.ToCard(q)
		if !ok {
			return 0, ErrHorizon
		}
		if i > 0 {
			sum += math.Hypot(float64(at.X-last.X), float64(at.Y-last.Y))
		}
		last = at
	}
	return sum, nil
}

// shared are the lines that come with any length in the scene. Sensitivities
// are the derivatives of truth (JCGM 100:2008, 5.1.3).
func (s *Scene) shared(value, nominal float64, points []card.Pixel) []Contribution {
	h, height := s.Above.middle(), float64(s.Pose.Height)
	return []Contribution{
		{SourcePrint, nominal * s.Print.U, true},
		{SourceAbove, nominal * s.Above.u() / height, true},
		{SourceFocal, nominal * math.Abs(h) / height * float64(s.Pose.HeightU) / height, false},
		{SourceFlat, value * s.flatU(points), false},
	}
}

// flatU is the part of a length by which a card that is crumpled, or a lens that
// is not what the fit took it for, may spoil it: the residual over the card's
// width as seen, growing with the distance from it. What even bends leave open
// is in the plane's own uncertainty.
func (s *Scene) flatU(points []card.Pixel) float64 {
	l := s.Card.Layout
	half := math.Hypot(float64(l.Width), float64(l.Height)) / 2
	px := s.Card.Plane.PxPerMM(s.Card.Plane.Middle()) * float64(l.Width)
	away := 0.0
	for _, p := range points {
		if at, ok := s.Card.Plane.ToCard(p); ok {
			m := s.Card.Plane.Middle()
			away += math.Hypot(float64(at.X-m.X), float64(at.Y-m.Y)) / float64(len(points))
		}
	}
	return math.Hypot(s.Card.Residual, .02) / px * (1 + away/half)
}

// planeU is the standard uncertainty of a nominal value by the plane's own:
// the plane is moved by one standard deviation along each of its independent
// directions in turn, which is the law of propagation for one that is linear
// over that distance.
func planeU(p *card.Plane, value func(*card.Plane) (float64, error)) float64 {
	sum := 0.0
	for i := range card.PlaneDraws {
		var z [card.PlaneDraws]float64
		z[i] = 1
		up, ok := p.Drawn(z)
		z[i] = -1
		down, ok2 := p.Drawn(z)
		if !ok || !ok2 {
			continue
		}
		a, err := value(&up)
		b, err2 := value(&down)
		if err == nil && err2 == nil {
			sum += (a - b) * (a - b) / 4
		}
	}
	return math.Sqrt(sum)
}

// placingU is the standard uncertainty of a nominal length by its points',
// each of which may lie off in either direction by itself.
func (s *Scene) placingU(points []card.Pixel) float64 {
	sum := 0.0
	moved := slices.Clone(points)
	for i, p := range points {
		for _, d := range []card.Pixel{{X: 1}, {Y: 1}} {
			moved[i] = card.Pixel{X: p.X + d.X/2, Y: p.Y + d.Y/2}
			a, err := along(&s.Card.Plane, moved)
			moved[i] = card.Pixel{X: p.X - d.X/2, Y: p.Y - d.Y/2}
			b, err2 := along(&s.Card.Plane, moved)
			if err == nil && err2 == nil {
				sum += (a - b) * (a - b)
			}
		}
		moved[i] = p
	}
	return s.placing() * math.Sqrt(sum)
}

// MonteCarlo draws the length n times from the distributions of all that it
// rests on (JCGM 101:2008) and returns the draws, ascending. normal gives
// independent standard normal numbers, uniform numbers from 0 to 1.
func (s *Scene) MonteCarlo(points []card.Pixel, n int, normal, uniform func() float64) ([]float64, error) {
	if err := s.valid(); err != nil {
		return nil, err
	}
	out := make([]float64, 0, n)
	flat := s.flatU(points)
	moved := make([]card.Pixel, len(points))
	for range n {
		var z [card.PlaneDraws]float64
		for i := range z {
			z[i] = normal()
		}
		plane, ok := s.Card.Plane.Drawn(z)
		if !ok {
			plane = s.Card.Plane
		}
		for i, p := range points {
			moved[i] = card.Pixel{X: p.X + s.placing()*normal(), Y: p.Y + s.placing()*normal()}
		}
		nominal, err := along(&plane, moved)
		if err != nil {
			continue
		}
		scale := s.Print.Value + s.Print.U*math.Sqrt(12)*(uniform()-.5)
		above := float64(s.Above.From) + float64(s.Above.To-s.Above.From)*uniform()
		height := float64(s.Pose.Height) + float64(s.Pose.HeightU)*normal()
		out = append(out, truth(nominal, scale, above, height)*(1+flat*normal()))
	}
	slices.Sort(out)
	return out, nil
}
