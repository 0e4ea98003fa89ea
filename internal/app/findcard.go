package app

import (
	"context"
	"fmt"
	"image"

	"trug"
	"trug/internal/store"
	"trug/science/card"
	"trug/science/measure"
	"trug/science/photo"
)

// findCard looks for the field card in a photograph. Whoever calls it holds a
// place among the decoders.
func (a *App) findCard(upright *image.RGBA, facts photo.Facts) trug.FoundCard {
	finder, _ := a.finders.Get().(*card.Finder)
	if finder == nil {
		finder = &card.Finder{}
	}
	defer a.finders.Put(finder)
	size := image.Pt(upright.Rect.Dx(), upright.Rect.Dy())
	// Set anew for each photograph: finders are shared, lenses are not.
	finder.Lens = card.Film35(facts.Lens35(), size.X, size.Y)
	seen := finder.Find(upright)
	out := trug.FoundCard{Revision: card.Revision}
	if len(seen.Cards) > 0 {
		out = trug.NewFoundCard(&seen.Cards[0])
	}
	out.Width, out.Height, out.Focal35 = size.X, size.Y, facts.Lens35()
	out.Problems = seen.Problems(size)
	const unsure = "so that the camera's height is less sure, and with it all that lies above or below the card: "
	switch {
	case !out.Found:
	case facts.Cropped && facts.FocalLength35 > 0:
		out.Problems = append(out.Problems, "The photograph was cropped after it was taken, "+unsure+"hand it in whole, as the camera wrote it.")
	case out.Focal35 == 0:
		out.Problems = append(out.Problems, "The photograph doesn't tell its focal length, "+unsure+"hand in photographs as the camera wrote them.")
	}
	return out
}

// cardIn returns what a photograph shows of the field card. Where nobody has
// looked, or an earlier program has, it looks now and keeps what it found.
func (a *App) cardIn(ctx context.Context, l *ledger, p trug.Photograph) (trug.FoundCard, error) {
	c, ok := l.cards[p.ID]
	if ok && (c.Revision >= card.Revision || c.Picture != p.Original) {
		return c, nil // of an original that was deleted, what was found of it stays
	}
	upright, facts, done, err := a.upright(ctx, p.Original)
	if err != nil {
		return c, err
	}
	again := a.findCard(upright, facts)
	done()
	again.ID, again.SeasonID, again.PhotographID, again.Picture, again.Created = c.ID, p.SeasonID, p.ID, p.Original, a.Clock()
	if again.ID == "" {
		if again.ID, err = a.newID(); err != nil {
			return c, err
		}
	}
	err = a.write(ctx, func(w store.Writer) error {
		return store.Put(ctx, w, again, store.Author{Device: a.Device}, a.Clock())
	})
	if trug.KindOf(err) == trug.Conflict { // somebody else looked at the same moment
		err = nil
	}
	if err != nil {
		return c, fmt.Errorf("keep what a photograph shows of the card: %w", err)
	}
	return again, nil
}

// frameOf is the part of the picture that c was found in which the photograph's
// derivatives show.
func frameOf(p trug.Photograph, c trug.FoundCard) trug.Crop {
	switch {
	case c.Frame != nil:
		return *c.Frame
	case p.Crop != nil:
		return trug.Crop{Left: p.Crop.Left, Top: p.Crop.Top, Width: p.Crop.Width, Height: p.Crop.Height}
	}
	return trug.Crop{Width: c.Width, Height: c.Height}
}

// printOf tells how large the card that was found was printed, and how that is
// known.
func (l *ledger) printOf(c trug.FoundCard) (measure.Scale, trug.PrintHow) {
	if c.Layout == referenceCard {
		return measure.TrueToSize(), trug.PrintTrue
	}
	if !c.BatchKnown {
		return measure.UnknownPrint(), trug.PrintNoBatch
	}
	switch b, ok := l.batchOf(c); {
	case !ok:
		return measure.UnknownPrint(), trug.PrintForeign
	case b.ControlLine == 0:
		return b.Print(), trug.PrintUnknown
	default:
		return b.Print(), trug.PrintMeasured
	}
}

// referenceCard is the layout whose cards are known to be true to size.
const referenceCard = "reference"
