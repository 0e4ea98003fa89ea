//go:build js && wasm

package main

import (
	"image"
	"image/color"
	"math"
	"math/rand/v2"
	"sync"

	"trug/science/advice"
	"trug/science/card"
	"trug/science/view"
)

// rehearsal is an invented photograph: a pale disc on brown ground, and the card's
// tags beside it.
var rehearsal = sync.OnceValue(func() *image.RGBA {
	const w, h, pxPerMM = 1400, 1050, 5.5
	img := image.NewRGBA(image.Rect(0, 0, w, h))
	r := rand.New(rand.NewPCG(1, 1))
	grey := func(c color.RGBA) color.RGBA {
		n := int(8 * r.NormFloat64())
		held := func(v uint8) uint8 { return uint8(min(max(int(v)+n, 0), 255)) }
		return color.RGBA{held(c.R), held(c.G), held(c.B), 255}
	}
	for y := range h {
		for x := range w {
			c := color.RGBA{86, 66, 48, 255}
			if math.Hypot(float64(x-w/2), float64(y-h/2)) < 180 {
				c = color.RGBA{190, 160, 120, 255}
			}
			img.SetRGBA(x, y, grey(c))
		}
	}
	l := card.Layouts()[0]
	ids, err := l.Ids(0)
	if err != nil {
		return img
	}
	for _, tag := range l.Tags {
		cells, err := card.Cells(ids[tag.Seat])
		if err != nil {
			return img
		}
		side := float64(tag.Black.W) * pxPerMM
		x0, y0 := 20+float64(tag.Black.X)*pxPerMM, 20+float64(tag.Black.Y)*pxPerMM
		for y := range int(side * 10 / 8) {
			for x := range int(side * 10 / 8) {
				c := color.RGBA{25, 25, 25, 255}
				if cells[min(int(float64(y)/side*8), 9)][min(int(float64(x)/side*8), 9)] {
					c = color.RGBA{220, 220, 220, 255}
				}
				img.SetRGBA(int(x0-side/8)+x, int(y0-side/8)+y, grey(c))
			}
		}
	}
	return img
})

// rehearse looks over an invented photograph, so that the browser has made its
// fast code of the program before the first one comes.
func (d *door) rehearse(_ []byte) (any, error) {
	img := rehearsal()
	seen := advice.Look(&d.finder, img, advice.Underneath, view.Known{Film35: 26}).Seen
	return map[string]bool{"card": seen.Card != nil, "subject": seen.Subject.Found}, nil
}
