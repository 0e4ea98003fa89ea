package paper

import (
	"image"
	"image/draw"
	"image/png"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"trug/science/card"
)

func sampleCards(kind string, size Size) CardsData {
	l, err := card.LayoutByID(kind)
	if err != nil {
		panic(err)
	}
	x := CardsData{Sheet: head, Layout: l, Batch: 5, Several: true, URL: "https://trug.example/in/ABCDEFGH", Code: "ash tern elm"}
	x.Size = size
	return x
}

// The control line is 100 mm and the rulers' ticks a millimetre apart, in the
// PDF's own coordinates.
func TestCardsAreTrue(t *testing.T) {
	for _, kind := range []string{"pocket", "large"} {
		x := sampleCards(kind, A4)
		x.Several = false
		pdf, err := Cards(x)
		control := 0
		var ticks []float64
		for _, l := range drawn(t, must(t, pdf, err)) {
			dx, dy := math.Abs(l[2]-l[0]), math.Abs(l[3]-l[1])
			if dy < .001 && math.Abs(dx-ControlLength) < .004 {
				control++
			}
			for _, long := range []card.Millimetres{x.Layout.Rulers[0].Short, x.Layout.Rulers[0].Five, x.Layout.Rulers[0].Ten} {
				if dx < .001 && math.Abs(dy-float64(long)) < .01 {
					ticks = append(ticks, l[0])
				}
			}
		}
		if control != 1 {
			t.Errorf("%s: %d control lines", kind, control)
		}
		if n := int(x.Layout.Width) + 1; len(ticks) < n {
			t.Fatalf("%s: %d ticks, not %d", kind, len(ticks), n)
		}
		for i := 1; i <= int(x.Layout.Width); i++ {
			if d := ticks[i] - ticks[0] - float64(i); math.Abs(d) > .006 {
				t.Errorf("%s: tick %d is %.4f mm off", kind, i, d)
			}
		}
	}
}

// page renders the first page at a resolution, in grey.
func page(t *testing.T, pdf []byte, dpi string) *image.Gray {
	t.Helper()
	if _, err := exec.LookPath("pdftoppm"); err != nil {
		if os.Getenv("CI") != "" {
			t.Fatal("pdftoppm is wanted: install poppler-utils")
		}
		t.Skip("pdftoppm is not installed (poppler-utils)")
	}
	dir := t.TempDir()
	in := filepath.Join(dir, "cards.pdf")
	if err := os.WriteFile(in, pdf, 0o600); err != nil {
		t.Fatal(err)
	}
	if out, err := exec.Command("pdftoppm", "-r", dpi, "-gray", "-png", "-singlefile", in, filepath.Join(dir, "page")).CombinedOutput(); err != nil {
		t.Fatalf("%v %s", err, out)
	}
	f, err := os.Open(filepath.Join(dir, "page.png"))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	img, err := png.Decode(f)
	if err != nil {
		t.Fatal(err)
	}
	g := image.NewGray(img.Bounds())
	draw.Draw(g, g.Rect, img, image.Point{}, draw.Src)
	return g
}

// What is printed is found: eight cards on a sheet, each with the batch that
// was asked for and the scale of the resolution, to 0.06 % (the renderer mixes
// the greys of edges in coded values, and not in light as a lens does).
func TestPrintedCardsAreFound(t *testing.T) {
	for _, c := range []struct {
		kind  string
		size  Size
		cards int
	}{{"pocket", A4, 8}, {"large", Letter, 2}} {
		pdf, err := Cards(sampleCards(c.kind, c.size))
		var f card.Finder
		s := f.FindGrey(page(t, must(t, pdf, err), "300"))
		if len(s.Cards) != c.cards || len(s.Loose) > 0 {
			t.Errorf("%s: %d cards, %d loose tags", c.kind, len(s.Cards), len(s.Loose))
		}
		for _, found := range s.Cards {
			if found.Layout.ID != c.kind || !found.BatchKnown || found.Batch != 5 || len(found.Tags) != 4 || found.Bent {
				t.Errorf("%s: found %s, batch %d, %d tags, bent %v", c.kind, found.Layout.ID, found.Batch, len(found.Tags), found.Bent)
			}
			a, _ := found.Plane.ToCard(found.Plane.ToImage(card.Spot{}))
			from := found.Plane.ToImage(a)
			to := found.Plane.ToImage(card.Spot{X: found.Layout.Width})
			if px := math.Hypot(to.X-from.X, to.Y-from.Y) / float64(found.Layout.Width); math.Abs(px/(300/25.4)-1) > 6e-4 {
				t.Errorf("%s: %.4f pixels a millimetre, not %.4f", c.kind, px, 300/25.4)
			}
		}
	}
}

// The control line in the pixels of a rendering at 600 dpi: 100 mm are 2362.2.
func TestControlLineInPixels(t *testing.T) {
	x := sampleCards("large", A4)
	x.Several = false
	pdf, err := Cards(x)
	g := page(t, must(t, pdf, err), "600")
	longest := 0
	for y := range g.Rect.Dy() {
		run := 0
		for _, v := range g.Pix[y*g.Stride : y*g.Stride+g.Rect.Dx()] {
			if run++; v > 100 {
				run = 0
			}
			// The footer's rule is longer than the control line.
			if run < 2500 {
				longest = max(longest, run)
			}
		}
	}
	// The end ticks add half their thickness of 0.25 mm, 3 pixels, at each end.
	if math.Abs(float64(longest)-2362.2-5.9) > 3 {
		t.Errorf("the control line is %d pixels long", longest)
	}
}

func TestCardsRefuse(t *testing.T) {
	for what, change := range map[string]func(*CardsData){
		"reference card": func(x *CardsData) { x.Layout = card.Layouts()[0] },
		"no card":        func(x *CardsData) { x.Layout = nil },
		"batch":          func(x *CardsData) { x.Batch = 72 * 72 },
		"address":        func(x *CardsData) { x.URL = "javascript:alert(1)" },
		"long address":   func(x *CardsData) { x.URL = "https://trug.example/" + strings.Repeat("x", 4000) },
		"code":           func(x *CardsData) { x.Code = strings.Repeat("a", 61) },
		"season":         func(x *CardsData) { x.Season = " " },
		"poster size":    func(x *CardsData) { x.Size = A3 },
	} {
		x := sampleCards("pocket", A4)
		change(&x)
		if _, err := Cards(x); err == nil {
			t.Errorf("%s: no error", what)
		}
	}
}

// Long words stay on the card, and the caution is always there.
func TestCardsWithLongWords(t *testing.T) {
	for _, kind := range []string{"pocket", "large"} {
		for _, size := range []Size{A4, Letter} {
			x := sampleCards(kind, size)
			x.Season, x.Code = strings.Repeat("Fogglethorpe ", 30), strings.Repeat("W", 60)
			pdf, err := Cards(x)
			inside(t, kind, must(t, pdf, err))
			if text := textOf(t, pdf); !strings.Contains(text, "Taste nothing") {
				t.Errorf("%s: the caution is gone", kind)
			}
			if n := len(pagesOf(t, pdf)); n != 1 {
				t.Errorf("%s: %d pages", kind, n)
			}
		}
	}
}
