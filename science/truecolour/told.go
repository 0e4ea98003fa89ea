package truecolour

import (
	"fmt"
	"strings"

	"trug/science/colour"
)

// Told is a colour as it is told to people and programs.
type Told struct {
	// Name is that of the ISCC-NBS blocks in question: "between light brown and
	// moderate yellowish brown".
	Name string `json:"name"`
	// Blocks are their numbers, the likeliest first, with their shares.
	Blocks []ToldBlock `json:"blocks"`
	// D65 and D50 are L*, a*, b* relative to daylight and to the white of print, 2
	// degree observer.
	D65 [3]float64 `json:"labD65"`
	D50 [3]float64 `json:"labD50"`
	// Covariance is that of D65.
	Covariance [3][3]float64 `json:"covariance"`
	// GiveOrTake is the CIEDE2000 difference that 95 % of it stays within.
	GiveOrTake float64 `json:"giveOrTake"`
	Munsell    string  `json:"munsell"`
	// Ridgway is the nearest name of the book of 1912, and RidgwayDistance how far
	// off it lies (CIEDE2000).
	Ridgway         string  `json:"ridgway"`
	RidgwayDistance float64 `json:"ridgwayDistance"`
	// Swatch is an sRGB colour for a screen, "#a16d3f"; OutOfScreen says that
	// screens of sRGB cannot show it and the nearest stands there.
	Swatch      string `json:"swatch"`
	OutOfScreen bool   `json:"outOfScreen,omitempty"`
	// Share of the fungus, and of its centre, middle zone and rim.
	Share float64    `json:"share"`
	Zones [3]float64 `json:"zones"`
	// Clipped says that the true colour lies farther out than told.
	Clipped bool `json:"clipped,omitempty"`
}

// ToldBlock is a block in question.
type ToldBlock struct {
	Number int     `json:"number"`
	Name   string  `json:"name"`
	Share  float64 `json:"share"`
}

// Tell puts a main colour into words and numbers.
func (m Main) Tell() Told {
	naming := m.Naming()
	d50 := m.Lab.Adapt(colour.D65, colour.D50)
	ridgway := m.Lab.NearestRidgway(1)[0]
	r, g, b, in := m.Lab.SRGB8()
	t := Told{
		Name:       naming.String(),
		D65:        [3]float64{m.Lab.L, m.Lab.A, m.Lab.B},
		D50:        [3]float64{d50.L, d50.A, d50.B},
		Covariance: m.Spread,
		GiveOrTake: m.Spread.GiveOrTake(m.Lab),
		Munsell:    m.Lab.Munsell(colour.D65).String(),
		Ridgway:    ridgway.Name, RidgwayDistance: ridgway.Distance,
		Swatch: fmt.Sprintf("#%02x%02x%02x", r, g, b), OutOfScreen: !in,
		Share: m.Share, Zones: m.Zones, Clipped: m.Clipped,
	}
	for _, s := range naming.Shares {
		if s.Share >= 0.05 || s.Block.Number == naming.Block.Number {
			t.Blocks = append(t.Blocks, ToldBlock{s.Block.Number, s.Block.Name, s.Share})
		}
	}
	return t
}

// String is one line for people.
func (t Told) String() string {
	clipped := ""
	if t.Clipped {
		clipped = "; it lies farther out than told"
	}
	return fmt.Sprintf("%s; L* %.1f, a* %.1f, b* %.1f (D65), give or take %.1f; Munsell %s; nearest of Ridgway %s, %.0f off%s",
		t.Name, t.D65[0], t.D65[1], t.D65[2], t.GiveOrTake, t.Munsell, t.Ridgway, t.RidgwayDistance, clipped)
}

// Where says in words where on the fungus the colour sits: "the rim", "centre and
// middle zone", "all over".
func (t Told) Where() string {
	var zones []string
	for z, share := range t.Zones {
		// Less than a quarter of a zone is a fleck.
		if share >= 0.25 {
			zones = append(zones, Zone(z).String())
		}
	}
	switch len(zones) {
	case 0:
		return "here and there"
	case 3:
		return "all over"
	default:
		return strings.Join(zones, " and ")
	}
}
