package place

import (
	"encoding/csv"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"testing"
)

// row is a line of a table in testdata by the names of its columns.
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
	if len(rows) == 0 {
		t.Fatalf("%s has no rows", name)
	}
	return rows
}

func (r row) float(t *testing.T, column string) float64 {
	t.Helper()
	x, err := strconv.ParseFloat(r[column], 64)
	if err != nil {
		t.Fatalf("column %s: %v", column, err)
	}
	return x
}

func (r row) position(t *testing.T, lat, lon string) Position {
	t.Helper()
	return Position{Lat: Degrees(r.float(t, lat)), Lon: Degrees(r.float(t, lon))}
}

func near[T ~float64](t *testing.T, what string, got, want, tolerance T) {
	t.Helper()
	if !(math.Abs(float64(got-want)) <= float64(tolerance)) {
		t.Errorf("%s: got %.12g, want %.12g within %g", what, float64(got), float64(want), float64(tolerance))
	}
}
