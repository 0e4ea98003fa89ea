package truecolour

import (
	"cmp"
	"math"
	"slices"

	"trug/science/colour"
)

const (
	// mostColours a palette has.
	mostColours = 5
	// apart is how far main colours differ at least, in the measure of far; nearer
	// ones are one colour with texture. Common practice, no source.
	apart = 9
	// leastPart is the share that makes a colour a main one.
	leastPart = 0.04
)

// far is how different two colours are for grouping: CIEDE2000's weights roughly,
// and lightness at half, since every rounded thing is shaded.
func far(p, q colour.Lab) float64 {
	c := (p.Chroma() + q.Chroma()) / 2
	dL, da, db := 0.5*(p.L-q.L), p.A-q.A, p.B-q.B
	return math.Sqrt(dL*dL + (da*da+db*db)/((1+0.03*c)*(1+0.03*c)))
}

// groups parts pixels into main colours, largest first: k-means from starting
// points that lie as far apart as they can, then joining what lies too near or is
// too small. It is the same for the same pixels in the same order.
func groups(all []pixel) [][]pixel {
	centres := starts(all)
	member := make([]int, len(all))
	for range 12 {
		for i, p := range all {
			member[i] = nearestTo(centres, p.lab)
		}
		centres = means(all, member, len(centres))
	}
	for len(centres) > 1 {
		i, j := toJoin(all, member, centres)
		if i < 0 {
			break
		}
		for k := range member {
			if member[k] == j {
				member[k] = i
			}
			if member[k] > j {
				member[k]--
			}
		}
		centres = means(all, member, len(centres)-1)
	}
	parts := make([][]pixel, len(centres))
	for i, p := range all {
		parts[member[i]] = append(parts[member[i]], p)
	}
	slices.SortStableFunc(parts, func(a, b []pixel) int { return cmp.Compare(len(b), len(a)) })
	return parts
}

// starts takes the mean, then again and again the pixel farthest from all taken
// (of a thousand, the hundredth farthest: a stray pixel is no colour).
func starts(all []pixel) []colour.Lab {
	centres := means(all, make([]int, len(all)), 1)
	for len(centres) < mostColours {
		type rank struct {
			d float64
			i int
		}
		ranks := make([]rank, len(all))
		for i, p := range all {
			ranks[i] = rank{far(centres[nearestTo(centres, p.lab)], p.lab), i}
		}
		slices.SortFunc(ranks, func(a, b rank) int { return cmp.Or(cmp.Compare(b.d, a.d), a.i-b.i) })
		next := ranks[len(ranks)/100]
		if next.d < apart/2 {
			break
		}
		centres = append(centres, all[next.i].lab)
	}
	return centres
}

func nearestTo(centres []colour.Lab, c colour.Lab) int {
	best, at := math.Inf(1), 0
	for i, m := range centres {
		if d := far(m, c); d < best {
			best, at = d, i
		}
	}
	return at
}

// means are the groups' mean colours; an empty group is far from everything.
func means(all []pixel, member []int, n int) []colour.Lab {
	sum, count := make([]colour.Lab, n), make([]float64, n)
	for i, p := range all {
		m := member[i]
		sum[m].L, sum[m].A, sum[m].B = sum[m].L+p.lab.L, sum[m].A+p.lab.A, sum[m].B+p.lab.B
		count[m]++
	}
	for i := range sum {
		if count[i] == 0 {
			sum[i] = colour.Lab{L: 1e6}
			continue
		}
		sum[i].L, sum[i].A, sum[i].B = sum[i].L/count[i], sum[i].A/count[i], sum[i].B/count[i]
	}
	return sum
}

// toJoin finds two groups to be made one: an empty or small one with its nearest,
// or the two nearest if they lie too near; i < j, or i < 0 when all may stay.
func toJoin(all []pixel, member []int, centres []colour.Lab) (i, j int) {
	count := make([]int, len(centres))
	for _, m := range member {
		count[m]++
	}
	least := int(leastPart * float64(len(all)))
	best, i, j := math.Inf(1), -1, -1
	for a := range centres {
		for b := a + 1; b < len(centres); b++ {
			d := far(centres[a], centres[b])
			if d >= apart && count[a] > least && count[b] > least {
				continue
			}
			if d < best || i < 0 {
				best, i, j = d, a, b
			}
		}
	}
	return i, j
}
