package truecolour

import (
	"image"
	"slices"

	"trug/science/card"
)

// Revision rises whenever the same photograph would give another colour: what an
// earlier one gave is measured anew by this.
const Revision = 3

// Result is what a photograph tells of a fungus's colour.
type Result struct {
	// Palette is nil when Advice stops it.
	Palette    *Palette
	Correction *Correction
	Advice     []Advice
}

// Stopped says that the light allows no number.
func (r *Result) Stopped() bool {
	return slices.ContainsFunc(r.Advice, func(a Advice) bool { return a.Stops })
}

// Measure tells the colours of a region of a photograph in which a card was
// found. flash says that the camera fired one.
func Measure(img *image.RGBA, plane *card.Plane, l *card.Layout, ref Reference, flash bool, r *Region) (*Result, error) {
	c, advice, err := Look(img, plane, l, ref, flash)
	if err != nil {
		return nil, err
	}
	out := &Result{Correction: c, Advice: advice}
	if a, apart := c.Apart(img, plane, l, r); apart {
		out.Advice = append(out.Advice, a)
	}
	p, err := c.Palette(img, plane, r)
	if err != nil {
		return nil, err
	}
	if p.Mean.Clipped {
		out.Advice = append(out.Advice, Advice{TooLight, "The fungus itself is too light, too dark or too vivid for the camera in this photograph: a channel ran into its end, and the true colour lies farther out than told. Take it again, one step darker or lighter.", false})
	}
	if !out.Stopped() {
		out.Palette = p
	}
	return out, nil
}
