package outline

import (
	"encoding/json"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"trug/science/place"
)

func star(rng *rand.Rand, lat, lon, size float64, n int) []place.Position {
	r := make([]place.Position, n)
	for i := range r {
		sin, cos := math.Sincos(2 * math.Pi * (float64(i) + 0.8*rng.Float64()) / float64(n))
		d := size * (0.4 + 0.6*rng.Float64())
		x := lon + d*cos
		r[i] = place.Position{Lat: place.Degrees(lat + d*sin), Lon: place.Degrees(x - 360*math.Round(x/360))}
	}
	return r
}

// sameLoop reports whether b is a, from another start or the other way round,
// within half of the seventh decimal.
func sameLoop(a, b []place.Position) bool {
	near := func(p, q place.Position) bool {
		return math.Abs(float64(p.Lat-q.Lat)) <= 0.51e-7 && math.Abs(float64(p.Lon-q.Lon)) <= 0.51e-7
	}
	for range 2 {
		for k := range b {
			if slices.EqualFunc(a, append(slices.Clone(b[k:]), b[:k]...), near) {
				return true
			}
		}
		b = slices.Clone(b)
		slices.Reverse(b)
	}
	return false
}

// TestWriteGeoJSON: read back, an outline is the same rings; each follows the
// right-hand rule and is closed, RFC 7946 section 3.1.6.
func TestWriteGeoJSON(t *testing.T) {
	rng := rand.New(rand.NewPCG(41, 42))
	for range 60 {
		lat, lon := rng.Float64()*160-80, rng.Float64()*360-180
		rings := [][]place.Position{star(rng, lat, lon, 0.01, 12), star(rng, lat, lon, 0.003, 7), star(rng, lat, lon, 0.001, 5), star(rng, lat+0.1, lon, 0.01, 40)}
		rings = rings[:1+rng.IntN(4)]
		rng.Shuffle(len(rings), func(i, j int) { rings[i], rings[j] = rings[j], rings[i] })
		text := WriteGeoJSON(rings)
		back, notes, err := Read(text)
		if err != nil || len(notes) > 0 || len(back) != len(rings) {
			t.Fatalf("%s: %v, %v", text, notes, err)
		}
		for _, r := range rings {
			if !slices.ContainsFunc(back, func(b []place.Position) bool { return sameLoop(r, b) }) {
				t.Fatalf("%v is not in %s", r, text)
			}
		}
		if again := WriteGeoJSON(back); string(again) != string(text) {
			t.Errorf("%s is written again as %s", text, again)
		}
		checkRightHand(t, text)
	}
}

// checkRightHand goes by encoding/json and the shoelace formula.
func checkRightHand(t *testing.T, text []byte) {
	t.Helper()
	var g struct {
		Type        string
		Coordinates json.RawMessage
	}
	if err := json.Unmarshal(text, &g); err != nil {
		t.Fatal(err)
	}
	many := make([][][][2]float64, 1)
	var into any = &many[0]
	if g.Type == "MultiPolygon" {
		into = &many
	} else if g.Type != "Polygon" {
		t.Fatalf("the type is %q", g.Type)
	}
	if err := json.Unmarshal(g.Coordinates, into); err != nil {
		t.Fatal(err)
	}
	for _, polygon := range many {
		for i, r := range polygon {
			sum := 0.0
			for k := 1; k < len(r); k++ {
				dx := r[k][0] - r[k-1][0]
				dx -= 360 * math.Round(dx/360)
				sum -= dx * (r[k][1] + r[k-1][1] - 2*r[0][1])
			}
			if len(r) < 4 || r[0] != r[len(r)-1] || (sum > 0) != (i == 0) {
				t.Errorf("ring %d of %s", i+1, text)
			}
		}
	}
}

func TestWriteGeoJSONExactly(t *testing.T) {
	clockwise := []place.Position{{Lat: 0, Lon: 0}, {Lat: 1, Lon: -1e-9}, {Lat: 1, Lon: 1}, {Lat: 0, Lon: 1.23456789}}
	want := `{"type":"Polygon","coordinates":[[[1.2345679,0.0000000],[1.0000000,1.0000000],[0.0000000,1.0000000],[0.0000000,0.0000000],[1.2345679,0.0000000]]]}`
	if got := string(WriteGeoJSON([][]place.Position{clockwise})); got != want {
		t.Errorf("%s", got)
	}
	for name, rings := range map[string][][]place.Position{
		"nothing": nil, "off the globe": {{{Lat: 91}, {Lat: 1}, {Lat: 2}}}, "two": {{{Lat: 1}, {Lat: 2}}},
	} {
		if got := WriteGeoJSON(rings); got != nil {
			t.Errorf("%s is written as %s", name, got)
		}
	}
}

func BenchmarkReadGeoJSON10000(b *testing.B) {
	text := WriteGeoJSON([][]place.Position{star(rand.New(rand.NewPCG(1, 1)), 52, 14, 0.05, 10_000)})
	b.SetBytes(int64(len(text)))
	for b.Loop() {
		if _, _, err := Read(text); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkWriteGeoJSON10000(b *testing.B) {
	rings := [][]place.Position{star(rand.New(rand.NewPCG(1, 1)), 52, 14, 0.05, 10_000)}
	for b.Loop() {
		WriteGeoJSON(rings)
	}
}
