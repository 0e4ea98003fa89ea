package photo

import "testing"

// A photograph whose shape is not the one that the camera wrote down (EXIF 2.32,
// tags 0xA002 and 0xA003), or no camera's, was cropped; scaled or turned it was
// not.
func TestCropped(t *testing.T) {
	entry := func(w, h uint32) []byte {
		return buildEXIF([]exifEntry{{0x0112, uint16(1)}}, []exifEntry{{0xa002, w}, {0xa003, h}, {0xa405, uint16(26)}}, nil, 0)
	}
	for _, c := range []struct {
		w, h    int
		exif    []byte
		cropped bool
	}{
		{400, 300, entry(4000, 3000), false}, // scaled
		{300, 400, entry(4000, 3000), false}, // turned
		{400, 260, entry(4000, 3000), true},
		{400, 300, entry(4032, 2268), true}, // cropped to another camera's shape
		{400, 300, nil, false},
		{400, 225, nil, false},
		{401, 300, nil, false},
		{400, 250, nil, false},
		{400, 275, nil, true},
		{700, 100, nil, true},
	} {
		file := encodeJPEG(t, quarters(c.w, c.h))
		if c.exif != nil {
			file = withEXIF(file, c.exif)
		}
		f, err := Read(t.Context(), file, Limits{})
		if err != nil {
			t.Fatal(err)
		}
		if f.Cropped != c.cropped {
			t.Errorf("%d × %d: cropped %v", c.w, c.h, f.Cropped)
		}
		if want := 26.; c.exif != nil && !c.cropped && f.Lens35() != want || c.cropped && f.Lens35() != 0 {
			t.Errorf("%d × %d: a lens of %v mm", c.w, c.h, f.Lens35())
		}
	}
}
