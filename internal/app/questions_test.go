package app_test

import (
	"encoding/json"
	"slices"
	"strings"
	"testing"

	"trug"
	"trug/internal/app"
	"trug/internal/app/apptest"
	"trug/science/describe"
	"trug/science/key/starter"
)

// A recorder's questions never name a species, whatever is answered: every
// question about every find of the season's recorders is read for every name
// of the key and of the checklist.
func TestRecordersSeeNoSpecies(t *testing.T) {
	s := apptest.New(t, "2026-10-10")
	ctx := t.Context()
	var names []string
	for _, taxon := range starter.InWords().Taxa {
		names = append(names, taxon.Name)
	}
	for _, taxon := range s.Demo.Taxa {
		if strings.Contains(taxon.Name, " ") {
			names = append(names, taxon.Name)
		}
	}
	asked := 0
	for i, r := range s.Demo.Records {
		if i%20 != 0 {
			continue
		}
		var code string
		for _, p := range s.Demo.People {
			if p.ID == r.RecorderID {
				code = p.Code
			}
		}
		v := s.As(code)
		q, err := s.Questions(ctx, v, r.ID)
		if err != nil {
			t.Fatalf("%s: %v", r.Number, err)
		}
		for range 3 {
			if len(q.Questions) == 0 {
				break
			}
			asked++
			text, err := json.Marshal(q)
			if err != nil {
				t.Fatal(err)
			}
			for _, n := range names {
				if strings.Contains(string(text), n) {
					t.Fatalf("%s names %s", r.Number, n)
				}
			}
			a := app.GivenAnswer{Character: q.Questions[0].Character, Blank: "not visible"}
			if len(q.Questions[0].States) > 0 {
				a.Blank, a.States = "", []string{q.Questions[0].States[0].State}
			}
			next, err := s.AnswerQuestion(ctx, v, r.ID, a)
			if err != nil {
				t.Fatal(err)
			}
			if slices.ContainsFunc(next.Questions, func(x app.ShownQuestion) bool { return x.Character == a.Character }) {
				t.Errorf("%s: %s is asked again", r.Number, a.Character)
			}
			q = next
		}
	}
	if asked < 10 {
		t.Errorf("only %d questions were read", asked)
	}
}

// Where the site bars cutting and digging, no question ever asks for it,
// whatever has been answered; where it allows them, such questions come up, so
// that the test can tell.
func TestQuestionsObeyTheSite(t *testing.T) {
	s := apptest.New(t, "2026-10-10")
	barred, allowed := 0, 0
	for _, r := range s.Demo.Records {
		site := siteCode(s, r.SiteID)
		forbids := site == "S2" || site == "" // S2 allows photographs only
		if !forbids && allowed > 0 {
			continue
		}
		v := s.As(recorderCode(s, r))
		q, err := s.Questions(t.Context(), v, r.ID)
		if err != nil {
			t.Fatal(err)
		}
		for step := 0; len(q.Questions) > 0 && step < 25; step++ {
			for _, x := range q.Questions {
				c, _ := describe.Standing().Character(x.Character)
				switch {
				case !forbids:
					allowed += len(c.Look.Needs())
				case len(c.Look.Needs()) > 0:
					t.Errorf("%s at %q is asked %s, which takes %s", r.Number, site, x.Character, c.Look)
				default:
					barred++
				}
			}
			a := app.GivenAnswer{Character: q.Questions[0].Character, Blank: "not visible"}
			if states := q.Questions[0].States; len(states) > 0 && step%2 == 0 {
				a.Blank, a.States = "", []string{states[step%len(states)].State}
			}
			if q, err = s.AnswerQuestion(t.Context(), v, r.ID, a); err != nil {
				t.Fatal(err)
			}
		}
	}
	if barred < 100 || allowed == 0 {
		t.Errorf("%d questions were read where looks are barred, and %d that take one where they are not", barred, allowed)
	}
}

func siteCode(s apptest.Season, id trug.ID) string {
	for _, x := range s.Demo.Sites {
		if x.ID == id {
			return x.Code
		}
	}
	return ""
}

func recorderCode(s apptest.Season, r trug.Record) string {
	for _, p := range s.Demo.People {
		if p.ID == r.RecorderID {
			return p.Code
		}
	}
	return ""
}

func TestAnswersAreKeptAndTakenBack(t *testing.T) {
	s := apptest.New(t, "2026-10-10")
	ctx := t.Context()
	r := s.Demo.Records[0]
	v := s.As(recorderCode(s, r))
	q, err := s.AnswerQuestion(ctx, v, r.ID, app.GivenAnswer{Character: "cap_color", States: []string{"red"}})
	if err != nil || len(q.Answered) != 1 || !strings.Contains(q.Told, "red") {
		t.Fatalf("%+v, %v", q, err)
	}
	if q, err = s.AnswerQuestion(ctx, v, r.ID, app.GivenAnswer{Character: "cap_color", States: []string{"white"}}); err != nil || len(q.Answered) != 1 || q.Answered[0].Answer != "white" {
		t.Errorf("a second answer does not replace the first: %+v, %v", q.Answered, err)
	}
	if q, err = s.AnswerQuestion(ctx, v, r.ID, app.GivenAnswer{Character: "cap_color"}); err != nil || len(q.Answered) != 0 {
		t.Errorf("an answer was not taken back: %+v, %v", q.Answered, err)
	}
	for _, bad := range []app.GivenAnswer{{Character: "cap_color", States: []string{"golden"}}, {Character: "form", States: []string{"cup"}}, {Character: "nothing", Blank: "absent"}} {
		if _, err := s.AnswerQuestion(ctx, v, r.ID, bad); trug.KindOf(err) != trug.Invalid {
			t.Errorf("%+v: %v", bad, err)
		}
	}
	other := "R08"
	if recorderCode(s, r) == other {
		other = "R09"
	}
	if _, err := s.Questions(ctx, s.As(other), r.ID); trug.KindOf(err) != trug.NotFound && trug.KindOf(err) != trug.NotAllowed {
		t.Errorf("another's find: %v", err)
	}
	if _, err := s.KeyOf(ctx, s.As("R08"), r.ID, app.KeyAsked{}); trug.KindOf(err) != trug.NotAllowed {
		t.Errorf("a recorder at the determiners' key: %v", err)
	}
}

// The determiner's key: candidates with reasons, what is tried and not kept,
// two compared, and never what lies under the flap.
func TestKeyOf(t *testing.T) {
	s := apptest.New(t, "2026-10-10")
	ctx, d := t.Context(), s.As("D1")
	id := s.Record("W26-0104")
	tried := []app.GivenAnswer{{Character: "form", States: []string{"gilled"}}, {Character: "cap_color", States: []string{"red"}}, {Character: "ring", States: []string{"hanging"}}}
	sheet, err := s.KeyOf(ctx, d, id, app.KeyAsked{Answers: tried, Compare: []string{"Amanita muscaria", "Amanita pantherina"}})
	if err != nil {
		t.Fatal(err)
	}
	if len(sheet.Candidate) == 0 || sheet.Candidate[0].Name == "" || len(sheet.Asked) == 0 || len(sheet.Open) < len(sheet.Asked) || len(sheet.Apart) == 0 || len(sheet.Doubles) == 0 {
		t.Errorf("%+v", sheet)
	}
	again, err := s.KeyOf(ctx, d, id, app.KeyAsked{})
	if err != nil || len(again.Answered) != 0 {
		t.Errorf("what was tried was kept: %+v, %v", again.Answered, err)
	}
	if _, err := s.KeyOf(ctx, d, id, app.KeyAsked{Compare: []string{"Amanita muscaria", "Nobody here"}}); trug.KindOf(err) != trug.Invalid {
		t.Errorf("%v", err)
	}
}
