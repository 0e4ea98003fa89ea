package main

import (
	"encoding/json"
	"fmt"
	"image"
	"image/draw"
	"image/jpeg"
	"math"
	"os"
	"path/filepath"
	"slices"

	"trug/bench/render"
	"trug/science/card"
	"trug/science/sharpness"
	"trug/science/view"
)

// tally is how many agreed, of how many.
type tally struct{ agreed, all int }

func (t *tally) add(ok bool) {
	t.all++
	if ok {
		t.agreed++
	}
}

func (t tally) String() string {
	return fmt.Sprintf("%.1f %% (%d of %d)", 100*float64(t.agreed)/float64(max(t.all, 1)), t.agreed, t.all)
}

// results are what came of all photographs.
type results struct {
	all, found, moved tally
	byKind            map[string]*tally
	ratios            []float64
	unknown           int
	finder            card.Finder
}

func read(dir string, given, verbose bool) error {
	names, err := filepath.Glob(filepath.Join(dir, "sharp_*.json"))
	if err != nil || len(names) == 0 {
		return fmt.Errorf("%q holds no photographs: draw them first", dir)
	}
	slices.Sort(names)
	r := results{byKind: map[string]*tally{}}
	for _, name := range names {
		text, err := os.ReadFile(name)
		if err != nil {
			return err
		}
		var truth render.Truth
		if err := json.Unmarshal(text, &truth); err != nil {
			return err
		}
		img, err := decode(name[:len(name)-len("json")] + "jpg")
		if err != nil {
			return err
		}
		if err := r.one(img, &truth, given, verbose); err != nil {
			return fmt.Errorf("%s: %w", name, err)
		}
	}
	r.print(given)
	return nil
}

// one reads a photograph.
func (r *results) one(img *image.RGBA, truth *render.Truth, given, verbose bool) error {
	s, body := truth.Settings, truth.Bodies[0]
	drawn := outlined(img, body.OutlinePx)
	if drawn == nil {
		return fmt.Errorf("the fruitbody lies outside the picture")
	}
	got, widthSeen := sharpness.Reading{}, math.Hypot(body.EndsPx[0][0]-body.EndsPx[1][0], body.EndsPx[0][1]-body.EndsPx[1][1])
	width := widthSeen
	if given {
		got = drawn.Sharpness(img)
	} else {
		subject := r.find(img)
		got, widthSeen = subject.Sharpness(img), subject.WidthPx
		r.found.add(alike(drawn, subject) > .7)
	}
	// A pixel spreads by a twelfth of its square, a movement by a twelfth of its
	// square in one of two directions.
	still := math.Sqrt(s.BodyBlur*s.BodyBlur + 1./12)
	mean := math.Sqrt(still*still + s.MotionPx*s.MotionPx/24)
	purpose := purposeOf(s.Seed)
	want := sharpness.Enough(mean, width, purpose)
	ok := (got.Known && sharpness.Enough(got.Blur, widthSeen, purpose)) == want
	kind := "subject and background alike"
	switch {
	case s.Blur < s.BodyBlur/2:
		kind = "sharp background, soft subject"
	case s.Blur > 2*s.BodyBlur:
		kind = "soft background, sharp subject"
	}
	if r.byKind[kind] == nil {
		r.byKind[kind] = &tally{}
	}
	r.all.add(ok)
	r.byKind[kind].add(ok)
	r.moved.add(got.Moved == (s.MotionPx > 3*still))
	if got.Known {
		r.ratios = append(r.ratios, got.Blur/mean)
	} else {
		r.unknown++
	}
	if verbose {
		fmt.Printf("%d %-5v true %5.2f read %5.2f ratio %.2f | size %d lens %.2f moved %.1f at %.0f (along %.2f across %.2f at %.0f moved %v) sharpen %.1f noise %.1f edges %d seen %.0f behind %.2f width %.0f limit %.2f want %v\n",
			s.Seed, ok, mean, got.Blur, got.Blur/mean, s.Width, still, s.MotionPx, s.MotionDeg, got.Along, got.Across, got.Direction, got.Moved, s.Sharpen, s.Noise, got.Edges, widthSeen, s.Blur, width, sharpness.Most(width, purpose), want)
	}
	return nil
}

// find looks for the card and the subject as the phone does.
func (r *results) find(img *image.RGBA) *view.Subject {
	var found *card.Found
	if seen := r.finder.Find(img); len(seen.Cards) > 0 {
		found = &seen.Cards[0]
	}
	return view.Find(img, found)
}

// alike is the part of two regions' union that is in both.
func alike(a, b *view.Subject) float64 {
	both, either := 0, 0
	all := a.Rect().Union(b.Rect())
	for y := all.Min.Y; y < all.Max.Y; y += 3 {
		for x := all.Min.X; x < all.Max.X; x += 3 {
			p, q := a.In(x, y), b.In(x, y)
			if p && q {
				both++
			}
			if p || q {
				either++
			}
		}
	}
	return float64(both) / float64(max(either, 1))
}

func (r *results) print(given bool) {
	fmt.Printf("sharp enough for its purpose, or not: agrees in %v; nothing to be read in %d\n", r.all, r.unknown)
	kinds := make([]string, 0, len(r.byKind))
	for k := range r.byKind {
		kinds = append(kinds, k)
	}
	slices.Sort(kinds)
	for _, k := range kinds {
		fmt.Printf("  %s: %v\n", k, r.byKind[k])
	}
	if !given {
		fmt.Printf("subject found, seven tenths of its area and no other: %v\n", r.found)
	}
	slices.Sort(r.ratios)
	q := func(p float64) float64 { return r.ratios[int(p*float64(len(r.ratios)-1))] }
	if len(r.ratios) > 0 {
		fmt.Printf("blur read over true: 5 %% %.2f, 25 %% %.2f, median %.2f, 75 %% %.2f, 95 %% %.2f\n", q(.05), q(.25), q(.5), q(.75), q(.95))
	}
	fmt.Printf("the hand moved, or not: %v\n", r.moved)
}

func decode(name string) (*image.RGBA, error) {
	f, err := os.Open(name)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	img, err := jpeg.Decode(f)
	if err != nil {
		return nil, err
	}
	out := image.NewRGBA(img.Bounds())
	draw.Draw(out, out.Rect, img, image.Point{}, draw.Src)
	return out, nil
}

// outlined is the fruitbody within an outline.
func outlined(img *image.RGBA, outline [][2]float64) *view.Subject {
	var points []card.Pixel
	for _, p := range outline {
		points = append(points, card.Pixel{X: p[0], Y: p[1]})
	}
	return view.SubjectOf(img.Rect, points)
}
