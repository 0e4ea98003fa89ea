package card

import "image"

// level is the picture at a scale: one of shift 1 has half the photograph's
// width, one of shift -1 twice, one of shift 0 is the photograph.
type level struct {
	pix    []uint8
	stride int
	w, h   int
	shift  int
	ox, oy float64 // where it begins, when it is a part of its level
	from   *coloured
}

// coloured is a photograph in colours whose greys are told where they are asked
// for: of one of twelve megapixels only what lies round the tags is, as a rule.
type coloured struct {
	img    *image.RGBA
	across int    // squares in a row of them
	told   []bool // by square
}

// block is the side of the squares in which greys are told, in pixels.
const block = 64

// need has the greys of a part of the level told, as far as it lies within.
func (l *level) need(x0, y0, x1, y1 int) {
	if l.from == nil {
		return
	}
	x0, y0, x1, y1 = max(x0, 0), max(y0, 0), min(x1, l.w), min(y1, l.h)
	for y := y0 / block; y*block < y1; y++ {
		for x := x0 / block; x*block < x1; x++ {
			if told := &l.from.told[y*l.from.across+x]; !*told {
				*told = true
				l.tell(x*block, y*block)
			}
		}
	}
}

// tell tells the greys of a square.
func (l *level) tell(x0, y0 int) {
	img, n := l.from.img, min(block, l.w-x0)
	for y := y0; y < min(y0+block, l.h); y++ {
		greyRow(l.pix[y*l.stride+x0:][:n], img.Pix[y*img.Stride+4*x0:][:4*n])
	}
}

// colouredLevel is a photograph in colours as a level, whose greys are told into buf.
func colouredLevel(img *image.RGBA, buf []uint8) level {
	w, h := img.Rect.Dx(), img.Rect.Dy()
	across := (w + block - 1) / block
	return level{pix: grown(buf, w*h), stride: w, w: w, h: h,
		from: &coloured{img, across, make([]bool, across*((h+block-1)/block))}}
}

// up takes a point of the level to the photograph.
func (l *level) up(x, y float64) Pixel {
	k := 1.0
	for range l.shift {
		k *= 2
	}
	if l.shift < 0 {
		k = .5
	}
	return Pixel{(x+l.ox+.5)*k - .5, (y+l.oy+.5)*k - .5}
}

// at samples the level between its pixels; beyond an edge the edge goes on.
func (l *level) at(x, y float64) float64 {
	x, y = min(max(x, 0), float64(l.w-1)), min(max(y, 0), float64(l.h-1))
	ix, iy := min(int(x), max(l.w-2, 0)), min(int(y), max(l.h-2, 0))
	fx, fy := x-float64(ix), y-float64(iy)
	i := iy*l.stride + ix
	dx, dy := min(1, l.w-1), 0
	if l.h > 1 {
		dy = l.stride
	}
	a, b := float64(l.pix[i]), float64(l.pix[i+dx])
	c, d := float64(l.pix[i+dy]), float64(l.pix[i+dx+dy])
	return (a+(b-a)*fx)*(1-fy) + (c+(d-c)*fx)*fy
}

// whole is the photograph as a level.
func whole(img *image.Gray) level {
	b := img.Bounds()
	return level{pix: img.Pix[img.PixOffset(b.Min.X, b.Min.Y):], stride: img.Stride, w: b.Dx(), h: b.Dy()}
}

// halve averages blocks of four pixels into buf.
func (l *level) halve(buf []uint8) level {
	w, h := l.w/2, l.h/2
	out := level{pix: grown(buf, w*h), stride: w, w: w, h: h, shift: l.shift + 1}
	for y := range h {
		a, b := l.pix[2*y*l.stride:][:2*w], l.pix[(2*y+1)*l.stride:][:2*w]
		halveRow(out.pix[y*w:][:w], a, b)
	}
	return out
}

// double doubles a small photograph, in straight lines between its pixels.
func (l *level) double(buf []uint8) level {
	l.need(0, 0, l.w, l.h)
	w, h := 2*l.w, 2*l.h
	out := level{pix: grown(buf, w*h), stride: w, w: w, h: h, shift: -1}
	for y := range h {
		for x := range w {
			out.pix[y*w+x] = uint8(l.at(float64(x)/2-.25, float64(y)/2-.25) + .5)
		}
	}
	return out
}

// part cuts out a rectangle of the level, as far as it lies within, and takes
// the noise down with a 3 x 3 tent.
func (l *level) part(x0, y0, x1, y1 int, buf []uint8) (out level, ok bool) {
	x0, y0, x1, y1 = max(x0, 1), max(y0, 1), min(x1, l.w-1), min(y1, l.h-1)
	w, h := x1-x0, y1-y0
	if w < 2*leastSide || h < 2*leastSide {
		return level{}, false
	}
	l.need(x0-1, y0-1, x1+1, y1+1)
	out = level{pix: grown(buf, w*h), stride: w, w: w, h: h, shift: l.shift, ox: float64(x0), oy: float64(y0)}
	for y := range h {
		a, b, c := l.pix[(y0+y-1)*l.stride+x0-1:], l.pix[(y0+y)*l.stride+x0-1:], l.pix[(y0+y+1)*l.stride+x0-1:]
		a, b, c = a[:w+2], b[:w+2], c[:w+2]
		tentRow(out.pix[y*w:][:w], a, b, c)
	}
	return out, true
}

// grown returns a slice of n, from buf where it is large enough.
func grown[T any](buf []T, n int) []T {
	if cap(buf) < n {
		return make([]T, n)
	}
	return buf[:n]
}
