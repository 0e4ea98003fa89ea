package place

import (
	"math"
	"slices"
)

// SimplifyLine leaves out positions of a line that a drawing does not need: each
// one left out lies within tolerance of the stretch that replaces it, measured
// on the ground. First and last position stay. A tolerance of nothing, or
// positions off the globe, give the line back as it is.
//
// Method: Douglas & Peucker 1973, Cartographica 10(2):112-122,
// https://doi.org/10.3138/FM57-6770-U75U-7727. Where a line halves badly the
// middle position is kept as well, so that no line takes quadratic time.
func SimplifyLine(line []Position, tolerance Metres) []Position {
	vertices, ok := groundVertices(line)
	if !ok || len(line) < 3 || !(tolerance > 0) {
		return slices.Clone(line)
	}
	keep := make([]bool, len(line))
	keep[0], keep[len(line)-1] = true, true
	thin(vertices, 0, len(line)-1, float64(tolerance), keep)
	return kept(line, keep)
}

// SimplifyRings does the same for rings. The westernmost and the vertex
// farthest from it stay, and at least a third, so that no ring collapses (a
// closed ring keeps four positions). Should the simpler rings cross themselves
// or each other, or a hole leave its land, the tolerance is halved up to six
// times; if that does not help, or they crossed before, the rings come back as
// they are. The result repeats the first position where the ring did.
func SimplifyRings(rings [][]Position, tolerance Metres) [][]Position {
	before, err := newRings(rings)
	if err != nil || !(tolerance > 0) {
		return cloned(rings)
	}
	depths := depthsOf(before)
	for range 7 {
		simpler := make([][]Position, len(rings))
		for i, r := range rings {
			simpler[i] = simplifyRing(r, before[i], float64(tolerance))
		}
		after, err := newRings(simpler)
		if err == nil && !crossed(after) && slices.Equal(depths, depthsOf(after)) {
			return simpler
		}
		tolerance /= 2
	}
	return cloned(rings)
}

func cloned(rings [][]Position) [][]Position {
	out := make([][]Position, len(rings))
	for i, r := range rings {
		out[i] = slices.Clone(r)
	}
	return out
}

func crossed(rings []ring) bool {
	found, whole := findContacts(rings, make([]bool, len(rings)), mostPairs)
	return !whole || slices.ContainsFunc(found, func(c contact) bool { return c.kind == crossing || c.kind == doubling })
}

func simplifyRing(outline []Position, r ring, tolerance float64) []Position {
	n := len(r)
	west := 0
	for i, v := range r {
		if v.lon < r[west].lon || v.lon == r[west].lon && v.lat < r[west].lat {
			west = i
		}
	}
	// From the westernmost vertex all round and back to it.
	round := make([]vertex, n+1)
	for i := range round {
		v := r[(west+i)%n]
		round[i] = newVertex(v.lat, v.lon)
	}
	far, most := 0, -1.0
	for i := range round[:n] {
		if d := round[i].offset(round[0], round[0]); d > most {
			far, most = i, d
		}
	}
	keep := make([]bool, n+1)
	keep[0], keep[far], keep[n] = true, true, true
	thin(round, 0, far, tolerance, keep)
	thin(round, far, n, tolerance, keep)
	if count(keep[:n]) < 3 {
		third, most := 0, -1.0
		for i := range round[:n] {
			if d := round[i].offset(round[0], round[far]); !keep[i] && d > most {
				third, most = i, d
			}
		}
		keep[third] = true
	}
	inOrder := make([]bool, len(outline))
	for i := range n {
		inOrder[(west+i)%n] = keep[i]
	}
	out := kept(outline, inOrder)
	if len(outline) > n { // it was closed
		out = append(out, out[0])
	}
	return out
}

func count(flags []bool) (n int) {
	for _, f := range flags {
		if f {
			n++
		}
	}
	return n
}

func kept(line []Position, keep []bool) []Position {
	out := make([]Position, 0, count(keep)+1)
	for i, p := range line {
		if keep[i] {
			out = append(out, p)
		}
	}
	return out
}

// vertex is a position with unwrapped longitude and, at its latitude, the
// metres to a degree of longitude and of latitude.
type vertex struct{ lon, lat, perLon, perLat float64 }

func newVertex(lat, lon float64) vertex {
	meridian, normal := radii(lat)
	return vertex{lon, lat, normal * math.Cos(lat*radian) * radian, meridian * radian}
}

func groundVertices(line []Position) ([]vertex, bool) {
	vertices := make([]vertex, len(line))
	for i, p := range line {
		if p.Valid() != nil {
			return nil, false
		}
		lon := float64(p.Lon)
		if i > 0 {
			lon += 360 * math.Round((vertices[i-1].lon-lon)/360)
		}
		vertices[i] = newVertex(float64(p.Lat), lon)
	}
	return vertices, true
}

// offset is the distance in metres from the vertex to the stretch from a to b,
// on the scale of the vertex: where it is small, and only there does it decide,
// the stretch passes by so closely that the scale is the same.
func (v vertex) offset(a, b vertex) float64 {
	ax, ay := (a.lon-v.lon)*v.perLon, (a.lat-v.lat)*v.perLat
	dx, dy := (b.lon-a.lon)*v.perLon, (b.lat-a.lat)*v.perLat
	t := 0.0
	if square := dx*dx + dy*dy; square > 0 {
		t = math.Max(0, math.Min(1, -(ax*dx+ay*dy)/square))
	}
	return math.Hypot(ax+t*dx, ay+t*dy)
}

// thin marks the vertices between from and to that must stay.
func thin(vertices []vertex, from, to int, tolerance float64, keep []bool) {
	type stretch struct{ from, to, depth int }
	const deep = 60
	todo := []stretch{{from, to, 0}}
	for len(todo) > 0 {
		s := todo[len(todo)-1]
		todo = todo[:len(todo)-1]
		far, most := -1, tolerance
		for i := s.from + 1; i < s.to; i++ {
			if d := vertices[i].offset(vertices[s.from], vertices[s.to]); d > most {
				far, most = i, d
			}
		}
		if far < 0 {
			continue
		}
		if s.depth >= deep {
			far = (s.from + s.to) / 2
		}
		keep[far] = true
		todo = append(todo, stretch{s.from, far, s.depth + 1}, stretch{far, s.to, s.depth + 1})
	}
}
