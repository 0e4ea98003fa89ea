package paint

import (
	"sync"

	"trug/science/card"
	"trug/science/colour"
)

// The field card that lies in the photographs: the reference card, as its
// layout has it, in mm from its upper left corner (x right, y down).
const (
	CardWidthMM  = 105.0
	CardHeightMM = 74.0
)

// theCard is the layout with its tags' cells by seat.
var theCard = sync.OnceValue(func() (c struct {
	*card.Layout
	cells [4][10][10]bool
}) {
	l, err := card.LayoutByID("reference")
	if err != nil {
		panic(err)
	}
	ids, err := l.Ids(0)
	if err != nil {
		panic(err)
	}
	c.Layout = l
	for seat, id := range ids {
		if c.cells[seat], err = card.Cells(id); err != nil {
			panic(err)
		}
	}
	return c
})

// Reflectances of the card's paper and black ink, linear.
const cardWhite, cardBlack = 0.86, 0.035

// CardColours is what the card in the photographs is drawn with, by the names of
// its patches and "paper" for the bare paper: CIELAB, D65, 2 degree observer.
func CardColours() map[string]colour.Lab {
	out := map[string]colour.Lab{"paper": colour.LinearRGB{R: cardWhite, G: cardWhite, B: cardWhite}.XYZ().Lab(colour.D65)}
	for _, p := range theCard().Patches {
		out[p.ID] = colour.LabOfSRGB8(p.SRGB[0], p.SRGB[1], p.SRGB[2])
	}
	return out
}

// cardInk gives the card's colour at a point in mm.
func cardInk(x, y float32) v3 {
	white := v3{cardWhite, cardWhite, cardWhite}
	black := v3{cardBlack, cardBlack, cardBlack}
	c := theCard()
	for seat, t := range c.Tags {
		cell := float32(t.Black.W) / 8
		cx, cy := (x-float32(t.Black.X))/cell+1, (y-float32(t.Black.Y))/cell+1
		if cx >= 0 && cy >= 0 && cx < 10 && cy < 10 {
			if !c.cells[seat][int(cy)][int(cx)] {
				return black
			}
			return white
		}
	}
	for _, p := range c.Patches {
		if x >= float32(p.Box.X) && y >= float32(p.Box.Y) && x < float32(p.Box.X+p.Box.W) && y < float32(p.Box.Y+p.Box.H) {
			return rgb(uint32(p.SRGB[0])<<16 | uint32(p.SRGB[1])<<8 | uint32(p.SRGB[2]))
		}
	}
	for _, d := range c.Dots {
		if ex, ey, r := x-float32(d.At.X), y-float32(d.At.Y), float32(d.Radius); ex*ex+ey*ey < r*r {
			return black
		}
	}
	for _, r := range c.Rulers {
		n := int(r.To.X - r.From.X + .5)
		if tick(x-float32(r.From.X), float32(r.From.Y)-y, n) {
			return black
		}
		if y > float32(r.From.Y)-.1 && y < float32(r.From.Y)+.1 && x > float32(r.From.X) && x < float32(r.To.X) {
			return black
		}
	}
	// A plain frame where the finder writes a number, and two ruled lines.
	if x > 33 && x < 72 && y > 38 && y < 57 {
		if (y > 56.7 && y < 57) || (y > 50.4 && y < 50.7) {
			return v3{0.3, 0.3, 0.3}
		}
	}
	return white
}

// tick draws millimetre ticks from 0 to n along a, standing up along b.
func tick(a, b float32, n int) bool {
	if b < 0 || b > 4 || a < -0.15 || a > float32(n)+0.15 {
		return false
	}
	k := int(a + 0.5)
	if abs(a-float32(k)) > 0.12 {
		return false
	}
	return b < 1.6 || k%5 == 0 && b < 2.6 || k%10 == 0
}

type cardLevel struct {
	w, h int
	k    float32 // px per mm
	px   []v3
}

// cardLevels holds the card drawn at 32, 16, 8, 4, 2 and 1 px per mm.
var cardLevels = sync.OnceValue(func() []cardLevel {
	const k0 = 32
	w, h := int(CardWidthMM*k0), int(CardHeightMM*k0)
	top := cardLevel{w, h, k0, make([]v3, w*h)}
	for y := range h {
		for x := range w {
			top.px[y*w+x] = cardInk((float32(x)+0.5)/k0, (float32(y)+0.5)/k0)
		}
	}
	ls := []cardLevel{top}
	for len(ls) < 6 {
		a := &ls[len(ls)-1]
		b := cardLevel{w: a.w / 2, h: a.h / 2, k: a.k / 2}
		b.px = make([]v3, b.w*b.h)
		for y := range b.h {
			for x := range b.w {
				i := 2*y*a.w + 2*x
				b.px[y*b.w+x] = a.px[i].add(a.px[i+1]).add(a.px[i+a.w]).add(a.px[i+a.w+1]).mul(0.25)
			}
		}
		ls = append(ls, b)
	}
	return ls
})

// cardPose is where the card lies: its upper left corner and unit axes as if it
// were flat, and how it is bent along x: by bend X² towards its normal n, X being
// the distance from its middle.
type cardPose struct {
	at, x, y, n v3
	bend        float32
	// shade is where a shadow's edge lies across the card, 0 at its left and 1 at
	// its right edge; 0 for none.
	shade float32
}

// along takes the distance from the card's middle as seen from above to that on
// the card itself: the arc of a parabola, to the third order.
func (c *cardPose) along(chord float32) float32 {
	return chord + 2./3*c.bend*c.bend*chord*chord*chord
}

// shaded tells how much of the sun a world point beside or on the card gets.
func (c *cardPose) shaded(w v3) float32 {
	d := w.sub(c.at).dot(c.x)/CardWidthMM + .15*w.sub(c.at).dot(c.y)/CardHeightMM
	return 1 - smooth(c.shade-.04, c.shade+.04, d)
}

// colour samples the card at a world point, mm being the size of a pixel.
func (c *cardPose) colour(w v3, mm float32) v3 {
	d := w.sub(c.at)
	x, y := c.along(d.dot(c.x)-CardWidthMM/2)+CardWidthMM/2, d.dot(c.y)
	ls := cardLevels()
	k := 0
	for k < len(ls)-2 && ls[k+1].k*mm > 1 {
		k++
	}
	t := clamp((ls[k].k*mm-1)/1, 0, 1)
	return ls[k].at(x, y).mix(ls[k+1].at(x, y), t)
}

func (l *cardLevel) at(x, y float32) v3 {
	fx := clamp(x*l.k-0.5, 0, float32(l.w)-1.01)
	fy := clamp(y*l.k-0.5, 0, float32(l.h)-1.01)
	ix, iy := int(fx), int(fy)
	fx -= float32(ix)
	fy -= float32(iy)
	i := iy*l.w + ix
	return l.px[i].mix(l.px[i+1], fx).mix(l.px[i+l.w].mix(l.px[i+l.w+1], fx), fy)
}

// layCard draws the card with its centre at c, its normal n, turned by roll
// about the normal from the direction right, its two ends bent up by sag mm.
func (f *frame) layCard(c, n, right v3, roll, sag float32) *cardPose {
	n = n.unit()
	x := right.sub(n.mul(right.dot(n))).unit()
	y := x.cross(n) // down the card as seen from its face
	x, y = x.mul(cos(roll)).add(y.mul(sin(roll))), y.mul(cos(roll)).sub(x.mul(sin(roll)))
	const half = CardWidthMM / 2
	pose := &cardPose{at: c.sub(x.mul(half)).sub(y.mul(CardHeightMM / 2)), x: x, y: y, n: n, bend: sag / (half * half)}
	m := f.start(matCard)
	m.grid(36, 9, false, func(u, v float32) (v3, v3) {
		arc := (u - .5) * CardWidthMM
		chord := arc - 2./3*pose.bend*pose.bend*arc*arc*arc
		return pose.at.add(x.mul(chord + half)).add(y.mul(v * CardHeightMM)).add(n.mul(pose.bend * chord * chord)), v3{}
	})
	f.draw(m, identity, true)
	return pose
}
