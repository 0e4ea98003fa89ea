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

// GivenOutOrBack takes a thing out, or puts it back.
type GivenOutOrBack struct {
	Back bool `json:"back,omitempty" doc:"Put it back"`
}

// TakeOutRecord takes a record out of the season, or puts it back: for its
// recorder, the adult of a child, and the coordinator. Nothing is destroyed:
// the record stays in the store, shown to nobody, its number is given to no
// other, and what a deposit has published stays published. Doing it twice
// changes nothing.
func (a *App) TakeOutRecord(ctx context.Context, v Viewer, id trug.ID, g GivenOutOrBack) (KeptPage, error) {
	l, err := a.open(ctx, v, TakeOutRecord)
	if err != nil {
		return KeptPage{}, err
	}
	f := l.finds[id]
	switch {
	case f == nil || f.ID == "":
		return KeptPage{}, trug.Errorf(trug.NotFound, "", "There is no such record here.")
	case l.mayAsk(v, l.people[f.RecorderID]) || v.has(trug.Coordinator):
	case l.visible(v, f):
		return KeptPage{}, trug.Errorf(trug.NotAllowed, "", "A record is taken out by its recorder, the adult of a child, or the coordinator: ask one of them.")
	default:
		return KeptPage{}, trug.Errorf(trug.NotFound, "", "There is no such record here.")
	}
	err = a.write(ctx, func(w store.Writer) error {
		r, err := store.Get[trug.Record](ctx, w, id)
		if out := !r.Withdrawn.IsZero(); err != nil || out != g.Back {
			return err
		}
		r.Withdrawn = time.Time{}
		if !g.Back {
			r.Withdrawn = a.Clock()
		}
		return store.Put(ctx, w, r, a.author(v), a.Clock())
	})
	if err != nil {
		return KeptPage{}, err
	}
	return a.Kept(ctx, v, f.RecorderID)
}
