package app_test

import (
	"slices"
	"strings"
	"testing"

	"trug"
	"trug/internal/app"
	"trug/internal/app/apptest"
)

// A site is kept, shown and changed; its notes say what is odd.
func TestSites(t *testing.T) {
	s, ctx := apptest.New(t, "2026-10-10"), t.Context()
	v := s.As("R02")
	e := app.ShownDeskSite{Code: "S7", Name: "Nab Quarry", Open: true, Habitat: []string{"quarry", " "}, Hazards: []string{"loose rock"}, Outline: [][][2]float64{
		{{-19.92, 48.50}, {-19.91, 48.50}, {-19.91, 48.51}, {-19.92, 48.51}}},
		Permission: &trug.Permission{From: "2026-09-01", Until: "2026-10-15", Pick: trug.Allowed, People: 2}}
	id := s.ID()
	got, err := s.SaveSite(ctx, v, id, e)
	if err != nil {
		t.Fatal(err)
	}
	if len(got.Habitat) != 1 || got.Radius < 500 || got.Radius > 800 {
		t.Errorf("kept as %+v; its middle and radius follow from the outline, blanks go", got)
	}
	if !strings.Contains(strings.Join(got.Notes, " "), "lapses on 15 October 2026") {
		t.Errorf("notes %q do not say that the permission lapses", got.Notes)
	}
	list, err := s.Sites(ctx, v, app.DeskQuery{})
	if err != nil || len(list.Lines) != 7 || list.All != 7 || list.Next != "S8" {
		t.Fatalf("%+v, %v; want seven sites and S8 free", list, err)
	}
	for name, c := range map[string]struct {
		spoil func(*app.ShownDeskSite)
		says  string
	}{
		"ends before it begins": {func(e *app.ShownDeskSite) { e.Permission = &trug.Permission{From: "2026-10-15", Until: "2026-09-01"} }, "before it begins"},
		"two points":            {func(e *app.ShownDeskSite) { e.Outline[0] = e.Outline[0][:2] }, "three"},
		"no name":               {func(e *app.ShownDeskSite) { e.Name = " " }, "needs a name"},
		"a mark in use":         {func(e *app.ShownDeskSite) { e.Code = "S1" }, "already"},
		"no place":              {func(e *app.ShownDeskSite) { e.Outline = nil; e.Radius = 0 }, "draw the site's outline"},
	} {
		bad := e
		bad.Outline = [][][2]float64{append([][2]float64{}, e.Outline[0]...)}
		c.spoil(&bad)
		if _, err := s.SaveSite(ctx, v, s.ID(), bad); err == nil || !strings.Contains(err.Error(), c.says) {
			t.Errorf("%s: said %v, want a sentence with %q", name, err, c.says)
		}
	}
	if _, err := s.SaveSite(ctx, s.As("R01"), id, e); trug.KindOf(err) != trug.NotAllowed {
		t.Errorf("a leader changed a site: %v", err)
	}
}

func TestForays(t *testing.T) {
	s, ctx := apptest.New(t, "2026-10-10"), t.Context()
	v := s.As("R02")
	leader := s.As("R12").Person.ID
	e := app.ShownForay{Code: "O20", Name: "Night walk", Site: "S6", Date: "2026-10-24", Start: "21:00", End: "01:30", EndDate: "2026-10-25", Leader: leader,
		Targets: []string{"Clavulinopsis corniculata"}, NotFound: []string{"Clavulinopsis corniculata"}}
	id := s.ID()
	got, err := s.SaveForay(ctx, v, id, e)
	if err != nil {
		t.Fatal(err)
	}
	if got.Hours != 4.5 || got.SiteName != "Ferncombe Green" {
		t.Errorf("kept as %v hours at %q, want 4.5 at Ferncombe Green", got.Hours, got.SiteName)
	}
	if !strings.Contains(strings.Join(got.Notes, " "), "only when the scope is stated") {
		t.Errorf("notes %q do not say what becomes of what was not found", got.Notes)
	}
	for name, c := range map[string]struct {
		spoil func(*app.ShownForay)
		says  string
	}{
		"without a site":       {func(e *app.ShownForay) { e.Site = "" }, "which site"},
		"a site unknown":       {func(e *app.ShownForay) { e.Site = "S99" }, "no site"},
		"ends before it start": {func(e *app.ShownForay) { e.End, e.EndDate = "20:00", "" }, "before it starts"},
		"ends the day before":  {func(e *app.ShownForay) { e.EndDate = "2026-10-23" }, "before it begins"},
		"minus people":         {func(e *app.ShownForay) { e.People = new(-1) }, "people"},
		"a stranger leads":     {func(e *app.ShownForay) { e.Leader = s.ID() }, "nobody of the season"},
	} {
		bad := e
		c.spoil(&bad)
		if _, err := s.SaveForay(ctx, v, s.ID(), bad); err == nil || !strings.Contains(err.Error(), c.says) {
			t.Errorf("%s: said %v, want a sentence with %q", name, err, c.says)
		}
	}
	if _, err := s.SaveForay(ctx, s.As("R12"), id, e); err != nil {
		t.Errorf("its leader can't change it: %v", err)
	}
	if _, err := s.SaveForay(ctx, s.As("R01"), id, e); trug.KindOf(err) != trug.NotAllowed {
		t.Errorf("another leader changed it: %v", err)
	}
	signUp(t, s, id)
	whoComes(t, s, id)
}

// Those who signed up are named to the leader and the coordinator alone.
func whoComes(t *testing.T, s apptest.Season, id trug.ID) {
	t.Helper()
	ctx, name := t.Context(), s.As("R08").Person.Name
	for code, want := range map[string][]string{"R02": {name}, "R12": {name}, "R01": nil} {
		y, err := s.Foray(ctx, s.As(code), id)
		if err != nil || !slices.Equal(y.Coming, want) {
			t.Errorf("%s reads that %q come, want %q: %v", code, y.Coming, want, err)
		}
	}
	if _, err := s.Foray(ctx, s.As("R08"), id); trug.KindOf(err) != trug.NotAllowed {
		t.Errorf("a recorder sees who comes: %v", err)
	}
	if _, err := s.Sites(ctx, s.As("R01"), app.DeskQuery{}); err != nil {
		t.Errorf("a leader can't look up a site: %v", err)
	}
}

// Everybody learns of coming forays what they need to come, not who else comes.
func signUp(t *testing.T, s apptest.Season, id trug.ID) {
	t.Helper()
	ctx, v := t.Context(), s.As("R08")
	for _, comes := range []bool{true, true, false, false, true} {
		got, err := s.SignUp(ctx, v, id, comes)
		if err != nil || got.Comes != comes || got.SignedUp != map[bool]int{true: 1}[comes] {
			t.Errorf("signing up, %v: %+v, %v", comes, got, err)
		}
	}
	for code, comes := range map[string]bool{"R08": true, "R09": false} {
		coming, err := s.ComingForays(ctx, s.As(code))
		if err != nil {
			t.Fatal(err)
		}
		i := slices.IndexFunc(coming, func(c app.ComingForay) bool { return c.ID == id })
		if i < 0 || coming[i].Comes != comes || coming[i].SignedUp != 1 || coming[i].Site == "" || coming[i].Leader == "" {
			t.Errorf("%s sees %+v", code, coming)
		}
		if !slices.IsSortedFunc(coming, func(x, y app.ComingForay) int { return strings.Compare(string(x.Date), string(y.Date)) }) {
			t.Errorf("not by date: %+v", coming)
		}
	}
	for _, y := range s.Demo.Forays {
		if y.Code == "O01" {
			if _, err := s.SignUp(ctx, v, y.ID, true); err == nil {
				t.Error("signed up for a foray that is over")
			}
		}
	}
}

// In Europe/Oslo the clocks go back an hour at 3:00 on 25 October 2026 (the
// last Sunday of October, Directive 2000/84/EC): a night over it lasts an
// hour longer than its clocks show.
func TestForayOverTheChangeOfClocks(t *testing.T) {
	s, ctx := apptest.Empty(t, "2026-10-10"), t.Context()
	season, p, err := s.CreateSeason(ctx, s.SetupToken(), app.NewSeason{Code: "N26", Title: "North", Place: "North", Starts: "2026-10-01", Ends: "2026-10-31",
		Box: app.Box{West: 10, East: 11, South: 59, North: 60}, Zone: "Europe/Oslo", Licence: trug.CC0, Coordinator: "Ada"})
	if err != nil {
		t.Fatal(err)
	}
	v := app.Viewer{Season: season.ID, Person: &p}
	if _, err := s.SaveSite(ctx, v, s.ID(), app.ShownDeskSite{Code: "S1", Name: "Wood", Lat: 59.5, Lon: 10.5, Radius: 300}); err != nil {
		t.Fatal(err)
	}
	y, err := s.SaveForay(ctx, v, s.ID(), app.ShownForay{Code: "F1", Name: "Slime moulds by lamp", Site: "S1", Date: "2026-10-24", Start: "23:00", EndDate: "2026-10-25", End: "04:00", Leader: p.ID})
	if err != nil {
		t.Fatal(err)
	}
	if y.Hours != 6 || !strings.Contains(strings.Join(y.Notes, " "), "clocks are changed") {
		t.Errorf("lasts %v hours with notes %q, want 6 and the change of clocks", y.Hours, y.Notes)
	}
}

// A season can't be opened to recorders without an emergency number and one
// permitted site; until it is, recorders wait before the door.
func TestOpeningASeason(t *testing.T) {
	s, ctx := apptest.Empty(t, "2026-10-10"), t.Context()
	season, p, err := s.CreateSeason(ctx, s.SetupToken(), app.NewSeason{Code: "N26", Title: "North", Place: "North", Starts: "2026-10-01", Ends: "2026-10-31",
		Box: app.Box{West: 10, East: 11, South: 59, North: 60}, Zone: "Europe/Oslo", Licence: trug.CC0, Coordinator: "Ada"})
	if err != nil {
		t.Fatal(err)
	}
	v := app.Viewer{Season: season.ID, Person: &p}
	wren, err := s.SavePerson(ctx, v, s.ID(), app.EditablePerson{Name: "Wren", Roles: []trug.Role{trug.RecorderRole}})
	if err != nil {
		t.Fatal(err)
	}
	recorder := app.Viewer{Season: season.ID, Person: &trug.Person{ID: wren.ID, SeasonID: season.ID, Name: "Wren", Roles: wren.Roles}}
	waits := func() bool {
		_, err := s.Daybook(ctx, recorder, "")
		return trug.KindOf(err) == trug.NotAllowed && err != nil && strings.Contains(err.Error(), "not open to recorders yet")
	}
	if set, err := s.Settings(ctx, v); err != nil || len(set.Missing) != 2 {
		t.Fatalf("a new season lacks %q, %v; want two things", set.Missing, err)
	}
	if _, err := s.OpenSeason(ctx, v); err == nil || !waits() {
		t.Fatalf("opened with nothing set: %v", err)
	}
	set, _ := s.Settings(ctx, v)
	set.Emergency = "112"
	if set, err = s.SaveSettings(ctx, v, set); err != nil || len(set.Missing) != 1 {
		t.Fatalf("with a number it lacks %q, %v", set.Missing, err)
	}
	site := app.ShownDeskSite{Code: "S1", Name: "Wood", Lat: 59.5, Lon: 10.5, Radius: 300, Permission: &trug.Permission{Until: "2026-09-30"}}
	id := s.ID()
	if _, err := s.SaveSite(ctx, v, id, site); err != nil {
		t.Fatal(err)
	}
	if _, err := s.OpenSeason(ctx, v); err == nil || !strings.Contains(err.Error(), "permission") {
		t.Fatalf("opened with a permission that has lapsed: %v", err)
	}
	site.Permission = &trug.Permission{Words: "by letter"}
	if _, err := s.SaveSite(ctx, v, id, site); err != nil {
		t.Fatal(err)
	}
	if set, err = s.OpenSeason(ctx, v); err != nil || set.Opened != "2026-10-10" || waits() {
		t.Errorf("opened: %+v, %v, the recorder waits: %v", set.Opened, err, waits())
	}
}

// What an open season needs can't be taken from it.
func TestAnOpenSeasonKeepsItsNumber(t *testing.T) {
	s, ctx := apptest.New(t, "2026-10-10"), t.Context()
	v := s.As("R02")
	set, err := s.Settings(ctx, v)
	if err != nil || len(set.Missing) != 0 {
		t.Fatalf("the invented season lacks %q, %v", set.Missing, err)
	}
	set.Emergency = ""
	if _, err := s.SaveSettings(ctx, v, set); err == nil || !strings.Contains(err.Error(), "not taken away") {
		t.Errorf("the emergency number of an open season was taken away: %v", err)
	}
}
