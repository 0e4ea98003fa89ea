package truecolour

import "math"

// system gathers equations a·x = b and solves them by least squares.
type system struct {
	n      int
	normal [][]float64
	right  []float64
}

func newSystem(n int) *system {
	s := &system{n: n, normal: make([][]float64, n), right: make([]float64, n)}
	for i := range s.normal {
		s.normal[i] = make([]float64, n)
	}
	return s
}

func (s *system) clone() *system {
	c := newSystem(s.n)
	copy(c.right, s.right)
	for i, row := range s.normal {
		copy(c.normal[i], row)
	}
	return c
}

// add takes an equation with its weight (1 over the variance).
func (s *system) add(a []float64, b, weight float64) {
	for i, ai := range a {
		if ai == 0 {
			continue
		}
		w := weight * ai
		s.right[i] += w * b
		row := s.normal[i]
		for j := range i + 1 {
			row[j] += w * a[j]
		}
	}
}

// factor is the Cholesky root of the normal equations.
type factor [][]float64

// root factors the normal equations; false when they leave something open.
func (s *system) root() (factor, bool) {
	l := make(factor, s.n)
	for i := range l {
		l[i] = make([]float64, s.n)
		for j := range i + 1 {
			sum := s.normal[i][j]
			for k := range j {
				sum -= l[i][k] * l[j][k]
			}
			if i != j {
				l[i][j] = sum / l[j][j]
				continue
			}
			if !(sum > 1e-13*s.normal[i][i]) {
				return nil, false
			}
			l[i][i] = math.Sqrt(sum)
		}
	}
	return l, true
}

// solve gives x for a right side.
func (l factor) solve(right []float64) []float64 {
	x := l.half(right)
	for i := len(l) - 1; i >= 0; i-- {
		for k := i + 1; k < len(l); k++ {
			x[i] -= l[k][i] * x[k]
		}
		x[i] /= l[i][i]
	}
	return x
}

// half solves with the root alone: the length of what it gives is the standard
// error of the combination right·x.
func (l factor) half(right []float64) []float64 {
	x := append([]float64(nil), right...)
	for i := range l {
		for k := range i {
			x[i] -= l[i][k] * x[k]
		}
		x[i] /= l[i][i]
	}
	return x
}

func dot(a, b []float64) float64 {
	sum := 0.0
	for i := range a {
		sum += a[i] * b[i]
	}
	return sum
}
