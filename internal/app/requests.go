package app

import (
	"context"
	"fmt"
	"slices"

	"trug"
	"trug/internal/store"
	"trug/science/said"
)

// GivenRequest asks for more evidence of a find.
type GivenRequest struct {
	ID   trug.ID          `json:"id"`
	What trug.RequestKind `json:"what,omitempty" doc:"Blank: another view; else size or specimen"`
	View trug.ViewKind    `json:"view,omitempty"`
}

// ShownRequest is something asked for.
type ShownRequest struct {
	ID   trug.ID          `json:"id"`
	What trug.RequestKind `json:"what,omitempty" doc:"Blank: a view"`
	View trug.ViewKind    `json:"view,omitempty"`
	// Words name what is asked for: underneath, size, specimen.
	Words string `json:"words"`
	By    string `json:"by"`
	Says  string `json:"says" doc:"The set sentence shown to whoever is asked"`
	// Return says whether going back can still supply it, or why it ended.
	Return string `json:"return"`
	// Until is the last day on which going back is worth while.
	Until trug.Date `json:"until,omitempty"`
	// May lists how the viewer may end it.
	May  []trug.RequestEnd `json:"may"`
	Said said.Fields       `json:"said,omitempty"`
}

// Askable is something that can be asked for of a find, or can't for a reason.
type Askable struct {
	What  trug.RequestKind `json:"what,omitempty"`
	View  trug.ViewKind    `json:"view,omitempty"`
	Words string           `json:"words"`
	// Cannot says why it can't be asked for; empty where it can.
	Cannot string `json:"cannot,omitempty"`
}

// AskedWith is what is asked for of a find of a child who takes part under the
// viewer: going back is the adult's to decide.
type AskedWith struct {
	Record trug.ID        `json:"record"`
	Number string         `json:"number"`
	Child  string         `json:"child"`
	Name   ShownName      `json:"name"`
	Found  string         `json:"found"`
	Asked  []ShownRequest `json:"asked"`
	Said   said.Fields    `json:"said,omitempty"`
}

// AskFor asks the recorder for more evidence, in a set sentence.
func (a *App) AskFor(ctx context.Context, v Viewer, id trug.ID, g GivenRequest) (RecordSheet, error) {
	l, err := a.open(ctx, v, AskForView)
	if err != nil {
		return RecordSheet{}, err
	}
	f, err := l.seen(v, id)
	if err != nil {
		return RecordSheet{}, err
	}
	if !g.ID.Valid() {
		return RecordSheet{}, badID()
	}
	q := trug.Request{ID: g.ID, SeasonID: l.season.ID, RecordID: f.ID, By: v.Person.ID, What: g.What, View: g.View, Created: a.Clock()}
	if err := q.Validate(); err != nil {
		return RecordSheet{}, err
	}
	if slices.ContainsFunc(l.asked(v, f), func(was ShownRequest) bool { return was.What == g.What && was.View == g.View }) {
		return a.sheetFor(ctx, l, v, f) // asked for already
	}
	if why := l.cannotAsk(v, f, q); said.English(why) != "" {
		return RecordSheet{}, trug.Errorf(trug.Conflict, "", "%s", why)
	}
	if err := a.write(ctx, func(w store.Writer) error { return putOnce(ctx, w, q, q.ID, a.author(v), a) }); err != nil {
		return RecordSheet{}, err
	}
	return a.Record(ctx, v, id)
}

// EndRequest ends a request: whoever is asked says that the fruitbody is gone,
// or that the specimen is dried and kept under the record's number; whoever
// asked takes it back. One that ended already stays as it is.
func (a *App) EndRequest(ctx context.Context, v Viewer, record, id trug.ID, how trug.RequestEnd) (RecordSheet, error) {
	l, err := a.open(ctx, v, EndARequest)
	if err != nil {
		return RecordSheet{}, err
	}
	f, err := l.seen(v, record)
	if err != nil {
		return RecordSheet{}, err
	}
	if !how.Valid() {
		return RecordSheet{}, trug.Errorf(trug.Invalid, "how", "%q ends no request: say gone, kept or taken back", how)
	}
	i := slices.IndexFunc(f.requests, func(q trug.Request) bool { return q.ID == id })
	if i < 0 {
		return RecordSheet{}, trug.Errorf(trug.NotFound, "", "There is no such request here: load the page again.")
	}
	if !slices.Contains(l.mayEnd(v, f, f.requests[i]), how) {
		return RecordSheet{}, trug.Errorf(trug.NotAllowed, "", "Whoever is asked says that a find is gone, or that the specimen asked for is kept; whoever asked, or the coordinator, takes a request back.")
	}
	err = a.write(ctx, func(w store.Writer) error {
		q, err := store.Get[trug.Request](ctx, w, id)
		if err != nil || !q.Ended.IsZero() {
			return err
		}
		q.Ended, q.EndedBy, q.How = a.Clock(), v.Person.ID, how
		if err := store.Put(ctx, w, q, a.author(v), a.Clock()); err != nil || how != trug.RequestKept {
			return err
		}
		r, err := store.Get[trug.Record](ctx, w, f.ID)
		if err != nil || r.Voucher != "" {
			return err
		}
		r.Voucher = r.Number
		return store.Put(ctx, w, r, a.author(v), a.Clock())
	})
	if err != nil {
		return RecordSheet{}, err
	}
	return a.Record(ctx, v, record)
}

// mayEnd lists how the viewer may end a request.
func (l *ledger) mayEnd(v Viewer, f *find, q trug.Request) []trug.RequestEnd {
	out := []trug.RequestEnd{}
	if recorder := l.people[f.RecorderID]; v.is(recorder.ID) || recorder.Minor && v.is(recorder.Guardian) {
		out = append(out, trug.RequestGone)
		if q.What == trug.ForSpecimen {
			out = append(out, trug.RequestKept)
		}
	}
	if v.is(q.By) || v.has(trug.Coordinator) {
		out = append(out, trug.RequestTakenBack)
	}
	return out
}

// come reports whether what was asked for has come. By our clock: a request's
// identifier was made by that of a device, which may be wrong.
func (l *ledger) come(f *find, q trug.Request) bool {
	switch q.What {
	case trug.ForSize:
		return slices.ContainsFunc(f.sizes, func(m trug.Measurement) bool { return m.Withdrawn.IsZero() && !m.Created.Before(q.Created) })
	case trug.ForSpecimen:
		return f.Voucher != ""
	}
	return slices.ContainsFunc(f.views, func(w trug.View) bool {
		return w.Kind == q.View && !w.Since().Before(q.Created) && !l.photographs[w.PhotographID].Unreadable
	})
}

// asked lists what is asked for and can still come. A child isn't sent back
// to a wood: what is asked of their find goes to the adult they come with.
func (l *ledger) asked(v Viewer, f *find) []ShownRequest {
	if v.is(f.RecorderID) && v.Person.Minor {
		return []ShownRequest{}
	}
	return l.requestsOf(v, f, true)
}

// unanswered lists what was asked for and can't come any more.
func (l *ledger) unanswered(v Viewer, f *find) []ShownRequest {
	if v.is(f.RecorderID) && v.Person.Minor {
		return []ShownRequest{}
	}
	return l.requestsOf(v, f, false)
}

func (l *ledger) requestsOf(v Viewer, f *find, open bool) []ShownRequest {
	out := []ShownRequest{}
	for _, q := range f.requests {
		back := trug.ReturnFor(f.Record, q, l.today)
		if l.come(f, q) || q.How == trug.RequestTakenBack || open != (q.Ended.IsZero() && back.Can) {
			continue
		}
		s := ShownRequest{ID: q.ID, What: q.What, View: q.View, Words: string(requestWords(q)), By: shortName(l.person(q.By)), May: []trug.RequestEnd{}}
		s.Said.Put("words", said.As(requestWords(q)))
		says, going := l.askWords(v, f, q), tooLate(f, back)
		switch {
		case open:
			going, s.Until, s.May = returnWords(back), back.Until, l.mayEnd(v, f, q)
		case q.How == trug.RequestGone:
			going = said.As("It was not there any more.")
		}
		s.Says, s.Return = said.English(says), going.String()
		s.Said.Put("says", says)
		s.Said.Put("return", going)
		out = append(out, s)
	}
	return out
}

// askedOfChildren lists what is asked for of finds of children under the viewer.
func (l *ledger) askedOfChildren(v Viewer) []AskedWith {
	out := []AskedWith{}
	for _, f := range slices.Backward(l.inOrder) {
		child := l.people[f.RecorderID]
		if len(f.requests) == 0 || !child.Minor || !v.is(child.Guardian) || !l.visible(v, f) {
			continue
		}
		if asked := l.requestsOf(v, f, true); len(asked) > 0 {
			with := AskedWith{Record: f.ID, Number: f.Number, Child: l.person(child.ID), Name: l.dayName(v, f), Found: foundWords(f.Found).String(), Asked: asked}
			with.Said.Put("found", foundWords(f.Found))
			out = append(out, with)
		}
	}
	return out
}

// askable lists what a viewer who may ask can ask for: what is neither there
// nor asked for already.
func (l *ledger) askable(v Viewer, f *find) []Askable {
	out := []Askable{}
	if !v.May(AskForView) {
		return out
	}
	asked, there := l.asked(v, f), map[trug.ViewKind]bool{}
	for _, w := range f.views {
		there[w.Kind] = true
	}
	add := func(q trug.Request) {
		if !slices.ContainsFunc(asked, func(was ShownRequest) bool { return was.What == q.What && was.View == q.View }) {
			out = append(out, Askable{What: q.What, View: q.View, Words: string(requestWords(q)), Cannot: said.English(l.cannotAsk(v, f, q))})
		}
	}
	for _, kind := range trug.ViewKinds {
		if !there[kind] {
			add(trug.Request{View: kind})
		}
	}
	if !slices.ContainsFunc(f.sizes, func(m trug.Measurement) bool { return m.Withdrawn.IsZero() }) {
		add(trug.Request{What: trug.ForSize})
	}
	if f.Voucher == "" {
		add(trug.Request{What: trug.ForSpecimen})
	}
	return out
}

// cannotAsk says why something can't be asked for, nil where it can.
func (l *ledger) cannotAsk(v Viewer, f *find, q trug.Request) any {
	if back := trug.ReturnFor(f.Record, q, l.today); !back.Can {
		return tooLate(f, back)
	}
	if q.What == trug.ForSpecimen {
		if r := l.rule(l.siteFor(v, f.SiteID), l.today, f.untouched() && !l.underFlap(v, f), ToKeep); !r.May {
			return r.why()
		}
	}
	return nil
}

// requestWords name what is asked for.
func requestWords(q trug.Request) said.Words {
	if q.What != trug.ForView {
		return map[trug.RequestKind]said.Words{trug.ForSize: said.Words("size"), trug.ForSpecimen: said.Words("specimen")}[q.What]
	}
	return said.Words(q.View)
}

// standWords say for how long fruitbodies of a kind are met again.
var standWords = map[trug.Stands]said.Words{
	trug.StandsHours: "Such slime moulds creep on within a day", trug.StandsDays: "Soft fungi like this stand for some days only",
	trug.StandsWeeks: "Fungi like this stand for some weeks", trug.StandsMonths: "Fungi like this stand for months",
}

// returnWords say whether going back is worth while.
func returnWords(r trug.Return) said.Sentence {
	switch {
	case r.Kept:
		return said.As("The specimen that was kept can show it: nobody needs to go back.")
	case r.Stands == trug.StandsYears:
		return said.As("Lichens stand for years: there is no hurry.")
	case r.Until == "":
		return said.Sentence{}
	case r.Stands == trug.StandsMonths:
		return said.As("{stands}: any day until {day} will do.", "stands", said.As(standWords[r.Stands]), "day", said.Day{Day: string(r.Until)})
	}
	return said.As("{stands}: going back is worth while until {day}.", "stands", said.As(standWords[r.Stands]), "day", said.Day{Day: string(r.Until)})
}

func tooLate(f *find, r trug.Return) said.Sentence {
	return said.As("Too late to go back: it was found on {day}. {stands}.", "day", said.Day{Day: string(f.Found.Date)}, "stands", said.As(standWords[r.Stands]))
}

// prompted is what a view asks people to do; looking asks nothing.
var prompted = map[trug.ViewKind]Prompt{trug.Cut: ToCut, trug.Base: ToDig, trug.SporePrint: ToPrint}

// askWords is the set sentence by which more of a find is asked for,
// as the site, the permission and the species allow it.
func (l *ledger) askWords(v Viewer, f *find, q trug.Request) fmt.Stringer {
	switch q.What {
	case trug.ForSize:
		return said.As("A size would help: lay the field card beside it, level with the rim of the cap, and take the view again.")
	case trug.ForSpecimen:
		return said.As("The specimen would help: one fruitbody whole with its foot, dried, its number {number} on paper beside it.", "number", f.Number)
	}
	kind := q.View
	p, does := prompted[kind]
	if !does {
		return said.As(lookWords[kind])
	}
	r := l.rule(l.siteFor(v, f.SiteID), l.today, f.untouched() && !l.underFlap(v, f), p)
	if r.May {
		return said.As(mayWords[kind])
	}
	return said.After(said.As(untouchedWords[kind]), r.why(), r.Said["instead"])
}

// lookWords ask for views that need looking alone.
var lookWords = map[trug.ViewKind]said.Words{
	trug.Top:          "A view from above would help: the whole cap, straight down.",
	trug.Side:         "A view from the side would help: cap, stem and the foot of it.",
	trug.Underneath:   "A view from underneath would help: gills, pores or spines. A small mirror or the phone held low does it without picking.",
	trug.Surroundings: "A view of the surroundings would help: what it grows on and the trees near by.",
	trug.CloseUp:      "A close view would help: as near as the phone still focuses.",
	trug.Micrograph:   "A picture through the microscope would help, if there is one already.",
}

// mayWords ask for more where site and permission allow it.
var mayWords = map[trug.ViewKind]said.Words{
	trug.Cut:        "A view of the cut would help: one fruitbody, cut from top to bottom.",
	trug.Base:       "A view of the base would help: one fruitbody, lifted out with its foot, the hole filled again.",
	trug.SporePrint: "A spore print would help: one cap laid on paper, half white, half dark, over night.",
}

// untouchedWords ask for what can be seen without touching, where more is not allowed.
var untouchedWords = map[trug.ViewKind]said.Words{
	trug.Cut:        "A view of the inside would help, as far as it can be seen without touching. Please do not cut one.",
	trug.Base:       "A view of the foot of the stem would help, as far as it can be seen without touching. Please do not dig one out.",
	trug.SporePrint: "A view of the colour of the spores would help, as far as it can be seen without touching. Please do not take one for a print.",
}
