package card

import "math"

// tagFit is a tag whose edges were taken in linear light.
type tagFit struct {
	id, seat int
	sq       square
	corners  [4]Pixel
	sights   []sight
	blur     float64
	good     float64 // part of the borders that were seen where they should be
	sure     float64 // px: expected error of a corner by its own edges, root mean square
	own      bool    // the corners come from this tag's own edges
}

// refine takes a tag's edges to a fraction of a pixel, from corners that are
// right to about half a cell. It reports false when too few edges are seen.
func (f *Finder) refine(l *level, id int, q [4]Pixel) (t tagFit, ok bool) {
	t = tagFit{id: id, corners: q, own: true}
	borders := f.borders(id)
	if t.sq, ok = squareOf(q); !ok {
		return t, false
	}
	t.blur = f.blurOf(l, &t.sq, borders)
	for pass := range 3 {
		f.look(l, &t, borders)
		if len(t.sights) < 16 || t.good < .5 {
			return t, false
		}
		if !t.fit() {
			return t, false
		}
		if pass == 0 {
			t.blur = f.blurOf(l, &t.sq, borders)
		}
	}
	return t, true
}

func (f *Finder) borders(id int) []crack {
	if f.cracks == nil {
		f.cracks = map[int][]crack{}
	}
	k, ok := f.cracks[id]
	if !ok {
		k = cracks(id)
		f.cracks[id] = k
	}
	return k
}

// blurOf finds the sigma that leaves the least between the outer edges and
// their pattern.
func (f *Finder) blurOf(l *level, sq *square, borders []crack) float64 {
	best, least := 1., math.Inf(1)
	try := func(blur float64) {
		sum, n := 0., 0
		for i := range borders {
			k := &borders[i]
			if k.line != 0 && k.line != blackCells || k.cell&1 == 1 {
				continue
			}
			var p profile
			_, _, _, cellPx, ok := f.gather(l, sq, k, 2.2, &p)
			if !ok {
				continue
			}
			e, ok := place(&p, k, cellPx, blur, 0)
			if ok && e.contrast != 0 {
				sum += min(e.rest/(e.contrast*e.contrast), .05)
			} else {
				sum += .05
			}
			n++
		}
		if n > 0 && sum/float64(n) < least {
			least, best = sum/float64(n), blur
		}
	}
	for _, b := range []float64{.45, .65, .95, 1.4, 2, 2.9, 4.2} {
		try(b)
	}
	for _, k := range []float64{.83, 1.2} {
		try(best * k)
	}
	return best
}

// look sees all borders of a tag from where its square is thought to be.
func (f *Finder) look(l *level, t *tagFit, borders []crack) {
	t.sights = t.sights[:0]
	good := 0
	for i := range borders {
		k := &borders[i]
		var p profile
		at, nx, ny, cellPx, ok := f.gather(l, &t.sq, k, t.blur, &p)
		if !ok {
			continue
		}
		e, ok := place(&p, k, cellPx, t.blur, 0)
		if !ok || e.contrast <= 0 || math.Abs(e.off) > .6*cellPx+1 || e.rest > .03*e.contrast*e.contrast {
			continue
		}
		if math.Abs(e.off) < .35*cellPx && e.sigma < .25*cellPx {
			good++
		}
		const cell = 1. / blackCells
		u, v := float64(k.line)*cell, (float64(k.cell)+.5)*cell
		if k.along {
			u, v = v, u
		}
		t.sights = append(t.sights, sight{x: u, y: v, at: at, nx: nx, ny: ny, off: e.off, sigma: math.Hypot(e.sigma, .03), light: float64(k.pattern[3] - k.pattern[2])})
	}
	t.good = float64(good) / float64(len(borders))
}

// fit moves the tag's square so that its borders lie where they were seen.
func (t *tagFit) fit() bool {
	for i := range t.sights {
		t.sights[i].weight = 1
	}
	h := t.sq.h
	var cov matrix
	var room [2 * blackCells * (blackCells + 1)]float64
	for range 8 {
		var a matrix
		var b vector
		rests := room[:0]
		for i := range t.sights {
			s := &t.sights[i]
			w := h[6]*s.x + h[7]*s.y + 1
			px, py := (h[0]*s.x+h[1]*s.y+h[2])/w, (h[3]*s.x+h[4]*s.y+h[5])/w
			rest := (s.at.X-px)*s.nx + (s.at.Y-py)*s.ny + s.off
			rests = append(rests, math.Abs(rest)/s.sigma)
			k := s.weight / (s.sigma * s.sigma)
			j := [8]float64{s.nx * s.x / w, s.nx * s.y / w, s.nx / w, s.ny * s.x / w, s.ny * s.y / w, s.ny / w,
				-(s.nx*px + s.ny*py) * s.x / w, -(s.nx*px + s.ny*py) * s.y / w}
			for r := range 8 {
				for c := range 8 {
					a[r][c] += k * j[r] * j[c]
				}
				b[r] += k * j[r] * rest
			}
		}
		scale := max(median(rests)*1.48, .5)
		inv, ok := inverse(&a, 8)
		if !ok {
			return false
		}
		for r := range 8 {
			for c := range 8 {
				h[r] += inv[r][c] * b[c]
			}
		}
		for i := range t.sights {
			s := &t.sights[i]
			w := h[6]*s.x + h[7]*s.y + 1
			px, py := (h[0]*s.x+h[1]*s.y+h[2])/w, (h[3]*s.x+h[4]*s.y+h[5])/w
			rest := ((s.at.X-px)*s.nx + (s.at.Y-py)*s.ny + s.off) / (s.sigma * scale)
			s.weight = tukey(rest)
		}
		cov = inv
		for r := range cov {
			for c := range cov {
				cov[r][c] *= scale * scale
			}
		}
	}
	t.sq.h = h
	var sum float64
	for i, c := range unit {
		x, y := t.sq.at(c[0], c[1])
		t.corners[i] = Pixel{x, y}
		w := h[6]*c[0] + h[7]*c[1] + 1
		jx := [8]float64{c[0] / w, c[1] / w, 1 / w, 0, 0, 0, -x * c[0] / w, -x * c[1] / w}
		jy := [8]float64{0, 0, 0, c[0] / w, c[1] / w, 1 / w, -y * c[0] / w, -y * c[1] / w}
		for r := range 8 {
			for c := range 8 {
				sum += cov[r][c] * (jx[r]*jx[c] + jy[r]*jy[c])
			}
		}
	}
	t.sure = math.Sqrt(sum / 8)
	return convex(t.corners) && !math.IsNaN(t.sure)
}

// tukey is the biweight at a distance in standard deviations.
func tukey(x float64) float64 {
	const c = 4.685
	if x = x / c; x*x >= 1 {
		return 0
	}
	x = 1 - x*x
	return x * x
}
