package photo

import (
	"bytes"
	"context"
	"errors"
	"image"
	"testing"
)

// FuzzRead: whatever the bytes, Read returns facts or a sentence of a known
// kind, and never panics.
func FuzzRead(f *testing.F) {
	block := buildEXIF([]exifEntry{{0x0112, uint16(6)}, {0x010f, "Maker"}}, []exifEntry{{0x9003, "2026:10:10 10:00:00"}},
		[]exifEntry{{1, "N"}, {2, degreesOf(51, 30, 0)}, {3, "W"}, {4, degreesOf(0, 7, 0)}}, 1)
	small := quarters(16, 16)
	f.Add(withEXIF(encodeJPEG(f, small), block))
	f.Add(withChunk(encodePNG(f, small), "eXIf", block))
	f.Add(testFile(f, "small.webp"))
	heif := testFile(f, "camera-files/iphone_13_pro_max.HEIC")
	f.Add(bytes.Clone(heif[:6000])) // the boxes without the picture
	f.Add([]byte{})
	f.Fuzz(func(t *testing.T, data []byte) {
		facts, err := Read(context.Background(), data, Limits{})
		if err == nil && (facts.Width <= 0 || facts.Height <= 0 || facts.Orientation < 1 || facts.Orientation > 8) {
			t.Errorf("facts without a size: %+v", facts)
		}
		if err == nil {
			return
		}
		for _, kind := range []error{ErrNotPhotograph, ErrTruncated, ErrDamaged, ErrTooLarge, ErrUnsupported} {
			if errors.Is(err, kind) {
				return
			}
		}
		t.Errorf("an error of no kind: %v", err)
	})
}

// FuzzUpright decodes what claims to be small, HEIC excepted, whose decoder is
// too slow for this.
func FuzzUpright(f *testing.F) {
	f.Add(encodeJPEG(f, quarters(16, 16)))
	f.Add(encodePNG(f, image.NewNRGBA(image.Rect(0, 0, 8, 8))))
	f.Add(testFile(f, "small.webp"))
	f.Fuzz(func(t *testing.T, data []byte) {
		if format, _ := Sniff(data[:min(len(data), SniffBytes)]); format == HEIC {
			return
		}
		img, err := Upright(context.Background(), data, Limits{MaxPixels: 1 << 18})
		if err == nil && img.Rect.Empty() {
			t.Error("an empty picture without an error")
		}
	})
}
