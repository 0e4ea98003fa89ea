package app

import (
	"context"
	"image"
	"slices"
	"strings"

	"trug"
	"trug/internal/store"
	"trug/science/card"
	"trug/science/describe"
	"trug/science/truecolour"
)

// GivenColour is a colour as a screen asks for it: what was marked where.
type GivenColour struct {
	View trug.ID        `json:"view"`
	Way  trug.ColourWay `json:"way" enum:"tap,brush,outline"`
	// Points are in pixels of the original: one of a tap, a brush's line, an
	// outline.
	Points []card.Pixel `json:"points" maxItems:"1000"`
	Radius float64      `json:"radius,omitempty" doc:"Of a tap or brush, in pixels of the original"`
	Size   trug.ID      `json:"size,omitempty" doc:"The kept size whose outline was taken"`
	// Character is the one that the colour answers; may be left out.
	Character string         `json:"character,omitempty" maxLength:"100"`
	Treatment trug.Treatment `json:"treatment,omitempty" enum:",bruised,potash,iron salt,ammonia,dried" doc:"What was done first"`
	Before    trug.ID        `json:"before,omitempty" doc:"The colour of the same part before that"`
}

// TryColour measures a colour and keeps nothing. Where the light allows no number
// the answer holds advice alone.
func (a *App) TryColour(ctx context.Context, v Viewer, g GivenColour) (ShownColour, error) {
	l, c, err := a.colourOf(ctx, v, "", g)
	if err != nil {
		return ShownColour{}, err
	}
	return l.shownColour(v, c), nil
}

// SaveColour keeps a colour that was measured in a view: for the record's
// recorder, determiners and the coordinator, as with sizes. A colour that the
// light does not allow is refused with the advice.
func (a *App) SaveColour(ctx context.Context, v Viewer, id trug.ID, g GivenColour) (RecordSheet, error) {
	if !id.Valid() {
		return RecordSheet{}, badID()
	}
	_, c, err := a.colourOf(ctx, v, id, g)
	if err != nil {
		return RecordSheet{}, err
	}
	if len(c.Palette) == 0 {
		return RecordSheet{}, trug.Errorf(trug.Invalid, "", "No colour can be told from this photograph, so none is kept. %s", adviceWords(c.Advice))
	}
	if err := a.write(ctx, func(w store.Writer) error { return store.Put(ctx, w, c, a.author(v), a.Clock()) }); err != nil {
		return RecordSheet{}, err
	}
	return a.Record(ctx, v, c.RecordID)
}

// TakeBackColour takes a colour back. It is kept, and counts nowhere; taking back
// twice changes nothing.
func (a *App) TakeBackColour(ctx context.Context, v Viewer, id trug.ID) (RecordSheet, error) {
	l, err := a.open(ctx, v, MeasureView)
	if err != nil {
		return RecordSheet{}, err
	}
	f, c, ok := l.colourByID(id)
	if !ok || !l.visible(v, f) {
		return RecordSheet{}, noColour()
	}
	if !l.mayChangeColour(v, f, c) {
		return RecordSheet{}, notTheirColour()
	}
	if c.Withdrawn.IsZero() {
		c.Withdrawn = a.Clock()
		if err := a.write(ctx, func(w store.Writer) error { return store.Put(ctx, w, c, a.author(v), a.Clock()) }); err != nil {
			return RecordSheet{}, err
		}
	}
	return a.Record(ctx, v, f.ID)
}

func noColour() error {
	return trug.Errorf(trug.NotFound, "", "There is no such colour here; its view may have been taken out.")
}

func notTheirColour() error {
	return trug.Errorf(trug.NotAllowed, "", "A colour is changed by whoever measured it, the find's recorder and the coordinator.")
}

func (l *ledger) colourByID(id trug.ID) (*find, trug.Colour, bool) {
	for _, f := range l.inOrder {
		if c, ok := f.colour(id); ok {
			return f, c, true
		}
	}
	return nil, trug.Colour{}, false
}

func (f *find) colour(id trug.ID) (trug.Colour, bool) {
	i := slices.IndexFunc(f.colours, func(c trug.Colour) bool { return c.ID == id })
	if i < 0 || id == "" {
		return trug.Colour{}, false
	}
	return f.colours[i], true
}

// mayChangeColour: whoever measured it, the find's recorder, the coordinator.
func (l *ledger) mayChangeColour(v Viewer, f *find, c trug.Colour) bool {
	return l.mayMeasure(v, f) && (v.is(c.By) || v.is(f.RecorderID) || v.has(trug.Coordinator))
}

// colourOf makes a colour of what was given, and measures it.
func (a *App) colourOf(ctx context.Context, v Viewer, id trug.ID, g GivenColour) (*ledger, trug.Colour, error) {
	l, err := a.open(ctx, v, MeasureView)
	if err != nil {
		return nil, trug.Colour{}, err
	}
	f, w, err := l.viewToMeasure(v, g.View)
	if err != nil {
		return nil, trug.Colour{}, err
	}
	if !l.mayMeasure(v, f) {
		return nil, trug.Colour{}, trug.Errorf(trug.NotAllowed, "", "A find is measured by its recorder, determiners and the coordinator.")
	}
	c := trug.Colour{ID: id, SeasonID: l.season.ID, RecordID: f.ID, ViewID: w.ID, Way: g.Way, Points: g.Points, Radius: g.Radius, SizeID: g.Size,
		Character: g.Character, Treatment: g.Treatment, Before: g.Before, By: v.Person.ID, Created: a.Clock(), Program: a.Version}
	if was, ok := f.colour(id); ok {
		if !l.mayChangeColour(v, f, was) {
			return nil, c, notTheirColour()
		}
		c.By, c.Created = was.By, was.Created
	}
	if err := c.Validate(); err != nil {
		return nil, c, err
	}
	if err := a.colourLinks(ctx, l, v, f, &c); err != nil {
		return nil, c, err
	}
	return l, c, a.measureColour(ctx, l, f, &c)
}

// colourLinks checks what a colour says that it belongs to.
func (a *App) colourLinks(ctx context.Context, l *ledger, v Viewer, f *find, c *trug.Colour) error {
	if c.Character != "" {
		k, err := a.keyOf(ctx, l)
		if err != nil {
			return err
		}
		is, ok := k.words.Character(c.Character)
		if !ok || !colourful(is) {
			return trug.Errorf(trug.Invalid, "character", "%q is no character that a measured colour answers: choose cap_color, gill_color, stem_color or flesh_color", c.Character)
		}
		c.Label = is.Label
	}
	if c.SizeID != "" {
		if m, ok := f.size(c.SizeID); !ok || m.ViewID != c.ViewID || !m.Withdrawn.IsZero() {
			return trug.Errorf(trug.Invalid, "size", "there is no such size in this view any more: draw the outline anew")
		}
	}
	if c.Before != "" && (c.Before == c.ID || !slices.ContainsFunc(l.coloursFor(v, f), func(o trug.Colour) bool { return o.ID == c.Before })) {
		return trug.Errorf(trug.Invalid, "before", "there is no such colour of this find: measure the colour before the change first")
	}
	return nil
}

// colourful reports whether a measured colour answers the character.
func colourful(c describe.Character) bool {
	return c.Asks("card") && strings.HasSuffix(c.Name, "_color")
}

// measureColour works a colour out of its marks, its view's picture, the card that
// was found and what is known of the printing alone, so that it can be done again.
func (a *App) measureColour(ctx context.Context, l *ledger, f *find, c *trug.Colour) error {
	shot, err := a.shotOf(ctx, l, l.photographs[f.photographOf(c.ViewID)])
	if err != nil {
		return err
	}
	defer shot.done()
	for _, q := range c.Points {
		if !within(q, shot.frame) {
			return trug.Errorf(trug.Invalid, "points", "the point %.0f, %.0f lies beside the picture: mark the colour in the view", q.X, q.Y)
		}
	}
	bounds := image.Rect(shot.frame.Left, shot.frame.Top, shot.frame.Left+shot.frame.Width, shot.frame.Top+shot.frame.Height)
	var region *truecolour.Region
	if c.Way == trug.ColourOutline {
		region, err = truecolour.Outline(bounds, c.Points)
	} else {
		region, err = truecolour.Brush(bounds, c.Points, c.Radius)
	}
	if err != nil {
		return trug.Errorf(trug.Invalid, "points", "%s", fullStop(err))
	}
	got, err := truecolour.Measure(shot.img, &shot.card.Plane, shot.card.Layout, shot.ref, shot.flash, region)
	if err != nil {
		return trug.Errorf(trug.Invalid, "points", "%s", fullStop(err))
	}
	c.Picture, c.CardRevision, c.ColourRevision, c.Table = shot.of, shot.revision, truecolour.Revision, shot.table
	tellColour(c, got)
	return nil
}

// tellColour takes over what was measured; without a palette where the light
// allows no number.
func tellColour(c *trug.Colour, got *truecolour.Result) {
	k := got.Correction
	c.Advice = got.Advice
	c.Correction = trug.ColourCorrection{Model: k.Model.String(), GreysOnly: k.GreysOnly, LeaveOneOut: k.LeaveOneOut[k.Model],
		Patches: k.Patches, Clipped: k.Clipped, Rejected: k.Rejected, Unevenness: k.Unevenness}
	c.Mean, c.Palette, c.Highlights, c.Edges = truecolour.Told{}, nil, 0, 0
	if got.Palette == nil {
		return
	}
	c.Mean, c.Highlights, c.Edges = got.Palette.Mean.Tell(), got.Palette.Highlights, got.Palette.Edges
	for _, main := range got.Palette.Colours {
		c.Palette = append(c.Palette, main.Tell())
	}
}
