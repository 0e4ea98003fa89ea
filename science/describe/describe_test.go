package describe

import (
	"regexp"
	"slices"
	"strings"
	"testing"
)

// The reference vocabulary counts 83 characters (34 single, 23 multiple, 6
// ordered, 17 numeric, 3 text) and 517 states; all of it must be there. What
// was added since are lichens and slime moulds.
func TestVocabularyIsWhole(t *testing.T) {
	v := Standing()
	if err := v.Validate(); err != nil {
		t.Fatal(err)
	}
	kinds, states := map[Kind]int{}, 0
	for _, c := range v.Characters() {
		added := c.Source == "MEM"
		if added && !strings.Contains(strings.Join(c.Groups, " "), "lichen") && !slices.Contains(c.Groups, "slime") {
			t.Errorf("%s is new and is of neither lichens nor slime moulds", c.Name)
		}
		if !added {
			kinds[c.Kind]++
			states += len(c.States)
		}
	}
	if kinds[Single] != 34 || kinds[Multiple] != 23 || kinds[Ordered] != 6 || kinds[Numeric] != 17 || kinds[Text] != 3 {
		t.Errorf("kinds %v", kinds)
	}
	if states != 517 {
		t.Errorf("%d states, the reference counts 517", states)
	}
}

// No question about taste, no word about eating: neither in the questions nor
// in the states.
func TestNothingIsTastedOrEaten(t *testing.T) {
	for _, c := range Standing().Characters() {
		text := c.Name + " " + c.Label + " " + c.Question + " " + c.Technical
		for _, s := range c.States {
			text += " " + s.Name + " " + s.Label + " " + s.Says + " " + s.Technical
		}
		if word := eating.FindString(strings.ToLower(text)); word != "" {
			t.Errorf("%s holds the word %q", c.Name, word)
		}
	}
}

var eating = regexp.MustCompile(`\b(tast\w*|flavou?r\w*|edib\w*|eat|eats|eaten|eating|poison\w*|mild|acrid|palatable)\b`)

func TestOneThingPerQuestion(t *testing.T) {
	for _, c := range Standing().Characters() {
		if n := strings.Count(c.Question, "?"); n > 1 {
			t.Errorf("%s asks %d questions at once: %s", c.Name, n, c.Question)
		}
	}
}

func TestFind(t *testing.T) {
	s, ok := Find("substrate", "litter_leaf")
	if !ok || s.Label != "Leaf litter" || s.Technical != "broadleaf litter" {
		t.Errorf("litter_leaf: got %+v, %v", s, ok)
	}
	if _, ok := Find("substrate", "cheese"); ok {
		t.Error("a state that does not exist was found")
	}
	if States("cheese") != nil {
		t.Error("a character that does not exist has states")
	}
}

func form(f string) Answers { return Answers{"form": {Character: "form", States: []string{f}}} }

func TestWhatAppliesFollowsFromTheForm(t *testing.T) {
	v := Standing()
	for _, c := range []struct {
		form, character string
		want            bool
	}{
		{"gilled", "gill_attachment", true}, {"cup", "gill_attachment", false}, {"cup", "cup_rim_hairs", true},
		{"bolete", "pore_density", true}, {"bolete", "gill_edge", false}, {"lichen_leaf", "lichen_lobe_width", true},
		{"lichen_beard", "lichen_branch_core", true}, {"lichen_crust", "lichen_branch_core", false},
		{"slime_stalked", "slime_stalk", true}, {"slime_creeping", "slime_spores", false}, {"slime_creeping", "slime_creeping_color", true},
		{"gilled", "fruitbody_width", false}, {"puffball", "fruitbody_width", true}, {"other", "gill_spacing", true},
		{"gilled", "habit", true},
	} {
		if got := v.Applies(c.character, form(c.form)); got != c.want {
			t.Errorf("%s of a %s: applies %v, want %v", c.character, c.form, got, c.want)
		}
	}
	wood := form("bracket")
	if !v.Applies("wood_decay", wood) {
		t.Error("the wood of a bracket is asked for while nobody has said what it grows on")
	}
	wood["substrate"] = Answer{States: []string{"soil"}}
	if v.Applies("wood_decay", wood) {
		t.Error("how rotten the wood is was asked of a find on soil")
	}
	none := form("gilled")
	none["stem_position"] = Answer{States: []string{"none"}}
	if v.Applies("ring", none) || !v.Applies("gill_spacing", none) {
		t.Error("a find without a stem has gills and no ring")
	}
	none["stem_position"] = Answer{States: []string{"none", "side"}}
	if !v.Applies("ring", none) {
		t.Error("a stem that some have is asked about")
	}
}

// "Not dug out", "could not tell" and "no ring" are never mixed.
func TestThreeBlanks(t *testing.T) {
	v := Standing()
	for _, c := range []struct {
		character, state string
		want             Blank
	}{
		{"volva", "not_dug", NotLookedFor}, {"volva", "none", Absent}, {"ring", "not_sure", NotVisible}, {"ring", "none", Absent},
		{"gill_attachment", "not_seen", NotVisible}, {"stem_base", "plain", Answered}, {"spore_print", "none", NotLookedFor},
		{"test_koh", "not_done", NotLookedFor}, {"test_koh", "none", Absent},
	} {
		if got := v.Meaning(Answer{Character: c.character, States: []string{c.state}}); got != c.want {
			t.Errorf("%s %s stands for %q, want %q", c.character, c.state, got, c.want)
		}
	}
	if v.Meaning(Answer{Character: "ring", Blank: NotVisible}) != NotVisible || v.Meaning(Answer{Character: "ring"}) != NotLookedFor {
		t.Error("a blank said outright was lost")
	}
}

func TestCheck(t *testing.T) {
	v, n, neg := Standing(), Between(3, 5), Between(-3, 5)
	good := []Answer{
		{Character: "cap_color", States: []string{"red", "white"}}, {Character: "cap_shape", States: []string{"convex", "flat"}, Either: true},
		{Character: "cap_diameter", Number: &n}, {Character: "host", Text: "birch"}, {Character: "ring", Blank: NotVisible},
		// Several states where a fruitbody varies, single or not.
		{Character: "stem_shape", States: []string{"club", "bent"}},
	}
	for _, a := range good {
		if err := v.Check(a); err != nil {
			t.Errorf("%+v: %v", a, err)
		}
	}
	for _, a := range []Answer{
		{Character: "colour", States: []string{"red"}}, {Character: "cap_color"}, {Character: "cap_color", States: []string{"pale"}},
		{Character: "cap_color", States: []string{"red", "red"}}, {Character: "ring", States: []string{"none", "hanging"}},
		{Character: "cap_diameter"}, {Character: "cap_diameter", Number: &neg}, {Character: "cap_diameter", Number: &n, Uncertainty: -1},
		{Character: "host"}, {Character: "ring", Blank: "perhaps"}, {Character: "ring", Blank: Absent, States: []string{"none"}},
		{Character: "cap_color", States: []string{"red"}, Number: &n},
	} {
		if v.Check(a) == nil {
			t.Errorf("%+v was taken", a)
		}
	}
}

func TestViewsAnswerForTheRecorder(t *testing.T) {
	asked := func(views ...string) (out []string) {
		for _, c := range Standing().ToAsk("recorder", form("gilled"), views) {
			out = append(out, c.Name)
		}
		return out
	}
	if got := asked(); !slices.Contains(got, "gill_color") || !slices.Contains(got, "smell") || slices.Contains(got, "test_koh") || slices.Contains(got, "form") {
		t.Errorf("without views: %v", got)
	}
	if got := asked("underneath"); slices.Contains(got, "gill_color") || !slices.Contains(got, "smell") {
		t.Errorf("with the underneath: %v", got)
	}
}

// Where a change of colour was seen is asked once there is a change.
func TestNothingIsTakenForGranted(t *testing.T) {
	asked := func(known Answers, character string) bool {
		return slices.ContainsFunc(Standing().ToAsk("recorder", known, nil), func(c Character) bool { return c.Name == character })
	}
	for character, of := range map[string]Answer{"bruising_place": {Character: "bruising", States: []string{"blue"}}, "ring_place": {Character: "ring", States: []string{"hanging"}},
		"veil_color": {Character: "veil_kind", States: []string{"partial"}}} {
		known := form("gilled")
		if asked(known, character) {
			t.Errorf("%s is asked before %s", character, of.Character)
		}
		known[of.Character] = Answer{Character: of.Character, Blank: NotVisible}
		if asked(known, character) {
			t.Errorf("%s is asked though nobody could tell %s", character, of.Character)
		}
		if err := Standing().Check(of); err != nil {
			t.Fatal(err)
		}
		if known[of.Character] = of; !asked(known, character) {
			t.Errorf("%s is never asked", character)
		}
	}
}

func TestSeasonAddsItsOwn(t *testing.T) {
	const head = "character_id,label,question,type,unit,applies_to,asked_of,technical_term,look,views,state_id,state_label,state_definition,state_technical_term,state_stands_for\n"
	v, err := Standing().With(strings.NewReader(head +
		"bog_pool,Bog pool,Is it at a bog pool?,categorical single,,all,recorder,,see,surroundings,yes,At a pool,Within a step of open water,,\n" +
		"bog_pool,,,,,,,,,,no,Not at a pool,Further from open water,,absent\n" +
		"smell,,,,,,,,,,peat_smoke,Peat smoke,Like a peat fire,,\n" +
		"moss_height,Height of the moss,How tall is the moss?,numeric,mm,all,recorder,,measure,,,,,,\n"))
	if err != nil {
		t.Fatal(err)
	}
	c, ok := v.Character("bog_pool")
	if !ok || len(c.States) != 2 || !c.Season || c.States[1].StandsFor != Absent {
		t.Errorf("%+v", c)
	}
	if c, _ := v.Character("smell"); len(c.States) != 27 || !c.States[26].Season {
		t.Errorf("smell has %d states", len(c.States))
	}
	if _, ok := Find("smell", "peat_smoke"); ok {
		t.Error("the standing vocabulary was changed")
	}
	for name, line := range map[string]struct{ text, says string }{
		"no definition":       {"smell,,,,,,,,,,peat,Peat,,,\n", "definition"},
		"label repeated":      {"smell,,,,,,,,,,peat,Peat,peat,,\n", "repeats"},
		"state there already": {"smell,,,,,,,,,,mealy,Mealy,Like flour,,\n", "already"},
		"a form":              {"form,,,,,,,,,,blob,Blob,Like a blob,,\n", "form"},
		"one state alone":     {"x,X,Is it?,ordered,,all,recorder,,see,,a,A,First of all,,\n", "nothing can be chosen"},
		"no look":             {"x,X,Is it?,text,,all,recorder,,stare,,,,,,\n", "look"},
		"unit missing":        {"x,X,Is it?,numeric,,all,recorder,,see,,,,,,\n", "unit"},
		"no such group":       {"x,X,Is it?,text,,ferns,recorder,,see,,,,,,\n", "ferns"},
		"asked of the moon":   {"x,X,Is it?,text,,all,moon,,see,,,,,,\n", "moon"},
		"a mark with blanks":  {"x y,X,Is it?,text,,all,recorder,,see,,,,,,\n", "mark"},
	} {
		if _, err := Standing().With(strings.NewReader(head + line.text)); err == nil || !strings.Contains(err.Error(), line.says) {
			t.Errorf("%s: %v", name, err)
		}
	}
	if _, err := Standing().With(strings.NewReader("a,b\n")); err == nil {
		t.Error("a table with another header was taken")
	}
}

func FuzzSeasonTable(f *testing.F) {
	f.Add("character_id,label,question,type,unit,applies_to,asked_of,technical_term,look,views,state_id,state_label,state_definition,state_technical_term,state_stands_for\nsmell,,,,,,,,,,peat,Peat,Like peat,,\n")
	f.Fuzz(func(t *testing.T, text string) {
		v, err := Standing().With(strings.NewReader(text))
		if err == nil && len(v.Characters()) < len(Standing().Characters()) {
			t.Error("a season took something away")
		}
	})
}
