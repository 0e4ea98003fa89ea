package cli

import (
	"image"
	"image/color"
	"math"
	"testing"

	"trug/science/card"
)

// Where a fruitbody was measured, what can be made out follows from its own
// sharpness and not from the card's: a disc blurred by a Gaussian of 4 px beside
// a card that is seen sharp, at 20 px to the millimetre. Pairs to a millimetre:
// sqrt(ln 10 / 2) / (pi 4 px) x 20 px/mm = 1.71, by the Gaussian's contrast.
func TestSharpnessOfTheSubject(t *testing.T) {
	const w, h, r, blur = 600, 500, 140., 4.
	img := image.NewRGBA(image.Rect(0, 0, w, h))
	for y := range h {
		for x := range w {
			k := (1 + math.Erf((r-math.Hypot(float64(x)-300, float64(y)-250))/(blur*math.Sqrt2))) / 2
			light := .05 + .5*k
			v := uint8(255*(1.055*math.Pow(light, 1/2.4)-.055) + .5)
			img.SetRGBA(x, y, color.RGBA{v, v, v, 255})
		}
	}
	m := measured{Card: measuredCard{PxPerMM: 20}}
	m.sharp(ofCard, .8)
	m.sharpSubject(img)
	if m.Sharpness.Of != ofCard {
		t.Errorf("with nothing measured the sharpness is that of the %s", m.Sharpness.Of)
	}
	var outline []card.Pixel
	for i := range 90 {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / 90)
		outline = append(outline, card.Pixel{X: 300 + r*cos, Y: 250 + r*sin})
	}
	m.outlines = append(m.outlines, outline)
	m.sharpSubject(img)
	s := m.Sharpness
	if s.Of != ofSubject || math.Abs(s.BlurPx/blur-1) > .15 || math.Abs(s.FinestPerMM/1.71-1) > .15 || s.Words != "pores finer than 1 per mm can't be seen here: come closer" {
		t.Errorf("%+v", *s)
	}
}
