package place

import (
	"math/rand/v2"
	"testing"
)

// TestPolygons: land, hole, island in the hole and other land are told apart in
// whatever order and direction they come, by RFC 7946, section 3.1.6.
func TestPolygons(t *testing.T) {
	rng := rand.New(rand.NewPCG(31, 32))
	centre := Position{10, -180}
	rings := [][]Position{
		star(rng, centre, 0.01, 9), star(rng, centre, 0.1, 9), star(rng, centre, 0.001, 9), star(rng, Position{10.5, -180}, 0.1, 9),
	}
	for range 30 {
		var mixed [][]Position
		for _, i := range rng.Perm(4) {
			r := turnedBy(rings[i], rng.IntN(9))
			if rng.IntN(2) == 0 {
				r = append(r, r[0])
			}
			mixed = append(mixed, r)
		}
		polygons, err := Polygons(mixed)
		if err != nil || len(polygons) != 3 {
			t.Fatalf("%d polygons, %v", len(polygons), err)
		}
		for _, p := range polygons {
			outer, err := newRing(p.Outer)
			if err != nil || len(outer) != 9 || !(outer.surface() > 0) {
				t.Errorf("the outer ring holds %v m², %v", outer.surface(), err)
			}
			want := 0
			if SurfaceOf([][]Position{p.Outer}) > SurfaceOf(rings[:1])*20 && p.Outer[0].Lat < 10.3 {
				want = 1
			}
			if len(p.Holes) != want {
				t.Errorf("%d holes, not %d", len(p.Holes), want)
			}
			for _, h := range p.Holes {
				if r, err := newRing(h); err != nil || !(r.surface() < 0) {
					t.Errorf("the hole holds %v m², %v", r.surface(), err)
				}
			}
		}
	}
	if _, err := Polygons(nil); err == nil {
		t.Error("nothing is a polygon")
	}
}
