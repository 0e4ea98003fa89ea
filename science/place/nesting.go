package place

import (
	"math"
	"slices"
)

// Polygon is one piece of land: its outer ring counter-clockwise as seen on a
// map with north up, its holes clockwise. No ring repeats its first position.
type Polygon struct {
	Outer []Position
	Holes [][]Position
}

// Polygons sorts rings into pieces of land by the odd rule of Area: a ring
// within no other, or within two, is land; a ring within one, or within three,
// is a hole in the smallest that holds it. The pieces come in the order of
// their outer rings. It fails where NewArea fails for one of the rings; rings
// that cross each other (CheckOutline) cannot be sorted sensibly.
func Polygons(outlines [][]Position) ([]Polygon, error) {
	rings, err := newRings(outlines)
	if err != nil {
		return nil, err
	}
	depths := depthsOf(rings)
	var polygons []Polygon
	at := map[int]int{} // from ring to polygon
	for i, r := range rings {
		if depths[i]%2 == 0 {
			at[i] = len(polygons)
			polygons = append(polygons, Polygon{Outer: turned(outlines[i], r, true)})
		}
	}
	for i, r := range rings {
		if depths[i]%2 == 0 {
			continue
		}
		hole := turned(outlines[i], r, false)
		if p, ok := at[parentOf(rings, depths, i)]; ok {
			polygons[p].Holes = append(polygons[p].Holes, hole)
		}
	}
	return polygons, nil
}

// turned gives the outline in the direction wanted, without its closing position.
func turned(outline []Position, r ring, counterClockwise bool) []Position {
	out := slices.Clone(outline[:len(r)])
	if area, _, _ := r.moments(r[0].lon, math.Sin(r[0].lat*radian)); area > 0 != counterClockwise {
		slices.Reverse(out)
	}
	return out
}

// parentOf is the ring one step further out that holds ring i, -1 if there is
// none (which takes rings that cross).
func parentOf(rings []ring, depths []int, i int) int {
	for k, other := range rings {
		if depths[k] == depths[i]-1 && rings[i].within(other) {
			return k
		}
	}
	return -1
}

// depthsOf counts for each ring how many of the others hold it.
func depthsOf(rings []ring) []int {
	depths := make([]int, len(rings))
	if len(rings) == 1 {
		return depths
	}
	extents := make([]extent, len(rings))
	for i, r := range rings {
		extents[i] = r.extent()
	}
	for i, r := range rings {
		for k, other := range rings {
			if k != i && extents[i].within(extents[k]) && r.within(other) {
				depths[i]++
			}
		}
	}
	return depths
}

// extent is a bounding box in unwrapped degrees.
type extent struct{ south, west, north, east float64 }

func (r ring) extent() extent {
	e := extent{math.Inf(1), math.Inf(1), math.Inf(-1), math.Inf(-1)}
	for _, v := range r {
		e.south, e.north = math.Min(e.south, v.lat), math.Max(e.north, v.lat)
		e.west, e.east = math.Min(e.west, v.lon), math.Max(e.east, v.lon)
	}
	return e
}

func (e extent) within(o extent) bool {
	return e.south >= o.south && e.north <= o.north && e.west >= o.west && e.east <= o.east
}

// within reports whether the ring lies in another that it does not cross. It
// goes by the first vertex or middle of an edge that is not on the other's
// border, for rings may touch; sixty-four tries are enough for all but copies.
func (r ring) within(other ring) bool {
	for i := range min(len(r), 64) {
		p, q := r[i], r[(i+1)%len(r)]
		for _, t := range [...]float64{0, 0.5} {
			lat, lon := p.lat+t*(q.lat-p.lat), p.lon+t*(q.lon-p.lon)
			if !other.touches(lat, lon) {
				return other.contains(lat, lon)
			}
		}
	}
	return other.contains(r[0].lat, r[0].lon)
}

// touches reports whether a point lies within a billionth of a degree of an edge.
func (r ring) touches(lat, lon float64) bool {
	const near = 1e-9
	for i, j := 0, len(r)-1; i < len(r); j, i = i, i+1 {
		p, q := r[j], r[i]
		if lat < math.Min(p.lat, q.lat)-near || lat > math.Max(p.lat, q.lat)+near ||
			lon < math.Min(p.lon, q.lon)-near || lon > math.Max(p.lon, q.lon)+near {
			continue
		}
		cross := (q.lon-p.lon)*(lat-p.lat) - (q.lat-p.lat)*(lon-p.lon)
		if math.Abs(cross) <= near*math.Hypot(q.lon-p.lon, q.lat-p.lat) {
			return true
		}
	}
	return false
}
