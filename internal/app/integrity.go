package app

import (
	"bytes"
	"context"
	"fmt"
	"reflect"

	"trug"
	"trug/internal/store"
	"trug/science/measure"
	"trug/science/truecolour"
)

// CheckStore proves that rows and amendments agree, and that every photograph
// and archive that a row names is kept. It returns a sentence for each fault.
func (a *App) CheckStore(ctx context.Context, tell trug.Progress) ([]string, error) {
	faults, err := a.Store.Check(ctx)
	if err != nil {
		return nil, err
	}
	seasons, err := a.Seasons(ctx)
	if err != nil {
		return nil, err
	}
	for _, s := range seasons {
		more, err := a.checkSeason(ctx, s, tell)
		if err != nil {
			return nil, err
		}
		faults = append(faults, more...)
	}
	return faults, nil
}

func (a *App) checkSeason(ctx context.Context, s trug.Season, tell trug.Progress) ([]string, error) {
	var faults []string
	var photographs []trug.Photograph
	var deposits []trug.Deposit
	var batches []trug.CardBatch
	records, known := map[trug.ID]bool{}, map[trug.ID]bool{}
	err := a.Store.Read(ctx, func(r store.Reader) (err error) {
		if photographs, err = store.List[trug.Photograph](ctx, r, store.Filter{Season: s.ID}); err != nil {
			return err
		}
		if deposits, err = store.List[trug.Deposit](ctx, r, store.Filter{Season: s.ID}); err != nil {
			return err
		}
		if batches, err = store.List[trug.CardBatch](ctx, r, store.Filter{Season: s.ID}); err != nil {
			return err
		}
		list, err := store.List[trug.Record](ctx, r, store.Filter{Season: s.ID})
		if err != nil {
			return err
		}
		for _, x := range list {
			records[x.ID] = true
		}
		for _, p := range photographs {
			known[p.ID] = true
		}
		views, err := store.List[trug.View](ctx, r, store.Filter{Season: s.ID})
		for _, w := range views {
			if !records[w.RecordID] || !known[w.PhotographID] {
				faults = append(faults, fmt.Sprintf("view %s names a record or photograph that is not there", w.ID))
			}
		}
		return err
	})
	if err != nil {
		return nil, err
	}
	wrong, err := a.checkSizes(ctx, s.ID)
	if err != nil {
		return nil, err
	}
	faults = append(faults, wrong...)
	if wrong, err = a.checkColours(ctx, s.ID); err != nil {
		return nil, err
	}
	faults = append(faults, wrong...)
	missing := func(what string, h trug.Hash) error {
		if _, ok, err := a.Blobs.Has(ctx, h); err != nil {
			return err
		} else if !ok {
			faults = append(faults, fmt.Sprintf("%s: file %s is not there: put it back from a backup", what, h))
		}
		return nil
	}
	for i, p := range photographs {
		tell.Tell(i, len(photographs), "photographs")
		for _, h := range []trug.Hash{p.Original, p.Screen.Hash, p.Thumb.Hash} {
			if h == "" && !p.Developed() {
				continue // it waits to be developed
			}
			if err := missing("photograph "+p.FileName, h); err != nil {
				return nil, err
			}
		}
	}
	for what, h := range map[string]trug.Hash{"the ground": s.Ground, "the season's matrix": s.Key.Matrix, "the season's characters": s.Key.Characters} {
		if h == "" {
			continue
		}
		if err := missing(what, h); err != nil {
			return nil, err
		}
	}
	for _, b := range batches {
		if b.Colours == nil {
			continue
		}
		if err := missing(fmt.Sprintf("the colours of the %s", batchName(b)), b.Colours.Table); err != nil {
			return nil, err
		}
	}
	for _, d := range deposits {
		if err := missing(fmt.Sprintf("deposit %d", d.Number), d.Archive); err != nil {
			return nil, err
		}
	}
	return faults, nil
}

// checkSizes reckons every size again from its points and the card that was
// found, where the same program reckoned it.
func (a *App) checkSizes(ctx context.Context, season trug.ID) (faults []string, err error) {
	l, err := a.ledger(ctx, season)
	if err != nil {
		return nil, err
	}
	for _, f := range l.finds {
		for _, m := range f.sizes {
			c, ok := l.cards[f.photographOf(m.ViewID)]
			if !ok || !m.Withdrawn.IsZero() || c.Revision != m.CardRevision || m.MeasureRevision != measure.Revision {
				continue
			}
			again := m
			if err := l.reckon(&again, c); err != nil || !reflect.DeepEqual(again, m) {
				faults = append(faults, fmt.Sprintf("size %s of %s is not what its points give: measure it again", m.ID, f.Number))
			}
		}
	}
	return faults, nil
}

// checkColours measures every colour again from its picture, where the same
// program measured it and its original is still there.
func (a *App) checkColours(ctx context.Context, season trug.ID) (faults []string, err error) {
	l, err := a.ledger(ctx, season)
	if err != nil {
		return nil, err
	}
	for _, f := range l.finds {
		for _, c := range f.colours {
			p := l.photographs[f.photographOf(c.ViewID)]
			if !c.Withdrawn.IsZero() || p.Original != c.Picture || c.ColourRevision != truecolour.Revision || l.oldColour(f, c) != "" {
				continue
			}
			again := c
			if err := a.measureColour(ctx, l, f, &again); err != nil || !sameColour(again, c) {
				faults = append(faults, fmt.Sprintf("colour %s of %s is not what its picture gives: measure it again", c.ID, f.Number))
			}
		}
	}
	return faults, nil
}

// sameColour reports whether two colours are the same as they are kept.
func sameColour(a, b trug.Colour) bool {
	x, err := store.RowOf(a)
	if err != nil {
		return false
	}
	y, err := store.RowOf(b)
	return err == nil && bytes.Equal(x.Body, y.Body)
}
