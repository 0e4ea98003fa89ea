package dwca

import (
	"bufio"
	"cmp"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"trug"
	"trug/science/describe"
)

// Fact is what is known of one character of a find, or why nothing is. Free
// words are not published.
type Fact struct {
	// Character is the vocabulary's mark, Label its words.
	Character, Label string
	// States are those that the find shows; with Either it shows one of them.
	States []FactState
	Either bool
	// Number is a size or count as describe.ParseSpan reads it, in Unit;
	// Uncertainty is its standard uncertainty, 0 where it is not known.
	Number, Unit string
	Uncertainty  float64
	// Blank says that there is no answer and why, or that the part is absent. A
	// state may say the same in its own words: "not dug out", "no ring".
	Blank describe.Blank
	// Measured says that Number sums up the find's sizes, or that States were
	// filled in from its colours.
	Measured bool
}

// FactState is a state by its mark and in words.
type FactState struct{ Name, Label string }

// blankRemarks are what a row says of a blank. The three are never mixed, and
// never left out: silence would be read as one of them.
var blankRemarks = map[describe.Blank]string{
	describe.NotLookedFor: "Not looked for: no evidence.",
	describe.NotVisible:   "Looked for and could not be told: no evidence.",
	describe.Absent:       "Looked for and absent.",
}

const (
	eitherRemark = "One of the values of this character, which could not be told."
	factMethod   = "described by the recorder in the words of the season's vocabulary"
	// measuredMethod is of a number that sums up the sizes beside it.
	measuredMethod = "summed up from the sizes read off photographs of this find, which have rows of their own"
	// colouredMethod is of states that were filled in from colours.
	colouredMethod = "filled in from the colours measured in photographs of this find, which have rows of their own"
	// coverage stands behind a standard uncertainty.
	coverage = " (standard uncertainty, k=1)"
	// factMark parts a find's identifier from its character, stateMark a
	// character from its state.
	factMark  = "#"
	stateMark = "="
)

// factID returns the measurementID of a row.
func (i identifiers) factID(find trug.PublicID, character, state string) string {
	id := i.of(findPath, find) + factMark + character
	if state != "" {
		id += stateMark + state
	}
	return id
}

func (a *archiveWriter) facts(b *bufio.Writer) error {
	b.WriteString(measurementTable.header())
	r := make([]string, faColumns)
	for i := range a.d.Finds {
		f := &a.d.Finds[i]
		for j := range f.Facts {
			if err := a.fact(b, r, f, &f.Facts[j]); err != nil {
				return err
			}
		}
		if err := a.sizes(b, r, f); err != nil {
			return err
		}
		if err := a.colours(b, r, f); err != nil {
			return err
		}
	}
	return nil
}

// fact writes a row for each state, and one where there is none.
func (a *archiveWriter) fact(b *bufio.Writer, r []string, f *Find, x *Fact) error {
	states := x.States
	if len(states) == 0 {
		states = []FactState{{}}
	}
	for _, s := range states {
		r[faEvent], r[faOccurrence] = a.ids.findEvent(f.Public), a.ids.of(findPath, f.Public)
		r[faID] = a.ids.factID(f.Public, x.Character, s.Name)
		r[faType], r[faValue], r[faUnit] = x.Label, cmp.Or(s.Label, x.Number, string(x.Blank)), x.Unit
		if x.Uncertainty > 0 {
			r[faAccuracy] = strconv.FormatFloat(x.Uncertainty, 'g', -1, 64) + coverage
		}
		r[faMethod], r[faRemarks] = factMethod, blankRemarks[x.Blank]
		switch {
		case x.Measured && x.Number != "":
			r[faMethod] = measuredMethod
		case x.Measured:
			r[faMethod] = colouredMethod
		}
		if x.Either {
			r[faRemarks] = eitherRemark
		}
		if err := put(b, r); err != nil {
			return err
		}
	}
	return nil
}

// fact reads a row; a further state of the same character joins the row
// before it.
func (t *tablesReader) fact(r *tableReader) error {
	c := r.cells
	f, err := t.find(r, faOccurrence)
	if err != nil {
		return err
	}
	if rest, ok := strings.CutPrefix(c[faID], t.ids.of(findPath, f.Public)+sizeMark); ok {
		return t.size(r, f, rest)
	}
	if rest, ok := strings.CutPrefix(c[faID], t.ids.of(findPath, f.Public)+colourMark); ok {
		return t.colour(r, f, rest)
	}
	rest, ok := strings.CutPrefix(c[faID], t.ids.of(findPath, f.Public)+factMark)
	if !ok {
		return r.bad(faID)
	}
	x := Fact{Label: c[faType], Unit: c[faUnit], Either: c[faRemarks] == eitherRemark}
	var state string
	x.Character, state, _ = strings.Cut(rest, stateMark)
	x.Measured = c[faMethod] == measuredMethod && state == "" || c[faMethod] == colouredMethod && state != ""
	if c[faMethod] != factMethod && !x.Measured {
		return r.bad(faMethod)
	}
	for blank, remark := range blankRemarks {
		if c[faRemarks] == remark {
			x.Blank = blank
		}
	}
	if c[faRemarks] != "" && !x.Either && x.Blank == describe.Answered {
		return r.bad(faRemarks)
	}
	switch {
	case state != "":
		x.States = []FactState{{state, c[faValue]}}
	case x.Blank == describe.Answered:
		x.Number = c[faValue]
	case c[faValue] != string(x.Blank):
		return r.bad(faValue)
	}
	if !x.readAccuracy(c[faAccuracy]) {
		return r.bad(faAccuracy)
	}
	if n := len(f.Facts); n > 0 && f.Facts[n-1].joins(x) {
		f.Facts[n-1].States = append(f.Facts[n-1].States, x.States...)
		return nil
	}
	f.Facts = append(f.Facts, x)
	return nil
}

func (x *Fact) readAccuracy(cell string) bool {
	if cell == "" {
		return true
	}
	value, ok := strings.CutSuffix(cell, coverage)
	u, err := strconv.ParseFloat(value, 64)
	x.Uncertainty = u
	return ok && err == nil && u > 0
}

// joins reports whether y is a further state of x.
func (x *Fact) joins(y Fact) bool {
	return x.Character == y.Character && x.Label == y.Label && x.Unit == y.Unit && x.Either == y.Either && x.Measured == y.Measured && x.Blank == y.Blank &&
		len(x.States) > 0 && len(y.States) > 0
}

func tidyFacts(list []Fact) []Fact {
	if len(list) == 0 {
		return nil
	}
	list = slices.Clone(list)
	for i := range list {
		x := &list[i]
		texts(&x.Label, &x.Number, &x.Unit)
		x.States = slices.Clone(x.States)
		for j := range x.States {
			texts(&x.States[j].Label)
		}
		if len(x.States) == 0 {
			x.States = nil
		}
	}
	return list
}

// factName is the form of a character's or state's mark.
var factName = regexp.MustCompile(`^[A-Za-z0-9_.-]{1,100}$`)

func (c *checker) facts(field string, list []Fact) {
	seen := map[string]bool{}
	for _, x := range list {
		if seen[x.Character] || !factName.MatchString(x.Character) || x.Label == "" {
			c.fail(field, "the character %q is described twice, or its mark or label can't be published", x.Character)
		}
		seen[x.Character] = true
		c.factStates(field, x)
		filled := 0
		for _, has := range []bool{len(x.States) > 0, x.Number != "", x.Blank != describe.Answered && len(x.States) == 0} {
			if has {
				filled++
			}
		}
		if filled != 1 || x.Either && (len(x.States) < 2 || x.Blank != describe.Answered) {
			c.fail(field, "%s needs states, a number, or why it is blank: one of them", x.Character)
		}
		if _, known := blankRemarks[x.Blank]; !known && x.Blank != describe.Answered {
			c.fail(field, "%s is blank for %q, which is no reason", x.Character, x.Blank)
		}
		if x.Number != "" {
			if n, err := describe.ParseSpan(x.Number); err != nil || n.String() != x.Number {
				c.fail(field, "%s: %q is no number as it is published", x.Character, x.Number)
			}
		}
		if x.Measured && x.Number == "" && (len(x.States) == 0 || x.Blank != describe.Answered) {
			c.fail(field, "%s is summed up from measurements and has neither number nor states", x.Character)
		}
		if !(x.Uncertainty >= 0) || math.IsInf(x.Uncertainty, 0) || x.Uncertainty > 0 && x.Number == "" {
			c.fail(field, "%s can't have the uncertainty %g", x.Character, x.Uncertainty)
		}
	}
}

func (c *checker) factStates(field string, x Fact) {
	seen := map[string]bool{}
	for _, s := range x.States {
		if seen[s.Name] || !factName.MatchString(s.Name) || s.Label == "" {
			c.fail(field, "the state %q of %s stands twice, or its mark or label can't be published", s.Name, x.Character)
		}
		seen[s.Name] = true
	}
}
