package photo

import (
	"bytes"
	"encoding/binary"
	"errors"
	"image"
	"image/color"
	"image/jpeg"
	"math"
	"strings"
	"testing"
	"time"

	"trug/science/place"
)

// TestOrientations: EXIF's eight ways up (CIPA DC-008, tag 0x0112), each told by
// the colours of the corners after turning. The thumbnail's orientation differs.
func TestOrientations(t *testing.T) {
	const R, G, B, W = "red", "green", "blue", "white"
	want := map[uint16][4]string{ // upper left, upper right, lower left, lower right
		1: {R, G, B, W}, 2: {G, R, W, B}, 3: {W, B, G, R}, 4: {B, W, R, G},
		5: {R, B, G, W}, 6: {B, R, W, G}, 7: {W, G, B, R}, 8: {G, W, R, B},
	}
	plain := quarters(64, 32)
	for _, format := range []Format{JPEG, PNG} {
		for o := uint16(1); o <= 8; o++ {
			block := buildEXIF([]exifEntry{{0x0112, o}}, nil, nil, 1+o%8)
			file := withEXIF(encodeJPEG(t, plain), block)
			if format == PNG {
				file = withChunk(encodePNG(t, plain), "eXIf", block)
			}
			f, err := Read(t.Context(), file, Limits{})
			if err != nil {
				t.Fatal(err)
			}
			w, h := 64, 32
			if o >= 5 {
				w, h = 32, 64
			}
			if f.Orientation != int(o) || f.Width != w || f.Height != h {
				t.Errorf("%s %d: read as orientation %d, %d × %d", format, o, f.Orientation, f.Width, f.Height)
			}
			img, err := Upright(t.Context(), file, Limits{})
			if err != nil {
				t.Fatal(err)
			}
			if img.Rect != image.Rect(0, 0, w, h) {
				t.Fatalf("%s %d: turned to %v", format, o, img.Rect)
			}
			got := [4]string{nameOf(img.RGBAAt(2, 2)), nameOf(img.RGBAAt(w-3, 2)), nameOf(img.RGBAAt(2, h-3)), nameOf(img.RGBAAt(w-3, h-3))}
			if got != want[o] {
				t.Errorf("%s %d: corners are %v, want %v", format, o, got, want[o])
			}
		}
	}
}

func nameOf(c color.RGBA) string {
	switch {
	case c.R > 200 && c.G > 200 && c.B > 200:
		return "white"
	case c.R > 200 && c.G < 60 && c.B < 60:
		return "red"
	case c.G > 200 && c.R < 60 && c.B < 60:
		return "green"
	case c.B > 200 && c.R < 60 && c.G < 60:
		return "blue"
	}
	return "?"
}

func TestSniff(t *testing.T) {
	ftyp := func(brands ...string) string {
		body := "ftyp" + brands[0] + "\x00\x00\x00\x00" + strings.Join(brands[1:], "")
		return string(binary.BigEndian.AppendUint32(nil, uint32(len(body)+4))) + body
	}
	for head, want := range map[string]string{
		"\xff\xd8\xff\xe1":           "jpeg",
		"\x89PNG\r\n\x1a\n":          "png",
		"RIFF\x00\x00\x00\x00WEBP":   "webp",
		ftyp("heic", "mif1", "heic"): "heic",
		ftyp("mif1", "heix"):         "heic",
		ftyp("mif1"):                 "heic",
		ftyp("mif1", "avif"):         "AVIF",
		ftyp("avif"):                 "AVIF",
		ftyp("qt  "):                 "film",
		ftyp("isom", "mp42"):         "film",
		"":                           "file is empty",
		"\xff":                       "not a JPEG, PNG, HEIC or WebP photograph",
		"GIF89a":                     "GIF picture",
		"II*\x00":                    "raw file",
		"%PDF-1.7":                   "PDF",
		"hello, world":               "not a JPEG, PNG, HEIC or WebP photograph",
		"RIFF\x00\x00\x00\x00WAVE":   "not a JPEG",
	} {
		f, err := Sniff([]byte(head))
		switch {
		case err == nil && string(f) != want:
			t.Errorf("%q is taken as %s, want %s", head, f, want)
		case err != nil && (!errors.Is(err, ErrNotPhotograph) || !strings.Contains(err.Error(), want)):
			t.Errorf("%q: %v, want it to say %q", head, err, want)
		}
		if err != nil {
			if _, err := Read(t.Context(), []byte(head), Limits{}); !errors.Is(err, ErrNotPhotograph) {
				t.Errorf("Read of %q: %v", head, err)
			}
		}
	}
}

// TestTruncated: cut anywhere, each format says so before anything is decoded.
func TestTruncated(t *testing.T) {
	files := map[string][]byte{
		"jpeg": testFile(t, "camera-files/DSCN0010.jpg"), "webp": testFile(t, "small.webp"),
		"png": encodePNG(t, quarters(640, 480)), "heic": testFile(t, "camera-files/iphone_13_pro_max.HEIC"),
	}
	for name, file := range files {
		for _, part := range []float64{0.3, 0.6, 0.95} {
			cut := file[:int(float64(len(file))*part)]
			f, err := Read(t.Context(), cut, Limits{})
			if !errors.Is(err, ErrTruncated) || !strings.Contains(err.Error(), "copy it again") {
				t.Errorf("%s cut to %.0f %%: %v", name, part*100, err)
			}
			if f.Width == 0 {
				t.Errorf("%s cut to %.0f %%: no facts were read", name, part*100)
			}
			if _, err := Upright(t.Context(), cut, Limits{}); !errors.Is(err, ErrTruncated) {
				t.Errorf("%s cut to %.0f %%: Upright says %v", name, part*100, err)
			}
		}
		if name == "heic" {
			file = testFile(t, "heic/one.heic") // decoding the large one takes seconds
		}
		if _, err := Upright(t.Context(), append(bytes.Clone(file), "trailing bytes of a phone"...), Limits{}); err != nil {
			t.Errorf("%s with a trailer: %v", name, err)
		}
	}
	zeros := bytes.Clone(files["jpeg"])
	clear(zeros[len(zeros)/2:])
	if _, err := Read(t.Context(), zeros, Limits{}); !errors.Is(err, ErrTruncated) {
		t.Errorf("a file whose second half is zeros: %v", err)
	}
}

// TestTooLarge: a PNG of a few bytes that claims 30,000 × 30,000 pixels.
func TestTooLarge(t *testing.T) {
	bomb := encodePNG(t, image.NewGray(image.Rect(0, 0, 8, 8)))
	binary.BigEndian.PutUint32(bomb[16:], 30000)
	binary.BigEndian.PutUint32(bomb[20:], 30000)
	for _, file := range [][]byte{bomb, jpegOfSize(t, 60000, 60000)} {
		_, err := Read(t.Context(), file, Limits{})
		if !errors.Is(err, ErrTooLarge) || !strings.Contains(err.Error(), "000 × ") {
			t.Errorf("got %v", err)
		}
		if _, err := Upright(t.Context(), file, Limits{}); !errors.Is(err, ErrTooLarge) {
			t.Errorf("Upright: %v", err)
		}
	}
	if _, err := Read(t.Context(), bomb, Limits{MaxBytes: 10}); !errors.Is(err, ErrTooLarge) {
		t.Errorf("a file beyond MaxBytes: %v", err)
	}
}

// jpegOfSize is a small JPEG whose header claims other sizes.
func jpegOfSize(t *testing.T, w, h uint16) []byte {
	file := encodeJPEG(t, quarters(16, 16))
	at := bytes.Index(file, []byte{0xff, 0xc0})
	binary.BigEndian.PutUint16(file[at+5:], h)
	binary.BigEndian.PutUint16(file[at+7:], w)
	return file
}

// degreesOf writes an angle as EXIF does, with four decimals of seconds.
func degreesOf(deg, min, tenThousandths uint32) []uint32 {
	return []uint32{deg, 1, min, 1, tenThousandths, 10000}
}

func TestPlace(t *testing.T) {
	somewhere := []exifEntry{{1, "S"}, {2, degreesOf(33, 52, 76800)}, {3, "E"}, {4, degreesOf(151, 12, 334800)}}
	for name, c := range map[string]struct {
		gps         []exifEntry
		want        *place.Position
		uncertainty place.Metres
		note        NoteKind
	}{
		"none": {},
		// 33° 52′ 7.68″ S = -33.8688, 151° 12′ 33.48″ E = 151.2093
		"plain":       {gps: somewhere, want: &place.Position{Lat: -33.8688, Lon: 151.2093}, uncertainty: 30},
		"error given": {gps: append(somewhere, exifEntry{0x1f, []uint32{65, 10}}), want: &place.Position{Lat: -33.8688, Lon: 151.2093}, uncertainty: 13},
		"dilution":    {gps: append(somewhere, exifEntry{0x0b, []uint32{8, 1}}), want: &place.Position{Lat: -33.8688, Lon: 151.2093}, uncertainty: 80},
		"before 2000": {gps: append(somewhere, exifEntry{7, []uint32{10, 1, 0, 1, 0, 1}}, exifEntry{0x1d, "1999:05:01"}), want: &place.Position{Lat: -33.8688, Lon: 151.2093}, uncertainty: 100},
		"void":        {gps: append(somewhere, exifEntry{9, "V"}), note: NoteNoFix},
		"zero":        {gps: []exifEntry{{1, "N"}, {2, degreesOf(0, 0, 0)}, {3, "E"}, {4, degreesOf(0, 0, 0)}}, note: NoteNoFix},
		"impossible":  {gps: []exifEntry{{1, "N"}, {2, degreesOf(133, 0, 0)}, {3, "E"}, {4, degreesOf(7, 0, 0)}}, note: NoteBadPlace},
		"no numbers":  {gps: []exifEntry{{1, "N"}, {2, []uint32{0, 0, 0, 0, 0, 0}}, {3, "E"}, {4, []uint32{0, 0, 0, 0, 0, 0}}}},
	} {
		f, err := Read(t.Context(), withEXIF(encodeJPEG(t, quarters(16, 16)), buildEXIF(nil, nil, c.gps, 1)), Limits{})
		if err != nil {
			t.Fatal(err)
		}
		if (f.Position == nil) != (c.want == nil) || c.want != nil && (math.Abs(float64(f.Position.Lat-c.want.Lat)) > 1e-9 || math.Abs(float64(f.Position.Lon-c.want.Lon)) > 1e-9) {
			t.Errorf("%s: position is %v, want %v", name, f.Position, c.want)
		}
		if f.PositionUncertainty != c.uncertainty {
			t.Errorf("%s: uncertainty is %v, want %v", name, f.PositionUncertainty, c.uncertainty)
		}
		if c.note != "" && (len(f.Notes) != 1 || f.Notes[0].Kind != c.note) {
			t.Errorf("%s: notes are %v, want one %s", name, f.Notes, c.note)
		}
	}
}

func TestClock(t *testing.T) {
	read := func(text, offset string) Facts {
		exif := []exifEntry{{0x9003, text}}
		if offset != "" {
			exif = append(exif, exifEntry{0x9011, offset})
		}
		f, err := Read(t.Context(), withEXIF(encodeJPEG(t, quarters(16, 16)), buildEXIF(nil, exif, nil, 1)), Limits{})
		if err != nil {
			t.Fatal(err)
		}
		return f
	}
	now := time.Date(2026, 10, 10, 12, 0, 0, 0, time.UTC)
	for _, c := range []struct{ text, offset, doubt string }{
		{"2026:10:10 11:59:00", "", ""},
		{"2026:10:11 01:59:00", "", ""}, // noon in Greenwich is 2 at night in the east
		{"2026:10:11 03:00:00", "", "still to come"},
		{"2026:10:10 14:05:00", "+02:00", ""},
		{"2026:10:10 14:15:00", "+02:00", "still to come"},
		{"2030:06:01 10:00:00", "", "still to come"},
		{"1970:01:01 00:00:07", "", "before there were"},
		{"2015:01:01 00:03:07", "", "never set"},
		{"2015:01:01 14:03:07", "", ""},
	} {
		f := read(c.text, c.offset)
		doubt := ClockDoubt(f.Taken, now).String()
		if (doubt == "") != (c.doubt == "") || !strings.Contains(doubt, c.doubt) {
			t.Errorf("%s%s: doubt is %q, want %q", c.text, c.offset, doubt, c.doubt)
		}
	}
	if f := read("0000:00:00 00:00:00", ""); f.Taken.Known() || len(f.Notes) != 1 || f.Notes[0].Kind != NoteClock {
		t.Errorf("a clock that was never set: %+v", f)
	}
	if f := read("yesterday, about tea time", ""); f.Taken.Known() || len(f.Notes) != 1 || f.Notes[0].Kind != NoteBadMetadata {
		t.Errorf("a time that is none: %+v", f)
	}
	if ClockDoubt(Taken{}, now).String() != "" {
		t.Error("an absent time is doubted")
	}
}

// TestDerivativeHoldsNothing: no segment but those that decoding needs.
func TestDerivativeHoldsNothing(t *testing.T) {
	img, err := Upright(t.Context(), testFile(t, "camera-files/DSCN0010.jpg"), Limits{})
	if err != nil {
		t.Fatal(err)
	}
	file, w, h, err := Derivative(img, 400, 85)
	if err != nil || w != 400 || h != 300 {
		t.Fatalf("%d × %d, %v", w, h, err)
	}
	back, err := jpeg.Decode(bytes.NewReader(file))
	if err != nil || back.Bounds().Size() != image.Pt(400, 300) {
		t.Fatalf("decoded to %v, %v", back.Bounds(), err)
	}
	for i := 2; file[i+1] != jpegSOS; i += 2 + int(binary.BigEndian.Uint16(file[i+2:])) {
		if m := file[i+1]; m >= 0xe0 && m <= 0xef || m == 0xfe {
			t.Errorf("the derivative holds a segment %#x", m)
		}
	}
	if _, w, h, err := Derivative(img, 5000, 85); err != nil || w != 640 || h != 480 {
		t.Errorf("a small picture was made %d × %d (%v)", w, h, err)
	}
	for _, bad := range [][2]int{{0, 85}, {400, 0}, {400, 101}, {70000, 85}} {
		if _, _, _, err := Derivative(img, bad[0], bad[1]); err == nil {
			t.Errorf("long side %d, quality %d was taken", bad[0], bad[1])
		}
	}
	if _, _, _, err := Derivative(nil, 400, 85); err == nil {
		t.Error("no picture was taken")
	}
}

// TestScaleKeepsPlaceAndTone: an even picture stays even, and an edge in the
// middle stays in the middle, whatever the sizes.
func TestScaleKeepsPlaceAndTone(t *testing.T) {
	for _, w := range []int{401, 640, 1000, 1003, 3000} {
		img := image.NewRGBA(image.Rect(0, 0, w, 30))
		for i := range img.Pix {
			img.Pix[i] = 255
			if x := i / 4 % w; 2*x < w && i%4 != 3 {
				img.Pix[i] = 77
			}
		}
		s := Scale(img, 100)
		if s.Rect.Dx() != 100 {
			t.Fatalf("%d was scaled to %v", w, s.Rect)
		}
		mean := 0.0
		for x := range 100 {
			mean += float64(s.RGBAAt(x, 0).R) / 100
		}
		if math.Abs(mean-(77+255)/2.0) > 1.5 {
			t.Errorf("%d: the edge moved, mean is %.1f, want 166", w, mean)
		}
		if a, b := s.RGBAAt(10, 0).R, s.RGBAAt(90, 0).R; a != 77 || b != 255 {
			t.Errorf("%d: tones became %d and %d", w, a, b)
		}
	}
}

func TestTransparentBecomesWhite(t *testing.T) {
	img, err := Upright(t.Context(), encodePNG(t, image.NewNRGBA(image.Rect(0, 0, 4, 4))), Limits{})
	if err != nil || img.RGBAAt(1, 1) != (color.RGBA{255, 255, 255, 255}) {
		t.Errorf("transparent became %v (%v)", img.RGBAAt(1, 1), err)
	}
}

// TestWebP compares with libwebp's own decoding. WebP keeps brightness in the
// range of video; taking it for JPEG's gives 2.6. The rest is that libwebp smooths
// colour between the pixels for which it is stored, and we do not.
func TestWebP(t *testing.T) {
	img, err := Upright(t.Context(), testFile(t, "small.webp"), Limits{})
	if err != nil {
		t.Fatal(err)
	}
	d := meanDifference(t, img, readPNG(t, "small_webp.png"))
	t.Logf("mean CIEDE2000 %.3f", d)
	if d > 1.5 {
		t.Errorf("mean CIEDE2000 to libwebp is %.2f, want at most 1.5", d)
	}
}
