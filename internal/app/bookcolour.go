package app

import (
	"cmp"
	"encoding/hex"
	"math"
	"slices"
	"strconv"
	"strings"

	"trug"
	"trug/science/colour"
	"trug/science/truecolour"
)

// BookTone is a measured colour in a line of the Record book.
type BookTone struct {
	Swatch string `json:"swatch"`
	Name   string `json:"name"`
	Label  string `json:"label"`
}

const (
	// bookTones is how many colours a line shows.
	bookTones = 3
	// leastSearched is the part of a place that a main colour must have to be
	// found by; less is a fleck.
	leastSearched = 0.1
	// standardWithin is how near a colour must come where nobody says, CIEDE2000.
	standardWithin, mostWithin = 10.0, 100.0
)

// colourWanted is what is looked for among measured colours.
type colourWanted struct {
	near   *colour.Lab
	within float64
	name   string // of a block, at any of the three levels
	of     string // character
}

// wanted reads what a query asks of colours; nil where it asks nothing.
func (q *BookQuery) wanted() (*colourWanted, error) {
	w := &colourWanted{within: q.Within, name: strings.ToLower(strings.TrimSpace(q.ColourName)), of: q.ColourOf}
	if q.Colour != "" {
		lab, err := readColour(q.Colour)
		if err != nil {
			return nil, err
		}
		w.near = &lab
	}
	if w.within == 0 {
		w.within = standardWithin
	}
	if !(w.within > 0 && w.within <= mostWithin) {
		return nil, trug.Errorf(trug.Invalid, "within", "%g is no distance between colours: give 1 to 100 (2 is just seen side by side, 20 is another colour)", q.Within)
	}
	if w.name != "" && !slices.ContainsFunc(colour.Blocks(), func(b colour.Block) bool { return called(b, w.name) }) {
		return nil, trug.Errorf(trug.Invalid, "colourName", "%q is no name of the ISCC-NBS method: use one such as brown, yellowish brown or light brown", q.ColourName)
	}
	if w.near == nil && w.name == "" && w.of == "" {
		return nil, nil
	}
	return w, nil
}

// readColour reads "#a16d3f" or "L*,a*,b*" relative to D65.
func readColour(s string) (colour.Lab, error) {
	bad := trug.Errorf(trug.Invalid, "colour", "%q is no colour: write it as #a16d3f, or as L*,a*,b* such as 55.2,14,31", s)
	if text, ok := strings.CutPrefix(s, "#"); ok {
		v, err := hex.DecodeString(text)
		if err != nil || len(v) != 3 {
			return colour.Lab{}, bad
		}
		return colour.LabOfSRGB8(v[0], v[1], v[2]), nil
	}
	parts := strings.Split(s, ",")
	if len(parts) != 3 {
		return colour.Lab{}, bad
	}
	var x [3]float64
	for i, p := range parts {
		v, err := strconv.ParseFloat(strings.TrimSpace(p), 64)
		if err != nil || !(math.Abs(v) <= 150) || i == 0 && !(v >= 0 && v <= 100) {
			return colour.Lab{}, bad
		}
		x[i] = v
	}
	return colour.Lab{L: x[0], A: x[1], B: x[2]}, nil
}

// called reports whether a block bears the name at one of the three levels.
func called(b colour.Block, name string) bool {
	return b.Name == name || b.Middle == name || b.Broad == name
}

// nearest is how far off the find's nearest measured colour is that answers, in
// CIEDE2000 (0 where no colour but a name was asked for); ok is false for none.
func (w *colourWanted) nearest(colours []trug.Colour) (off float64, ok bool) {
	off = math.Inf(1)
	for _, c := range colours {
		if w.of != "" && c.Character != w.of {
			continue
		}
		for i, t := range c.Palette {
			if i > 0 && t.Share < leastSearched || !w.named(t) {
				continue
			}
			if w.near == nil {
				return 0, true
			}
			if d, in := w.distance(labOf(t)); in {
				off, ok = math.Min(off, d), true
			}
		}
	}
	return off, ok
}

// named: one of the blocks in question bears the name.
func (w *colourWanted) named(t truecolour.Told) bool {
	return w.name == "" || slices.ContainsFunc(blocksOf(t), func(b colour.Block) bool { return called(b, w.name) })
}

// distance spares the whole formula where lightness alone is too far off: CIEDE2000
// divides it by at most 1.75.
func (w *colourWanted) distance(lab colour.Lab) (float64, bool) {
	if math.Abs(lab.L-w.near.L) > 1.75*w.within {
		return 0, false
	}
	d := colour.Difference(*w.near, lab)
	return d, d <= w.within
}

// tonesOf are the colours that a line shows.
func tonesOf(colours []trug.Colour) []BookTone {
	out := []BookTone{}
	for _, c := range colours {
		for i, t := range c.Palette {
			if len(out) == bookTones || i > 0 && t.Share < leastFilled {
				break
			}
			out = append(out, BookTone{t.Swatch, t.Name, colourLabel(c)})
		}
	}
	return out
}

// colourNames are the names, at their three levels, that colours of the book can
// be found by: those of the level 1 first.
func colourNames(colours [][]trug.Colour) []string {
	seen := map[string]int{}
	for _, list := range colours {
		for _, c := range list {
			for _, t := range c.Palette {
				for _, b := range blocksOf(t) {
					seen[b.Name], seen[b.Middle] = 3, min(2, cmp.Or(seen[b.Middle], 2))
				}
			}
		}
	}
	for _, b := range colour.Blocks() {
		if seen[b.Name] > 0 {
			seen[b.Broad] = 1
		}
	}
	out := make([]string, 0, len(seen))
	for name := range seen {
		out = append(out, name)
	}
	slices.SortFunc(out, func(x, y string) int { return cmp.Or(seen[x]-seen[y], strings.Compare(x, y)) })
	return out
}
