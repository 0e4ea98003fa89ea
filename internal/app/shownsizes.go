package app

import (
	"slices"

	"trug"
	"trug/science/measure"
	"trug/science/said"
)

// shownSizes lists the sizes of the views that the viewer sees.
func (l *ledger) shownSizes(v Viewer, f *find) []ShownSize {
	out := []ShownSize{}
	for _, m := range l.sizesFor(v, f) {
		out = append(out, l.shownSize(v, m))
	}
	return out
}

// sizesFor returns the sizes that stand, of views that the viewer sees: a view
// that was taken out or is withheld takes its sizes along.
func (l *ledger) sizesFor(v Viewer, f *find) []trug.Measurement {
	views := l.viewsFor(v, f)
	return slices.DeleteFunc(slices.Clone(f.sizes), func(m trug.Measurement) bool {
		return !m.Withdrawn.IsZero() || !slices.ContainsFunc(views, func(w trug.View) bool { return w.ID == m.ViewID })
	})
}

func (l *ledger) shownSize(v Viewer, m trug.Measurement) ShownSize {
	s := ShownSize{ID: m.ID, View: m.ViewID, Kind: m.Kind, Character: m.Character, Label: sizeLabel(m), AboveFrom: float64(m.AboveFrom), AboveTo: float64(m.AboveTo),
		Print: ShownPrint{m.PrintScale, m.PrintU, m.PrintHow, string(printWords[m.PrintHow])}, By: l.person(m.By)}
	if f := l.finds[m.RecordID]; f != nil {
		s.May = l.mayChange(v, f, m)
	}
	for _, g := range m.Figures {
		one := ShownFigure{Points: g.Points, Placing: g.Placing, MM: float64(g.Value), U95MM: float64(g.U95), ExpandedMM: float64(g.Expanded),
			Words: measuredOf(g).Words(), Budget: []ShownLine{}, AreaMM2: float64(g.Area), AreaU95MM2: float64(g.AreaU95)}
		for _, b := range g.Budget {
			one.Budget = append(one.Budget, ShownLine{string(b.Source), float64(b.U)})
		}
		s.Figures = append(s.Figures, one)
	}
	s.Words = sizeWords(m)
	s.Said.Put("words", sizeSaid(m))
	s.Said.Put("label", said.As(said.Words(sizeLabel(m))))
	if len(m.Figures) > 1 {
		s.Range = s.Words
	}
	return s
}

// sizeWords says a size plainly: one with its uncertainty, several as the trade
// writes a range.
func sizeWords(m trug.Measurement) string { return said.English(sizeSaid(m)) }

func sizeSaid(m trug.Measurement) any {
	if len(m.Figures) == 1 {
		return measuredOf(m.Figures[0]).Said()
	}
	var values []measure.Millimetres
	for _, g := range m.Figures {
		values = append(values, g.Value)
	}
	return measure.Spread(values)
}

// measuredOf is a figure as science/measure told it.
func measuredOf(g trug.Figure) measure.Measured {
	m := measure.Measured{Value: g.Value, Expanded: g.Expanded, U95: g.U95}
	for _, b := range g.Budget {
		m.Budget = append(m.Budget, measure.Contribution{Source: b.Source, U: float64(b.U), Even: b.Even})
	}
	return m
}

// sizeLabel says what was measured.
func sizeLabel(m trug.Measurement) string {
	if m.Label != "" {
		return m.Label
	}
	return string(map[trug.MeasurementKind]said.Words{trug.MeasuredLength: "Length", trug.MeasuredCurve: "Length along a curve",
		trug.MeasuredOutline: "Greatest width", trug.MeasuredAcross: "Width across"}[m.Kind])
}
