package colour

import (
	"encoding/csv"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"testing"
)

type row map[string]string

func readTable(t *testing.T, name string) []row {
	t.Helper()
	f, err := os.Open(filepath.Join("testdata", name))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	lines, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	var rows []row
	for _, line := range lines[1:] {
		r := row{}
		for i, name := range lines[0] {
			r[name] = line[i]
		}
		rows = append(rows, r)
	}
	return rows
}

func (r row) floats(t *testing.T, columns ...string) [3]float64 {
	t.Helper()
	var v [3]float64
	for i, c := range columns {
		x, err := strconv.ParseFloat(r[c], 64)
		if err != nil {
			t.Fatalf("column %s: %v", c, err)
		}
		v[i] = x
	}
	return v
}

func near(t *testing.T, what string, got, want [3]float64, tolerance float64) {
	t.Helper()
	for i := range got {
		if !(math.Abs(got[i]-want[i]) <= tolerance) {
			t.Errorf("%s: got %v, want %v within %g", what, got, want, tolerance)
			return
		}
	}
}

// TestDifference: the 34 pairs of Sharma, Wu & Dalal 2005, to the four decimals
// printed, in both orders.
func TestDifference(t *testing.T) {
	rows := readTable(t, "ciede2000_pairs.csv")
	if len(rows) != 34 {
		t.Fatalf("%d pairs, want 34", len(rows))
	}
	for _, r := range rows {
		p := Lab(r.lab(t, "L1", "a1", "b1"))
		q := Lab(r.lab(t, "L2", "a2", "b2"))
		want := r.floats(t, "dE00")[0]
		for _, got := range []float64{Difference(p, q), Difference(q, p)} {
			if math.Abs(got-want) > 0.00005+1e-9 {
				t.Errorf("pair %s: %.5f, want %.4f", r["pair"], got, want)
			}
		}
	}
	if d := Difference(Lab{50, 0, 0}, Lab{50, 0, 0}); d != 0 {
		t.Errorf("a colour differs from itself by %g", d)
	}
}

func (r row) lab(t *testing.T, columns ...string) Lab {
	v := r.floats(t, columns...)
	return Lab{v[0], v[1], v[2]}
}

// TestWorkedColours: testdata/SOURCES.md; to the digits printed.
func TestWorkedColours(t *testing.T) {
	for _, r := range readTable(t, "srgb_xyz_lab_worked.csv") {
		v := r.floats(t, "R", "G", "B")
		what := r["R"] + " " + r["G"] + " " + r["B"]
		light := FromSRGB8(uint8(v[0]), uint8(v[1]), uint8(v[2]))
		near(t, what+" linear", [3]float64{light.R, light.G, light.B}, r.floats(t, "lin_R", "lin_G", "lin_B"), 1e-6)
		xyz := light.XYZ()
		near(t, what+" XYZ", [3]float64{xyz.X, xyz.Y, xyz.Z}, r.floats(t, "X_D65", "Y_D65", "Z_D65"), 1e-6)
		lab := xyz.Lab(D65)
		near(t, what+" Lab", [3]float64{lab.L, lab.A, lab.B}, r.floats(t, "L_D65", "a_D65", "b_D65"), 1e-3)
		d50 := xyz.Adapt(D65, D50)
		near(t, what+" XYZ D50", [3]float64{d50.X, d50.Y, d50.Z}, r.floats(t, "X_D50", "Y_D50", "Z_D50"), 1e-6)
		lab50 := d50.Lab(D50)
		near(t, what+" Lab D50", [3]float64{lab50.L, lab50.A, lab50.B}, r.floats(t, "L_D50", "a_D50", "b_D50"), 1e-3)
		// And back to the same bytes from the far end.
		red, green, blue, in := lab50.XYZ(D50).Adapt(D50, D65).SRGB().SRGB8()
		if red != uint8(v[0]) || green != uint8(v[1]) || blue != uint8(v[2]) || !in {
			t.Errorf("%s came back as %d %d %d (in gamut: %v)", what, red, green, blue, in)
		}
	}
}

// TestMatrices: the published and computed matrices, to their seven decimals.
func TestMatrices(t *testing.T) {
	made := map[string]Matrix{
		"sRGB_linear_to_XYZ_D65":          SRGBToXYZ,
		"XYZ_D65_to_sRGB_linear":          XYZToSRGB,
		"Bradford_cone":                   bradfordCone,
		"Bradford_D65_to_D50":             Bradford(D65, D50),
		"Bradford_D50_to_D65":             Bradford(D50, D65),
		"Bradford_C_to_D65":               Bradford(C, D65),
		"Bradford_C_to_D50":               Bradford(C, D50),
		"Bradford_D65_to_C":               Bradford(D65, C),
		"sRGB_linear_to_XYZ_D50_Bradford": Bradford(D65, D50).Times(SRGBToXYZ),
	}
	seen := 0
	for _, r := range readTable(t, "matrices.csv") {
		m, ok := made[r["matrix"]]
		if !ok {
			continue // the whites are not matrices
		}
		seen++
		i, err := strconv.Atoi(r["row"])
		if err != nil {
			t.Fatal(err)
		}
		near(t, r["matrix"]+" row "+r["row"], m[i-1], r.floats(t, "c1", "c2", "c3"), 0.6e-7)
	}
	if seen != 27 {
		t.Errorf("%d rows compared, want 27", seen)
	}
}

// TestDisplayP3 compares with the columns of the "Display P3" profile that phones
// write. They are relative to the D50 of colour profiles, whose Z is 0.82491 where
// ours is 0.82521, hence the tolerance.
func TestDisplayP3(t *testing.T) {
	m := Bradford(D65, D50).Times(DisplayP3ToXYZ)
	near(t, "red", [3]float64{m[0][0], m[1][0], m[2][0]}, [3]float64{0.51512, 0.24120, -0.00105}, 4e-4)
	near(t, "green", [3]float64{m[0][1], m[1][1], m[2][1]}, [3]float64{0.29198, 0.69225, 0.04189}, 4e-4)
	near(t, "blue", [3]float64{m[0][2], m[1][2], m[2][2]}, [3]float64{0.15710, 0.06657, 0.78407}, 4e-4)
	red := XYZ(fromArray(DisplayP3ToXYZ.Apply([3]float64{1, 0, 0}))).SRGB()
	if _, _, _, in := red.SRGB8(); in {
		t.Error("the red of Display P3 is said to lie within sRGB")
	}
}

// TestEncodeDecode: the curve and its inverse meet over the whole range.
func TestEncodeDecode(t *testing.T) {
	for i := range 10001 {
		x := float64(i) / 10000
		if back := Encode(Decode(x)); math.Abs(back-x) > 1e-7 {
			t.Fatalf("%g came back as %g", x, back)
		}
	}
}

func BenchmarkDifference(b *testing.B) {
	p, q := LabOfSRGB8(200, 120, 40), LabOfSRGB8(190, 130, 60)
	for b.Loop() {
		Difference(p, q)
	}
}
