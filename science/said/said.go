// Package said holds sentences that people read in their own language: English
// words with names in braces, after ICU's notation of messages, and what the
// names stand for. The English words are the key by which a screen finds the
// same sentence in another language; without one it reads in English. It knows
// no other language.
package said

import (
	"fmt"
	"strconv"
	"strings"
	"time"
	"unicode"
	"unicode/utf8"
)

// Words marks English words that screens have in other languages. A test
// gathers them from the sources, so they are written out where they are marked.
type Words string

// Sentence is a set sentence with its values.
type Sentence struct {
	Words Words `json:"words"`
	// Values are what stands for the names: text that is shown as it is (names
	// of people, places and fungi), numbers, or another Sentence, Day, List,
	// Capital or Inside.
	Values map[string]any `json:"values,omitempty"`
}

// Day is a day, or a month such as "2026-10", that each language writes in its own way.
type Day struct {
	Day string `json:"day"`
	// InSeason leaves the year out.
	InSeason bool `json:"inSeason,omitempty"`
}

// List writes several values one after another.
type List struct {
	List []any `json:"list"`
	// By stands between them; empty: commas, and "and" before the last; or Nothing.
	By string `json:"by,omitempty"`
}

// Nothing stands between the values of a list that follow at once; Or before the
// last of those of which one holds.
const (
	Nothing = "-"
	Or      = "or"
)

// Capital begins with a capital, whatever its value begins with.
type Capital struct {
	Capital any `json:"capital"`
}

// Inside begins small, as amid a sentence, where the language has small letters for it.
type Inside struct {
	Inside any `json:"inside"`
}

// Figure is a number with so many digits behind the point.
type Figure struct {
	Value  float64 `json:"number"`
	Digits int     `json:"digits"`
}

// Fields holds what stands in the fields of an answer beside their English
// text, by the names that the fields have there: a value as those of a
// Sentence, or a slice of them for a list of texts.
type Fields map[string]any

// Put adds what stands in a field. A field that holds nothing is left out.
func (f *Fields) Put(field string, value any) {
	if s, ok := value.(Sentence); ok && s.Words == "" {
		return
	}
	if *f == nil {
		*f = Fields{}
	}
	(*f)[field] = value
}

// As makes a sentence of words with a value after each name.
func As(words Words, pairs ...any) Sentence {
	s := Sentence{Words: words}
	for i := 0; i+1 < len(pairs); i += 2 {
		if s.Values == nil {
			s.Values = map[string]any{}
		}
		s.Values[pairs[i].(string)] = pairs[i+1]
	}
	return s
}

// After writes values one behind another, with a space between; those that say nothing are left out.
func After(values ...any) List {
	out := List{List: []any{}, By: " "}
	for _, v := range values {
		if English(v) != "" {
			out.List = append(out.List, v)
		}
	}
	return out
}

// String writes the sentence in English. Words without values stay as they are: a
// season's own may hold braces.
func (s Sentence) String() string {
	if len(s.Values) == 0 {
		return string(s.Words)
	}
	return written(string(s.Words), s.Values, "")
}

// String writes the list in English.
func (l List) String() string {
	words := make([]string, len(l.List))
	for i, v := range l.List {
		words[i] = English(v)
	}
	switch l.By {
	case Nothing:
		return strings.Join(words, "")
	case Or:
		return strings.Join(words, " or ")
	}
	if l.By != "" || len(words) < 2 {
		return strings.Join(words, l.By)
	}
	return strings.Join(words[:len(words)-1], ", ") + " and " + words[len(words)-1]
}

// String writes "10 October 2026", "10 October" or "October 2026"; what is no
// day stays as it is.
func (d Day) String() string {
	if t, err := time.Parse("2006-01", d.Day); err == nil {
		return t.Format("January 2006")
	}
	t, err := time.Parse(time.DateOnly, d.Day)
	switch {
	case err != nil:
		return d.Day
	case d.InSeason:
		return t.Format("2 January")
	}
	return t.Format("2 January 2006")
}

// String writes the value with a capital.
func (c Capital) String() string {
	s := English(c.Capital)
	r, n := utf8.DecodeRuneInString(s)
	if n == 0 {
		return s
	}
	return string(unicode.ToUpper(r)) + s[n:]
}

// String writes the value with a small letter.
func (i Inside) String() string {
	s := English(i.Inside)
	r, n := utf8.DecodeRuneInString(s)
	if n == 0 {
		return s
	}
	return string(unicode.ToLower(r)) + s[n:]
}

// String writes the number with a point.
func (f Figure) String() string { return strconv.FormatFloat(f.Value, 'f', f.Digits, 64) }

// English writes a value in English.
func English(v any) string {
	switch v := v.(type) {
	case nil:
		return ""
	case string:
		return v
	case float64:
		return strconv.FormatFloat(v, 'f', -1, 64)
	}
	return fmt.Sprint(v)
}

// written puts the values into words; number is what # stands for.
func written(words string, values map[string]any, number string) string {
	var out strings.Builder
	for i := 0; i < len(words); i++ {
		switch c := words[i]; {
		case c == '#' && number != "":
			out.WriteString(number)
		case c == '{':
			n, ok := closing(words[i:])
			if !ok {
				return out.String() + words[i:]
			}
			out.WriteString(argument(words[i+1:i+n], values))
			i += n
		default:
			out.WriteByte(c)
		}
	}
	return out.String()
}

// closing returns where the brace that words begin with is closed, if it is.
func closing(words string) (int, bool) {
	deep := 0
	for i := range len(words) {
		switch words[i] {
		case '{':
			deep++
		case '}':
			if deep--; deep == 0 {
				return i, true
			}
		}
	}
	return 0, false
}

// argument writes "name", or "name, plural, one {…} other {…}".
func argument(inner string, values map[string]any) string {
	name, ways, plural := strings.Cut(inner, ", plural,")
	value := English(values[strings.TrimSpace(name)])
	if !plural {
		return value
	}
	wanted := map[bool]string{true: "one", false: "other"}[value == "1"]
	exact, found := "", ""
	for rest := strings.TrimSpace(ways); strings.Contains(rest, "{"); {
		way, after, _ := strings.Cut(rest, "{")
		n, ok := closing("{" + after)
		if !ok {
			break
		}
		text := after[:n-1]
		rest = strings.TrimSpace(after[n:])
		switch strings.TrimSpace(way) {
		case "=" + value:
			exact = text
		case wanted:
			found = text
		}
	}
	if exact != "" {
		found = exact
	}
	return written(found, values, value)
}
