package truecolour

import (
	"math"
	"slices"

	"trug/science/card"
	"trug/science/colour"
	"trug/science/said"
)

// Correction is what carries pixels of one photograph to true colours.
type Correction struct {
	// Model is the one that errs least by leaving one out; the correction is the
	// mean of all that could be fitted, weighed by that. GreysOnly says that there was no choice, since the
	// card's colours were never measured: then it is white balance and tone curve
	// alone.
	Model     Model
	GreysOnly bool
	// LeaveOneOut are the errors, in about CIEDE2000, root mean square, of the
	// card's own patches under each model that could be fitted, by leaving out
	// one at a time.
	LeaveOneOut map[Model]float64
	// Patches is how many patches were used, Clipped how many could not be for
	// being too bright or too dark, Rejected how many for dirt, glare or a
	// shadow's edge.
	Patches, Clipped, Rejected int
	// Unevenness is the brightest part of the card over the darkest.
	Unevenness float64

	tone   *tone
	fitted *Fitted
	// pairs are the patches that it was fitted to, and about what colour each is
	// seen as: see Near.
	pairs []Pair
	about []colour.Lab
	// errors is the covariance of the patches' errors in lightness, chroma and
	// hue as CIEDE2000 weighs them, and reachOut the mean leverage that belongs to it.
	errors   colour.Spread
	reachOut float64
	ref      Reference
}

// Errors of Correct.
var (
	// ErrFewGreys says that too few greys could be read to find the tone curve.
	ErrFewGreys = said.Errorf("fewer than four greys of the card can be read: take the photograph again with the whole card in even light, neither blown out nor dark")
	// ErrTone says that the greys don't rise as greys do.
	ErrTone = said.Errorf("the card's greys don't get lighter in their order: is part of the card in shadow, or is another sheet lying on it?")
)

// ridge is how strongly a matrix is drawn towards white balance only; see
// docs/colour.md for how it was chosen.
const ridge = 20

// Correct finds the correction from a card's samples (see SampleCard).
func Correct(samples []Sample, ref Reference, l *card.Layout) (*Correction, error) {
	c := &Correction{ref: ref, GreysOnly: !ref.Measured, LeaveOneOut: map[Model]float64{}}
	points, greys := greyPoints(samples, ref, frameOf(l))
	if greys < 4 {
		return nil, ErrFewGreys
	}
	var ok bool
	if c.tone, ok = fitTone(points, frameOf(l)); !ok {
		return nil, ErrTone
	}
	c.Unevenness = c.tone.light.unevenness(l)
	pairs := c.patches(samples)
	if c.GreysOnly {
		c.fitted, _ = Fit(WhiteBalance, pairs, 0)
		c.Model, c.LeaveOneOut[WhiteBalance] = WhiteBalance, c.fitted.rms()
	} else {
		c.choose(pairs)
		c.pairs = pairs
		for _, p := range pairs {
			c.about = append(c.about, labOf(c.fitted.Apply(p.Seen)))
		}
	}
	c.spread(pairs)
	return c, nil
}

// greyPoints lays out the greys and the paper for the tone curve's fit, and
// counts the greys with at least one good channel.
func greyPoints(samples []Sample, ref Reference, f frame) (points []greyPoint, greys int) {
	paper, measured := ref.Lab[Paper]
	level := 0
	whites := 0
	for _, s := range samples {
		if s.Kind == White {
			whites++
		}
	}
	for _, s := range samples {
		lab, known := ref.Lab[s.ID]
		if s.Kind == Colour || !s.usable() || s.Kind == Grey && !known {
			continue
		}
		if s.Kind == White {
			lab = paper
		}
		light := linearOf(lab)
		good := false
		for c := range 3 {
			if s.Clipped[c] {
				continue
			}
			good = true
			// All the paper together weighs as much as two dozen greys for the curve, a
			// place of it less than a grey.
			p := greyPoint{level: level, channel: c, x: logOf(s.Light[c]), at: f.place(s.At), weight: 1}
			if s.Kind == White {
				p.level, p.paper, p.open, p.weight = -1, true, !measured, math.Min(1, 24/float64(whites))
			}
			if !p.open {
				p.y = logOf(light[c])
			}
			noise := s.Noise[c] / math.Max(floor, s.Light[c])
			p.weight *= greySD * greySD / (greySD*greySD + noise*noise)
			points = append(points, p)
		}
		if good && s.Kind == Grey {
			level++
			greys++
		}
	}
	return points, greys
}

// patches are the coloured fields and greys as seen through the tone curve, beside what they are.
func (c *Correction) patches(samples []Sample) []Pair {
	var pairs []Pair
	for _, s := range samples {
		lab, known := c.ref.Lab[s.ID]
		switch {
		case s.Kind == White || !known:
			continue
		case !s.usable():
			c.Rejected++
			continue
		case !s.whole():
			c.Clipped++
			continue
		}
		light := linearOf(lab)
		pairs = append(pairs, Pair{c.tone.undo(s.Light, s.At), light, Perceived(light)})
	}
	c.Patches = len(pairs)
	return pairs
}

// clearlyBetter is the share of its error by which a richer model must be better
// to be named: the errors by leaving one out of two dozen are themselves
// uncertain.
const clearlyBetter = 0.95

// choose fits what the patches allow, names the model with the least error by
// leaving out one patch at a time, and joins all of them (see blend).
func (c *Correction) choose(pairs []Pair) {
	all := fitAll(pairs)
	best := all[0]
	for _, f := range all {
		c.LeaveOneOut[f.Model] = f.rms()
		if f.rms() < clearlyBetter*best.rms() {
			best = f
		}
	}
	c.Model, c.fitted = best.Model, blend(all)
}

// fitAll fits all models that so many patches allow, the poorest first.
func fitAll(pairs []Pair) []*Fitted {
	var all []*Fitted
	for _, m := range []Model{WhiteBalance, Linear, Root} {
		if len(pairs) < m.fewest() {
			continue
		}
		if f, ok := Fit(m, pairs, ridge); ok {
			all = append(all, f)
		}
	}
	return all
}

// blendPower is how strongly the better model is preferred: weights are errors by
// leaving one out to the power of minus this. Chosen among 4, 7 and 12 on rendered
// photographs of other seeds and things than the bench's, see docs/colour.md.
const blendPower = 4

// leastError keeps weights finite where a model errs by nothing.
const leastError = 0.01

// blend joins fitted models, the richest last: a mean weighed by how little each errs
// on patches that it did not see, as stacked regressions are (Breiman, Machine
// Learning 24:49, 1996; the weights are our own). Each model is linear in its
// terms, and the poorer ones' terms are the richest one's first, so that the mean
// is a matrix of the richest. Its errors by leaving one out are the mean of theirs.
func blend(all []*Fitted) *Fitted {
	rich := all[len(all)-1]
	out := &Fitted{Model: rich.Model, root: rich.root, LeftOut: make([][3]float64, len(rich.LeftOut))}
	for i := range out.Matrix {
		out.Matrix[i] = make([]float64, len(rich.Matrix[0]))
	}
	total := 0.0
	weight := func(f *Fitted) float64 { return math.Pow(math.Max(leastError, f.rms()), -blendPower) }
	for _, f := range all {
		total += weight(f)
	}
	for _, f := range all {
		w := weight(f) / total
		for i := range out.Matrix {
			for k, v := range f.Matrix[i] {
				out.Matrix[i][k] += w * v
			}
		}
		for k, e := range f.LeftOut {
			for i := range e {
				out.LeftOut[k][i] += w * e[i]
			}
		}
	}
	return out
}

// unmeasuredSD is the error of colours where only greys are corrected, in
// lightness, chroma and hue (about CIEDE2000): from rendered photographs on other
// seeds than the bench's, see docs/colour.md.
var unmeasuredSD = [3]float64{3.5, 6.0, 4.5}

// spread works out how far the patches' errors reach.
func (c *Correction) spread(pairs []Pair) {
	if c.GreysOnly {
		for i, sd := range unmeasuredSD {
			c.errors[i][i] = sd * sd
		}
		return
	}
	for i, e := range c.fitted.LeftOut {
		for j := range 3 {
			for k := range 3 {
				c.errors[j][k] += e[j] * e[k]
			}
		}
		hat := c.fitted.leverage(pairs[i])
		c.reachOut += (hat[0][0] + hat[1][1] + hat[2][2]) / 3
	}
	// A mean of so few errors is itself uncertain: the factor is that of Student's
	// distribution in three dimensions against the normal one.
	n := float64(len(pairs))
	c.reachOut /= n
	c.errors = c.errors.Times(widen / (n - 3))
}

// widen is by how much the subject's errors exceed the patches' (as variances):
// its pigments are not the card's. From rendered photographs on other seeds than
// the bench's.
const widen = 1.3

// Lab carries stored light (0..1, as in Sample) at a place of the card's plane to
// a colour, by one model for all colours: for pixels, that are compared with each
// other.
func (c *Correction) Lab(stored [3]float64, at card.Spot) colour.Lab {
	return labOf(c.fitted.Apply(c.tone.undo(stored, at)))
}

const (
	// nearby is the CIEDE2000 difference at which a patch's weight has fallen to
	// 0.6, and elsewhere what the farthest patches keep. Chosen among 10 to 40 and 0.03
	// to 0.3 on rendered photographs of other seeds and things than the bench's; the
	// figures hardly change from 15 to 25.
	nearby    = 20
	elsewhere = 0.1
)

// Near is Lab for a colour that is told: the models are fitted once more, patches
// near the colour weighing more. None of the models is right for all colours at
// once, and what they leave is alike for colours that are alike (local
// regression: Cleveland & Devlin, J. Am. Stat. Assoc. 83:596, 1988). A colour far
// from all patches is told as by Lab, since all weigh alike then.
func (c *Correction) Near(stored [3]float64, at card.Spot) colour.Lab {
	seen := c.tone.undo(stored, at)
	lab := labOf(c.fitted.Apply(seen))
	if c.GreysOnly {
		return lab
	}
	weights, most := make([]float64, len(c.pairs)), 0.0
	for i, about := range c.about {
		d := colour.Difference(about, lab) / nearby
		weights[i] = elsewhere + (1-elsewhere)*math.Exp(-d*d/2)
		most = math.Max(most, weights[i])
	}
	near := slices.Clone(c.pairs)
	for i := range near {
		near[i] = near[i].weighing(weights[i] / most)
	}
	return labOf(blend(fitAll(near)).Apply(seen))
}

// Spread is the uncertainty of what Near gives, noise of the pixels apart.
func (c *Correction) Spread(stored [3]float64, at card.Spot) colour.Spread {
	seen := c.tone.undo(stored, at)
	rgb := c.fitted.Apply(seen)
	lab := labOf(rgb)
	// The patches' errors, carried to this colour's own weights of lightness,
	// chroma and hue, and stretched where the model reaches out beyond them.
	back := weigh(lab).Inverse()
	errors := c.errors
	if c.fitted.root != nil {
		hat := c.fitted.leverage(Pair{seen, rgb, Perceived(rgb)})
		own := (hat[0][0] + hat[1][1] + hat[2][2]) / 3
		errors = errors.Times((1 + own) / (1 + c.reachOut))
	}
	s := sandwich(back, errors)
	s = s.Plus(colour.RoundSpread(c.ref.SD))
	// The light at the place, and the tone curve: all channels alike.
	sd := math.Hypot(c.tone.light.sd(at), 0.5*c.tone.SD)
	brighter := labOf(c.fitted.Apply([3]float64{seen[0] * (1 + sd), seen[1] * (1 + sd), seen[2] * (1 + sd)}))
	d := [3]float64{brighter.L - lab.L, brighter.A - lab.A, brighter.B - lab.B}
	for i := range 3 {
		for j := range 3 {
			s[i][j] += d[i] * d[j]
		}
	}
	return s
}

// sandwich carries a covariance through a matrix.
func sandwich(m colour.Matrix, s colour.Spread) colour.Spread {
	var turned colour.Matrix
	for i := range 3 {
		for j := range 3 {
			turned[i][j] = m[j][i]
		}
	}
	return colour.Spread(m.Times(colour.Matrix(s)).Times(turned))
}

// ToneSD is how far a grey's logarithm lies off the tone curve that was found.
func (c *Correction) ToneSD() float64 { return c.tone.SD }
