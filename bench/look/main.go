// Command look tells what a photograph's checks say and take outside a browser:
// the half of bench/look/time.mjs that is Go's own.
//
//	go run ./bench/look card PHOTOGRAPH.jpg   time for finding the card, as JSON
//	go run ./bench/look seen PHOTOGRAPH.jpg   all that is seen, a line of JSON each
//	go run ./bench/look look PHOTOGRAPH.jpg   the same with what is advised of a top
//
// Two versions of the program see the same where their lines of "seen" are the
// same.
package main

import (
	"encoding/json"
	"errors"
	"fmt"
	"image"
	"image/draw"
	"image/jpeg"
	"os"
	"path/filepath"
	"slices"
	"time"

	"trug/science/advice"
	"trug/science/card"
	"trug/science/view"
)

// rounds is how often a card is looked for; the middle time counts.
const rounds = 15

func main() {
	if err := run(os.Args[1:]); err != nil {
		fmt.Fprintln(os.Stderr, "look:", err)
		os.Exit(1)
	}
}

func run(args []string) error {
	if len(args) < 2 {
		return errors.New("say card, seen or look, and name photographs")
	}
	out := json.NewEncoder(os.Stdout)
	var finder card.Finder
	for _, name := range args[1:] {
		img, err := decode(name)
		if err != nil {
			return fmt.Errorf("%s: %w", name, err)
		}
		var told any
		switch args[0] {
		case "card":
			told = find(&finder, img)
		case "seen":
			told = view.Read(&finder, img, view.Known{Film35: 26})
		case "look":
			told = advice.Look(&finder, img, advice.Top, view.Known{Film35: 26})
		default:
			return fmt.Errorf("%q is not known: card, seen or look", args[0])
		}
		if err := out.Encode(map[string]any{"photograph": filepath.Base(name), args[0]: told}); err != nil {
			return err
		}
	}
	return nil
}

// finding is what finding a card took.
type finding struct {
	MS   float64 `json:"ms"`
	Tags int     `json:"tags"`
}

// find looks for the card as the worker's glance does.
func find(f *card.Finder, img *image.RGBA) finding {
	var out finding
	var took []float64
	for range rounds {
		began := time.Now()
		g := view.Glimpse(f, img, view.Known{Film35: 26})
		took = append(took, float64(time.Since(began).Microseconds())/1000)
		if g.Card != nil {
			out.Tags = g.Card.Tags
		}
	}
	slices.Sort(took)
	out.MS = took[len(took)/2]
	return out
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
