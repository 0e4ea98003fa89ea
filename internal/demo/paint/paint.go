// Package paint draws invented demonstration photographs of fungi: pictures
// that look like field photographs but show nothing that exists. Each find is
// built as a small solid model from its measurements, colour and seed, and is
// then photographed by a software camera, so every view of one find shows the
// same individual on the same ground. The same arguments always give the same
// picture (on one processor architecture; float rounding may differ between
// architectures).
package paint

import (
	"bytes"
	"fmt"
	"image"
	"image/jpeg"
	"time"
)

// View is one of the standard photographs of a find.
type View int

// The six views. Their names are the ones records use.
const (
	Top          View = iota // from above, on its ground
	Side                     // from the side, standing or laid flat
	Underneath               // gills, pores, spines or folds from below
	Surroundings             // the find small in its habitat
	Cut                      // cut lengthwise
	Base                     // dug-out base of the stem or point of attachment
)

// Views lists all views in their usual order.
var Views = []View{Top, Side, Underneath, Surroundings, Cut, Base}

var viewNames = [...]string{"top", "side", "underside", "surroundings", "section", "base"}

// String gives the view's name as used in record columns ("top", "underside").
func (v View) String() string {
	if v < 0 || int(v) >= len(viewNames) {
		return fmt.Sprintf("view %d", int(v))
	}
	return viewNames[v]
}

// ParseView is the inverse of View.String.
func ParseView(name string) (View, error) {
	for i, n := range viewNames {
		if n == name {
			return View(i), nil
		}
	}
	return 0, fmt.Errorf("there is no view called %q: use one of %v", name, viewNames)
}

// Find describes the find to be drawn. Lengths are true sizes in mm, 0 where
// they do not apply; L, A, B are the CIELAB (D65) of the fruitbody's main
// colour. Form, Substrate, Habit and Ripeness are states of the trade's
// character list (form "gilled", substrate "litter_leaf", ...); unknown words
// fall back to the nearest plain thing.
type Find struct {
	Seed                                         uint64 // same for all views of a find
	Form                                         string
	WidthMM, HeightMM, StemLengthMM, StemWidthMM float64
	L, A, B                                      float64
	ColourWords                                  string // e.g. "red with white warts", "grey zoned"
	SporePrint                                   string // tints ripe gills, e.g. "purple_brown"
	Substrate, Host, Habit, Ripeness             string
	NumberSeen                                   int
}

// Shot says how one photograph is taken.
type Shot struct {
	View       View
	Card       bool    // lay the field card beside the find
	Sharp      bool    // false: out of focus or shaken
	ExposureOK bool    // false: too dark or too light
	BendMM     float64 // by which the card's ends are bent up, 0 to 6
	Covered    bool    // a leaf lies over a corner of the card
	Shaded     bool    // a shadow's edge runs across the card
	TiltDeg    float64 // camera axis against the card's normal, 0 to 40 degrees
}

// Camera is what the invented phone writes into the picture file.
type Camera struct {
	Make, Model string
	Taken       time.Time // local time; its zone offset is written when HasOffset
	HasOffset   bool
	Lat, Lon    float64 // degrees, WGS 84, used when HasPlace
	HasPlace    bool
	AccuracyM   float64 // horizontal accuracy in metres; 0 = not given
}

// Picture size in pixels.
const (
	Width  = 1600
	Height = 1200
)

// Render draws one view of a find.
func Render(f Find, s Shot) *image.RGBA {
	return renderWith(f, s, options{}).img
}

// Photograph renders one view and encodes it as a JPEG file with EXIF. The
// quality falls with the picture's busyness, so that files of a season average
// below 380 kB.
func Photograph(f Find, s Shot, c Camera) ([]byte, error) {
	img := Render(f, s)
	var buf bytes.Buffer
	if err := jpeg.Encode(&buf, img, &jpeg.Options{Quality: jpegQuality(img)}); err != nil {
		return nil, fmt.Errorf("the picture could not be encoded: %w", err)
	}
	return WithEXIF(buf.Bytes(), c, Width, Height)
}

// jpegQuality picks the encoder quality from the mean absolute difference of
// neighbouring green values, a cheap measure of how many bytes a picture costs.
func jpegQuality(img *image.RGBA) int {
	w, h := img.Rect.Dx(), img.Rect.Dy()
	var sum, n int
	for y := 2; y < h; y += 5 {
		row := img.Pix[y*img.Stride : y*img.Stride+4*w]
		for x := 4; x+7 < len(row); x += 12 {
			d := int(row[x+1]) - int(row[x+5])
			if d < 0 {
				d = -d
			}
			sum += d
			n++
		}
	}
	busy := float64(sum) / float64(n)
	q := 88 - 2.6*busy
	if q < 52 {
		q = 52
	}
	return int(q)
}
