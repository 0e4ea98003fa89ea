package place

import (
	"cmp"
	"math"
	"math/bits"
)

// gridPoint is a vertex in whole billionths of a degree (a tenth of a
// millimetre), unwrapped, so that which side a point lies on is exact.
type gridPoint struct{ x, y int64 }

const gridPerDegree = 1e9

func (r ring) gridPoints() []gridPoint {
	var points []gridPoint
	for _, v := range r {
		g := gridPoint{int64(math.Round(v.lon * gridPerDegree)), int64(math.Round(v.lat * gridPerDegree))}
		if len(points) == 0 || points[len(points)-1] != g {
			points = append(points, g)
		}
	}
	for len(points) > 1 && points[len(points)-1] == points[0] {
		points = points[:len(points)-1]
	}
	return points
}

func (g gridPoint) position() Position { return gridPosition(float64(g.x), float64(g.y)) }

func gridPosition(x, y float64) Position {
	return Position{Lat: Degrees(y / gridPerDegree), Lon: Degrees(wrapLon(x / gridPerDegree))}
}

// side is 1 when c lies left of the way from a to b, -1 right, 0 on its line.
func side(a, b, c gridPoint) int {
	// Three roundings of 2^-53 each: unless the two products are this close,
	// floating point tells them apart, which is many times faster.
	l, r := float64(b.x-a.x)*float64(c.y-a.y), float64(b.y-a.y)*float64(c.x-a.x)
	if d, slack := l-r, 1e-14*(math.Abs(l)+math.Abs(r)); d > slack {
		return 1
	} else if d < -slack {
		return -1
	}
	return compareProducts(b.x-a.x, c.y-a.y, b.y-a.y, c.x-a.x)
}

// compareProducts compares ab with cd in 128 bits.
func compareProducts(a, b, c, d int64) int {
	s1, s2 := cmp.Compare(a, 0)*cmp.Compare(b, 0), cmp.Compare(c, 0)*cmp.Compare(d, 0)
	if s1 != s2 {
		return cmp.Compare(s1, s2)
	}
	h1, l1 := bits.Mul64(magnitude(a), magnitude(b))
	h2, l2 := bits.Mul64(magnitude(c), magnitude(d))
	return s1 * cmp.Or(cmp.Compare(h1, h2), cmp.Compare(l1, l2))
}

func magnitude(a int64) uint64 { return uint64(max(a, -a)) }

// ahead reports whether c lies on the ray from v through b, v itself excluded.
func ahead(v, b, c gridPoint) bool {
	return side(v, b, c) == 0 && cmp.Compare(b.x, v.x) == cmp.Compare(c.x, v.x) &&
		cmp.Compare(b.y, v.y) == cmp.Compare(c.y, v.y)
}

// between reports whether v lies on the edge from a to b, ends included.
func between(a, b, v gridPoint) bool {
	return min(a.x, b.x) <= v.x && v.x <= max(a.x, b.x) && min(a.y, b.y) <= v.y && v.y <= max(a.y, b.y) &&
		side(a, b, v) == 0
}

// edge runs from a to b; before and after are the ends of its neighbours.
type edge struct {
	a, b, before, after gridPoint
	ring                int
	next, last          int // index of the following and the previous edge
}

// meeting is how two edges have something in common.
type meeting int

const (
	crossing meeting = iota + 1 // the lines cross
	doubling                    // a ring runs twice over one line
	touching                    // a ring touches itself without crossing
	sharing                     // two rings share part of their border
)

// contact is a place where two edges meet.
type contact struct {
	kind         meeting
	ring1, ring2 int
	at           Position
}

const (
	// mostContacts is how many crossings are told before the search ends.
	mostContacts = 20
	// mostPairs bounds the pairs of edges compared: a second or two of work.
	mostPairs = 100_000_000
)

// finder looks for contacts between edges. Edges stand in a tree of bounding
// boxes in the order of the rings, where neighbours lie close together.
type finder struct {
	edges  []edge
	nodes  []node
	found  []contact
	faults int              // crossings and doublings among found
	sides  map[[2]int]int   // rings i < j: 1 left, 2 right, 3 both sides of i hold j
	told   map[contact]bool // kinds and rings of touches already told
	pairs  int              // compared so far
	most   int              // to be compared
}

// findContacts compares all edges of rings; skip marks rings to leave out.
// Whole is false when more pairs than the most had to be compared.
func findContacts(rings []ring, skip []bool, most int) (found []contact, whole bool) {
	f := finder{most: most, sides: map[[2]int]int{}, told: map[contact]bool{}}
	for i, r := range rings {
		if points := r.gridPoints(); len(points) >= 3 && !skip[i] {
			f.add(i, points)
		}
	}
	if len(f.edges) == 0 {
		return nil, true
	}
	f.build(0, len(f.edges))
	f.join(0, 0)
	return f.found, f.pairs < f.most
}

func (f *finder) add(ring int, points []gridPoint) {
	n, first := len(points), len(f.edges)
	for i := range points {
		f.edges = append(f.edges, edge{
			a: points[i], b: points[(i+1)%n], before: points[(i+n-1)%n], after: points[(i+2)%n],
			ring: ring, next: first + (i+1)%n, last: first + (i+n-1)%n,
		})
	}
}

// test finds what edges i and j have in common.
func (f *finder) test(i, j int) {
	p, q := &f.edges[i], &f.edges[j]
	if min(p.a.x, p.b.x) > max(q.a.x, q.b.x) || min(q.a.x, q.b.x) > max(p.a.x, p.b.x) ||
		min(p.a.y, p.b.y) > max(q.a.y, q.b.y) || min(q.a.y, q.b.y) > max(p.a.y, p.b.y) {
		return
	}
	switch {
	case p.next == j:
		f.turn(p, q)
		return
	case q.next == i:
		f.turn(q, p)
		return
	}
	a, b := side(p.a, p.b, q.a), side(p.a, p.b, q.b)
	if a*b > 0 {
		return
	}
	c, d := side(q.a, q.b, p.a), side(q.a, q.b, p.b)
	switch {
	case c*d > 0:
		return
	case a*b < 0 && c*d < 0:
		f.cross(p, q)
		return
	case a == 0 && b == 0:
		f.overlap(p, q)
	}
	// Each touch is seen once: at the start of an edge that lies on the other
	// edge, the other's end excluded.
	if p.a != q.b && between(q.a, q.b, p.a) {
		f.touch(p, q)
	}
	if q.a != p.b && q.a != p.a && between(p.a, p.b, q.a) {
		f.touch(q, p)
	}
}

// turn looks at an edge and the one after it: it may run straight back.
func (f *finder) turn(p, q *edge) {
	if ahead(p.b, p.a, q.b) {
		f.tell(contact{doubling, p.ring, p.ring, p.b.position()})
	}
}

func (f *finder) cross(p, q *edge) {
	ax, ay := float64(q.a.x-p.a.x), float64(q.a.y-p.a.y)
	px, py := float64(p.b.x-p.a.x), float64(p.b.y-p.a.y)
	qx, qy := float64(q.b.x-q.a.x), float64(q.b.y-q.a.y)
	t := math.Max(0, math.Min(1, (ax*qy-ay*qx)/(px*qy-py*qx)))
	f.tell(contact{crossing, p.ring, q.ring, gridPosition(float64(p.a.x)+t*px, float64(p.a.y)+t*py)})
}

// overlap looks at edges on one line: they may have a stretch in common.
func (f *finder) overlap(p, q *edge) {
	low := func(a, b gridPoint) gridPoint {
		if a.x < b.x || a.x == b.x && a.y < b.y {
			return a
		}
		return b
	}
	high := func(a, b gridPoint) gridPoint {
		if low(a, b) == a {
			return b
		}
		return a
	}
	from, to := high(low(p.a, p.b), low(q.a, q.b)), low(high(p.a, p.b), high(q.a, q.b))
	if from == to || low(from, to) == to {
		return
	}
	if p.ring == q.ring {
		f.tell(contact{doubling, p.ring, p.ring, from.position()})
	} else {
		f.tellOnce(contact{sharing, min(p.ring, q.ring), max(p.ring, q.ring), from.position()})
	}
}

// touch looks at the vertex at the start of p, which lies on q: the lines may
// cross there, or part after a stretch in common.
func (f *finder) touch(p, q *edge) {
	v := p.a
	first := [2]gridPoint{p.before, p.b}
	second := [2]gridPoint{q.a, q.b}
	if v == q.a {
		second[0] = q.before
	}
	ring1, ring2 := p.ring, q.ring
	if ring1 > ring2 {
		ring1, ring2, first, second = ring2, ring1, second, first
	}
	from, to := sideOfPath(first, v, second[0]), sideOfPath(first, v, second[1])
	seen := from | to
	switch {
	case ring1 == ring2 && seen == 3:
		f.tell(contact{crossing, ring1, ring2, v.position()})
	case ring1 == ring2 && from == 0, ring1 == ring2 && to == 0: // a doubling, told already
	case ring1 == ring2:
		f.tellOnce(contact{touching, ring1, ring2, v.position()})
	default:
		// A ring that is met on both sides, here or there, is crossed.
		pair := [2]int{ring1, ring2}
		if before := f.sides[pair]; before != 3 {
			f.sides[pair] = before | seen
			if before|seen == 3 {
				f.tell(contact{crossing, ring1, ring2, v.position()})
			}
		}
	}
}

// sideOfPath tells on which side of the way path[0], v, path[1] the way from v
// to q sets out: 1 left, 2 right, 0 along it.
func sideOfPath(path [2]gridPoint, v, q gridPoint) int {
	if ahead(v, path[0], q) || ahead(v, path[1], q) {
		return 0
	}
	s1, s2 := side(path[0], v, q), side(v, path[1], q)
	left := s1 > 0 && s2 > 0
	switch turn := side(path[0], v, path[1]); {
	case turn < 0:
		left = s1 > 0 || s2 > 0
	case turn == 0:
		left = s1 > 0
	}
	if left {
		return 1
	}
	return 2
}

func (f *finder) tell(c contact) {
	f.found = append(f.found, c)
	f.faults++
}

// tellOnce tells the first contact of its kind between two rings.
func (f *finder) tellOnce(c contact) {
	key := contact{kind: c.kind, ring1: c.ring1, ring2: c.ring2}
	if !f.told[key] {
		f.told[key] = true
		f.found = append(f.found, c)
	}
}
