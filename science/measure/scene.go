package measure

import (
	"math"

	"trug/science/card"
	"trug/science/said"
)

// Millimetres is a true length.
type Millimetres = card.Millimetres

// SquareMillimetres is an area.
type SquareMillimetres float64

// Scale is how large the card was printed, in parts of its nominal size, and
// the standard uncertainty of that.
type Scale struct{ Value, U float64 }

// The limits in which home printers scale a page to fit.
const leastPrint, mostPrint = .92, 1.01

// TrueToSize is the scale of a card known to be true: 0.2 % are left for paper
// that swells and dries (an estimate).
func TrueToSize() Scale { return Scale{1, .002} }

// UnknownPrint is the scale of a card whose control line nobody measured:
// anything from 92 to 101 %, all equally likely (JCGM 100:2008, 4.3.7).
func UnknownPrint() Scale {
	return Scale{(leastPrint + mostPrint) / 2, (mostPrint - leastPrint) / math.Sqrt(12)}
}

// ControlLine is the scale that follows from the true length of the line of
// 100 mm on the sheet: read to half a millimetre, rectangular, and the paper's
// 0.1 %. Lengths outside 80 to 120 mm are refused as misread.
func ControlLine(l Millimetres) (Scale, error) {
	if !(l >= 80 && l <= 120) {
		return Scale{}, said.Errorf("the control line of 100 mm was given as %.1f mm: measure it again with a ruler, in millimetres", l)
	}
	return Scale{float64(l) / 100, math.Hypot(.005/math.Sqrt(12), .001)}, nil
}

// Range is a span in which something lies, all of it equally likely.
type Range struct{ From, To Millimetres }

func (r Range) middle() float64 { return float64(r.From+r.To) / 2 }
func (r Range) u() float64      { return math.Abs(float64(r.To-r.From)) / math.Sqrt(12) }

// Lie is how what is measured lies to the card.
type Lie int

// The ways a length can lie.
const (
	Parallel Lie = iota // to the card's plane
	Upright             // it stands over the card, like a stem over a card on the ground
)

// ErrNotParallel refuses a length that stands up over the card.
var ErrNotParallel = said.Errorf("a length that stands up over the card can't be measured on it, since it looks shorter the more the camera looks down: hold the card upright beside it, at the same distance, and take the photograph from the side")

// ErrOnScreen refuses a card that is shown on a screen.
var ErrOnScreen = said.Errorf("the card seems to be shown on a screen, where a millimetre has any size: lay a printed card beside the fungus itself, and photograph both")

// ErrHorizon refuses points where the card's plane is not to be seen.
var ErrHorizon = said.Errorf("a point lies beyond the horizon of the card's plane: choose points nearer to the card, or take the photograph from higher up")

// ErrTooHigh refuses heights at or above the camera's.
var ErrTooHigh = said.Errorf("what is measured would stand as high as the camera: check how far it stands above the card")

// Scene is all that a measurement in one photograph rests on.
type Scene struct {
	Card  *card.Found
	Pose  card.Pose
	Print Scale
	// Above is how far what is measured lies above the plane of the card; below
	// it is negative.
	Above Range
	Lies  Lie
	// Placing is the standard uncertainty of each end point, in pixels, in each
	// direction. Zero means 1.2 px, which is a careful tap under a loupe
	// (an estimate).
	Placing float64
}

const defaultPlacing = 1.2

func (s *Scene) placing() float64 {
	if s.Placing > 0 {
		return s.Placing
	}
	return defaultPlacing
}

// truth takes a nominal length in the card's plane to the true length: by the
// print's scale, and by how much nearer to the camera it lies.
//
//	L = L' s (1 - h / (s H))
//
// with L' and the camera's height H in nominal millimetres.
func truth(nominal, scale, above, height float64) float64 {
	return nominal * scale * (1 - above/(scale*height))
}

// valid refuses scenes in which nothing can be measured.
func (s *Scene) valid() error {
	if s.Lies == Upright {
		return ErrNotParallel
	}
	if s.Card.Screen {
		return ErrOnScreen
	}
	h := float64(s.Pose.Height)
	if s.Above.middle()+2*s.Above.u() >= .8*h*s.Print.Value {
		return ErrTooHigh
	}
	if !(h > 0) || !(s.Print.Value > 0) {
		return said.Errorf("the scene lacks the camera's height or the card's scale")
	}
	return nil
}
