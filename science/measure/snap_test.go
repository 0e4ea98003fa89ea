package measure

import (
	"errors"
	"image"
	"image/color"
	"math"
	"math/rand/v2"
	"testing"

	"trug/science/card"
)

// A tap within a few pixels of the rim of a cap 180 px wide goes to the rim,
// and the rim lies within what it says it may be off by: 95 of 100 times.
func TestSnap(t *testing.T) {
	p := NewPicture(capOn(color.RGBA{120, 90, 50, 255}, color.RGBA{210, 180, 140, 255}, 6))
	r := rand.New(rand.NewPCG(3, 4))
	middle := card.Pixel{X: 310.3, Y: 230.6}
	in, n := 0, 0
	for i := range 200 {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / 200)
		d := 90 + 6*(2*r.Float64()-1)
		s, err := p.Snap(card.Pixel{X: middle.X + d*cos, Y: middle.Y + d*sin/1.25}, middle, 15)
		if err != nil {
			continue
		}
		n++
		// Along the ray, on which the rim lies at one radius.
		off := math.Hypot(s.At.X-middle.X, s.At.Y-middle.Y) - 90*math.Hypot(cos, sin/1.25)
		if math.Abs(off) < 1.96*s.U {
			in++
		}
		if s.U > 4 {
			t.Errorf("ray %d: uncertain by %.1f px", i, s.U)
		}
	}
	if n < 190 || in < 95*n/100 {
		t.Errorf("%d of 200 taps snapped, %d of them within their uncertainty", n, in)
	}
}

func TestSnapRefuses(t *testing.T) {
	r := rand.New(rand.NewPCG(9, 9))
	noise := image.NewRGBA(image.Rect(0, 0, 200, 150))
	for i := range noise.Pix {
		noise.Pix[i] = uint8(120 + 6*r.NormFloat64())
	}
	p := NewPicture(noise)
	if s, err := p.Snap(card.Pixel{X: 100, Y: 75}, card.Pixel{X: 50, Y: 75}, 20); !errors.Is(err, ErrNoEdge) {
		t.Errorf("noise: %v, %v", s, err)
	}
	for _, at := range []card.Pixel{{X: -1, Y: 5}, {X: math.NaN(), Y: 3}, {X: 100, Y: 75}} {
		if _, err := p.Snap(at, card.Pixel{X: 100, Y: 75}, 20); err == nil || errors.Is(err, ErrNoEdge) {
			t.Errorf("%v: %v", at, err)
		}
	}
}
