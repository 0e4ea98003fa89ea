package place

import (
	"math"
	"slices"
)

// shareLines is along how many parallels an outline is sampled, and at how many
// points along its whole width: the share is then right to about a hundredth.
const shareLines = 64

// ShareWithin returns which part, 0 to 1, of the land that rings enclose lies
// within other rings and farther from their border than margin. Rings count as
// NewArea takes them. It samples along parallels, so it bears outlines that
// cross themselves, and is right to about 0.01. Rings that make no area share nothing.
func ShareWithin(rings, others [][]Position, margin Metres) float64 {
	own, err := newRings(rings)
	if err != nil {
		return 0
	}
	other, err := NewArea(others...)
	if err != nil {
		return 0
	}
	south, north, west, east := math.Inf(1), math.Inf(-1), math.Inf(1), math.Inf(-1)
	for _, r := range own {
		for _, p := range r {
			south, north, west, east = min(south, p.lat), max(north, p.lat), min(west, p.lon), max(east, p.lon)
		}
	}
	var all, within float64
	for i := range shareLines {
		lat := south + (float64(i)+0.5)/shareLines*(north-south)
		cuts := cutsAt(own, lat)
		for k := 0; k+1 < len(cuts); k += 2 {
			a, b := cuts[k], cuts[k+1]
			n := math.Ceil((b - a) / (east - west) * shareLines)
			for j := 0.5; j < n; j++ {
				weight := (b - a) / n * math.Cos(lat*math.Pi/180)
				all += weight
				if lon := a + j/n*(b-a); other.deeperThan(lat, lon, margin) {
					within += weight
				}
			}
		}
	}
	if all == 0 {
		return 0
	}
	return within / all
}

// cutsAt returns where a parallel enters and leaves the rings, from west to east.
func cutsAt(rings []ring, lat float64) []float64 {
	var cuts []float64
	for _, r := range rings {
		for i, j := 0, len(r)-1; i < len(r); j, i = i, i+1 {
			if p, q := r[i], r[j]; (p.lat > lat) != (q.lat > lat) {
				cuts = append(cuts, p.lon+(lat-p.lat)/(q.lat-p.lat)*(q.lon-p.lon))
			}
		}
	}
	slices.Sort(cuts)
	return cuts
}

// deeperThan reports whether a point lies in the area and farther from its
// border than margin. Distances are those of the plane that touches the point,
// good to a hundredth up to some ten kilometres.
func (a Area) deeperThan(lat, lon float64, margin Metres) bool {
	lon -= 360 * math.Round(lon/360)
	if !a.Contains(Position{Lat: Degrees(lat), Lon: Degrees(lon)}) {
		return false
	}
	const degree = 111_195 // metres along a meridian of the sphere
	east := degree * math.Cos(lat*math.Pi/180)
	for _, r := range a.rings {
		for i, j := 0, len(r)-1; i < len(r); j, i = i, i+1 {
			turn := 360 * math.Round((lon-r[i].lon)/360)
			px, py := (r[j].lon+turn-lon)*east, (r[j].lat-lat)*degree
			qx, qy := (r[i].lon+turn-lon)*east, (r[i].lat-lat)*degree
			dx, dy := qx-px, qy-py
			t := 0.0
			if d := dx*dx + dy*dy; d > 0 {
				t = min(1, max(0, -(px*dx+py*dy)/d))
			}
			if math.Hypot(px+t*dx, py+t*dy) <= float64(margin) {
				return false
			}
		}
	}
	return true
}
