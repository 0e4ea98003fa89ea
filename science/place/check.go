package place

import (
	"cmp"
	"fmt"
	"math"
	"slices"
)

// Limits on outlines: larger ones are refused rather than half checked.
const (
	// MostPoints is how many positions an outline or a route may have in all.
	MostPoints = 200_000
	// MostRings is how many rings an outline may have.
	MostRings = 1000
	// MostSurface is how large a site may be before its outline is taken for a
	// mistake: 1000 km² is more than can be walked in a season.
	MostSurface = 1000 * SquareKilometre
	// leastSurface is below what a satellite fix can tell from a line.
	leastSurface Metres2 = 1
)

// FaultKind is a sort of fault of an outline.
type FaultKind string

// The sorts of fault. Those marked as notes are allowed.
const (
	NoOutline     FaultKind = "no-outline"     // there is no ring
	TooMany       FaultKind = "too-many"       // more than MostPoints or MostRings
	OffTheGlobe   FaultKind = "off-the-globe"  // a position is not valid
	TooFewPoints  FaultKind = "too-few-points" // fewer than three different points
	RoundAPole    FaultKind = "round-a-pole"   // it encloses a pole
	CopiedRing    FaultKind = "copied-ring"    // a ring is there twice
	Crosses       FaultKind = "crosses"        // a ring crosses itself or another
	RunsTwice     FaultKind = "runs-twice"     // a ring runs twice over one line
	NoSurface     FaultKind = "no-surface"     // a ring holds no land
	TooLarge      FaultKind = "too-large"      // more than MostSurface
	NotChecked    FaultKind = "not-checked"    // too intricate to find all crossings
	HasHole       FaultKind = "hole"           // note: a ring lies within another
	TouchesItself FaultKind = "touches"        // note: a ring touches itself
	SharesBorder  FaultKind = "shares-border"  // note: two rings share a border
	TwoZones      FaultKind = "two-zones"      // note: more than one zone of the map grid
	OffTheGrid    FaultKind = "off-the-grid"   // note: beyond the map grid
)

// Fault is something about an outline that is wrong or worth knowing.
type Fault struct {
	Kind FaultKind
	// Note is true when the outline can be used as it is.
	Note bool
	// Ring is the number of the ring, from 1; 0 when it is about the whole.
	Ring int
	// At is where to look; nil when it is about no single place.
	At *Position
	// Text is a sentence that says what is wrong and, if need be, what to do.
	Text string
}

// CheckOutline tells what is wrong with an outline of one or more rings, and
// what is worth knowing of it: faults first, then notes. A ring may or may not
// repeat its first position. Positions that cannot be used at all end the check.
//
// Lines are compared exactly in billionths of a degree, a tenth of a millimetre.
// Up to twenty crossings are told. The search takes milliseconds for outlines
// as people walk and draw them; when bounding boxes overlap so much that more
// than a hundred million pairs of lines had to be compared it gives up, and a
// fault says so.
func CheckOutline(rings [][]Position) []Fault { return checkOutline(rings, mostPairs) }

func checkOutline(rings [][]Position, pairs int) []Fault {
	c := checker{outlines: rings}
	if c.positions(); len(c.faults) > 0 {
		return c.faults
	}
	unwrapped, err := newRings(rings)
	if err != nil { // positions has looked at all that newRings refuses today
		return []Fault{{Kind: OffTheGlobe, Text: err.Error()}}
	}
	c.rings = unwrapped
	c.copies()
	c.contacts(pairs)
	c.surfaces()
	c.holes()
	c.zones()
	slices.SortStableFunc(c.faults, func(a, b Fault) int {
		if a.Note != b.Note {
			if a.Note {
				return 1
			}
			return -1
		}
		return cmp.Compare(a.Ring, b.Ring)
	})
	return c.faults
}

type checker struct {
	outlines [][]Position
	rings    []ring
	copied   []bool
	faults   []Fault
}

func (c *checker) add(f Fault, format string, args ...any) {
	f.Text = fmt.Sprintf(format, args...)
	c.faults = append(c.faults, f)
}

// name is what a sentence calls a ring, counted from 0.
func (c *checker) name(i int) string {
	if len(c.outlines) == 1 {
		return "the outline"
	}
	return fmt.Sprintf("ring %d", i+1)
}

func whereabouts(p Position) string { return FormatDecimal(p, 1e-5) }

func (c *checker) positions() {
	points := 0
	for _, r := range c.outlines {
		points += len(r)
	}
	switch {
	case points == 0:
		c.add(Fault{Kind: NoOutline}, "there is no outline: draw a line round the site, or read one from a file")
		return
	case points > MostPoints:
		c.add(Fault{Kind: TooMany}, "the outline has %d points, %d are the most: simplify it first", points, MostPoints)
		return
	case len(c.outlines) > MostRings:
		c.add(Fault{Kind: TooMany}, "the outline has %d rings, %d are the most: split it into several sites", len(c.outlines), MostRings)
		return
	}
	for i, outline := range c.outlines {
		c.ring(i, outline)
	}
}

func (c *checker) ring(i int, outline []Position) {
	distinct := map[Position]bool{}
	for k, p := range outline {
		if err := p.Valid(); err != nil {
			c.add(Fault{Kind: OffTheGlobe, Ring: i + 1}, "point %d of %s: %v", k+1, c.name(i), err)
			return
		}
		distinct[p] = true
	}
	if len(distinct) < 3 {
		c.add(Fault{Kind: TooFewPoints, Ring: i + 1}, "%s has %d different points: at least three are needed to hold land", c.name(i), len(distinct))
	} else if _, err := newRing(outline); err != nil {
		c.add(Fault{Kind: RoundAPole, Ring: i + 1}, "%s goes round a pole: such land cannot be drawn in latitude and longitude", c.name(i))
	}
}

func (c *checker) copies() {
	c.copied = make([]bool, len(c.rings))
	seen := map[[3]int64][]int{}
	points := make([][]gridPoint, len(c.rings))
	for i, r := range c.rings {
		points[i] = r.gridPoints()
		key := [3]int64{int64(len(points[i]))}
		for _, g := range points[i] {
			key[1], key[2] = key[1]+g.x, key[2]+g.y
		}
		for _, k := range seen[key] {
			if sameRing(points[i], points[k]) {
				c.copied[i] = true
				c.add(Fault{Kind: CopiedRing, Ring: i + 1, At: &c.outlines[i][0]}, "ring %d is a copy of ring %d, and the two would cancel: take one of them out", i+1, k+1)
				break
			}
		}
		if !c.copied[i] {
			seen[key] = append(seen[key], i)
		}
	}
}

// sameRing reports whether two rings of equal length run through the same
// points, from whichever start and in whichever direction.
func sameRing(a, b []gridPoint) bool {
	n := len(a)
	if n == 0 {
		return true
	}
	for start := range n {
		if b[start] != a[0] {
			continue
		}
		forth, back := true, true
		for k := 0; k < n && (forth || back); k++ {
			forth = forth && a[k] == b[(start+k)%n]
			back = back && a[k] == b[(start-k+n)%n]
		}
		if forth || back {
			return true
		}
	}
	return false
}

func (c *checker) contacts(pairs int) {
	found, whole := findContacts(c.rings, c.copied, pairs)
	for _, f := range found {
		at, near := f.at, whereabouts(f.at)
		fault := Fault{Ring: f.ring1 + 1, At: &at}
		switch {
		case f.kind == crossing && f.ring1 == f.ring2:
			fault.Kind = Crosses
			c.add(fault, "%s crosses itself near %s: move or take out a point there", c.name(f.ring1), near)
		case f.kind == crossing:
			fault.Kind = Crosses
			c.add(fault, "ring %d crosses ring %d near %s: draw them apart, or as one ring", f.ring1+1, f.ring2+1, near)
		case f.kind == doubling:
			fault.Kind = RunsTwice
			c.add(fault, "%s runs twice over the same line near %s: take the spike out, or draw a hole as a ring of its own", c.name(f.ring1), near)
		case f.kind == touching:
			fault.Kind, fault.Note = TouchesItself, true
			c.add(fault, "%s touches itself near %s, which is allowed", c.name(f.ring1), near)
		default:
			fault.Kind, fault.Note = SharesBorder, true
			c.add(fault, "ring %d and ring %d share a border near %s, which is allowed", f.ring1+1, f.ring2+1, near)
		}
	}
	if !whole {
		c.add(Fault{Kind: NotChecked}, "the outline is too intricate to look for all crossings: simplify it first")
	}
}

func (c *checker) surfaces() {
	for i, r := range c.rings {
		if math.Abs(r.surface()) < float64(leastSurface) {
			c.add(Fault{Kind: NoSurface, Ring: i + 1, At: &c.outlines[i][0]}, "%s holds no land (less than 1 m²): its points lie on one line or in one spot", c.name(i))
		}
	}
	if s := surfaceOf(c.rings); s > MostSurface {
		c.add(Fault{Kind: TooLarge}, "the outline holds %.0f km², more than the %.0f km² taken for a site: look for a wrong point, and whether latitude and longitude are in the right order",
			float64(s/SquareKilometre), float64(MostSurface/SquareKilometre))
	}
}

func (c *checker) holes() {
	if slices.Contains(c.copied, true) {
		return // which rings lie within which is not clear yet
	}
	for i, depth := range depthsOf(c.rings) {
		if depth%2 == 1 {
			c.add(Fault{Kind: HasHole, Note: true, Ring: i + 1, At: &c.outlines[i][0]}, "ring %d lies within another and is a hole: what is inside it does not belong to the site", i+1)
		}
	}
}

func (c *checker) zones() {
	var zones []int
	beyond := false
	for _, outline := range c.outlines {
		for _, p := range outline {
			if zone, err := Zone(p); err != nil {
				beyond = true
			} else if !slices.Contains(zones, zone) {
				zones = append(zones, zone)
			}
		}
	}
	slices.Sort(zones)
	if len(zones) > 1 {
		c.add(Fault{Kind: TwoZones, Note: true}, "the outline lies in zones %d and %d of the map grid: squares are cut where the zones meet", zones[0], zones[len(zones)-1])
	}
	if beyond {
		c.add(Fault{Kind: OffTheGrid, Note: true}, "the outline reaches beyond the map grid (80° S to 84° N): no squares can be told there")
	}
}
