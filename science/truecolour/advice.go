package truecolour

import (
	"fmt"
	"image"
	"math"
	"slices"

	"trug/science/card"
	"trug/science/said"
)

// Advice is what a photograph's light asks for.
type Advice struct {
	Condition Condition `json:"condition"`
	// Text says in plain words what is wrong and what helps.
	Text string `json:"text"`
	// Stops says that no colour is to be told from this photograph; otherwise it
	// is told, with the advice beside it.
	Stops bool `json:"stops,omitempty"`
}

// Condition is a kind of light that misleads.
type Condition string

// The conditions that are recognised.
const (
	// MixedLight: its colour differs from one side of the card to the other.
	MixedLight Condition = "mixed-light"
	// GreenShade: it came through leaves.
	GreenShade Condition = "green-shade"
	// Shine: the card mirrors a flash or the sky.
	Shine Condition = "shine"
	// CardShadow: a shadow's edge lies over the card.
	CardShadow Condition = "shadow-on-card"
	// SunAndShade: card and fungus do not lie in the same light.
	SunAndShade Condition = "sun-and-shade"
	// TooLight and TooDark: the camera's range was left.
	TooLight Condition = "too-light"
	TooDark  Condition = "too-dark"
	// NeverMeasured: only greys could be corrected.
	NeverMeasured Condition = "card-never-measured"
)

// The limits between taking no notice, telling, and telling no number. They are
// logarithms of light, so 0.1 is about a tenth; common practice, no source, and
// tried on rendered photographs (docs/colour.md).
const (
	mixedTell, mixedStop   = 0.06, 0.12
	greenTell, greenStop   = 0.30, 0.45
	shadowTell, shadowStop = 0.03, 0.045
	dirty                  = 0.3 // a place of paper that is off by so much shows no light
	shineTell, shineStop   = 0.04, 0.25
	unlikeSure, unlikeBlue = 1.1, 0.6
	bluer                  = 0.1
)

// Advise says what the card tells of the light. flash says that the camera fired
// one.
func (c *Correction) Advise(samples []Sample, flash bool) []Advice {
	var all []Advice
	tell := func(k Condition, stops bool, text said.Words) { all = append(all, Advice{k, string(text), stops}) }
	if spread := c.colourOfLight(); spread > mixedTell {
		tell(MixedLight, spread > mixedStop, "The light is of two colours: one side of the card is lit otherwise than the other, by a lamp beside daylight, say, or by a coloured wall. Take the photograph again in one light.")
	}
	if green := c.green(); green > greenTell {
		tell(GreenShade, green > greenStop, "The light is green, as under leaves. Carry card and fungus to a place under open sky, or hold something white over both.")
	}
	if rough := c.roughness(); rough > shadowTell {
		tell(CardShadow, rough > shadowStop, "The edge of a shadow lies over the card. Turn or step aside so that card and fungus lie wholly in the light or wholly in shade.")
	}
	light, dark, glare := ends(samples)
	switch {
	case glare > shineTell && light < 0.5:
		text := said.Words("Shine lies on the card. Tilt it, or the camera, a little.")
		if flash {
			text = said.Words("The flash shines back from the card. Switch it off, or hold a white paper before it.")
		}
		tell(Shine, glare > shineStop, text)
	case light > 0.2:
		tell(TooLight, false, "The photograph is too light: the card's white is blown out. Tap on the card to set the exposure, or choose -1.")
	}
	if dark > 0.3 {
		tell(TooDark, dark > 0.6, "The photograph is too dark for colours. Take it again with more light, or a steadier hand and a longer exposure.")
	}
	if c.GreysOnly {
		tell(NeverMeasured, false, "The colours of this printing of the card were never measured: only light, contrast and white are corrected, by its greys.")
	}
	return all
}

// green is by how much the light that the camera left is greener than any lamp or
// sky, as a logarithm. From CIE illuminant A to D65 the light of white changes in
// linear sRGB by 0.80 in log R/G and by -1.27 in log B/G (computed from their
// whites); green lies across that line.
func (c *Correction) green() float64 {
	const along = 1.27 / 0.80
	r, b := c.tone.gain[0]-c.tone.gain[1], c.tone.gain[2]-c.tone.gain[1]
	return -(along*r + b) / (along + 1)
}

// colourOfLight is how much the ratio of red to green, or of blue to green,
// changes over the card, as a logarithm: the slope of the paper's misfits.
func (c *Correction) colourOfLight() float64 {
	worst := 0.0
	for _, channel := range []int{0, 2} {
		s := newSystem(3)
		for _, p := range c.tone.paper {
			if math.Abs(p.over[1]) < dirty {
				s.add([]float64{1, p.at[0], p.at[1]}, p.over[channel]-p.over[1], 1)
			}
		}
		if root, ok := s.root(); ok && len(c.tone.paper) >= 6 {
			x := root.solve(s.right)
			// From edge to edge the card measures about 1.5 of its half diagonals.
			worst = math.Max(worst, 1.5*math.Hypot(x[1], x[2]))
		}
	}
	return worst
}

// roughness is how far the paper's places lie off the smooth light that was found,
// as the standard deviation of a logarithm, the worst twentieth (dirt) left out.
// A lamp or the sky gives less than 0.02; the edge of a shadow cannot be smooth.
func (c *Correction) roughness() float64 {
	var over []float64
	for _, p := range c.tone.paper {
		over = append(over, math.Abs(p.over[0]+p.over[1]+p.over[2])/3)
	}
	slices.Sort(over)
	over = over[:len(over)-len(over)/20]
	sum := 0.0
	for _, v := range over {
		sum += v * v
	}
	return math.Sqrt(sum / math.Max(1, float64(len(over))))
}

// ends are the shares of the white places that are blown out, of all samples that
// are too dark, and of those with shine on them.
func ends(samples []Sample) (light, dark, glare float64) {
	whites, blown := 0.0, 0.0
	for _, s := range samples {
		high := false
		for c := range 3 {
			high = high || s.Clipped[c] && s.Light[c] > 0.5
		}
		low := s.Clipped != [3]bool{} && !high && brightness(s.Light) < 0.02
		if s.Kind == White {
			whites++
			if high {
				blown++
			}
		}
		if low {
			dark++
		}
		if s.Glare > 0.15 || high && s.Kind != White {
			glare++
		}
	}
	n := math.Max(1, float64(len(samples)))
	return blown / math.Max(1, whites), dark / n, glare / n
}

// Apart compares the ground around the card with the ground around the fungus: a
// card in the sun tells nothing of a fungus in shade. It gives advice when one
// is more than three times as bright, or nearly twice and the darker one bluer,
// as shade is; but not where some of the brighter ground is as dark as the other:
// soil among moss and leaves is no shade.
func (c *Correction) Apart(img *image.RGBA, plane *card.Plane, l *card.Layout, r *Region) (Advice, bool) {
	nearCard, nearThing := c.bare(img, plane, aroundCard(plane, l)), c.beside(img, plane, r)
	byCard, ok1 := medianOf(nearCard)
	byThing, ok2 := medianOf(nearThing)
	if !ok1 || !ok2 {
		return Advice{}, false
	}
	d := logOf(brightness(byCard)) - logOf(brightness(byThing))
	blue := (logOf(byCard[2]) - logOf(byCard[0])) - (logOf(byThing[2]) - logOf(byThing[0]))
	if math.Abs(d) < unlikeSure && !(math.Abs(d) > unlikeBlue && -blue*math.Copysign(1, d) > bluer) {
		return Advice{}, false
	}
	sunny, dim := "the card", "the fungus"
	if d < 0 {
		sunny, dim = dim, sunny
		nearCard, nearThing = nearThing, nearCard
	}
	if brightnessAt(nearCard, 0.3) < 1.5*brightnessAt(nearThing, 0.7) {
		return Advice{}, false
	}
	return Advice{SunAndShade, fmt.Sprintf("%s lies in much stronger light than %s, so the one tells nothing of the other's colour. Lay them side by side in the same light: shade is best.",
		upper(sunny), dim), true}, true
}

func upper(s string) string { return string(s[0]-'a'+'A') + s[1:] }

// aroundCard lists pixels a little outside the card.
func aroundCard(plane *card.Plane, l *card.Layout) []card.Pixel {
	var all []card.Pixel
	for _, out := range []card.Millimetres{4, 7, 10} {
		for i := range 40 {
			t := card.Millimetres(float64(i) / 39)
			for _, s := range []card.Spot{{X: l.Width * t, Y: -out}, {X: l.Width * t, Y: l.Height + out}, {X: -out, Y: l.Height * t}, {X: l.Width + out, Y: l.Height * t}} {
				all = append(all, plane.ToImage(s))
			}
		}
	}
	return all
}

// beside are lights of the ground beside what a region marks. A spot that was
// tapped lies in the middle of a cap: what looks like it is no ground, and where
// most does, the ground is looked for farther out, up to twelve times the
// region's own reach.
func (c *Correction) beside(img *image.RGBA, plane *card.Plane, r *Region) [][3]float64 {
	thing, ok := medianOf(c.bare(img, plane, r.some(400)))
	if !ok {
		return nil
	}
	for reach := 1.0; reach < 13; reach *= 1.5 {
		all := c.bare(img, plane, aroundRegion(img, r, reach))
		ground := slices.DeleteFunc(slices.Clone(all), func(v [3]float64) bool { return alike(v, thing) })
		if 2*len(ground) > len(all) {
			return ground
		}
	}
	return nil
}

// brightnessAt is the brightness that a share of all lights stays below.
func brightnessAt(all [][3]float64, share float64) float64 {
	b := make([]float64, len(all))
	for i, v := range all {
		b[i] = math.Max(floor, brightness(v))
	}
	slices.Sort(b)
	return b[int(share*float64(len(b)-1))]
}

// alike tells whether two lights may come from one thing, lit a little otherwise:
// of one hue, within a factor and a half in either channel's share. Judged, no source.
func alike(v, w [3]float64) bool {
	for _, k := range [2]int{0, 2} {
		if math.Abs((logOf(v[k])-logOf(v[1]))-(logOf(w[k])-logOf(w[1]))) > 0.4 {
			return false
		}
	}
	return math.Abs(logOf(brightness(v))-logOf(brightness(w))) < 0.7
}

// some lists at most about so many pixels of a region, evenly.
func (r *Region) some(most int) []card.Pixel {
	step := max(1, int(math.Sqrt(float64(r.Rect.Dx()*r.Rect.Dy())/float64(most))))
	var all []card.Pixel
	for y := r.Rect.Min.Y; y < r.Rect.Max.Y; y += step {
		for x := r.Rect.Min.X; x < r.Rect.Max.X; x += step {
			if r.In(x, y) {
				all = append(all, card.Pixel{X: float64(x), Y: float64(y)})
			}
		}
	}
	return all
}

// aroundRegion lists pixels outside a region, reach times as far as a little.
func aroundRegion(img *image.RGBA, r *Region, reach float64) []card.Pixel {
	var all []card.Pixel
	middle := r.Rect.Min.Add(r.Rect.Max).Div(2)
	w, h := float64(r.Rect.Dx())/2, float64(r.Rect.Dy())/2
	for _, out := range []float64{1.5, 1.7, 1.9} {
		for i := range 48 {
			turn := 2 * math.Pi * float64(i) / 48
			p := card.Pixel{X: float64(middle.X) + reach*out*w*math.Cos(turn), Y: float64(middle.Y) + reach*out*h*math.Sin(turn)}
			if !r.In(int(p.X), int(p.Y)) {
				all = append(all, p)
			}
		}
	}
	return all
}

// bare is the linear light at those pixels that lie in the picture and not on the card.
func (c *Correction) bare(img *image.RGBA, plane *card.Plane, at []card.Pixel) (all [][3]float64) {
	for _, p := range at {
		q := image.Pt(int(math.Round(p.X)), int(math.Round(p.Y)))
		spot, ok := plane.ToCard(p)
		if !ok || !q.In(img.Rect) || c.onCard(spot) {
			continue
		}
		o := img.PixOffset(q.X, q.Y)
		// In the light as it is there: the smooth part is not to be taken off.
		all = append(all, c.tone.undo([3]float64{decoded[img.Pix[o]], decoded[img.Pix[o+1]], decoded[img.Pix[o+2]]}, c.tone.light.frame.middle))
	}
	return all
}

// medianOf is the median of each channel; of fewer than 20 pixels it tells nothing.
func medianOf(all [][3]float64) (median [3]float64, ok bool) {
	channel := make([]float64, len(all))
	for i := range median {
		for k, v := range all {
			channel[k] = v[i]
		}
		median[i], _ = medianAndSpread(channel)
	}
	return median, len(all) >= 20
}

// onCard says whether a place lies on the card or within 2 mm of it.
func (c *Correction) onCard(s card.Spot) bool {
	f := c.tone.light.frame
	return math.Abs(float64(s.X-f.middle.X)) < f.half[0]+2 && math.Abs(float64(s.Y-f.middle.Y)) < f.half[1]+2
}
