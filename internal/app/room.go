package app

import (
	"context"
	"io"
	"time"

	"golang.org/x/sync/semaphore"

	"trug"
	"trug/science/photo"
)

// Memory that photographs may take while they are handed in, whatever their
// number: the files as they arrive, and the pictures while they are decoded.
const (
	roomForFiles    = 640 << 20
	roomForPictures = 1536 << 20
	// MaxHEICPixels bounds a HEIC, whose decoder takes far more memory than its
	// file and can't be interrupted: the largest that phones write has 49 million.
	MaxHEICPixels = 50e6
)

// waitsForRoom is how long a photograph waits for memory before its sender is
// asked to come again. Two HEIC of 12 megapixels are decoded in about 5 s.
const waitsForRoom = time.Minute

// waitsForTurn is how long a message waits until its photographs, which came in
// pieces and lie on the disk, are read into memory and looked at. Proxies and
// phones give up on an answer after a minute (common practice, no source).
const waitsForTurn = 15 * time.Second

// room is memory that is handed out and taken back.
type room struct {
	size  int64
	waits time.Duration
	given *semaphore.Weighted
}

func newRoom(size int64, waits time.Duration) room {
	return room{size, waits, semaphore.NewWeighted(size)}
}

// take waits for memory and returns how to give it back. Whoever asks for more
// than there is gets all of it, alone. The error is of kind Busy when the wait
// was too long, and the context's when that ended.
func (r room) take(ctx context.Context, bytes int64) (giveBack func(), err error) {
	bytes = min(max(bytes, 1), r.size)
	wait, stop := context.WithTimeout(ctx, r.waits)
	defer stop()
	if err := r.given.Acquire(wait, bytes); err != nil {
		if ctx.Err() != nil {
			return nil, ctx.Err()
		}
		return nil, trug.Errorf(trug.Busy, "", "Many photographs are being handed in just now. This one waits on your device; send it again in a minute.")
	}
	return func() { r.given.Release(bytes) }, nil
}

// Sized is a file whose length is known before it is read, so that no more
// memory is set aside for it than it needs; negative where it is not known.
type Sized struct {
	io.Reader
	Size int64
}

// lengthOf returns how much memory a file may need when it is read.
func lengthOf(r io.Reader) int64 {
	if s, ok := r.(Sized); ok && s.Size >= 0 {
		return min(s.Size, MaxPhotographBytes)
	}
	return MaxPhotographBytes
}

// decodingBytes returns about how much memory the decoding of a picture takes
// with its upright copy. Measured per pixel with the decoders of science/photo:
// HEIC 26, a progressive JPEG 12 for its coefficients, the copy 4, what is
// turned 4 more. Looking for the card takes 3, when the decoder's are free again.
func decodingBytes(f photo.Facts) int64 {
	each := int64(12)
	switch {
	case f.Format == photo.HEIC:
		each = 30
	case f.Progressive:
		each = 24
	}
	return each * int64(f.Width) * int64(f.Height)
}

// tooManyPixels refuses a picture that can't be decoded in bounded memory.
func tooManyPixels(fileName string, f photo.Facts) error {
	if f.Format == photo.HEIC && int64(f.Width)*int64(f.Height) > MaxHEICPixels {
		return trug.Errorf(trug.TooLarge, fileName, "the picture has %d × %d pixels, the most taken as HEIC is %d million: save it as JPEG", f.Width, f.Height, int(MaxHEICPixels/1e6))
	}
	return nil
}
