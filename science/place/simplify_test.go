package place

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"
)

// wander is a line as a receiver in the hand draws it: steps of some metres.
func wander(rng *rand.Rand, from Position, n int) []Position {
	line := make([]Position, n)
	heading := rng.Float64() * 2 * math.Pi
	for i := range line {
		line[i] = from
		heading += 0.3 * rng.NormFloat64()
		from.Lat += Degrees(5e-5 * math.Sin(heading))
		from.Lon = Degrees(wrapLon(float64(from.Lon) + 5e-5*math.Cos(heading)/math.Cos(float64(from.Lat)*radian)))
	}
	return line
}

// offLine is the distance from p to the stretch from a to b by Vincenty's
// lines, narrowed down by thirds: it knows nothing of the method tested.
func offLine(p, a, b Position) Metres {
	turn := 360 * math.Round(float64(a.Lon-b.Lon)/360)
	along := func(t float64) Metres {
		lat, lon := float64(a.Lat)+t*float64(b.Lat-a.Lat), float64(a.Lon)+t*(float64(b.Lon-a.Lon)+turn)
		return Distance(p, Position{Degrees(lat), Degrees(wrapLon(lon))})
	}
	low, high := 0.0, 1.0
	for range 60 {
		t1, t2 := low+(high-low)/3, high-(high-low)/3
		if along(t1) < along(t2) {
			high = t2
		} else {
			low = t1
		}
	}
	return along((low + high) / 2)
}

// checkOffsets looks up each position left out between its kept neighbours.
func checkOffsets(t *testing.T, line, simple []Position, tolerance Metres) {
	t.Helper()
	k := 0
	for _, p := range line {
		if k+1 < len(simple) && p == simple[k+1] {
			k++
			continue
		}
		if p == simple[k] {
			continue
		}
		if k+1 >= len(simple) {
			t.Fatalf("%v lies behind the end", p)
		}
		if d := offLine(p, simple[k], simple[k+1]); d > tolerance*1.001+1e-3 {
			t.Errorf("%v lies %.3f m off the line, tolerance %.3f m", p, float64(d), float64(tolerance))
		}
	}
	if k != len(simple)-1 {
		t.Errorf("only %d of %d positions of the simple line are those of the line, in order", k+1, len(simple))
	}
}

// TestSimplifyLineStaysNear: nothing is moved off the line by more than the
// tolerance, at any latitude and over the date line.
func TestSimplifyLineStaysNear(t *testing.T) {
	rng := rand.New(rand.NewPCG(21, 22))
	for range 40 {
		line := wander(rng, Position{Degrees(rng.Float64()*150 - 75), 180}, 300)
		tolerance := Metres(math.Pow(10, 2.5*rng.Float64()-0.5))
		simple := SimplifyLine(line, tolerance)
		if simple[0] != line[0] || simple[len(simple)-1] != line[len(line)-1] {
			t.Fatal("an end was moved")
		}
		checkOffsets(t, line, simple, tolerance)
		if tolerance > 10 && len(simple) > 250 {
			t.Errorf("%d of 300 points stay at %v m", len(simple), tolerance)
		}
	}
}

// TestSimplifyLineOfDepth: a line that always halves at its very end still
// stays near, with the middle positions kept.
func TestSimplifyLineOfDepth(t *testing.T) {
	line := make([]Position, 600)
	for i := range line {
		line[i] = Position{52 + Degrees(math.Pow(0.97, float64(i)))*Degrees(1-2*(i%2)), 14 + Degrees(i)/1e6}
	}
	checkOffsets(t, line, SimplifyLine(line, 0.5), 0.5)
}

func TestSimplifyRings(t *testing.T) {
	rng := rand.New(rand.NewPCG(23, 24))
	for range 60 {
		centre := Position{Degrees(rng.Float64()*150 - 75), 180}
		rings := [][]Position{star(rng, centre, 0.01, 80), star(rng, centre, 0.002, 30)}
		rings[1] = append(rings[1], rings[1][0])
		tolerance := Metres(math.Pow(10, 5*rng.Float64()))
		simple := SimplifyRings(rings, tolerance)
		if faults := CheckOutline(simple); kinds(faults) != "hole two-zones" {
			t.Fatalf("at %v m: %+v", tolerance, faults)
		}
		for i, r := range simple {
			open := r
			if i == 1 {
				if r[0] != r[len(r)-1] || len(r) < 4 {
					t.Fatalf("the closed ring became %v", r)
				}
				open = r[:len(r)-1]
			}
			start := slices.Index(rings[i], open[0])
			whole := turnedBy(rings[i][:len(rings[i])-i], start)
			checkOffsets(t, append(whole, open[0]), append(slices.Clone(open), open[0]), tolerance)
		}
	}
}

// TestSimplifyNeverCollapses: a strip narrower than the tolerance stays land,
// and the start of a ring makes no difference.
func TestSimplifyNeverCollapses(t *testing.T) {
	rng := rand.New(rand.NewPCG(25, 26))
	for range 50 {
		r := star(rng, Position{52, 14}, 0.0001, 3+rng.IntN(40))
		simple := SimplifyRings([][]Position{r}, 1e6)[0]
		if len(simple) != 3 || !(SurfaceOf([][]Position{simple}) > 0) {
			t.Fatalf("%d points stay", len(simple))
		}
		again := SimplifyRings([][]Position{turnedBy(r, rng.IntN(len(r)))}, 1e6)[0]
		if !slices.Equal(turnedBy(again, slices.Index(again, simple[0])), simple) {
			t.Errorf("%v, from another start %v", simple, again)
		}
	}
}

// TestSimplifyKeepsWhatItCannotHelp: rings that cross, positions off the globe
// and a tolerance of nothing come back as they are.
func TestSimplifyKeepsWhatItCannotHelp(t *testing.T) {
	bow := at([2]int{0, 0}, [2]int{4, 4}, [2]int{4, 0}, [2]int{0, 4})
	off := []Position{{91, 0}, {0, 0}, {0, 1e-9}, {0, 1}}
	for _, r := range [][]Position{bow, off} {
		if got := SimplifyRings([][]Position{r}, 1); !slices.Equal(got[0], r) {
			t.Errorf("%v became %v", r, got[0])
		}
	}
	if got := SimplifyLine(off, 10); !slices.Equal(got, off) {
		t.Errorf("%v became %v", off, got)
	}
	line := at([2]int{0, 0}, [2]int{1, 0}, [2]int{2, 0})
	if got := SimplifyLine(line, Metres(math.NaN())); len(got) != 3 {
		t.Errorf("%v became %v", line, got)
	}
	if got := SimplifyLine(line, 1); len(got) != 2 {
		t.Errorf("a straight line keeps %d points", len(got))
	}
}

// smooth is a drawn outline: neighbours lie close together.
func smooth(n int) []Position {
	r := make([]Position, n)
	for i := range r {
		a := 2 * math.Pi * float64(i) / float64(n)
		d := 0.03 * (1 + 0.3*math.Sin(5*a) + 0.05*math.Sin(41*a) + 0.002*math.Sin(997*a))
		r[i] = Position{52 + Degrees(d*math.Sin(a)), 14 + Degrees(d*math.Cos(a))}
	}
	return r
}

func BenchmarkSimplifyRings10000(b *testing.B) {
	r := [][]Position{smooth(10_000)}
	for b.Loop() {
		SimplifyRings(r, 2)
	}
}

func BenchmarkCheckSmooth10000(b *testing.B) {
	r := [][]Position{smooth(10_000)}
	for b.Loop() {
		if faults := CheckOutline(r); len(faults) > 0 {
			b.Fatal(faults)
		}
	}
}
