package photo

import (
	"bytes"
	"encoding/csv"
	"image"
	"math"
	"strconv"
	"testing"

	"trug/science/colour"
)

// profileOf takes the colour profile out of a camera's file.
func profileOf(t *testing.T, name string) transform {
	t.Helper()
	_, c, err := scanContainer(testFile(t, "camera-files/"+name), Limits{})
	if err != nil {
		t.Fatal(err)
	}
	p, err := parseProfile(c.icc)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// TestProfilesAgainstLittleCMS: testdata/lcms.csv, see camera-files/SOURCES.md;
// within one step of 255, clipped as we clip.
func TestProfilesAgainstLittleCMS(t *testing.T) {
	lines, err := csv.NewReader(bytes.NewReader(testFile(t, "lcms.csv"))).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	profiles := map[string]transform{}
	for _, name := range []string{"iphone_13_pro_max.HEIC", "landscape_6.jpg"} {
		p := profileOf(t, name)
		profiles[p.name] = p
	}
	for _, line := range lines[1:] {
		p, ok := profiles[line[0]]
		if !ok || p.identity {
			t.Fatalf("profile %q was not found or does nothing", line[0])
		}
		pixel := []uint8{0, 0, 0, 255}
		var want [3]float64
		for i := range 3 {
			v, err1 := strconv.Atoi(line[1+i])
			w, err2 := strconv.ParseFloat(line[4+i], 64)
			if err1 != nil || err2 != nil {
				t.Fatal(line)
			}
			pixel[i], want[i] = uint8(v), math.Max(0, math.Min(255, w))
		}
		p.apply(pixel)
		for i := range 3 {
			if math.Abs(float64(pixel[i])-want[i]) > 1 {
				t.Errorf("%v became %v, want %v", line[:4], pixel, want)
				break
			}
		}
	}
}

// TestBuiltInSpaces: the transform for HEIC that only names Display P3 is that
// of the profile; sRGB's own primaries change nothing.
func TestBuiltInSpaces(t *testing.T) {
	named, err := colours(container{primaries: 12}, nil)
	if err != nil {
		t.Fatal(err)
	}
	fromProfile := profileOf(t, "iphone_13_pro_max.HEIC")
	for _, c := range [][4]uint8{{200, 100, 50, 255}, {10, 20, 30, 255}, {128, 128, 128, 255}} {
		a, b := c, c
		named.apply(a[:])
		fromProfile.apply(b[:])
		for i := range 3 {
			if abs(int(a[i])-int(b[i])) > 1 {
				t.Errorf("%v: by name %v, by profile %v", c, a, b)
			}
		}
	}
	if s := fromLight("sRGB", colour.SRGBToXYZ, colour.Decode); !s.identity {
		t.Error("sRGB is not recognised as itself")
	}
	adobe, _ := colours(container{}, exifTags{"InteropIndex": "R03"})
	if adobe.identity || adobe.name != "Adobe RGB (1998)" {
		t.Errorf("Adobe RGB is not recognised: %v", adobe.name)
	}
	if _, err := colours(container{primaries: 9}, nil); err == nil {
		t.Error("the primaries of BT.2020 were taken for sRGB")
	}
}

// TestBrokenProfiles: a profile that cannot be followed leaves colours alone,
// with a note, and never stops a photograph.
func TestBrokenProfiles(t *testing.T) {
	plain := encodeJPEG(t, quarters(16, 16))
	_, c, err := scanContainer(testFile(t, "camera-files/iphone_13_pro_max.HEIC"), Limits{})
	if err != nil {
		t.Fatal(err)
	}
	lut := bytes.Clone(c.icc)
	copy(lut[20:], "Lab ")
	for name, profile := range map[string][]byte{"short": c.icc[:100], "cut": c.icc[:300], "tables": lut, "nothing": make([]byte, 200)} {
		file := withSegment(plain, jpegAPP2, append([]byte("ICC_PROFILE\x00\x01\x01"), profile...))
		f, err := Read(t.Context(), file, Limits{})
		if err != nil || len(f.Notes) != 1 || f.Notes[0].Kind != NoteProfileKept {
			t.Errorf("%s: %v, notes %v", name, err, f.Notes)
		}
		img, err := Upright(t.Context(), file, Limits{})
		if err != nil {
			t.Fatal(err)
		}
		if nameOf(img.RGBAAt(2, 2)) != "red" {
			t.Errorf("%s: the colours were changed: %v", name, img.RGBAAt(2, 2))
		}
	}
}

// TestCodingMatchesTheStandardLibrary: our table-driven way gives what image/color
// gives for JPEG's coding, within a step.
func TestCodingMatchesTheStandardLibrary(t *testing.T) {
	k := newConverter(codingFull601)
	for y := 0; y < 256; y += 15 {
		for cb := 0; cb < 256; cb += 15 {
			for cr := 0; cr < 256; cr += 15 {
				got := [3]int{
					int(clip(k.bright[y] + k.redCr[cr])), int(clip(k.bright[y] + k.greenCb[cb] + k.greenCr[cr])), int(clip(k.bright[y] + k.blueCb[cb])),
				}
				// ITU-T T.871, section 7.
				want := [3]float64{
					float64(y) + 1.402*float64(cr-128),
					float64(y) - 0.344136*float64(cb-128) - 0.714136*float64(cr-128),
					float64(y) + 1.772*float64(cb-128),
				}
				for i := range 3 {
					w := math.Max(0, math.Min(255, want[i]))
					if math.Abs(float64(got[i])-w) > 0.52 {
						t.Fatalf("%d %d %d: %v, want %v", y, cb, cr, got, want)
					}
				}
			}
		}
	}
}

// TestVideoCoding: pure colours as ITU-R BT.709 codes them in video (its tables:
// brightness 16..235; red is Y 63, Cb 102, Cr 240).
func TestVideoCoding(t *testing.T) {
	img := image.NewYCbCr(image.Rect(0, 0, 4, 1), image.YCbCrSubsampleRatio444)
	copy(img.Y, []uint8{63, 173, 32, 235})
	copy(img.Cb, []uint8{102, 42, 240, 128})
	copy(img.Cr, []uint8{240, 26, 118, 128})
	got, err := finish(t.Context(), img, codingOf(1, false), &transform{identity: true}, 1)
	if err != nil {
		t.Fatal(err)
	}
	for x, want := range [][3]int{{255, 0, 0}, {0, 255, 0}, {0, 0, 255}, {255, 255, 255}} {
		c := got.RGBAAt(x, 0)
		if abs(int(c.R)-want[0]) > 2 || abs(int(c.G)-want[1]) > 2 || abs(int(c.B)-want[2]) > 2 {
			t.Errorf("colour %d is %v, want %v", x, c, want)
		}
	}
}
