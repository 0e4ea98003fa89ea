package colour

import (
	"math"
	"math/rand/v2"
	"strings"
	"testing"
)

// draw gives a colour from the normal distribution that a spread describes.
func draw(rnd *rand.Rand, middle Lab, s Spread) Lab {
	d := s.root().Apply([3]float64{rnd.NormFloat64(), rnd.NormFloat64(), rnd.NormFloat64()})
	return Lab{middle.L + d[0], middle.A + d[1], middle.B + d[2]}
}

var tilted = Spread{{4, 1, -1}, {1, 9, 3}, {-1, 3, 6}}

// TestRegionHolds95: by drawing.
func TestRegionHolds95(t *testing.T) {
	rnd := rand.New(rand.NewPCG(1, 1))
	middle := Lab{55, 12, 30}
	in, n := 0, 40000
	for range n {
		if ok, _ := tilted.Holds(middle, draw(rnd, middle, tilted)); ok {
			in++
		}
	}
	// Four standard errors.
	if share := float64(in) / float64(n); math.Abs(share-0.95) > 4*math.Sqrt(0.95*0.05/float64(n)) {
		t.Errorf("the 95 %% region holds %.4f", share)
	}
	if in, r := (Spread{}).Holds(middle, Lab{55, 12, 31}); in || !math.IsInf(r, 1) {
		t.Error("a spread of nothing holds another colour")
	}
	if in, r := (Spread{}).Holds(middle, middle); !in || r != 0 {
		t.Error("a colour does not hold itself")
	}
}

// TestGiveOrTake: against drawing, and in the plane case of greys along L.
func TestGiveOrTake(t *testing.T) {
	rnd := rand.New(rand.NewPCG(2, 1))
	middle := Lab{55, 12, 30}
	within := tilted.GiveOrTake(middle)
	in, n := 0, 40000
	for range n {
		if Difference(middle, draw(rnd, middle, tilted)) <= within {
			in++
		}
	}
	if share := float64(in) / float64(n); math.Abs(share-0.95) > 0.015 {
		t.Errorf("%.2f holds %.3f", within, share)
	}
}

// TestNameWithin: a colour in the middle of its block has one name, on a border
// two, with a large uncertainty a coarse one; shares agree with drawing.
func TestNameWithin(t *testing.T) {
	brown := Blocks()[57-1] // light brown
	middle := brown.Centroid.Lab(D65)
	if got := middle.NameWithin(RoundSpread(0.1), D65).String(); got != "light brown" {
		t.Errorf("the centroid is named %q", got)
	}
	// Straight towards the next block until the name changes: there both are given.
	next := Blocks()[77-1].Centroid.Lab(D65) // moderate yellowish brown
	border := middle
	for k := range 1001 {
		f := float64(k) / 1000
		border = Lab{middle.L + f*(next.L-middle.L), middle.A + f*(next.A-middle.A), middle.B + f*(next.B-middle.B)}
		if border.Block(D65).Number != 57 {
			break
		}
	}
	got := border.NameWithin(RoundSpread(0.3), D65).String()
	if !strings.HasPrefix(got, "between ") || !strings.Contains(got, "light brown") {
		t.Errorf("on the border: %q", got)
	}
	wide := middle.NameWithin(RoundSpread(6), D65)
	if name := wide.String(); strings.Contains(name, "light brown") || !strings.Contains(name, "brown") {
		t.Errorf("with a wide spread: %q", name)
	}
	if hopeless := middle.NameWithin(RoundSpread(60), D65).String(); !strings.Contains(hopeless, "too uncertain") {
		t.Errorf("with no knowledge: %q", hopeless)
	}
	rnd := rand.New(rand.NewPCG(3, 1))
	s := tilted
	named := border.NameWithin(s, D65)
	drawn := map[int]float64{}
	const n = 20000
	for range n {
		drawn[draw(rnd, border, s).Block(D65).Number] += 1.0 / n
	}
	for _, c := range named.Shares {
		if math.Abs(c.Share-drawn[c.Block.Number]) > 0.06 {
			t.Errorf("%s: share %.2f, by drawing %.2f", c.Block.Name, c.Share, drawn[c.Block.Number])
		}
	}
}

// TestShells: the radii are the chi-square quantiles that their comment says.
func TestShells(t *testing.T) {
	// P(|x| <= r) for the normal distribution in three dimensions.
	p := func(r float64) float64 {
		return math.Erf(r/math.Sqrt2) - math.Sqrt(2/math.Pi)*r*math.Exp(-r*r/2)
	}
	for k, r := range shells {
		if got := p(r); math.Abs(got-(float64(k)+0.5)/10) > 1e-4 {
			t.Errorf("shell %d: %.5f", k, got)
		}
	}
	if got := p(math.Sqrt(region95)); math.Abs(got-0.95) > 1e-6 {
		t.Errorf("the region holds %.7f", got)
	}
}

// TestChange: invented colours; the words are what a person would say.
func TestChange(t *testing.T) {
	small := RoundSpread(0.5)
	for _, c := range []struct {
		what          string
		before, after Lab
		want          string
	}{
		{"a yellow flesh goes blue", Lab{85, -2, 35}, Lab{50, -8, -15}, "strongly darker and bluer"},
		{"white flesh reddens", Lab{90, 0, 5}, Lab{75, 22, 15}, "strongly darker and redder"},
		{"a cap dries out", Lab{45, 12, 25}, Lab{52, 12, 25}, "clearly lighter"},
		{"nothing", Lab{60, 5, 20}, Lab{60.1, 5.2, 20.1}, "no change that can be told from the uncertainty"},
		{"a drop turns it green", Lab{60, 10, 30}, Lab{58, -20, 25}, "strongly greener"},
		{"yellowing", Lab{88, 0, 6}, Lab{86, 0, 40}, "strongly yellower"},
		{"it pales to grey", Lab{60, 20, 30}, Lab{60, 4, 6}, "strongly duller"},
	} {
		got := ChangeBetween(c.before, c.after, small, small)
		if got.Words != c.want {
			t.Errorf("%s: %q, want %q (%.1f)", c.what, got.Words, c.want, got.Difference)
		}
	}
	if big := ChangeBetween(Lab{60, 5, 20}, Lab{66, 9, 24}, RoundSpread(4), RoundSpread(4)); big.Sure {
		t.Errorf("a change within the uncertainty is told as sure: %+v", big)
	}
}

func BenchmarkNameWithin(b *testing.B) {
	c, s := Lab{55, 12, 30}, RoundSpread(2)
	for b.Loop() {
		_ = c.NameWithin(s, D65).String()
	}
}
