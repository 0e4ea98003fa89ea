// Package render draws photographs of a field card among fruitbodies on the
// ground, of which everything is known: where each corner is seen, how wide
// each fruitbody is, where the camera stood. It is for comparing detectors and
// for testing what measurements claim about themselves.
//
// A photograph is a ray cast for each pixel through a lens with distortion to
// the card (flat or bent), the fruitbodies and the ground; then glare, blur in
// linear light, the sRGB curve, sharpening, noise and JPEG, in the order in
// which a phone does it. Its settings are drawn from a seed by Draw.
package render
