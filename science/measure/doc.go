// Package measure turns points of a photograph with a field card into
// millimetres: straight and curved lengths, outlines with their greatest
// width, the width across it and the area, each with an expanded uncertainty
// and the budget it comes from, by the Guide to the Expression of Uncertainty
// in Measurement (JCGM 100:2008) and, for checking, by Monte Carlo (JCGM
// 101:2008). docs/uncertainty.md derives the formulas.
//
// It also proposes a fruitbody's outline from one tap, says what the view can
// resolve, and writes ranges as the trade does. It does not find the card
// (that is card's) and measures no colours.
package measure

// Revision counts the ways in which this package has measured: it goes up when
// the same points on the same card give another value or uncertainty.
const Revision = 3
