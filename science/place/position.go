package place

import (
	"math"
	"strconv"

	"trug/science/said"
)

// Degrees is an angle in decimal degrees: a latitude (north positive), a
// longitude (east positive), or the width of a cell or step between them.
type Degrees float64

// Metres is a length on the ground or on the map grid.
type Metres float64

// The WGS84 ellipsoid (NIMA TR8350.2, third edition, 2000).
const (
	// SemiMajorAxis is the equatorial radius of WGS84, exact by definition.
	SemiMajorAxis Metres = 6378137
	// Flattening is the flattening of WGS84, exact by definition.
	Flattening = 1 / 298.257223563
	// Datum is the name under which Darwin Core's geodeticDatum lists WGS84.
	Datum = "EPSG:4326"

	eccentricity2 = Flattening * (2 - Flattening)
	semiMinorAxis = float64(SemiMajorAxis) * (1 - Flattening)
	radian        = math.Pi / 180
)

// Position is a point on WGS84: Lat in -90..90, Lon in -180..180 degrees.
type Position struct{ Lat, Lon Degrees }

// Valid reports whether the position lies on the globe; the error is a
// sentence that names the coordinate at fault.
func (p Position) Valid() error {
	lat, lon := float64(p.Lat), float64(p.Lon)
	switch {
	case math.IsNaN(lat) || math.IsInf(lat, 0):
		return said.Errorf("the latitude is not a number")
	case math.IsNaN(lon) || math.IsInf(lon, 0):
		return said.Errorf("the longitude is not a number")
	case math.Abs(lat) > 90 && math.Abs(lat) <= 180 && math.Abs(lon) <= 90:
		return said.Errorf("latitude %s lies outside -90 to 90: have latitude and longitude been swapped?", plain(lat))
	case math.Abs(lat) > 90:
		return said.Errorf("latitude %s lies outside -90 to 90: give it in degrees, north positive", plain(lat))
	case math.Abs(lon) > 180 && lon > 0 && lon <= 360:
		return said.Errorf("longitude %s lies outside -180 to 180: west of Greenwich it is negative, here %s", plain(lon), plain(lon-360))
	case math.Abs(lon) > 180:
		return said.Errorf("longitude %s lies outside -180 to 180: give it in degrees, east positive", plain(lon))
	}
	return nil
}

// plain writes a number without an exponent and without digits that say nothing.
func plain(x float64) string {
	return strconv.FormatFloat(math.Round(x*1e7)/1e7, 'f', -1, 64)
}

// wrapLon brings a longitude into -180 <= lon < 180.
func wrapLon(lon float64) float64 {
	if lon >= -180 && lon < 180 {
		return lon
	}
	lon = math.Mod(lon+180, 360)
	if lon < 0 {
		lon += 360
	}
	return lon - 180
}
