package app

import (
	"bytes"
	"context"
	"fmt"
	"image"
	"io"
	"math"

	"trug"
	"trug/internal/store"
	"trug/science/photo"
)

// GivenCrop is the part of a view that is to stay, in fractions of the picture
// as it is shown.
type GivenCrop struct {
	Left   float64 `json:"left" minimum:"0" maximum:"1"`
	Top    float64 `json:"top" minimum:"0" maximum:"1"`
	Width  float64 `json:"width" minimum:"0" maximum:"1"`
	Height float64 `json:"height" minimum:"0" maximum:"1"`
	// SeenWidth and SeenHeight are the size of the picture that was looked at;
	// 0 where nobody says.
	SeenWidth  int `json:"seenWidth,omitempty" minimum:"0" doc:"fullWidth of the view as it was shown: a crop that was meant for another picture is refused"`
	SeenHeight int `json:"seenHeight,omitempty" minimum:"0"`
}

// leastCrop is the least side of what stays, in pixels of the original: below
// it nobody could name a find.
const leastCrop = 32

// CropView cuts a person out of a view and shows the rest: new derivatives are
// made of the part that stays, and neither the former ones nor the original
// are handed to anybody from then on, the recorder and the coordinator
// included. The original stays in the store, where only whoever has the data
// folder finds it. A coordinator's crop settles the marks of the view. A
// recorder may crop their own views; where one is marked it stays withheld until
// a coordinator has looked, since nobody judges in their own matter.
func (a *App) CropView(ctx context.Context, v Viewer, view trug.ID, g GivenCrop) error {
	l, err := a.open(ctx, v, CropAView)
	if err != nil {
		return err
	}
	f, w, ok := l.viewOf(view)
	switch {
	case !ok || !l.visible(v, f):
		return noView()
	case !l.mayCrop(v, f):
		return trug.Errorf(trug.NotAllowed, "", "A view is cropped by its recorder or the coordinator. If a person can be seen on it, mark it: it is withheld at once.")
	}
	p := l.photographs[w.PhotographID]
	if g.SeenWidth > 0 && g.SeenWidth != p.Width || g.SeenHeight > 0 && g.SeenHeight != p.Height {
		return trug.Errorf(trug.Conflict, "", "This view was cropped meanwhile: look at it again, and draw anew what is to stay.")
	}
	if p, err = a.cropped(ctx, p, g); err != nil {
		return err
	}
	p.Crop.By, p.Crop.At = v.Person.ID, a.Clock()
	return a.write(ctx, func(w store.Writer) error {
		if err := store.Put(ctx, w, p, a.author(v), a.Clock()); err != nil || !v.has(trug.Coordinator) {
			return err
		}
		return a.settle(ctx, w, v, view, trug.Cropped, "")
	})
}

// mayCrop reports whether the viewer may crop the views of a find.
func (l *ledger) mayCrop(v Viewer, f *find) bool {
	return v.is(f.RecorderID) || v.has(trug.Coordinator)
}

// cropped makes the derivatives of a part of a photograph.
func (a *App) cropped(ctx context.Context, p trug.Photograph, g GivenCrop) (trug.Photograph, error) {
	upright, _, done, err := a.upright(ctx, p.Original)
	if err != nil {
		return p, err
	}
	defer done()
	shown := upright.Bounds()
	if c := p.Crop; c != nil {
		shown = image.Rect(c.Left, c.Top, c.Left+c.Width, c.Top+c.Height)
	}
	part, err := partOf(shown, g)
	if err != nil {
		return p, err
	}
	alone := partAlone(upright, trug.Crop{Left: part.Min.X, Top: part.Min.Y, Width: part.Dx(), Height: part.Dy()})
	screen, screenIs, err := derivative(alone, screenSide, screenQuality)
	if err != nil {
		return p, err
	}
	thumb, thumbIs, err := derivative(alone, thumbSide, thumbQuality)
	if err != nil {
		return p, err
	}
	p.Screen, p.Thumb = screenIs, thumbIs
	p.Crop = &trug.Crop{Left: part.Min.X, Top: part.Min.Y, Width: part.Dx(), Height: part.Dy(),
		FullWidth: upright.Bounds().Dx(), FullHeight: upright.Bounds().Dy()}
	p.Width, p.Height = part.Dx(), part.Dy()
	for _, put := range []struct {
		data []byte
		into *trug.Hash
	}{{screen, &p.Screen.Hash}, {thumb, &p.Thumb.Hash}} {
		if *put.into, _, err = a.Blobs.Put(ctx, bytes.NewReader(put.data), MaxPhotographBytes); err != nil {
			return p, fmt.Errorf("keep a cropped view: %w", err)
		}
	}
	return p, nil
}

// upright decodes an original that is kept, when there is memory and a place
// among the decoders for it, and tells what its file says; done gives both back.
func (a *App) upright(ctx context.Context, h trug.Hash) (img *image.RGBA, facts photo.Facts, done func(), err error) {
	file, err := a.Blobs.Open(ctx, h)
	if err != nil {
		return nil, facts, nil, fmt.Errorf("open an original: %w", err)
	}
	defer file.Close()
	data, err := io.ReadAll(io.LimitReader(file, MaxPhotographBytes))
	if err != nil {
		return nil, facts, nil, fmt.Errorf("read an original: %w", err)
	}
	limits := photo.Limits{MaxBytes: MaxPhotographBytes, MaxPixels: MaxPhotographPixels}
	facts, err = photo.Read(ctx, data, limits)
	if err != nil {
		return nil, facts, nil, fmt.Errorf("read an original: %w", err)
	}
	giveBack, err := a.pictures.take(ctx, decodingBytes(facts))
	if err != nil {
		return nil, facts, nil, err
	}
	select {
	case a.decoders <- struct{}{}:
	case <-ctx.Done():
		giveBack()
		return nil, facts, nil, ctx.Err()
	}
	done = func() { <-a.decoders; giveBack() }
	if img, err = photo.Upright(ctx, data, limits); err != nil {
		done()
	}
	return img, facts, done, err
}

// partOf returns the part in pixels. Edges are moved inward to whole pixels, so
// that nothing of what was cut away stays.
func partOf(shown image.Rectangle, g GivenCrop) (image.Rectangle, error) {
	for _, x := range []float64{g.Left, g.Top, g.Width, g.Height} {
		if math.IsNaN(x) || x < 0 || x > 1 {
			return shown, trug.Errorf(trug.Invalid, "left", "the part lies beside the picture: give its edges in parts of the picture, 0 to 1")
		}
	}
	w, h := float64(shown.Dx()), float64(shown.Dy())
	const slack = 1e-9 // of a pixel count, for edges that were meant to be whole
	part := image.Rect(shown.Min.X+int(math.Ceil(g.Left*w-slack)), shown.Min.Y+int(math.Ceil(g.Top*h-slack)),
		shown.Min.X+int(math.Floor((g.Left+g.Width)*w+slack)), shown.Min.Y+int(math.Floor((g.Top+g.Height)*h+slack))).Intersect(shown)
	switch {
	case part.Dx() < leastCrop || part.Dy() < leastCrop:
		return part, trug.Errorf(trug.Invalid, "width", "so little of the picture would stay that nobody could name the find: leave at least %d pixels each way, or take the view out of its record", leastCrop)
	case part == shown:
		return part, trug.Errorf(trug.Invalid, "width", "this is the whole picture: draw the part that is to stay, or clear the view if nobody is to be seen on it")
	}
	return part, nil
}

// partAlone copies a part of a picture.
func partAlone(img *image.RGBA, c trug.Crop) *image.RGBA {
	alone := image.NewRGBA(image.Rect(0, 0, c.Width, c.Height))
	for y := range c.Height {
		from := img.PixOffset(c.Left, c.Top+y)
		copy(alone.Pix[y*alone.Stride:][:4*c.Width], img.Pix[from:])
	}
	return alone
}
