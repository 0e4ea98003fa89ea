package app_test

import (
	"context"
	"encoding/json"
	"slices"
	"strings"
	"testing"

	"trug"
	"trug/internal/app"
	"trug/internal/app/apptest"
	"trug/internal/store"
)

// small is a season with several leaves to each list.
var small = apptest.Size{Sites: 60, Forays: 300, People: 700, Corners: 40, FirstCorners: 3000}

// all leafs through a list and returns its lines.
func all[L any](t *testing.T, q app.DeskQuery, list func(app.DeskQuery) (app.DeskPage[L], error)) (lines []L) {
	t.Helper()
	for q.Limit = 37; ; q.From += q.Limit {
		page, err := list(q)
		if err != nil {
			t.Fatal(err)
		}
		lines = append(lines, page.Lines...)
		if len(lines) != min(q.From+q.Limit, page.Total) {
			t.Fatalf("after the leaf from %d there are %d of %d lines", q.From, len(lines), page.Total)
		}
		if len(lines) == page.Total {
			return lines
		}
	}
}

// What a list finds, and in which order, is what going through everybody by
// hand finds, before and after changes.
func TestPeopleAreFoundAsByHand(t *testing.T) {
	s, ctx := apptest.Big(t, "2026-10-10", small), t.Context()
	v := s.As("R02")
	list := func(q app.DeskQuery) (app.DeskPage[app.ShownPerson], error) { return s.People(ctx, v, q) }
	check := func(when string) {
		t.Helper()
		everybody := all(t, app.DeskQuery{}, list)
		for _, q := range []app.DeskQuery{{Text: "jorn"}, {Text: "wren r0"}, {Only: "leader"}, {Only: "child", Text: "TILDA"}, {Sort: "name"}, {Sort: "-name", Text: "beck"}, {Sort: "-mark"}} {
			var want []string
			for _, p := range everybody {
				text := strings.ToLower(strings.NewReplacer("ö", "o", "ë", "e").Replace(p.Code + " " + p.Name + " " + p.Credit + " " + p.Scope))
				fits := q.Only == "" || q.Only == "child" && p.Minor || slices.Contains(p.Roles, trug.Role(q.Only))
				for _, w := range strings.Fields(strings.ToLower(q.Text)) {
					fits = fits && strings.Contains(text, w)
				}
				if fits {
					want = append(want, string(p.ID))
				}
			}
			var got, names []string
			for _, p := range all(t, q, list) {
				got, names = append(got, string(p.ID)), append(names, strings.NewReplacer("ö", "o", "ë", "e").Replace(strings.ToLower(p.Name)))
			}
			if strings.HasPrefix(q.Sort, "-") {
				slices.Reverse(names)
			}
			if strings.HasSuffix(q.Sort, "name") && !slices.IsSorted(names) {
				t.Errorf("%s, %+v: not in order of names: %q", when, q, names[:5])
			}
			slices.Sort(got)
			slices.Sort(want)
			if len(want) == 0 || !slices.Equal(got, want) {
				t.Errorf("%s, %+v: found %d, by hand %d", when, q, len(got), len(want))
			}
		}
	}
	check("at first")
	p, err := s.Person(ctx, v, all(t, app.DeskQuery{Text: "jorn", Only: "recorder"}, list)[0].ID)
	if err != nil {
		t.Fatal(err)
	}
	p.Name = "Wren Beckside"
	if _, err := s.SavePerson(ctx, v, p.ID, p); err != nil {
		t.Fatal(err)
	}
	if _, err := s.AddPerson(ctx, v, app.NewPerson{ID: s.ID(), Name: "Jörn Beck", Roles: []trug.Role{trug.RecorderRole}}); err != nil {
		t.Fatal(err)
	}
	check("after changes")
	page, err := list(app.DeskQuery{})
	if err != nil || page.All != small.People+1 || page.Next != "R01672" {
		t.Errorf("%d people, next %s, %v", page.All, page.Next, err)
	}
}

// A list follows what its lines are made of: a foray's leader who is called
// otherwise, a site whose permission comes, a record.
func TestListsFollowChanges(t *testing.T) {
	s, ctx := apptest.Big(t, "2026-10-10", small), t.Context()
	v := s.As("R02")
	forays, err := s.Forays(ctx, v, app.DeskQuery{Text: "hobbleshaw", Only: "past"})
	if err != nil || len(forays.Lines) == 0 {
		t.Fatal(err)
	}
	y, err := s.Foray(ctx, v, forays.Lines[0].ID)
	if err != nil {
		t.Fatal(err)
	}
	leader, err := s.Person(ctx, v, y.Leader)
	if err != nil {
		t.Fatal(err)
	}
	leader.Name = "Isolde Quillfeather"
	if _, err := s.SavePerson(ctx, v, leader.ID, leader); err != nil {
		t.Fatal(err)
	}
	if got, err := s.Forays(ctx, v, app.DeskQuery{Text: "quillfeather"}); err != nil || got.Total == 0 || got.Lines[0].Who != leader.Name {
		t.Errorf("by the leader's new name: %d, %v", got.Total, err)
	}
	site, err := s.Site(ctx, v, y.SiteID)
	if err != nil {
		t.Fatal(err)
	}
	site.Permission = nil
	if _, err := s.SaveSite(ctx, v, site.ID, site); err != nil {
		t.Fatal(err)
	}
	got, err := s.Forays(ctx, v, app.DeskQuery{Text: y.Code})
	if err != nil || len(got.Lines) != 1 || !strings.Contains(strings.Join(got.Lines[0].Notes, " "), "No permission is known") {
		t.Errorf("after the permission went: %+v, %v", got.Lines, err)
	}
	before := got.Lines[0].Records
	if done, err := s.SaveForayTable(ctx, v, y.ID, []app.ForayRow{{ID: s.ID(), Name: "Mycena pura"}}); err != nil || done.Added != 1 {
		t.Fatal(done, err)
	}
	if got, err := s.Forays(ctx, v, app.DeskQuery{Text: y.Code}); err != nil || got.Lines[0].Records != before+1 {
		t.Errorf("%d records after one more, before %d, %v", got.Lines[0].Records, before, err)
	}
}

func TestForaysAreNarrowed(t *testing.T) {
	s, ctx := apptest.Big(t, "2026-10-10", small), t.Context()
	v := s.As("R02")
	list := func(q app.DeskQuery) (app.DeskPage[app.ForayLine], error) { return s.Forays(ctx, v, q) }
	coming, past := all(t, app.DeskQuery{Only: "coming"}, list), all(t, app.DeskQuery{Only: "past"}, list)
	if len(coming)+len(past) != small.Forays || len(coming) == 0 || len(past) == 0 {
		t.Errorf("%d to come and %d past are not %d", len(coming), len(past), small.Forays)
	}
	day := func(x, y app.ForayLine) int { return strings.Compare(string(x.Date), string(y.Date)) }
	if !slices.IsSortedFunc(coming, day) || coming[0].Date < "2026-10-10" {
		t.Error("those to come are not by date")
	}
	newest := all(t, app.DeskQuery{Sort: "-date"}, list)
	slices.Reverse(newest)
	if !slices.IsSortedFunc(newest, day) {
		t.Error("the newest do not come first")
	}
	for _, q := range []app.DeskQuery{{Sort: "weather"}, {Only: "wet"}} {
		if _, err := list(q); trug.KindOf(err) != trug.Invalid {
			t.Errorf("%+v: %v, want a sentence on what can be asked", q, err)
		}
	}
}

// Forms are offered the very mark first, then what begins as typed, twenty at most.
func TestOffers(t *testing.T) {
	s, ctx := apptest.Big(t, "2026-10-10", small), t.Context()
	v := s.As("R02")
	got, err := s.OfferSites(ctx, v, "s10")
	if err != nil || got.Total < 1 || len(got.Offers) > app.MostOffers {
		t.Fatalf("%+v, %v", got, err)
	}
	if got, err = s.OfferSites(ctx, v, " S1 "); err != nil || got.Offers[0].Code != "S1" {
		t.Errorf("S1 offers %+v first, %v", got.Offers[0], err)
	}
	if got, err = s.OfferPeople(ctx, v, "", "leader"); err != nil {
		t.Fatal(err)
	}
	for _, o := range got.Offers {
		p, err := s.Person(ctx, v, o.ID)
		if err != nil || !slices.Contains(p.Roles, trug.Leader) && !slices.Contains(p.Roles, trug.Coordinator) {
			t.Errorf("%s is offered to lead, as %v, %v", o.Name, p.Roles, err)
		}
	}
	if got, err = s.OfferPeople(ctx, v, "jörn", "adult"); err != nil || len(got.Offers) != app.MostOffers || got.Total <= app.MostOffers || !strings.HasPrefix(got.Offers[0].Name, "Jörn") {
		t.Errorf("%d of %d, %v", len(got.Offers), got.Total, err)
	}
	led, err := s.OfferForays(ctx, v, "", "led")
	if err != nil || led.Offers[0].Date < "2026-10-10" {
		t.Errorf("the first foray offered is on %s, %v; want one to come", led.Offers[0].Date, err)
	}
	if _, err := s.OfferPeople(ctx, s.As("R01"), "a", ""); trug.KindOf(err) != trug.NotAllowed {
		t.Errorf("a leader is offered people: %v", err)
	}
}

// The map of all sites is drawn in rough, and for nobody but those who may see
// the sites; no list bears a coordinate.
func TestSiteEdges(t *testing.T) {
	s, ctx := apptest.Big(t, "2026-10-10", small), t.Context()
	edges, err := s.SiteEdges(ctx, s.As("R01"), app.DeskQuery{})
	if err != nil || len(edges) != small.Sites {
		t.Fatalf("%d edges, %v", len(edges), err)
	}
	points := 0
	for _, e := range edges {
		for _, r := range e.Outline {
			points += len(r)
		}
	}
	if points == 0 || points > 100*len(edges) {
		t.Errorf("%d points for %d sites", points, len(edges))
	}
	for _, code := range []string{"R08", "D1"} {
		if _, err := s.SiteEdges(ctx, s.As(code), app.DeskQuery{}); trug.KindOf(err) != trug.NotAllowed {
			t.Errorf("%s sees where the sites are: %v", code, err)
		}
	}
	page, err := s.Sites(ctx, s.As("R01"), app.DeskQuery{Limit: 200})
	if err != nil {
		t.Fatal(err)
	}
	text, err := json.Marshal(page)
	if err != nil || strings.Contains(string(text), "-19.9") || strings.Contains(string(text), "48.5") {
		t.Errorf("the list of sites bears coordinates: %v", err)
	}
}

// finding counts how often things are looked for in a store.
type finding struct {
	store.Store
	n int
}

type findingReader struct {
	store.Reader
	of *finding
}

func (f *finding) Read(ctx context.Context, fn func(store.Reader) error) error {
	return f.Store.Read(ctx, func(r store.Reader) error { return fn(findingReader{r, f}) })
}

func (r findingReader) Find(ctx context.Context, k store.Kind, f store.Filter) ([]store.Row, error) {
	r.of.n++
	return r.Reader.Find(ctx, k, f)
}

// What was read ahead need not be read by whoever comes first.
func TestReadAhead(t *testing.T) {
	s, ctx := apptest.New(t, "2026-10-10"), t.Context()
	v := s.As("R02")
	o, counted := s.Options, &finding{Store: s.Store}
	o.Store = counted
	a, err := app.New(o)
	if err != nil {
		t.Fatal(err)
	}
	if err := a.ReadAhead(ctx); err != nil || counted.n == 0 {
		t.Fatalf("read %d times, %v", counted.n, err)
	}
	counted.n = 0
	page, err := a.People(ctx, v, app.DeskQuery{Sort: "name"})
	if err != nil || page.Total != 29 || counted.n != 0 {
		t.Errorf("%d people, %v; the store was searched %d times more", page.Total, err, counted.n)
	}
	ended, end := context.WithCancel(ctx)
	end()
	if err := a.ReadAhead(ended); err == nil {
		t.Error("reading ahead went on after its end")
	}
}
