package web

import (
	"bytes"
	"encoding/json"
	"fmt"
	"net/http"
	"slices"
	"strings"
	"testing"

	"trug"
	"trug/internal/app"
	"trug/internal/app/apptest"
	"trug/internal/store"
)

// Everybody reads what is kept about themselves and takes a copy of it; of
// others a recorder learns nothing, and of adults the coordinator takes no copy.
func TestKeptIsForOneself(t *testing.T) {
	s := apptest.New(t, "2026-10-10")
	h := Handler(s.App, Options{})
	p, err := s.TakePhotograph(t.Context(), s.As("R08"), "mine.jpg", app.Sized{Reader: bytes.NewReader(halves(t)), Size: -1})
	if err != nil {
		t.Fatal(err)
	}
	if p.ID == "" {
		t.Fatal("no photograph")
	}
	mine := string(s.As("R08").Person.ID)
	status, body := newClient(t, s, h, "R08").do("GET", "/api/kept/me", nil, "")
	if status != 200 || !strings.Contains(body, s.As("R08").Person.Name) || !strings.Contains(body, "One photograph") {
		t.Errorf("what is kept: %d %s", status, body)
	}
	status, archive := newClient(t, s, h, "R08").do("GET", "/api/kept/me/copy.zip", nil, "")
	if status != 200 {
		t.Fatalf("the copy: %d", status)
	}
	files := open(t, []byte(archive))
	var kept map[string]json.RawMessage
	if err := json.Unmarshal([]byte(files["kept.json"]), &kept); err != nil {
		t.Fatal(err)
	}
	for _, part := range []string{"person", "sessions", "records", "photographs", "opinions", "sizes", "colours", "requests", "passes", "lifts", "forays", "marks", "looks", "wishes"} {
		if kept[part] == nil {
			t.Errorf("kept.json has no %s", part)
		}
	}
	if files["photographs/0001.jpg"] != string(halves(t)) {
		t.Error("the photograph in the copy is not the one that was handed in")
	}
	for _, name := range []string{"kept.json", "records.csv", "photographs.csv", "opinions.csv", "sign-ups.csv", "README.txt"} {
		if files[name] == "" {
			t.Errorf("the copy has no %s", name)
		}
	}
	for _, other := range s.Demo.People {
		if id := string(other.ID); id != mine && strings.Contains(files["kept.json"], id) && !strings.Contains(files["kept.json"], `"guardian": "`+id) {
			t.Errorf("the copy tells of %s", other.Code)
		}
	}
	for _, q := range []struct {
		code, path string
		status     int
	}{{"R01", mine, 404}, {"D1", mine, 404}, {"R02", mine, 200}, {"R01", mine + "/copy.zip", 404}, {"R02", mine + "/copy.zip", 403}, {"R02", string(s.ID()), 404}} {
		if status, body := newClient(t, s, h, q.code).do("GET", "/api/kept/"+q.path, nil, ""); status != q.status {
			t.Errorf("%s of %s: %d, want %d: %s", q.path, q.code, status, q.status, body)
		}
	}
}

// A name that is taken out stands nowhere: not in a row, not in an amendment,
// not among the secrets, not in the next deposit; the facts stay, the check
// still proves the chain, and earlier sessions let nobody in.
func TestATakenOutNameIsNowhere(t *testing.T) {
	s := apptest.New(t, "2026-10-10")
	h := Handler(s.App, Options{})
	me := s.As("R08").Person
	const former, name, words = "Quillwort Fernside", "Quillwort Bracken", "behind my house by the quillworts"
	e, err := s.Person(t.Context(), s.As("R02"), me.ID)
	if err != nil {
		t.Fatal(err)
	}
	for _, called := range []string{former, name} {
		e.Name, e.Credit, e.Minor, e.Guardian = called, called, false, ""
		if _, err := s.SavePerson(t.Context(), s.As("R02"), me.ID, e); err != nil {
			t.Fatal(err)
		}
	}
	p, err := s.TakePhotograph(t.Context(), s.As("R08"), name+".jpg", app.Sized{Reader: bytes.NewReader(halves(t)), Size: -1})
	if err != nil {
		t.Fatal(err)
	}
	record := s.ID()
	body := fmt.Sprintf(`{"found":{"date":"2026-10-10"},"fieldName":"Mycena pura","namedBy":%q,"remarks":%q,"views":[{"photograph":%q,"kind":"top"}],"place":{"lat":48.5,"lon":-19.9,"source":"pin"},"outsideIsOk":true}`, name, words, p.ID)
	mine := newClient(t, s, h, "R08")
	if status, answer := mine.do("PUT", "/api/records/"+string(record), []byte(body), "application/json"); status != 200 {
		t.Fatalf("the record: %d %s", status, answer)
	}
	if status, answer := mine.do("POST", "/api/forays/"+foray(t, s, "O08")+"/sign-up", []byte(`{"comes":true}`), "application/json"); status != 200 {
		t.Fatalf("signing up: %d %s", status, answer)
	}
	var before, after trug.Record
	get := func(into *trug.Record) {
		t.Helper()
		err := s.Store.Read(t.Context(), func(r store.Reader) (err error) {
			*into, err = store.Get[trug.Record](t.Context(), r, record)
			return err
		})
		if err != nil {
			t.Fatal(err)
		}
	}
	get(&before)
	desk := newClient(t, s, h, "R02")
	takeOut := "/api/kept/" + string(me.ID) + "/take-out"
	for given, want := range map[string]int{"somebody": 422, "": 422} {
		if status, _ := desk.do("POST", takeOut, []byte(fmt.Sprintf(`{"name":%q}`, given)), "application/json"); status != want {
			t.Errorf("taken out by the name %q: %d", given, status)
		}
	}
	for _, code := range []string{"R01", "R08"} {
		if status, answer := newClient(t, s, h, code).do("POST", takeOut, []byte(fmt.Sprintf(`{"name":%q}`, name)), "application/json"); status != 403 {
			t.Errorf("taken out by %s: %d %s", code, status, answer)
		}
	}
	mentions := othersMention(t, s, h, string(me.ID), former, name)
	if status, answer := desk.do("POST", takeOut, []byte(fmt.Sprintf(`{"name":%q,"originals":true,"mentions":%s}`, name, mentions)), "application/json"); status != 200 {
		t.Fatalf("taking out: %d %s", status, answer)
	}
	err = s.Store.Read(t.Context(), func(r store.Reader) error {
		all, err := r.Since(t.Context(), me.SeasonID, 0, 1_000_000)
		for _, c := range all {
			text := string(c.Before) + string(c.After)
			if hasAny(text, former, name, "QUILLWORT", "Q. Bracken", words) {
				t.Errorf("amendment %d of a %s: %s", c.Seq, c.Kind.Word(), text)
			}
			if c.Kind == store.Forays && strings.Contains(text, string(me.ID)) {
				t.Errorf("the sign-up stands in amendment %d", c.Seq)
			}
		}
		for _, kind := range store.Kinds {
			rows, err := r.Find(t.Context(), kind, store.Filter{})
			if err != nil {
				return err
			}
			for _, row := range rows {
				if text := string(row.Body) + row.Key; hasAny(text, former, name, "QUILLWORT", "Q. Bracken", words) {
					t.Errorf("the %s %s: %s", kind.Word(), row.ID, text)
				}
			}
		}
		for _, kind := range store.SecretKinds {
			if found, _ := r.Secrets(t.Context(), store.SecretFilter{Kind: kind, Person: me.ID}); len(found) > 0 {
				t.Errorf("%d secrets of kind %s are left", len(found), kind)
			}
		}
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	get(&after)
	if after.Found != before.Found || after.FieldName.Name != before.FieldName.Name || after.Place == nil || *after.Place != *before.Place || after.RecorderID != me.ID {
		t.Errorf("the facts were changed: %+v, before %+v", after, before)
	}
	if faults, err := s.CheckStore(t.Context(), nil); err != nil || len(faults) > 0 {
		t.Errorf("the check says %q (%v)", faults, err)
	}
	if status, _ := mine.do("GET", "/api/daybook", nil, ""); status != 401 {
		t.Errorf("the session still lets in: %d", status)
	}
	files := deposit(t, s, h)
	if strings.Contains(files, name) || !strings.Contains(files, trug.NameTakenOut) {
		t.Error("the deposit bears the name, or does not say that it was taken out")
	}
	status, kept := newClient(t, s, h, "R02").do("GET", "/api/kept/"+string(me.ID), nil, "")
	if status != 200 || strings.Contains(kept, name) || !strings.Contains(kept, `"gone":true`) {
		t.Errorf("what is kept afterwards: %d %s", status, kept)
	}
}

func hasAny(text string, words ...string) bool {
	return slices.ContainsFunc(words, func(w string) bool { return strings.Contains(text, w) })
}

// othersMention has others write of somebody in every place that there is for
// it, and returns what the search finds, as JSON. What means somebody else, a
// plant here, is left out by the coordinator.
func othersMention(t *testing.T, s apptest.Season, h http.Handler, who string, names ...string) string {
	t.Helper()
	other, det, lead := newClient(t, s, h, "R03"), newClient(t, s, h, "D1"), newClient(t, s, h, "R02")
	must := func(c client, method, path, body string) {
		t.Helper()
		if status, answer := c.do(method, path, []byte(body), "application/json"); status != 200 {
			t.Fatalf("%s %s: %d %s", method, path, status, answer)
		}
	}
	record, plant := string(s.ID()), string(s.ID())
	text := fmt.Sprintf("with %s, as QUILLWORT  bracken told; %s’s basket", names[0], names[1])
	for _, remarks := range []string{text, "nothing of note"} { // what was written over stands in the history
		must(other, "PUT", "/api/records/"+record, fmt.Sprintf(`{"found":{"date":"2026-10-10"},"fieldName":"Mycena","namedBy":"Q. Bracken and others","remarks":%q,"views":[]}`, remarks))
	}
	must(other, "PUT", "/api/records/"+plant, `{"found":{"date":"2026-10-10"},"fieldName":"Mycena","remarks":"among quillwort, bracken and moss","views":[]}`)
	must(det, "POST", "/api/records/"+record+"/determinations", fmt.Sprintf(`{"id":%q,"name":"Mycena pura","basis":["description"],"remark":%q}`, s.ID(), text))
	must(det, "POST", "/api/records/"+record+"/passes", fmt.Sprintf(`{"id":%q,"remark":%q}`, s.ID(), text))
	_, page := lead.do("GET", "/api/forays/"+foray(t, s, "O01"), nil, "")
	var y map[string]any
	if err := json.Unmarshal([]byte(page), &y); err != nil {
		t.Fatal(err)
	}
	y["note"] = text
	changed, err := json.Marshal(y)
	if err != nil {
		t.Fatal(err)
	}
	must(lead, "PUT", "/api/forays/"+foray(t, s, "O01"), string(changed))
	if status, answer := other.do("GET", "/api/kept/"+who+"/mentions", nil, ""); status != 403 {
		t.Errorf("a recorder searches for somebody's name: %d %s", status, answer)
	}
	_, body := lead.do("GET", "/api/kept/"+who+"/mentions", nil, "")
	var found app.MentionsPage
	if err := json.Unmarshal([]byte(body), &found); err != nil {
		t.Fatal(err)
	}
	ids, where := []string{}, []string{}
	for _, m := range found.Mentions {
		if string(m.ID) != plant {
			ids = append(ids, fmt.Sprintf("%q", m.ID))
			where = append(where, m.Where)
		}
		if string(m.ID) == record && m.Former {
			t.Error("the name still stands in who named it, and is said to stand in the history alone")
		}
	}
	if len(ids) != 4 || len(found.Mentions) != 5 || !slices.Contains(found.Names, names[0]) {
		t.Fatalf("found %q by the names %q, want a record, a slip, a pass, a foray, and a plant", where, found.Names)
	}
	return "[" + strings.Join(ids, ",") + "]"
}

// Somebody asks for their name to be taken out, takes it back, asks again; the
// coordinator sees it, declines by a set sentence, or does it.
func TestAskingForANameToBeTakenOut(t *testing.T) {
	s := apptest.New(t, "2026-10-10")
	h := Handler(s.App, Options{})
	mine, desk, me := newClient(t, s, h, "R08"), newClient(t, s, h, "R02"), s.As("R08").Person
	ask := func(more string) (status int, page app.KeptPage) {
		t.Helper()
		status, body := mine.do("POST", "/api/kept/me/ask", []byte(fmt.Sprintf(`{"id":%q%s}`, s.ID(), more)), "application/json")
		_ = json.Unmarshal([]byte(body), &page) // a refusal has no page
		return status, page
	}
	wishes := func() (page app.WishesPage) {
		t.Helper()
		status, body := desk.do("GET", "/api/wishes", nil, "")
		if err := json.Unmarshal([]byte(body), &page); err != nil || status != 200 {
			t.Fatalf("%d %s", status, body)
		}
		return page
	}
	for range 2 { // asking twice asks once
		if status, page := ask(""); status != 200 || page.Asked == nil || !page.Asked.Open || !page.Asked.ByMe {
			t.Fatalf("%d %+v", status, page.Asked)
		}
	}
	if w := wishes(); w.Open != 1 || w.Wishes[0].Name != me.Name || w.Wishes[0].By != "" {
		t.Fatalf("the desk sees %+v", w)
	}
	if _, page := ask(`,"pictures":true`); !page.Asked.Pictures || wishes().Open != 1 {
		t.Error("asking for more did not take the place of asking for less")
	}
	if status, _ := ask(`,"why":"because"`); status != 422 {
		t.Errorf("free words were taken: %d", status)
	}
	if status, body := newClient(t, s, h, "R01").do("POST", "/api/kept/"+string(me.ID)+"/ask", []byte(fmt.Sprintf(`{"id":%q}`, s.ID())), "application/json"); status != 404 {
		t.Errorf("asked for by another: %d %s", status, body)
	}
	if status, body := mine.do("POST", "/api/kept/me/ask-no-more", []byte(`{}`), "application/json"); status != 200 || wishes().Open != 0 {
		t.Errorf("taken back: %d %s", status, body)
	}
	ask("")
	id := string(wishes().Wishes[0].ID)
	for how, want := range map[string]int{"because I say so": 422, "done": 422, "taken back": 422} {
		if status, _ := desk.do("POST", "/api/wishes/"+id+"/decline", []byte(fmt.Sprintf(`{"how":%q}`, how)), "application/json"); status != want {
			t.Errorf("declined by %q: %d", how, status)
		}
	}
	if status, body := desk.do("POST", "/api/wishes/"+id+"/decline", []byte(`{"how":"unsure"}`), "application/json"); status != 200 || !strings.Contains(body, `"open":0`) {
		t.Errorf("declined: %d %s", status, body)
	}
	if _, body := mine.do("GET", "/api/kept/me", nil, ""); !strings.Contains(body, "speak to them") {
		t.Errorf("the answer does not arrive: %s", body)
	}
	ask("")
	if status, body := desk.do("POST", "/api/kept/"+string(me.ID)+"/take-out", []byte(fmt.Sprintf(`{"name":%q}`, me.Name)), "application/json"); status != 200 {
		t.Fatalf("done: %d %s", status, body)
	}
	if w := wishes(); w.Open != 0 || w.Wishes[0].Name != trug.NameTakenOut || !strings.HasPrefix(w.Wishes[0].Says, "Done") {
		t.Errorf("afterwards the desk sees %+v", w.Wishes[0])
	}
	if _, body := desk.do("GET", "/api/audit?what=changes", nil, ""); strings.Count(body, "asked for a name to be taken out") != 4 || !strings.Contains(body, "took somebody's name out of the season") ||
		!strings.Contains(body, "settled the wish for a name to be taken out: taken back") {
		t.Errorf("the audit: %s", body)
	}
}

// A record that its recorder takes out is in no answer and no deposit, and
// comes back when they put it back.
func TestTakingARecordOut(t *testing.T) {
	s := apptest.New(t, "2026-10-10")
	h := Handler(s.App, Options{})
	mine, id := newClient(t, s, h, "R08"), string(s.ID())
	if status, body := mine.do("PUT", "/api/records/"+id, []byte(`{"found":{"date":"2026-10-10"},"fieldName":"Mycena","remarks":"zzyzx","views":[]}`), "application/json"); status != 200 {
		t.Fatalf("%d %s", status, body)
	}
	path := "/api/records/" + id
	for code, want := range map[string]int{"R01": 403, "D1": 403, "": 401} {
		if status, body := newClient(t, s, h, code).do("POST", path+"/take-out", []byte(`{}`), "application/json"); status != want {
			t.Errorf("taken out by %q: %d %s", code, status, body)
		}
	}
	for _, back := range []bool{false, true} {
		for range 2 {
			status, body := mine.do("POST", path+"/take-out", []byte(fmt.Sprintf(`{"back":%t}`, back)), "application/json")
			if status != 200 || strings.Contains(body, `"out":true`) == back {
				t.Errorf("back %t: %d %s", back, status, body)
			}
		}
		for _, code := range []string{"R08", "R01", "D1", "R02"} {
			c := newClient(t, s, h, code)
			sheet, _ := c.do("GET", path, nil, "")
			_, book := c.do("GET", "/api/records?text=zzyzx", nil, "")
			if stands := sheet == 200 && strings.Contains(book, id); stands != back {
				t.Errorf("back %t: %s is shown it: %t", back, code, stands)
			}
		}
	}
	if status, _ := newClient(t, s, h, "R02").do("POST", path+"/take-out", []byte(`{}`), "application/json"); status != 200 {
		t.Errorf("the coordinator: %d", status)
	}
	if files := deposit(t, s, h); strings.Contains(files, "zzyzx") {
		t.Error("the deposit bears it")
	}
}

// The adult of a child reads, copies, takes out and asks for them; the child
// does it for themselves, and neither for anybody else.
func TestAnAdultActsForTheirChild(t *testing.T) {
	s := apptest.New(t, "2026-10-10")
	h := Handler(s.App, Options{})
	made, err := s.Person(t.Context(), s.As("R02"), s.As("R08").Person.ID)
	if err != nil {
		t.Fatal(err)
	}
	made.Minor, made.Guardian, made.Roles, made.Name, made.Credit = true, s.As("R03").Person.ID, []trug.Role{trug.RecorderRole}, "Wren", ""
	if _, err := s.SavePerson(t.Context(), s.As("R02"), made.ID, made); err != nil {
		t.Fatal(err)
	}
	child, adult, stranger, id := newClient(t, s, h, "R08"), newClient(t, s, h, "R03"), newClient(t, s, h, "R06"), string(made.ID)
	record := string(s.ID())
	if status, body := child.do("PUT", "/api/records/"+record, []byte(`{"found":{"date":"2026-10-10"},"fieldName":"Mycena","views":[]}`), "application/json"); status != 200 {
		t.Fatalf("%d %s", status, body)
	}
	if _, body := adult.do("GET", "/api/kept/me", nil, ""); !strings.Contains(body, `"children":[{"id":"`+id) {
		t.Errorf("the adult's page does not lead to the child's: %s", body)
	}
	for _, q := range []struct{ method, path, body string }{
		{"GET", "/api/kept/" + id, ""}, {"GET", "/api/kept/" + id + "/copy.zip", ""},
		{"POST", "/api/records/" + record + "/take-out", `{}`}, {"POST", "/api/records/" + record + "/take-out", `{"back":true}`},
		{"POST", "/api/kept/" + id + "/ask", fmt.Sprintf(`{"id":%q}`, s.ID())}, {"POST", "/api/kept/" + id + "/ask-no-more", `{}`},
	} {
		for _, c := range []struct {
			who    string
			client client
			well   bool
		}{{"a stranger", stranger, false}, {"the adult", adult, true}, {"the child", child, true}} {
			if status, body := c.client.do(q.method, q.path, []byte(q.body), "application/json"); (status == 200) != c.well {
				t.Errorf("%s: %s %s: %d %s", c.who, q.method, q.path, status, body)
			}
		}
	}
	if status, _ := child.do("GET", "/api/kept/"+string(made.Guardian), nil, ""); status != 404 {
		t.Errorf("the child reads what is kept about the adult: %d", status)
	}
	// Asked by the adult, read by the child: who asked is told apart.
	if _, body := adult.do("POST", "/api/kept/"+id+"/ask", []byte(fmt.Sprintf(`{"id":%q}`, s.ID())), "application/json"); !strings.Contains(body, `"byMe":true`) {
		t.Errorf("the adult asked: %s", body)
	}
	if _, body := child.do("GET", "/api/kept/me", nil, ""); !strings.Contains(body, `"byMe":false`) {
		t.Errorf("the child reads that they asked themselves: %s", body)
	}
	if _, body := newClient(t, s, h, "R02").do("GET", "/api/wishes", nil, ""); !strings.Contains(body, `"by":"`+s.As("R03").Person.Name) {
		t.Errorf("the desk does not see who asked: %s", body)
	}
}
