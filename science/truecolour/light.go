package truecolour

import (
	"math"

	"trug/science/card"
)

// frame is the card's middle and half its diagonal: places are counted from it
// in that unit, so that the card's corners lie at 1.
type frame struct {
	middle card.Spot
	half   [2]float64 // half the card's width and height, millimetres
	unit   float64
}

func frameOf(l *card.Layout) frame {
	w, h := float64(l.Width)/2, float64(l.Height)/2
	return frame{card.Spot{X: l.Width / 2, Y: l.Height / 2}, [2]float64{w, h}, math.Hypot(w, h)}
}

func (f frame) place(s card.Spot) [2]float64 {
	return [2]float64{float64(s.X-f.middle.X) / f.unit, float64(s.Y-f.middle.Y) / f.unit}
}

// lightTerms: two slopes and three curvatures.
const lightTerms = 5

// light is how the light lies over the card's plane: the logarithm of its
// strength, 0 in the card's middle.
type light struct {
	frame frame
	terms [lightTerms]float64
	root  factor // of the fit that found them
}

func lightBasis(p [2]float64) []float64 {
	x, y := p[0], p[1]
	return []float64{x, y, x * x, x * y, y * y}
}

// lightRidge is how strongly a term is drawn to 0: light over a card differs by a
// tenth or so, and bends less than it slopes.
func lightRidge(term int) float64 {
	if term < 2 {
		return 1 / (0.5 * 0.5)
	}
	return 1 / (0.1 * 0.1)
}

const (
	// reach is how far from the card's middle the curvature is carried, and
	// slopeReach how far the slope, in half diagonals; beyond that the light is
	// taken as it is there.
	reach, slopeReach = 1.2, 2.5
)

// held gives the basis at a place, held where the light cannot be carried on.
func held(p [2]float64) []float64 {
	b := lightBasis(p)
	r := math.Hypot(p[0], p[1])
	if r > slopeReach {
		b[0], b[1] = b[0]*slopeReach/r, b[1]*slopeReach/r
	}
	if r > reach {
		for i := 2; i < lightTerms; i++ {
			b[i] *= reach * reach / (r * r)
		}
	}
	return b
}

// at is the logarithm of the light's strength at a place of the card's plane.
func (l *light) at(s card.Spot) float64 { return dot(l.terms[:], held(l.frame.place(s))) }

// sd is the standard deviation of that logarithm: what the fit leaves open, and
// beyond the card a share of what was carried there, growing with the distance.
func (l *light) sd(s card.Spot) float64 {
	p := l.frame.place(s)
	variance := 0.0
	if l.root != nil {
		right := make([]float64, unknowns)
		copy(right[lightAt:], held(p))
		for _, v := range l.root.half(right) {
			variance += v * v
		}
	}
	if out := math.Hypot(p[0], p[1]) - 1; out > 0 {
		carried := beyond * out * (0.02 + math.Hypot(l.terms[0], l.terms[1]) + math.Hypot(l.terms[2], math.Hypot(l.terms[3], l.terms[4])))
		variance += carried * carried
	}
	return math.Sqrt(variance)
}

// beyond is the share of the light's change over half a card by which it may
// differ from what was carried, for each half card of distance.
const beyond = 0.5

// unevenness is the range of the light over the card, as a ratio of at least 1.
func (l *light) unevenness(c *card.Layout) float64 {
	low, high := math.Inf(1), math.Inf(-1)
	for i := range 25 {
		v := l.at(card.Spot{X: c.Width * card.Millimetres(i%5) / 4, Y: c.Height * card.Millimetres(i/5) / 4})
		low, high = math.Min(low, v), math.Max(high, v)
	}
	return math.Exp(high - low)
}
