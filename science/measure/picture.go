package measure

import (
	"image"
	"math"
	"slices"

	"trug/science/card"
)

// Picture is a photograph made ready for outlines to be proposed in.
type Picture struct {
	levels []*image.RGBA // each half as wide as the one before
}

// NewPicture prepares an upright sRGB photograph. It keeps a reference to it.
func NewPicture(img *image.RGBA) *Picture {
	p := &Picture{levels: []*image.RGBA{img}}
	for l := img; min(l.Rect.Dx(), l.Rect.Dy()) >= 32; {
		w, h := l.Rect.Dx()/2, l.Rect.Dy()/2
		half := image.NewRGBA(image.Rect(0, 0, w, h))
		for y := range h {
			a, b := l.Pix[2*y*l.Stride:], l.Pix[(2*y+1)*l.Stride:]
			for x := range w {
				for c := range 4 {
					half.Pix[y*half.Stride+4*x+c] = uint8((uint(a[8*x+c]) + uint(a[8*x+4+c]) + uint(b[8*x+c]) + uint(b[8*x+4+c]) + 2) / 4)
				}
			}
		}
		p.levels = append(p.levels, half)
		l = half
	}
	return p
}

// tint is a colour: the logarithm of its lightness and two opponents, of the
// coded values raised by dark, so that shade shifts a colour by little and
// noise in the dark is not blown up. Light that falls to a part shifts the
// first alone.
type tint [3]float64

const dark = 16

func (a tint) minus(b tint) tint     { return tint{a[0] - b[0], a[1] - b[1], a[2] - b[2]} }
func (a tint) dot(b tint) float64    { return a[0]*b[0] + a[1]*b[1] + a[2]*b[2] }
func (a tint) scaled(k float64) tint { return tint{a[0] * k, a[1] * k, a[2] * k} }
func (a tint) plus(b tint) tint      { return tint{a[0] + b[0], a[1] + b[1], a[2] + b[2]} }

// rgb samples a level between its pixels.
func (p *Picture) rgb(level int, x, y float64) [3]float64 {
	l := p.levels[level]
	k := float64(int(1) << level)
	x, y = (x+.5)/k-.5, (y+.5)/k-.5
	x, y = min(max(x, 0), float64(l.Rect.Dx()-1)-1e-3), min(max(y, 0), float64(l.Rect.Dy()-1)-1e-3)
	ix, iy := int(x), int(y)
	fx, fy := x-float64(ix), y-float64(iy)
	var c [3]float64
	o := iy*l.Stride + 4*ix
	for i := range c {
		a, b := float64(l.Pix[o+i]), float64(l.Pix[o+4+i])
		d, e := float64(l.Pix[o+l.Stride+i]), float64(l.Pix[o+l.Stride+4+i])
		c[i] = (a+(b-a)*fx)*(1-fy) + (d+(e-d)*fx)*fy
	}
	return c
}

func (p *Picture) tint(level int, x, y float64) tint {
	c := p.rgb(level, x, y)
	r, g, b := logOf(c[0]), logOf(c[1]), logOf(c[2])
	return tint{(r + g + b) / 3, r - g, (r+g)/2 - b}
}

// logs are the logarithms of raised values, at every quarter.
var logs = func() (t [4 * 256]float64) {
	for i := range t {
		t[i] = math.Log(float64(i)/4 + dark)
	}
	return t
}()

func logOf(v float64) float64 { return logs[min(max(int(4*v+.5), 0), len(logs)-1)] }

// noiseAt is the spread of neighbouring pixels round a place, level by level,
// in coded values: noise, and what texture the subject has there.
func (p *Picture) noiseAt(q card.Pixel) []float64 {
	out := make([]float64, len(p.levels))
	var v []float64
	for n, l := range p.levels {
		k := float64(int(1) << n)
		v = v[:0]
		const half = 9
		x0, y0 := max(int(q.X/k)-half, 1), max(int(q.Y/k)-half, 0)
		for y := y0; y < min(y0+2*half, l.Rect.Dy()); y++ {
			for x := x0; x < min(x0+2*half, l.Rect.Dx()-1); x++ {
				o := y*l.Stride + 4*x
				d := 0.0
				for c := range 3 {
					d += float64(l.Pix[o+c])*2 - float64(l.Pix[o+c-4]) - float64(l.Pix[o+c+4])
				}
				v = append(v, math.Abs(d)/3)
			}
		}
		slices.Sort(v)
		out[n] = .5
		if len(v) > 0 {
			out[n] = max(1.48*v[len(v)/2]/math.Sqrt(6), .5)
		}
	}
	return out
}
