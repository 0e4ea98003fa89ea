// Command sharp compares what package sharpness says of a fruitbody's sharpness
// with the truth of rendered photographs, in which the fruitbody and what lies
// behind it are blurred apart.
package main

import (
	"bytes"
	"flag"
	"fmt"
	"image"
	"image/draw"
	"image/jpeg"
	"log"
	"math"
	"math/rand/v2"
	"slices"

	"trug/bench/render"
	"trug/science/card"
	"trug/science/sharpness"
	"trug/science/truecolour"
)

// settings are those of a photograph of one fruitbody or a few without a card,
// with the blur spread evenly over its logarithm.
func settings(seed uint64) render.Settings {
	s := render.Draw(seed)
	r := rand.New(rand.NewPCG(seed, 0x7368617270))
	between := func(a, b float64) float64 { return a + (b-a)*r.Float64() }
	size := []float64{1, .5, .5, .25, .25, .25, .25, .25}[r.IntN(8)]
	s.Width, s.Height = int(4000*size), int(3000*size)
	s.FocalPx = float64(s.Width) * between(24, 28) / 36
	s.Share = between(.15, .35)
	s.Subject = math.Exp(between(math.Log(.12), math.Log(.6)))
	s.TiltDeg = between(0, 35)
	s.NoCard, s.Decoy = r.Float64() < .5, ""
	s.Covered, s.K1, s.SagMM = -1, 0, 0
	s.Noise = between(1, 8) * math.Sqrt(size)
	s.OffX, s.OffY = between(.5, .8), between(.4, .7)
	s.Bodies = 0
	s.BodyBlur = math.Exp(between(math.Log(.5), math.Log(14))) * size
	s.Blur = math.Exp(between(math.Log(.5), math.Log(14))) * size
	s.MotionPx = 0
	if r.Float64() < .2 {
		s.MotionPx, s.MotionDeg = between(4, 24)*size, between(0, 180)
	}
	return s
}

func main() {
	n := flag.Int("n", 400, "photographs")
	first := flag.Uint64("seed", 7_000_000, "first seed")
	verbose := flag.Bool("v", false, "a line each")
	flag.Parse()
	log.SetFlags(0)
	var known, agree, unknown, movedRight, movedAll int
	var ratios []float64
	byKind := map[string][2]int{}
	for i := range *n {
		s := settings(*first + uint64(i))
		raw, truth, err := render.Photograph(s)
		if err != nil {
			log.Fatal(err)
		}
		if len(truth.Bodies) == 0 {
			continue
		}
		b := truth.Bodies[0]
		img := decode(raw)
		got := sharpness.Read(region(img, b.OutlinePx))
		trueBlur := math.Sqrt(s.BodyBlur*s.BodyBlur + 1./12)
		// A movement adds a twelfth of its square in one of two directions.
		trueMean := math.Sqrt(trueBlur*trueBlur + s.MotionPx*s.MotionPx/24)
		width := math.Hypot(b.EndsPx[0][0]-b.EndsPx[1][0], b.EndsPx[0][1]-b.EndsPx[1][1])
		want := sharpness.Enough(trueMean, width, sharpness.Detail)
		kind := "subject and background alike"
		switch {
		case s.Blur < s.BodyBlur/2:
			kind = "sharp background, soft subject"
		case s.Blur > 2*s.BodyBlur:
			kind = "soft background, sharp subject"
		}
		c := byKind[kind]
		c[1]++
		if !got.Known {
			unknown++
		} else {
			known++
			ratios = append(ratios, got.Blur/trueMean)
		}
		if got.Known && sharpness.Enough(got.Blur, width, sharpness.Detail) == want || !got.Known && !want {
			agree++
			c[0]++
		}
		byKind[kind] = c
		movedAll++
		if got.Moved == (s.MotionPx > 3*trueBlur) {
			movedRight++
		}
		if *verbose {
			fmt.Printf("%d %s: true %.2f (lens %.2f, moved %.1f at %.0f) read %v %.2f along %.2f across %.2f at %.0f moved %v edges %d (bg %.2f, width %.0f) want %v\n", s.Seed, kind, trueMean, trueBlur, s.MotionPx, s.MotionDeg,
				got.Known, got.Blur, got.Along, got.Across, got.Direction, got.Moved, got.Edges, s.Blur, width, want)
		}
	}
	slices.Sort(ratios)
	q := func(p float64) float64 { return ratios[int(p*float64(len(ratios)-1))] }
	fmt.Printf("photographs %d; known %d, unknown %d; sharp enough or not agrees in %.1f %%\n", known+unknown, known, unknown, 100*float64(agree)/float64(known+unknown))
	for k, c := range byKind {
		fmt.Printf("  %s: %d of %d\n", k, c[0], c[1])
	}
	fmt.Printf("blur read over true: p5 %.2f p25 %.2f median %.2f p75 %.2f p95 %.2f; moved or not right in %.1f %%\n", q(.05), q(.25), q(.5), q(.75), q(.95), 100*float64(movedRight)/float64(movedAll))
}

func decode(raw []byte) *image.RGBA {
	img, err := jpeg.Decode(bytes.NewReader(raw))
	if err != nil {
		log.Fatal(err)
	}
	out := image.NewRGBA(img.Bounds())
	draw.Draw(out, out.Rect, img, image.Point{}, draw.Src)
	return out
}

// region is the light of an outline and what holds it.
func region(img *image.RGBA, outline [][2]float64) (*sharpness.Light, func(x, y int) bool) {
	var points []card.Pixel
	for _, p := range outline {
		points = append(points, card.Pixel{X: p[0], Y: p[1]})
	}
	r, err := truecolour.Outline(img.Rect, points)
	if err != nil {
		log.Fatal(err)
	}
	return sharpness.Of(img, r.Rect.Inset(-12)), r.In
}
