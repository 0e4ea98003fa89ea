package asking_test

import (
	"encoding/json"
	"math"
	"math/rand/v2"
	"reflect"
	"slices"
	"strings"
	"testing"

	"trug/science/advice"
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
	known := asking.Known{Answers: describe.Answers{"form": {Character: "form", States: []string{"bolete"}}}}
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
	if more, _ := asking.Next(words, k, known, 40); !slices.ContainsFunc(more.Questions, func(q asking.ShownQuestion) bool {
		c, _ := words.Character(q.Character)
		return len(c.Look.Needs()) > 0
	}) {
		t.Error("nothing that needs leave is asked where leave is given")
	}
	if _, err := asking.Next(words, k, asking.Known{Answers: describe.Answers{"form": {Character: "form", States: []string{"dragon"}}}}, 5); err == nil {
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

// On the spot a ring asks for the base first: dug out where that is allowed,
// else looked at; and a view is not asked for that is there.
func TestOnTheSpotARingAsksForTheBase(t *testing.T) {
	words := describe.Standing()
	k, err := key.New(starter.InWords(), key.Standard(words))
	if err != nil {
		t.Fatal(err)
	}
	ring := asking.SpotAsked{Answers: []asking.GivenAnswer{{Character: "form", States: []string{"gilled"}}, {Character: "ring", States: []string{"hanging"}}},
		Views: []string{"top", "side", "underneath", "surroundings"}}
	got, err := asking.OnTheSpot(words, k, ring)
	if err != nil || len(got.Advice) == 0 || got.Advice[0].View != "base" || strings.Contains(got.Advice[0].Text, "lifted") || !strings.HasPrefix(got.Advice[0].Why, "A ringed stem: the base matters") {
		t.Fatalf("%+v, %v", got.Advice, err)
	}
	ring.May = []string{"dig"}
	if got, _ = asking.OnTheSpot(words, k, ring); !strings.Contains(got.Advice[0].Text, "lifted whole") {
		t.Errorf("with leave to dig: %q", got.Advice[0].Text)
	}
	ring.Views = append(ring.Views, "base")
	if got, _ = asking.OnTheSpot(words, k, ring); slices.ContainsFunc(got.Advice, func(a advice.Advice) bool { return a.View == "base" }) {
		t.Errorf("the base is there and asked for: %+v", got.Advice)
	}
	for _, state := range []string{"none", "cobweb", "zone", "not_sure"} {
		ring.Answers[1].States, ring.Views = []string{state}, nil
		if got, _ = asking.OnTheSpot(words, k, ring); len(got.Advice) > 0 && got.Advice[0].View == "base" {
			t.Errorf("%s asks for the base", state)
		}
	}
	ring.Answers[1] = asking.GivenAnswer{Character: "cap_diameter", Number: "forty"}
	if _, err := asking.OnTheSpot(words, k, ring); err == nil {
		t.Error("a number that is none is taken")
	}
}

// What is known of a find goes to a phone as answers, and says the same there.
func TestAnAnswerComesBackFromAPhone(t *testing.T) {
	words := describe.Standing()
	for seed := range uint64(500) {
		r := rand.New(rand.NewPCG(seed, 1))
		a := describe.Answer{Character: "cap_diameter"}
		figures := []float64{math.Round(r.Float64()*1e4) / 100, r.Float64() * 100, float64(r.IntN(90)), 120 + r.Float64(), 200}
		slices.Sort(figures)
		n := describe.Span{Least: figures[0], Low: figures[1], Middle: figures[2], High: figures[3], Most: figures[4], HasMiddle: true}
		if r.IntN(3) == 0 {
			n = describe.Value(figures[1])
		}
		a.Number = &n
		if r.IntN(2) == 0 {
			a.Uncertainty = r.Float64()
		}
		got, nothing, err := asking.Given(a).Read(words)
		if err != nil || nothing || *got.Number != *a.Number || got.Uncertainty != a.Uncertainty {
			t.Fatalf("%s with %v came back as %s with %v (%v)", a.Number, a.Uncertainty, got.Number, got.Uncertainty, err)
		}
	}
	for _, a := range []describe.Answer{{Character: "ring", States: []string{"hanging", "zone"}, Either: true}, {Character: "host", Text: "oak"}, {Character: "ring", Blank: describe.NotVisible}} {
		if got, _, err := asking.Given(a).Read(words); err != nil || !reflect.DeepEqual(got, a) {
			t.Errorf("%+v came back as %+v (%v)", a, got, err)
		}
	}
}
