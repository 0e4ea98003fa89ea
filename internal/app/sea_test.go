package app_test

import (
	"regexp"
	"strconv"
	"strings"
	"testing"

	"trug"
	"trug/internal/app"
	"trug/internal/app/apptest"
)

// rectangle is an outline as GeoJSON has it.
func rectangle(south, west, north, east float64) [][][2]float64 {
	return [][][2]float64{{{west, south}, {east, south}, {east, north}, {west, north}}}
}

// The invented vale's sea lies in its south-west corner, south-west of a coast
// that runs from 20.026 W, 48.479 N to 20.079 W, 48.523 N.
func TestOutlinesInTheSea(t *testing.T) {
	s, ctx := apptest.New(t, "2026-10-10"), t.Context()
	v := s.As("R02")
	share := regexp.MustCompile(`About (\d+) % of it lies in the sea \(The Sound\)`)
	for name, c := range map[string]struct {
		rings      [][][2]float64
		refused    bool
		least, max int
	}{
		"at sea":           {rectangle(48.483, -20.07, 48.488, -20.06), true, 0, 0},
		"on land":          {rectangle(48.55, -19.96, 48.555, -19.95), false, 0, 0},
		"across the coast": {rectangle(48.485, -20.05, 48.495, -20.0), false, 20, 60},
		"on the dunes":     {rectangle(48.507, -20.02, 48.512, -20.01), false, 0, 0},
	} {
		shape, err := s.CheckOutline(ctx, v, c.rings)
		if err != nil {
			t.Fatal(err)
		}
		faults := ""
		for _, f := range shape.Faults {
			faults += f.Says
		}
		if strings.Contains(faults, "lies in the sea (The Sound)") != c.refused || !c.refused && faults != "" {
			t.Errorf("%s: faults %q", name, faults)
		}
		site, err := s.SaveSite(ctx, v, s.ID(), app.ShownDeskSite{Code: "X" + strconv.Itoa(len(name)), Name: name, Outline: c.rings})
		if (err != nil) != c.refused || c.refused && (trug.KindOf(err) != trug.Invalid || !strings.Contains(err.Error(), "lies in the sea")) {
			t.Errorf("%s: kept with %v", name, err)
		}
		for where, notes := range map[string][]string{"read": shape.Notes, "kept": site.Notes} {
			got, said := 0, share.FindStringSubmatch(strings.Join(notes, " "))
			if said != nil {
				got, _ = strconv.Atoi(said[1])
			}
			if got < c.least || got > c.max {
				t.Errorf("%s, %s: %d %% in the sea, want %d to %d: %q", name, where, got, c.least, c.max, notes)
			}
		}
	}
	// A circle stands for a site without an outline.
	if _, err := s.SaveSite(ctx, v, s.ID(), app.ShownDeskSite{Code: "X1", Name: "Rock", Lat: 48.485, Lon: -20.065, Radius: 150}); err == nil || !strings.Contains(err.Error(), "lies in the sea") {
		t.Errorf("a circle at sea: %v", err)
	}
}

// Without a ground nobody can tell, and that is said.
func TestOutlinesWithoutAGround(t *testing.T) {
	s, ctx := apptest.Empty(t, "2026-10-10"), t.Context()
	season, p, err := s.CreateSeason(ctx, s.SetupToken(), app.NewSeason{Code: "N26", Title: "North", Place: "North", Starts: "2026-10-01", Ends: "2026-10-31",
		Box: app.Box{West: 10, East: 11, South: 59, North: 60}, Zone: "Europe/Oslo", Licence: trug.CC0, Coordinator: "Ada"})
	if err != nil {
		t.Fatal(err)
	}
	shape, err := s.CheckOutline(ctx, app.Viewer{Season: season.ID, Person: &p}, rectangle(59.5, 10.5, 59.51, 10.51))
	if err != nil || len(shape.Faults) != 0 || !strings.Contains(strings.Join(shape.Notes, " "), "nobody has checked") {
		t.Errorf("%+v, %v", shape, err)
	}
}

// The area, the grid and the languages of a season are changed after it was
// made. What lies outside the new area is told by count and stays where it is.
func TestChangingTheArea(t *testing.T) {
	s, ctx := apptest.New(t, "2026-10-10"), t.Context()
	v := s.As("R02")
	set, err := s.Settings(ctx, v)
	if err != nil || len(set.Area) != 1 || set.Grid != 1000 || len(set.Outside) != 0 {
		t.Fatalf("%+v, %v", set, err)
	}
	records := len(s.Demo.Records)
	// North of 48.55 alone: the sites S1 and S4 lie there, of six.
	set.Area, set.Grid, set.Languages = rectangle(48.55, -20.07985, 48.62088, -19.8059), 100, []string{"EN", "pt-br", "en"}
	if _, err := s.SaveSettings(ctx, v, set); err == nil || !strings.Contains(err.Error(), "Four sites lie outside") || !strings.Contains(err.Error(), "Nothing is lost") {
		t.Fatalf("not asked first: %v", err)
	}
	set.AreaIsOK = true
	got, err := s.SaveSettings(ctx, v, set)
	if err != nil || got.Grid != 100 || strings.Join(got.Languages, " ") != "en pt-BR" || len(got.Outside) != 2 || got.Hectares < 10000 {
		t.Fatalf("kept: %+v, %v", got, err)
	}
	said, err := strconv.Atoi(strings.Fields(got.Outside[0])[0])
	if err != nil || said == 0 || said >= records {
		t.Errorf("%q of %d records", got.Outside[0], records)
	}
	outside := 0
	for _, r := range s.Demo.Records {
		if r.Place.Position.Lat < 48.55 {
			outside++
		}
	}
	if said != outside {
		t.Errorf("told of %d records outside, %d are", said, outside)
	}
	book, err := s.Book(ctx, v, app.BookQuery{})
	if err != nil || book.All != records {
		t.Errorf("%d records of %d are left, %v", book.All, records, err)
	}
	page, err := s.Squares(ctx, v, 0)
	if err != nil || page.Side != 100 {
		t.Errorf("squares of %d m, %v; want the season's own of 100 m", page.Side, err)
	}
	shown, err := s.Season(ctx, v)
	if err != nil || shown.Grid != 100 || shown.Box.South != 48.55 {
		t.Errorf("the season: %+v, %v", shown, err)
	}
	// As it is now, it is kept without being asked about again; left out, it stays.
	again := got
	again.Area, again.Title = nil, "Another title"
	if again, err = s.SaveSettings(ctx, v, again); err != nil || len(again.Area) != 1 || again.Area[0][0][1] != 48.55 {
		t.Errorf("left out: %+v, %v", again.Area, err)
	}
	for name, c := range map[string]struct {
		spoil func(*app.Settings)
		says  string
	}{
		"two points": {func(e *app.Settings) { e.Area = [][][2]float64{{{1, 2}, {3, 4}}} }, "three"},
		"crosses": {func(e *app.Settings) {
			e.Area = [][][2]float64{{{-20, 48.5}, {-19.9, 48.6}, {-19.9, 48.5}, {-20, 48.6}}}
		}, "cross"},
		"at sea":        {func(e *app.Settings) { e.Area = rectangle(48.483, -20.07, 48.488, -20.06) }, "lies in the sea"},
		"grid of 7 m":   {func(e *app.Settings) { e.Grid = 7 }, "7 m"},
		"no language":   {func(e *app.Settings) { e.Languages = []string{"elvish tongue"} }, "no mark of a language"},
		"ends too soon": {func(e *app.Settings) { e.Ends = "2026-09-01" }, "lies before"},
	} {
		bad := got
		c.spoil(&bad)
		if _, err := s.SaveSettings(ctx, v, bad); err == nil || !strings.Contains(err.Error(), c.says) {
			t.Errorf("%s: said %v, want %q", name, err, c.says)
		}
	}
}
