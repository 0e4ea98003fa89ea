// Package truecolour computes the colour of a thing that was photographed beside
// a field card: it samples the card's fields, finds how the camera and the light
// changed them, undoes that for the thing's own pixels, and says how uncertain the
// result is. Where the light does not allow a number it gives advice instead.
//
// It reads pixels of photographs in sRGB and the card's plane; it finds no card,
// measures no length, and knows no files. Colours come out in CIELAB relative to
// D65, 2 degree observer. docs/colour.md derives it and says what its figures
// rest on.
package truecolour
