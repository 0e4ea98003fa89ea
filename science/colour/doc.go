// Package colour computes with colours as the eye sees them (CIE 1931, 2 degree
// observer): from the numbers in a photograph to light, to CIELAB, and to the
// difference between two colours. It knows nothing of pictures or cards; those
// packages hand it single colours and matrices.
package colour
