package colour

import (
	_ "embed"
	"math"
	"strings"
	"sync"
)

//go:embed data/iscc_nbs_blocks.csv
var blockTable string

//go:embed data/iscc_nbs_names.csv
var blockNameTable string

// Block is one of the 267 colour names of the ISCC-NBS method, NBS Special
// Publication 440 (1976): a box of the Munsell solid. Spelling follows it
// ("grayish").
type Block struct {
	Number int // 1..267
	// Name is the full name, level 3: "light grayish brown".
	Name string
	// Short is its abbreviation: "l.gy.Br".
	Short string
	// Middle is the level 2 name, one of 29: "yellowish brown".
	Middle string
	// Broad is the level 1 name, one of 13: "brown".
	Broad string
	// Centroid is the middle of the block (Kelly, J. Res. NBS 61(5), RP2911, 1958).
	Centroid Munsell
}

// Blocks gives all 267 in the order of their numbers. The slice is shared: do
// not change it.
func Blocks() []Block { return naming().names }

// box is a part of a block.
type box struct {
	hue, value, chroma [2]float64 // from, and up to but not including
	number             int
}

type blockBook struct {
	names []Block
	boxes []box
}

var naming = sync.OnceValue(func() blockBook {
	var book blockBook
	for _, f := range table(blockNameTable) {
		b := Block{Number: int(number(f[0])), Name: f[1], Short: f[2], Middle: f[4], Broad: f[6]}
		b.Centroid = Munsell{Value: number(f[8]), Chroma: number(f[9])}
		if f[7] != "" {
			b.Centroid.Hue = number(f[7])
		}
		book.names = append(book.names, b)
	}
	for _, f := range table(blockTable) {
		book.boxes = append(book.boxes, box{
			hue:    [2]float64{number(f[2]), number(f[3])},
			value:  [2]float64{number(f[4]), number(f[5])},
			chroma: [2]float64{number(f[6]), number(f[7])},
			number: int(number(f[8])),
		})
	}
	return book
})

// table splits one of our own tables, whose fields hold no quotes.
func table(text string) [][]string {
	var rows [][]string
	for _, line := range strings.Split(strings.TrimSpace(text), "\n")[1:] {
		rows = append(rows, strings.Split(line, ","))
	}
	return rows
}

// Block names the colour: exactly one block holds it. The lower bounds of a block
// belong to it, the upper ones to the next. Hue, value and chroma out of range
// are taken as the nearest in range.
func (m Munsell) Block() Block {
	hue, value, chroma := wrapHue(m.Hue), clamp(m.Value, 0, 10), math.Max(0, m.Chroma)
	if hue < 1 {
		hue += 100 // the charts run from 1R round to 1R
	}
	book := naming()
	for _, b := range book.boxes {
		if hue >= b.hue[0] && hue < b.hue[1] && value >= b.value[0] && value < b.value[1] && chroma >= b.chroma[0] && chroma < b.chroma[1] {
			return book.names[b.number-1]
		}
	}
	// Only hue 101 by rounding, or what is no number, comes here.
	return book.names[266]
}

// Block names a colour in CIELAB relative to white.
func (c Lab) Block(white XYZ) Block { return c.Munsell(white).Block() }
