package matrix

import (
	"fmt"
	"strings"

	"trug/science/describe"
)

// Name returns what people call a character: its label, else its mark.
func (c Character) Name() string {
	if c.Label == "" {
		return c.ID
	}
	return c.Label
}

// StateName returns what people call a state in the middle of a sentence: its
// label, else its mark.
func (c Character) StateName(s int) string {
	if c.States[s].Label == "" {
		return c.States[s].ID
	}
	return describe.InSentence(c.States[s].Label)
}

// manyStates is how many states of an entry are named one by one.
const manyStates = 5

// Tell puts an entry into words: "red (62 % of 12 finds) or orange", "42–51
// mm". Doubtful states are left out.
func (c Character) Tell(e Entry) string {
	switch e.Status {
	case Blank:
		return "not known"
	case Depends:
		return "varies"
	case Inapplicable:
		return "does not apply"
	}
	var parts []string
	for _, s := range e.States {
		if s.Doubtful {
			continue
		}
		text := c.StateName(s.State)
		if s.Count > 0 {
			text += fmt.Sprintf(" (%.0f %% of %s)", s.Frequency*100, finds(s.Count))
		}
		parts = append(parts, text)
	}
	for _, n := range e.Numbers {
		parts = append(parts, strings.TrimSpace(n.Typeset()+" "+c.Unit))
	}
	if e.Text != "" {
		parts = append(parts, e.Text)
	}
	switch {
	case len(parts) == 0:
		return "not known" // nothing but doubtful states
	case len(parts) > manyStates:
		return fmt.Sprintf("%s or one of %d others", strings.Join(parts[:manyStates-1], " or "), len(parts)-manyStates+1)
	}
	return strings.Join(parts, " or ")
}

func finds(n int) string {
	if n == 1 {
		return "1 find"
	}
	return fmt.Sprintf("%d finds", n)
}

// Counted returns how many finds an entry's frequencies rest on, 0 for a
// book's word.
func (e Entry) Counted() int {
	n := 0
	for _, s := range e.States {
		n = max(n, s.Count)
	}
	return n
}
