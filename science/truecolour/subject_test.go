package truecolour

import (
	"errors"
	"image"
	"math"
	"math/rand/v2"
	"testing"

	"trug/science/card"
	"trug/science/colour"
)

var (
	pale, ochre, dark = colour.Lab{L: 80, A: 2, B: 18}, colour.Lab{L: 60, A: 14, B: 42}, colour.Lab{L: 35, A: 16, B: 18}
	moss              = colour.Lab{L: 40, A: -12, B: 22}
	capAt             = card.Spot{X: 45, Y: -30}
)

// cap is a fungus of 20 mm radius with a dark centre, an ochre zone and a pale
// rim, on moss.
func ringed(s card.Spot) [3]float64 {
	switch r := math.Hypot(float64(s.X-capAt.X), float64(s.Y-capAt.Y)); {
	case r < 20.0/3:
		return linearOf(dark)
	case r < 40.0/3:
		return linearOf(ochre)
	case r < 20:
		return linearOf(pale)
	default:
		return linearOf(moss)
	}
}

func capOutline(plane *card.Plane, bounds image.Rectangle, t testing.TB) *Region {
	t.Helper()
	var corners []card.Pixel
	for i := range 60 {
		a := 2 * math.Pi * float64(i) / 60
		corners = append(corners, plane.ToImage(card.Spot{X: capAt.X + 20*card.Millimetres(math.Cos(a)), Y: capAt.Y + 20*card.Millimetres(math.Sin(a))}))
	}
	r, err := Outline(bounds, corners)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// TestPaletteOfRings: three rings are three colours, each in its zone, with its
// share, although camera and light are at fault.
func TestPaletteOfRings(t *testing.T) {
	l := pocket(t)
	ref := whole(l)
	const w, h = 480, 480
	plane := flat(t, l, w, h, 60, 230, 4)
	img := draw(l, ref, plane, w, h, phone, ringed)
	got, err := Measure(img, plane, l, ref, false, capOutline(plane, img.Rect, t))
	if err != nil {
		t.Fatal(err)
	}
	if got.Stopped() || got.Palette == nil {
		t.Fatalf("stopped: %+v", got.Advice)
	}
	if n := len(got.Palette.Colours); n != 3 {
		t.Fatalf("%d colours: %+v", n, got.Palette.Colours)
	}
	for _, c := range []struct {
		want  colour.Lab
		zone  Zone
		share float64
	}{{pale, Rim, 5.0 / 9}, {ochre, Middle, 3.0 / 9}, {dark, Centre, 1.0 / 9}} {
		best := got.Palette.Colours[0]
		for _, m := range got.Palette.Colours {
			if colour.Difference(m.Lab, c.want) < colour.Difference(best.Lab, c.want) {
				best = m
			}
		}
		if d := colour.Difference(best.Lab, c.want); d > 2 {
			t.Errorf("%s: %v is off by %.2f", c.zone, best.Lab, d)
		}
		// Edges are left out, so the rim's share falls a little.
		if math.Abs(best.Share-c.share) > 0.08 || best.Zones[c.zone] < 0.85 {
			t.Errorf("%s: share %.2f, zones %.2f", c.zone, best.Share, best.Zones)
		}
	}
	sum := 0.0
	where := map[string]bool{}
	for _, m := range got.Palette.Colours {
		sum += m.Share
		told := m.Tell()
		where[told.Where()] = true
		if told.Name == "" || told.Munsell == "" || told.Ridgway == "" || told.GiveOrTake <= 0 || len(told.Blocks) == 0 || len(told.Swatch) != 7 {
			t.Errorf("%+v", told)
		}
		t.Logf("%s: %s", told.Where(), told)
	}
	if !where["rim"] || !where["middle zone"] || !where["centre"] {
		t.Errorf("they sit at %v", where)
	}
	if math.Abs(sum-1) > 1e-9 {
		t.Errorf("shares add up to %g", sum)
	}
}

// TestOneColourStaysOne: texture and shading make no second colour, and shine is
// left out.
func TestOneColourStaysOne(t *testing.T) {
	l := pocket(t)
	ref := whole(l)
	const w, h = 480, 480
	plane := flat(t, l, w, h, 60, 230, 4)
	base := linearOf(ochre)
	img := draw(l, ref, plane, w, h, phone, func(s card.Spot) [3]float64 {
		dx, dy := float64(s.X-capAt.X), float64(s.Y-capAt.Y)
		if math.Hypot(dx-5, dy+5) < 3 {
			return [3]float64{0.98, 0.98, 0.98} // a mirror of the sky
		}
		v := base
		for c := range v {
			v[c] *= 1 + 0.12*math.Sin(3*dx)*math.Cos(2*dy)
		}
		return v
	})
	got, err := Measure(img, plane, l, ref, false, capOutline(plane, img.Rect, t))
	if err != nil {
		t.Fatal(err)
	}
	if got.Palette == nil || len(got.Palette.Colours) != 1 {
		t.Fatalf("%+v", got)
	}
	if d := colour.Difference(got.Palette.Mean.Lab, ochre); d > 2 {
		t.Errorf("off by %.2f: %v", d, got.Palette.Mean.Lab)
	}
	if s := got.Palette.Highlights; math.Abs(s-9.0/400) > 0.012 {
		t.Errorf("shine is %.3f, want about %.3f", s, 9.0/400)
	}
}

// TestSampleCardRejectsDirt: a leaf over a third of a patch changes its sample
// little; half a patch in shadow is not used.
func TestSampleCardRejectsDirt(t *testing.T) {
	l := pocket(t)
	ref := whole(l)
	const w, h = 640, 460
	plane := flat(t, l, w, h, 50, 50, 6)
	clean := draw(l, ref, plane, w, h, phone, plain(moss))
	dirty := image.NewRGBA(clean.Rect)
	copy(dirty.Pix, clean.Pix)
	patch, _ := l.Patch("ochre")
	half, _ := l.Patch("rust")
	paint := func(b card.Box, from, to float64, v uint8) {
		p, q := plane.ToImage(card.Spot{X: b.X + b.W*card.Millimetres(from), Y: b.Y}), plane.ToImage(card.Spot{X: b.X + b.W*card.Millimetres(to), Y: b.Y + b.H})
		for y := int(p.Y); y < int(q.Y); y++ {
			for x := int(p.X); x < int(q.X); x++ {
				o := dirty.PixOffset(x, y)
				dirty.Pix[o], dirty.Pix[o+1], dirty.Pix[o+2] = v, v, v
			}
		}
	}
	paint(patch.Box, 0, 0.35, 20)
	paint(half.Box, 0, 0.5, 15)
	find := func(all []Sample, id string) Sample {
		for _, s := range all {
			if s.ID == id {
				return s
			}
		}
		t.Fatal("no sample ", id)
		return Sample{}
	}
	a, b := find(SampleCard(clean, plane, l), "ochre"), find(SampleCard(dirty, plane, l), "ochre")
	if d := colour.Difference(labOf(a.Light), labOf(b.Light)); d > 0.5 {
		t.Errorf("dirt moved ochre by %.2f", d)
	}
	if !b.usable() || b.Kept > 0.9 {
		t.Errorf("ochre: %+v", b)
	}
	if s := find(SampleCard(dirty, plane, l), "rust"); s.usable() {
		t.Errorf("half a patch in shadow is used: %+v", s)
	}
	// What lies outside the picture is not sampled.
	away := flat(t, l, w, h, 400, 50, 6)
	if got, all := len(SampleCard(clean, away, l)), len(SampleCard(clean, plane, l)); got >= all {
		t.Errorf("%d samples of a card cut off, %d of a whole one", got, all)
	}
}

// TestBarePaperIsBare: no place of paper touches anything printed.
func TestBarePaperIsBare(t *testing.T) {
	for _, l := range card.Layouts() {
		places := bare(l)
		if len(places) < 12 {
			t.Errorf("%s: %d places", l.ID, len(places))
		}
		for _, b := range places {
			for _, p := range l.Patches {
				if near(p.Box, b, 0.9) {
					t.Errorf("%s: paper at %v touches %s", l.ID, b, p.ID)
				}
			}
			for _, tag := range l.Tags {
				if near(tag.Black, b, 0.9) {
					t.Errorf("%s: paper at %v touches a tag", l.ID, b)
				}
			}
			if b.X < 0 || b.Y < 0 || b.X+b.W > l.Width || b.Y+b.H > l.Height {
				t.Errorf("%s: %v lies off the card", l.ID, b)
			}
		}
	}
}

func TestRegions(t *testing.T) {
	bounds := image.Rect(0, 0, 200, 100)
	disc, err := Disc(bounds, card.Pixel{X: 50, Y: 50}, 20)
	if err != nil {
		t.Fatal(err)
	}
	n := 0
	for y := range 100 {
		for x := range 200 {
			if in := disc.In(x, y); in != (math.Hypot(float64(x-50), float64(y-50)) <= 20) {
				t.Fatalf("%d %d: %v", x, y, in)
			} else if in {
				n++
			}
		}
	}
	if math.Abs(float64(n)-math.Pi*400) > 40 {
		t.Errorf("%d pixels", n)
	}
	d, deepest := disc.distances()
	if len(d) == 0 || math.Abs(deepest-20) > 1.6 {
		t.Errorf("the middle lies %.1f deep, want 20", deepest)
	}
	for _, c := range []struct {
		what string
		make func() (*Region, error)
	}{
		{"outside", func() (*Region, error) { return Disc(bounds, card.Pixel{X: 500, Y: 50}, 20) }},
		{"tiny", func() (*Region, error) { return Disc(bounds, card.Pixel{X: 50, Y: 50}, 0.4) }},
		{"NaN", func() (*Region, error) { return Disc(bounds, card.Pixel{X: math.NaN(), Y: 50}, 5) }},
		{"endless", func() (*Region, error) { return Disc(bounds, card.Pixel{X: 50, Y: 50}, math.Inf(1)) }},
		{"nothing", func() (*Region, error) { return Brush(bounds, nil, 5) }},
		{"a line", func() (*Region, error) { return Outline(bounds, []card.Pixel{{X: 1, Y: 1}, {X: 9, Y: 9}}) }},
		{"flat", func() (*Region, error) {
			return Outline(bounds, []card.Pixel{{X: 1, Y: 1}, {X: 9, Y: 9}, {X: 5, Y: 5}})
		}},
	} {
		if _, err := c.make(); !errors.Is(err, ErrRegion) {
			t.Errorf("%s: %v", c.what, err)
		}
	}
}

// FuzzOutline: any outline gives a region within the picture, or an error.
func FuzzOutline(f *testing.F) {
	f.Add(1.0, 1.0, 50.0, 5.0, 30.0, 80.0)
	f.Add(-1e9, 1.0, math.MaxFloat64, 5.0, 30.0, math.Inf(1))
	f.Fuzz(func(t *testing.T, a, b, c, d, e, g float64) {
		bounds := image.Rect(0, 0, 60, 40)
		r, err := Outline(bounds, []card.Pixel{{X: a, Y: b}, {X: c, Y: d}, {X: e, Y: g}})
		if err != nil {
			return
		}
		if !r.Rect.In(bounds) {
			t.Fatalf("%v lies outside the picture", r.Rect)
		}
		r.distances()
	})
}

// TestDistancesByHand: against the true distance to the nearest pixel outside.
func TestDistancesByHand(t *testing.T) {
	rnd := rand.New(rand.NewPCG(4, 4))
	var corners []card.Pixel
	for i := range 9 {
		a := 2 * math.Pi * float64(i) / 9
		r := 15 + 14*rnd.Float64()
		corners = append(corners, card.Pixel{X: 32 + r*math.Cos(a), Y: 32 + r*math.Sin(a)})
	}
	reg, err := Outline(image.Rect(0, 0, 64, 64), corners)
	if err != nil {
		t.Fatal(err)
	}
	d, _ := reg.distances()
	for i, got := range d {
		x, y := reg.Rect.Min.X+i%reg.Rect.Dx(), reg.Rect.Min.Y+i/reg.Rect.Dx()
		if !reg.In(x, y) {
			continue
		}
		want := math.Inf(1)
		for v := -1; v <= 65; v++ {
			for u := -1; u <= 65; u++ {
				if !reg.In(u, v) {
					want = math.Min(want, math.Hypot(float64(u-x), float64(v-y)))
				}
			}
		}
		if math.Abs(got-want) > 0.07*want+1e-9 {
			t.Fatalf("%d %d: %.2f, want %.2f", x, y, got, want)
		}
	}
}

// BenchmarkTwelveMegapixels is the time after the card is found: samples,
// correction, and the colours of a cap of a million pixels.
func BenchmarkTwelveMegapixels(b *testing.B) {
	l := pocket(b)
	ref := whole(l)
	const w, h = 4000, 3000
	plane := flat(b, l, w, h, 700, 1500, 24)
	img := draw(l, ref, plane, w, h, phone, ringed)
	r := capOutline(plane, img.Rect, b)
	b.ResetTimer()
	for b.Loop() {
		if _, err := Measure(img, plane, l, ref, false, r); err != nil {
			b.Fatal(err)
		}
	}
}
