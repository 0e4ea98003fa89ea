package app

import (
	"context"
	"time"

	"trug"
	"trug/internal/store"
)

// GivenOut takes rows of a foray table out, or puts them back.
type GivenOut struct {
	Rows []trug.ID `json:"rows"`
	Back bool      `json:"back,omitempty" doc:"Put them back"`
}

// TakeOutRows takes finds out of a foray table and so out of the season, or
// puts them back: for the foray's leader and the coordinator. Nothing is
// destroyed: the record with its history, photographs and number stays in the
// store, and its number is given to no other. What a deposit has published
// stays published. Doing it twice changes nothing.
func (a *App) TakeOutRows(ctx context.Context, v Viewer, foray trug.ID, g GivenOut) (ForayTablePage, error) {
	l, y, err := a.forayToKeep(ctx, v, foray)
	if err != nil {
		return ForayTablePage{}, err
	}
	if len(g.Rows) > MaxForayRows {
		return ForayTablePage{}, trug.Errorf(trug.TooLarge, "rows", "%d rows at once are too many: take at most %d", len(g.Rows), MaxForayRows)
	}
	var changed []trug.Record
	for _, id := range g.Rows {
		f := l.finds[id]
		if f == nil || !f.inTable(y) || l.whereabouts(v, f).withheld {
			return ForayTablePage{}, trug.Errorf(trug.NotFound, "rows", "One of these rows is not in this foray's table: load it again.")
		}
		if !f.Tabled && f.RecorderID != y.Leader && !v.is(f.RecorderID) {
			return ForayTablePage{}, trug.Errorf(trug.NotAllowed, "rows", "%s is somebody's own record: it is not the table's to take out.", f.Number)
		}
		if f.Withdrawn.IsZero() == g.Back {
			continue
		}
		r := f.Record
		if g.Back {
			r.Withdrawn = time.Time{}
		} else {
			r.Withdrawn = a.Clock()
		}
		changed = append(changed, r)
	}
	err = a.write(ctx, func(w store.Writer) error {
		for _, r := range changed {
			if err := store.Put(ctx, w, r, a.author(v), a.Clock()); err != nil {
				return err
			}
		}
		return nil
	})
	if err != nil {
		return ForayTablePage{}, err
	}
	return a.ForayTable(ctx, v, foray)
}
