package sharpness

import (
	"image"
	"math"
	"slices"
)

// Reading is how sharp a part of a photograph is.
type Reading struct {
	// Known is false where there are too few edges to tell: a smooth thing, or one
	// that drowns in noise. Nothing else has meaning then.
	Known bool
	// Blur is the spread (sigma) of its sharper edges in pixels, in linear light:
	// what a step from dark to light is smeared by, in the mean of all directions,
	// before the camera's program sharpened it.
	Blur float64
	// Along and Across are the spreads along the direction in which edges are
	// most smeared, and across it; Direction is that direction in degrees, 0 to
	// the right, clockwise, below 180. They differ much where the hand moved.
	Along, Across, Direction float64
	// Moved says that they differ more than a lens does it.
	Moved bool
	// Sharpened is by how much the camera's program steepened edges: the weight of
	// the difference to a smoothed picture that it added, 0 for not at all.
	Sharpened float64
	// Edges is on how many pixels of edges it rests.
	Edges int
}

const (
	levels = 4
	// believed is up to which spread, in a level's own pixels, its reading
	// stands; a larger one is read a level farther down.
	believed = 2.2
	// certain is below which spread neither noise nor what shines through a rim
	// is taken for the subject's edges.
	certain = 1.0
	// taller is by how many times the steps of light of the next smaller picture
	// may be taller, and tallerStill those of the one after it, before the larger one's are taken for noise, or for what shines
	// through a blurred rim.
	taller, tallerStill = 1.2, 1.5
	// enough edges tell something.
	enough = 40
	// wider is by how many times a fungus's own edges are read wider than a step's
	// blur, since they are curved and shaded. Found on rendered photographs.
	wider = 1.03
)

// Read tells how sharp the light is where in holds; in takes coordinates of the
// photograph. It looks at some tiles, those where the light changes most, in the
// picture and in pictures of a half, a quarter and an eighth of its size: large
// spreads are read in small pictures.
func Read(l *Light, in func(x, y int) bool) Reading {
	at := l
	before := 0.0 // variance of what the smaller sizes were smoothed by, own pixels²
	var all []levelled
	for level := range levels {
		step := 1 << level
		inside := func(x, y int) bool { return in(l.Rect.Min.X+x*step+step/2, l.Rect.Min.Y+y*step+step/2) }
		if edges := at.edgesIn(at.tiles(inside), inside); len(edges) >= enough/step+8 {
			now := levelled{Reading: tell(edges, before, float64(step)), step: float64(step)}
			now.height = heightOf(edges, now.Blur/now.step, before)
			if all = append(all, now); now.Blur < certain*now.step {
				break
			}
		}
		if at.Rect.Dx() < 48 || at.Rect.Dy() < 48 {
			break
		}
		at = at.half()
		before = (before + .75) / 4
	}
	return settled(all)
}

// levelled is what a picture of a size says.
type levelled struct {
	Reading
	step, height float64
}

// settled takes the finest picture that can show a blur as large as it says, and
// whose steps of light are about as tall as those of the smaller ones.
func settled(all []levelled) Reading {
	for i, l := range all {
		if l.Blur >= believed*l.step && i < len(all)-1 {
			continue
		}
		trusted := true
		for k, smaller := range all[i+1:] {
			if smaller.Edges >= enough && smaller.height > []float64{taller, tallerStill, math.Inf(1)}[min(k, 2)]*l.height {
				trusted = false
			}
		}
		if trusted {
			return l.Reading
		}
	}
	return Reading{}
}

// heightOf is the middle height of edges' steps of light, from their slopes.
func heightOf(edges []edge, spread, before float64) float64 {
	g := make([]float64, len(edges))
	for i, e := range edges {
		g[i] = e.slope
	}
	slices.Sort(g)
	return g[len(g)/2] * math.Sqrt(2*math.Pi*(spread*spread+before+wide*wide))
}

// tiles chooses squares where light changes most, and some of all others, from
// which the noise is told.
func (l *Light) tiles(in func(x, y int) bool) []image.Rectangle {
	const side = 96
	w, h := l.Rect.Dx(), l.Rect.Dy()
	var all []scored
	for y := 0; y < h; y += side {
		for x := 0; x < w; x += side {
			r := image.Rect(x, y, min(x+side, w), min(y+side, h))
			if s, ok := l.score(r, in); ok {
				all = append(all, scored{r, s})
			}
		}
	}
	return chosen(all)
}

// score is the mean square of the light's change over four pixels; false where
// little of the square is inside.
func (l *Light) score(r image.Rectangle, in func(x, y int) bool) (float64, bool) {
	w := l.Rect.Dx()
	sum, n, all := 0.0, 0, 0
	for y := r.Min.Y; y+4 < r.Max.Y; y += 3 {
		for x := r.Min.X; x+4 < r.Max.X; x += 3 {
			all++
			if !in(x, y) {
				continue
			}
			i := y*w + x
			dx, dy := float64(l.Px[i+4]-l.Px[i]), float64(l.Px[i+4*w]-l.Px[i])
			sum += dx*dx + dy*dy
			n++
		}
	}
	return sum / float64(max(n, 1)), n*8 > all && n > 0
}

// tell sums up a level's edges, whose pixels are step wide.
func tell(edges []edge, before, step float64) Reading {
	f := fitted(typical(edges), before, step)
	r := Reading{Known: true, Edges: len(edges), Sharpened: f.sharpened, Blur: step * f.spread / wider}
	r.Along, r.Across = r.Blur, r.Blur
	// The spread by direction: sectors of 22.5 degrees; a movement of length L adds
	// L²/12 across edges that stand against it.
	const sectors = 8
	var by [sectors][]edge
	for _, e := range edges {
		k := int(math.Floor(math.Mod(e.angle+2*math.Pi, math.Pi)/math.Pi*sectors+.5)) % sectors
		by[k] = append(by[k], e)
	}
	var squares [sectors]float64
	v0, n := 0.0, 0.0
	for k := range by {
		if len(by[k]) < 12 {
			continue
		}
		q := spreadOf(typical(by[k]), before, step, f.sharpened)
		squares[k] = q * q
		v0 += q * q
		n++
	}
	if n < sectors-1 {
		return r
	}
	v0 /= n
	var c, s float64
	for k := range by {
		if len(by[k]) < 12 {
			continue
		}
		a := 2 * math.Pi * float64(k) / sectors
		c += 2 / n * (squares[k] - v0) * math.Cos(a)
		s += 2 / n * (squares[k] - v0) * math.Sin(a)
	}
	d := math.Hypot(c, s)
	r.Along, r.Across = step*math.Sqrt(v0+d)/wider, step*math.Sqrt(max(v0-d, 0))/wider
	r.Direction = math.Mod(math.Atan2(s, c)/2*180/math.Pi+180, 180)
	var rest, whole float64
	for k := range by {
		if len(by[k]) >= 12 {
			a := 2 * math.Pi * float64(k) / sectors
			off := squares[k] - v0
			whole += off * off
			off -= c*math.Cos(a) + s*math.Sin(a)
			rest += off * off
		}
	}
	r.Moved = moved(r.Along, r.Across) && rest < .4*whole
	if r.Moved {
		r.Blur = step * math.Sqrt(v0) / wider
	}
	return r
}
