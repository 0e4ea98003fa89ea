package web

import (
	"fmt"
	"testing"

	"trug"
	"trug/internal/app"
	"trug/internal/app/apptest"
)

// rightsSamples gives a request for each route on the rights of people.
func rightsSamples(t *testing.T, s apptest.Season, own ownRecord) map[string]func() sample {
	plain := func(path string) func() sample { return func() sample { return sample{path: path} } }
	return map[string]func() sample{
		"POST /api/records/{id}/views/{view}/mark": func() sample {
			return sample{path: "/api/records/" + string(own.id) + "/views/" + string(own.second) + "/mark", body: fmt.Sprintf(`{"id":%q}`, own.mark)}
		},
		// Of R08 others but the coordinator learn nothing; one's own is asked for as "me".
		"GET /api/kept/{id}":          plain("/api/kept/me"),
		"GET /api/kept/{id}/copy.zip": plain("/api/kept/me/copy.zip"),
		"POST /api/kept/{id}/withdraw": func() sample {
			return sample{path: "/api/kept/me/withdraw", body: `{"about":"name"}`}
		},
		"POST /api/kept/{id}/take-out": func() sample {
			// Whoever is gone can't ask again: by a wrong name it is refused.
			return sample{path: "/api/kept/me/take-out", body: `{"name":"somebody else"}`, gives: 422}
		},
		"GET /api/kept/{id}/mentions": plain("/api/kept/me/mentions"),
		"POST /api/kept/{id}/ask": func() sample {
			return sample{path: "/api/kept/me/ask", body: fmt.Sprintf(`{"id":%q}`, s.ID())}
		},
		"POST /api/kept/{id}/ask-no-more": func() sample { return sample{path: "/api/kept/me/ask-no-more", body: `{}`} },
		"POST /api/records/{id}/take-out": func() sample {
			// It stands, so putting it back changes nothing for whoever comes next.
			return sample{path: "/api/records/" + string(own.id) + "/take-out", body: `{"back":true}`, refusedToo: []trug.Role{trug.DeterminerRole, trug.Leader}}
		},
		"GET /api/wishes": plain("/api/wishes"),
		"POST /api/wishes/{id}/decline": func() sample {
			id := s.ID()
			if _, err := s.AskOut(t.Context(), s.As("R08"), "me", app.GivenWish{ID: id}); err != nil {
				t.Fatal(err)
			}
			page, err := s.Wishes(t.Context(), s.As("R02"))
			if err != nil {
				t.Fatal(err)
			}
			return sample{path: "/api/wishes/" + string(page.Wishes[0].ID) + "/decline", body: `{"how":"unsure"}`}
		},
		"GET /api/marks": plain("/api/marks"),
		"POST /api/views/{id}/clear": func() sample {
			return sample{path: "/api/views/" + string(own.second) + "/clear", body: `{"why":"nobody"}`}
		},
		"POST /api/views/{id}/crop": func() sample {
			return sample{path: "/api/views/" + string(own.second) + "/crop", body: `{"left":0,"top":0,"width":0.9,"height":0.9}`,
				refusedToo: []trug.Role{trug.DeterminerRole, trug.Leader}}
		},
		"GET /api/audit":     plain("/api/audit?what=looks"),
		"GET /api/audit.csv": plain("/api/audit.csv?what=changes"),
	}
}
