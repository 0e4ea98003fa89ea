package main

import (
	"bytes"
	"context"
	"fmt"
	"image"
	"image/draw"
	"image/jpeg"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"

	"trug/bench/render"
	"trug/science/card"
	"trug/science/measure"
	"trug/science/photo"
)

// size is one fruitbody measured.
type size struct {
	file                  string
	truth, value, u95     float64
	tilt, blur, above, px float64
	share                 float64
	ideal                 float64 // half the interval that holds the true sources alone
	contrast              float64
	largest               measure.Source
}

// sizes measures every fruitbody of the bench from one tap at random in it.
func sizes(dir string, verbose, control bool) error {
	paths, err := filepath.Glob(filepath.Join(dir, "bench_*.jpg"))
	if err != nil || len(paths) == 0 {
		return fmt.Errorf("%s holds no photograph of the bench: draw them first", dir)
	}
	var all []size
	var finder card.Finder
	refused, noCard := 0, 0
	for _, p := range paths {
		truth, err := truthOf(p)
		if err != nil {
			continue // still being drawn
		}
		raw, err := os.ReadFile(p)
		if err != nil {
			return err
		}
		got, left, err := measureAll(&finder, raw, truth, control)
		if err != nil {
			return fmt.Errorf("%s: %w", p, err)
		}
		if got == nil {
			noCard++
		}
		refused += left
		for i := range got {
			got[i].file = filepath.Base(p)
			if verbose {
				g := got[i]
				mark := ""
				if math.Abs(g.value-g.truth) > g.u95 {
					mark = " OUT"
				}
				fmt.Printf("%s %7.2f mm, truly %7.2f, error %6.2f, u95 %5.2f (ideal %.2f), %4.1f px/mm contrast %4.1f tilt %2.0f blur %.1f: %s%s\n", g.file, g.value, g.truth, g.value-g.truth, g.u95, g.ideal, g.px, g.contrast, g.tilt, g.blur, g.largest, mark)
			}
		}
		all = append(all, got...)
	}
	fmt.Printf("%d fruitbodies measured, %d without an outline, %d photographs without a card\n", len(all), refused, noCard)
	report(all)
	return nil
}

func measureAll(finder *card.Finder, raw []byte, truth *render.Truth, control bool) (out []size, refused int, err error) {
	img, err := jpeg.Decode(bytes.NewReader(raw))
	if err != nil {
		return nil, 0, err
	}
	facts, err := photo.Read(context.Background(), raw, photo.Limits{})
	if err != nil {
		return nil, 0, err
	}
	y := img.(*image.YCbCr)
	s := finder.Find(&image.Gray{Pix: y.Y, Stride: y.YStride, Rect: y.Rect})
	if len(s.Cards) == 0 || truth.Settings.NoCard {
		return nil, 0, nil
	}
	rgba := image.NewRGBA(img.Bounds())
	draw.Draw(rgba, rgba.Rect, img, image.Point{}, draw.Src)
	picture := measure.NewPicture(rgba)
	r := rand.New(rand.NewPCG(truth.Settings.Seed, 0x74617073))
	found := &s.Cards[0]
	scene := measure.Scene{Card: found, Pose: found.Plane.Pose(card.Film35(facts.FocalLength35, facts.Width, facts.Height)), Print: measure.UnknownPrint()}
	t := truth.Settings
	if control && t.ControlLine {
		line := math.Round(100*t.PrintScale*2) / 2 // read to half a millimetre
		if scene.Print, err = measure.ControlLine(measure.Millimetres(line)); err != nil {
			return nil, 0, err
		}
	} else if control {
		return []size{}, 0, nil
	}
	for _, b := range truth.Bodies {
		// What the recorder says of the height holds the truth anywhere in it.
		w := 2 + 10*r.Float64()
		from := b.AboveMM - w*r.Float64()
		scene.Above = measure.Range{From: measure.Millimetres(from), To: measure.Millimetres(from + w)}
		tap := tapIn(r, b)
		px := found.Plane.PxPerMM(found.Plane.Middle())
		shape, err := picture.Propose(tap, px*80)
		if err != nil {
			refused++
			continue
		}
		scene.Placing = shape.Placing
		m, err := scene.Outline(shape.Points)
		if err != nil {
			refused++
			continue
		}
		out = append(out, size{truth: b.WidthMM, value: float64(m.Width.Value), u95: float64(m.Width.U95), tilt: t.TiltDeg, blur: t.Blur,
			above: b.AboveMM, share: t.Share, px: px, contrast: shape.Contrast, largest: m.Width.Budget[0].Source,
			ideal: b.WidthMM * .95 * math.Hypot(w/2/truth.CameraHeightMM, scene.Print.U*math.Sqrt(3)/scene.Print.Value)})
	}
	return out, refused, nil
}

// tapIn is a point anywhere inside a fruitbody.
func tapIn(r *rand.Rand, b render.BodyTruth) card.Pixel {
	o := b.OutlinePx[r.IntN(len(b.OutlinePx))]
	k := .9 * math.Sqrt(r.Float64())
	return card.Pixel{X: b.MiddlePx[0] + k*(o[0]-b.MiddlePx[0]), Y: b.MiddlePx[1] + k*(o[1]-b.MiddlePx[1])}
}

// report prints coverage overall and by tenths of what matters.
func report(all []size) {
	line := func(what string, v []size) {
		in := 0
		var width, ideal, e []float64
		for _, s := range v {
			if math.Abs(s.value-s.truth) <= s.u95 {
				in++
			}
			width, ideal = append(width, 2*s.u95), append(ideal, 2*s.ideal)
			e = append(e, math.Abs(s.value/s.truth-1)*100)
		}
		fmt.Printf("%-28s %4d  inside %5.1f %%  error median/p95 %.2f / %.2f %%  median width %.2f mm, of the true sources alone %.2f\n", what, len(v),
			100*float64(in)/float64(max(len(v), 1)), quantile(e, .5), quantile(e, .95), quantile(width, .5), quantile(ideal, .5))
	}
	line("all", all)
	for name, key := range map[string]func(size) float64{"tilt": func(s size) float64 { return s.tilt }, "blur": func(s size) float64 { return s.blur },
		"height offset": func(s size) float64 { return s.above }, "card share": func(s size) float64 { return s.share }} {
		v := sortedBy(all, key)
		for i := range 10 {
			part := v[i*len(v)/10 : (i+1)*len(v)/10]
			if len(part) > 0 {
				line(strings.Join([]string{name, fmt.Sprintf("%.2f-%.2f", key(part[0]), key(part[len(part)-1]))}, " "), part)
			}
		}
	}
}
