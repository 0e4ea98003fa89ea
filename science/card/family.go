package card

import (
	"embed"
	"encoding/csv"
	"fmt"
	"math/bits"
	"strconv"
	"sync"
)

//go:embed data/tag36h11_codes.csv data/tag36h11_bit_layout.csv data/layouts.json
var files embed.FS

// Cells of a tag, counted along one side.
const (
	dataCells  = 6  // the cells that bear the code
	blackCells = 8  // the black square: the data and one cell of black round it
	tagCells   = 10 // with one cell of white round that
	codeBits   = dataCells * dataCells
	codeMask   = 1<<codeBits - 1
)

// MinDistance is the least number of bits in which two of the family's codes
// differ, in whatever way each is turned.
const MinDistance = 11

// family is tag36h11: the code words and the places of their bits.
type family struct {
	codes []uint64
	// col and row tell where a bit stands, the most significant first, in cells
	// from the upper left corner of the black square.
	col, row [codeBits]int
}

// tag36h11 is read once; a test reads the embedded files for faults.
var tag36h11 = sync.OnceValue(func() *family {
	f, err := readFamily()
	if err != nil {
		panic(err)
	}
	return f
})

func readFamily() (*family, error) {
	codes, err := rows("data/tag36h11_codes.csv")
	if err != nil {
		return nil, err
	}
	f := &family{codes: make([]uint64, len(codes))}
	for i, r := range codes {
		if r[0] != strconv.Itoa(i) {
			return nil, fmt.Errorf("code %d stands in the line of %s", i, r[0])
		}
		if f.codes[i], err = strconv.ParseUint(r[1], 0, codeBits); err != nil {
			return nil, err
		}
	}
	places, err := rows("data/tag36h11_bit_layout.csv")
	if err != nil {
		return nil, err
	}
	if len(places) != codeBits {
		return nil, fmt.Errorf("%d bits have a place, not %d", len(places), codeBits)
	}
	for i, r := range places {
		if f.col[i], err = strconv.Atoi(r[2]); err != nil {
			return nil, err
		}
		if f.row[i], err = strconv.Atoi(r[3]); err != nil {
			return nil, err
		}
	}
	return f, nil
}

// rows reads an embedded table without its head.
func rows(name string) ([][]string, error) {
	file, err := files.Open(name)
	if err != nil {
		return nil, err
	}
	defer file.Close()
	all, err := csv.NewReader(file).ReadAll()
	if err != nil {
		return nil, fmt.Errorf("%s: %w", name, err)
	}
	return all[1:], nil
}

// TagCount is how many tags the family has: ids run from 0 to TagCount()-1.
func TagCount() int { return len(tag36h11().codes) }

// Cells returns a tag upright as 10 x 10 cells, true = white, row by row from
// its upper left corner: a ring of white, a ring of black, and the code.
func Cells(id int) ([tagCells][tagCells]bool, error) {
	f := tag36h11()
	var c [tagCells][tagCells]bool
	if id < 0 || id >= len(f.codes) {
		return c, fmt.Errorf("there is no tag %d: ids run from 0 to %d", id, len(f.codes)-1)
	}
	for i := range tagCells {
		c[0][i], c[tagCells-1][i], c[i][0], c[i][tagCells-1] = true, true, true, true
	}
	for i := range codeBits {
		c[f.row[i]+1][f.col[i]+1] = f.codes[id]>>(codeBits-1-i)&1 == 1
	}
	return c, nil
}

// turned is the code as read from a tag that was turned a quarter
// counter-clockwise: the bits run clockwise through the four quadrants.
func turned(code uint64) uint64 {
	return (code<<9 | code>>(codeBits-9)) & codeMask
}

// match finds the tag whose code is nearest to what was read, in any of four
// turns. turns says how many quarters counter-clockwise what was read must
// still be turned to stand upright; distance counts the bits that differ.
func (f *family) match(read uint64) (id, turns, distance int) {
	distance = codeBits + 1
	for t := range 4 {
		for i, c := range f.codes {
			if d := bits.OnesCount64(c ^ read); d < distance {
				id, turns, distance = i, t, d
			}
		}
		read = turned(read)
	}
	return id, turns, distance
}

// nearest is match for one tag alone, or for any.
func (f *family) nearest(read uint64, want int) (id, turns, distance int) {
	if want == anyTag {
		return f.match(read)
	}
	distance = codeBits + 1
	for t := range 4 {
		if d := bits.OnesCount64(f.codes[want] ^ read); d < distance {
			turns, distance = t, d
		}
		read = turned(read)
	}
	return want, turns, distance
}
