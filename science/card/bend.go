package card

import "math"

// Bends are planes as they would be found of this card if it were bent: each of
// three ways (along it, across it, askew) by as much as explains the residual,
// as a standard deviation, and the plane's height as the pose has it. The
// first is the plane with no bend, fitted alike: compare the others with it.
//
// A card bent by z at a spot shows that spot shifted by z/H of its distance
// from the camera's foot. Most of that is taken for tilt and perspective by a
// plane's eight numbers, which fit four tags well and are wrong far from them;
// what is left over is the residual, and tells how far the card is bent.
// Nil when fewer than three tags were seen, which any plane fits.
func (c *Found) Bends(pose Pose) []Plane {
	size, ok := c.bend(pose)
	flat, _, fine := c.bentBy(pose, -1, 0)
	if !ok || !fine {
		return nil
	}
	planes := []Plane{flat}
	for mode := range bendModes {
		p, _, ok := c.bentBy(pose, mode, min(askew*size, mostBend))
		if !ok {
			return nil
		}
		planes = append(planes, p)
	}
	return planes
}

// bendModes are along, across and askew.
const bendModes = 3

// bend is by how many millimetres, at a half diagonal from the middle, the
// card must be bent in each of the ways to leave the residual that is seen.
func (c *Found) bend(pose Pose) (float64, bool) {
	if len(c.Tags) < 3 || !(pose.Height > 0) {
		return 0, false
	}
	left := 0.0
	for mode := range bendModes {
		_, rest, ok := c.bentBy(pose, mode, 1)
		if !ok {
			return 0, false
		}
		left += rest * rest
	}
	return math.Hypot(c.Residual, leastResidual) / math.Sqrt(left), true
}

// leastBent is the bend, in millimetres, from which a card is called bent: 43
// flat ones rendered had 0.37 at the most, eight bent by 1.4 mm or more 0.5 at
// the least. sureResidual, in pixels, is what noise alone does not leave: where
// the camera looks straight down a little of it would else count for a large
// bend.
const leastBent, sureResidual = .45, .12

// isBent judges by the usual phone's lens, as the height it gives is right to a
// quarter.
func (c *Found) isBent(width, height int) bool {
	size, ok := c.bend(c.Plane.Pose(Film35(0, width, height)))
	return ok && size > leastBent && c.Residual > sureResidual
}

// leastResidual, in pixels, is what noise hides of a bend. mostBend, in
// millimetres at the card's corner, is what a card that is not crumpled does
// (an estimate). askew: a real bend is mostly one of the three ways, and may be
// the one that leaves the least (found on rendered photographs).
const leastResidual, mostBend, askew = .01, 6, 2

// bentBy fits a plane to the tags' corners as they would be seen with the card
// bent one way, and tells what is left over, as Residual does.
func (c *Found) bentBy(pose Pose, mode int, size float64) (p Plane, rest float64, ok bool) {
	var spots []Spot
	var z []float64
	mean := 0.0
	for _, t := range c.Tags {
		for _, s := range c.Layout.Corners(t.Seat) {
			x, y := float64(s.X-c.Plane.mid.X)/c.Plane.unit, float64(s.Y-c.Plane.mid.Y)/c.Plane.unit
			v := 0.0
			switch mode {
			case 0:
				v = x * x
			case 1:
				v = 2 * x * y
			case 2:
				v = y * y
			}
			spots, z = append(spots, s), append(z, v*size)
			mean += v * size
		}
	}
	mean /= float64(len(z))
	pixels := make([]Pixel, len(spots))
	for i, s := range spots {
		k := Millimetres((z[i] - mean) / float64(pose.Height))
		pixels[i] = c.Plane.ToImage(Spot{s.X + k*(s.X-pose.Foot.X), s.Y + k*(s.Y-pose.Foot.Y)})
	}
	w, h := int(2*c.Plane.centre.X+1.5), int(2*c.Plane.centre.Y+1.5)
	p, err := FitPlane(c.Layout, w, h, spots, pixels)
	if err != nil {
		return p, 0, false
	}
	for i, s := range spots {
		q := p.ToImage(s)
		rest += ((q.X-pixels[i].X)*(q.X-pixels[i].X) + (q.Y-pixels[i].Y)*(q.Y-pixels[i].Y)) / 2
	}
	return p, math.Sqrt(rest / float64(len(spots))), true
}
