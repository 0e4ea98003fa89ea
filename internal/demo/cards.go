package demo

import (
	"bytes"
	"fmt"
	"maps"
	"slices"

	"trug"
	"trug/internal/demo/paint"
)

// cards lists the printing of the card that lies in the photographs, with the table
// of its colours. In a true season an instrument measures them; here they are what
// the painter draws the card with.
func (s *Season) cards() {
	by := id(begun, "R02")
	s.CardColours = cardTable()
	s.Cards = []trug.CardBatch{{ID: id(begun, "reference card"), SeasonID: s.season(), Layout: "reference", Paper: "A4", By: by, Created: begun,
		Remark:  "in all photographs of the invented season; its colours are invented like the rest: what they are drawn with",
		Colours: &trug.PrintedColours{Patches: bytes.Count(s.CardColours, []byte("\n")) - 2, Paper: true, By: by, At: begun}}}
}

// cardTable is the table as a coordinator would hand it in.
func cardTable() []byte {
	var b bytes.Buffer
	fmt.Fprintln(&b, "patch,L*,a*,b*,illuminant,observer")
	colours := paint.CardColours()
	for _, name := range slices.Sorted(maps.Keys(colours)) {
		c := colours[name]
		fmt.Fprintf(&b, "%s,%.2f,%.2f,%.2f,D65,2\n", name, c.L, c.A, c.B)
	}
	return b.Bytes()
}
