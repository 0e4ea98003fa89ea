package app

import (
	"fmt"
	"maps"
	"math"
	"slices"

	"trug"
	"trug/internal/dwca"
	"trug/science/describe"
)

// published lists the answers about a find that may leave the season: all but
// free words, which may name people and places, and what has a column of its
// own in a deposit.
func (k *seasonKey) published(r trug.Record) describe.Answers {
	out := k.answersOf(r)
	maps.DeleteFunc(out, func(character string, a describe.Answer) bool {
		c, ok := k.words.Character(character)
		return !ok || c.Kind == describe.Text || character == "number_seen" || character == "season" || k.words.Check(a) != nil
	})
	for character, a := range out {
		a.Text = ""
		out[character] = a
	}
	return out
}

// describe adds to a find as published what was described: by character, and
// in the prose of the trade. A character that was not answered, and that sizes
// answer, is told by them.
func (k *seasonKey) describe(out *dwca.Find, l *ledger, f *find) {
	answers := k.published(f.Record)
	sizes := l.sizesFor(Viewer{Season: l.season.ID}, f)
	out.Sizes = publishedSizes(sizes)
	colours := l.coloursFor(Viewer{Season: l.season.ID}, f)
	out.Colours = publishedColours(colours)
	measured := fill(answers, k.measuredAnswers(sizes))
	out.Description = k.words.Prose(answers, describe.Technical)
	for _, c := range k.words.Characters() {
		a, ok := answers[c.Name]
		if !ok {
			continue
		}
		x := dwca.Fact{Character: c.Name, Label: c.Label, Either: a.Either, Blank: k.words.Meaning(a)}
		for _, s := range c.States {
			if slices.Contains(a.States, s.Name) {
				x.States = append(x.States, dwca.FactState{Name: s.Name, Label: describe.InSentence(s.Label)})
			}
		}
		if a.Number != nil {
			x.Number, x.Unit, x.Uncertainty = a.Number.String(), c.Unit, a.Uncertainty
			_, x.Measured = measured[c.Name]
		}
		if a.From != "" {
			x.Measured = slices.ContainsFunc(colours, func(o trug.Colour) bool { return string(o.ID) == a.From })
		}
		x.Either = x.Either && len(x.States) > 1
		out.Facts = append(out.Facts, x)
	}
}

// fill adds what was measured to what was answered, and returns what it added.
// What somebody answered stands; that they had not looked or could not see does
// not bar a size.
func fill(answers, measured describe.Answers) describe.Answers {
	added := describe.Answers{}
	for character, a := range measured {
		if x, told := answers[character]; !told || x.Blank == describe.NotLookedFor || x.Blank == describe.NotVisible {
			added[character] = a
		}
	}
	maps.Copy(answers, added)
	return added
}

// measuredAnswers sums the sizes of a find up by character: of one fruitbody its
// size, of several their range as the trade writes it, with the standard
// uncertainty of the least sure.
func (k *seasonKey) measuredAnswers(sizes []trug.Measurement) describe.Answers {
	values, unsure := map[string][]float64{}, map[string]float64{}
	for _, m := range sizes {
		c, ok := k.words.Character(m.Character)
		if !ok || !measurable(c) {
			continue
		}
		by := map[string]float64{"mm": 1, "cm": .1}[c.Unit]
		for _, g := range m.Figures {
			values[c.Name] = append(values[c.Name], by*float64(g.Value))
			unsure[c.Name] = max(unsure[c.Name], by*float64(g.Expanded)/2)
		}
	}
	out := describe.Answers{}
	for character, v := range values {
		n := spanOf(v, unsure[character])
		out[character] = describe.Answer{Character: character, Number: &n, Uncertainty: math.Ceil(unsure[character]*100) / 100}
	}
	return out
}

// spanOf is the range of sizes: of up to four the least to the greatest, of more
// the middle eight tenths between the extremes (see measure.Spread). Figures have
// as many digits as their standard uncertainty u allows.
func spanOf(v []float64, u float64) describe.Span {
	slices.Sort(v)
	per := 1.0 // figures to a unit
	if u < .5 {
		per = 10
	}
	at := func(q float64) float64 {
		x := q * float64(len(v)-1)
		i := min(int(x), max(len(v)-2, 0))
		j := min(i+1, len(v)-1)
		return math.Round((v[i]+(v[j]-v[i])*(x-float64(i)))*per) / per
	}
	if len(v) < 5 {
		s := describe.Between(at(0), at(1))
		if s.Single() {
			return describe.Value(s.Low)
		}
		return s
	}
	s := describe.Between(at(.1), at(.9))
	s.Least, s.Most = min(at(0), s.Low), max(at(1), s.High)
	return s
}

// publishedSizes are the sizes as they leave: without who measured and without
// the points, which are told in pixels of an original.
func publishedSizes(sizes []trug.Measurement) (out []dwca.Size) {
	for _, m := range sizes {
		for i, g := range m.Figures {
			out = append(out, dwca.Size{Character: m.Character, Label: sizeLabel(m), Number: i + 1, Of: len(m.Figures),
				MM: float64(g.Value), U95: float64(g.U95), Print: lowerFirst(publishedPrint[m.PrintHow])})
		}
	}
	return out
}

// publishedPrint says how large a card was printed, for those who have not
// printed it.
var publishedPrint = map[trug.PrintHow]string{
	trug.PrintTrue:     "The card is known to be true to size",
	trug.PrintMeasured: "The card's size is known by the control line of its printing",
	trug.PrintUnknown:  "The card may have been printed at 92 to 101 %",
	trug.PrintNoBatch:  "The card may have been printed at 92 to 101 %",
	trug.PrintForeign:  "The card may have been printed at 92 to 101 %",
}

// publishedColours are the colours as they leave: without who measured, the points
// and the files.
func publishedColours(colours []trug.Colour) (out []dwca.Color) {
	for _, c := range colours {
		for i, t := range c.Palette {
			v := t.Covariance
			out = append(out, dwca.Color{Character: c.Character, Label: colourLabel(c), Lab: t.D65,
				Covariance: [6]float64{v[0][0], v[1][1], v[2][2], v[0][1], v[0][2], v[1][2]}, GiveOrTake: t.GiveOrTake,
				Name: t.Name, Munsell: t.Munsell, Ridgway: t.Ridgway, RidgwayOff: t.RidgwayDistance, Share: t.Share, Where: t.Where(),
				Number: i + 1, Of: len(c.Palette), Method: publishedCorrection(c)})
		}
	}
	return out
}

// publishedCorrection says how a colour was corrected, for those who have not the
// card.
func publishedCorrection(c trug.Colour) string {
	s := fmt.Sprintf("corrected by %d patches of the card, which an instrument had measured (%s)", c.Correction.Patches, c.Correction.Model)
	if c.Correction.GreysOnly {
		s = "corrected by the greys of the card alone, whose colours nobody had measured"
	}
	for _, t := range c.Palette {
		if t.Clipped {
			return s + "; a channel of the camera ran into its end, so that the true colour lies farther out"
		}
	}
	return s
}
