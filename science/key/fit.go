package key

import (
	"fmt"
	"slices"
	"strings"

	"trug/science/describe"
	"trug/science/matrix"
)

// Fit returns a matrix in the characters, states and units of a vocabulary, so
// that a find described in its words can be put to it: characters and states
// are matched by their marks, else by their labels, sizes turned into the
// vocabulary's unit. The notes name all that could not be matched and was left
// out; an entry none of whose states could be matched is blank, since it says
// nothing that can be compared. A matrix with no character in common is an
// error.
func Fit(m *matrix.Matrix, v *describe.Vocabulary) (*matrix.Matrix, []string, error) {
	out := &matrix.Matrix{Title: m.Title, Taxa: m.Taxa}
	out.Characters, out.Rules = Columns(v)
	var notes []string
	match := make([]fitted, len(m.Characters))
	known := 0
	for c, ch := range m.Characters {
		var note string
		if match[c], note = fit(ch, out.Characters); note != "" {
			notes = append(notes, note)
		}
		if at := match[c].at; at >= 0 {
			known++
			for earlier := range c {
				if match[earlier].at == at {
					return nil, nil, fmt.Errorf("the characters %s and %s are both %s of the vocabulary: take one of them out", m.Characters[earlier].ID, ch.ID, out.Characters[at].ID)
				}
			}
		}
	}
	if known == 0 {
		return nil, nil, fmt.Errorf("no character of the matrix is one of the vocabulary by its mark or label: name its columns as the vocabulary does, such as %s, or add them to the season's characters first", firstIDs(out.Characters))
	}
	for t := range m.Taxa {
		row := make([]matrix.Entry, len(out.Characters))
		for c, e := range m.Rows[t] {
			if match[c].at >= 0 {
				row[match[c].at] = match[c].entry(e)
			}
		}
		out.Complete(row)
		out.Rows = append(out.Rows, row)
	}
	return out, notes, out.Validate()
}

// fitted says where a character went.
type fitted struct {
	at     int   // -1 for nowhere
	states []int // -1 for nowhere
	factor float64
}

// metres tells units of length, so that a book's centimetres become the
// vocabulary's millimetres.
var metres = map[string]float64{"um": 1e-6, "µm": 1e-6, "μm": 1e-6, "mm": 1e-3, "cm": 1e-2, "m": 1}

func fit(ch matrix.Character, list []matrix.Character) (fitted, string) {
	f := fitted{at: slices.IndexFunc(list, func(c matrix.Character) bool { return c.ID == ch.ID }), factor: 1}
	if f.at < 0 {
		f.at = slices.IndexFunc(list, func(c matrix.Character) bool { return same(c.ID, c.Label, ch.ID, ch.Label) })
	}
	if f.at < 0 {
		return f, fmt.Sprintf("the character %s is not in the vocabulary and is left out", ch.ID)
	}
	to := list[f.at]
	switch {
	case to.Kind.HasStates() != ch.Kind.HasStates() || to.Kind.IsNumber() != ch.Kind.IsNumber():
		f.at = -1
		return f, fmt.Sprintf("the character %s is %s here and %s in the vocabulary: it is left out", ch.ID, ch.Kind, to.Kind)
	case to.Kind.IsNumber() && ch.Unit != "" && ch.Unit != to.Unit:
		from, into := metres[ch.Unit], metres[to.Unit]
		if from == 0 || into == 0 {
			f.at = -1
			return f, fmt.Sprintf("the character %s is in %s here and in %s in the vocabulary: it is left out", ch.ID, ch.Unit, to.Unit)
		}
		f.factor = from / into
	}
	var lost []string
	for _, s := range ch.States {
		at := to.State(s.ID)
		if at < 0 {
			at = slices.IndexFunc(to.States, func(x matrix.State) bool { return same(x.ID, x.Label, s.ID, s.Label) })
		}
		if f.states = append(f.states, at); at < 0 {
			lost = append(lost, s.ID)
		}
	}
	if len(lost) > 0 {
		return f, fmt.Sprintf("the states %s of %s are not in the vocabulary and are left out", strings.Join(lost, ", "), to.ID)
	}
	return f, ""
}

// same reports whether two marks or labels are alike.
func same(id, label, otherID, otherLabel string) bool {
	return alike(id, otherID) || alike(label, otherLabel) || alike(label, otherID) || alike(id, otherLabel)
}

// alike compares marks or labels without regard to capitals, blanks and signs
// between words.
func alike(a, b string) bool {
	fold := strings.NewReplacer(" ", "", "_", "", "-", "")
	a, b = fold.Replace(a), fold.Replace(b)
	return a != "" && strings.EqualFold(a, b)
}

// entry takes an entry over.
func (f fitted) entry(e matrix.Entry) matrix.Entry {
	if e.Status != matrix.Given {
		return e
	}
	out := matrix.Entry{Status: matrix.Given, Text: e.Text}
	for _, s := range e.States {
		if s.State = f.states[s.State]; s.State >= 0 && !slices.ContainsFunc(out.States, func(x matrix.Shown) bool { return x.State == s.State }) {
			out.States = append(out.States, s)
		}
	}
	for _, n := range e.Numbers {
		out.Numbers = append(out.Numbers, n.Scale(f.factor))
	}
	if len(out.States)+len(out.Numbers) == 0 && out.Text == "" {
		return matrix.Entry{}
	}
	return out
}

func firstIDs(list []matrix.Character) string {
	var ids []string
	for _, c := range list[:min(len(list), 6)] {
		ids = append(ids, c.ID)
	}
	return strings.Join(ids, ", ")
}
