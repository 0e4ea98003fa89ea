package place

import (
	"math"
	"testing"
)

func mustArea(t *testing.T, outlines ...[]Position) Area {
	t.Helper()
	a, err := NewArea(outlines...)
	if err != nil {
		t.Fatal(err)
	}
	return a
}

func box(south, west, north, east Degrees) []Position {
	return []Position{{south, west}, {south, east}, {north, east}, {north, west}}
}

// TestAreaOfCell: for a cell of a degree grid centroid and radius are known
// from generalisation-cells.csv (GeodSolve): 0.01 degree at 51.7 N, 655.0 m.
func TestAreaOfCell(t *testing.T) {
	a := mustArea(t, box(51.7, -1.33, 51.71, -1.32))
	near(t, "lat", a.Centroid().Lat, 51.705, 1e-6)
	near(t, "lon", a.Centroid().Lon, -1.325, 1e-12)
	near(t, "radius", a.Radius(), 655.0, 0.1)
	if b := a.Bounds(); b != (Box{51.7, -1.33, 51.71, -1.32}) {
		t.Errorf("bounds are %+v", b)
	}
}

func TestAreaWithHole(t *testing.T) {
	a := mustArea(t, box(50, 10, 51, 12), box(50.25, 10.25, 50.75, 10.75))
	for p, want := range map[Position]bool{
		{50.5, 11.5}: true, {50.5, 10.5}: false, {50.1, 10.1}: true, {52, 11}: false, {50.5, 370 - 360}: true, {50.5, 9.999}: false,
	} {
		if a.Contains(p) != want {
			t.Errorf("Contains(%v) is %v", p, !want)
		}
	}
	// The hole weighs 1/8 and its middle lies half a degree west: by moments
	// the centroid moves east by 0.5/8/(7/8) of a degree.
	near(t, "lon", a.Centroid().Lon, 11+0.5/7.0, 1e-3)
	// The hole drawn the other way round changes nothing.
	hole := box(50.25, 10.25, 50.75, 10.75)
	for i, j := 0, len(hole)-1; i < j; i, j = i+1, j-1 {
		hole[i], hole[j] = hole[j], hole[i]
	}
	near(t, "lon", mustArea(t, box(50, 10, 51, 12), hole).Centroid().Lon, a.Centroid().Lon, 1e-12)
}

func TestAreaOverDateLine(t *testing.T) {
	a := mustArea(t, box(-17.1, 179.9, -16.9, -179.9), box(-17.05, -179.85, -16.95, -179.8))
	for p, want := range map[Position]bool{
		{-17, 180}: true, {-17, -180}: true, {-17, 179.95}: true, {-17, -179.95}: true, {-17, 0}: false, {-17, -179.82}: true, {-17, 179.8}: false,
	} {
		if a.Contains(p) != want {
			t.Errorf("Contains(%v) is %v", p, !want)
		}
	}
	if b := a.Bounds(); math.Abs(float64(b.West-179.9)) > 1e-9 || math.Abs(float64(b.East+179.8)) > 1e-9 {
		t.Errorf("bounds are %+v", b)
	}
	if a.Radius() > 30_000 {
		t.Errorf("radius is %v", a.Radius())
	}
}

// TestAreasShareNoBorder: each point of a grid of neighbours lies in one area.
func TestAreasShareNoBorder(t *testing.T) {
	areas := []Area{mustArea(t, box(0, 0, 1, 1)), mustArea(t, box(0, 1, 1, 2)), mustArea(t, box(1, 0, 2, 1)), mustArea(t, box(1, 1, 2, 2))}
	for _, p := range []Position{{1, 1}, {0.5, 1}, {1, 0.5}, {1, 1.5}, {0, 0}, {0.3, 0.7}} {
		count := 0
		for _, a := range areas {
			if a.Contains(p) {
				count++
			}
		}
		if count != 1 {
			t.Errorf("%v lies in %d areas", p, count)
		}
	}
}

func TestAreaErrors(t *testing.T) {
	for name, outlines := range map[string][][]Position{
		"none":    {},
		"two":     {{{0, 0}, {1, 1}, {0, 0}}},
		"line":    {{{0, 0}, {0, 1}, {0, 2}}},
		"invalid": {{{0, 0}, {91, 1}, {0, 2}}},
		"pole":    {{{80, 0}, {80, 120}, {80, -120}}},
	} {
		if _, err := NewArea(outlines...); err == nil {
			t.Errorf("%s: no error", name)
		}
	}
}
