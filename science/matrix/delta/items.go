package delta

import (
	"errors"
	"fmt"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"trug/science/describe"
	"trug/science/matrix"
)

// readItems reads "# Name <remark>/ 1,2 3,4-5 4<words>".
func (in *reader) readItems(text string) error {
	for _, item := range split(text, '#') {
		variant := strings.HasPrefix(item, "+")
		name, rest, err := cutName(strings.TrimPrefix(item, "+"))
		if err != nil {
			return err
		}
		t := matrix.Taxon{ID: strconv.Itoa(len(in.m.Taxa) + 1)}
		t.Name, t.Says = comments(name)
		row := make([]matrix.Entry, len(in.m.Characters))
		if variant && len(in.m.Rows) > 0 {
			// A variant shares all that it does not say itself with the item before.
			copy(row, in.m.Rows[len(in.m.Rows)-1])
			t.Name = strings.TrimSpace(in.m.Taxa[len(in.m.Taxa)-1].Name + " " + t.Name)
		}
		if t.Name == "" {
			return fmt.Errorf("item %s has no name", t.ID)
		}
		if t.ID, t.Says = mark("", t.Says, t.ID, func(id string) bool { return in.m.Taxon(id) >= 0 }); in.m.Taxon(t.ID) >= 0 {
			return fmt.Errorf("two items have the mark %s", t.ID)
		}
		if err := in.limits.Allow(len(in.m.Characters), len(in.m.Taxa)+1); err != nil {
			return err
		}
		said := make([]bool, len(row))
		for _, a := range attributes(rest) {
			c, e, err := in.attribute(a)
			if err != nil {
				return fmt.Errorf("%s: %w", t.Name, err)
			}
			row[c], said[c] = e, true
		}
		if !variant {
			in.complete(row, said)
		}
		in.m.Taxa, in.m.Rows = append(in.m.Taxa, t), append(in.m.Rows, row)
	}
	return nil
}

// complete fills what an item leaves out: a character that does not apply by
// its rule, else the implicit value, else it is a blank.
func (in *reader) complete(row []matrix.Entry, said []bool) {
	for c := range row {
		if s, ok := in.implicit[c]; ok && !said[c] && s < len(in.m.Characters[c].States) {
			row[c] = matrix.Entry{Status: matrix.Given, States: []matrix.Shown{{State: s}}}
		}
	}
	for _, r := range in.m.Rules {
		shown := row[r.Character].States
		if len(shown) == 0 || slices.ContainsFunc(shown, func(s matrix.Shown) bool { return !slices.Contains(r.States, s.State) }) {
			continue
		}
		for _, c := range r.Makes {
			if !said[c] {
				row[c] = matrix.Entry{Status: matrix.Inapplicable}
			}
		}
	}
}

// cutName takes the name off an item: up to a slash before a blank or the end.
func cutName(text string) (name, rest string, err error) {
	depth := 0
	for i := 0; i < len(text); i++ {
		switch {
		case text[i] == '<':
			depth++
		case text[i] == '>' && depth > 0:
			depth--
		case text[i] == '/' && depth == 0 && (i+1 == len(text) || isBlank(text[i+1])):
			return text[:i], text[i+1:], nil
		}
	}
	return "", "", fmt.Errorf("the name of the item %q does not end with a slash", head(text))
}

// attributes cuts at the blanks outside of comments.
func attributes(text string) []string {
	var out []string
	from, depth := 0, 0
	for i := 0; i <= len(text); i++ {
		switch {
		case i == len(text) || depth == 0 && isBlank(text[i]):
			if i > from {
				out = append(out, text[from:i])
			}
			from = i + 1
		case text[i] == '<':
			depth++
		case text[i] == '>' && depth > 0:
			depth--
		}
	}
	return out
}

// attribute reads one: "2,1/2<when old>", "3,(7-)8-9", "4<words>", "5,U".
func (in *reader) attribute(text string) (int, matrix.Entry, error) {
	n := 0
	for n < len(text) && text[n] >= '0' && text[n] <= '9' {
		n++
	}
	c, err := strconv.Atoi(text[:n])
	if err != nil || c < 1 || c > len(in.m.Characters) {
		return 0, matrix.Entry{}, fmt.Errorf("%q begins with no character of the list", head(text))
	}
	c--
	ch := in.m.Characters[c]
	before, values, has := strings.Cut(text[n:], ",")
	if strings.Contains(before, "<") && strings.Count(before, "<") != strings.Count(before, ">") {
		before, values, has = text[n:], "", false // the comma stands in the comment
	}
	_, said := comments(before)
	if ch.Kind == matrix.Text {
		if has {
			_, more := comments(values)
			said = strings.Trim(said+" "+more, " ")
		}
		if said == "" {
			return c, matrix.Entry{}, nil
		}
		return c, matrix.Entry{Status: matrix.Given, Text: said}, nil
	}
	if !has {
		return c, matrix.Entry{}, nil // a comment alone says nothing to a key
	}
	switch plain, _ := comments(values); plain {
	case "U":
		return c, matrix.Entry{}, nil
	case "V":
		return c, matrix.Entry{Status: matrix.Depends}, nil
	case "-":
		return c, matrix.Entry{Status: matrix.Inapplicable}, nil
	}
	e, err := values2entry(ch, values)
	if err == nil {
		err = ch.Check(e)
	}
	if err != nil {
		err = fmt.Errorf("character %d (%s), %q: %w", c+1, ch.ID, head(values), err)
	}
	return c, e, err
}

// values2entry reads values joined by / (or), & (and) and - (to).
func values2entry(ch matrix.Character, values string) (matrix.Entry, error) {
	e := matrix.Entry{Status: matrix.Given}
	for _, part := range alternatives(values) {
		plain, note := comments(part)
		if ch.Kind.IsNumber() {
			n, err := describe.ParseSpan(plain)
			if err != nil {
				return e, err
			}
			e.Numbers = append(e.Numbers, n)
			continue
		}
		shown, err := states(ch, plain)
		if err != nil {
			return e, err
		}
		for _, s := range shown {
			noted(&s, note)
			if !slices.ContainsFunc(e.States, func(o matrix.Shown) bool { return o.State == s.State }) {
				e.States = append(e.States, s)
			}
		}
	}
	return e, nil
}

// alternatives cuts at / and & outside of comments.
func alternatives(values string) []string {
	var out []string
	from, depth := 0, 0
	for i := 0; i < len(values); i++ {
		switch {
		case values[i] == '<':
			depth++
		case values[i] == '>' && depth > 0:
			depth--
		case depth == 0 && (values[i] == '/' || values[i] == '&'):
			out = append(out, values[from:i])
			from = i + 1
		}
	}
	return append(out, values[from:])
}

// states reads "2" or "2-4": in an ordered character with those between.
func states(ch matrix.Character, text string) ([]matrix.Shown, error) {
	var ends []int
	for _, part := range strings.Split(text, "-") {
		n, err := strconv.Atoi(part)
		if err != nil || n < 1 || n > len(ch.States) {
			return nil, errors.New("there is no such state")
		}
		ends = append(ends, n-1)
	}
	var out []matrix.Shown
	for i, s := range ends {
		if i > 0 && ch.Kind == matrix.Ordered {
			for between := min(ends[i-1], s) + 1; between < max(ends[i-1], s); between++ {
				out = append(out, matrix.Shown{State: between})
			}
		}
		out = append(out, matrix.Shown{State: s})
	}
	return out, nil
}

// doubtfulNote and frequencyNote are the remarks in which Write keeps what the
// standard has no sign for.
const doubtfulNote = "doubtful"

var frequencyNote = regexp.MustCompile(`^([0-9.]+) % of (\d+) finds$`)

func noted(s *matrix.Shown, note string) {
	for _, part := range strings.Split(note, "; ") {
		if m := frequencyNote.FindStringSubmatch(part); m != nil {
			share, err := strconv.ParseFloat(m[1], 64)
			count, err2 := strconv.Atoi(m[2])
			if err == nil && err2 == nil && share <= 100 {
				s.Frequency, s.Count = share/100, count
				continue
			}
		}
		if part == doubtfulNote {
			s.Doubtful = true
			continue
		}
		if part != "" && s.Note != "" {
			s.Note += "; "
		}
		s.Note += part
	}
}
