package truecolour

import (
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"strconv"
	"strings"

	"trug/science/card"
	"trug/science/colour"
)

// Reference is what a card's fields truly look like.
type Reference struct {
	// Lab is relative to D65, 2 degree observer, by patch; the bare paper stands
	// under "paper" where it was measured.
	Lab map[string]colour.Lab
	// Measured says that an instrument saw this printing. Otherwise the greys are
	// what was sent to the printer, and the colours are not used at all.
	Measured bool
	// SD is how far a field may be off, as a standard deviation in each of L, a
	// and b.
	SD float64
}

// Paper is the name of the bare paper in a table of measured colours.
const Paper = "paper"

const (
	// measuredSD is the agreement of two pocket instruments and of the cards of
	// one printing; common practice, no source.
	measuredSD = 0.5
	// printedSD is how far a grey comes out of a home printer from what was sent;
	// common practice, no source.
	printedSD = 2.5
)

// Unmeasured is the reference of a card whose printing no instrument saw: its
// greys as they were sent to the printer.
func Unmeasured(l *card.Layout) Reference {
	r := Reference{Lab: map[string]colour.Lab{}, SD: printedSD}
	for _, p := range l.Patches {
		if p.Grey {
			r.Lab[p.ID] = colour.LabOfSRGB8(p.SRGB[0], p.SRGB[1], p.SRGB[2])
		}
	}
	return r
}

// ErrReference is the kind of all errors of ReadReference.
var ErrReference = errors.New("the table of measured colours can't be read")

var whites = map[string]colour.XYZ{"D50": colour.D50, "D65": colour.D65, "C": colour.C}

// ReadReference reads what an instrument measured of a printing: a CSV with the
// columns patch, L*, a*, b*, illuminant (D50, D65 or C) and observer (2; values
// for 10 degrees can't be carried over without the spectra), in any order. Each
// patch of the layout stands in it once; a row "paper" for the bare paper is
// welcome.
func ReadReference(r io.Reader, l *card.Layout) (Reference, error) {
	out := Reference{Lab: map[string]colour.Lab{}, Measured: true, SD: measuredSD}
	in := csv.NewReader(io.LimitReader(r, 1<<20))
	in.TrimLeadingSpace = true
	in.FieldsPerRecord = -1 // a row that is too short or long is told in our own words
	rows, err := in.ReadAll()
	if err != nil {
		return out, fmt.Errorf("%w: %w", ErrReference, err)
	}
	if len(rows) == 0 {
		return out, fmt.Errorf("%w: it is empty", ErrReference)
	}
	column, err := columns(rows[0])
	if err != nil {
		return out, err
	}
	for i, row := range rows[1:] {
		if len(row) != len(rows[0]) {
			return out, fmt.Errorf("%w: line %d has %d fields where the first line names %d columns: write decimals with a point, and nothing behind the last value", ErrReference, i+2, len(row), len(rows[0]))
		}
		id, lab, err := measuredRow(row, column, l)
		if err != nil {
			return out, fmt.Errorf("%w: line %d, %w", ErrReference, i+2, err)
		}
		if _, twice := out.Lab[id]; twice {
			return out, fmt.Errorf("%w: line %d, column patch: %q stands in it twice", ErrReference, i+2, id)
		}
		out.Lab[id] = lab
	}
	var missing []string
	for _, p := range l.Patches {
		if _, ok := out.Lab[p.ID]; !ok {
			missing = append(missing, p.ID)
		}
	}
	if len(missing) > 0 {
		return out, fmt.Errorf("%w: the %s also has the patches %s: measure them too", ErrReference, l.Name, strings.Join(missing, ", "))
	}
	return out, nil
}

var wanted = [...]string{"patch", "l*", "a*", "b*", "illuminant", "observer"}

// spelled is how the three values are written in the first line.
var spelled = [...]string{"L*", "a*", "b*"}

func columns(head []string) (map[string]int, error) {
	column := map[string]int{}
	for i, name := range head {
		name = strings.ToLower(strings.Trim(strings.TrimSpace(name), "\ufeff"))
		switch name {
		case "l", "a", "b":
			name += "*"
		}
		column[name] = i
	}
	for _, name := range wanted {
		if _, ok := column[name]; !ok {
			return nil, fmt.Errorf("%w: it has no column %q; the first line names patch, L*, a*, b*, illuminant, observer", ErrReference, name)
		}
	}
	return column, nil
}

func measuredRow(row []string, column map[string]int, l *card.Layout) (string, colour.Lab, error) {
	at := func(name string) string { return strings.TrimSpace(row[column[name]]) }
	id := strings.ToLower(at("patch"))
	if _, ok := l.Patch(id); !ok && id != Paper {
		return "", colour.Lab{}, fmt.Errorf("column patch: the %s has no patch %q; it has %s", l.Name, at("patch"), strings.Join(patchNames(l), ", "))
	}
	var v [3]float64
	for i, name := range wanted[1:4] {
		least, most := -150., 150.
		if i == 0 {
			least, most = 0, 105
		}
		x, err := strconv.ParseFloat(at(name), 64)
		if err != nil || !(x >= least && x <= most) {
			return "", colour.Lab{}, fmt.Errorf("column %s: expected a number from %g to %g for %q, found %q", spelled[i], least, most, id, at(name))
		}
		v[i] = x
	}
	white, ok := whites[strings.ToUpper(at("illuminant"))]
	if !ok {
		return "", colour.Lab{}, fmt.Errorf("column illuminant: expected D50, D65 or C, found %q", at("illuminant"))
	}
	if o := strings.TrimRight(at("observer"), "°"); o != "2" {
		return "", colour.Lab{}, fmt.Errorf("column observer: expected 2, found %q: set the instrument to 2 degrees and measure again, since values for 10 degrees can't be carried over", at("observer"))
	}
	return id, colour.Lab{L: v[0], A: v[1], B: v[2]}.Adapt(white, colour.D65), nil
}

// patchNames are what the patches of a card are called, and the bare paper.
func patchNames(l *card.Layout) (names []string) {
	for _, p := range l.Patches {
		names = append(names, p.ID)
	}
	return append(names, Paper)
}
