package render

import (
	"math"
	"math/rand/v2"

	"trug/science/card"
)

// Settings are everything that a photograph is made from.
type Settings struct {
	Seed          uint64
	Width, Height int
	Layout        string
	Batch         int
	// PrintScale is the true size of the card in parts of its nominal size.
	PrintScale  float64
	ControlLine bool // the control line was measured
	TiltDeg     float64
	AzimuthDeg  float64
	RollDeg     float64
	// Share is the card's width in parts of the picture's, seen from above.
	Share     float64
	OffX      float64 // where the card's middle is seen, in parts of the half width
	OffY      float64
	FocalPx   float64
	EXIF      bool
	K1        float64 // radial distortion at the corner of the picture
	SagMM     float64 // height of the bend, + edges down, 0 flat
	BendAlong float64 // direction of the bend on the card, degrees
	CardZ     float64 // mm of the card above the ground
	Blur      float64 // sigma, px, linear light
	// BodyBlur is that of the fruitbodies, where they lie in another depth than
	// the rest; 0: the same.
	BodyBlur  float64
	MotionPx  float64
	MotionDeg float64
	Noise     float64 // sigma in 8-bit units
	Quality   int
	Sharpen   float64 // amount of the phone's sharpening, radius 1.2 px
	Exposure  float64
	Shadows   int
	ShadowLow float64 // light left in shadow
	Glare     float64 // added to the card's light at the middle of the glare
	Covered   int     // seat of the tag under a leaf, or -1
	CoverFrac float64
	Decoy     string // "", "chess", "foreign", "screen"
	NoCard    bool
	Bodies    int
	// Subject is the width of one more fruitbody in the middle of the picture, in
	// parts of the picture's; 0: none.
	Subject float64
}

// Draw makes the settings of a seed: the distributions that the bench names.
func Draw(seed uint64) Settings {
	r := rand.New(rand.NewPCG(seed, 0x7461675f63617264))
	between := func(a, b float64) float64 { return a + (b-a)*r.Float64() }
	chance := func(p float64) bool { return r.Float64() < p }
	s := Settings{Seed: seed, PrintScale: 1, Covered: -1}
	// A quarter as the camera took it, the rest scaled down by a messenger.
	size := []float64{1, .75, .5, .5}[r.IntN(4)]
	s.Width, s.Height = int(4000*size), int(3000*size)
	s.Layout = []string{"reference", "pocket", "large"}[r.IntN(3)]
	if s.Layout != "reference" {
		s.Batch = r.IntN(300)
	}
	s.TiltDeg, s.AzimuthDeg, s.RollDeg = between(0, 54), between(0, 360), between(0, 360)
	s.Share = math.Exp(between(math.Log(.08/math.Sqrt(size)), math.Log(.37)))
	s.OffX, s.OffY = between(-.45, .45), between(-.4, .4)
	s.FocalPx = float64(s.Width) * between(24, 28) / 36
	s.EXIF = chance(.75)
	if chance(.35) {
		s.K1 = between(-.03, .03)
	}
	if chance(.2) {
		s.SagMM, s.BendAlong = between(1, 5), between(0, 180)
		if chance(.4) {
			s.SagMM = -s.SagMM
		}
	}
	s.CardZ = between(0, 6)
	s.Blur, s.Noise = math.Hypot(between(.1, 3)*size, (1-size)*.5), between(2, 12)*math.Sqrt(size)
	if chance(.1) {
		s.MotionPx, s.MotionDeg = between(2, 8)*size, between(0, 180)
	}
	s.Quality = 75 + r.IntN(21)
	if chance(.4) {
		s.Sharpen = between(.3, 1.2)
	}
	s.Exposure = between(.45, 1.05)
	if chance(.65) {
		s.Shadows, s.ShadowLow = 1+r.IntN(3), between(.25, .7)
	}
	if chance(.15) {
		s.Glare = between(.3, 1.5)
	}
	if chance(.3) {
		s.Covered, s.CoverFrac = r.IntN(4), between(.13, .55)
	}
	if chance(.12) {
		s.PrintScale = .94
	} else if chance(.3) {
		s.PrintScale = between(.97, 1)
	}
	s.ControlLine = chance(.5)
	s.Decoy = []string{"", "", "", "", "", "", "", "chess", "foreign", "chess"}[r.IntN(10)]
	s.NoCard = chance(.04)
	s.Bodies = 8
	return s
}

type vec struct{ x, y, z float64 }

func (a vec) add(b vec) vec          { return vec{a.x + b.x, a.y + b.y, a.z + b.z} }
func (a vec) mul(k float64) vec      { return vec{a.x * k, a.y * k, a.z * k} }
func (a vec) dot(b vec) float64      { return a.x*b.x + a.y*b.y + a.z*b.z }
func (a vec) cross(b vec) vec        { return vec{a.y*b.z - a.z*b.y, a.z*b.x - a.x*b.z, a.x*b.y - a.y*b.x} }
func (a vec) unit() vec              { return a.mul(1 / math.Sqrt(a.dot(a))) }
func smooth(a, b, x float64) float64 { t := min(max((x-a)/(b-a), 0), 1); return t * t * (3 - 2*t) }

// camera projects the world (mm; x right, y away, z up; the card's middle at
// the origin) into the picture.
type camera struct {
	at, right, down, ahead vec
	f, cx, cy, k1, radius  float64
}

func (s *Settings) camera(width float64) camera {
	rad := math.Pi / 180
	c := camera{f: s.FocalPx, cx: float64(s.Width-1) / 2, cy: float64(s.Height-1) / 2, k1: s.K1,
		radius: math.Hypot(float64(s.Width), float64(s.Height)) / 2}
	dist := s.FocalPx * width / (s.Share * float64(s.Width))
	t, az, roll := s.TiltDeg*rad, s.AzimuthDeg*rad, s.RollDeg*rad
	c.at = vec{dist * math.Sin(t) * math.Cos(az), dist * math.Sin(t) * math.Sin(az), dist * math.Cos(t)}
	c.ahead = c.at.mul(-1).unit()
	up := vec{math.Cos(roll), math.Sin(roll), 0}
	c.right = c.ahead.cross(up).unit()
	c.down = c.ahead.cross(c.right)
	// Shifting the camera sideways moves the card out of the middle.
	shift := c.right.mul(-s.OffX * float64(s.Width) / 2 / s.FocalPx * dist).add(c.down.mul(-s.OffY * float64(s.Height) / 2 / s.FocalPx * dist))
	c.at = c.at.add(shift)
	return c
}

// project tells where a point is seen; false when it is behind.
func (c *camera) project(p vec) (x, y float64, ok bool) {
	d := p.add(c.at.mul(-1))
	z := d.dot(c.ahead)
	if z <= 1 {
		return 0, 0, false
	}
	u, v := c.f*d.dot(c.right)/z, c.f*d.dot(c.down)/z
	k := 1 + c.k1*(u*u+v*v)/(c.radius*c.radius)
	return c.cx + u*k, c.cy + v*k, true
}

// ray is the direction of a pixel.
func (c *camera) ray(x, y float64) vec {
	u, v := x-c.cx, y-c.cy
	if c.k1 != 0 {
		a, b := u, v
		for range 5 {
			k := 1 + c.k1*(a*a+b*b)/(c.radius*c.radius)
			a, b = u/k, v/k
		}
		u, v = a, b
	}
	return c.ahead.mul(c.f).add(c.right.mul(u)).add(c.down.mul(v))
}

// sheet is the card as it lies, flat or bent over a cylinder.
type sheet struct {
	l        *card.Layout
	scale    float64
	z, rho   float64 // height; radius of the bend, 0 flat, negative with the edges up
	bx, by   float64 // direction of the bend
	half     float64 // half the length along the bend
	cells    [4][10][10]bool
	sag      float64
	w, h     float64 // true size
	glareX   float64
	glareY   float64
	glare    float64
	squareID uint64
}

func (s *Settings) sheet(l *card.Layout) (*sheet, error) {
	c := &sheet{l: l, scale: s.PrintScale, z: s.CardZ, w: float64(l.Width) * s.PrintScale, h: float64(l.Height) * s.PrintScale, squareID: s.Seed}
	ids, err := l.Ids(s.Batch)
	if err != nil {
		return nil, err
	}
	for i, id := range ids {
		if c.cells[i], err = card.Cells(id); err != nil {
			return nil, err
		}
	}
	c.bx, c.by = math.Cos(s.BendAlong*math.Pi/180), math.Sin(s.BendAlong*math.Pi/180)
	c.half = (math.Abs(c.bx)*c.w + math.Abs(c.by)*c.h) / 2
	if s.SagMM != 0 {
		a := math.Abs(s.SagMM)
		c.rho = math.Copysign(c.half*c.half/(2*a), s.SagMM)
		c.sag = s.SagMM
	}
	return c, nil
}

// world takes nominal millimetres of the card to the world.
func (c *sheet) world(p card.Spot) vec {
	x, y := float64(p.X)*c.scale-c.w/2, c.h/2-float64(p.Y)*c.scale
	if c.rho == 0 {
		return vec{x, y, c.z}
	}
	s, t := x*c.bx+y*c.by, -x*c.by+y*c.bx
	r := math.Abs(c.rho)
	fall := r * (1 - math.Cos(s/r))
	s = r * math.Sin(s/r)
	z := c.z + math.Abs(c.sag) - fall
	if c.rho < 0 {
		z = c.z + fall
	}
	return vec{s*c.bx - t*c.by, s*c.by + t*c.bx, z}
}

// hit follows a ray to the card and returns nominal millimetres.
func (c *sheet) hit(from, dir vec) (x, y float64, ok bool) {
	k := (c.z - from.z) / dir.z
	if c.rho == 0 {
		p := from.add(dir.mul(k))
		x, y = (p.x+c.w/2)/c.scale, (c.h/2-p.y)/c.scale
		return x, y, x >= 0 && y >= 0 && x <= float64(c.l.Width) && y <= float64(c.l.Height)
	}
	r := math.Abs(c.rho)
	var s, t float64
	for range 6 {
		p := from.add(dir.mul(k))
		s, t = p.x*c.bx+p.y*c.by, -p.x*c.by+p.y*c.bx
		if math.Abs(s) > .9*r {
			return 0, 0, false
		}
		fall := r - math.Sqrt(r*r-s*s)
		z := c.z + math.Abs(c.sag) - fall
		if c.rho < 0 {
			z = c.z + fall
		}
		k = (z - from.z) / dir.z
	}
	s = r * math.Asin(s/r)
	px, py := s*c.bx-t*c.by, s*c.by+t*c.bx
	x, y = (px+c.w/2)/c.scale, (c.h/2-py)/c.scale
	return x, y, x >= 0 && y >= 0 && x <= float64(c.l.Width) && y <= float64(c.l.Height)
}
