package place

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"
)

// TestUTMAgainstGeoConvert: GeoConvert 2.1.2, see testdata/SOURCES.md. The two
// polar rows are on the polar grid, which is not offered: they must say so.
func TestUTMAgainstGeoConvert(t *testing.T) {
	for _, r := range readTable(t, "utm-mgrs.csv") {
		p := r.position(t, "lat", "lon")
		u, grid, err := ToUTM(p)
		if strings.HasPrefix(r["name"], "UPS") {
			if err == nil || !strings.Contains(err.Error(), "80° S to 84° N") {
				t.Errorf("%s: want an error that names the limits, got %v", r["name"], err)
			}
			continue
		}
		if err != nil {
			t.Errorf("%s: %v", r["name"], err)
			continue
		}
		hemisphere := "s"
		if u.North {
			hemisphere = "n"
		}
		if got := fmt.Sprintf("%02d%s", u.Zone, hemisphere); got != r["utm_zone_hemisphere"] {
			t.Errorf("%s: zone %s, want %s", r["name"], got, r["utm_zone_hemisphere"])
		}
		near(t, r["name"]+" easting", u.Easting, Metres(r.float(t, "easting_m")), 0.001)
		near(t, r["name"]+" northing", u.Northing, Metres(r.float(t, "northing_m")), 0.001)
		near(t, r["name"]+" convergence", grid.Convergence, Degrees(r.float(t, "convergence_deg")), 1e-8)
		near(t, r["name"]+" scale", grid.Scale, r.float(t, "scale"), 1e-10)
		for column, side := range map[string]Metres{"mgrs_1m": 1, "mgrs_100m": 100, "mgrs_1km": 1000} {
			if got, err := MGRS(p, side); err != nil || got != r[column] {
				t.Errorf("%s: %s is %s (%v), want %s", r["name"], column, got, err, r[column])
			}
		}
		s, err := SquareOf(p, 100)
		if err != nil {
			t.Fatal(err)
		}
		var lat, lon Degrees
		fmt.Sscan(r["centre_of_mgrs_100m_lat_lon"], &lat, &lon)
		near(t, r["name"]+" centre lat", s.Centre().Lat, lat, 1.1e-9)
		near(t, r["name"]+" centre lon", s.Centre().Lon, lon, 1.1e-9)
	}
}

// TestUTMRoundTrip: there and back within a micrometre, all over the grid.
func TestUTMRoundTrip(t *testing.T) {
	rng := rand.New(rand.NewPCG(5, 6))
	for range 5000 {
		p := Position{Degrees(rng.Float64()*164 - 80), Degrees(rng.Float64()*360 - 180)}
		u, _, err := ToUTM(p)
		if err != nil {
			t.Fatal(err)
		}
		back, err := u.Position()
		if err != nil {
			t.Fatal(err)
		}
		if d := Distance(p, back); !(d < 1e-6) {
			t.Fatalf("%v came back as %v, %g m away", p, back, float64(d))
		}
	}
}

// TestZones walks the rules at their borders (NGA.SIG.0012, section 7).
func TestZones(t *testing.T) {
	for _, c := range []struct {
		lat, lon Degrees
		zone     int
	}{
		{0, -180, 1}, {0, 180, 1}, {0, 179.999, 60}, {0, 0, 31}, {0, -0.001, 30},
		{55.999, 5, 31}, {56, 5, 32}, {56, 2.999, 31}, {63.999, 3, 32}, {64, 5, 31}, {60, 12, 33},
		{71.999, 8, 32}, {72, 8.999, 31}, {72, 9, 33}, {80, 20.999, 33}, {80, 21, 35},
		{80, 32.999, 35}, {80, 33, 37}, {84, 41.999, 37}, {80, 42, 38}, {80, -0.001, 30},
	} {
		if zone, err := Zone(Position{c.lat, c.lon}); err != nil || zone != c.zone {
			t.Errorf("%v %v: zone %d (%v), want %d", c.lat, c.lon, zone, err, c.zone)
		}
	}
}

func TestUTMRefusesNonsense(t *testing.T) {
	for _, u := range []UTM{
		{Zone: 0, Easting: 5e5}, {Zone: 61, Easting: 5e5}, {Zone: 31, Easting: -1},
		{Zone: 31, Easting: Metres(math.NaN())}, {Zone: 31, Easting: 5e5, Northing: 1e7 + 1},
	} {
		if p, err := u.Position(); err == nil {
			t.Errorf("%+v became %v", u, p)
		}
	}
	if _, err := MGRS(Position{}, 50); err == nil {
		t.Error("a resolution of 50 m was taken")
	}
}

func TestSquares(t *testing.T) {
	p := Position{51.751236, -1.320712} // 615918.099 E 5734704.792 N in 30
	for side, name := range map[Metres]string{100: "30U 6159 57347", 1000: "30U 615 5734", 10_000: "30U 61 573"} {
		s, err := SquareOf(p, side)
		if err != nil || s.Name() != name {
			t.Errorf("square of %v m is %q (%v), want %q", side, s.Name(), err, name)
		}
		back, err := ParseSquare(name)
		if err != nil || back != s {
			t.Errorf("ParseSquare(%q) = %+v, %v; want %+v", name, back, err, s)
		}
		// Half the diagonal, by Darwin Core 71 m for 100 m (rounded up).
		half := side * math.Sqrt2 / 2
		if u := s.Uncertainty(); u < half*0.999 || u > half*1.001 {
			t.Errorf("uncertainty of a square of %v m is %v, want about %v", side, u, half)
		}
		if inner, err := SquareOf(s.Centre(), side); err != nil || inner != s {
			t.Errorf("the centre of %v lies in %v (%v)", s, inner, err)
		}
		corners, outline := s.Corners(), s.Outline(4)
		if len(outline) != 16 || outline[0] != corners[0] || outline[8] != corners[2] {
			t.Errorf("outline of %v does not pass its corners", s)
		}
	}
	if s, _ := SquareOf(p, 100); math.Ceil(float64(s.Uncertainty())) != 71 {
		t.Errorf("uncertainty of 100 m is %v, want 71 rounded up", s.Uncertainty())
	}
	if _, err := SquareOf(p, 500); err == nil {
		t.Error("a side of 500 m was taken")
	}
}

func TestParseSquareErrors(t *testing.T) {
	for _, name := range []string{"", "30U", "30U 615", "30I 615 5734", "61U 615 5734", "30U 615 573", "30U 6x5 5734", "30C 615 5734", "30U -15 5734"} {
		if s, err := ParseSquare(name); err == nil {
			t.Errorf("ParseSquare(%q) = %+v", name, s)
		}
	}
}

// TestSquareNamesRoundTrip: every name leads back to its square, south too.
func TestSquareNamesRoundTrip(t *testing.T) {
	rng := rand.New(rand.NewPCG(7, 8))
	for range 2000 {
		p := Position{Degrees(rng.Float64()*164 - 80), Degrees(rng.Float64()*360 - 180)}
		side := []Metres{100, 1000, 10_000}[rng.IntN(3)]
		s, err := SquareOf(p, side)
		if err != nil {
			t.Fatal(err)
		}
		if back, err := ParseSquare(s.Name()); err != nil || back != s {
			t.Fatalf("%v: %q came back as %+v (%v)", p, s.Name(), back, err)
		}
		if d := Distance(p, s.Centre()); d > s.Uncertainty()+1e-6 {
			t.Fatalf("%v lies %v from the centre of %v, beyond its uncertainty %v", p, d, s, s.Uncertainty())
		}
	}
}

func FuzzParseSquare(f *testing.F) {
	f.Add("27U 583 5382")
	f.Add("1C 1 1")
	f.Fuzz(func(t *testing.T, name string) {
		if s, err := ParseSquare(name); err == nil && checkSide(s.Side) != nil {
			t.Errorf("%q gave %+v", name, s)
		}
	})
}

func BenchmarkSquareOf(b *testing.B) {
	p := Position{51.751236, -1.320712}
	for b.Loop() {
		if _, err := SquareOf(p, 1000); err != nil {
			b.Fatal(err)
		}
	}
}
