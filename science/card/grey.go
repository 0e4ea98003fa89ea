package card

import "image"

// Grey is the luma of an upright sRGB photograph (ITU-R BT.601, as in JPEG),
// in which cards are looked for.
func Grey(img *image.RGBA) *image.Gray {
	g := image.NewGray(image.Rect(0, 0, img.Rect.Dx(), img.Rect.Dy()))
	greyInto(g.Pix, img)
	return g
}

// greyInto is Grey into rows without gaps.
func greyInto(pix []uint8, img *image.RGBA) {
	w := img.Rect.Dx()
	for y := range img.Rect.Dy() {
		greyRow(pix[y*w:][:w], img.Pix[y*img.Stride:][:4*w])
	}
}
