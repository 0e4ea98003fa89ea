package card

import (
	"encoding/json"
	"math"
	"os"
	"reflect"
	"testing"
)

// tilted is a plane with a projection and a lens of its own.
func tilted(t *testing.T) (*Layout, Plane) {
	t.Helper()
	l, err := LayoutByID("pocket")
	if err != nil {
		t.Fatal(err)
	}
	p := newPlane(l, 4000, 3000)
	for i := range planeParams {
		for j := range planeParams {
			p.cov[i][j] = 1e-6 / float64(1+i+j) // symmetric
		}
	}
	if !p.set([planeParams]float64{310, 22, 1700, -15, 290, 1600, .03, -.11, .02}) {
		t.Fatal("no plane")
	}
	return l, p
}

// A plane that is kept as numbers, through JSON, is the same plane again.
func TestPlaneNumbersRoundTrip(t *testing.T) {
	l, p := tilted(t)
	raw, err := json.Marshal(p.Numbers())
	if err != nil {
		t.Fatal(err)
	}
	var n PlaneNumbers
	if err := json.Unmarshal(raw, &n); err != nil {
		t.Fatal(err)
	}
	got, err := PlaneOf(l, 4000, 3000, n)
	if err != nil || !reflect.DeepEqual(got, p) {
		t.Errorf("came back as %+v, want %+v (%v)", got, p, err)
	}
	for name, bad := range map[string]PlaneNumbers{"nothing": {}, "too few": {Shape: n.Shape[:8], Spread: n.Spread}, "no spread": {Shape: n.Shape}, "no plane": {Shape: make([]float64, 9), Spread: n.Spread}} {
		if _, err := PlaneOf(l, 4000, 3000, bad); err == nil {
			t.Errorf("%s made a plane", name)
		}
	}
}

// The browser reckons with the same numbers: plane.json, which its test reads
// too, holds what this package says.
func TestBrowserPlaneIsOurs(t *testing.T) {
	_, p := tilted(t)
	m := p.Maths()
	type point struct{ Spot, Image [2]float64 }
	want := struct {
		Plane  map[string]any
		Points []point
	}{Plane: map[string]any{"h": p.h[:], "midX": m.Mid.X, "midY": m.Mid.Y, "unit": m.Unit, "centreX": m.Centre.X, "centreY": m.Centre.Y, "radius": m.Radius}}
	for _, s := range []Spot{{0, 0}, {90, 60}, {45, 30}, {-80, 130}, {210, -40}} {
		q := p.ToImage(s)
		want.Points = append(want.Points, point{[2]float64{float64(s.X), float64(s.Y)}, [2]float64{math.Round(q.X*1e9) / 1e9, math.Round(q.Y*1e9) / 1e9}})
	}
	raw, err := json.MarshalIndent(want, "", " ")
	if err != nil {
		t.Fatal(err)
	}
	raw = append(raw, '\n')
	const path = "../../internal/web/ui/src/api/plane.json"
	have, err := os.ReadFile(path)
	if err != nil || string(have) != string(raw) {
		if os.Getenv("TRUG_WRITE") != "" {
			err = os.WriteFile(path, raw, 0o644)
		}
		t.Errorf("%s is not what the plane gives: set TRUG_WRITE=1 to write it (%v)", path, err)
	}
}
