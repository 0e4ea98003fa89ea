package colour

import "math"

// Difference is the colour difference CIEDE2000 with all weights 1: about 1 is
// just visible to a trained eye, 5 is plain, above 20 they are other colours.
//
// Formula: Sharma, Wu & Dalal, Color Res. Appl. 30(1):21-30, 2005,
// https://doi.org/10.1002/col.20070. Angles are in degrees and the sum of hues
// is compared with 180 exactly as there: with hues opposite each other rounding
// decides.
func Difference(p, q Lab) float64 {
	mean := (math.Hypot(p.A, p.B) + math.Hypot(q.A, q.B)) / 2
	g := 0.5 * (1 - math.Sqrt(seventh(mean)))
	a1, a2 := (1+g)*p.A, (1+g)*q.A
	c1, c2 := math.Hypot(a1, p.B), math.Hypot(a2, q.B)
	h1, h2 := hueDegrees(p.B, a1), hueDegrees(q.B, a2)

	dh, hMean := hueDifference(h1, h2, c1*c2 == 0)
	dL, dC := q.L-p.L, c2-c1
	dH := 2 * math.Sqrt(c1*c2) * sinDeg(dh/2)
	lMean, cMean := (p.L+q.L)/2, (c1+c2)/2

	t := 1 - 0.17*cosDeg(hMean-30) + 0.24*cosDeg(2*hMean) + 0.32*cosDeg(3*hMean+6) - 0.20*cosDeg(4*hMean-63)
	l50 := (lMean - 50) * (lMean - 50)
	sL := 1 + 0.015*l50/math.Sqrt(20+l50)
	sC := 1 + 0.045*cMean
	sH := 1 + 0.015*cMean*t
	turn := (hMean - 275) / 25
	rT := -2 * math.Sqrt(seventh(cMean)) * sinDeg(60*math.Exp(-turn*turn))

	l, c, h := dL/sL, dC/sC, dH/sH
	return math.Sqrt(math.Max(0, l*l+c*c+h*h+rT*c*h))
}

// hueDifference gives the signed difference of two hues and their mean, both in
// degrees; for a colour without hue the mean is that of the other.
func hueDifference(h1, h2 float64, grey bool) (difference, mean float64) {
	switch {
	case grey:
		return 0, h1 + h2
	case math.Abs(h1-h2) <= 180:
		return h2 - h1, (h1 + h2) / 2
	case h1+h2 < 360:
		mean = (h1 + h2 + 360) / 2
	default:
		mean = (h1 + h2 - 360) / 2
	}
	if h2 > h1 {
		return h2 - h1 - 360, mean
	}
	return h2 - h1 + 360, mean
}

func hueDegrees(b, a float64) float64 {
	if a == 0 && b == 0 {
		return 0
	}
	h := math.Atan2(b, a) * 180 / math.Pi
	if h < 0 {
		h += 360
	}
	return h
}

// seventh is c⁷ / (c⁷ + 25⁷), where the formula's blue region sets in.
func seventh(c float64) float64 {
	c7 := math.Pow(c, 7)
	return c7 / (c7 + 6103515625)
}

func sinDeg(d float64) float64 { return math.Sin(d * math.Pi / 180) }
func cosDeg(d float64) float64 { return math.Cos(d * math.Pi / 180) }
