package app

import (
	"context"
	"slices"
	"strings"

	"trug"
	"trug/internal/store"
)

// TakeOutView takes a view out of a record, for its recorder or the
// coordinator. The view and its photograph are kept, marked as withdrawn: they
// are in no answer and no deposit from then on, and nobody but whoever handed
// the photograph in gets it. Taking out twice changes nothing.
func (a *App) TakeOutView(ctx context.Context, v Viewer, id, view trug.ID) (RecordSheet, error) {
	l, err := a.open(ctx, v, TakeOut)
	if err != nil {
		return RecordSheet{}, err
	}
	f, err := l.seen(v, id)
	if err != nil {
		return RecordSheet{}, err
	}
	if !v.is(f.RecorderID) && !v.has(trug.Coordinator) {
		return RecordSheet{}, trug.Errorf(trug.NotAllowed, "", "A view is taken out of a record by its recorder or the coordinator: ask one of them.")
	}
	i := slices.IndexFunc(f.views, func(w trug.View) bool { return w.ID == view })
	if i < 0 {
		if slices.ContainsFunc(l.takenOut(f), func(w trug.View) bool { return w.ID == view }) {
			return a.sheetFor(ctx, l, v, f)
		}
		return RecordSheet{}, trug.Errorf(trug.NotFound, "", "There is no such view in this record.")
	}
	out := f.views[i]
	out.Withdrawn = a.Clock()
	if err := a.write(ctx, func(w store.Writer) error { return store.Put(ctx, w, out, a.author(v), a.Clock()) }); err != nil {
		return RecordSheet{}, err
	}
	return a.Record(ctx, v, id)
}

// takenOut lists the views that were taken out of a record, oldest first.
func (l *ledger) takenOut(f *find) []trug.View {
	var out []trug.View
	for _, w := range l.outViews {
		if w.RecordID == f.ID {
			out = append(out, w)
		}
	}
	slices.SortFunc(out, func(x, y trug.View) int { return strings.Compare(string(x.ID), string(y.ID)) })
	return out
}
