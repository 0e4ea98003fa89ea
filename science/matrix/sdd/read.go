package sdd

import (
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"

	"trug/science/describe"
	"trug/science/matrix"
)

// maxBytes bounds a file.
const maxBytes = 256 << 20

// Read reads the first data set of an SDD 1.1 file. The notes say what was
// passed over. An error names the element.
func Read(r io.Reader, limits matrix.Limits) (*matrix.Matrix, []string, error) {
	var in datasets
	d := xml.NewDecoder(&bounded{r, maxBytes})
	if err := d.Decode(&in); err != nil {
		return nil, nil, fmt.Errorf("this is no SDD file: %w", err)
	}
	if in.XMLName.Space != namespace {
		return nil, nil, fmt.Errorf("the file is of the namespace %q, not SDD 1.1 (%s)", in.XMLName.Space, namespace)
	}
	if len(in.Dataset) == 0 || in.Dataset[0].Characters == nil {
		return nil, nil, errors.New("the file has no data set with characters")
	}
	s := &reader{limits: limits, in: in.Dataset[0], character: map[string]int{}, state: map[string][2]int{}, taxon: map[string]int{}}
	if len(in.Dataset) > 1 {
		s.notes = append(s.notes, fmt.Sprintf("%d further data sets were passed over", len(in.Dataset)-1))
	}
	if s.in.Representation != nil {
		s.m.Title = first(s.in.Representation.Label)
	}
	for _, step := range []func() error{s.characters, s.trees, s.taxa, s.descriptions, s.m.Validate} {
		if err := step(); err != nil {
			return nil, nil, err
		}
	}
	return &s.m, s.notes, nil
}

// bounded fails where a file goes on beyond the bound.
type bounded struct {
	r    io.Reader
	left int64
}

func (b *bounded) Read(p []byte) (int, error) {
	if b.left <= 0 {
		return 0, fmt.Errorf("the file is larger than the %d MB that can be read", maxBytes>>20)
	}
	n, err := b.r.Read(p[:min(int64(len(p)), b.left)])
	b.left -= int64(n)
	return n, err
}

func first(s []string) string {
	if len(s) == 0 {
		return ""
	}
	return tidy(s[0])
}

type reader struct {
	limits    matrix.Limits
	in        dataset
	m         matrix.Matrix
	character map[string]int
	state     map[string][2]int // character and state
	taxon     map[string]int
	notes     []string
}

// decode takes back what encode made; a mark that it did not make stays.
func decode(id, prefix string) string {
	rest, ok := strings.CutPrefix(id, prefix)
	if !ok {
		return strings.Join(strings.Fields(id), "_")
	}
	var b strings.Builder
	for {
		before, after, ok := strings.Cut(rest, "..")
		b.WriteString(before)
		if !ok {
			return b.String()
		}
		hex, tail, _ := strings.Cut(after, ".")
		if v, err := strconv.ParseInt(hex, 16, 32); err == nil && v > ' ' {
			b.WriteRune(rune(v))
		}
		rest = tail
	}
}

func (s *reader) characters() error {
	list := s.in.Characters.List
	if err := s.limits.Allow(len(list), 0); err != nil {
		return err
	}
	for _, in := range list {
		c := matrix.Character{ID: decode(in.ID, "c."), Label: first(in.Representation.Label), Says: first(in.Representation.Detail)}
		switch in.XMLName.Local {
		case "CategoricalCharacter":
			if in.Assumptions != nil && in.Assumptions.Scale == "Ordinal" {
				c.Kind = matrix.Ordered
			}
			if err := s.states(&c, in); err != nil {
				return err
			}
			if len(c.States) == 0 {
				s.notes = append(s.notes, fmt.Sprintf("the character %s has no states of its own and was passed over", in.ID))
				continue
			}
		case "QuantitativeCharacter":
			c.Kind, c.Unit = matrix.Numeric, unitOf(in)
			if in.Assumptions != nil && in.Assumptions.Integers == "true" {
				c.Kind = matrix.Count
			}
		case "TextCharacter":
			c.Kind = matrix.Text
		default:
			s.notes = append(s.notes, fmt.Sprintf("the character %s is a %s and was passed over", in.ID, in.XMLName.Local))
			continue
		}
		s.character[in.ID] = len(s.m.Characters)
		s.m.Characters = append(s.m.Characters, c)
	}
	return nil
}

func (s *reader) states(c *matrix.Character, in character) error {
	if in.States == nil {
		return nil
	}
	if len(in.States.Definition) > s.limits.States {
		return fmt.Errorf("the character %s has %d states: %d can be read", in.ID, len(in.States.Definition), s.limits.States)
	}
	for i, d := range in.States.Definition {
		s.state[d.ID] = [2]int{len(s.m.Characters), i}
		c.States = append(c.States, matrix.State{ID: decode(d.ID, "s."+encode(c.ID)+"."), Label: first(d.Representation.Label), Says: first(d.Representation.Detail)})
	}
	return nil
}

// prefixes are the signs of the standard's names for parts of a unit.
var prefixes = map[string]string{"micro": "u", "milli": "m", "centi": "c", "kilo": "k", "nano": "n", "deci": "d"}

// unitOf returns the unit with the sign of its default part: "um", "mm".
func unitOf(in character) string {
	u := ""
	if in.Unit != nil && len(in.Unit.Label) > 0 {
		u = tidy(in.Unit.Label[0].Text)
	}
	if in.Default != nil {
		u = prefixes[in.Default.Prefix] + u
	}
	return u
}

func (s *reader) trees() error {
	if s.in.Trees == nil {
		return nil
	}
	for _, t := range s.in.Trees.Tree {
		for _, n := range t.Nodes.CharNode {
			if n.Rules == nil || n.Rules.Inapplicable == nil {
				continue
			}
			made, ok := s.character[n.Character.Ref]
			if !ok {
				return fmt.Errorf("a dependency names the character %q, which is not there", n.Character.Ref)
			}
			by := map[int][]int{}
			var order []int
			for _, st := range n.Rules.Inapplicable.State {
				at, ok := s.state[st.Ref]
				if !ok {
					return fmt.Errorf("a dependency of %s names the state %q, which is not there", n.Character.Ref, st.Ref)
				}
				if by[at[0]] == nil {
					order = append(order, at[0])
				}
				by[at[0]] = append(by[at[0]], at[1])
			}
			for _, c := range order {
				s.m.AddRule(matrix.Rule{Character: c, States: by[c], Makes: []int{made}})
			}
		}
	}
	return nil
}

func (s *reader) taxa() error {
	if s.in.TaxonNames == nil {
		return nil
	}
	for _, t := range s.in.TaxonNames.TaxonName {
		if err := s.addTaxon(t.ID, decode(t.ID, "t."), t.Representation); err != nil {
			return err
		}
	}
	return nil
}

func (s *reader) addTaxon(ref, id string, r representation) error {
	if err := s.limits.Allow(len(s.m.Characters), len(s.m.Taxa)+1); err != nil {
		return err
	}
	s.taxon[ref] = len(s.m.Taxa)
	s.m.Taxa = append(s.m.Taxa, matrix.Taxon{ID: id, Name: first(r.Label), Says: first(r.Detail)})
	s.m.Rows = append(s.m.Rows, make([]matrix.Entry, len(s.m.Characters)))
	return nil
}

func (s *reader) descriptions() error {
	if s.in.Descriptions == nil {
		return nil
	}
	for _, d := range s.in.Descriptions.Description {
		t := -1
		switch {
		case len(d.Scope.TaxonName) == 0:
			// A description of something that is not named: a row of its own.
			if err := s.addTaxon(d.ID, d.ID, d.Representation); err != nil {
				return err
			}
			t = len(s.m.Taxa) - 1
		default:
			at, ok := s.taxon[d.Scope.TaxonName[0].Ref]
			if !ok {
				return fmt.Errorf("the description %s is of the taxon %q, which is not there", d.ID, d.Scope.TaxonName[0].Ref)
			}
			t = at
		}
		if d.Summary == nil {
			continue
		}
		for _, in := range d.Summary.List {
			if err := s.datum(t, in); err != nil {
				return fmt.Errorf("the description %s: %w", d.ID, err)
			}
		}
	}
	return nil
}

func (s *reader) datum(t int, in datum) error {
	c, ok := s.character[in.Ref]
	if !ok {
		s.notes = append(s.notes, fmt.Sprintf("values of %s were passed over", in.Ref))
		return nil
	}
	e := &s.m.Rows[t][c]
	for _, st := range in.Status {
		switch st.Code {
		case notApplicable:
			*e = matrix.Entry{Status: matrix.Inapplicable}
		case notInterpretable:
			*e = matrix.Entry{Status: matrix.Depends}
		}
	}
	for _, st := range in.State {
		at, ok := s.state[st.Ref]
		if !ok || at[0] != c {
			return fmt.Errorf("%s has no state %q", in.Ref, st.Ref)
		}
		e.Status = matrix.Given
		e.States = append(e.States, shown(at[1], st))
	}
	if n, ok, err := span(in); err != nil {
		return fmt.Errorf("%s: %w", in.Ref, err)
	} else if ok {
		e.Status = matrix.Given
		e.Numbers = append(e.Numbers, n)
	}
	if text := first(in.Content); text != "" {
		e.Status, e.Text = matrix.Given, text
	}
	return nil
}

func shown(number int, in state) matrix.Shown {
	s := matrix.Shown{State: number}
	for _, m := range in.Modifier {
		low, err := strconv.ParseFloat(m.Lower, 64)
		high, err2 := strconv.ParseFloat(m.Upper, 64)
		switch {
		case m.Ref == doubtfulMark:
			s.Doubtful = true
		case err == nil && err2 == nil && low >= 0 && low <= high && high <= 1 && high > 0:
			s.Frequency = (low + high) / 2
		}
	}
	for _, n := range in.Note {
		var count int
		if _, err := fmt.Sscanf(n, "%d finds", &count); err == nil && count > 0 && s.Frequency > 0 {
			s.Count = count
			continue
		}
		s.Note = strings.TrimPrefix(s.Note+"; "+tidy(n), "; ")
	}
	return s
}

// span makes one of the measures: percentiles or a range by a method that is
// not known as the ordinary range, else minimum and maximum, else the mean
// with two standard deviations to either side where they are given.
func span(in datum) (describe.Span, bool, error) {
	v := map[string]float64{}
	for _, m := range append(in.Measure, in.PMeasure...) {
		f, err := strconv.ParseFloat(m.Value, 64)
		if err != nil || math.IsNaN(f) || math.IsInf(f, 0) {
			return describe.Span{}, false, fmt.Errorf("%s is %q, no number", m.Type, m.Value)
		}
		v[m.Type] = f
	}
	pick := func(kinds ...string) (float64, bool) {
		for _, k := range kinds {
			if f, ok := v[k]; ok {
				return f, true
			}
		}
		return 0, false
	}
	low, hasLow := pick("PercLower", "UMethLower", "ObserverEstLower", "SDRangeLower", "ConfIntervalLower")
	high, hasHigh := pick("PercUpper", "UMethUpper", "ObserverEstUpper", "SDRangeUpper", "ConfIntervalUpper")
	least, hasLeast := v["Min"]
	most, hasMost := v["Max"]
	middle, hasMiddle := pick("Mean", "Median", "Mode", "UMethCentral", "ObserverEstCentral")
	sd, hasSD := pick("SD", "SDP")
	switch {
	case hasLow && hasHigh:
	case hasLeast && hasMost:
		low, high, hasLeast, hasMost = least, most, false, false
	case hasMiddle && hasSD:
		low, high = middle-2*sd, middle+2*sd
	case hasMiddle:
		low, high = middle, middle
	default:
		return describe.Span{}, false, nil
	}
	s := describe.Between(low, high)
	if hasMiddle && low < high {
		s.Middle, s.HasMiddle = middle, true
	}
	if hasLeast {
		s.Least = least
	}
	if hasMost {
		s.Most = most
	}
	return s, true, s.Valid()
}
