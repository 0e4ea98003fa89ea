package web

import (
	"encoding/json"
	"fmt"
	"strings"
	"testing"

	"trug/internal/app/apptest"
)

// What the desk is given wrongly is answered in the web with a sentence beside
// the field that it is about, or with a note on the page.
func TestTheDeskToldWrongly(t *testing.T) {
	s := apptest.New(t, "2026-10-10")
	c := newClient(t, s, Handler(s.App, Options{}), "R02")
	site := func(more string) string {
		return `{"id":"","code":"S9","name":"Nab","lat":48.5,"lon":-19.9,"radius":100,"habitat":[],"outline":[],"hazards":[],"forays":0,"records":0,"notes":[]` + more + `}`
	}
	foray := func(more string) string {
		return `{"id":"","code":"F9","name":"Nab","site":"","date":"2026-10-24","route":[],"targets":[],"notFound":[],"scope":[],"signedUp":[],"siteName":"","records":0,"notes":[]` + more + `}`
	}
	person := func(more string) string {
		return `{"id":"","roles":["recorder"],"groups":[],"consents":[],"link":"","notes":[]` + more + `}`
	}
	for name, k := range map[string]struct {
		path, body string
		status     int
		field      string // "" where it is a note on the page
		says       string
	}{
		"a permission that ends before it begins": {"sites", site(`,"permission":{"from":"2026-10-15","until":"2026-09-01"}`), 422, "permission.until", "before it begins"},
		"a permission that lapses":                {"sites", site(`,"permission":{"from":"2026-09-01","until":"2026-10-15"}`), 200, "", "The permission lapses on 15 October 2026, before the season ends on 25 October 2026."},
		"an outline at sea": {"sites", strings.Replace(site(""), `"outline":[]`, `"outline":[[[-20.07,48.483],[-20.06,48.483],[-20.06,48.488],[-20.07,48.488]]]`, 1),
			422, "outline", "lies in the sea"},
		"an outline across the coast": {"sites", strings.Replace(site(""), `"outline":[]`, `"outline":[[[-20.05,48.485],[-20.0,48.485],[-20.0,48.495],[-20.05,48.495]]]`, 1),
			200, "", "% of it lies in the sea"},
		"a foray without a site":             {"forays", foray(``), 422, "site", "which site"},
		"a foray that ends before it starts": {"forays", foray(`,"site":"S2","start":"13:00","end":"10:00"`), 422, "end", "before it starts"},
		"a foray that ends the day before":   {"forays", foray(`,"site":"S2","endDate":"2026-10-23"`), 422, "endDate", "before it begins"},
		"a foray over midnight":              {"forays", foray(`,"site":"S2","start":"21:00","end":"01:30","endDate":"2026-10-25"`), 200, "", `"hours":4.5`},
		"nobody came":                        {"forays", foray(`,"site":"S2","people":0`), 422, "people", "0 people can't have looked"},
		"fewer than nobody":                  {"forays", foray(`,"site":"S2","people":-2`), 422, "people", "-2 people"},
		"the same person with another spelling": {"people", person(`,"name":"Amaru Thistlewik"`), 200, "",
			"Amaru Thistlewick R01 has nearly the same name: is it the same person twice?"},
		"a consent withdrawn before it was given": {"people", person(`,"name":"Wren","consents":[{"about":"name","given":"2026-09-20","withdrawn":"2026-09-01"}]`), 422, "consents", "can't have been withdrawn"},
	} {
		t.Run(name, func(t *testing.T) {
			status, answer := c.do("PUT", "/api/"+k.path+"/"+string(s.ID()), []byte(strings.Replace(k.body, `9","name"`, fmt.Sprintf(`%d","name"`, len(name)+100), 1)), "application/json")
			if status != k.status || !strings.Contains(answer, k.says) {
				t.Fatalf("status %d, want %d and %q: %s", status, k.status, k.says, answer)
			}
			if k.field == "" {
				return
			}
			var p Problem
			if err := json.Unmarshal([]byte(answer), &p); err != nil {
				t.Fatal(err)
			}
			fields := p.Field
			for _, f := range p.Faults {
				fields += " " + f.Field
			}
			if !strings.Contains(fields, k.field) {
				t.Errorf("it is said about %q, not about %q: %s", fields, k.field, answer)
			}
		})
	}
}
