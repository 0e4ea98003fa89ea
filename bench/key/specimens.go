package main

import (
	"compress/gzip"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strconv"
	"strings"

	"trug/science/describe"
	"trug/science/key"
	"trug/science/matrix"
)

// specimen is one simulated find: its answers, and which of them the test of
// six characters uses.
type specimen struct {
	truth   int
	answers []key.Answer
	six     map[int]bool
}

// set is a file of specimens.
type set struct {
	name      string
	wrong     float64
	specimens []specimen
}

// simulateAll draws clean specimens and the same with 5 % and 10 % of the
// values wrong, by the published model: species alike, one of its states
// alike, sizes normal with the range as three standard deviations to either
// side and the correlations .5, .5, .7.
func simulateAll(m *matrix.Matrix, n int, seed uint64) []set {
	sets := []set{{name: "clean"}, {name: "5 % wrong", wrong: 0.05}, {name: "10 % wrong", wrong: 0.1}}
	for i := range sets {
		r := rand.New(rand.NewPCG(seed, uint64(i)))
		clean := rand.New(rand.NewPCG(seed, 99)) // the same finds in every set
		for range n {
			s := draw(m, clean)
			corrupt(m, &s, sets[i].wrong, r)
			sets[i].specimens = append(sets[i].specimens, s)
		}
	}
	return sets
}

func draw(m *matrix.Matrix, r *rand.Rand) specimen {
	s := specimen{truth: r.IntN(len(m.Taxa)), six: map[int]bool{}}
	z := sizes(r)
	for c, ch := range m.Characters {
		e := m.Rows[s.truth][c]
		if e.Status != matrix.Given {
			continue
		}
		a := key.Answer{Character: c}
		if ch.Kind.IsNumber() {
			a.Number = number(e, z[ch.ID])
		} else {
			a.States = []int{e.States[r.IntN(len(e.States))].State}
		}
		s.answers = append(s.answers, a)
	}
	for _, i := range r.Perm(len(s.answers))[:min(6, len(s.answers))] {
		s.six[s.answers[i].Character] = true
	}
	return s
}

// sizes draws the three standard normals with the published correlations, by
// the Cholesky factor of their matrix.
func sizes(r *rand.Rand) map[string]float64 {
	a, b, c := r.NormFloat64(), r.NormFloat64(), r.NormFloat64()
	h := 0.5*a + math.Sqrt(0.75)*b
	l32 := (0.7 - 0.25) / math.Sqrt(0.75)
	w := 0.5*a + l32*b + math.Sqrt(1-0.25-l32*l32)*c
	return map[string]float64{"cap-diameter": a, "stem-height": h, "stem-width": w}
}

func number(e matrix.Entry, z float64) *describe.Span {
	low, mid, high, _ := e.Extent()
	v := describe.Value(math.Max(0, math.Round(100*(mid+z*(high-low)/6))/100))
	return &v
}

// corrupt replaces each value by another with the given probability: another
// state of the legend, or the size of a specimen of a random species.
func corrupt(m *matrix.Matrix, s *specimen, wrong float64, r *rand.Rand) {
	for i := range s.answers {
		if r.Float64() >= wrong {
			continue
		}
		a := &s.answers[i]
		if a.Number != nil {
			a.Number = number(m.Rows[r.IntN(len(m.Taxa))][a.Character], r.NormFloat64())
			continue
		}
		other := r.IntN(len(m.Characters[a.Character].States) - 1)
		if other >= a.States[0] {
			other++
		}
		a.States = []int{other}
	}
}

// readSets reads the specimen files of a folder; those that are not there are
// left out.
func readSets(m *matrix.Matrix, dir string) ([]set, error) {
	var sets []set
	six, err := readSix(m, filepath.Join(dir, "specimens_six_characters.csv.gz"))
	if err != nil {
		return nil, err
	}
	for _, f := range []struct {
		file  string
		wrong float64
	}{{"specimens_clean.csv.gz", 0}, {"specimens_corrupt05.csv.gz", 0.05}, {"specimens_corrupt10.csv.gz", 0.1}, {"published_61069.csv.gz", 0}} {
		s, err := readSet(m, filepath.Join(dir, f.file))
		if errors.Is(err, fs.ErrNotExist) {
			continue
		}
		if err != nil {
			return nil, fmt.Errorf("%s: %w", f.file, err)
		}
		for i := range s {
			if len(s) == len(six) {
				s[i].six = six[i]
			}
		}
		sets = append(sets, set{name: f.file, wrong: f.wrong, specimens: s})
	}
	return sets, nil
}

// open opens a compressed file, or the same without compression.
func open(path string) (io.ReadCloser, error) {
	f, err := os.Open(path)
	if errors.Is(err, fs.ErrNotExist) {
		return os.Open(strings.TrimSuffix(path, ".gz"))
	}
	if err != nil {
		return nil, err
	}
	z, err := gzip.NewReader(f)
	if err != nil {
		return nil, errors.Join(err, f.Close())
	}
	return struct {
		io.Reader
		io.Closer
	}{z, f}, nil
}

func readSet(m *matrix.Matrix, path string) ([]specimen, error) {
	f, err := open(path)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil {
		return nil, err
	}
	var out []specimen
	for _, row := range rows[1:] {
		s := specimen{truth: m.Taxon(row[1])}
		for i, head := range rows[0] {
			c := m.Character(head)
			if c < 0 || row[i] == "" {
				continue
			}
			a := key.Answer{Character: c}
			if m.Characters[c].Kind.IsNumber() {
				v, err := strconv.ParseFloat(row[i], 64)
				if err != nil {
					return nil, err
				}
				n := describe.Value(math.Max(0, v))
				a.Number = &n
			} else {
				a.States = []int{m.Characters[c].State(row[i])}
			}
			s.answers = append(s.answers, a)
		}
		out = append(out, s)
	}
	return out, nil
}

func readSix(m *matrix.Matrix, path string) ([]map[int]bool, error) {
	f, err := open(path)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, nil
	}
	if err != nil {
		return nil, err
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil {
		return nil, err
	}
	var out []map[int]bool
	for _, row := range rows[1:] {
		six := map[int]bool{}
		for _, id := range row[1:] {
			six[m.Character(id)] = true
		}
		out = append(out, six)
	}
	return out, nil
}
