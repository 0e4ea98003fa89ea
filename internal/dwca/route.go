package dwca

import (
	"errors"
	"fmt"
	"strconv"
	"strings"

	"trug/science/place"
)

// routeDepths are the geometries that a route may have, with how deep their
// points lie in brackets, and by what they are bounded.
var routeDepths = map[string]struct {
	depth int
	area  bool
}{
	"LINESTRING": {1, false}, "MULTILINESTRING": {2, false},
	"POLYGON": {2, true}, "MULTIPOLYGON": {3, true},
}

// CheckRoute returns what is wrong with s as the route of a foray, or nil. A
// route is well-known text by OGC 06-103r4, section 7: a LINESTRING,
// MULTILINESTRING, POLYGON or MULTIPOLYGON of points "longitude latitude" in
// degrees of WGS84, without heights.
func CheckRoute(s string) error {
	const form = `write it as LINESTRING (10.5 59.9, 10.6 59.8), longitude first`
	open := strings.IndexByte(s, '(')
	if open < 0 {
		return fmt.Errorf("the route %.60q is not well-known text: %s", s, form)
	}
	kind, ok := routeDepths[strings.ToUpper(strings.Trim(s[:open], " "))]
	if !ok {
		return fmt.Errorf("a route can't be %.40q: %s", s[:open], form)
	}
	w := wkt{rest: s[open:], area: kind.area}
	if err := w.bracket(kind.depth); err != nil {
		return fmt.Errorf("the route can't be read at %.30q: %w; %s", w.rest, err, form)
	}
	if w.blank(); w.rest != "" {
		return fmt.Errorf("behind the route stands %.30q: %s", w.rest, form)
	}
	return nil
}

// Route writes a line as the route of a foray, empty when it has fewer than
// two points. Degrees are rounded to seven digits, about a centimetre.
func Route(line []place.Position) string {
	if len(line) < 2 {
		return ""
	}
	var b strings.Builder
	for i, p := range line {
		open := ", "
		if i == 0 {
			open = "LINESTRING ("
		}
		b.WriteString(open + degrees(p.Lon) + " " + degrees(p.Lat))
	}
	return b.String() + ")"
}

func degrees(x place.Degrees) string {
	s := strconv.FormatFloat(float64(x), 'f', 7, 64)
	if s = strings.TrimRight(strings.TrimRight(s, "0"), "."); s == "-0" {
		return "0"
	}
	return s
}

// wkt goes through well-known text.
type wkt struct {
	rest string
	area bool
}

func (w *wkt) blank() { w.rest = strings.TrimLeft(w.rest, " ") }

// take steps over c and the blanks before it, if it stands there.
func (w *wkt) take(c byte) bool {
	w.blank()
	if w.rest == "" || w.rest[0] != c {
		return false
	}
	w.rest = w.rest[1:]
	return true
}

// bracket reads a bracket of brackets, or one of points at depth 1.
func (w *wkt) bracket(depth int) error {
	if !w.take('(') {
		return errors.New("a bracket is missing")
	}
	if depth == 1 {
		return w.points()
	}
	for {
		if err := w.bracket(depth - 1); err != nil {
			return err
		}
		if w.take(')') {
			return nil
		}
		if !w.take(',') {
			return errors.New("a comma or bracket is missing")
		}
	}
}

// points reads points up to the closing bracket: two or more of a line, and
// of the ring round an area four or more that end where they begin.
func (w *wkt) points() error {
	var first, last place.Position
	for n := 1; ; n++ {
		var err error
		if last, err = w.point(); err != nil {
			return err
		}
		if n == 1 {
			first = last
		}
		if w.take(')') {
			switch {
			case n < 2 || w.area && n < 4:
				return fmt.Errorf("%d points are too few", n)
			case w.area && first != last:
				return errors.New("the ring round the area is not closed")
			}
			return nil
		}
		if !w.take(',') {
			return errors.New("a comma or bracket is missing")
		}
	}
}

func (w *wkt) point() (place.Position, error) {
	lon, err := w.number()
	if err != nil {
		return place.Position{}, err
	}
	lat, err := w.number()
	if err != nil {
		return place.Position{}, err
	}
	p := place.Position{Lat: place.Degrees(lat), Lon: place.Degrees(lon)}
	return p, p.Valid()
}

func (w *wkt) number() (float64, error) {
	w.blank()
	end := strings.IndexFunc(w.rest, func(r rune) bool { return !strings.ContainsRune("0123456789+-.eE", r) })
	if end < 0 {
		end = len(w.rest)
	}
	x, err := strconv.ParseFloat(w.rest[:end], 64)
	if err != nil {
		return 0, errors.New("a number is missing")
	}
	w.rest = w.rest[end:]
	return x, nil
}
