// Package describe holds the descriptive vocabulary: the characters of a
// fungus that are asked for and the states that each can have, in plain and
// in technical words; which question applies to which find; what an answer can
// be, blanks included; and the prose of a description. It knows words, not
// finds.
package describe

import (
	"embed"
	"slices"
	"sync"
)

// Kind says what the answers of a character are.
type Kind string

// The kinds of character, as the table writes them.
const (
	Single   Kind = "categorical single"   // one state; several where a find is uneven
	Multiple Kind = "categorical multiple" // several states are usual
	Ordered  Kind = "ordered"              // one state of a scale
	Numeric  Kind = "numeric"
	Text     Kind = "text"
)

// HasStates reports whether the answers are states of a list.
func (k Kind) HasStates() bool { return k == Single || k == Multiple || k == Ordered }

// Blank says why there is no answer. The kinds are never mixed: who reads
// "not dug out" as "no bag at the base" endangers people.
type Blank string

// The blanks.
const (
	// Answered is no blank.
	Answered Blank = ""
	// NotLookedFor: nobody tried. No evidence.
	NotLookedFor Blank = "not looked for"
	// NotVisible: somebody tried and could not tell. No evidence.
	NotVisible Blank = "not visible"
	// Absent: it was looked for and is not there. That is evidence.
	Absent Blank = "absent"
)

// State is one state of a character.
type State struct {
	Character string
	// Name is the state's own mark in the vocabulary: "litter_leaf".
	Name string
	// Label and Says are plain words: "Leaf litter", "Among or fixed to fallen leaves".
	Label string
	Says  string
	// Technical is the term of the trade; empty where there is none.
	Technical string
	// StandsFor says that the state is a blank: "not dug out" stands for
	// NotLookedFor, "no ring" for Absent.
	StandsFor Blank
	// Season says that a season added it.
	Season bool
}

// Character is one thing that can be described.
type Character struct {
	// Name is the character's own mark in the vocabulary: "gill_attachment".
	Name string
	// Label and Question are plain words.
	Label    string
	Question string
	Kind     Kind
	// Unit is that of a number: "mm", "count", "per mm", "m", "cm".
	Unit string
	// Groups are the groups of forms that the character applies to; "all" for
	// every form.
	Groups []string
	// AskedOf lists who answers: recorder, determiner, card (a measurement),
	// computed.
	AskedOf []string
	// Technical is the term of the trade.
	Technical string
	// Look says what looking takes.
	Look Look
	// Views lists the kinds of view that show the character.
	Views  []string
	States []State
	// Source names where the character was taken from.
	Source string
	// Season says that a season added it.
	Season bool
}

// Asks reports whether the character is put to a person of the given kind.
func (c Character) Asks(who string) bool { return slices.Contains(c.AskedOf, who) }

// State returns a state by its name.
func (c Character) State(name string) (State, bool) {
	for _, s := range c.States {
		if s.Name == name {
			return s, true
		}
	}
	return State{}, false
}

// Vocabulary is a set of characters with the rules of what applies. It never
// changes and may be shared.
type Vocabulary struct {
	characters []Character
	at         map[string]int
	forms      map[string][]string // groups of each form
	rules      []Rule
}

// Rule says that a character does not apply to a find that shows nothing but
// some states of another one.
type Rule struct {
	Character, Of string
	States        []string
	// After says that the character's question makes no sense before Of has an
	// answer: "where did you see the change?".
	After bool
}

//go:embed data/*.csv
var files embed.FS

// standing is read once; the embedded files are tested to be readable.
var standing = sync.OnceValue(func() *Vocabulary {
	v, err := readEmbedded()
	if err != nil {
		panic(err)
	}
	return v
})

// Standing returns the standing vocabulary.
func Standing() *Vocabulary { return standing() }

// States returns the states of a character of the standing vocabulary in
// their order, none for a character that does not exist.
func States(character string) []State {
	c, _ := Standing().Character(character)
	return c.States
}

// Find returns a state of the standing vocabulary.
func Find(character, state string) (State, bool) {
	c, _ := Standing().Character(character)
	return c.State(state)
}

// Characters returns all characters in their order; they must not be changed.
func (v *Vocabulary) Characters() []Character { return v.characters }

// Character returns a character by its name.
func (v *Vocabulary) Character(name string) (Character, bool) {
	if i, ok := v.at[name]; ok {
		return v.characters[i], true
	}
	return Character{}, false
}

// Rules returns what does not apply where.
func (v *Vocabulary) Rules() []Rule { return v.rules }

// Groups returns the groups of a form, none for a form that does not exist.
func (v *Vocabulary) Groups(form string) []string { return v.forms[form] }
