package app

import (
	"context"
	"fmt"
	"math"
	"slices"

	"trug"
	"trug/internal/store"
	"trug/science/colour"
	"trug/science/describe"
	"trug/science/said"
	"trug/science/truecolour"
)

const (
	// leastFilled is the part of a place that a main colour must have to be told
	// in a description; less is a fleck.
	leastFilled = 0.15
	// leastBlock is what a block must hold of a colour's probability to be told
	// beside the likeliest.
	leastBlock = 0.25
)

// FillFromColour answers the character of a find's description that a measured
// colour answers, and keeps the link to it: for the find's recorder and the
// coordinator, as every answer.
func (a *App) FillFromColour(ctx context.Context, v Viewer, id trug.ID) (RecordSheet, error) {
	l, err := a.open(ctx, v, MeasureView)
	if err != nil {
		return RecordSheet{}, err
	}
	f, c, ok := l.colourByID(id)
	if !ok || !l.visible(v, f) || !slices.ContainsFunc(l.coloursFor(v, f), func(o trug.Colour) bool { return o.ID == id }) {
		return RecordSheet{}, noColour()
	}
	if !v.is(f.RecorderID) && !v.has(trug.Coordinator) {
		return RecordSheet{}, trug.Errorf(trug.NotAllowed, "", "A find's description is filled in by its recorder or the coordinator.")
	}
	k, err := a.keyOf(ctx, l)
	if err != nil {
		return RecordSheet{}, err
	}
	answer, err := answerOf(k.words, c)
	if err != nil {
		return RecordSheet{}, err
	}
	r := l.full().finds[f.ID].Record
	r.Description = append(slices.DeleteFunc(slices.Clone(r.Description), func(x describe.Answer) bool { return x.Character == answer.Character }), answer)
	if err := r.Validate(); err != nil {
		return RecordSheet{}, err
	}
	if err := a.write(ctx, func(w store.Writer) error { return store.Put(ctx, w, r, a.author(v), a.Clock()) }); err != nil {
		return RecordSheet{}, err
	}
	return a.Record(ctx, v, f.ID)
}

// answerOf puts a colour into the words of its character: each main colour by the
// blocks in question; of a single colour that lies between words, either.
func answerOf(words *describe.Vocabulary, c trug.Colour) (describe.Answer, error) {
	is, ok := words.Character(c.Character)
	switch {
	case !ok || !colourful(is):
		return describe.Answer{}, trug.Errorf(trug.Invalid, "character", "this colour answers no character of the description: measure it again and say what it is the colour of")
	case c.Treatment != trug.Fresh:
		return describe.Answer{}, trug.Errorf(trug.Invalid, "treatment", "the description asks for the fresh colour, and this one was measured after a treatment")
	}
	a := describe.Answer{Character: c.Character, From: string(c.ID)}
	if !is.Kind.HasStates() {
		a.Text = fmt.Sprintf("%s (measured: L* %.0f, a* %.0f, b* %.0f)", c.Mean.Name, c.Mean.D65[0], c.Mean.D65[1], c.Mean.D65[2])
		return a, nil
	}
	told := 0
	for i, t := range c.Palette {
		if i > 0 && t.Share < leastFilled {
			continue
		}
		told++
		for _, b := range blocksOf(t) {
			for _, s := range is.ColourStates(b) {
				if !slices.Contains(a.States, s) {
					a.States = append(a.States, s)
				}
			}
		}
	}
	if len(a.States) == 0 {
		return a, trug.Errorf(trug.Invalid, "character", "%s has no words for %s: answer it by hand", is.Label, c.Mean.Name)
	}
	a.Either = told == 1 && len(a.States) > 1
	return a, nil
}

// blocksOf lists the blocks that a colour may well lie in, the likeliest first.
func blocksOf(t truecolour.Told) (out []colour.Block) {
	for i, b := range t.Blocks {
		if all := colour.Blocks(); b.Number >= 1 && b.Number <= len(all) && (i == 0 || b.Share >= leastBlock) {
			out = append(out, all[b.Number-1])
		}
	}
	return out
}

// originOf says where an answer comes from: a colour that was measured.
func (l *ledger) originOf(v Viewer, f *find, a describe.Answer) said.Sentence {
	if a.From == "" {
		return said.Sentence{}
	}
	c, ok := f.colour(trug.ID(a.From))
	switch {
	case !ok:
		return said.As("From a measurement.")
	case !c.Withdrawn.IsZero():
		return said.As("From a measured colour that was taken back since.")
	case !slices.ContainsFunc(l.coloursFor(v, f), func(o trug.Colour) bool { return o.ID == c.ID }):
		return said.As("From a colour measured in a view that is not shown.")
	}
	return said.As("From the colour measured in the view {view}: {colour}, give or take {u}.", "view", f.kindOf(c.ViewID).Said(), "colour", said.As(said.Words(c.Mean.Name)), "u", math.Round(c.Mean.GiveOrTake*10)/10)
}
