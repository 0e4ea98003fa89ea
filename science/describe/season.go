package describe

import (
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"
)

// seasonColumns is the head of the table by which a season adds characters
// and states, a line a state. The cells of the character stand on its first
// line and may be left out on those that follow; a line whose character is
// there already adds a state to it.
var seasonColumns = []string{"character_id", "label", "question", "type", "unit", "applies_to", "asked_of", "technical_term", "look", "views",
	"state_id", "state_label", "state_definition", "state_technical_term", "state_stands_for"}

// SeasonHead returns the header line of the table by which a season adds
// characters and states, to begin one with.
func SeasonHead() []byte { return []byte(strings.Join(seasonColumns, ",") + "\n") }

// Most that a season may add, so that a pasted book is refused.
const maxSeasonLines = 2000

// With returns the vocabulary with what a season adds by its table. Nothing of
// the standing vocabulary can be changed or taken away. All that is wrong
// comes back as one error, a sentence a line, and nothing is added.
func (v *Vocabulary) With(table io.Reader) (*Vocabulary, error) {
	w := v.clone()
	var faults []error
	lines := 0
	err := rows(table, seasonColumns, func(line int, r []string) {
		if lines++; lines > maxSeasonLines {
			return
		}
		if err := w.addLine(r); err != nil {
			faults = append(faults, fmt.Errorf("line %d: %w", line, err))
		}
	})
	if lines > maxSeasonLines {
		err = errors.Join(err, fmt.Errorf("%d lines are more than the %d that a season may add", lines, maxSeasonLines))
	}
	if err = errors.Join(append([]error{err}, faults...)...); err != nil {
		return nil, err
	}
	if err := w.Validate(); err != nil {
		return nil, err
	}
	return w, nil
}

func (v *Vocabulary) clone() *Vocabulary {
	w := &Vocabulary{at: map[string]int{}, forms: map[string][]string{}, rules: slices.Clone(v.rules)}
	for _, c := range v.characters {
		c.States = slices.Clone(c.States)
		w.at[c.Name] = len(w.characters)
		w.characters = append(w.characters, c)
	}
	for f, g := range v.forms {
		w.forms[f] = g
	}
	return w
}

func (v *Vocabulary) addLine(r []string) error {
	if _, there := v.at[r[0]]; !there {
		c := characterOf(append(slices.Clone(r[:10]), "season"))
		c.Season = true
		if err := v.add(c); err != nil {
			return err
		}
	}
	if r[10] == "" && r[11] == "" {
		return nil // a number or text has no states
	}
	if r[0] == "form" {
		return errors.New("a form can't be added: which questions apply hangs on it; use \"other\" and a character of your own")
	}
	return v.addState(State{Character: r[0], Name: r[10], Label: r[11], Says: r[12], Technical: r[13], StandsFor: Blank(r[14]), Season: true})
}
