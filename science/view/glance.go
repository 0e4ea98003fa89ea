package view

import (
	"image"

	"trug/science/card"
)

// Glance is what the preview of a camera shows before the photograph is taken:
// the card alone, since it is asked for several times a second.
type Glance struct {
	Width  int   `json:"width"`
	Height int   `json:"height"`
	Card   *Card `json:"card,omitempty" doc:"Left out where none was found"`
	// Says is why none was found, and what helps; empty where one was.
	Says string `json:"says,omitempty"`
}

// Glimpse looks for the card in one frame of a preview, pixels as of Seen. A
// frame is small and hardly resolves a pocket card from further than half a
// metre: what it does not show, the photograph may.
func Glimpse(f *card.Finder, frame *image.RGBA, known Known) Glance {
	g := Glance{Width: frame.Rect.Dx(), Height: frame.Rect.Dy()}
	if min(g.Width, g.Height) < least {
		return g
	}
	f.Lens = card.Film35(known.Film35, g.Width, g.Height)
	sighting := f.Find(frame)
	if len(sighting.Cards) == 0 {
		g.Says = sighting.Problems(image.Pt(g.Width, g.Height))[0]
		return g
	}
	// What else is wrong is asked of the photograph: a frame is coarser than that will be.
	g.Card = tellCard(&sighting.Cards[0], f.Lens)
	return g
}
