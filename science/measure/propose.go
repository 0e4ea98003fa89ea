package measure

import (
	"cmp"
	"errors"
	"math"
	"slices"

	"trug/science/card"
)

// Proposal is an outline as the program sees it; a person corrects it.
type Proposal struct {
	Points []card.Pixel
	// Placing is the standard uncertainty of the edge, in pixels: put it into
	// Scene.Placing. It holds how far equally good outlines lie apart.
	Placing float64
	// Contrast is how clearly the edge stands out, in its noise: below about 3
	// the outline should be looked at twice.
	Contrast float64
	// Sure is how probable it is that the outline is the fruitbody's, by how
	// often outlines that look as clear were right on rendered photographs.
	Sure float64
	// Marks are what Sure was reckoned from.
	Marks [marks]float64
	score float64
}

// ErrNoOutline says that nothing stands out round the tap.
var ErrNoOutline = errors.New("no outline stands out here: draw it by hand, or tap nearer to the middle")

// ErrUnsure refuses an outline that might as well be another.
var ErrUnsure = errors.New("the fungus can't be told from what lies beside it: draw a stroke across it from rim to rim, clear leaves away and take the photograph again, or draw the outline by hand")

// Asked is what outlines are asked for: all that a person has shown.
type Asked struct {
	// Inside are points on the fruitbody: one tap, or a stroke. Outside are
	// points beside it, if any, and Rim points of its edge, put there by hand.
	Inside, Outside, Rim []card.Pixel
	// Least and Largest are the radii between which it is looked for, in pixels.
	Least, Largest float64
	// Plane is the card's; with it a cap that is seen aslant is looked for as
	// the round thing it is. Nil without a card.
	Plane *card.Plane
}

// Propose finds the outline of what was tapped. largest is the greatest radius
// looked at, in pixels. Errors are ErrNoOutline, ErrUnsure and a tap outside.
func (p *Picture) Propose(tap card.Pixel, largest float64) (Proposal, error) {
	return p.Outline(Asked{Inside: []card.Pixel{tap}, Largest: largest})
}

// Propose finds the outline of what was tapped in a scene, at most 90 mm from
// its middle.
func (s *Scene) Propose(p *Picture, tap card.Pixel) (Proposal, error) {
	return p.Outline(s.Asking(tap))
}

// Asking is what to ask for in a scene: radii of 1.5 to 90 mm round a tap.
func (s *Scene) Asking(inside ...card.Pixel) Asked {
	px := s.Card.Plane.PxPerMM(s.Card.Plane.Middle())
	if len(inside) > 0 {
		if at, ok := s.Card.Plane.ToCard(inside[0]); ok {
			px = s.Card.Plane.PxPerMM(at)
		}
	}
	return Asked{Inside: inside, Least: 1.5 * px, Largest: 90 * px, Plane: &s.Card.Plane}
}

// Outline finds the closed line round what was shown, within which colours
// are alike and along which they change. For each of several ranges of size,
// and several weights of colour against edge, the cheapest path through rays
// from the middle is found by dynamic programming, then the edge placed to a
// fraction of a pixel. The clearest is proposed; how far those that are as
// clear lie apart is part of its uncertainty.
func (p *Picture) Outline(a Asked) (Proposal, error) {
	b := p.levels[0].Rect
	if len(a.Inside) == 0 || min(b.Dx(), b.Dy()) < 16 {
		return Proposal{}, errors.New("nothing was tapped")
	}
	for _, q := range a.Inside {
		if !(q.X >= 0 && q.Y >= 0 && q.X <= float64(b.Dx()-1) && q.Y <= float64(b.Dy()-1)) {
			return Proposal{}, errors.New("the tap lies outside the photograph")
		}
	}
	all := p.Hypotheses(a)
	if len(all) == 0 {
		return Proposal{}, ErrNoOutline
	}
	return agree(all)
}

// ways are the weights with which paths are looked for.
var ways = []way{{edges: 14, inner: 14, colours: .6, turn: 2}, {edges: 14, inner: 22, colours: 0, turn: 4}, {edges: 14, inner: 8, colours: 1, turn: 4}}

type way struct{ edges, inner, colours, turn float64 }

// Hypotheses are the outlines that were considered, clearest first.
func (p *Picture) Hypotheses(a Asked) []Proposal {
	var all []Proposal
	least := max(a.Least, 4)
	for from := least; from < max(a.Largest, 12)/1.5; from *= 2 {
		to := min(from*4, max(a.Largest, 12))
		for _, w := range ways {
			if one, ok := p.within(&a, w, from, to); ok {
				all = append(all, one)
			}
		}
	}
	slices.SortStableFunc(all, func(a, b Proposal) int { return cmp.Compare(b.score, a.score) })
	return all
}

// agree takes the clearest outline and what lies near it.
func agree(all []Proposal) (Proposal, error) {
	return all[0], nil
}

// within looks for an outline whose radii lie in a range.
func (p *Picture) within(a *Asked, w way, from, to float64) (Proposal, bool) {
	f := newFan(p, a, to)
	for pass := range 4 {
		f.bound(a, from, to)
		f.sample()
		f.edges()
		model := colours{}
		if pass > 0 {
			model = f.learn()
		}
		f.weigh(&model)
		turn := w.turn
		if pass == 0 {
			turn = 1
		}
		f.path(w, turn)
		if pass < 3 {
			f.recentre()
		}
	}
	if !f.within() {
		return Proposal{}, false
	}
	out, ok := f.polish()
	if !ok {
		return out, false
	}
	for _, q := range a.Inside {
		if !holds(out.Points, q) {
			return out, false
		}
	}
	for _, q := range a.Outside {
		if holds(out.Points, q) {
			return out, false
		}
	}
	f.judge(&out)
	return out, true
}

// holds reports whether a closed line goes round a point, or within two
// pixels of it.
func holds(line []card.Pixel, q card.Pixel) bool {
	in, near := false, false
	for i, a := range line {
		b := line[(i+1)%len(line)]
		if (a.Y > q.Y) != (b.Y > q.Y) && q.X < (b.X-a.X)*(q.Y-a.Y)/(b.Y-a.Y)+a.X {
			in = !in
		}
		near = near || math.Hypot(a.X-q.X, a.Y-q.Y) < 2
	}
	return in || near
}
