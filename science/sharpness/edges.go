package sharpness

import (
	"cmp"
	"image"
	"math"
	"slices"
)

// scored is a square and how much light changes in it.
type scored struct {
	image.Rectangle
	score float64
}

const (
	narrow, wide = 1.0, 2.0
	// above is how many times above the noise a slope must stand: noise alone
	// does it once in 400,000 pixels.
	above = 5
	// faint is the slope of an edge of a hundredth of the light.
	faint = .01 / (wide * 2.5066)
	// strong is how steep an edge must be beside the steeper ones of the subject.
	strong = .3
	// reach is how far to both sides an edge is looked at.
	reach = 4
	// most tiles are looked at, besides some for the noise.
	mostTiles, quietTiles = 28, 6
)

// chosen are the squares in which light changes most, and a few of the rest.
func chosen(all []scored) []image.Rectangle {
	slices.SortStableFunc(all, func(a, b scored) int { return cmp.Compare(b.score, a.score) })
	var out []image.Rectangle
	for i, s := range all {
		rest := len(all) - mostTiles
		if i < mostTiles || (i-mostTiles)%max(rest/quietTiles, 1) == 0 {
			out = append(out, s.Rectangle)
		}
	}
	return out
}

// edge is a place on the ridge of the slope.
type edge struct {
	angle, slope float64
	// ratio is the slope smoothed narrowly to that smoothed widely, seen across
	// the edge; side the narrow slope 1 to reach pixels to both sides, in parts of
	// that in the middle.
	ratio float64
	side  [reach]float64
	noise float64 // what noise alone spreads the ratio by
}

// field is the slopes of a tile.
type field struct {
	light  *Light
	a, b   slopes
	ox, oy int // where the tile with its margin begins
	inner  image.Rectangle
}

// edgesIn finds edges in tiles.
func (l *Light) edgesIn(tiles []image.Rectangle, in func(x, y int) bool) []edge {
	const margin = 8
	var fields []field
	var quiet, quietNarrow []float64
	all := image.Rect(0, 0, l.Rect.Dx(), l.Rect.Dy())
	for _, t := range tiles {
		r := t.Inset(-margin).Intersect(all)
		cut := l.cut(r)
		f := field{cut, cut.slope(narrow), cut.slope(wide), r.Min.X, r.Min.Y, t}
		inside := func(x, y int) bool { return in(x+f.ox, y+f.oy) }
		quiet, quietNarrow = append(quiet, f.quiet(&f.b, inside)...), append(quietNarrow, f.quiet(&f.a, inside)...)
		fields = append(fields, f)
	}
	noise, narrowNoise := noiseOf(quiet), noiseOf(quietNarrow)
	var out []edge
	for i := range fields {
		out = append(out, fields[i].edges(noise, narrowNoise, all.Inset(margin-2), in)...)
	}
	return steeper(out)
}

// cut takes a part of the light.
func (l *Light) cut(r image.Rectangle) *Light {
	out := &Light{Rect: image.Rect(0, 0, r.Dx(), r.Dy()), Px: make([]float32, r.Dx()*r.Dy())}
	w := l.Rect.Dx()
	for y := range r.Dy() {
		copy(out.Px[y*r.Dx():(y+1)*r.Dx()], l.Px[(r.Min.Y+y)*w+r.Min.X:])
	}
	return out
}

// edges finds the pixels on ridges of the slope.
func (f *field) edges(noise, narrowNoise float64, within image.Rectangle, in func(x, y int) bool) []edge {
	var out []edge
	part := f.inner.Intersect(within)
	for y := part.Min.Y; y < part.Max.Y; y++ {
		for x := part.Min.X; x < part.Max.X; x++ {
			px, py := x-f.ox, y-f.oy
			i := py*f.b.w + px
			g := f.b.steep(i)
			if g < faint || g < above*noise*swell(f.light.Px[i]) || !in(x, y) {
				continue
			}
			nx, ny := float64(f.b.dx[i])/g, float64(f.b.dy[i])/g
			if !f.b.ridge(px, py, nx, ny, g) || f.b.line(px, py, nx, ny, g) {
				continue
			}
			steep := float64(f.a.dx[i])*nx + float64(f.a.dy[i])*ny
			if steep <= 0 {
				continue
			}
			e := edge{angle: math.Atan2(ny, nx), slope: g, ratio: steep / g, noise: narrowNoise * swell(f.light.Px[i]) / g}
			for d := range e.side {
				k := float64(d + 1)
				e.side[d] = (f.a.at(float64(px)+k*nx, float64(py)+k*ny, nx, ny) + f.a.at(float64(px)-k*nx, float64(py)-k*ny, nx, ny)) / (2 * steep)
			}
			out = append(out, e)
		}
	}
	return out
}

// steeper leaves the edges that stand out among the subject's.
func steeper(edges []edge) []edge {
	if len(edges) == 0 {
		return nil
	}
	g := make([]float64, len(edges))
	for i, e := range edges {
		g[i] = e.slope
	}
	slices.Sort(g)
	least := strong * g[len(g)*19/20]
	return slices.DeleteFunc(edges, func(e edge) bool { return e.slope < least })
}

// steep is the slope of a pixel, in the direction in which it is greatest.
func (s *slopes) steep(i int) float64 {
	dx, dy := float64(s.dx[i]), float64(s.dy[i])
	return math.Sqrt(dx*dx + dy*dy)
}

// ridge reports whether the slope is greatest here, seen across the edge.
func (s *slopes) ridge(x, y int, nx, ny, g float64) bool {
	return s.at(float64(x)+nx, float64(y)+ny, nx, ny) < g && s.at(float64(x)-nx, float64(y)-ny, nx, ny) <= g
}

// line reports whether the light turns back close by: a thin line's two edges
// steepen each other's slopes, and say nothing of the blur.
func (s *slopes) line(x, y int, nx, ny, g float64) bool {
	for d := 2.; d <= 5; d++ {
		if s.at(float64(x)+d*nx, float64(y)+d*ny, nx, ny) < -.25*g || s.at(float64(x)-d*nx, float64(y)-d*ny, nx, ny) < -.25*g {
			return true
		}
	}
	return false
}

// at is the slope in a direction, between pixels.
func (s *slopes) at(x, y, nx, ny float64) float64 {
	x, y = held(x, s.w), held(y, s.h)
	xi, yi := int(x), int(y)
	fx, fy := float32(x-float64(xi)), float32(y-float64(yi))
	i := yi*s.w + xi
	return float64(mix(s.dx[i:], s.w, fx, fy))*nx + float64(mix(s.dy[i:], s.w, fx, fy))*ny
}

// held holds a coordinate to a side of n pixels, so that a further pixel lies
// beyond it. (Without min and max: those of numbers with a point are calls where
// the program runs in a browser.)
func held(x float64, n int) float64 {
	if last := float64(n - 2); x > last {
		return last
	}
	if x > 0 {
		return x
	}
	return 0
}

// mix is the value between four pixels, the first of v and those beside and below.
func mix(v []float32, w int, fx, fy float32) float32 {
	a, b := v[:2:2], v[w:][:2:2]
	return (a[0]*(1-fx)+a[1]*fx)*(1-fy) + (b[0]*(1-fx)+b[1]*fx)*fy
}

// swell is by how much a step in the file's coded values is a larger step of
// light where it is light: noise that is alike in the file is not in light.
func swell(light float32) float64 {
	x := light * swellsTo
	if x < swellsTo*.01 {
		x = swellsTo * .01
	}
	i := min(int(x), len(swells)-2)
	a, b := swells[i], swells[i+1]
	return float64(a + (b-a)*(x-float32(i)))
}

// swells are those of light in steps of one part of swellsTo: between them swell is
// right to one part in 50,000.
const swellsTo = 4096

var swells = func() (t [swellsTo + 2]float32) {
	for i := range t {
		t[i] = float32(math.Pow(float64(i)/swellsTo, 1-1/2.4))
	}
	return t
}()

// quiet are the mean slopes of a tile's blocks, as if all were equally light.
func (f *field) quiet(s *slopes, in func(x, y int) bool) []float64 {
	const side = 16
	var means []float64
	for y0 := 4; y0+side <= s.h-4; y0 += side {
		for x0 := 4; x0+side <= s.w-4; x0 += side {
			sum, n := 0.0, 0
			for y := y0; y < y0+side; y += 2 {
				for x := x0; x < x0+side; x += 2 {
					if in(x, y) {
						i := y*s.w + x
						sum += s.steep(i) / swell(f.light.Px[i])
						n++
					}
				}
			}
			if n >= side*side/8 {
				means = append(means, sum/float64(n))
			}
		}
	}
	return means
}

// noiseOf is the standard deviation that noise alone gives the slope in one
// direction: read in the flatter fifth of blocks, for a photograph's noise is
// not white any more when a phone and JPEG are done with it.
func noiseOf(means []float64) float64 {
	if len(means) == 0 {
		return 0
	}
	slices.Sort(means)
	return means[len(means)/5] / math.Sqrt(math.Pi/2) // the mean of a Rayleigh distribution
}
