package truecolour

import (
	"image"
	"math"
	"slices"

	"trug/science/card"
	"trug/science/colour"
)

// Kind tells what a sampled place of the card is for.
type Kind int

const (
	// White is bare paper: it shows how the light lies over the card.
	White Kind = iota
	// Grey is a step of the grey scale.
	Grey
	// Colour is a field of colour.
	Colour
)

// Sample is a place of the card as the photograph shows it.
type Sample struct {
	ID   string // of the patch; empty for bare paper
	Kind Kind
	At   card.Spot
	// Light is the mean of what is stored, decoded as sRGB: 0..1 by channel. The
	// camera's tone curve is still in it.
	Light [3]float64
	// Noise is the standard error of that mean.
	Noise [3]float64
	// Kept is the share of the pixels that went into it, 0..1; the others were
	// dirt, glare, or lay beyond the edge of a shadow.
	Kept float64
	// Glare is the share that was rejected for being brighter.
	Glare float64
	// Clipped says by channel that it ran into the end of its range.
	Clipped [3]bool
}

// usable says whether a sample can be fitted: enough of it was seen alike.
func (s Sample) usable() bool { return s.Kept >= 0.6 }

// whole says whether no channel is clipped.
func (s Sample) whole() bool { return s.Clipped == [3]bool{} }

// decoded is the sRGB curve for the 256 bytes there are.
var decoded = func() (t [256]float64) {
	for i := range t {
		t[i] = colour.Decode(float64(i) / 255)
	}
	return t
}()

const (
	// inset is the share of a patch left out at each side: blur carries its
	// neighbours in.
	inset = 0.2
	// across is how many places along each side of a patch are looked at.
	across = 20
	// paperSide is the side of a place of bare paper, and paperApart their
	// distance, in millimetres.
	paperSide, paperApart, paperClear = 2, 4, 1
)

// SampleCard reads the card's patches and its bare paper from a photograph in
// sRGB, through the plane that was found. Patches that lie outside the picture
// are left out.
func SampleCard(img *image.RGBA, plane *card.Plane, l *card.Layout) []Sample {
	var all []Sample
	add := func(id string, kind Kind, b card.Box) {
		if s, ok := sampleBox(img, plane, b); ok {
			s.ID, s.Kind = id, kind
			all = append(all, s)
		}
	}
	for _, p := range l.Patches {
		kind := Colour
		if p.Grey {
			kind = Grey
		}
		cut := p.Box.W * inset
		add(p.ID, kind, card.Box{X: p.Box.X + cut, Y: p.Box.Y + cut, W: p.Box.W - 2*cut, H: p.Box.H - 2*cut})
	}
	for _, b := range bare(l) {
		add("", White, b)
	}
	return all
}

// bare lists places of the card where nothing is printed.
func bare(l *card.Layout) []card.Box {
	var printed []card.Box
	for _, p := range l.Patches {
		printed = append(printed, p.Box)
	}
	for _, t := range l.Tags {
		printed = append(printed, t.Black)
	}
	for _, d := range l.Dots {
		printed = append(printed, card.Box{X: d.At.X - d.Radius, Y: d.At.Y - d.Radius, W: 2 * d.Radius, H: 2 * d.Radius})
	}
	for _, r := range l.Rulers {
		printed = append(printed, rulerBox(r))
	}
	printed = append(printed, l.Square, l.Drawings, l.Words)
	var places []card.Box
	for y := card.Millimetres(paperClear); y+paperSide+paperClear <= l.Height; y += paperApart {
		for x := card.Millimetres(paperClear); x+paperSide+paperClear <= l.Width; x += paperApart {
			b := card.Box{X: x, Y: y, W: paperSide, H: paperSide}
			if !slices.ContainsFunc(printed, func(p card.Box) bool { return p.W > 0 && near(p, b, paperClear) }) {
				places = append(places, b)
			}
		}
	}
	return places
}

// near says whether two boxes come closer than a distance.
func near(p, q card.Box, d card.Millimetres) bool {
	return p.X-d < q.X+q.W && q.X < p.X+p.W+d && p.Y-d < q.Y+q.H && q.Y < p.Y+p.H+d
}

// rulerBox is the room of a ruler's ticks and figures.
func rulerBox(r card.Ruler) card.Box {
	deep := r.Ten + 0.5
	if r.Figures {
		deep += 3 // the figures stand beyond the longest ticks
	}
	x0, x1 := min(r.From.X, r.To.X), max(r.From.X, r.To.X)
	y0, y1 := min(r.From.Y, r.To.Y), max(r.From.Y, r.To.Y)
	dx, dy := deep*card.Millimetres(r.Inward[0]), deep*card.Millimetres(r.Inward[1])
	x0, x1, y0, y1 = min(x0, x0+dx), max(x1, x1+dx), min(y0, y0+dy), max(y1, y1+dy)
	return card.Box{X: x0, Y: y0, W: x1 - x0, H: y1 - y0}
}

// sampleBox reads a box of the card; false when part of it lies outside.
func sampleBox(img *image.RGBA, plane *card.Plane, b card.Box) (Sample, bool) {
	size := math.Max(2, float64(b.W)*plane.PxPerMM(b.Middle()))
	n := int(math.Min(across, size))
	pixels := make([][3]uint8, 0, n*n)
	for j := range n {
		for i := range n {
			p := plane.ToImage(card.Spot{
				X: b.X + b.W*card.Millimetres((float64(i)+0.5)/float64(n)),
				Y: b.Y + b.H*card.Millimetres((float64(j)+0.5)/float64(n)),
			})
			at := image.Pt(int(math.Round(p.X)), int(math.Round(p.Y))).Add(img.Rect.Min)
			if !at.In(img.Rect) {
				return Sample{}, false
			}
			o := img.PixOffset(at.X, at.Y)
			pixels = append(pixels, [3]uint8(img.Pix[o:o+3]))
		}
	}
	s := robust(pixels)
	s.At = b.Middle()
	return s, true
}

// The ends of a channel's range; JPEG's rounding spreads a clipped white over a
// few of them.
const lowEnd, highEnd = 4, 251

// robust averages pixels in linear light (as the eye does with print dots) after
// leaving out those that are unlike most of them.
func robust(pixels [][3]uint8) Sample {
	light := make([]float64, len(pixels))
	for i, p := range pixels {
		light[i] = math.Sqrt(0.3*decoded[p[0]] + 0.6*decoded[p[1]] + 0.1*decoded[p[2]])
	}
	middle, spread := medianAndSpread(light)
	// Noise of a pixel or two of 255 is no reason to reject one.
	reach := math.Max(0.02, 3*spread)
	var s Sample
	var sum, square [3]float64
	var ends [3]int
	kept := 0
	for i, p := range pixels {
		if d := light[i] - middle; math.Abs(d) > reach {
			if d > 0 {
				s.Glare++
			}
			continue
		}
		kept++
		for c, v := range p {
			sum[c] += decoded[v]
			square[c] += decoded[v] * decoded[v]
			if v <= lowEnd || v >= highEnd {
				ends[c]++
			}
		}
	}
	n := float64(kept)
	for c := range 3 {
		s.Light[c] = sum[c] / n
		s.Noise[c] = math.Sqrt(math.Max(0, square[c]/n-s.Light[c]*s.Light[c]) / n)
		s.Clipped[c] = float64(ends[c]) > 0.02*n
	}
	s.Kept, s.Glare = n/float64(len(pixels)), s.Glare/float64(len(pixels))
	return s
}

// medianAndSpread gives the median and the standard deviation by the median of
// the distances from it (times 1.4826, as for a normal distribution).
func medianAndSpread(x []float64) (median, spread float64) {
	if len(x) == 0 {
		return 0, 0
	}
	sorted := slices.Clone(x)
	slices.Sort(sorted)
	median = sorted[len(sorted)/2]
	for i := range sorted {
		sorted[i] = math.Abs(sorted[i] - median)
	}
	slices.Sort(sorted)
	return median, 1.4826 * sorted[len(sorted)/2]
}
