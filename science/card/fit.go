package card

import "math"

// fitParams is how many numbers a fit may move: a plane's, and a card's bends.
const fitParams = planeParams + bendModes

// matrix and vector hold as much as a fit needs.
type (
	vector = [fitParams]float64
	matrix = [fitParams][fitParams]float64
)

// distortionSpread is how much radial distortion phones leave, as a standard
// deviation at the corner of the picture: rough, from memory.
const distortionSpread = .02

// gainSpread is by how much ink that has run, or light that is clipped or
// sharpened, moves all borders towards their light side, as a standard
// deviation in pixels: rough, found on rendered photographs.
const gainSpread = .3

// fitPlane moves the plane so that the borders of all tags lie where they
// were seen: Gauss and Newton with Tukey's weights. With three tags or more
// the lens's distortion is fitted as well, held near nothing; and always how
// far all borders lie towards their light side, which would else look like
// distortion or tilt. That number is eliminated from the normal equations. With
// a curve the card's bends are fitted too, and the plane's covariance holds
// what they leave open. One tag or two hardly show perspective: there what is
// known of the lens holds the plane to one that a camera can see.
func fitPlane(p *Plane, bent *curve, l *Layout, tags []tagFit, lens Focal) {
	free := p.fit(bent, l, tags, Focal{})
	if len(tags) > 2 || math.IsInf(free, 1) || !(lens.Px > 0) || lens.Relative >= unknownLens {
		return
	}
	held, moved := *p, bent
	if bent != nil {
		copied := *bent
		moved = &copied
	}
	// Where the tags' own edges say otherwise, that lens has not seen them.
	if held.square(lens.Px); held.fit(moved, l, tags, lens) > contrary*free {
		return
	}
	if *p = held; bent != nil {
		*bent = *moved
	}
}

// contrary is how many times as far from their places a tag's edges may lie
// where the lens is given, before it is not believed.
const contrary = 1.3

// fit is fitPlane with a lens that holds the plane, or none. It tells how far the
// edges lie from their places, in their own noise.
func (p *Plane) fit(bent *curve, l *Layout, tags []tagFit, lens Focal) (scale float64) {
	n := 8
	switch {
	case bent != nil:
		n = fitParams
	case len(tags) >= 3:
		n = planeParams
	}
	count := 0
	for i := range tags {
		for j := range tags[i].sights {
			tags[i].sights[j].weight = 1
			count++
		}
	}
	if count < 16 {
		return math.Inf(1)
	}
	rests := make([]float64, 0, count)
	gain := 0.0
	for range 10 {
		var a matrix
		var b, mixed vector
		var own, pull float64 // of the gain
		rests = rests[:0]
		for i := range tags {
			for _, s := range tags[i].sights {
				q, j := p.slopesBent(bent, spotOf(l, tags[i].seat, s.x, s.y), s.nx, s.ny)
				rest := (s.at.X-q.X)*s.nx + (s.at.Y-q.Y)*s.ny + s.off - gain*s.light
				rests = append(rests, math.Abs(rest)/s.sigma)
				k := s.weight / (s.sigma * s.sigma)
				own += k
				pull += k * s.light * rest
				for r := range n {
					mixed[r] += k * j[r] * s.light
					for c := range n {
						a[r][c] += k * j[r] * j[c]
					}
					b[r] += k * j[r] * rest
				}
			}
		}
		scale = max(median(rests)*1.48, .7)
		if n > 8 {
			k := scale * scale / (distortionSpread * distortionSpread)
			a[8][8] += k
			b[8] -= k * p.h[8]
		}
		for m := planeParams; m < n; m++ {
			k := scale * scale / (bent.before * bent.before)
			a[m][m] += k
			b[m] -= k * bent.size[m-planeParams]
		}
		if lens.Px > 0 {
			p.holdTo(lens, scale*scale, &a, &b)
		}
		k := scale * scale / (gainSpread * gainSpread)
		own += k
		pull -= k * gain
		for r := range n {
			for c := range n {
				a[r][c] -= mixed[r] * mixed[c] / own
			}
			b[r] -= mixed[r] * pull / own
		}
		inv, ok := inverse(&a, n)
		if !ok {
			return math.Inf(1)
		}
		h := p.h
		for r := range n {
			move := 0.0
			for c := range n {
				move += inv[r][c] * b[c]
			}
			if r < planeParams {
				h[r] += move
			} else {
				bent.size[r-planeParams] += move
			}
			pull -= mixed[r] * move
		}
		gain += pull / own
		if before := *p; !p.set(h) {
			*p = before
			return math.Inf(1)
		}
		for r := range p.cov {
			for c := range p.cov {
				p.cov[r][c] = inv[r][c] * scale * scale
			}
		}
		if bent != nil {
			bent.spreadFrom(&inv, scale*scale)
		}
		if n == 8 { // not fitted, and so as uncertain as any lens's
			p.cov[8][8] = distortionSpread * distortionSpread
		}
		for i := range tags {
			for k := range tags[i].sights {
				s := &tags[i].sights[k]
				q := p.ToImage(bent.flat(spotOf(l, tags[i].seat, s.x, s.y)))
				s.weight = tukey(((s.at.X-q.X)*s.nx + (s.at.Y-q.Y)*s.ny + s.off - gain*s.light) / (s.sigma * scale))
			}
		}
	}
	return scale
}

// holdTo adds to normal equations, whose observations count one over a variance
// in units of scale, that the card's sides stand at right angles and are of one
// scale for the lens that is known, as far as it is.
func (p *Plane) holdTo(lens Focal, scale float64, a *matrix, b *vector) {
	_, _, s0, t0 := p.stand(lens.Px, p.centre)
	_, _, s1, t1 := p.stand(lens.Px*(1+1e-4), p.centre)
	ds, dt := (s1-s0)/1e-4*lens.Relative, (t1-t0)/1e-4*lens.Relative
	v := shapeModel * shapeModel
	// The covariance of both, of which the focal length has one part.
	vss, vst, vtt := v+ds*ds, ds*dt, v+dt*dt
	det := vss*vtt - vst*vst
	kss, kst, ktt := scale*vtt/det, -scale*vst/det, scale*vss/det
	var js, jt [planeParams - 1]float64
	step := 1e-4 * math.Hypot(math.Hypot(p.h[0], p.h[1]), math.Hypot(p.h[3], p.h[4]))
	for i := range js {
		d := step
		if i >= 6 {
			d /= lens.Px
		}
		q := *p
		q.h[i] += d
		_, _, s, t := q.stand(lens.Px, p.centre)
		js[i], jt[i] = (s-s0)/d, (t-t0)/d
	}
	for r := range js {
		for c := range js {
			a[r][c] += kss*js[r]*js[c] + kst*(js[r]*jt[c]+jt[r]*js[c]) + ktt*jt[r]*jt[c]
		}
		b[r] -= js[r]*(kss*s0+kst*t0) + jt[r]*(kst*s0+ktt*t0)
	}
}

// square turns the plane so that the card's sides stand at right angles and are
// of one scale for a focal length, with its middle where it was.
func (p *Plane) square(f float64) {
	m := p.columns(f, p.centre)
	a, b := math.Hypot(math.Hypot(m[0][0], m[0][1]), m[0][2]), math.Hypot(math.Hypot(m[1][0], m[1][1]), m[1][2])
	var sum, diff [3]float64
	for i := range sum {
		sum[i], diff[i] = m[0][i]/a+m[1][i]/b, m[0][i]/a-m[1][i]/b
	}
	ls, ld := math.Hypot(math.Hypot(sum[0], sum[1]), sum[2]), math.Hypot(math.Hypot(diff[0], diff[1]), diff[2])
	h := p.h
	for c, sign := range [2]float64{1, -1} {
		var v [3]float64
		for i := range v {
			v[i] = (sum[i]/ls + sign*diff[i]/ld) / math.Sqrt2 * math.Sqrt(a*b)
		}
		h[c], h[3+c], h[6+c] = v[0]*f+p.centre.X*v[2], v[1]*f+p.centre.Y*v[2], v[2]
	}
	if before := *p; !p.set(h) {
		*p = before
	}
}

// slopes tells where a spot is seen, and how that moves along a direction
// with each of the plane's numbers.
func (p *Plane) slopes(s Spot, nx, ny float64) (q Pixel, j [planeParams]float64) {
	x, y := float64(s.X-p.mid.X)/p.unit, float64(s.Y-p.mid.Y)/p.unit
	w := p.h[6]*x + p.h[7]*y + 1
	px, py := (p.h[0]*x+p.h[1]*y+p.h[2])/w, (p.h[3]*x+p.h[4]*y+p.h[5])/w
	u, v := px-p.centre.X, py-p.centre.Y
	r2 := (u*u + v*v) / (p.radius * p.radius)
	k := 1 + p.h[8]*r2
	q = Pixel{p.centre.X + u*k, p.centre.Y + v*k}
	// The direction as it is before the distortion.
	g := 2 * p.h[8] / (p.radius * p.radius) * (u*nx + v*ny)
	mx, my := k*nx+g*u, k*ny+g*v
	along := mx*px + my*py
	j = [planeParams]float64{mx * x / w, mx * y / w, mx / w, my * x / w, my * y / w, my / w,
		-along * x / w, -along * y / w, r2 * (u*nx + v*ny)}
	return q, j
}

// slopesBent is slopes of a spot of a card that is bent, with how the place
// moves with each of the bends.
func (p *Plane) slopesBent(c *curve, s Spot, nx, ny float64) (q Pixel, j vector) {
	q, flat := p.slopes(c.flat(s), nx, ny)
	copy(j[:], flat[:])
	if c == nil {
		return q, j
	}
	xx, xy, yx, yy := p.jacobian(c.flat(s))
	dx, dy := c.away(s)
	along := nx*(xx*dx+xy*dy) + ny*(yx*dx+yy*dy)
	for m, v := range c.shapes(s) {
		j[planeParams+m] = along * v
	}
	return q, j
}
