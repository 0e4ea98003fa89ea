package app_test

import (
	"bytes"
	"encoding/json"
	"os"
	"reflect"
	"testing"

	"trug"
	"trug/internal/app"
	"trug/internal/app/apptest"
)

// forPhones is what the test of the phone's rulings goes by (rulings-here.test.ts):
// what a phone holds, and what the server answers.
type forPhones struct {
	Sites   []app.HeldSite `json:"sites"`
	Nowhere []app.Ruling   `json:"nowhere"`
	Cases   []phoneCase    `json:"cases"`
}

type phoneCase struct {
	Asked   app.RulingsAsked `json:"asked"`
	Rulings []app.Ruling     `json:"rulings"`
}

// TestRulingsForPhones holds what the server says of many places, days and names, by
// which the phone's rulings are tested; write it anew with WRITE=1. Only of open sites
// does a phone learn where they lie, and of none that private ground is near.
func TestRulingsForPhones(t *testing.T) {
	s := apptest.New(t, "2026-10-10")
	v := s.As("R08")
	held, err := s.Held(t.Context(), v)
	if err != nil {
		t.Fatal(err)
	}
	out := forPhones{Nowhere: plainly(held.Nowhere)}
	open := map[string]bool{}
	for _, x := range s.Demo.Sites {
		open[x.Code] = x.Open
	}
	lands := 0
	for _, h := range held.Sites {
		if h.Land == nil {
			continue
		}
		if lands++; !open[h.Code] {
			t.Errorf("%s is private ground, and the phone is told where it lies", h.Code)
		}
		land := *h.Land
		land.Leaves = plainly(land.Leaves)
		out.Sites = append(out.Sites, app.HeldSite{Code: h.Code, Name: h.Name, Hazards: []string{}, Rulings: []app.Ruling{}, Land: &land})
	}
	if lands == 0 || lands == len(s.Demo.Sites) {
		t.Fatalf("the phone is told where %d of %d sites lie", lands, len(s.Demo.Sites))
	}
	ask := func(asked app.RulingsAsked) {
		got, err := s.Rulings(t.Context(), v, asked)
		if err != nil {
			t.Fatal(err)
		}
		out.Cases = append(out.Cases, phoneCase{asked, plainly(got)})
	}
	ask(app.RulingsAsked{})
	const degree = 111_200 // metres of latitude
	for i, x := range s.Demo.Sites {
		at := func(part, unsure float64) *app.EditablePlace {
			return &app.EditablePlace{Lat: float64(x.Centre.Lat) + part*float64(x.Radius)/degree, Lon: float64(x.Centre.Lon), Uncertainty: unsure, Source: trug.FromPin}
		}
		for _, part := range []float64{0, .5, .97, 1.01, 1.3} {
			ask(app.RulingsAsked{Place: at(part, 10), Date: "2026-10-10"})
		}
		ask(app.RulingsAsked{Place: at(.9, 90), Date: "2026-10-10"})
		// So wide a place tells nothing of any land, private or not.
		ask(app.RulingsAsked{Place: at(0, 2000), Date: "2026-10-10"})
		if wide := out.Cases[len(out.Cases)-1].Rulings; !reflect.DeepEqual(wide, out.Nowhere) {
			t.Errorf("%s within 2 km: %+v, want what is said of nobody's land", x.Code, wide)
		}
		ask(app.RulingsAsked{Place: at(0, 10), Date: "2026-01-05"})
		ask(app.RulingsAsked{Place: at(0, 10), Date: "2026-10-10", Name: []string{"Mycena pura", string(s.Demo.Protections[0].Name)}[i%2]})
	}
	text, err := json.MarshalIndent(out, "", " ")
	if err != nil {
		t.Fatal(err)
	}
	const file = "../web/ui/src/recorder/rulings-from-go.json"
	if os.Getenv("WRITE") != "" {
		if err := os.WriteFile(file, append(text, '\n'), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	if was, err := os.ReadFile(file); err != nil || !bytes.Equal(bytes.TrimSpace(was), text) {
		t.Errorf("%s does not hold what the server says: run WRITE=1 go test ./internal/app -run RulingsForPhones (%v)", file, err)
	}
}

// Where an open site is closed, the phone is no longer told where it lies, nor where
// those lie that it may be taken for.
func TestPrivateGroundIsNotOnThePhone(t *testing.T) {
	s := apptest.New(t, "2026-10-10")
	coordinator := s.As("R02")
	list, err := s.Sites(t.Context(), coordinator, app.DeskQuery{})
	if err != nil {
		t.Fatal(err)
	}
	for _, line := range list.Lines {
		sheet, err := s.Site(t.Context(), coordinator, line.ID)
		if err != nil {
			t.Fatal(err)
		}
		e := sheet
		e.Open = false
		if _, err := s.SaveSite(t.Context(), coordinator, line.ID, e); err != nil {
			t.Fatal(err)
		}
	}
	for _, who := range []string{"R08", "R02"} {
		held, err := s.Held(t.Context(), s.As(who))
		if err != nil {
			t.Fatal(err)
		}
		for _, h := range held.Sites {
			if h.Land != nil {
				t.Errorf("%s' phone is told where %s lies", who, h.Code)
			}
		}
	}
}

// plainly leaves out what other languages need.
func plainly(list []app.Ruling) []app.Ruling {
	out := []app.Ruling{}
	for _, r := range list {
		r.Said = nil
		out = append(out, r)
	}
	return out
}
