// Package colour computes with colours as the eye sees them (CIE 1931, 2 degree
// observer): from the numbers in a photograph to light, to CIELAB, to the
// difference between two colours, to the notation of Munsell and to names: those
// of the ISCC-NBS method, which are an open system of 267 blocks of the Munsell
// solid, and the nearest of Ridgway (1912), which old descriptions use. A colour
// that is not known exactly has a Spread, and is named with what the uncertainty
// leaves open. The package knows nothing of pictures or cards; those packages
// hand it single colours and matrices.
package colour
