package app

import (
	"context"
	"errors"
	"math"
	"slices"

	"trug"
	"trug/internal/store"
	"trug/science/card"
	"trug/science/describe"
	"trug/science/measure"
	"trug/science/said"
)

// GivenSize is a measurement as a screen sends it: what was placed where.
type GivenSize struct {
	View trug.ID              `json:"view"`
	Kind trug.MeasurementKind `json:"kind" enum:"length,curve,outline,across"`
	// Character is the one that the size answers; may be left out.
	Character string        `json:"character,omitempty" maxLength:"100"`
	Figures   []GivenFigure `json:"figures" doc:"One for each fruitbody"`
	AboveFrom float64       `json:"aboveFrom" doc:"Least height of what is measured above the card's plane, mm; below it is negative"`
	AboveTo   float64       `json:"aboveTo" doc:"Greatest height, mm"`
	// Standing says that what is measured stands up over a lying card: such
	// lengths are refused with the reason and the remedy.
	Standing bool `json:"standing,omitempty"`
}

// GivenFigure is one fruitbody's points, in pixels of the original.
type GivenFigure struct {
	Points  []card.Pixel `json:"points"`
	Placing float64      `json:"placing,omitempty" doc:"Standard uncertainty of each point in pixels, where a proposal told it"`
}

// ShownSize is a size that was read off a view.
type ShownSize struct {
	ID        trug.ID              `json:"id"`
	View      trug.ID              `json:"view"`
	Kind      trug.MeasurementKind `json:"kind"`
	Character string               `json:"character"`
	// Label says in plain words what was measured: "Cap width".
	Label string `json:"label"`
	// Words says the size plainly, with its uncertainty and what that chiefly
	// comes from; of several fruitbodies their range.
	Words string `json:"words"`
	// Range is the trade's notation of several fruitbodies, with n.
	Range     string        `json:"range"`
	Figures   []ShownFigure `json:"figures"`
	AboveFrom float64       `json:"aboveFrom"`
	AboveTo   float64       `json:"aboveTo"`
	Print     ShownPrint    `json:"print"`
	By        string        `json:"by"`
	May       bool          `json:"may" doc:"The viewer may change it or take it back"`
	Said      said.Fields   `json:"said,omitempty"`
}

// ShownFigure is one fruitbody's size.
type ShownFigure struct {
	Points     []card.Pixel `json:"points"`
	Placing    float64      `json:"placing,omitempty"`
	MM         float64      `json:"mm"`
	U95MM      float64      `json:"u95Mm" doc:"Half the interval that holds 95 %"`
	ExpandedMM float64      `json:"expandedMm" doc:"Expanded uncertainty, k = 2"`
	Words      string       `json:"words"`
	Budget     []ShownLine  `json:"budget" doc:"Largest first"`
	AreaMM2    float64      `json:"areaMm2,omitempty"`
	AreaU95MM2 float64      `json:"areaU95Mm2,omitempty"`
}

// ShownLine is a line of an uncertainty budget.
type ShownLine struct {
	Source string  `json:"source"`
	UMM    float64 `json:"uMm" doc:"Standard uncertainty that it gives"`
}

// ShownPrint is how large a card was printed.
type ShownPrint struct {
	Scale float64       `json:"scale" doc:"In parts of its nominal size"`
	U     float64       `json:"u" doc:"Its standard uncertainty"`
	How   trug.PrintHow `json:"how"`
	Says  string        `json:"says"`
}

var printWords = map[trug.PrintHow]said.Words{
	trug.PrintTrue:     "The card is known to be true to size.",
	trug.PrintMeasured: "The card's size is known by the control line of its printing.",
	trug.PrintUnknown:  "Nobody has measured the control line of this printing, so that the card may have been printed at 92 to 101 %: measure the line of 100 mm below the cards and type it in.",
	trug.PrintNoBatch:  "The tags that are seen don't tell which printing the card is of, so that it may have been printed at 92 to 101 %.",
	trug.PrintForeign:  "The card is of a printing that is not listed in this season, so that it may have been printed at 92 to 101 %.",
}

// viewToMeasure returns a view that the viewer sees, with its record.
func (l *ledger) viewToMeasure(v Viewer, view trug.ID) (*find, trug.View, error) {
	f, w, ok := l.viewOf(view)
	if !ok || !l.visible(v, f) || l.hidden(v, f, view) {
		return nil, w, noView()
	}
	return f, w, nil
}

// mayMeasure reports whether the viewer may measure in views of the find.
func (l *ledger) mayMeasure(v Viewer, f *find) bool {
	return v.May(MeasureView) && (v.is(f.RecorderID) || v.has(trug.DeterminerRole) || v.has(trug.Coordinator))
}

// TriedSize is a size as it would be kept, or why it can't be reckoned.
type TriedSize struct {
	Size *ShownSize `json:"size,omitempty"`
	// Says tells why there is none and what to do; empty with a size.
	Says string `json:"says"`
}

// TrySize reckons a size and keeps nothing, for points that are being moved. That
// what was placed can't be measured on the card is an answer, and no failure.
func (a *App) TrySize(ctx context.Context, v Viewer, g GivenSize) (TriedSize, error) {
	l, m, c, err := a.sizeOf(ctx, v, "", g)
	if err != nil {
		return TriedSize{}, err
	}
	if err := l.reckonGiven(&m, c, g); err != nil {
		says := err.Error()
		if e := (*trug.Error)(nil); errors.As(err, &e) {
			says = e.Says // without the field, which stands before it for logs
		}
		return TriedSize{Says: sentence(says) + "."}, nil
	}
	s := l.shownSize(v, m)
	return TriedSize{Size: &s}, nil
}

// reckonGiven reckons a size anew that somebody gives, unless it stands up over
// the card.
func (l *ledger) reckonGiven(m *trug.Measurement, c trug.FoundCard, g GivenSize) error {
	if g.Standing {
		return trug.Errorf(trug.Invalid, "standing", "%v", measure.ErrNotParallel)
	}
	return l.reckon(m, c)
}

// SaveSize keeps a size that was read off a view: for the record's recorder,
// determiners and the coordinator. A size is changed by whoever measured it, the
// find's recorder and the coordinator.
func (a *App) SaveSize(ctx context.Context, v Viewer, id trug.ID, g GivenSize) (RecordSheet, error) {
	if !id.Valid() {
		return RecordSheet{}, badID()
	}
	l, m, c, err := a.sizeOf(ctx, v, id, g)
	if err != nil {
		return RecordSheet{}, err
	}
	if err := l.reckonGiven(&m, c, g); err != nil {
		return RecordSheet{}, err
	}
	if err := a.write(ctx, func(w store.Writer) error { return store.Put(ctx, w, m, a.author(v), a.Clock()) }); err != nil {
		return RecordSheet{}, err
	}
	return a.Record(ctx, v, m.RecordID)
}

// TakeBackSize takes a size back. It is kept, and counts nowhere; taking back
// twice changes nothing.
func (a *App) TakeBackSize(ctx context.Context, v Viewer, id trug.ID) (RecordSheet, error) {
	l, err := a.open(ctx, v, MeasureView)
	if err != nil {
		return RecordSheet{}, err
	}
	f, m, ok := l.sizeByID(id)
	if !ok || !l.visible(v, f) {
		return RecordSheet{}, noSize()
	}
	if !l.mayChange(v, f, m) {
		return RecordSheet{}, trug.Errorf(trug.NotAllowed, "", "A size is changed by whoever measured it, the find's recorder and the coordinator.")
	}
	if m.Withdrawn.IsZero() {
		m.Withdrawn = a.Clock()
		if err := a.write(ctx, func(w store.Writer) error { return store.Put(ctx, w, m, a.author(v), a.Clock()) }); err != nil {
			return RecordSheet{}, err
		}
	}
	return a.Record(ctx, v, f.ID)
}

func noSize() error {
	return trug.Errorf(trug.NotFound, "", "There is no such size here; its view may have been taken out.")
}

func (l *ledger) sizeByID(id trug.ID) (*find, trug.Measurement, bool) {
	for _, f := range l.inOrder {
		for _, m := range f.sizes {
			if m.ID == id {
				return f, m, true
			}
		}
	}
	return nil, trug.Measurement{}, false
}

// mayChange: whoever measured it, the find's recorder, the coordinator.
func (l *ledger) mayChange(v Viewer, f *find, m trug.Measurement) bool {
	return l.mayMeasure(v, f) && (v.is(m.By) || v.is(f.RecorderID) || v.has(trug.Coordinator))
}

// sizeOf makes a measurement of what was given, not reckoned yet, and tells the
// card it lies beside.
func (a *App) sizeOf(ctx context.Context, v Viewer, id trug.ID, g GivenSize) (*ledger, trug.Measurement, trug.FoundCard, error) {
	l, err := a.open(ctx, v, MeasureView)
	if err != nil {
		return nil, trug.Measurement{}, trug.FoundCard{}, err
	}
	f, w, err := l.viewToMeasure(v, g.View)
	if err != nil {
		return nil, trug.Measurement{}, trug.FoundCard{}, err
	}
	if !l.mayMeasure(v, f) {
		return nil, trug.Measurement{}, trug.FoundCard{}, trug.Errorf(trug.NotAllowed, "", "A find is measured by its recorder, determiners and the coordinator.")
	}
	p := l.photographs[w.PhotographID]
	c, err := a.cardIn(ctx, l, p)
	if err != nil {
		return nil, trug.Measurement{}, trug.FoundCard{}, err
	}
	m := trug.Measurement{ID: id, SeasonID: l.season.ID, RecordID: f.ID, ViewID: w.ID, Kind: g.Kind, Character: g.Character,
		AboveFrom: measure.Millimetres(g.AboveFrom), AboveTo: measure.Millimetres(g.AboveTo), By: v.Person.ID, Created: a.Clock(), Program: a.Version}
	if was, ok := f.size(id); ok {
		if !l.mayChange(v, f, was) {
			return nil, m, c, trug.Errorf(trug.NotAllowed, "", "A size is changed by whoever measured it, the find's recorder and the coordinator.")
		}
		m.By, m.Created = was.By, was.Created
	}
	for _, x := range g.Figures {
		m.Figures = append(m.Figures, trug.Figure{Points: x.Points, Placing: x.Placing})
	}
	if err := m.Validate(); err != nil {
		return nil, m, c, err
	}
	if m.Character != "" {
		k, err := a.keyOf(ctx, l)
		if err != nil {
			return nil, m, c, err
		}
		x, ok := k.words.Character(m.Character)
		if !ok || !measurable(x) {
			return nil, m, c, trug.Errorf(trug.Invalid, "character", "%q is no character that a size answers: choose one that is measured, such as cap_diameter", m.Character)
		}
		m.Label = x.Label
	}
	if err := inFrame(m, frameOf(p, c)); err != nil {
		return nil, m, c, err
	}
	return l, m, c, nil
}

func (f *find) size(id trug.ID) (trug.Measurement, bool) {
	for _, m := range f.sizes {
		if m.ID == id && id != "" {
			return m, true
		}
	}
	return trug.Measurement{}, false
}

// photographOf returns the photograph of a view of the find, empty where the
// view is not in it.
func (f *find) photographOf(view trug.ID) trug.ID {
	for _, w := range f.views {
		if w.ID == view {
			return w.PhotographID
		}
	}
	return ""
}

// kindOf says what a view of the find shows, empty where the view is not in it.
func (f *find) kindOf(view trug.ID) trug.ViewKind {
	for _, w := range f.views {
		if w.ID == view {
			return w.Kind
		}
	}
	return ""
}

// measurable reports whether a size answers the character.
func measurable(c describe.Character) bool {
	return c.Kind == describe.Numeric && (c.Unit == "mm" || c.Unit == "cm")
}

// inFrame refuses points beside the part of the picture that is shown.
func inFrame(m trug.Measurement, frame trug.Crop) error {
	for _, g := range m.Figures {
		for _, p := range g.Points {
			if !within(p, frame) {
				return trug.Errorf(trug.Invalid, "figures", "the point %.0f, %.0f lies beside the picture: place it in the view", p.X, p.Y)
			}
		}
	}
	return nil
}

// within reports whether a point lies in a part of a picture, half a pixel of
// its border included.
func within(p card.Pixel, c trug.Crop) bool {
	x, y := p.X-float64(c.Left), p.Y-float64(c.Top)
	return x >= -.5 && y >= -.5 && x <= float64(c.Width)-.5 && y <= float64(c.Height)-.5 && !math.IsNaN(x+y)
}

// reckon works out a measurement's figures on the card that was found: from the
// points, the span of heights and the card alone, so that it can be done again.
func (l *ledger) reckon(m *trug.Measurement, c trug.FoundCard) error {
	found, err := c.Card()
	if err != nil {
		return err
	}
	scale, how := l.printOf(c)
	m.Picture, m.CardRevision, m.MeasureRevision = c.Picture, c.Revision, measure.Revision
	m.PrintScale, m.PrintU, m.PrintHow = scale.Value, scale.U, how
	scene := measure.Scene{Card: found, Pose: c.Pose(found), Print: scale, Above: measure.Range{From: m.AboveFrom, To: m.AboveTo}}
	figures := slices.Clone(m.Figures)
	for i := range figures {
		if err := reckonFigure(&scene, m.Kind, &figures[i]); err != nil {
			return trug.Errorf(trug.Invalid, "figures", "%v", err)
		}
	}
	m.Figures = figures
	return nil
}

func reckonFigure(scene *measure.Scene, kind trug.MeasurementKind, g *trug.Figure) error {
	scene.Placing = g.Placing
	var v measure.Measured
	var err error
	g.Area, g.AreaU95 = 0, 0
	switch kind {
	case trug.MeasuredOutline, trug.MeasuredAcross:
		var s measure.Shape
		if s, err = scene.Outline(g.Points); err == nil {
			v, g.Area, g.AreaU95 = s.Width, s.Area, s.AreaU95
			if kind == trug.MeasuredAcross {
				v = s.Across
			}
		}
	default:
		v, err = scene.Curve(g.Points)
	}
	if err != nil {
		return err
	}
	g.Value, g.Expanded, g.U95, g.Budget = v.Value, v.Expanded, v.U95, nil
	for _, line := range v.Budget {
		g.Budget = append(g.Budget, trug.BudgetLine{Source: line.Source, U: measure.Millimetres(line.U), Even: line.Even})
	}
	return nil
}
