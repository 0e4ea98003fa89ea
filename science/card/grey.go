package card

import "image"

// Grey is the luma of an upright sRGB photograph (ITU-R BT.601, as in JPEG),
// in which cards are looked for.
func Grey(img *image.RGBA) *image.Gray {
	g := image.NewGray(image.Rect(0, 0, img.Rect.Dx(), img.Rect.Dy()))
	for y := range img.Rect.Dy() {
		row, out := img.Pix[y*img.Stride:], g.Pix[y*g.Stride:]
		for x := range img.Rect.Dx() {
			out[x] = uint8((19595*uint(row[4*x]) + 38470*uint(row[4*x+1]) + 7471*uint(row[4*x+2]) + 1<<15) >> 16)
		}
	}
	return g
}
