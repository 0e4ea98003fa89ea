package app

import (
	"context"
	"fmt"
	"strings"

	"trug"
	"trug/internal/store"
	"trug/science/place"
)

// ShownForay is a foray or visit as the Season desk shows and takes it.
type ShownForay struct {
	ID         trug.ID      `json:"id"`
	Code       string       `json:"code"`
	Name       string       `json:"name"`
	Site       string       `json:"site" doc:"Code of the site"`
	Date       trug.Date    `json:"date"`
	Start      string       `json:"start,omitempty"`
	End        string       `json:"end,omitempty"`
	EndDate    trug.Date    `json:"endDate,omitempty" doc:"Where it ends past midnight"`
	Visit      bool         `json:"visit,omitempty" doc:"Without a leader"`
	By         trug.ID      `json:"by,omitempty"`
	Leader     trug.ID      `json:"leader,omitempty"`
	People     *int         `json:"people,omitempty" doc:"How many came; left out while nobody counted"`
	Weather    string       `json:"weather,omitempty"`
	Route      [][2]float64 `json:"route" doc:"Longitude, latitude; empty where nobody recorded it"`
	Targets    []string     `json:"targets"`
	NotFound   []string     `json:"notFound" doc:"Looked for, found none"`
	Scope      []string     `json:"scope" doc:"Groups that were looked for at all"`
	WholeScope bool         `json:"wholeScope,omitempty" doc:"Every kind of the scope that was seen is reported"`
	SignedUp   []trug.ID    `json:"signedUp" readOnly:"true" doc:"Changed by the routes for signing up, never with the foray"`
	Note       string       `json:"note,omitempty"`

	SiteID     trug.ID `json:"siteID,omitempty" readOnly:"true"`
	SiteName   string  `json:"siteName" readOnly:"true"`
	LeaderName string  `json:"leaderName,omitempty" readOnly:"true"`
	ByName     string  `json:"byName,omitempty" readOnly:"true"`
	// Coming names those who signed up, in the same order; only for the leader
	// and the coordinator.
	Coming []string `json:"coming,omitempty" readOnly:"true"`
	// Asking are those who ask to come to private ground, AskingNames their
	// names: for whoever keeps the foray, to sign them up or take them off.
	Asking      []trug.ID `json:"asking,omitempty" readOnly:"true"`
	AskingNames []string  `json:"askingNames,omitempty" readOnly:"true"`

	Records int      `json:"records" readOnly:"true"`
	Hours   float64  `json:"hours,omitempty" readOnly:"true" doc:"How long it lasts"`
	Notes   []string `json:"notes" readOnly:"true"`
}

// Foray returns a foray or visit in full, for the Season desk and for leaders.
func (a *App) Foray(ctx context.Context, v Viewer, id trug.ID) (ShownForay, error) {
	l, err := a.open(ctx, v, SeeForays)
	if err != nil {
		return ShownForay{}, err
	}
	y, ok := l.forays[id]
	if !ok {
		return ShownForay{}, trug.Errorf(trug.NotFound, "", "There is no such foray in this season.")
	}
	return l.keptForay(v, y), nil
}

// keptForay is a foray with who signed up, for whoever keeps it.
func (l *ledger) keptForay(v Viewer, y trug.Foray) ShownForay {
	shown := l.shownForay(y)
	shown.Records = l.desk.records.get()[y.ID]
	if v.keeps(y) {
		for _, id := range y.SignedUp {
			shown.Coming = append(shown.Coming, l.person(id))
		}
		for _, id := range y.Asking {
			shown.Asking, shown.AskingNames = append(shown.Asking, id), append(shown.AskingNames, l.person(id))
		}
	}
	return shown
}

// keeps reports whether the viewer may change the foray: the coordinator every
// one, others those that they lead or made.
func (v Viewer) keeps(y trug.Foray) bool {
	return v.has(trug.Coordinator) || v.May(KeepForay) && (v.is(y.Leader) || v.is(y.By))
}

func (l *ledger) shownForay(y trug.Foray) ShownForay {
	site := l.sites[y.SiteID]
	return ShownForay{ID: y.ID, Code: y.Code, Name: y.Name, Site: site.Code, Date: y.Date, Start: y.Start, End: y.End, EndDate: y.EndDate,
		Visit: y.Visit, By: y.By, Leader: y.Leader, People: headcount(y.People), Weather: y.Weather, Route: ring(y.Route), Targets: notNil(y.Targets),
		NotFound: notNil(y.NotFound), Scope: notNil(y.Scope), WholeScope: y.WholeScope, SignedUp: notNil(y.SignedUp), Note: y.Note,
		SiteID: site.ID, SiteName: site.Name, LeaderName: l.person(y.Leader), ByName: l.person(y.By), Hours: y.Lasts(zone(l.season)).Hours(), Notes: l.forayNotes(y, site)}
}

// forayNotes says what the coordinator or leader should look at.
func (l *ledger) forayNotes(y trug.Foray, site trug.Site) []string {
	notes := []string{}
	add := func(format string, args ...any) { notes = append(notes, fmt.Sprintf(format, args...)) }
	switch p := site.Permission; {
	case p == nil:
		add("No permission is known for %s.", site.Name)
	case !p.Covers(y.Date) || !p.Covers(y.Ends()):
		add("The permission for %s does not cover %s.", site.Name, dayWords(y.Date))
	case p.People > 0 && max(y.People, len(y.SignedUp)) > p.People:
		add("%d people are more than the %d that the permission allows at once.", max(y.People, len(y.SignedUp)), p.People)
	}
	if y.Date < l.season.Starts || y.Date > l.season.Ends {
		add("It lies outside the season (%s to %s).", dayWords(l.season.Starts), dayWords(l.season.Ends))
	}
	if !y.Visit && y.Leader == "" {
		add("It has no leader yet.")
	}
	if lasts := y.Lasts(zone(l.season)); lasts > 0 {
		start := trug.When{Date: y.Date, Time: y.Start}.Instant(zone(l.season))
		end := start.Add(lasts)
		if _, a := start.Zone(); true {
			if _, b := end.Zone(); a != b {
				add("The clocks are changed while it goes on: it truly lasts %.1f hours.", lasts.Hours())
			}
		}
	}
	if len(y.NotFound) > 0 && len(y.Scope) == 0 {
		add("What was not found is published as absent only when the scope is stated.")
	}
	return notes
}

// SaveForay keeps a foray or visit, new or changed.
func (a *App) SaveForay(ctx context.Context, v Viewer, id trug.ID, e ShownForay) (ShownForay, error) {
	l, err := a.open(ctx, v, KeepForay)
	if err != nil {
		return ShownForay{}, err
	}
	if !id.Valid() {
		return ShownForay{}, badID()
	}
	y := l.forays[id]
	if y.ID != "" && !v.keeps(y) {
		return ShownForay{}, trug.Errorf(trug.NotAllowed, "", "This foray is led by %s: they and the coordinator change it.", l.person(y.Leader))
	}
	if y.ID == "" {
		y = trug.Foray{ID: id, SeasonID: l.season.ID, Created: a.Clock()}
		if y.Public, err = a.newPublic(); err != nil {
			return ShownForay{}, err
		}
	}
	if err := l.fillForay(&y, e); err != nil {
		return ShownForay{}, err
	}
	err = a.write(ctx, func(w store.Writer) error {
		// Who signed up or asked, and heads that were counted, while the form lay open stay.
		now, err := store.Get[trug.Foray](ctx, w, id)
		if err == nil {
			y.SignedUp, y.Asking, y.Out, y.Back = now.SignedUp, now.Asking, now.Out, now.Back
		} else if trug.KindOf(err) != trug.NotFound {
			return err
		}
		return store.Put(ctx, w, y, a.author(v), a.Clock())
	})
	if err != nil && trug.KindOf(err) == trug.Conflict {
		return ShownForay{}, trug.Errorf(trug.Conflict, "code", "another foray has the mark %s already: choose another", y.Code)
	}
	return l.keptForay(v, y), err
}

func (l *ledger) fillForay(y *trug.Foray, e ShownForay) error {
	y.Code, y.Name, y.Date, y.EndDate = strings.TrimSpace(e.Code), strings.TrimSpace(e.Name), e.Date, e.EndDate
	y.Start, y.End, y.Visit, y.By, y.Leader = e.Start, e.End, e.Visit, e.By, e.Leader
	y.Weather, y.Note = strings.TrimSpace(e.Weather), strings.TrimSpace(e.Note)
	y.Targets, y.NotFound, y.Scope, y.WholeScope = trimmed(e.Targets), trimmed(e.NotFound), trimmed(e.Scope), e.WholeScope
	y.Route, y.SiteID, y.People = nil, "", 0
	if e.People != nil {
		if *e.People == 0 {
			return nobodyCame()
		}
		y.People = *e.People
	}
	for _, p := range e.Route {
		y.Route = append(y.Route, place.Position{Lat: place.Degrees(p[1]), Lon: place.Degrees(p[0])})
	}
	for _, s := range l.sites {
		if s.Code == e.Site {
			y.SiteID = s.ID
		}
	}
	if e.Site != "" && y.SiteID == "" {
		return trug.Errorf(trug.Invalid, "site", "there is no site %q in this season: add it under Sites first", e.Site)
	}
	for field, id := range map[string]trug.ID{"leader": y.Leader, "by": y.By} {
		if _, known := l.people[id]; id != "" && !known {
			return trug.Errorf(trug.Invalid, field, "this is nobody of the season: add them under People first")
		}
	}
	for _, p := range y.Route {
		if err := p.Valid(); err != nil {
			return trug.Errorf(trug.Invalid, "route", "%v", err)
		}
	}
	return y.Validate()
}

// headcount is a count of people as it is shown: nothing where nobody counted.
func headcount(n int) *int {
	if n == 0 {
		return nil
	}
	return &n
}

// nobodyCame refuses a headcount of 0, which is not the same as not counted.
func nobodyCame() error {
	return trug.Errorf(trug.Invalid, "people", "0 people can't have looked: count all who went, the leader too; leave it blank where nobody counted or it lies ahead; where nobody went, say so under How it went")
}
