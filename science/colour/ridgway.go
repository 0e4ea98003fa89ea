package colour

import (
	"cmp"
	_ "embed"
	"slices"
	"strings"
	"sync"
)

//go:embed data/ridgway_1912_names.csv
var ridgwayTable string

// Ridgway is a named swatch of Ridgway, Color Standards and Color Nomenclature,
// 1912, whose names old descriptions of fungi use. Its colour is that of a scan
// of a faded copy, without calibration: it differs from the centroids of the
// blocks that NBS SP440 gives its name by 7 CIEDE2000 in the median and 12 in
// one of ten. So the name is only ever the nearest of them, with its distance.
type Ridgway struct {
	Name  string
	Plate string // Roman number
	Hue   string // number of the hue, with a prime for each degree of dulling
	Tone  string // letter of the row; empty in the middle row
	Lab   Lab    // relative to D65
	// Blocks are the numbers of the ISCC-NBS blocks that NBS SP440 puts the
	// name in; empty for 31 names.
	Blocks []int
}

// NearRidgway is a name and how far off its swatch is.
type NearRidgway struct {
	Ridgway
	// Distance is CIEDE2000.
	Distance float64
	// SameBlock says that the name stands in the block of the colour asked for.
	SameBlock bool
}

// RidgwayNames gives all names in the order of the alphabet. The slice is shared:
// do not change it.
func RidgwayNames() []Ridgway { return ridgways() }

var ridgways = sync.OnceValue(func() []Ridgway {
	var all []Ridgway
	for _, f := range table(ridgwayTable) {
		r := Ridgway{Name: f[0], Plate: f[1], Hue: f[2], Tone: f[3], Lab: Lab{number(f[4]), number(f[5]), number(f[6])}}
		if f[7] != "" {
			for _, n := range strings.Split(f[7], "|") {
				r.Blocks = append(r.Blocks, int(number(n)))
			}
		}
		all = append(all, r)
	}
	return all
})

// otherBlock is what a name of another block must be nearer by: the swatches are
// off by about that much, the blocks of the names are not.
const otherBlock = 7

// NearestRidgway gives the n names nearest to a colour (CIELAB, D65), nearest
// first; a name that NBS SP440 puts into another block than the colour's comes
// as if it lay 7 further off.
func (c Lab) NearestRidgway(n int) []NearRidgway {
	block := c.Block(D65).Number
	near := make([]NearRidgway, 0, len(ridgways()))
	for _, r := range ridgways() {
		near = append(near, NearRidgway{r, Difference(c, r.Lab), slices.Contains(r.Blocks, block)})
	}
	rank := func(r NearRidgway) float64 {
		if r.SameBlock {
			return r.Distance
		}
		return r.Distance + otherBlock
	}
	slices.SortStableFunc(near, func(p, q NearRidgway) int { return cmp.Compare(rank(p), rank(q)) })
	return near[:max(0, min(n, len(near)))]
}
