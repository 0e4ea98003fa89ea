package card

import (
	"math"
	"slices"
)

// solve solves the symmetric positive definite system a x = b of order n in
// place by Cholesky's way; a may be larger. It
// reports false for a system without one solution.
func solve(a *matrix, b *vector, n int) bool {
	l := *a
	if !cholesky(&l, n) {
		return false
	}
	substitute(&l, b, n)
	return true
}

// cholesky replaces the lower half of a by its root.
func cholesky(a *matrix, n int) bool {
	for i := range n {
		scale := a[i][i]
		for j := 0; j <= i; j++ {
			s := a[i][j]
			for k := range j {
				s -= a[i][k] * a[j][k]
			}
			if i == j {
				if !(s > 1e-14*scale) || math.IsInf(s, 0) {
					return false
				}
				a[i][i] = math.Sqrt(s)
			} else {
				a[i][j] = s / a[j][j]
			}
		}
	}
	return true
}

func substitute(l *matrix, b *vector, n int) {
	for i := range n {
		for k := range i {
			b[i] -= l[i][k] * b[k]
		}
		b[i] /= l[i][i]
	}
	for i := n - 1; i >= 0; i-- {
		for k := i + 1; k < n; k++ {
			b[i] -= l[k][i] * b[k]
		}
		b[i] /= l[i][i]
	}
}

// inverse returns the inverse of a symmetric positive definite matrix.
func inverse(a *matrix, n int) (out matrix, ok bool) {
	l := *a
	if !cholesky(&l, n) {
		return out, false
	}
	for j := range n {
		var e vector
		e[j] = 1
		substitute(&l, &e, n)
		for i := range n {
			out[i][j] = e[i]
		}
	}
	return out, true
}

// invert3 returns the inverse of a 3 x 3 matrix; false when it has none.
func invert3(m [9]float64) (out [9]float64, ok bool) {
	out = [9]float64{
		m[4]*m[8] - m[5]*m[7], m[2]*m[7] - m[1]*m[8], m[1]*m[5] - m[2]*m[4],
		m[5]*m[6] - m[3]*m[8], m[0]*m[8] - m[2]*m[6], m[2]*m[3] - m[0]*m[5],
		m[3]*m[7] - m[4]*m[6], m[1]*m[6] - m[0]*m[7], m[0]*m[4] - m[1]*m[3],
	}
	det := m[0]*out[0] + m[1]*out[3] + m[2]*out[6]
	if !(math.Abs(det) > 1e-12) || math.IsInf(det, 0) {
		return out, false
	}
	for i := range out {
		out[i] /= det
	}
	return out, true
}

// homography takes points to pixels by least squares: first the algebraic
// error with h8 = 1, then three steps of Gauss and Newton on the distances in
// the picture.
func homography(from [][2]float64, to []Pixel) (h [8]float64, ok bool) {
	// Pixels are counted from their middle in units of their spread, so that
	// the normal equations keep their digits.
	var mx, my, spread float64
	for _, q := range to {
		mx, my = mx+q.X/float64(len(to)), my+q.Y/float64(len(to))
	}
	for _, q := range to {
		spread += math.Hypot(q.X-mx, q.Y-my) / float64(len(to))
	}
	if !(spread > 1e-6) || math.IsInf(spread, 0) {
		return h, false
	}
	for pass := range 4 {
		var a matrix
		var b vector
		for i, f := range from {
			x, y := f[0], f[1]
			u, v := (to[i].X-mx)/spread, (to[i].Y-my)/spread
			w, pu, pv := 1.0, 0.0, 0.0
			if pass > 0 {
				w = h[6]*x + h[7]*y + 1
				if !(math.Abs(w) > 1e-9) {
					return h, false
				}
				pu, pv = (h[0]*x+h[1]*y+h[2])/w, (h[3]*x+h[4]*y+h[5])/w
			}
			su, sv := pu, pv
			if pass == 0 {
				su, sv = u, v // algebraic: the observed value stands in the rows
			}
			addRow(&a, &b, [8]float64{x / w, y / w, 1 / w, 0, 0, 0, -su * x / w, -su * y / w}, u-pu)
			addRow(&a, &b, [8]float64{0, 0, 0, x / w, y / w, 1 / w, -sv * x / w, -sv * y / w}, v-pv)
		}
		if !solve(&a, &b, 8) {
			return h, false
		}
		for i := range h {
			h[i] += b[i]
		}
	}
	for i := range 3 {
		k := [3]float64{h[6], h[7], 1}[i]
		h[i], h[3+i] = h[i]*spread+mx*k, h[3+i]*spread+my*k
	}
	for _, v := range h {
		if math.IsNaN(v) || math.IsInf(v, 0) {
			return h, false
		}
	}
	return h, true
}

// addRow adds an observation of weight 1 to normal equations.
func addRow(a *matrix, b *vector, row [8]float64, rest float64) {
	for i, r := range row {
		if r == 0 {
			continue
		}
		for j, s := range row {
			a[i][j] += r * s
		}
		b[i] += r * rest
	}
}

// median returns the middle of v, which it disorders; 0 of nothing.
func median(v []float64) float64 {
	if len(v) == 0 {
		return 0
	}
	slices.Sort(v)
	return v[len(v)/2]
}
