package outline

import (
	"fmt"
	"strings"
	"testing"

	"trug/science/place"
)

const (
	ringA = `[[14.5,46.05],[14.51,46.05],[14.51,46.06],[14.5,46.06],[14.5,46.05]]`
	ringB = `[[14.503,46.053],[14.503,46.055],[14.505,46.055],[14.503,46.053]]`
)

func polygon(rings string) string { return `{"type":"Polygon","coordinates":[` + rings + `]}` }

func feature(name, geometry string) string {
	return `{"type":"Feature","properties":{"n":null,"name":"` + name + `"},"geometry":` + geometry + `}`
}

func collection(features ...string) string {
	return `{"type":"FeatureCollection","features":[` + strings.Join(features, ",") + `]}`
}

// gpxOf writes a file as receivers do; body is what lies in <gpx>.
func gpxOf(version, body string) string {
	return `<?xml version="1.0" encoding="UTF-8"?>
<gpx version="` + version + `" creator="receiver" xmlns="http://www.topografix.com/GPX/` + strings.ReplaceAll(version, ".", "/") + `">
<metadata><name>not this</name><bounds minlat="46" minlon="14" maxlat="47" maxlon="15"/></metadata>` + body + `</gpx>`
}

// track writes points given as "lat lon" with height and time.
func track(name string, segments ...string) string {
	s := "<trk><name>" + name + "</name>"
	for _, seg := range segments {
		s += "<trkseg>"
		for _, p := range strings.Split(seg, ",") {
			f := strings.Fields(p)
			s += fmt.Sprintf(`<trkpt lat="%s" lon="%s"><ele>312.4</ele><time>2026-10-03T09:00:00Z</time><extensions><a:b xmlns:a="x"><trkpt lat="0" lon="0"/></a:b></extensions></trkpt>`, f[0], f[1])
		}
		s += "</trkseg>"
	}
	return s + "</trk>"
}

const (
	closedWalk = "46.05 14.5,46.05 14.51,46.06 14.51,46.06 14.5,46.05 14.5"
	almost     = "46.05 14.5,46.05 14.51,46.06 14.51,46.06 14.5,46.0501 14.5" // 11 m short
	openWalk   = "46.05 14.5,46.05 14.51,46.06 14.51,46.06 14.5"              // 1.1 km short
)

var squareA = []place.Position{{Lat: 46.05, Lon: 14.5}, {Lat: 46.05, Lon: 14.51}, {Lat: 46.06, Lon: 14.51}, {Lat: 46.06, Lon: 14.5}}

// TestRead: what the files say, by RFC 7946 and the schema of GPX 1.1.
func TestRead(t *testing.T) {
	for name, c := range map[string]struct {
		text         string
		rings, first int // how many, and points in the first
		notes        string
	}{
		"polygon":             {polygon(ringA), 1, 4, ""},
		"hole":                {polygon(ringA + "," + ringB), 2, 4, ""},
		"mark and spaces":     {"\ufeff \r\n" + polygon(ringA), 1, 4, ""},
		"multi":               {`{"type":"MultiPolygon","coordinates":[[` + ringA + `],[` + ringB + `]]}`, 2, 4, ""},
		"heights":             {polygon(`[[14.5,46.05,312],[14.51,46.05,312.5,1],[14.51,46.06,null],[14.5,46.06,1],[14.5,46.05,0]]`), 1, 4, ""},
		"not closed":          {polygon(`[[14.5,46.05],[14.51,46.05],[14.51,46.06],[14.5,46.06]]`), 1, 4, "ring 1 did not come back"},
		"feature":             {feature("Alder carr", polygon(ringA)), 1, 4, ""},
		"collection":          {collection(feature("Alder carr", polygon(ringA))), 1, 4, ""},
		"with others":         {collection(feature("a", `{"type":"Point","coordinates":"?"}`), feature("b", polygon(ringA)), feature("c", "null"), feature("d", `{"type":"LineString","coordinates":[]}`)), 1, 4, "also holds 1 line and 1 point"},
		"geometry collection": {feature("x", `{"type":"GeometryCollection","geometries":[`+polygon(ringA)+`]}`), 1, 4, ""},
		"crs84":               {`{"crs":{"type":"name","properties":{"name":"urn:ogc:def:crs:OGC:1.3:CRS84"}},"type":"Feature","properties":null,"geometry":` + polygon(ringA) + `}`, 1, 4, ""},
		"crs null":            {`{"crs":null,"type":"Polygon","coordinates":[` + ringA + `]}`, 1, 4, ""},
		"brackets in strings": {feature(`}]\"{[\\`, polygon(ringA)), 1, 4, ""},
		"repeated member":     {`{"type":"Point","type":"Polygon","coordinates":[` + ringA + `]}`, 1, 4, ""},
		"gpx 1.0":             {gpxOf("1.0", track("Edge", closedWalk)), 1, 4, ""},
		"gpx 1.1":             {gpxOf("1.1", track("Edge", closedWalk)), 1, 4, ""},
		"gpx route":           {gpxOf("1.1", `<rte><name>r</name><rtept lat="46.05" lon="14.5"/><rtept lat="46.05" lon="14.51"/><rtept lat="46.06" lon="14.51"/><rtept lat="46.05" lon="14.5"/></rte>`), 1, 3, ""},
		"gpx almost":          {gpxOf("1.1", track("Edge", almost)), 1, 5, "the ends lie 11 m apart"},
		"gpx second":          {gpxOf("1.1", `<wpt lat="46" lon="14"/>`+track("Way there", openWalk)+track("Edge", closedWalk)), 1, 4, `"Edge" was taken, the first that comes back to its start;the file also holds 1 waypoint`},
		"gpx parts":           {gpxOf("1.1", track("Edge", "46.05 14.5,46.05 14.51", "46.05 14.51,46.06 14.51,46.06 14.5,46.05 14.5")), 1, 4, `"Edge" has 2 parts`},
		"gpx rings":           {gpxOf("1.1", track("Edge", closedWalk, "46.053 14.503,46.055 14.503,46.055 14.505,46.053 14.503")), 2, 4, "has 2 closed parts"},
		"gpx version":         {gpxOf("2.0", track("Edge", closedWalk)), 1, 4, "does not say that it is GPX 1.0 or 1.1"},
		"gpx latin":           {strings.Replace(gpxOf("1.1", track("Edge", closedWalk)), "UTF-8", "ISO-8859-1", 1), 1, 4, ""},
	} {
		rings, notes, err := Read([]byte(c.text))
		if err != nil || len(rings) != c.rings || len(rings[0]) != c.first {
			t.Errorf("%s: %v, %v", name, rings, err)
			continue
		}
		if c.first == 4 {
			for i, p := range rings[0] {
				if p != squareA[i] {
					t.Errorf("%s: point %d is %v", name, i+1, p)
				}
			}
		}
		checkNotes(t, name, notes, c.notes)
	}
}

func checkNotes(t *testing.T, name string, notes []string, want string) {
	t.Helper()
	parts := strings.Split(want, ";")
	if want == "" {
		parts = nil
	}
	if len(notes) != len(parts) {
		t.Errorf("%s: notes are %q", name, notes)
		return
	}
	for i, part := range parts {
		if !strings.Contains(notes[i], part) {
			t.Errorf("%s: note %q lacks %q", name, notes[i], part)
		}
	}
}

// TestReadErrors: each sentence names what is wrong and what to do.
func TestReadErrors(t *testing.T) {
	for name, c := range map[string]struct{ text, part string }{
		"empty":            {" \n", "the file is empty"},
		"utf-16 little":    {"\xff\xfe{\x00", "UTF-16: save it again as UTF-8"},
		"utf-16 big":       {"\xfe\xff\x00{", "UTF-16: save it again as UTF-8"},
		"utf-16 unmarked":  {"<\x00g\x00p\x00x\x00", "not in UTF-8"},
		"latin-1":          {`{"name":"` + "\xe9" + `"}`, "not UTF-8"},
		"zip":              {"PK\x03\x04abc", "unpack it"},
		"shapefile":        {"\x00\x00\x27\x0a\x00", "shapefile"},
		"wkt":              {"POLYGON((1 2, 2 1, 3 3, 1 2))", "well-known text"},
		"list":             {ringA, "bare list"},
		"text":             {"hello", "neither GeoJSON"},
		"kml":              {`<kml xmlns="x"><Placemark/></kml>`, "KML: save it as GeoJSON or GPX"},
		"html":             {`<html><body/></html>`, "begins with <html>"},
		"doctype":          {`<!DOCTYPE lolz [<!ENTITY lol "lol">]><gpx>&lol;</gpx>`, "DOCTYPE"},
		"entity":           {`<gpx>&lol;</gpx>`, "damaged in line 1"},
		"deep xml":         {strings.Repeat("<gpx>", 100), "nested far too deep"},
		"cut xml":          {gpxOf("1.1", track("Edge", closedWalk))[:700], "breaks off or is damaged in line 3"},
		"deep json":        {`{"a":` + strings.Repeat("[", 20000) + strings.Repeat("]", 20000) + `}`, "nested far too deep"},
		"cut json":         {polygon(ringA)[:60], "breaks off"},
		"damaged json":     {"{\n\"type\":\"Polygon\",\n;", "damaged in line 3"},
		"nan":              {polygon(`[[NaN,46.05],[14.51,46.05]]`), "not a number (NaN or Infinity) in line 1"},
		"huge":             {polygon(`[[1e999,46.05],[14.51,46.05]]`), "point 1 of ring 1: the number 1e999 is too large"},
		"null number":      {polygon(`[[14.5,null]]`), "null stands where a number belongs"},
		"string number":    {polygon(`[["14.5","46"]]`), "stands where a number belongs"},
		"one number":       {polygon(`[[14.5,46],[14.5]]`), "point 2 of ring 1: it has 1 of the two numbers"},
		"flat":             {`{"type":"Polygon","coordinates":` + ringA + `}`, "not in brackets"},
		"no coordinates":   {`{"type":"Polygon"}`, "not in brackets"},
		"no rings":         {polygon(""), "no coordinates"},
		"empty ring":       {polygon("[]"), "ring 1 is empty"},
		"empty hole":       {polygon(ringA + ",[]"), "ring 2 is empty"},
		"two points":       {polygon(`[[14.5,46],[14.6,46],[14.5,46]]`), "ring 1 has 2 points: at least three"},
		"range":            {polygon(`[[14.5,196]]`), "latitude 196 lies outside"},
		"longitude":        {polygon(`[[340,46]]`), "here -20"},
		"swapped":          {polygon(`[[46,140]]`), "swapped? GeoJSON writes the longitude first"},
		"metres":           {polygon(`[[583123.4,5382123.9]]`), "583123 and 5382124 look like metres of a map grid"},
		"crs":              {`{"type":"Polygon","crs":{"type":"name","properties":{"name":"urn:ogc:def:crs:EPSG::25833"}},"coordinates":[` + ringA + `]}`, "given in urn:ogc:def:crs:EPSG::25833, not in WGS84: save"},
		"crs linked":       {`{"type":"Polygon","crs":{"type":"link"},"coordinates":[` + ringA + `]}`, "cannot be read"},
		"no type":          {`{"a":1}`, "does not say its type"},
		"other type":       {`{"type":"Topology"}`, `"Topology", which GeoJSON does not have`},
		"no features":      {`{"type":"FeatureCollection"}`, "no list of features"},
		"feature a number": {collection("0"), "object { } belongs"},
		"no polygon":       {collection(feature("a", `{"type":"Point","coordinates":[1,2]}`)), "1 point but no polygon"},
		"nothing in it":    {collection(), "holds no polygon"},
		"two":              {collection(feature("Alder carr", polygon(ringA)), feature("", polygon(ringB))), `2 outlines ("Alder carr", outline 2): save the one`},
		"collections":      {collection(collection(collection(collection(collection(feature("a", polygon(ringA))))))), "collections within collections"},
		"many rings":       {polygon(strings.Repeat("[[1,2]],", place.MostRings) + "[[1,2]]"), "more than 1000 rings"},
		"many points":      {polygon("[" + strings.Repeat("[1,2],", place.MostPoints) + "[1,2]]"), "more than 200000 points"},
		"gpx many points":  {gpxOf("1.1", "<rte>"+strings.Repeat(`<rtept lat="1" lon="2"/>`, place.MostPoints+1)+"</rte>"), "more than 200000 points"},
		"gpx many tracks":  {gpxOf("1.1", strings.Repeat(`<trk/>`, mostFigures+1)), "more than 10000 tracks"},
		"gpx open":         {gpxOf("1.1", track("Edge", openWalk)+track("Far", "46 14,46.1 14,46.2 14.1")), `the ends of "Edge" lie 1112 m apart`},
		"gpx waypoints":    {gpxOf("1.1", `<wpt lat="46" lon="14"/><wpt lat="46" lon="14"/>`), "2 waypoints but no track or route: an outline is a line"},
		"gpx nothing":      {gpxOf("1.1", ""), "no track and no route"},
		"gpx empty":        {gpxOf("1.1", "<trk><trkseg/></trk>"), "have no points"},
		"gpx two points":   {gpxOf("1.1", track("Edge", "46 14,46 14.1")), "has three points"},
		"gpx no lon":       {gpxOf("1.1", `<rte><rtept lat="46"/></rte>`), "point 1 of part 1 of line 1: it has no lon"},
		"gpx nan":          {gpxOf("1.1", track("Edge", "NaN 14")), `point 1 of part 1 of "Edge": the latitude is not a number`},
		"gpx comma":        {gpxOf("1.1", `<rte><rtept lat="46,5" lon="14"/></rte>`), "write decimals with a point"},
		"gpx word":         {gpxOf("1.1", `<rte><rtept lat="north" lon="14"/></rte>`), `lat is "north", which is not a number`},
		"gpx swapped":      {gpxOf("1.1", track("Edge", "140 46")), "swapped? (in the attributes lat and lon): exchange"},
		"too big":          {strings.Repeat(" ", MostBytes+1), "64 are the most"},
	} {
		rings, _, err := Read([]byte(c.text))
		if err == nil {
			t.Errorf("%s: no error, but %v", name, rings)
		} else if !strings.Contains(err.Error(), c.part) {
			t.Errorf("%s: %q lacks %q", name, err, c.part)
		}
	}
}

func TestReadRoute(t *testing.T) {
	line := `{"type":"LineString","coordinates":[[14.5,46.05,300],[14.51,46.05]]}`
	for name, c := range map[string]struct {
		text   string
		points int
		part   string // of the notes or of the error
	}{
		"line":           {line, 2, ""},
		"feature":        {feature("a", line), 2, ""},
		"with outline":   {collection(feature("a", line), feature("b", polygon(ringA))), 2, "also holds 1 polygon"},
		"parts":          {`{"type":"MultiLineString","coordinates":[[[14,46],[14.1,46]],[[14.1,46],[14.2,46]]]}`, 3, "line 1 has 2 parts"},
		"gpx track":      {gpxOf("1.1", track("Way", openWalk)), 4, ""},
		"gpx closed":     {gpxOf("1.0", track("Way", closedWalk)), 5, ""},
		"gpx first":      {gpxOf("1.1", track("Way", "46 14")+track("Real", openWalk)), 4, `"Real" was taken, the first with two points`},
		"gpx apart":      {gpxOf("1.1", track("Way", "46 14,46 14.1", "46 14.2,46 14.3")), 4, `"Way" has 2 parts`},
		"two":            {collection(feature("a", line), feature("b", line)), 0, "2 lines"},
		"outline":        {polygon(ringA), 0, "1 polygon but no line: a polygon is an outline"},
		"points":         {`{"type":"Point","coordinates":[1,2]}`, 0, "1 point but no line"},
		"nothing":        {collection(), 0, "holds no line"},
		"one point":      {`{"type":"LineString","coordinates":[[14.5,46.05]]}`, 0, "the route has 1 point"},
		"empty":          {`{"type":"LineString","coordinates":[]}`, 0, "part 1 is empty"},
		"gpx one point":  {gpxOf("1.1", track("Way", "46 14")), 0, "has two points"},
		"gpx waypoints":  {gpxOf("1.1", `<wpt lat="1" lon="2"/>`), 0, "1 waypoint but no track or route: a route is a line"},
		"many parts":     {`{"type":"MultiLineString","coordinates":[` + strings.Repeat("[[1,2]],", place.MostRings) + `[[1,2]]]}`, 0, "more than 1000 parts"},
		"out of range":   {`{"type":"LineString","coordinates":[[14.5,46.05],[14.5,91]]}`, 0, "point 2 of part 1"},
		"control letter": {gpxOf("1.1", track("a&#10;b", "46 14")+track("a&#9;b", openWalk)), 4, `"a b" was taken`},
	} {
		got, notes, err := ReadRoute([]byte(c.text))
		switch {
		case c.points == 0 && (err == nil || !strings.Contains(err.Error(), c.part)):
			t.Errorf("%s: %v lacks %q", name, err, c.part)
		case c.points > 0 && (err != nil || len(got) != c.points):
			t.Errorf("%s: %v, %v", name, got, err)
		case c.points > 0:
			checkNotes(t, name, notes, c.part)
		}
	}
}

// TestLooksSwapped: (46, 14.5) exchanged is 3800 km away, in Somalia's waters.
func TestLooksSwapped(t *testing.T) {
	near := place.Position{Lat: 46.2, Lon: 14.2}
	for _, c := range []struct {
		p    place.Position
		want bool
	}{{place.Position{Lat: 14.5, Lon: 46.05}, true}, {squareA[0], false}, {place.Position{Lat: -14.5, Lon: 46.05}, false}, {place.Position{Lat: 20, Lon: 20}, false}} {
		if got := LooksSwapped([]place.Position{c.p}, near); got != c.want {
			t.Errorf("%v: %v", c.p, got)
		}
	}
	if LooksSwapped(nil, near) {
		t.Error("nothing looks swapped")
	}
}
