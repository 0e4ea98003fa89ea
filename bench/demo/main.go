// Command demo measures the caps of the invented season in its photographs and
// prints what it measured beside what the painter drew.
//
//	go run ./bench/demo -n 60
//
// Each photograph from above in which the card lies is drawn, the card found and
// the outline proposed from one tap, placed at random within a third of the cap's
// radius from its middle. What the painter drew is asked for the tap, for the
// last column, and for what a recorder would have said of the rim's height: a
// span 2 to 12 mm wider than the rim's own, which rises and falls about the
// card's middle. Finds that are not round from above (brackets, corals and
// the like) have no greatest width that is told, and are left out.
package main

import (
	"bytes"
	"context"
	"flag"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"slices"

	"trug/internal/demo"
	"trug/science/card"
	"trug/science/measure"
	"trug/science/photo"
)

func main() {
	n := flag.Int("n", 60, "how many photographs to draw")
	flag.Parse()
	if err := run(*n); err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(1)
	}
}

// tally counts what became of the photographs.
type tally struct {
	drawn, found, refused, inside int
	errors                        []float64 // parts of the true width
	finder                        card.Finder
	rand                          *rand.Rand
}

func run(n int) error {
	season := demo.Load("2026-11-25")
	t := &tally{rand: rand.New(rand.NewPCG(5, 2026))}
	fmt.Println("photograph\tmeasured mm\tgive or take\ttrue mm\toff %\twithin")
	for _, p := range season.Pictures {
		truth, ok := p.TrueWidth()
		if !ok || t.drawn >= n {
			continue
		}
		if err := t.one(p, truth); err != nil {
			return fmt.Errorf("%s: %w", p.FileName, err)
		}
	}
	slices.Sort(t.errors)
	if len(t.errors) == 0 {
		return fmt.Errorf("nothing was measured in %d photographs", t.drawn)
	}
	fmt.Printf("%d photographs: card found in %d; %d outlines refused; %d measured, middle error %.2f %%, 95th percentile %.2f %%; %d of %d within what was stated (%.1f %%)\n",
		t.drawn, t.found, t.refused, len(t.errors), 100*t.errors[len(t.errors)/2], 100*t.errors[len(t.errors)*95/100], t.inside, len(t.errors), 100*float64(t.inside)/float64(len(t.errors)))
	return nil
}

func (t *tally) one(p demo.Picture, truth float64) error {
	t.drawn++
	raw, err := p.Draw()
	if err != nil {
		return err
	}
	img, err := photo.Upright(context.Background(), raw, photo.Limits{})
	if err != nil {
		return err
	}
	facts, err := photo.Read(context.Background(), bytes.Clone(raw), photo.Limits{})
	if err != nil {
		return err
	}
	t.finder.Lens = card.Film35(facts.Lens35(), img.Rect.Dx(), img.Rect.Dy())
	seen := t.finder.Find(img)
	if len(seen.Cards) == 0 {
		fmt.Printf("%s\tno card\n", p.FileName)
		return nil
	}
	t.found++
	found := &seen.Cards[0]
	scene := measure.Scene{Card: found, Print: measure.TrueToSize(), Pose: found.Plane.Pose(t.finder.Lens)}
	tap, ok := t.tap(found, truth, float64(img.Rect.Dx()), float64(img.Rect.Dy()))
	if !ok {
		fmt.Printf("%s\tthe cap lies outside\n", p.FileName)
		return nil
	}
	o, err := scene.Propose(measure.NewPicture(img), tap)
	if err != nil {
		t.refused++
		fmt.Printf("%s\trefused: %v\n", p.FileName, err)
		return nil
	}
	scene.Placing = o.Placing
	scene.Above = t.said(p.RimWave())
	shape, err := scene.Outline(o.Points)
	if err != nil {
		return err
	}
	got, u := float64(shape.Width.Value), float64(shape.Width.U95)
	within := math.Abs(got-truth) <= u
	if within {
		t.inside++
	}
	t.errors = append(t.errors, math.Abs(got/truth-1))
	fmt.Printf("%s\t%.1f\t%.1f\t%.1f\t%+.1f\t%v\n", p.FileName, got, u, truth, 100*(got/truth-1), within)
	return nil
}

// said is what a recorder says of how far the rim stands above the card: its
// lowest and its highest place lie anywhere in it.
func (t *tally) said(wave float64) measure.Range {
	w := 2 + 10*t.rand.Float64()
	from := -wave - w*t.rand.Float64()
	return measure.Range{From: measure.Millimetres(from), To: measure.Millimetres(from + 2*wave + w)}
}

// tap is a place on the cap, which lies 14 mm beside the card, to its left or
// right: where the picture holds it.
func (t *tally) tap(found *card.Found, truth, width, height float64) (card.Pixel, bool) {
	r := truth / 2
	away := max(r, 24) + 14 + float64(found.Layout.Width)/2
	angle, far := 2*math.Pi*t.rand.Float64(), r/3*math.Sqrt(t.rand.Float64())
	m := found.Plane.Middle()
	for _, side := range []float64{-1, 1} {
		q := found.Plane.ToImage(card.Spot{X: m.X + card.Millimetres(side*away+far*math.Cos(angle)), Y: m.Y + card.Millimetres(far*math.Sin(angle))})
		if q.X > 0 && q.Y > 0 && q.X < width-1 && q.Y < height-1 {
			return q, true
		}
	}
	return card.Pixel{}, false
}
