package key

import (
	"fmt"
	"slices"

	"trug/science/describe"
	"trug/science/matrix"
)

// Columns turns a vocabulary into the characters and rules of a matrix. The
// states that stand for "not looked for" and "not visible" are left out: they
// are no evidence. What applies to some forms alone becomes a rule.
func Columns(v *describe.Vocabulary) ([]matrix.Character, []matrix.Rule) {
	m := matrix.Matrix{}
	for _, c := range v.Characters() {
		out := matrix.Character{ID: c.Name, Label: c.Label, Says: c.Question, Kind: kinds[c.Kind], Unit: c.Unit}
		if c.Unit == "count" {
			out.Kind = matrix.Count
		}
		for _, s := range c.States {
			if s.StandsFor == describe.Answered || s.StandsFor == describe.Absent {
				out.States = append(out.States, matrix.State{ID: s.Name, Label: s.Label, Says: s.Says})
			}
		}
		if out.Kind.HasStates() && len(out.States) == 0 {
			continue
		}
		m.Characters = append(m.Characters, out)
	}
	form := m.Character("form")
	for i, c := range m.Characters {
		var never []int
		for s, st := range m.Characters[form].States {
			if !v.Applies(c.ID, describe.Answers{"form": {States: []string{st.ID}}}) {
				never = append(never, s)
			}
		}
		if len(never) > 0 && i != form {
			m.AddRule(matrix.Rule{Character: form, States: never, Makes: []int{i}})
		}
	}
	for _, r := range v.Rules() {
		of, made := m.Character(r.Of), m.Character(r.Character)
		if of == form || of < 0 || made < 0 {
			continue // the forms' rules are in already
		}
		var states []int
		for _, s := range r.States {
			if at := m.Characters[of].State(s); at >= 0 {
				states = append(states, at)
			}
		}
		if len(states) > 0 {
			m.AddRule(matrix.Rule{Character: of, States: states, Makes: []int{made}})
		}
	}
	return m.Characters, m.Rules
}

var kinds = map[describe.Kind]matrix.Kind{
	describe.Single: matrix.Unordered, describe.Multiple: matrix.Unordered, describe.Ordered: matrix.Ordered,
	describe.Numeric: matrix.Numeric, describe.Text: matrix.Text,
}

// wrongRates are how often people give a wrong answer, by character: our
// judgement, no source. Structure is strong evidence and colour and smell are
// weak, as the trade has it ("colour never outweighs structure"); a field test
// of a key blamed its weight on colour (FIS93).
var wrongRates = map[string]float64{
	"form": 0.02, "hymenophore": 0.03, "gill_attachment": 0.06, "volva": 0.04, "latex": 0.04, "stem_break": 0.06,
	"spore_print": 0.08, "ring": 0.08, "stem_base": 0.08, "pore_shape": 0.08, "stem_position": 0.05, "season": 0.03,
	"bruising": 0.1, "substrate": 0.1, "habitat": 0.1, "gill_spacing": 0.15, "cap_shape": 0.12, "cap_surface": 0.15,
	"stem_surface": 0.15, "cap_wetness": 0.15, "cap_color": 0.2, "gill_color": 0.2, "stem_color": 0.2, "veil_color": 0.2,
	"smell": 0.3, "consistency": 0.2, "cap_fading": 0.15,
}

// usualWrong is the rate of the characters that wrongRates does not name.
const usualWrong = 0.1

// Standard returns the settings for people's answers in a vocabulary: errors by
// character, efforts by what looking takes, sizes tolerant.
func Standard(v *describe.Vocabulary) Settings {
	s := Settings{NotInKey: 0.05, Kinship: standardKinship, Wrong: usualWrong, Size: Size{Shoulder: TolerantShoulder}, ByCharacter: map[string]Trait{}}
	for _, c := range v.Characters() {
		t := Trait{Wrong: usualWrong, Effort: c.Look.Effort()}
		if w, ok := wrongRates[c.Name]; ok {
			t.Wrong = w
		}
		s.ByCharacter[c.Name] = t
	}
	return s
}

// Answers turns a description into answers to the key. Blanks, words and
// characters that the key lacks or can't weigh are left out.
func (k *Key) Answers(v *describe.Vocabulary, description describe.Answers) ([]Answer, error) {
	var out []Answer
	for c, ch := range k.characters {
		d, ok := description[ch.ID]
		if !ok || !k.columns[c].informed {
			continue
		}
		if err := v.Check(d); err != nil {
			return nil, err
		}
		switch v.Meaning(d) {
		case describe.NotLookedFor, describe.NotVisible:
			continue
		}
		a := Answer{Character: c, Either: d.Either, Number: d.Number, Uncertainty: d.Uncertainty, Absent: d.Blank == describe.Absent}
		for _, name := range d.States {
			s := ch.State(name)
			if s < 0 {
				return nil, fmt.Errorf("%s has no state %q in this key", ch.ID, name)
			}
			a.States = append(a.States, s)
		}
		// "Looked for and absent" is a state of its own where there is one.
		if a.Absent {
			if word, has := v.Character(ch.ID); has {
				if i := slices.IndexFunc(word.States, func(s describe.State) bool { return s.StandsFor == describe.Absent }); i >= 0 {
					if s := ch.State(word.States[i].Name); s >= 0 {
						a.Absent, a.States = false, []int{s}
					}
				}
			}
		}
		out = append(out, a)
	}
	return out, nil
}
