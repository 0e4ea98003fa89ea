package web

import (
	"bytes"
	"context"
	"encoding/json"
	"log/slog"
	"net/http/httptest"
	"strings"
	"testing"

	"trug/internal/app/apptest"
)

// What can't be taken is answered with a sentence for people, whatever is wrong.
func TestBadRequestsAreAnsweredInSentences(t *testing.T) {
	s := apptest.New(t, "2026-10-10")
	h := Handler(s.App, Options{})
	id := string(s.ID())
	for name, c := range map[string]struct {
		method, path, body, kind string
		status                   int
		says                     string
	}{
		"no JSON":             {"PUT", "/api/records/" + id, "oak", "application/json", 400, ""},
		"a text for a number": {"PUT", "/api/records/" + id, `{"found":{"date":"2026-10-10"},"views":[],"numberSeen":"many"}`, "application/json", 422, ""},
		"no such record":      {"GET", "/api/records/" + id, "", "", 404, "no such record"},
		"an ID that is none":  {"GET", "/api/records/../../etc/passwd", "", "", 307, ""},
		"a text as picture":   {"POST", "/api/photographs?name=notes.jpg", "oak, north side", "application/octet-stream", 422, "not a JPEG"},
		"an empty picture":    {"POST", "/api/photographs?name=e.jpg", "", "application/octet-stream", 422, "empty"},
		"no such fact":        {"GET", "/api/records?fact=handsome", "", "", 422, "no such fact"},
		"a side of 7 m":       {"GET", "/api/squares?side=7", "", "", 422, "100, 1000 or 10000"},
		"no place":            {"POST", "/api/place", `{"text":"by the oak"}`, "application/json", 422, ""},
		"latitude 123":        {"POST", "/api/place", `{"text":"123.4, -19.9"}`, "application/json", 422, "latitude"},
		"a bad checklist":     {"POST", "/api/checklist", "genus;species\nMycena;pura", "text/csv", 422, "no column called name"},
		"a spreadsheet":       {"POST", "/api/checklist", "PK\x03\x04xyz", "text/csv", 422, "save it as CSV"},
		"cards of no kind":    {"POST", "/api/cards", `{"id":"` + id + `","layout":"reference","paper":"A4"}`, "application/json", 422, "pocket or large"},
		"cards in no JSON":    {"POST", "/api/cards", "ten please", "application/json", 422, "reload the page"},
		"a size in no view":   {"PUT", "/api/sizes/" + id, `{"view":"` + id + `","kind":"length","figures":[],"aboveFrom":0,"aboveTo":0}`, "application/json", 404, "no such view"},
		"a size of no kind":   {"POST", "/api/sizes", `{"view":"` + id + `","kind":"weight","figures":[],"aboveFrom":0,"aboveTo":0}`, "application/json", 422, ""},
		"a colour in no view": {"PUT", "/api/colours/" + id, `{"view":"` + id + `","way":"tap","points":[{"x":1,"y":1}],"radius":9}`, "application/json", 404, "no such view"},
		"a colour of no way":  {"POST", "/api/colours", `{"view":"` + id + `","way":"smell","points":[]}`, "application/json", 422, ""},
		"colours of no card":  {"PUT", "/api/cards/" + id + "/colours", "patch,L*\n", "text/csv", 404, "no such printing"},
		"nothing there":       {"GET", "/api/none", "", "", 404, "nothing at this address"},
	} {
		t.Run(name, func(t *testing.T) {
			status, body := newClient(t, s, h, "R02").do(c.method, c.path, []byte(c.body), c.kind)
			if status != c.status {
				t.Fatalf("status %d, want %d: %s", status, c.status, body)
			}
			if status == 307 {
				return // the path is cleaned before anything looks at it
			}
			var p Problem
			if err := json.Unmarshal([]byte(body), &p); err != nil {
				t.Fatalf("no problem in JSON: %s", body)
			}
			if p.Says == "" || !strings.Contains(p.Says, c.says) {
				t.Errorf("says %q, want a sentence with %q", p.Says, c.says)
			}
		})
	}
}

// A body larger than a photograph may be is cut off, not read to its end.
func TestTooLargeABody(t *testing.T) {
	s := apptest.New(t, "2026-10-10")
	h := Handler(s.App, Options{})
	status, body := newClient(t, s, h, "R08").do("PUT", "/api/records/"+string(s.ID()), bytes.Repeat([]byte(" "), 5<<20), "application/json")
	if status != 413 {
		t.Errorf("5 MB of record: %d %s", status, body)
	}
}

// A browser that goes away amid an answer is not a fault to log as one; a
// store that does not answer in time is.
func TestOnlyFaultsOfOursAreLoggedAsErrors(t *testing.T) {
	s := apptest.New(t, "2026-10-10")
	gone, leave := context.WithCancel(t.Context())
	leave()
	late, end := context.WithTimeout(t.Context(), 0)
	defer end()
	for name, c := range map[string]struct {
		ctx    context.Context
		status int
		logged bool
	}{"went away": {gone, goneAway, false}, "too late": {late, 500, true}} {
		t.Run(name, func(t *testing.T) {
			var log bytes.Buffer
			h := Handler(s.App, Options{Log: slog.New(slog.NewTextHandler(&log, nil))})
			r := newClient(t, s, h, "R02").request("GET", "/api/daybook", nil, "")
			w := httptest.NewRecorder()
			h.ServeHTTP(w, r.WithContext(c.ctx))
			if w.Code != c.status || strings.Contains(log.String(), "level=ERROR") != c.logged {
				t.Errorf("status %d, logged %q", w.Code, log.String())
			}
		})
	}
}
