package place

import "math"

// Metres2 is a surface on the ground in square metres.
type Metres2 float64

// Larger units of surface: divide by them to have hectares or square kilometres.
const (
	Hectare         Metres2 = 10_000
	SquareKilometre Metres2 = 1_000_000
)

// SurfaceOf is the land within rings on the WGS84 ellipsoid, by the odd rule of
// Area: rings within a ring are holes. It is never negative, whichever way the
// rings run, and NaN where NewArea would refuse a ring (a position off the
// globe, fewer than three different positions, a way round a pole). Of a ring
// that crosses itself the parts count against each other; see CheckOutline.
//
// Edges are straight in latitude and longitude, as in Area. The surface under
// an edge is the integral of a²q/2 over longitude, with q of the authalic
// latitude from Snyder 1987, Map Projections: A Working Manual,
// https://doi.org/10.3133/pp1395, equation (3-12); it is exact on the ellipsoid
// but for the rounding of numbers. Were the edges geodesics instead, land
// whose edges are shorter than 1 km would differ by less than 0.01 % (up to
// latitude 60): an edge of length L along a parallel bulges by L² tan(lat)/8a.
func SurfaceOf(rings [][]Position) Metres2 {
	if len(rings) == 0 {
		return 0
	}
	unwrapped, err := newRings(rings)
	if err != nil {
		return Metres2(math.NaN())
	}
	return surfaceOf(unwrapped)
}

func surfaceOf(rings []ring) Metres2 {
	sum := Metres2(0)
	for i, depth := range depthsOf(rings) {
		sum += Metres2(math.Abs(rings[i].surface())) * Metres2(1-depth%2*2)
	}
	return max(sum, 0)
}

// surface is in square metres, positive counter-clockwise.
func (r ring) surface() float64 {
	q0 := authalic(r[0].lat) // takes the bulk away, so that small land loses no digits
	sum := 0.0
	for i, j := 0, len(r)-1; i < len(r); j, i = i, i+1 {
		if r[i].lon != r[j].lon {
			sum -= (r[i].lon - r[j].lon) * radian * (meanAuthalic(r[j].lat, r[i].lat) - q0)
		}
	}
	a := float64(SemiMajorAxis)
	return a * a / 2 * sum
}

// authalic is Snyder's q of a latitude in degrees: 2π times a²q/2 is the
// surface between the equator and that latitude.
func authalic(lat float64) float64 {
	e, s := math.Sqrt(eccentricity2), math.Sin(lat*radian)
	return (1 - eccentricity2) * (s/(1-eccentricity2*s*s) + math.Atanh(e*s)/e)
}

// meanAuthalic is the mean of q between two latitudes, by Gauss's rule of three
// points in panels of at most five degrees (relative error below 1e-12).
func meanAuthalic(from, to float64) float64 {
	panels := 1 + int(math.Abs(to-from)/5)
	half := (to - from) / float64(2*panels)
	offset := half * math.Sqrt(0.6)
	sum := 0.0
	for i := range panels {
		mid := from + half*float64(2*i+1)
		sum += 5*authalic(mid-offset) + 8*authalic(mid) + 5*authalic(mid+offset)
	}
	return sum / float64(18*panels)
}

// LengthOf is the length of a line from its first to its last position in
// metres, each leg the shortest way on WGS84 (see Distance); 0 for fewer than
// two positions, NaN if one of them is not valid.
func LengthOf(line []Position) Metres {
	sum := Metres(0)
	for i := 1; i < len(line); i++ {
		sum += Distance(line[i-1], line[i])
	}
	return sum
}

// PerimeterOf is the length of all rings in metres, each closed and holes
// included; NaN if a position is not valid.
func PerimeterOf(rings [][]Position) Metres {
	sum := Metres(0)
	for _, r := range rings {
		if len(r) > 0 {
			sum += LengthOf(r) + Distance(r[len(r)-1], r[0])
		}
	}
	return sum
}
