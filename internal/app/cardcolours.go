package app

import (
	"bytes"
	"context"
	"fmt"
	"maps"

	"trug"
	"trug/internal/store"
	"trug/science/card"
	"trug/science/truecolour"
)

// MaxColourTable bounds a printing's table of measured colours, in bytes.
const MaxColourTable = 1 << 18

// SayCardColours takes in what an instrument measured of a printing's patches, for
// whoever made the printing and the coordinator; all colours that were read off its
// cards are measured anew in the background. The file is kept as it came; an empty
// one takes back what was said.
func (a *App) SayCardColours(ctx context.Context, v Viewer, id trug.ID, table []byte) (ShownBatch, error) {
	l, b, err := a.ownBatch(ctx, v, id)
	if err != nil {
		return ShownBatch{}, err
	}
	b.Colours = nil
	if len(bytes.TrimSpace(table)) > 0 {
		layout, err := card.LayoutByID(b.Layout)
		if err != nil {
			return ShownBatch{}, err
		}
		ref, err := truecolour.ReadReference(bytes.NewReader(table), layout)
		if err != nil {
			return ShownBatch{}, trug.Errorf(trug.Invalid, "table", "%s.", sentence(err.Error()))
		}
		b.Colours = &trug.PrintedColours{Patches: len(layout.Patches), At: a.Clock()}
		_, b.Colours.Paper = ref.Lab[truecolour.Paper]
		if v.Person != nil {
			b.Colours.By = v.Person.ID
		}
		if b.Colours.Table, _, err = a.Blobs.Put(ctx, bytes.NewReader(table), MaxColourTable); err != nil {
			return ShownBatch{}, fmt.Errorf("keep a printing's colours: %w", err)
		}
	}
	if err := a.write(ctx, func(w store.Writer) error { return store.Put(ctx, w, b, a.author(v), a.Clock()) }); err != nil {
		return ShownBatch{}, err
	}
	anew := *l
	anew.batches = maps.Clone(l.batches)
	anew.batches[b.ID] = b
	select {
	case a.anew <- struct{}{}:
	default: // it is told already
	}
	return a.shownBatch(&anew, b, anew.viewsWith(b)), nil
}

// CardColours returns the table of a printing's colours as it was handed in.
func (a *App) CardColours(ctx context.Context, v Viewer, id trug.ID) ([]byte, error) {
	_, b, err := a.ownBatch(ctx, v, id)
	if err != nil {
		return nil, err
	}
	if b.Colours == nil {
		return nil, trug.Errorf(trug.NotFound, "", "Nobody has entered the colours of this printing.")
	}
	return a.readKept(ctx, b.Colours.Table)
}

// ownBatch returns a printing of the viewer's own; the coordinator's are all.
func (a *App) ownBatch(ctx context.Context, v Viewer, id trug.ID) (*ledger, trug.CardBatch, error) {
	l, err := a.open(ctx, v, PrintCards)
	if err != nil {
		return nil, trug.CardBatch{}, err
	}
	b, ok := l.batches[id]
	if !ok || !v.is(b.By) && !v.has(trug.Coordinator) {
		return nil, b, trug.Errorf(trug.NotFound, "", "There is no such printing of yours.")
	}
	return l, b, nil
}

// viewsWith counts the photographs in which a printing's cards were found.
func (l *ledger) viewsWith(b trug.CardBatch) (n int) {
	for _, c := range l.cards {
		if c.BatchKnown && c.Layout == b.Layout && c.Batch == b.Number {
			n++
		}
	}
	return n
}
