package app

import (
	"cmp"
	"context"
	"fmt"
	"slices"
	"time"

	"trug"
	"trug/internal/paper"
	"trug/internal/store"
	"trug/science/card"
	"trug/science/measure"
)

// GivenCards asks for a sheet of field cards: a printing of its own.
type GivenCards struct {
	ID      trug.ID `json:"id" doc:"UUIDv7 of the printing, so that sending twice makes one"`
	Layout  string  `json:"layout" enum:"pocket,large"`
	Paper   string  `json:"paper" enum:"A4,Letter"`
	Several bool    `json:"several,omitempty" doc:"Fill the sheet"`
	Remark  string  `json:"remark,omitempty" maxLength:"200" doc:"Which printing it is, in your own words"`
	Address string  `json:"address,omitempty" maxLength:"500" doc:"What the square code leads to; left out: the server's public address"`
}

// ShownBatch is a printing of field cards.
type ShownBatch struct {
	ID     trug.ID `json:"id"`
	Layout string  `json:"layout"`
	// Name is for people: "pocket card, batch 3".
	Name    string    `json:"name"`
	Number  int       `json:"number"`
	Paper   string    `json:"paper"`
	Several bool      `json:"several"`
	Remark  string    `json:"remark"`
	Made    trug.Date `json:"made"`
	By      string    `json:"by"`
	// ControlLine is its true length in millimetres; 0 while nobody measured it.
	ControlLine float64 `json:"controlLine"`
	// Says tells in a sentence how large it was printed.
	Says string `json:"says"`
	// Colours says in a sentence what is known of its colours; Measured that an
	// instrument has measured them.
	Colours  string `json:"colours"`
	Measured bool   `json:"measured"`
	// Views counts the views in which its cards were found.
	Views int `json:"views"`
	// ToMeasure counts the colours read off its cards that are still to be measured
	// anew since its own colours changed; Unmeasured those that could not be.
	ToMeasure  int `json:"toMeasure"`
	Unmeasured int `json:"unmeasured"`
}

// CardBatches lists the printings, newest first: one's own, and every one for
// the coordinator.
func (a *App) CardBatches(ctx context.Context, v Viewer) ([]ShownBatch, error) {
	l, err := a.open(ctx, v, SeeCards)
	if err != nil {
		return nil, err
	}
	seen := map[string]int{}
	for _, c := range l.cards {
		if c.BatchKnown {
			seen[batchKey(c.Layout, c.Batch)]++
		}
	}
	out := []ShownBatch{}
	for _, b := range l.batches {
		if v.is(b.By) || v.has(trug.Coordinator) {
			out = append(out, a.shownBatch(l, b, seen[batchKey(b.Layout, b.Number)]))
		}
	}
	slices.SortFunc(out, func(x, y ShownBatch) int { return cmp.Compare(y.ID, x.ID) })
	return out, nil
}

func batchKey(layout string, number int) string { return fmt.Sprintf("%s-%d", layout, number) }

func (a *App) shownBatch(l *ledger, b trug.CardBatch, views int) ShownBatch {
	waiting, stuck := a.toMeasureAnew(l, b)
	return ShownBatch{ID: b.ID, Layout: b.Layout, Name: batchName(b), Number: b.Number, Paper: b.Paper, Several: b.Several, Remark: b.Remark,
		Made: trug.DateOf(b.Created.In(zone(l.season))), By: l.person(b.By), ControlLine: float64(b.ControlLine), Says: batchWords(b), Views: views,
		Colours: batchColourWords(b), Measured: b.Colours != nil, ToMeasure: waiting, Unmeasured: stuck}
}

func batchName(b trug.CardBatch) string { return fmt.Sprintf("%s card, batch %d", b.Layout, b.Number) }

func batchWords(b trug.CardBatch) string {
	if b.Layout == referenceCard {
		return "A reference card, printed elsewhere and true to size."
	}
	if b.ControlLine == 0 {
		return "Nobody has measured its control line: its cards count as printed at 92 to 101 %, and every size read off them is that unsure."
	}
	return fmt.Sprintf("Printed at %.1f %%, by its control line of %.1f mm.", float64(b.ControlLine), float64(b.ControlLine))
}

func batchColourWords(b trug.CardBatch) string {
	switch {
	case b.Colours == nil:
		return "Nobody has measured its colours: fungi beside its cards are corrected by the greys alone, and their colours are some three times as unsure."
	case b.Colours.Paper:
		return fmt.Sprintf("%d patches and the bare paper were measured with an instrument.", b.Colours.Patches)
	}
	return fmt.Sprintf("%d patches were measured with an instrument; the bare paper was not.", b.Colours.Patches)
}

// MakeCards makes a sheet of field cards as a PDF. Every sheet is a printing of
// its own, which its tags tell; asked for again by the same identifier it is
// the same sheet.
func (a *App) MakeCards(ctx context.Context, v Viewer, g GivenCards) (pdf []byte, b trug.CardBatch, err error) {
	l, err := a.open(ctx, v, PrintCards)
	if err != nil {
		return nil, b, err
	}
	if !g.ID.Valid() {
		return nil, b, badID()
	}
	b, made := l.batches[g.ID]
	if made && !v.is(b.By) && !v.has(trug.Coordinator) {
		return nil, b, trug.Errorf(trug.NotFound, "", "There is no such printing of yours.")
	}
	if !made {
		if g.Layout == referenceCard {
			return nil, b, trug.Errorf(trug.Invalid, "layout", "%q is no card that is printed here: use pocket or large", g.Layout)
		}
		b = trug.CardBatch{ID: g.ID, SeasonID: l.season.ID, Layout: g.Layout, Paper: g.Paper, Several: g.Several, Remark: g.Remark, Created: a.Clock()}
		if v.Person != nil {
			b.By = v.Person.ID
		}
		if err := b.Validate(); err != nil {
			return nil, b, err
		}
	}
	x, err := a.cardsPaper(ctx, l, b, g.Address)
	if err != nil {
		return nil, b, err
	}
	if _, err := paper.Cards(x); err != nil { // before a number is used up
		return nil, b, trug.Errorf(trug.Invalid, "", "%v", err)
	}
	if !made {
		err = a.write(ctx, func(w store.Writer) error {
			if b.Number, err = nextBatch(ctx, w, b); err != nil {
				return err
			}
			return store.Put(ctx, w, b, a.author(v), a.Clock())
		})
		if err != nil {
			return nil, b, err
		}
	}
	x.Batch = b.Number
	pdf, err = paper.Cards(x)
	return pdf, b, err
}

// cardsPaper is what stands on the sheet.
func (a *App) cardsPaper(ctx context.Context, l *ledger, b trug.CardBatch, address string) (x paper.CardsData, err error) {
	x = paper.CardsData{Sheet: paper.Sheet{Season: l.season.Title, Date: a.today(l.season)}, Batch: b.Number, Several: b.Several}
	if x.Layout, err = card.LayoutByID(b.Layout); err != nil {
		return x, trug.Errorf(trug.Invalid, "layout", "%v", err)
	}
	if b.Paper == "Letter" {
		x.Size = paper.Letter
	}
	code, err := a.fieldCode(ctx, l.season.ID)
	if err != nil {
		return x, err
	}
	x.Code = code.Code
	if address == "" {
		address = a.PublicAddress
	}
	if address != "" {
		if x.URL = address + "/join"; code.Code != "" {
			x.URL += "#" + code.Code // behind a #, so that it stands in no log on the way
		}
	}
	return x, nil
}

// nextBatch is the next number of the layout: those whose tags share no id with
// another printing first. A season that has used them all begins to share.
func nextBatch(ctx context.Context, r store.Reader, b trug.CardBatch) (int, error) {
	all, err := store.List[trug.CardBatch](ctx, r, store.Filter{Season: b.SeasonID})
	if err != nil {
		return 0, err
	}
	next := 0
	for _, o := range all {
		if o.Layout == b.Layout {
			next = max(next, o.Number+1)
		}
	}
	l, err := card.LayoutByID(b.Layout)
	if err != nil {
		return 0, err
	}
	if next >= l.Batches() {
		return 0, trug.Errorf(trug.Invalid, "layout", "all %d printings that the tags of the %s can tell apart are made: print the other kind of card", l.Batches(), l.Name)
	}
	return next, nil
}

// GivenControlLine says how long the control line of a printing truly is.
type GivenControlLine struct {
	// MM is its length in millimetres; 0 takes what was said back.
	MM float64 `json:"mm" minimum:"0" maximum:"200"`
}

// MeasureBatch keeps the true length of a printing's control line, for whoever
// made the printing and the coordinator, and reckons all sizes anew that were
// read off its cards.
func (a *App) MeasureBatch(ctx context.Context, v Viewer, id trug.ID, g GivenControlLine) (ShownBatch, error) {
	l, b, err := a.ownBatch(ctx, v, id)
	if err != nil {
		return ShownBatch{}, err
	}
	if b.Layout == referenceCard {
		return ShownBatch{}, trug.Errorf(trug.Invalid, "controlLine", "a reference card is true to size: it has no control line to measure")
	}
	b.ControlLine, b.MeasuredBy, b.Measured = measure.Millimetres(g.MM), "", time.Time{}
	if g.MM != 0 {
		b.Measured = a.Clock()
		if v.Person != nil {
			b.MeasuredBy = v.Person.ID
		}
	}
	if err := b.Validate(); err != nil {
		return ShownBatch{}, err
	}
	anew := *l
	anew.batches = map[trug.ID]trug.CardBatch{b.ID: b}
	changed, err := anew.sizesOnBatch(b)
	if err != nil {
		return ShownBatch{}, err
	}
	err = a.write(ctx, func(w store.Writer) error {
		if err := store.Put(ctx, w, b, a.author(v), a.Clock()); err != nil {
			return err
		}
		for _, m := range changed {
			if err := store.Put(ctx, w, m, a.author(v), a.Clock()); err != nil {
				return err
			}
		}
		return nil
	})
	if err != nil {
		return ShownBatch{}, err
	}
	return a.shownBatch(l, b, l.viewsWith(b)), nil
}

// sizesOnBatch reckons the sizes anew that were read off a batch's cards.
func (l *ledger) sizesOnBatch(b trug.CardBatch) ([]trug.Measurement, error) {
	var out []trug.Measurement
	for _, f := range l.finds {
		for _, m := range f.sizes {
			c, ok := l.cards[f.photographOf(m.ViewID)]
			if !ok || !c.BatchKnown || c.Layout != b.Layout || c.Batch != b.Number {
				continue
			}
			if err := l.reckon(&m, c); err != nil {
				return nil, fmt.Errorf("reckon a size anew: %w", err)
			}
			out = append(out, m)
		}
	}
	return out, nil
}
