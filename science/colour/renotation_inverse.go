package colour

import "math"

// find undoes slice.at. It follows the mesh from a first guess by Newton's
// method, whose steps are exact within a cell; where the mesh folds (vivid
// colours of the extrapolated rows) and that does not end, all cells are
// searched.
func (s slice) find(want ab) (hue, chroma float64) {
	x, y := s.guess(want)
	for range 40 {
		h, c := math.Floor(x), math.Max(0, math.Floor(y))
		dx, dy, off := s.step(int(h), int(c), x-h, y-c, want)
		if off < 1e-10*(1+want.length()) {
			return wrapHue(2.5 * (x + 1)), 2 * y
		}
		// One cell at a time: the next one has another shape.
		x += math.Max(-1, math.Min(1, dx))
		y = math.Max(1e-9, y+math.Max(-1, math.Min(1, dy)))
	}
	return s.search(want)
}

// guess starts on the ray that points nearest to the colour, where its length
// fits.
func (s slice) guess(want ab) (x, y float64) {
	best := math.Inf(-1)
	for h := range hues {
		p := s.knot(h, 4)
		if cos := (p.a*want.a + p.b*want.b) / (p.length() + 1e-12); cos > best {
			best, x, y = cos, float64(h), 4*want.length()/(p.length()+1e-12)
		}
	}
	return x, math.Min(y, 2*chromas)
}

// step is Newton's step in cell h, c from the place u, v within it, and how far
// that place is off.
func (s slice) step(h, c int, u, v float64, want ab) (du, dv, off float64) {
	p, q, r, t := s.cell(h, c)
	alongHue := mix(q.minus(p), t.minus(r), v)
	alongChroma := mix(r.minus(p), t.minus(q), u)
	miss := want.minus(mix(mix(p, q, u), mix(r, t, u), v))
	d := cross(alongHue, alongChroma)
	if math.Abs(d) < 1e-12 {
		return 0.5, 0.5, miss.length() // a cell without area: leave it
	}
	return cross(miss, alongChroma) / d, cross(alongHue, miss) / d, miss.length()
}

// search tries each cell, greyest first, and takes the first that holds the
// colour, or else the place that comes nearest to it.
func (s slice) search(want ab) (hue, chroma float64) {
	nearest := math.Inf(1)
	for c := range 2 * chromas {
		for h := range hues {
			u, v := 0.5, 0.5
			for range 12 {
				du, dv, _ := s.step(h, c, u, v, want)
				u, v = clamp(u+du, -0.5, 1.5), clamp(v+dv, -0.5, 1.5)
			}
			u, v = clamp(u, 0, 1), clamp(v, 0, 1)
			_, _, off := s.step(h, c, u, v, want)
			if off < nearest {
				nearest, hue, chroma = off, wrapHue(2.5*(float64(h)+u+1)), 2*(float64(c)+v)
			}
			if off < 1e-7 {
				return hue, chroma
			}
		}
	}
	return hue, chroma
}

func clamp(x, low, high float64) float64 { return math.Max(low, math.Min(high, x)) }
