package photo

import (
	"bytes"
	"encoding/binary"
	"hash/crc32"
	"image"
	"image/color"
	"image/jpeg"
	"image/png"
	"testing"
)

// Small files made here, byte by byte where it matters.

// exifEntry is one tag: ASCII text, a short, or rationals.
type exifEntry struct {
	tag   uint16
	value any // string, uint16, []uint32 (numerator, denominator, …)
}

// buildEXIF writes a little-endian block with a main directory, and one each for
// EXIF and position. thumbnail is the orientation written for the thumbnail.
func buildEXIF(main, exif, gps []exifEntry, thumbnail uint16) []byte {
	le := binary.LittleEndian
	size := func(n int) int { return 2 + 12*n + 4 }
	at := 8
	at += size(len(main) + 2)
	exifAt := at
	at += size(len(exif))
	gpsAt := at
	at += size(len(gps))
	thumbAt := at
	at += size(1)
	out := append([]byte("II*\x00"), le.AppendUint32(nil, 8)...)
	var heap []byte
	directory := func(entries []exifEntry, next int) {
		out = le.AppendUint16(out, uint16(len(entries)))
		for _, e := range entries {
			kind, count, data := encodeEXIF(e.value)
			out = le.AppendUint16(out, e.tag)
			out = le.AppendUint16(out, kind)
			out = le.AppendUint32(out, count)
			if len(data) > 4 {
				out = le.AppendUint32(out, uint32(at+len(heap)))
				heap = append(heap, data...)
			} else {
				out = append(out, append(data, 0, 0, 0, 0)[:4]...)
			}
		}
		out = le.AppendUint32(out, uint32(next))
	}
	main = append(main, exifEntry{0x8769, uint32(exifAt)}, exifEntry{0x8825, uint32(gpsAt)})
	directory(main, thumbAt)
	directory(exif, 0)
	directory(gps, 0)
	directory([]exifEntry{{0x0112, thumbnail}}, 0)
	return append(out, heap...)
}

func encodeEXIF(v any) (kind uint16, count uint32, data []byte) {
	le := binary.LittleEndian
	switch v := v.(type) {
	case string:
		return 2, uint32(len(v) + 1), append([]byte(v), 0)
	case uint16:
		return 3, 1, le.AppendUint16(nil, v)
	case uint32:
		return 4, 1, le.AppendUint32(nil, v)
	case []uint32:
		for _, x := range v {
			data = le.AppendUint32(data, x)
		}
		return 5, uint32(len(v) / 2), data
	}
	panic("unknown kind of value")
}

// withSegment puts a segment directly behind the start of a JPEG.
func withSegment(file []byte, marker byte, body []byte) []byte {
	out := append([]byte{}, file[:2]...)
	out = append(out, 0xff, marker)
	out = binary.BigEndian.AppendUint16(out, uint16(len(body)+2))
	out = append(out, body...)
	return append(out, file[2:]...)
}

func withEXIF(file, block []byte) []byte {
	return withSegment(file, jpegAPP1, append([]byte("Exif\x00\x00"), block...))
}

// withChunk puts a chunk behind the header of a PNG.
func withChunk(file []byte, kind string, body []byte) []byte {
	const afterHeader = 8 + 25
	chunk := binary.BigEndian.AppendUint32(nil, uint32(len(body)))
	chunk = append(append(chunk, kind...), body...)
	chunk = binary.BigEndian.AppendUint32(chunk, crc32.ChecksumIEEE(chunk[4:]))
	return append(append(append([]byte{}, file[:afterHeader]...), chunk...), file[afterHeader:]...)
}

// quarters is a picture with four corners in different colours: red, green /
// blue, white. Its sizes are multiples of JPEG's blocks.
func quarters(w, h int) *image.RGBA {
	img := image.NewRGBA(image.Rect(0, 0, w, h))
	for y := range h {
		for x := range w {
			img.Set(x, y, [2][2]color.RGBA{{{255, 0, 0, 255}, {0, 255, 0, 255}}, {{0, 0, 255, 255}, {255, 255, 255, 255}}}[2*y/h][2*x/w])
		}
	}
	return img
}

func encodeJPEG(t testing.TB, img image.Image) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := jpeg.Encode(&b, img, &jpeg.Options{Quality: 95}); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

func encodePNG(t testing.TB, img image.Image) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := png.Encode(&b, img); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}
