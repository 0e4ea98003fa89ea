package app

import (
	"context"
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"trug"
	"trug/internal/store"
	"trug/science/describe"
	"trug/science/place"
	"trug/science/said"
)

// SaveRecord keeps a recorder's record, new or changed, with its views. The
// identifier is made where the record is made, so sending it twice is
// harmless. All faults are told at once and nothing is kept then.
func (a *App) SaveRecord(ctx context.Context, v Viewer, id trug.ID, e EditableRecord) (RecordSheet, error) {
	l, err := a.open(ctx, v, SaveARecord)
	if err != nil {
		return RecordSheet{}, err
	}
	if !id.Valid() {
		return RecordSheet{}, badID()
	}
	if err := a.saveRecord(ctx, v, l, id, e); err != nil {
		return RecordSheet{}, err
	}
	return a.Record(ctx, v, id)
}

func (a *App) saveRecord(ctx context.Context, v Viewer, l *ledger, id trug.ID, e EditableRecord) error {
	return a.saveWith(ctx, v, l, id, e, nil, nil)
}

// saveWith saves a record in one transaction with what is done before and after
// it there; either may be nil, and an error of theirs undoes all. The record
// that before is given is the one that is about to be written.
func (a *App) saveWith(ctx context.Context, v Viewer, l *ledger, id trug.ID, e EditableRecord,
	before, after func(store.Writer, trug.Record) error) error {
	l = l.full()
	r, views, err := a.madeOf(v, l, id, e)
	if err != nil {
		return err
	}
	if err := a.takeAnswers(ctx, v, l, &r, e.Answers); err != nil {
		return err
	}
	return a.write(ctx, func(w store.Writer) error {
		if r.Number == "" {
			if r.Number, err = nextNumber(ctx, w, l); err != nil {
				return err
			}
		}
		if before != nil {
			if err := before(w, r); err != nil {
				return err
			}
		}
		if err := store.Put(ctx, w, r, a.author(v), a.Clock()); err != nil {
			return err
		}
		for _, view := range views {
			if err := store.Put(ctx, w, view, a.author(v), a.Clock()); err != nil {
				return err
			}
		}
		if after == nil {
			return nil
		}
		return after(w, r)
	})
}

// madeOf makes the record and the views to be written of what was given.
func (a *App) madeOf(v Viewer, l *ledger, id trug.ID, e EditableRecord) (trug.Record, []trug.View, error) {
	none := trug.Record{}
	before := l.finds[id]
	if before != nil && (!before.stands() || !v.is(before.RecorderID) && !v.has(trug.Coordinator)) {
		return none, nil, trug.Errorf(trug.NotFound, "", "There is no such record among yours.")
	}
	r := trug.Record{ID: id, SeasonID: l.season.ID, RecorderID: v.Person.ID, Created: a.Clock()}
	if before != nil {
		r = before.Record
	} else if err := a.roomForRecord(l, v); err != nil {
		return none, nil, err
	}
	if err := l.noWordsToChildren(v, before, e); err != nil {
		return none, nil, err
	}
	if err := a.fill(l, &r, e); err != nil {
		return none, nil, err
	}
	if before != nil && v.Person.Minor {
		keepUnseen(before, &r)
	}
	if before != nil && l.people[r.RecorderID].Minor && !v.is(r.RecorderID) && r.Place != nil {
		r.Place.Verbatim = "" // as the coordinator typed it
		if was := before.Place; was != nil && was.Position == r.Place.Position {
			r.Place.Verbatim = was.Verbatim
		}
	}
	views, err := a.viewsOf(v, l, before, id, e.Views)
	if err != nil {
		return none, nil, err
	}
	if len(views) == 0 && (before == nil || len(before.views) == 0) && r.FieldName.Name == "" && r.Form == "" && r.Remarks == "" {
		return none, nil, trug.Errorf(trug.Invalid, "views", "a record needs a photograph, or a name given in the hand, or a few words: there is nothing yet that could be named")
	}
	if r.Public == "" {
		if r.Public, err = a.newPublic(); err != nil {
			return none, nil, err
		}
	}
	return r, views, nil
}

// fill takes over what the recorder gave and checks it.
func (a *App) fill(l *ledger, r *trug.Record, e EditableRecord) error {
	var faults trug.Faults
	fault := func(field, format string, args ...any) {
		faults = append(faults, trug.Errorf(trug.Invalid, field, format, args...))
	}
	r.Found, r.Garden = e.Found, e.Garden
	r.FieldName = trug.FieldName{Name: strings.TrimSpace(e.FieldName), By: strings.TrimSpace(e.NamedBy)}
	r.Form, r.Substrate, r.Habit, r.Ripeness, r.SporePrint = e.Form, e.Substrate, e.Habit, e.Ripeness, e.SporePrint
	r.Smell, r.Host = strings.TrimSpace(e.Smell), strings.TrimSpace(e.Host)
	r.NumberSeen, r.Remarks = e.NumberSeen, strings.TrimSpace(e.Remarks)
	for _, s := range []struct{ field, character, state string }{{"form", "form", r.Form}, {"habit", "habit", r.Habit},
		{"substrate", "substrate", r.Substrate}, {"ripeness", "ripeness", r.Ripeness}, {"sporePrint", "spore_print", r.SporePrint}} {
		if _, ok := describe.Find(s.character, s.state); s.state != "" && !ok {
			fault(s.field, "%q is none of the answers offered: choose one, or leave it blank", s.state)
		}
	}
	if p, err := readPlace(e.Place); err != nil {
		fault("place", "%v", err)
	} else if r.Place = p; p != nil && p.Position.Valid() == nil && !e.OutsideIsOK {
		if km := l.outsideArea(p.Position); km > 0 {
			fault("place", "this place lies %s outside the season's area (%s): look at it again, or say that it is right", distanceWords(km), l.season.Place)
		}
	}
	a.checkDate(l, r.Found, e.DateIsOK, fault)
	if err := r.Validate(); err != nil {
		if more, ok := err.(trug.Faults); ok {
			faults = append(faults, more...)
		}
	}
	if err := l.visitOf(r, e.ForayCode); err != nil {
		fault("foray", "%v", err)
	}
	if len(faults) > 0 {
		return faults
	}
	return nil
}

// checkDate refuses days to come, and asks about days outside the season.
func (a *App) checkDate(l *ledger, w trug.When, isOK bool, fault func(field, format string, args ...any)) {
	switch today := a.today(l.season); {
	case !w.Date.Valid():
		// Validate says so.
	case w.Date > today:
		fault("found", "%s has not come yet (today is %s): set the day, and the camera's clock too", daySaid(w.Date), daySaid(today))
	case (w.Date < l.season.Starts || w.Date > l.season.Ends) && !isOK:
		fault("found", "%s lies outside the season (%s to %s): set the day, or say that it is right", daySaid(w.Date), daySaid(l.season.Starts), daySaid(l.season.Ends))
	}
}

// readPlace makes a place of what was given: a pin or a phone's position as
// it is, a typed one by reading the text.
func readPlace(e *EditablePlace) (*trug.Place, error) {
	if e == nil {
		return nil, nil
	}
	p := trug.Place{Position: place.Position{Lat: place.Degrees(e.Lat), Lon: place.Degrees(e.Lon)},
		Uncertainty: place.Metres(e.Uncertainty), Source: e.Source, Precision: 1e-6}
	switch e.Source {
	case trug.FromText:
		position, precision, err := place.ParsePosition(e.Text)
		if err != nil {
			return nil, err
		}
		p.Position, p.Precision, p.Verbatim = position, precision, strings.TrimSpace(e.Text)
		if u := place.PrecisionUncertainty(position.Lat, precision); p.Uncertainty < u {
			p.Uncertainty = u
		}
	case trug.FromPin, trug.FromPhone, trug.FromCamera, trug.FromSite:
	default:
		return nil, said.Errorf("say where the place comes from: camera, phone, pin or text")
	}
	return &p, nil
}

// visitOf finds the foray and the site of a record: by the code given, else
// the foray of that day whose site holds the place, else the site alone.
func (l *ledger) visitOf(r *trug.Record, code string) error {
	r.ForayID, r.SiteID = "", ""
	if r.Garden {
		return nil // nobody's foray led there, and no site's name may tell where it is
	}
	if code != "" {
		for _, y := range l.forays {
			if y.Code == code {
				r.ForayID, r.SiteID = y.ID, y.SiteID
				return nil
			}
		}
		return fmt.Errorf("there is no foray %q in this season", code)
	}
	if r.Place == nil || r.Place.Position.Valid() != nil {
		return nil
	}
	r.SiteID = l.siteAt(*r.Place)
	r.ForayID = l.forayAt(r.SiteID, r.Found)
	return nil
}

// forayAt returns the foray on which something was found at a site, empty when
// there was none that day. Of several it is the one that was under way at the
// time, else the first by its mark, so that the same find is always on the
// same foray. A foray over midnight holds the small hours up to its end.
func (l *ledger) forayAt(site trug.ID, found trug.When) (id trug.ID) {
	best, code := 0, ""
	for _, y := range l.forays {
		if site == "" || y.SiteID != site {
			continue
		}
		fits := fitsForay(y, found)
		if fits > best || fits > 0 && fits == best && y.Code < code {
			id, best, code = y.ID, fits, y.Code
		}
	}
	return id
}

// fitsForay says how well a time of finding fits a foray: 2 while it was under
// way, 1 for some other time of its day, 0 not at all.
func fitsForay(y trug.Foray, found trug.When) int {
	clock := found.Time
	if len(clock) > 5 {
		clock = clock[:5]
	}
	overnight := y.Ends() != y.Date
	begun, over := y.Start == "" || y.Start <= clock, y.End != "" && y.End < clock
	switch {
	case found.Date == y.Date && clock != "" && y.Start != "" && begun && (overnight || !over):
		return 2
	case found.Date == y.Date:
		return 1
	case overnight && clock != "" && found.Date > y.Date && (found.Date < y.Ends() || found.Date == y.Ends() && !over):
		return 2
	}
	return 0
}

// siteAt returns the site on which a spot lies, empty when on none. Of sites
// that overlap it is the one whose middle is nearest, so that the same spot is
// always on the same site.
func (l *ledger) siteAt(p trug.Place) (site trug.ID) {
	nearest := place.Metres(math.Inf(1))
	for _, s := range l.sites {
		if !s.Holds(p) {
			continue
		}
		if d := place.Distance(s.Centre, p.Position); d < nearest || d == nearest && s.ID < site {
			nearest, site = d, s.ID
		}
	}
	return site
}

// viewsOf returns the views to be written: new ones, and those whose kind has
// changed. A photograph belongs to one record and to whom handed it in.
func (a *App) viewsOf(v Viewer, l *ledger, before *find, record trug.ID, given []EditableView) ([]trug.View, error) {
	var out []trug.View
	seen := map[trug.ID]bool{}
	for i, g := range given {
		field := fmt.Sprintf("views.%d", i)
		if !g.Kind.Valid() {
			return nil, trug.Errorf(trug.Invalid, field, "%q is not a view: choose top, side, underneath, surroundings, cut, base, spore print, close-up or micrograph", g.Kind)
		}
		if seen[g.Photograph] {
			return nil, trug.Errorf(trug.Invalid, field, "the same photograph stands twice in this record: take one of the two out")
		}
		seen[g.Photograph] = true
		p, ok := l.photographs[g.Photograph]
		holder := l.holding(g.Photograph)
		switch {
		case holder != nil && holder.ID != record:
			number := "somebody else's record"
			if v.is(holder.RecorderID) {
				number = "your record " + holder.Number
			}
			return nil, trug.Errorf(trug.Conflict, field, "this photograph is already in %s: one photograph belongs to one record, so take it out here", number)
		case !ok || holder == nil && !v.is(p.By) && !v.has(trug.Coordinator):
			return nil, trug.Errorf(trug.Invalid, field, "this photograph has not arrived here: hand it in again")
		case holder != nil:
			i := slices.IndexFunc(before.views, func(w trug.View) bool { return w.PhotographID == g.Photograph })
			if view := before.views[i]; view.Kind != g.Kind {
				out = append(out, view.Named(g.Kind, a.Clock(), g.By))
			}
		case l.outViews[g.Photograph].ID != "" && !g.Again:
			return nil, trug.Errorf(trug.Conflict, field, "this photograph was taken out of the record meanwhile: take it out here too, or choose it anew to put it in again")
		case l.outViews[g.Photograph].ID != "":
			// Taken out once, and now put in again, here or in another record.
			view := l.outViews[g.Photograph].Named(g.Kind, a.Clock(), g.By)
			view.RecordID, view.Withdrawn = record, time.Time{}
			out = append(out, view)
		default:
			view, err := a.newView(v, l, record, g)
			if err != nil {
				return nil, err
			}
			out = append(out, view)
		}
	}
	return out, nil
}

func (a *App) newView(v Viewer, l *ledger, record trug.ID, g EditableView) (view trug.View, err error) {
	view = trug.View{SeasonID: l.season.ID, RecordID: record, PhotographID: g.Photograph, Kind: g.Kind, Created: a.Clock()}
	if v.Person != nil {
		view.By = v.Person.ID
	}
	if view.ID, err = a.newID(); err != nil {
		return view, err
	}
	view.Public, err = a.newPublic()
	return view, err
}

// ReadPlace reads a typed place and says what was understood.
func (a *App) ReadPlace(ctx context.Context, v Viewer, text string) (ReadPlace, error) {
	l, err := a.open(ctx, v, ReadAPlace)
	if err != nil {
		return ReadPlace{}, err
	}
	p, precision, err := place.ParsePosition(text)
	if err != nil {
		return ReadPlace{}, trug.Errorf(trug.Invalid, "place", "%v", err)
	}
	r := ReadPlace{Lat: float64(p.Lat), Lon: float64(p.Lon), Decimal: place.FormatDecimal(p, precision), DMS: place.FormatDMS(p, precision),
		Uncertainty: float64(place.PrecisionUncertainty(p.Lat, precision)), Inside: true}
	if km := l.outsideArea(p); km > 0 {
		r.Inside = false
		r.Says = fmt.Sprintf("This lies %s outside the season's area. Have latitude and longitude been exchanged, or a sign left out?", distanceWords(km))
	}
	return r, nil
}
