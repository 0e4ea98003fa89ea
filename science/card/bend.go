package card

import "math"

// bendModes are the ways in which a card bends: along it, across it, askew.
const bendModes = 3

// curve is how a card is bent. Bent by z at a spot it shows that spot shifted by
// z/H of its distance from the camera's foot, H being the camera's height. Most
// of that a plane's numbers would take for tilt, perspective and the lens's
// distortion, which fit four tags well and are wrong beside the card; what is
// left over tells the bends.
type curve struct {
	// size is by how many millimetres it is bent in each way towards the camera, a
	// half diagonal from its middle.
	size   [bendModes]float64
	spread [bendModes][bendModes]float64 // covariance of size
	mid    Spot
	unit   float64
	foot   Spot
	height float64
	mean   [bendModes]float64 // of the shapes at the tags, so that the plane lies as high as they do
	lift   float64            // mm by which it was laid down
	before float64            // standard deviation of size before the tags were looked at
}

// flatSpread is how far a card that shows no bend may be bent all the same, in
// millimetres, as a standard deviation, and bendSpread how far those are that
// show one: estimates.
const flatSpread, bendSpread = .7, 3.

func newCurve(l *Layout, p *Plane, pose Pose) *curve {
	c := &curve{before: flatSpread, mid: p.mid, unit: p.unit, foot: pose.Foot, height: float64(pose.Height)}
	var mean [bendModes]float64
	for seat := range l.Tags {
		for _, s := range l.Corners(seat) {
			for m, v := range c.shapes(s) {
				mean[m] += v / float64(4*len(l.Tags))
			}
		}
	}
	c.mean = mean
	return c
}

// shapes are the heights at a spot of a card bent by 1 in each way.
func (c *curve) shapes(s Spot) [bendModes]float64 {
	x, y := float64(s.X-c.mid.X)/c.unit, float64(s.Y-c.mid.Y)/c.unit
	return [bendModes]float64{x*x - c.mean[0], y*y - c.mean[1], 2*x*y - c.mean[2]}
}

// away is how far a spot lies from the camera's foot, in camera's heights.
func (c *curve) away(s Spot) (x, y float64) {
	return float64(s.X-c.foot.X) / c.height, float64(s.Y-c.foot.Y) / c.height
}

// flat is the spot of the plane where a spot of the bent card is seen: shifted
// by its height, and nearer to the middle as paper keeps its length along the
// bend. With z = r A r that is 2/3 z A r: exact to the third order for a cylinder,
// which is all that paper can be bent to.
func (c *curve) flat(s Spot) Spot {
	if c == nil {
		return s
	}
	x, y := c.away(s)
	z := c.above(s)
	u, v := float64(s.X-c.mid.X)/c.unit, float64(s.Y-c.mid.Y)/c.unit
	au, av := (c.size[0]*u+c.size[2]*v)/c.unit, (c.size[2]*u+c.size[1]*v)/c.unit
	short := 2. / 3 * (c.size[0]*u*u + c.size[1]*v*v + 2*c.size[2]*u*v)
	return Spot{s.X + Millimetres(z*x-short*au), s.Y + Millimetres(z*y-short*av)}
}

// above is how high a spot lies, in millimetres: above the tags' mean, or above
// the lowest place of the card once it was laid down.
func (c *curve) above(s Spot) float64 {
	z := c.lift
	for m, v := range c.shapes(s) {
		z += c.size[m] * v
	}
	return z
}

// span is between which heights the card's spots lie, in millimetres.
func (c *curve) span(l *Layout) (lowest, highest float64) {
	const n = 8
	lowest, highest = math.Inf(1), math.Inf(-1)
	for i := range n + 1 {
		for j := range n + 1 {
			z := c.above(Spot{l.Width * Millimetres(i) / n, l.Height * Millimetres(j) / n})
			lowest, highest = min(lowest, z), max(highest, z)
		}
	}
	return lowest, highest
}

// lay takes a plane as high as the tags of a bent card to one as high as the
// ground that its lowest places touch, for from there people say how high
// something stands. How high "the card" lies is uncertain by all that it spans.
func (c *curve) lay(p *Plane, l *Layout) {
	lowest, highest := c.span(l)
	// What lies lower is seen nearer to the camera's foot.
	k := lowest / c.height
	x, y := float64(c.foot.X-c.mid.X)/c.unit, float64(c.foot.Y-c.mid.Y)/c.unit
	h := p.h
	for i, w := range [3]float64{p.h[2], p.h[5], 1} {
		h[3*i] *= 1 + k
		h[3*i+1] *= 1 + k
		w -= k * (p.h[3*i]*x + p.h[3*i+1]*y)
		if i < 2 {
			h[3*i+2] = w
			continue
		}
		for j := range 8 {
			h[j] /= w
		}
	}
	before := *p
	if !p.set(h) {
		*p = before
		return
	}
	c.lift = -lowest
	p.scaled((highest - lowest) / math.Sqrt(12) / c.height)
}

// scaled adds to the plane's covariance that all its lengths may be off by a
// part, as a standard uncertainty.
func (p *Plane) scaled(part float64) {
	d := [planeParams]float64{p.h[0], p.h[1], 0, p.h[3], p.h[4], 0, p.h[6], p.h[7]}
	for i := range d {
		for j := range d {
			p.cov[i][j] += part * part * d[i] * d[j]
		}
	}
}

func (c *curve) spreadFrom(inv *matrix, scale float64) {
	for i := range c.spread {
		for j := range c.spread {
			c.spread[i][j] = inv[planeParams+i][planeParams+j] * scale
		}
	}
}

// surely is how far the bends lie from nothing, in their own uncertainty:
// squared, and of three degrees of freedom where there are none.
func (c *curve) surely() float64 {
	var a matrix
	var b vector
	for i := range c.spread {
		copy(a[i][:], c.spread[i][:])
		b[i] = c.size[i]
	}
	if !solve(&a, &b, bendModes) {
		return 0
	}
	sum := 0.0
	for i, v := range c.size {
		sum += v * b[i]
	}
	return sum
}

// much is how far it is bent, in millimetres.
func (c *curve) much() float64 { return math.Hypot(math.Hypot(c.size[0], c.size[1]), c.size[2]) }

// sureBent is what surely must reach for bends to be believed (40 flat cards
// rendered had 11 at the most, 40 bent by 1 to 5 mm had 80 at the least), and
// leastBent, in millimetres, what a card is bent by when it is called so.
const sureBent, leastBent = 30, .6

// straighten fits the card's bends together with its plane. Where they are sure
// the plane is what that leaves; else only its uncertainty is, in which a bend
// that the tags don't show has its part.
func (c *Found) straighten(tags []tagFit, lens Focal) {
	plane := c.Plane
	bent := newCurve(c.Layout, &plane, plane.Pose(lens))
	if !(bent.height > 0) {
		return
	}
	fitPlane(&plane, bent, c.Layout, tags, lens)
	if len(tags) < 3 || bent.surely() < sureBent {
		if plane.cov != ([planeParams][planeParams]float64{}) {
			c.Plane.cov = plane.cov
		}
		return
	}
	var pose Pose
	for range poses {
		pose = plane.Pose(lens)
		bent = c.bentAt(&plane, pose, tags)
	}
	bent.lay(&plane, c.Layout)
	// Where the foot is depends on the lens, and so what the bends take up.
	at := func(z float64) [planeParams]float64 {
		p, f := plane, pose
		px := pose.Focal.Px * math.Exp(z*pose.Focal.Relative)
		_, height, _, _ := p.stand(px, p.centre)
		f.Height, f.Foot = Millimetres(height), p.foot(px)
		c.bentAt(&p, f, tags).lay(&p, c.Layout)
		return p.h
	}
	up, down := at(1), at(-1)
	for i := range up {
		for j := range up {
			plane.cov[i][j] += (up[i] - down[i]) * (up[j] - down[j]) / 4
		}
	}
	c.Plane, c.curve, c.Bent = plane, bent, bent.much() > leastBent
}

// bentAt fits plane and bends with the camera standing where the pose has it.
func (c *Found) bentAt(p *Plane, pose Pose, tags []tagFit) *curve {
	bent := newCurve(c.Layout, p, pose)
	bent.before = bendSpread
	fitPlane(p, bent, c.Layout, tags, Focal{})
	return bent
}

// poses is how often bends are fitted again from where the camera then stands:
// a bend taken for tilt has put it elsewhere.
const poses = 8
