package web

import (
	"encoding/json"
	"fmt"
	"log/slog"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"

	"trug/internal/app/apptest"
)

// SQL, markup, formulas and templates in a text are a text: they are kept and
// given back as they were, in JSON that no browser takes for a page. That the
// screens show them as text is tested in ui/src/parts/trusted.test.ts.
func TestTextsStayTexts(t *testing.T) {
	s := apptest.New(t, "2026-10-10")
	h := Handler(s.App, Options{})
	c := newClient(t, s, h, "R08")
	texts := []string{"'; DROP TABLE record; --", `" OR 1=1 --`, "<script>alert(1)</script>", `"><img src=x onerror=alert(1)>`, "{{7*7}} ${7*7} #{7*7}", "=cmd|' /C calc'!A0", "%s%n%x", "\u202eevil", "a\\u0000b", "</textarea><!--"}
	fields := []string{"fieldName", "habit", "host", "remarks", "smell", "namedBy"}
	kept := 0
	for _, text := range texts {
		for _, field := range fields {
			id := string(s.ID())
			sent := map[string]any{"found": map[string]any{"date": "2026-10-10"}, "views": []any{}, "fieldName": "Mycena", field: text}
			body, _ := json.Marshal(sent)
			status, answer := c.do("PUT", "/api/records/"+id, body, "application/json")
			if status == http.StatusUnprocessableEntity {
				continue // a field that takes no such text says so
			}
			if status != 200 {
				t.Errorf("%s %q: %d %s", field, text, status, answer)
				continue
			}
			status, answer = c.do("GET", "/api/records/"+id, nil, "")
			var sheet any
			if err := json.Unmarshal([]byte(answer), &sheet); err != nil || status != 200 {
				t.Fatalf("%s %q: %d %v", field, text, status, err)
			}
			if !holds(sheet, text) {
				t.Errorf("%s %q came back otherwise: %s", field, text, answer)
			}
			kept++
		}
	}
	if kept < len(texts)*3 {
		t.Errorf("only %d texts were kept", kept)
	}
	w := httptest.NewRecorder()
	h.ServeHTTP(w, c.request("GET", "/api/records?text=%3Cscript%3E", nil, ""))
	if kind := w.Header().Get("Content-Type"); !strings.HasPrefix(kind, "application/json") || w.Header().Get("X-Content-Type-Options") != "nosniff" || !strings.Contains(w.Body.String(), "script") {
		t.Errorf("sent as %s: %v %.200s", kind, w.Header(), w.Body)
	}
	if faults, err := s.CheckStore(t.Context(), nil); err != nil || len(faults) > 0 {
		t.Errorf("the store has faults: %v %v", faults, err)
	}
}

// holds reports whether a text stands anywhere in an answer.
func holds(v any, text string) bool {
	switch x := v.(type) {
	case string:
		return strings.Contains(x, text)
	case []any:
		for _, e := range x {
			if holds(e, text) {
				return true
			}
		}
	case map[string]any:
		for _, e := range x {
			if holds(e, text) {
				return true
			}
		}
	}
	return false
}

// Bodies that are built to hurt, wrong kinds, and tricks in identifiers are
// refused with a sentence.
func TestBodiesAndPathsThatHurt(t *testing.T) {
	s := apptest.New(t, "2026-10-10")
	c := newClient(t, s, Handler(s.App, Options{}), "R02")
	id := string(s.ID())
	record := "/api/records/" + id
	good := `{"found":{"date":"2026-10-10"},"fieldName":"Mycena","views":[]}`
	for name, q := range map[string]struct {
		method, path, body, kind string
		status                   []int
	}{
		"arrays nested 100,000 deep":   {"PUT", record, strings.Repeat("[", 100000) + strings.Repeat("]", 100000), "application/json", []int{400, 422}},
		"objects nested 100,000 deep":  {"PUT", record, strings.Repeat(`{"found":`, 100000) + "1" + strings.Repeat("}", 100000), "application/json", []int{400, 422}},
		"nested in an outline":         {"POST", "/api/outline?name=a.geojson", `{"type":"Polygon","coordinates":` + strings.Repeat("[", 100000) + strings.Repeat("]", 100000) + `}`, "application/geo+json", []int{422}},
		"XML nested 100,000 deep":      {"POST", "/api/route?name=a.gpx", strings.Repeat("<a>", 100000), "application/gpx+xml", []int{422}},
		"XML with an outside entity":   {"POST", "/api/route?name=a.gpx", `<!DOCTYPE gpx [<!ENTITY x SYSTEM "file:///etc/passwd">]><gpx><trk><name>&x;</name></trk></gpx>`, "application/gpx+xml", []int{422}},
		"a form":                       {"PUT", record, "a=b", "application/x-www-form-urlencoded", []int{400, 415, 422}},
		"JSON said to be a picture":    {"PUT", record, good, "image/png", []int{415}},
		"JSON in UTF-16":               {"PUT", record, "\xff\xfe{\x00}\x00", "application/json", []int{400}},
		"a text that is not UTF-8":     {"POST", "/api/checklist", "name\n\xff\xfe\xfd\n", "text/csv", []int{422}},
		"a number of 100,000 figures":  {"PUT", record, `{"found":{"date":"2026-10-10"},"views":[],"numberSeen":` + strings.Repeat("9", 100000) + `}`, "application/json", []int{400, 422}},
		"up and away":                  {"GET", "/api/records/..%2f..%2fsecret", "", "", []int{404, 422}},
		"up and away, twice encoded":   {"GET", "/api/records/%252e%252e%252fsecret", "", "", []int{404, 422}},
		"a nought in an identifier":    {"GET", "/api/records/" + id + "%00.jpg", "", "", []int{404, 422}},
		"an identifier in capitals":    {"GET", "/api/records/" + strings.ToUpper(id), "", "", []int{404, 422}},
		"an identifier without end":    {"GET", "/api/records/" + strings.Repeat("a", 20000), "", "", []int{404, 422}},
		"a size that is a path":        {"GET", "/api/photographs/" + id + "/..%2f..%2ftrug.db", "", "", []int{404}},
		"a table that is a path":       {"GET", "/api/tables/..%2f..%2fsecret", "", "", []int{404}},
		"a sheet that is a path":       {"GET", "/api/paper/..%2f..%2fsecret", "", "", []int{404, 422}},
		"an asset that is a path":      {"GET", "/assets/..%2f..%2f..%2fweb.go", "", "", []int{404}},
		"SQL for a sort":               {"GET", "/api/records?sort=number;DROP+TABLE+record", "", "", []int{200, 422}},
		"an identifier sent to be SQL": {"PUT", "/api/records/" + id[:35] + "'", good, "application/json", []int{404, 422}},
	} {
		t.Run(name, func(t *testing.T) {
			status, body := c.do(q.method, q.path, []byte(q.body), q.kind)
			for _, want := range q.status {
				if status == want {
					if strings.Contains(body, "root:") || strings.Contains(body, "package web") || len(body) > 20000 {
						t.Errorf("answered with %.200s", body)
					}
					return
				}
			}
			t.Errorf("status %d, want one of %v: %.300s", status, q.status, body)
		})
	}
}

// What an outsider is told of a fault is one sentence, the same for all of them.
func TestFaultsTellOutsidersNothing(t *testing.T) {
	s := apptest.New(t, "2026-10-10")
	p := (&server{app: s.App, Options: Options{Log: slog.New(slog.DiscardHandler)}}).asProblem(t.Context(), "GET /api/season", fmt.Errorf("open /var/lib/trug/trug.db: SELECT body FROM person WHERE name='Wren'"))
	text, err := json.Marshal(p)
	if err != nil || p.Says != internalSays || strings.Contains(string(text), "trug.db") || strings.Contains(string(text), "Wren") {
		t.Errorf("says %s %v", text, err)
	}
	w := httptest.NewRecorder()
	(&server{app: s.App, Options: Options{Log: slog.New(slog.DiscardHandler)}}).recovered(http.HandlerFunc(func(http.ResponseWriter, *http.Request) { panic("Wren at 48.5") })).ServeHTTP(w, httptest.NewRequest("GET", "/", nil))
	if w.Code != 500 || strings.Contains(w.Body.String(), "Wren") {
		t.Errorf("a panic is answered with %d %s", w.Code, w.Body)
	}
}
