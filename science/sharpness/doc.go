// Package sharpness tells how sharp a photograph shows its subject, whether the
// hand moved, and whether the light was right: the spread of the edges of the
// thing itself in pixels, not of whatever lies behind it.
//
// It reads grey light and the region of the subject; it finds no subject, decodes
// no file and knows no clock. Coordinates are pixels, pixel centres at integers,
// x to the right, y down.
package sharpness
