package view

import (
	"cmp"
	"image"
	"math"
	"slices"

	"trug/science/card"
	"trug/science/measure"
	"trug/science/sharpness"
	"trug/science/truecolour"
)

// Subject is the fruitbody that a photograph is taken of, as far as it can be
// told from what surrounds it.
type Subject struct {
	// Outline is a closed line round it; where nothing stands out, the middle of
	// the picture beside the card.
	Outline []card.Pixel
	// Found says that it stood out; otherwise the outline is where a subject is
	// mostly to be seen.
	Found bool
	// Sure is how probable it is, 0 to 1, that the outline is a fruitbody's.
	Sure float64
	// WidthPx is its greatest extent.
	WidthPx float64
	// CutOff says that it runs out of the picture.
	CutOff bool

	region *truecolour.Region
	unseen bool // the outline is no rim that was seen
}

// In says whether a pixel belongs to the subject.
func (s *Subject) In(x, y int) bool { return s.region.In(x, y) }

// Rect holds the subject.
func (s *Subject) Rect() image.Rectangle { return s.region.Rect }

const (
	// takenAt is how sure an outline must be for the search to end, and leastSure
	// for it to be taken for the subject at all.
	takenAt, leastSure = .8, .35
	// away is how far from the middle other places are tried, in parts of the
	// picture's size.
	away = .17
	// middle is the radius of what is looked at where nothing stands out, in parts
	// of the picture's shorter side.
	middleRadius = .22
)

// places are where a subject may be, the likeliest first.
var places = [][2]float64{{0, 0}, {0, 1}, {-1, 0}, {1, 0}, {0, -1}, {-1, 1}, {1, 1}, {-1, -1}, {1, -1}}

// subjectOf looks for the subject round the middle of the picture, where people
// point a camera, and not on the card.
func subjectOf(p *measure.Picture, bounds image.Rectangle, on lying) *Subject {
	w, h := float64(bounds.Dx()), float64(bounds.Dy())
	largest := .48 * max(w, h)
	var best *measure.Proposal
	cut := false
	for i, at := range places {
		tap := card.Pixel{X: w/2 + away*at[0]*w, Y: h/2 + away*at[1]*h}
		if on.card(tap) {
			continue
		}
		asked := measure.Asked{Inside: []card.Pixel{tap}, Least: .02 * min(w, h), Largest: largest, Rough: true}
		one, err := p.Outline(asked)
		switch {
		case err == measure.ErrCutOff:
			cut = cut || i == 0
			continue
		case len(one.Points) == 0 || on.covered(one.Points):
			continue
		}
		// What lies farther from the middle must stand out the more.
		one.Sure *= 1 - .12*math.Hypot(at[0], at[1])
		if best == nil || one.Sure > best.Sure {
			best = &one
		}
		if one.Sure >= takenAt {
			break
		}
	}
	if best != nil && best.Sure >= leastSure {
		if s := SubjectOf(bounds, best.Points); s != nil {
			s.Found, s.Sure = true, best.Sure
			return s
		}
	}
	s := middleOf(bounds, on)
	s.CutOff = cut
	return s
}

// SubjectOf is the subject within an outline that was shown or proposed; nil for
// one that holds nothing of the picture.
func SubjectOf(bounds image.Rectangle, points []card.Pixel) *Subject {
	r, err := truecolour.Outline(bounds, points)
	if err != nil {
		return nil
	}
	return &Subject{Outline: points, WidthPx: widest(points), region: r}
}

// middleOf is a disc in the middle of the picture, moved off the card.
func middleOf(bounds image.Rectangle, on lying) *Subject {
	w, h := float64(bounds.Dx()), float64(bounds.Dy())
	r := middleRadius * min(w, h)
	centre := card.Pixel{X: w / 2, Y: h / 2}
	// Of the places that are not the card's, the one nearest to the middle.
	free := slices.DeleteFunc(slices.Clone(places), func(at [2]float64) bool {
		return on.card(card.Pixel{X: w/2 + away*at[0]*w, Y: h/2 + away*at[1]*h})
	})
	if len(free) > 0 {
		at := slices.MinFunc(free, func(a, b [2]float64) int {
			return cmp.Compare(math.Hypot(a[0], a[1]), math.Hypot(b[0], b[1]))
		})
		centre = card.Pixel{X: w/2 + away*at[0]*w, Y: h/2 + away*at[1]*h}
	}
	points := make([]card.Pixel, 48)
	for i := range points {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / float64(len(points)))
		points[i] = card.Pixel{X: centre.X + r*cos, Y: centre.Y + r*sin}
	}
	s := SubjectOf(bounds, points)
	if s != nil {
		s.unseen = true
	}
	return s
}

// beside is how many millimetres round the card still count as the card.
const beside = 4

// lying is the card, or none, as a picture shows it that is k times smaller than
// the one in which it was found.
type lying struct {
	found *card.Found
	k     float64
}

// card reports whether a pixel shows the card.
func (l lying) card(q card.Pixel) bool {
	if l.found == nil {
		return false
	}
	at, ok := l.found.Plane.ToCard(enlarged(q, l.k))
	k := l.found.Layout
	return ok && at.X > -beside && at.Y > -beside && at.X < k.Width+beside && at.Y < k.Height+beside
}

// covered reports whether a line goes round the card, or runs over much of it.
func (l lying) covered(points []card.Pixel) bool {
	if l.found == nil {
		return false
	}
	n := 0
	for _, q := range points {
		if l.card(q) {
			n++
		}
	}
	if n*5 > len(points) {
		return true
	}
	// A line round the whole card touches it nowhere.
	middle := l.found.Plane.ToImage(l.found.Plane.Middle())
	middle = card.Pixel{X: (middle.X+.5)/l.k - .5, Y: (middle.Y+.5)/l.k - .5}
	in := false
	for i, a := range points {
		b := points[(i+1)%len(points)]
		if (a.Y > middle.Y) != (b.Y > middle.Y) && middle.X < (b.X-a.X)*(middle.Y-a.Y)/(b.Y-a.Y)+a.X {
			in = !in
		}
	}
	return in
}

func widest(points []card.Pixel) float64 {
	d := 0.
	for i, a := range points {
		for _, b := range points[:i] {
			d = max(d, math.Hypot(a.X-b.X, a.Y-b.Y))
		}
	}
	return d
}

// Sharpness is how sharp the subject's own edges are.
func (s *Subject) Sharpness(img *image.RGBA) sharpness.Reading {
	var rim []sharpness.Point
	if !s.unseen {
		rim = make([]sharpness.Point, len(s.Outline))
		for i, q := range s.Outline {
			rim[i] = sharpness.Point{X: q.X, Y: q.Y}
		}
	}
	return sharpness.ReadThing(img, s.Rect(), rim, s.WidthPx, s.In)
}
