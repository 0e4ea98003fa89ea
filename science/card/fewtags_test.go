package card

import (
	"image"
	"image/draw"
	"math"
	"testing"
)

// hide paints over a part of a tag, from its left border on as it is seen, white
// border and all, in the grey of a leaf.
func hide(img *image.Gray, p *Plane, l *Layout, seat int, part float64) *image.Gray {
	out := image.NewGray(img.Rect)
	draw.Draw(out, out.Rect, img, img.Rect.Min, draw.Src)
	b := l.Tags[seat].Black
	rim := float64(b.W) / blackCells
	for y := range out.Rect.Dy() {
		for x := range out.Rect.Dx() {
			s, ok := p.ToCard(Pixel{float64(x), float64(y)})
			if u, v := float64(s.X-b.X), float64(s.Y-b.Y); ok && u > -rim && v > -rim && v < float64(b.H)+rim && u < part*(float64(b.W)+2*rim)-rim {
				out.Pix[y*out.Stride+x] = 96
			}
		}
	}
	return out
}

// lengthOn is a length across a card and its standard uncertainty by the
// plane's, in nominal millimetres, between two pixels.
func lengthOn(p *Plane, a, b Pixel) (mm, u float64) {
	length := func(p *Plane) float64 {
		s, _ := p.ToCard(a)
		q, _ := p.ToCard(b)
		return math.Hypot(float64(s.X-q.X), float64(s.Y-q.Y))
	}
	mm = length(p)
	for i := range PlaneDraws {
		var z [PlaneDraws]float64
		z[i] = 1
		if moved, ok := p.Drawn(z); ok {
			u = math.Hypot(u, length(&moved)-mm)
		}
	}
	return mm, u
}

// With one tag after the other hidden the card is still found; what is measured
// across it stays within three standard uncertainties of what four tags say, and
// these grow.
func TestFewTags(t *testing.T) {
	whole := openGrey(t, "testdata/rendered/card_050.jpg")
	var f Finder
	full := f.FindGrey(whole).Cards[0]
	l := full.Layout
	a, b := full.Plane.ToImage(Spot{5, 5}), full.Plane.ToImage(Spot{l.Width - 5, l.Height - 5})
	want, last := lengthOn(&full.Plane, a, b)
	img := whole
	for i, seat := range []int{1, 3, 2} {
		img = hide(img, &full.Plane, l, seat, 1)
		s := f.FindGrey(img)
		if len(s.Cards) != 1 || len(s.Cards[0].Tags) != 3-i {
			t.Fatalf("%d tags hidden: %d cards", i+1, len(s.Cards))
		}
		got, u := lengthOn(&s.Cards[0].Plane, a, b)
		t.Logf("%d tags: %.3f mm, standard uncertainty %.3f; four say %.3f", 3-i, got, u, want)
		if math.Abs(got-want) > 3*u {
			t.Errorf("%d tags: %.3f mm, standard uncertainty %.3f, and four say %.3f", 3-i, got, u, want)
		}
		if u < last {
			t.Errorf("%d tags leave %.4f mm uncertain, more of them left %.4f", 3-i, u, last)
		}
		last = u
	}
}

// A tag covered so far that it can't be read counts by the borders that are
// seen: the plane is nearer to what it is without the cover, and surer, than
// with the tag hidden.
func TestCoveredTagCounts(t *testing.T) {
	whole := openGrey(t, "testdata/rendered/card_050.jpg")
	var f Finder
	full := f.FindGrey(whole).Cards[0]
	l := full.Layout
	const seat = 1
	a, b := full.Plane.ToImage(l.Corners(seat)[0]), full.Plane.ToImage(l.Corners(seat)[2])
	want, _ := lengthOn(&full.Plane, a, b)
	hidden, covered := f.FindGrey(hide(whole, &full.Plane, l, seat, 1)), f.FindGrey(hide(whole, &full.Plane, l, seat, .45))
	if len(hidden.Cards) != 1 || len(covered.Cards) != 1 || len(hidden.Cards[0].Tags) != 3 {
		t.Fatal("no card with a tag hidden")
	}
	found := false
	for _, tag := range covered.Cards[0].Tags {
		found = found || tag.Seat == seat && tag.Covered
	}
	if !found {
		t.Fatal("the covered tag was not told")
	}
	without, u0 := lengthOn(&hidden.Cards[0].Plane, a, b)
	with, u1 := lengthOn(&covered.Cards[0].Plane, a, b)
	t.Logf("across the tag %.4f mm with all of it, %.4f (%.4f) with a part, %.4f (%.4f) with nothing", want, with, u1, without, u0)
	if math.Abs(with-want) > math.Abs(without-want)+1e-3 || u1 >= u0 {
		t.Errorf("across the tag %.4f mm with all of it, %.4f (%.4f) with a part, %.4f (%.4f) with nothing", want, with, u1, without, u0)
	}
}
