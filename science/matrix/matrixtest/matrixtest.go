// Package matrixtest holds matrices on which the readers and writers of every
// form are tried alike.
package matrixtest

import (
	"trug/science/describe"
	"trug/science/matrix"
)

// Full returns an invented matrix with every kind of character and entry that
// a form must keep.
func Full() *matrix.Matrix {
	span := func(text string) []describe.Span {
		s, err := describe.ParseSpan(text)
		if err != nil {
			panic(err)
		}
		return []describe.Span{s}
	}
	given := func(s ...matrix.Shown) matrix.Entry { return matrix.Entry{Status: matrix.Given, States: s} }
	number := func(text string) matrix.Entry { return matrix.Entry{Status: matrix.Given, Numbers: span(text)} }
	return &matrix.Matrix{
		Title: "Three invented fungi",
		Characters: []matrix.Character{
			{ID: "under", Label: "Spore-bearing surface", Says: "seen from below", States: []matrix.State{
				{ID: "gills", Label: "lamellae", Says: "thin blades"}, {ID: "pores", Label: "pores"}, {ID: "smooth", Label: "smooth"}}},
			{ID: "gill_attachment", Label: "Attachment of the lamellae", States: []matrix.State{{ID: "free", Label: "free"}, {ID: "broad", Label: "adnate"}}},
			{ID: "decay", Label: "Decay of the wood", Kind: matrix.Ordered, States: []matrix.State{{ID: "d1", Label: "fresh"}, {ID: "d2", Label: "soft"}, {ID: "d3", Label: "gone"}}},
			{ID: "cap", Label: "Cap width", Kind: matrix.Numeric, Unit: "mm"},
			{ID: "folds", Label: "Number of folds", Kind: matrix.Count},
			{ID: "words", Label: "In words", Kind: matrix.Text},
		},
		Rules: []matrix.Rule{{Character: 0, States: []int{1, 2}, Makes: []int{1, 4}}},
		Taxa:  []matrix.Taxon{{ID: "p", Name: "Fungus primus", Says: "invented, like the rest"}, {ID: "s", Name: "Fungus secundus"}, {ID: "t", Name: "Fungus tertius"}},
		Rows: [][]matrix.Entry{
			{given(matrix.Shown{State: 0}), given(matrix.Shown{State: 0, Frequency: 0.75, Count: 12}, matrix.Shown{State: 1, Frequency: 0.25, Count: 12}),
				given(matrix.Shown{State: 1}, matrix.Shown{State: 2, Doubtful: true}), number("(7.2-)7.6-8.2-8.9(-9.3)"), number("7"),
				{Status: matrix.Given, Text: "smells of pelargonium, later of ink"}},
			{given(matrix.Shown{State: 1}), {Status: matrix.Inapplicable}, {Status: matrix.Depends}, number("11-14"), {Status: matrix.Inapplicable}, {}},
			{{}, {}, {}, {Status: matrix.Given, Numbers: append(span("2-3"), span("5-6(-9)")...)}, {Status: matrix.Depends}, {}},
		},
	}
}
