package trug

import (
	"path"
	"slices"
	"strings"
	"unicode"
)

// FileTells is what the name of a photograph's file, with the folders that it
// lies in, says of it.
type FileTells struct {
	// Numbers are the field numbers of the season in it, "W26-0305", each
	// once and in their order; more than one contradict each other.
	Numbers []string
	// Foreign is a number that is made like a field number but bears the code
	// of another season; empty for none.
	Foreign string
	// Kind is the view that a word, or the slip's letter after the number,
	// names; empty where none does, or where two differ.
	Kind ViewKind
}

// viewWords are words by which people call a view in a file's name (common
// practice, no source).
var viewWords = map[string]ViewKind{
	"top": Top, "above": Top, "cap": Top, "side": Side, "profile": Side,
	"underneath": Underneath, "underside": Underneath, "under": Underneath, "below": Underneath, "gills": Underneath, "pores": Underneath,
	"surroundings": Surroundings, "surrounding": Surroundings, "habitat": Surroundings, "around": Surroundings,
	"cut": Cut, "section": Cut, "halved": Cut, "base": Base, "volva": Base, "foot": Base,
	"print": SporePrint, "sporeprint": SporePrint, "closeup": CloseUp, "close": CloseUp, "detail": CloseUp, "macro": CloseUp,
	"micrograph": Micrograph, "microscope": Micrograph, "micro": Micrograph,
}

// slipLetters are the letters of the four views on field slips and tags.
var slipLetters = map[string]ViewKind{"a": Top, "b": Side, "c": Underneath, "d": Surroundings}

// ReadFileName reads what a file's name says, folders parted by slashes, for
// the season with the code. The file's own name counts before its folders'
// where both name a view. A number is the code and three to six figures, with
// a hyphen, underline, full stop, space or, before four figures and more,
// nothing between; a camera's count alone is none.
func ReadFileName(code, name string) FileTells {
	var t FileTells
	name = strings.ReplaceAll(name, `\`, "/")
	name = strings.TrimSuffix(name, path.Ext(name))
	parts := strings.Split(name, "/")
	slices.Reverse(parts)
	for _, part := range parts {
		number, foreign, rest := numberIn(code, part)
		for _, n := range number {
			if !slices.Contains(t.Numbers, n) {
				t.Numbers = append(t.Numbers, n)
			}
		}
		if t.Foreign == "" {
			t.Foreign = foreign
		}
		if t.Kind == "" {
			t.Kind = viewIn(rest)
		}
	}
	return t
}

// numberIn finds the field numbers in a part of a name, and returns what is
// said beside them: after a number first, before it last.
func numberIn(code, part string) (numbers []string, foreign string, rest []string) {
	s := []rune(strings.ToUpper(part))
	var before []rune
	for i := 0; i < len(s); {
		n, end := numberAt(s, i, []rune(code))
		if end == 0 {
			before = append(before, s[i])
			i++
			continue
		}
		if own := string(s[i:i+len(code)]) == code; own {
			numbers = append(numbers, FieldNumber(code, n))
			before = append(before, '|') // a letter right after it is the slip's
		} else if foreign == "" {
			foreign = string(s[i : i+len(code)])
			foreign = FieldNumber(foreign, n)
		}
		i = end
	}
	return numbers, foreign, words(before)
}

// numberAt reads a field number of our season, or of one whose code is made
// like ours, at i; end is 0 where there is none.
func numberAt(s []rune, i int, code []rune) (figure, end int) {
	if i > 0 && (unicode.IsLetter(s[i-1]) || unicode.IsDigit(s[i-1])) || i+len(code) > len(s) {
		return 0, 0
	}
	own := string(s[i:i+len(code)]) == string(code)
	if !own && !alike(s[i:i+len(code)], code) {
		return 0, 0
	}
	at := i + len(code)
	parted := at < len(s) && strings.ContainsRune("-_. ", s[at])
	if parted {
		at++
	}
	first := at
	for ; at < len(s) && '0' <= s[at] && s[at] <= '9'; at++ {
		figure = min(figure*10+int(s[at]-'0'), MostNumber+1)
	}
	least := 3
	if !parted {
		least = 4
	}
	// Of another season only what is written as numbers are printed counts:
	// cameras name files in many ways.
	if figures := at - first; figures < least || figures > 6 || figure == 0 || !own && (!parted || s[first-1] != '-' || figures != 4) {
		return 0, 0
	}
	return figure, at
}

// alike reports whether a code has letters and figures where ours has them,
// and both of them: such as V25 for W26.
func alike(s, code []rune) bool {
	letters, figures := false, false
	for i, c := range code {
		digit := '0' <= c && c <= '9'
		if digit != ('0' <= s[i] && s[i] <= '9') || !digit && (s[i] < 'A' || s[i] > 'Z') {
			return false
		}
		letters, figures = letters || !digit, figures || digit
	}
	return letters && figures
}

// words parts a name into its words in small letters; "|" stands where a
// number was.
func words(s []rune) []string {
	marked := strings.ReplaceAll(strings.ToLower(string(s)), "|", " | ")
	return strings.FieldsFunc(marked, func(r rune) bool { return !unicode.IsLetter(r) && r != '|' })
}

// viewIn returns the one view that the words name.
func viewIn(words []string) (kind ViewKind) {
	for i, w := range words {
		k, ok := viewWords[w]
		if !ok && i > 0 && words[i-1] == "|" {
			k, ok = slipLetters[w]
		}
		switch {
		case !ok || k == kind:
		case kind != "":
			return ""
		default:
			kind = k
		}
	}
	return kind
}
