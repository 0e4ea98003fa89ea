package truecolour

import (
	"cmp"
	"math"
	"slices"

	"trug/science/card"
)

// The camera's tone curve and the light over the card are found together from
// the greys and the bare paper. In logarithms the model is a sum,
//
//	F(log stored) + bend of the channel = log true + gain of the channel + light at the place,
//
// with F a smooth rising curve, the same for the three channels (phones shape
// tones after balancing them), and a small bend by channel, since a colour cast
// that was left is altered with the saturation. So one least squares finds all of
// it: F's coefficients, two gains, the bends, the light's slopes, and the paper's
// own colour where no instrument saw it.

// bumps is how many cubic B-splines make up F.
const bumps = 9

// tone is what was found.
type tone struct {
	low, step float64 // F's knots begin at low, step apart
	f         [bumps]float64
	gain      [3]float64
	bend      [3][2]float64
	light     light
	// SD is the standard deviation of a single grey's logarithm about the fit.
	SD float64
	// channels are the mean misfits of the paper, by place and channel, for what
	// the light's colour does over the card.
	paper []paperSpot
}

// paperSpot is a place of bare paper, and by how much (logarithm) each channel is
// brighter there than the fit says.
type paperSpot struct {
	at   [2]float64
	over [3]float64
}

// basis gives the four cubic B-splines that are not 0 at x, and the first's
// number. Beyond the knots F goes on straight.
func (t *tone) basis(x float64) (first int, b [4]float64) {
	u := (x - t.low) / t.step
	first = int(math.Max(0, math.Min(bumps-4, math.Floor(u))))
	in := math.Max(0, math.Min(1, u-float64(first)))
	b = bspline(in)
	if over := u - float64(first) - in; over != 0 {
		d := bsplineSlope(in)
		for i := range b {
			b[i] += over * d[i]
		}
	}
	return first, b
}

func bspline(u float64) [4]float64 {
	v := 1 - u
	return [4]float64{v * v * v / 6, (3*u*u*u - 6*u*u + 4) / 6, (3*v*v*v - 6*v*v + 4) / 6, u * u * u / 6}
}

func bsplineSlope(u float64) [4]float64 {
	v := 1 - u
	return [4]float64{-v * v / 2, (9*u*u - 12*u) / 6, -(9*v*v - 12*v) / 6, u * u / 2}
}

// floor keeps logarithms finite: a thousandth of white is below all that a
// photograph's bytes tell apart.
const floor = 1e-3

func logOf(light float64) float64 { return math.Log(math.Max(floor, light)) }

// undo carries stored light to linear light as it would be in the middle of the
// card, balanced so that greys are grey.
func (t *tone) undo(stored [3]float64, at card.Spot) [3]float64 {
	over := t.light.at(at)
	for c, v := range stored {
		stored[c] = math.Exp(t.curve(logOf(v), c) - over)
		if v < floor {
			stored[c] *= math.Max(0, v) / floor
		}
	}
	return stored
}

// greyPoint is a channel of a grey or of the paper, for the fit.
type greyPoint struct {
	level   int // greys count from 0; paper has -1
	channel int
	x       float64 // log stored
	y       float64 // log true; 0 where it is to be found
	paper   bool
	open    bool // paper that was not measured: y is to be found
	at      [2]float64
	weight  float64
}

// The order of the unknowns: F, two gains, the bends, the light, the paper's three
// channels.
const (
	gainsAt  = bumps
	bendsAt  = gainsAt + 2
	lightAt  = bendsAt + 6
	paperAt  = lightAt + lightTerms
	unknowns = paperAt + 3
)

// bends are what a channel's bend is made of: a slope and a curvature over the
// range of F's knots.
func (t *tone) bends(x float64) [2]float64 {
	z := (x - t.low) / (t.step * (bumps - 3) / 2)
	z = math.Max(-0.5, math.Min(2.5, z)) - 1
	return [2]float64{z, z * z}
}

// ridges are how strongly each unknown is drawn to 0.
func ridges(i int) float64 {
	switch {
	case i >= bendsAt && i < lightAt:
		return 1 / (0.05 * 0.05)
	case i >= lightAt && i < paperAt:
		return lightRidge(i - lightAt)
	default:
		return 1e-9 // the others are free
	}
}

// row writes a point's equation: F - gain - light [- paper] = y.
func (t *tone) row(p greyPoint) []float64 {
	a := make([]float64, unknowns)
	first, b := t.basis(p.x)
	copy(a[first:], b[:])
	switch p.channel {
	case 0, 1:
		a[gainsAt+p.channel] = -1
	default:
		a[gainsAt], a[gainsAt+1] = 1, 1 // the gains add up to 0
	}
	for i, v := range lightBasis(p.at) {
		a[lightAt+i] = -v
	}
	bend := t.bends(p.x)
	copy(a[bendsAt+2*p.channel:], bend[:])
	if p.open {
		a[paperAt+p.channel] = -1
	}
	return a
}

// smoothings are the strengths tried for F; see fitTone.
var smoothings = [...]float64{1, 10, 100, 1000, 10000}

// fitTone finds the tone curve and the light. How smooth F is to be is chosen by
// leaving out one grey at a time; a curve that does not rise everywhere is made
// smoother. It is false when the greys leave it open.
func fitTone(points []greyPoint, frame frame) (*tone, bool) {
	low, high := math.Inf(1), math.Inf(-1)
	for _, p := range points {
		low, high = math.Min(low, p.x), math.Max(high, p.x)
	}
	if !(high-low > 0.5) {
		return nil, false
	}
	t := &tone{low: low, step: (high - low) / (bumps - 3), light: light{frame: frame}}
	down := make([]float64, len(points))
	for i := range down {
		down[i] = 1
	}
	if !t.solve(points, down, smoothings[len(smoothings)/2]) {
		return nil, false
	}
	for i := t.smoothest(points, down); i < len(smoothings); i++ {
		if t.solve(points, down, smoothings[i]) && t.rises() {
			t.residuals(points)
			return t, true
		}
	}
	return nil, false
}

// smoothest is the number of the smoothing under which greys that the fit did not
// see err least. Each point counts as the fit before found it (see solve).
func (t *tone) smoothest(points []greyPoint, down []float64) int {
	var wrong [len(smoothings)]float64
	levels := 0
	for _, p := range points {
		levels = max(levels, p.level+1)
	}
	for level := range levels {
		rest := newSystem(unknowns)
		for i, p := range points {
			if p.level != level {
				rest.add(t.row(p), p.y, down[i]*p.weight/(greySD*greySD))
			}
		}
		for k, smoothing := range smoothings {
			s := rest.clone()
			smoothen(s, smoothing)
			root, ok := s.root()
			if !ok {
				wrong[k] = math.Inf(1)
				continue
			}
			trial := *t
			trial.take(root, root.solve(s.right))
			for _, p := range points {
				if p.level == level {
					e := trial.predict(p) - p.y
					wrong[k] += e * e
				}
			}
		}
	}
	best := 0
	for k, w := range wrong {
		if w < wrong[best] {
			best = k
		}
	}
	return best
}

// smoothen adds what holds F smooth and draws the other unknowns to 0.
func smoothen(s *system, smoothing float64) {
	for i := range bumps - 2 {
		a := make([]float64, unknowns)
		a[i], a[i+1], a[i+2] = 1, -2, 1
		s.add(a, 0, smoothing)
	}
	for i := range unknowns {
		s.normal[i][i] += ridges(i)
	}
}

// take reads the unknowns.
func (t *tone) take(root factor, x []float64) {
	copy(t.f[:], x)
	t.gain = [3]float64{x[gainsAt], x[gainsAt+1], -x[gainsAt] - x[gainsAt+1]}
	for c := range t.bend {
		copy(t.bend[c][:], x[bendsAt+2*c:])
	}
	copy(t.light.terms[:], x[lightAt:])
	t.light.root = root
}

// predict is the logarithm of the true light that the fit gives a point.
func (t *tone) predict(p greyPoint) float64 {
	return t.curve(p.x, p.channel) - dot(t.light.terms[:], lightBasis(p.at))
}

// curve is the logarithm of the light that made a channel's stored one.
func (t *tone) curve(x float64, channel int) float64 {
	first, b := t.basis(x)
	bend := t.bends(x)
	y := dot(t.bend[channel][:], bend[:]) - t.gain[channel]
	for i, w := range b {
		y += w * t.f[first+i]
	}
	return y
}

// rounds of solving, each giving less weight to what the last left far off: dirt,
// print, or paper beyond the edge of a shadow.
const rounds = 3

// greySD is how well a clean grey's logarithm is known.
const greySD = 0.03

// solve finds the unknowns for a smoothing. down is how much each point counts
// beyond its own weight: it begins from what is there and is left as found.
func (t *tone) solve(points []greyPoint, down []float64, smoothing float64) bool {
	rows := make([][]float64, len(points))
	for i, p := range points {
		rows[i] = t.row(p)
	}
	for range rounds {
		s := newSystem(unknowns)
		smoothen(s, smoothing)
		for i, p := range points {
			s.add(rows[i], p.y, down[i]*p.weight/(greySD*greySD))
		}
		root, ok := s.root()
		if !ok {
			return false
		}
		x := root.solve(s.right)
		t.take(root, x)
		for i, p := range points {
			// Beyond two standard deviations a point counts as its distance tells
			// (Huber), beyond eight hardly at all.
			far := math.Abs(dot(rows[i], x)-p.y) / (2 * greySD / math.Sqrt(p.weight))
			switch {
			case far > 4:
				down[i] = 0.01
			case far > 1:
				down[i] = 1 / far
			default:
				down[i] = 1
			}
		}
	}
	return true
}

// rises says whether each channel's curve rises over the knots' range and a
// little beyond.
func (t *tone) rises() bool {
	const steps = 60
	for c := range 3 {
		for i := -6; i < steps+6; i++ {
			x := t.low + t.step*(bumps-3)*float64(i)/steps
			if t.curve(x+t.step*(bumps-3)/steps, c) <= t.curve(x, c) {
				return false
			}
		}
	}
	return true
}

// residuals keeps what the fit leaves: the greys' spread, and the paper's by
// place and channel.
func (t *tone) residuals(points []greyPoint) {
	sum, n := 0.0, 0
	byPlace := map[[2]float64]*paperSpot{}
	var paper [3][]float64
	for _, p := range points {
		if p.paper {
			paper[p.channel] = append(paper[p.channel], t.predict(p))
			continue
		}
		e := t.predict(p) - p.y
		sum, n = sum+e*e, n+1
	}
	var own [3]float64
	for c := range own {
		own[c], _ = medianAndSpread(paper[c])
	}
	for _, p := range points {
		if !p.paper {
			continue
		}
		spot := byPlace[p.at]
		if spot == nil {
			spot = &paperSpot{at: p.at}
			byPlace[p.at] = spot
		}
		spot.over[p.channel] = t.predict(p) - own[p.channel]
	}
	for _, s := range byPlace {
		t.paper = append(t.paper, *s)
	}
	slices.SortFunc(t.paper, func(a, b paperSpot) int {
		return cmp.Or(cmp.Compare(a.at[1], b.at[1]), cmp.Compare(a.at[0], b.at[0]))
	})
	t.SD = math.Sqrt(sum / float64(max(1, n)))
}
