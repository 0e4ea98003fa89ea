package place

import (
	"fmt"
	"math"
)

const (
	bandLetters   = "CDEFGHJKLMNPQRSTUVWX"     // 8° each from 80° S; X takes 12°
	columnLetters = "ABCDEFGHJKLMNPQRSTUVWXYZ" // 100 km columns, eight to a zone
	rowLetters    = "ABCDEFGHJKLMNPQRSTUV"     // 100 km rows, repeating every 2000 km
)

// band gives the letter of the 8° band of latitude; latitudes beyond the grid
// take its outermost letters.
func band(lat float64) byte {
	i := int(math.Floor((lat + 80) / 8))
	return bandLetters[min(max(i, 0), len(bandLetters)-1)]
}

// MGRS writes a position as a reference of the Military Grid Reference System,
// for example "30UXC1591834704". Resolution is the side of the square named:
// 1, 10, 100, 1000 or 10,000 m; digits are cut off, not rounded, so that the
// name is that of the square which holds the point. Scheme: NGA.STND.0037.
func MGRS(p Position, resolution Metres) (string, error) {
	digits := 0
	switch resolution {
	case 1:
		digits = 5
	case 10:
		digits = 4
	case 100:
		digits = 3
	case 1000:
		digits = 2
	case 10_000:
		digits = 1
	default:
		return "", fmt.Errorf("a grid reference cannot have a resolution of %g m: choose 1, 10, 100, 1000 or 10000", float64(resolution))
	}
	u, _, err := ToUTM(p)
	if err != nil {
		return "", err
	}
	e, n := int(u.Easting), int(u.Northing)
	column := columnLetters[(u.Zone-1)%3*8+e/100_000-1]
	row := n / 100_000
	if u.Zone%2 == 0 {
		row += 5
	}
	step := int(resolution)
	return fmt.Sprintf("%02d%c%c%c%0*d%0*d", u.Zone, band(float64(p.Lat)), column, rowLetters[row%20],
		digits, e%100_000/step, digits, n%100_000/step), nil
}
