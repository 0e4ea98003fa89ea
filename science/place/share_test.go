package place_test

import (
	"math"
	"testing"

	"trug/science/place"
)

// box is a rectangle in degrees.
func boxRing(south, west, north, east place.Degrees) []place.Position {
	return []place.Position{{Lat: south, Lon: west}, {Lat: south, Lon: east}, {Lat: north, Lon: east}, {Lat: north, Lon: west}}
}

// Shares that follow from the shapes: no source is needed but the drawing.
func TestShareWithin(t *testing.T) {
	sea := [][]place.Position{boxRing(48, -21, 49, -20)}
	rings := func(r ...[]place.Position) [][]place.Position { return r }
	for name, c := range map[string]struct {
		rings  [][]place.Position
		others [][]place.Position
		margin place.Metres
		want   float64
	}{
		"all of it":             {rings(boxRing(48.4, -20.6, 48.6, -20.4)), sea, 0, 1},
		"none":                  {rings(boxRing(48.4, -19.6, 48.6, -19.4)), sea, 0, 0},
		"half":                  {rings(boxRing(48.4, -20.1, 48.6, -19.9)), sea, 0, 0.5},
		"a quarter":             {rings(boxRing(48.4, -20.1, 48.6, -19.7)), sea, 0, 0.25},
		"half of a triangle":    {rings([]place.Position{{Lat: 48.4, Lon: -20.2}, {Lat: 48.4, Lon: -19.8}, {Lat: 48.6, Lon: -20}}), sea, 0, 0.5},
		"with a hole on land":   {rings(boxRing(48.4, -20.2, 48.6, -19.8), boxRing(48.45, -19.9, 48.55, -19.8)), sea, 0, 0.02 / (0.08 - 0.01) * 2},
		"the sea has an island": {rings(boxRing(48.4, -20.6, 48.6, -20.4)), rings(sea[0], boxRing(48.4, -20.6, 48.6, -20.5)), 0, 0.5},
		// 0.1 of a degree of longitude is 7.4 km at 48.5 degrees; the margin takes half of it.
		"but for a margin":   {rings(boxRing(48.4, -20.1, 48.6, -20)), sea, 3687, 0.5},
		"over the date line": {rings(boxRing(10, 179, 11, -179)), rings(boxRing(9, 180, 12, -178)), 0, 0.5},
		"no area at all":     {rings(boxRing(48, -20, 48, -20)), sea, 0, 0},
		"no sea at all":      {rings(boxRing(48.4, -20.6, 48.6, -20.4)), nil, 0, 0},
	} {
		if got := place.ShareWithin(c.rings, c.others, c.margin); math.Abs(got-c.want) > 0.011 {
			t.Errorf("%s: %.3f, want %.3f", name, got, c.want)
		}
	}
}
