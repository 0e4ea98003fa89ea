package trug

import (
	"slices"
	"time"
	"unicode/utf8"

	"trug/science/card"
	"trug/science/measure"
)

// CardBatch is one printing of field cards. The tags on a card tell its batch,
// and the batch how large it was truly printed. Every download is a batch of
// its own, since every printer scales pages its own way.
type CardBatch struct {
	ID       ID `json:"id"`
	SeasonID ID `json:"season"`
	// Layout is the kind of card: "pocket", "large", or "reference" of cards that
	// were printed elsewhere, true to size.
	Layout string `json:"layout"`
	// Number is what the tags tell: unique within layout and season.
	Number int `json:"number"`
	// Paper is the sheet it was made for: "A4", "Letter".
	Paper string `json:"paper"`
	// Several says that the sheet was filled with cards.
	Several bool `json:"several,omitempty"`
	// Remark says which printing it is: "village hall, the office's printer".
	Remark string `json:"remark,omitempty"`
	// ControlLine is the true length of the line of 100 mm below the cards; 0
	// while nobody has measured it.
	ControlLine measure.Millimetres `json:"controlLine,omitempty"`
	MeasuredBy  ID                  `json:"measuredBy,omitempty"`
	Measured    time.Time           `json:"measured,omitzero"`
	// Colours is what an instrument measured of its patches; nil while nobody has.
	Colours *PrintedColours `json:"colours,omitempty"`
	By      ID              `json:"by"`
	Created time.Time       `json:"created"`
}

// Print returns how large the batch was printed: by its control line, or, while
// nobody has measured that, anything from 92 to 101 %.
func (b CardBatch) Print() measure.Scale {
	if s, err := measure.ControlLine(b.ControlLine); err == nil {
		return s
	}
	return measure.UnknownPrint()
}

// Validate returns all that is wrong with the batch by itself, or nil.
func (b CardBatch) Validate() error {
	var f Faults
	l, err := card.LayoutByID(b.Layout)
	switch {
	case err != nil || l.Words.W == 0 && b.Layout != "reference":
		f.add("layout", "%q is no card that is printed here: use pocket or large", b.Layout)
	case b.Number < 0 || b.Number >= l.Batches():
		f.add("number", "the tags of the %s tell batches 0 to %d: %d is none", l.Name, l.Batches()-1, b.Number)
	}
	if !slices.Contains([]string{"A4", "Letter"}, b.Paper) {
		f.add("paper", "%q is no sheet for cards: use A4 or Letter", b.Paper)
	}
	if b.ControlLine != 0 {
		if _, err := measure.ControlLine(b.ControlLine); err != nil {
			f.add("controlLine", "%v", err)
		}
	}
	if !utf8.ValidString(b.Remark) || utf8.RuneCountInString(b.Remark) > MaxNameLength {
		f.add("remark", "keep the remark readable and to %d characters", MaxNameLength)
	}
	return f.orNil()
}

// FoundCard is what a photograph shows of the field card: derived from the
// photograph by science/card, kept so that measuring need not look again, and
// found anew whenever it is lost or the program looks better.
type FoundCard struct {
	ID           ID `json:"id"`
	SeasonID     ID `json:"season"`
	PhotographID ID `json:"photograph"`
	// Picture is the file that was looked at; Width and Height are its size
	// upright, the pixels in which everything below is told.
	Picture Hash `json:"picture"`
	Width   int  `json:"width"`
	Height  int  `json:"height"`
	// Frame is the part of that picture which the photograph's derivatives
	// still show, set when the original itself was deleted.
	Frame *Crop `json:"frame,omitempty"`
	// Revision is that of science/card which found it.
	Revision int `json:"revision"`
	// Focal35 is the focal length as on 35 mm film that the file gives, in
	// millimetres; 0 when it gives none.
	Focal35 float64 `json:"focal35,omitempty"`
	// Found says that there is a card; without one only Problems has meaning.
	Found  bool   `json:"found"`
	Layout string `json:"layout,omitempty"`
	// Batch is the number that the tags tell, where BatchKnown says that they do.
	Batch      int               `json:"batch,omitempty"`
	BatchKnown bool              `json:"batchKnown,omitempty"`
	Tags       []SeenTag         `json:"tags,omitempty"`
	Plane      card.PlaneNumbers `json:"plane"`
	// Residual is how far the tags lie from one plane, in pixels.
	Residual float64 `json:"residual,omitempty"`
	Bent     bool    `json:"bent,omitempty"`
	// OnScreen says that it seems to be shown on a screen: nothing is measured there.
	OnScreen bool `json:"onScreen,omitempty"`
	// Problems are sentences: what is wrong, and how to take it again.
	Problems []string  `json:"problems,omitempty"`
	Created  time.Time `json:"created"`
}

// SeenTag is a tag of a card in a photograph.
type SeenTag struct {
	ID   int `json:"id"`
	Seat int `json:"seat"`
	// Corners are those of the black square, clockwise from the upper left of
	// the upright tag.
	Corners []card.Pixel `json:"corners"`
	Covered bool         `json:"covered,omitempty"`
	Blur    float64      `json:"blur,omitempty"`
}

// NewFoundCard keeps what was found.
func NewFoundCard(f *card.Found) FoundCard {
	out := FoundCard{Revision: card.Revision, Found: true, Layout: f.Layout.ID, Batch: f.Batch, BatchKnown: f.BatchKnown,
		Plane: f.Plane.Numbers(), Residual: f.Residual, Bent: f.Bent, OnScreen: f.Screen}
	for _, t := range f.Tags {
		out.Tags = append(out.Tags, SeenTag{ID: t.ID, Seat: t.Seat, Corners: slices.Clone(t.Corners[:]), Covered: t.Covered, Blur: t.Blur})
	}
	return out
}

// Card returns the card as science/card found it, to measure on. It fails
// where none was found, or what is kept of it is damaged.
func (c FoundCard) Card() (*card.Found, error) {
	if !c.Found {
		return nil, Errorf(Invalid, "", "No field card can be seen in this photograph, so nothing can be measured in it: take it again with the card beside the fungus.")
	}
	l, err := card.LayoutByID(c.Layout)
	if err != nil {
		return nil, err
	}
	plane, err := card.PlaneOf(l, c.Width, c.Height, c.Plane)
	if err != nil {
		return nil, err
	}
	f := &card.Found{Layout: l, Batch: c.Batch, BatchKnown: c.BatchKnown, Plane: plane, Residual: c.Residual, Bent: c.Bent, Screen: c.OnScreen}
	for _, t := range c.Tags {
		if len(t.Corners) != 4 {
			return nil, card.ErrNoPlane
		}
		f.Tags = append(f.Tags, card.FoundTag{ID: t.ID, Seat: t.Seat, Corners: [4]card.Pixel(t.Corners), Covered: t.Covered, Blur: t.Blur})
	}
	return f, nil
}

// Pose is how the camera stood to the card.
func (c FoundCard) Pose(f *card.Found) card.Pose {
	return f.Plane.Pose(card.Film35(c.Focal35, c.Width, c.Height))
}

// MeasurementKind is the way in which a measurement was taken.
type MeasurementKind string

// The kinds of measurement.
const (
	MeasuredLength  MeasurementKind = "length"  // a straight line between two points
	MeasuredCurve   MeasurementKind = "curve"   // along points
	MeasuredOutline MeasurementKind = "outline" // the greatest width of a closed line
	MeasuredAcross  MeasurementKind = "across"  // its extent at right angles to that
)

// Measurement is a size read off one view on the plane of the field card, of
// one fruitbody or of several, with all that it takes to reckon it again.
type Measurement struct {
	ID       ID              `json:"id"`
	SeasonID ID              `json:"season"`
	RecordID ID              `json:"record"`
	ViewID   ID              `json:"view"`
	Kind     MeasurementKind `json:"kind"`
	// Character is the one that it answers, such as cap_diameter; empty for a
	// size that answers none.
	Character string `json:"character,omitempty"`
	// Label is what the season called that character when it was measured.
	Label string `json:"label,omitempty"`
	// Picture is the file whose pixels the points are told in.
	Picture Hash `json:"picture"`
	// AboveFrom and AboveTo are the span in which what is measured lies above
	// the plane of the card; below it is negative.
	AboveFrom measure.Millimetres `json:"aboveFrom"`
	AboveTo   measure.Millimetres `json:"aboveTo"`
	// PrintScale and PrintU are the print's scale and its standard uncertainty,
	// PrintHow how they are known.
	PrintScale float64  `json:"printScale"`
	PrintU     float64  `json:"printU"`
	PrintHow   PrintHow `json:"printHow"`
	// Figures hold one fruitbody each.
	Figures []Figure `json:"figures"`
	// Revisions are those of science/card and science/measure.
	CardRevision    int `json:"cardRevision"`
	MeasureRevision int `json:"measureRevision"`
	// Program is the version of the program that reckoned it, where it has one.
	Program string    `json:"program,omitempty"`
	By      ID        `json:"by"`
	Created time.Time `json:"created"`
	// Withdrawn is when it was taken back; zero while it stands.
	Withdrawn time.Time `json:"withdrawn,omitzero"`
}

// PrintHow says how the scale of a card's print is known.
type PrintHow string

// How the scale of a print is known.
const (
	PrintTrue     PrintHow = "true to size"     // the reference card
	PrintMeasured PrintHow = "control line"     // of its batch
	PrintUnknown  PrintHow = "nobody has said"  // its batch's control line was not measured
	PrintNoBatch  PrintHow = "batch not known"  // the tags seen don't tell it
	PrintForeign  PrintHow = "batch not listed" // printed elsewhere, and not entered here
)

// Figure is one fruitbody's part of a measurement.
type Figure struct {
	// Points are those placed: two ends, the points of a curve, or an outline.
	Points []card.Pixel `json:"points"`
	// Placing is the standard uncertainty of each point in pixels, where a
	// proposal told it; 0 means that of points placed by hand.
	Placing float64             `json:"placing,omitempty"`
	Value   measure.Millimetres `json:"value"`
	// Expanded is with k = 2; U95 half the interval that holds 95 %.
	Expanded measure.Millimetres `json:"expanded"`
	U95      measure.Millimetres `json:"u95"`
	Budget   []BudgetLine        `json:"budget"`
	// Area and AreaU95 are an outline's, in square millimetres.
	Area    measure.SquareMillimetres `json:"area,omitempty"`
	AreaU95 measure.SquareMillimetres `json:"areaU95,omitempty"`
}

// BudgetLine is the standard uncertainty that one source gives.
type BudgetLine struct {
	Source measure.Source      `json:"source"`
	U      measure.Millimetres `json:"u"`
	// Even says that all values within its limits are equally likely.
	Even bool `json:"even,omitempty"`
}

// Limits of a measurement.
const (
	MaxFigures      = 100 // fruitbodies in a view
	MaxCurvePoints  = 200
	MaxOutlinePoint = 1000
	// MaxAbove bounds how far what is measured may lie from the card.
	MaxAbove measure.Millimetres = 2000
)

// Validate returns all that is wrong with what was placed, or nil.
func (m Measurement) Validate() error {
	var f Faults
	least, most := 2, 2
	switch m.Kind {
	case MeasuredLength:
	case MeasuredCurve:
		most = MaxCurvePoints
	case MeasuredOutline, MeasuredAcross:
		least, most = 3, MaxOutlinePoint
	default:
		f.add("kind", "%q is no way to measure: use length, curve, outline or across", m.Kind)
	}
	if n := len(m.Figures); n == 0 || n > MaxFigures {
		f.add("figures", "%d fruitbodies can't be measured at once: place the points of 1 to %d", n, MaxFigures)
	}
	for i, g := range m.Figures {
		if n := len(g.Points); n < least || n > most {
			f.add("figures", "fruitbody %d has %d points: a %s takes %d to %d", i+1, n, m.Kind, least, most)
		}
		if !(g.Placing >= 0 && g.Placing <= 1000) {
			f.add("figures", "the points of fruitbody %d can't be uncertain by %g pixels", i+1, g.Placing)
		}
	}
	if !(m.AboveFrom <= m.AboveTo && m.AboveFrom >= -MaxAbove && m.AboveTo <= MaxAbove) {
		f.add("aboveFrom", "from %g to %g mm above the card is no span: give the smaller number first, both within %g mm", m.AboveFrom, m.AboveTo, MaxAbove)
	}
	return f.orNil()
}
