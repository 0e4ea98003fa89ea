package sharpness

import "math"

// Purpose is what a view is for, as the finest detail that it must show: pairs of
// dark and light across the subject.
type Purpose float64

// The purposes (common practice, no source: sixty pairs across a cap of 60 mm
// show what is 1 mm apart, a hundred and twenty the gills and pores of most).
const (
	Form   Purpose = 60  // top, side, surroundings
	Detail Purpose = 120 // underneath, base, cut, close-up
)

// finest is how many pairs of dark and light to a pixel there can be at all.
const finest = 0.5

// spreadTimesPairs is the product of a blur's spread and the pairs to a pixel at
// which a tenth of the contrast is left: exp(-2 pi² sigma² f²) = 0.1.
var spreadTimesPairs = math.Sqrt(math.Ln10/2) / math.Pi

// Finest is how many pairs of dark and light to a pixel can still be told apart
// at a blur (sigma, pixels): where it leaves a tenth of the contrast, and two
// pixels a pair at the least.
func Finest(blur float64) float64 {
	if blur <= 0 {
		return finest
	}
	return min(finest, spreadTimesPairs/blur)
}

// Enough says whether a subject so many pixels wide is seen sharply enough.
func Enough(blur, widthPx float64, p Purpose) bool {
	return Finest(blur)*widthPx >= float64(p)
}

// Most is the greatest blur (sigma, pixels) that a purpose allows for a subject
// so many pixels wide; 0 where it is too small however sharp it is.
func Most(widthPx float64, p Purpose) float64 {
	if finest*widthPx < float64(p) {
		return 0
	}
	return spreadTimesPairs * widthPx / float64(p)
}
