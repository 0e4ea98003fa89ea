package colour

import (
	_ "embed"
	"math"
	"strconv"
	"strings"
	"sync"
)

//go:embed data/munsell_renotation_all.csv
var renotationTable string

const (
	hues    = 40 // rays, 2.5 apart; ray i has hue 2.5 (i+1)
	chromas = 26 // 0, 2, ... 50
)

// values are the planes of the renotation; at 0 all is black.
var values = [...]float64{0, 0.2, 0.4, 0.6, 0.8, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10}

// ab is a place in a plane of CIELAB relative to illuminant C.
type ab struct{ a, b float64 }

func (p ab) plus(q ab) ab       { return ab{p.a + q.a, p.b + q.b} }
func (p ab) minus(q ab) ab      { return ab{p.a - q.a, p.b - q.b} }
func (p ab) times(k float64) ab { return ab{k * p.a, k * p.b} }
func mix(p, q ab, t float64) ab { return p.plus(q.minus(p).times(t)) }
func cross(p, q ab) float64     { return p.a*q.b - p.b*q.a }
func (p ab) length() float64    { return math.Hypot(p.a, p.b) }

// plane is one value of the renotation: each hue a ray from grey outwards.
type plane [hues][chromas]ab

// planes reads the renotation into CIELAB (C), once. Rays that end before
// chroma 50 go on straight; rows with y of 0 or less, which no light has, are
// left out.
var planes = sync.OnceValue(func() *[len(values)]plane {
	var all [len(values)]plane
	var known [len(values)][hues]int // the last chroma step given
	for i, line := range strings.Split(strings.TrimSpace(renotationTable), "\n") {
		f := strings.Split(line, ",")
		if i == 0 {
			continue
		}
		v, h, c := planeOf(number(f[1])), rayOf(f[0]), int(number(f[2]))/2
		x, y := number(f[3]), number(f[4])
		if y <= 0 || c >= chromas {
			continue
		}
		light := Luminance(values[v])
		lab := XYZ{x / y * light, light, (1 - x - y) / y * light}.Lab(C)
		all[v][h][c] = ab{lab.A, lab.B}
		known[v][h] = max(known[v][h], c)
	}
	for v := range all {
		for h := range all[v] {
			extend(&all[v][h], known[v][h])
		}
	}
	mendMissingRay(&all, &known)
	return &all
})

// extend lets a ray go on straight beyond its last known step.
func extend(ray *[chromas]ab, last int) {
	if last == 0 {
		return
	}
	step := ray[last].minus(ray[last-1])
	for c := last + 1; c < chromas; c++ {
		ray[c] = ray[c-1].plus(step)
	}
}

// mendMissingRay fills rays that a plane lacks (one hue of value 0.2, since none
// of its rows is a light) from their neighbours.
func mendMissingRay(all *[len(values)]plane, known *[len(values)][hues]int) {
	for v := 1; v < len(all); v++ {
		for h := range all[v] {
			if known[v][h] > 0 {
				continue
			}
			before, after := (h+hues-1)%hues, (h+1)%hues
			for c := range chromas {
				all[v][h][c] = mix(all[v][before][c], all[v][after][c], 0.5)
			}
		}
	}
}

// number reads a number of our own tables; a test reads all of them.
func number(s string) float64 {
	x, err := strconv.ParseFloat(s, 64)
	if err != nil {
		panic("colour: damaged table: " + err.Error())
	}
	return x
}

func planeOf(value float64) int {
	for i, v := range values {
		if math.Abs(v-value) < 1e-9 {
			return i
		}
	}
	panic("colour: damaged table: unknown value")
}

func rayOf(hue string) int {
	m, err := ParseMunsell(hue + " 5/1")
	if err != nil {
		panic("colour: damaged table: " + err.Error())
	}
	return int(math.Round(m.Hue/2.5)) - 1
}

// slice is the renotation at one value: a mixture of two planes.
type slice struct {
	low, high *plane
	t         float64
}

func sliceAt(value float64) slice {
	all := planes()
	i := 1
	for i < len(values)-1 && values[i] < value {
		i++
	}
	return slice{&all[i-1], &all[i], (value - values[i-1]) / (values[i] - values[i-1])}
}

// knot is the corner of the mesh at ray h and chroma step c; beyond the mesh
// rays go on straight.
func (s slice) knot(h, c int) ab {
	h = (h + hues) % hues
	if c >= chromas {
		last := mix(s.low[h][chromas-1], s.high[h][chromas-1], s.t)
		return last.plus(last.minus(s.knot(h, chromas-2)).times(float64(c - chromas + 1)))
	}
	return mix(s.low[h][c], s.high[h][c], s.t)
}

// cell gives the four corners around a place of the mesh.
func (s slice) cell(h, c int) (inner, innerNext, outer, outerNext ab) {
	return s.knot(h, c), s.knot(h+1, c), s.knot(h, c+1), s.knot(h+1, c+1)
}

// at gives a and b for a hue in (0, 100] and a chroma.
func (s slice) at(hue, chroma float64) ab {
	x, y := hue/2.5-1, chroma/2
	h, c := math.Floor(x), math.Floor(y)
	p, q, r, t := s.cell(int(h), int(c))
	return mix(mix(p, q, x-h), mix(r, t, x-h), y-c)
}

// LabC gives the colour in CIELAB relative to illuminant C. Lightness is exact
// (Luminance); a and b are interpolated linearly in hue, value and chroma
// between the colours of the renotation, and beyond its last chroma go on
// straight. Within the real colours that is within about 0.4 CIEDE2000 of other
// published interpolations (testdata/munsell_worked_xyY_to_HVC.csv); vivid
// colours beyond them rest on extrapolated rows and are uncertain by 1 and more.
func (m Munsell) LabC() Lab {
	v := math.Max(0, math.Min(10, m.Value))
	p := sliceAt(v).at(wrapHue(m.Hue), math.Max(0, m.Chroma))
	return Lab{116*labF(Luminance(v)) - 16, p.a, p.b}
}

// Lab gives the colour in CIELAB relative to another white, adapted by the
// Bradford transform.
func (m Munsell) Lab(white XYZ) Lab { return m.LabC().Adapt(C, white) }

// Munsell gives the notation of a colour in CIELAB relative to white. It undoes
// Munsell.Lab: to 1e-6 in each of L, a and b for every colour of sRGB and Display
// P3. Colours darker than L* 0 or lighter than value 10 are taken as those.
func (c Lab) Munsell(white XYZ) Munsell {
	if white != C {
		c = c.Adapt(white, C)
	}
	v := math.Min(10, ValueOf(c.XYZ(C).Y))
	want := ab{c.A, c.B}
	if v < 1e-6 || want.length() < 1e-9 {
		return Munsell{Value: v}
	}
	hue, chroma := sliceAt(v).find(want)
	return Munsell{Hue: hue, Value: v, Chroma: chroma}
}
