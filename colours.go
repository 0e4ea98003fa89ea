package trug

import (
	"slices"
	"time"

	"trug/science/card"
	"trug/science/truecolour"
)

// ColourWay is how the place of a colour was marked.
type ColourWay string

// The ways to mark a place.
const (
	ColourTap     ColourWay = "tap"     // all within a radius of a point
	ColourBrush   ColourWay = "brush"   // all within a radius of a line
	ColourOutline ColourWay = "outline" // the inside of a closed line
)

// Treatment is what was done to a place before its colour was measured.
type Treatment string

// The treatments. Fresh is none.
const (
	Fresh   Treatment = ""
	Bruised Treatment = "bruised"
	Potash  Treatment = "potash"
	Iron    Treatment = "iron salt"
	Ammonia Treatment = "ammonia"
	Dried   Treatment = "dried"
)

// Treatments lists them, none first.
var Treatments = []Treatment{Fresh, Bruised, Potash, Iron, Ammonia, Dried}

// Colour is a colour measured in one view through the patches of the field card,
// with all that it takes to measure it again.
type Colour struct {
	ID       ID `json:"id"`
	SeasonID ID `json:"season"`
	RecordID ID `json:"record"`
	ViewID   ID `json:"view"`
	// Picture is the file whose pixels the points are told in.
	Picture Hash         `json:"picture"`
	Way     ColourWay    `json:"way"`
	Points  []card.Pixel `json:"points"`
	// Radius is that of a tap or brush in pixels; 0 of an outline.
	Radius float64 `json:"radius,omitempty"`
	// SizeID is the kept size whose outline was taken; empty for none.
	SizeID ID `json:"size,omitempty"`
	// Character is the one that it answers, such as cap_color; empty for a colour
	// that answers none. Label is what the season called it then.
	Character string `json:"character,omitempty"`
	Label     string `json:"label,omitempty"`
	// Treatment is what was done first, and Before the colour of the same part
	// before it; empty where nothing was done, or nobody measured before.
	Treatment Treatment `json:"treatment,omitempty"`
	Before    ID        `json:"before,omitempty"`

	// Mean is the colour of all that was looked at, Palette its main colours, the
	// largest share first.
	Mean    truecolour.Told   `json:"mean"`
	Palette []truecolour.Told `json:"palette"`
	// Highlights and Edges are the shares that were left out.
	Highlights float64             `json:"highlights,omitempty"`
	Edges      float64             `json:"edges,omitempty"`
	Correction ColourCorrection    `json:"correction"`
	Advice     []truecolour.Advice `json:"advice,omitempty"`
	// Table is the file of the printing's measured colours that was used; empty
	// where only greys corrected.
	Table Hash `json:"table,omitempty"`
	// CardRevision and ColourRevision are those of science/card and
	// science/truecolour; Program is the version of the program.
	CardRevision   int       `json:"cardRevision"`
	ColourRevision int       `json:"colourRevision"`
	Program        string    `json:"program,omitempty"`
	By             ID        `json:"by"`
	Created        time.Time `json:"created"`
	// Withdrawn is when it was taken back; zero while it stands.
	Withdrawn time.Time `json:"withdrawn,omitzero"`
}

// ColourCorrection is how a colour was corrected.
type ColourCorrection struct {
	// Model is truecolour's word for it: "white balance only", "3 x 3 matrix",
	// "root-polynomial of degree 2".
	Model     string `json:"model"`
	GreysOnly bool   `json:"greysOnly,omitempty"`
	// LeaveOneOut is the error of the card's own patches under that model, each
	// left out in turn: root mean square, in about CIEDE2000.
	LeaveOneOut float64 `json:"leaveOneOut"`
	Patches     int     `json:"patches"`
	Clipped     int     `json:"clipped,omitempty"`
	Rejected    int     `json:"rejected,omitempty"`
	// Unevenness is the brightest part of the card over its darkest.
	Unevenness float64 `json:"unevenness"`
}

// Limits of a colour.
const (
	MaxBrushPoints = 200
	// MaxBrush bounds the radius of taps and brushes, in pixels.
	MaxBrush = 600
)

// Validate returns all that is wrong with what was marked, or nil.
func (c Colour) Validate() error {
	var f Faults
	least, most, round := 1, 1, true
	switch c.Way {
	case ColourTap:
	case ColourBrush:
		most = MaxBrushPoints
	case ColourOutline:
		least, most, round = 3, MaxOutlinePoint, false
	default:
		f.add("way", "%q is no way to mark a colour: use tap, brush or outline", c.Way)
	}
	if n := len(c.Points); n < least || n > most {
		f.add("points", "%d points are no %s: it takes %d to %d", n, c.Way, least, most)
	}
	if round && !(c.Radius >= 1 && c.Radius <= MaxBrush) {
		f.add("radius", "a brush of %g pixels can't be used: 1 to %d", c.Radius, MaxBrush)
	}
	if !slices.Contains(Treatments, c.Treatment) {
		f.add("treatment", "%q is no treatment: leave it out, or use bruised, potash, iron salt, ammonia or dried", c.Treatment)
	}
	if c.Before != "" && c.Treatment == Fresh {
		f.add("before", "say what was done between the two colours: bruised, potash, iron salt, ammonia or dried")
	}
	return f.orNil()
}

// PrintedColours is what an instrument measured of a printing's patches.
type PrintedColours struct {
	// Table is the CSV as it was handed in: see truecolour.ReadReference.
	Table Hash `json:"table"`
	// Patches counts the patches, Paper says that the bare paper was measured too.
	Patches int       `json:"patches"`
	Paper   bool      `json:"paper,omitempty"`
	By      ID        `json:"by,omitempty"`
	At      time.Time `json:"at"`
}
