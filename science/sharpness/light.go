package sharpness

import (
	"image"
	"math"
)

// Light is grey linear light of a part of a photograph, 0 black to 1 the
// brightest that the file can hold, row by row.
type Light struct {
	// Rect is the part of the photograph that is held.
	Rect image.Rectangle
	Px   []float32
}

// linear carries 8 bits of sRGB to light, and lit luma in steps of an eighth of
// them (IEC 61966-2-1).
var linear, lit = func() (t [256]float32, fine [2048]float32) {
	light := func(v float64) float32 {
		if v <= 0.04045 {
			return float32(v / 12.92)
		}
		return float32(math.Pow((v+0.055)/1.055, 2.4))
	}
	for i := range t {
		t[i] = light(float64(i) / 255)
	}
	for i := range fine {
		fine[i] = light(min((float64(i)+.5)/8/255, 1))
	}
	return t, fine
}()

// Of takes the grey light of a part of a photograph in sRGB. Rect is cut to the
// picture.
//
// It is that of the luma (ITU-R BT.601, as in JPEG) and not the luminance: cameras
// keep colour at half the size, so that what is made of three channels is softer
// than what the lens drew.
func Of(img *image.RGBA, rect image.Rectangle) *Light {
	p := part{img, rect.Intersect(img.Rect)}
	w := p.Dx()
	l := &Light{Rect: p.Rectangle, Px: make([]float32, w*p.Dy())}
	for y := range p.Dy() {
		p.row(l.Px[y*w:][:w], y)
	}
	return l
}

// part is a part of a photograph whose light is taken where it is asked for.
type part struct {
	img *image.RGBA
	image.Rectangle
}

// row is the light of a row.
func (p part) row(out []float32, y int) {
	row := p.img.Pix[p.img.PixOffset(p.Min.X, p.Min.Y+y):][:4*len(out)]
	for x := range out {
		out[x] = light(row[4*x:][:3:3])
	}
}

// light is that of a pixel: 77, 150 and 29 parts of 256, and of that the eighths.
func light(p []uint8) float32 {
	return lit[(77*uint32(p[0])+150*uint32(p[1])+29*uint32(p[2]))>>5&2047]
}

// half is the light at half the size, smoothed by the filter 1 3 3 1 in both
// directions, whose variance is 3/4 pixel².
func (p part) half() *Light {
	row := make([]float32, p.Dx())
	return halved(p.Dx(), p.Dy(), func(y int) []float32 {
		p.row(row, y)
		return row
	})
}

// half is the same of light that was taken.
func (l *Light) half() *Light {
	w, h := l.Rect.Dx(), l.Rect.Dy()
	return halved(w, h, func(y int) []float32 { return l.Px[y*w:][:w] })
}

// halved halves rows, which are asked for one after another.
func halved(w, h int, row func(y int) []float32) *Light {
	hw, hh := w/2, h/2
	out := &Light{Rect: image.Rect(0, 0, hw, hh), Px: make([]float32, hw*hh)}
	var last [4][]float32 // the last four rows, halved
	for i := range last {
		last[i] = make([]float32, hw)
	}
	next := 0
	for y := range hh {
		for ; next <= min(2*y+2, h-1); next++ {
			halfRow(last[next&3], row(next))
		}
		dst := out.Px[y*hw:][:hw]
		a, b := last[max(2*y-1, 0)&3][:len(dst)], last[min(2*y+2, h-1)&3][:len(dst)]
		c, d := last[2*y&3][:len(dst)], last[(2*y+1)&3][:len(dst)]
		for x := range dst {
			dst[x] = (a[x] + b[x] + 3*(c[x]+d[x])) / 8
		}
	}
	return out
}

// halfRow smooths a row by the filter and takes every other pixel; the row's ends
// go on beyond it.
func halfRow(dst, src []float32) {
	w := len(src)
	for x := range dst {
		if i := 2*x - 1; i >= 0 && i+4 <= w {
			p := src[i:][:4:4]
			dst[x] = (p[0] + p[3] + 3*(p[1]+p[2])) / 8
			continue
		}
		a, b := src[max(2*x-1, 0)], src[min(2*x+2, w-1)]
		dst[x] = (a + b + 3*(src[2*x]+src[2*x+1])) / 8
	}
}

// slopes are the derivatives of the light smoothed by a Gaussian.
type slopes struct {
	w, h   int
	dx, dy []float32
}

// slope differentiates with Gaussian derivatives of spread sigma.
func (l *Light) slope(sigma float64) slopes {
	w, h := l.Rect.Dx(), l.Rect.Dy()
	smooth, along := gaussian(sigma), derivative(sigma)
	a := make([]float32, len(l.Px))
	s := slopes{w, h, make([]float32, len(l.Px)), make([]float32, len(l.Px))}
	// Each pass turns the picture over its diagonal, so that both go along rows.
	across(l.Px, a, w, h, along, true)
	across(a, s.dx, h, w, smooth, false)
	across(l.Px, a, w, h, smooth, false)
	across(a, s.dy, h, w, along, true)
	return s
}

// gaussian is one half of a Gaussian, from its middle, integrated over pixels.
func gaussian(sigma float64) []float32 {
	k := make([]float64, int(math.Ceil(3.5*sigma))+1)
	sum := 0.0
	for i := range k {
		x := float64(i)
		k[i] = (math.Erf((x+.5)/(sigma*math.Sqrt2)) - math.Erf((x-.5)/(sigma*math.Sqrt2))) / 2
		sum += k[i]
		if i > 0 {
			sum += k[i]
		}
	}
	out := make([]float32, len(k))
	for i := range k {
		out[i] = float32(k[i] / sum)
	}
	return out
}

// derivative is one half of the derivative of a Gaussian, odd about its middle,
// scaled so that a slope of 1 gives 1.
func derivative(sigma float64) []float32 {
	k := make([]float64, int(math.Ceil(3.5*sigma))+1)
	sum := 0.0
	for i := range k {
		x := float64(i)
		k[i] = x * math.Exp(-x*x/(2*sigma*sigma))
		sum += 2 * x * k[i]
	}
	out := make([]float32, len(k))
	for i := range k {
		out[i] = float32(k[i] / sum)
	}
	return out
}

// widest is the most values that a half of a filter has.
const widest = 8

// across filters the rows of a picture w wide and h high, whose ends go on beyond
// it, and writes them as columns. k is one half of the filter, from its middle;
// odd ones change their sign there.
func across(src, dst []float32, w, h int, k []float32, odd bool) {
	const n = widest - 1
	// Narrow filters are filled up with nothing, and an odd one's other half is put
	// in with its sign: all are one sum that needs no look at its length.
	var right, left [widest]float32
	copy(right[:], k)
	for i, v := range right {
		if left[i] = v; odd {
			left[i] = -v
		}
	}
	padded := make([]float32, w+2*n)
	for y := range h {
		row := src[y*w:][:w]
		copy(padded[n:], row)
		for i := range n {
			padded[i], padded[n+w+i] = row[0], row[w-1]
		}
		if len(k) <= 5 {
			narrowRow(padded, dst[y:], w, h, &left, &right)
		} else {
			wideRow(padded, dst[y:], w, h, &left, &right)
		}
	}
}

// narrowRow filters a row with five values of the filter, and wideRow with eight;
// stride is how far apart they are written.
func narrowRow(padded, dst []float32, w, stride int, left, right *[widest]float32) {
	k0, l1, l2, l3, l4 := right[0], left[1], left[2], left[3], left[4]
	r1, r2, r3, r4 := right[1], right[2], right[3], right[4]
	for x := range w {
		p := padded[x+widest-5:][:9:9]
		dst[x*stride] = k0*p[4] + (r1*p[5] + l1*p[3]) + (r2*p[6] + l2*p[2]) + (r3*p[7] + l3*p[1]) + (r4*p[8] + l4*p[0])
	}
}

func wideRow(padded, dst []float32, w, stride int, left, right *[widest]float32) {
	k0, l1, l2, l3, l4, l5, l6, l7 := right[0], left[1], left[2], left[3], left[4], left[5], left[6], left[7]
	r1, r2, r3, r4, r5, r6, r7 := right[1], right[2], right[3], right[4], right[5], right[6], right[7]
	for x := range w {
		p := padded[x:][:15:15]
		dst[x*stride] = k0*p[7] + (r1*p[8] + l1*p[6]) + (r2*p[9] + l2*p[5]) + (r3*p[10] + l3*p[4]) + (r4*p[11] + l4*p[3]) +
			(r5*p[12] + l5*p[2]) + (r6*p[13] + l6*p[1]) + (r7*p[14] + l7*p[0])
	}
}
