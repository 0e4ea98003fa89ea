package describe

import (
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"
)

// readEmbedded reads the standing vocabulary.
func readEmbedded() (*Vocabulary, error) {
	names := []string{"characters", "character_states", "forms", "depends"}
	in := make([]io.Reader, len(names))
	for i, name := range names {
		f, err := files.Open("data/" + name + ".csv")
		if err != nil {
			return nil, err
		}
		defer f.Close()
		in[i] = f
	}
	return Read(in[0], in[1], in[2], in[3])
}

// Columns of the tables that make a vocabulary.
var (
	characterColumns = []string{"character_id", "label", "question", "type", "unit", "applies_to", "asked_of", "technical_term", "look", "views", "source"}
	stateColumns     = []string{"character_id", "state_id", "position", "label", "definition", "technical_term", "source", "stands_for"}
	formColumns      = []string{"form", "groups"}
	ruleColumns      = []string{"character_id", "does_not_apply_where", "states", "only_after"}
)

// Read reads a vocabulary from its four tables (CSV with a header): the
// characters, their states, the groups of each form, and what does not apply
// where. All that is wrong comes back as one error, a sentence a line.
func Read(characters, states, forms, rules io.Reader) (*Vocabulary, error) {
	v := &Vocabulary{at: map[string]int{}, forms: map[string][]string{}}
	var faults []error
	fault := func(table string, line int, format string, a ...any) {
		faults = append(faults, fmt.Errorf("%s, line %d: %s", table, line, fmt.Sprintf(format, a...)))
	}
	err := rows(characters, characterColumns, func(line int, r []string) {
		c := characterOf(r)
		if err := v.add(c); err != nil {
			fault("characters", line, "%v", err)
		}
	})
	err = errors.Join(err, rows(states, stateColumns, func(line int, r []string) {
		if err := v.addState(State{Character: r[0], Name: r[1], Label: r[3], Says: r[4], Technical: r[5], StandsFor: Blank(r[7])}); err != nil {
			fault("states", line, "%v", err)
		}
	}))
	err = errors.Join(err, rows(forms, formColumns, func(_ int, r []string) { v.forms[r[0]] = list(r[1]) }))
	err = errors.Join(err, rows(rules, ruleColumns, func(_ int, r []string) {
		v.rules = append(v.rules, Rule{Character: r[0], Of: r[1], States: strings.Split(r[2], "|"), After: r[3] == "yes"})
	}))
	if err = errors.Join(append([]error{err}, faults...)...); err != nil {
		return nil, err
	}
	return v, v.Validate()
}

func characterOf(r []string) Character {
	return Character{Name: r[0], Label: r[1], Question: r[2], Kind: Kind(r[3]), Unit: r[4], Groups: list(r[5]),
		AskedOf: list(r[6]), Technical: r[7], Look: Look(r[8]), Views: list(r[9]), Source: r[10]}
}

// list reads "a;b"; nil for nothing.
func list(s string) []string {
	var out []string
	for _, p := range strings.Split(s, ";") {
		if p = strings.TrimSpace(p); p != "" {
			out = append(out, p)
		}
	}
	return out
}

// rows hands each line of a table to fn; a blank comes before and after no cell.
func rows(r io.Reader, columns []string, fn func(line int, row []string)) error {
	c := csv.NewReader(r)
	c.FieldsPerRecord = len(columns)
	head, err := c.Read()
	if err != nil {
		return fmt.Errorf("a table has no header line %s: %w", strings.Join(columns, ","), err)
	}
	head[0] = strings.TrimPrefix(head[0], "\ufeff")
	if !slices.Equal(head, columns) {
		return fmt.Errorf("the header of a table is %s: it must be %s", strings.Join(head, ","), strings.Join(columns, ","))
	}
	for {
		row, err := c.Read()
		if err == io.EOF {
			return nil
		}
		if err != nil {
			return fmt.Errorf("a table can't be read: %w", err)
		}
		for i := range row {
			row[i] = strings.TrimSpace(row[i])
		}
		line, _ := c.FieldPos(0)
		fn(line, row)
	}
}

func (v *Vocabulary) add(c Character) error {
	if !isMark(c.Name) || c.Label == "" || c.Question == "" {
		return fmt.Errorf("a character needs its mark (small letters, digits and _), its label and its question; %q lacks one", c.Name)
	}
	if _, ok := v.at[c.Name]; ok {
		return fmt.Errorf("the character %s is there already", c.Name)
	}
	if !c.Kind.HasStates() && c.Kind != Numeric && c.Kind != Text {
		return fmt.Errorf("%s has the type %q: use one of %s, %s, %s, %s, %s", c.Name, c.Kind, Single, Multiple, Ordered, Numeric, Text)
	}
	if (c.Kind == Numeric) != (c.Unit != "") {
		return fmt.Errorf("%s is %s and has the unit %q: a number needs a unit, nothing else has one", c.Name, c.Kind, c.Unit)
	}
	if !c.Look.Valid() {
		return fmt.Errorf("%s has the look %q: use one of %s", c.Name, c.Look, strings.Join(looks(), ", "))
	}
	if len(c.Groups) == 0 || len(c.AskedOf) == 0 {
		return fmt.Errorf("%s applies to no form or is asked of nobody", c.Name)
	}
	for _, who := range c.AskedOf {
		if !slices.Contains([]string{"recorder", "determiner", "card", "computed"}, who) {
			return fmt.Errorf("%s is asked of %q: use recorder, determiner, card or computed", c.Name, who)
		}
	}
	v.at[c.Name] = len(v.characters)
	v.characters = append(v.characters, c)
	return nil
}

func looks() []string {
	var out []string
	for l := range efforts {
		out = append(out, string(l))
	}
	slices.Sort(out)
	return out
}

func isMark(s string) bool {
	for _, r := range s {
		if !(r >= 'a' && r <= 'z' || r >= '0' && r <= '9' || r == '_') {
			return false
		}
	}
	return s != ""
}

func (v *Vocabulary) addState(s State) error {
	i, ok := v.at[s.Character]
	if !ok {
		return fmt.Errorf("there is no character %q", s.Character)
	}
	c := &v.characters[i]
	if !c.Kind.HasStates() {
		return fmt.Errorf("%s is %s and has no states", c.Name, c.Kind)
	}
	if !isMark(s.Name) || s.Label == "" || s.Says == "" {
		return fmt.Errorf("a state of %s needs its mark (small letters, digits and _), its label and its definition; %q lacks one", c.Name, s.Name)
	}
	if strings.EqualFold(s.Says, s.Label) {
		return fmt.Errorf("the definition of %s %s only repeats its label", c.Name, s.Name)
	}
	if _, ok := c.State(s.Name); ok {
		return fmt.Errorf("%s has the state %s already", c.Name, s.Name)
	}
	if !slices.Contains([]Blank{Answered, NotLookedFor, NotVisible, Absent}, s.StandsFor) {
		return fmt.Errorf("%s %s stands for %q: use %q, %q, %q or nothing", c.Name, s.Name, s.StandsFor, NotLookedFor, NotVisible, Absent)
	}
	c.States = append(c.States, s)
	return nil
}

// specialGroups apply by more than the form's own groups; see Applies.
var specialGroups = []string{"all", "not gilled", "soil forms", "on wood"}

// Validate returns what is wrong between the tables, or nil.
func (v *Vocabulary) Validate() error {
	var faults []error
	fault := func(format string, a ...any) { faults = append(faults, fmt.Errorf(format, a...)) }
	groups := map[string]bool{}
	for _, g := range specialGroups {
		groups[g] = true
	}
	form, _ := v.Character("form")
	for f, list := range v.forms {
		if _, ok := form.State(f); !ok {
			fault("the form %q has groups and is no state of form", f)
		}
		for _, g := range list {
			groups[g] = true
		}
	}
	for _, s := range form.States {
		if _, ok := v.forms[s.Name]; !ok {
			fault("the form %s has no line of groups", s.Name)
		}
	}
	for _, c := range v.characters {
		if c.Kind.HasStates() && len(c.States) < 2 {
			fault("%s has %d states: nothing can be chosen", c.Name, len(c.States))
		}
		for _, g := range c.Groups {
			if !groups[g] {
				fault("%s applies to %q, which no form belongs to", c.Name, g)
			}
		}
	}
	for _, r := range v.rules {
		of, ok := v.Character(r.Of)
		if _, has := v.Character(r.Character); !has || !ok || r.Of == r.Character {
			fault("the rule of %s and %s names a character that is not there", r.Character, r.Of)
		}
		for _, s := range r.States {
			if _, ok := of.State(s); !ok {
				fault("the rule of %s names the state %q, which %s lacks", r.Character, s, r.Of)
			}
		}
	}
	return errors.Join(faults...)
}
