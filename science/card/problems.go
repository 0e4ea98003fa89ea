package card

import (
	"image"

	"trug/science/said"
)

// NoneFound is said where no card is seen, the commonest of all problems.
const NoneFound = said.Words("No card was found: lay it flat beside the fungus with all four tags in the view, out of glare and deep shade, hold the camera still until it is sharp, and take the photograph again from nearer.")

// Problems says in English sentences what is wrong with what was seen in a
// photograph of a size, and how to take it again; none when all is well.
func (s Sighting) Problems(size image.Point) []string {
	var out []string
	for _, p := range s.Said(size) {
		out = append(out, p.String())
	}
	return out
}

// Said is Problems for every language.
func (s Sighting) Said(size image.Point) []said.Sentence {
	if len(s.Cards) == 0 {
		return []said.Sentence{s.whyNone(size)}
	}
	var out []said.Sentence
	seen := 0
	for _, c := range s.Cards {
		if len(c.Tags) > 1 {
			seen++
		}
	}
	if seen > 1 {
		out = append(out, said.As("More than one card is in the view, and the one of which most is seen was taken: leave only one."))
	} else if len(s.Cards) > 1 {
		out = append(out, said.As("There are tags in the view that don't belong to the card: keep other cards and boxes with tags out of it."))
	}
	return append(out, s.Cards[0].problems(size)...)
}

// smallPhoto is the longer side, in pixels, of photographs in which no card that
// leaves room for a fungus could be read.
const smallPhoto = 700

func (s Sighting) whyNone(size image.Point) said.Sentence {
	switch {
	case s.Mirrored == 0 && max(size.X, size.Y) < smallPhoto:
		return said.Of("No card was found: the photograph is only %d pixels wide and %d high, too small to read one. Send it in its full size, as the camera wrote it.", size.X, size.Y)
	case s.Mirrored > 0:
		return said.As("The card is seen in a mirror, or the photograph was turned over: take it with the camera that looks away from you, without a mirror.")
	case len(s.Loose) > 0:
		return said.As("There are tags in the view, but of no card that is known: print a card with `trug card` and take the photograph again.")
	case s.Foreign > 3:
		return said.As("There are squares in the view that look like tags, but none that can be read as ours: lay our own card there, whole and sharp, and take the photograph again from nearer.")
	}
	return said.As(NoneFound)
}

// problems of the card that was found.
func (c Found) problems(size image.Point) []said.Sentence {
	var out []said.Sentence
	cut, covered := 0, 0
	for seat := range 4 {
		for _, s := range c.Layout.Corners(seat) {
			if p := c.Plane.ToImage(s); !(p.X >= 0 && p.Y >= 0 && p.X <= float64(size.X-1) && p.Y <= float64(size.Y-1)) {
				cut++
				break
			}
		}
	}
	for _, t := range c.Tags {
		if t.Covered {
			covered++
		}
	}
	if cut > 0 {
		out = append(out, said.As("The card is cut off by the edge of the photograph: take it again with the whole card in the view."))
	}
	if n := len(c.Tags); n < 3 {
		out = append(out, said.Of("Only %d of the card's four tags can be read, so that sizes are less certain, above all away from them: take it again with the whole card clear of leaves, glare and shade.", n))
	}
	if covered > 0 {
		out = append(out, said.As("Part of the card is covered: what is seen of it was used."))
	}
	if c.Screen {
		out = append(out, said.As("The card seems to be shown on a screen, where a millimetre has any size: measure with a printed card."))
	}
	if c.Bent {
		out = append(out, said.As("The card is bent, wet or curled: sizes away from it are less certain. Lay it on something flat and take it again."))
	}
	if blur := c.Blur(); blur > 3.5 {
		out = append(out, said.Of("The photograph is blurred by about %.0f pixels: hold the camera still, tap on the fungus to focus, and take it again.", blur))
	}
	if px := c.Plane.PxPerMM(c.Plane.Middle()); px < 2 {
		out = append(out, said.Of("A millimetre is only %.1f pixels wide: come closer, or send the photograph in its full size.", px))
	}
	return out
}

// Blur is the spread (sigma, pixels) of the edges of the card's tags, the
// middle one of them; 0 when none was measured.
func (c Found) Blur() float64 {
	var v []float64
	for _, t := range c.Tags {
		if t.Blur > 0 {
			v = append(v, t.Blur)
		}
	}
	return median(v)
}
