package web

import (
	"encoding/csv"
	"encoding/json"
	"net/http"
	"strings"
	"testing"
	"time"

	"trug"
	"trug/internal/app"
	"trug/internal/app/apptest"
	"trug/internal/store"
)

// auditOf reads a page of the audit as the coordinator.
func auditOf(t *testing.T, s apptest.Season, h http.Handler, query string) app.AuditPage {
	t.Helper()
	status, body := newClient(t, s, h, "R02").do("GET", "/api/audit?"+query, nil, "")
	var page app.AuditPage
	if err := json.Unmarshal([]byte(body), &page); status != 200 || err != nil {
		t.Fatalf("%s: %d %s (%v)", query, status, body, err)
	}
	return page
}

// Names of private sites are given with a note: in the Record book, on printed
// sheets, in tables, on the page and the map of the sites.
func TestLooksAtPrivateGroundAreNoted(t *testing.T) {
	s := apptest.New(t, "2026-10-10")
	h := Handler(s.App, Options{})
	var site trug.Site
	for _, x := range s.Demo.Sites {
		if !x.Open {
			site = x
		}
	}
	var foray trug.Foray
	for _, y := range s.Demo.Forays {
		if y.SiteID == site.ID && !y.Visit {
			foray = y
		}
	}
	if site.ID == "" || foray.ID == "" {
		t.Fatal("the invented season has no foray on private ground")
	}
	// Whatever was noted while the season was made is not asked about here.
	for _, q := range []struct{ way, code, path string }{
		{"page of the site", "R02", "/api/sites/" + string(site.ID)},
		{"map of the sites", "R02", "/api/sites/map"},
		{"printed sheet", "R02", "/api/paper/leaders-sheet.pdf?foray=" + string(foray.ID)},
		{"table of the desk", "R02", "/api/tables/sites.csv"},
		{"Squares", "R02", "/api/squares?side=1000"},
	} {
		for range 2 { // within an hour a second look counts as the same
			if status, body := newClient(t, s, h, q.code).do("GET", q.path, nil, ""); status != 200 {
				t.Fatalf("%s: %d %.200s", q.path, status, body)
			}
		}
		page := auditOf(t, s, h, "what=looks&thing="+site.Code+"&act="+strings.ReplaceAll(q.way, " ", "%20"))
		if len(page.Lines) != 1 || page.Lines[0].Person != s.As(q.code).Person.ID || page.Lines[0].Thing == nil || page.Lines[0].Thing.ID != site.ID {
			t.Errorf("by the %s: %+v", q.way, page.Lines)
		}
	}
	// The Record book notes finds, since a line names the site of one.
	if status, _ := newClient(t, s, h, "D1").do("GET", "/api/records?limit=500", nil, ""); status != 200 {
		t.Fatal("no Record book")
	}
	page := auditOf(t, s, h, "what=looks&act=Record%20book&person="+string(s.As("D1").Person.ID))
	if len(page.Lines) == 0 || page.Lines[0].Thing == nil || page.Lines[0].Thing.Kind != "record" {
		t.Errorf("the Record book left no note: %+v", page.Lines)
	}
	// Reading of this is noted too, once an hour.
	page = auditOf(t, s, h, "what=looks&act=audit")
	page = auditOf(t, s, h, "what=looks&act=audit")
	if len(page.Lines) != 1 || page.Lines[0].Person != s.As("R02").Person.ID {
		t.Errorf("looks at the audit: %+v", page.Lines)
	}
}

// Pages of the audit follow each other without a gap or a line twice, and the
// filters keep to what they say.
func TestTheAuditByPages(t *testing.T) {
	s := apptest.New(t, "2026-10-10")
	h := Handler(s.App, Options{})
	err := s.Store.Write(t.Context(), func(w store.Writer) error {
		var looks []store.Look
		for n := range 250 {
			looks = append(looks, store.Look{At: time.Date(2026, 10, 1+n%5, 12, 0, n, 0, time.UTC), Season: s.Demo.Season.ID, Person: s.As("D1").Person.ID, Way: "record sheet", Record: s.Record("W26-0104")})
		}
		return w.Note(t.Context(), looks)
	})
	if err != nil {
		t.Fatal(err)
	}
	for what, want := range map[string]int{"looks&act=record%20sheet": 250, "changes": -1} {
		seen, before, last := map[int64]bool{}, "", int64(1<<62)
		for {
			page := auditOf(t, s, h, "what="+what+"&before="+before)
			for _, l := range page.Lines {
				if seen[l.Seq] || l.Seq >= last {
					t.Fatalf("%s: line %d stands twice or out of order", what, l.Seq)
				}
				seen[l.Seq], last = true, l.Seq
			}
			if before = page.Next; before == "" {
				break
			}
		}
		if want >= 0 && len(seen) != want || len(seen) < 100 {
			t.Errorf("%s: %d lines, want %d", what, len(seen), want)
		}
	}
	day := auditOf(t, s, h, "what=looks&act=record%20sheet&from=2026-10-02&until=2026-10-02")
	if len(day.Lines) != 50 {
		t.Errorf("of one day %d lines, want 50", len(day.Lines))
	}
	sites := auditOf(t, s, h, "what=changes&act=sites")
	if len(sites.Lines) == 0 {
		t.Error("no change of a site")
	}
	for _, l := range sites.Lines {
		if l.Thing == nil || l.Thing.Kind != "site" {
			t.Errorf("among the changes of sites: %+v", l)
		}
	}
	record := auditOf(t, s, h, "what=changes&thing=w26-0104")
	for _, l := range record.Lines {
		if l.Thing == nil || l.Thing.Words != "W26-0104" {
			t.Errorf("among the changes of W26-0104: %+v", l)
		}
	}
	for _, bad := range []string{"what=all", "what=looks&act=sites", "what=looks&from=yesterday", "what=changes&until=2026-10-01&from=2026-10-02", "what=changes&thing=W26", "what=looks&before=x", "what=looks&thing=R02"} {
		if status, body := newClient(t, s, h, "R02").do("GET", "/api/audit?"+bad, nil, ""); status != 422 {
			t.Errorf("%s: %d %s", bad, status, body)
		}
	}
}

// A name that begins like a formula is no formula in the file.
func TestTheAuditFileRunsNothing(t *testing.T) {
	s := apptest.New(t, "2026-10-10")
	h := Handler(s.App, Options{})
	const formula = `=HYPERLINK("http://x.test","W26")`
	e, err := s.Person(t.Context(), s.As("R02"), s.As("D1").Person.ID)
	if err != nil {
		t.Fatal(err)
	}
	e.Name = formula
	if _, err := s.SavePerson(t.Context(), s.As("R02"), s.As("D1").Person.ID, e); err != nil {
		t.Fatal(err)
	}
	for _, what := range []string{"changes", "entries", "looks", "guesses"} {
		newClient(t, s, h, "D1").do("GET", "/api/records?limit=500", nil, "")
		status, body := newClient(t, s, h, "R02").do("GET", "/api/audit.csv?what="+what, nil, "")
		rows, err := csv.NewReader(strings.NewReader(body)).ReadAll()
		if status != 200 || err != nil {
			t.Fatalf("%s: %d %v", what, status, err)
		}
		found := false
		for _, row := range rows {
			for _, cell := range row {
				found = found || cell == "'"+formula
				if cell != "" && strings.ContainsRune("=+-@\t\r", rune(cell[0])) {
					t.Errorf("%s: a cell reads %q", what, cell)
				}
			}
		}
		if !found && what != "guesses" {
			t.Errorf("%s: the test looks for a name that is not there:\n%.300s", what, body)
		}
	}
}

// A sign-in is remembered with how it ended, for oneself and for the
// coordinator, and erased 90 days later; no address is kept with it.
func TestSignInsAreRemembered(t *testing.T) {
	s := apptest.New(t, "2026-10-10")
	h := Handler(s.App, Options{})
	other := newClient(t, s, h, "D1")
	here := newClient(t, s, h, "D1")
	if status, body := here.do("POST", "/api/me/sessions/end-others", []byte(`{}`), "application/json"); status != 200 {
		t.Fatalf("signing out the others: %d %s", status, body)
	}
	if status, _ := other.do("GET", "/api/daybook", nil, ""); status != 401 {
		t.Errorf("the other device is still in: %d", status)
	}
	status, body := here.do("GET", "/api/me/sign-ins", nil, "")
	var mine []app.ShownSignIn
	if err := json.Unmarshal([]byte(body), &mine); status != 200 || err != nil {
		t.Fatalf("earlier sign-ins: %d %s", status, body)
	}
	if len(mine) != 1 || mine[0].Ended.IsZero() || mine[0].Says != "signed out from another device" || mine[0].Until.Sub(mine[0].Ended) != 90*24*time.Hour {
		t.Errorf("earlier sign-ins are %+v", mine)
	}
	page := auditOf(t, s, h, "what=entries&person="+string(s.As("D1").Person.ID))
	still, out := 0, 0
	for _, l := range page.Lines {
		if strings.HasSuffix(l.What, "still in") {
			still++
		}
		if strings.Contains(l.What, "signed out from another device on ") {
			out++
		}
	}
	if still != 1 || out != 1 {
		t.Errorf("%d still in, %d signed out: %+v", still, out, page.Lines)
	}
	err := s.Store.Read(t.Context(), func(r store.Reader) error {
		rows, err := r.Secrets(t.Context(), store.SecretFilter{Kind: store.SignIns, Person: s.As("D1").Person.ID})
		for _, row := range rows {
			if strings.Contains(string(row.Body), "192.0.2.") {
				t.Errorf("an address is kept: %s", row.Body)
			}
		}
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	late := s.Clock().Add(91 * 24 * time.Hour)
	s.App.Clock = func() time.Time { return late }
	s.Token("D2") // whoever comes in sweeps
	err = s.Store.Read(t.Context(), func(r store.Reader) error {
		rows, err := r.Secrets(t.Context(), store.SecretFilter{Kind: store.SignIns, ID: mine[0].ID})
		if len(rows) > 0 {
			t.Error("it is still kept after 91 days")
		}
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
}
