package card

import "image"

// Grey is the luma of an upright sRGB photograph (ITU-R BT.601, as in JPEG),
// in which cards are looked for.
func Grey(img *image.RGBA) *image.Gray {
	g := image.NewGray(image.Rect(0, 0, img.Rect.Dx(), img.Rect.Dy()))
	w := img.Rect.Dx()
	for y := range img.Rect.Dy() {
		row, out := img.Pix[y*img.Stride:][:4*w], g.Pix[y*g.Stride:][:w]
		for x := range out {
			p := row[4*x:][:3:3]
			out[x] = uint8((19595*uint32(p[0]) + 38470*uint32(p[1]) + 7471*uint32(p[2]) + 1<<15) >> 16)
		}
	}
	return g
}
