package place

import (
	"fmt"
	"math"
)

// Area is land within one or more outlines in latitude and longitude. A point
// inside an odd number of outlines belongs to it, so that an outline within
// another is a hole. It may cross the date line but not hold a pole. Make one
// with NewArea.
type Area struct {
	rings    []ring
	centroid Position
	radius   Metres
	box      Box
}

// ring holds its vertices with longitudes unwrapped: they may leave -180..180.
type ring []struct{ lat, lon float64 }

// Box is a bounding box. Where it crosses the date line, East is less than West.
type Box struct{ South, West, North, East Degrees }

// NewArea makes an area from its outlines, each of at least three different
// positions; repeating the first at the end is allowed. Edges are straight in
// latitude and longitude and take the shorter way round. Outlines that cross
// themselves are not detected here but by CheckOutline.
func NewArea(outlines ...[]Position) (Area, error) {
	rings, err := newRings(outlines)
	if err != nil {
		return Area{}, err
	}
	a := Area{rings: rings}
	return a, a.measure()
}

// newRings unwraps each outline and brings it beside the first.
func newRings(outlines [][]Position) ([]ring, error) {
	if len(outlines) == 0 {
		return nil, fmt.Errorf("the area has no outline: give at least three points")
	}
	var rings []ring
	for i, outline := range outlines {
		r, err := newRing(outline)
		if err != nil {
			return nil, fmt.Errorf("outline %d: %w", i+1, err)
		}
		if i > 0 {
			turn := 360 * math.Round((rings[0][0].lon-r[0].lon)/360)
			for j := range r {
				r[j].lon += turn
			}
		}
		rings = append(rings, r)
	}
	return rings, nil
}

func newRing(outline []Position) (ring, error) {
	if n := len(outline); n > 1 && outline[0] == outline[n-1] {
		outline = outline[:n-1]
	}
	distinct := map[Position]bool{}
	r := make(ring, len(outline))
	for i, p := range outline {
		if err := p.Valid(); err != nil {
			return nil, fmt.Errorf("point %d: %w", i+1, err)
		}
		distinct[p] = true
		r[i].lat, r[i].lon = float64(p.Lat), float64(p.Lon)
		if i > 0 {
			r[i].lon += 360 * math.Round((r[i-1].lon-r[i].lon)/360)
		}
	}
	if len(distinct) < 3 {
		return nil, fmt.Errorf("it has %d different points: at least three are needed", len(distinct))
	}
	if math.Abs(r[len(r)-1].lon-r[0].lon) > 180 {
		return nil, fmt.Errorf("it goes round a pole: such an area cannot be drawn in latitude and longitude")
	}
	return r, nil
}

// contains counts how often a line to the east crosses the ring.
func (r ring) contains(lat, lon float64) bool {
	inside := false
	for i, j := 0, len(r)-1; i < len(r); j, i = i, i+1 {
		p, q := r[i], r[j]
		if (p.lat > lat) != (q.lat > lat) && lon < p.lon+(lat-p.lat)/(q.lat-p.lat)*(q.lon-p.lon) {
			inside = !inside
		}
	}
	return inside
}

// Contains reports whether a position lies in the area. Of the border, southern
// and western edges belong to it, so that areas side by side share no point.
func (a Area) Contains(p Position) bool {
	if p.Valid() != nil {
		return false
	}
	inside := false
	for _, r := range a.rings {
		for _, turn := range [...]float64{-360, 0, 360} {
			if r.contains(float64(p.Lat), float64(p.Lon)+turn) {
				inside = !inside
			}
		}
	}
	return inside
}

// Bounds is the smallest box along latitude and longitude that holds the area.
func (a Area) Bounds() Box { return a.box }

// Centroid is the area's centre of gravity, weighted by surface (in the
// cylindrical equal-area projection of the sphere: the flattening moves it by
// less than a thousandth of the area's extent). It may lie outside a crooked area.
func (a Area) Centroid() Position { return a.centroid }

// Radius is that of the smallest circle round the centroid which holds the
// whole area, in metres: the uncertainty of a find of which only the area is
// known. It is measured to the vertices.
func (a Area) Radius() Metres { return a.radius }

func (a *Area) measure() error {
	origin := a.rings[0][0]
	y0 := math.Sin(origin.lat * radian)
	var sum, sumX, sumY float64
	depths := depthsOf(a.rings)
	for i, r := range a.rings {
		area, x, y := r.moments(origin.lon, y0)
		sign := float64(1 - depths[i]%2*2)
		if area < 0 {
			sign = -sign
		}
		sum, sumX, sumY = sum+sign*area, sumX+sign*x, sumY+sign*y
	}
	if !(sum > 0) {
		return fmt.Errorf("the outline holds no land: its points lie on one line")
	}
	a.centroid = Position{
		Lat: Degrees(math.Asin(math.Max(-1, math.Min(1, y0+sumY/sum))) / radian),
		Lon: Degrees(wrapLon(origin.lon + sumX/sum)),
	}
	south, north, west, east := 90.0, -90.0, math.Inf(1), math.Inf(-1)
	for _, r := range a.rings {
		for _, v := range r {
			south, north = math.Min(south, v.lat), math.Max(north, v.lat)
			west, east = math.Min(west, v.lon), math.Max(east, v.lon)
			a.radius = max(a.radius, Distance(a.centroid, Position{Degrees(v.lat), Degrees(wrapLon(v.lon))}))
		}
	}
	a.box = Box{South: Degrees(south), North: Degrees(north), West: Degrees(wrapLon(west)), East: Degrees(east)}
	if east > 180 || east < -180 {
		a.box.East = Degrees(wrapLon(east))
	}
	return nil
}

// moments gives signed area and first moments about an origin, in degrees of
// longitude times sine of latitude, which is proportional to surface.
func (r ring) moments(lon0, y0 float64) (area, x, y float64) {
	for i, j := 0, len(r)-1; i < len(r); j, i = i, i+1 {
		x1, y1 := r[j].lon-lon0, math.Sin(r[j].lat*radian)-y0
		x2, y2 := r[i].lon-lon0, math.Sin(r[i].lat*radian)-y0
		cross := x1*y2 - x2*y1
		area += cross / 2
		x += (x1 + x2) * cross / 6
		y += (y1 + y2) * cross / 6
	}
	return area, x, y
}
