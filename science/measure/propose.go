package measure

import (
	"cmp"
	"math"
	"slices"

	"trug/science/card"
	"trug/science/said"
)

// Proposal is an outline as the program sees it; a person corrects it.
type Proposal struct {
	Points []card.Pixel
	// Placing is the standard uncertainty of the edge, in pixels: put it into
	// Scene.Placing. It holds how far outlines lie apart that might be meant as
	// well.
	Placing float64
	// Contrast is how clearly the edge stands out, in its noise: below about 3
	// the outline should be looked at twice.
	Contrast float64
	// Sure is how probable it is, 0 to 1, that the outline is the fruitbody's and
	// not one that took a leaf or left out a part: by how often outlines that
	// looked as clear were right on rendered photographs.
	Sure float64

	odds  float64 // of being right, a logarithm
	wide  float64 // greatest width in the even plane, pixels
	clear float64 // how clear its edge is all round, 0 to 1
}

// ErrNoOutline says that nothing stands out round the tap.
var ErrNoOutline = said.Errorf("no outline stands out here: draw it by hand, or tap nearer to the middle")

// ErrUnsure refuses an outline that may well be wrong.
var ErrUnsure = said.Errorf("the fungus can't be told for certain from what lies beside it: draw a stroke across it, tap again nearer to the middle, or draw the outline by hand")

// ErrCutOff refuses an outline that runs out of the photograph.
var ErrCutOff = said.Errorf("the fungus is cut off by the edge of the photograph: take it again with all of it in the view")

// Asked is what outlines are asked for: all that a person has shown.
type Asked struct {
	// Inside are points on the fruitbody: one tap, or a stroke. Outside are
	// points beside it, if any, and Rim points of its edge, put there by hand.
	Inside, Outside, Rim []card.Pixel
	// Least and Largest are the radii between which it is looked for, in pixels.
	Least, Largest float64
	// Rough leaves a range of sizes as soon as one way of looking finds nothing likely
	// there: whoever looks for a thing in many places has no time for all ways in each.
	Rough bool
	// Plane is the card's; with it a cap that is seen aslant is looked for as
	// the round thing it is. Nil without a card.
	Plane *card.Plane
}

// Propose finds the outline of what was tapped. largest is the greatest radius
// looked at, in pixels. The errors are those of Outline.
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
// fraction of a pixel. The likeliest is proposed; how far others that might
// be meant lie from it is part of its uncertainty. Errors are ErrNoOutline,
// ErrUnsure, ErrCutOff and a tap outside the photograph.
func (p *Picture) Outline(a Asked) (Proposal, error) {
	b := p.levels[0].Rect
	if len(a.Inside) == 0 || min(b.Dx(), b.Dy()) < 16 {
		return Proposal{}, said.Errorf("nothing was tapped")
	}
	for _, q := range a.Inside {
		if !(q.X >= 0 && q.Y >= 0 && q.X <= float64(b.Dx()-1) && q.Y <= float64(b.Dy()-1)) {
			return Proposal{}, said.Errorf("the tap lies outside the photograph")
		}
	}
	all := p.hypotheses(&a)
	if len(all) == 0 {
		return Proposal{}, ErrNoOutline
	}
	out, err := agree(all, &a)
	if err != nil {
		return Proposal{}, err
	}
	for _, q := range out.Points {
		if !(q.X > -1 && q.Y > -1 && q.X < float64(b.Dx()) && q.Y < float64(b.Dy())) {
			return Proposal{}, ErrCutOff
		}
	}
	return out, nil
}

// way is how much a path is moved by edges it runs along, by edges it leaves
// inside, by colours, and by turning.
type way struct{ edges, inner, colours, turn float64 }

// ways are the weights with which paths are looked for: with one's failing
// another is often right, and where they disagree the outline is uncertain.
var ways = []way{{edges: 14, inner: 14, colours: .6, turn: 2}, {edges: 14, inner: 22, colours: 0, turn: 4}, {edges: 14, inner: 8, colours: 1, turn: 4}}

// hypotheses are the outlines that might be meant, likeliest first.
func (p *Picture) hypotheses(a *Asked) []Proposal {
	var all []Proposal
	var f fan
	largest := max(a.Largest, 12)
	for from := max(a.Least, 4); from < largest/1.5; from *= 2 {
		all = append(all, f.within(p, a, from, min(from*4, largest))...)
	}
	if likely := likeliest(all); likely >= 0 {
		// Within a cap there may be a ring of another colour: what lies round the
		// likeliest must have been looked at.
		if from := beyond * all[likely].wide / 2; from < largest/1.5 {
			all = append(all, f.within(p, a, from, min(from*4, largest))...)
		}
	}
	rings(all)
	slices.SortStableFunc(all, func(a, b Proposal) int { return cmp.Compare(b.odds, a.odds) })
	return all
}

// What makes an outline seem a ring within another: that one is wider by a factor
// between these, and its edge clearer by clearer at least, and no softer. Its odds
// fall by ring, a logarithm; an outline of odds below nothingThere makes no ring of
// another. Found on invented caps with zones and on the fruitbodies that odds were
// learned on, of which it spoils none.
const (
	ringFrom, ringTo = 1.08, 2.5
	clearer          = .03
	ring             = 3
	nothingThere     = -9
)

// rings lowers the odds of outlines that lie within another whose edge stands out
// more: caps have zones, umbos and rings of another colour, whose borders are
// softer than the rim, where the ground begins.
func rings(all []Proposal) {
	var within []int
	for i, in := range all {
		if slices.ContainsFunc(all, func(out Proposal) bool {
			k := out.wide / in.wide
			return k > ringFrom && k < ringTo && out.clear > in.clear+clearer && out.Contrast > in.Contrast && out.odds > nothingThere
		}) {
			within = append(within, i)
		}
	}
	for _, i := range within {
		all[i].odds -= ring
	}
}

// beyond is how many times as far out as an outline another is looked for
// round it.
const beyond = 1.1

func likeliest(all []Proposal) int {
	at := -1
	for i := range all {
		if at < 0 || all[i].odds > all[at].odds {
			at = i
		}
	}
	return at
}

// leastSure is below which a proposal from one tap is refused, and
// leastSureShown where a person has shown more than one point.
const leastSure, leastSureShown = .85, .1

// agree takes the likeliest outline. Those that might be meant as well, each
// by its odds, make its width uncertain by their distance (the spread of
// their mixture about the one that is taken; JCGM 101:2008, 6.4).
func agree(all []Proposal, a *Asked) (Proposal, error) {
	best := all[0]
	best.Sure = sureOf(all)
	least := leastSure
	if len(a.Inside) > 1 {
		least = leastSureShown
	}
	// Who shows what does not belong to it, or where its rim is, is looking at it.
	if len(a.Rim)+len(a.Outside) == 0 && best.Sure < least {
		return best, ErrUnsure
	}
	var sum, sq float64
	for _, o := range all {
		w := math.Exp(o.odds - best.odds)
		// What is half as large again is another thing, for which Sure stands.
		if d := math.Log(o.wide / best.wide); math.Abs(d) < .5 {
			sum += w
			sq += w * d * d
		}
	}
	// Half of the width's variance comes from either end.
	apart := best.wide * math.Hypot(math.Sqrt(sq/sum), modelU) / math.Sqrt2
	best.Placing = math.Hypot(best.Placing, apart)
	return best, nil
}

// alike is within what part of each other's width two outlines are the same
// thing, as they were when odds were learned.
const alike = .06

// sureOf is how probable it is that the first outline is the right one. The odds
// of each were learned by itself; of outlines that differ, at most one is right,
// and knowing that the others' odds count against it: o₁ / (1 + Σ o) over the
// likeliest of each width, first to last.
func sureOf(all []Proposal) float64 {
	var widths []float64
	sum := 1.0
	for _, o := range all {
		if !slices.ContainsFunc(widths, func(w float64) bool { return math.Abs(math.Log(o.wide/w)) < alike }) {
			widths = append(widths, o.wide)
			sum += math.Exp(o.odds)
		}
	}
	return math.Exp(all[0].odds) / sum
}

// modelU is by what part of its width even a right outline is off, as a
// standard deviation: its smoothness, shade at the rim. Found on rendered
// photographs.
const modelU = .002

// within looks for outlines whose radii lie in a range, one for each way.
// Centre and colours are found together, step by step, and each way goes on
// from there.
func (f *fan) within(p *Picture, a *Asked, from, to float64) (out []Proposal) {
	f.begin(p, a, to)
	var model colours
	for _, turn := range []float64{1, 2} { // the better it is centred, the rounder
		f.look(a, &model, from, to)
		f.path(ways[0], turn)
		model = f.learn()
		f.recentre()
	}
	f.look(a, &model, from, to)
	type start struct {
		centre card.Pixel
		model  colours
	}
	var starts []start
	middle := f.centre
	for _, w := range ways {
		f.path(w, w.turn)
		model := f.learn()
		f.recentre()
		starts = append(starts, start{f.centre, model})
		f.centre = middle
	}
	for i, w := range ways {
		f.centre = starts[i].centre
		f.look(a, &starts[i].model, from, to)
		f.path(w, w.turn)
		likely := false
		if f.inBounds() {
			one, ok := f.polish()
			if likely = ok && one.odds > unlikely; ok && a.allows(one.Points) {
				out = append(out, one)
			}
		}
		if a.Rough && !likely {
			break
		}
	}
	return out
}

// unlikely are odds, a logarithm, below which an outline is no reason to look
// further: a place where the right one was found has not been missed by it (found on
// rendered photographs).
const unlikely = -4

// look makes a fan ready round its centre.
func (f *fan) look(a *Asked, m *colours, from, to float64) {
	f.bound(a, from, to)
	f.sample()
	f.edges()
	f.weigh(m)
}

// allows reports whether a line holds what lies inside and nothing else.
func (a *Asked) allows(line []card.Pixel) bool {
	for _, q := range a.Inside {
		if !holds(line, q) {
			return false
		}
	}
	for _, q := range a.Outside {
		if holds(line, q) {
			return false
		}
	}
	return true
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
