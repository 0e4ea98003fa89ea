package view_test

import (
	"bytes"
	"image"
	"image/draw"
	"image/jpeg"
	"math"
	"testing"

	"trug/bench/render"
	"trug/science/card"
	"trug/science/view"
)

// photograph renders one fruitbody in the middle beside a card: the bench's
// painter knows the truth.
func photograph(t testing.TB, seed uint64, body, behind float64, change func(*render.Settings)) (*image.RGBA, *render.Truth) {
	t.Helper()
	s := render.Settings{Seed: seed, Width: 1000, Height: 750, Layout: "reference", PrintScale: 1, TiltDeg: 12, Share: .2, OffX: -.6, OffY: .5,
		FocalPx: 720, BodyBlur: body, Blur: behind, Noise: 2, Quality: 90, Exposure: .8, Covered: -1, Subject: .4}
	if change != nil {
		change(&s)
	}
	raw, truth, err := render.Photograph(s)
	if err != nil {
		t.Fatal(err)
	}
	img, err := jpeg.Decode(bytes.NewReader(raw))
	if err != nil {
		t.Fatal(err)
	}
	out := image.NewRGBA(img.Bounds())
	draw.Draw(out, out.Rect, img, image.Point{}, draw.Src)
	return out, truth
}

func TestReadsWhatAPhotographShows(t *testing.T) {
	img, truth := photograph(t, 4242, .8, .8, nil)
	got := view.Read(&card.Finder{}, img, view.Known{Film35: 26, Flat: true})
	body := truth.Bodies[0]
	if !got.Subject.Found || got.Subject.CutOff {
		t.Fatalf("the subject is not found: %+v", got.Subject)
	}
	want := math.Hypot(body.EndsPx[0][0]-body.EndsPx[1][0], body.EndsPx[0][1]-body.EndsPx[1][1])
	if math.Abs(got.Subject.WidthPx-want) > .08*want {
		t.Errorf("the subject is %.0f px wide, want %.0f", got.Subject.WidthPx, want)
	}
	if got.Card == nil || got.Card.Layout != "reference" || len(got.Card.Edge) != 4 {
		t.Fatalf("the card: %+v (%v)", got.Card, got.CardSays)
	}
	if got.Size == nil || math.Abs(got.Size.WidthMM-body.WidthMM) > got.Size.U95MM+.08*body.WidthMM {
		t.Errorf("size %+v, want %.1f mm", got.Size, body.WidthMM)
	}
	if !got.Sharpness.Known || math.Abs(got.Sharpness.BlurPx-.85) > .35 || !got.Sharpness.Form {
		t.Errorf("sharpness %+v, want a blur of about 0.85 px", got.Sharpness)
	}
	if got.Exposure.TooLight || got.Exposure.TooDark {
		t.Errorf("exposure %+v", got.Exposure)
	}
}

// A frame of a preview tells the card where the photograph of the same scene has it.
func TestAGlimpseTellsTheCard(t *testing.T) {
	img, truth := photograph(t, 4242, .8, .8, nil)
	g := view.Glimpse(&card.Finder{}, img, view.Known{Film35: 26})
	if g.Width != 1000 || g.Height != 750 || g.Card == nil || g.Card.Tags != 4 || len(g.Card.Edge) != 4 || g.Says != "" {
		t.Fatalf("the card of the preview: %+v", g)
	}
	if math.Abs(g.Card.TiltDeg-12) > 4 {
		t.Errorf("tilted by %.1f degrees, want 12", g.Card.TiltDeg)
	}
	// The edge's corners lie as far outside the tags' as on the card: the first of the reference card at 4 mm each way.
	l, err := card.LayoutByID("reference")
	if err != nil {
		t.Fatal(err)
	}
	at, tag := l.Corners(0)[0], truth.Tags[0].Corners[0]
	want := math.Hypot(float64(at.X), float64(at.Y)) * g.Card.PxPerMM
	if got := math.Hypot(g.Card.Edge[0].X-tag[0], g.Card.Edge[0].Y-tag[1]); math.Abs(got-want) > .15*want {
		t.Errorf("its corner is %.1f px from the first tag's, want about %.1f", got, want)
	}
	for i := range img.Pix {
		img.Pix[i] = 120
	}
	if g = view.Glimpse(&card.Finder{}, img, view.Known{}); g.Card != nil || g.Says == "" {
		t.Errorf("of nothing: %+v", g)
	}
	if g = view.Glimpse(&card.Finder{}, image.NewRGBA(image.Rect(0, 0, 5, 5)), view.Known{}); g.Card != nil || g.Says != "" {
		t.Errorf("of a speck: %+v", g)
	}
}

func TestSoftSubjectBeforeSharpGround(t *testing.T) {
	img, _ := photograph(t, 4243, 6, .6, nil)
	got := view.Read(&card.Finder{}, img, view.Known{})
	if got.Sharpness.Form || got.Sharpness.Detail {
		t.Errorf("a subject blurred by 6 px is sharp enough: %+v", got.Sharpness)
	}
	if got.Sharpness.Known && got.Sharpness.BehindPx > got.Sharpness.BlurPx {
		t.Errorf("the ground, which is sharp, is read as softer: %+v", got.Sharpness)
	}
}

func TestNothingBreaksIt(t *testing.T) {
	var f card.Finder
	for _, r := range []image.Rectangle{{}, image.Rect(0, 0, 1, 1), image.Rect(0, 0, 63, 900), image.Rect(0, 0, 64, 64), image.Rect(0, 0, 2000, 70)} {
		for _, v := range []uint8{0, 90, 255} {
			img := image.NewRGBA(r)
			for i := range img.Pix {
				img.Pix[i] = v
			}
			if got := view.Read(&f, img, view.Known{Flat: true}); got.Card != nil || got.Size != nil {
				t.Errorf("%v of %d: %+v", r, v, got)
			}
		}
	}
}

// A picture of 12 megapixels, as phones take them.
func BenchmarkRead(b *testing.B) {
	small, _ := photograph(b, 4244, .8, .8, nil)
	img := image.NewRGBA(image.Rect(0, 0, 4000, 3000))
	for y := range 3000 {
		for x := range 4000 {
			copy(img.Pix[img.PixOffset(x, y):][:4], small.Pix[small.PixOffset(x/4, y/4):][:4])
		}
	}
	var f card.Finder
	for b.Loop() {
		view.Read(&f, img, view.Known{Flat: true})
	}
}
