package app

import (
	"context"
	"fmt"
	"reflect"

	"trug"
	"trug/internal/store"
	"trug/science/measure"
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
	records, known := map[trug.ID]bool{}, map[trug.ID]bool{}
	err := a.Store.Read(ctx, func(r store.Reader) (err error) {
		if photographs, err = store.List[trug.Photograph](ctx, r, store.Filter{Season: s.ID}); err != nil {
			return err
		}
		if deposits, err = store.List[trug.Deposit](ctx, r, store.Filter{Season: s.ID}); err != nil {
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
