package truecolour

import (
	"image"
	"math"
	"math/rand/v2"
	"testing"

	"trug/science/card"
	"trug/science/colour"
)

// A simple camera for tests: a matrix, a colour cast, an S-shaped curve, a slope
// of light. It is not the renderer of the bench, which works with spectra.
type testCamera struct {
	matrix colour.Matrix
	cast   [3]float64
	slope  [2]float64 // of the light's logarithm, for each half diagonal
	s      float64
}

var plainCamera = testCamera{matrix: identity, cast: [3]float64{1, 1, 1}}

var phone = testCamera{
	matrix: colour.Matrix{{1.12, -0.1, -0.02}, {-0.06, 1.1, -0.04}, {0.01, -0.12, 1.11}},
	cast:   [3]float64{0.95, 0.8, 0.62},
	slope:  [2]float64{0.12, -0.08},
	s:      0.5,
}

// stored is what the camera stores of linear light at a place.
func (c testCamera) stored(rgb [3]float64, at [2]float64) [3]float64 {
	v := c.matrix.Apply(rgb)
	light := 0.85 * math.Exp(c.slope[0]*at[0]+c.slope[1]*at[1])
	for i := range v {
		x := colour.Encode(math.Max(0, math.Min(1, v[i]*c.cast[i]*light)))
		v[i] = x*(1-c.s) + c.s*x*x*(3-2*x)
	}
	return v
}

func pocket(t testing.TB) *card.Layout {
	t.Helper()
	l, err := card.LayoutByID("pocket")
	if err != nil {
		t.Fatal(err)
	}
	return l
}

// whole is the reference of a card that came out of the printer as sent.
func whole(l *card.Layout) Reference {
	r := Reference{Lab: map[string]colour.Lab{Paper: {L: 95, A: 0, B: -1}}, Measured: true, SD: measuredSD}
	for _, p := range l.Patches {
		r.Lab[p.ID] = colour.LabOfSRGB8(p.SRGB[0], p.SRGB[1], p.SRGB[2])
	}
	return r
}

// flat is a plane that shows the card upright, from the left and upper place on.
func flat(t testing.TB, l *card.Layout, w, h int, left, top, pxPerMM float64) *card.Plane {
	t.Helper()
	var spots []card.Spot
	var pixels []card.Pixel
	for i := range 4 {
		x, y := l.Width*card.Millimetres(i%2), l.Height*card.Millimetres(i/2)
		spots = append(spots, card.Spot{X: x, Y: y})
		pixels = append(pixels, card.Pixel{X: left + float64(x)*pxPerMM, Y: top + float64(y)*pxPerMM})
	}
	p, err := card.FitPlane(l, w, h, spots, pixels)
	if err != nil {
		t.Fatal(err)
	}
	return &p
}

// draw paints a card, and around it what beside gives (linear light), as a
// camera stores it, with a little noise.
func draw(l *card.Layout, ref Reference, plane *card.Plane, w, h int, cam testCamera, beside func(card.Spot) [3]float64) *image.RGBA {
	img := image.NewRGBA(image.Rect(0, 0, w, h))
	f := frameOf(l)
	paper := linearOf(ref.Lab[Paper])
	rnd := rand.New(rand.NewPCG(9, 9))
	in := func(b card.Box, s card.Spot) bool { return s.X >= b.X && s.X < b.X+b.W && s.Y >= b.Y && s.Y < b.Y+b.H }
	for y := range h {
		for x := range w {
			s, _ := plane.ToCard(card.Pixel{X: float64(x), Y: float64(y)})
			rgb := paper
			switch {
			case !in(card.Box{W: l.Width, H: l.Height}, s):
				rgb = beside(s)
			default:
				for _, t := range l.Tags {
					if in(t.Black, s) {
						rgb = [3]float64{0.03, 0.03, 0.03}
					}
				}
				for _, p := range l.Patches {
					if in(p.Box, s) {
						rgb = linearOf(ref.Lab[p.ID])
					}
				}
			}
			v := cam.stored(rgb, f.place(s))
			o := img.PixOffset(x, y)
			for c := range v {
				img.Pix[o+c] = uint8(math.Max(0, math.Min(255, math.Round(255*v[c]+0.7*rnd.NormFloat64()))))
			}
			img.Pix[o+3] = 255
		}
	}
	return img
}

func plain(lab colour.Lab) func(card.Spot) [3]float64 {
	rgb := linearOf(lab)
	return func(card.Spot) [3]float64 { return rgb }
}

// samplesOf are the samples that a camera would give, without a picture.
func samplesOf(l *card.Layout, ref Reference, cam testCamera) []Sample {
	f := frameOf(l)
	var all []Sample
	add := func(id string, k Kind, at card.Spot, lab colour.Lab) {
		v := cam.stored(linearOf(lab), f.place(at))
		s := Sample{ID: id, Kind: k, At: at, Kept: 1}
		for c := range v {
			s.Light[c] = colour.Decode(math.Round(v[c]*2550) / 2550)
			s.Clipped[c] = v[c] > 0.985 || v[c] < 0.015
		}
		all = append(all, s)
	}
	for _, p := range l.Patches {
		k := Colour
		if p.Grey {
			k = Grey
		}
		add(p.ID, k, p.Box.Middle(), ref.Lab[p.ID])
	}
	for _, b := range bare(l) {
		add("", White, b.Middle(), ref.Lab[Paper])
	}
	return all
}
