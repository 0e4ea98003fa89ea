package measure

import (
	"errors"
	"image"
	"image/color"
	"math"
	"testing"

	"trug/science/card"
)

// twins is a picture with two discs of one colour that touch in a neck, on a
// ground of another: from a tap alone either or both may be meant.
func twins() *image.RGBA {
	img := image.NewRGBA(image.Rect(0, 0, 640, 480))
	for y := range 480 {
		for x := range 640 {
			c := color.RGBA{70, 60, 40, 255}
			if (x/13+y/17)%2 == 0 {
				c = color.RGBA{50, 70, 30, 255}
			}
			if math.Hypot(float64(x)-240, float64(y)-240) < 80 || math.Hypot(float64(x)-330, float64(y)-240) < 70 {
				c = color.RGBA{200, 160, 110, 255}
			}
			img.SetRGBA(x, y, c)
		}
	}
	return img
}

func breadth(p []card.Pixel) float64 {
	w := 0.0
	for i, a := range p {
		for _, b := range p[:i] {
			w = max(w, math.Hypot(a.X-b.X, a.Y-b.Y))
		}
	}
	return w
}

// What a person shows decides: points outside leave out the right disc of two
// that touch, a stroke through both takes both.
func TestShown(t *testing.T) {
	p := NewPicture(twins())
	one, err := p.Outline(Asked{Inside: []card.Pixel{{X: 200, Y: 240}, {X: 260, Y: 240}}, Outside: []card.Pixel{{X: 330, Y: 240}, {X: 350, Y: 200}, {X: 350, Y: 280}}, Largest: 250})
	if err != nil {
		t.Fatal(err)
	}
	// It can't turn as sharply as where the discs meet.
	if w := breadth(one.Points); w < 155 || w > 200 || holds(one.Points, card.Pixel{X: 365, Y: 240}) {
		t.Errorf("the left disc of 160 px is %.0f px wide", w)
	}
	both, err := p.Outline(Asked{Inside: []card.Pixel{{X: 175, Y: 240}, {X: 240, Y: 240}, {X: 310, Y: 240}, {X: 390, Y: 240}}, Largest: 250})
	if err != nil {
		t.Fatal(err)
	}
	if w := breadth(both.Points); math.Abs(w-240) > 8 {
		t.Errorf("both are %.0f px wide, not 240", w)
	}
}

// Points dragged to the rim draw the outline there: to where the discs touch,
// or round both.
func TestDragged(t *testing.T) {
	p := NewPicture(twins())
	for _, c := range []struct {
		rim  []card.Pixel
		wide float64
	}{{[]card.Pixel{{X: 320, Y: 240}, {X: 160, Y: 240}}, 160}, {[]card.Pixel{{X: 400, Y: 240}, {X: 160, Y: 240}}, 240}} {
		o, err := p.Outline(Asked{Inside: []card.Pixel{{X: 270, Y: 240}}, Rim: c.rim, Largest: 250})
		if err != nil {
			t.Error(err)
			continue
		}
		for _, q := range c.rim {
			near := math.Inf(1)
			for _, v := range o.Points {
				near = min(near, math.Hypot(v.X-q.X, v.Y-q.Y))
			}
			if near > 6 {
				t.Errorf("%v: the outline passes %v at %.0f px", c.rim, q, near)
			}
		}
		if w := breadth(o.Points); math.Abs(w-c.wide) > 12 {
			t.Errorf("%v: %.0f px wide, not %.0f", c.rim, w, c.wide)
		}
	}
}

// A cap that the frame cuts is refused, and so is one that can't be told
// from a ground of its own colours.
func TestProposeSaysWhyNot(t *testing.T) {
	img := capOn(color.RGBA{120, 90, 50, 255}, color.RGBA{210, 180, 140, 255}, 4)
	cut := image.NewRGBA(image.Rect(0, 0, 320, 480))
	for y := range 480 {
		copy(cut.Pix[y*cut.Stride:(y+1)*cut.Stride], img.Pix[y*img.Stride:])
	}
	if o, err := NewPicture(cut).Propose(card.Pixel{X: 290, Y: 230}, 250); err == nil {
		t.Errorf("a cap cut off: %.0f px wide, sure %.2f", breadth(o.Points), o.Sure)
	}
	same := capOn(color.RGBA{120, 90, 50, 255}, color.RGBA{118, 88, 49, 255}, 10)
	if o, err := NewPicture(same).Propose(card.Pixel{X: 310, Y: 230}, 250); !errors.Is(err, ErrUnsure) && !errors.Is(err, ErrNoOutline) {
		t.Errorf("a cap of the ground's colour: %v, %.0f px wide, sure %.2f", err, breadth(o.Points), o.Sure)
	}
}

// Seen at 60 degrees a disc is an ellipse of 2 to 1: laid out in the card's
// plane it is found from anywhere in it.
func TestAslant(t *testing.T) {
	const width, depth = 120., 60.
	img := image.NewRGBA(image.Rect(0, 0, 640, 480))
	for y := range 480 {
		for x := range 640 {
			c := color.RGBA{90, 70, 40, 255}
			if (x/11+y/19)%3 == 0 {
				c = color.RGBA{60, 80, 30, 255}
			}
			k := min(max((1-math.Hypot((float64(x)-330.4)/width, (float64(y)-250.2)/depth))*depth+.5, 0), 1)
			mix := func(a, b uint8) uint8 { return uint8(float64(a)*(1-k) + float64(b)*k) }
			img.SetRGBA(x, y, color.RGBA{mix(c.R, 190), mix(c.G, 90), mix(c.B, 60), 255})
		}
	}
	l, err := card.LayoutByID("reference")
	if err != nil {
		t.Fatal(err)
	}
	var spots []card.Spot
	var pixels []card.Pixel
	for seat := range 4 {
		for _, s := range l.Corners(seat) {
			spots, pixels = append(spots, s), append(pixels, card.Pixel{X: 100 + 4*float64(s.X), Y: 100 + 2*float64(s.Y)})
		}
	}
	plane, err := card.FitPlane(l, 640, 480, spots, pixels)
	if err != nil {
		t.Fatal(err)
	}
	s := Scene{Card: &card.Found{Layout: l, Plane: plane}, Pose: card.Pose{Height: 300, HeightU: 9}, Print: TrueToSize()}
	p := NewPicture(img)
	for _, tap := range []card.Pixel{{X: 330, Y: 250}, {X: 430, Y: 260}, {X: 240, Y: 240}, {X: 320, Y: 300}} {
		o, err := s.Propose(p, tap)
		if err != nil {
			t.Errorf("%v: %v", tap, err)
			continue
		}
		for _, q := range o.Points {
			if d := math.Abs(math.Hypot((q.X-330.4)/width, (q.Y-250.2)/depth)-1) * depth; d > 2.5 {
				t.Errorf("tapped at %v, the outline is %.1f px off at %v", tap, d, q)
				break
			}
		}
	}
}

// A ring within a cap yields to the rim round it, whose edge stands out more; not
// to something softer round it, nor to what is another thing by its size.
func TestRingsYield(t *testing.T) {
	for what, c := range map[string]struct {
		out    Proposal
		yields bool
	}{
		"the rim":                 {Proposal{wide: 140, clear: .8, Contrast: 6}, true},
		"a soft shadow round it":  {Proposal{wide: 140, clear: .8, Contrast: 3.6}, false},
		"an edge no clearer":      {Proposal{wide: 140, clear: .71, Contrast: 6}, false},
		"the same edge again":     {Proposal{wide: 103, clear: .8, Contrast: 6}, false},
		"the log that it is on":   {Proposal{wide: 300, clear: .8, Contrast: 6}, false},
		"nothing that stands out": {Proposal{wide: 140, clear: .8, Contrast: 6, odds: -12}, false},
	} {
		all := []Proposal{{wide: 100, clear: .7, Contrast: 3.9, odds: 4}, c.out}
		if rings(all); (all[0].odds < 4) != c.yields {
			t.Errorf("%s: odds of the ring %.1f", what, all[0].odds)
		}
		if all[1].odds != c.out.odds {
			t.Errorf("%s loses its own odds", what)
		}
	}
}
