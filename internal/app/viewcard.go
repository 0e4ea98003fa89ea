package app

import (
	"context"
	"image"
	"math"
	"slices"
	"sync"

	"trug"
	"trug/science/card"
	"trug/science/describe"
	"trug/science/measure"
	"trug/science/said"
)

// ShownCard is what a view shows of the field card, in pixels of the original:
// pixel centres at integers, x to the right, y down.
type ShownCard struct {
	View trug.ID `json:"view"`
	// Frame is the part of the original that the screen derivative shows.
	Frame ShownFrame `json:"frame"`
	Found bool       `json:"found"`
	// Layout is the kind of card, Batch its printing where the tags tell it.
	Layout string `json:"layout"`
	Batch  *int   `json:"batch,omitempty"`
	// Width and Height are the card's nominal size in mm.
	Width  float64    `json:"width"`
	Height float64    `json:"height"`
	Print  ShownPrint `json:"print"`
	// Edge is the card's outline, from its upper left corner clockwise.
	Edge  []card.Pixel `json:"edge"`
	Tags  []ShownTag   `json:"tags"`
	Plane *ShownPlane  `json:"plane,omitempty"`
	// PxPerMM is the scale at the card's middle, in pixels of the original to a
	// true millimetre.
	PxPerMM float64 `json:"pxPerMm"`
	TiltDeg float64 `json:"tiltDeg"`
	// CameraHeightMM is the camera's true height over the card's plane.
	CameraHeightMM float64 `json:"cameraHeightMm"`
	HeightU95MM    float64 `json:"cameraHeightU95Mm"`
	ResidualPx     float64 `json:"residualPx"`
	Bent           bool    `json:"bent"`
	// BlurPx is the spread of the card's edges, FinestPerMM the pairs of dark
	// and light to a millimetre that can be told apart beside it, Resolves says
	// it; empty where no tag tells.
	BlurPx      float64 `json:"blurPx"`
	FinestPerMM float64 `json:"finestPerMm"`
	Resolves    string  `json:"resolves"`
	// Problems are sentences: what is wrong, and how to take it again.
	Problems []string    `json:"problems"`
	Said     said.Fields `json:"said,omitempty"`
	// May says that the viewer may measure here; Characters are those that a
	// size answers.
	May        bool            `json:"may"`
	Characters []SizeCharacter `json:"characters"`
	// Colours are those that a measured colour answers.
	Colours []SizeCharacter `json:"colours"`
}

// ShownFrame is a part of a picture in pixels.
type ShownFrame struct {
	Left   int `json:"left"`
	Top    int `json:"top"`
	Width  int `json:"width"`
	Height int `json:"height"`
}

// ShownTag is a tag that was found.
type ShownTag struct {
	ID      int          `json:"id"`
	Corners []card.Pixel `json:"corners"`
	Covered bool         `json:"covered"`
}

// ShownPlane lets a screen draw in the card's plane. A spot (X, Y) in nominal mm
// from the card's upper left corner is seen thus: with x = (X - midX) / unit, y
// likewise, w = h6 x + h7 y + 1, u = (h0 x + h1 y + h2) / w - centreX and v =
// (h3 x + h4 y + h5) / w - centreY, at centre + (u, v) (1 + h8 (u² + v²) / radius²).
type ShownPlane struct {
	H       []float64 `json:"h" doc:"h0 to h8"`
	MidX    float64   `json:"midX"`
	MidY    float64   `json:"midY"`
	Unit    float64   `json:"unit"`
	CentreX float64   `json:"centreX"`
	CentreY float64   `json:"centreY"`
	Radius  float64   `json:"radius"`
}

// SizeCharacter is a character that a size answers.
type SizeCharacter struct {
	Character string `json:"character"`
	Label     string `json:"label"`
	Question  string `json:"question"`
	// Technical is the term of the trade.
	Technical string `json:"technical"`
}

// ViewCard tells what a view shows of the field card.
func (a *App) ViewCard(ctx context.Context, v Viewer, view trug.ID) (ShownCard, error) {
	l, err := a.open(ctx, v, SeeSizes)
	if err != nil {
		return ShownCard{}, err
	}
	f, w, err := l.viewToMeasure(v, view)
	if err != nil {
		return ShownCard{}, err
	}
	p := l.photographs[w.PhotographID]
	c, err := a.cardIn(ctx, l, p)
	if err != nil {
		return ShownCard{}, err
	}
	frame := frameOf(p, c)
	k, err := a.keyOf(ctx, l)
	if err != nil {
		return ShownCard{}, err
	}
	s := ShownCard{View: view, Frame: ShownFrame{frame.Left, frame.Top, frame.Width, frame.Height}, Found: c.Found, Edge: []card.Pixel{}, Tags: []ShownTag{},
		Problems: notNil(c.Problems), May: l.mayMeasure(v, f), Characters: k.characters(f, measurable), Colours: k.characters(f, colourful)}
	if !c.Found {
		return s, nil
	}
	return s, l.tellCard(&s, c)
}

// tellCard fills in what was found.
func (l *ledger) tellCard(s *ShownCard, c trug.FoundCard) error {
	found, err := c.Card()
	if err != nil {
		return err
	}
	scale, how := l.printOf(c)
	k, plane := found.Layout, &found.Plane
	pose := c.Pose(found)
	s.Layout, s.Width, s.Height = c.Layout, float64(k.Width), float64(k.Height)
	if c.BatchKnown {
		s.Batch = &c.Batch
	}
	s.Print = ShownPrint{scale.Value, scale.U, how, string(printWords[how])}
	for _, at := range []card.Spot{{}, {X: k.Width}, {X: k.Width, Y: k.Height}, {Y: k.Height}} {
		if q := plane.ToImage(at); !math.IsNaN(q.X + q.Y) {
			s.Edge = append(s.Edge, q)
		}
	}
	for _, t := range c.Tags {
		s.Tags = append(s.Tags, ShownTag{t.ID, t.Corners, t.Covered})
	}
	m := plane.Maths()
	s.Plane = &ShownPlane{H: c.Plane.Shape, MidX: float64(m.Mid.X), MidY: float64(m.Mid.Y), Unit: float64(m.Unit), CentreX: m.Centre.X, CentreY: m.Centre.Y, Radius: m.Radius}
	s.PxPerMM = plane.PxPerMM(plane.Middle()) / scale.Value
	s.TiltDeg, s.CameraHeightMM, s.HeightU95MM = float64(pose.Tilt), float64(pose.Height)*scale.Value, 2*float64(pose.HeightU)*scale.Value
	s.ResidualPx, s.Bent = c.Residual, c.Bent
	if blur := found.Blur(); blur > 0 {
		r := measure.Resolving{PxPerMM: s.PxPerMM, Blur: blur}
		s.BlurPx, s.FinestPerMM, s.Resolves = blur, r.Finest(), r.Words()
		s.Said.Put("resolves", r.Said())
	}
	return nil
}

// characters lists the characters that are measured on the card, of one sort, and
// apply to the find; all of them where nobody has said what it looks like.
func (k *seasonKey) characters(f *find, sort func(describe.Character) bool) []SizeCharacter {
	out := []SizeCharacter{}
	answers := k.answersOf(f.Record)
	for _, c := range k.words.Characters() {
		if !sort(c) || !c.Asks("card") {
			continue
		}
		if f.Form != "" && !k.words.Applies(c.Name, answers) {
			continue
		}
		out = append(out, SizeCharacter{c.Name, c.Label, c.Question, c.Technical})
	}
	return out
}

// GivenStroke is a tap or a stroke inside a fruitbody, in pixels of the original.
type GivenStroke struct {
	Stroke []card.Pixel `json:"stroke" doc:"One point is a tap; at most 200"`
	// Outside are points beside it, Rim points of its edge put there by hand: a
	// proposal that was wrong is asked for again with them.
	Outside []card.Pixel `json:"outside,omitempty"`
	Rim     []card.Pixel `json:"rim,omitempty"`
	// Reach is the greatest radius looked at, in pixels; 0 takes 90 mm.
	Reach float64 `json:"reach,omitempty" minimum:"0"`
}

// ProposedOutline is an outline as the program sees it; a person corrects it.
type ProposedOutline struct {
	Found  bool         `json:"found" doc:"False: nothing is proposed, and says tells why and how to go on"`
	Points []card.Pixel `json:"points"`
	// Placing is the standard uncertainty of its edge in pixels: send it back
	// with the outline.
	Placing  float64 `json:"placing"`
	Contrast float64 `json:"contrast" doc:"How clearly the edge stands out, in its noise"`
	Sure     float64 `json:"sure" doc:"How probable it is, 0 to 1, that it is the fruitbody's"`
	Says     string  `json:"says"`
}

const maxStroke = 400 // points that are shown at once

// ProposeOutline proposes the outline of what was tapped. That none can be
// proposed is an answer, and no failure.
func (a *App) ProposeOutline(ctx context.Context, v Viewer, view trug.ID, g GivenStroke) (ProposedOutline, error) {
	if len(g.Stroke) == 0 {
		return ProposedOutline{}, trug.Errorf(trug.Invalid, "stroke", "tap or draw inside the fruitbody")
	}
	s, done, err := a.lookAgain(ctx, v, view, slices.Concat(g.Stroke, g.Outside, g.Rim))
	if err != nil {
		return ProposedOutline{}, err
	}
	defer done()
	ask := measure.Asked{Largest: 90 * s.pxPerMM, Least: 1.5 * s.pxPerMM}
	if s.card != nil {
		ask = (&measure.Scene{Card: s.card}).Asking(g.Stroke[0])
		// The plane tells of the whole picture, and only a part is looked at.
		part := s.card.Plane.InPart(s.frame.Left, s.frame.Top)
		ask.Plane = &part
	}
	if g.Reach > 0 {
		ask.Largest = g.Reach
	}
	ask.Largest = min(max(ask.Largest, 24), float64(max(s.frame.Width, s.frame.Height)))
	ask.Inside, ask.Outside, ask.Rim = s.inside(g.Stroke), s.inside(g.Outside), s.inside(g.Rim)
	o, err := s.picture.Outline(ask)
	if err != nil {
		return ProposedOutline{Points: []card.Pixel{}, Says: sentence(err.Error()) + "."}, nil
	}
	return ProposedOutline{Found: true, Points: s.outside(o.Points), Placing: o.Placing, Contrast: o.Contrast, Sure: o.Sure,
		Says: "Proposed by the program, which may take a leaf for part of the fungus: look at the line all round, and mend it where it is wrong."}, nil
}

// GivenSnap asks for the strongest edge near one end of a length.
type GivenSnap struct {
	At card.Pixel `json:"at"`
	// Other is the length's other end: edges across that line are looked for.
	Other  card.Pixel `json:"other"`
	Within float64    `json:"within" minimum:"1" maximum:"200" doc:"Pixels of the original"`
}

// SnappedPoint is a point moved to an edge.
type SnappedPoint struct {
	At    card.Pixel `json:"at"`
	Found bool       `json:"found" doc:"False: no edge stands out, and the point is as it was"`
	// Placing is its standard uncertainty in pixels: send the larger of two ends'
	// back with the length. Says tells why no edge was found.
	Placing float64 `json:"placing"`
	Says    string  `json:"says"`
}

// SnapPoint moves an end of a length to the strongest edge near it.
func (a *App) SnapPoint(ctx context.Context, v Viewer, view trug.ID, g GivenSnap) (SnappedPoint, error) {
	s, done, err := a.lookAgain(ctx, v, view, []card.Pixel{g.At, g.Other})
	if err != nil {
		return SnappedPoint{}, err
	}
	defer done()
	ends := s.inside([]card.Pixel{g.At, g.Other})
	got, err := s.picture.Snap(ends[0], ends[1], g.Within)
	if err != nil {
		return SnappedPoint{At: g.At, Says: sentence(err.Error()) + "."}, nil
	}
	at := s.outside([]card.Pixel{got.At})[0]
	if !within(at, s.frame) {
		return SnappedPoint{At: g.At, Says: sentence(measure.ErrNoEdge.Error()) + "."}, nil
	}
	return SnappedPoint{At: at, Found: true, Placing: got.U}, nil
}

// pictured is the picture that was measured in last, so that every tap need not
// decode it again. It is kept where it is small enough to lie about.
type pictured struct {
	mu    sync.Mutex
	of    trug.Hash
	frame trug.Crop
	is    *measure.Picture
}

// mostPictured bounds what is kept, in pixels: 130 MB of memory.
const mostPictured = 24e6

// looking is a part of a picture that is looked at again.
type looking struct {
	picture *measure.Picture
	frame   trug.Crop
	card    *card.Found // nil without one
	pxPerMM float64
}

// inside takes points of the original to the part; outside back.
func (s looking) inside(points []card.Pixel) []card.Pixel {
	out := make([]card.Pixel, len(points))
	for i, p := range points {
		out[i] = card.Pixel{X: min(max(p.X-float64(s.frame.Left), 0), float64(s.frame.Width-1)), Y: min(max(p.Y-float64(s.frame.Top), 0), float64(s.frame.Height-1))}
	}
	return out
}

func (s looking) outside(points []card.Pixel) []card.Pixel {
	out := make([]card.Pixel, len(points))
	for i, p := range points {
		out[i] = card.Pixel{X: p.X + float64(s.frame.Left), Y: p.Y + float64(s.frame.Top)}
	}
	return out
}

// lookAgain opens the part of a view's picture that is shown, to look for edges
// in it; done gives its memory back. The points must lie in it.
func (a *App) lookAgain(ctx context.Context, v Viewer, view trug.ID, points []card.Pixel) (s looking, done func(), err error) {
	l, err := a.open(ctx, v, MeasureView)
	if err != nil {
		return s, nil, err
	}
	f, w, err := l.viewToMeasure(v, view)
	if err != nil {
		return s, nil, err
	}
	if !l.mayMeasure(v, f) {
		return s, nil, trug.Errorf(trug.NotAllowed, "", "A find is measured by its recorder, determiners and the coordinator.")
	}
	p := l.photographs[w.PhotographID]
	c, err := a.cardIn(ctx, l, p)
	if err != nil {
		return s, nil, err
	}
	if c.Picture != p.Original {
		return s, nil, trug.Errorf(trug.Invalid, "", "The original of this photograph was deleted, so that nothing can be looked for in it: place the points by hand.")
	}
	s.frame, s.pxPerMM = frameOf(p, c), 4
	if n := len(points); n == 0 || n > maxStroke {
		return s, nil, trug.Errorf(trug.Invalid, "stroke", "%d points are no stroke: give 1 to %d", n, maxStroke)
	}
	for _, q := range points {
		if !within(q, s.frame) {
			return s, nil, trug.Errorf(trug.Invalid, "stroke", "the point %.0f, %.0f lies beside the picture: place it in the view", q.X, q.Y)
		}
	}
	if found, err := c.Card(); err == nil {
		s.card = found
		s.pxPerMM = found.Plane.PxPerMM(found.Plane.Middle())
	}
	s.picture, done, err = a.picture(ctx, p.Original, s.frame)
	return s, done, err
}

// picture returns a part of an original ready to be looked at.
func (a *App) picture(ctx context.Context, h trug.Hash, frame trug.Crop) (*measure.Picture, func(), error) {
	a.pictured.mu.Lock()
	if a.pictured.is != nil && a.pictured.of == h && a.pictured.frame == frame {
		is := a.pictured.is
		a.pictured.mu.Unlock()
		select {
		case a.decoders <- struct{}{}:
			return is, func() { <-a.decoders }, nil
		case <-ctx.Done():
			return nil, nil, ctx.Err()
		}
	}
	a.pictured.mu.Unlock()
	upright, _, done, err := a.upright(ctx, h)
	if err != nil {
		return nil, nil, err
	}
	part := upright
	if whole := image.Rect(0, 0, upright.Rect.Dx(), upright.Rect.Dy()); image.Rect(frame.Left, frame.Top, frame.Left+frame.Width, frame.Top+frame.Height) != whole {
		part = partAlone(upright, frame)
	}
	is := measure.NewPicture(part)
	if frame.Width*frame.Height <= mostPictured {
		a.pictured.mu.Lock()
		a.pictured.of, a.pictured.frame, a.pictured.is = h, frame, is
		a.pictured.mu.Unlock()
	}
	return is, done, nil
}

// screenScale is how many pixels of a photograph's screen derivative show a true
// millimetre in the plane of the card; 0 where no card was found.
func (l *ledger) screenScale(p trug.Photograph) float64 {
	c, ok := l.cards[p.ID]
	if !ok || !c.Found {
		return 0
	}
	found, err := c.Card()
	frame := frameOf(p, c)
	if err != nil || frame.Width == 0 {
		return 0
	}
	scale, _ := l.printOf(c)
	return found.Plane.PxPerMM(found.Plane.Middle()) / scale.Value * float64(p.Screen.Width) / float64(frame.Width)
}
