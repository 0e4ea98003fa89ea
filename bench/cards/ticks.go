package main

import (
	"fmt"
	"image"
	"math"
	"slices"

	"trug/science/card"
	"trug/science/measure"
)

// tickSigma is how well the place of a tick would be known, in pixels each way:
// as well as an edge of a tag, which is more than a line of a quarter of a
// millimetre allows.
const tickSigma = .1

// keptSeats are the tags left of the card, by how many.
var keptSeats = [5][]int{1: {3}, 2: {2, 3}, 3: {1, 2, 3}, 4: {0, 1, 2, 3}}

// ticked is what one photograph says: standard uncertainties in % of 50 mm.
type ticked struct {
	on, beside, onTicks, besideTicks float64 // of the plane alone
	all, allTicks                    float64 // of a fruitbody 50 mm wide beside the card
	offOn, offBeside, offHeight      float64 // how far they and the camera's height are truly off, in their uncertainties
}

// ticks asks what the ticks of the card's rulers could add to its plane, if each
// were found and seen as well as a tag's edge: with all tags, and with some of
// them painted over. The gain is an upper bound: by Bayes' rule for what is
// linear and normal, nothing of a bend is charged to the ticks.
func ticks(dir string, n int) error {
	s, err := benchSet(dir)
	if err != nil {
		return err
	}
	var finder card.Finder
	var got [5][]ticked
	looked := 0
	for _, p := range s.photos {
		if p.truth.Settings.SagMM != 0 || p.truth.Settings.NoCard || looked >= n {
			continue
		}
		g, lens, err := grey(p.path)
		if err != nil {
			return err
		}
		finder.Lens = lens
		whole := finder.FindGrey(g)
		if len(whole.Cards) == 0 || len(whole.Cards[0].Tags) < 4 {
			continue
		}
		looked++
		for left := 4; left > 0; left-- {
			seen := whole
			if left < 4 {
				seen = finder.FindGrey(without(g, &whole.Cards[0], keptSeats[left]))
			}
			if len(seen.Cards) == 0 || len(seen.Cards[0].Tags) != left {
				continue
			}
			if t, ok := gain(&seen.Cards[0], lens, &p); ok {
				got[left] = append(got[left], t)
			}
		}
	}
	fmt.Printf("%d photographs of flat cards; standard uncertainty of 50 mm in %%, median (p90): without the ticks -> with all of them\n", looked)
	for left := 4; left > 0; left-- {
		of := func(a, b func(ticked) float64) string {
			var v, w []float64
			for _, t := range got[left] {
				v, w = append(v, a(t)), append(w, b(t))
			}
			return fmt.Sprintf("%.3f (%.3f) -> %.3f (%.3f)", quantile(v, .5), quantile(v, .9), quantile(w, .5), quantile(w, .9))
		}
		fmt.Printf("%d tags, found in %d: on the card %s; 34 mm beside it %s; a fruitbody there, all sources %s\n", left, len(got[left]),
			of(func(t ticked) float64 { return t.on }, func(t ticked) float64 { return t.onTicks }),
			of(func(t ticked) float64 { return t.beside }, func(t ticked) float64 { return t.besideTicks }),
			of(func(t ticked) float64 { return t.all }, func(t ticked) float64 { return t.allTicks }))
		within := func(off func(ticked) float64) float64 {
			n := 0.
			for _, t := range got[left] {
				if off(t) <= 2 {
					n++
				}
			}
			return 100 * n / float64(max(len(got[left]), 1))
		}
		fmt.Printf("%30swithin twice their uncertainty: on %.0f %%, beside %.0f %%, the camera's height %.0f %%\n", "", within(func(t ticked) float64 { return t.offOn }),
			within(func(t ticked) float64 { return t.offBeside }), within(func(t ticked) float64 { return t.offHeight }))
	}
	return nil
}

// without paints over the tags that are not kept, white border and all.
func without(g *image.Gray, c *card.Found, kept []int) *image.Gray {
	out := &image.Gray{Pix: slices.Clone(g.Pix), Stride: g.Stride, Rect: g.Rect}
	for seat := range 4 {
		if slices.Contains(kept, seat) {
			continue
		}
		b := c.Layout.Tags[seat].Black
		rim := b.W / 8
		lo, hi := image.Point{math.MaxInt, math.MaxInt}, image.Point{}
		for _, s := range []card.Spot{{X: b.X - rim, Y: b.Y - rim}, {X: b.X + b.W + rim, Y: b.Y - rim}, {X: b.X + b.W + rim, Y: b.Y + b.H + rim}, {X: b.X - rim, Y: b.Y + b.H + rim}} {
			p := c.Plane.ToImage(s)
			lo.X, lo.Y = min(lo.X, int(p.X)), min(lo.Y, int(p.Y))
			hi.X, hi.Y = max(hi.X, int(p.X)+1), max(hi.Y, int(p.Y)+1)
		}
		for y := max(lo.Y, 0); y <= min(hi.Y, g.Rect.Dy()-1); y++ {
			for x := max(lo.X, 0); x <= min(hi.X, g.Rect.Dx()-1); x++ {
				s, ok := c.Plane.ToCard(card.Pixel{X: float64(x), Y: float64(y)})
				if ok && s.X > b.X-rim && s.Y > b.Y-rim && s.X < b.X+b.W+rim && s.Y < b.Y+b.H+rim {
					out.Pix[y*out.Stride+x] = 96
				}
			}
		}
	}
	return out
}

type draws = [card.PlaneDraws]float64

// gain is the plane's part in both lengths, without and with the ticks.
func gain(c *card.Found, lens card.Focal, p *photograph) (t ticked, ok bool) {
	var moved [card.PlaneDraws][2]card.Plane
	for i := range moved {
		for k, step := range []float64{1, -1} {
			var z draws
			z[i] = step
			if moved[i][k], ok = c.Plane.Drawn(z); !ok {
				return t, false
			}
		}
	}
	slope := func(of func(*card.Plane) float64) (g draws) {
		for i := range g {
			g[i] = (of(&moved[i][0]) - of(&moved[i][1])) / 2
		}
		return g
	}
	var know [card.PlaneDraws]draws // inverse covariance of the draws
	for i := range know {
		know[i][i] = 1
	}
	for _, r := range c.Layout.Rulers {
		n := int(math.Round(math.Hypot(float64(r.To.X-r.From.X), float64(r.To.Y-r.From.Y))))
		for k := range n + 1 {
			part := card.Millimetres(k) / card.Millimetres(n)
			at := card.Spot{X: r.From.X + part*(r.To.X-r.From.X), Y: r.From.Y + part*(r.To.Y-r.From.Y)}
			q := c.Plane.ToImage(at)
			if !(q.X > 0 && q.Y > 0 && q.X < float64(p.truth.Settings.Width) && q.Y < float64(p.truth.Settings.Height)) {
				continue
			}
			for _, g := range []draws{slope(func(p *card.Plane) float64 { return p.ToImage(at).X }), slope(func(p *card.Plane) float64 { return p.ToImage(at).Y })} {
				for i := range g {
					for j := range g {
						know[i][j] += g[i] * g[j] / (tickSigma * tickSigma)
					}
				}
			}
		}
	}
	of := func(ends [2][2]float64) (without, with float64) {
		g := slope(func(p *card.Plane) float64 {
			a, _ := p.ToCard(card.Pixel{X: ends[0][0], Y: ends[0][1]})
			b, _ := p.ToCard(card.Pixel{X: ends[1][0], Y: ends[1][1]})
			return math.Hypot(float64(a.X-b.X), float64(a.Y-b.Y))
		})
		x := solve(know, g)
		for i := range g {
			without += g[i] * g[i]
			with += g[i] * x[i]
		}
		return 2 * math.Sqrt(without), 2 * math.Sqrt(max(with, 0)) // of 50 mm in %
	}
	t.on, t.onTicks = of(p.truth.On)
	t.beside, t.besideTicks = of(p.truth.Beside)
	t.offOn, t.offBeside = lengthError(&c.Plane, p.truth.On)/math.Hypot(t.on, .02), lengthError(&c.Plane, p.truth.Beside)/math.Hypot(t.beside, .02)
	pose := c.Plane.Pose(lens)
	t.offHeight = math.Abs(float64(pose.Height)*p.truth.Settings.PrintScale-p.truth.CameraHeightMM) / float64(pose.HeightU)
	print, err := measure.ControlLine(100)
	if err != nil {
		return t, false
	}
	scene := measure.Scene{Card: c, Pose: c.Plane.Pose(lens), Print: print, Above: measure.Range{From: -2, To: 2}, Placing: .25}
	m, err := scene.Length(card.Pixel{X: p.truth.Beside[0][0], Y: p.truth.Beside[0][1]}, card.Pixel{X: p.truth.Beside[1][0], Y: p.truth.Beside[1][1]})
	if err != nil {
		return t, false
	}
	t.all = 100 * float64(m.Expanded) / 2 / float64(m.Value)
	t.allTicks = math.Sqrt(max(t.all*t.all-t.beside*t.beside+t.besideTicks*t.besideTicks, 0))
	return t, true
}

// solve solves a x = b for a symmetric positive definite a, by Gauss.
func solve(a [card.PlaneDraws]draws, b draws) draws {
	for i := range b {
		for r := i + 1; r < len(b); r++ {
			k := a[r][i] / a[i][i]
			for c := i; c < len(b); c++ {
				a[r][c] -= k * a[i][c]
			}
			b[r] -= k * b[i]
		}
	}
	for i := len(b) - 1; i >= 0; i-- {
		for c := i + 1; c < len(b); c++ {
			b[i] -= a[i][c] * b[c]
		}
		b[i] /= a[i][i]
	}
	return b
}
