// Package outline reads outlines of sites and routes of forays from files that
// mapping programs and receivers write, GeoJSON and GPX, and writes outlines as
// GeoJSON. What a file leaves open is settled by rule and told in notes; what
// cannot be settled is refused with a sentence that says what to do.
//
// Whether an outline makes sense on the ground is for place.CheckOutline.
package outline
