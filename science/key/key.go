// Package key works out which taxa of a matrix a find can be, from any of its
// characters in any order: the probability of each taxon and of "something
// that is not in this key", what speaks for and against, what could be
// mistaken, and which question would tell most for the least effort.
//
// The model: a taxon shows one of its states by its frequencies, or any of
// them alike; an observer writes down another state with a small probability
// that depends on the character; characters are independent given the taxon.
// That is naive Bayes with errors of observation. A cell about which nothing
// is known makes every state equally likely. A ranking is no name: naming is
// done by people.
//
// Not to be confused: nothing here is cryptographic.
package key

import (
	"errors"
	"fmt"

	"trug/science/matrix"
)

// Caution stands under every ranking that is shown or printed.
const Caution = "A ranking is no name: people name. This is a record of what was seen. It says nothing about eating."

// Key is a matrix made ready for answers. It never changes and may be shared.
type Key struct {
	characters []matrix.Character
	taxa       []matrix.Taxon
	rules      []matrix.Rule
	settings   Settings
	columns    []column
}

// New makes a key of a matrix.
func New(m *matrix.Matrix, s Settings) (*Key, error) {
	if err := m.Validate(); err != nil {
		return nil, err
	}
	b, err := NewBuilder(m.Characters, m.Rules, s)
	if err != nil {
		return nil, err
	}
	for t := range m.Taxa {
		if err := b.Add(m.Taxa[t], m.Rows[t]); err != nil {
			return nil, err
		}
	}
	return b.Key()
}

// Builder makes a key taxon by taxon, for tables too large to hold as a
// matrix.
type Builder struct {
	key   *Key
	names []map[string]uint32 // class by its signature, per character
}

// NewBuilder begins a key with the given characters.
func NewBuilder(characters []matrix.Character, rules []matrix.Rule, s Settings) (*Builder, error) {
	if err := s.validate(); err != nil {
		return nil, err
	}
	b := &Builder{
		key:   &Key{characters: characters, rules: rules, settings: s, columns: make([]column, len(characters))},
		names: make([]map[string]uint32, len(characters)),
	}
	for i, c := range characters {
		if len(c.States) > maxStates {
			return nil, fmt.Errorf("%s has %d states: a key takes %d at most", c.ID, len(c.States), maxStates)
		}
		b.key.columns[i] = column{kind: c.Kind, states: len(c.States), wrong: s.wrong(c.ID), effort: s.effort(c.ID), size: s.Size}
		b.names[i] = map[string]uint32{}
	}
	return b, nil
}

// Add adds a taxon with its row, one entry for each character.
func (b *Builder) Add(t matrix.Taxon, row []matrix.Entry) error {
	if len(row) != len(b.key.columns) {
		return fmt.Errorf("%s has %d entries for %d characters", t.Name, len(row), len(b.key.columns))
	}
	var sign []byte
	for c := range row {
		sign = signature(sign[:0], row[c])
		class, ok := b.names[c][string(sign)]
		if !ok {
			class = uint32(len(b.key.columns[c].classes))
			b.names[c][string(sign)] = class
			b.key.columns[c].classes = append(b.key.columns[c].classes, newClass(row[c]))
		}
		b.key.columns[c].classes[class].taxa++
		b.key.columns[c].class = append(b.key.columns[c].class, class)
	}
	b.key.taxa = append(b.key.taxa, t)
	return nil
}

// Key returns the finished key. The builder is of no further use.
func (b *Builder) Key() (*Key, error) {
	if len(b.key.taxa) == 0 {
		return nil, errors.New("a key needs at least one taxon")
	}
	for c := range b.key.columns {
		b.key.columns[c].finish()
	}
	k := b.key
	b.key = nil
	return k, nil
}

// Characters returns the key's characters; they must not be changed.
func (k *Key) Characters() []matrix.Character { return k.characters }

// Taxa returns the key's taxa; they must not be changed.
func (k *Key) Taxa() []matrix.Taxon { return k.taxa }

// Character returns the number of the character with an identifier, -1 for none.
func (k *Key) Character(id string) int {
	for i := range k.characters {
		if k.characters[i].ID == id {
			return i
		}
	}
	return -1
}

// Taxon returns the number of the taxon with an identifier or a name, -1 for none.
func (k *Key) Taxon(idOrName string) int {
	for i := range k.taxa {
		if k.taxa[i].ID == idOrName || k.taxa[i].Name == idOrName {
			return i
		}
	}
	return -1
}
