package measure

import (
	"math"
	"slices"

	"trug/science/card"
)

// polish places the edge along each ray to a fraction of a pixel and lays a
// smooth closed line through it: a Fourier series of the radius, fitted with
// Tukey's weights, so that a blade of grass across the rim does no harm.
func (f *fan) polish() (Proposal, error) {
	var at, weight [rays]float64
	contrasts, sizes := make([]float64, 0, rays), make([]float64, 0, rays)
	seen := 0
	for i := range rays {
		r := radius(float64(f.edge[i]) - .5)
		d, contrast, size, ok := f.place(i, r)
		at[i] = r
		if ok {
			at[i], weight[i] = r+d, 1
			seen++
			contrasts, sizes = append(contrasts, contrast), append(sizes, size)
		}
	}
	if seen < rays/2 {
		return Proposal{}, ErrNoOutline
	}
	var rest []float64
	var fit [rays]float64
	w := weight
	for range 6 {
		if !series(&at, &w, &fit) {
			return Proposal{}, ErrNoOutline
		}
		rest = rest[:0]
		for i := range rays {
			if weight[i] > 0 {
				rest = append(rest, math.Abs(at[i]-fit[i]))
			}
		}
		scale := max(1.48*middle(rest), .15)
		for i := range rays {
			if w[i] = 0; weight[i] > 0 {
				z := (at[i] - fit[i]) / (4.685 * scale)
				if z*z < 1 {
					w[i] = (1 - z*z) * (1 - z*z)
				}
			}
		}
	}
	out := Proposal{Contrast: middle(contrasts)}
	used := 0.0
	for _, v := range w {
		used += v
	}
	if used < rays/3 {
		return Proposal{}, ErrNoOutline
	}
	scale := max(1.48*middle(rest), .15)
	for i := range rays {
		cos, sin := direction(i)
		out.Points = append(out.Points, card.Pixel{X: f.centre.X + fit[i]*cos, Y: f.centre.Y + fit[i]*sin})
	}
	rough := 0.0
	for i := range rays {
		rough += min(math.Abs(radius(float64(f.edge[i])-.5)-fit[i])/fit[i], .3) / rays
	}
	out.score = min(middle(sizes)/50, 1)*float64(seen)/rays - 5*max(rough-.02, 0)
	// The series averages over the rays that each of its terms shares; a third
	// of a pixel is left for what all rays err by alike.
	out.Placing = math.Hypot(scale*math.Sqrt((2*harmonic+1)/used), edgeBias)
	return out, nil
}

// edgeBias is the error of an edge that averaging does not lessen, in pixels:
// shade at the rim, the blur of the lens. Found on rendered photographs.
const edgeBias = .35

// place finds the edge near a radius: the profile, projected on the change of
// colour from inside to outside, is cut in two where that leaves the least,
// and the edge lies where it passes halfway.
func (f *fan) place(ray int, r float64) (d, contrast, size float64, ok bool) {
	cos, sin := direction(ray)
	reach := min(max(5, .07*r), 40)
	step := max(.5, reach/40)
	n := 2*int(reach/step) + 1
	var line [164]tint
	var v [164]float64
	// Across the ray colours are averaged over a part of what lies between rays.
	side := min(r*math.Pi/rays, 4)
	for i := range n {
		q := r + (float64(i)-float64(n-1)/2)*step
		var t tint
		for j := -2; j <= 2; j++ {
			s := side * float64(j) / 2.5
			t = t.plus(f.p.tint(0, f.centre.X+q*cos-s*sin, f.centre.Y+q*sin+s*cos))
		}
		line[i] = t.scaled(.2)
	}
	var in, out tint
	m := n / 3
	for i := range m {
		in = in.plus(line[i].scaled(1 / float64(m)))
		out = out.plus(line[n-1-i].scaled(1 / float64(m)))
	}
	axis := out.minus(in)
	if size = math.Sqrt(axis.dot(axis)); size < 6 {
		return 0, 0, 0, false
	}
	axis = axis.scaled(1 / size)
	for i := range n {
		v[i] = line[i].dot(axis)
	}
	cut, lo, hi, noise := split(v[:n])
	if hi-lo < 5 || cut < 2 || cut > n-2 {
		return 0, 0, 0, false
	}
	half := (lo + hi) / 2
	best, found := 0.0, false
	for i := max(cut-4, 0); i < min(cut+4, n-1); i++ {
		if v[i] <= half && v[i+1] > half {
			x := float64(i) + (half-v[i])/(v[i+1]-v[i])
			if !found || math.Abs(x-float64(cut)+.5) < math.Abs(best-float64(cut)+.5) {
				best, found = x, true
			}
		}
	}
	return (best - float64(n-1)/2) * step, (hi - lo) / max(noise, .5), size, found
}

// split cuts values in two so that the least is left round the two means.
func split(v []float64) (cut int, lo, hi, noise float64) {
	var all, sq float64
	for _, x := range v {
		all += x
		sq += x * x
	}
	best, left := math.Inf(1), 0.0
	n := float64(len(v))
	for i, x := range v[:len(v)-1] {
		left += x
		k := float64(i + 1)
		if rest := sq - left*left/k - (all-left)*(all-left)/(n-k); rest < best {
			best, cut = rest, i+1
			lo, hi = left/k, (all-left)/(n-k)
		}
	}
	return cut, lo, hi, math.Sqrt(max(best, 0) / n)
}

// series fits a Fourier series of the radius.
func series(at, w, fit *[rays]float64) bool {
	const n = 2*harmonic + 1
	var a [n][n + 1]float64
	row := func(i int) (r [n]float64) {
		r[0] = 1
		for k := 1; k <= harmonic; k++ {
			r[2*k], r[2*k-1] = math.Sincos(2 * math.Pi * float64(i*k) / rays)
		}
		return r
	}
	for i := range rays {
		r := row(i)
		for j := range n {
			for k := range n {
				a[j][k] += w[i] * r[j] * r[k]
			}
			a[j][n] += w[i] * r[j] * at[i]
		}
	}
	for j := range n { // a little stiffness for high terms, so that gaps stay calm
		a[j][j] += 1e-3 * float64((j+1)/2)
	}
	for j := range n {
		p := j
		for k := j + 1; k < n; k++ {
			if math.Abs(a[k][j]) > math.Abs(a[p][j]) {
				p = k
			}
		}
		if a[j], a[p] = a[p], a[j]; math.Abs(a[j][j]) < 1e-9 {
			return false
		}
		for k := range n {
			if k != j {
				m := a[k][j] / a[j][j]
				for c := j; c <= n; c++ {
					a[k][c] -= m * a[j][c]
				}
			}
		}
	}
	for i := range rays {
		r := row(i)
		fit[i] = 0
		for j := range n {
			fit[i] += r[j] * a[j][n] / a[j][j]
		}
	}
	return true
}

func middle(v []float64) float64 {
	if len(v) == 0 {
		return 0
	}
	v = slices.Sorted(slices.Values(v))
	return v[len(v)/2]
}
