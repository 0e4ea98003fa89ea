package app

import (
	"bytes"
	"context"
	"image"
	"image/color"
	"image/draw"

	"trug"
	"trug/internal/store"
	"trug/science/photo"
)

// newPhotograph is what a file becomes: the photograph, what it shows of the field card, and the
// bytes of its derivatives, which are missing while they are left for later.
type newPhotograph struct {
	trug.Photograph
	card          trug.FoundCard
	screen, thumb []byte
}

// limitsOfPhotographs bound every file that is read.
var limitsOfPhotographs = photo.Limits{MaxBytes: MaxPhotographBytes, MaxPixels: MaxPhotographPixels}

// undeveloped makes of a file what its head tells, without decoding the picture.
func (a *App) undeveloped(ctx context.Context, fileName string, data []byte) (m newPhotograph, err error) {
	_, m, err = a.factsOf(ctx, fileName, data)
	return m, err
}

func (a *App) factsOf(ctx context.Context, fileName string, data []byte) (facts photo.Facts, m newPhotograph, err error) {
	facts, err = photo.Read(ctx, data, limitsOfPhotographs)
	if err != nil {
		return facts, m, fileFault(fileName, err)
	}
	if err := tooManyPixels(fileName, facts); err != nil {
		return facts, m, err
	}
	m.Photograph = a.photographOf(fileName, facts)
	m.Bytes = int64(len(data))
	m.Width, m.Height = facts.Width, facts.Height
	m.Screen.Width, m.Screen.Height = photo.Scaled(m.Width, m.Height, screenSide)
	m.Thumb.Width, m.Thumb.Height = photo.Scaled(m.Width, m.Height, thumbSide)
	return facts, m, nil
}

// develop reads a photograph, looks for the field card and makes derivatives. It
// waits for memory and for a place among the decoders, so that many files at once
// exhaust neither.
func (a *App) develop(ctx context.Context, fileName string, data []byte) (newPhotograph, error) {
	facts, m, err := a.factsOf(ctx, fileName, data)
	if err != nil {
		return m, err
	}
	giveBack, err := a.pictures.take(ctx, decodingBytes(facts))
	if err != nil {
		return m, err
	}
	defer giveBack()
	select {
	case a.decoders <- struct{}{}:
		defer func() { <-a.decoders }()
	case <-ctx.Done():
		return m, ctx.Err()
	}
	upright, err := photo.Upright(ctx, data, limitsOfPhotographs)
	if err != nil {
		return m, fileFault(fileName, err)
	}
	m.Width, m.Height = upright.Bounds().Dx(), upright.Bounds().Dy()
	m.card = a.findCard(upright, facts)
	return m, m.derive(upright)
}

// derive makes both derivatives of a picture.
func (m *newPhotograph) derive(upright *image.RGBA) (err error) {
	if m.screen, m.Screen, err = derivative(upright, screenSide, screenQuality); err != nil {
		return err
	}
	m.thumb, m.Thumb, err = derivative(upright, thumbSide, thumbQuality)
	return err
}

func derivative(upright *image.RGBA, side, quality int) ([]byte, trug.Derivative, error) {
	data, w, h, err := photo.Derivative(upright, side, quality)
	return data, trug.Derivative{Bytes: int64(len(data)), Width: w, Height: h}, err
}

// unreadable makes of a file whose picture can't be decoded a plain grey one of its
// shape, and says so beside it. Such a file passed for a photograph by its head, its
// record is kept, and the phone has it no more.
func (m *newPhotograph) unreadable(says string) error {
	w, h := photo.Scaled(max(m.Width, 1), max(m.Height, 1), screenSide)
	grey := image.NewRGBA(image.Rect(0, 0, w, h))
	draw.Draw(grey, grey.Rect, image.NewUniform(color.Gray{Y: 0xb4}), image.Point{}, draw.Src)
	m.Unreadable = true
	m.Notes = append(m.Notes, "The picture in this file can't be read ("+says+"): take the photograph again if you can.")
	m.card = trug.FoundCard{Width: m.Width, Height: m.Height, Problems: []string{"The picture in this file can't be read."}}
	return m.derive(grey)
}

// putDerivatives makes the derivatives durable, where there are any.
func (a *App) putDerivatives(ctx context.Context, m *newPhotograph) error {
	for _, put := range []struct {
		data []byte
		into *trug.Hash
	}{{m.screen, &m.Screen.Hash}, {m.thumb, &m.Thumb.Hash}} {
		if put.data == nil {
			continue
		}
		h, _, err := a.Blobs.Put(ctx, bytes.NewReader(put.data), MaxPhotographBytes)
		if err != nil {
			return err
		}
		*put.into = h
	}
	return nil
}

// putCard keeps what a photograph shows of the card.
func (a *App) putCard(ctx context.Context, w store.Writer, m newPhotograph, by store.Author) (err error) {
	c := m.card
	if c.ID, err = a.newID(); err != nil {
		return err
	}
	c.SeasonID, c.PhotographID, c.Picture, c.Created = m.SeasonID, m.ID, m.Original, a.Clock()
	return store.Put(ctx, w, c, by, a.Clock())
}
