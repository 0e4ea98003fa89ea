package colour

import "math"

// LinearRGB is light in the primaries of sRGB, each channel proportional to
// energy: 0 is none, 1 is white. Colours outside sRGB have channels below 0 or
// above 1.
type LinearRGB struct{ R, G, B float64 }

// XYZ is a colour in CIE tristimulus values, white having Y = 1. Which white
// it is relative to is said where it is used.
type XYZ struct{ X, Y, Z float64 }

// Lab is a colour in CIELAB: L 0 (black) to 100 (white), A green (negative) to
// red, B blue (negative) to yellow.
type Lab struct{ L, A, B float64 }

// Reference whites for the 2 degree observer.
var (
	// D65 is average daylight, the white of sRGB (IEC 61966-2-1).
	D65 = XYZ{0.95047, 1, 1.08883}
	// D50 is the white of print and of colour profiles (ISO 13655).
	D50 = XYZ{0.96422, 1, 0.82521}
	// C is the older daylight in which the Munsell renotation was measured.
	C = XYZ{0.98074, 1, 1.18232}
)

// SRGBToXYZ carries linear sRGB to XYZ relative to D65 (IEC 61966-2-1; the
// digits as published by B. Lindbloom).
var SRGBToXYZ = Matrix{
	{0.4124564, 0.3575761, 0.1804375},
	{0.2126729, 0.7151522, 0.0721750},
	{0.0193339, 0.1191920, 0.9503041},
}

// XYZToSRGB undoes SRGBToXYZ.
var XYZToSRGB = SRGBToXYZ.Inverse()

// DisplayP3ToXYZ carries linear Display P3, the colour space of many phones, to
// XYZ relative to D65. The primaries are those of SMPTE EG 432-1: x, y = 0.680,
// 0.320; 0.265, 0.690; 0.150, 0.060.
var DisplayP3ToXYZ = FromPrimaries([3][2]float64{{0.680, 0.320}, {0.265, 0.690}, {0.150, 0.060}}, D65)

// Decode turns a channel of sRGB as stored, 0..1, into light, 0..1
// (IEC 61966-2-1). Display P3 uses the same curve.
func Decode(stored float64) float64 {
	if stored <= 0.04045 {
		return stored / 12.92
	}
	return math.Pow((stored+0.055)/1.055, 2.4)
}

// Encode undoes Decode.
func Encode(light float64) float64 {
	if light <= 0.0031308 {
		return light * 12.92
	}
	return 1.055*math.Pow(light, 1/2.4) - 0.055
}

// FromSRGB8 turns the three bytes of an sRGB pixel into light.
func FromSRGB8(r, g, b uint8) LinearRGB {
	return LinearRGB{Decode(float64(r) / 255), Decode(float64(g) / 255), Decode(float64(b) / 255)}
}

// SRGB8 gives the nearest three bytes of an sRGB pixel. Channels outside 0..1
// are clipped, and inGamut says whether none was (by more than rounding).
func (c LinearRGB) SRGB8() (r, g, b uint8, inGamut bool) {
	inGamut = true
	channel := func(light float64) uint8 {
		v := math.Round(Encode(light) * 255)
		if v < 0 || v > 255 {
			inGamut = false
		}
		return uint8(math.Max(0, math.Min(255, v)))
	}
	return channel(c.R), channel(c.G), channel(c.B), inGamut
}

// XYZ gives the colour relative to D65.
func (c LinearRGB) XYZ() XYZ { return XYZ(fromArray(SRGBToXYZ.Apply([3]float64{c.R, c.G, c.B}))) }

// SRGB gives the light in sRGB's primaries of a colour relative to D65.
func (c XYZ) SRGB() LinearRGB {
	v := XYZToSRGB.Apply([3]float64{c.X, c.Y, c.Z})
	return LinearRGB{v[0], v[1], v[2]}
}

func fromArray(v [3]float64) XYZ { return XYZ{v[0], v[1], v[2]} }

// Adapt gives the colour that looks the same when the eye is used to another
// white, by the Bradford transform.
func (c XYZ) Adapt(from, to XYZ) XYZ {
	return fromArray(Bradford(from, to).Apply([3]float64{c.X, c.Y, c.Z}))
}

// The limits of the cube root in CIELAB as exact fractions (CIE 15:2004).
const (
	labEpsilon = 216.0 / 24389
	labKappa   = 24389.0 / 27
)

// labF is the cube root of CIELAB with its straight foot, and labG undoes it
// (CIE 15:2004).
func labF(t float64) float64 {
	if t > labEpsilon {
		return math.Cbrt(t)
	}
	return (labKappa*t + 16) / 116
}

func labG(t float64) float64 {
	if cube := t * t * t; cube > labEpsilon {
		return cube
	}
	return (116*t - 16) / labKappa
}

// Lab gives the colour in CIELAB relative to a white (CIE 15:2004). Light that
// no eye could see (channels below 0) is carried along the straight foot.
func (c XYZ) Lab(white XYZ) Lab {
	x, y, z := labF(c.X/white.X), labF(c.Y/white.Y), labF(c.Z/white.Z)
	return Lab{116*y - 16, 500 * (x - y), 200 * (y - z)}
}

// XYZ undoes XYZ.Lab.
func (c Lab) XYZ(white XYZ) XYZ {
	y := (c.L + 16) / 116
	return XYZ{white.X * labG(y+c.A/500), white.Y * labG(y), white.Z * labG(y-c.B/200)}
}

// Adapt gives the colour that looks the same when the eye is used to another
// white, by the Bradford transform.
func (c Lab) Adapt(from, to XYZ) Lab { return c.XYZ(from).Adapt(from, to).Lab(to) }

// Chroma is the distance from grey, 0 upwards.
func (c Lab) Chroma() float64 { return math.Hypot(c.A, c.B) }

// LabOfSRGB8 gives the CIELAB colour, relative to D65, of an sRGB pixel.
func LabOfSRGB8(r, g, b uint8) Lab { return FromSRGB8(r, g, b).XYZ().Lab(D65) }

// SRGB8 gives the sRGB pixel that looks like a colour relative to D65, clipped
// where sRGB does not reach it.
func (c Lab) SRGB8() (r, g, b uint8, inGamut bool) { return c.XYZ(D65).SRGB().SRGB8() }

// XYZToDisplayP3 undoes DisplayP3ToXYZ.
var XYZToDisplayP3 = DisplayP3ToXYZ.Inverse()

// DisplayP3 gives the light in the primaries of Display P3 of a colour relative
// to D65; Encode makes stored channels of it.
func (c XYZ) DisplayP3() (r, g, b float64) {
	v := XYZToDisplayP3.Apply([3]float64{c.X, c.Y, c.Z})
	return v[0], v[1], v[2]
}

// FromDisplayP3 turns light in the primaries of Display P3 into XYZ relative to
// D65.
func FromDisplayP3(r, g, b float64) XYZ {
	return fromArray(DisplayP3ToXYZ.Apply([3]float64{r, g, b}))
}
