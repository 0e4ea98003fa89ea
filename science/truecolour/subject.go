package truecolour

import (
	"image"
	"math"

	"trug/science/card"
	"trug/science/colour"
	"trug/science/said"
)

// Zone is where on the fungus a colour sits, by its distance from the edge as a
// share of the greatest: the outer third is the rim, the inner third the centre.
type Zone int

// The zones, from within.
const (
	Centre Zone = iota
	Middle
	Rim
)

func (z Zone) String() string { return [...]string{"centre", "middle zone", "rim"}[z] }

// Main is one of a fungus's main colours.
type Main struct {
	// Lab is relative to D65, 2 degree observer.
	Lab    colour.Lab
	Spread colour.Spread
	// Within is how far its own pixels spread about it, as standard deviations of
	// L, a and b: its texture, not an uncertainty.
	Within [3]float64
	// Share is its part of the pixels looked at, 0..1, and Zones its part of each
	// zone's.
	Share float64
	Zones [3]float64
	// Clipped says that a channel ran into the end of its range: the true colour
	// is more vivid, lighter or darker than told.
	Clipped bool
}

// Naming names the colour with what its uncertainty leaves open.
func (m Main) Naming() colour.Naming { return m.Lab.NameWithin(m.Spread, colour.D65) }

// Palette is what a view shows of a fungus's colours.
type Palette struct {
	// Mean is the colour of all pixels looked at together.
	Mean Main
	// Colours are the main ones, the largest share first: one for an even fungus,
	// at most five.
	Colours []Main
	// Highlights and Edges are the shares of the region that were left out for
	// being shine, or for lying too near the edge.
	Highlights, Edges float64
}

// ErrShine says that nothing but shine and edge was left.
var ErrShine = said.Errorf("the place marked is all shine or edge: mark a larger or duller part")

// pixel is a place of the fungus that is looked at.
type pixel struct {
	stored [3]float64
	at     card.Spot
	lab    colour.Lab
	zone   Zone
	ends   [3]bool
}

// most is how many pixels are looked at: more change no colour by a tenth.
const most = 5000

// Palette reads a region's colours.
func (c *Correction) Palette(img *image.RGBA, plane *card.Plane, r *Region) (*Palette, error) {
	found, p, err := c.look(img, plane, r)
	if err != nil {
		return nil, err
	}
	p.Mean = c.main(found, found)
	for _, group := range groups(found) {
		p.Colours = append(p.Colours, c.main(group, found))
	}
	return p, nil
}

// Mean reads the one colour of a region, as Palette's Mean: what a tap asks for.
func (c *Correction) Mean(img *image.RGBA, plane *card.Plane, r *Region) (Main, error) {
	found, _, err := c.look(img, plane, r)
	if err != nil {
		return Main{}, err
	}
	return c.main(found, found), nil
}

// look reads the region's pixels, without edges and shine.
func (c *Correction) look(img *image.RGBA, plane *card.Plane, r *Region) ([]pixel, *Palette, error) {
	n := 0
	for _, in := range r.in {
		if in {
			n++
		}
	}
	stride := int(math.Max(1, math.Sqrt(float64(n)/most)))
	coarse := r.thin(stride)
	distance, deepest := coarse.distances()
	// The edge is blurred over about two pixels, and whatever curves away there
	// mirrors the sky.
	edge := math.Min(math.Max(2/float64(stride), 0.06*deepest), deepest/2)
	var all []pixel
	outer := 0
	for i, d := range distance {
		switch {
		case d == 0:
			continue
		case d < edge:
			outer++
			continue
		}
		x, y := r.Rect.Min.X+i%coarse.Rect.Dx()*stride, r.Rect.Min.Y+i/coarse.Rect.Dx()*stride
		if at, ok := plane.ToCard(card.Pixel{X: float64(x), Y: float64(y)}); ok {
			all = append(all, seen(img, x, y, at, zoneOf(d/deepest)))
		}
	}
	kept := withoutShine(all)
	if len(kept) < 5 {
		return nil, nil, ErrShine
	}
	for i := range kept {
		kept[i].lab = c.Lab(kept[i].stored, kept[i].at)
	}
	total := float64(outer + len(all))
	return kept, &Palette{Edges: float64(outer) / total, Highlights: float64(len(all)-len(kept)) / total}, nil
}

func zoneOf(depth float64) Zone {
	switch {
	case depth > 2.0/3:
		return Centre
	case depth > 1.0/3:
		return Middle
	default:
		return Rim
	}
}

func seen(img *image.RGBA, x, y int, at card.Spot, zone Zone) pixel {
	p := pixel{at: at, zone: zone}
	o := img.PixOffset(x, y)
	for c := range 3 {
		v := img.Pix[o+c]
		p.stored[c] = decoded[v]
		p.ends[c] = v <= lowEnd || v >= highEnd
	}
	return p
}

func brightness(v [3]float64) float64 { return 0.3*v[0] + 0.6*v[1] + 0.1*v[2] }

// vividness is how far a colour as stored is from grey, 0..1.
func vividness(v [3]float64) float64 {
	high, low := max(v[0], v[1], v[2]), min(v[0], v[1], v[2])
	return (high - low) / math.Max(floor, high)
}

// withoutShine leaves out what is much brighter and paler than the rest: the
// light's own colour mirrored by a moist skin.
func withoutShine(all []pixel) []pixel {
	bright, vivid := make([]float64, len(all)), make([]float64, len(all))
	for i, p := range all {
		bright[i], vivid[i] = math.Log(math.Max(floor, brightness(p.stored))), vividness(p.stored)
	}
	median, spread := medianAndSpread(bright)
	usual, _ := medianAndSpread(vivid)
	var kept []pixel
	for i, p := range all {
		blown := p.stored[0] > 0.97 && p.stored[1] > 0.97 && p.stored[2] > 0.97
		if blown || bright[i] > median+math.Max(0.25, 2.5*spread) && vivid[i] < 0.7*usual {
			continue
		}
		kept = append(kept, p)
	}
	return kept
}

// main sums up a group of pixels.
func (c *Correction) main(group, all []pixel) Main {
	var m Main
	var stored, square [3]float64
	var at card.Spot
	n := float64(len(group))
	ends := [3]float64{}
	var inZone, ofZone [3]float64
	for _, p := range all {
		ofZone[p.zone]++
	}
	for _, p := range group {
		for i, v := range p.stored {
			stored[i] += v / n
			if p.ends[i] {
				ends[i]++
			}
		}
		at.X += p.at.X / card.Millimetres(n)
		at.Y += p.at.Y / card.Millimetres(n)
		inZone[p.zone]++
	}
	m.Lab = c.Near(stored, at)
	middle := c.Lab(stored, at)
	for _, p := range group {
		for i, d := range [3]float64{p.lab.L - middle.L, p.lab.A - middle.A, p.lab.B - middle.B} {
			square[i] += d * d / n
		}
	}
	m.Spread = c.Spread(stored, at)
	for i := range 3 {
		m.Within[i] = math.Sqrt(square[i])
		// Neighbouring pixels are alike: a hundred count as one.
		m.Spread[i][i] += square[i] / math.Max(1, n/100)
		m.Clipped = m.Clipped || ends[i] > 0.05*n
		if ofZone[i] > 0 {
			m.Zones[i] = inZone[i] / ofZone[i]
		}
	}
	m.Share = n / float64(len(all))
	return m
}
