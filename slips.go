package trug

import (
	"fmt"
	"time"
)

// SlipRange is a run of field numbers that was printed on field slips: they
// lie on paper somewhere, so no record is given one of them by the program.
type SlipRange struct {
	ID       ID `json:"id"`
	SeasonID ID `json:"season"`
	// ForayID is the foray they were printed for; may be empty.
	ForayID ID `json:"foray,omitempty"`
	// From is the running figure of the first slip, 301 of "W26-0301"; Count
	// is how many follow one another from it.
	From  int `json:"from"`
	Count int `json:"count"`
	// By is who printed them first, Created when.
	By      ID        `json:"by"`
	Created time.Time `json:"created"`
}

// MostSlips is how many slips are printed, and reserved, at once.
const MostSlips = 2000

// MostNumber is the highest running figure that a slip bears: six figures are
// the longest that the foray table reads.
const MostNumber = 999999

// Until returns the running figure of the last slip.
func (s SlipRange) Until() int { return s.From + s.Count - 1 }

// Holds reports whether a running figure is among them.
func (s SlipRange) Holds(n int) bool { return n >= s.From && n <= s.Until() }

// Meets reports whether two runs share a figure.
func (s SlipRange) Meets(t SlipRange) bool { return s.From <= t.Until() && t.From <= s.Until() }

// Validate returns all that is wrong with the run by itself, or nil.
func (s SlipRange) Validate() error {
	var f Faults
	if s.Count < 1 || s.Count > MostSlips {
		f.add("count", "%d slips can't be printed at once: give 1 to %d", s.Count, MostSlips)
	}
	if s.From < 1 || s.From+max(s.Count, 1)-1 > MostNumber {
		f.add("from", "%d can't be the first number: give the figure after the hyphen, such as 301", s.From)
	}
	return f.orNil()
}

// FieldNumber writes a running figure as a field number of the season with
// the code: "W26-0301".
func FieldNumber(code string, figure int) string { return fmt.Sprintf("%s-%04d", code, figure) }
