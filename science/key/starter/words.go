package starter

import (
	"fmt"
	"slices"
	"strings"
	"sync"

	"trug/science/describe"
	"trug/science/key"
	"trug/science/matrix"
)

var inWords = sync.OnceValue(func() *matrix.Matrix { return must(readWords()) })

// InWords returns the matrix in the characters and states of the standing
// vocabulary. It must not be changed.
func InWords() *matrix.Matrix { return inWords() }

// link is a line of the map from published codes to our states.
type link struct{ variable, code, character, state, relation string }

// mapping holds the links by variable and code.
type mapping map[[2]string][]link

func readMapping() (mapping, error) {
	rows, err := table("map.csv")
	if err != nil {
		return nil, err
	}
	m := mapping{}
	for _, r := range rows[1:] {
		at := [2]string{r[0], r[1]}
		m[at] = append(m[at], link{r[0], r[1], r[4], r[5], r[6]})
	}
	return m, nil
}

// mainCharacter is the one of ours that a published variable is about; what
// it tells of others is told by some of its codes alone.
var mainCharacter = map[string]string{"does-bruise-or-bleed": "bruising", "stem-root": "stem_base", "veil-type": "veil_kind", "has-ring": "ring", "ring-type": "ring"}

func readWords() (*matrix.Matrix, error) {
	m := &matrix.Matrix{Title: "173 species of Wagner, Heider & Hattab 2021 (CC BY 4.0), in our words"}
	m.Characters, m.Rules = key.Columns(describe.Standing())
	links, err := readMapping()
	if err != nil {
		return nil, err
	}
	names, err := table("names.csv")
	if err != nil {
		return nil, err
	}
	from := Published()
	m.Taxa = from.Taxa
	for t := range from.Taxa {
		row := make([]matrix.Entry, len(m.Characters))
		if err := fillFromMemory(m, row, names[t+1]); err != nil {
			return nil, err
		}
		for c, e := range from.Rows[t] {
			fill(m, row, from.Characters[c], e, links, hasRingType(from, t))
		}
		m.Complete(row)
		m.Rows = append(m.Rows, row)
	}
	return m, m.Validate()
}

// fillFromMemory sets the form and the kind of underside.
func fillFromMemory(m *matrix.Matrix, row []matrix.Entry, name []string) error {
	for i, id := range []string{"form", "hymenophore"} {
		c := m.Character(id)
		e, err := m.Characters[c].Parse(name[3+i])
		if err != nil {
			return fmt.Errorf("%s: %w", name[1], err)
		}
		row[c] = e
	}
	return nil
}

// hasRingType reports whether the source says more of a ring than that it is there.
func hasRingType(from *matrix.Matrix, taxon int) bool {
	c := from.Character("ring-type")
	e := from.Rows[taxon][c]
	return slices.ContainsFunc(e.States, func(s matrix.Shown) bool { return from.Characters[c].States[s.State].ID != "f" })
}

// fill takes one published entry over.
func fill(m *matrix.Matrix, row []matrix.Entry, ch matrix.Character, e matrix.Entry, links mapping, ringType bool) {
	if e.Status != matrix.Given {
		return
	}
	if ch.Kind.IsNumber() {
		fillNumber(m, row, ch, e, links[[2]string{ch.ID, ""}][0])
		return
	}
	// The kind of ring says all that "has a ring" does.
	if ch.ID == "has-ring" && ringType || ch.ID == "ring-type" && !ringType {
		return
	}
	var told []string // our characters, in order
	listed, doubtful := map[string][]string{}, map[string][]string{}
	spoken := map[string]int{} // by how many of the codes
	for _, s := range e.States {
		seen := map[string]bool{}
		for _, l := range links[[2]string{ch.ID, ch.States[s.State].ID}] {
			switch l.relation {
			case "exact", "close", "narrower", "broader":
				if !slices.Contains(told, l.character) {
					told = append(told, l.character)
				}
				if !seen[l.character] {
					seen[l.character] = true
					spoken[l.character]++
				}
				listed[l.character] = append(listed[l.character], l.state)
			case "related":
				doubtful[l.character] = append(doubtful[l.character], l.state)
			}
		}
	}
	main := mainCharacter[ch.ID]
	if main == "" {
		main = strings.ReplaceAll(ch.ID, "-", "_")
	}
	for _, id := range told {
		open := id != main && spoken[id] < len(e.States)
		// Bruising or bleeding: either may be the one that is meant.
		if ch.ID == "does-bruise-or-bleed" && (id == "latex" || slices.Contains(listed[id], "blue")) {
			doubtful[id] = append(doubtful[id], "none")
		}
		c := m.Character(id)
		if row[c].Status == matrix.Blank {
			row[c] = entryOf(m.Characters[c], listed[id], doubtful[id], open)
		}
	}
}

// entryOf lists states; where only some codes of the source speak of the
// character, all its other states are open too.
func entryOf(c matrix.Character, listed, doubtful []string, open bool) matrix.Entry {
	e := matrix.Entry{Status: matrix.Given}
	for s, st := range c.States {
		switch {
		case slices.Contains(listed, st.ID):
			e.States = append(e.States, matrix.Shown{State: s})
		case open || slices.Contains(doubtful, st.ID):
			e.States = append(e.States, matrix.Shown{State: s, Doubtful: true})
		}
	}
	return e
}

// fillNumber takes a size over, centimetres as millimetres. The stem of a
// species without one is 0 in the source.
func fillNumber(m *matrix.Matrix, row []matrix.Entry, ch matrix.Character, e matrix.Entry, l link) {
	factor := 1.0
	if ch.Unit == "cm" {
		factor = 10
	}
	c := m.Character(l.character)
	if _, _, high, _ := e.Extent(); high == 0 {
		row[c] = matrix.Entry{Status: matrix.Inapplicable}
		at := m.Character("stem_position")
		row[at] = entryOf(m.Characters[at], []string{"none"}, nil, false)
		return
	}
	row[c] = matrix.Entry{Status: matrix.Given}
	for _, n := range e.Numbers {
		row[c].Numbers = append(row[c].Numbers, n.Scale(factor))
	}
}

// Traps returns the dangerous doubles that are known from the start; a season
// has its own beside them.
func Traps() []key.Trap { return traps() }

var traps = sync.OnceValue(func() []key.Trap {
	var out []key.Trap
	for _, r := range must(table("traps.csv"))[1:] {
		out = append(out, key.Trap{Dangerous: r[0], TakenFor: r[1], Why: r[2], Settles: strings.Split(r[3], ";"), Says: r[4]})
	}
	return out
})
