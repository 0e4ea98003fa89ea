package place

import "math"

// Figures for places whose uncertainty nobody wrote down.
const (
	// UnknownGNSSUncertainty is the least uncertainty of a satellite fix since
	// 2 May 2000 whose accuracy was not recorded (Darwin Core,
	// coordinateUncertaintyInMeters).
	UnknownGNSSUncertainty Metres = 30
	// UnknownGNSSUncertaintyBefore2000 is the same before selective
	// availability was switched off on 1 May 2000 (Darwin Core, as above).
	UnknownGNSSUncertaintyBefore2000 Metres = 100
	// ReportedAccuracyFactor turns the accuracy that a receiver shows (about
	// 68 % of fixes lie within it) into an uncertainty that holds about 95 %
	// (Chapman & Wieczorek 2020, https://doi.org/10.15468/doc-gg7h-s853).
	ReportedAccuracyFactor = 2.0
	// UnknownDatumUncertainty is the worst shift between datums anywhere, for a
	// coordinate whose datum is unknown (Chapman & Wieczorek 2020, as above).
	UnknownDatumUncertainty Metres = 5359
)

// PrecisionUncertainty is the uncertainty in metres that comes from coordinates
// having been written to a step of precision degrees at latitude lat: the
// diagonal of the step, not half of it, because digits may have been cut off
// as well as rounded. The cosine makes it shrink towards the poles.
//
// Formula: Chapman & Wieczorek 2020, Georeferencing Best Practices,
// https://doi.org/10.15468/doc-gg7h-s853, section "Uncertainty from
// coordinate precision". Distances add up with others in the same direction.
func PrecisionUncertainty(lat, precision Degrees) Metres {
	meridian, normal := radii(float64(lat))
	step := math.Abs(float64(precision)) * radian
	return Metres(math.Hypot(meridian*step, normal*math.Cos(float64(lat)*radian)*step))
}

// radii gives the radius of curvature of the meridian and of the prime
// vertical, in metres, at a latitude in degrees.
func radii(lat float64) (meridian, normal float64) {
	s := math.Sin(lat * radian)
	w := 1 - eccentricity2*s*s
	a := float64(SemiMajorAxis)
	return a * (1 - eccentricity2) / (w * math.Sqrt(w)), a / math.Sqrt(w)
}
