package colour

import (
	"fmt"
	"math"
	"strconv"
	"strings"
)

// Munsell is a colour in the notation of soil and plant charts.
type Munsell struct {
	// Hue runs over (0, 100] as in ASTM D1535: 5R is 5, 5YR is 15, 10RP is 100.
	// It means nothing where Chroma is 0.
	Hue float64
	// Value is the lightness, 0 (black) to 10 (white).
	Value float64
	// Chroma is the distance from grey, 0 upwards; fungi rarely pass 14.
	Chroma float64
}

var hueFamilies = [10]string{"R", "YR", "Y", "GY", "G", "BG", "B", "PB", "P", "RP"}

// greyBelow is the chroma that is written as neutral: less than a twentieth
// cannot be printed with one decimal.
const greyBelow = 0.05

// String writes the colour as the charts do, with one decimal: "7.2YR 4.5/3.1",
// "N 5.0/".
func (m Munsell) String() string {
	if m.Chroma < greyBelow {
		return fmt.Sprintf("N %.1f/", m.Value)
	}
	hue := math.Round(wrapHue(m.Hue)*10) / 10
	if hue == 0 {
		hue = 100
	}
	family := int(math.Ceil(hue/10)) - 1
	return fmt.Sprintf("%.1f%s %.1f/%.1f", hue-10*float64(family), hueFamilies[family], m.Value, m.Chroma)
}

// ParseMunsell reads what String writes, with any number of decimals, and the
// forms "10YR 4/3", "N5", "N 5/" and "N 5/0".
func ParseMunsell(s string) (Munsell, error) {
	bad := fmt.Errorf("%q is no Munsell colour: write hue, value and chroma like 10YR 4/3, or N 5/ for a grey", s)
	text := strings.ToUpper(strings.TrimSpace(s))
	if rest, ok := strings.CutPrefix(text, "N"); ok {
		value, chroma, _ := strings.Cut(strings.TrimSpace(rest), "/")
		if c := strings.TrimSpace(chroma); c != "" {
			if zero, err := strconv.ParseFloat(c, 64); err != nil || zero != 0 {
				return Munsell{}, bad
			}
		}
		v, err := strconv.ParseFloat(strings.TrimSpace(value), 64)
		if err != nil || !(v >= 0 && v <= 10) {
			return Munsell{}, bad
		}
		return Munsell{Value: v}, nil
	}
	at := strings.IndexFunc(text, func(r rune) bool { return r >= 'A' && r <= 'Z' })
	if at < 0 {
		return Munsell{}, bad
	}
	end := at
	for end < len(text) && text[end] >= 'A' && text[end] <= 'Z' {
		end++
	}
	family := -1
	for i, f := range hueFamilies {
		if f == text[at:end] {
			family = i
		}
	}
	value, chroma, slash := strings.Cut(text[end:], "/")
	h, err1 := strconv.ParseFloat(strings.TrimSpace(text[:at]), 64)
	v, err2 := strconv.ParseFloat(strings.TrimSpace(value), 64)
	c, err3 := strconv.ParseFloat(strings.TrimSpace(chroma), 64)
	if family < 0 || !slash || err1 != nil || err2 != nil || err3 != nil ||
		!(h >= 0 && h <= 10) || !(v >= 0 && v <= 10) || !(c >= 0 && c <= 100) {
		return Munsell{}, bad
	}
	return Munsell{Hue: wrapHue(10*float64(family) + h), Value: v, Chroma: c}, nil
}

// wrapHue brings a hue into (0, 100].
func wrapHue(h float64) float64 {
	h = math.Mod(h, 100)
	if h <= 0 {
		h += 100
	}
	return h
}

// Luminance is Y, 0..1, of a Munsell value of 0..10: the polynomial of ASTM
// D1535, which puts Y = 1 at value 10 (the renotation of 1943 itself measured
// against magnesium oxide and is 1/0.975 of this).
func Luminance(value float64) float64 {
	v := value
	return v * (1.1914 + v*(-0.22533+v*(0.23352+v*(-0.020484+v*0.00081939)))) / 100
}

// ValueOf undoes Luminance to 1e-12, for Y in 0..1.2; it is 0 below.
func ValueOf(luminance float64) float64 {
	if !(luminance > 0) {
		return 0
	}
	low, high := 0.0, 11.0
	v := math.Min(high, math.Max(0, (116*labF(luminance)-16)/10))
	for range 60 {
		d := Luminance(v) - luminance
		if d > 0 {
			high = v
		} else {
			low = v
		}
		slope := (1.1914 + v*(-2*0.22533+v*(3*0.23352+v*(-4*0.020484+v*5*0.00081939)))) / 100
		next := v - d/slope
		if !(next > low && next < high) {
			next = (low + high) / 2
		}
		if math.Abs(next-v) < 1e-13 {
			return next
		}
		v = next
	}
	return v
}
