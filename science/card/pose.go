package card

import "math"

// Degrees is an angle.
type Degrees float64

// Focal is what is known of a lens before the card is looked at.
type Focal struct {
	// Px is the focal length in pixels of the photograph.
	Px float64
	// Relative is its standard uncertainty as a part of it.
	Relative float64
}

// Film35 turns EXIF's focal length as on 35 mm film into pixels, by the
// diagonals of 43.27 mm and of the picture (CIPA DCG-001). Makers also go by
// the width of 36 mm, 4 % apart in a 4:3 picture, and round to whole
// millimetres: 3.5 % is allowed for. Zero, when EXIF says nothing, gives the
// usual main camera of a phone, 27 mm give or take a quarter (from memory).
func Film35(mm float64, width, height int) Focal {
	k := math.Hypot(float64(width), float64(height)) / math.Hypot(36, 24)
	if !(mm >= 5 && mm <= 2000) {
		return Focal{27 * k, unknownLens}
	}
	return Focal{mm * k, .035}
}

// unknownLens is the uncertainty of a focal length about which nothing is
// said, as a part of it.
const unknownLens = .4

// Pose is how the camera stood to the card.
type Pose struct {
	// Tilt is the angle between the camera's axis and the perpendicular to the
	// card's plane.
	Tilt Degrees
	// Height is the camera's perpendicular height above the card's plane, and
	// HeightU its standard uncertainty.
	Height, HeightU Millimetres
	// Foot is the spot of the card's plane straight below the camera.
	Foot Spot
	// Focal is the lens as the card's shape and what was known before agree on.
	Focal Focal
}

// Whole says of which photograph a picture is a part: the whole one's size,
// and where in it the part's upper left corner lies, all in pixels.
type Whole struct{ Left, Top, Width, Height int }

// axis is where the camera's axis meets the part, in the part's own pixels: it
// goes through the middle of the whole photograph, so it may lie beside the part.
func (w Whole) axis() Pixel {
	return Pixel{float64(w.Width-1)/2 - float64(w.Left), float64(w.Height-1)/2 - float64(w.Top)}
}

// stand is the pose at a focal length and with the camera's axis through a
// pixel, and how far the card's two sides seem from being at right angles and
// of one scale.
func (p *Plane) stand(f float64, axis Pixel) (tilt, height, skew, stretch float64) {
	m := p.columns(f, axis)
	dot := func(a, b [3]float64) float64 { return a[0]*b[0] + a[1]*b[1] + a[2]*b[2] }
	a, b := math.Sqrt(dot(m[0], m[0])), math.Sqrt(dot(m[1], m[1]))
	n := [3]float64{m[0][1]*m[1][2] - m[0][2]*m[1][1], m[0][2]*m[1][0] - m[0][0]*m[1][2], m[0][0]*m[1][1] - m[0][1]*m[1][0]}
	size := math.Sqrt(dot(n, n))
	tilt = math.Acos(min(math.Abs(n[2])/size, 1)) * 180 / math.Pi
	// The scale from the area, which one side's error spoils least.
	height = math.Abs(dot(n, m[2])) / size / math.Sqrt(size) * p.unit
	return tilt, height, dot(m[0], m[1]) / (a * b), math.Log(a / b)
}

// Pose tells tilt and height from the plane and what is known of the lens. A
// tilted card tells the focal length by itself, as its sides must come out at
// right angles and of one scale; both kinds of knowledge are weighed (Bayes on
// a grid of focal lengths). Valid for photographs that were not cropped: the
// axis is taken to go through the picture's middle. A part of a photograph goes
// through PoseOfPart.
func (p *Plane) Pose(known Focal) Pose { return p.pose(known, p.centre) }

// PoseOfPart is Pose for a picture that was cut out of a larger photograph,
// when it is known where. What is known of the lens is that of the whole: Film35
// with the whole photograph's size. Lens distortion, small, is still taken to
// lie round the part's middle.
func (p *Plane) PoseOfPart(known Focal, of Whole) Pose { return p.pose(known, of.axis()) }

func (p *Plane) pose(known Focal, axis Pixel) Pose {
	const half = 40
	spread := p.shapeSpread(known.Px, axis)
	if known.Relative >= unknownLens { // the axis may not go through the middle
		spread = math.Hypot(spread, unknownAxis)
	}
	var weights, heights, tilts, logs [2*half + 1]float64
	least := math.Inf(1)
	for i := range weights {
		z := 3.5 * float64(i-half) / half
		f := known.Px * math.Exp(z*known.Relative)
		t, h, skew, stretch := p.stand(f, axis)
		cost := z*z/2 + (skew*skew+stretch*stretch)/(2*spread*spread)
		weights[i], heights[i], tilts[i], logs[i] = cost, math.Log(h), t, math.Log(f)
		least = min(least, cost)
	}
	var sum, h1, h2, t1, f1, f2 float64
	for i, c := range weights {
		w := math.Exp(least - c)
		sum += w
		h1, h2, t1 = h1+w*heights[i], h2+w*heights[i]*heights[i], t1+w*tilts[i]
		f1, f2 = f1+w*logs[i], f2+w*logs[i]*logs[i]
	}
	h1, f1 = h1/sum, f1/sum
	hu, fu := math.Sqrt(max(h2/sum-h1*h1, 0)), math.Sqrt(max(f2/sum-f1*f1, 0))
	h1 = math.Exp(h1)
	hu *= h1
	return Pose{Tilt: Degrees(t1 / sum), Height: Millimetres(h1), HeightU: Millimetres(math.Hypot(hu, h1*math.Hypot(.003, p.heightSpread(math.Exp(f1), axis)))), Foot: p.foot(math.Exp(f1)), Focal: Focal{math.Exp(f1), fu}}
}

// heightSpread is the standard uncertainty of the height, as a part of it, by the
// plane's own at a focal length: large where one small tag shows the tilt.
func (p *Plane) heightSpread(f float64, axis Pixel) float64 {
	sum := 0.0
	for i := range PlaneDraws {
		var z [PlaneDraws]float64
		z[i] = 1
		up, ok := p.Drawn(z)
		z[i] = -1
		down, ok2 := p.Drawn(z)
		if !ok || !ok2 {
			continue
		}
		_, a, _, _ := up.stand(f, axis)
		_, b, _, _ := down.stand(f, axis)
		if d := math.Log(a/b) / 2; d*d >= 0 { // not where a plane is seen from its edge
			sum += d * d
		}
	}
	return math.Sqrt(sum)
}

// foot is the spot below the camera at a focal length.
func (p *Plane) foot(f float64) Spot {
	m := p.columns(f, p.centre)
	along := func(c int) float64 {
		return -(m[c][0]*m[2][0] + m[c][1]*m[2][1] + m[c][2]*m[2][2]) / (m[c][0]*m[c][0] + m[c][1]*m[c][1] + m[c][2]*m[c][2]) * p.unit
	}
	return Spot{p.mid.X + Millimetres(along(0)), p.mid.Y + Millimetres(along(1))}
}

// columns are the card's x and y axes and its middle as a camera has them whose
// axis goes through the pixel.
func (p *Plane) columns(f float64, axis Pixel) (m [3][3]float64) {
	for c := range 3 {
		w := [3]float64{p.h[6], p.h[7], 1}[c]
		m[c] = [3]float64{(p.h[c] - axis.X*w) / f, (p.h[3+c] - axis.Y*w) / f, w}
	}
	return m
}

// shapeModel is by how much skew and stretch are off in lenses and cards that are
// not quite what the model says (found on the rendered photographs), and
// unknownAxis by how much more where the camera's axis need not go through the
// middle.
const shapeModel, unknownAxis = .003, .02

// shapeSpread is how far skew and stretch may be off by the plane's own
// uncertainty, and by what the model leaves out.
func (p *Plane) shapeSpread(f float64, axis Pixel) float64 {
	_, _, s0, t0 := p.stand(f, axis)
	var js, jt [planeParams]float64
	for i := range planeParams - 1 {
		q := *p
		d := math.Sqrt(max(p.cov[i][i], 0))
		if d == 0 {
			continue
		}
		q.h[i] += d
		_, _, s, t := q.stand(f, axis)
		js[i], jt[i] = (s-s0)/d, (t-t0)/d
	}
	var vs, vt float64
	for i := range js {
		for j := range js {
			vs += js[i] * js[j] * p.cov[i][j]
			vt += jt[i] * jt[j] * p.cov[i][j]
		}
	}
	return math.Sqrt(max(vs, 0) + max(vt, 0) + shapeModel*shapeModel)
}

// PlaneDraws is how many independent standard normal numbers Drawn takes.
const PlaneDraws = planeParams

// Drawn is the plane as it may be as well: moved by its uncertainty along
// independent standard normal numbers (JCGM 101:2008, 6.4.8.2). It reports
// false where that makes no plane.
func (p *Plane) Drawn(z [PlaneDraws]float64) (Plane, bool) {
	q := *p
	n := planeParams
	if p.cov[8][8] == 0 {
		n--
	}
	var l matrix
	for i := range p.cov {
		copy(l[i][:], p.cov[i][:])
	}
	if !cholesky(&l, n) {
		return q, false
	}
	h := p.h
	for i := range n {
		for j := 0; j <= i; j++ {
			h[i] += l[i][j] * z[j]
		}
	}
	return q, q.set(h)
}
