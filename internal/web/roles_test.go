package web

import (
	"bytes"
	"encoding/json"
	"fmt"
	"io"
	"maps"
	"net/http"
	"net/http/httptest"
	"slices"
	"sync/atomic"
	"testing"

	"trug"
	"trug/internal/app"
	"trug/internal/app/apptest"
)

// codes of people of the invented season who have one role alone, or as few
// as there are: a leader is a recorder too, the coordinator all three.
var personOf = map[trug.Role]string{trug.Coordinator: "R02", trug.DeterminerRole: "D1", trug.Leader: "R01", trug.RecorderRole: "R08", trug.Outsider: ""}

// client asks a test server as one person.
type client struct {
	t       *testing.T
	handler http.Handler
	cookie  string
	head    map[string]string
}

// with returns a client whose requests say more in their heads.
func (c client) with(head map[string]string) client {
	c.head = head
	return c
}

func newClient(t *testing.T, s apptest.Season, h http.Handler, code string) client {
	c := client{t: t, handler: h}
	if code != "" {
		c.cookie = s.Token(code)
	}
	return c
}

func (c client) do(method, path string, body []byte, kind string) (int, string) {
	c.t.Helper()
	w := httptest.NewRecorder()
	c.handler.ServeHTTP(w, c.request(method, path, body, kind))
	answer, _ := io.ReadAll(w.Body)
	return w.Code, string(answer)
}

// request is what the client's browser sends.
func (c client) request(method, path string, body []byte, kind string) *http.Request {
	r := httptest.NewRequest(method, "http://trug.test"+path, bytes.NewReader(body))
	r.Header.Set("Content-Type", kind)
	r.Header.Set("Sec-Fetch-Site", "same-origin")
	for name, value := range c.head {
		r.Header.Set(name, value)
	}
	if c.cookie != "" {
		r.AddCookie(&http.Cookie{Name: sessionCookie, Value: c.cookie})
	}
	return r
}

// sample is a request that a permitted person gets through.
type sample struct {
	path string
	body string
	kind string
	// own adds roles whose permission hangs on the record being their own.
	refusedToo []trug.Role
	// of makes the path for the person who asks, where it names what is theirs.
	of func(code string) string
	// head holds what the request's head says beyond that.
	head map[string]string
	// gives is the status that whoever is permitted gets, where it is not 200.
	gives int
}

// samples gives a request for each route of the table; a route without one
// fails the test.
func samples(t *testing.T, s apptest.Season, h http.Handler) map[string]func() sample {
	record := string(s.Record("W26-0104"))
	own := newRecord(t, s, h)
	photograph := own.photograph
	status, answer := newClient(t, s, h, "R02").do("POST", "/api/deposits", []byte(fmt.Sprintf(`{"id":%q}`, s.ID())), "application/json")
	if status != 200 {
		t.Fatalf("a deposit to ask for: %d %s", status, answer)
	}
	page, err := s.Deposits(t.Context(), s.Outsider())
	if err != nil {
		t.Fatal(err)
	}
	plain := func(path string) func() sample { return func() sample { return sample{path: path} } }
	rows := map[string]func() sample{
		"GET /api/season":   plain("/api/season"),
		"GET /api/setup":    plain("/api/setup"),
		"POST /api/seasons": func() sample { return sample{path: "/api/seasons", body: `{}`} },
		"GET /api/daybook":  plain("/api/daybook"),
		"POST /api/photographs": func() sample {
			return sample{path: "/api/photographs?name=a.jpg", body: string(apptest.JPEG(t, 77)), kind: "application/octet-stream"}
		},
		"GET /api/photographs/{id}/advice": func() sample {
			return sample{path: "/api/photographs/" + string(photograph) + "/advice?kind=top", refusedToo: []trug.Role{trug.Leader}}
		},
		"GET /api/photographs/{id}/{size}": plain("/api/photographs/" + string(photograph) + "/thumb"),
		"GET /api/records":                 plain("/api/records?limit=5"),
		"PUT /api/records/{id}": func() sample {
			return sample{path: "/api/records/" + string(s.ID()), body: `{"found":{"date":"2026-10-10"},"fieldName":"Mycena","views":[]}`}
		},
		"GET /api/records/{id}": plain("/api/records/" + record),
		"GET /api/records/{id}/history": func() sample {
			return sample{path: "/api/records/" + string(own.id) + "/history", refusedToo: []trug.Role{trug.DeterminerRole, trug.Leader}}
		},
		"POST /api/records/{id}/views/{view}/take-out": func() sample {
			// Taken out once, it is out: doing it again changes nothing.
			return sample{path: "/api/records/" + string(own.id) + "/views/" + string(own.view) + "/take-out", body: `{}`,
				refusedToo: []trug.Role{trug.DeterminerRole, trug.Leader}}
		},
		"POST /api/records/{id}/flap": func() sample { return sample{path: "/api/records/" + record + "/flap", body: `{}`} },
		"POST /api/records/{id}/determinations": func() sample {
			return sample{path: "/api/records/" + record + "/determinations", body: fmt.Sprintf(`{"id":%q,"name":"Mycena pura","basis":["description"]}`, s.ID())}
		},
		"GET /api/records/{id}/questions": func() sample {
			return sample{path: "/api/records/" + string(own.id) + "/questions", refusedToo: []trug.Role{trug.DeterminerRole, trug.Leader}}
		},
		"POST /api/records/{id}/answers": func() sample {
			return sample{path: "/api/records/" + string(own.id) + "/answers", body: `{"character":"cap_color","states":["red"]}`,
				refusedToo: []trug.Role{trug.DeterminerRole, trug.Leader}}
		},
		"POST /api/records/{id}/key": func() sample {
			return sample{path: "/api/records/" + record + "/key", body: `{"answers":[{"character":"cap_color","states":["red"]}]}`}
		},
		"POST /api/records/{id}/passes": func() sample {
			return sample{path: "/api/records/" + record + "/passes", body: fmt.Sprintf(`{"id":%q}`, s.ID())}
		},
		"POST /api/records/{id}/requests": func() sample {
			return sample{path: "/api/records/" + record + "/requests", body: fmt.Sprintf(`{"id":%q,"view":"base"}`, s.ID())}
		},
		"POST /api/records/{id}/requests/{request}/end": func() sample {
			// Of R08's own record; who only records something else, leads or determines has nothing to do with it.
			asked, err := s.AskFor(t.Context(), s.As("R02"), own.id, app.GivenRequest{ID: s.ID(), View: trug.SporePrint})
			if err != nil || len(asked.Asked) == 0 {
				t.Fatalf("a request to end: %v", err)
			}
			return sample{path: fmt.Sprintf("/api/records/%s/requests/%s/end", own.id, asked.Asked[0].ID), body: `{"how":"gone"}`,
				refusedToo: []trug.Role{trug.DeterminerRole, trug.Leader, trug.Coordinator}}
		},
		"GET /api/table":                     plain("/api/table"),
		"GET /api/names":                     plain("/api/names?starts=lac"),
		"POST /api/place":                    func() sample { return sample{path: "/api/place", body: `{"text":"48.5, -19.9"}`} },
		"GET /api/ground":                    plain("/api/ground"),
		"GET /api/squares":                   plain("/api/squares?side=1000"),
		"GET /api/deposits":                  plain("/api/deposits"),
		"GET /api/deposits/next":             plain("/api/deposits/next"),
		"POST /api/deposits":                 func() sample { return sample{path: "/api/deposits", body: fmt.Sprintf(`{"id":%q}`, s.ID())} },
		"GET /api/deposits/{public}/archive": plain("/api/deposits/" + string(page.Deposits[0].Public) + "/archive"),
		"GET /api/people":                    plain("/api/people"),
		"POST /api/people": func() sample {
			return sample{path: "/api/people", body: fmt.Sprintf(`{"id":%q,"name":"Wren","roles":["recorder"]}`, s.ID())}
		},
		"GET /api/people/{id}": plain("/api/people/" + string(s.As("R03").Person.ID)),
		"PUT /api/people/{id}": func() sample {
			return sample{path: "/api/people/" + string(s.ID()), body: `{"id":"","name":"Wren","roles":["recorder"],"groups":[],"consents":[],"link":"","notes":[]}`}
		},
		"GET /api/care": plain("/api/care"),
		"PUT /api/protected/{id}": func() sample {
			return sample{path: "/api/protected/" + string(s.Demo.Protections[0].ID), body: `{"id":"","name":"Hericium erinaceus","reason":"few trees","category":2,"finds":0}`}
		},
		"POST /api/protected/{id}/take-off": func() sample {
			return sample{path: "/api/protected/" + string(s.Demo.Protections[2].ID) + "/take-off", body: `{}`}
		},
		"PUT /api/look-alikes/{id}": func() sample {
			x := s.Demo.LookAlikes[0]
			return sample{path: "/api/look-alikes/" + string(x.ID), body: fmt.Sprintf(`{"id":"","name":%q,"takenFor":%q,"views":["side"]}`, x.Name, x.TakenFor)}
		},
		"POST /api/look-alikes/{id}/take-off": func() sample {
			return sample{path: "/api/look-alikes/" + string(s.Demo.LookAlikes[1].ID) + "/take-off", body: `{}`}
		},
		"GET /api/people/offers": plain("/api/people/offers?text=r0&only=leader"),
		"GET /api/sites":         plain("/api/sites?text=wood&only=notes&sort=name&from=0&limit=5"),
		"GET /api/sites/offers":  plain("/api/sites/offers?text=s1"),
		"GET /api/sites/map":     plain("/api/sites/map"),
		"GET /api/sites/{id}":    plain("/api/sites/" + string(s.Demo.Sites[0].ID)),
		"PUT /api/sites/{id}": func() sample {
			return sample{path: "/api/sites/" + string(s.ID()), body: fmt.Sprintf(`{"id":"","code":"S%s","name":"Nab","lat":48.5,"lon":-19.9,"radius":100,"open":true,"habitat":[],"outline":[],"hazards":[],"forays":0,"records":0,"notes":[]}`, s.ID()[29:])}
		},
		"GET /api/forays":        plain("/api/forays?only=coming&limit=5"),
		"GET /api/forays/offers": plain("/api/forays/offers?only=led"),
		"GET /api/forays/{id}":   plain("/api/forays/" + foray(t, s, "O01")),
		"PUT /api/forays/{id}": func() sample {
			return sample{path: "/api/forays/" + string(s.ID()), body: fmt.Sprintf(`{"id":"","code":"F%s","name":"Nab","site":"S1","date":"2026-10-20","route":[],"targets":[],"notFound":[],"scope":[],"siteName":"","records":0,"notes":[]}`, s.ID()[29:])}
		},
		"POST /api/forays/{id}/sign-up": func() sample {
			return sample{path: "/api/forays/" + foray(t, s, "O08") + "/sign-up", body: `{"comes":true}`}
		},
		"POST /api/forays/{id}/heads": func() sample {
			return sample{path: "/api/forays/" + foray(t, s, "O08") + "/heads", body: `{"people":14}`}
		},
		"GET /api/forays/{id}/table": plain("/api/forays/" + foray(t, s, "O01") + "/table"),
		"PUT /api/forays/{id}/table": func() sample {
			return sample{path: "/api/forays/" + foray(t, s, "O01") + "/table", body: fmt.Sprintf(`{"rows":[{"id":%q,"name":"Mycena pura"}]}`, s.ID())}
		},
		"POST /api/forays/{id}/table/out": func() sample {
			return sample{path: "/api/forays/" + foray(t, s, "O01") + "/table/out", body: `{"rows":[]}`}
		},
		"POST /api/forays/{id}/sign-ups": func() sample {
			return sample{path: "/api/forays/" + foray(t, s, "O08") + "/sign-ups", body: `{"add":["R08"]}`}
		},
		// Handed on to the one who leads it, so that the next role finds it as it was.
		"POST /api/forays/{id}/hand-on": func() sample {
			return sample{path: "/api/forays/" + foray(t, s, "O01") + "/hand-on", body: `{"to":"R01"}`}
		},
		"GET /api/leaders": plain("/api/leaders"),
		"GET /api/slips":   plain("/api/slips"),
		"PUT /api/slips/{id}": func() sample {
			return sample{path: "/api/slips/" + string(s.ID()), body: `{"count":8}`}
		},
		"POST /api/photographs/names": func() sample {
			return sample{path: "/api/photographs/names", body: `{"files":[{"file":"W26-0104 top.jpg"}]}`}
		},
		"POST /api/records/{id}/views": func() sample {
			return sample{path: "/api/records/" + string(own.id) + "/views", body: fmt.Sprintf(`{"views":[{"photograph":%q,"kind":"top","again":true}]}`, photograph),
				refusedToo: []trug.Role{trug.DeterminerRole, trug.Leader}}
		},
		"GET /api/settings": plain("/api/settings"),
		"PUT /api/settings": func() sample {
			set, err := s.Settings(t.Context(), s.As("R02"))
			if err != nil {
				t.Fatal(err)
			}
			body, err := json.Marshal(set)
			if err != nil {
				t.Fatal(err)
			}
			return sample{path: "/api/settings", body: string(body)}
		},
		"POST /api/settings/open": func() sample { return sample{path: "/api/settings/open", body: `{}`} },
		"GET /api/prompts":        plain("/api/prompts?site=S1&date=2026-10-10"),
		"POST /api/prompts": func() sample {
			return sample{path: "/api/prompts", body: `{"place":{"lat":48.5,"lon":-19.9,"source":"pin"},"date":"2026-10-10"}`}
		},
		"GET /api/forays/coming": plain("/api/forays/coming"),
		"POST /api/outline": func() sample {
			return sample{path: "/api/outline?name=a.geojson", body: `{"type":"Polygon","coordinates":[[[-19.9,48.5],[-19.89,48.5],[-19.89,48.51],[-19.9,48.5]]]}`, kind: "application/geo+json"}
		},
		"POST /api/outline/check": func() sample {
			return sample{path: "/api/outline/check", body: `{"rings":[[[-19.9,48.5],[-19.89,48.5],[-19.89,48.51]]]}`}
		},
		"POST /api/route": func() sample {
			return sample{path: "/api/route?name=a.geojson", body: `{"type":"LineString","coordinates":[[-19.9,48.5],[-19.89,48.5]]}`, kind: "application/geo+json"}
		},
		"GET /api/paper/{sheet}":  plain("/api/paper/leaders-sheet.pdf?foray=" + foray(t, s, "O08")),
		"GET /api/tables/{name}":  plain("/api/tables/sites.csv"),
		"POST /api/tables/{name}": func() sample { return sample{path: "/api/tables/sites.csv", body: "code,name\n", kind: "text/csv"} },
		"GET /api/key":            plain("/api/key"),
		"PUT /api/key":            func() sample { return sample{path: "/api/key", body: `{"learns":false,"expects":false}`} },
		"GET /api/key/{name}":     plain("/api/key/matrix.csv"),
		"POST /api/key/{name}": func() sample {
			return sample{path: "/api/key/matrix", body: "taxon,name,remarks,cap_color\n1,Mycena pura,,lilac\n", kind: "text/csv"}
		},
		"POST /api/key/{name}/take-out": func() sample { return sample{path: "/api/key/matrix/take-out", body: `{}`} },
		"POST /api/checklist": func() sample {
			return sample{path: "/api/checklist", body: "name\nLycogala conicum\n", kind: "text/csv"}
		},
		"GET /api/drawing":   plain("/api/drawing"),
		"POST /api/leave":    func() sample { return sample{path: "/api/leave", body: `{}`} },
		"GET /enter/{token}": plain("/enter/none"),
		"GET /{path...}":     plain("/book"),
	}
	maps.Copy(rows, entrySamples(t, s))
	maps.Copy(rows, rightsSamples(t, s, own))
	maps.Copy(rows, sizesSamples(t, s, h))
	maps.Copy(rows, colourSamples(t, s, h))
	maps.Copy(rows, fieldSamples(t, s))
	return rows
}

// foray returns the identifier of the foray with the code.
func foray(t *testing.T, s apptest.Season, code string) string {
	t.Helper()
	for _, y := range s.Demo.Forays {
		if y.Code == code {
			return string(y.ID)
		}
	}
	t.Fatalf("the invented season has no foray %s", code)
	return ""
}

// ownRecord is a record with two views, and an identifier for a mark.
type ownRecord struct{ id, photograph, view, second, mark trug.ID }

// made counts photographs, so that none is handed in twice.
var made atomic.Uint64

// newRecord makes a record of the recorder's with two photographs.
func newRecord(t *testing.T, s apptest.Season, h http.Handler) ownRecord {
	p, err := s.TakePhotograph(t.Context(), s.As("R08"), "own.jpg", bytes.NewReader(apptest.JPEG(t, 5000+made.Add(1))))
	if err != nil {
		t.Fatal(err)
	}
	q, err := s.TakePhotograph(t.Context(), s.As("R08"), "second.jpg", bytes.NewReader(apptest.JPEG(t, 5000+made.Add(1))))
	if err != nil {
		t.Fatal(err)
	}
	id := s.ID()
	body := fmt.Sprintf(`{"found":{"date":"2026-10-10"},"views":[{"photograph":%q,"kind":"top"},{"photograph":%q,"kind":"side"}]}`, p.ID, q.ID)
	status, answer := newClient(t, s, h, "R08").do("PUT", "/api/records/"+string(id), []byte(body), "application/json")
	if status != 200 {
		t.Fatalf("a record of one's own: %d %s", status, answer)
	}
	sheet, err := s.App.Record(t.Context(), s.As("R08"), id)
	if err != nil {
		t.Fatal(err)
	}
	return ownRecord{id, p.ID, sheet.Views[0].ID, sheet.Views[1].ID, s.ID()}
}

// Every route is asked by every role: those of the table of permissions get
// through, the others are refused, outsiders as not come in.
func TestEveryRouteByEveryRole(t *testing.T) {
	s := apptest.New(t, "2026-10-10")
	h := Handler(s.App, Options{})
	requests := samples(t, s, h)
	for _, r := range (&server{app: s.App}).routes() {
		key := r.method + " " + r.path
		request, ok := requests[key]
		if !ok {
			t.Errorf("%s has no row in this test: add one", key)
			continue
		}
		for _, role := range trug.Roles {
			t.Run(key+" as "+string(role), func(t *testing.T) {
				q := request()
				if q.kind == "" {
					q.kind = "application/json"
				}
				if q.of != nil {
					q.path = q.of(personOf[role])
				}
				status, body := newClient(t, s, h, personOf[role]).with(q.head).do(r.method, q.path, []byte(q.body), q.kind)
				if want := wanted(s, r, q, role); !slices.Contains(want, status) {
					t.Errorf("status %d, want one of %v: %s", status, want, body)
				}
			})
		}
	}
}

// wanted returns the statuses that a role may get.
func wanted(s apptest.Season, r route, q sample, role trug.Role) []int {
	switch {
	case r.setup && r.method == "POST":
		return []int{403, 422} // no season is set up without the link
	case r.path == "/enter/{token}":
		return []int{404}
	case r.action == "":
		return []int{200}
	}
	v := s.Outsider()
	if role != trug.Outsider {
		v = s.As(personOf[role])
	}
	switch {
	case !v.May(r.action) && role == trug.Outsider:
		return []int{401}
	case !v.May(r.action) || slices.Contains(q.refusedToo, role):
		return []int{403}
	case q.gives != 0:
		return []int{q.gives}
	default:
		return []int{200}
	}
}

// Somebody else's record can't be changed by a recorder.
func TestOthersRecordsStayTheirs(t *testing.T) {
	s := apptest.New(t, "2026-10-10")
	h := Handler(s.App, Options{})
	own := newRecord(t, s, h)
	for code, want := range map[string]int{"R08": 200, "R02": 200, "R01": 404, "D1": 404, "": 401} {
		body := `{"found":{"date":"2026-10-09"},"fieldName":"Mycena","views":[]}`
		if status, answer := newClient(t, s, h, code).do("PUT", "/api/records/"+string(own.id), []byte(body), "application/json"); status != want {
			t.Errorf("changed by %q: %d, want %d: %s", code, status, want, answer)
		}
	}
	if status, _ := newClient(t, s, h, "R01").do("GET", "/api/photographs/"+string(own.photograph)+"/original", nil, ""); status != 403 {
		t.Errorf("another recorder got the original: %d", status)
	}
}
