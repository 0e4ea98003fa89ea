package colour

// Matrix is a linear map between colour spaces: rows, then columns.
type Matrix [3][3]float64

// Apply multiplies the matrix with a column.
func (m Matrix) Apply(v [3]float64) [3]float64 {
	var w [3]float64
	for i := range w {
		w[i] = m[i][0]*v[0] + m[i][1]*v[1] + m[i][2]*v[2]
	}
	return w
}

// Times gives the map that does n first, then m.
func (m Matrix) Times(n Matrix) Matrix {
	var p Matrix
	for i := range 3 {
		for j := range 3 {
			p[i][j] = m[i][0]*n[0][j] + m[i][1]*n[1][j] + m[i][2]*n[2][j]
		}
	}
	return p
}

// Determinant tells by how much the matrix stretches volumes; a matrix with
// determinant 0 has no inverse.
func (m Matrix) Determinant() float64 {
	return m[0][0]*(m[1][1]*m[2][2]-m[1][2]*m[2][1]) -
		m[0][1]*(m[1][0]*m[2][2]-m[1][2]*m[2][0]) +
		m[0][2]*(m[1][0]*m[2][1]-m[1][1]*m[2][0])
}

// Inverse gives the map back. For a matrix with determinant 0 its elements are
// not finite.
func (m Matrix) Inverse() Matrix {
	d := m.Determinant()
	var inv Matrix
	for i := range 3 {
		for j := range 3 {
			a, b := (j+1)%3, (j+2)%3
			c, e := (i+1)%3, (i+2)%3
			inv[i][j] = (m[a][c]*m[b][e] - m[a][e]*m[b][c]) / d
		}
	}
	return inv
}

// bradfordCone carries XYZ to the responses of the Bradford transform, as
// published by B. Lindbloom.
var bradfordCone = Matrix{
	{0.8951, 0.2664, -0.1614},
	{-0.7502, 1.7135, 0.0367},
	{0.0389, -0.0685, 1.0296},
}

// Bradford gives the matrix that adapts XYZ from one white to another.
func Bradford(from, to XYZ) Matrix {
	a := bradfordCone.Apply([3]float64{from.X, from.Y, from.Z})
	b := bradfordCone.Apply([3]float64{to.X, to.Y, to.Z})
	scale := Matrix{{b[0] / a[0], 0, 0}, {0, b[1] / a[1], 0}, {0, 0, b[2] / a[2]}}
	return bradfordCone.Inverse().Times(scale).Times(bradfordCone)
}

// FromPrimaries gives the matrix from linear RGB to XYZ for a colour space with
// the given chromaticities x, y of red, green and blue, and its white.
func FromPrimaries(xy [3][2]float64, white XYZ) Matrix {
	var p Matrix
	for i, c := range xy {
		p[0][i], p[1][i], p[2][i] = c[0]/c[1], 1, (1-c[0]-c[1])/c[1]
	}
	s := p.Inverse().Apply([3]float64{white.X, white.Y, white.Z})
	return p.Times(Matrix{{s[0], 0, 0}, {0, s[1], 0}, {0, 0, s[2]}})
}
