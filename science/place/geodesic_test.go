package place

import (
	"math"
	"testing"

	"math/rand/v2"
)

// TestDistanceFieldCases: GeodSolve 2.1.2, see testdata/SOURCES.md.
func TestDistanceFieldCases(t *testing.T) {
	for _, r := range readTable(t, "geodesic-field.csv") {
		p, q := r.position(t, "lat1", "lon1"), r.position(t, "lat2", "lon2")
		near(t, r["name"], Distance(p, q), Metres(r.float(t, "s12_m")), 0.001)
		near(t, r["name"]+" back", Distance(q, p), Metres(r.float(t, "s12_m")), 0.001)
	}
}

// TestDistanceGlobalCases: GeographicLib's own test geodesics (Karney 2013).
// Some of them run through more than 180 degrees of written longitude.
func TestDistanceGlobalCases(t *testing.T) {
	for _, r := range readTable(t, "geodesic-inverse.csv") {
		p, q := r.position(t, "lat1", "lon1"), r.position(t, "lat2", "lon2")
		q.Lon = Degrees(wrapLon(float64(q.Lon)))
		want := Metres(r.float(t, "s12_m"))
		near(t, "row "+r["lat1"], Distance(p, q), want, 0.001)
		near(t, "bisection, row "+r["lat1"], Metres(antipodalDistance(p, q)), want, 1e-5)
	}
}

// TestMethodsAgree compares the two methods on random pairs, short and long:
// each is the other's check.
func TestMethodsAgree(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 2))
	for range 300 {
		p := Position{Degrees(rng.Float64()*178 - 89), Degrees(rng.Float64()*360 - 180)}
		reach := math.Pow(10, rng.Float64()*7-5)
		q := Position{
			Degrees(math.Max(-90, math.Min(90, float64(p.Lat)+reach*(rng.Float64()-0.5)))),
			Degrees(wrapLon(float64(p.Lon) + reach*(rng.Float64()-0.5))),
		}
		if s, ok := vincenty(p, q); ok {
			near(t, "distance", s, antipodalDistance(p, q), 0.001)
		}
	}
}

// TestDistanceNearAntipode: no pair may be without an answer, and none can be
// farther apart than half a meridian, 20,003,931.4586 m.
func TestDistanceNearAntipode(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 4))
	for range 500 {
		p := Position{Degrees(rng.Float64()*180 - 90), Degrees(rng.Float64()*360 - 180)}
		q := Position{-p.Lat + Degrees(rng.Float64()-0.5)*0.2, Degrees(wrapLon(float64(p.Lon) + 180 + (rng.Float64()-0.5)*2))}
		q.Lat = max(-90, min(90, q.Lat))
		if d := Distance(p, q); !(d > 19_900_000 && d < 20_003_931.4587) {
			t.Errorf("Distance(%v, %v) = %f", p, q, float64(d))
		}
	}
}

func TestDistanceOfInvalid(t *testing.T) {
	if d := Distance(Position{Lat: 91}, Position{}); !math.IsNaN(float64(d)) {
		t.Errorf("distance from latitude 91 is %v", d)
	}
}

func BenchmarkDistance(b *testing.B) {
	p, q := Position{51.751236, -1.320712}, Position{51.759, -1.31}
	for b.Loop() {
		Distance(p, q)
	}
}

func BenchmarkDistanceAntipode(b *testing.B) {
	p, q := Position{0.5, 0}, Position{-0.5, 179.7}
	for b.Loop() {
		Distance(p, q)
	}
}
