package asking

import (
	"fmt"
	"maps"
	"slices"
	"strconv"
	"strings"

	"trug/science/describe"
)

// GivenAnswer is an answer as a screen gives it.
type GivenAnswer struct {
	Character string `json:"character" maxLength:"100"`
	// States are all that the find shows; with Either, one of them.
	States []string `json:"states,omitempty" maxItems:"50"`
	Either bool     `json:"either,omitempty"`
	// Number is typed: "42", "42-51", "(30-)42-51(-60)", "52±3".
	Number string `json:"number,omitempty" maxLength:"100"`
	Text   string `json:"text,omitempty" maxLength:"1000"`
	// Blank says why there is no answer.
	Blank string `json:"blank,omitempty" enum:"not looked for,not visible,absent"`
}

// BadNumber says that a typed number can't be read.
type BadNumber struct{ err error }

// Error says what is wrong with it.
func (e BadNumber) Error() string { return e.err.Error() }

// Read makes an answer of it; saysNothing where all is empty. Its errors are
// BadNumber, and those of a vocabulary that it doesn't fit.
func (g GivenAnswer) Read(words *describe.Vocabulary) (a describe.Answer, saysNothing bool, err error) {
	a = describe.Answer{Character: g.Character, States: g.States, Either: g.Either, Text: strings.TrimSpace(g.Text), Blank: describe.Blank(g.Blank)}
	if len(a.States) == 0 && g.Number == "" && a.Text == "" && a.Blank == describe.Answered {
		return a, true, nil
	}
	if g.Number != "" {
		n, u, err := describe.ParseMeasured(g.Number)
		if err != nil {
			return a, false, BadNumber{err}
		}
		a.Number, a.Uncertainty = &n, u
	}
	return a, false, words.Check(a)
}

// Given is an answer as a screen would give it: read again it says the
// same, but for what it was filled from.
func Given(a describe.Answer) GivenAnswer {
	g := GivenAnswer{Character: a.Character, States: a.States, Either: a.Either, Text: a.Text, Blank: string(a.Blank)}
	if a.Number != nil {
		g.Number = a.Number.String()
		if a.Uncertainty > 0 {
			g.Number += "±" + strconv.FormatFloat(a.Uncertainty, 'g', -1, 64)
		}
	}
	return g
}

// GivenAll are answers as a screen would give them, by the alphabet of their characters.
func GivenAll(answers describe.Answers) []GivenAnswer {
	out := []GivenAnswer{}
	for _, character := range slices.Sorted(maps.Keys(answers)) {
		out = append(out, Given(answers[character]))
	}
	return out
}

// ReadAll reads answers by their characters; those that say nothing are left out.
func ReadAll(words *describe.Vocabulary, list []GivenAnswer) (describe.Answers, error) {
	out := describe.Answers{}
	for _, g := range list {
		a, nothing, err := g.Read(words)
		if err != nil {
			return nil, fmt.Errorf("%s: %w", g.Character, err)
		}
		if !nothing {
			out[a.Character] = a
		}
	}
	return out, nil
}
