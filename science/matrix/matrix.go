// Package matrix is a table of taxa by characters: what each taxon can show
// of each character, as a key or a description needs it. It knows no file
// format but its own plain table (Read, Write); sdd and delta below it read
// and write the standards' forms.
package matrix

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"trug/science/describe"
)

// Kind says what a character's values are.
type Kind uint8

// The kinds of character.
const (
	Unordered Kind = iota // one or several of a list of states
	Ordered               // the same, where the list has an order
	Numeric               // a measure, in the character's unit
	Count                 // a whole number
	Text                  // words; a key takes no evidence from them
)

var kindNames = [...]string{"unordered", "ordered", "numeric", "count", "text"}

// String returns the kind's word in the plain table.
func (k Kind) String() string {
	if int(k) < len(kindNames) {
		return kindNames[k]
	}
	return fmt.Sprintf("kind %d", uint8(k))
}

// ParseKind reads a word that String writes.
func ParseKind(word string) (Kind, error) {
	for i, n := range kindNames {
		if n == word {
			return Kind(i), nil
		}
	}
	return 0, fmt.Errorf("%q is no kind of character: use one of %s", word, strings.Join(kindNames[:], ", "))
}

// HasStates reports whether the values are states of a list.
func (k Kind) HasStates() bool { return k == Unordered || k == Ordered }

// IsNumber reports whether the values are numbers.
func (k Kind) IsNumber() bool { return k == Numeric || k == Count }

// Character is a column.
type Character struct {
	// ID is the character's mark, without blanks: "gill_attachment".
	ID    string
	Label string
	// Says is a remark for the reader; it carries no meaning for a key.
	Says string
	Kind Kind
	// Unit is that of a numeric character, in the usual sign: "mm", "um".
	Unit   string
	States []State
}

// State is one value of a character that has states.
type State struct {
	ID    string
	Label string
	Says  string
}

// State returns the number of the state with an identifier, -1 for none.
func (c Character) State(id string) int {
	for i, s := range c.States {
		if s.ID == id {
			return i
		}
	}
	return -1
}

// Rule says that some characters do not apply to what shows nothing but the
// given states of another one: no gill spacing where there are pores.
type Rule struct {
	Character int
	States    []int
	// Makes lists the characters that then do not apply.
	Makes []int
}

// Taxon is a row's head.
type Taxon struct {
	ID string
	// Name is the scientific name, without authors where a name is to be found by it.
	Name string
	// Says is a remark; it may be empty.
	Says string
}

// Status says whether and how a cell is filled.
type Status uint8

// What a cell can say. "Depends" means that the character varies without a
// known bound, with age or weather for instance: it is no evidence.
const (
	Blank        Status = iota // nothing is known
	Given                      // states, numbers or words are given
	Depends                    // anything may occur
	Inapplicable               // the taxon has no such part
)

// Shown is a state that a taxon can show.
type Shown struct {
	State int
	// Frequency is the share of finds that show it, 0 < f <= 1; 0 means that
	// it is not known.
	Frequency float64
	// Count is how many finds the frequency rests on, 0 for a book's word.
	Count int
	// Doubtful marks a state that the source neither grants nor denies: it
	// speaks neither for nor against the taxon.
	Doubtful bool
	// Note is a remark of the source: "when old".
	Note string
}

// Entry is a cell.
type Entry struct {
	Status  Status
	States  []Shown
	Numbers []describe.Span
	Text    string
}

// Matrix is the whole table. Rows[t][c] is taxon t's entry of character c.
type Matrix struct {
	Title      string
	Characters []Character
	Taxa       []Taxon
	Rules      []Rule
	Rows       [][]Entry
}

// Character returns the number of the character with an identifier, -1 for none.
func (m *Matrix) Character(id string) int {
	for i := range m.Characters {
		if m.Characters[i].ID == id {
			return i
		}
	}
	return -1
}

// Taxon returns the number of the taxon with an identifier or a name, -1 for none.
func (m *Matrix) Taxon(idOrName string) int {
	for i := range m.Taxa {
		if m.Taxa[i].ID == idOrName || m.Taxa[i].Name == idOrName {
			return i
		}
	}
	return -1
}

// Validate returns the first thing that is wrong with the table, or nil.
func (m *Matrix) Validate() error {
	seen := map[string]bool{}
	for _, c := range m.Characters {
		if err := c.validate(); err != nil {
			return err
		}
		if seen[c.ID] {
			return fmt.Errorf("the character %q is there twice", c.ID)
		}
		seen[c.ID] = true
	}
	for _, r := range m.Rules {
		if err := m.validateRule(r); err != nil {
			return err
		}
	}
	if len(m.Rows) != len(m.Taxa) {
		return fmt.Errorf("%d taxa have %d rows", len(m.Taxa), len(m.Rows))
	}
	clear(seen)
	for i, t := range m.Taxa {
		if t.ID == "" || t.Name == "" {
			return fmt.Errorf("taxon %d has no mark or no name", i+1)
		}
		if seen[t.ID] {
			return fmt.Errorf("the taxon %q is there twice", t.ID)
		}
		seen[t.ID] = true
		if len(m.Rows[i]) != len(m.Characters) {
			return fmt.Errorf("%s has %d entries for %d characters", t.Name, len(m.Rows[i]), len(m.Characters))
		}
		for c := range m.Rows[i] {
			if err := m.Characters[c].Check(m.Rows[i][c]); err != nil {
				return fmt.Errorf("%s: %w", t.Name, err)
			}
		}
	}
	return nil
}

// Complete fills the blanks of a row that a rule makes inapplicable: those whose
// controlling character shows nothing but the rule's states.
func (m *Matrix) Complete(row []Entry) {
	for _, r := range m.Rules {
		shown := row[r.Character].States
		if len(shown) == 0 || slices.ContainsFunc(shown, func(s Shown) bool { return !slices.Contains(r.States, s.State) }) {
			continue
		}
		for _, c := range r.Makes {
			if row[c].Status == Blank {
				row[c] = Entry{Status: Inapplicable}
			}
		}
	}
}

func (c Character) validate() error {
	if c.ID == "" || strings.ContainsAny(c.ID, " \t\r\n") {
		return fmt.Errorf("a character's mark is %q: it must be one word", c.ID)
	}
	if c.Kind.HasStates() != (len(c.States) > 0) {
		return fmt.Errorf("the character %s is %s and has %d states", c.ID, c.Kind, len(c.States))
	}
	seen := map[string]bool{}
	for _, s := range c.States {
		if s.ID == "" || seen[s.ID] {
			return fmt.Errorf("the character %s has the state %q twice or without a mark", c.ID, s.ID)
		}
		seen[s.ID] = true
	}
	return nil
}

func (m *Matrix) validateRule(r Rule) error {
	if r.Character < 0 || r.Character >= len(m.Characters) {
		return fmt.Errorf("a rule names character %d of %d", r.Character+1, len(m.Characters))
	}
	for _, s := range r.States {
		if s < 0 || s >= len(m.Characters[r.Character].States) {
			return fmt.Errorf("a rule names state %d of %s", s+1, m.Characters[r.Character].ID)
		}
	}
	for _, c := range r.Makes {
		if c < 0 || c >= len(m.Characters) || c == r.Character {
			return fmt.Errorf("a rule of %s makes character %d inapplicable, which can't be", m.Characters[r.Character].ID, c+1)
		}
	}
	return nil
}

// Check returns what is wrong with an entry of the character, or nil.
func (c Character) Check(e Entry) error {
	if e.Status != Given {
		if e.Status > Inapplicable || len(e.States)+len(e.Numbers) > 0 {
			return fmt.Errorf("%s has values where none are given", c.ID)
		}
		return nil
	}
	seen := make(map[int]bool, len(e.States))
	for _, s := range e.States {
		if !c.Kind.HasStates() || s.State < 0 || s.State >= len(c.States) {
			return fmt.Errorf("%s has no state number %d", c.ID, s.State+1)
		}
		if seen[s.State] {
			return fmt.Errorf("%s has the state %s twice", c.ID, c.States[s.State].ID)
		}
		seen[s.State] = true
		if !(s.Frequency >= 0 && s.Frequency <= 1) || s.Count < 0 {
			return fmt.Errorf("the frequency of %s %s is %g of %d finds: it must lie from 0 to 1", c.ID, c.States[s.State].ID, s.Frequency, s.Count)
		}
	}
	for _, n := range e.Numbers {
		if !c.Kind.IsNumber() {
			return fmt.Errorf("%s takes no numbers", c.ID)
		}
		if err := n.Valid(); err != nil {
			return fmt.Errorf("%s: %w", c.ID, err)
		}
	}
	switch {
	case c.Kind.HasStates() && len(e.States) == 0, c.Kind.IsNumber() && len(e.Numbers) == 0, c.Kind == Text && e.Text == "":
		return fmt.Errorf("%s is given without a value", c.ID)
	}
	return nil
}

// Extent returns the range over all spans of an entry, extremes left out, and
// its middle; ok is false where there are none.
func (e Entry) Extent() (low, middle, high float64, ok bool) {
	low, high = math.Inf(1), math.Inf(-1)
	for _, n := range e.Numbers {
		low, high = min(low, n.Low), max(high, n.High)
		middle += n.Middle / float64(len(e.Numbers))
	}
	return low, middle, high, len(e.Numbers) > 0
}
