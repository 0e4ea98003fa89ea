// Package delta reads and writes character matrices in the text form of the
// DELTA standard (TDWG standard 107, definition of 2005-09-13): directives,
// character list, item descriptions. It knows the directives that a matrix
// needs; others are skipped and named in the notes, as the standard asks.
package delta

import (
	"errors"
	"fmt"
	"io"
	"strconv"
	"strings"
	"unicode/utf8"

	"golang.org/x/text/encoding/charmap"

	"trug/science/matrix"
)

// Encoding is that of a file; the standard declares none, so people are asked.
type Encoding int

// The encodings met with.
const (
	UTF8 Encoding = iota
	Windows1252
)

// maxBytes bounds a file.
const maxBytes = 64 << 20

// Read reads a matrix. The notes say what was skipped. An error names the
// directive, character or item.
func Read(r io.Reader, e Encoding, limits matrix.Limits) (*matrix.Matrix, []string, error) {
	data, err := io.ReadAll(io.LimitReader(r, maxBytes+1))
	if err != nil {
		return nil, nil, err
	}
	if len(data) > maxBytes {
		return nil, nil, fmt.Errorf("the file is larger than the %d MB that can be read", maxBytes>>20)
	}
	if e == Windows1252 {
		if data, err = charmap.Windows1252.NewDecoder().Bytes(data); err != nil {
			return nil, nil, err
		}
	}
	if !utf8.Valid(data) {
		return nil, nil, errors.New("the text is not UTF-8: read it as windows-1252, or say how it is encoded")
	}
	text := strings.TrimPrefix(strings.ReplaceAll(string(data), "\r\n", "\n"), "\ufeff")
	in := &reader{limits: limits, kinds: map[int]matrix.Kind{}, states: map[int]int{}, implicit: map[int]int{}}
	for _, d := range directives(text) {
		if err := in.directive(d); err != nil {
			return nil, nil, fmt.Errorf("*%s: %w", d.name, err)
		}
	}
	if in.m.Characters == nil {
		return nil, nil, errors.New("there is no CHARACTER LIST: this is no matrix in DELTA form")
	}
	// The items come last, whatever their place: they need all the rest.
	if err := in.rules(); err != nil {
		return nil, nil, err
	}
	for _, text := range in.items {
		if err := in.readItems(text); err != nil {
			return nil, nil, err
		}
	}
	return &in.m, in.notes, in.m.Validate()
}

// directive is a control phrase with its data.
type directive struct{ name, data string }

// known maps the first three letters of each word of a control phrase.
var known = map[string]string{
	"SHO": "SHOW", "HEA": "HEADING", "NUM OF CHA": "NUMBER OF CHARACTERS", "MAX NUM OF STA": "MAXIMUM NUMBER OF STATES",
	"MAX NUM OF ITE": "MAXIMUM NUMBER OF ITEMS", "CHA TYP": "CHARACTER TYPES", "NUM OF STA": "NUMBERS OF STATES",
	"CHA LIS": "CHARACTER LIST", "ITE DES": "ITEM DESCRIPTIONS", "IMP VAL": "IMPLICIT VALUES", "DEP CHA": "DEPENDENT CHARACTERS",
	"INA CHA": "DEPENDENT CHARACTERS", "COM": "COMMENT",
}

// directives splits a file at the stars that begin a line or follow a blank.
func directives(text string) []directive {
	var out []directive
	from := -1
	for i := 0; i <= len(text); i++ {
		if i < len(text) && !(text[i] == '*' && (i == 0 || isBlank(text[i-1]))) {
			continue
		}
		if from >= 0 {
			out = append(out, phrase(text[from:i]))
		}
		from = i + 1
	}
	return out
}

func isBlank(b byte) bool { return b == ' ' || b == '\n' || b == '\t' || b == '\r' }

// phrase takes up to four words of capitals, on one line, off the front: as
// many as make a known control phrase, else all of them.
func phrase(text string) directive {
	var words, keys []string
	ends := []int{0}
	for at := 0; len(words) < 4; {
		start := at
		for start < len(text) && (text[start] == ' ' || text[start] == '\t') {
			start++
		}
		end := start
		for end < len(text) && text[end] >= 'A' && text[end] <= 'Z' {
			end++
		}
		if end == start || end < len(text) && !isBlank(text[end]) {
			break
		}
		words = append(words, text[start:end])
		keys = append(keys, text[start:min(start+3, end)])
		ends = append(ends, end)
		at = end
	}
	for n := len(words); n > 0; n-- {
		if name, ok := known[strings.Join(keys[:n], " ")]; ok {
			return directive{name, text[ends[n]:]}
		}
	}
	return directive{strings.Join(words, " "), text[ends[len(words)]:]}
}

// reader is what has been read so far.
type reader struct {
	limits   matrix.Limits
	m        matrix.Matrix
	number   int
	kinds    map[int]matrix.Kind
	states   map[int]int
	implicit map[int]int
	depend   []string
	items    []string
	notes    []string
}

func (in *reader) directive(d directive) error {
	switch d.name {
	case "SHOW", "HEADING":
		if in.m.Title == "" {
			in.m.Title = strings.Join(strings.Fields(d.data), " ")
		}
	case "NUMBER OF CHARACTERS":
		n, err := strconv.Atoi(strings.TrimSpace(d.data))
		if err != nil || n < 1 {
			return fmt.Errorf("%q is no number of characters", strings.TrimSpace(d.data))
		}
		in.number = n
		return in.limits.Allow(n, 0)
	case "CHARACTER TYPES":
		return in.forEach(d.data, ",", func(c int, v string) error {
			k, ok := map[string]matrix.Kind{"UM": matrix.Unordered, "OM": matrix.Ordered, "IN": matrix.Count, "RN": matrix.Numeric, "TE": matrix.Text}[v]
			if !ok {
				return fmt.Errorf("%q is no type of character", v)
			}
			in.kinds[c] = k
			return nil
		})
	case "NUMBERS OF STATES":
		return in.forEach(d.data, ",", func(c int, v string) error {
			n, err := strconv.Atoi(v)
			if err != nil || n < 1 || n > in.limits.States {
				return fmt.Errorf("%q is no number of states up to %d", v, in.limits.States)
			}
			in.states[c] = n
			return nil
		})
	case "IMPLICIT VALUES":
		return in.forEach(d.data, ",", func(c int, v string) error {
			first, _, _ := strings.Cut(v, ":")
			n, err := strconv.Atoi(first)
			if err != nil || n < 1 {
				return fmt.Errorf("%q is no state", v)
			}
			in.implicit[c] = n - 1
			return nil
		})
	case "CHARACTER LIST":
		return in.characters(d.data)
	case "DEPENDENT CHARACTERS":
		in.depend = append(in.depend, strings.Fields(d.data)...)
	case "ITEM DESCRIPTIONS":
		in.items = append(in.items, d.data)
	case "COMMENT", "MAXIMUM NUMBER OF STATES", "MAXIMUM NUMBER OF ITEMS":
		// Hints for programs that must reserve room; the limits do that here.
	default:
		if d.name != "" {
			in.notes = append(in.notes, "*"+d.name+" is not used here and was skipped")
		}
	}
	return nil
}

// forEach reads "1-3,UM 4,TE": sets of characters with a value each.
func (in *reader) forEach(data, sep string, fn func(c int, v string) error) error {
	for _, word := range strings.Fields(data) {
		set, v, ok := strings.Cut(word, sep)
		if !ok {
			return fmt.Errorf("%q has no value", word)
		}
		list, err := in.set(set)
		if err != nil {
			return err
		}
		for _, c := range list {
			if err := fn(c, v); err != nil {
				return fmt.Errorf("character %d: %w", c+1, err)
			}
		}
	}
	return nil
}

// set reads "3", "3-7" or "3:5-7" as numbers from 0.
func (in *reader) set(text string) ([]int, error) {
	var out []int
	for _, part := range strings.Split(text, ":") {
		a, b, isRange := strings.Cut(part, "-")
		first, err := strconv.Atoi(a)
		last := first
		if err == nil && isRange {
			last, err = strconv.Atoi(b)
		}
		if err != nil || first < 1 || last < first || last > in.limits.Characters {
			return nil, fmt.Errorf("%q is no set of characters", text)
		}
		for c := first; c <= last; c++ {
			out = append(out, c-1)
		}
		if len(out) > in.limits.Characters {
			return nil, fmt.Errorf("%q names more characters than can be read", text)
		}
	}
	return out, nil
}

// rules reads "1,2/3:2:5-6": where character 1 shows states 2 or 3 alone,
// characters 2, 5 and 6 do not apply.
func (in *reader) rules() error {
	for _, word := range in.depend {
		head, makes, ok := strings.Cut(word, ":")
		control, states, has := strings.Cut(head, ",")
		c, err := strconv.Atoi(control)
		if !ok || !has || err != nil {
			return fmt.Errorf("*DEPENDENT CHARACTERS: %q is not of the form character,states:characters", word)
		}
		r := matrix.Rule{Character: c - 1}
		for _, s := range strings.Split(states, "/") {
			n, err := strconv.Atoi(s)
			if err != nil {
				return fmt.Errorf("*DEPENDENT CHARACTERS: %q names no state", word)
			}
			r.States = append(r.States, n-1)
		}
		if r.Makes, err = in.set(makes); err != nil {
			return fmt.Errorf("*DEPENDENT CHARACTERS: %w", err)
		}
		in.m.AddRule(r)
	}
	return in.m.Validate()
}

// characters reads the list: "#1. feature/ 1. state/ 2. state/".
func (in *reader) characters(data string) error {
	for n, part := range split(data, '#') {
		number, rest, ok := strings.Cut(part, ".")
		if got, err := strconv.Atoi(strings.TrimSpace(number)); !ok || err != nil || got != n+1 {
			return fmt.Errorf("character %d was expected where %q stands", n+1, head(part))
		}
		if err := in.limits.Allow(n+1, 0); err != nil {
			return err
		}
		c, err := in.character(n, slashed(rest))
		if err != nil {
			return fmt.Errorf("character %d: %w", n+1, err)
		}
		in.m.Characters = append(in.m.Characters, c)
	}
	if in.number > 0 && in.number != len(in.m.Characters) {
		return fmt.Errorf("%d characters are listed where %d were announced", len(in.m.Characters), in.number)
	}
	return nil
}

func (in *reader) character(n int, texts []string) (matrix.Character, error) {
	if len(texts) == 0 {
		return matrix.Character{}, errors.New("it has no feature")
	}
	c := matrix.Character{Kind: in.kinds[n]}
	c.Label, c.Says = comments(texts[0])
	taken := func(id string) bool { return in.m.Character(id) >= 0 }
	c.ID, c.Says = mark(c.Label, c.Says, fmt.Sprintf("c%d", n+1), taken)
	if !c.Kind.HasStates() {
		if len(texts) > 1 && c.Kind.IsNumber() {
			c.Unit, _ = comments(texts[1])
		}
		return c, nil
	}
	want, stated := in.states[n]
	if !stated {
		want = 2
	}
	for i, t := range texts[1:] {
		number, label, ok := strings.Cut(t, ".")
		if got, err := strconv.Atoi(strings.TrimSpace(number)); !ok || err != nil || got != i+1 {
			return c, fmt.Errorf("state %d was expected where %q stands", i+1, head(t))
		}
		var s matrix.State
		s.Label, s.Says = comments(label)
		s.ID, s.Says = mark(s.Label, s.Says, fmt.Sprintf("s%d", i+1), func(id string) bool { return c.State(id) >= 0 })
		c.States = append(c.States, s)
	}
	if len(c.States) != want {
		return c, fmt.Errorf("%d states are listed where %d were announced", len(c.States), want)
	}
	return c, nil
}

// markSign begins the comment in which Write leaves an identifier.
const markSign = "id "

// mark makes an identifier: the one that Write left in a comment; else the
// label's own words joined; else the fallback.
func mark(label, says, fallback string, taken func(string) bool) (id, rest string) {
	if given, ok := strings.CutPrefix(says, markSign); ok {
		id, rest, _ := strings.Cut(given, "; ")
		if id != "" && !strings.ContainsAny(id, " \t\n") && !taken(id) {
			return id, rest
		}
	}
	var b strings.Builder
	for _, r := range strings.ToLower(label) {
		switch {
		case r >= 'a' && r <= 'z' || r >= '0' && r <= '9':
			b.WriteRune(r)
		case b.Len() > 0 && !strings.HasSuffix(b.String(), "_"):
			b.WriteByte('_')
		}
	}
	if id = strings.Trim(b.String(), "_"); id == "" || taken(id) {
		id = fallback
		for i := 2; taken(id); i++ {
			id = fmt.Sprintf("%s_%d", fallback, i)
		}
	}
	return id, says
}

// head is the beginning of a text, for errors.
func head(s string) string {
	if r := []rune(strings.TrimSpace(s)); len(r) > 30 {
		return string(r[:30]) + "…"
	}
	return strings.TrimSpace(s)
}

// split cuts a text at the signs that begin a line or follow a blank, outside
// of comments; what stands before the first is dropped.
func split(text string, sign byte) []string {
	var out []string
	from, depth := -1, 0
	for i := 0; i < len(text); i++ {
		switch {
		case text[i] == '<':
			depth++
		case text[i] == '>' && depth > 0:
			depth--
		case text[i] == sign && depth == 0 && (i == 0 || isBlank(text[i-1])):
			if from >= 0 {
				out = append(out, text[from:i])
			}
			from = i + 1
		}
	}
	if from >= 0 {
		out = append(out, text[from:])
	}
	return out
}

// slashed cuts a text at the slashes before a blank or the end, outside of
// comments. Empty pieces are dropped.
func slashed(text string) []string {
	var out []string
	from, depth := 0, 0
	add := func(s string) {
		if s = strings.TrimSpace(s); s != "" {
			out = append(out, s)
		}
	}
	for i := 0; i < len(text); i++ {
		switch {
		case text[i] == '<':
			depth++
		case text[i] == '>' && depth > 0:
			depth--
		case text[i] == '/' && depth == 0 && (i+1 == len(text) || isBlank(text[i+1])):
			add(text[from:i])
			from = i + 1
		}
	}
	add(text[from:])
	return out
}

// comments parts a text from its <comments>, which may nest.
func comments(text string) (plain, says string) {
	var p, s strings.Builder
	depth := 0
	for _, r := range text {
		switch {
		case r == '<':
			if depth++; depth == 1 && s.Len() > 0 {
				s.WriteString("; ")
			} else if depth > 1 {
				s.WriteRune('(')
			}
		case r == '>' && depth > 0:
			if depth--; depth > 0 {
				s.WriteRune(')')
			}
		case depth > 0:
			s.WriteRune(r)
		default:
			p.WriteRune(r)
		}
	}
	return strings.Join(strings.Fields(p.String()), " "), strings.Join(strings.Fields(s.String()), " ")
}
