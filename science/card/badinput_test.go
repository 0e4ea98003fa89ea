package card

import (
	"image"
	"image/color"
	"math"
	"strings"
	"testing"
)

// bad makes a picture of another, pixel by pixel.
func bad(w, h int, at func(x, y int) float64) *image.Gray {
	img := image.NewGray(image.Rect(0, 0, w, h))
	for y := range h {
		for x := range w {
			img.SetGray(x, y, color.Gray{Y: uint8(min(max(at(x, y)+.5, 0), 255))})
		}
	}
	return img
}

// Pictures that are not as they should be: each ends in a card with a sentence
// about it, or in no card and why.
func TestBadInput(t *testing.T) {
	whole := openGrey(t, "testdata/rendered/card_050.jpg")
	w, h := whole.Rect.Dx(), whole.Rect.Dy()
	grey := func(x, y int) float64 { return float64(whole.GrayAt(x, y).Y) }
	var f Finder
	c := f.FindGrey(whole)
	if len(c.Cards) != 1 {
		t.Fatal("no card in the picture that is spoilt")
	}
	middle := c.Cards[0].Plane.ToImage(c.Cards[0].Plane.Middle())
	cells, err := Cells(3)
	if err != nil {
		t.Fatal(err)
	}
	for _, b := range []struct {
		name  string
		img   *image.Gray
		found bool
		says  string
	}{
		{"two cards", bad(2*w, h, func(x, y int) float64 { return grey(x%w, y) }), true, "More than one card"},
		{"cut off", bad(int(middle.X)+20, h, func(x, y int) float64 { return grey(x, y) }), true, "cut off by the edge"},
		{"mirrored", bad(w, h, func(x, y int) float64 { return grey(w-1-x, y) }), false, "mirror"},
		{"half in the sun", bad(w, h, func(x, y int) float64 {
			if float64(x) < middle.X {
				return grey(x, y)
			}
			return grey(x, y) * .3
		}), true, ""},
		{"another maker's tags", bad(900, 600, func(x, y int) float64 {
			// Our ring with cells that are no code of the family.
			i, j := x%150/10-2, y%150/10-2
			switch {
			case i < 0 || j < 0 || i > 9 || j > 9 || i == 0 || j == 0 || i == 9 || j == 9:
				return 230
			case i == 1 || j == 1 || i == 8 || j == 8:
				return 25
			case (i*i+3*j)%3 == 0:
				return 230
			}
			return 25
		}), false, "none that can be read as ours"},
		{"a chessboard floor", bad(1200, 900, func(x, y int) float64 {
			if (x/60+y/60)%2 == 0 {
				return 225
			}
			return 30
		}), false, "No card was found"},
		{"tags of no card", bad(900, 600, func(x, y int) float64 {
			if i, j := x%200/12, y%200/12; i < 10 && j < 10 && !cells[j][i] {
				return 30
			}
			return 230
		}), true, "tags in the view that don't belong"},
	} {
		s := f.FindGrey(b.img)
		says := strings.Join(s.Problems(b.img.Rect.Max), " ")
		if (len(s.Cards) > 0) != b.found || !strings.Contains(says, b.says) {
			t.Errorf("%s: %d cards, %q", b.name, len(s.Cards), says)
		}
	}
}

// Moved by a part of a tag's cell the card is found and the blur told; moved by
// more it is not found, and the sentence says how to take it again.
func TestMotionBlur(t *testing.T) {
	whole := openGrey(t, "testdata/rendered/card_050.jpg")
	w, h := whole.Rect.Dx(), whole.Rect.Dy()
	var f Finder
	told := false
	for _, px := range []int{9, 15, 25, 60} {
		img := bad(w, h, func(x, y int) float64 {
			sum := 0.0
			for d := range px {
				sum += float64(whole.GrayAt(min(x+d, w-1), y).Y) / float64(px)
			}
			return sum
		})
		s := f.FindGrey(img)
		says := strings.Join(s.Problems(img.Rect.Max), " ")
		if says == "" && px > 15 || len(s.Cards) == 0 && !strings.Contains(says, "No card was found") && !strings.Contains(says, "squares") {
			t.Errorf("moved by %d px: %d cards, %q", px, len(s.Cards), says)
		}
		told = told || strings.Contains(says, "blurred")
	}
	if !told {
		t.Error("no blur was told")
	}
}

// A thumbnail of 300 x 200: nothing, or a card that is said to be too small,
// with a plane that is as uncertain as that.
func TestThumbnail(t *testing.T) {
	whole := openGrey(t, "testdata/rendered/card_050.jpg")
	w, h := whole.Rect.Dx(), whole.Rect.Dy()
	k := math.Max(float64(w)/300, float64(h)/200)
	img := bad(int(float64(w)/k), int(float64(h)/k), func(x, y int) float64 {
		sum, n := 0.0, 0
		for v := int(float64(y) * k); v < int(float64(y+1)*k); v++ {
			for u := int(float64(x) * k); u < int(float64(x+1)*k); u++ {
				sum, n = sum+float64(whole.GrayAt(u, v).Y), n+1
			}
		}
		return sum / float64(max(n, 1))
	})
	var f Finder
	s := f.FindGrey(img)
	says := strings.Join(s.Problems(img.Rect.Max), " ")
	if len(s.Cards) > 0 && s.Cards[0].Plane.PxPerMM(s.Cards[0].Plane.Middle()) < 2 && !strings.Contains(says, "come closer") {
		t.Errorf("a thumbnail: %q", says)
	}
	if len(s.Cards) == 0 && !strings.Contains(says, "full size") {
		t.Errorf("a thumbnail: %q", says)
	}
}

// Photographs of a screen, told by its pixels or their moiré: stripes of
// several widths and depths over the picture. A print is none, nor is one with
// noise or stored at low quality.
func TestScreen(t *testing.T) {
	var f Finder
	for _, name := range []string{"card_050", "card_026", "card_018", "card_029", "card_032"} {
		whole := openGrey(t, "testdata/rendered/"+name+".jpg")
		w, h := whole.Rect.Dx(), whole.Rect.Dy()
		for _, c := range []struct {
			pitch, depth float64
			screen       bool
		}{{3.3, .2, true}, {5.7, .12, true}, {9, .12, true}, {0, 0, false}} {
			img := bad(w, h, func(x, y int) float64 {
				v := float64(whole.GrayAt(x, y).Y)
				if c.pitch > 0 {
					v *= 1 + c.depth*math.Sin(2*math.Pi*float64(x)/c.pitch) + c.depth*math.Sin(2*math.Pi*float64(y)/c.pitch)
				}
				return v
			})
			s := f.FindGrey(img)
			if len(s.Cards) == 0 {
				if c.pitch == 0 {
					t.Errorf("%s: no card", name)
				}
				continue
			}
			if s.Cards[0].Screen != c.screen {
				t.Errorf("%s, stripes of %.1f px: on a screen %v", name, c.pitch, s.Cards[0].Screen)
			}
		}
	}
}
