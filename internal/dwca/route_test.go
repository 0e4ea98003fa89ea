package dwca

import (
	"strings"
	"testing"

	"trug/science/place"
)

// TestCheckRoute goes through examples of well-known text: the polygon is that
// of the definition of dwc:footprintWKT, the others follow the examples of
// OGC 06-103r4, section 7.2.6 (from memory) with coordinates on the earth.
func TestCheckRoute(t *testing.T) {
	for _, good := range []string{
		"POLYGON ((10 20, 11 20, 11 21, 10 21, 10 20))",
		"LINESTRING(10 10,20 20,30 40)", "linestring ( -10.5 1e1 , 20 +20 )",
		"MULTILINESTRING ((10 10, 20 20), (15 15, 30 15))",
		"POLYGON ((0 0, 9 0, 9 9, 0 9, 0 0), (2 2, 3 2, 3 3, 2 2))",
		"MULTIPOLYGON (((10 10, 10 20, 20 20, 20 15, 10 10)), ((60 60, 70 70, 80 60, 60 60)))",
	} {
		if err := CheckRoute(good); err != nil {
			t.Errorf("%s: %v", good, err)
		}
	}
	for bad, want := range map[string]string{
		"": "not well-known text", "oak hanger": "not well-known text", "LINESTRING EMPTY": "not well-known text",
		"POINT (10 20)": "can't be", "LINESTRING Z (1 2 3, 4 5 6)": "can't be", "GEOMETRYCOLLECTION (POINT (1 2))": "can't be",
		"LINESTRING (10 20)": "1 points are too few", "LINESTRING (10 20, 11)": "a number is missing",
		"LINESTRING (1 2 3, 4 5 6)": "comma or bracket", "LINESTRING (10,20, 11,21)": "a number is missing",
		"LINESTRING (10 20, 11 21": "comma or bracket", "LINESTRING (10 20, 11 21) x": "behind the route",
		"LINESTRING (10 95, 11 21)": "latitude 95", "LINESTRING (190 10, 11 21)": "longitude 190",
		"LINESTRING ((1 2, 3 4))": "a number is missing", "LINESTRING (NaN 2, 3 4)": "a number is missing",
		"MULTILINESTRING (1 2, 3 4)": "a bracket is missing", "MULTILINESTRING ((1 2, 3 4)": "comma or bracket",
		"POLYGON ((0 0, 1 0, 0 0))": "too few", "POLYGON ((0 0, 1 0, 1 1, 0 1))": "not closed",
	} {
		err := CheckRoute(bad)
		if err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%q gives %v, which does not hold %q", bad, err, want)
		}
	}
}

// TestRoute holds that a line is written longitude first, and passes.
func TestRoute(t *testing.T) {
	line := []place.Position{{Lat: 50.01, Lon: -20.2}, {Lat: 50.0112345678, Lon: -20.20100000001}, {Lat: -1e-9, Lon: 180}}
	got := Route(line)
	if want := "LINESTRING (-20.2 50.01, -20.201 50.0112346, 180 0)"; got != want {
		t.Errorf("the route is %q, not %q", got, want)
	}
	if err := CheckRoute(got); err != nil {
		t.Error(err)
	}
	if got := Route(line[:1]); got != "" {
		t.Errorf("a point is the route %q", got)
	}
}

func FuzzCheckRoute(f *testing.F) {
	for _, s := range []string{"LINESTRING (1 2, 3 4)", "POLYGON((0 0,1 0,1 1,0 0))", "MULTIPOLYGON (((0 0, 1 0, 1 1, 0 0)))", "LINESTRING (1e999 2", "(", "POLYGON ((0 0"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		if CheckRoute(s) != nil {
			return
		}
		if strings.Trim(strings.ToUpper(s), "LINESTRGUPOYMK ().,+-0123456789") != "" || strings.Count(s, "(") != strings.Count(s, ")") {
			t.Errorf("%q passes", s)
		}
		for _, same := range []string{strings.ToUpper(s), " " + strings.ReplaceAll(s, ",", " , ") + " "} {
			if err := CheckRoute(same); err != nil {
				t.Errorf("%q passes and %q does not: %v", s, same, err)
			}
		}
	})
}
