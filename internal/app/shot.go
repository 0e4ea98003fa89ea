package app

import (
	"bytes"
	"context"
	"fmt"
	"image"
	"io"
	"sync"

	"trug"
	"trug/science/card"
	"trug/science/photo"
	"trug/science/truecolour"
)

// shot is a photograph ready for its colours to be measured.
type shot struct {
	img   *image.RGBA // the whole original, upright
	of    trug.Hash
	flash bool
	frame trug.Crop // the part that is shown
	card  *card.Found
	// revision is that of science/card which found the card.
	revision int
	ref      truecolour.Reference
	table    trug.Hash // the file that ref was read from; empty for greys only
	done     func()
}

// lit is the picture whose colours were measured last, so that every tap need not
// decode it again.
type lit struct {
	mu    sync.Mutex
	of    trug.Hash
	img   *image.RGBA
	facts photo.Facts
}

// mostLit bounds what is kept, in pixels: 64 MB of memory.
const mostLit = 16e6

// shotOf opens a photograph with its card; done gives its memory and its place
// among the decoders back.
func (a *App) shotOf(ctx context.Context, l *ledger, p trug.Photograph) (s shot, err error) {
	c, err := a.cardIn(ctx, l, p)
	if err != nil {
		return s, err
	}
	if s.card, err = c.Card(); err != nil {
		return s, err
	}
	if c.Picture != p.Original {
		return s, trug.Errorf(trug.Invalid, "", "The original of this photograph was deleted, so that no colour can be measured in it any more.")
	}
	if s.ref, s.table, err = a.printedColours(ctx, l, c, s.card.Layout); err != nil {
		return s, err
	}
	s.of, s.frame, s.revision = p.Original, frameOf(p, c), c.Revision
	var facts photo.Facts
	s.img, facts, s.done, err = a.litPicture(ctx, p.Original)
	s.flash = facts.Flash
	return s, err
}

// litPicture is upright, but for the last picture, which it keeps decoded.
func (a *App) litPicture(ctx context.Context, h trug.Hash) (*image.RGBA, photo.Facts, func(), error) {
	a.lit.mu.Lock()
	img, facts, held := a.lit.img, a.lit.facts, a.lit.of == h
	a.lit.mu.Unlock()
	if held {
		select {
		case a.decoders <- struct{}{}:
			return img, facts, func() { <-a.decoders }, nil
		case <-ctx.Done():
			return nil, facts, nil, ctx.Err()
		}
	}
	img, facts, done, err := a.upright(ctx, h)
	if err == nil && img.Rect.Dx()*img.Rect.Dy() <= mostLit {
		a.lit.mu.Lock()
		a.lit.of, a.lit.img, a.lit.facts = h, img, facts
		a.lit.mu.Unlock()
	}
	return img, facts, done, err
}

// printedColours is what the fields of the card in a photograph truly look like:
// by the table of its printing, or, without one, its greys alone as they were
// sent to the printer.
func (a *App) printedColours(ctx context.Context, l *ledger, c trug.FoundCard, layout *card.Layout) (truecolour.Reference, trug.Hash, error) {
	if b, ok := l.batchOf(c); ok && b.Colours != nil {
		table, err := a.readKept(ctx, b.Colours.Table)
		if err != nil {
			return truecolour.Reference{}, "", fmt.Errorf("read a printing's colours: %w", err)
		}
		ref, err := truecolour.ReadReference(bytes.NewReader(table), layout)
		return ref, b.Colours.Table, err
	}
	return truecolour.Unmeasured(layout), "", nil
}

// CorrectedView is a view as its card corrects it: a JPEG of the size of the
// screen derivative, without metadata, of the part that the viewer sees.
func (a *App) CorrectedView(ctx context.Context, v Viewer, view trug.ID) (File, error) {
	l, err := a.open(ctx, v, SeeSizes)
	if err != nil {
		return File{}, err
	}
	_, w, err := l.viewToMeasure(v, view)
	if err != nil {
		return File{}, err
	}
	p := l.photographs[w.PhotographID]
	s, err := a.shotOf(ctx, l, p)
	if err != nil {
		return File{}, err
	}
	defer s.done()
	correction, _, err := truecolour.Look(s.img, &s.card.Plane, s.card.Layout, s.ref, s.flash)
	if err != nil {
		return File{}, trug.Errorf(trug.Invalid, "", "%s", fullStop(err))
	}
	shown := s.img
	if s.frame.Left+s.frame.Top != 0 || s.frame.Width != s.img.Rect.Dx() || s.frame.Height != s.img.Rect.Dy() {
		shown = partAlone(s.img, s.frame)
	}
	small := photo.Scale(shown, screenSide)
	sx, sy := float64(s.frame.Width)/float64(small.Rect.Dx()), float64(s.frame.Height)/float64(small.Rect.Dy())
	corrected := correction.Picture(small, func(x, y int) (card.Spot, bool) {
		return s.card.Plane.ToCard(card.Pixel{X: (float64(x)+.5)*sx - .5 + float64(s.frame.Left), Y: (float64(y)+.5)*sy - .5 + float64(s.frame.Top)})
	})
	data, _, err := derivative(corrected, screenSide, screenQuality)
	if err != nil {
		return File{}, err
	}
	return File{ReadSeekCloser: inMemory{bytes.NewReader(data)}, Hash: hashOf(data), Type: "image/jpeg", Made: p.Created}, nil
}

// inMemory is a file that was just made.
type inMemory struct{ io.ReadSeeker }

// Close does nothing: nothing is open.
func (inMemory) Close() error { return nil }
