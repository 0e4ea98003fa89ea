package main

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"image"
	"image/draw"
	"image/jpeg"
	"io/fs"
	"maps"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"trug/bench/render"
	"trug/science/card"
	"trug/science/measure"
	"trug/science/photo"
)

// size is one fruitbody measured.
type size struct {
	File              string
	Truth, Value, U95 float64
	Tilt, Blur, Above float64
	Share, PxPerMM    float64
	Ideal             float64 // half the interval that holds the true sources alone
	Sure              float64
	Outline           float64 // how much wider it is than by the true outline, %
	Control           bool    // the control line was typed in
	Bent              bool    // truly
	Largest           measure.Source
}

// sized is what came of a photograph.
type sized struct {
	Sizes   []size
	Refused map[string]int // by why
	NoCard  bool
}

// sizes measures every fruitbody of the bench from one tap at random in it.
// With keep, what came of a photograph is kept beside it, and taken from there
// the next time.
func sizes(dir string, verbose, keep bool) error {
	paths, err := filepath.Glob(filepath.Join(dir, "bench_*.jpg"))
	if err != nil || len(paths) == 0 {
		return fmt.Errorf("%s holds no photograph of the bench: draw them first", dir)
	}
	var all []size
	var finder card.Finder
	refused := map[string]int{}
	noCard, photos := 0, 0
	for _, p := range paths {
		got, err := sizesOf(&finder, p, keep)
		if errors.Is(err, fs.ErrNotExist) {
			continue // still being drawn
		}
		if err != nil {
			return fmt.Errorf("%s: %w", p, err)
		}
		photos++
		if got.NoCard {
			noCard++
		}
		for why, n := range got.Refused {
			refused[why] += n
		}
		all = append(all, got.Sizes...)
		if verbose {
			for _, g := range got.Sizes {
				g.tell()
			}
		}
	}
	left := 0
	for _, n := range refused {
		left += n
	}
	fmt.Printf("%d photographs, %d without a card or with none found; %d fruitbodies measured, %d refused (%.1f %%)\n", photos, noCard, len(all), left, 100*float64(left)/float64(max(left+len(all), 1)))
	for _, why := range slices.Sorted(maps.Keys(refused)) {
		fmt.Printf("  %4d %s\n", refused[why], why)
	}
	report(all)
	return nil
}

func (g *size) tell() {
	mark := ""
	if math.Abs(g.Value-g.Truth) > g.U95 {
		mark = " OUT"
	}
	fmt.Printf("%s %7.2f mm, truly %7.2f, error %6.2f, u95 %5.2f (ideal %.2f), outline %+.2f %%, sure %.2f, %4.1f px/mm tilt %2.0f blur %.1f control %v bent %v: %s%s\n", g.File, g.Value, g.Truth, g.Value-g.Truth, g.U95, g.Ideal, g.Outline, g.Sure, g.PxPerMM, g.Tilt, g.Blur, g.Control, g.Bent, g.Largest, mark)
}

func sizesOf(finder *card.Finder, path string, keep bool) (out sized, err error) {
	beside := strings.TrimSuffix(path, ".jpg") + ".sizes"
	if raw, err := os.ReadFile(beside); keep && err == nil {
		return out, json.Unmarshal(raw, &out)
	}
	truth, err := truthOf(path)
	if err != nil {
		return out, err
	}
	raw, err := os.ReadFile(path)
	if err != nil {
		return out, err
	}
	if out, err = measureAll(finder, raw, truth); err != nil || !keep {
		return out, err
	}
	for i := range out.Sizes {
		out.Sizes[i].File = filepath.Base(path)
	}
	kept, err := json.Marshal(out)
	if err != nil {
		return out, err
	}
	return out, os.WriteFile(beside, kept, 0o644)
}

func measureAll(finder *card.Finder, raw []byte, truth *render.Truth) (out sized, err error) {
	img, err := jpeg.Decode(bytes.NewReader(raw))
	if err != nil {
		return out, err
	}
	facts, err := photo.Read(context.Background(), raw, photo.Limits{})
	if err != nil {
		return out, err
	}
	rgba := image.NewRGBA(img.Bounds())
	draw.Draw(rgba, rgba.Rect, img, image.Point{}, draw.Src)
	finder.Lens = card.Film35(facts.Lens35(), facts.Width, facts.Height)
	s := finder.Find(rgba)
	if len(s.Cards) == 0 || truth.Settings.NoCard {
		out.NoCard = true
		return out, nil
	}
	picture := measure.NewPicture(rgba)
	r := rand.New(rand.NewPCG(truth.Settings.Seed, 0x74617073))
	found := &s.Cards[0]
	scene := measure.Scene{Card: found, Pose: found.Plane.Pose(finder.Lens), Print: measure.UnknownPrint()}
	if truth.Settings.ControlLine {
		line := math.Round(100*truth.Settings.PrintScale*2) / 2 // read to half a millimetre
		if scene.Print, err = measure.ControlLine(measure.Millimetres(line)); err != nil {
			return out, err
		}
	}
	out.Refused = map[string]int{}
	for _, b := range truth.Bodies {
		got, err := measureOne(&scene, picture, b, truth, r)
		if err != nil {
			out.Refused[err.Error()]++
			continue
		}
		out.Sizes = append(out.Sizes, got)
	}
	return out, nil
}

// measureOne measures a fruitbody from a tap at random in it.
func measureOne(scene *measure.Scene, picture *measure.Picture, b render.BodyTruth, truth *render.Truth, r *rand.Rand) (size, error) {
	// What the recorder says of the height holds the truth anywhere in it.
	w := 2 + 10*r.Float64()
	from := b.AboveMM - w*r.Float64()
	scene.Above = measure.Range{From: measure.Millimetres(from), To: measure.Millimetres(from + w)}
	shape, err := scene.Propose(picture, tapIn(r, b))
	if err != nil {
		return size{}, err
	}
	scene.Placing = shape.Placing
	m, err := scene.Outline(shape.Points)
	if err != nil {
		return size{}, err
	}
	var points []card.Pixel
	for _, q := range b.OutlinePx {
		points = append(points, card.Pixel{X: q[0], Y: q[1]})
	}
	right, err := scene.Outline(points)
	if err != nil {
		return size{}, err
	}
	t := truth.Settings
	return size{Truth: b.WidthMM, Value: float64(m.Width.Value), U95: float64(m.Width.U95), Tilt: t.TiltDeg, Blur: t.Blur, Above: b.AboveMM, Share: t.Share,
		PxPerMM: scene.Card.Plane.PxPerMM(scene.Card.Plane.Middle()), Sure: shape.Sure, Outline: 100 * float64(m.Width.Value/right.Width.Value-1),
		Control: t.ControlLine, Bent: t.SagMM != 0, Largest: m.Width.Budget[0].Source,
		Ideal: b.WidthMM * .95 * math.Hypot(w/2/truth.CameraHeightMM, scene.Print.U*math.Sqrt(3)/scene.Print.Value)}, nil
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
		var width, ideal, e, outline []float64
		for _, s := range v {
			if math.Abs(s.Value-s.Truth) <= s.U95 {
				in++
			}
			width, ideal = append(width, 2*s.U95), append(ideal, 2*s.Ideal)
			e, outline = append(e, math.Abs(s.Value/s.Truth-1)*100), append(outline, math.Abs(s.Outline))
		}
		fmt.Printf("%-26s %4d  inside %5.1f %%  error median/p95 %.2f / %.2f %%  by the outline alone %.2f / %.2f %%  median width %.2f mm, of the true sources alone %.2f\n", what, len(v),
			100*float64(in)/float64(max(len(v), 1)), quantile(e, .5), quantile(e, .95), quantile(outline, .5), quantile(outline, .95), quantile(width, .5), quantile(ideal, .5))
	}
	only := func(of func(size) bool) []size {
		return slices.DeleteFunc(slices.Clone(all), func(s size) bool { return !of(s) })
	}
	line("all", all)
	line("control line typed in", only(func(s size) bool { return s.Control }))
	line("control line unknown", only(func(s size) bool { return !s.Control }))
	line("card flat", only(func(s size) bool { return !s.Bent }))
	line("card bent", only(func(s size) bool { return s.Bent }))
	for _, by := range []struct {
		name string
		key  func(size) float64
	}{{"tilt", func(s size) float64 { return s.Tilt }}, {"blur", func(s size) float64 { return s.Blur }},
		{"height offset", func(s size) float64 { return s.Above }}, {"card share", func(s size) float64 { return s.Share }}} {
		v := sortedBy(all, by.key)
		for i := range 10 {
			if part := v[i*len(v)/10 : (i+1)*len(v)/10]; len(part) > 0 {
				line(fmt.Sprintf("%s %.2f to %.2f", by.name, by.key(part[0]), by.key(part[len(part)-1])), part)
			}
		}
	}
}
