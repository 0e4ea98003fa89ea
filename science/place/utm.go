package place

import (
	"fmt"
	"math"
)

// UTM is a point on the Universal Transverse Mercator grid: Zone 1..60, the
// hemisphere, and metres east (500,000 on the central meridian) and north
// (from the equator, or from 10,000,000 on it in the southern hemisphere).
type UTM struct {
	Zone              int
	North             bool
	Easting, Northing Metres
}

// Grid tells how the map grid lies at a point: Convergence is the angle from
// true north to grid north, clockwise positive; Scale is grid length divided
// by length on the ground (0.9996 on the central meridian).
type Grid struct {
	Convergence Degrees
	Scale       float64
}

const (
	gridScale     = 0.9996
	falseEasting  = 500_000
	falseNorthing = 10_000_000
)

// The third flattening and the series of Krüger to its sixth power, as given by
// Karney 2011, Transverse Mercator with an accuracy of a few nanometers,
// https://doi.org/10.1007/s00190-011-0445-3, equations (14), (35) and (36).
var (
	n1 = Flattening / (2 - Flattening)
	n2 = n1 * n1
	n3 = n2 * n1
	n4 = n2 * n2
	n5 = n4 * n1
	n6 = n3 * n3

	rectifyingRadius = float64(SemiMajorAxis) / (1 + n1) * (1 + n2/4 + n4/64 + n6/256)

	forward = [6]float64{
		n1/2 - 2*n2/3 + 5*n3/16 + 41*n4/180 - 127*n5/288 + 7891*n6/37800,
		13*n2/48 - 3*n3/5 + 557*n4/1440 + 281*n5/630 - 1983433*n6/1935360,
		61*n3/240 - 103*n4/140 + 15061*n5/26880 + 167603*n6/181440,
		49561*n4/161280 - 179*n5/168 + 6601661*n6/7257600,
		34729*n5/80640 - 3418889*n6/1995840,
		212378941 * n6 / 319334400,
	}
	inverse = [6]float64{
		n1/2 - 2*n2/3 + 37*n3/96 - n4/360 - 81*n5/512 + 96199*n6/604800,
		n2/48 + n3/15 - 437*n4/1440 + 46*n5/105 - 1118711*n6/3870720,
		17*n3/480 - 37*n4/840 - 209*n5/4480 + 5569*n6/90720,
		4397*n4/161280 - 11*n5/504 - 830251*n6/7257600,
		4583*n5/161280 - 108847*n6/3991680,
		20648693 * n6 / 638668800,
	}
)

// Zone gives the UTM zone (1..60) of a position, with the exceptions for
// south-western Norway (32V) and Svalbard (31X, 33X, 35X, 37X). It fails for
// positions that are not valid, and beyond 80° S and 84° N, where UTM ends.
func Zone(p Position) (int, error) {
	if err := p.Valid(); err != nil {
		return 0, err
	}
	if p.Lat < -80 || p.Lat > 84 {
		return 0, fmt.Errorf("latitude %s lies beyond the map grid, which covers 80° S to 84° N: record this place by latitude and longitude", plain(float64(p.Lat)))
	}
	lat, lon := float64(p.Lat), wrapLon(float64(p.Lon))
	switch {
	case lat >= 56 && lat < 64 && lon >= 3 && lon < 12:
		return 32, nil
	case lat >= 72 && lon >= 0 && lon < 42:
		return 31 + 2*int((lon+3)/12), nil
	}
	return int((lon+180)/6) + 1, nil
}

// ToUTM carries a position to the map grid, in its own zone.
func ToUTM(p Position) (UTM, Grid, error) {
	zone, err := Zone(p)
	if err != nil {
		return UTM{}, Grid{}, err
	}
	u, g := toZone(p, zone)
	return u, g, nil
}

func centralMeridian(zone int) float64 { return float64(6*zone - 183) }

func toZone(p Position, zone int) (UTM, Grid) {
	lambda := wrapLon(float64(p.Lon)-centralMeridian(zone)) * radian
	tau := math.Tan(float64(p.Lat) * radian)
	tauC := conformal(tau)
	sinL, cosL := math.Sincos(lambda)
	xi0 := math.Atan2(tauC, cosL)
	eta0 := math.Asinh(sinL / math.Hypot(tauC, cosL))
	xi, eta, pp, qq := series(forward, xi0, eta0, 1)

	u := UTM{Zone: zone, North: p.Lat >= 0}
	u.Easting = Metres(falseEasting + gridScale*rectifyingRadius*eta)
	u.Northing = Metres(gridScale * rectifyingRadius * xi)
	if !u.North {
		u.Northing += falseNorthing
	}
	convergence := math.Atan2(tauC*sinL, cosL*math.Sqrt(1+tauC*tauC)) + math.Atan2(qq, pp)
	s2 := tau * tau / (1 + tau*tau)
	scale := gridScale * rectifyingRadius / float64(SemiMajorAxis) *
		math.Sqrt(1-eccentricity2*s2) * math.Sqrt(1+tau*tau) / math.Hypot(tauC, cosL) * math.Hypot(pp, qq)
	return u, Grid{Convergence: Degrees(convergence / radian), Scale: scale}
}

// Position carries a grid point back to latitude and longitude. It fails when
// the zone is not 1..60 or the point lies outside the grid altogether; it does
// accept points a little beyond the edge of their zone.
func (u UTM) Position() (Position, error) {
	if u.Zone < 1 || u.Zone > 60 {
		return Position{}, fmt.Errorf("map grid zone %d does not exist: zones run from 1 to 60", u.Zone)
	}
	if !(u.Easting >= 0 && u.Easting <= 1_000_000) {
		return Position{}, fmt.Errorf("easting %.0f lies outside the map grid: eastings run from about 100000 to 900000 m", float64(u.Easting))
	}
	if !(u.Northing >= 0 && u.Northing <= falseNorthing) {
		return Position{}, fmt.Errorf("northing %.0f lies outside the map grid: northings run from 0 to 10000000 m", float64(u.Northing))
	}
	y := float64(u.Northing)
	if !u.North {
		y -= falseNorthing
	}
	xi, eta := y/(gridScale*rectifyingRadius), float64(u.Easting-falseEasting)/(gridScale*rectifyingRadius)
	xi0, eta0, _, _ := series(inverse, xi, eta, -1)
	sinX, cosX := math.Sincos(xi0)
	sinhE := math.Sinh(eta0)
	tau := geographic(sinX / math.Hypot(sinhE, cosX))
	p := Position{
		Lat: Degrees(math.Atan(tau) / radian),
		Lon: Degrees(wrapLon(math.Atan2(sinhE, cosX)/radian + centralMeridian(u.Zone))),
	}
	return p, nil
}

// series adds Krüger's terms (sign 1 forward, -1 back) and returns with them
// the real and imaginary part of the derivative.
func series(c [6]float64, xi, eta, sign float64) (x, e, p, q float64) {
	x, e, p = xi, eta, 1
	for i, a := range c {
		k := 2 * float64(i+1)
		s, co := math.Sincos(k * xi)
		sh, ch := math.Sinh(k*eta), math.Cosh(k*eta)
		x += sign * a * s * ch
		e += sign * a * co * sh
		p += sign * k * a * co * ch
		q += sign * k * a * s * sh
	}
	return x, e, p, q
}

// conformal turns the tangent of the geographic latitude into that of the
// conformal one: Karney 2011, equations (7) to (9).
func conformal(tau float64) float64 {
	e := math.Sqrt(eccentricity2)
	root := math.Sqrt(1 + tau*tau)
	sigma := math.Sinh(e * math.Atanh(e*tau/root))
	return tau*math.Sqrt(1+sigma*sigma) - sigma*root
}

// geographic undoes conformal by Newton's method: Karney 2011, (19) to (21).
func geographic(tauC float64) float64 {
	tau := tauC
	for range 8 {
		t := conformal(tau)
		step := (tauC - t) / math.Sqrt(1+t*t) *
			(1 + (1-eccentricity2)*tau*tau) / ((1 - eccentricity2) * math.Sqrt(1+tau*tau))
		tau += step
		if math.Abs(step) <= 1e-15*math.Max(1, math.Abs(tau)) {
			break
		}
	}
	return tau
}
