package place

import (
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"
)

// at puts small whole numbers on the ground, about 100 m to a step.
func at(points ...[2]int) []Position {
	r := make([]Position, len(points))
	for i, p := range points {
		r[i] = Position{Lat: 52 + Degrees(p[1])/1000, Lon: 14 + Degrees(p[0])/1000}
	}
	return r
}

func kinds(faults []Fault) string {
	var list []string
	for _, f := range faults {
		list = append(list, string(f.Kind))
	}
	slices.Sort(list)
	return strings.Join(slices.Compact(list), " ")
}

// TestCheckOutline: the cases follow from what the words mean.
func TestCheckOutline(t *testing.T) {
	square := at([2]int{0, 0}, [2]int{8, 0}, [2]int{8, 8}, [2]int{0, 8})
	inner := at([2]int{2, 2}, [2]int{4, 2}, [2]int{4, 4}, [2]int{2, 4})
	reversed := slices.Clone(inner)
	slices.Reverse(reversed)
	nan := slices.Clone(square)
	nan[2].Lat = Degrees(math.NaN())
	for name, c := range map[string]struct {
		rings [][]Position
		want  string
	}{
		"square":             {[][]Position{square}, ""},
		"closed":             {[][]Position{append(slices.Clone(square), square[0])}, ""},
		"standing still":     {[][]Position{append(slices.Clone(square), square[3], square[3], square[0])}, ""},
		"nothing":            {nil, "no-outline"},
		"no points":          {[][]Position{{}}, "no-outline"},
		"one ring empty":     {[][]Position{square, {}}, "too-few-points"},
		"two points":         {[][]Position{at([2]int{0, 0}, [2]int{1, 1}, [2]int{0, 0})}, "too-few-points"},
		"not a number":       {[][]Position{nan}, "off-the-globe"},
		"bow":                {[][]Position{at([2]int{0, 0}, [2]int{4, 4}, [2]int{4, 0}, [2]int{0, 3})}, "crosses"},
		"crosses in vertex":  {[][]Position{at([2]int{0, 0}, [2]int{2, 2}, [2]int{4, 4}, [2]int{4, 0}, [2]int{2, 2}, [2]int{0, 3})}, "crosses"},
		"crosses at vertex":  {[][]Position{at([2]int{0, 0}, [2]int{4, 4}, [2]int{4, 0}, [2]int{2, 2}, [2]int{0, 3})}, "crosses"},
		"touches in vertex":  {[][]Position{at([2]int{0, 0}, [2]int{2, 2}, [2]int{4, 0}, [2]int{4, 4}, [2]int{2, 2}, [2]int{0, 4})}, "touches"},
		"touches an edge":    {[][]Position{at([2]int{0, 0}, [2]int{8, 0}, [2]int{8, 8}, [2]int{4, 0}, [2]int{0, 8})}, "touches"},
		"spike":              {[][]Position{at([2]int{0, 0}, [2]int{8, 0}, [2]int{12, 0}, [2]int{8, 0}, [2]int{8, 8}, [2]int{0, 8})}, "runs-twice"},
		"long spike":         {[][]Position{at([2]int{0, 0}, [2]int{12, 0}, [2]int{8, 0}, [2]int{8, 8}, [2]int{0, 8})}, "runs-twice"},
		"bridge to a hole":   {[][]Position{at([2]int{0, 0}, [2]int{8, 0}, [2]int{8, 8}, [2]int{0, 8}, [2]int{0, 0}, [2]int{2, 2}, [2]int{2, 4}, [2]int{4, 4}, [2]int{4, 2}, [2]int{2, 2})}, "runs-twice"},
		"on one line":        {[][]Position{at([2]int{0, 0}, [2]int{4, 4}, [2]int{2, 2})}, "no-surface runs-twice"},
		"hole":               {[][]Position{square, inner}, "hole"},
		"hole touches":       {[][]Position{square, at([2]int{0, 0}, [2]int{4, 2}, [2]int{4, 4}, [2]int{2, 4})}, "hole"},
		"hole on the border": {[][]Position{square, at([2]int{2, 0}, [2]int{4, 0}, [2]int{4, 4}, [2]int{2, 4})}, "hole shares-border"},
		"copy":               {[][]Position{square, turnedBy(square, 2)}, "copied-ring"},
		"copy turned round":  {[][]Position{inner, turnedBy(reversed, 1)}, "copied-ring"},
		"apart":              {[][]Position{inner, at([2]int{12, 2}, [2]int{14, 2}, [2]int{14, 4})}, ""},
		"neighbours":         {[][]Position{square, at([2]int{8, 0}, [2]int{16, 0}, [2]int{16, 8}, [2]int{8, 8})}, "shares-border"},
		"overlap":            {[][]Position{square, at([2]int{4, 4}, [2]int{12, 4}, [2]int{12, 12}, [2]int{4, 12})}, "crosses"},
		"overlap on borders": {[][]Position{square, at([2]int{4, 0}, [2]int{12, 0}, [2]int{12, 8}, [2]int{4, 8})}, "crosses shares-border"},
		"two zones":          {[][]Position{{{52, 11.99}, {52, 12.01}, {52.01, 12}}}, "two-zones"},
		"date line":          {[][]Position{{{-17, 179.99}, {-17, -179.99}, {-16.99, 180}}}, "two-zones"},
		"bow on date line":   {[][]Position{{{-17, 179.99}, {-16.99, -179.99}, {-17, -179.99}, {-16.99, 179.99}}}, "crosses no-surface two-zones"},
		"far north":          {[][]Position{{{84.5, 10}, {84.5, 10.1}, {84.51, 10}}}, "off-the-grid"},
		"large":              {[][]Position{{{52, 14}, {52, 14.9}, {52.9, 14.9}}}, "too-large"},
		"pole":               {[][]Position{{{80, 0}, {80, 120}, {80, -120}}}, "round-a-pole"},
		"many rings":         {slices.Repeat([][]Position{inner}, MostRings+1), "too-many"},
		"many points":        {[][]Position{make([]Position, MostPoints+1)}, "too-many"},
	} {
		faults := CheckOutline(c.rings)
		if got := kinds(faults); got != c.want {
			t.Errorf("%s: %q, not %q: %+v", name, got, c.want, faults)
		}
		for _, f := range faults {
			if f.Text == "" || strings.Contains(f.Text, "%!") || f.Ring > len(c.rings) {
				t.Errorf("%s: %+v", name, f)
			}
		}
	}
}

// TestCrossingIsFound: lines from (0,0) to (4,4) and from (4,0) to (0,3) meet
// where 4t = 4 - 4s and 4t = 3s, at s = 4/7: (12/7, 12/7).
func TestCrossingIsFound(t *testing.T) {
	faults := CheckOutline([][]Position{at([2]int{0, 0}, [2]int{4, 4}, [2]int{4, 0}, [2]int{0, 3})})
	if len(faults) != 1 || faults[0].At == nil || faults[0].Note {
		t.Fatalf("%+v", faults)
	}
	near(t, "lat", faults[0].At.Lat, 52+12.0/7000, 2e-9)
	near(t, "lon", faults[0].At.Lon, 14+12.0/7000, 2e-9)
	if want := "the outline crosses itself near 52.00171, 14.00171: move or take out a point there"; faults[0].Text != want {
		t.Errorf("%q", faults[0].Text)
	}
}

// pairwise compares all pairs of edges of a ring in whole numbers: the brute
// force. Crossing is true for lines that pass through each other's inside,
// simple false if anything but neighbours meet, or neighbours run back.
func pairwise(r [][2]int) (crossing, simple bool) {
	n := len(r)
	simple = true
	turn := func(a, b, c [2]int) int {
		x := (b[0]-a[0])*(c[1]-a[1]) - (b[1]-a[1])*(c[0]-a[0])
		return min(max(x, -1), 1)
	}
	on := func(a, b, c [2]int) bool {
		return turn(a, b, c) == 0 && min(a[0], b[0]) <= c[0] && c[0] <= max(a[0], b[0]) && min(a[1], b[1]) <= c[1] && c[1] <= max(a[1], b[1])
	}
	for i := range n {
		for j := i + 1; j < n; j++ {
			a, b, c, d := r[i], r[(i+1)%n], r[j], r[(j+1)%n]
			switch {
			case j == i+1:
				simple = simple && !on(a, b, d) && !on(c, d, a)
			case i == 0 && j == n-1:
				simple = simple && !on(a, b, c) && !on(c, d, b)
			default:
				proper := turn(a, b, c)*turn(a, b, d) < 0 && turn(c, d, a)*turn(c, d, b) < 0
				crossing = crossing || proper
				simple = simple && !proper && !on(a, b, c) && !on(a, b, d) && !on(c, d, a) && !on(c, d, b)
			}
		}
	}
	return crossing, simple
}

// TestCrossingsAgainstPairs compares with the brute force on random small rings,
// where points often coincide or lie on one line.
func TestCrossingsAgainstPairs(t *testing.T) {
	rng := rand.New(rand.NewPCG(9, 10))
	seen := map[[2]bool]int{}
	for range 20_000 {
		n, size := 3+rng.IntN(8), 3+rng.IntN(8)
		var r [][2]int
		for len(r) < n {
			p := [2]int{rng.IntN(size), rng.IntN(size)}
			if k := len(r); k > 0 && r[k-1] == p || k == n-1 && r[0] == p {
				continue
			}
			r = append(r, p)
		}
		rings := [][]Position{at(r...)}
		unwrapped, err := newRings(rings)
		if err != nil { // two different points only
			continue
		}
		found, _ := findContacts(unwrapped, []bool{false}, mostPairs)
		crosses := slices.ContainsFunc(found, func(c contact) bool { return c.kind == crossing })
		proper, simple := pairwise(r)
		if simple != (len(found) == 0) || proper && !crosses {
			t.Fatalf("%v: simple %v, proper crossing %v, found %v", r, simple, proper, found)
		}
		seen[[2]bool{proper, simple}]++
	}
	if len(seen) < 3 {
		t.Errorf("the rings were too much alike: %v", seen)
	}
}

// TestRingsThatCross compares with samples along both borders: rings cross if
// and only if one border runs both inside and outside of the other ring.
func TestRingsThatCross(t *testing.T) {
	rng := rand.New(rand.NewPCG(11, 12))
	random := func() [][2]int {
		for {
			r := make([][2]int, 3+rng.IntN(3))
			for i := range r {
				r[i] = [2]int{rng.IntN(6), rng.IntN(6)}
			}
			if _, simple := pairwise(r); simple {
				return r
			}
		}
	}
	crossings := 0
	for range 3000 {
		rings, err := newRings([][]Position{at(random()...), at(random()...)})
		if err != nil {
			t.Fatal(err)
		}
		found, _ := findContacts(rings, make([]bool, 2), mostPairs)
		got := slices.ContainsFunc(found, func(c contact) bool { return c.kind == crossing })
		if want := bothSides(rings[0], rings[1]) || bothSides(rings[1], rings[0]); got != want {
			t.Fatalf("%v: crossing %v, by samples %v: %v", rings, got, want, found)
		}
		if got {
			crossings++
		}
	}
	if crossings < 500 || crossings > 2900 {
		t.Errorf("%d of 3000 pairs cross: too much alike", crossings)
	}
}

// bothSides samples the border of a.
func bothSides(a, b ring) bool {
	var in, out bool
	for i, p := range a {
		q := a[(i+1)%len(a)]
		for k := range 211 {
			t := (float64(k) + 0.5) / 211
			lat, lon := p.lat+t*(q.lat-p.lat), p.lon+t*(q.lon-p.lon)
			if b.touches(lat, lon) {
				continue
			}
			if b.contains(lat, lon) {
				in = true
			} else {
				out = true
			}
		}
	}
	return in && out
}

// TestManyCrossingsEnd: a ring that crosses itself everywhere ends at the limit.
func TestManyCrossingsEnd(t *testing.T) {
	rng := rand.New(rand.NewPCG(13, 14))
	r := make([]Position, 20_000)
	for i := range r {
		r[i] = Position{52 + Degrees(rng.Float64())/10, 14 + Degrees(rng.Float64())/10}
	}
	n := 0
	for _, f := range CheckOutline([][]Position{r}) {
		if f.Kind == Crosses {
			n++
		}
	}
	if n < mostContacts || n > mostContacts+64 {
		t.Errorf("%d crossings are told", n)
	}
}

// TestStarsDoNotCross: large rings without crossings have none; exchanging two
// neighbours' places makes one.
func TestStarsDoNotCross(t *testing.T) {
	rng := rand.New(rand.NewPCG(15, 16))
	for range 20 {
		r := star(rng, Position{Degrees(rng.Float64()*100 - 50), 180}, 0.1, 1000)
		if faults := CheckOutline([][]Position{r}); kinds(faults) != "two-zones" {
			t.Fatalf("%+v", faults)
		}
		k := rng.IntN(990)
		r[k], r[k+5] = r[k+5], r[k]
		if faults := CheckOutline([][]Position{r}); !strings.Contains(kinds(faults), "crosses") {
			t.Fatalf("%+v", faults)
		}
	}
}

func TestCompareProducts(t *testing.T) {
	const big = math.MaxInt64
	for _, c := range []struct {
		a, b, c, d int64
		want       int
	}{{3, 4, 2, 6, 0}, {big, big, big, big - 1, 1}, {-big, big, big, -big, 0}, {-3, 4, -2, 6, 0}, {-3, 5, -2, 6, -1}, {0, 9, -1, 1, 1}, {-big, -big, big - 1, big, 1}} {
		if got := compareProducts(c.a, c.b, c.c, c.d); got != c.want {
			t.Errorf("%v: %d", c, got)
		}
	}
}

func BenchmarkCheckOutline10000(b *testing.B) {
	r := [][]Position{star(rand.New(rand.NewPCG(1, 1)), Position{52, 14}, 0.05, 10_000)}
	for b.Loop() {
		if faults := CheckOutline(r); len(faults) > 0 {
			b.Fatal(faults)
		}
	}
}

// comb has long teeth that lean by 45 degrees, so that all their boxes overlap:
// the worst case without crossings.
func comb(n int) []Position {
	var r []Position
	corner := func(along, up float64) {
		r = append(r, Position{52 + Degrees(up-along), 14 + Degrees(up+along)})
	}
	step := 0.02 / float64(n)
	for i := range n / 2 {
		corner(float64(2*i)*step, 0)
		corner(float64(2*i+1)*step, 0.1)
	}
	corner(float64(n)*step, 0)
	corner(float64(n)*step, -0.01)
	corner(0, -0.01)
	return r
}

func TestCombDoesNotCross(t *testing.T) {
	if faults := CheckOutline([][]Position{comb(2000)}); len(faults) > 0 {
		t.Errorf("%+v", faults)
	}
}

// TestIntricateOutlineIsNotPassed: when the search gives up, a fault says so.
func TestIntricateOutlineIsNotPassed(t *testing.T) {
	if got := kinds(checkOutline([][]Position{comb(2000)}, 100_000)); got != "not-checked" {
		t.Errorf("%q", got)
	}
}

func BenchmarkCheckComb10000(b *testing.B) {
	r := [][]Position{comb(10_000)}
	for b.Loop() {
		if faults := CheckOutline(r); len(faults) > 0 {
			b.Fatal(faults)
		}
	}
}
