package colour

import "math"

// Change is what happened to a colour: by bruising, by a drop of a reagent, by
// drying.
type Change struct {
	// Difference is CIEDE2000 between before and after.
	Difference float64
	// GiveOrTake is the 95 % uncertainty of the difference, in CIEDE2000, from
	// both colours' spreads.
	GiveOrTake float64
	// Sure says that the change is larger than its uncertainty.
	Sure bool
	// Words say it: "clearly darker and bluer".
	Words string
}

// The lines between the words are common practice, without a published source:
// 2 is seen when both lie side by side, 5 at a glance, 12 is another colour.
const (
	hardly   = 2
	slightly = 5
	clearly  = 12
)

// ChangeBetween compares a colour before and after (CIELAB relative to the same
// white) whose uncertainties are independent.
func ChangeBetween(before, after Lab, sBefore, sAfter Spread) Change {
	ch := Change{Difference: Difference(before, after)}
	ch.GiveOrTake = sBefore.Plus(sAfter).GiveOrTake(after)
	in, _ := sBefore.Plus(sAfter).Holds(before, after)
	ch.Sure = !in
	switch {
	case !ch.Sure:
		ch.Words = "no change that can be told from the uncertainty"
	case ch.Difference < hardly:
		ch.Words = "hardly changed"
	case ch.Difference < slightly:
		ch.Words = "slightly " + direction(before, after)
	case ch.Difference < clearly:
		ch.Words = "clearly " + direction(before, after)
	default:
		ch.Words = "strongly " + direction(before, after)
	}
	return ch
}

// direction names the one or two ways that a colour went furthest: lightness,
// vividness and hue, weighed as in CIEDE2000 (S_L taken as 1).
func direction(before, after Lab) string {
	dL := after.L - before.L
	c1, c2 := before.Chroma(), after.Chroma()
	mean := (c1 + c2) / 2
	dC := (c2 - c1) / (1 + 0.045*mean)
	dE := math.Sqrt(math.Max(0, (after.A-before.A)*(after.A-before.A)+(after.B-before.B)*(after.B-before.B)-(c2-c1)*(c2-c1))) / (1 + 0.015*mean)
	type way struct {
		size float64
		word string
	}
	ways := []way{
		{math.Abs(dL), pick(dL > 0, "lighter", "darker")},
		{math.Abs(dC), pick(dC > 0, "more vivid", "duller")},
		{dE, hueWord(after.A-before.A, after.B-before.B)},
	}
	// From or to grey the hue has no angle to turn by: where it went says it.
	if math.Min(c1, c2) < 8 && dC > 0 {
		ways[1] = way{math.Abs(dC), hueWord(after.A-before.A, after.B-before.B)}
		ways[2].size = 0
	}
	first := 0
	for i := range ways {
		if ways[i].size > ways[first].size {
			first = i
		}
	}
	second := -1
	for i := range ways {
		if i != first && ways[i].size >= 0.5*ways[first].size && (second < 0 || ways[i].size > ways[second].size) {
			second = i
		}
	}
	if second < 0 {
		return ways[first].word
	}
	return ways[min(first, second)].word + " and " + ways[max(first, second)].word
}

func pick(first bool, a, b string) string {
	if first {
		return a
	}
	return b
}

// hueWord names the direction of a step in the plane of a and b, by the unique
// hues as they lie in CIELAB (red 24°, yellow 90°, green 162°, blue 246°: from
// CIECAM02's eccentricity table carried over roughly; from memory).
func hueWord(da, db float64) string {
	h := hueDegrees(db, da)
	switch {
	case h < 57 || h >= 315:
		return "redder"
	case h < 126:
		return "yellower"
	case h < 204:
		return "greener"
	case h < 281:
		return "bluer"
	default:
		return "more purple"
	}
}
