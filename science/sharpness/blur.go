package sharpness

import (
	"math"
	"slices"
)

// Reading is how sharp a part of a photograph is.
type Reading struct {
	// Known is false where there are too few edges to tell: a smooth thing, or one
	// that drowns in noise. Nothing else has meaning then.
	Known bool
	// Blur is the spread (sigma) of its sharper edges in pixels, in linear light:
	// what a step from dark to light is smeared by.
	Blur float64
	// Along and Across are the spreads along the direction in which edges are
	// most smeared, and across it; Direction is that direction in degrees, 0 to
	// the right, clockwise, below 180. They differ much where the hand moved.
	Along, Across, Direction float64
	// Moved says that they differ more than a lens does it.
	Moved bool
	// Edges is on how many pixels of edges it rests.
	Edges int
}

// The method: at an edge, the slope of the light smoothed by a Gaussian of
// spread s falls with s as 1/sqrt(sigma² + s²), sigma being the edge's own
// spread. The ratio of two slopes gives sigma, whatever the edge's height (Zhuo
// & Sim, Pattern Recognition 44(9):1852-1858, 2011, doi
// 10.1016/j.patcog.2011.03.009, with two smoothings in place of one, which bears
// noise). Large spreads are read in the picture at half, a quarter, an eighth.
const (
	narrow, wide = 1.0, 2.0
	levels       = 4
	// believed is up to which spread, in a level's own pixels, its reading
	// stands; a larger one is read a level farther down.
	believed = 2.2
	// enough edges tell something.
	enough = 40
	// sharper is which of the edges count: most of a round thing's are shades
	// that no lens could make steep.
	sharper = .25
	// above is how many times above the noise a slope must stand: noise alone
	// does it once in 400,000 pixels.
	above = 5
	// faint is the slope of an edge of a hundredth of the light.
	faint = .01 / (wide * 2.5066)
	// strong is how steep an edge must be beside the steeper ones of the subject.
	strong = .3
)

// edge is the spread at one pixel, and the direction across the edge.
type edge struct {
	spread, angle, slope float64
}

// Read tells how sharp the light is where in holds; in takes coordinates of the
// photograph.
func Read(l *Light, in func(x, y int) bool) Reading {
	var out Reading
	at := l
	before := 0.0 // variance of what the smaller sizes were smoothed by, own pixels²
	for level := range levels {
		if at.Rect.Dx() < 24 || at.Rect.Dy() < 24 {
			break
		}
		step := 1 << level
		edges := at.edges(before, func(x, y int) bool {
			return in(l.Rect.Min.X+x*step+step/2, l.Rect.Min.Y+y*step+step/2)
		})
		if len(edges) >= enough/step+8 {
			spread := quantile(edges, sharper)
			if spread < believed || level == levels-1 {
				out.Known, out.Edges = true, len(edges)
				out.tell(edges, float64(step))
				return out
			}
		}
		at = at.half()
		before = (before + .75) / 4
	}
	return out
}

// edges finds the pixels on ridges of the slope and their spreads, in the
// light's own pixels.
func (l *Light) edges(before float64, in func(x, y int) bool) []edge {
	a, b := l.slope(narrow), l.slope(wide)
	least := max(above*b.noise(in), faint)
	var out []edge
	const rim = 5
	for y := rim; y < l.Rect.Dy()-rim; y++ {
		for x := rim; x < l.Rect.Dx()-rim; x++ {
			i := y*b.w + x
			g := math.Hypot(float64(b.dx[i]), float64(b.dy[i]))
			if g < least || !in(x, y) {
				continue
			}
			nx, ny := float64(b.dx[i])/g, float64(b.dy[i])/g
			if !b.ridge(x, y, nx, ny, g) || b.line(x, y, nx, ny, g) {
				continue
			}
			steep := float64(a.dx[i])*nx + float64(a.dy[i])*ny
			ratio := steep * steep / (g * g)
			if ratio <= 1 {
				continue
			}
			v := (wide*wide-ratio*narrow*narrow)/(ratio-1) - before
			angle := math.Atan2(ny, nx)
			out = append(out, edge{math.Sqrt(max(v, 0)), angle, g})
		}
	}
	return steeper(out)
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
	x, y = min(max(x, 0), float64(s.w-2)), min(max(y, 0), float64(s.h-2))
	xi, yi := int(x), int(y)
	fx, fy := float32(x-float64(xi)), float32(y-float64(yi))
	i := yi*s.w + xi
	mix := func(v []float32) float64 {
		return float64((v[i]*(1-fx)+v[i+1]*fx)*(1-fy) + (v[i+s.w]*(1-fx)+v[i+s.w+1]*fx)*fy)
	}
	return mix(s.dx)*nx + mix(s.dy)*ny
}

// noise is the standard deviation that noise alone gives the slope in one
// direction: read in the flatter fifth of blocks, for a photograph's noise is
// not white any more when a phone and JPEG are done with it.
func (s *slopes) noise(in func(x, y int) bool) float64 {
	const side = 16
	var means []float64
	for y0 := 4; y0+side <= s.h-4; y0 += side {
		for x0 := 4; x0+side <= s.w-4; x0 += side {
			sum, n := 0.0, 0
			for y := y0; y < y0+side; y += 2 {
				for x := x0; x < x0+side; x += 2 {
					if in(x, y) {
						i := y*s.w + x
						sum += math.Hypot(float64(s.dx[i]), float64(s.dy[i]))
						n++
					}
				}
			}
			if n >= side*side/8 {
				means = append(means, sum/float64(n))
			}
		}
	}
	if len(means) == 0 {
		return 0
	}
	slices.Sort(means)
	return means[len(means)/5] / math.Sqrt(math.Pi/2) // the mean of a Rayleigh distribution
}

// quantile of the spreads.
func quantile(edges []edge, q float64) float64 {
	v := make([]float64, len(edges))
	for i, e := range edges {
		v[i] = e.spread
	}
	slices.Sort(v)
	return v[int(q*float64(len(v)-1))]
}

// tell fills a reading from a level's edges, whose pixels are step wide.
func (r *Reading) tell(edges []edge, step float64) {
	r.Blur = step * quantile(edges, sharper)
	// The spread by direction: sectors of 22.5 degrees, each with its own sharper
	// edges; a movement of length L adds L²/12 across edges that stand against it.
	const sectors = 8
	var by [sectors][]edge
	for _, e := range edges {
		k := int(math.Floor(math.Mod(e.angle+2*math.Pi, math.Pi)/math.Pi*sectors+.5)) % sectors
		by[k] = append(by[k], e)
	}
	var v0, c, s, n float64
	var squares [sectors]float64
	seen := 0
	for k := range by {
		if len(by[k]) < 12 {
			continue
		}
		seen++
		q := quantile(by[k], sharper)
		squares[k] = q * q
		v0 += q * q
		n++
	}
	r.Along, r.Across = r.Blur, r.Blur
	if seen < sectors-1 {
		return
	}
	v0 /= n
	for k := range by {
		if squares[k] == 0 {
			continue
		}
		a := 2 * math.Pi * float64(k) / sectors
		c += 2 / n * (squares[k] - v0) * math.Cos(a)
		s += 2 / n * (squares[k] - v0) * math.Sin(a)
	}
	d := math.Hypot(c, s)
	r.Along, r.Across = step*math.Sqrt(v0+d), step*math.Sqrt(max(v0-d, 0))
	r.Direction = math.Mod(math.Atan2(s, c)/2*180/math.Pi+180, 180)
	r.Moved = r.Along > 1.6*r.Across && r.Along > 1.2
}
