package paint

import "math"

// v3 is a point, direction or linear RGB colour.
type v3 struct{ x, y, z float32 }

func (a v3) add(b v3) v3      { return v3{a.x + b.x, a.y + b.y, a.z + b.z} }
func (a v3) sub(b v3) v3      { return v3{a.x - b.x, a.y - b.y, a.z - b.z} }
func (a v3) mul(k float32) v3 { return v3{a.x * k, a.y * k, a.z * k} }
func (a v3) dot(b v3) float32 { return a.x*b.x + a.y*b.y + a.z*b.z }
func (a v3) len() float32     { return sqrt(a.dot(a)) }
func (a v3) mix(b v3, t float32) v3 {
	return v3{a.x + (b.x-a.x)*t, a.y + (b.y-a.y)*t, a.z + (b.z-a.z)*t}
}

func (a v3) cross(b v3) v3 {
	return v3{a.y*b.z - a.z*b.y, a.z*b.x - a.x*b.z, a.x*b.y - a.y*b.x}
}

func (a v3) unit() v3 {
	l := a.len()
	if l < 1e-12 {
		return v3{0, 0, 1}
	}
	return a.mul(1 / l)
}

func sqrt(x float32) float32 { return float32(math.Sqrt(float64(x))) }
func abs(x float32) float32 {
	if x < 0 {
		return -x
	}
	return x
}
func floor(x float32) float32 { return float32(ifloor(x)) }

func clamp(x, lo, hi float32) float32 {
	if x < lo {
		return lo
	}
	if x > hi {
		return hi
	}
	return x
}

// smooth is the smoothstep from 0 at lo to 1 at hi.
func smooth(lo, hi, x float32) float32 {
	t := clamp((x-lo)/(hi-lo), 0, 1)
	return t * t * (3 - 2*t)
}

func lerp(a, b, t float32) float32 { return a + (b-a)*t }

const pi = float32(math.Pi)

// xform is a rotation (rows of the matrix as columns a, b, c: images of the
// axes), a uniform scale folded in, and a shift.
type xform struct{ a, b, c, t v3 }

var identity = xform{a: v3{1, 0, 0}, b: v3{0, 1, 0}, c: v3{0, 0, 1}}

func (m xform) dir(p v3) v3 {
	return v3{
		m.a.x*p.x + m.b.x*p.y + m.c.x*p.z,
		m.a.y*p.x + m.b.y*p.y + m.c.y*p.z,
		m.a.z*p.x + m.b.z*p.y + m.c.z*p.z,
	}
}
func (m xform) at(p v3) v3 { return m.dir(p).add(m.t) }

// then gives the transform that applies m first and n second.
func (m xform) then(n xform) xform {
	return xform{n.dir(m.a), n.dir(m.b), n.dir(m.c), n.at(m.t)}
}

func shift(t v3) xform {
	m := identity
	m.t = t
	return m
}

// turn rotates by ang (radians) about an axis: 0 = x, 1 = y, 2 = z.
func turn(axis int, ang float32) xform {
	s, c := sin(ang), cos(ang)
	switch axis {
	case 0:
		return xform{a: v3{1, 0, 0}, b: v3{0, c, s}, c: v3{0, -s, c}}
	case 1:
		return xform{a: v3{c, 0, -s}, b: v3{0, 1, 0}, c: v3{s, 0, c}}
	}
	return xform{a: v3{c, s, 0}, b: v3{-s, c, 0}, c: v3{0, 0, 1}}
}

// lab converts CIELAB (D65, 2 degrees) to linear sRGB clipped to 0..1, by the
// formulas of CIE 15 and IEC 61966-2-1.
func lab(l, a, b float64) v3 {
	fy := (l + 16) / 116
	fx, fz := fy+a/500, fy-b/200
	inv := func(t float64) float64 {
		if t > 6.0/29 {
			return t * t * t
		}
		return 3 * 36.0 / 841 * (t - 4.0/29)
	}
	x, y, z := 0.95047*inv(fx), inv(fy), 1.08883*inv(fz)
	c := v3{
		float32(3.2404542*x - 1.5371385*y - 0.4985314*z),
		float32(-0.9692660*x + 1.8760108*y + 0.0415560*z),
		float32(0.0556434*x - 0.2040259*y + 1.0572252*z),
	}
	return v3{clamp(c.x, 0.002, 1), clamp(c.y, 0.002, 1), clamp(c.z, 0.002, 1)}
}

// decode is the sRGB decoding of 8-bit values (IEC 61966-2-1).
var decode = func() (t [256]float32) {
	for i := range t {
		x := float64(i) / 255
		if x <= 0.04045 {
			x /= 12.92
		} else {
			x = math.Pow((x+0.055)/1.055, 2.4)
		}
		t[i] = float32(x)
	}
	return t
}()

// rgb takes an sRGB colour 0xRRGGBB to linear light.
func rgb(hex uint32) v3 {
	return v3{decode[hex>>16&255], decode[hex>>8&255], decode[hex&255]}
}

// pow raises x (not negative) to y by way of base 2 logarithms from short
// series; good to about one part in a thousand, which no eye can tell.
func pow(x, y float32) float32 {
	if x <= 0 {
		return 0
	}
	b := math.Float32bits(x)
	e := float32(int32(b>>23) - 127)
	m := math.Float32frombits(b&0x7fffff|0x3f800000) - 1
	l := e + m*(1.4425449+m*(-0.7181452+m*(0.4575485+m*(-0.2779042+m*(0.1215300-m*0.0255740)))))
	l *= y
	if l < -100 {
		return 0
	}
	k := floor(l)
	f := l - k
	p := 1 + f*(0.6931472+f*(0.2402265+f*(0.0555041+f*(0.0096181+f*0.0015042))))
	return p * math.Float32frombits(uint32(int32(k)+127)<<23)
}

// sin and cos reduce to a quarter turn and use a short series (error below
// 2e-6 for the moderate angles of this package).
func sin(x float32) float32 {
	t := x * (1 / (2 * pi))
	t -= floor(t + 0.5) // -0.5 .. 0.5 turns
	if t > 0.25 {
		t = 0.5 - t
	} else if t < -0.25 {
		t = -0.5 - t
	}
	a := t * 2 * pi
	q := a * a
	return a * (1 + q*(-1.0/6+q*(1.0/120+q*(-1.0/5040+q*(1.0/362880)))))
}

func cos(x float32) float32 { return sin(x + pi/2) }

func atan2(y, x float32) float32 { return float32(math.Atan2(float64(y), float64(x))) }
