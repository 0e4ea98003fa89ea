package main

import (
	"bytes"
	"crypto/sha256"
	"encoding/binary"
	"encoding/hex"
	"image"
	"image/jpeg"
	"math/rand/v2"
)

// picture is a JPEG from which photographs with bytes of their own are made.
type picture struct{ jpeg []byte }

// newPicture encodes noise, as a JPEG of about so many bytes. Where no number of
// pixels is asked for there are as few as hold the bytes. What the asked pixels
// do not fill is filled with comments: such a photograph takes its way and its
// room like one of a phone, and with little detail the server has less to do in
// looking at it.
func newPicture(size, pixels int, seed uint64) picture {
	detail := 10 // of 255 levels
	if pixels == 0 {
		pixels, detail = size*7/10, 256
	}
	w := 16
	for w*w*3/4 < pixels {
		w += 16
	}
	img := noise(w, w*3/4, detail, rand.New(rand.NewPCG(seed, 7)))
	best := encoded(img, 5)
	for low, high := 5, 100; low <= high; {
		quality := (low + high) / 2
		if got := encoded(img, quality); len(got) <= size {
			best, low = got, quality+1
		} else {
			high = quality - 1
		}
	}
	return picture{padded(best, size, rand.New(rand.NewPCG(seed, 8)))}
}

// padded puts comments (ISO/IEC 10918-1, B.2.4.5) of noise after the start of the
// image until the file has about so many bytes.
func padded(file []byte, size int, r *rand.Rand) []byte {
	out := append(make([]byte, 0, size), file[:2]...)
	for missing := size - mark - len(file); missing > 4; {
		n := min(missing, 0xffff+2)
		out = append(out, 0xff, 0xfe, byte((n-2)>>8), byte(n-2))
		for range n - 4 {
			out = append(out, byte(r.Uint32()))
		}
		missing -= n
	}
	return append(out, file[2:]...)
}

func noise(w, h, detail int, r *rand.Rand) image.Image {
	img := image.NewYCbCr(image.Rect(0, 0, w, h), image.YCbCrSubsampleRatio420)
	for _, plane := range [][]uint8{img.Y, img.Cb, img.Cr} {
		for i := range plane {
			plane[i] = uint8(128 - detail/2 + r.IntN(detail))
		}
	}
	return img
}

func encoded(img image.Image, quality int) []byte {
	var out bytes.Buffer
	_ = jpeg.Encode(&out, img, &jpeg.Options{Quality: quality}) // a buffer takes all
	return out.Bytes()
}

// mark is the length of the comment that tells photographs apart.
const mark = 2 + 2 + 32

// bytesOf returns a photograph of its own: the picture with one more
// comment, drawn from the seed.
func (p picture) bytesOf(seed uint64) []byte {
	var from [8]byte
	binary.BigEndian.PutUint64(from[:], seed)
	own := sha256.Sum256(from[:])
	out := make([]byte, 0, len(p.jpeg)+mark)
	out = append(out, p.jpeg[:2]...)
	out = append(out, 0xff, 0xfe, 0, mark-2)
	out = append(out, own[:]...)
	return append(out, p.jpeg[2:]...)
}

func hashOf(data []byte) string {
	sum := sha256.Sum256(data)
	return hex.EncodeToString(sum[:])
}
