package trug_test

import (
	"testing"

	"trug"
	"trug/science/card"
)

// A card shown on a screen is still one when what was found is read again, so that
// nothing is measured on it.
func TestFoundCardOnScreen(t *testing.T) {
	l, err := card.LayoutByID("pocket")
	if err != nil {
		t.Fatal(err)
	}
	var pixels []card.Pixel
	corners := l.Corners(0)
	for _, c := range corners {
		pixels = append(pixels, card.Pixel{X: 100 + 8*float64(c.X), Y: 50 + 8*float64(c.Y)})
	}
	plane, err := card.FitPlane(l, 1200, 900, corners[:], pixels)
	if err != nil {
		t.Fatal(err)
	}
	for _, shown := range []bool{false, true} {
		kept := trug.NewFoundCard(&card.Found{Layout: l, Plane: plane, Screen: shown})
		kept.Width, kept.Height = 1200, 900
		again, err := kept.Card()
		if err != nil || again.Screen != shown {
			t.Errorf("on a screen %v: %+v, %v", shown, again, err)
		}
	}
}
