package truecolour

import (
	"image"
	"math"
	"slices"

	"trug/science/card"
	"trug/science/said"
)

// Region is a part of a photograph: what a person tapped, brushed over or
// outlined.
type Region struct {
	Rect image.Rectangle
	in   []bool // by row of Rect
}

// ErrRegion says that nothing, or nothing within the picture, was marked.
var ErrRegion = said.Errorf("the place marked lies outside the photograph or is smaller than a few pixels: mark it again, larger")

// In says whether a pixel belongs to the region.
func (r *Region) In(x, y int) bool {
	x, y = x-r.Rect.Min.X, y-r.Rect.Min.Y
	w := r.Rect.Dx()
	return uint(x) < uint(w) && uint(y) < uint(r.Rect.Dy()) && r.in[y*w+x]
}

// around is the pixels that points reach with a margin, within the picture.
func around(bounds image.Rectangle, margin float64, points ...card.Pixel) (image.Rectangle, error) {
	low, high := card.Pixel{X: math.Inf(1), Y: math.Inf(1)}, card.Pixel{X: math.Inf(-1), Y: math.Inf(-1)}
	for _, p := range points {
		if !(math.Abs(p.X) < 1e7 && math.Abs(p.Y) < 1e7) || !(margin >= 0 && margin < 1e7) {
			return image.Rectangle{}, ErrRegion
		}
		low.X, low.Y = math.Min(low.X, p.X-margin), math.Min(low.Y, p.Y-margin)
		high.X, high.Y = math.Max(high.X, p.X+margin), math.Max(high.Y, p.Y+margin)
	}
	if len(points) == 0 {
		return image.Rectangle{}, ErrRegion
	}
	rect := image.Rect(int(math.Floor(low.X)), int(math.Floor(low.Y)), int(math.Ceil(high.X))+1, int(math.Ceil(high.Y))+1).Intersect(bounds)
	if rect.Empty() {
		return rect, ErrRegion
	}
	return rect, nil
}

// Disc is all within a radius (pixels) of a tap.
func Disc(bounds image.Rectangle, at card.Pixel, radius float64) (*Region, error) {
	return Brush(bounds, []card.Pixel{at}, radius)
}

// Brush is all within a radius (pixels) of a line.
func Brush(bounds image.Rectangle, line []card.Pixel, radius float64) (*Region, error) {
	rect, err := around(bounds, radius, line...)
	if err != nil {
		return nil, err
	}
	r := &Region{Rect: rect, in: make([]bool, rect.Dx()*rect.Dy())}
	for i, q := range line {
		p := line[max(0, i-1)]
		near, err := around(rect, radius, p, q)
		if err != nil {
			continue // this piece lies beside the picture
		}
		for y := near.Min.Y; y < near.Max.Y; y++ {
			row := r.in[(y-rect.Min.Y)*rect.Dx():]
			for x := near.Min.X; x < near.Max.X; x++ {
				if !row[x-rect.Min.X] {
					row[x-rect.Min.X] = toSegment(float64(x), float64(y), p, q) <= radius
				}
			}
		}
	}
	return r, r.large()
}

// large refuses a region of a few pixels.
func (r *Region) large() error {
	n := 0
	for _, in := range r.in {
		if in {
			n++
		}
	}
	if n < 9 {
		return ErrRegion
	}
	return nil
}

// toSegment is the distance of a pixel from a piece of a line.
func toSegment(x, y float64, p, q card.Pixel) float64 {
	dx, dy := q.X-p.X, q.Y-p.Y
	t := 0.0
	if n := dx*dx + dy*dy; n > 0 {
		t = math.Max(0, math.Min(1, ((x-p.X)*dx+(y-p.Y)*dy)/n))
	}
	return math.Hypot(x-p.X-t*dx, y-p.Y-t*dy)
}

// Outline is the inside of a closed outline, by the rule of even and odd
// crossings.
func Outline(bounds image.Rectangle, corners []card.Pixel) (*Region, error) {
	if len(corners) < 3 {
		return nil, ErrRegion
	}
	rect, err := around(bounds, 0, corners...)
	if err != nil {
		return nil, err
	}
	r := &Region{Rect: rect, in: make([]bool, rect.Dx()*rect.Dy())}
	for y := range rect.Dy() {
		at := crossings(corners, float64(rect.Min.Y+y))
		for i := 0; i+1 < len(at); i += 2 {
			from := max(0, int(math.Ceil(at[i]))-rect.Min.X)
			to := min(rect.Dx(), int(math.Ceil(at[i+1]))-rect.Min.X)
			for x := from; x < to; x++ {
				r.in[y*rect.Dx()+x] = true
			}
		}
	}
	return r, r.large()
}

// crossings are where a row crosses the outline, from left to right.
func crossings(corners []card.Pixel, y float64) []float64 {
	var at []float64
	for i, p := range corners {
		q := corners[(i+len(corners)-1)%len(corners)]
		if (p.Y > y) != (q.Y > y) {
			at = append(at, (q.X-p.X)*(y-p.Y)/(q.Y-p.Y)+p.X)
		}
	}
	slices.Sort(at)
	return at
}

// thin is the region on a coarser grid: every stride-th pixel of every stride-th
// row.
func (r *Region) thin(stride int) *Region {
	w, h := (r.Rect.Dx()+stride-1)/stride, (r.Rect.Dy()+stride-1)/stride
	t := &Region{Rect: image.Rect(0, 0, w, h), in: make([]bool, w*h)}
	for i := range t.in {
		t.in[i] = r.in[i/w*stride*r.Rect.Dx()+i%w*stride]
	}
	return t
}

// distances are how far each pixel lies from the region's edge, in pixels, by a
// chamfer of 3 and 4 (Borgefors, Comput. Vis. Graph. Image Process. 34:344,
// 1986): within 6 % of the true distance. Pixels outside have 0.
func (r *Region) distances() (d []float64, most float64) {
	w, h := r.Rect.Dx(), r.Rect.Dy()
	d = make([]float64, w*h)
	at := func(x, y int) float64 {
		if x < 0 || y < 0 || x >= w || y >= h {
			return 0
		}
		return d[y*w+x]
	}
	const side, slant = 1.0, 4.0 / 3
	for i, in := range r.in {
		if in {
			x, y := i%w, i/w
			d[i] = min(at(x-1, y)+side, at(x, y-1)+side, at(x-1, y-1)+slant, at(x+1, y-1)+slant)
		}
	}
	for i := len(d) - 1; i >= 0; i-- {
		if r.in[i] {
			x, y := i%w, i/w
			d[i] = min(d[i], at(x+1, y)+side, at(x, y+1)+side, at(x+1, y+1)+slant, at(x-1, y+1)+slant)
			most = math.Max(most, d[i])
		}
	}
	return d, most
}
