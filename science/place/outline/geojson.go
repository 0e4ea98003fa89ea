package outline

import (
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"strconv"
	"strings"

	"trug/science/place"
)

// geoJSON gathers the figures of the wanted kind and counts the others.
type geoJSON struct {
	file
	want kind
}

func readGeoJSON(text []byte, want kind) (*file, error) {
	if !json.Valid(text) {
		return nil, notJSON(text)
	}
	g := &geoJSON{want: want}
	end := valueEnd(text, 0)
	if err := g.object(text[:end], "", 0); err != nil {
		return nil, err
	}
	return &g.file, nil
}

// notJSON says where the text stops being JSON.
func notJSON(text []byte) error {
	var raw json.RawMessage
	err := json.Unmarshal(text, &raw)
	var syntax *json.SyntaxError
	if !errors.As(err, &syntax) {
		return errors.New("the GeoJSON cannot be read: save it again")
	}
	before := string(text[:min(int(syntax.Offset), len(text))])
	line := strings.Count(before, "\n") + 1
	switch {
	case strings.Contains(syntax.Error(), "depth"):
		return errors.New("the GeoJSON is nested far too deep to be an outline: save the outline alone")
	case strings.Contains(syntax.Error(), "unexpected end"):
		return errors.New("the GeoJSON breaks off before its end: copy or save the file again")
	case strings.HasSuffix(before, "N") || strings.HasSuffix(before, "I"):
		return fmt.Errorf("the GeoJSON holds something that is not a number (NaN or Infinity) in line %d: correct or take out that point", line)
	}
	return fmt.Errorf("the GeoJSON is damaged in line %d (%s): save the file again", line, syntax.Error())
}

// Features lie in a collection, geometries in a feature, and perhaps in one
// collection of geometries: nothing deeper is an outline.
const mostNested = 4

func (g *geoJSON) object(object []byte, name string, depth int) error {
	if depth > mostNested {
		return errors.New("the GeoJSON has collections within collections: save the outline or route alone")
	}
	f, ok := fields(object, "type", "crs", "features", "geometry", "geometries", "coordinates", "properties")
	if !ok {
		return errors.New("the GeoJSON holds something else where an object { } belongs: save the file again")
	}
	if err := g.checkCRS(f["crs"]); err != nil {
		return err
	}
	each := func(list []byte, member string) error {
		array, err := elements(list, func(v []byte) error { return g.object(v, name, depth+1) })
		if !array && err == nil {
			return fmt.Errorf("the GeoJSON has no list of %s where there should be one: save the file again", member)
		}
		return err
	}
	switch kind := text(f["type"]); kind {
	case "FeatureCollection":
		return each(f["features"], "features")
	case "GeometryCollection":
		return each(f["geometries"], "geometries")
	case "Feature":
		if f["geometry"] == nil {
			return nil
		}
		return g.object(f["geometry"], featureName(f["properties"]), depth+1)
	case "Polygon", "MultiPolygon":
		return g.figure(surface, name, f["coordinates"], kind == "MultiPolygon")
	case "LineString", "MultiLineString":
		return g.figure(lines, name, f["coordinates"], kind == "MultiLineString")
	case "Point", "MultiPoint":
		g.others[points]++
		return nil
	case "":
		return errors.New("the file is JSON but does not say its type: save it as GeoJSON")
	default:
		return fmt.Errorf("the file is JSON of the type %q, which GeoJSON does not have: save it as GeoJSON", clean(kind))
	}
}

// text is a JSON string's content, "" of anything else.
func text(value []byte) string {
	var s string
	if json.Unmarshal(value, &s) != nil {
		return ""
	}
	return s
}

func featureName(properties []byte) string {
	f, _ := fields(properties, "name", "Name", "NAME", "title")
	for _, key := range []string{"name", "Name", "NAME", "title"} {
		if name := clean(text(f[key])); name != "" {
			return name
		}
	}
	return ""
}

// checkCRS looks at the member "crs" of the GeoJSON of 2008, which RFC 7946
// did away with; programs write it still.
func (g *geoJSON) checkCRS(crs []byte) error {
	if crs == nil {
		return nil
	}
	f, _ := fields(crs, "properties")
	p, _ := fields(f["properties"], "name")
	name := text(p["name"])
	switch strings.ToUpper(strings.ReplaceAll(name, " ", "")) {
	case "URN:OGC:DEF:CRS:OGC:1.3:CRS84", "URN:OGC:DEF:CRS:OGC::CRS84", "OGC:CRS84", "CRS84", "EPSG:4326", "URN:OGC:DEF:CRS:EPSG::4326",
		"HTTP://WWW.OPENGIS.NET/DEF/CRS/OGC/1.3/CRS84", "WGS84", "WGS-84":
		return nil
	case "":
		return errors.New("the GeoJSON names a coordinate system that cannot be read: save it again in WGS84 (EPSG:4326)")
	}
	return fmt.Errorf("the coordinates are given in %s, not in WGS84: save the file again in WGS84 (EPSG:4326)", clean(name))
}

// figure reads the coordinates of a surface or line, or only counts it.
func (g *geoJSON) figure(k kind, name string, coordinates []byte, multi bool) error {
	if k != g.want {
		g.others[k]++
		return nil
	}
	fig := figure{name: name, kind: k}
	var part func(level int) func([]byte) error
	part = func(level int) func([]byte) error {
		return func(value []byte) error {
			if level > 0 {
				ok, err := elements(value, part(level-1))
				if !ok && err == nil {
					err = errBrackets
				}
				return err
			}
			line, err := g.line(value, k, len(fig.parts)+1)
			if err == nil {
				fig.parts = append(fig.parts, line)
			}
			return err
		}
	}
	level := 0 // of brackets round what is a list of positions
	if k == surface {
		level++
	}
	if multi {
		level++
	}
	if err := part(level)(coordinates); err != nil {
		return err
	}
	if len(fig.parts) == 0 {
		return errors.New("the outline or line in the file has no coordinates: draw it again and save it")
	}
	g.figures = append(g.figures, fig)
	return nil
}

var errBrackets = errors.New("the coordinates are not in brackets as GeoJSON has them, [longitude, latitude] in a list: save the file again")

// line reads a list of positions, number counting the rings or parts.
func (g *geoJSON) line(value []byte, k kind, number int) ([]place.Position, error) {
	word := "ring"
	if k == lines {
		word = "part"
	}
	if number > place.MostRings {
		return nil, fmt.Errorf("the geometry has more than %d %ss: save less of it", place.MostRings, word)
	}
	var line []place.Position
	ok, err := elements(value, func(v []byte) error {
		p, err := position(v)
		if err != nil {
			return fmt.Errorf("point %d of %s %d: %w", len(line)+1, word, number, err)
		}
		line = append(line, p)
		return g.grow()
	})
	switch {
	case err != nil:
		return nil, err
	case !ok:
		return nil, errBrackets
	case len(line) == 0:
		return nil, fmt.Errorf("%s %d is empty: draw it again, or take it out", word, number)
	}
	return line, nil
}

// position reads [longitude, latitude, …]; heights and more are left out.
func position(value []byte) (place.Position, error) {
	var xy [2]float64
	n := 0
	ok, err := elements(value, func(v []byte) error {
		if n++; n > 2 {
			return nil
		}
		if v[0] != '-' && (v[0] < '0' || v[0] > '9') {
			return fmt.Errorf("%s stands where a number belongs: correct or take out that point", clean(string(v[:min(len(v), 40)])))
		}
		x, err := strconv.ParseFloat(string(v), 64)
		if err != nil {
			return fmt.Errorf("the number %s is too large: give degrees", clean(string(v[:min(len(v), 40)])))
		}
		xy[n-1] = x
		return nil
	})
	switch {
	case err != nil:
		return place.Position{}, err
	case !ok:
		return place.Position{}, errBrackets
	case n < 2:
		return place.Position{}, fmt.Errorf("it has %d of the two numbers, longitude and latitude: correct or take out that point", n)
	}
	p := place.Position{Lat: place.Degrees(xy[1]), Lon: place.Degrees(xy[0])}
	return p, inRange(p, "GeoJSON writes the longitude first")
}

// inRange is Valid with what is likely in a file of this format.
func inRange(p place.Position, order string) error {
	err := p.Valid()
	if err == nil {
		return nil
	}
	if math.Abs(float64(p.Lat)) > 360 && math.Abs(float64(p.Lon)) > 360 {
		return fmt.Errorf("%.0f and %.0f look like metres of a map grid, not degrees: save the file again in WGS84 (EPSG:4326)", float64(p.Lon), float64(p.Lat))
	}
	if math.Abs(float64(p.Lat)) > 90 && math.Abs(float64(p.Lat)) <= 180 && math.Abs(float64(p.Lon)) <= 90 {
		return fmt.Errorf("%w %s: exchange the two and save the file again", err, order)
	}
	return err
}
