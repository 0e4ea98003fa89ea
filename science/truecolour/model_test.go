package truecolour

import (
	"encoding/csv"
	"math"
	"os"
	"slices"
	"strconv"
	"strings"
	"testing"

	"trug/science/colour"
)

// worked reads testdata/root_polynomial_worked.csv: the pairs, and the other rows
// by their kind.
func worked(t testing.TB) (pairs []Pair, rest map[string][]float64) {
	t.Helper()
	f, err := os.Open("testdata/root_polynomial_worked.csv")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	in := csv.NewReader(f)
	in.FieldsPerRecord = -1
	rows, err := in.ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	rest = map[string][]float64{}
	for _, row := range rows[1:] {
		var v []float64
		for _, s := range row[2:] {
			if s == "" {
				continue
			}
			x, err := strconv.ParseFloat(s, 64)
			if err != nil {
				t.Fatal(err)
			}
			v = append(v, x)
		}
		if strings.HasPrefix(row[0], "train") {
			pairs = append(pairs, Pair{[3]float64(v[:3]), [3]float64(v[3:]), identity})
		} else {
			rest[row[0]] = append(rest[row[0]], v...)
		}
	}
	if len(pairs) != 24 {
		t.Fatalf("%d pairs, want 24", len(pairs))
	}
	return pairs, rest
}

// TestRootPolynomialWorked: the published pairs, the matrices to their digits,
// twice the light for twice the light, and the errors in CIEDE2000.
func TestRootPolynomialWorked(t *testing.T) {
	pairs, rest := worked(t)
	for _, m := range []Model{Linear, Root} {
		degree := strconv.Itoa(int(m))
		f, ok := Fit(m, pairs, 0)
		if !ok {
			t.Fatal("the pairs do not determine the model")
		}
		for i := range 3 {
			want := rest["matrix_degree"+degree+"_row"+strconv.Itoa(i+1)+"_terms1on"]
			for j, w := range want {
				if math.Abs(f.Matrix[i][j]-w) > 1e-6 {
					t.Errorf("degree %s: matrix %d %d is %.7f, want %.7f", degree, i, j, f.Matrix[i][j], w)
				}
			}
		}
		for k, factor := range map[string]float64{"corrected_patch1_degree": 1, "corrected_patch1_exposure_x2_degree": 2} {
			seen := pairs[0].Seen
			for c := range seen {
				seen[c] *= factor
			}
			got := f.Apply(seen)
			for c, w := range rest[k+degree] {
				if math.Abs(got[c]-w) > 1e-6 {
					t.Errorf("%s%s: %v, want %v", k, degree, got, rest[k+degree])
				}
			}
		}
		var self, left []float64
		for i, p := range pairs {
			want := labOf(p.True)
			self = append(self, colour.Difference(labOf(f.Apply(p.Seen)), want))
			e := f.LeftOut[i]
			left = append(left, colour.Difference(labOf([3]float64{p.True[0] + e[0], p.True[1] + e[1], p.True[2] + e[2]}), want))
		}
		want := rest["dE00_degree"+degree+"_selfmean_selfmax_loomean_loomedian_loomax"]
		for i, got := range []float64{mean(self), slices.Max(self), mean(left), middle(left), slices.Max(left)} {
			if math.Abs(got-want[i]) > 0.01 {
				t.Errorf("degree %s: errors %d is %.4f, want %.4f", degree, i, got, want[i])
			}
		}
		t.Logf("degree %s: leave-one-out mean %.2f", degree, mean(left))
	}
}

// TestLeaveOneOutByFittingAgain: the short way gives what fitting without the
// pair gives, also with a metric and a ridge.
func TestLeaveOneOutByFittingAgain(t *testing.T) {
	pairs, _ := worked(t)
	for i := range pairs {
		pairs[i].Metric = Perceived(pairs[i].True)
	}
	for _, m := range []Model{Linear, Root} {
		f, _ := Fit(m, pairs, 3)
		for i, p := range pairs {
			others, ok := Fit(m, slices.Delete(slices.Clone(pairs), i, i+1), 3)
			if !ok {
				t.Fatal("23 pairs do not determine the model")
			}
			want := p.miss(others.Apply(p.Seen))
			for c := range 3 {
				if math.Abs(f.LeftOut[i][c]-want[c]) > 1e-6*(1+math.Abs(want[c])) {
					t.Errorf("%v, pair %d: %v, by fitting again %v", m, i, f.LeftOut[i], want)
				}
			}
		}
	}
}

// TestPerceived: a small step is as long as CIEDE2000 says, to a seventh (away from
// the blues, whose turn is left out).
func TestPerceived(t *testing.T) {
	for _, lab := range []colour.Lab{{L: 50, A: 0, B: 0}, {L: 60, A: 20, B: 40}, {L: 30, A: 10, B: 12}, {L: 85, A: -3, B: 30}, {L: 70, A: 30, B: 20}} {
		rgb := linearOf(lab)
		m := Perceived(rgb)
		for _, d := range [][3]float64{{1, 0, 0}, {0, 1, 0}, {0, 0, 1}, {1, 1, 1}, {1, -1, 0}} {
			var step, moved [3]float64
			for c := range 3 {
				step[c] = d[c] * 0.002 * (rgb[c] + 0.01)
				moved[c] = rgb[c] + step[c]
			}
			v := m.Apply(step)
			got, want := math.Sqrt(v[0]*v[0]+v[1]*v[1]+v[2]*v[2]), colour.Difference(labOf(rgb), labOf(moved))
			if math.Abs(got-want) > 0.15*want {
				t.Errorf("%v, step %v: %.4f, CIEDE2000 %.4f", lab, d, got, want)
			}
		}
	}
}

func TestFitRefusesTooLittle(t *testing.T) {
	pairs, _ := worked(t)
	if _, ok := Fit(Linear, pairs[:2], 0); ok {
		t.Error("two pairs determine a matrix")
	}
	if _, ok := Fit(Root, pairs[18:23], 0); ok {
		t.Error("five greys determine a root-polynomial")
	}
}

func mean(x []float64) float64 {
	sum := 0.0
	for _, v := range x {
		sum += v
	}
	return sum / float64(len(x))
}

func middle(x []float64) float64 {
	s := slices.Sorted(slices.Values(x))
	if n := len(s); n%2 == 0 {
		return (s[n/2-1] + s[n/2]) / 2
	}
	return s[len(s)/2]
}

// Joined models lie between them, nearer to the one that errs less; one alone is
// left as it is, and errors by leaving one out are joined alike.
func TestBlend(t *testing.T) {
	fit := func(m Model, by float64, wrong float64) *Fitted {
		f := &Fitted{Model: m, LeftOut: [][3]float64{{wrong, 0, 0}, {0, -wrong, 0}}}
		for i := range f.Matrix {
			f.Matrix[i] = make([]float64, len(m.terms([3]float64{})))
			f.Matrix[i][i] = by
		}
		return f
	}
	one := fit(Linear, 1.2, 3)
	if got := blend([]*Fitted{one}); math.Abs(got.Matrix[1][1]-1.2) > 1e-12 || math.Abs(got.rms()-one.rms()) > 1e-12 {
		t.Errorf("one alone became %+v", got)
	}
	got := blend([]*Fitted{fit(Linear, 1, 4), fit(Root, 2, 2)})
	// Weights 4^-4 and 2^-4: one and sixteen parts of seventeen.
	if want := (1 + 16*2.0) / 17; got.Model != Root || math.Abs(got.Matrix[0][0]-want) > 1e-12 || got.Matrix[0][5] != 0 {
		t.Errorf("joined to %v, want %.4f on the diagonal", got.Matrix[0], want)
	}
	if want := (4 + 16*2.0) / 17; math.Abs(got.LeftOut[0][0]-want) > 1e-12 {
		t.Errorf("errs by %v, want %.4f", got.LeftOut[0], want)
	}
}
