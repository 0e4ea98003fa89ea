package card

import "math"

// A screen's pixels, or what a camera's pixels make of them (moiré), run
// across the white of a card in even steps; paper and noise do not.
const (
	screenLags  = 16  // pixels: the longest step looked for
	screenLike  = .4  // correlation at a step from which it counts
	screenDepth = 1.2 // grey levels of 255 that the pattern must have
	leastStrip  = 24  // pixels: shorter strips tell nothing
)

// onScreen reports whether the white rings round the card's tags carry an even
// pattern along the card or across it.
func (c *Found) onScreen(l *level) bool {
	for _, across := range []bool{false, true} {
		var sum [screenLags + 1]float64
		for _, t := range c.Tags {
			if t.Covered {
				continue
			}
			for _, v := range []float64{-.5 / blackCells, 1 + .5/blackCells} {
				c.strip(l, t.Seat, across, v, &sum)
			}
		}
		if n := sum[0]; n > 0 && even(&sum) {
			return true
		}
	}
	return false
}

// even reports whether correlation falls below nothing and rises again.
func even(sum *[screenLags + 1]float64) bool {
	fell := false
	for _, v := range sum[1:] {
		fell = fell || v < 0
		if fell && v > screenLike*sum[0] {
			return true
		}
	}
	return false
}

// strip adds the correlations of the light along one side of a tag's white
// ring, v being how far across the tag it runs.
func (c *Found) strip(l *level, seat int, across bool, v float64, sum *[screenLags + 1]float64) {
	at := func(u, v float64) Pixel {
		if across {
			u, v = v, u
		}
		return c.Plane.ToImage(spotOf(c.Layout, seat, u, v))
	}
	a, b := at(0, v), at(1, v)
	n := int(math.Hypot(b.X-a.X, b.Y-a.Y))
	if n < leastStrip || !(a.X > 1 && b.X > 1 && a.Y > 1 && b.Y > 1) || math.Max(a.X, b.X) > float64(l.w-2) || math.Max(a.Y, b.Y) > float64(l.h-2) {
		return
	}
	beside := n/blackCells + 4
	l.need(int(min(a.X, b.X))-beside, int(min(a.Y, b.Y))-beside, int(max(a.X, b.X))+beside, int(max(a.Y, b.Y))+beside)
	raw := make([]float64, n)
	for i := range raw {
		for lane := -1; lane <= 1; lane++ {
			p := at((float64(i)+.5)/float64(n), v+float64(lane)*.15/blackCells)
			raw[i] += l.at(p.X, p.Y) / 3
		}
	}
	// Shade and glare, which change slowly, are taken off.
	const half = screenLags / 2
	line := make([]float64, n)
	power := 0.0
	for i := range line {
		mean, k := 0.0, 0.0
		for j := max(i-half, 0); j <= min(i+half, n-1); j++ {
			mean, k = mean+raw[j], k+1
		}
		line[i] = raw[i] - mean/k
		power += line[i] * line[i]
	}
	if power/float64(n) < screenDepth*screenDepth {
		// Too faint to be told from noise: it counts against.
		sum[0] += screenDepth * screenDepth * float64(n)
		return
	}
	for lag := range min(screenLags, n/3) + 1 {
		s := 0.0
		for i := range n - lag {
			s += line[i] * line[i+lag]
		}
		sum[lag] += s * float64(n) / float64(n-lag)
	}
}
