package sharpness

import (
	"image"
	"image/color"
	"math"
	"math/rand/v2"
	"testing"
)

// step is a step of a Gaussian spread of 1/√2: its integral, which six from its middle
// is over to the last bit.
func step(d float64) float64 {
	switch {
	case d >= 6:
		return 1
	case d <= -6:
		return 0
	}
	return .5 + .5*math.Erf(d)
}

// steps makes light with slanted steps, blurred by a Gaussian across and along x
// (the integral of a Gaussian: math.Erf), with noise in the file's values, and
// sharpened by an amount as a phone does it: linear here, to stay exact.
func steps(sx, sy, noise, amount float64, seed uint64) *image.RGBA {
	const w, h = 400, 400
	r := rand.New(rand.NewPCG(seed, 1))
	img := image.NewRGBA(image.Rect(0, 0, w, h))
	edge := func(d, s float64) float64 { return step(d / (s * math.Sqrt2)) }
	for y := range h {
		for x := range w {
			v := .05
			// Circles have edges of all directions.
			for _, c := range [][3]float64{{110, 120, 70}, {290, 110, 60}, {200, 290, 80}} {
				dx, dy := float64(x)-c[0], float64(y)-c[1]
				d := math.Hypot(dx, dy)
				nx, ny := dx/max(d, 1e-9), dy/max(d, 1e-9)
				s := math.Sqrt(sx*sx*nx*nx + sy*sy*ny*ny)
				u := c[2] - d
				v += .4 * ((1+amount)*edge(u, s) - amount*edge(u, math.Hypot(s, radius)))
			}
			coded := 255*code(v) + noise*r.NormFloat64()
			g := uint8(min(max(coded+.5, 0), 255))
			img.SetRGBA(x, y, color.RGBA{g, g, g, 255})
		}
	}
	return img
}

func code(v float64) float64 {
	if v = max(v, 0); v <= .0031308 {
		return 12.92 * v
	}
	return 1.055*math.Pow(v, 1/2.4) - .055
}

func all(x, y int) bool { return true }

func TestBlurOfKnownEdges(t *testing.T) {
	for i, sigma := range []float64{.6, .8, 1.2, 2, 3, 4.5, 7} {
		for _, noise := range []float64{0, 2, 5} {
			for _, amount := range []float64{0, .4, 1} {
				if sigma > 3 && amount > 0 {
					continue // no phone sharpens at such a radius
				}
				got := Read(Of(steps(sigma, sigma, noise, amount, uint64(i)), image.Rect(0, 0, 400, 400)), all)
				if !got.Known || math.Abs(got.Blur-sigma) > .12*sigma+.12 {
					t.Errorf("sigma %.1f, noise %.0f, sharpened %.1f: read %.2f (known %v, edges %d)", sigma, noise, amount, got.Blur, got.Known, got.Edges)
				}
				if got.Moved {
					t.Errorf("sigma %.1f, noise %.0f, sharpened %.1f: the hand is said to have moved (%.2f, %.2f)", sigma, noise, amount, got.Along, got.Across)
				}
			}
		}
	}
}

func TestHandThatMoved(t *testing.T) {
	// A movement of 8 pixels: variance 64/12 along x.
	still := 1.
	got := Read(Of(steps(math.Hypot(still, 8/math.Sqrt(12)), still, 2, 0, 3), image.Rect(0, 0, 400, 400)), all)
	if !got.Moved || math.Abs(math.Mod(got.Direction+90, 180)-90) > 12 {
		t.Errorf("moved %v at %.0f degrees (along %.2f, across %.2f), want along 0", got.Moved, got.Direction, got.Along, got.Across)
	}
	if want := math.Sqrt(still + 64./24); math.Abs(got.Blur-want) > .25*want {
		t.Errorf("blur %.2f, want the mean of all directions, %.2f", got.Blur, want)
	}
}

func TestNothingToBeRead(t *testing.T) {
	flat := image.NewRGBA(image.Rect(0, 0, 300, 300))
	r := rand.New(rand.NewPCG(7, 7))
	for i := range flat.Pix {
		flat.Pix[i] = uint8(120 + 6*r.NormFloat64())
	}
	if got := Read(Of(flat, flat.Rect), all); got.Known {
		t.Errorf("noise alone is read as edges: %+v", got)
	}
	if got := Read(Of(flat, flat.Rect), func(x, y int) bool { return false }); got.Known {
		t.Errorf("nothing is read as something: %+v", got)
	}
	for _, r := range []image.Rectangle{{}, image.Rect(0, 0, 1, 1), image.Rect(0, 0, 3, 200), image.Rect(290, 290, 900, 900)} {
		Read(Of(flat, r), all)
	}
}

// The subject counts, not what surrounds it.
func TestOnlyTheSubjectIsRead(t *testing.T) {
	soft, sharp := steps(4, 4, 1, 0, 5), steps(.7, .7, 1, 0, 5)
	in := func(x, y int) bool { return math.Hypot(float64(x)-200, float64(y)-290) < 95 }
	for y := range 400 {
		for x := range 400 {
			if !in(x, y) {
				soft.SetRGBA(x, y, sharp.RGBAAt(x, y))
			}
		}
	}
	if got := Read(Of(soft, soft.Rect), in); !got.Known || math.Abs(got.Blur-4) > .6 {
		t.Errorf("read %.2f, want 4", got.Blur)
	}
}

// exp(-2 pi² sigma² f²) = 0.1 is the modulation transfer of a Gaussian spread
// (Goodman, Introduction to Fourier Optics, 2005, Appendix A: the transform of a
// Gaussian is one).
func TestFinest(t *testing.T) {
	for _, sigma := range []float64{.8, 1, 2.5, 6} {
		f := Finest(sigma)
		if got := math.Exp(-2 * math.Pi * math.Pi * sigma * sigma * f * f); math.Abs(got-.1) > 1e-9 {
			t.Errorf("at sigma %.1f the contrast left is %.3f", sigma, got)
		}
	}
	if Finest(0) != .5 || Finest(.1) != .5 {
		t.Error("two pixels a pair are the least")
	}
	for _, w := range []float64{240, 500, 2000} {
		for _, p := range []Purpose{Form, Detail} {
			m := Most(w, p)
			if m > .7 && (!Enough(m*.999, w, p) || Enough(m*1.001, w, p)) {
				t.Errorf("%v across %.0f px: %.3f is not the limit", p, w, m)
			}
		}
	}
	if Most(100, Detail) != 0 || Enough(0, 100, Detail) {
		t.Error("what is 100 pixels wide shows no 120 pairs")
	}
}

func TestExposure(t *testing.T) {
	img := image.NewRGBA(image.Rect(0, 0, 100, 100))
	paint := func(c color.RGBA, share int) {
		for y := range 100 {
			for x := range 100 {
				if x < share {
					img.SetRGBA(x, y, c)
				} else {
					img.SetRGBA(x, y, color.RGBA{120, 100, 80, 255})
				}
			}
		}
	}
	for _, c := range []struct {
		colour      color.RGBA
		share       int
		light, dark bool
	}{
		{color.RGBA{255, 255, 255, 255}, 20, true, false},
		{color.RGBA{255, 255, 255, 255}, 3, false, false}, // a shine
		{color.RGBA{255, 30, 20, 255}, 80, false, false},  // a red cap
		{color.RGBA{2, 2, 1, 255}, 40, false, true},
		{color.RGBA{14, 12, 9, 255}, 100, false, true},
		{color.RGBA{60, 50, 40, 255}, 100, false, false},
	} {
		paint(c.colour, c.share)
		e := Expose(img, img.Rect, all)
		if e.TooLight() != c.light || e.TooDark() != c.dark {
			t.Errorf("%v over %d %%: %+v is too light %v, too dark %v", c.colour, c.share, e, e.TooLight(), e.TooDark())
		}
	}
	if e := Expose(img, img.Rect, func(x, y int) bool { return false }); e.TooLight() || e.TooDark() && e.Middle > 0 {
		t.Errorf("nothing: %+v", e)
	}
}

func BenchmarkRead(b *testing.B) {
	img := steps(1.2, 1.2, 3, .5, 1)
	l := Of(img, img.Rect)
	for b.Loop() {
		Read(l, all)
	}
}
