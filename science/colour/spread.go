package colour

import (
	"cmp"
	"math"
	"slices"
	"strings"
)

// Spread is how uncertain a colour is: the covariance of L, a and b, symmetric.
type Spread [3][3]float64

// Plus adds independent uncertainties.
func (s Spread) Plus(o Spread) Spread {
	for i := range s {
		for j := range s[i] {
			s[i][j] += o[i][j]
		}
	}
	return s
}

// Times scales the covariance (not the standard deviations).
func (s Spread) Times(k float64) Spread {
	for i := range s {
		for j := range s[i] {
			s[i][j] *= k
		}
	}
	return s
}

// RoundSpread is the same standard deviation in every direction.
func RoundSpread(sd float64) Spread {
	return Spread{{sd * sd, 0, 0}, {0, sd * sd, 0}, {0, 0, sd * sd}}
}

// root gives a lower triangular matrix whose product with its own transpose is
// the covariance (Cholesky); directions without spread give columns of 0.
func (s Spread) root() Matrix {
	var l Matrix
	for i := range 3 {
		for j := 0; j <= i; j++ {
			sum := s[i][j]
			for k := range j {
				sum -= l[i][k] * l[j][k]
			}
			switch {
			case i == j:
				l[i][i] = math.Sqrt(math.Max(0, sum))
			case l[j][j] > 1e-12:
				l[i][j] = sum / l[j][j]
			}
		}
	}
	return l
}

// region95 is the 95 % point of chi-square with 3 degrees of freedom: the ellipsoid
// of that squared radius holds 95 % of a normal distribution in L, a, b.
const region95 = 7.814728

// Holds says whether the 95 % region around a colour holds another, and how far
// off that is in units of the region's radius (1 is its surface). A spread
// without extent in some direction holds nothing off it.
func (s Spread) Holds(middle, other Lab) (in bool, radii float64) {
	l := s.root()
	d := [3]float64{other.L - middle.L, other.A - middle.A, other.B - middle.B}
	var z [3]float64
	for i := range 3 {
		sum := d[i]
		for j := range i {
			sum -= l[i][j] * z[j]
		}
		switch {
		case l[i][i] > 1e-12:
			z[i] = sum / l[i][i]
		case math.Abs(sum) > 1e-9:
			return false, math.Inf(1)
		}
	}
	radii = math.Sqrt((z[0]*z[0] + z[1]*z[1] + z[2]*z[2]) / region95)
	return radii <= 1, radii
}

// GiveOrTake is the uncertainty as one number: the CIEDE2000 difference that 95 %
// of the colours in question stay within, taken over the normal distribution
// around the colour.
func (s Spread) GiveOrTake(middle Lab) float64 {
	var differences []float64
	s.cloud(middle, 1, func(c Lab) { differences = append(differences, Difference(middle, c)) })
	slices.Sort(differences)
	return differences[int(math.Ceil(0.95*float64(len(differences))))-1]
}

// shells are the radii of ten shells of equal probability of the normal
// distribution in three dimensions: square roots of the chi-square quantiles (3
// degrees of freedom) at 0.05, 0.15, ... 0.95.
var shells = [10]float64{0.59317, 0.89318, 1.10115, 1.28124, 1.45240, 1.62573, 1.81194, 2.02691, 2.30587, 2.79548}

// directions is how many points stand on each shell.
const directions = 40

// cloud calls fn with points that stand for the normal distribution around a
// colour, each for the same probability: ten shells with evenly spread
// directions (a Fibonacci spiral), every other shell turned. Only shells whose
// probability lies within the given share are used.
func (s Spread) cloud(middle Lab, within float64, fn func(Lab)) {
	l := s.root()
	golden := math.Pi * (3 - math.Sqrt(5))
	for k, r := range shells {
		if (float64(k)+0.5)/float64(len(shells)) > within+1e-9 {
			break
		}
		for i := range directions {
			z := 1 - (2*float64(i)+1)/directions
			flat, turn := math.Sqrt(1-z*z), golden*(float64(i)+0.5*float64(k%2)*directions)
			d := l.Apply([3]float64{r * flat * math.Cos(turn), r * flat * math.Sin(turn), r * z})
			fn(Lab{clamp(middle.L+d[0], 0, 100), middle.A + d[1], middle.B + d[2]})
		}
	}
}

// Naming is the name of a colour that is not known exactly.
type Naming struct {
	// Block is that of the colour itself.
	Block Block
	// Shares are all blocks that the 95 % region reaches, the likeliest first.
	Shares []Share
}

// Share is a block's part of the probability, 0..1.
type Share struct {
	Block Block
	Share float64
}

// NameWithin names a colour (CIELAB relative to white) and tells which other
// blocks its 95 % region reaches into.
func (c Lab) NameWithin(s Spread, white XYZ) Naming {
	n := Naming{Block: c.Block(white)}
	count := map[int]int{n.Block.Number: 0}
	total := 0
	s.cloud(c, 0.95, func(p Lab) {
		count[p.Block(white).Number]++
		total++
	})
	for number, k := range count {
		n.Shares = append(n.Shares, Share{Blocks()[number-1], float64(k) / float64(total)})
	}
	slices.SortFunc(n.Shares, func(p, q Share) int {
		return cmp.Or(cmp.Compare(q.Share, p.Share), p.Block.Number-q.Block.Number)
	})
	return n
}

const (
	// mostNames is how many names a sentence bears.
	mostNames = 3
	// leastShare is what a block must hold of the probability to be named: less
	// is a corner that the region just touches.
	leastShare = 0.05
	// leastTold is what the names must hold together.
	leastTold = 0.75
)

// String says the name as a person would: "light brown", "between light brown
// and moderate yellowish brown", and when more than three blocks are in question
// the coarser names of level 2 or 1: "brown, orange or yellow".
func (n Naming) String() string {
	levels := []func(Block) string{
		func(b Block) string { return b.Name },
		func(b Block) string { return b.Middle },
		func(b Block) string { return b.Broad },
	}
	for _, level := range levels {
		if names, told := n.names(level); len(names) <= mostNames && told >= leastTold {
			return between(names)
		}
	}
	return "a colour too uncertain to be named"
}

// names gives the names of a level that hold enough of the probability, the
// likeliest first, and how much they hold together.
func (n Naming) names(level func(Block) string) (names []string, told float64) {
	share := map[string]float64{}
	for _, s := range n.Shares {
		name := level(s.Block)
		if _, seen := share[name]; !seen {
			names = append(names, name)
		}
		share[name] += s.Share
	}
	names = slices.DeleteFunc(names, func(name string) bool {
		return share[name] < leastShare && name != level(n.Block)
	})
	slices.SortStableFunc(names, func(a, b string) int { return cmp.Compare(share[b], share[a]) })
	for _, name := range names {
		told += share[name]
	}
	return names, told
}

func between(names []string) string {
	switch len(names) {
	case 1:
		return names[0]
	case 2:
		return "between " + names[0] + " and " + names[1]
	default:
		return strings.Join(names[:len(names)-1], ", ") + " or " + names[len(names)-1]
	}
}
