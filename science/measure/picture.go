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
		l = card.Halved(l)
		p.levels = append(p.levels, l)
	}
	return p
}

// tint is a colour: the logarithm of its lightness and two opponents, of the
// coded values raised by dark, so that shade shifts a colour by little and
// noise in the dark is not blown up. Light that falls to a part shifts the
// first alone. (Numbers of their own and no array: those stay in registers.)
type tint struct{ l, a, b float64 }

const dark = 16

func (a tint) minus(b tint) tint     { return tint{a.l - b.l, a.a - b.a, a.b - b.b} }
func (a tint) dot(b tint) float64    { return a.l*b.l + a.a*b.a + a.b*b.b }
func (a tint) scaled(k float64) tint { return tint{a.l * k, a.a * k, a.b * k} }
func (a tint) plus(b tint) tint      { return tint{a.l + b.l, a.a + b.a, a.b + b.b} }

// rgb samples a level between its pixels.
func (p *Picture) rgb(level int, x, y float64) (r, g, b float64) {
	l := p.levels[level]
	k := 1 / float64(int(1)<<level)
	x, y = held((x+.5)*k-.5, l.Rect.Max.X), held((y+.5)*k-.5, l.Rect.Max.Y)
	ix, iy := int(x), int(y)
	fx, fy := x-float64(ix), y-float64(iy)
	o := iy*l.Stride + 4*ix
	u, v := l.Pix[o:o+8:o+8], l.Pix[o+l.Stride:][:8:8]
	return between(u[0], u[4], v[0], v[4], fx, fy), between(u[1], u[5], v[1], v[5], fx, fy), between(u[2], u[6], v[2], v[6], fx, fy)
}

// held holds a coordinate to a side of n pixels, so that a further pixel lies
// beyond it. (Without min and max: those of numbers with a point are calls where
// the program runs in a browser.)
func held(x float64, n int) float64 {
	if last := float64(n-1) - 1e-3; x > last {
		return last
	}
	if x > 0 {
		return x
	}
	return 0
}

func between(a, b, c, d uint8, fx, fy float64) float64 {
	u, v := float64(a), float64(c)
	return (u+(float64(b)-u)*fx)*(1-fy) + (v+(float64(d)-v)*fx)*fy
}

func (p *Picture) tint(level int, x, y float64) tint {
	r, g, b := p.rgb(level, x, y)
	r, g, b = logOf(r), logOf(g), logOf(b)
	return tint{(r + g + b) / 3, r - g, (r+g)/2 - b}
}

// logs are the logarithms of raised values, at every quarter; their number is a
// power of two.
var logs = func() (t [4 * 256]float64) {
	for i := range t {
		t[i] = math.Log(float64(i)/4 + dark)
	}
	return t
}()

func logOf(v float64) float64 { return logs[int(4*v+.5)&(len(logs)-1)] }

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
