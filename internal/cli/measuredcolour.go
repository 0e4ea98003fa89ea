package cli

import (
	"errors"
	"fmt"
	"image"
	"math"
	"os"
	"slices"
	"strconv"
	"strings"

	"trug/science/card"
	"trug/science/truecolour"
)

// tapRadius is that of a tap without one, in pixels: small enough for a stem,
// large enough to average the camera's noise (common practice, no source).
const tapRadius = 12

// tap is a place whose colour is asked for.
type tap struct {
	at     card.Pixel
	radius float64
}

// colourAsked is what is to be told of colours.
type colourAsked struct {
	taps    []tap
	palette bool
	printed string // file of the printing's measured colours
}

// measuredColour is the colour of one place or fruitbody.
type measuredColour struct {
	// Kind is "place" or "outline".
	Kind   string       `json:"kind"`
	At     [2]float64   `json:"at"`
	Radius float64      `json:"radiusPx,omitempty"`
	Points [][2]float64 `json:"points,omitempty"`
	// Mean is absent when the light allows no number.
	Mean       *truecolour.Told    `json:"mean,omitempty"`
	Palette    []truecolour.Told   `json:"palette,omitempty"`
	Highlights float64             `json:"highlights"`
	Edges      float64             `json:"edges"`
	Correction measuredCorrection  `json:"correction"`
	Advice     []truecolour.Advice `json:"advice"`
	Words      string              `json:"words"`
}

// measuredCorrection is how the colour was corrected.
type measuredCorrection struct {
	Model       string             `json:"model"`
	GreysOnly   bool               `json:"greysOnly"`
	LeaveOneOut map[string]float64 `json:"leaveOneOut,omitempty"`
	Patches     int                `json:"patches"`
	Clipped     int                `json:"clipped"`
	Rejected    int                `json:"rejected"`
	Unevenness  float64            `json:"unevenness"`
}

func (a *colourAsked) read(taps []string, outlines int) error {
	for _, t := range taps {
		parts := strings.Split(t, ",")
		bad := fmt.Errorf("%q is no place: write --colour x,y or --colour x,y,radius in pixels, such as 812,455,20", t)
		if len(parts) < 2 || len(parts) > 3 {
			return bad
		}
		at, err := pixel(strings.Join(parts[:2], ","))
		if err != nil {
			return bad
		}
		radius := float64(tapRadius)
		if len(parts) == 3 {
			if radius, err = strconv.ParseFloat(parts[2], 64); err != nil || !(radius >= 1 && radius <= 5000) {
				return fmt.Errorf("%q has no radius of 1 to 5000 pixels: write --colour x,y,radius, such as 812,455,20", t)
			}
		}
		a.taps = append(a.taps, tap{at, radius})
	}
	if a.palette && len(a.taps) == 0 && outlines == 0 {
		return errors.New("--palette needs to know of what: add --outline x,y with a point on the fruitbody, or --colour x,y,radius")
	}
	return nil
}

// reference is what the card's fields truly look like, as far as anyone knows.
func (a *colourAsked) reference(l *card.Layout) (truecolour.Reference, error) {
	if a.printed == "" {
		return truecolour.Unmeasured(l), nil
	}
	f, err := os.Open(a.printed)
	if err != nil {
		return truecolour.Reference{}, err
	}
	defer f.Close()
	ref, err := truecolour.ReadReference(f, l)
	if err != nil {
		return ref, fmt.Errorf("%s: %w", a.printed, err)
	}
	return ref, nil
}

// colours tells what is asked of a photograph's colours. outlines are those that
// were measured.
func (m *measured) colours(img *image.RGBA, found *card.Found, flash bool, a colourAsked, outlines [][]card.Pixel) {
	if len(a.taps) == 0 && (!a.palette || len(outlines) == 0) {
		return
	}
	ref, err := a.reference(found.Layout)
	if err != nil {
		m.refuse(err)
		return
	}
	tell := func(c measuredColour, r *truecolour.Region, err error) {
		var got *truecolour.Result
		if err == nil {
			got, err = truecolour.Measure(img, &found.Plane, found.Layout, ref, flash, r)
		}
		if err != nil {
			m.refuse(err)
			return
		}
		c.tell(got, a.palette)
		for _, advice := range got.Advice {
			m.caution(advice.Text)
		}
		m.failed = m.failed || got.Stopped()
		m.Colours = append(m.Colours, c)
	}
	for _, t := range a.taps {
		r, err := truecolour.Disc(img.Rect, t.at, t.radius)
		tell(measuredColour{Kind: "place", At: pair(t.at), Radius: t.radius}, r, err)
	}
	if !a.palette {
		return
	}
	for _, o := range outlines {
		c := measuredColour{Kind: "outline", At: pair(middle(o))}
		for _, p := range o {
			c.Points = append(c.Points, pair(p))
		}
		r, err := truecolour.Outline(img.Rect, o)
		tell(c, r, err)
	}
}

func middle(points []card.Pixel) (p card.Pixel) {
	for _, q := range points {
		p.X += q.X / float64(len(points))
		p.Y += q.Y / float64(len(points))
	}
	return p
}

// tell takes over a result.
func (c *measuredColour) tell(got *truecolour.Result, palette bool) {
	k := got.Correction
	c.Advice = slices.Concat([]truecolour.Advice{}, got.Advice)
	c.Correction = measuredCorrection{Model: k.Model.String(), GreysOnly: k.GreysOnly, Patches: k.Patches, Clipped: k.Clipped, Rejected: k.Rejected, Unevenness: thousandths(k.Unevenness)}
	for model, e := range k.LeaveOneOut {
		if c.Correction.LeaveOneOut == nil {
			c.Correction.LeaveOneOut = map[string]float64{}
		}
		c.Correction.LeaveOneOut[model.String()] = thousandths(e)
	}
	if got.Palette == nil {
		c.Words = "no colour is told: see the advice"
		return
	}
	mean := got.Palette.Mean.Tell()
	c.Mean, c.Words = &mean, mean.String()
	c.Highlights, c.Edges = thousandths(got.Palette.Highlights), thousandths(got.Palette.Edges)
	if !palette {
		return
	}
	var words []string
	for _, main := range got.Palette.Colours {
		t := main.Tell()
		c.Palette = append(c.Palette, t)
		words = append(words, fmt.Sprintf("%.0f %% %s (%s), L* %.1f, a* %.1f, b* %.1f (D65), give or take %.1f",
			math.Round(100*t.Share), t.Name, t.Where(), t.D65[0], t.D65[1], t.D65[2], t.GiveOrTake))
	}
	c.Words = strings.Join(words, "; ")
}
