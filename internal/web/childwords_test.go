package web

import (
	"fmt"
	"regexp"
	"strings"
	"testing"

	"trug"
	"trug/internal/app/apptest"
)

// An adult's free words reach no child through their Daybook or a record of
// theirs: requests are set sentences, remarks on slips stay away, and what an
// adult writes into a child's record is refused.
func TestAdultsFreeWordsReachNoChild(t *testing.T) {
	s := apptest.New(t, "2026-10-10")
	h := Handler(s.App, Options{})
	const words = "come-to-the-old-hut"
	child := s.As("R08").Person
	made, err := s.Person(t.Context(), s.As("R02"), child.ID)
	if err != nil {
		t.Fatal(err)
	}
	made.Minor, made.Guardian, made.Roles = true, s.As("R02").Person.ID, []trug.Role{trug.RecorderRole}
	made.Name, made.Credit = "Wren", ""
	if _, err := s.SavePerson(t.Context(), s.As("R02"), child.ID, made); err != nil {
		t.Fatal(err)
	}
	id := string(s.ID())
	if status, body := newClient(t, s, h, "R08").do("PUT", "/api/records/"+id, []byte(`{"found":{"date":"2026-10-10"},"fieldName":"Mycena","views":[]}`), "application/json"); status != 200 {
		t.Fatalf("the child's record: %d %s", status, body)
	}
	for _, q := range []struct {
		code, method, path, body string
		status                   int
	}{
		{"D1", "POST", "/determinations", `{"id":"ID","name":"Mycena pura","basis":["description"],"remark":"W"}`, 200},
		{"D2", "POST", "/passes", `{"id":"ID","remark":"W"}`, 200},
		{"D2", "POST", "/requests", `{"id":"ID","view":"base"}`, 200},
		{"D2", "POST", "/requests", `{"id":"ID","view":"base","says":"W"}`, 422},
		{"R02", "PUT", "", `{"found":{"date":"2026-10-10"},"fieldName":"Mycena","remarks":"W","views":[]}`, 422},
		{"R02", "PUT", "", `{"found":{"date":"2026-10-10"},"fieldName":"Mycena","namedBy":"W","views":[]}`, 422},
		{"R02", "PUT", "", `{"found":{"date":"2026-10-10"},"fieldName":"Mycena","host":"W","views":[]}`, 422},
		{"R02", "PUT", "", `{"found":{"date":"2026-10-10"},"fieldName":"Mycena","smell":"W","views":[]}`, 422},
		{"R02", "PUT", "", `{"found":{"date":"2026-10-10"},"fieldName":"W","views":[]}`, 422},
		{"R02", "PUT", "", `{"found":{"date":"2026-10-10"},"fieldName":"Mycena pura","smell":"mealy","views":[]}`, 200},
		{"R02", "PUT", "", `{"found":{"date":"2026-10-09"},"fieldName":"Mycena","views":[]}`, 200},
	} {
		body := strings.NewReplacer("ID", string(s.ID()), "W", words).Replace(q.body)
		if status, answer := newClient(t, s, h, q.code).do(q.method, "/api/records/"+id+q.path, []byte(body), "application/json"); status != q.status {
			t.Errorf("%s %s by %s: %d, want %d: %s", q.method, q.path, q.code, status, q.status, answer)
		}
	}
	for _, path := range []string{"/api/daybook", "/api/daybook?date=2026-10-09", "/api/records/" + id, "/api/records/" + id + "/history", "/api/records?limit=500"} {
		if _, body := newClient(t, s, h, "R08").do("GET", path, nil, ""); strings.Contains(body, words) {
			t.Errorf("%s brings an adult's words to a child: %s", path, body)
		}
	}
	if _, body := newClient(t, s, h, "D1").do("GET", "/api/records/"+id, nil, ""); !strings.Contains(body, words) {
		t.Error("the test looks for words that nobody gets")
	}
}

// No route brings an adult's free words about a find to a child: not those that
// stood in the child's record before anybody knew that it is a child's, nor
// names that are on no list, remarks, consents, or words in adults' records.
func TestNoRouteBringsFreeWordsToAChild(t *testing.T) {
	s := apptest.New(t, "2026-10-10")
	h := Handler(s.App, Options{})
	desk, det, child := newClient(t, s, h, "R02"), newClient(t, s, h, "D1"), newClient(t, s, h, "R08")
	const marker = "zqxhut"
	must := func(c client, method, path, body string) {
		t.Helper()
		if status, answer := c.do(method, path, []byte(body), "application/json"); status != 200 {
			t.Fatalf("%s %s: %d %s", method, path, status, answer)
		}
	}
	requests := samples(t, s, h)
	mine, others := string(s.ID()), string(s.ID())
	const given = `{"found":{"date":"2026-10-10"},"fieldName":"Mycena","remarks":"by the child","host":"beech","views":[]}`
	const words = `{"found":{"date":"2026-10-10"},"fieldName":"M","namedBy":"M","host":"M","smell":"M","remarks":"M","views":[],"place":{"lat":48.5,"lon":-19.9,"source":"pin"}}`
	marked := strings.ReplaceAll(words, `"M"`, `"`+marker+`"`)
	must(child, "PUT", "/api/records/"+mine, given)
	must(desk, "PUT", "/api/records/"+mine, marked) // by an adult, in an adult's record as far as anybody knows
	must(desk, "POST", "/api/records/"+mine+"/answers", `{"character":"flesh_color","text":"`+marker+`"}`)
	must(newClient(t, s, h, "R03"), "PUT", "/api/records/"+others, marked)
	for _, id := range []string{mine, others} {
		must(det, "POST", "/api/records/"+id+"/determinations", fmt.Sprintf(`{"id":%q,"name":"Zqxhut nocturna","basis":["description"],"remark":%q}`, s.ID(), marker))
		must(newClient(t, s, h, "D2"), "POST", "/api/records/"+id+"/passes", fmt.Sprintf(`{"id":%q,"remark":%q}`, s.ID(), marker))
	}
	e, err := s.Person(t.Context(), s.As("R02"), s.As("R08").Person.ID)
	if err != nil {
		t.Fatal(err)
	}
	e.Minor, e.Guardian, e.Roles, e.Name, e.Credit = true, s.As("R02").Person.ID, []trug.Role{trug.RecorderRole}, "Wren", ""
	e.Consents = []trug.Consent{{About: trug.ShowPictures, Given: "2026-10-01", How: marker}}
	if _, err := s.SavePerson(t.Context(), s.As("R02"), e.ID, e); err != nil {
		t.Fatal(err)
	}
	asked := 0
	ask := func(method, path, body, kind string) {
		t.Helper()
		if kind == "" {
			kind = "application/json"
		}
		status, answer := child.do(method, path, []byte(body), kind)
		if status == 200 && strings.HasSuffix(path, ".zip") {
			files := open(t, []byte(answer))
			answer = ""
			for name, text := range files {
				if strings.Contains(strings.ToLower(text), marker) {
					answer += name + ": " + text
				}
			}
		}
		if asked++; strings.Contains(strings.ToLower(answer), marker) {
			t.Errorf("%s %s brings an adult's words to a child: %s", method, path, answer)
		}
	}
	ended := regexp.MustCompile(`/leave$|/take-out$|/end-others$|/sessions/.*/end$`) // after these there is nobody who asks, or nothing to be asked about
	for _, r := range (&server{app: s.App}).routes() {
		q := requests[r.method+" "+r.path]()
		if ended.MatchString(r.path) {
			continue
		}
		if q.of != nil {
			q.path = q.of("R08")
		}
		ask(r.method, q.path, q.body, q.kind)
		if r.method != "GET" && strings.HasPrefix(r.path, comeInPath) {
			child = newClient(t, s, h, "R08") // coming in anew ended the session that asked
		}
		if rest, ok := strings.CutPrefix(r.path, "/api/records/{id}"); ok && !strings.Contains(rest, "{") && r.method != "PUT" {
			for _, id := range []string{mine, others} {
				ask(r.method, "/api/records/"+id+rest, q.body, q.kind)
			}
		}
	}
	for _, path := range []string{"/api/daybook?date=2026-10-10", "/api/records?limit=500", "/api/records?text=" + marker, "/api/kept/me", "/api/kept/me/copy.zip"} {
		ask("GET", path, "", "")
	}
	if asked < 100 {
		t.Errorf("%d requests alone: the walk did not go round", asked)
	}
	for _, id := range []string{mine, others} {
		if _, body := desk.do("GET", "/api/records/"+id, nil, ""); strings.Count(body, marker) < 4 {
			t.Errorf("the test looks for words that nobody gets: %s", body)
		}
	}
	// What the child was not shown is not taken out by their saving the form.
	must(child, "PUT", "/api/records/"+mine, `{"found":{"date":"2026-10-09"},"remarks":"mine again","views":[]}`)
	_, body := desk.do("GET", "/api/records/"+mine, nil, "")
	for _, want := range []string{`"host":"` + marker, `"smell":"` + marker, `"remarks":"mine again"`} {
		if !strings.Contains(body, want) {
			t.Errorf("after the child saved, %s is gone: %s", want, body)
		}
	}
	if _, sheet := child.do("GET", "/api/records/"+mine, nil, ""); !strings.Contains(sheet, "mine again") || strings.Contains(sheet, marker) {
		t.Errorf("the child's own words: %s", sheet)
	}
}
