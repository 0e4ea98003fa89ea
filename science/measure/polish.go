package measure

import (
	"math"
	"slices"
)

// polish places the edge along each ray to a fraction of a pixel and lays a
// smooth closed line through it: a Fourier series of the radius, fitted with
// Tukey's weights, so that a blade of grass across the rim does no harm.
func (f *fan) polish() (Proposal, bool) {
	var at, weight [rays]float64
	contrasts := make([]float64, 0, rays)
	for i := range rays {
		r := radii[f.edge[i]]
		at[i] = r
		if f.last[i] == f.least[i]+1 { // put there by hand
			weight[i] = byHand
			continue
		}
		if d, contrast, ok := f.place(i, r); ok {
			at[i], weight[i] = r+d, 1
			contrasts = append(contrasts, contrast)
		}
		if f.held[i] && f.edge[i] >= f.last[i]-1 { // no edge there, but a point that lies outside
			at[i], weight[i] = r, byHand
		}
	}
	if len(contrasts) < rays/2 {
		return Proposal{}, false
	}
	fit, scale, used := smooth(&at, &weight)
	if used < rays/3 {
		return Proposal{}, false
	}
	out := Proposal{Contrast: middle(contrasts)}

	for i, d := range directions {
		out.Points = append(out.Points, f.at(fit[i]*d[0], fit[i]*d[1]))
		f.edge[i] = min(max(int(math.Round(stepOf(fit[i]))), 0), f.steps-1)
	}
	// The series averages over the rays that each of its terms shares; a quarter
	// of a pixel is left for what all rays err by alike.
	out.Placing = math.Hypot(scale*math.Sqrt((2*harmonic+1)/used), edgeBias)
	out.wide = widest(&fit)
	looks := f.judge(out.Contrast, float64(len(contrasts))/rays, scale/middle(fit[:]))
	out.odds, out.clear = looks.odds(), looks.clear
	return out, true
}

// widest is the greatest distance between two ends of the rays.
func widest(radii *[rays]float64) float64 {
	var x, y [rays]float64
	sq := 0.0
	for i, d := range directions {
		x[i], y[i] = radii[i]*d[0], radii[i]*d[1]
		for j := range i {
			dx, dy := x[i]-x[j], y[i]-y[j]
			if v := dx*dx + dy*dy; v > sq {
				sq = v
			}
		}
	}
	return math.Sqrt(sq)
}

// smooth fits the series to radii, and tells how far they scatter round it
// and how many of them count.
func smooth(at, weight *[rays]float64) (fit [rays]float64, scale, used float64) {
	rest := make([]float64, 0, rays)
	w := *weight
	for range 6 {
		if !series(at, &w, &fit) {
			return fit, 0, 0
		}
		rest = rest[:0]
		for i := range rays {
			if weight[i] > 0 {
				rest = append(rest, math.Abs(at[i]-fit[i]))
			}
		}
		scale = max(1.48*middle(rest), .15)
		used = 0
		for i := range rays {
			z := (at[i] - fit[i]) / (4.685 * scale)
			switch {
			case weight[i] == byHand:
				w[i] = byHand
			case weight[i] > 0 && z*z < 1:
				w[i] = (1 - z*z) * (1 - z*z)
			default:
				w[i] = 0
			}
			used += w[i]
		}
	}
	return fit, scale, used
}

// byHand is the weight of a place of the edge that a person put there.
const byHand = 20

// edgeBias is the error of an edge that averaging does not lessen, in pixels:
// shade at the rim, the blur of the lens. Found on rendered photographs.
const edgeBias = .25

// linear light of coded values (sRGB, IEC 61966-2-1), and a little below and
// above for what lies between samples.
var linear = func() (t [256]float64) {
	for i := range t {
		x := float64(i) / 255
		if t[i] = x / 12.92; x > .04045 {
			t[i] = math.Pow((x+.055)/1.055, 2.4)
		}
	}
	return t
}()

func lightOf(v float64) float64 {
	i := min(int(v), 254)
	return linear[i] + (linear[i+1]-linear[i])*(v-float64(i))
}

// light is linear light between the pixels of the photograph: red, green, blue.
func (p *Picture) light(x, y float64) tint {
	r, g, b := p.rgb(0, x, y)
	return tint{lightOf(r), lightOf(g), lightOf(b)}
}

// place finds the edge near a radius. The profile, in linear light (in which
// lenses blur), is projected on the change of colour from inside to outside and
// cut in two where that leaves the least; the edge lies where it passes
// halfway.
func (f *fan) place(ray int, r float64) (d, contrast float64, ok bool) {
	e := directions[ray]
	reach := min(max(5, .07*r), 40)
	pace := max(.5, reach/40)
	n := 2*int(reach/pace) + 1
	var line [164]tint
	var v [164]float64
	// Across the ray colours are averaged over a part of what lies between rays.
	side := min(r*math.Pi/rays, 4)
	for i := range n {
		q := r + (float64(i)-float64(n-1)/2)*pace
		for j := -2; j <= 2; j++ {
			s := side * float64(j) / 2.5
			at := f.at(q*e[0]-s*e[1], q*e[1]+s*e[0])
			line[i] = line[i].plus(f.p.light(at.X, at.Y).scaled(.2))
		}
	}
	var in, out tint
	m := n / 3
	for i := range m {
		in = in.plus(line[i].scaled(1 / float64(m)))
		out = out.plus(line[n-1-i].scaled(1 / float64(m)))
	}
	axis := out.minus(in)
	size := math.Sqrt(axis.dot(axis))
	if size < 1e-3 {
		return 0, 0, false
	}
	axis = axis.scaled(1 / size)
	for i := range n {
		v[i] = line[i].dot(axis)
	}
	cut, lo, hi, noise := split(v[:n])
	if hi-lo < 1.5*noise || cut < 2 || cut > n-2 {
		return 0, 0, false
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
	return (best - float64(n-1)/2) * pace, (hi - lo) / max(noise, 1e-4), found
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

// terms is how many numbers make the series, and waves what each is at each ray.
const terms = 2*harmonic + 1

var waves = func() (w [rays][terms]float64) {
	for i := range w {
		w[i][0] = 1
		for k := 1; k <= harmonic; k++ {
			w[i][2*k], w[i][2*k-1] = math.Sincos(2 * math.Pi * float64(i*k) / rays)
		}
	}
	return w
}()

// series fits a Fourier series of the radius.
func series(at, w, fit *[rays]float64) bool {
	const n = terms
	var a [n][n + 1]float64
	for i := range rays {
		if w[i] == 0 {
			continue
		}
		r := &waves[i]
		for j, v := range r {
			v *= w[i]
			row := &a[j]
			for k := j; k < n; k++ { // the rest is its mirror image
				row[k] += v * r[k]
			}
			row[n] += v * at[i]
		}
	}
	for j := range n {
		for k := range j {
			a[j][k] = a[k][j]
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
		fit[i] = 0
		for j, v := range waves[i] {
			fit[i] += v * a[j][n] / a[j][j]
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
