package app

import (
	"context"
	"slices"

	"trug"
	"trug/internal/store"
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

// ShownMark is a view that was marked, for the desk.
type ShownMark struct {
	View       trug.ID       `json:"view"`
	Record     trug.ID       `json:"record"`
	Number     string        `json:"number"`
	Kind       trug.ViewKind `json:"kind"`
	Photograph trug.ID       `json:"photograph"`
	Width      int           `json:"width" doc:"Of the screen derivative, pixels"`
	Height     int           `json:"height"`
	Recorder   string        `json:"recorder"`
	// By are the readers who marked it.
	By []ShownMarker `json:"by"`
}

// ShownMarker is a reader who marked views.
type ShownMarker struct {
	ID      trug.ID `json:"id"`
	Name    string  `json:"name"`
	Open    int     `json:"open" doc:"Marks of theirs that nobody has looked at"`
	Cleared int     `json:"cleared" doc:"Marks of theirs that were cleared: nobody was seen"`
	Cropped int     `json:"cropped" doc:"Marks of theirs upon which a view was cropped"`
}

// Marks lists the views that are withheld until somebody looks, the longest
// waiting first.
func (a *App) Marks(ctx context.Context, v Viewer) ([]ShownMark, error) {
	l, err := a.open(ctx, v, OpenDesk)
	if err != nil {
		return nil, err
	}
	markers := map[trug.ID]ShownMarker{}
	var open []trug.Mark
	for _, m := range l.marks {
		k := markers[m.By]
		k.ID, k.Name = m.By, l.person(m.By)
		switch {
		case m.Open():
			k.Open++
			open = append(open, m)
		case m.How == trug.Cropped:
			k.Cropped++
		default:
			k.Cleared++
		}
		markers[m.By] = k
	}
	slices.SortFunc(open, func(x, y trug.Mark) int { return x.Created.Compare(y.Created) })
	out, at := []ShownMark{}, map[trug.ID]int{}
	for _, m := range open {
		if i, listed := at[m.ViewID]; listed {
			out[i].By = append(out[i].By, markers[m.By])
			continue
		}
		f, w, ok := l.viewOf(m.ViewID)
		if !ok {
			continue // taken out meanwhile: nobody is shown it
		}
		p := l.photographs[w.PhotographID]
		at[m.ViewID] = len(out)
		out = append(out, ShownMark{View: w.ID, Record: f.ID, Number: f.Number, Kind: w.Kind, Photograph: w.PhotographID,
			Width: p.Screen.Width, Height: p.Screen.Height, Recorder: l.person(f.RecorderID), By: []ShownMarker{markers[m.By]}})
	}
	return out, nil
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

// ClearView shows a marked view again: nobody is to be seen on it.
func (a *App) ClearView(ctx context.Context, v Viewer, view trug.ID) ([]ShownMark, error) {
	l, err := a.open(ctx, v, KeepDesk)
	if err != nil {
		return nil, err
	}
	if _, _, ok := l.viewOf(view); !ok {
		return nil, noView()
	}
	err = a.write(ctx, func(w store.Writer) error { return a.settle(ctx, w, v, view, trug.Cleared) })
	if err != nil {
		return nil, err
	}
	return a.Marks(ctx, v)
}

func noView() error {
	return trug.Errorf(trug.NotFound, "", "There is no such view; it may have been taken out of its record.")
}

// settle ends the open marks of a view, as they stand in the store.
func (a *App) settle(ctx context.Context, w store.Writer, v Viewer, view trug.ID, how trug.MarkEnd) error {
	all, err := store.List[trug.Mark](ctx, w, store.Filter{Season: v.Season})
	if err != nil {
		return err
	}
	for _, m := range all {
		if m.ViewID != view || !m.Open() {
			continue
		}
		m.Settled, m.SettledBy, m.How = a.Clock(), v.Person.ID, how
		if err := store.Put(ctx, w, m, a.author(v), a.Clock()); err != nil {
			return err
		}
	}
	return nil
}
