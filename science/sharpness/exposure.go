package sharpness

import "image"

// Exposure is how much of a subject the camera could not record.
type Exposure struct {
	// Lights and Darks are the shares of its pixels that ran into the upper and
	// the lower end of the file's range, 0..1.
	Lights, Darks float64
	// Middle is its median luminance, linear, 0..1.
	Middle float64
}

// The ends of the range in 8 bits, and what shares of the subject may lie there
// (common practice, no source).
const (
	upperEnd, lowerEnd = 253, 5
	mostLights         = .06
	mostDarks          = .25
	leastMiddle        = .012
)

// TooLight says that shape and colour of the lighter parts are lost.
func (e Exposure) TooLight() bool { return e.Lights > mostLights }

// TooDark says that little is to be made out.
func (e Exposure) TooDark() bool {
	return e.Darks > mostDarks || e.Middle < leastMiddle && e.Lights < mostLights
}

// Expose reads the exposure of a part of a photograph in sRGB. A vivid colour
// fills one channel before it is too light: two count.
func Expose(img *image.RGBA, rect image.Rectangle, in func(x, y int) bool) Exposure {
	rect = rect.Intersect(img.Rect)
	step := max(max(rect.Dx(), rect.Dy())/512, 1)
	var counts [256]int
	n, lights, darks := 0, 0, 0
	for y := rect.Min.Y; y < rect.Max.Y; y += step {
		for x := rect.Min.X; x < rect.Max.X; x += step {
			if !in(x, y) {
				continue
			}
			p := img.Pix[img.PixOffset(x, y):]
			n++
			full := 0
			for _, v := range p[:3] {
				if v >= upperEnd {
					full++
				}
			}
			if full > 1 {
				lights++
			}
			if max(p[0], p[1], p[2]) <= lowerEnd {
				darks++
			}
			counts[(2126*int(p[0])+7152*int(p[1])+722*int(p[2])+5000)/10000]++
		}
	}
	if n == 0 {
		return Exposure{}
	}
	out := Exposure{Lights: float64(lights) / float64(n), Darks: float64(darks) / float64(n)}
	seen := 0
	for v, k := range counts {
		if seen += k; 2*seen >= n {
			out.Middle = float64(linear[v])
			break
		}
	}
	return out
}
