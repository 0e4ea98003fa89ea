package app

import (
	"cmp"
	"context"
	"slices"

	"trug"
	"trug/internal/store"
	"trug/science/said"
)

// Record returns a record sheet. What the viewer may not know of is answered
// as not there.
func (a *App) Record(ctx context.Context, v Viewer, id trug.ID) (RecordSheet, error) {
	l, err := a.open(ctx, v, SeeRecord)
	if err != nil {
		return RecordSheet{}, err
	}
	f, err := l.seen(v, id)
	if err != nil {
		return RecordSheet{}, err
	}
	if a.waits(f) {
		a.Drawing.Want(f.ID)
	}
	return a.sheetFor(ctx, l, v, f)
}

// seen returns the find if the viewer may know of it.
func (l *ledger) seen(v Viewer, id trug.ID) (*find, error) {
	f := l.finds[id]
	if !f.stands() || !l.visible(v, f) {
		return nil, trug.Errorf(trug.NotFound, "", "There is no such record here.")
	}
	return f, nil
}

// sheetFor returns the sheet and notes it where it gives a guarded place.
func (a *App) sheetFor(ctx context.Context, l *ledger, v Viewer, f *find) (RecordSheet, error) {
	s := a.sheet(l, v, f)
	if s.Editable != nil {
		err := a.Store.Read(ctx, func(r store.Reader) (err error) {
			s.Version, err = l.versionOf(ctx, r, f.ID)
			return err
		})
		if err != nil {
			return RecordSheet{}, err
		}
	}
	if f.Place != nil && (s.Place.Known || s.Editable != nil) {
		if err := a.note(ctx, l, v, bySheet, f); err != nil {
			return RecordSheet{}, err
		}
	}
	return s, nil
}

func (a *App) sheet(l *ledger, v Viewer, f *find) RecordSheet {
	facts := trug.FactsOf(f.Record, l.kinds(f), l.person(f.RecorderID))
	s := RecordSheet{ID: f.ID, Number: f.Number, Name: l.shownName(v, f), Facts: facts.Sentence(), Naming: l.namingWords(v, f).String(),
		Views: l.shownViews(v, f), Withheld: l.withheldFrom(v, f), Misses: notNil(facts.Misses), Found: f.Found, FoundIn: foundWords(f.Found).String(), Place: l.showPlace(v, f),
		Recorder: l.person(f.RecorderID), Mine: v.is(f.RecorderID), Site: l.sites[l.siteFor(v, f.SiteID)].Name,
		FormState: f.Form, Form: label("form", f.Form), Substrate: label("substrate", f.Substrate), Host: f.Host,
		Habit: label("habit", f.Habit), Ripeness: label("ripeness", f.Ripeness), Smell: label("smell", f.Smell),
		SporePrint: label("spore_print", f.SporePrint), NumberSeen: f.NumberSeen, Voucher: f.Voucher, Remarks: f.Remarks,
		Flap: l.underFlap(v, f), Slips: []ShownSlip{}, Asked: l.asked(v, f), Unanswered: l.unanswered(v, f), Askable: l.askable(v, f), May: l.may(v, f), Drawing: a.waits(f), Sizes: l.shownSizes(v, f),
		Colours: l.shownColours(v, f), Together: l.togetherFor(v, f)}
	s.tell(f, l.namingWords(v, f), facts)
	if l.knows(v, f.SiteID) {
		s.Foray = l.forays[f.ForayID].Name
	}
	if len(l.kinds(f)) == 0 {
		s.Misses = notNil(trug.Wanted(f.Form))
	}
	if s.Flap {
		under := l.factsUnderFlap(f)
		s.Facts = under.String()
		s.Said.Put("facts", under)
		// That a place is protected, and why, would tell what others named it.
		s.Place.Protected, s.Place.Says, s.Place.Said = false, "", nil
		return s
	}
	if l.mayFieldName(v, f) {
		s.FieldName, s.NamedBy = f.FieldName.Name, f.FieldName.By
	}
	if f.naming.Held {
		s.Care = "This find bears a name that is confused with a dangerous one, or whose places are protected: two independent opinions are wanted before a name leaves the table."
		if !l.mayNameAny(v) {
			s.Care = ""
		}
	}
	if !(f.naming.Held && !l.mayNameAny(v)) {
		s.Slips = l.shownSlips(v, f)
	}
	if s.Mine || v.has(trug.Coordinator) {
		s.Editable = editable(f)
	}
	return s
}

// tell says what stands on the sheet for every language.
func (s *RecordSheet) tell(f *find, naming said.Sentence, facts trug.Facts) {
	s.Said.Put("facts", facts.Said())
	s.Said.Put("naming", naming)
	s.Said.Put("foundWords", foundWords(s.Found))
	for _, c := range []struct{ field, character, state string }{{"form", "form", f.Form}, {"substrate", "substrate", f.Substrate}, {"habit", "habit", f.Habit},
		{"ripeness", "ripeness", f.Ripeness}, {"smell", "smell", f.Smell}, {"sporePrint", "spore_print", f.SporePrint}} {
		if c.state != "" {
			s.Said.Put(c.field, labelSaid(c.character, c.state))
		}
	}
}

// factsUnderFlap is the sentence of facts without the field name in it.
func (l *ledger) factsUnderFlap(f *find) said.Sentence {
	r := f.Record
	r.FieldName = trug.FieldName{}
	facts := trug.FactsOf(r, l.kinds(f), "")
	if len(l.kinds(f)) == 0 {
		return said.As("No photograph; what was said of it in words.")
	}
	return facts.Said()
}

// underFlap reports whether the field name and earlier opinions lie under the
// flap for the viewer: they might yet give an independent opinion, and have
// not lifted it. The recorder of the find and whoever has named it see all.
func (l *ledger) underFlap(v Viewer, f *find) bool {
	if !v.has(trug.DeterminerRole) || v.is(f.RecorderID) {
		return false
	}
	for _, d := range f.slips {
		if v.is(d.By) {
			return false
		}
	}
	for _, lift := range f.lifts {
		if v.is(lift.By) {
			return false
		}
	}
	if f.naming.Settled {
		return false
	}
	return len(f.slips) > 0 || f.FieldName.Name != ""
}

func (l *ledger) shownViews(v Viewer, f *find) []ShownView {
	out := []ShownView{}
	for _, w := range l.viewsFor(v, f) {
		p := l.photographs[w.PhotographID]
		words := cmp.Or(l.waitsWords(v, f, w), unreadableWords(p))
		view := ShownView{ID: w.ID, Kind: w.Kind, Photograph: w.PhotographID, Width: p.Screen.Width, Height: p.Screen.Height, FullWidth: p.Width, FullHeight: p.Height,
			Withheld: l.marked[w.ID] > 0, Cropped: p.Crop != nil, Waits: string(words)}
		view.Said.Put("waits", said.As(words))
		view.PxPerMM = l.screenScale(p)
		if len(p.Taken.Time) >= 5 {
			view.Taken = p.Taken.Time[:5]
		}
		out = append(out, view)
	}
	return out
}

// unreadableWords tells that a photograph shows nothing; empty where it does.
func unreadableWords(p trug.Photograph) said.Words {
	if !p.Unreadable {
		return ""
	}
	return "The picture in this file can't be read. Take the photograph again, if you can."
}

func (l *ledger) shownSlips(v Viewer, f *find) []ShownSlip {
	out := []ShownSlip{}
	for _, d := range slices.Backward(f.slips) {
		out = append(out, ShownSlip{ID: d.ID, Det: l.person(d.By), Mine: v.is(d.By), Date: d.Date, Basis: d.Basis, Remark: d.Remark,
			Independent: len(d.Seen) == 0, Name: l.slipName(d)})
	}
	return out
}

func (l *ledger) slipName(d trug.Determination) ShownName {
	n := ShownName{Name: d.Name, Rank: d.Rank, Qualifier: d.Qualifier}
	if t, ok := l.list.ByID(d.TaxonID); ok {
		n.Authorship = t.Authorship
	}
	return n
}

// may lists what the viewer may do with the find.
func (l *ledger) may(v Viewer, f *find) []string {
	list := []string{}
	if v.is(f.RecorderID) || v.has(trug.Coordinator) {
		list = append(list, "edit", "history")
	}
	if v.May(PutName) {
		list = append(list, "determine", "pass")
	}
	if v.May(AskForView) {
		list = append(list, "ask")
	}
	if v.May(MarkPerson) {
		list = append(list, "mark")
	}
	if v.May(CropAView) && l.mayCrop(v, f) {
		list = append(list, "crop")
	}
	if v.May(KeepDesk) {
		list = append(list, "settle")
	}
	if l.mayMeasure(v, f) {
		list = append(list, "measure")
	}
	return list
}

// editable returns what the recorder filled in.
func editable(f *find) *EditableRecord {
	e := &EditableRecord{Found: f.Found, Garden: f.Garden, FieldName: f.FieldName.Name, NamedBy: f.FieldName.By, Form: f.Form, Substrate: f.Substrate,
		Host: f.Host, Habit: f.Habit, Ripeness: f.Ripeness, Smell: f.Smell, SporePrint: f.SporePrint, NumberSeen: f.NumberSeen,
		Remarks: f.Remarks, Views: []EditableView{}}
	if p := f.Place; p != nil {
		e.Place = &EditablePlace{Lat: float64(p.Position.Lat), Lon: float64(p.Position.Lon), Uncertainty: float64(p.Uncertainty), Source: p.Source, Text: p.Verbatim}
	}
	for _, w := range f.views {
		e.Views = append(e.Views, EditableView{Photograph: w.PhotographID, Kind: w.Kind, Renamed: w.Renamed})
	}
	return e
}

// History returns what was changed of a record and what hangs on it, newest
// first: of one's own record, or of any for the coordinator.
func (a *App) History(ctx context.Context, v Viewer, id trug.ID) ([]ShownAmendment, error) {
	l, err := a.open(ctx, v, SeeHistory)
	if err != nil {
		return nil, err
	}
	f, err := l.seen(v, id)
	if err != nil {
		return nil, err
	}
	if !v.is(f.RecorderID) && !v.has(trug.Coordinator) {
		return nil, trug.Errorf(trug.NotAllowed, "", "A record's history is for its recorder and the coordinator.")
	}
	k, err := a.keyOf(ctx, l)
	if err != nil {
		return nil, err
	}
	out := []ShownAmendment{}
	err = a.Store.Read(ctx, func(r store.Reader) error {
		changes, err := r.History(ctx, store.Records, id)
		if err != nil {
			return err
		}
		for _, w := range append(slices.Clone(f.views), l.takenOut(f)...) {
			more, err := r.History(ctx, store.Views, w.ID)
			if err != nil {
				return err
			}
			changes = append(changes, more...)
		}
		for _, m := range f.sizes {
			more, err := r.History(ctx, store.Measurements, m.ID)
			if err != nil {
				return err
			}
			changes = append(changes, more...)
		}
		for _, c := range f.colours {
			more, err := r.History(ctx, store.Colours, c.ID)
			if err != nil {
				return err
			}
			changes = append(changes, more...)
		}
		slices.SortFunc(changes, func(x, y store.Amendment) int { return int(y.Seq - x.Seq) })
		for _, c := range changes {
			words := amendmentWords(k.words, c, l.whole != nil)
			out = append(out, ShownAmendment{At: c.At, By: l.person(c.By.Person), What: words.String(), Palette: amendmentPalette(c), Said: said.Fields{"what": words}})
		}
		return nil
	})
	return out, err
}
