package truecolour

import (
	"math"

	"trug/science/colour"
)

// Model is how the camera's linear light is carried to true light.
type Model int

const (
	// WhiteBalance scales the channels so that greys are grey, and no more.
	WhiteBalance Model = iota
	// Linear is a matrix of 3 x 3.
	Linear
	// Root adds the roots of RG, GB and RB: the root-polynomial of degree 2 of
	// Finlayson, Mackiewicz & Hurlbert, IEEE Trans. Image Process.
	// 24(5):1460-1470, 2015, doi 10.1109/TIP.2015.2405336. Like a matrix it takes
	// twice the light to twice the light, so that shade leaves hues alone.
	Root
)

func (m Model) String() string {
	return [...]string{"white balance only", "3 x 3 matrix", "root-polynomial of degree 2"}[m]
}

// terms are what the model's matrix is applied to.
func (m Model) terms(v [3]float64) []float64 {
	if m != Root {
		return []float64{v[0], v[1], v[2]}
	}
	r, g, b := math.Max(0, v[0]), math.Max(0, v[1]), math.Max(0, v[2])
	return []float64{v[0], v[1], v[2], math.Sqrt(r * g), math.Sqrt(g * b), math.Sqrt(r * b)}
}

// fewest is how many patches a model needs: measured on a published pair of
// camera and reference, the matrix beats white balance from 6 on and the
// root-polynomial the matrix from 12 on.
func (m Model) fewest() int { return [...]int{0, 6, 12}[m] }

// Pair is a colour as the camera saw it (linear light, exposure free) and as it
// is (linear light in the primaries of sRGB).
type Pair struct {
	Seen [3]float64
	True [3]float64
	// Metric weighs errors: rows of a matrix that carries a difference of True to
	// what is to be small. The identity gives plain least squares in linear light.
	Metric colour.Matrix
}

var identity = colour.Matrix{{1, 0, 0}, {0, 1, 0}, {0, 0, 1}}

// Perceived is the metric of a true colour in which a step of length 1 is about 1
// CIEDE2000: the slopes of CIELAB (D65) there, divided by its weights for
// lightness, chroma and hue (the turn of blues left out).
func Perceived(true [3]float64) colour.Matrix {
	at := labOf(true)
	var slopes colour.Matrix
	const h = 1e-5
	for j := range 3 {
		moved := true
		moved[j] += h
		d := labOf(moved)
		slopes[0][j], slopes[1][j], slopes[2][j] = (d.L-at.L)/h, (d.A-at.A)/h, (d.B-at.B)/h
	}
	return weigh(at).Times(slopes)
}

// weigh carries a difference in L, a, b at a colour into lightness, chroma and
// hue as CIEDE2000 weighs them.
func weigh(at colour.Lab) colour.Matrix {
	c := at.Chroma()
	cos, sin := 1.0, 0.0
	if c > 1e-9 {
		cos, sin = at.A/c, at.B/c
	}
	l50 := (at.L - 50) * (at.L - 50)
	sL := 1 + 0.015*l50/math.Sqrt(20+l50)
	hue := math.Atan2(at.B, at.A)
	degrees := math.Pi / 180
	t := 1 - 0.17*math.Cos(hue-30*degrees) + 0.24*math.Cos(2*hue) + 0.32*math.Cos(3*hue+6*degrees) - 0.20*math.Cos(4*hue-63*degrees)
	sC, sH := 1+0.045*c, 1+0.015*c*t
	// Near grey CIEDE2000 stretches a by up to a half.
	g := 1 + 0.5*(1-math.Sqrt(math.Pow(c, 7)/(math.Pow(c, 7)+math.Pow(25, 7))))
	return colour.Matrix{{1 / sL, 0, 0}, {0, g * cos / sC, sin / sC}, {0, -g * sin / sH, cos / sH}}
}

func labOf(rgb [3]float64) colour.Lab {
	return colour.LinearRGB{R: rgb[0], G: rgb[1], B: rgb[2]}.XYZ().Lab(colour.D65)
}

func linearOf(lab colour.Lab) [3]float64 {
	c := lab.XYZ(colour.D65).SRGB()
	return [3]float64{c.R, c.G, c.B}
}

// Fitted is a model fitted to pairs.
type Fitted struct {
	Model  Model
	Matrix [3][]float64
	// LeftOut are the errors of each pair, as its Metric sees them, when the model
	// is fitted to the others alone.
	LeftOut [][3]float64
	root    factor
}

// Apply carries seen light to true light.
func (f *Fitted) Apply(seen [3]float64) [3]float64 {
	t := f.Model.terms(seen)
	return [3]float64{dot(f.Matrix[0], t), dot(f.Matrix[1], t), dot(f.Matrix[2], t)}
}

// weighing is the pair with another weight in a fit.
func (p Pair) weighing(w float64) Pair {
	root := math.Sqrt(w)
	for i := range p.Metric {
		for j := range p.Metric[i] {
			p.Metric[i][j] *= root
		}
	}
	return p
}

// luminance is what the channels of sRGB add to brightness (IEC 61966-2-1).
var luminance = [3]float64{0.2126, 0.7152, 0.0722}

// vivid is the direction, of length 1, in which a model's coefficients move when
// all colours become more vivid and greys and brightness stay.
func vivid(terms int) []float64 {
	v := make([]float64, 3*terms)
	for i := range 3 {
		for j := range 3 {
			v[i*terms+j] = identity[i][j] - luminance[j]
		}
	}
	length := math.Sqrt(dot(v, v))
	for k := range v {
		v[k] /= length
	}
	return v
}

// vividFree is the share of the pull that is taken back.
const vividFree = 0.99

// Fit fits a model by least squares in the pairs' metric. ridge pulls the matrix
// towards white balance only, as if each coefficient had been seen there with
// weight ridge, except that all colours may become more or less vivid together:
// telephones are known to make them so. 0 leaves it free. It is false when the pairs do not determine it.
//
// The errors by leaving out one pair at a time follow without fitting again: with
// H the part of the hat matrix that belongs to a pair, its error e becomes
// (1-H)⁻¹ e.
func Fit(m Model, pairs []Pair, ridge float64) (*Fitted, bool) {
	n := len(m.terms([3]float64{}))
	f := &Fitted{Model: m}
	for i := range f.Matrix {
		f.Matrix[i] = make([]float64, n)
		f.Matrix[i][i] = 1
	}
	if m == WhiteBalance {
		for _, p := range pairs {
			f.LeftOut = append(f.LeftOut, p.miss(p.Seen))
		}
		return f, true
	}
	s := newSystem(3 * n)
	for i := range 3 {
		for j := range n {
			prior := make([]float64, 3*n)
			prior[i*n+j] = 1
			s.add(prior, f.Matrix[i][j], ridge)
		}
	}
	// The pull along that direction is taken back, but for a trace that keeps the
	// equations solvable.
	free, start := vivid(n), 0.0
	for i := range 3 {
		start += dot(free[i*n:(i+1)*n], f.Matrix[i])
	}
	s.add(free, start, -vividFree*ridge)
	for _, p := range pairs {
		want := p.Metric.Apply(p.True)
		for k, row := range p.rows(m) {
			s.add(row, want[k], 1)
		}
	}
	root, ok := s.root()
	if !ok {
		return nil, false
	}
	x := root.solve(s.right)
	for i := range 3 {
		copy(f.Matrix[i], x[i*n:])
	}
	f.root = root
	for _, p := range pairs {
		hat := f.leverage(p)
		free := colour.Matrix{}
		for i := range 3 {
			for j := range 3 {
				free[i][j] = identity[i][j] - hat[i][j]
			}
		}
		f.LeftOut = append(f.LeftOut, free.Inverse().Apply(p.miss(f.Apply(p.Seen))))
	}
	return f, true
}

// miss is the error of a colour as the pair's metric sees it.
func (p Pair) miss(got [3]float64) [3]float64 {
	return p.Metric.Apply([3]float64{got[0] - p.True[0], got[1] - p.True[1], got[2] - p.True[2]})
}

// rows are the pair's three equations for the coefficients.
func (p Pair) rows(m Model) [3][]float64 {
	t := m.terms(p.Seen)
	var rows [3][]float64
	for k := range rows {
		rows[k] = make([]float64, 3*len(t))
		for i := range 3 {
			for j, v := range t {
				rows[k][i*len(t)+j] = p.Metric[k][i] * v
			}
		}
	}
	return rows
}

// leverage is how much a pair's own errors weigh in its fit: 0 not at all, 1
// alone. For a colour that was not fitted it says how far the model reaches out
// to it.
func (f *Fitted) leverage(p Pair) colour.Matrix {
	var hat colour.Matrix
	if f.root == nil {
		return hat
	}
	var h [3][]float64
	for k, row := range p.rows(f.Model) {
		h[k] = f.root.half(row)
	}
	for i := range 3 {
		for j := range 3 {
			hat[i][j] = dot(h[i], h[j])
		}
	}
	return hat
}

// rms is the root of the mean square of the errors by leaving one out.
func (f *Fitted) rms() float64 {
	sum := 0.0
	for _, e := range f.LeftOut {
		sum += e[0]*e[0] + e[1]*e[1] + e[2]*e[2]
	}
	return math.Sqrt(sum / float64(len(f.LeftOut)))
}
