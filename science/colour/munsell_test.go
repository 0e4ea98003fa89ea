package colour

import (
	"math"
	"math/rand/v2"
	"slices"
	"strconv"
	"testing"
)

func hueApart(a, b float64) float64 {
	d := math.Abs(wrapHue(a) - wrapHue(b))
	return math.Min(d, 100-d)
}

// TestMunsellWorkedRows: table 2 of Centore's paper. One point, listed twice, lies
// beyond the real colours, where published methods differ by more than a step of
// chroma; it is left out.
func TestMunsellWorkedRows(t *testing.T) {
	seen := 0
	for _, r := range readTable(t, "munsell_worked_xyY_to_HVC.csv") {
		v := r.floats(t, "x", "y", "Y")
		if v == [3]float64{0.3434, 0.3025, 80.84} {
			continue
		}
		seen++
		x, y, light := v[0], v[1], v[2]/100
		got := XYZ{x / y * light, light, (1 - x - y) / y * light}.Lab(C).Munsell(C)
		want, err := ParseMunsell(r["munsell_centore_2011"])
		if err != nil {
			t.Fatal(err)
		}
		if math.Abs(got.Value-want.Value) > 0.05 || math.Abs(got.Chroma-want.Chroma) > 0.2 ||
			want.Chroma > 0 && hueApart(got.Hue, want.Hue) > 0.5 {
			t.Errorf("%v: %.3f %.3f %.3f, want %s (hue %.2f)", v, got.Hue, got.Value, got.Chroma, r["munsell_centore_2011"], want.Hue)
		}
	}
	if seen != 25 {
		t.Errorf("%d rows, want 25", seen)
	}
}

// TestRenotationRows: each real colour of the renotation comes out as its own
// notation, and back.
func TestRenotationRows(t *testing.T) {
	for _, r := range readTable(t, "munsell_renotation_real.csv") {
		v := r.floats(t, "x", "y", "Y")
		want, err := ParseMunsell(r["H"] + " " + r["V"] + "/" + r["C"])
		if err != nil {
			t.Fatal(err)
		}
		// The published Y is rounded and relative to magnesium oxide; the value
		// is what the row is a row of.
		light := Luminance(want.Value)
		// Two rows differ between RIT's two files. Those of all.dat, which this
		// package holds, lie between their neighbours; these do not.
		if row := r["H"] + " " + r["V"] + "/" + r["C"]; row == "10Y 4/2" || row == "2.5R 9/2" {
			continue
		}
		if d := math.Abs(light*100/0.975 - v[2]); d > 0.002*v[2]+0.005 {
			t.Errorf("%v: Y %.4f, published %.4f", want, light*100/0.975, v[2])
		}
		lab := XYZ{v[0] / v[1] * light, light, (1 - v[0] - v[1]) / v[1] * light}.Lab(C)
		made := want.LabC()
		near(t, want.String(), [3]float64{made.L, made.A, made.B}, [3]float64{lab.L, lab.A, lab.B}, 1e-9)
		got := lab.Munsell(C)
		if math.Abs(got.Value-want.Value) > 1e-6 || math.Abs(got.Chroma-want.Chroma) > 1e-6 || hueApart(got.Hue, want.Hue) > 1e-6 {
			t.Errorf("%v came back as %v (%.6f %.6f)", want, got, got.Hue, got.Chroma)
		}
	}
}

// TestMunsellOfEveryScreenColour: the notation of colours all over Display P3
// (which holds sRGB) leads back to the colour.
func TestMunsellOfEveryScreenColour(t *testing.T) {
	worst := 0.0
	check := func(r, g, b float64) {
		lab := FromDisplayP3(Decode(r), Decode(g), Decode(b)).Lab(D65)
		m := lab.Munsell(D65)
		if !(m.Hue >= 0 && m.Hue <= 100 && m.Value >= 0 && m.Value <= 10 && m.Chroma >= 0) {
			t.Fatalf("%g %g %g: %+v", r, g, b, m)
		}
		back := m.Lab(D65)
		d := math.Max(math.Abs(back.L-lab.L), math.Max(math.Abs(back.A-lab.A), math.Abs(back.B-lab.B)))
		if d > 1e-6 {
			t.Errorf("%.3f %.3f %.3f: %+v is %v, came back as %v", r, g, b, lab, m, back)
		}
		worst = math.Max(worst, d)
	}
	const n = 16
	for i := range n * n * n {
		check(float64(i%n)/(n-1), float64(i/n%n)/(n-1), float64(i/n/n)/(n-1))
	}
	rnd := rand.New(rand.NewPCG(1, 2))
	for range 20000 {
		check(rnd.Float64(), rnd.Float64(), rnd.Float64())
	}
	t.Logf("largest difference %.2g", worst)
}

// TestValue: the polynomial at the published whole values (Newhall, Nickerson &
// Judd 1943, relative to magnesium oxide), and its inverse.
func TestValue(t *testing.T) {
	for v, y := range map[float64]float64{1: 1.21, 2: 3.126, 3: 6.555, 4: 12.00, 5: 19.77, 6: 30.05, 7: 43.06, 8: 59.10, 9: 78.66, 10: 102.57} {
		if got := Luminance(v) / 0.975 * 100; math.Abs(got-y) > 0.03 {
			t.Errorf("value %g: Y %.3f, want %.3f", v, got, y)
		}
	}
	for i := range 1001 {
		v := float64(i) / 100
		if back := ValueOf(Luminance(v)); math.Abs(back-v) > 1e-11 {
			t.Fatalf("value %g came back as %.15g", v, back)
		}
	}
	if ValueOf(-1) != 0 || ValueOf(math.NaN()) != 0 {
		t.Error("no light has a value")
	}
}

// TestCentroids: the centroid of each block lies in it, also after the way
// through CIELAB; and its CIELAB agrees with another implementation's.
func TestCentroids(t *testing.T) {
	rows := readTable(t, "iscc_nbs_names.csv")
	if len(rows) != 267 || len(Blocks()) != 267 {
		t.Fatalf("%d names, %d blocks, want 267", len(rows), len(Blocks()))
	}
	for i, r := range rows {
		b := Blocks()[i]
		if r["number"] != strconv.Itoa(b.Number) || r["name"] != b.Name || r["level2_name"] != b.Middle || r["level1_name"] != b.Broad {
			t.Errorf("row %d: %+v", i, b)
		}
		if got := b.Centroid.Block(); got.Number != b.Number {
			t.Errorf("the centroid of %d %s lies in %d %s", b.Number, b.Name, got.Number, got.Name)
		}
		for _, white := range []XYZ{C, D65, D50} {
			if got := b.Centroid.Lab(white).Block(white); got.Number != b.Number {
				t.Errorf("%d %s comes back from CIELAB as %d %s", b.Number, b.Name, got.Number, got.Name)
			}
		}
		lab := b.Centroid.Lab(D65)
		// That one puts hues between two rays on an arc, not on the chord, and its
		// copy of the table has 2.5R 9/2 otherwise (see TestRenotationRows).
		if d := Difference(lab, r.lab(t, "L_D65", "a_D65", "b_D65")); d > 0.25 {
			t.Errorf("%d %s: %v is %.2f from the other implementation", b.Number, b.Name, lab, d)
		}
	}
}

// TestEachColourHasOneBlock: boxes neither overlap nor leave gaps.
func TestEachColourHasOneBlock(t *testing.T) {
	rnd := rand.New(rand.NewPCG(3, 4))
	in := func(m Munsell) int {
		n := 0
		for _, b := range naming().boxes {
			if m.Hue >= b.hue[0] && m.Hue < b.hue[1] && m.Value >= b.value[0] && m.Value < b.value[1] && m.Chroma >= b.chroma[0] && m.Chroma < b.chroma[1] {
				n++
			}
		}
		return n
	}
	for range 10000 {
		m := Munsell{1 + 100*rnd.Float64(), 10 * rnd.Float64(), 30 * rnd.Float64() * rnd.Float64()}
		if n := in(m); n != 1 {
			t.Fatalf("%+v lies in %d blocks", m, n)
		}
	}
	for _, b := range naming().boxes {
		at := Munsell{b.hue[0], b.value[0], b.chroma[0]}
		if n := in(at); n != 1 || at.Block().Number != b.number {
			t.Errorf("the lower corner of %+v lies in %d blocks, is named %d", b, n, at.Block().Number)
		}
	}
	// The circle of hues is closed: 1R is 101.
	for _, v := range []float64{1, 4, 7, 9} {
		low, wrapped := Munsell{1, v, 8}.Block(), Munsell{101, v, 8}.Block()
		if low.Number != wrapped.Number {
			t.Errorf("value %g: hue 1 is %s, hue 101 is %s", v, low.Name, wrapped.Name)
		}
		if a, b := (Munsell{0.5, v, 8}).Block(), (Munsell{100.5, v, 8}).Block(); a.Number != b.Number {
			t.Errorf("value %g: hue 0.5 is %s, hue 100.5 is %s", v, a.Name, b.Name)
		}
	}
}

// TestLevels: 29 middle and 13 broad names (NBS SP440).
func TestLevels(t *testing.T) {
	middle, broad := map[string]bool{}, map[string]bool{}
	for _, b := range Blocks() {
		middle[b.Middle], broad[b.Broad] = true, true
	}
	if len(middle) != 29 || len(broad) != 13 {
		t.Errorf("%d middle and %d broad names, want 29 and 13", len(middle), len(broad))
	}
}

func TestMunsellNotation(t *testing.T) {
	for text, want := range map[string]Munsell{
		"5R 4/14": {5, 4, 14}, "10RP 5/2": {100, 5, 2}, " 7.5yr 4.5/3 ": {17.5, 4.5, 3}, "N5": {0, 5, 0},
		"N 5/": {0, 5, 0}, "N 9.25/0": {0, 9.25, 0}, "0.5R 6/1": {0.5, 6, 1}, "10R 5/4": {10, 5, 4}, "0YR 5/4": {10, 5, 4},
	} {
		if got, err := ParseMunsell(text); err != nil || got != want {
			t.Errorf("%q: %+v, %v; want %+v", text, got, err, want)
		}
	}
	for _, text := range []string{"", "N", "5 5/4", "5X 5/4", "11R 5/4", "5R 5", "5R 11/4", "5R NaN/4", "N 5/2", "5R 5/-1", "R", "NN5/"} {
		if m, err := ParseMunsell(text); err == nil {
			t.Errorf("%q was read as %+v", text, m)
		}
	}
	for want, m := range map[string]Munsell{"10.0R 5.0/4.0": {9.98, 5, 4}, "10.0RP 5.0/4.0": {0.01, 5, 4}, "N 5.0/": {30, 5, 0.01}} {
		if got := m.String(); got != want {
			t.Errorf("%+v is written %q, want %q", m, got, want)
		}
	}
}

func FuzzParseMunsell(f *testing.F) {
	for _, s := range []string{"5R 4/14", "N 5/", "10RP 5/2", "7.5YR 1e1/3", "RP", "N/", "5R/5/5"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		m, err := ParseMunsell(s)
		if err != nil {
			return
		}
		again, err := ParseMunsell(m.String())
		if err != nil {
			t.Fatalf("%q was written as %q: %v", s, m, err)
		}
		if math.Abs(again.Value-m.Value) > 0.051 || math.Abs(again.Chroma-m.Chroma) > 0.051 ||
			again.Chroma > 0 && hueApart(again.Hue, m.Hue) > 0.051 {
			t.Fatalf("%q came back as %+v, was %+v", s, again, m)
		}
		if n := m.Block().Number; n < 1 || n > 267 {
			t.Fatalf("%q lies in block %d", s, n)
		}
	})
}

// FuzzMunsellOfLab: whatever the numbers, there is an answer in range.
func FuzzMunsellOfLab(f *testing.F) {
	f.Add(50.0, 20.0, 30.0)
	f.Add(0.0, 0.0, 0.0)
	f.Add(99.9, -100.0, 100.0)
	f.Add(2.0, 90.0, -110.0)
	f.Fuzz(func(t *testing.T, l, a, b float64) {
		m := Lab{l, a, b}.Munsell(D65)
		sane := l >= 0 && l <= 100 && math.Abs(a) < 130 && math.Abs(b) < 130
		if sane && !(m.Hue >= 0 && m.Hue <= 100 && m.Value >= 0 && m.Value <= 10 && m.Chroma >= 0) {
			t.Fatalf("%g %g %g: %+v", l, a, b, m)
		}
		m.Block()
	})
}

// TestRidgway: the table is whole, each swatch is nearest to itself, and names of
// the colour's own block are preferred.
func TestRidgway(t *testing.T) {
	all := RidgwayNames()
	if len(all) != 1117 {
		t.Fatalf("%d names, want 1117", len(all))
	}
	without := 0
	for _, r := range all {
		if len(r.Blocks) == 0 {
			without++
		}
		for _, b := range r.Blocks {
			if b < 1 || b > 267 {
				t.Errorf("%s: block %d", r.Name, b)
			}
		}
	}
	if without != 31 {
		t.Errorf("%d names without a block, want 31", without)
	}
	for _, r := range all[:60] {
		block := r.Lab.Block(D65).Number
		near := r.Lab.NearestRidgway(3)
		if slices.Contains(r.Blocks, block) && near[0].Distance != 0 {
			t.Errorf("%s: nearest is %s at %.2f", r.Name, near[0].Name, near[0].Distance)
		}
		if len(near) != 3 {
			t.Errorf("%s: %d names", r.Name, len(near))
		}
	}
	if got := len((Lab{50, 0, 0}).NearestRidgway(-1)); got != 0 {
		t.Errorf("%d names, want none", got)
	}
}

func BenchmarkMunsellOfLab(b *testing.B) {
	rnd := rand.New(rand.NewPCG(5, 6))
	var colours [256]Lab
	for i := range colours {
		colours[i] = LabOfSRGB8(uint8(rnd.IntN(256)), uint8(rnd.IntN(256)), uint8(rnd.IntN(256)))
	}
	i := 0
	for b.Loop() {
		colours[i%256].Munsell(D65)
		i++
	}
}

func BenchmarkBlockOfMunsell(b *testing.B) {
	m := Munsell{17.3, 4.6, 3.2}
	for b.Loop() {
		m.Block()
	}
}
