package outline

import (
	"strings"
	"testing"
	"unicode/utf8"

	"trug/science/place"
)

func seeds(f *testing.F) {
	line := `{"type":"LineString","coordinates":[[14.5,46.05,300],[14.51,46.05]]}`
	for _, text := range []string{
		"", "{", "<", "\xff\xfe", "{}", "[1]", polygon(ringA), polygon(ringA + "," + ringB), polygon("[[1e999,2]]"), polygon("[[],[null]]"),
		line, collection(feature("a", line), feature("b", polygon(ringA)), feature("c", "null")),
		`{"type":"MultiPolygon","coordinates":[[` + ringA + `],[` + ringB + `]]}`, `{"type":"MultiLineString","coordinates":[[[14,46],[14.1,46]],[[14.1,46]]]}`,
		`{"type":"GeometryCollection","geometries":[` + polygon(ringA) + `]}`, `{"\"}":"\\","type":"Polygon","crs":{"properties":{"name":"x"}}}`,
		gpxOf("1.1", track("Edge", closedWalk)), gpxOf("1.0", track("Edge", almost, openWalk)), gpxOf("1.1", "<rte><rtept lat='1' lon='2'/></rte><wpt/>"),
		"<gpx><trk><trkseg><trkpt lat='1'", "<!DOCTYPE a><gpx/>", "<gpx><trk><name>a</name><name>b<c/>d</name></trk></gpx>",
	} {
		f.Add([]byte(text))
	}
}

// checkSentence: whatever comes in, what is said of it is one readable line.
func checkSentence(t *testing.T, text string) {
	t.Helper()
	if text == "" || len(text) > 1000 || !utf8.ValidString(text) || strings.ContainsAny(text, "\n\x00") || strings.Contains(text, "%!") {
		t.Errorf("%q is no sentence", text)
	}
}

func checkAnswer(t *testing.T, line []place.Position, notes []string) {
	t.Helper()
	for _, p := range line {
		if err := p.Valid(); err != nil {
			t.Error(err)
		}
	}
	for _, n := range notes {
		checkSentence(t, n)
	}
}

// FuzzRead: an outline that is read can be checked, measured, simplified and
// written, and reads back as itself.
func FuzzRead(f *testing.F) {
	seeds(f)
	f.Fuzz(func(t *testing.T, data []byte) {
		rings, notes, err := Read(data)
		if err != nil {
			checkSentence(t, err.Error())
			return
		}
		for _, r := range rings {
			checkAnswer(t, r, notes)
			if len(r) < 3 {
				t.Errorf("a ring has %d points", len(r))
			}
		}
		faults := place.CheckOutline(rings)
		for _, fault := range faults {
			checkSentence(t, fault.Text)
		}
		if s := place.SurfaceOf(rings); s < 0 {
			t.Errorf("the outline holds %v m²", s)
		}
		if simple := place.SimplifyRings(rings, 10); len(simple) != len(rings) {
			t.Errorf("%d rings became %d", len(rings), len(simple))
		}
		text := WriteGeoJSON(rings)
		for _, fault := range faults {
			if !fault.Note {
				return
			}
		}
		back, _, err := Read(text)
		if err != nil || len(back) != len(rings) {
			t.Errorf("%s: %d rings became %d, %v", text, len(rings), len(back), err)
		}
	})
}

func FuzzReadRoute(f *testing.F) {
	seeds(f)
	f.Fuzz(func(t *testing.T, data []byte) {
		line, notes, err := ReadRoute(data)
		if err != nil {
			checkSentence(t, err.Error())
			return
		}
		if len(line) < 2 {
			t.Errorf("the route has %d points", len(line))
		}
		checkAnswer(t, line, notes)
		if l := place.LengthOf(line); !(l >= 0) {
			t.Errorf("the route is %v m long", l)
		}
	})
}
