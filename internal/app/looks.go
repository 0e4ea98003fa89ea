package app

import (
	"context"
	"time"

	"trug"
	"trug/internal/store"
)

// The answers that give the place of a find, or the name of its ground.
const (
	bySheet    = "record sheet"
	byBook     = "Record book"
	bySquares  = "Squares"
	byOriginal = "original photograph"
	byChecks   = "checks before a deposit"
	byExport   = "copy for the person it is about"
	bySitePage = "page of the site"
	bySiteMap  = "map of the sites"
	byPaper    = "printed sheet"
	byTable    = "table of the desk"
	byAudit    = "audit"
)

// ways lists them, as the audit offers them.
var ways = []string{bySheet, byBook, bySquares, byOriginal, byChecks, byExport, bySitePage, bySiteMap, byPaper, byTable, byAudit}

// lookAgain is how long further looks of the same person at the same thing by
// the same answer count as one.
const lookAgain = time.Hour

// look is what counts as one look within lookAgain.
type look struct {
	person, record, site trug.ID
	way                  string
}

// guarded reports whether the place of a find is one that not everybody of the
// season may know: its name is protected, or it lies on private ground or in its
// recorder's own garden.
func (l *ledger) guarded(f *find) bool {
	site, known := l.sites[f.SiteID]
	return f.protection != nil || f.Garden || known && !site.Open
}

// note writes down, before the answer is given, that the viewer gets the true
// places of those of the finds that are guarded and not their own: in one
// transaction, whatever their number. Without the note there is no answer.
func (a *App) note(ctx context.Context, l *ledger, v Viewer, way string, finds ...*find) error {
	if v.Person == nil {
		return nil
	}
	var looks []store.Look
	for _, f := range finds {
		if l.guarded(f) && !v.is(f.RecorderID) {
			looks = append(looks, store.Look{Season: l.season.ID, Person: v.Person.ID, Way: way, Record: f.ID})
		}
	}
	return a.noteLooks(ctx, v, looks...)
}

// noteSites writes down that the viewer gets name or ground of those of the
// sites that are private.
func (a *App) noteSites(ctx context.Context, l *ledger, v Viewer, way string, sites ...trug.ID) error {
	if v.Person == nil {
		return nil
	}
	var looks []store.Look
	for _, id := range sites {
		if s, ok := l.sites[id]; ok && !s.Open {
			looks = append(looks, store.Look{Season: l.season.ID, Person: v.Person.ID, Way: way, Site: id})
		}
	}
	return a.noteLooks(ctx, v, looks...)
}

// noteLooks keeps those looks that were not noted within lookAgain.
func (a *App) noteLooks(ctx context.Context, v Viewer, looks ...store.Look) error {
	var fresh []store.Look
	now := a.Clock()
	a.looksMu.Lock()
	defer a.looksMu.Unlock()
	for k, at := range a.looks {
		if now.Sub(at) >= lookAgain || at.After(now) {
			delete(a.looks, k)
		}
	}
	for _, k := range looks {
		if _, known := a.looks[look{k.Person, k.Record, k.Site, k.Way}]; !known {
			k.At = now
			fresh = append(fresh, k)
		}
	}
	if len(fresh) == 0 {
		return nil
	}
	if err := a.write(ctx, func(w store.Writer) error { return w.Note(ctx, fresh) }); err != nil {
		return err
	}
	for _, k := range fresh {
		a.looks[look{k.Person, k.Record, k.Site, k.Way}] = now
	}
	return nil
}
