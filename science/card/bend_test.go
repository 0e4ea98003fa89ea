package card

import (
	"math"
	"math/rand/v2"
	"testing"
)

// A pinhole camera over cards bent to cylinders: the plane fitted to their tags
// is wrong beside the card, and within twice what the bends say nine times of
// ten. A flat card has bends of next to nothing.
func TestBends(t *testing.T) {
	l, err := LayoutByID("pocket")
	if err != nil {
		t.Fatal(err)
	}
	r := rand.New(rand.NewPCG(11, 12))
	const w, h, f = 2000, 1500, 1400.
	in, n := 0, 0
	for trial := range 60 {
		sag, along := 1+3*r.Float64(), math.Pi*r.Float64()
		if trial%6 == 0 {
			sag = 0
		}
		tilt, turn, far := .9*r.Float64(), 2*math.Pi*r.Float64(), 250+200*r.Float64()
		mid := Spot{l.Width / 2, l.Height / 2}
		unit := math.Hypot(float64(l.Width), float64(l.Height)) / 2
		see := func(x, y, z float64) Pixel { // millimetres from the card's middle, z towards the camera
			x, y = x*math.Cos(turn)-y*math.Sin(turn), x*math.Sin(turn)+y*math.Cos(turn)
			y, z = y*math.Cos(tilt)-z*math.Sin(tilt), far-y*math.Sin(tilt)-z*math.Cos(tilt)
			return Pixel{(w-1)/2. + f*x/z, (h-1)/2. + f*y/z}
		}
		height := func(x, y float64) float64 {
			s := (x*math.Cos(along) + y*math.Sin(along)) / unit
			return sag * s * s
		}
		c := Found{Layout: l}
		var spots []Spot
		var pixels []Pixel
		for seat := range 4 {
			c.Tags = append(c.Tags, FoundTag{Seat: seat})
			for _, s := range l.Corners(seat) {
				x, y := float64(s.X-mid.X), float64(s.Y-mid.Y)
				spots, pixels = append(spots, s), append(pixels, see(x, y, height(x, y)))
			}
		}
		if c.Plane, err = FitPlane(l, w, h, spots, pixels); err != nil {
			t.Fatal(err)
		}
		for i, s := range spots {
			q := c.Plane.ToImage(s)
			c.Residual += ((q.X-pixels[i].X)*(q.X-pixels[i].X) + (q.Y-pixels[i].Y)*(q.Y-pixels[i].Y)) / 2 / float64(len(spots))
		}
		c.Residual = math.Sqrt(c.Residual)
		planes := c.Bends(c.Plane.Pose(Focal{f, .035}))
		if len(planes) != 4 {
			t.Fatalf("%d planes", len(planes))
		}
		length := func(p *Plane, a, b Pixel) float64 {
			s, _ := p.ToCard(a)
			q, _ := p.ToCard(b)
			return math.Hypot(float64(s.X-q.X), float64(s.Y-q.Y))
		}
		for range 8 {
			// 50 mm at 1 to 2 half diagonals from the middle, as high as the tags.
			d, a, b := unit*(1+r.Float64()), 2*math.Pi*r.Float64(), 2*math.Pi*r.Float64()
			x, y := d*math.Cos(a), d*math.Sin(a)
			p, q := see(x, y, sag/3), see(x+50*math.Cos(b), y+50*math.Sin(b), sag/3)
			u := 0.0
			for i := range planes[1:] {
				e := length(&planes[1+i], p, q) - length(&planes[0], p, q)
				u += e * e
			}
			u = math.Sqrt(u)
			if sag == 0 {
				if u > .5 {
					t.Errorf("a flat card's 50 mm are uncertain by %.2f mm", u)
				}
				continue
			}
			n++
			if math.Abs(length(&c.Plane, p, q)-50) < 2*u {
				in++
			}
		}
	}
	if part := float64(in) / float64(n); part < .85 {
		t.Errorf("%.0f %% of lengths lie within twice their uncertainty", 100*part)
	}
	if (&Found{Layout: l, Tags: make([]FoundTag, 2)}).Bends(Pose{Height: 300}) != nil {
		t.Error("two tags tell of no bend")
	}
}
