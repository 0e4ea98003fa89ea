package truecolour

import (
	"image"
	"math"
	"testing"

	"trug/science/card"
	"trug/science/colour"
)

func has(all []Advice, k Condition) (told, stops bool) {
	for _, a := range all {
		if a.Condition == k {
			return true, a.Stops
		}
	}
	return false, false
}

// scene photographs a card and a brown cap on ground, with the light at each
// place and channel altered by a factor.
func measured(t *testing.T, flash bool, light func(card.Spot) [3]float64) (*Result, error) {
	t.Helper()
	return measuredBy(t, flash, light, func(p *card.Plane, r image.Rectangle, t *testing.T) *Region { return capOutline(p, r, t) })
}

func measuredBy(t *testing.T, flash bool, light func(card.Spot) [3]float64, mark func(*card.Plane, image.Rectangle, *testing.T) *Region) (*Result, error) {
	t.Helper()
	l := pocket(t)
	ref := whole(l)
	const w, h = 380, 360
	plane := flat(t, l, w, h, 55, 170, 3)
	brown := linearOf(ochre)
	ground := linearOf(moss)
	img := draw(l, ref, plane, w, h, phone, func(s card.Spot) [3]float64 {
		v := ground
		if math.Hypot(float64(s.X-capAt.X), float64(s.Y-capAt.Y)) < 20 {
			v = brown
		}
		f := light(s)
		for c := range v {
			v[c] *= f[c]
		}
		return v
	})
	// The card itself in the same light.
	onCard := draw(l, ref, plane, w, h, testCamera{matrix: identity, cast: [3]float64{1, 1, 1}}, plain(moss))
	for y := range h {
		for x := range w {
			s, _ := plane.ToCard(card.Pixel{X: float64(x), Y: float64(y)})
			if s.X < 0 || s.Y < 0 || s.X > l.Width || s.Y > l.Height {
				continue
			}
			o := img.PixOffset(x, y)
			f := light(s)
			var v [3]float64
			for c := range v {
				v[c] = f[c] * decoded[onCard.Pix[o+c]] / 0.85
			}
			stored := phone.stored(v, frameOf(l).place(s))
			for c := range v {
				img.Pix[o+c] = uint8(math.Round(255 * stored[c]))
			}
		}
	}
	return Measure(img, plane, l, ref, flash, mark(plane, img.Rect, t))
}

// tapped is a spot of 3 mm in the middle of the cap.
func tapped(plane *card.Plane, bounds image.Rectangle, t *testing.T) *Region {
	t.Helper()
	r, err := Brush(bounds, []card.Pixel{plane.ToImage(capAt)}, 4.5)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// TestATapInACap: what surrounds the spot is the cap, which is lighter than the
// ground about the card, and yet lies in the same light.
func TestATapInACap(t *testing.T) {
	got, err := measuredBy(t, false, even, tapped)
	if err != nil || len(got.Advice) != 0 || got.Palette == nil {
		t.Errorf("in one light: %+v, %v", got, err)
	}
	got, err = measuredBy(t, false, func(s card.Spot) [3]float64 {
		if s.Y < -11 {
			return [3]float64{0.22, 0.25, 0.3}
		}
		return [3]float64{1, 1, 1}
	}, tapped)
	if err != nil {
		t.Fatal(err)
	}
	if told, _ := has(got.Advice, SunAndShade); !told {
		t.Errorf("fungus in shade: %+v", got.Advice)
	}
}

func even(card.Spot) [3]float64 { return [3]float64{1, 1, 1} }

// TestAdvice: each bad light is recognised and ends without a number, and a good
// one is not disturbed.
func TestAdvice(t *testing.T) {
	good, err := measured(t, false, even)
	if err != nil {
		t.Fatal(err)
	}
	if len(good.Advice) != 0 || good.Palette == nil {
		t.Errorf("in good light: %+v", good.Advice)
	}
	if d := colour.Difference(good.Palette.Mean.Lab, ochre); d > 2 {
		t.Errorf("in good light off by %.2f", d)
	}
	for _, c := range []struct {
		what    string
		want    Condition
		flash   bool
		refused bool
		light   func(card.Spot) [3]float64
	}{
		{"a warm lamp from the left", MixedLight, false, false, func(s card.Spot) [3]float64 {
			x := float64(s.X) / 90
			return [3]float64{1 - 0.25*x, 1 - 0.15*x, 0.8 + 0.1*x}
		}},
		{"under green leaves", GreenShade, false, false, func(card.Spot) [3]float64 { return [3]float64{0.45, 0.9, 0.42} }},
		{"a shadow over a third of the card", CardShadow, false, false, func(s card.Spot) [3]float64 {
			if s.X > 62 && s.Y > -5 {
				return [3]float64{0.5, 0.5, 0.55}
			}
			return [3]float64{1, 1, 1}
		}},
		{"card in the sun, fungus in shade", SunAndShade, false, false, func(s card.Spot) [3]float64 {
			if s.Y < -11 {
				return [3]float64{0.22, 0.25, 0.3}
			}
			return [3]float64{1, 1, 1}
		}},
		{"card in shade, fungus in the sun", SunAndShade, false, false, func(s card.Spot) [3]float64 {
			if s.Y > -11 {
				return [3]float64{0.25, 0.28, 0.34}
			}
			return [3]float64{1, 1, 1}
		}},
		{"far too dark", TooDark, false, true, func(card.Spot) [3]float64 { return [3]float64{0.015, 0.015, 0.015} }},
		{"far too light", TooLight, false, true, func(card.Spot) [3]float64 { return [3]float64{6, 6, 7} }},
		{"a flash in the card", Shine, true, true, func(s card.Spot) [3]float64 {
			if math.Hypot(float64(s.X-45), float64(s.Y-18)) < 16 {
				return [3]float64{9, 9, 9}
			}
			return [3]float64{1, 1, 1}
		}},
	} {
		got, err := measured(t, c.flash, c.light)
		if err != nil {
			// Refused with a reason is an answer as well, where nothing is to be seen.
			if !c.refused {
				t.Errorf("%s: %v", c.what, err)
			}
			continue
		}
		if told, _ := has(got.Advice, c.want); !told || !got.Stopped() || got.Palette != nil {
			t.Errorf("%s: %+v", c.what, got.Advice)
		}
	}
}
