package place

import (
	"strings"
	"unicode/utf8"

	"trug/science/said"
)

type kind byte

const (
	number kind = iota
	letter      // N, S, E, W
	label       // "lat", "lon": text is N or E
	sign
	comma // any mark that parts the coordinates
)

// token is a piece of a position. A number carries the unit that follows it
// (D, M, S, or 0 when none is written) and how many decimals it shows.
type token struct {
	kind     kind
	text     string
	unit     byte
	decimals int
	colon    bool // a colon follows, so that the next number belongs with it
	worded   bool // the unit was a word or letter, as in 48d 33m 45s
}

// words are what may stand in a position besides numbers and marks.
var words = map[string]token{
	"N": {kind: letter, text: "N"}, "NORTH": {kind: letter, text: "N"},
	"S": {kind: letter, text: "S"}, "SOUTH": {kind: letter, text: "S"},
	"E": {kind: letter, text: "E"}, "EAST": {kind: letter, text: "E"},
	"W": {kind: letter, text: "W"}, "WEST": {kind: letter, text: "W"},
	"LAT": {kind: label, text: "N"}, "LATITUDE": {kind: label, text: "N"},
	"LON": {kind: label, text: "E"}, "LONG": {kind: label, text: "E"},
	"LNG": {kind: label, text: "E"}, "LONGITUDE": {kind: label, text: "E"},
}

var unitWords = map[string]byte{
	"D": 'D', "DEG": 'D', "DEGREE": 'D', "DEGREES": 'D',
	"M": 'M', "MIN": 'M', "MINUTE": 'M', "MINUTES": 'M',
	"SEC": 'S', "SECOND": 'S', "SECONDS": 'S',
}

// scan cuts a normalised text into tokens.
func scan(text string, decimalComma bool) ([]token, error) {
	var tokens []token
	for i := 0; i < len(text); {
		c := text[i]
		switch {
		case isDigit(c):
			t, n := scanNumber(text[i:], decimalComma)
			tokens = append(tokens, t)
			i += n
		case c >= 'A' && c <= 'Z':
			n := 1
			for i+n < len(text) && text[i+n] >= 'A' && text[i+n] <= 'Z' {
				n++
			}
			var err error
			if tokens, err = addWord(tokens, text[i:i+n]); err != nil {
				return nil, err
			}
			i += n
		case c == '+' || c == '-':
			tokens = append(tokens, token{kind: sign, text: string(c)})
			i++
		case c == ',' || c == ';' || c == '/' || c == '|':
			tokens = append(tokens, token{kind: comma, text: string(c)})
			i++
		case c == ' ' || c == '=':
			i++
		default:
			r, n := utf8.DecodeRuneInString(text[i:])
			if err := addMark(tokens, r); err != nil {
				return nil, err
			}
			i += n
		}
	}
	return tokens, nil
}

func scanNumber(s string, decimalComma bool) (token, int) {
	n := 0
	for n < len(s) && isDigit(s[n]) {
		n++
	}
	t := token{kind: number, text: s[:n]}
	point := n+1 < len(s) && (s[n] == '.' || s[n] == ',' && decimalComma) && isDigit(s[n+1])
	if point {
		end := n + 1
		for end < len(s) && isDigit(s[end]) {
			end++
		}
		t.text, t.decimals = s[:n]+"."+s[n+1:end], end-n-1
		n = end
	}
	return t, n
}

func addWord(tokens []token, word string) ([]token, error) {
	n := len(tokens)
	if word == "S" && n > 1 && tokens[n-2].worded && tokens[n-2].unit == 'M' && setUnit(tokens, 'S') {
		return tokens, nil // seconds, not south, after 48d 33m
	}
	if t, ok := words[word]; ok {
		return append(tokens, t), nil
	}
	if u, ok := unitWords[word]; ok && setUnit(tokens, u) {
		tokens[n-1].worded = true
		return tokens, nil
	}
	if word == "O" {
		return nil, said.Errorf("the letter O means east in one language and west in another: write E or W")
	}
	return nil, said.Errorf("%q is not part of a position: use N, S, E, W, lat and lon only", strings.ToLower(word))
}

// setUnit gives the last number its unit, once.
func setUnit(tokens []token, unit byte) bool {
	if len(tokens) == 0 {
		return false
	}
	last := &tokens[len(tokens)-1]
	if last.kind != number || last.unit != 0 {
		return false
	}
	last.unit = unit
	return true
}

func addMark(tokens []token, r rune) error {
	units := map[rune]byte{'°': 'D', '\'': 'M', '"': 'S'}
	if u, ok := units[r]; ok {
		if !setUnit(tokens, u) {
			return said.Errorf("the mark %c does not follow a number", r)
		}
		return nil
	}
	if r == ':' && len(tokens) > 0 {
		if last := &tokens[len(tokens)-1]; last.kind != comma && last.kind != sign {
			last.colon = last.kind == number // after a label it only parts
			return nil
		}
	}
	if r == utf8.RuneError {
		return said.Errorf("the position holds a broken character: type it again")
	}
	return said.Errorf("the character %q does not belong in a position", r)
}

// split parts the tokens into those of the first and of the second coordinate,
// by whatever is written to part them: a comma, labels, letters, a sign, the
// degree marks, colons; at last by counting.
func split(tokens []token) (first, second []token, err error) {
	at := -1
	numbers := 0
	for i, t := range tokens {
		if t.kind == number {
			numbers++
		}
		if t.kind != comma {
			continue
		}
		if at >= 0 {
			return nil, nil, said.Errorf("the position has more than two parts: give one latitude and one longitude")
		}
		at = i
	}
	if numbers < 2 {
		return nil, nil, said.Errorf("the position needs two numbers, latitude and longitude, for example 48.5626, -19.9476")
	}
	if at >= 0 {
		return tokens[:at], tokens[at+1:], nil
	}
	for _, boundary := range []func([]token) int{byLabel, byLetter, bySign, byDegrees, byColon, byCount} {
		if at := boundary(tokens); at > 0 {
			return tokens[:at], tokens[at:], nil
		}
	}
	return nil, nil, said.Errorf("the position has %d numbers and nothing between them that parts latitude from longitude: put a comma between the two", numbers)
}

// secondOf finds where the second token of a sort stands, -1 if there is none.
func secondOf(tokens []token, is func(i int, t token) bool) int {
	seen := false
	for i, t := range tokens {
		if is(i, t) {
			if seen {
				return i
			}
			seen = true
		}
	}
	return -1
}

func byLabel(tokens []token) int {
	return secondOf(tokens, func(_ int, t token) bool { return t.kind == label })
}

// byLetter parts before the second letter if letters stand in front, behind the
// first if they follow.
func byLetter(tokens []token) int {
	isLetter := func(_ int, t token) bool { return t.kind == letter }
	at := secondOf(tokens, isLetter)
	if at < 0 || tokens[0].kind == letter {
		return at
	}
	for i, t := range tokens {
		if t.kind == letter {
			return i + 1
		}
	}
	return -1
}

// bySign parts at a sign that follows a number.
func bySign(tokens []token) int {
	for i := 1; i < len(tokens); i++ {
		if tokens[i].kind == sign && tokens[i-1].kind == number {
			return i
		}
	}
	return -1
}

func byDegrees(tokens []token) int {
	return secondOf(tokens, func(_ int, t token) bool { return t.kind == number && t.unit == 'D' })
}

// byColon parts where a number is not joined to the one before it by a colon.
func byColon(tokens []token) int {
	colons := false
	for _, t := range tokens {
		colons = colons || t.colon
	}
	if !colons {
		return -1
	}
	return secondOf(tokens, func(i int, t token) bool {
		return t.kind == number && (i == 0 || !tokens[i-1].colon)
	})
}

// byCount halves an even number of numbers.
func byCount(tokens []token) int {
	var at []int
	for i, t := range tokens {
		if t.kind == number {
			at = append(at, i)
		}
	}
	if len(at)%2 != 0 {
		return -1
	}
	return at[len(at)/2]
}
