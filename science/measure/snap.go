package measure

import (
	"math"

	"trug/science/card"
	"trug/science/said"
)

// Snapped is a point moved to an edge.
type Snapped struct {
	At card.Pixel
	// U is the standard uncertainty of the place along the line it was snapped
	// along, in pixels: put the larger of two ends' into Scene.Placing.
	U float64
}

// ErrNoEdge says that no edge is near a point.
var ErrNoEdge = said.Errorf("no edge stands out near this point: place it by hand under the loupe")

// Snap moves a point along the line away from another end to the strongest
// edge within reach pixels of it, nearer ones before farther ones of the same
// strength. The edge lies where light (linear, averaged over five lanes beside
// the line) changes fastest. What it may be off by is the edge's noise and,
// where another edge within reach is nearly as strong, that edge's distance by
// how nearly. Errors are ErrNoEdge, and points outside the photograph or at
// one place.
func (p *Picture) Snap(at, other card.Pixel, reach float64) (Snapped, error) {
	b := p.levels[0].Rect
	if !(at.X >= 0 && at.Y >= 0 && at.X <= float64(b.Dx()-1) && at.Y <= float64(b.Dy()-1)) {
		return Snapped{}, said.Errorf("the point lies outside the photograph")
	}
	dx, dy := at.X-other.X, at.Y-other.Y
	n := math.Hypot(dx, dy)
	if !(n > 1) || math.IsInf(n, 0) || min(b.Dx(), b.Dy()) < 16 {
		return Snapped{}, said.Errorf("the two ends are at one place")
	}
	reach = min(max(reach, 4), 200)
	slope := p.slopes(at, dx/n, dy/n, reach)
	off, strength, u, ok := strongest(slope, reach)
	if !ok {
		return Snapped{}, ErrNoEdge
	}
	// Noise of an edge's place: by how strong it is over the noise, times how wide
	// it is smoothed.
	u = math.Hypot(u, snapSigma/strength)
	return Snapped{card.Pixel{X: at.X + off*dx/n, Y: at.Y + off*dy/n}, math.Hypot(u, edgeBias)}, nil
}

// snapPace is the distance of samples and snapSigma the spread by which slopes
// are smoothed, both in pixels.
const snapPace, snapSigma = .5, 1.5

// slopes is how fast light changes along a line through a point, in each of
// three colours taken together, from -reach to reach.
func (p *Picture) slopes(at card.Pixel, dx, dy, reach float64) []float64 {
	const half = int(3 * snapSigma / snapPace)
	m := int(reach / snapPace)
	line := make([]tint, 2*(m+half)+1)
	for i := range line {
		t := float64(i-m-half) * snapPace
		for lane := -2; lane <= 2; lane++ {
			s := float64(lane)
			line[i] = line[i].plus(p.light(at.X+t*dx-s*dy, at.Y+t*dy+s*dx).scaled(.2))
		}
	}
	out := make([]float64, 2*m+1)
	for i := range out {
		var d tint
		for j := -half; j <= half; j++ {
			z := float64(j) * snapPace / snapSigma
			d = d.plus(line[i+half+j].scaled(z * math.Exp(-z*z/2)))
		}
		out[i] = math.Sqrt(d.dot(d))
	}
	return out
}

// strongest finds the highest of the slopes, and its strength over what is
// usual within reach.
func strongest(slope []float64, reach float64) (off, strength, u float64, ok bool) {
	usual := max(middle(slope), 1e-3)
	weight := func(i int) float64 {
		t := float64(i-len(slope)/2) * snapPace / reach
		return slope[i] * math.Exp(-t*t)
	}
	best := -1
	var tops []int
	for i := 1; i < len(slope)-1; i++ {
		if slope[i] >= slope[i-1] && slope[i] > slope[i+1] {
			tops = append(tops, i)
			if best < 0 || weight(i) > weight(best) {
				best = i
			}
		}
	}
	if best < 0 || slope[best] < 3*usual || slope[best] < .02 {
		return 0, 0, 0, false
	}
	a, b, c := slope[best-1], slope[best], slope[best+1]
	at := float64(best-len(slope)/2) + .5*(a-c)/(a-2*b+c)
	sum, sq := 0.0, 0.0
	for _, i := range tops {
		// A top half as high is meant one time in about fifty.
		w := math.Pow(weight(i)/weight(best), 6)
		d := float64(i-best) * snapPace
		sum += w
		sq += w * d * d
	}
	return at * snapPace, slope[best] / usual, math.Sqrt(sq / sum), true
}
