package photo

import "image"

// coding says how brightness and colour difference make red, green and blue:
// the weights of red and blue in brightness (ITU-T H.273), and whether the
// numbers use the whole byte or the range of video, 16..235.
type coding struct {
	red, blue float64
	video     bool
}

var (
	codingFull601  = coding{0.299, 0.114, false} // JPEG, and HEIF without a word on it
	codingVideo601 = coding{0.299, 0.114, true}  // WebP
)

// codingOf is the coding by the matrix number of ITU-T H.273.
func codingOf(matrix int, full bool) coding {
	c := codingFull601
	switch matrix {
	case 1:
		c.red, c.blue = 0.2126, 0.0722
	case 9, 10:
		c.red, c.blue = 0.2627, 0.0593
	}
	c.video = !full
	return c
}

// converter holds the products of a coding for each byte, in 1/65536.
type converter struct {
	bright          [256]int32
	redCr, greenCr  [256]int32
	greenCb, blueCb [256]int32
}

func newConverter(c coding) *converter {
	offset, brightScale, colourScale := 0.0, 1.0, 1.0
	if c.video {
		offset, brightScale, colourScale = 16, 255.0/219, 255.0/224
	}
	green := 1 - c.red - c.blue
	k := new(converter)
	for v := range 256 {
		y := (float64(v) - offset) * brightScale
		d := (float64(v) - 128) * colourScale
		k.bright[v] = int32(y*65536) + 1<<15
		k.redCr[v] = int32(d * 2 * (1 - c.red) * 65536)
		k.blueCb[v] = int32(d * 2 * (1 - c.blue) * 65536)
		k.greenCr[v] = int32(-d * 2 * (1 - c.red) * c.red / green * 65536)
		k.greenCb[v] = int32(-d * 2 * (1 - c.blue) * c.blue / green * 65536)
	}
	return k
}

// row converts one row of the picture to RGBA.
func (k *converter) row(dst []uint8, src *image.YCbCr, y int) {
	r := src.Rect
	for x := r.Min.X; x < r.Max.X; x++ {
		bright := k.bright[src.Y[src.YOffset(x, y)]]
		c := src.COffset(x, y)
		cb, cr := src.Cb[c], src.Cr[c]
		i := 4 * (x - r.Min.X)
		dst[i] = clip(bright + k.redCr[cr])
		dst[i+1] = clip(bright + k.greenCb[cb] + k.greenCr[cr])
		dst[i+2] = clip(bright + k.blueCb[cb])
		dst[i+3] = 255
	}
}

func clip(v int32) uint8 {
	v >>= 16
	if uint32(v) > 255 {
		if v < 0 {
			return 0
		}
		return 255
	}
	return uint8(v)
}
