package outline

import (
	"bytes"
	"errors"
	"fmt"
	"strings"
	"unicode/utf8"

	"trug/science/place"
)

// MostBytes is the size of the largest file taken: place.MostPoints with times,
// heights and remarks fit into it.
const MostBytes = 64 << 20

// Read reads the outline of a site from GeoJSON (RFC 7946, and the earlier
// GeoJSON of 2008 as far as it says WGS84) or GPX 1.0 or 1.1; which of them is
// told by the content. Rings do not repeat their first position and have at
// least three; all belong to one outline by the odd rule of place.Area. Heights
// are left out. Notes are sentences on what was settled by rule.
//
// GeoJSON must hold exactly one Polygon or MultiPolygon, whatever else there
// is. Of GPX the first track or route that comes back to its start is taken; a
// gap is closed when it is at most 200 m, a quarter of the length, and the
// larger of 20 m and a twentieth of the length (our own choice: two fixes of a
// receiver under trees are easily 20 m apart).
func Read(data []byte) (rings [][]place.Position, notes []string, err error) {
	f, err := open(data, surface)
	if err != nil {
		return nil, nil, err
	}
	return f.outline()
}

// ReadRoute reads the route of a foray from the same files: the only LineString
// or MultiLineString of GeoJSON, the first track or route of GPX with two
// points or more. Parts are joined in their order. Notes are as for Read.
func ReadRoute(data []byte) (line []place.Position, notes []string, err error) {
	f, err := open(data, lines)
	if err != nil {
		return nil, nil, err
	}
	return f.route()
}

// kind is what a figure is drawn with.
type kind int

const (
	surface kind = iota
	lines
	points
)

// figure is one drawn thing: the rings of a surface or the parts of a line.
type figure struct {
	name  string
	kind  kind
	parts [][]place.Position
}

// file is what was found in a file.
type file struct {
	gpx     bool
	figures []figure
	others  [3]int // how many of each kind were passed over
	notes   []string
	size    int // positions read
}

func (f *file) note(format string, args ...any) {
	text := fmt.Sprintf(format, args...)
	for _, n := range f.notes {
		if n == text {
			return
		}
	}
	f.notes = append(f.notes, text)
}

// grow counts a position.
func (f *file) grow() error {
	if f.size++; f.size > place.MostPoints {
		return fmt.Errorf("the file holds more than %d points: simplify it in the program it comes from, or save less of it", place.MostPoints)
	}
	return nil
}

// open reads all figures of a file that may be of use for the kind wanted.
func open(data []byte, want kind) (*file, error) {
	if len(data) > MostBytes {
		return nil, fmt.Errorf("the file has %d MB, %d are the most: save only the outline or route", len(data)>>20, MostBytes>>20)
	}
	data = bytes.TrimPrefix(data, []byte("\ufeff"))
	if bytes.HasPrefix(data, []byte{0xff, 0xfe}) || bytes.HasPrefix(data, []byte{0xfe, 0xff}) {
		return nil, errors.New("the file is written in UTF-16: save it again as UTF-8")
	}
	text := bytes.TrimLeft(data, " \t\r\n")
	if err := otherFormat(text); err != nil {
		return nil, err
	}
	if !utf8.Valid(text) {
		return nil, errors.New("the file holds characters that are not UTF-8: save it again as UTF-8")
	}
	if text[0] == '{' {
		return readGeoJSON(text, want)
	}
	return readGPX(text)
}

// otherFormat names what the file is when it is neither GeoJSON nor GPX.
func otherFormat(text []byte) error {
	const wanted = "save it as GeoJSON or GPX"
	start := strings.ToUpper(string(text[:min(len(text), 40)]))
	switch {
	case len(text) == 0:
		return errors.New("the file is empty: " + wanted)
	case strings.HasPrefix(start, "PK\x03\x04"), strings.HasPrefix(start, "\x1F\x8B"):
		return errors.New("the file is packed (zip or gzip): unpack it, and " + wanted)
	case strings.HasPrefix(start, "\x00\x00\x27\x0A"):
		return errors.New("the file is a shapefile: " + wanted + ", in WGS84")
	case strings.HasPrefix(start, "POLYGON"), strings.HasPrefix(start, "MULTIPOLYGON"), strings.HasPrefix(start, "LINESTRING"):
		return errors.New("the file is written as well-known text: " + wanted)
	case text[0] == '[':
		return errors.New("the file is a bare list, not GeoJSON: it must begin with { and name its type; " + wanted)
	case bytes.IndexByte(text[:min(len(text), 400)], 0) >= 0:
		return errors.New("the file is not text, or not in UTF-8: " + wanted + ", in UTF-8")
	case text[0] != '{' && text[0] != '<':
		return errors.New("the file is neither GeoJSON, which begins with {, nor GPX, which begins with <: " + wanted)
	}
	return nil
}

// clean shortens a name from a file for use in a sentence.
func clean(name string) string {
	name = strings.Join(strings.FieldsFunc(name, func(r rune) bool { return r <= ' ' || r == 0x7f || r >= 0x80 && r < 0xa0 }), " ")
	if runes := []rune(name); len(runes) > 60 {
		return string(runes[:59]) + "…"
	}
	return name
}
