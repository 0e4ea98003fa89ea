package main

import (
	"math"
	"math/rand/v2"

	"trug/science/colour"
)

// camera is a telephone: sensor, its maker's fixed matrix, white balance of its
// own guess, tone curve and saturation. What it does after the sensor is not the
// form of any model that the correction knows.
type camera struct {
	sensor  [3]spectrum
	matrix  colour.Matrix // from balanced sensor light to linear sRGB, for D65
	gains   [3]float64    // white balance and exposure
	curve   float64       // how strongly S-shaped, 0..1
	toe     float64       // how far shadows are pressed down
	boost   float64       // saturation
	flare   float64       // stray light in the lens, a share of white
	shot    float64       // noise at white, as a share
	read    float64       // noise in the dark
	quality int           // of the JPEG
	table   []float64     // see encode
}

// makerMatrix is the least squares matrix from a sensor's light under D65 to
// linear sRGB over the painted chips, with greys kept.
func makerMatrix(sensor [3]spectrum) colour.Matrix {
	d65 := lamps[1].spectrum
	white := through(sensor, d65, perfect)
	var normal, right colour.Matrix
	for _, chip := range chips {
		v := through(sensor, d65, chip.spectrum)
		for c := range v {
			v[c] /= white[c]
		}
		lin := trueLab(chip.spectrum).XYZ(colour.D65).SRGB()
		t := [3]float64{lin.R, lin.G, lin.B}
		for i := range 3 {
			for j := range 3 {
				normal[i][j] += v[i] * v[j]
				right[i][j] += t[i] * v[j]
			}
		}
	}
	m := right.Times(normal.Inverse())
	for i := range m {
		sum := m[i][0] + m[i][1] + m[i][2]
		for j := range m[i] {
			m[i][j] /= sum
		}
	}
	return m
}

func newCamera(rnd *rand.Rand, light spectrum, paper spectrum) camera {
	k := 3 * rnd.IntN(len(sensors)/3)
	c := camera{sensor: [3]spectrum{sensors[k].spectrum, sensors[k+1].spectrum, sensors[k+2].spectrum}}
	c.matrix = makerMatrix(c.sensor)
	white := through(c.sensor, light, perfect)
	usual := through(c.sensor, lamps[1].spectrum, perfect)
	exposure := 0.55 + 0.4*rnd.Float64() // where white paper comes to lie
	adapts := 0.75 + 0.25*rnd.Float64()  // warm light is left a little warm
	for i := range 3 {
		balance := math.Pow(usual[i]/white[i], adapts) / usual[i] * math.Exp(0.05*rnd.NormFloat64())
		c.gains[i] = balance
	}
	seen := through(c.sensor, light, paper)
	most := 0.0
	for i := range 3 {
		most = max(most, seen[i]*c.gains[i])
	}
	for i := range 3 {
		c.gains[i] *= exposure / most
	}
	c.curve, c.toe = 0.7*rnd.Float64(), 0.25*rnd.Float64()
	c.boost = 1 + 0.3*rnd.Float64()
	c.flare = 0.01 * rnd.Float64()
	c.shot, c.read = 0.01+0.02*rnd.Float64(), 0.002+0.003*rnd.Float64()
	c.quality = 80 + rnd.IntN(16)
	return c
}

// develop turns sensor light, gained, into encoded sRGB in 0..1.
func (c *camera) develop(raw [3]float64) [3]float64 {
	for i := range raw {
		raw[i] = min(1, raw[i]) // the sensor's own end
	}
	v := c.matrix.Apply(raw)
	for i := range v {
		v[i] = c.encode(v[i])
	}
	// Saturation in luma and chroma (the weights of JPEG).
	y := 0.299*v[0] + 0.587*v[1] + 0.114*v[2]
	for i := range v {
		v[i] = min(1, max(0, y+c.boost*(v[i]-y)))
	}
	return v
}

// steps of the table that encode looks up.
const steps = 4096

// encode is the tone curve over the curve of sRGB, from a table by the root of
// light.
func (c *camera) encode(light float64) float64 {
	if c.table == nil {
		c.table = make([]float64, steps+2)
		for i := range c.table {
			x := float64(i) / steps
			c.table[i] = c.tone(colour.Encode(min(1, x*x)))
		}
	}
	at := math.Sqrt(min(1, max(0, light))) * steps
	i := int(at)
	return c.table[i] + (at-float64(i))*(c.table[i+1]-c.table[i])
}

// tone is S-shaped and keeps 0 and 1.
func (c *camera) tone(x float64) float64 {
	s := x*(1-c.curve) + c.curve*x*x*(3-2*x)
	return s * (1 - c.toe*(1-s)*(1-s))
}

// untone undoes tone, for the oracle.
func (c *camera) untone(y float64) float64 {
	low, high := 0.0, 1.0
	for range 40 {
		if m := (low + high) / 2; c.tone(m) < y {
			low = m
		} else {
			high = m
		}
	}
	return (low + high) / 2
}
