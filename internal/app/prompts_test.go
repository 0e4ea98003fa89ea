package app_test

import (
	"reflect"
	"strings"
	"testing"
	"time"

	"trug"
	"trug/internal/app"
	"trug/internal/app/apptest"
)

// Each site of the invented season by each prompt, as the words of its
// permission and rule in sites.csv say. Digging is told for one site alone.
func TestPromptsObeyTheSite(t *testing.T) {
	s, ctx := apptest.New(t, "2026-10-10"), t.Context()
	v := s.As("R08")
	collecting := map[app.Prompt]bool{app.ToPick: true, app.ToCut: true, app.ToPrint: true, app.ToKeep: true}
	for site, may := range map[string]map[app.Prompt]bool{
		"S1": collecting, // collecting of up to 2 fruitbodies a species
		"S2": nil,        // photographs only; no collecting
		"S3": nil,        // no collecting on the grey dune: the part is not drawn, so nowhere
		"S4": collecting, // collecting allowed
		"S5": collecting, // collecting allowed
		"S6": collecting, // outside the churchyard; no digging there
		"":   nil,        // nobody knows whose land
	} {
		rulings, err := s.Rulings(ctx, v, app.RulingsAsked{Site: site, Date: "2026-10-10"})
		if err != nil {
			t.Fatal(err)
		}
		if len(rulings) != len(app.Prompts) {
			t.Fatalf("%q: %d rulings of %d prompts", site, len(rulings), len(app.Prompts))
		}
		for _, r := range rulings {
			if r.May != may[r.Prompt] {
				t.Errorf("%q: to %s may be asked: %v, want %v (%s)", site, r.Prompt, r.May, may[r.Prompt], r.Why)
			}
			if !r.May && (r.Why == "" || r.Instead == "") {
				t.Errorf("%q: to %s is forbidden without a reason or what can be seen without touching: %+v", site, r.Prompt, r)
			}
		}
		late, err := s.Rulings(ctx, v, app.RulingsAsked{Site: site, Date: "2027-01-15"})
		if err != nil {
			t.Fatal(err)
		}
		for _, r := range late {
			if r.May {
				t.Errorf("%q: to %s may be asked after the permission has lapsed", site, r.Prompt)
			}
		}
	}
}

// A place is found on its site as saving finds it: the middle of each site is
// ruled as the site is, a place nobody gave or far off as land nobody knows,
// and a protected kind is left alone everywhere.
func TestPromptsByPlace(t *testing.T) {
	s, ctx := apptest.New(t, "2026-10-10"), t.Context()
	v := s.As("R08")
	rulings := func(asked app.RulingsAsked) []app.Ruling {
		t.Helper()
		asked.Date = "2026-10-10"
		got, err := s.Rulings(ctx, v, asked)
		if err != nil {
			t.Fatal(err)
		}
		return got
	}
	for _, site := range s.Demo.Sites {
		at := app.RulingsAsked{Place: &app.EditablePlace{Lat: float64(site.Centre.Lat), Lon: float64(site.Centre.Lon), Uncertainty: 5, Source: trug.FromPin}}
		id := s.ID()
		sheet, err := s.SaveRecord(ctx, v, id, app.EditableRecord{Found: trug.When{Date: "2026-10-10"}, Place: at.Place, FieldName: "Mycena pura", OutsideIsOK: true})
		if err != nil {
			t.Fatal(err)
		}
		code := ""
		for _, x := range s.Demo.Sites {
			if x.Name == sheet.Place.Words {
				code = x.Code
			}
		}
		if got, want := rulings(at), rulings(app.RulingsAsked{Site: code}); !reflect.DeepEqual(got, want) {
			t.Errorf("in the middle of %s, saved at %s: %+v, want %+v", site.Code, code, got, want)
		}
		protected := at
		protected.Name = string(s.Demo.Protections[0].Name)
		for _, r := range rulings(protected) {
			if r.May || !strings.Contains(r.Why, "protected") {
				t.Errorf("%s at %s: %+v", protected.Name, site.Code, r)
			}
		}
	}
	unknown := rulings(app.RulingsAsked{})
	for name, p := range map[string]*app.EditablePlace{
		"far off":        {Lat: 10, Lon: 10, Source: trug.FromPin},
		"no such place":  {Lat: 95, Lon: 10, Source: trug.FromPin},
		"half typed":     {Source: trug.FromText, Text: "48.5"},
		"from somewhere": {Lat: 48.5, Lon: -19.9, Source: "dream"},
	} {
		if got := rulings(app.RulingsAsked{Place: p}); !reflect.DeepEqual(got, unknown) {
			t.Errorf("%s: %+v, want as where nobody knows: %+v", name, got, unknown)
		}
	}
}

// A request for a view follows the same rule: nobody is asked to dig, cut or
// print where it is not allowed, and the recorder is told what can be seen.
func TestRequestsObeyTheSite(t *testing.T) {
	s, ctx := apptest.New(t, "2026-11-25"), t.Context()
	sites := map[trug.ID]string{}
	for _, x := range s.Demo.Sites {
		sites[x.ID] = x.Code
	}
	asked := map[string]bool{}
	for _, r := range s.Demo.Records {
		code := sites[r.SiteID]
		if asked[code] {
			continue
		}
		asked[code] = true
		// They are asked on the day of the find, while there is something to go back to.
		s.App.Clock = func() time.Time { return r.Found.Instant(time.UTC) }
		for _, kind := range trug.ViewKinds {
			sheet, err := s.AskFor(ctx, s.As("R02"), r.ID, app.GivenRequest{ID: s.ID(), View: kind})
			if err != nil {
				t.Fatal(err)
			}
			says := ""
			for _, q := range sheet.Asked {
				if q.View == kind {
					says = q.Says
				}
			}
			if says == "" {
				t.Errorf("%s at %s: no sentence asks for %s", r.Number, code, kind)
			}
			asksToDo := strings.Contains(says, "one fruitbody") || strings.Contains(says, "one cap")
			allowed := code != "S2" && code != "S3" && kind != trug.Base
			if asksToDo && !allowed {
				t.Errorf("%s at %s is asked: %s", r.Number, code, says)
			}
			if kind == trug.Cut && !allowed && !strings.Contains(says, "without touching") {
				t.Errorf("%s at %s is not told what can be seen without touching: %s", r.Number, code, says)
			}
		}
	}
	if len(asked) < 6 {
		t.Fatalf("records of only %d sites", len(asked))
	}
}
