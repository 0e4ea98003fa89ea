package photo

import "testing"

// TestFlash: bit 0 of EXIF's tag 37385 says that the flash fired; the others say
// why or why not (EXIF 2.32, table 8).
func TestFlash(t *testing.T) {
	for value, fired := range map[uint16]bool{0x00: false, 0x01: true, 0x10: false, 0x18: false, 0x19: true, 0x20: false, 0x41: true, 0x5f: true} {
		file := withEXIF(encodeJPEG(t, quarters(16, 16)), buildEXIF(nil, []exifEntry{{0x9209, value}}, nil, 1))
		f, err := Read(t.Context(), file, Limits{})
		if err != nil {
			t.Fatal(err)
		}
		if f.Flash != fired {
			t.Errorf("flash %#x: fired is %v, want %v", value, f.Flash, fired)
		}
	}
}
