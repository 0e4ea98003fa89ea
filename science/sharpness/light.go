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

// linear carries 8 bits of sRGB to light (IEC 61966-2-1).
var linear = func() (t [256]float32) {
	for i := range t {
		v := float64(i) / 255
		if v <= 0.04045 {
			t[i] = float32(v / 12.92)
		} else {
			t[i] = float32(math.Pow((v+0.055)/1.055, 2.4))
		}
	}
	return t
}()

// Of takes the luminance of a part of a photograph in sRGB (ITU-R BT.709
// weights). Rect is cut to the picture.
func Of(img *image.RGBA, rect image.Rectangle) *Light {
	rect = rect.Intersect(img.Rect)
	l := &Light{Rect: rect, Px: make([]float32, rect.Dx()*rect.Dy())}
	i := 0
	for y := rect.Min.Y; y < rect.Max.Y; y++ {
		row := img.Pix[img.PixOffset(rect.Min.X, y):]
		for range rect.Dx() {
			l.Px[i] = .2126*linear[row[0]] + .7152*linear[row[1]] + .0722*linear[row[2]]
			row = row[4:]
			i++
		}
	}
	return l
}

// half is the light at half the size, smoothed by the filter 1 3 3 1 in both
// directions, whose variance is 3/4 pixel².
func (l *Light) half() *Light {
	w, h := l.Rect.Dx(), l.Rect.Dy()
	hw, hh := w/2, h/2
	rows := make([]float32, hw*h)
	for y := range h {
		src, dst := l.Px[y*w:(y+1)*w], rows[y*hw:(y+1)*hw]
		for x := range dst {
			a, b := src[max(2*x-1, 0)], src[min(2*x+2, w-1)]
			dst[x] = (a + b + 3*(src[2*x]+src[2*x+1])) / 8
		}
	}
	out := &Light{Rect: image.Rect(0, 0, hw, hh), Px: make([]float32, hw*hh)}
	for y := range hh {
		a, b := rows[max(2*y-1, 0)*hw:], rows[min(2*y+2, h-1)*hw:]
		c, d := rows[2*y*hw:], rows[(2*y+1)*hw:]
		dst := out.Px[y*hw : (y+1)*hw]
		for x := range dst {
			dst[x] = (a[x] + b[x] + 3*(c[x]+d[x])) / 8
		}
	}
	return out
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
	a, b := make([]float32, len(l.Px)), make([]float32, len(l.Px))
	s := slopes{w, h, make([]float32, len(l.Px)), make([]float32, len(l.Px))}
	acrossRows(l.Px, a, w, h, along, true)
	acrossRows(l.Px, b, w, h, smooth, false)
	acrossColumns(a, s.dx, w, h, smooth, false)
	acrossColumns(b, s.dy, w, h, along, true)
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

func acrossRows(src, dst []float32, w, h int, k []float32, odd bool) {
	n := len(k) - 1
	sign := float32(1)
	if odd {
		sign = -1
	}
	padded := make([]float32, w+2*n)
	for y := range h {
		row := src[y*w : (y+1)*w]
		copy(padded[n:], row)
		for i := range n {
			padded[i], padded[n+w+i] = row[0], row[w-1]
		}
		out := dst[y*w : (y+1)*w]
		for x := range out {
			s := k[0] * padded[x+n]
			for d := 1; d <= n; d++ {
				s += k[d] * (padded[x+n+d] + sign*padded[x+n-d])
			}
			out[x] = s
		}
	}
}

func acrossColumns(src, dst []float32, w, h int, k []float32, odd bool) {
	sign := float32(1)
	if odd {
		sign = -1
	}
	for y := range h {
		out := dst[y*w : (y+1)*w]
		for x, v := range src[y*w : (y+1)*w] {
			out[x] = k[0] * v
		}
		for d := 1; d < len(k); d++ {
			below, above := src[min(y+d, h-1)*w:], src[max(y-d, 0)*w:]
			for x := range out {
				out[x] += k[d] * (below[x] + sign*above[x])
			}
		}
	}
}
