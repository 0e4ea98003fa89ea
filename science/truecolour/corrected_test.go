package truecolour

import (
	"image"
	"math"
	"testing"

	"trug/science/card"
)

// A whole picture is corrected as its pixels one by one, to a byte or two.
func TestPictureIsCorrectedAsItsPixels(t *testing.T) {
	for _, model := range []Model{WhiteBalance, Linear, Root} {
		c := standing(t, model)
		img := image.NewRGBA(image.Rect(0, 0, 64, 48))
		for i := range img.Pix {
			img.Pix[i] = uint8(40 + 37*i%170)
		}
		spot := func(x, y int) (card.Spot, bool) {
			return card.Spot{X: card.Millimetres(x), Y: card.Millimetres(y)}, true
		}
		out := c.Picture(img, spot)
		for y := block / 2; y < 48; y += block {
			for x := block / 2; x < 64; x += block {
				o := img.PixOffset(x, y)
				at, _ := spot(x, y)
				want := c.Lab([3]float64{decoded[img.Pix[o]], decoded[img.Pix[o+1]], decoded[img.Pix[o+2]]}, at)
				r, g, b, in := want.SRGB8()
				for i, v := range [3]uint8{r, g, b} {
					if d := math.Abs(float64(v) - float64(out.Pix[out.PixOffset(x, y)+i])); in && v > 20 && d > 1 {
						t.Errorf("%v at %d, %d: channel %d is %d, one by one %d", model, x, y, i, out.Pix[out.PixOffset(x, y)+i], v)
					}
				}
			}
		}
	}
}

// standing is the correction of a card that the camera saw a little too warm,
// under a model.
func standing(t *testing.T, model Model) *Correction {
	t.Helper()
	l, ref := pocket(t), whole(pocket(t))
	var samples []Sample
	for _, p := range l.Patches {
		s := Sample{ID: p.ID, Kind: Colour, At: p.Box.Middle(), Kept: 1}
		if p.Grey {
			s.Kind = Grey
		}
		for i, v := range p.SRGB {
			s.Light[i] = 0.8 * decoded[v] * [3]float64{1.1, 1, 0.8}[i]
		}
		samples = append(samples, s)
	}
	c, err := Correct(samples, ref, l)
	if err != nil {
		t.Fatal(err)
	}
	if c.fitted, _ = Fit(model, c.patches(samples), ridge); c.fitted == nil {
		t.Fatalf("%v is not determined", model)
	}
	return c
}
