package offline

import (
	"encoding/json"
	"errors"
	"slices"
	"testing"

	"trug"
)

// Answers are merged one by one: who answers another question displaces nobody, and
// of one question the rule holds as of any field.
func TestAnswersAreAFieldEach(t *testing.T) {
	m := Message{Phone: phone(1), Number: 1, Set: Values{"form": json.RawMessage(`"gilled"`),
		"answers": json.RawMessage(`[{"character":"cap_color","states":["white"]},{"character":"gill_spacing","states":["crowded"]}]`)}}.Apart()
	changes := []Change{{Version: 1, Phone: phone(2), Number: 1, Fields: []string{"form", AnswerField("cap_color")}}}
	now := Values{"form": json.RawMessage(`"gilled"`), AnswerField("cap_color"): json.RawMessage(`{"character":"cap_color","states":["brown"]}`)}
	got := Merge(changes, now, m)
	if !slices.Equal(got.Take, []string{"form", AnswerField("gill_spacing")}) || !slices.Equal(got.Lost, []Loss{{AnswerField("cap_color"), Unseen}}) {
		t.Errorf("%+v", got)
	}
	if c := AnswersIn(got.Take); !slices.Equal(c, []string{"gill_spacing"}) {
		t.Errorf("answers taken: %q", c)
	}
	// Two who give the same answer agree.
	now[AnswerField("cap_color")] = m.Set[AnswerField("cap_color")]
	if got := Merge(changes, now, m); len(got.Lost) != 0 {
		t.Errorf("%+v", got)
	}
	if got := Differing(Values{}, now); !slices.Equal(got, []string{"form", AnswerField("cap_color")}) {
		t.Errorf("%q", got)
	}
	for _, bad := range []string{`"white"`, `[1]`, `{"character":"x"}`} {
		m := Message{Set: Values{"answers": json.RawMessage(bad)}}
		if got := m.Apart(); string(got.Set["answers"]) != bad {
			t.Errorf("%s became %s", bad, got.Set)
		}
	}
	long, err := json.Marshal(make([]map[string]string, MaxAnswers+1))
	if err != nil {
		t.Fatal(err)
	}
	m = Message{Phone: phone(1), Number: 1, Record: phone(2), Set: Values{"answers": long}}
	if m.Validate() == nil || len(m.Apart().Set) != 1 {
		t.Error("more answers than there are questions are taken")
	}
	if !Same(json.RawMessage("false"), nil) {
		t.Error("what is not ticked differs from what was never said")
	}
}

// What is wrong with a message is said by its words, which screens have in other
// languages.
func TestFaultsAreSaidInEveryLanguage(t *testing.T) {
	err := Message{Seen: -1, Set: Values{"none": nil}, Views: []View{{}}}.Validate()
	var faults trug.Faults
	if !errors.As(err, &faults) || len(faults) != 5 {
		t.Fatalf("%v", err)
	}
	for _, f := range faults {
		if string(f.Said.Words) != f.Says || len(f.Said.Values) != 0 {
			t.Errorf("%q is known by %q", f.Says, f.Said.Words)
		}
	}
}
