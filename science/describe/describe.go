// Package describe holds the descriptive vocabulary: the characters of a
// fungus that are asked for and the states that each can have, in plain and
// in technical words. It knows words, not finds.
package describe

import (
	"embed"
	"encoding/csv"
	"fmt"
	"io"
	"sync"
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
}

//go:embed data/character_states.csv
var files embed.FS

// vocabulary is read once; the embedded file is tested to be readable.
var vocabulary = sync.OnceValue(func() map[string][]State {
	f, err := files.Open("data/character_states.csv")
	if err != nil {
		panic(err)
	}
	defer f.Close()
	states, err := ReadStates(f)
	if err != nil {
		panic(err)
	}
	return states
})

// States returns the states of a character of the standing vocabulary in
// their order, none for a character that does not exist.
func States(character string) []State { return vocabulary()[character] }

// Find returns the state of a character by its name.
func Find(character, state string) (State, bool) {
	for _, s := range States(character) {
		if s.Name == state {
			return s, true
		}
	}
	return State{}, false
}

// ReadStates reads a table of states: a header line, then the columns
// character_id, state, order, plain label, plain definition, technical term,
// source. It returns the states by character in the order of the lines. An
// error names the line.
func ReadStates(r io.Reader) (map[string][]State, error) {
	c := csv.NewReader(r)
	c.FieldsPerRecord = 7
	if _, err := c.Read(); err != nil {
		return nil, fmt.Errorf("the table of states has no header line: %w", err)
	}
	out := map[string][]State{}
	for {
		row, err := c.Read()
		if err == io.EOF {
			return out, nil
		}
		if err != nil {
			return nil, fmt.Errorf("the table of states can't be read: %w", err)
		}
		line, _ := c.FieldPos(0)
		if row[0] == "" || row[1] == "" || row[3] == "" {
			return nil, fmt.Errorf("line %d of the table of states lacks its character, state or label", line)
		}
		out[row[0]] = append(out[row[0]], State{Character: row[0], Name: row[1], Label: row[3], Says: row[4], Technical: row[5]})
	}
}
