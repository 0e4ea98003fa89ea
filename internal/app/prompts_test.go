package app_test

import (
	"strings"
	"testing"

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
		rulings, err := s.Rulings(ctx, v, site, "2026-10-10")
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
		late, err := s.Rulings(ctx, v, site, "2027-01-15")
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
		for _, kind := range trug.ViewKinds {
			sheet, err := s.AskView(ctx, s.As("R02"), r.ID, app.GivenRequest{ID: s.ID(), View: kind})
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
