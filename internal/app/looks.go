package app

import (
	"context"
	"time"

	"trug"
	"trug/internal/store"
)

// The answers that give the place of a find as it is.
const (
	bySheet    = "record sheet"
	bySquares  = "Squares"
	byOriginal = "original photograph"
	byChecks   = "checks before a deposit"
	byExport   = "copy for the person it is about"
)

// lookAgain is how long further looks of the same person at the same find by
// the same answer count as one.
const lookAgain = time.Hour

// look is what counts as one look within lookAgain.
type look struct {
	person, record trug.ID
	way            string
}

// guarded reports whether the place of a find is one that not everybody of the
// season may know: its name is protected, or it lies on private ground.
func (l *ledger) guarded(f *find) bool {
	site, known := l.sites[f.SiteID]
	return f.protection != nil || known && !site.Open
}

// note writes down, before the answer is given, that the viewer gets the true
// places of those of the finds that are guarded and not their own: in one
// transaction, whatever their number. Without the note there is no answer.
func (a *App) note(ctx context.Context, l *ledger, v Viewer, way string, finds ...*find) error {
	if v.Person == nil {
		return nil
	}
	var fresh []store.Look
	now := a.Clock()
	a.looksMu.Lock()
	defer a.looksMu.Unlock()
	for k, at := range a.looks {
		if now.Sub(at) >= lookAgain || at.After(now) {
			delete(a.looks, k)
		}
	}
	for _, f := range finds {
		if !l.guarded(f) || v.is(f.RecorderID) {
			continue
		}
		if _, known := a.looks[look{v.Person.ID, f.ID, way}]; !known {
			fresh = append(fresh, store.Look{At: now, Season: l.season.ID, Person: v.Person.ID, Way: way, Record: f.ID})
		}
	}
	if len(fresh) == 0 {
		return nil
	}
	if err := a.write(ctx, func(w store.Writer) error { return w.Note(ctx, fresh) }); err != nil {
		return err
	}
	for _, k := range fresh {
		a.looks[look{k.Person, k.Record, k.Way}] = now
	}
	return nil
}
