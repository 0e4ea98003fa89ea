package place

import (
	"math"
	"math/rand/v2"
	"slices"
	"strconv"
	"strings"
	"testing"
)

// wktRing reads "POLYGON((lon lat, …))" of the table.
func wktRing(t *testing.T, text string) []Position {
	t.Helper()
	var r []Position
	for _, pair := range strings.Split(strings.Trim(text, "POLYGN()"), ",") {
		f := strings.Fields(pair)
		lon, err1 := strconv.ParseFloat(f[0], 64)
		lat, err2 := strconv.ParseFloat(f[1], 64)
		if err1 != nil || err2 != nil {
			t.Fatalf("%q is no position", pair)
		}
		r = append(r, Position{Degrees(lat), Degrees(lon)})
	}
	return r
}

// TestSurfaceOfTable: Planimeter 2.1.2, see testdata/SOURCES.md. Its edges are
// geodesics, ours straight in latitude and longitude, which shows in the large
// triangle only: 0.1 % there, 0.01 % elsewhere.
func TestSurfaceOfTable(t *testing.T) {
	for _, r := range readTable(t, "polygon-area.csv") {
		ring := wktRing(t, r["wkt_lon_lat"])
		want := r.float(t, "area_m2_counterclockwise_positive")
		tolerance := 1e-4
		if strings.HasPrefix(r["name"], "Karney") {
			tolerance = 1e-3
		}
		got := SurfaceOf([][]Position{ring})
		t.Logf("%s: %.1f m², relative difference %.1e", r["name"], float64(got), float64(got)/math.Abs(want)-1)
		near(t, r["name"], got, Metres2(math.Abs(want)), Metres2(tolerance*math.Abs(want)))
		unwrapped, err := newRing(ring)
		if err != nil {
			t.Fatal(err)
		}
		near(t, r["name"]+", signed", unwrapped.surface(), want, tolerance*math.Abs(want))
		near(t, r["name"]+", perimeter", PerimeterOf([][]Position{ring}), Metres(r.float(t, "perimeter_m")), 0.002)
	}
}

// TestSurfaceOfGlobe: the ellipsoid's whole surface is 510,065,621,724,088.44 m²
// (4πc² of Karney 2013, https://doi.org/10.1007/s00190-012-0578-z; the figure
// is from memory, and c = 6371007.1809 m gives it to eleven digits); an eighth of it is a triangle with a corner at the pole.
func TestSurfaceOfGlobe(t *testing.T) {
	octant := []Position{{0, 0}, {0, 45}, {0, 90}, {90, 90}, {90, 0}}
	near(t, "octant", SurfaceOf([][]Position{octant}), 510_065_621_724_088.44/8, 1)
}

// TestLengthOf: GeodSolve 2.1.2, see testdata/SOURCES.md; the test geodesics of
// Karney 2013 go through Distance in geodesic_test.go.
func TestLengthOf(t *testing.T) {
	var line []Position
	want := 0.0
	for _, r := range readTable(t, "geodesic-field.csv") {
		leg := []Position{r.position(t, "lat1", "lon1"), r.position(t, "lat2", "lon2")}
		near(t, r["name"], LengthOf(leg), Metres(r.float(t, "s12_m")), 0.001)
		line = append(line, leg[0], leg[1], leg[0])
		want += 2 * r.float(t, "s12_m")
		if n := len(line); n > 3 {
			want += float64(Distance(line[n-4], line[n-3]))
		}
	}
	near(t, "all of them there and back", LengthOf(line), Metres(want), 0.05)
	if LengthOf(nil) != 0 || LengthOf(line[:1]) != 0 || PerimeterOf(nil) != 0 {
		t.Error("no line has a length")
	}
	if x := LengthOf([]Position{{91, 0}, {0, 0}}); !math.IsNaN(float64(x)) {
		t.Errorf("a line from latitude 91 is %v m long", x)
	}
}

// star is a ring without crossings: n vertices round a centre, near and far.
func star(rng *rand.Rand, centre Position, size float64, n int) []Position {
	r := make([]Position, n)
	for i := range r {
		sin, cos := math.Sincos(2 * math.Pi * (float64(i) + 0.8*rng.Float64()) / float64(n))
		d := size * (0.4 + 0.6*rng.Float64())
		r[i] = Position{centre.Lat + Degrees(d*sin), Degrees(wrapLon(float64(centre.Lon) + d*cos))}
	}
	return r
}

func turnedBy(r []Position, k int) []Position { return append(slices.Clone(r[k:]), r[:k]...) }

// TestSurfaceDoesNotDependOnDrawing: start, direction, closing position, and
// the side of the date line make no difference; a shift in longitude none either.
func TestSurfaceDoesNotDependOnDrawing(t *testing.T) {
	rng := rand.New(rand.NewPCG(5, 6))
	for range 100 {
		centre := Position{Degrees(rng.Float64()*160 - 80), Degrees(rng.Float64()*360 - 180)}
		r := star(rng, centre, math.Pow(10, -4+4*rng.Float64()), 3+rng.IntN(30))
		want := SurfaceOf([][]Position{r})
		if !(want > 0) {
			t.Fatalf("a star of %d points holds %v m²", len(r), want)
		}
		reversed, moved := slices.Clone(r), slices.Clone(r)
		slices.Reverse(reversed)
		for i := range moved {
			moved[i].Lon = Degrees(wrapLon(float64(moved[i].Lon + 180)))
		}
		for name, other := range map[string][]Position{
			"turned": turnedBy(r, rng.IntN(len(r))), "reversed": reversed, "closed": append(slices.Clone(r), r[0]), "moved": moved,
		} {
			near(t, name, SurfaceOf([][]Position{other}), want, want*1e-8+1e-6)
		}
	}
}

// TestSurfaceCutInTwo: a cut along a straight line leaves the sum as it was,
// and a hole takes away what it would hold by itself.
func TestSurfaceCutInTwo(t *testing.T) {
	rng := rand.New(rand.NewPCG(7, 8))
	for range 100 {
		r := star(rng, Position{52, 14}, 0.05, 12)
		k := 2 + rng.IntN(9)
		// All vertices see the centre, so that a cut through it crosses nothing.
		centre := Position{52, 14}
		one := append(slices.Clone(r[:k+1]), centre)
		two := append(slices.Clone(r[k:]), r[0], centre)
		whole := SurfaceOf([][]Position{r})
		near(t, "cut", SurfaceOf([][]Position{one})+SurfaceOf([][]Position{two}), whole, whole*1e-9)
		hole := star(rng, centre, 0.01, 8)
		near(t, "hole", SurfaceOf([][]Position{hole, r}), whole-SurfaceOf([][]Position{hole}), whole*1e-9)
		island := star(rng, centre, 0.003, 5)
		near(t, "island", SurfaceOf([][]Position{hole, r, island}),
			whole-SurfaceOf([][]Position{hole})+SurfaceOf([][]Position{island}), whole*1e-9)
	}
}

func TestSurfaceOfUnusable(t *testing.T) {
	for name, rings := range map[string][][]Position{
		"off the globe": {{{0, 0}, {91, 1}, {0, 2}}}, "two": {{{0, 0}, {1, 1}}}, "pole": {{{80, 0}, {80, 120}, {80, -120}}},
	} {
		if s := SurfaceOf(rings); !math.IsNaN(float64(s)) {
			t.Errorf("%s holds %v m²", name, s)
		}
	}
	if s := SurfaceOf(nil); s != 0 {
		t.Errorf("nothing holds %v m²", s)
	}
}

func BenchmarkSurfaceOf10000(b *testing.B) {
	r := [][]Position{star(rand.New(rand.NewPCG(1, 1)), Position{52, 14}, 0.05, 10_000)}
	for b.Loop() {
		SurfaceOf(r)
	}
}
