package card

import (
	"fmt"
	"image"
	"image/color"
	"image/draw"
	"image/jpeg"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

// openGrey decodes a JPEG's luma.
func openGrey(t testing.TB, name string) *image.Gray {
	t.Helper()
	f, err := os.Open(name)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	img, err := jpeg.Decode(f)
	if err != nil {
		t.Fatal(err)
	}
	if y, ok := img.(*image.YCbCr); ok {
		return &image.Gray{Pix: y.Y, Stride: y.YStride, Rect: y.Rect}
	}
	g := image.NewGray(img.Bounds())
	draw.Draw(g, g.Rect, img, img.Bounds().Min, draw.Src)
	return g
}

func allTags(s Sighting) []FoundTag {
	tags := append([]FoundTag(nil), s.Loose...)
	for _, c := range s.Cards {
		tags = append(tags, c.Tags...)
	}
	return tags
}

// The real photographs of many tags with id 0, against the reference library's
// own detections (not hand-measured; pixel centres at .5 there): it finds 46
// of the 47 with its defaults. There are more tags of id 0 in the pictures
// than it lists, on the boxes' sides and tops; but none of another id.
func TestRealPhotographs(t *testing.T) {
	files, _ := filepath.Glob("testdata/real/*.txt")
	found, wanted := 0, 0
	var worst []float64
	var f Finder
	for _, name := range files {
		tags := allTags(f.FindGrey(openGrey(t, strings.TrimSuffix(name, ".txt")+".jpg")))
		for _, g := range tags {
			if g.ID != 0 {
				t.Errorf("%s: tag %d at %v is not there", name, g.ID, g.Corners)
			}
		}
		raw, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		for _, line := range strings.Split(strings.TrimSpace(string(raw)), "\n") {
			wanted++
			best := math.Inf(1)
			for _, g := range tags {
				best = min(best, apart(corners8(line), g.Corners))
			}
			if best < 3 {
				found++
				worst = append(worst, best)
			} else {
				t.Logf("%s: missed %s", filepath.Base(name), line)
			}
		}
	}
	if wanted != 47 || found < 46 {
		t.Errorf("%d of %d tags were found", found, wanted)
	}
	if m := median(worst); m > 1 {
		t.Errorf("the worst corner of a tag is %.2f px off in the median", m)
	}
}

// apart is the greatest distance from a corner of one square to the nearest
// of another.
func apart(a, b [4]Pixel) float64 {
	d := 0.0
	for _, c := range a {
		m := math.Inf(1)
		for _, e := range b {
			m = min(m, math.Hypot(c.X-.5-e.X, c.Y-.5-e.Y))
		}
		d = max(d, m)
	}
	return d
}

func corners8(s string) (q [4]Pixel) {
	var id int
	s = strings.NewReplacer(",", " ", "(", " ", ")", " ").Replace(s)
	fmt.Sscan(s, &id, &q[0].X, &q[0].Y, &q[1].X, &q[1].Y, &q[2].X, &q[2].Y, &q[3].X, &q[3].Y)
	return q
}

// Rendered photographs whose corners are known exactly (reference: 1.43 px
// for AprilTag 3.3.0 with decimate 2, on all twelve of the set).
func TestRenderedPhotographs(t *testing.T) {
	corners := table(t, "testdata/corners.csv")
	var f Finder
	var sum float64
	n := 0
	for _, p := range table(t, "testdata/photos.csv") {
		name := "testdata/rendered/" + p.text["photo"]
		if _, err := os.Stat(name); err != nil {
			continue
		}
		s := f.FindGrey(openGrey(t, name))
		if len(s.Cards) != 1 || len(s.Cards[0].Tags) != 4 || len(s.Loose) > 0 || s.Cards[0].Layout.ID != "reference" || !s.Cards[0].BatchKnown {
			t.Errorf("%s: %+v", p.text["photo"], s)
			continue
		}
		c := s.Cards[0]
		for _, k := range corners {
			if k.text["photo"] != p.text["photo"] {
				continue
			}
			i := slices.IndexFunc(c.Tags, func(tag FoundTag) bool { return tag.ID == int(k.num("tag_id")) })
			if i < 0 {
				t.Fatalf("%s: no tag %s", p.text["photo"], k.text["tag_id"])
			}
			if c.Tags[i].Covered != (k.text["occluded"] == "1") {
				t.Errorf("%s: tag %d covered: %v", p.text["photo"], c.Tags[i].ID, c.Tags[i].Covered)
			}
			for j, at := range []string{"tl", "tr", "br", "bl"} {
				d := math.Hypot(c.Tags[i].Corners[j].X-k.num("x_"+at), c.Tags[i].Corners[j].Y-k.num("y_"+at))
				sum += d * d
				n++
			}
		}
		if c.Bent {
			t.Errorf("%s: called bent with %.3f px", p.text["photo"], c.Residual)
		}
		for what, ends := range map[string][4]string{"on the card": {"seg_x1", "seg_y1", "seg_x2", "seg_y2"}, "beside it": {"out_x1", "out_y1", "out_x2", "out_y2"}} {
			a, _ := c.Plane.ToCard(Pixel{p.num(ends[0]), p.num(ends[1])})
			b, _ := c.Plane.ToCard(Pixel{p.num(ends[2]), p.num(ends[3])})
			if l := math.Hypot(float64(a.X-b.X), float64(a.Y-b.Y)); math.Abs(l-50) > .075 {
				t.Errorf("%s: 50 mm %s measure %.3f", p.text["photo"], what, l)
			}
		}
	}
	if rms := math.Sqrt(sum / float64(n)); n != 80 || rms > .1 {
		t.Errorf("%d corners, RMS %.3f px", n, rms)
	}
}

// One Finder may look at any number of photographs: what it keeps does not
// leak from one to the next.
func TestFinderIsClean(t *testing.T) {
	a, b := openGrey(t, "testdata/rendered/card_050.jpg"), openGrey(t, "testdata/real/33369213973_9d9bb4cc96_c.jpg")
	var used Finder
	used.FindGrey(b)
	used.FindGrey(a)
	again := used.FindGrey(b)
	var fresh Finder
	if first := fresh.FindGrey(b); fmt.Sprint(first.Loose, len(first.Cards), first.Foreign) != fmt.Sprint(again.Loose, len(again.Cards), again.Foreign) {
		t.Error("a second look finds other tags")
	}
}

// Pictures in which there is nothing, or too little.
func TestNothingToFind(t *testing.T) {
	var f Finder
	for _, size := range [][2]int{{0, 0}, {1, 1}, {15, 400}, {16, 16}, {17, 33}, {300, 200}} {
		for _, fill := range []func(i int) uint8{func(int) uint8 { return 0 }, func(int) uint8 { return 255 }, func(i int) uint8 { return uint8(i * 7919 >> 3) }} {
			img := image.NewGray(image.Rect(0, 0, size[0], size[1]))
			for i := range img.Pix {
				img.Pix[i] = fill(i)
			}
			if s := f.FindGrey(img); len(s.Cards)+len(s.Loose) > 0 {
				t.Errorf("%v: %+v", size, s)
			}
		}
	}
}

// A picture seen in a mirror shows no card, and says why.
func TestMirrored(t *testing.T) {
	img := openGrey(t, "testdata/rendered/card_050.jpg")
	m := image.NewGray(img.Rect)
	for y := range img.Rect.Dy() {
		for x := range img.Rect.Dx() {
			m.SetGray(img.Rect.Dx()-1-x, y, img.GrayAt(x, y))
		}
	}
	var f Finder
	if s := f.FindGrey(m); len(s.Cards) > 0 || s.Mirrored < 3 {
		t.Errorf("%d cards, %d tags in a mirror", len(s.Cards), s.Mirrored)
	}
}

// Part of a picture, as image.Gray allows it, is a picture.
func TestSubImage(t *testing.T) {
	img := openGrey(t, "testdata/rendered/card_050.jpg")
	part, ok := img.SubImage(image.Rect(100, 60, 1200, 900)).(*image.Gray)
	if !ok {
		t.Fatal("no part")
	}
	var f Finder
	whole, cut := f.FindGrey(img), f.FindGrey(part)
	if len(whole.Cards) != 1 || len(cut.Cards) != 1 {
		t.Fatal("no card")
	}
	a, b := whole.Cards[0].Tags[0].Corners[0], cut.Cards[0].Tags[0].Corners[0]
	if math.Hypot(a.X-b.X-100, a.Y-b.Y-60) > .1 {
		t.Errorf("%v and %v", a, b)
	}
}

// A picture tiled with one tag holds work for minutes, if all are grouped with
// all: only the largest are.
func TestTiledWithTags(t *testing.T) {
	cells, err := Cells(3)
	if err != nil {
		t.Fatal(err)
	}
	img := image.NewGray(image.Rect(0, 0, 1200, 900))
	for y := range 900 {
		for x := range 1200 {
			v := uint8(25)
			if cells[y%40/4][x%40/4] {
				v = 235
			}
			img.SetGray(x, y, color.Gray{Y: v})
		}
	}
	var f Finder
	s := f.FindGrey(img)
	n := len(s.Loose)
	for _, c := range s.Cards {
		n += len(c.Tags)
	}
	if n == 0 || n > 2*mostTags {
		t.Errorf("%d tags", n)
	}
}

func FuzzFind(f *testing.F) {
	f.Add(uint16(40), []byte{0, 255, 3, 200})
	cells, _ := Cells(3)
	seed := make([]byte, 0, 3600)
	for y := range 60 {
		for x := range 60 {
			v := byte(20)
			if cells[y/6][x/6] {
				v = 230
			}
			seed = append(seed, v)
		}
	}
	f.Add(uint16(60), seed)
	var finder Finder
	f.Fuzz(func(t *testing.T, w uint16, pix []byte) {
		width := int(w)%600 + 1
		img := &image.Gray{Pix: pix, Stride: width, Rect: image.Rect(0, 0, width, len(pix)/width)}
		for _, c := range finder.FindGrey(img).Cards {
			for _, tag := range c.Tags {
				for _, q := range tag.Corners {
					if math.IsNaN(q.X) || math.IsNaN(q.Y) || math.IsInf(q.X, 0) || math.IsInf(q.Y, 0) {
						t.Fatalf("%+v", tag)
					}
				}
			}
		}
	})
}

func BenchmarkFind(b *testing.B) {
	img := openGrey(b, "testdata/rendered/card_026.jpg")
	var f Finder
	b.ReportAllocs()
	for b.Loop() {
		f.FindGrey(img)
	}
}
