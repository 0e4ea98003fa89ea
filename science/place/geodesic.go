package place

import "math"

// Distance is the length in metres of the shortest line between two positions
// on WGS84, good to a millimetre anywhere, antipodes included. Both positions
// must be valid; otherwise it is NaN.
//
// Lines are found by Vincenty's iteration (Survey Review 23(176):88-93, 1975,
// https://doi.org/10.1179/sre.1975.23.176.88). Where that does not settle, near
// the antipode, the azimuth is bisected instead (see antipodalDistance).
func Distance(p, q Position) Metres {
	if p.Valid() != nil || q.Valid() != nil {
		return Metres(math.NaN())
	}
	if s, ok := vincenty(p, q); ok {
		return Metres(s)
	}
	return Metres(antipodalDistance(p, q))
}

// reduced gives sine and cosine of the reduced latitude.
func reduced(lat Degrees) (sin, cos float64) {
	s, c := math.Sincos(float64(lat) * radian)
	s *= 1 - Flattening
	h := math.Hypot(s, c)
	return s / h, c / h
}

// lonDifference is the longitude between two positions, 0..π radians.
func lonDifference(p, q Position) float64 {
	d := math.Abs(float64(q.Lon - p.Lon))
	if d > 180 {
		d = 360 - d
	}
	return d * radian
}

func vincenty(p, q Position) (metres float64, ok bool) {
	sinU1, cosU1 := reduced(p.Lat)
	sinU2, cosU2 := reduced(q.Lat)
	l := lonDifference(p, q)
	lambda := l
	for range 100 {
		sinL, cosL := math.Sincos(lambda)
		sinS := math.Hypot(cosU2*sinL, cosU1*sinU2-sinU1*cosU2*cosL)
		if sinS == 0 {
			// Same point, or exact antipodes, which the other method settles.
			return 0, cosL*cosU1*cosU2+sinU1*sinU2 > 0
		}
		cosS := sinU1*sinU2 + cosU1*cosU2*cosL
		sigma := math.Atan2(sinS, cosS)
		sinA := cosU1 * cosU2 * sinL / sinS
		cos2A := 1 - sinA*sinA
		cos2M := 0.0 // on the equator the midpoint is not needed
		if cos2A > 0 {
			cos2M = cosS - 2*sinU1*sinU2/cos2A
		}
		c := Flattening / 16 * cos2A * (4 + Flattening*(4-3*cos2A))
		next := l + (1-c)*Flattening*sinA*(sigma+c*sinS*(cos2M+c*cosS*(2*cos2M*cos2M-1)))
		if next > math.Pi {
			return 0, false
		}
		if math.Abs(next-lambda) < 1e-14 {
			return vincentyLength(cos2A, sinS, cosS, sigma, cos2M), true
		}
		lambda = next
	}
	return 0, false
}

// vincentyLength is the series for the length once the arc on the auxiliary
// sphere is known, with Helmert's parameter k1 as Vincenty advised in 1976.
func vincentyLength(cos2A, sinS, cosS, sigma, cos2M float64) float64 {
	a, b := float64(SemiMajorAxis), semiMinorAxis
	root := math.Sqrt(1 + cos2A*(a*a-b*b)/(b*b))
	k1 := (root - 1) / (root + 1)
	ca := (1 + k1*k1/4) / (1 - k1)
	cb := k1 * (1 - 3*k1*k1/8)
	delta := cb * sinS * (cos2M + cb/4*(cosS*(2*cos2M*cos2M-1)-
		cb/6*cos2M*(4*sinS*sinS-3)*(4*cos2M*cos2M-3)))
	return b * ca * (sigma - delta)
}

// antipodalDistance finds the azimuth at the first point by bisection: with the
// points put in the order lat1 <= 0, |lat2| <= |lat1|, the longitude at which a
// geodesic meets the second latitude grows with its azimuth. Longitude and
// length are the integrals (7) and (8) of Karney 2013,
// https://doi.org/10.1007/s00190-012-0578-z.
func antipodalDistance(p, q Position) float64 {
	if math.Abs(float64(q.Lat)) > math.Abs(float64(p.Lat)) {
		p, q = q, p
	}
	if p.Lat > 0 {
		p.Lat, q.Lat = -p.Lat, -q.Lat
	}
	line := meridianPair{}
	line.sin1, line.cos1 = reduced(p.Lat)
	line.sin1 = -math.Abs(line.sin1) // also turns 0 into -0: see arc
	line.sin2, line.cos2 = reduced(q.Lat)
	target := lonDifference(p, q)
	low, high := 0.0, math.Pi
	for range 100 {
		mid := (low + high) / 2
		if mid == low || mid == high {
			break
		}
		if lon, _ := line.trace(mid); lon < target {
			low = mid
		} else {
			high = mid
		}
	}
	_, metres := line.trace(high)
	return metres
}

// meridianPair holds the two reduced latitudes of a geodesic.
type meridianPair struct{ sin1, cos1, sin2, cos2 float64 }

// trace follows the geodesic that leaves the first latitude at an azimuth
// (radians, 0..π) to the second latitude: its longitude difference in radians
// and its length in metres. The -0 that antipodalDistance sets makes Atan2
// choose the way through the south when both points lie on the equator.
func (m meridianPair) trace(azimuth float64) (lon, metres float64) {
	sinA1, cosA1 := math.Sincos(azimuth)
	sinA0 := sinA1 * m.cos1
	cosA0 := math.Hypot(cosA1, sinA1*m.sin1)
	north2 := math.Sqrt(math.Max(0, cosA1*cosA1*m.cos1*m.cos1+(m.sin1-m.sin2)*(m.sin1+m.sin2)))
	s1, s2 := math.Atan2(m.sin1, cosA1*m.cos1), math.Atan2(m.sin2, north2)
	w1, w2 := math.Atan2(sinA0*m.sin1, cosA1*m.cos1), math.Atan2(sinA0*m.sin2, north2)
	const ePrime2 = eccentricity2 / (1 - eccentricity2)
	k2 := ePrime2 * cosA0 * cosA0
	length := integrate(s1, s2, func(sigma float64) float64 {
		s := math.Sin(sigma)
		return math.Sqrt(1 + k2*s*s)
	})
	shift := integrate(s1, s2, func(sigma float64) float64 {
		s := math.Sin(sigma)
		return (2 - Flattening) / (1 + (1-Flattening)*math.Sqrt(1+k2*s*s))
	})
	return w2 - w1 - Flattening*sinA0*shift, semiMinorAxis * length
}

// integrate is Gauss's rule of three points in 32 panels; the integrands above
// are smooth and nearly constant (k2 < 0.007), so the error is below a
// micrometre on the whole globe.
func integrate(from, to float64, f func(float64) float64) float64 {
	const panels = 32
	half := (to - from) / (2 * panels)
	offset := half * math.Sqrt(0.6)
	sum := 0.0
	for i := range panels {
		mid := from + half*float64(2*i+1)
		sum += 5*f(mid-offset) + 8*f(mid) + 5*f(mid+offset)
	}
	return sum * half / 9
}
