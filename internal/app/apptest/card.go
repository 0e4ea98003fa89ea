package apptest

import (
	"bytes"
	"fmt"
	"image"
	"image/color"
	"image/jpeg"
	"math"
	"slices"
	"sync"
	"testing"

	"trug/science/card"
	"trug/science/colour"
)

// CardScene is a photograph from straight above: a field card with its upper
// left corner at (60, 60), 8 pixels to a millimetre, and two round caps in its
// plane, 40 and 25 mm wide.
const (
	CardSceneWidth, CardSceneHeight = 1380, 720
	CardScenePxPerMM                = 8.0
	CardSceneCorner                 = 60.0
)

// CardSceneCaps are the caps: where their middles are, in pixels, and how wide
// they are in millimetres.
var CardSceneCaps = []struct{ X, Y, MM float64 }{{1100, 260, 40}, {1010, 560, 25}}

// drawnCards are the photographs that were drawn before, by layout and batch: many tests hand the same one in.
var drawnCards sync.Map

// CardJPEG returns that photograph with a card of the layout and batch.
func CardJPEG(tb testing.TB, layout string, batch int) []byte {
	tb.Helper()
	type which struct {
		layout string
		batch  int
	}
	if drawn, ok := drawnCards.Load(which{layout, batch}); ok {
		return slices.Clone(drawn.([]byte))
	}
	drawn := drawCard(tb, layout, batch)
	drawnCards.Store(which{layout, batch}, drawn)
	return slices.Clone(drawn)
}

func drawCard(tb testing.TB, layout string, batch int) []byte {
	tb.Helper()
	l, err := card.LayoutByID(layout)
	if err != nil {
		tb.Fatal(err)
	}
	ids, err := l.Ids(batch)
	if err != nil {
		tb.Fatal(err)
	}
	var cells [4][10][10]bool
	for i, id := range ids {
		if cells[i], err = card.Cells(id); err != nil {
			tb.Fatal(err)
		}
	}
	img := image.NewRGBA(image.Rect(0, 0, CardSceneWidth, CardSceneHeight))
	const sub = 3
	for y := range CardSceneHeight {
		for x := range CardSceneWidth {
			var sum [3]float64
			for i := range sub * sub {
				at := card.Pixel{X: float64(x) + (float64(i%sub)+.5)/sub - .5, Y: float64(y) + (float64(i/sub)+.5)/sub - .5}
				for c, v := range sceneColour(l, &cells, at) {
					sum[c] += sceneLight[int(v)] / (sub * sub) // light adds up, not what codes it
				}
			}
			code := func(v float64) uint8 { return uint8(255*math.Pow(v, 1/2.2) + .5) }
			img.SetRGBA(x, y, color.RGBA{code(sum[0]), code(sum[1]), code(sum[2]), 255})
		}
	}
	var b bytes.Buffer
	if err := jpeg.Encode(&b, img, &jpeg.Options{Quality: 95}); err != nil {
		tb.Fatal(err)
	}
	return b.Bytes()
}

// sceneLight is the light of each byte.
var sceneLight = func() (t [256]float64) {
	for v := range t {
		t[v] = math.Pow(float64(v)/255, 2.2)
	}
	return t
}()

// sceneColour is what is seen at a point.
func sceneColour(l *card.Layout, cells *[4][10][10]bool, at card.Pixel) [3]float64 {
	for _, c := range CardSceneCaps {
		if math.Hypot(at.X-c.X, at.Y-c.Y) < c.MM/2*CardScenePxPerMM {
			return [3]float64{190, 60, 40}
		}
	}
	x, y := card.Millimetres((at.X-CardSceneCorner)/CardScenePxPerMM), card.Millimetres((at.Y-CardSceneCorner)/CardScenePxPerMM)
	if x < 0 || y < 0 || x > l.Width || y > l.Height {
		return [3]float64{90, 110, 80}
	}
	for i, t := range l.Tags {
		cell := t.Black.W / 8
		col, row := math.Floor(float64((x-t.Black.X)/cell))+1, math.Floor(float64((y-t.Black.Y)/cell))+1
		if col >= 0 && row >= 0 && col < 10 && row < 10 && !cells[i][int(row)][int(col)] {
			return [3]float64{25, 25, 25}
		}
	}
	for _, p := range l.Patches {
		if x >= p.Box.X && y >= p.Box.Y && x < p.Box.X+p.Box.W && y < p.Box.Y+p.Box.H {
			return [3]float64{float64(p.SRGB[0]), float64(p.SRGB[1]), float64(p.SRGB[2])}
		}
	}
	return [3]float64{235, 235, 235}
}

// CardTable is what an instrument would measure of a printing that came out of
// the printer as it was sent, as the CSV that a coordinator hands in.
func CardTable(tb testing.TB, layout string) []byte {
	tb.Helper()
	l, err := card.LayoutByID(layout)
	if err != nil {
		tb.Fatal(err)
	}
	var b bytes.Buffer
	b.WriteString("patch,L*,a*,b*,illuminant,observer\n")
	row := func(id string, r, g, v uint8) {
		lab := colour.LabOfSRGB8(r, g, v)
		fmt.Fprintf(&b, "%s,%.2f,%.2f,%.2f,D65,2\n", id, lab.L, lab.A, lab.B)
	}
	for _, p := range l.Patches {
		row(p.ID, p.SRGB[0], p.SRGB[1], p.SRGB[2])
	}
	row("paper", 235, 235, 235)
	return b.Bytes()
}
