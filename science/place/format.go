package place

import (
	"fmt"
	"math"
)

// decimalsFor is how many decimals a number needs to show steps of the given
// size: none for 1 and above, at most the given number.
func decimalsFor(step float64, most int) int {
	if !(step > 0) {
		return most
	}
	return min(max(int(math.Ceil(-math.Log10(step)-1e-9)), 0), most)
}

// FormatDecimal writes a position in decimal degrees, latitude first, with as
// many decimals as the precision in degrees deserves (at most eight):
// "48.5626, -19.9476" for 0.0001. ParsePosition reads it back.
func FormatDecimal(p Position, precision Degrees) string {
	d := decimalsFor(float64(precision), 8)
	return fmt.Sprintf("%s, %s", fixed(float64(p.Lat), d), fixed(float64(p.Lon), d))
}

// fixed writes a number with d decimals and never as "-0".
func fixed(x float64, d int) string {
	if scale := math.Pow(10, float64(d)); math.Round(x*scale) == 0 {
		x = 0
	}
	return fmt.Sprintf("%.*f", d, x)
}

// FormatDMS writes a position in degrees, minutes and seconds, latitude first,
// as far as the precision in degrees reaches: "48° 33′ 45.4″ N 19° 56′ 51.4″ W"
// for 0.1 second, "48° 34′ N 19° 57′ W" for a minute. Seconds have at most four
// decimals (3 mm). ParsePosition reads it back.
func FormatDMS(p Position, precision Degrees) string {
	return dms(float64(p.Lat), float64(precision), "N", "S") + " " + dms(float64(p.Lon), float64(precision), "E", "W")
}

func dms(x, precision float64, positive, negative string) string {
	hemisphere := positive
	if math.Signbit(x) {
		hemisphere = negative
	}
	x = math.Abs(x)
	const slack = 1 - 1e-9 // 1/60 is not exact
	switch {
	case precision >= slack:
		return fmt.Sprintf("%.0f° %s", math.Round(x), hemisphere)
	case precision >= slack/60:
		minutes := int64(math.Round(x * 60))
		return fmt.Sprintf("%d° %02d′ %s", minutes/60, minutes%60, hemisphere)
	}
	d := decimalsFor(precision*3600, 4)
	perSecond := int64(math.Round(math.Pow(10, float64(d))))
	units := int64(math.Round(x * 3600 * float64(perSecond)))
	whole, rest := units/perSecond, units%perSecond
	seconds := fmt.Sprintf("%02d", whole%60)
	if d > 0 {
		seconds += fmt.Sprintf(".%0*d", d, rest)
	}
	return fmt.Sprintf("%d° %02d′ %s″ %s", whole/3600, whole/60%60, seconds, hemisphere)
}
