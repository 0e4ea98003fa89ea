package key

import (
	"math"
	"slices"

	"trug/science/matrix"
)

// Reason is what one answer says of one taxon.
type Reason struct {
	Character int
	// Weight is the weight of evidence: the natural logarithm of how many
	// times likelier the answer is in this taxon than in the others on the
	// whole (Good 1950). Positive speaks for the taxon.
	Weight float64
	// Allowed reports whether the taxon's entry has the answer, or leaves it
	// open.
	Allowed bool
	// Entry is what the matrix says of the taxon.
	Entry matrix.Entry
}

// Candidate is a taxon with what speaks for and against it. It is no name:
// people name.
type Candidate struct {
	Taxon       int
	Probability float64
	// For are the answers that the taxon's entry grants, Against those that it
	// does not, the weightiest first; Silent lists the characters that were
	// answered and of which the matrix knows nothing.
	For, Against []Reason
	Silent       []int
}

// Candidates returns the n likeliest taxa with their reasons.
func (f *Find) Candidates(n int) []Candidate {
	best := f.Best(n)
	out := make([]Candidate, len(best))
	for i, t := range best {
		out[i] = f.Candidate(t)
	}
	return out
}

// Candidate returns one taxon with its reasons.
func (f *Find) Candidate(taxon int) Candidate {
	c := Candidate{Taxon: taxon, Probability: f.Probability(taxon)}
	for _, e := range f.given {
		col := &f.key.columns[e.answer.Character]
		k := col.classes[col.class[taxon]]
		r := Reason{Character: e.answer.Character, Entry: k.entry,
			Weight:  math.Log(e.like[col.class[taxon]]) - math.Log(e.usual),
			Allowed: col.allows(k, e.answer)}
		switch {
		case k.entry.Status == matrix.Blank || k.entry.Status == matrix.Depends:
			c.Silent = append(c.Silent, r.Character)
		case !r.Allowed:
			c.Against = append(c.Against, r)
		default:
			c.For = append(c.For, r)
		}
	}
	weightiest := func(a, b Reason) int {
		switch x, y := math.Abs(a.Weight), math.Abs(b.Weight); {
		case x > y:
			return -1
		case x < y:
			return 1
		}
		return 0
	}
	slices.SortStableFunc(c.For, weightiest)
	slices.SortStableFunc(c.Against, weightiest)
	return c
}

// allows reports whether a class grants an answer or leaves it open.
func (c *column) allows(k class, a Answer) bool {
	switch {
	case k.entry.Status == matrix.Blank || k.entry.Status == matrix.Depends:
		return true
	case a.Absent:
		return k.entry.Status == matrix.Inapplicable
	case k.entry.Status == matrix.Inapplicable:
		return false
	case a.Number != nil:
		low, high := c.size.reach(k.low, k.high)
		return a.Number.High+2*a.Uncertainty >= low && a.Number.Low-2*a.Uncertainty <= high
	case a.Either:
		return slices.ContainsFunc(a.States, func(s int) bool { return k.allowed&(1<<s) != 0 })
	}
	return !slices.ContainsFunc(a.States, func(s int) bool { return k.allowed&(1<<s) == 0 })
}

// Difference is a character that tells two taxa apart.
type Difference struct {
	Character int
	// Bits is how much an answer tells between the two on average: the mutual
	// information of the answer with which of the two it is, at even odds. 1
	// tells them apart for certain.
	Bits float64
	// One and Two are what the matrix says of either.
	One, Two matrix.Entry
	// Answered reports whether the find has an answer already.
	Answered bool
}

// Compare returns the characters that tell two taxa apart, the most telling
// first; characters of which the matrix knows nothing for either are left out.
func (f *Find) Compare(one, two int) []Difference {
	var out []Difference
	for i := range f.key.columns {
		c := &f.key.columns[i]
		a, b := c.class[one], c.class[two]
		if !c.informed || a == b || c.classes[a].entry.Status == matrix.Blank || c.classes[b].entry.Status == matrix.Blank {
			continue
		}
		d := Difference{Character: i, One: c.classes[a].entry, Two: c.classes[b].entry, Answered: f.Answered(i)}
		for j := range c.answers {
			p, q := c.p[int(a)*c.answers+j], c.p[int(b)*c.answers+j]
			if p > 0 || q > 0 {
				m := (p + q) / 2
				d.Bits -= m * math.Log2(m)
			}
		}
		d.Bits = max(0, d.Bits-(c.entropy[a]+c.entropy[b])/2)
		out = append(out, d)
	}
	slices.SortStableFunc(out, func(a, b Difference) int {
		switch {
		case a.Bits > b.Bits:
			return -1
		case a.Bits < b.Bits:
			return 1
		}
		return 0
	})
	return out
}
