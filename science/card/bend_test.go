package card

import (
	"math"
	"math/rand/v2"
	"testing"
)

// pinhole is a camera over a card that may be bent to a cylinder.
type pinhole struct {
	l                  *Layout
	width, height      int
	f, tilt, turn, far float64
	bend, along        float64 // z = bend t², t along the cylinder, both in millimetres
	noise              float64 // of a border, px
	rand               *rand.Rand
	middle             Spot
}

// see is where a point is seen: millimetres from the card's middle, z towards
// the camera.
func (p *pinhole) see(x, y, z float64) Pixel {
	x, y = x*math.Cos(p.turn)-y*math.Sin(p.turn), x*math.Sin(p.turn)+y*math.Cos(p.turn)
	y, z = y*math.Cos(p.tilt)-z*math.Sin(p.tilt), p.far-y*math.Sin(p.tilt)-z*math.Cos(p.tilt)
	return Pixel{float64(p.width-1)/2 + p.f*x/z, float64(p.height-1)/2 + p.f*y/z}
}

// spot is where a spot of the card is seen. Paper keeps its length along the
// arc of the parabola, which is found by bisection and not by a series.
func (p *pinhole) spot(s Spot) Pixel {
	x, y := float64(s.X-p.middle.X), float64(s.Y-p.middle.Y)
	c, d := math.Cos(p.along), math.Sin(p.along)
	arc, across := x*c+y*d, y*c-x*d
	t := arc
	if p.bend != 0 {
		lo, hi := 0., math.Abs(arc)
		for range 60 {
			t = (lo + hi) / 2
			k := 2 * math.Abs(p.bend) * t
			if (t*math.Sqrt(1+k*k)+math.Asinh(k)/(2*math.Abs(p.bend)))/2 < math.Abs(arc) {
				lo = t
			} else {
				hi = t
			}
		}
		t = math.Copysign(t, arc)
	}
	return p.see(t*c-across*d, t*d+across*c, p.bend*t*t)
}

// tags are the card's four with borders seen as they are, give or take noise.
func (p *pinhole) tags() []tagFit {
	var out []tagFit
	for seat := range 4 {
		tag := tagFit{id: seat, seat: seat, own: true, sure: p.noise / 3}
		for i, c := range p.l.Corners(seat) {
			tag.corners[i] = p.spot(c)
		}
		for _, k := range cracks(seat) {
			const cell = 1. / blackCells
			u, v, du, dv := float64(k.line)*cell, (float64(k.cell)+.5)*cell, 0., .01
			if k.along {
				u, v, du, dv = v, u, .01, 0
			}
			a, b := p.spot(spotOf(p.l, seat, u-du, v-dv)), p.spot(spotOf(p.l, seat, u+du, v+dv))
			n := math.Hypot(b.X-a.X, b.Y-a.Y)
			tag.sights = append(tag.sights, sight{x: u, y: v, at: p.spot(spotOf(p.l, seat, u, v)), nx: (b.Y - a.Y) / n, ny: (a.X - b.X) / n,
				off: p.noise * p.rand.NormFloat64(), sigma: p.noise, light: float64(k.pattern[3] - k.pattern[2])})
		}
		out = append(out, tag)
	}
	return out
}

// A pinhole camera over cards bent to cylinders: the bends are told, what is
// measured beside the card lies within twice its uncertainty nine times of ten,
// and the error is a fraction of what a plane alone would leave. A flat card is
// called flat and keeps the plane that it had.
func TestStraighten(t *testing.T) {
	l, err := LayoutByID("reference")
	if err != nil {
		t.Fatal(err)
	}
	r := rand.New(rand.NewPCG(11, 12))
	var before, after []float64
	in, n := 0, 0
	for trial := range 60 {
		p := pinhole{l: l, f: 1500, width: 2000, height: 1500, tilt: .7 * r.Float64(), turn: 2 * math.Pi * r.Float64(), far: 300 + 200*r.Float64(),
			along: math.Pi * r.Float64(), noise: .1, rand: r, middle: Spot{l.Width / 2, l.Height / 2}}
		sag := (1 + 3*r.Float64()) * float64(1-2*(trial%2))
		if trial%6 == 0 {
			sag = 0
		}
		p.bend = sag / (52.5 * 52.5)
		tags := p.tags()
		base := &level{w: p.width, h: p.height}
		plane, ok := cornersPlane(l, base, tags, indices(4))
		if !ok {
			t.Fatal("no plane")
		}
		fitPlane(&plane, nil, l, tags, Focal{})
		c := Found{Layout: l, Plane: plane}
		c.straighten(tags, Film35(0, base.w, base.h))
		if sag == 0 {
			if c.Bent || c.Plane.h != plane.h {
				t.Errorf("a flat card was called bent %v, or its plane moved", c.Bent)
			}
			continue
		}
		if c.curve == nil {
			t.Errorf("bent by %.1f mm at its end and not told", sag)
			continue
		}
		// Fifty millimetres on the ground that the bent card touches: its middle, or
		// the ends that hang down.
		ground := 0.
		if sag < 0 {
			for _, s := range []Spot{{0, 0}, {l.Width, 0}} {
				d := float64(s.X-p.middle.X)*math.Cos(p.along) + float64(s.Y-p.middle.Y)*math.Sin(p.along)
				ground = min(ground, p.bend*d*d)
			}
		}
		for range 6 {
			d, a, b := 70+50*r.Float64(), 2*math.Pi*r.Float64(), 2*math.Pi*r.Float64()
			x, y := d*math.Cos(a), d*math.Sin(a)
			v, w := p.see(x, y, ground), p.see(x+50*math.Cos(b), y+50*math.Sin(b), ground)
			length := func(p *Plane) float64 {
				s, _ := p.ToCard(v)
				q, _ := p.ToCard(w)
				return math.Hypot(float64(s.X-q.X), float64(s.Y-q.Y))
			}
			u := 0.
			for i := range PlaneDraws {
				var z [PlaneDraws]float64
				z[i] = 1
				if moved, ok := c.Plane.Drawn(z); ok {
					u = math.Hypot(u, length(&moved)-length(&c.Plane))
				}
			}
			before, after = append(before, math.Abs(length(&plane)-50)), append(after, math.Abs(length(&c.Plane)-50))
			n++
			if after[len(after)-1] < 2*u {
				in++
			}
		}
	}
	if part := float64(in) / float64(n); part < .9 {
		t.Errorf("%.0f %% of lengths lie within twice their uncertainty", 100*part)
	}
	was, is := median(before), median(after)
	t.Logf("50 mm beside a bent card are off by %.2f mm instead of %.2f (medians); %d of %d within twice their uncertainty", is, was, in, n)
	if is > .4*was {
		t.Errorf("50 mm beside a bent card are off by %.2f mm instead of %.2f", is, was)
	}
}

// Two tags tell of no bend, but leave more room for one.
func TestBendOfTwoTags(t *testing.T) {
	l, err := LayoutByID("reference")
	if err != nil {
		t.Fatal(err)
	}
	p := pinhole{l: l, f: 1500, width: 2000, height: 1500, far: 350, noise: .1, rand: rand.New(rand.NewPCG(5, 6)), middle: Spot{l.Width / 2, l.Height / 2}, bend: .001}
	tags := p.tags()[:2]
	base := &level{w: p.width, h: p.height}
	plane, ok := cornersPlane(l, base, tags, indices(2))
	if !ok {
		t.Fatal("no plane")
	}
	fitPlane(&plane, nil, l, tags, Focal{})
	c := Found{Layout: l, Plane: plane}
	c.straighten(tags, Film35(0, base.w, base.h))
	if c.curve != nil || c.Plane.h != plane.h {
		t.Error("a bend was told by two tags")
	}
	if !(c.Plane.cov[6][6] > plane.cov[6][6]) {
		t.Error("the plane is as sure as if no card were ever bent")
	}
}
