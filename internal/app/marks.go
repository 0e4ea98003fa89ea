package app

import (
	"context"
	"slices"
	"time"

	"trug"
	"trug/internal/store"
	"trug/science/said"
)

// How many marks of one reader may stand open, and how many they may set in a
// day: enough for everybody who means it, and too few to empty a season.
const (
	mostOpenMarks  = 10
	mostMarksADay  = 30
	marksWaitWords = "You have marked %d views that nobody has looked at yet. The coordinator sees them; wait until they have been looked at, or speak to the coordinator."
)

// hidden reports whether a view is withheld from the viewer: a reader marked
// that a person can be seen, and nobody has looked yet. The record's own
// recorder and the coordinator see it.
func (l *ledger) hidden(v Viewer, f *find, view trug.ID) bool {
	return l.marked[view] > 0 && !v.has(trug.Coordinator) && !v.is(f.RecorderID)
}

// viewsFor returns the views of a find that the viewer may see.
func (l *ledger) viewsFor(v Viewer, f *find) []trug.View {
	return slices.DeleteFunc(slices.Clone(f.views), func(w trug.View) bool { return l.hidden(v, f, w.ID) })
}

// thumb returns the photograph that stands for a find, empty for none.
func (l *ledger) thumb(v Viewer, f *find) trug.ID {
	for _, w := range f.views {
		if !l.hidden(v, f, w.ID) {
			return w.PhotographID
		}
	}
	return ""
}

// ShownWithheld is a view that is there and not shown.
type ShownWithheld struct {
	Kind trug.ViewKind `json:"kind"`
	Says string        `json:"says"`
	Said said.Fields   `json:"said,omitempty"`
}

// withheldFrom returns the views of a find that the viewer is not shown, in words.
func (l *ledger) withheldFrom(v Viewer, f *find) (out []ShownWithheld) {
	for _, w := range f.views {
		if l.hidden(v, f, w.ID) {
			says := said.As("Withheld: a reader said that a person can be seen on it. The coordinator looks at it; until then it is shown to nobody else.")
			out = append(out, ShownWithheld{w.Kind, says.String(), said.Fields{"says": says}})
		}
	}
	return out
}

// waitsWords tells the recorder and the coordinator that others don't see a view.
func (l *ledger) waitsWords(v Viewer, f *find, w trug.View) said.Words {
	since := l.markedSince(w.ID)
	switch crop := l.photographs[w.PhotographID].Crop; {
	case since.IsZero():
		return ""
	case crop != nil && crop.By == f.RecorderID && !crop.At.Before(since):
		return "A reader said that a person could be seen, and its recorder cropped it since. Others see it again when the coordinator has looked."
	case v.is(f.RecorderID):
		return "A reader said that a person can be seen on it. Others see it again when the coordinator has looked. You may crop it, or take it out of the record."
	default:
		return "A reader said that a person can be seen on it. Nobody but its recorder and the coordinators sees it until you have looked."
	}
}

// markedSince is since when a view is withheld, zero where it is not.
func (l *ledger) markedSince(view trug.ID) (since time.Time) {
	if l.marked[view] == 0 {
		return since
	}
	for _, m := range l.marks {
		if m.ViewID == view && m.Open() && (since.IsZero() || m.Created.Before(since)) {
			since = m.Created
		}
	}
	return since
}

// countMarks counts the open marks of each view.
func (l *ledger) countMarks() {
	l.marked = map[trug.ID]int{}
	for _, m := range l.marks {
		if m.Open() {
			l.marked[m.ViewID]++
		}
	}
}

// GivenMark says that a person can be seen on a view.
type GivenMark struct {
	ID trug.ID `json:"id" doc:"UUIDv7, so that sending twice marks once"`
}

// MarkView withholds a view at once from everybody but the coordinator and the
// record's recorder, until a coordinator crops or clears it. Marking twice
// changes nothing.
func (a *App) MarkView(ctx context.Context, v Viewer, id, view trug.ID, g GivenMark) error {
	l, err := a.open(ctx, v, MarkPerson)
	if err != nil {
		return err
	}
	if !g.ID.Valid() {
		return badID()
	}
	f, err := l.seen(v, id)
	if err != nil {
		return err
	}
	for _, m := range l.marks {
		if m.ID == g.ID || m.ViewID == view && m.Open() && v.is(m.By) {
			return nil
		}
	}
	if !slices.ContainsFunc(l.viewsFor(v, f), func(w trug.View) bool { return w.ID == view }) {
		return trug.Errorf(trug.NotFound, "", "There is no such view in this record.")
	}
	m := trug.Mark{ID: g.ID, SeasonID: l.season.ID, RecordID: id, ViewID: view, By: v.Person.ID, Created: a.Clock()}
	return a.write(ctx, func(w store.Writer) error {
		if err := a.mayMark(ctx, w, v); err != nil {
			return err
		}
		return store.Put(ctx, w, m, a.author(v), a.Clock())
	})
}

// mayMark bounds the marks of one reader.
func (a *App) mayMark(ctx context.Context, w store.Writer, v Viewer) error {
	if v.has(trug.Coordinator) {
		return nil
	}
	all, err := store.List[trug.Mark](ctx, w, store.Filter{Season: v.Season})
	if err != nil {
		return err
	}
	open, today := 0, 0
	for _, m := range all {
		if v.is(m.By) {
			if m.Open() {
				open++
			}
			if a.Clock().Sub(m.Created) < aDay {
				today++
			}
		}
	}
	switch {
	case open >= mostOpenMarks:
		return trug.Errorf(trug.TooOften, "", marksWaitWords, open)
	case today >= mostMarksADay:
		return trug.Errorf(trug.TooOften, "", "You have marked %d views since yesterday: speak to the coordinator if there are more.", today)
	}
	return nil
}

// viewOf finds a view of the season by its identifier.
func (l *ledger) viewOf(id trug.ID) (*find, trug.View, bool) {
	for _, f := range l.inOrder {
		for _, w := range f.views {
			if w.ID == id {
				return f, w, true
			}
		}
	}
	return nil, trug.View{}, false
}

// GivenClear says why a marked view may be shown as it is.
type GivenClear struct {
	Why trug.ClearedFor `json:"why" doc:"nobody, part, shadow or picture"`
}

// ClearView shows a marked view again: nobody is to be seen on it.
func (a *App) ClearView(ctx context.Context, v Viewer, view trug.ID, g GivenClear) error {
	l, err := a.open(ctx, v, KeepDesk)
	if err != nil {
		return err
	}
	if _, _, ok := l.viewOf(view); !ok {
		return noView()
	}
	if g.Why.Words() == "" {
		return trug.Errorf(trug.Invalid, "why", "say why the view may be shown as it is: nobody, part, shadow or picture")
	}
	return a.write(ctx, func(w store.Writer) error { return a.settle(ctx, w, v, view, trug.Cleared, g.Why) })
}

func noView() error {
	return trug.Errorf(trug.NotFound, "", "There is no such view; it may have been taken out of its record.")
}

// settle ends the open marks of a view, as they stand in the store.
func (a *App) settle(ctx context.Context, w store.Writer, v Viewer, view trug.ID, how trug.MarkEnd, why trug.ClearedFor) error {
	all, err := store.List[trug.Mark](ctx, w, store.Filter{Season: v.Season})
	if err != nil {
		return err
	}
	for _, m := range all {
		if m.ViewID != view || !m.Open() {
			continue
		}
		m.Settled, m.SettledBy, m.How, m.Why = a.Clock(), v.Person.ID, how, why
		if err := store.Put(ctx, w, m, a.author(v), a.Clock()); err != nil {
			return err
		}
	}
	return nil
}
