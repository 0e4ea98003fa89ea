package main

import (
	"trug/science/card"
	"trug/science/colour"
	"trug/science/truecolour"
)

// oracle fits the same model to the things' own true colours as this camera sees
// them in this light: all things of the bench, with the tone curve undone exactly
// and no light field or noise in between. Nobody who has a card alone can do
// better with that model.
type oracle struct {
	scene  *scene
	fitted *truecolour.Fitted
	white  [3]float64
}

func newOracle(s *scene, m truecolour.Model, odd int) *oracle {
	o := &oracle{scene: s}
	// Balanced on the card's paper, as the card would be.
	paper := trueLab(s.fields[""]).XYZ(colour.D65).SRGB()
	seen := o.untone(s.camera.develop(s.sees(s.fields[""])))
	for c, v := range [3]float64{paper.R, paper.G, paper.B} {
		o.white[c] = v / seen[c]
	}
	var pairs []truecolour.Pair
	for k := odd; k < len(subjects); k += 2 {
		lin := trueLab(subjects[k].spectrum).XYZ(colour.D65).SRGB()
		t := [3]float64{lin.R, lin.G, lin.B}
		pairs = append(pairs, truecolour.Pair{Seen: o.balanced(s.camera.develop(s.sees(subjects[k].spectrum))), True: t, Metric: truecolour.Perceived(t)})
	}
	o.fitted, _ = truecolour.Fit(m, pairs, 1e-6)
	return o
}

func (o *oracle) untone(encoded [3]float64) (v [3]float64) {
	for c := range v {
		v[c] = colour.Decode(o.scene.camera.untone(encoded[c]))
	}
	return v
}

func (o *oracle) balanced(encoded [3]float64) [3]float64 {
	v := o.untone(encoded)
	for c := range v {
		v[c] *= o.white[c]
	}
	return v
}

// lab is the oracle's answer for a thing as it was photographed: its stored light,
// and the field there, which the oracle knows.
func (o *oracle) lab(stored [3]float64, at card.Spot) colour.Lab {
	var encoded [3]float64
	for c := range encoded {
		encoded[c] = colour.Encode(stored[c])
	}
	v := o.balanced(encoded)
	p := o.scene.plane.ToImage(at)
	f := o.scene.field(p.X, p.Y)
	for c := range v {
		v[c] /= f
	}
	rgb := o.fitted.Apply(v)
	return colour.LinearRGB{R: rgb[0], G: rgb[1], B: rgb[2]}.XYZ().Lab(colour.D65)
}
