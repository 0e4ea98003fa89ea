package outline

import (
	"strconv"

	"trug/science/place"
)

// WriteGeoJSON writes the outline as a geometry of GeoJSON (RFC 7946), a
// Polygon or, for several pieces of land, a MultiPolygon: closed rings, outer
// ones counter-clockwise, holes clockwise, each following its land, longitude
// first, seven decimals (a centimetre). It is nil for rings that
// place.NewArea would refuse one by one; rings that cross (place.CheckOutline)
// come out as they are. An outline over the date line is written as it is, not
// cut there: Read takes the shorter way between longitudes, some programs do not.
func WriteGeoJSON(rings [][]place.Position) []byte {
	polygons, err := place.Polygons(rings)
	if err != nil {
		return nil
	}
	if len(polygons) == 1 {
		out := append([]byte(nil), `{"type":"Polygon","coordinates":`...)
		return append(appendPolygon(out, polygons[0]), '}')
	}
	out := append([]byte(nil), `{"type":"MultiPolygon","coordinates":[`...)
	for i, p := range polygons {
		if i > 0 {
			out = append(out, ',')
		}
		out = appendPolygon(out, p)
	}
	return append(out, ']', '}')
}

func appendPolygon(out []byte, p place.Polygon) []byte {
	out = appendRing(append(out, '['), p.Outer)
	for _, hole := range p.Holes {
		out = appendRing(append(out, ','), hole)
	}
	return append(out, ']')
}

func appendRing(out []byte, ring []place.Position) []byte {
	out = append(out, '[')
	for _, p := range ring {
		out = append(appendPosition(out, p), ',')
	}
	return append(appendPosition(out, ring[0]), ']')
}

func appendPosition(out []byte, p place.Position) []byte {
	out = appendDegrees(append(out, '['), p.Lon)
	out = appendDegrees(append(out, ','), p.Lat)
	return append(out, ']')
}

func appendDegrees(out []byte, x place.Degrees) []byte {
	start := len(out)
	out = strconv.AppendFloat(out, float64(x), 'f', 7, 64)
	if string(out[start:]) == "-0.0000000" {
		return append(out[:start], "0.0000000"...)
	}
	return out
}
