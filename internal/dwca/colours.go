package dwca

import (
	"bufio"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
)

// Color is a colour measured in a photograph through the patches of the printed
// field card.
type Color struct {
	// Character is the vocabulary's mark, empty where the colour answers none;
	// Label says what is of that colour, and what was done to it first.
	Character, Label string
	// Lab is L*, a*, b* relative to D65, 2 degree observer; Covariance is that of
	// it: LL, aa, bb, La, Lb, ab. Both are published in hundredths.
	Lab        [3]float64
	Covariance [6]float64
	// GiveOrTake is the CIEDE2000 difference that 95 % of it stays within, in
	// tenths.
	GiveOrTake float64
	// Name is in the words of the ISCC-NBS method, Munsell its notation, Ridgway
	// the nearest name of 1912 with how far off it lies, CIEDE2000, in tenths.
	Name, Munsell, Ridgway string
	RidgwayOff             float64
	// Share is the part of the place that is of this colour, 0 to 1 in
	// hundredths; Where says where on it: "rim". Number says which of Of main
	// colours it is, from 1.
	Share      float64
	Where      string
	Number, Of int
	// Method says how it was corrected.
	Method string
}

const (
	colourMark     = "#colour:"
	colourUnit     = "CIELAB (D65, 2 degree observer)"
	colourCoverage = " (CIEDE2000 that 95 % stays within); covariance LL, aa, bb, La, Lb, ab: "
	colourMethod   = "measured in a photograph through the patches of the printed field card; "
	colourValue    = "L* %s, a* %s, b* %s"
)

// colours writes a row for each main colour.
func (a *archiveWriter) colours(b *bufio.Writer, r []string, f *Find) error {
	for i := range f.Colours {
		x := &f.Colours[i]
		a.numbered(r, f, colourMark, i, x.Character)
		r[faType], r[faUnit] = x.Label, colourUnit
		r[faValue] = fmt.Sprintf(colourValue, hundredths(x.Lab[0]), hundredths(x.Lab[1]), hundredths(x.Lab[2]))
		r[faAccuracy] = tenths(x.GiveOrTake) + colourCoverage + joined(x.Covariance[:])
		r[faMethod] = colourMethod + x.Method
		r[faRemarks] = fmt.Sprintf("Main colour %d of %d, %s of the place, %s. ISCC-NBS: %s. Munsell: %s. Nearest of Ridgway (1912): %s, %s off.",
			x.Number, x.Of, hundredths(x.Share), x.Where, x.Name, x.Munsell, x.Ridgway, tenths(x.RidgwayOff))
		if err := put(b, r); err != nil {
			return err
		}
	}
	clear(r)
	return nil
}

func hundredths(v float64) string { return strconv.FormatFloat(v, 'f', 2, 64) }

func joined(v []float64) string {
	parts := make([]string, len(v))
	for i, x := range v {
		parts[i] = hundredths(x)
	}
	return strings.Join(parts, " ")
}

// colour reads a row that colours has written; rest is its identifier after the
// mark.
func (t *tablesReader) colour(r *tableReader, f *Find, rest string) error {
	c := r.cells
	character, ok := cutNumbered(rest, len(f.Colours))
	if !ok {
		return r.bad(faID)
	}
	x := Color{Character: character, Label: c[faType]}
	if n, err := fmt.Sscanf(c[faValue], "L* %f, a* %f, b* %f", &x.Lab[0], &x.Lab[1], &x.Lab[2]); n != 3 || err != nil || c[faUnit] != colourUnit {
		return r.bad(faValue)
	}
	if !x.readColourAccuracy(c[faAccuracy]) {
		return r.bad(faAccuracy)
	}
	if x.Method, ok = strings.CutPrefix(c[faMethod], colourMethod); !ok {
		return r.bad(faMethod)
	}
	if !x.readColourRemarks(c[faRemarks]) {
		return r.bad(faRemarks)
	}
	f.Colours = append(f.Colours, x)
	return nil
}

func (x *Color) readColourAccuracy(cell string) bool {
	value, rest, ok := strings.Cut(cell, colourCoverage)
	var err error
	if x.GiveOrTake, err = strconv.ParseFloat(value, 64); err != nil || !ok {
		return false
	}
	parts := strings.Fields(rest)
	if len(parts) != len(x.Covariance) {
		return false
	}
	for i, p := range parts {
		if x.Covariance[i], err = strconv.ParseFloat(p, 64); err != nil {
			return false
		}
	}
	return true
}

// readColourRemarks reads what stands beside the numbers, part by part.
func (x *Color) readColourRemarks(cell string) bool {
	head, rest, ok1 := strings.Cut(cell, " of the place, ")
	where, rest, ok2 := strings.Cut(rest, ". ISCC-NBS: ")
	name, rest, ok3 := strings.Cut(rest, ". Munsell: ")
	munsell, rest, ok4 := strings.Cut(rest, ". Nearest of Ridgway (1912): ")
	rest, ok5 := strings.CutSuffix(rest, " off.")
	at := strings.LastIndex(rest, ", ")
	if !ok1 || !ok2 || !ok3 || !ok4 || !ok5 || at < 0 {
		return false
	}
	x.Where, x.Name, x.Munsell, x.Ridgway = where, name, munsell, rest[:at]
	off, err := strconv.ParseFloat(rest[at+2:], 64)
	x.RidgwayOff = off
	n, err2 := fmt.Sscanf(head, "Main colour %d of %d, %f", &x.Number, &x.Of, &x.Share)
	return err == nil && err2 == nil && n == 3
}

// tidyColours rounds to what is published.
func tidyColours(list []Color) []Color {
	if len(list) == 0 {
		return nil
	}
	list = slices.Clone(list)
	round := func(v *float64, per float64) { *v = math.Round(*v*per)/per + 0 }
	for i := range list {
		x := &list[i]
		texts(&x.Label, &x.Name, &x.Munsell, &x.Ridgway, &x.Where, &x.Method)
		for j := range x.Lab {
			round(&x.Lab[j], 100)
		}
		for j := range x.Covariance {
			round(&x.Covariance[j], 100)
		}
		round(&x.GiveOrTake, 10)
		round(&x.RidgwayOff, 10)
		round(&x.Share, 100)
		x.GiveOrTake = math.Max(x.GiveOrTake, .1)
	}
	return list
}

func (c *checker) colours(field string, list []Color) {
	for _, x := range list {
		for _, text := range []string{x.Label, x.Name, x.Munsell, x.Ridgway, x.Where, x.Method} {
			if text == "" || strings.Contains(text, ". ") && text != x.Method {
				c.fail(field, "the colour of %q can't be published: it needs words for what was measured, what it is and how", x.Character)
				break
			}
		}
		if x.Character != "" && !factName.MatchString(x.Character) {
			c.fail(field, "%q is no mark of a character", x.Character)
		}
		if !(x.Lab[0] >= 0 && x.Lab[0] <= 105) || !(math.Abs(x.Lab[1]) < 200) || !(math.Abs(x.Lab[2]) < 200) || !(x.GiveOrTake > 0 && x.GiveOrTake < 200) ||
			!(x.Share >= 0 && x.Share <= 1) || x.Number < 1 || x.Number > x.Of || !(x.RidgwayOff >= 0 && x.RidgwayOff < 200) {
			c.fail(field, "L* %g, a* %g, b* %g, give or take %g, number %d of %d, is no colour of %s", x.Lab[0], x.Lab[1], x.Lab[2], x.GiveOrTake, x.Number, x.Of, x.Label)
		}
		for i, v := range x.Covariance {
			if math.IsNaN(v) || math.Abs(v) > 1e6 || i < 3 && v < 0 {
				c.fail(field, "the covariance of the colour of %s holds %g", x.Label, v)
			}
		}
	}
}
