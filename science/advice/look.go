package advice

import (
	"image"

	"trug/science/card"
	"trug/science/view"
)

// Looked is what a photograph shows and what can be done better about it.
type Looked struct {
	Seen   view.Seen `json:"seen"`
	Advice []Advice  `json:"advice"`
}

// Look reads a photograph and advises on it as a view of a kind: the one way for
// phone and server alike.
func Look(f *card.Finder, img *image.RGBA, kind Kind, known view.Known) Looked {
	known.Flat, known.Purpose = kind == Top, purposeOf(kind)
	seen := view.Read(f, img, known)
	return Looked{Seen: seen, Advice: Of(seen, kind)}
}
