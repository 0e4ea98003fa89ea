package sharpness

import (
	"math"
	"slices"
)

// Point is a place in a photograph, pixel centres at integers.
type Point struct{ X, Y float64 }

// strip is how light changes across a closed line that was laid straight: a row for
// each distance from it, half pixels inside to half outside, with a value for each
// step along the line.
type strip struct {
	n, half int
	px      []float32
	whole   []bool // what a step shows lies in the picture
}

// walk is a closed line in equal steps, with normals that point outwards.
type walk struct{ at, normal []Point }

// mostColumns is how many steps are taken along a line; of a longer one every
// other pixel tells as much.
const mostColumns = 2400

// walked goes along a closed line, smoothed over some pixels, in steps of a pixel;
// false where it is too short to say anything.
func walked(line []Point, smooth float64) (walk, bool) {
	total, area := 0., 0.
	for i, a := range line {
		b := line[(i+1)%len(line)]
		total += math.Hypot(b.X-a.X, b.Y-a.Y)
		area += a.X*b.Y - a.Y*b.X
	}
	n := min(int(total), mostColumns)
	if n < 2*arcs {
		return walk{}, false
	}
	step := total / float64(n)
	at := make([]Point, 0, n)
	next, run := 0., 0.
	for i, a := range line {
		b := line[(i+1)%len(line)]
		l := math.Hypot(b.X-a.X, b.Y-a.Y)
		for ; next < run+l && len(at) < n; next += step {
			t := (next - run) / l
			at = append(at, Point{a.X + t*(b.X-a.X), a.Y + t*(b.Y-a.Y)})
		}
		run += l
	}
	k := min(max(int(smooth/step+.5), 1), n/8)
	at = rolled(rolled(at, k), k)
	w := walk{at, make([]Point, len(at))}
	for i := range at {
		p, q := at[(i+len(at)-k)%len(at)], at[(i+k)%len(at)]
		dx, dy := q.X-p.X, q.Y-p.Y
		l := math.Copysign(max(math.Hypot(dx, dy), 1e-9), area)
		w.normal[i] = Point{dy / l, -dx / l}
	}
	return w, true
}

// rolled is the mean of each point and k to both sides.
func rolled(v []Point, k int) []Point {
	n := len(v)
	var s Point
	for j := -k; j <= k; j++ {
		p := v[((j%n)+n)%n]
		s.X, s.Y = s.X+p.X, s.Y+p.Y
	}
	out := make([]Point, n)
	for i := range v {
		out[i] = Point{s.X / float64(2*k+1), s.Y / float64(2*k+1)}
		p, q := v[(((i-k)%n)+n)%n], v[(i+k+1)%n]
		s.X, s.Y = s.X+q.X-p.X, s.Y+q.Y-p.Y
	}
	return out
}

// shifted moves each point of a walk along its normal.
func (w walk) shifted(by []float64) walk {
	out := walk{make([]Point, len(w.at)), w.normal}
	for i, p := range w.at {
		out.at[i] = Point{p.X + by[i]*w.normal[i].X, p.Y + by[i]*w.normal[i].Y}
	}
	return out
}

// looked is a picture that is looked at here and there: its size, and the light of
// four pixels from one on to the right.
type looked interface {
	size() (w, h int)
	four(x, y int) [4]float32
}

func (l *Light) size() (w, h int) { return l.Rect.Dx(), l.Rect.Dy() }

func (l *Light) four(x, y int) [4]float32 {
	return [4]float32(l.Px[y*l.Rect.Dx()+x:][:4])
}

func (p part) size() (w, h int) { return p.Dx(), p.Dy() }

func (p part) four(x, y int) [4]float32 {
	q := p.img.Pix[p.img.PixOffset(p.Min.X+x, p.Min.Y+y):][:16:16]
	return [4]float32{light(q[0:3]), light(q[4:7]), light(q[8:11]), light(q[12:15])}
}

// straight lays a picture along a walk straight, between pixels by the cubic of
// Catmull and Rom, which smooths next to nothing (Keys 1981, a = -1/2), and returns
// how its light changes across, smoothed by each of some spreads.
func (w walk) straight(picture looked, half int, sigmas ...float64) []*strip {
	n, wide := len(w.at), 2*half+1
	px, whole := make([]float32, n*wide), make([]bool, n)
	for u, p := range w.at {
		whole[u] = column(picture, px[u*wide:][:wide], p, w.normal[u])
	}
	out := make([]*strip, len(sigmas))
	for i, sigma := range sigmas {
		out[i] = &strip{n, half, make([]float32, n*wide), whole}
		across(px, out[i].px, wide, n, derivative(sigma), true)
	}
	return out
}

// column takes the light across a line at a point; false where some of it lies
// beyond the picture.
func column(picture looked, out []float32, p, normal Point) bool {
	w, h := picture.size()
	whole := true
	for i := range out {
		d := float64(i - len(out)/2)
		x, y := p.X+d*normal.X, p.Y+d*normal.Y
		if x < 1 || y < 1 || x >= float64(w-3) || y >= float64(h-3) {
			whole = false
			x, y = min(max(x, 1), float64(w-3)), min(max(y, 1), float64(h-3))
		}
		xi, yi := int(x), int(y)
		kx, ky := cubic(float32(x-float64(xi))), cubic(float32(y-float64(yi)))
		v := float32(0)
		for j, k := range ky {
			r := picture.four(xi-1, yi+j-1)
			v += k * (kx[0]*r[0] + kx[1]*r[1] + kx[2]*r[2] + kx[3]*r[3])
		}
		out[i] = v
	}
	return whole
}

func cubic(f float32) [4]float32 {
	return [4]float32{((-.5*f+1)*f - .5) * f, (1.5*f-2.5)*f*f + 1, ((-1.5*f+2)*f + .5) * f, (.5*f - .5) * f * f}
}

// along smooths along the line by spread sigma.
func (s *strip) along(sigma float64) *strip {
	out := &strip{s.n, s.half, make([]float32, 0, len(s.px)), s.whole}
	for d := -s.half; d <= s.half; d++ {
		out.px = append(out.px, s.row(d, sigma)...)
	}
	return out
}

// row is the row at a distance from the line, smoothed along it by spread sigma.
func (s *strip) row(d int, sigma float64) []float32 {
	k := gaussian(sigma)
	m := len(k) - 1
	row := s.px[(d+s.half)*s.n:][:s.n]
	round := slices.Concat(row[s.n-m:], row, row[:m])
	out := make([]float32, s.n)
	for u := range out {
		p := round[u:][: 2*m+1 : 2*m+1]
		v := k[0] * p[m]
		for i := 1; i <= m; i++ {
			v += k[i] * (p[m+i] + p[m-i])
		}
		out[u] = v
	}
	return out
}

// at is the change so many pixels outside the line.
func (s *strip) at(u, d int) float64 { return float64(s.px[(s.half+d)*s.n+u]) }

const (
	// stiff is what a step aside by a pixel costs a ridge, in parts of what a steep
	// place is worth, and astray what lying at the end of the search does.
	stiff, astray = .3, .15
)

// ridge is how far outside the line its steepest change runs, column by column
// and without jumps: sought round a guess, in a strip of slopes.
func (s *strip) ridge(guess []float64, search int) []float64 {
	wide, run := 2*search+1, s.n+s.n/4 // beyond the end, for the line is closed
	near := make([]int, s.n)
	steepest := make([]float64, s.n)
	worth := func(u, j int) float64 {
		d := near[u] + j - search
		if d < -s.half || d > s.half {
			return -1
		}
		return math.Abs(s.at(u, d))
	}
	for u := range s.n {
		near[u] = int(math.Round(guess[u]))
		for j := range wide {
			steepest[u] = max(steepest[u], worth(u, j))
		}
	}
	slices.Sort(steepest)
	top := 2*steepest[s.n/2] + 1e-12 // a few steep leaves behind must not draw it
	sum, next := make([]float64, wide), make([]float64, wide)
	from := make([]int8, run*wide)
	for v := range run {
		u := v % s.n
		aside := near[u] - near[(u+s.n-1)%s.n]
		for j := range wide {
			best, arg := math.Inf(-1), int8(min(max(j+aside, 0), wide-1))
			for d := -1; d <= 1; d++ {
				q := j + aside + d
				if q < 0 || q >= wide {
					continue
				}
				if c := sum[q] - stiff*math.Abs(float64(d)); c > best {
					best, arg = c, int8(q)
				}
			}
			if math.IsInf(best, -1) {
				best = sum[arg] - 2*stiff
			}
			e := float64(j-search) / float64(search)
			next[j] = best + min(worth(u, j), top)/top - astray*e*e
			from[v*wide+j] = arg
		}
		sum, next = next, sum
	}
	j := 0
	for i := range sum {
		if sum[i] > sum[j] {
			j = i
		}
	}
	out := make([]float64, s.n)
	for v := run - 1; v >= run-s.n; v-- {
		u := v % s.n
		out[u] = float64(near[u]+j-search) + s.top(u, near[u]+j-search)
		j = int(from[v*wide+j])
	}
	return rolling(out, 2)
}

// top is by how much the greatest slope lies beside a pixel, from a parabola.
func (s *strip) top(u, d int) float64 {
	if d <= -s.half || d >= s.half {
		return 0
	}
	a, b, c := math.Abs(s.at(u, d-1)), math.Abs(s.at(u, d)), math.Abs(s.at(u, d+1))
	if q := a - 2*b + c; q < 0 {
		return min(max((a-c)/(2*q), -.5), .5)
	}
	return 0
}

// rolling is the mean of each value and k to both sides, of a closed line.
func rolling(v []float64, k int) []float64 {
	n := len(v)
	out := make([]float64, n)
	for i := range v {
		for j := -k; j <= k; j++ {
			out[i] += v[(i+j+n)%n] / float64(2*k+1)
		}
	}
	return out
}

// resampled are a closed line's values at n places.
func resampled[T float32 | float64](v []T, n int) []T {
	out := make([]T, n)
	for i := range out {
		at := float64(i) * float64(len(v)) / float64(n)
		k := int(at)
		f := T(at - float64(k))
		out[i] = v[k%len(v)]*(1-f) + v[(k+1)%len(v)]*f
	}
	return out
}
