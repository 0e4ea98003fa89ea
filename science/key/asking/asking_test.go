package asking_test

import (
	"encoding/json"
	"slices"
	"strings"
	"testing"

	"trug/science/describe"
	"trug/science/key"
	"trug/science/key/asking"
	"trug/science/key/starter"
)

func TestAsksWhatTellsMostAndNamesNothing(t *testing.T) {
	words := describe.Standing()
	k, err := key.New(starter.InWords(), key.Standard(words))
	if err != nil {
		t.Fatal(err)
	}
	none, err := asking.Next(words, k, asking.Known{}, 5)
	if err != nil || len(none.Questions) == 0 || none.Remain != none.Kinds {
		t.Fatalf("%+v, %v", none, err)
	}
	known := asking.Known{Answers: []describe.Answer{{Character: "form", States: []string{"bolete"}}}}
	some, err := asking.Next(words, k, known, 5)
	if err != nil || some.Remain >= none.Remain {
		t.Errorf("a bolete leaves %d of %d kinds (%v)", some.Remain, none.Remain, err)
	}
	for _, q := range some.Questions {
		c, _ := words.Character(q.Character)
		if q.Character == "form" || len(c.Look.Needs()) > 0 {
			t.Errorf("%s is asked, though it is answered or nobody may look", q.Character)
		}
	}
	known.May = []string{"cut", "dig", "print"}
	if more, _ := asking.Next(words, k, known, 40); !slices.ContainsFunc(more.Questions, func(q asking.Question) bool {
		c, _ := words.Character(q.Character)
		return len(c.Look.Needs()) > 0
	}) {
		t.Error("nothing that needs leave is asked where leave is given")
	}
	if _, err := asking.Next(words, k, asking.Known{Answers: []describe.Answer{{Character: "form", States: []string{"dragon"}}}}, 5); err == nil {
		t.Error("a state that does not exist is taken")
	}
	told, err := json.Marshal(some)
	if err != nil {
		t.Fatal(err)
	}
	for _, x := range k.Taxa() {
		if strings.Contains(string(told), x.Name) {
			t.Errorf("%s is named to a recorder", x.Name)
		}
	}
}
