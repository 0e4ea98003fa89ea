package photo

import (
	"encoding/binary"
	"errors"
	"math"
	"strings"
	"unicode/utf16"

	"trug/science/colour"
)

// transform carries pixels of a picture's own colour space to sRGB: a curve for
// each channel, a matrix between lights, and sRGB's own curve.
type transform struct {
	name     string
	identity bool // the pixels are sRGB as they stand
	curve    [3]*[256]float32
	matrix   [9]float32
}

// colours finds the way from a picture's colours to sRGB. Pictures that say
// nothing are sRGB, as EXIF and the web agree. On an error the transform is the
// identity and the error says, as part of a sentence, why the profile cannot be
// followed.
func colours(c container, e exifTags) (transform, error) {
	switch {
	case c.cmyk:
		return transform{identity: true}, nil
	case len(c.icc) > 0:
		return parseProfile(c.icc)
	case c.primaries == 12:
		return fromLight("Display P3", colour.DisplayP3ToXYZ, colour.Decode), nil
	case c.primaries != 0 && c.primaries != 1 && c.primaries != 2:
		return transform{identity: true, name: "wide gamut"}, errors.New("its primaries are not those of sRGB or Display P3")
	case e.text("InteropIndex") == "R03":
		return fromLight("Adobe RGB (1998)", adobeRGB, func(x float64) float64 { return math.Pow(x, 563.0/256) }), nil
	}
	return transform{identity: true}, nil
}

// adobeRGB has the primaries of the option colour space of DCF (Adobe RGB 1998).
var adobeRGB = colour.FromPrimaries([3][2]float64{{0.64, 0.33}, {0.21, 0.71}, {0.15, 0.06}}, colour.D65)

// fromLight makes a transform from a matrix to XYZ under D65 and one curve.
func fromLight(name string, toXYZ colour.Matrix, decode func(float64) float64) transform {
	return newTransform(name, colour.XYZToSRGB.Times(toXYZ), [3]func(float64) float64{decode, decode, decode})
}

func newTransform(name string, m colour.Matrix, decode [3]func(float64) float64) transform {
	t := transform{name: name}
	for i := range 3 {
		t.curve[i] = new([256]float32)
		for v := range t.curve[i] {
			t.curve[i][v] = float32(decode[i](float64(v) / 255))
		}
		for j := range 3 {
			t.matrix[3*i+j] = float32(m[i][j])
		}
	}
	t.identity = t.changesNothing()
	return t
}

// changesNothing tries a lattice of colours: profiles of sRGB itself come in
// many versions, none of which moves a pixel by more than one step.
func (t *transform) changesNothing() bool {
	for r := 0; r < 256; r += 51 {
		for g := 0; g < 256; g += 51 {
			for b := 0; b < 256; b += 51 {
				pixel := [4]uint8{uint8(r), uint8(g), uint8(b), 255}
				t.apply(pixel[:])
				if max(abs(int(pixel[0])-r), abs(int(pixel[1])-g), abs(int(pixel[2])-b)) > 1 {
					return false
				}
			}
		}
	}
	return true
}

func abs(x int) int { return max(x, -x) }

// encodeSteps is fine enough that the steepest part of sRGB's curve moves by
// less than half of a stored step from one entry to the next.
const encodeSteps = 1 << 13

var encodeTable = func() *[encodeSteps + 1]uint8 {
	var table [encodeSteps + 1]uint8
	for i := range table {
		table[i] = uint8(math.Round(colour.Encode(float64(i)/encodeSteps) * 255))
	}
	return &table
}()

// apply changes RGBA pixels in place; colours beyond sRGB are clipped.
func (t *transform) apply(pix []uint8) {
	m := &t.matrix
	for i := 0; i+3 < len(pix); i += 4 {
		r, g, b := t.curve[0][pix[i]], t.curve[1][pix[i+1]], t.curve[2][pix[i+2]]
		pix[i] = encode(m[0]*r + m[1]*g + m[2]*b)
		pix[i+1] = encode(m[3]*r + m[4]*g + m[5]*b)
		pix[i+2] = encode(m[6]*r + m[7]*g + m[8]*b)
	}
}

func encode(light float32) uint8 {
	switch {
	case !(light > 0):
		return 0
	case light >= 1:
		return 255
	}
	return encodeTable[int(light*encodeSteps+0.5)]
}

// iccProfile gives the tagged elements of an ICC profile (ICC.1:2022).
type iccProfile map[string][]byte

func parseProfile(b []byte) (transform, error) {
	t := transform{identity: true, name: "unnamed"}
	if len(b) < 132 || string(b[36:40]) != "acsp" {
		return t, errors.New("it is damaged")
	}
	p := iccProfile{}
	count := binary.BigEndian.Uint32(b[128:])
	for i := 0; i < int(min(count, 200)) && 144+12*i <= len(b); i++ {
		entry := b[132+12*i:]
		at, n := uint64(binary.BigEndian.Uint32(entry[4:])), uint64(binary.BigEndian.Uint32(entry[8:]))
		if at+n <= uint64(len(b)) && n >= 8 {
			p[string(entry[:4])] = b[at : at+n]
		}
	}
	if name := p.name(); name != "" {
		t.name = name
	}
	space, pcs := string(b[16:20]), string(b[20:24])
	switch {
	case space == "GRAY" && p["kTRC"] != nil:
		curve, err := parseCurve(p["kTRC"])
		if err != nil {
			return t, err
		}
		unit := colour.Matrix{{1, 0, 0}, {0, 1, 0}, {0, 0, 1}}
		return newTransform(t.name, unit, [3]func(float64) float64{curve, curve, curve}), nil
	case space != "RGB " || pcs != "XYZ " || p["rXYZ"] == nil:
		return t, errors.New("it works by look-up tables, not by a matrix")
	}
	return p.matrixTransform(t)
}

// matrixTransform builds the way from the three primaries and curves. Profiles
// speak of colours under D50, sRGB of colours under D65.
func (p iccProfile) matrixTransform(t transform) (transform, error) {
	var m colour.Matrix
	var curves [3]func(float64) float64
	for i, channel := range []string{"r", "g", "b"} {
		xyz := p[channel+"XYZ"]
		if len(xyz) < 20 {
			return t, errors.New("it is damaged")
		}
		for j := range 3 {
			m[j][i] = fixed16(xyz[8+4*j:])
		}
		var err error
		if curves[i], err = parseCurve(p[channel+"TRC"]); err != nil {
			return t, err
		}
	}
	srgbUnderD50 := colour.Bradford(colour.D65, colour.D50).Times(colour.SRGBToXYZ)
	return newTransform(t.name, srgbUnderD50.Inverse().Times(m), curves), nil
}

func fixed16(b []byte) float64 { return float64(int32(binary.BigEndian.Uint32(b))) / 65536 }

// parseCurve reads a curve: a table, a power, or one of five formulas.
func parseCurve(b []byte) (func(float64) float64, error) {
	bad := errors.New("its curves are damaged")
	if len(b) < 12 {
		return nil, bad
	}
	switch string(b[:4]) {
	case "curv":
		n := int(binary.BigEndian.Uint32(b[8:]))
		if n < 0 || n > 65536 || len(b) < 12+2*n {
			return nil, bad
		}
		switch n {
		case 0:
			return func(x float64) float64 { return x }, nil
		case 1:
			gamma := float64(binary.BigEndian.Uint16(b[12:])) / 256
			return func(x float64) float64 { return math.Pow(x, gamma) }, nil
		}
		return tableCurve(b[12 : 12+2*n]), nil
	case "para":
		kind := int(binary.BigEndian.Uint16(b[8:]))
		counts := []int{1, 3, 4, 5, 7}
		if kind >= len(counts) || len(b) < 12+4*counts[kind] {
			return nil, bad
		}
		var v [7]float64
		for i := range counts[kind] {
			v[i] = fixed16(b[12+4*i:])
		}
		return formulaCurve(kind, v), nil
	}
	return nil, bad
}

func tableCurve(b []byte) func(float64) float64 {
	last := len(b)/2 - 1
	at := func(i int) float64 { return float64(binary.BigEndian.Uint16(b[2*i:])) / 65535 }
	return func(x float64) float64 {
		x *= float64(last)
		i := min(int(x), last-1)
		return at(i) + (x-float64(i))*(at(i+1)-at(i))
	}
}

// formulaCurve is table 68 of ICC.1:2022; v holds g, a, b, c, d, e, f.
func formulaCurve(kind int, v [7]float64) func(float64) float64 {
	g, a, b, c, d, e, f := v[0], v[1], v[2], v[3], v[4], v[5], v[6]
	switch kind {
	case 0:
		a, d = 1, math.Inf(-1)
	case 1:
		c, d = 0, -b/a
	case 2: // here c is added everywhere
		e, f, c, d = c, c, 0, -b/a
	case 3: // here the offsets are 0
		e, f = 0, 0
	}
	return func(x float64) float64 {
		y := c*x + f
		if x >= d {
			y = math.Pow(math.Max(0, a*x+b), g) + e
		}
		return math.Max(0, math.Min(1, y))
	}
}

// name gives the profile's description, in its first language.
func (p iccProfile) name() string {
	b := p["desc"]
	if len(b) < 12 {
		return ""
	}
	var name string
	switch string(b[:4]) {
	case "desc":
		n := min(uint64(binary.BigEndian.Uint32(b[8:])), uint64(len(b)-12))
		name = string(b[12 : 12+n])
	case "mluc":
		if len(b) < 28 || binary.BigEndian.Uint32(b[8:]) == 0 {
			return ""
		}
		n, at := uint64(binary.BigEndian.Uint32(b[20:])), uint64(binary.BigEndian.Uint32(b[24:]))
		if at+n > uint64(len(b)) {
			return ""
		}
		var units []uint16
		for text := b[at : at+n]; len(text) >= 2; text = text[2:] {
			units = append(units, binary.BigEndian.Uint16(text))
		}
		name = string(utf16.Decode(units))
	}
	return exifTags{"desc": strings.TrimRight(name, "\x00")}.text("desc")
}
