package cli

import (
	"bytes"
	"encoding/binary"
	"image"
	"image/jpeg"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"trug/science/card"
)

// lens is an EXIF segment that tells the size as taken and a lens of 26 mm.
func lens(width, height uint32) []byte {
	le := binary.LittleEndian
	tiff := []byte("II*\x00\x08\x00\x00\x00\x01\x00")
	entry := func(tag, kind uint16, value uint32) {
		tiff = le.AppendUint16(tiff, tag)
		tiff = le.AppendUint16(tiff, kind)
		tiff = le.AppendUint32(tiff, 1)
		tiff = le.AppendUint32(tiff, value)
	}
	entry(0x8769, 4, 26) // the Exif directory
	tiff = append(tiff, 0, 0, 0, 0, 3, 0)
	entry(0xa002, 4, width)
	entry(0xa003, 4, height)
	entry(0xa405, 3, 26)
	tiff = append(tiff, 0, 0, 0, 0)
	seg := append([]byte("Exif\x00\x00"), tiff...)
	return append(binary.BigEndian.AppendUint16([]byte{0xff, 0xe1}, uint16(len(seg)+2)), seg...)
}

// What is wrong with a file is told in a sentence, with what to do, and the
// uncertainty says the same.
func TestMeasureInBadFiles(t *testing.T) {
	whole, err := os.ReadFile(filepath.Join(renderedCards, "card_026.jpg"))
	if err != nil {
		t.Fatal(err)
	}
	size, err := jpeg.DecodeConfig(bytes.NewReader(whole))
	if err != nil {
		t.Fatal(err)
	}
	with := func(seg []byte) []byte { return append(append(append([]byte{}, whole[:2]...), seg...), whole[2:]...) }
	// The start of frame (SOF0) tells height and width; 20000 x 10000 it is not,
	// but what reads it must say no before it makes room.
	var small bytes.Buffer
	if err := jpeg.Encode(&small, image.NewGray(image.Rect(0, 0, 64, 64)), nil); err != nil {
		t.Fatal(err)
	}
	panorama := small.Bytes()
	at := bytes.Index(panorama, []byte{0xff, 0xc0})
	binary.BigEndian.PutUint16(panorama[at+5:], 10000)
	binary.BigEndian.PutUint16(panorama[at+7:], 20000)
	for _, c := range []struct {
		name   string
		file   []byte
		found  bool
		says   string
		height float64 // its expanded uncertainty as a part of it: not above, or not below where negative
	}{
		{"as taken", with(lens(uint32(size.Width), uint32(size.Height))), true, "", .1},
		{"cropped", with(lens(4000, 2250)), true, "was cropped after it was taken", -.1},
		{"no focal length", whole, true, "doesn't tell its focal length", -.1},
		{"a panorama of 200 megapixels", panorama, false, "take a single photograph instead of a panorama", 0},
		{"cut short", whole[:len(whole)/3], false, "", 0},
	} {
		path := filepath.Join(t.TempDir(), "a.jpg")
		if err := os.WriteFile(path, c.file, 0o600); err != nil {
			t.Fatal(err)
		}
		m := measureFile(t.Context(), new(card.Finder), path, asked{})
		says := strings.Join(m.Problems, " ")
		if m.Card.Found != c.found || !strings.Contains(says, c.says) || !c.found && says == "" {
			t.Errorf("%s: found %v, %q", c.name, m.Card.Found, says)
		}
		if !c.found {
			continue
		}
		if u := m.Card.HeightU95MM / m.Card.CameraHeightMM; c.height > 0 && u > c.height || c.height < 0 && u < -c.height {
			t.Errorf("%s: the camera's height is known to %.0f %%", c.name, 100*u)
		}
	}
}
