package sdd

import (
	"encoding/xml"
	"fmt"
	"io"
	"strconv"
	"strings"
	"time"

	"trug/science/describe"
	"trug/science/matrix"
)

// Write writes a matrix as SDD 1.1. The instant is that of the writing; the
// version is the program's.
func Write(w io.Writer, m *matrix.Matrix, at time.Time, version string) error {
	if err := m.Validate(); err != nil {
		return err
	}
	if len(m.Taxa) == 0 || len(m.Characters) == 0 {
		return fmt.Errorf("an SDD file needs at least one taxon and one character")
	}
	d := dataset{Lang: "en", Representation: represent(orElse(m.Title, "Character matrix"), ""),
		TaxonNames: &taxonNames{}, Concepts: theModifiers(), Characters: &characters{}, Trees: writeTree(m), Descriptions: &descriptions{}}
	for i, c := range m.Characters {
		d.Characters.List = append(d.Characters.List, writeCharacter(m, i, c))
	}
	labels := map[string]bool{}
	for t, taxon := range m.Taxa {
		id := "t." + encode(taxon.ID)
		d.TaxonNames.TaxonName = append(d.TaxonNames.TaxonName, named{id, *represent(unique(taxon.Name, taxon.ID, labels), taxon.Says)})
		out := description{named: named{"d." + encode(taxon.ID), *represent(d.TaxonNames.TaxonName[t].Representation.Label[0], "")},
			Scope: scope{[]ref{{id}}}, Summary: &summary{}}
		for c, e := range m.Rows[t] {
			out.Summary.List = append(out.Summary.List, writeEntry(m.Characters[c], e)...)
		}
		if len(out.Summary.List) == 0 {
			out.Summary = nil
		}
		d.Descriptions.Description = append(d.Descriptions.Description, out)
	}
	if _, err := io.WriteString(w, xml.Header); err != nil {
		return err
	}
	e := xml.NewEncoder(w)
	e.Indent("", "  ")
	err := e.Encode(datasets{Namespace: namespace, Dataset: []dataset{d},
		Technical: technical{at.UTC().Format("2006-01-02T15:04:05"), generator{"Trug", orElse(version, "0")}}})
	if err == nil {
		_, err = io.WriteString(w, "\n")
	}
	return err
}

func orElse(s, other string) string {
	if strings.TrimSpace(s) == "" {
		return other
	}
	return s
}

// tidy makes a text fit for a label: one line, never empty.
func tidy(s string) string { return strings.Join(strings.Fields(s), " ") }

func represent(label, says string) *representation {
	r := &representation{Label: []string{tidy(label)}}
	if says = tidy(says); says != "" {
		r.Detail = []string{says}
	}
	return r
}

// unique adds the mark to a label that is taken: the schema asks for labels
// that differ.
func unique(name, id string, taken map[string]bool) string {
	if name = tidy(orElse(name, id)); taken[name] {
		name += " [" + id + "]"
	}
	taken[name] = true
	return name
}

// encode makes an identifier of letters, digits and "_.-"; decode takes it back.
func encode(id string) string {
	var b strings.Builder
	for _, r := range id {
		if r >= 'a' && r <= 'z' || r >= 'A' && r <= 'Z' || r >= '0' && r <= '9' || r == '-' || r == '_' {
			b.WriteRune(r)
		} else {
			fmt.Fprintf(&b, "..%X.", r)
		}
	}
	return b.String()
}

func characterID(c matrix.Character) string { return "c." + encode(c.ID) }

func stateID(c matrix.Character, s int) string {
	return "s." + encode(c.ID) + "." + encode(c.States[s].ID)
}

func theModifiers() *concepts {
	return &concepts{[]concept{{named{"concept.modifiers", *represent("How often, how surely", "")}, &modifiers{[]modifier{
		{named{frequencyMark, *represent("by frequency", "The share of finds that show the state; a note says how many finds")}, "Frequency"},
		{named{doubtfulMark, *represent("doubtful", "The source neither grants nor denies the state")}, "Certainty"},
	}}}}}
}

func writeCharacter(m *matrix.Matrix, i int, c matrix.Character) character {
	taken := map[string]bool{}
	for _, other := range m.Characters[:i] {
		taken[tidy(orElse(other.Label, other.ID))] = true
	}
	out := character{named: named{characterID(c), *represent(unique(c.Label, c.ID, taken), c.Says)}}
	switch {
	case c.Kind.HasStates():
		out.XMLName.Local = "CategoricalCharacter"
		out.States = &stateList{}
		labels := map[string]bool{}
		for s, st := range c.States {
			out.States.Definition = append(out.States.Definition, named{stateID(c, s), *represent(unique(st.Label, st.ID, labels), st.Says)})
		}
		out.Assumptions = &assumptions{Scale: "Nominal"}
		if c.Kind == matrix.Ordered {
			out.Assumptions.Scale = "Ordinal"
		}
	case c.Kind.IsNumber():
		out.XMLName.Local = "QuantitativeCharacter"
		if c.Kind == matrix.Count {
			out.Assumptions = &assumptions{Integers: "true"}
		}
		if c.Unit != "" {
			out.Unit = &unit{[]label{{"Abbrev", c.Unit}}}
		}
	default:
		out.XMLName.Local = "TextCharacter"
	}
	return out
}

// writeTree writes the rules as a tree of the characters that depend on one.
func writeTree(m *matrix.Matrix) *trees {
	if len(m.Rules) == 0 {
		return nil
	}
	t := tree{named: named{"tree.dependencies", *represent("Characters that do not always apply", "")}}
	for c := range m.Characters {
		var refs stateRefs
		for _, r := range m.Rules {
			for _, made := range r.Makes {
				if made == c {
					for _, s := range r.States {
						refs.State = append(refs.State, ref{stateID(m.Characters[r.Character], s)})
					}
				}
			}
		}
		if len(refs.State) > 0 {
			t.Nodes.CharNode = append(t.Nodes.CharNode, charNode{&rules{&refs}, ref{characterID(m.Characters[c])}})
		}
	}
	return &trees{[]tree{t}}
}

// writeEntry writes an entry; each span of numbers is a datum of its own.
func writeEntry(c matrix.Character, e matrix.Entry) []datum {
	d := datum{Ref: characterID(c)}
	d.XMLName.Local = map[bool]string{true: "Categorical", false: "TextChar"}[c.Kind.HasStates()]
	if c.Kind.IsNumber() {
		d.XMLName.Local = "Quantitative"
	}
	switch {
	case e.Status == matrix.Blank:
		return nil
	case e.Status == matrix.Inapplicable:
		d.Status = []status{{notApplicable}}
	case e.Status == matrix.Depends:
		d.Status = []status{{notInterpretable}}
	case c.Kind == matrix.Text:
		d.Content = []string{tidy(e.Text)}
	case c.Kind.IsNumber():
		var out []datum
		for _, n := range e.Numbers {
			one := d
			one.Measure = writeSpan(n)
			out = append(out, one)
		}
		return out
	}
	for _, s := range e.States {
		d.State = append(d.State, writeShown(c, s))
	}
	// Without a value a text character would break the schema.
	if d.XMLName.Local == "TextChar" && len(d.Content) == 0 {
		return nil
	}
	return []datum{d}
}

func writeShown(c matrix.Character, s matrix.Shown) state {
	out := state{Ref: stateID(c, s.State)}
	if s.Frequency > 0 {
		f := strconv.FormatFloat(s.Frequency, 'f', -1, 64)
		out.Modifier = append(out.Modifier, modifierRef{frequencyMark, f, f})
		if s.Count > 0 {
			out.Note = append(out.Note, fmt.Sprintf("%d finds", s.Count))
		}
	}
	if s.Doubtful {
		out.Modifier = append(out.Modifier, modifierRef{Ref: doubtfulMark})
	}
	if note := tidy(s.Note); note != "" {
		out.Note = append(out.Note, note)
	}
	return out
}

// writeSpan: the ordinary range by a method that is not known, the extremes as
// such, a single value as a mean.
func writeSpan(n describe.Span) []measure {
	value := func(kind string, v float64) measure {
		return measure{Type: kind, Value: strconv.FormatFloat(v, 'f', -1, 64)}
	}
	var out []measure
	if n.Least < n.Low {
		out = append(out, value("Min", n.Least))
	}
	if n.Low < n.High {
		out = append(out, value("UMethLower", n.Low))
	}
	if n.HasMiddle || n.Low == n.High {
		out = append(out, value("Mean", n.Middle))
	}
	if n.Low < n.High {
		out = append(out, value("UMethUpper", n.High))
	}
	if n.Most > n.High {
		out = append(out, value("Max", n.Most))
	}
	return out
}
