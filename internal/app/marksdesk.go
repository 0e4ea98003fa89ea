package app

import (
	"cmp"
	"context"
	"slices"
	"strings"
	"time"

	"trug"
)

// What the desk's list of marked views can be narrowed to.
const (
	marksWaiting = "waiting"
	marksCleared = "cleared"
	marksCropped = "cropped"
	marksAll     = "all"
)

// mostMarkLines is how many lines of the list come at once.
const mostMarkLines = 100

// MarksAsked chooses lines of the list of marked views.
type MarksAsked struct {
	State string  // marksWaiting, marksCleared, marksCropped or marksAll; empty means waiting
	By    trug.ID // marked by whom; empty for all
	From  int
	Limit int
}

// MarksPage is part of the list of marked views: those that wait with the
// longest waiting first, the settled ones with the newest first.
type MarksPage struct {
	State   string      `json:"state"`
	Total   int         `json:"total" doc:"How many lines answer the question"`
	Lines   []ShownMark `json:"lines"`
	Waiting int         `json:"waiting"`
	Cleared int         `json:"cleared"`
	Cropped int         `json:"cropped"`
	// Markers are the readers who marked.
	Markers []ShownMarker `json:"markers"`
	// Reasons are the set reasons for which a view may be cleared.
	Reasons []Reason `json:"reasons"`
}

// Reason is a set reason with its sentence.
type Reason struct {
	Why  trug.ClearedFor `json:"why"`
	Says string          `json:"says"`
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
	FullWidth  int           `json:"fullWidth" doc:"Of what is shown of the original, pixels"`
	FullHeight int           `json:"fullHeight"`
	Recorder   string        `json:"recorder"`
	State      string        `json:"state" doc:"waiting, cleared or cropped"`
	Since      time.Time     `json:"since" doc:"When it was first marked"`
	// Settled, SettledBy and Why say what became of it; missing while it waits.
	Settled   time.Time `json:"settled,omitzero"`
	SettledBy string    `json:"settledBy,omitempty"`
	Why       string    `json:"why,omitempty" doc:"The set reason in words, where it was cleared"`
	// OwnCrop is set where the recorder cropped the view after it was marked.
	OwnCrop bool `json:"ownCrop,omitempty"`
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

// Marks lists the views that are or were withheld because a reader marked them.
func (a *App) Marks(ctx context.Context, v Viewer, q MarksAsked) (MarksPage, error) {
	l, err := a.open(ctx, v, OpenDesk)
	if err != nil {
		return MarksPage{}, err
	}
	q.State = cmp.Or(q.State, marksWaiting)
	if !slices.Contains([]string{marksWaiting, marksCleared, marksCropped, marksAll}, q.State) {
		return MarksPage{}, trug.Errorf(trug.Invalid, "state", "%q can't be asked for: use waiting, cleared, cropped or all", q.State)
	}
	if q.Limit <= 0 || q.Limit > mostMarkLines {
		q.Limit = mostMarkLines
	}
	markers := l.markers()
	page := MarksPage{State: q.State, Lines: []ShownMark{}, Markers: []ShownMarker{}, Reasons: []Reason{}}
	for _, m := range markers {
		page.Markers = append(page.Markers, m)
	}
	slices.SortFunc(page.Markers, func(x, y ShownMarker) int {
		return cmp.Or(strings.Compare(x.Name, y.Name), strings.Compare(string(x.ID), string(y.ID)))
	})
	for _, r := range trug.ClearedReasons {
		page.Reasons = append(page.Reasons, Reason{r, r.Words()})
	}
	var chosen []ShownMark
	for _, s := range l.markedViews(markers) {
		*map[string]*int{marksWaiting: &page.Waiting, marksCleared: &page.Cleared, marksCropped: &page.Cropped}[s.State]++
		by := func(m ShownMarker) bool { return q.By == "" || m.ID == q.By }
		if (q.State == marksAll || q.State == s.State) && slices.ContainsFunc(s.By, by) {
			chosen = append(chosen, s)
		}
	}
	page.Total = len(chosen)
	chosen = chosen[min(max(q.From, 0), len(chosen)):]
	page.Lines = append(page.Lines, chosen[:min(q.Limit, len(chosen))]...)
	return page, nil
}

// markers returns who marked, with what became of their marks.
func (l *ledger) markers() map[trug.ID]ShownMarker {
	all := map[trug.ID]ShownMarker{}
	for _, m := range l.marks {
		k := all[m.By]
		k.ID, k.Name = m.By, l.person(m.By)
		switch {
		case m.Open():
			k.Open++
		case m.How == trug.Cropped:
			k.Cropped++
		default:
			k.Cleared++
		}
		all[m.By] = k
	}
	return all
}

// markedViews gathers the marks by view and by when they were settled, since a
// view can be marked anew: first those that wait, the oldest before the newer,
// then the settled ones, the newest first.
func (l *ledger) markedViews(markers map[trug.ID]ShownMarker) []ShownMark {
	type spell struct {
		view    trug.ID
		settled int64
	}
	marks := make([]trug.Mark, 0, len(l.marks))
	for _, m := range l.marks {
		marks = append(marks, m)
	}
	slices.SortFunc(marks, func(x, y trug.Mark) int {
		return cmp.Or(x.Created.Compare(y.Created), strings.Compare(string(x.ID), string(y.ID)))
	})
	views := l.viewsByID()
	out, at := []ShownMark{}, map[spell]int{}
	for _, m := range marks {
		k := spell{m.ViewID, m.Settled.UnixNano()}
		if i, listed := at[k]; listed {
			out[i].By = append(out[i].By, markers[m.By])
			continue
		}
		if held, ok := views[m.ViewID]; ok { // else taken out meanwhile: nobody is shown it
			at[k] = len(out)
			out = append(out, l.shownMark(m, held, markers[m.By]))
		}
	}
	slices.SortStableFunc(out, func(x, y ShownMark) int {
		switch {
		case x.Settled.IsZero() && y.Settled.IsZero():
			return x.Since.Compare(y.Since)
		case x.Settled.IsZero():
			return -1
		case y.Settled.IsZero():
			return 1
		}
		return y.Settled.Compare(x.Settled)
	})
	return out
}

// heldView is a view with the find that it is of.
type heldView struct {
	f *find
	trug.View
}

func (l *ledger) viewsByID() map[trug.ID]heldView {
	wanted := map[trug.ID]bool{}
	for _, m := range l.marks {
		wanted[m.ViewID] = true
	}
	all := map[trug.ID]heldView{}
	for _, f := range l.inOrder {
		for _, w := range f.views {
			if wanted[w.ID] {
				all[w.ID] = heldView{f, w}
			}
		}
	}
	return all
}

func (l *ledger) shownMark(m trug.Mark, w heldView, by ShownMarker) ShownMark {
	p := l.photographs[w.PhotographID]
	s := ShownMark{View: w.ID, Record: w.f.ID, Number: w.f.Number, Kind: w.Kind, Photograph: w.PhotographID, Width: p.Screen.Width, Height: p.Screen.Height,
		FullWidth: p.Width, FullHeight: p.Height, Recorder: l.person(w.f.RecorderID), State: marksWaiting, Since: m.Created, By: []ShownMarker{by}}
	if m.Open() {
		s.OwnCrop = p.Crop != nil && p.Crop.By == w.f.RecorderID && !p.Crop.At.Before(m.Created)
		return s
	}
	s.State, s.Settled, s.SettledBy, s.Why = marksCleared, m.Settled, l.person(m.SettledBy), m.Why.Words()
	if m.How == trug.Cropped {
		s.State = marksCropped
	}
	return s
}
