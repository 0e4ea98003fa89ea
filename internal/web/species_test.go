package web

import (
	"encoding/json"
	"fmt"
	"io/fs"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"trug"
	"trug/internal/app"
	"trug/internal/app/apptest"
	"trug/science/key/starter"
)

// markerKey is a matrix of invented kinds that fit whatever anybody finds, with
// names that stand nowhere else: if one shows, the program has named a species.
func markerKey() string {
	var b strings.Builder
	b.WriteString("taxon,name,remarks,form,hymenophore,cap_color,ring,cap_diameter,season,habitat\n#label,A matrix of marks,,,,,,,,\n")
	forms := "gilled|bolete|bracket|crust|club|coral|cup|jelly|other"
	for i, colour := range []string{"red", "brown", "white", "yellow", "orange", "grey", "black", "green"} {
		ring := []string{"none", "hanging"}[i%2]
		fmt.Fprintf(&b, "%d,Zyxomyces %s,Zyxoword,%s,,%s|purple,%s,%d-%d,autumn|spring,\n", i, strings.Repeat("z", i+2), forms, colour, ring, 10+20*i, 60+20*i)
	}
	return b.String()
}

// marks are what must not reach whoever is no determiner: the names of the
// marker key, and those of the starter matrix that nobody gave.
func speciesMarks(s apptest.Season) []string {
	given := map[string]bool{}
	for _, r := range s.Demo.Records {
		given[r.FieldName.Name] = true
	}
	for _, d := range s.Demo.Determinations {
		given[d.Name] = true
	}
	for _, x := range s.Demo.Taxa {
		given[x.Name] = true // of the checklist: offered to whoever types its first letters
	}
	out := []string{"Zyxomyces", "Zyxoword", "Zyxodouble"}
	for _, x := range starter.InWords().Taxa {
		if !given[x.Name] {
			out = append(out, x.Name)
		}
	}
	for _, x := range starter.Traps() {
		for _, name := range []string{x.Dangerous, x.TakenFor} {
			if !given[name] {
				out = append(out, name)
			}
		}
	}
	return out
}

// walker reads answers for names that nobody gave.
type walker struct {
	client
	marks []string
	read  int
}

func (w *walker) look(where, body string) {
	w.t.Helper()
	w.read++
	if strings.HasPrefix(body, "PK\x03\x04") {
		body = fmt.Sprint(open(w.t, []byte(body)))
	}
	if strings.HasPrefix(body, "%PDF") {
		body = pdfText(w.t, body)
	}
	for _, m := range w.marks {
		if i := strings.Index(body, m); i >= 0 {
			w.t.Fatalf("%s names %s, which no person gave: …%s…", where, m, body[max(0, i-100):min(len(body), i+100)])
		}
	}
}

func (w *walker) get(path string) string {
	w.t.Helper()
	_, body := w.do("GET", path, nil, "")
	w.look(path, body)
	return body
}

// pdfText returns a sheet's words.
func pdfText(t *testing.T, pdf string) string {
	t.Helper()
	program, err := exec.LookPath("pdftotext")
	if err != nil {
		t.Skip("pdftotext is not here: install poppler-utils to read the sheets")
	}
	file := filepath.Join(t.TempDir(), "sheet.pdf")
	if err := os.WriteFile(file, []byte(pdf), 0o600); err != nil {
		t.Fatal(err)
	}
	text, err := exec.CommandContext(t.Context(), program, "-raw", file, "-").Output()
	if err != nil {
		t.Fatal(err)
	}
	return string(text)
}

// markedSeason is a season whose key knows the marks, learns and expects.
func markedSeason(t *testing.T) apptest.Season {
	t.Helper()
	s := apptest.New(t, "2026-10-10")
	desk := s.As("R02")
	done, err := s.TakeKeyFile(t.Context(), desk, "matrix", []byte(markerKey()))
	if err != nil || !done.Kept {
		t.Fatalf("%+v, %v", done, err)
	}
	if _, err := s.SaveKey(t.Context(), desk, true, true); err != nil {
		t.Fatal(err)
	}
	// A double that only the season's list of look-alikes knows.
	if _, err := s.AddNames(t.Context(), desk, []byte("name\nZyxodouble una\nZyxodouble dua\n")); err != nil {
		t.Fatal(err)
	}
	if _, err := s.SaveLookAlike(t.Context(), desk, s.ID(), app.ShownLookAlike{Name: "Zyxodouble una", TakenFor: "Zyxodouble dua", Views: []trug.ViewKind{}}); err != nil {
		t.Fatal(err)
	}
	return s
}

// A species' name reaches a recorder, a leader or an outsider as their own
// field name or as a determination by a named person, never from the program.
// Every route is asked by each of them, and every record of the recorder's own
// in every state of its description that the questions lead to.
func TestNobodyIsToldASpeciesThatNoPersonGave(t *testing.T) {
	for _, role := range []trug.Role{trug.Outsider, trug.RecorderRole, trug.Leader} {
		t.Run(string(role), func(t *testing.T) { walkRoutes(t, role) })
	}
	t.Run("descriptions", walkDescriptions)
}

// walkRoutes asks every route as somebody of the role.
func walkRoutes(t *testing.T, role trug.Role) {
	s := markedSeason(t)
	h := Handler(s.App, Options{})
	requests := samples(t, s, h)
	w := &walker{client: newClient(t, s, h, personOf[role]), marks: speciesMarks(s)}
	if len(w.marks) < 50 {
		t.Fatalf("only %d names to look for", len(w.marks))
	}
	routes := (&server{app: s.App}).routes()
	for _, r := range routes {
		request, ok := requests[r.method+" "+r.path]
		if !ok {
			t.Fatalf("%s %s is not walked: give it a sample", r.method, r.path)
		}
		if r.path == "/api/field/names" {
			continue // the whole checklist by the alphabet, about no find: it completes what a recorder types
		}
		q := request()
		if q.kind == "" {
			q.kind = "application/json"
		}
		if q.of != nil {
			q.path = q.of(personOf[role])
		}
		// Each as somebody who has just come in: some routes lead out.
		_, body := newClient(t, s, h, personOf[role]).do(r.method, q.path, []byte(q.body), q.kind)
		w.look(r.method+" "+q.path, body)
	}
	for _, path := range []string{"/", "/daybook", "/new", "/book", "/me", "/api/openapi.json",
		"/api/records?limit=500", "/api/records?text=zyx", "/api/records?sort=name&limit=500"} {
		w.get(path)
	}
	if w.read < len(routes)-1 {
		t.Errorf("%d answers were read of %d routes", w.read, len(routes))
	}
}

// walkDescriptions answers the questions about every record of two recorders,
// now one way and now another, and reads all that is told after each answer.
func walkDescriptions(t *testing.T) {
	s := markedSeason(t)
	handler, marks, states := Handler(s.App, Options{}), speciesMarks(s), 0
	for _, code := range []string{"R08", "R01"} {
		w := &walker{client: newClient(t, s, handler, code), marks: marks}
		var own []trug.Record
		for _, r := range s.Demo.Records {
			if r.RecorderID == s.As(code).Person.ID {
				own = append(own, r)
			}
		}
		for i, r := range own[:min(len(own), 40)] {
			path := "/api/records/" + string(r.ID)
			for step := range 8 {
				states++
				w.get(path)
				w.get(path + "/history")
				w.get("/api/daybook")
				var q app.FindQuestions
				if err := json.Unmarshal([]byte(w.get(path+"/questions")), &q); err != nil {
					t.Fatal(err)
				}
				if len(q.Questions) == 0 {
					break
				}
				answer, err := json.Marshal(oneAnswer(q.Questions[(i+step)%len(q.Questions)], i+step))
				if err != nil {
					t.Fatal(err)
				}
				_, body := w.do("POST", path+"/answers", answer, "application/json")
				w.look(path+"/answers", body)
			}
		}
	}
	if states < 60 {
		t.Errorf("only %d states of descriptions were read", states)
	}
}

// oneAnswer answers a question, with n choosing how.
func oneAnswer(q app.ShownQuestion, n int) app.GivenAnswer {
	a := app.GivenAnswer{Character: q.Character}
	switch {
	case n%5 == 4:
		a.Blank = []string{"not looked for", "not visible", "absent"}[n%3]
	case len(q.States) > 1 && n%3 == 2:
		a.States, a.Either = []string{q.States[0].State, q.States[1].State}, true
	case len(q.States) > 0:
		a.States = []string{q.States[n%len(q.States)].State}
	case q.Unit != "":
		a.Number = "42-51"
	default:
		a.Text = "as it stands"
	}
	return a
}

// The walk can tell: determiners see the marks at the key, and a recorder sees
// a name as soon as a person has given it.
func TestTheMarksShowWhereTheyMay(t *testing.T) {
	s := markedSeason(t)
	h := Handler(s.App, Options{})
	own := newRecord(t, s, h)
	_, body := newClient(t, s, h, "D1").do("POST", "/api/records/"+string(own.id)+"/key", []byte(`{"answers":[{"character":"cap_color","states":["red"]}]}`), "application/json")
	if !strings.Contains(body, "Zyxomyces zz") {
		t.Errorf("a determiner's key does not name its kinds: %s", body)
	}
	given := fmt.Sprintf(`{"id":%q,"name":"Zyxomyces datus","basis":["photographs"]}`, s.ID())
	if status, answer := newClient(t, s, h, "D1").do("POST", "/api/records/"+string(own.id)+"/determinations", []byte(given), "application/json"); status != 200 {
		t.Fatalf("%d %s", status, answer)
	}
	if _, body := newClient(t, s, h, "R08").do("GET", "/api/records/"+string(own.id), nil, ""); !strings.Contains(body, "Zyxomyces datus") {
		t.Errorf("a recorder is not told the name that a determiner gave: %s", body)
	}
}

// The pages that recorders are sent hold no names of the starter matrix: the
// front end as it is built brings none along.
func TestTheFrontEndBringsNoSpeciesAlong(t *testing.T) {
	var names []string
	for _, x := range starter.InWords().Taxa {
		names = append(names, x.Name)
	}
	files := 0
	err := fs.WalkDir(os.DirFS("dist"), ".", func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		text, err := os.ReadFile(filepath.Join("dist", path))
		if err != nil {
			return err
		}
		files++
		if i := slices.IndexFunc(names, func(n string) bool { return strings.Contains(string(text), n) }); i >= 0 {
			t.Errorf("%s holds the name %s", path, names[i])
		}
		return nil
	})
	if err != nil || files == 0 {
		t.Fatalf("%d files, %v", files, err)
	}
}
