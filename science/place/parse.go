package place

import (
	"math"
	"strconv"
	"strings"

	"trug/science/said"
)

// maxText is the longest text taken for a coordinate, in bytes.
const maxText = 200

// ParsePosition reads latitude and longitude as people write them: decimal
// degrees, degrees and minutes, or degrees, minutes and seconds; with a sign or
// with N, S, E, W before or after; with the usual symbols, colons or spaces;
// with a point or a comma before decimals; with "lat" and "lon" in front. Without
// letters or labels the latitude comes first.
//
// Precision is the step in degrees that the digits show: 0.0001 for 48.5626,
// 1/60 for 48° 33′; of two different ones the coarser. Give it to
// PrecisionUncertainty. An error is a sentence that names the part at fault.
func ParsePosition(text string) (p Position, precision Degrees, err error) {
	if len(text) > maxText {
		return p, 0, said.Errorf("the text is too long for a position (%d characters): give latitude and longitude only", len(text))
	}
	if strings.TrimSpace(text) == "" {
		return p, 0, said.Errorf("the position is empty: give latitude and longitude, for example 48.5626, -19.9476")
	}
	plainText := normalise(text)
	if !hasTightComma(plainText) {
		return parseReading(plainText, false)
	}
	// A comma between two digits may part the coordinates or stand before
	// decimals. Whichever reading makes sense holds; both or neither is an error.
	p1, precision1, err1 := parseReading(plainText, true)
	p2, precision2, err2 := parseReading(plainText, false)
	switch {
	case err1 == nil && err2 == nil && p1 != p2, err2 == nil && bareWholePair(plainText):
		return Position{}, 0, said.Errorf("the comma in %q can be read in two ways: put a space after a comma between the coordinates, and write decimals with a point", text)
	case err1 == nil:
		return p1, precision1, nil
	case err2 == nil:
		return p2, precision2, nil
	case strings.Contains(plainText, "."):
		return Position{}, 0, err2
	}
	return Position{}, 0, err1
}

// normaliser brings the many ways of writing symbols to one, upper case.
var normaliser = strings.NewReplacer(
	"\u2212", "-", "\u2013", "-", "\u2010", "-", "\u2011", "-",
	"\u00ba", "°", "\u02da", "°", "\u2218", "°",
	"''", "\"", "\u2032\u2032", "\"", "\u2019\u2019", "\"",
	"\u2032", "'", "\u2019", "'", "\u2018", "'", "\u00b4", "'", "`", "'", "\u02b9", "'",
	"\u2033", "\"", "\u201d", "\"", "\u201c", "\"", "\u02ba", "\"",
	"\u00a0", " ", "\u202f", " ", "\u2009", " ", "\t", " ", "\n", " ", "\r", " ",
	"\u066b", ".", "\u060c", ",",
)

func normalise(text string) string {
	text = strings.Trim(strings.ToUpper(normaliser.Replace(text)), " ,;.")
	if strings.HasPrefix(text, "(") && strings.HasSuffix(text, ")") {
		text = strings.Trim(text, "() ")
	}
	return text
}

func isDigit(c byte) bool { return c >= '0' && c <= '9' }

func hasTightComma(s string) bool {
	for i := 1; i+1 < len(s); i++ {
		if s[i] == ',' && isDigit(s[i-1]) && isDigit(s[i+1]) {
			return true
		}
	}
	return false
}

// bareWholePair recognises "48,56", which may well be half a position.
func bareWholePair(s string) bool {
	a, b, found := strings.Cut(s, ",")
	return found && strings.Trim(strings.TrimLeft(a, "+-")+b, "0123456789") == ""
}

func parseReading(text string, decimalComma bool) (Position, Degrees, error) {
	tokens, err := scan(text, decimalComma)
	if err != nil {
		return Position{}, 0, err
	}
	first, second, err := split(tokens)
	if err != nil {
		return Position{}, 0, err
	}
	a, err := newCoordinate(first)
	if err != nil {
		return Position{}, 0, err
	}
	b, err := newCoordinate(second)
	if err != nil {
		return Position{}, 0, err
	}
	if a.axis == b.axis && a.axis != 0 {
		return Position{}, 0, said.Errorf("both coordinates are given as %s: one must be a latitude (N, S), the other a longitude (E, W)", a.axis)
	}
	if a.axis == longitude || b.axis == latitude {
		a, b = b, a
	}
	a.axis, b.axis = latitude, longitude
	lat, stepLat, err := a.degrees()
	if err != nil {
		return Position{}, 0, err
	}
	lon, stepLon, err := b.degrees()
	if err != nil {
		return Position{}, 0, err
	}
	p := Position{Lat: Degrees(lat), Lon: Degrees(lon)}
	if err := p.Valid(); err != nil {
		return Position{}, 0, err
	}
	return p, Degrees(math.Max(stepLat, stepLon)), nil
}

// axis is which of the two coordinates something belongs to, 0 when unknown.
type axis byte

const (
	latitude  axis = 'N'
	longitude axis = 'E'
)

func (a axis) String() string {
	switch a {
	case latitude:
		return "latitude"
	case longitude:
		return "longitude"
	}
	return "coordinate"
}

// coordinate is one coordinate as written.
type coordinate struct {
	axis    axis
	letter  byte // N, S, E, W or 0
	sign    byte // + or - or 0
	numbers []token
}

func newCoordinate(tokens []token) (coordinate, error) {
	var c coordinate
	for i, t := range tokens {
		switch t.kind {
		case label, letter:
			a := axis(t.text[0])
			if t.kind == letter {
				if c.letter != 0 {
					return c, said.Errorf("the letters %c and %s stand by one number: give each coordinate one letter", c.letter, t.text)
				}
				c.letter = t.text[0]
				a = latitude
				if c.letter == 'E' || c.letter == 'W' {
					a = longitude
				}
			}
			if c.axis != 0 && c.axis != a {
				return c, said.Errorf("%s cannot belong to a %s", t.text, c.axis)
			}
			c.axis = a
		case sign:
			if len(c.numbers) > 0 || c.sign != 0 {
				return c, said.Errorf("the sign %s stands in the wrong place: put it before the degrees", t.text)
			}
			c.sign = t.text[0]
		case number:
			if i > 0 && tokens[i-1].kind == letter && len(c.numbers) > 0 {
				return c, said.Errorf("the letter %s stands between numbers: put it before or after its coordinate", tokens[i-1].text)
			}
			c.numbers = append(c.numbers, t)
		}
	}
	if len(c.numbers) == 0 {
		return c, said.Errorf("the %s has no number", c.axis)
	}
	if len(c.numbers) > 3 {
		return c, said.Errorf("the %s has %d numbers: at most degrees, minutes and seconds are possible", c.axis, len(c.numbers))
	}
	if c.sign == '-' && c.letter != 0 {
		return c, said.Errorf("the %s has both a minus sign and the letter %c: leave one of them out", c.axis, c.letter)
	}
	return c, nil
}

// degrees is the value of a coordinate and the step of its last digit.
func (c coordinate) degrees() (value, step float64, err error) {
	names := [3]string{"degrees", "minutes", "seconds"}
	units := [3]float64{1, 60, 3600}
	for i, t := range c.numbers {
		if t.unit != 0 && t.unit != "DMS"[i] {
			return 0, 0, said.Errorf("in the %s, %s stands where the %s belong: write degrees, minutes, seconds in this order", c.axis, t.text, names[i])
		}
		if i < len(c.numbers)-1 && t.decimals > 0 {
			return 0, 0, said.Errorf("the %s of the %s are %s: only the last number may have decimals", names[i], c.axis, t.text)
		}
		x, err := strconv.ParseFloat(t.text, 64)
		if err != nil {
			return 0, 0, said.Errorf("%q in the %s is not a number", t.text, c.axis)
		}
		if i > 0 && x >= 60 {
			return 0, 0, said.Errorf("the %s of the %s are %s: they must be below 60", names[i], c.axis, t.text)
		}
		value += x / units[i]
		step = math.Pow(10, -float64(t.decimals)) / units[i]
	}
	if c.sign == '-' || c.letter == 'S' || c.letter == 'W' {
		value = -value
	}
	return value + 0, step, nil // + 0 turns -0 into 0
}
