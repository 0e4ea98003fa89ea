package photo

import (
	"encoding/binary"
	"sync"
	"testing"
)

// TestSmallHEIC: the colours of the corners come out, and the primary of several
// pictures is used (testdata/heic/SOURCES.md).
func TestSmallHEIC(t *testing.T) {
	for name, images := range map[string]int{"one.heic": 1, "two.heic": 2} {
		file := testFile(t, "heic/"+name)
		f, err := Read(t.Context(), file, Limits{})
		if err != nil {
			t.Fatal(err)
		}
		if f.Format != HEIC || f.Width != 128 || f.Height != 64 || f.ImagesInFile != images {
			t.Errorf("%s: %+v", name, f)
		}
		if noted := len(f.Notes) == 1 && f.Notes[0].Kind == NoteSeveralImages; noted != (images > 1) {
			t.Errorf("%s: notes are %v", name, f.Notes)
		}
		img, err := Upright(t.Context(), file, Limits{})
		if err != nil {
			t.Fatal(err)
		}
		got := [4]string{nameOf(img.RGBAAt(8, 8)), nameOf(img.RGBAAt(120, 8)), nameOf(img.RGBAAt(8, 56)), nameOf(img.RGBAAt(120, 56))}
		if want := [4]string{"red", "green", "blue", "white"}; got != want {
			t.Errorf("%s: corners are %v, want %v: %v", name, got, want, img.RGBAAt(8, 8))
		}
		// Even quarters coded at high quality come back within a few steps; the
		// wrong matrix or range is off by 20 and more.
		if c := img.RGBAAt(120, 8); c.R > 12 || c.G < 243 || c.B > 12 {
			t.Errorf("%s: green became %v", name, c)
		}
	}
}

// TestHEICTurn: the container's turn by a quarter swaps width and height, and
// its colour box tells primaries and coding.
func TestHEICTurn(t *testing.T) {
	box := func(kind string, body ...byte) []byte {
		return append(append(binary.BigEndian.AppendUint32(nil, uint32(len(body)+8)), kind...), body...)
	}
	join := func(parts ...[]byte) (all []byte) {
		for _, p := range parts {
			all = append(all, p...)
		}
		return all
	}
	video := box("colr", 'n', 'c', 'l', 'x', 0, 12, 0, 13, 0, 1, 0) // Display P3, coded as BT.709 video
	ispe := box("ispe", 0, 0, 0, 0, 0, 0, 0, 40, 0, 0, 0, 30)
	for _, c := range []struct{ angle byte }{{0}, {1}, {2}, {3}} {
		file := join(box("ftyp", []byte("heic\x00\x00\x00\x00heic")...), box("meta", join([]byte{0, 0, 0, 0},
			box("pitm", 0, 0, 0, 0, 0, 1),
			box("iprp", join(box("ipco", join(ispe, box("irot", c.angle), video)...),
				box("ipma", 0, 0, 0, 0, 0, 0, 0, 1, 0, 1, 3, 1, 0x82, 3))...))...))
		f, err := Read(t.Context(), file, Limits{})
		if err != nil {
			t.Fatal(err)
		}
		w, h := 40, 30
		if c.angle%2 == 1 {
			w, h = 30, 40
		}
		if f.Width != w || f.Height != h {
			t.Errorf("turned by %d quarters: %d × %d, want %d × %d", c.angle, f.Width, f.Height, w, h)
		}
		if _, box, _ := scanContainer(file, Limits{}); f.Profile != "Display P3" || box.coding != (coding{0.2126, 0.0722, true}) {
			t.Errorf("profile is %q, coding %+v", f.Profile, box.coding)
		}
	}
}

// TestHEICSideBySide: decoders at work at the same time do not disturb each other.
func TestHEICSideBySide(t *testing.T) {
	file := testFile(t, "heic/one.heic")
	var wait sync.WaitGroup
	for range 4 {
		wait.Go(func() {
			for range 3 {
				img, err := Upright(t.Context(), file, Limits{})
				if err != nil || nameOf(img.RGBAAt(8, 8)) != "red" {
					t.Errorf("%v", err)
				}
			}
		})
	}
	wait.Wait()
}
