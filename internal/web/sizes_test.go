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

// sizesSamples are the rows of TestEveryRouteByEveryRole on field cards and sizes.
func sizesSamples(t *testing.T, s apptest.Season, h http.Handler) map[string]func() sample {
	p, err := s.TakePhotograph(t.Context(), s.As("R08"), "card.jpg", bytes.NewReader(apptest.CardJPEG(t, "reference", 0)))
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
	given := fmt.Sprintf(`{"view":%q,"kind":"length","character":"cap_diameter","figures":[{"points":[{"x":940,"y":260},{"x":1260,"y":260}]}],"aboveFrom":0,"aboveTo":5}`, view)
	size := s.ID()
	if status, answer := newClient(t, s, h, "R08").do("PUT", "/api/sizes/"+string(size), []byte(given), "application/json"); status != 200 {
		t.Fatalf("a size: %d %s", status, answer)
	}
	batch := func(code string) string {
		b := s.ID()
		if code == "" {
			return "/api/cards/" + string(b) + "/control-line"
		}
		if _, _, err := s.MakeCards(t.Context(), s.As(code), app.GivenCards{ID: b, Layout: "large", Paper: "A4"}); err != nil {
			t.Fatal(err)
		}
		return "/api/cards/" + string(b) + "/control-line"
	}
	// R08's find is measured by R08, determiners and the coordinator.
	others := []trug.Role{trug.Leader}
	return map[string]func() sample{
		"GET /api/views/{id}/card": func() sample { return sample{path: "/api/views/" + view + "/card"} },
		"POST /api/views/{id}/outline": func() sample {
			return sample{path: "/api/views/" + view + "/outline", body: `{"stroke":[{"x":1100,"y":250}]}`, refusedToo: others}
		},
		"POST /api/views/{id}/snap": func() sample {
			return sample{path: "/api/views/" + view + "/snap", body: `{"at":{"x":1255,"y":260},"other":{"x":1000,"y":260},"within":20}`, refusedToo: others}
		},
		"POST /api/sizes":     func() sample { return sample{path: "/api/sizes", body: given, refusedToo: others} },
		"PUT /api/sizes/{id}": func() sample { return sample{path: "/api/sizes/" + string(s.ID()), body: given, refusedToo: others} },
		"POST /api/sizes/{id}/take-back": func() sample {
			return sample{path: "/api/sizes/" + string(size) + "/take-back", body: `{}`, refusedToo: []trug.Role{trug.Leader, trug.DeterminerRole}}
		},
		"GET /api/cards": func() sample { return sample{path: "/api/cards"} },
		"POST /api/cards": func() sample {
			return sample{path: "/api/cards", body: fmt.Sprintf(`{"id":%q,"layout":"pocket","paper":"A4","several":true}`, s.ID())}
		},
		"PUT /api/cards/{id}/control-line": func() sample { return sample{of: batch, body: `{"mm":97.5}`} },
	}
}
