package app_test

import (
	"encoding/json"
	"reflect"
	"strings"
	"testing"

	"trug"
	"trug/internal/app"
	"trug/internal/app/apptest"
	"trug/science/key/asking"
	"trug/science/key/starter"
)

// A phone out of reach, and the server in its stead, give the same answer: by the
// standing tables, by a season's own, and by a season that learns.
func TestPhoneAndServerAskTheSame(t *testing.T) {
	s := apptest.New(t, "2026-10-10")
	v, n := s.As("R08"), 0
	same := func(what string) {
		t.Helper()
		held, err := s.Held(t.Context(), v)
		if err != nil {
			t.Fatal(err)
		}
		words, k, err := held.Key.Key()
		if err != nil {
			t.Fatalf("%s: %v", what, err)
		}
		for i, r := range s.Demo.Records {
			if i%15 != 0 || r.Form == "" {
				continue
			}
			asked := app.SpotAsked{Answers: []app.GivenAnswer{{Character: "form", States: []string{r.Form}}}, Views: []string{"top", "side"}}
			if i%2 == 0 {
				asked.May = []string{"pick", "cut", "dig", "print"}
			}
			for range 3 {
				server, err := s.OnTheSpot(t.Context(), v, asked)
				if err != nil {
					t.Fatalf("%s: %v", what, err)
				}
				phone, err := asking.OnTheSpot(words, k, asked)
				if err != nil || !reflect.DeepEqual(server, phone) {
					t.Fatalf("%s, %s: the server asks %+v, the phone %+v (%v)", what, r.Number, server, phone, err)
				}
				if n++; len(server.Asked.Questions) == 0 {
					break
				}
				q := server.Asked.Questions[0]
				next := app.GivenAnswer{Character: q.Character, Blank: "not visible"}
				if len(q.States) > 0 {
					next.Blank, next.States = "", []string{q.States[len(q.States)/2].State}
				}
				asked.Answers = append(asked.Answers, next)
			}
		}
	}
	same("standing")
	handIn(t, s, "characters", ownWords)
	same("own characters")
	handIn(t, s, "matrix", "taxon,name,remarks,form,milk_turns,cap_color\n1,Mycena pura,,gilled,violet,ashen\n2,Russula ochroleuca,,gilled,stays,yellow\n3,Boletus edulis,,bolete,stays,brown\n")
	same("own matrix")
	if n < 30 {
		t.Errorf("only %d were compared", n)
	}
}

// Of records that are kept, too: whatever has been answered or measured, and whatever
// the site allows. What settled finds taught and what is expected of a place stay at
// the server.
func TestPhoneAndServerAskTheSameOfKeptRecords(t *testing.T) {
	s := apptest.New(t, "2026-10-10")
	if _, err := s.SaveKey(t.Context(), s.As("R02"), false, false); err != nil {
		t.Fatal(err)
	}
	n, leave := 0, 0
	same := func(what string) {
		t.Helper()
		for _, code := range []string{"R08", "R09", "R10", "R11"} {
			v := s.As(code)
			for round := range 2 {
				held, err := s.Held(t.Context(), v)
				if err != nil {
					t.Fatal(err)
				}
				words, k, err := held.Key.Key()
				if err != nil {
					t.Fatal(err)
				}
				for i, r := range held.Records[:min(len(held.Records), 12)] {
					server, err := s.Questions(t.Context(), v, r.ID)
					if err != nil {
						t.Fatal(err)
					}
					phone, err := asking.OnTheSpot(words, k, r.Known.Asked)
					if err != nil {
						t.Fatalf("%s, %s: %v", what, r.Number, err)
					}
					got := app.FindQuestions{Group: r.Known.Group, Remain: phone.Asked.Remain, Kinds: phone.Asked.Kinds, Outside: phone.Asked.Outside,
						Questions: phone.Asked.Questions, Told: phone.Asked.Told, Answered: r.Known.Answered, Said: r.Known.Said}
					if !reflect.DeepEqual(server, got) {
						t.Fatalf("%s, %s: the server asks %+v, the phone %+v", what, r.Number, server, got)
					}
					n++
					leave += len(r.Known.Asked.May)
					if round == 0 && len(server.Questions) > 0 {
						q := server.Questions[i%len(server.Questions)]
						given := app.GivenAnswer{Character: q.Character, Blank: "not visible"}
						if len(q.States) > 0 {
							given.Blank, given.States = "", []string{q.States[len(q.States)/2].State}
						} else if q.Unit != "" {
							given.Blank, given.Number = "", "(3-)4.5-6(-7.25)"
						}
						if _, err := s.AnswerQuestion(t.Context(), v, r.ID, given); err != nil {
							t.Fatal(err)
						}
					}
				}
			}
		}
	}
	same("standing")
	handIn(t, s, "matrix", "taxon,name,remarks,form,cap_color\n1,Mycena pura,,gilled,white\n2,Russula ochroleuca,,gilled,yellow\n3,Boletus edulis,,bolete,brown\n")
	same("own matrix")
	if n < 40 || leave == 0 {
		t.Errorf("only %d were compared, %d leaves among them", n, leave)
	}
}

// What a phone holds of a matrix names no kind, and what it is told on the spot
// names none either.
func TestThePhoneHoldsNoNamesWithItsMatrix(t *testing.T) {
	s := apptest.New(t, "2026-10-10")
	handIn(t, s, "matrix", ownKey)
	held, err := s.Held(t.Context(), s.As("R08"))
	if err != nil || held.Key.Matrix == "" {
		t.Fatalf("%+v, %v", held.Key, err)
	}
	spot, err := s.OnTheSpot(t.Context(), s.As("R08"), app.SpotAsked{Answers: []app.GivenAnswer{{Character: "form", States: []string{"gilled"}}}})
	if err != nil {
		t.Fatal(err)
	}
	text, err := json.Marshal([]any{held.Key, spot})
	if err != nil {
		t.Fatal(err)
	}
	for _, x := range append(starter.InWords().Taxa, starter.Published().Taxa...) {
		if strings.Contains(string(text), x.Name) {
			t.Fatalf("a recorder's phone is told %s", x.Name)
		}
	}
}

// The checklist on a phone is names alone, by the alphabet; nothing tells which of
// them are protected.
func TestNamesOnThePhone(t *testing.T) {
	s := apptest.New(t, "2026-10-10")
	if _, err := s.AddNames(t.Context(), s.As("R02"), []byte("name,accepted\nMycena invented,Mycena pura\n")); err != nil {
		t.Fatal(err)
	}
	names, err := s.HeldNames(t.Context(), s.As("R08"))
	if err != nil || len(names) < 50 {
		t.Fatalf("%d names, %v", len(names), err)
	}
	synonyms := 0
	for i, n := range names {
		if i > 0 && names[i-1].Name >= n.Name {
			t.Fatalf("%q stands after %q", n.Name, names[i-1].Name)
		}
		if n.Accepted == "Mycena pura" && n.Name == "Mycena invented" {
			synonyms++
		}
	}
	if synonyms != 1 {
		t.Error("the synonym does not go along")
	}
	if _, err := s.HeldNames(t.Context(), app.Viewer{Season: s.As("R08").Season}); trug.KindOf(err) != trug.NotEntered {
		t.Errorf("an outsider takes names along: %v", err)
	}
}

// Answers given on the spot are kept with the record, and a later save that does
// not name them leaves them as they are.
func TestAnswersComeWithTheRecord(t *testing.T) {
	s := apptest.New(t, "2026-10-10")
	ctx, v, id := t.Context(), s.As("R08"), s.ID()
	e := app.EditableRecord{Found: trug.When{Date: "2026-10-10"}, FieldName: "Mycena", Form: "gilled", Answers: []app.GivenAnswer{{Character: "ring", States: []string{"hanging"}}}}
	if _, err := s.SaveRecord(ctx, v, id, e); err != nil {
		t.Fatal(err)
	}
	e.Answers, e.Remarks = nil, "by the oak"
	if _, err := s.SaveRecord(ctx, v, id, e); err != nil {
		t.Fatal(err)
	}
	q, err := s.Questions(ctx, v, id)
	if err != nil || len(q.Answered) != 1 || q.Answered[0].Character != "ring" {
		t.Fatalf("%+v, %v", q.Answered, err)
	}
	for _, bad := range []app.GivenAnswer{{Character: "form", States: []string{"gilled"}}, {Character: "ring", States: []string{"golden"}}, {Character: "nose", Text: "x"}, {Character: "cap_diameter", Number: "wide"}} {
		e.Answers = []app.GivenAnswer{bad}
		if _, err := s.SaveRecord(ctx, v, id, e); trug.KindOf(err) != trug.Invalid {
			t.Errorf("%+v is kept: %v", bad, err)
		}
	}
}
