package dwca

import (
	"bufio"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
)

// Size is one fruitbody's size, read off a photograph on the plane of the
// printed field card.
type Size struct {
	// Character is the vocabulary's mark, empty where the size answers none;
	// Label says what was measured.
	Character, Label string
	// Of counts the fruitbodies that were measured together, Number says which
	// of them this is, from 1.
	Number, Of int
	// MM is the size, U95 half the interval that holds 95 %, in millimetres,
	// both as they are published: in tenths.
	MM, U95 float64
	// Print says how large the card was printed.
	Print string
}

const (
	// sizeMark parts a find's identifier from a size's number. No character's
	// mark holds a colon.
	sizeMark     = "#size:"
	sizeUnit     = "mm"
	sizeCoverage = " (half the interval that holds 95 %)"
	sizeMethod   = "read off a photograph in the plane of the printed field card, with an uncertainty budget by JCGM 100:2008; "
)

// sizes writes a row for each size.
func (a *archiveWriter) sizes(b *bufio.Writer, r []string, f *Find) error {
	for i := range f.Sizes {
		x := &f.Sizes[i]
		a.numbered(r, f, sizeMark, i, x.Character)
		r[faType], r[faUnit] = x.Label, sizeUnit
		r[faValue], r[faAccuracy] = tenths(x.MM), tenths(x.U95)+sizeCoverage
		r[faMethod] = sizeMethod + x.Print
		r[faRemarks] = fmt.Sprintf("Fruitbody %d of %d.", x.Number, x.Of)
		if err := put(b, r); err != nil {
			return err
		}
	}
	clear(r)
	return nil
}

// numbered begins the row of a find's i-th size or colour: whose it is, and its
// identifier by what is counted and the character that it answers, if any.
func (a *archiveWriter) numbered(r []string, f *Find, mark string, i int, character string) {
	clear(r)
	find := a.ids.of(findPath, f.Public)
	r[faEvent], r[faOccurrence] = a.ids.findEvent(f.Public), find
	r[faID] = fmt.Sprintf("%s%s%d", find, mark, i+1)
	if character != "" {
		r[faID] += stateMark + character
	}
}

// cutNumbered tells the character of an identifier that numbered wrote, from what
// follows its mark, where it is the one after n.
func cutNumbered(rest string, n int) (character string, ok bool) {
	number, character, _ := strings.Cut(rest, stateMark)
	return character, number == strconv.Itoa(n+1)
}

func tenths(v float64) string { return strconv.FormatFloat(v, 'f', 1, 64) }

// size reads a row that sizes has written; rest is its identifier after the
// mark.
func (t *tablesReader) size(r *tableReader, f *Find, rest string) error {
	c := r.cells
	character, ok := cutNumbered(rest, len(f.Sizes))
	if !ok {
		return r.bad(faID)
	}
	x := Size{Character: character, Label: c[faType]}
	var err error
	if x.MM, err = strconv.ParseFloat(c[faValue], 64); err != nil || c[faUnit] != sizeUnit {
		return r.bad(faValue)
	}
	accuracy, ok := strings.CutSuffix(c[faAccuracy], sizeCoverage)
	if x.U95, err = strconv.ParseFloat(accuracy, 64); err != nil || !ok {
		return r.bad(faAccuracy)
	}
	if x.Print, ok = strings.CutPrefix(c[faMethod], sizeMethod); !ok {
		return r.bad(faMethod)
	}
	if n, err := fmt.Sscanf(c[faRemarks], "Fruitbody %d of %d.", &x.Number, &x.Of); n != 2 || err != nil {
		return r.bad(faRemarks)
	}
	f.Sizes = append(f.Sizes, x)
	return nil
}

func tidySizes(list []Size) []Size {
	if len(list) == 0 {
		return nil
	}
	list = slices.Clone(list)
	for i := range list {
		texts(&list[i].Label, &list[i].Print)
		list[i].MM, list[i].U95 = math.Round(list[i].MM*10)/10, math.Max(math.Round(list[i].U95*10)/10, .1)
	}
	return list
}

func (c *checker) sizes(field string, list []Size) {
	for _, x := range list {
		if x.Character != "" && !factName.MatchString(x.Character) || x.Label == "" || x.Print == "" {
			c.fail(field, "the size of %q can't be published: it needs words for what was measured and how", x.Character)
		}
		if !(x.MM > 0 && x.MM < 10000) || !(x.U95 > 0 && x.U95 < 10000) || x.Number < 1 || x.Number > x.Of {
			c.fail(field, "%s of %g mm, give or take %g mm, number %d of %d, is no size", x.Label, x.MM, x.U95, x.Number, x.Of)
		}
	}
}
