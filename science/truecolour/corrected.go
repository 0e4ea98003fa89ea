package truecolour

import (
	"image"
	"math"

	"trug/science/card"
	"trug/science/colour"
)

// Look finds the correction of a photograph in which a card was found, and what
// its light asks for. flash says that the camera fired one.
func Look(img *image.RGBA, plane *card.Plane, l *card.Layout, ref Reference, flash bool) (*Correction, []Advice, error) {
	samples := SampleCard(img, plane, l)
	c, err := Correct(samples, ref, l)
	if err != nil {
		return nil, nil, err
	}
	return c, c.Advise(samples, flash), nil
}

// block is the side of the squares over which the light is taken as even when a
// whole picture is corrected, in pixels: over so little it changes by less than
// a step of a byte.
const block = 16

// Picture corrects a whole picture in sRGB: what the eye compares with the thing
// itself. at tells which spot of the card's plane a pixel of it shows; beyond the
// plane's horizon the light is taken as in the middle of the card. Colours that
// sRGB does not reach are clipped.
func (c *Correction) Picture(img *image.RGBA, at func(x, y int) (card.Spot, bool)) *image.RGBA {
	var undone [3][256]float64
	for channel := range undone {
		for v := range undone[channel] {
			light := decoded[v]
			undone[channel][v] = math.Exp(c.tone.curve(logOf(light), channel))
			if light < floor {
				undone[channel][v] *= light / floor
			}
		}
	}
	out := image.NewRGBA(image.Rect(0, 0, img.Rect.Dx(), img.Rect.Dy()))
	for y0 := 0; y0 < out.Rect.Dy(); y0 += block {
		for x0 := 0; x0 < out.Rect.Dx(); x0 += block {
			dim := 1.0
			if spot, ok := at(min(x0+block/2, out.Rect.Dx()-1), min(y0+block/2, out.Rect.Dy()-1)); ok {
				dim = math.Exp(-c.tone.light.at(spot))
			}
			for y := y0; y < min(y0+block, out.Rect.Dy()); y++ {
				from := img.Pix[img.PixOffset(img.Rect.Min.X+x0, img.Rect.Min.Y+y):]
				into := out.Pix[out.PixOffset(x0, y):]
				for i := 0; i < 4*(min(x0+block, out.Rect.Dx())-x0); i += 4 {
					seen := [3]float64{dim * undone[0][from[i]], dim * undone[1][from[i+1]], dim * undone[2][from[i+2]]}
					for k, v := range c.fitted.quick(seen) {
						into[i+k] = encoded[int(math.Round(math.Max(0, math.Min(1, v))*float64(len(encoded)-1)))]
					}
					into[i+3] = 255
				}
			}
		}
	}
	return out
}

// quick is Apply without its slices, for millions of pixels.
func (f *Fitted) quick(v [3]float64) (out [3]float64) {
	var roots [3]float64
	if f.Model == Root {
		roots = [3]float64{math.Sqrt(math.Max(0, v[0]*v[1])), math.Sqrt(math.Max(0, v[1]*v[2])), math.Sqrt(math.Max(0, v[0]*v[2]))}
	}
	for i, m := range f.Matrix {
		out[i] = m[0]*v[0] + m[1]*v[1] + m[2]*v[2]
		if f.Model == Root {
			out[i] += m[3]*roots[0] + m[4]*roots[1] + m[5]*roots[2]
		}
	}
	return out
}

// encoded turns light, 0 to 1 in so many steps, into a stored byte.
var encoded = func() (table [4096]uint8) {
	for i := range table {
		table[i] = uint8(math.Round(255 * colour.Encode(float64(i)/float64(len(table)-1))))
	}
	return table
}()
