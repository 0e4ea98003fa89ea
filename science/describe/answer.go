package describe

import (
	"math"
	"slices"

	"trug/science/said"
)

// Answer is what is known of one character of one find.
type Answer struct {
	Character string `json:"character"`
	// States are the states that the find shows, all of them.
	States []string `json:"states,omitempty"`
	// Either says that it shows one of States, and that one can't tell which.
	Either bool `json:"either,omitempty"`
	// Number is a size or count in the character's unit.
	Number *Span `json:"number,omitempty"`
	// Uncertainty is the standard uncertainty of Number; 0 means not known.
	Uncertainty float64 `json:"uncertainty,omitempty"`
	// Text holds words: the answer of a text character, or a remark.
	Text string `json:"text,omitempty"`
	// Blank says why there is no answer.
	Blank Blank `json:"blank,omitempty"`
	// From is the identifier of the measurement that it was filled from; empty
	// for an answer of somebody's own.
	From string `json:"from,omitempty"`
}

// Answers holds at most one answer a character.
type Answers map[string]Answer

// Check returns what is wrong with an answer, or nil. Several states are
// allowed wherever a fruitbody varies, but a state that stands for a blank
// stands alone.
func (v *Vocabulary) Check(a Answer) error {
	c, ok := v.Character(a.Character)
	if !ok {
		return said.Errorf("there is no character %q", a.Character)
	}
	if a.Blank != Answered {
		if !slices.Contains([]Blank{NotLookedFor, NotVisible, Absent}, a.Blank) || len(a.States) > 0 || a.Number != nil {
			return said.Errorf("%s: a blank is %q, %q or %q and has no answer beside it", c.Name, NotLookedFor, NotVisible, Absent)
		}
		return nil
	}
	for i, name := range a.States {
		s, ok := c.State(name)
		if !ok {
			return said.Errorf("%s has no state %q", c.Name, name)
		}
		if slices.Contains(a.States[:i], name) {
			return said.Errorf("%s has the state %s twice", c.Name, name)
		}
		if s.StandsFor != Answered && len(a.States) > 1 {
			return said.Errorf("%s can't be %q and something else", c.Name, s.Label)
		}
	}
	switch {
	case c.Kind.HasStates() && (len(a.States) == 0 || a.Number != nil):
		return said.Errorf("%s needs one or more of its states", c.Name)
	case c.Kind == Numeric && (a.Number == nil || len(a.States) > 0):
		return said.Errorf("%s needs a number in %s, such as 42, 42-51 or (30-)42-51(-60)", c.Name, c.Unit)
	case c.Kind == Text && (a.Text == "" || len(a.States) > 0 || a.Number != nil):
		return said.Errorf("%s needs words", c.Name)
	}
	if a.Number == nil {
		return nil
	}
	if err := a.Number.Valid(); err != nil {
		return said.Errorf("%s: %w", c.Name, err)
	}
	if a.Number.Least < 0 || !(a.Uncertainty >= 0) || math.IsInf(a.Uncertainty, 0) {
		return said.Errorf("%s: a size or its uncertainty can't be less than nothing", c.Name)
	}
	return nil
}

// Meaning returns why an answer is none, be it said outright or by a state
// that stands for it; Answered where it is one.
func (v *Vocabulary) Meaning(a Answer) Blank {
	if a.Blank != Answered {
		return a.Blank
	}
	if len(a.States) == 1 {
		if c, ok := v.Character(a.Character); ok {
			if s, ok := c.State(a.States[0]); ok {
				return s.StandsFor
			}
		}
	}
	if len(a.States) == 0 && a.Number == nil && a.Text == "" {
		return NotLookedFor
	}
	return Answered
}

// woods are the substrates that are wood, soils those that a plant's distance
// can be told from.
var (
	woods = []string{"living_tree", "dead_standing", "dead_fallen", "dead_branch", "stump", "buried_wood", "worked_wood", "chips", "bark"}
	soils = []string{"soil", "litter_leaf", "litter_needle", "moss", "grass", "peat", "sand", "buried_wood", "burnt"}
)

// Applies reports whether a character is to be asked about a find, by its form
// and by what else has been answered. Where the form is not known, everything
// that no other answer rules out applies.
func (v *Vocabulary) Applies(character string, known Answers) bool {
	c, ok := v.Character(character)
	if !ok {
		return false
	}
	for _, r := range v.rules {
		if r.Character != character {
			continue
		}
		states := known[r.Of].States
		if len(states) > 0 && !slices.ContainsFunc(states, func(s string) bool { return !slices.Contains(r.States, s) }) {
			return false
		}
	}
	return slices.ContainsFunc(c.Groups, func(g string) bool { return v.belongs(g, known) })
}

// belongs reports whether the find is, or may be, of a group.
func (v *Vocabulary) belongs(group string, known Answers) bool {
	forms := known["form"].States
	any := func(list []string, of string) bool {
		states := known[of].States
		return len(states) == 0 || slices.ContainsFunc(states, func(s string) bool { return slices.Contains(list, s) })
	}
	switch group {
	case "all":
		return true
	case "on wood":
		return any(woods, "substrate")
	case "soil forms":
		return any(soils, "substrate")
	case "not gilled":
		return len(forms) == 0 || slices.ContainsFunc(forms, func(f string) bool { return !slices.Contains(v.forms[f], "gilled") })
	}
	return len(forms) == 0 || slices.ContainsFunc(forms, func(f string) bool {
		return slices.Contains(v.forms[f], group) || slices.Contains(v.forms[f], "other")
	})
}

// After returns the characters that must have an answer before the question of
// a character makes sense, none for most.
func (v *Vocabulary) After(character string) []string {
	var out []string
	for _, r := range v.rules {
		if r.After && r.Character == character {
			out = append(out, r.Of)
		}
	}
	return out
}

// presumes reports whether the question of a character takes for granted what
// nobody has told yet.
func (v *Vocabulary) presumes(character string, known Answers) bool {
	return slices.ContainsFunc(v.After(character), func(of string) bool { return len(known[of].States) == 0 })
}

// ToAsk returns the characters that are still to be asked of a person of the
// given kind, in the vocabulary's order: those that apply, that take nothing for
// granted, and that neither an answer nor a view covers. Who "could not tell" is not asked again.
func (v *Vocabulary) ToAsk(who string, known Answers, views []string) []Character {
	var out []Character
	for _, c := range v.characters {
		_, answered := known[c.Name]
		if !answered && c.Asks(who) && v.Applies(c.Name, known) && !v.presumes(c.Name, known) && !c.ShownBy(views) {
			out = append(out, c)
		}
	}
	return out
}
