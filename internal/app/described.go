package app

import (
	"maps"
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
// in the prose of the trade.
func (k *seasonKey) describe(out *dwca.Find, r trug.Record) {
	answers := k.published(r)
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
		}
		x.Either = x.Either && len(x.States) > 1
		out.Facts = append(out.Facts, x)
	}
}
