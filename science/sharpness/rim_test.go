package sharpness

import (
	"image"
	"image/color"
	"math"
	"math/rand/v2"
	"testing"
)

// scene is a disc before a ground, as a lens draws it: the disc and how much of
// the ground it covers blurred by one spread, the ground by another. A hand that
// moves draws all of it along a length.
type scene struct {
	disc, ground   float64 // spreads, pixels
	length, angle  float64 // pixels, degrees
	noise          float64 // of 8-bit values
	leaves, shadow bool    // the ground is of sharp dark and light patches; half the disc lies in a soft shadow
	radius         float64
	seed           uint64
}

const side = 420

// way is where the hand's way leads, in equal steps.
func (s scene) way() []Point {
	sin, cos := math.Sincos(s.angle * math.Pi / 180)
	out := make([]Point, 1+int(2*s.length))
	for i := range out {
		if len(out) > 1 {
			t := s.length * (float64(i)/float64(len(out)-1) - .5)
			out[i] = Point{t * cos, t * sin}
		}
	}
	return out
}

// covered is how much of the ground the disc covers at a place: the integral of a
// Gaussian across its rim, and its mean along the hand's way.
func (s scene) covered(x, y float64, way []Point) float64 {
	sum := 0.
	for _, t := range way {
		sum += step((s.radius - math.Hypot(x+t.X-side/2, y+t.Y-side/2)) / (s.disc * math.Sqrt2))
	}
	return sum / float64(len(way))
}

// patch is how wide a patch of the ground is, pixels; drawn is how much of a pixel
// the patches round it take up along one axis, from two before its own to two
// behind.
const patch = 14

func (s scene) drawn() (out [side][5]float64) {
	for v := range out {
		for i := range out[v] {
			c := math.Floor(float64(v)/patch) + float64(i-2)
			out[v][i] = .5 * (math.Erf((float64(v)-c*patch)/(s.ground*math.Sqrt2)) - math.Erf((float64(v)-(c+1)*patch)/(s.ground*math.Sqrt2)))
		}
	}
	return out
}

func (s scene) draw() *image.RGBA {
	r := rand.New(rand.NewPCG(s.seed, 2))
	// Patches whose borders are drawn out by the ground's own spread.
	var tones [40][40]float64
	for i := range tones {
		for j := range tones[i] {
			tones[i][j] = .04 + .16*r.Float64()
		}
	}
	parts, way := s.drawn(), s.way()
	ground := func(x, y int) float64 {
		if !s.leaves {
			return .06
		}
		sum, all := 0., 0.
		for i, px := range parts[x] {
			for j, py := range parts[y] {
				w := px * py
				sum += w * tones[(x/patch+i+38)%40][(y/patch+j+38)%40]
				all += w
			}
		}
		return sum / all
	}
	img := image.NewRGBA(image.Rect(0, 0, side, side))
	for y := range side {
		for x := range side {
			a, own := s.covered(float64(x), float64(y), way), .45
			if s.shadow {
				own *= .65 + .35*math.Erf(float64(x-y/3-110)/22)
			}
			v := a * own
			if a < 1 {
				v += (1 - a) * ground(x, y)
			}
			g := uint8(min(max(255*code(v)+s.noise*r.NormFloat64()+.5, 0), 255))
			img.SetRGBA(x, y, color.RGBA{g, g, g, 255})
		}
	}
	return img
}

// round is an outline about the disc, off by some pixels here and there.
func (s scene) round(off float64) []Point {
	line := make([]Point, 128)
	for k := range line {
		t := 2 * math.Pi * float64(k) / float64(len(line))
		r := s.radius + off*math.Cos(3*t+1)
		line[k] = Point{side/2 + r*math.Cos(t), side/2 + r*math.Sin(t)}
	}
	return line
}

func (s scene) read(img *image.RGBA, line []Point) Reading {
	in := func(x, y int) bool { return math.Hypot(float64(x)-side/2, float64(y)-side/2) < s.radius }
	r := int(s.radius) + 1
	return ReadThing(img, image.Rect(side/2-r, side/2-r, side/2+r, side/2+r), line, 2*s.radius, in)
}

// The spread of a step drawn with one is known, whatever lies behind.
func TestRimOfKnownBlur(t *testing.T) {
	for i, sigma := range []float64{.6, .9, 1.3, 2, 3, 5, 7} {
		for _, s := range []scene{
			{noise: 0},
			{noise: 3},
			{noise: 2, shadow: true},
			{noise: 2, leaves: true, ground: .6},
			{noise: 2, leaves: true, ground: 4},
		} {
			s.disc, s.radius, s.seed = sigma, 120, uint64(i)
			got := s.read(s.draw(), s.round(2))
			allowed := .1
			if s.leaves && sigma > 4 {
				allowed = .2 // as wide as the patches, whose borders then steepen the rim
			}
			if !got.Known || math.Abs(got.Blur-sigma) > allowed*sigma+.1 {
				t.Errorf("%+v: read %.2f", s, got.Blur)
			}
			if got.Moved {
				t.Errorf("%+v: the hand is said to have moved (%.2f, %.2f)", s, got.Along, got.Across)
			}
		}
	}
}

// What lies behind and is sharp shines through a blurred rim: it is not the thing's.
func TestGroundThatShinesThrough(t *testing.T) {
	for seed := range uint64(6) {
		s := scene{disc: 8, ground: .6, leaves: true, noise: 2, radius: 110, seed: seed}
		img := s.draw()
		if got := s.read(img, s.round(0)); !got.Known || got.Blur < 5.5 || got.Blur > 10.5 {
			t.Errorf("seed %d: read %.2f, want 8", seed, got.Blur)
		}
	}
}

// A hand that moves by a length smears by a twelfth of its square along its way.
func TestHandThatMovedAlongALength(t *testing.T) {
	for i, length := range []float64{6, 9, 13} {
		for _, angle := range []float64{0, 35, 120} {
			s := scene{disc: 1.1, length: length, angle: angle, noise: 2, leaves: i == 1, ground: 1, radius: 120, seed: uint64(i)}
			got := s.read(s.draw(), s.round(1))
			if off := math.Abs(math.Mod(got.Direction-angle+270, 180) - 90); !got.Moved || off > 12 {
				t.Errorf("%.0f px at %.0f: moved %v at %.0f (along %.2f, across %.2f)", length, angle, got.Moved, got.Direction, got.Along, got.Across)
			}
			if want := math.Sqrt(1.1*1.1 + length*length/24); math.Abs(got.Blur-want) > .15*want {
				t.Errorf("%.0f px at %.0f: blur %.2f, want %.2f", length, angle, got.Blur, want)
			}
		}
	}
}

// A length is found again from the spread that it makes of another.
func TestMovementIsFoundAgain(t *testing.T) {
	for _, spread := range []float64{.4, 1, 2} {
		for _, length := range []float64{2, 5, 8} {
			seen := spreadOf(dragged(spread, length, 0), 0, 1, 0)
			if got := movement(spread, seen, 0, 1); math.Abs(got-length) > .1*length+.2 {
				t.Errorf("%.1f px of a spread of %.1f: found %.2f", length, spread, got)
			}
		}
		// None at all is the profile that everything else is fitted with.
		if got := spreadOf(dragged(spread, 0, 0), 0, 1, 0); math.Abs(got-spread) > .03 {
			t.Errorf("a step of %.1f that nobody moved is read as %.2f", spread, got)
		}
	}
}

// A photograph that is turned, mirrored or darker is as sharp as it was.
func TestTurnedAndDarkerIsAsSharp(t *testing.T) {
	s := scene{disc: 1.6, ground: 1, leaves: true, noise: 1, radius: 130, seed: 9}
	img, line := s.draw(), s.round(2)
	was := s.read(img, line)
	turned, mirrored, darker := image.NewRGBA(img.Rect), image.NewRGBA(img.Rect), image.NewRGBA(img.Rect)
	for y := range side {
		for x := range side {
			c := img.RGBAAt(x, y)
			turned.SetRGBA(side-1-y, x, c)
			mirrored.SetRGBA(side-1-x, y, c)
			g := uint8(255*code(.5*float64(linear[c.R])) + .5)
			darker.SetRGBA(x, y, color.RGBA{g, g, g, 255})
		}
	}
	var round, back []Point
	for _, p := range line {
		round, back = append(round, Point{side - 1 - p.Y, p.X}), append(back, Point{side - 1 - p.X, p.Y})
	}
	for name, got := range map[string]Reading{"turned": s.read(turned, round), "mirrored": s.read(mirrored, back), "darker": s.read(darker, line)} {
		if !got.Known || math.Abs(got.Blur-was.Blur) > .06*was.Blur {
			t.Errorf("%s: %.2f, and was %.2f", name, got.Blur, was.Blur)
		}
	}
}

// An outline that goes round far more than the thing finds no rim: the edges
// within say how sharp it is.
func TestOutlineRoundTooMuch(t *testing.T) {
	s := scene{disc: 1, ground: 1, noise: 1, radius: 80, seed: 3}
	img := s.draw()
	wide := s
	wide.radius = 150
	if got := wide.read(img, wide.round(5)); !got.Known || math.Abs(got.Blur-1) > .25 {
		t.Errorf("read %.2f, want 1", got.Blur)
	}
}

// Half of a thing may lie beyond the picture, and an outline may be none.
func TestOddOutlines(t *testing.T) {
	s := scene{disc: 1.2, ground: 1, noise: 1, radius: 120, seed: 4}
	img := s.draw()
	cut := img.SubImage(image.Rect(0, 0, side, side/2)).(*image.RGBA)
	if got := s.read(cut, s.round(1)); !got.Known || math.Abs(got.Blur-1.2) > .3 {
		t.Errorf("cut in half: read %.2f, want 1.2", got.Blur)
	}
	odd := [][]Point{nil, {}, {{1, 1}}, {{5, 5}, {5, 5}, {5, 5}}, {{-900, -900}, {4000, -900}, {4000, 4000}}, {{1e9, 0}, {0, 1e9}, {3, 3}}}
	for _, line := range odd {
		s.read(img, line)
		for _, r := range []image.Rectangle{{}, image.Rect(0, 0, 1, 1), image.Rect(0, 0, 9, 400), image.Rect(3, 5, 40, 44)} {
			s.read(img.SubImage(r).(*image.RGBA), line)
			s.read(img.SubImage(r).(*image.RGBA), s.round(1))
		}
	}
	flat, noise := image.NewRGBA(img.Rect), scene{disc: 1, noise: 6, radius: 1, seed: 5}.draw()
	if got := s.read(noise, s.round(0)); got.Known {
		t.Errorf("noise alone is read as a rim: %+v", got)
	}
	if got := s.read(flat, s.round(0)); got.Known {
		t.Errorf("nothing is read as something: %+v", got)
	}
}

func BenchmarkReadThing(b *testing.B) {
	s := scene{disc: 1.2, ground: 1, noise: 2, leaves: true, radius: 150, seed: 1}
	img, line := s.draw(), s.round(1)
	for b.Loop() {
		s.read(img, line)
	}
}
