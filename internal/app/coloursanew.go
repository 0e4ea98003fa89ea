package app

import (
	"cmp"
	"context"
	"slices"

	"trug"
	"trug/internal/store"
)

// oldPrint reports whether a colour rests on another table of its card's printing
// than the one that holds now, and which printing that is.
func (l *ledger) oldPrint(f *find, c trug.Colour) (trug.CardBatch, bool) {
	found, ok := l.cards[f.photographOf(c.ViewID)]
	if !ok || found.Picture != c.Picture || !c.Withdrawn.IsZero() {
		return trug.CardBatch{}, false
	}
	b, ok := l.batchOf(found)
	return b, ok && tableOf(b) != c.Table
}

// toMeasureAnew counts the colours of a printing that are still to be measured
// anew, and those that could not be: their original was deleted, or the light now
// speaks against a number.
func (a *App) toMeasureAnew(l *ledger, b trug.CardBatch) (waiting, stuck int) {
	for _, f := range l.finds {
		for _, c := range f.colours {
			switch of, old := l.oldPrint(f, c); {
			case !old || of.ID != b.ID:
			case a.isStuck(c.ID, b):
				stuck++
			default:
				waiting++
			}
		}
	}
	return waiting, stuck
}

// KeepMeasuring measures colours anew in the background, as often as a printing's
// table is entered, changed or taken back, until ctx ends. What was left when the
// server stopped it takes up again.
func (a *App) KeepMeasuring(ctx context.Context) {
	for {
		if err := a.MeasureAnew(ctx); err != nil && ctx.Err() == nil {
			a.Log.Warn("colours could not be measured anew; the next start tries again", "error", err)
		}
		select {
		case <-ctx.Done():
			return
		case <-a.anew:
		}
	}
}

// MeasureAnew measures all colours that rest on another table of their card's
// printing than the one that holds, photograph by photograph. Which they are is
// read off the store, so it can be broken off anywhere and begun again. One that
// can't be measured stays as it was, and says so.
func (a *App) MeasureAnew(ctx context.Context) error {
	seasons, err := a.Seasons(ctx)
	if err != nil {
		return err
	}
	for _, s := range seasons {
		for more := true; more; {
			if more, err = a.nextAnew(ctx, s.ID); err != nil {
				return err
			}
		}
	}
	return nil
}

// nextAnew measures one of the season's colours anew; false when none is left.
func (a *App) nextAnew(ctx context.Context, season trug.ID) (bool, error) {
	l, err := a.ledger(ctx, season)
	if err != nil {
		return false, err
	}
	var of *find
	var old trug.Colour
	var batch trug.CardBatch
	for _, f := range l.finds {
		for _, c := range f.colours {
			b, is := l.oldPrint(f, c)
			// Those of one photograph after another, since each is to be decoded.
			if is && !a.isStuck(c.ID, b) && (of == nil || cmp.Or(cmp.Compare(c.ViewID, old.ViewID), cmp.Compare(c.ID, old.ID)) < 0) {
				of, old, batch = f, c, b
			}
		}
	}
	if of == nil {
		return false, nil
	}
	now := old
	now.Points = slices.Clone(old.Points)
	if err := a.measureColour(ctx, l, of, &now); err != nil || len(now.Palette) == 0 || now.Table == old.Table {
		if ctx.Err() != nil {
			return false, ctx.Err()
		}
		if err != nil && trug.KindOf(err) == trug.Internal {
			a.Log.Warn("a colour could not be measured anew", "colour", old.ID, "error", err)
		}
		a.setStuck(old.ID, batch)
		return true, nil
	}
	now.Program = a.Version
	by := store.Author{Device: a.Device}
	if batch.Colours != nil {
		by.Person = batch.Colours.By
	}
	return true, a.write(ctx, func(w store.Writer) error {
		is, err := store.Get[trug.Colour](ctx, w, old.ID)
		if err != nil || !sameColour(is, old) {
			return err // somebody was quicker: it is looked at again
		}
		return store.Put(ctx, w, now, by, a.Clock())
	})
}

// stuckAt names the table that a colour could not be measured by.
type stuckAt struct {
	colour trug.ID
	table  trug.Hash
}

func (a *App) isStuck(colour trug.ID, b trug.CardBatch) bool {
	_, ok := a.stuck.Load(stuckAt{colour, tableOf(b)})
	return ok
}

func (a *App) setStuck(colour trug.ID, b trug.CardBatch) {
	a.stuck.Store(stuckAt{colour, tableOf(b)}, true)
}

// tableOf is the table of a printing's colours; empty while nobody has measured them.
func tableOf(b trug.CardBatch) trug.Hash {
	if b.Colours == nil {
		return ""
	}
	return b.Colours.Table
}

// batchOf is the printing that a card which was found is of, where it is listed.
func (l *ledger) batchOf(c trug.FoundCard) (trug.CardBatch, bool) {
	if c.BatchKnown {
		for _, b := range l.batches {
			if b.Layout == c.Layout && b.Number == c.Batch {
				return b, true
			}
		}
	}
	return trug.CardBatch{}, false
}
