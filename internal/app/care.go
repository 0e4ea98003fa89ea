package app

import (
	"context"
	"fmt"
	"maps"
	"slices"
	"strings"
	"time"

	"trug"
	"trug/internal/store"
)

// The names that need care: protected ones, each with a rule of its own, and
// pairs of look-alikes. What is taken off a list stays in the history.

// ShownProtection is a protected name as the Season desk shows and takes it.
type ShownProtection struct {
	ID       trug.ID      `json:"id" readOnly:"true"`
	Name     string       `json:"name" maxLength:"200"`
	Reason   string       `json:"reason" maxLength:"1000"`
	Category int          `json:"category" doc:"1 (extreme) to 4 (low), as in the standing guide to sensitive species data"`
	Tells    trug.Telling `json:"tells,omitempty" enum:",nothing,10 km,1 km" doc:"What outsiders learn of a place: nothing, the season's area (blank), a square; of the day always the month"`
	Touch    bool         `json:"touch,omitempty" doc:"Whether people may be asked to pick, cut or keep it, as far as the site allows"`
	// Finds counts the finds that bear the name by any opinion.
	Finds int `json:"finds" readOnly:"true"`
	// Removed is the day on which it was taken off the list.
	Removed trug.Date `json:"removed,omitempty" readOnly:"true"`
}

// ShownLookAlike is a pair of look-alikes as the Season desk shows and takes it.
type ShownLookAlike struct {
	ID       trug.ID         `json:"id" readOnly:"true"`
	Name     string          `json:"name" maxLength:"200"`
	TakenFor string          `json:"takenFor" maxLength:"200"`
	Why      string          `json:"why,omitempty" maxLength:"1000"`
	Settles  string          `json:"settles,omitempty" maxLength:"1000"`
	Views    []trug.ViewKind `json:"views"`
	Removed  trug.Date       `json:"removed,omitempty" readOnly:"true"`
}

// CareLists are the names that need care: those that stand on the lists, and
// those that were taken off.
type CareLists struct {
	Protected  []ShownProtection `json:"protected"`
	LookAlikes []ShownLookAlike  `json:"lookAlikes"`
	// Gone are those that were taken off, last first.
	GoneProtected  []ShownProtection `json:"goneProtected"`
	GoneLookAlikes []ShownLookAlike  `json:"goneLookAlikes"`
}

// Care lists the names that need care, for the Season desk.
func (a *App) Care(ctx context.Context, v Viewer) (CareLists, error) {
	l, err := a.open(ctx, v, OpenDesk)
	if err != nil {
		return CareLists{}, err
	}
	lists := CareLists{Protected: []ShownProtection{}, LookAlikes: []ShownLookAlike{}, GoneProtected: []ShownProtection{}, GoneLookAlikes: []ShownLookAlike{}}
	for _, p := range slices.SortedFunc(maps.Values(l.protections), func(x, y trug.Protection) int { return strings.Compare(x.Name, y.Name) }) {
		lists.Protected = append(lists.Protected, l.shownProtection(p))
	}
	for _, x := range slices.SortedFunc(maps.Values(l.alikes), func(x, y trug.LookAlike) int {
		return strings.Compare(x.Name+x.TakenFor, y.Name+y.TakenFor)
	}) {
		lists.LookAlikes = append(lists.LookAlikes, l.shownLookAlike(x))
	}
	for _, p := range slices.SortedFunc(maps.Values(l.goneProtections), func(x, y trug.Protection) int { return y.Removed.Compare(x.Removed) }) {
		lists.GoneProtected = append(lists.GoneProtected, l.shownProtection(p))
	}
	for _, x := range slices.SortedFunc(maps.Values(l.goneAlikes), func(x, y trug.LookAlike) int { return y.Removed.Compare(x.Removed) }) {
		lists.GoneLookAlikes = append(lists.GoneLookAlikes, l.shownLookAlike(x))
	}
	return lists, nil
}

func (l *ledger) shownProtection(p trug.Protection) ShownProtection {
	s := ShownProtection{ID: p.ID, Name: p.Name, Reason: p.Reason, Category: p.Category, Tells: p.Tells, Touch: p.Touch, Removed: l.dayOf(p.Removed)}
	for _, f := range l.inOrder {
		if slices.ContainsFunc(f.names(), func(name string) bool { return l.list.Covers(p, name) }) {
			s.Finds++
		}
	}
	return s
}

func (l *ledger) shownLookAlike(x trug.LookAlike) ShownLookAlike {
	return ShownLookAlike{ID: x.ID, Name: x.Name, TakenFor: x.TakenFor, Why: x.Why, Settles: x.Settles, Views: notNil(x.Views), Removed: l.dayOf(x.Removed)}
}

// dayOf returns the season's day of an instant, empty for none.
func (l *ledger) dayOf(t time.Time) trug.Date {
	if t.IsZero() {
		return ""
	}
	return trug.DateOf(t.In(zone(l.season)))
}

// SaveProtection keeps a protected name with its rule: new, changed, or put
// back on the list.
func (a *App) SaveProtection(ctx context.Context, v Viewer, id trug.ID, e ShownProtection) (ShownProtection, error) {
	l, err := a.open(ctx, v, KeepDesk)
	if err != nil {
		return ShownProtection{}, err
	}
	if !id.Valid() {
		return ShownProtection{}, badID()
	}
	p := trug.Protection{ID: id, SeasonID: l.season.ID, Name: strings.Join(strings.Fields(e.Name), " "), Reason: strings.TrimSpace(e.Reason),
		Category: e.Category, Tells: e.Tells, Touch: e.Touch}
	if err := p.Validate(); err != nil {
		return ShownProtection{}, err
	}
	if err := listed(l, p.Name); err != nil {
		return ShownProtection{}, err
	}
	for _, q := range l.protections {
		if q.ID != id && q.Name == p.Name {
			return ShownProtection{}, trug.Errorf(trug.Conflict, "name", "%s is protected already: change its rule instead", p.Name)
		}
	}
	return keptCare(ctx, a, v, p, func(l *ledger) ShownProtection { return l.shownProtection(p) })
}

// RemoveProtection takes a protected name off the list. Its rule and who took
// it off stay in the history; finds that bear it are open from then on, unless
// another rule covers them. Doing it twice changes nothing.
func (a *App) RemoveProtection(ctx context.Context, v Viewer, id trug.ID) (ShownProtection, error) {
	l, err := a.open(ctx, v, KeepDesk)
	if err != nil {
		return ShownProtection{}, err
	}
	if p, ok := l.goneProtections[id]; ok {
		return l.shownProtection(p), nil
	}
	p, ok := l.protections[id]
	if !ok {
		return ShownProtection{}, notListed()
	}
	p.Removed = a.Clock()
	return keptCare(ctx, a, v, p, func(l *ledger) ShownProtection { return l.shownProtection(p) })
}

// SaveLookAlike keeps a pair of look-alikes: new, changed, or put back.
func (a *App) SaveLookAlike(ctx context.Context, v Viewer, id trug.ID, e ShownLookAlike) (ShownLookAlike, error) {
	l, err := a.open(ctx, v, KeepDesk)
	if err != nil {
		return ShownLookAlike{}, err
	}
	if !id.Valid() {
		return ShownLookAlike{}, badID()
	}
	x := trug.LookAlike{ID: id, SeasonID: l.season.ID, Name: strings.Join(strings.Fields(e.Name), " "), TakenFor: strings.Join(strings.Fields(e.TakenFor), " "),
		Why: strings.TrimSpace(e.Why), Settles: strings.TrimSpace(e.Settles), Views: slices.Compact(slices.Clone(e.Views))}
	if err := alikesTable.check(l, x); err != nil {
		return ShownLookAlike{}, err
	}
	for _, y := range l.alikes {
		if y.ID != id && y.Name == x.Name && y.TakenFor == x.TakenFor {
			return ShownLookAlike{}, trug.Errorf(trug.Conflict, "name", "%s / %s stands on the list already: change that line instead", x.Name, x.TakenFor)
		}
	}
	return keptCare(ctx, a, v, x, func(l *ledger) ShownLookAlike { return l.shownLookAlike(x) })
}

// RemoveLookAlike takes a pair off the list of look-alikes; it stays in the
// history. Doing it twice changes nothing.
func (a *App) RemoveLookAlike(ctx context.Context, v Viewer, id trug.ID) (ShownLookAlike, error) {
	l, err := a.open(ctx, v, KeepDesk)
	if err != nil {
		return ShownLookAlike{}, err
	}
	if x, ok := l.goneAlikes[id]; ok {
		return l.shownLookAlike(x), nil
	}
	x, ok := l.alikes[id]
	if !ok {
		return ShownLookAlike{}, notListed()
	}
	x.Removed = a.Clock()
	return keptCare(ctx, a, v, x, func(l *ledger) ShownLookAlike { return l.shownLookAlike(x) })
}

func notListed() error {
	return trug.Errorf(trug.NotFound, "", "There is no such line on this list: load the page again.")
}

// keptCare writes a line of a list and shows it as the season then stands.
func keptCare[T trug.Protection | trug.LookAlike, S any](ctx context.Context, a *App, v Viewer, thing T, show func(*ledger) S) (S, error) {
	var none S
	if err := a.write(ctx, func(w store.Writer) error { return store.Put(ctx, w, thing, a.author(v), a.Clock()) }); err != nil {
		return none, err
	}
	l, err := a.ledger(ctx, v.Season)
	if err != nil {
		return none, fmt.Errorf("read the list again: %w", err)
	}
	return show(l), nil
}
