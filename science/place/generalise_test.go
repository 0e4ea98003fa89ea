package place

import (
	"math"
	"math/rand/v2"
	"testing"
)

// TestPrecisionUncertainty: the table of Chapman & Wieczorek 2020, which claims
// to round up but sometimes rounds to nearest (hence 1 m), and its formula.
func TestPrecisionUncertainty(t *testing.T) {
	for _, r := range readTable(t, "coordinate-precision.csv") {
		got := PrecisionUncertainty(Degrees(r.float(t, "latitude")), Degrees(r.float(t, "precision_degrees")))
		what := r["precision"] + " at " + r["latitude"]
		near(t, what, got, Metres(r.float(t, "uncertainty_m_computed")), 0.002)
		near(t, what+" as published", got, Metres(r.float(t, "published_uncertainty_m_rounded_up")), 1)
	}
}

// TestGeneralisationCells: radii by GeodSolve 2.1.2, see testdata/SOURCES.md.
func TestGeneralisationCells(t *testing.T) {
	for _, r := range readTable(t, "generalisation-cells.csv") {
		category := Category(r.float(t, "category"))
		size, err := category.CellSize()
		if err != nil || float64(size) != r.float(t, "cell_degrees") {
			t.Fatalf("category %d has cell %v (%v)", category, size, err)
		}
		south := Degrees(r.float(t, "south_edge_latitude"))
		what := r["category"] + " at " + r["south_edge_latitude"]
		if r["category"] == "1" && r["south_edge_latitude"] == "51.7" {
			continue // a cell of whole degrees cannot begin at 51.7
		}
		// A quarter of a cell inside, and exactly on the south-west corner.
		for _, p := range []Position{{south + size/4, size / 4}, {south, 0}} {
			centre, radius, err := Generalise(p, category)
			if err != nil {
				t.Fatal(err)
			}
			near(t, what+" centre", centre.Lat, Degrees(r.float(t, "centre_latitude")), 1e-12)
			near(t, what+" radius", radius, Metres(r.float(t, "radius_from_centre_m")), 0.051)
			cell, err := GridCell(p, size)
			if err != nil {
				t.Fatal(err)
			}
			c := cell.Corners()
			fromCorner := max(Distance(c[0], c[1]), Distance(c[0], c[2]), Distance(c[0], c[3]))
			near(t, what+" from corner", fromCorner, Metres(r.float(t, "radius_from_sw_corner_m")), 0.051)
			near(t, what+" height", Distance(c[0], c[3]), Metres(r.float(t, "north_south_m")), 0.051)
			near(t, what+" width", Distance(c[0], c[1]), Metres(r.float(t, "south_edge_east_west_m")), 0.051)
		}
	}
}

// TestGeneraliseKeepsNothing: coarsened positions are identical or far apart;
// coarsening twice changes nothing; the true place lies within the radius.
func TestGeneraliseKeepsNothing(t *testing.T) {
	rng := rand.New(rand.NewPCG(9, 10))
	for range 2000 {
		category := Category(1 + rng.IntN(4))
		size, _ := category.CellSize()
		p := Position{Degrees(rng.Float64()*180 - 90), Degrees(rng.Float64()*360 - 180)}
		centre, radius, err := Generalise(p, category)
		if err != nil {
			t.Fatal(err)
		}
		if again, _, err := Generalise(centre, category); err != nil || again != centre {
			t.Fatalf("%v coarsened to %v, then to %v (%v)", p, centre, again, err)
		}
		if d := Distance(p, centre); d > radius+1e-6 {
			t.Fatalf("%v lies %v from %v, beyond the radius %v", p, d, centre, radius)
		}
		q := Position{max(-90, min(90, p.Lat+size*Degrees(rng.Float64()-0.5))), p.Lon}
		other, _, err := Generalise(q, category)
		if err != nil {
			t.Fatal(err)
		}
		if gap := math.Abs(float64(other.Lat - centre.Lat)); gap != 0 && gap < float64(size)*0.999 {
			t.Fatalf("%v and %v coarsen to %v and %v", p, q, centre, other)
		}
	}
}

func TestGridCellEdges(t *testing.T) {
	for _, c := range []struct{ in, centre Position }{
		{Position{0.29, 0}, Position{0.295, 0.005}}, // 0.29 × 100 = 28.999…
		{Position{90, 180}, Position{89.995, -179.995}},
		{Position{-90, -180}, Position{-89.995, -179.995}},
		{Position{-0.001, -0.001}, Position{-0.005, -0.005}},
	} {
		cell, err := GridCell(c.in, 0.01)
		if err != nil || cell.Centre() != c.centre {
			t.Errorf("cell of %v has centre %v (%v), want %v", c.in, cell.Centre(), err, c.centre)
		}
	}
	for _, step := range []Degrees{0, -1, 0.3, 7, Degrees(math.NaN()), Degrees(math.Inf(1))} {
		if _, err := GridCell(Position{}, step); err == nil {
			t.Errorf("a step of %v was taken", step)
		}
	}
	if _, _, err := Generalise(Position{}, 5); err == nil {
		t.Error("category 5 was taken")
	}
	if _, _, err := Generalise(Position{Lat: 91}, High); err == nil {
		t.Error("latitude 91 was taken")
	}
}
