package starter_test

import (
	"regexp"
	"slices"
	"testing"

	"trug/science/describe"
	"trug/science/key"
	"trug/science/key/starter"
	"trug/science/matrix"
)

// The counts of the reference data's README: 173 species, 20 characters,
// blanks by character.
func TestPublishedIsWhole(t *testing.T) {
	m := starter.Published()
	if len(m.Taxa) != 173 || len(m.Characters) != 20 {
		t.Fatalf("%d species, %d characters", len(m.Taxa), len(m.Characters))
	}
	blanks := map[string]int{}
	for _, row := range m.Rows {
		for c, e := range row {
			if e.Status == matrix.Blank {
				blanks[m.Characters[c].ID]++
			}
		}
	}
	for id, given := range map[string]int{"veil-type": 9, "spore-print-color": 18, "veil-color": 21, "stem-root": 27, "stem-surface": 65, "gill-spacing": 102, "cap-diameter": 173, "season": 173} {
		if got := 173 - blanks[id]; got != given {
			t.Errorf("%s is given of %d species, the source counts %d", id, got, given)
		}
	}
	if e := m.Rows[0][0]; e.Numbers[0].String() != "10-20" || m.Taxa[0].Name != "Amanita muscaria" {
		t.Errorf("the first species: %s, %v", m.Taxa[0].Name, e)
	}
}

// The class about eating is nowhere: not as a column, not in a word.
func TestNoWordAboutEating(t *testing.T) {
	eating := regexp.MustCompile(`(?i)\b(class|edib\w*|inedib\w*|eat\w*|tast\w*|poisonous-or-not-recommended)\b`)
	for _, m := range []*matrix.Matrix{starter.Published(), starter.InWords()} {
		for _, c := range m.Characters {
			if w := eating.FindString(c.ID + " " + c.Label + " " + c.Says); w != "" {
				t.Errorf("%s: %q", c.ID, w)
			}
		}
		for _, x := range m.Taxa {
			if w := eating.FindString(x.Says); w != "" {
				t.Errorf("%s: %q", x.Name, w)
			}
		}
	}
	for _, tr := range starter.Traps() {
		if w := eating.FindString(tr.Why + tr.Says); w != "" {
			t.Errorf("%s: %q", tr.Dangerous, w)
		}
	}
}

// Entries against the source's own words and the relations of the map.
func TestInWords(t *testing.T) {
	m := starter.InWords()
	shown := func(name, character string) (listed, doubtful []string) {
		c := m.Character(character)
		for _, s := range m.Rows[m.Taxon(name)][c].States {
			if id := m.Characters[c].States[s.State].ID; s.Doubtful {
				doubtful = append(doubtful, id)
			} else {
				listed = append(listed, id)
			}
		}
		return listed, doubtful
	}
	is := func(name, character string, want ...string) {
		t.Helper()
		if got, _ := shown(name, character); !slices.Equal(got, want) {
			t.Errorf("%s, %s: %v, want %v", name, character, got, want)
		}
	}
	is("Amanita muscaria", "cap_color", "orange", "red")
	is("Amanita muscaria", "gill_attachment", "free", "collar")
	is("Amanita muscaria", "ring", "hanging", "grooved")
	is("Amanita muscaria", "hymenophore", "gills")
	is("Boletus edulis", "hymenophore", "pores")
	is("Amanita fulva", "ring", "none")
	at := func(name, character string) matrix.Entry { return m.Rows[m.Taxon(name)][m.Character(character)] }
	if e := at("Boletus edulis", "gill_attachment"); e.Status != matrix.Inapplicable {
		t.Errorf("gills of a bolete: %+v", e)
	}
	if e := at("Stereum hirsutum", "stem_length"); e.Status != matrix.Inapplicable {
		t.Errorf("stem of a bracket: %+v", e)
	}
	if e := at("Amanita muscaria", "cap_diameter"); e.Numbers[0].String() != "100-200" {
		t.Errorf("cap in mm: %v", e)
	}
	if e := at("Amanita muscaria", "stem_width"); e.Numbers[0].String() != "15-20" {
		t.Errorf("stem width in mm: %v", e)
	}
	// A milkcap "bruises or bleeds": neither its flesh nor its milk is ruled out.
	if listed, doubtful := shown("Lactarius quietus", "bruising"); len(listed) == 0 || !slices.Contains(doubtful, "none") {
		t.Errorf("bruising of a milkcap: %v, doubtful %v", listed, doubtful)
	}
}

// A description by heart leads to its species (from memory: what anybody
// knows of the fly agaric, the cep and the amethyst deceiver).
func TestWellKnownKinds(t *testing.T) {
	v := describe.Standing()
	k, err := key.New(starter.InWords(), key.Standard(v))
	if err != nil {
		t.Fatal(err)
	}
	one := func(c string, s ...string) describe.Answer { return describe.Answer{Character: c, States: s} }
	size := func(c string, x float64) describe.Answer {
		n := describe.Value(x)
		return describe.Answer{Character: c, Number: &n, Uncertainty: x / 20}
	}
	for name, answers := range map[string][]describe.Answer{
		"Amanita muscaria": {one("form", "gilled"), one("cap_color", "red"), one("gill_color", "white"), one("ring", "hanging"), one("gill_attachment", "free"), size("cap_diameter", 130), one("volva", "not_dug")},
		"Boletus edulis":   {one("form", "bolete"), one("cap_color", "brown"), size("stem_width", 60), size("cap_diameter", 150), one("bruising", "none"), one("gill_color", "white", "yellow")},
	} {
		d := describe.Answers{}
		for _, a := range answers {
			d[a.Character] = a
		}
		given, err := k.Answers(v, d)
		if err != nil {
			t.Fatal(err)
		}
		f, err := k.Start(nil)
		if err != nil {
			t.Fatal(err)
		}
		for _, a := range given {
			if err := f.Give(a); err != nil {
				t.Fatal(err)
			}
		}
		if best := f.Best(1)[0]; k.Taxa()[best].Name != name {
			t.Errorf("%s was taken for %s (%.2f against %.2f)", name, k.Taxa()[best].Name, f.Probability(best), f.Probability(k.Taxon(name)))
		}
		if f.Answered(k.Character("volva")) {
			t.Error("\"not dug out\" was taken as evidence")
		}
	}
}

// Traps name characters of the vocabulary.
func TestTrapsAreTold(t *testing.T) {
	for _, tr := range starter.Traps() {
		for _, c := range tr.Settles {
			if _, ok := describe.Standing().Character(c); !ok {
				t.Errorf("%s and %s are settled by %q, which is no character", tr.Dangerous, tr.TakenFor, c)
			}
		}
	}
}
