package photo

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"image"
	"image/draw"
	"image/jpeg"
	"image/png"
	"io"
	"strings"

	"golang.org/x/image/webp"

	"trug/science/said"
)

// Upright decodes a photograph, turns it the right way up and brings its colours
// to sRGB. Transparent parts become white. A colour profile that works by tables
// is not followed; Read says so in a note. Errors are those of Read.
//
// It stops soon after ctx ends, save within HEIC, whose decoder cannot be
// interrupted. See DecodeBytes for the memory it takes.
func Upright(ctx context.Context, data []byte, limits Limits) (*image.RGBA, error) {
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	format, c, err := scanContainer(data, limits)
	if err != nil {
		return nil, err
	}
	f := Facts{Orientation: 1}
	tags := readEXIF(c.exif, &f)
	if c.upright {
		f.Orientation = 1
	}
	// A profile that cannot be followed is no reason to refuse the picture.
	toSRGB, _ := colours(c, tags)
	decoded, err := decode(ctx, format, data)
	if err != nil {
		return nil, decodeError(ctx, err)
	}
	b := decoded.Bounds()
	if int64(b.Dx())*int64(b.Dy()) > limits.orDefault().MaxPixels || b.Empty() {
		return nil, damaged(fmt.Sprintf("the picture in it has %d × %d pixels", b.Dx(), b.Dy()))
	}
	return finish(ctx, decoded, c.coding, &toSRGB, f.Orientation)
}

// cancelReader ends a decoder soon after the context ends.
type cancelReader struct {
	ctx context.Context
	r   *bytes.Reader
}

func (c cancelReader) Read(p []byte) (int, error) {
	if err := c.ctx.Err(); err != nil {
		return 0, err
	}
	return c.r.Read(p)
}

func decode(ctx context.Context, format Format, data []byte) (picture image.Image, err error) {
	// The decoders are others' code and the bytes a stranger's.
	defer func() {
		if p := recover(); p != nil {
			picture, err = nil, fmt.Errorf("the decoder gave up: %v", p)
		}
	}()
	r := cancelReader{ctx, bytes.NewReader(data)}
	switch format {
	case JPEG:
		return jpeg.Decode(r)
	case PNG:
		return png.Decode(r)
	case WebP:
		return webp.Decode(r)
	case HEIC:
		return decodeHEIC(data)
	}
	return nil, fmt.Errorf("format %q is unknown", format)
}

func decodeError(ctx context.Context, err error) error {
	var ours *said.Error
	switch {
	case ctx.Err() != nil:
		return ctx.Err()
	case errors.As(err, &ours):
		return err
	case errors.Is(err, io.ErrUnexpectedEOF) || errors.Is(err, io.EOF):
		return truncated(0)
	case strings.Contains(err.Error(), "unsupported"):
		return say(ErrUnsupported, "this kind of picture cannot be read (%v): save it as an ordinary JPEG", err)
	}
	return damaged(err.Error())
}

// rows is how many rows are worked on at a time: enough that turning a picture
// by a quarter writes whole lines of the processor's cache.
const rows = 16

// finish converts, colours and turns a decoded picture in one pass, so that no
// second copy of it is ever held.
func finish(ctx context.Context, src image.Image, k coding, t *transform, orientation int) (*image.RGBA, error) {
	b := src.Bounds()
	w, h := b.Dx(), b.Dy()
	size := image.Rect(0, 0, w, h)
	if orientation >= 5 {
		size = image.Rect(0, 0, h, w)
	}
	dst := image.NewRGBA(size)
	band := image.NewRGBA(image.Rect(0, 0, w, rows))
	load := loader(src, k)
	for y := 0; y < h; y += rows {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		n := min(rows, h-y)
		load(band, y, n)
		if !t.identity {
			t.apply(band.Pix[:n*band.Stride])
		}
		store(dst, band, y, n, w, h, orientation)
	}
	return dst, nil
}

// loader gives a function that fills a band with n rows of src from row y on.
func loader(src image.Image, k coding) func(band *image.RGBA, y, n int) {
	b := src.Bounds()
	if ycc, ok := src.(*image.YCbCr); ok && k != (coding{}) && k != codingFull601 {
		c := newConverter(k)
		return func(band *image.RGBA, y, n int) {
			for i := range n {
				c.row(band.Pix[i*band.Stride:], ycc, b.Min.Y+y+i)
			}
		}
	}
	opaque := false
	if o, ok := src.(interface{ Opaque() bool }); ok {
		opaque = o.Opaque()
	}
	if a, ok := src.(*image.NYCbCrA); ok && k.video {
		src = &videoAlpha{a, newConverter(k)}
	}
	return func(band *image.RGBA, y, n int) {
		area := image.Rect(0, 0, b.Dx(), n)
		if opaque {
			draw.Draw(band, area, src, image.Pt(b.Min.X, b.Min.Y+y), draw.Src)
			return
		}
		draw.Draw(band, area, image.White, image.Point{}, draw.Src)
		draw.Draw(band, area, src, image.Pt(b.Min.X, b.Min.Y+y), draw.Over)
	}
}

// store puts a band in its place by EXIF's orientation.
func store(dst, band *image.RGBA, y, n, w, h, orientation int) {
	mirrored := orientation == 2 || orientation == 3 || orientation == 7 || orientation == 8
	fromEnd := orientation == 3 || orientation == 4 || orientation == 6 || orientation == 7
	for i := range n {
		at := y + i // the row of dst, or its column when turned by a quarter
		if fromEnd {
			at = h - 1 - at
		}
		row := band.Pix[i*band.Stride : i*band.Stride+4*w]
		switch {
		case orientation < 5 && !mirrored:
			copy(dst.Pix[at*dst.Stride:], row)
		case orientation < 5:
			out := dst.Pix[at*dst.Stride : at*dst.Stride+4*w]
			for x := 0; x < w; x++ {
				copy(out[4*(w-1-x):4*(w-x)], row[4*x:4*x+4])
			}
		}
	}
	if orientation < 5 {
		return
	}
	for x := range w {
		line := x
		if mirrored {
			line = w - 1 - x
		}
		out := dst.Pix[line*dst.Stride : line*dst.Stride+4*h]
		for i := range n {
			at := y + i
			if fromEnd {
				at = h - 1 - at
			}
			copy(out[4*at:4*at+4], band.Pix[i*band.Stride+4*x:i*band.Stride+4*x+4])
		}
	}
}
