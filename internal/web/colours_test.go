package web

import (
	"bytes"
	"fmt"
	"net/http"
	"testing"

	"trug"
	"trug/internal/app"
	"trug/internal/app/apptest"
)

// colourSamples are the rows of TestEveryRouteByEveryRole on measured colours.
func colourSamples(t *testing.T, s apptest.Season, h http.Handler) map[string]func() sample {
	p, err := s.TakePhotograph(t.Context(), s.As("R08"), "colour.jpg", bytes.NewReader(apptest.CardJPEG(t, "pocket", 9)))
	if err != nil {
		t.Fatal(err)
	}
	id := s.ID()
	body := fmt.Sprintf(`{"found":{"date":"2026-10-10"},"views":[{"photograph":%q,"kind":"top"}]}`, p.ID)
	if status, answer := newClient(t, s, h, "R08").do("PUT", "/api/records/"+string(id), []byte(body), "application/json"); status != 200 {
		t.Fatalf("a record with a card: %d %s", status, answer)
	}
	sheet, err := s.App.Record(t.Context(), s.As("R08"), id)
	if err != nil {
		t.Fatal(err)
	}
	view := string(sheet.Views[0].ID)
	given := fmt.Sprintf(`{"view":%q,"way":"tap","points":[{"x":1100,"y":260}],"radius":40,"character":"cap_color"}`, view)
	made := s.ID()
	if status, answer := newClient(t, s, h, "R08").do("PUT", "/api/colours/"+string(made), []byte(given), "application/json"); status != 200 {
		t.Fatalf("a colour: %d %s", status, answer)
	}
	table := apptest.CardTable(t, "large")
	batch := func(code string) string {
		b := s.ID()
		if code != "" {
			if _, _, err := s.MakeCards(t.Context(), s.As(code), app.GivenCards{ID: b, Layout: "large", Paper: "A4"}); err != nil {
				t.Fatal(err)
			}
			if _, err := s.SayCardColours(t.Context(), s.As(code), b, table); err != nil {
				t.Fatal(err)
			}
		}
		return "/api/cards/" + string(b) + "/colours"
	}
	others := []trug.Role{trug.Leader}
	return map[string]func() sample{
		"POST /api/colours":     func() sample { return sample{path: "/api/colours", body: given, refusedToo: others} },
		"PUT /api/colours/{id}": func() sample { return sample{path: "/api/colours/" + string(s.ID()), body: given, refusedToo: others} },
		"POST /api/colours/{id}/describe": func() sample {
			again := s.ID()
			if status, answer := newClient(t, s, h, "R08").do("PUT", "/api/colours/"+string(again), []byte(given), "application/json"); status != 200 {
				t.Fatalf("a colour: %d %s", status, answer)
			}
			return sample{path: "/api/colours/" + string(again) + "/describe", body: `{}`, refusedToo: []trug.Role{trug.Leader, trug.DeterminerRole}}
		},
		"POST /api/colours/{id}/take-back": func() sample {
			return sample{path: "/api/colours/" + string(made) + "/take-back", body: `{}`, refusedToo: []trug.Role{trug.Leader, trug.DeterminerRole}}
		},
		"GET /api/views/{id}/corrected": func() sample { return sample{path: "/api/views/" + view + "/corrected"} },
		"GET /api/cards/{id}/colours":   func() sample { return sample{of: batch} },
		"PUT /api/cards/{id}/colours":   func() sample { return sample{of: batch, body: string(table), kind: "text/csv"} },
	}
}
