package photo

import (
	"image"
	"image/color"
)

// videoAlpha is a picture with transparency whose colours use the range of video,
// which the standard library's type does not know.
type videoAlpha struct {
	*image.NYCbCrA
	k *converter
}

// ColorModel tells that At gives plain bytes.
func (v *videoAlpha) ColorModel() color.Model { return color.NRGBAModel }

// At converts one pixel.
func (v *videoAlpha) At(x, y int) color.Color {
	bright := v.k.bright[v.Y[v.YOffset(x, y)]]
	c := v.COffset(x, y)
	cb, cr := v.Cb[c], v.Cr[c]
	return color.NRGBA{
		R: clip(bright + v.k.redCr[cr]), G: clip(bright + v.k.greenCb[cb] + v.k.greenCr[cr]),
		B: clip(bright + v.k.blueCb[cb]), A: v.A[v.AOffset(x, y)],
	}
}
