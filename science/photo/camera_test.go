package photo

import (
	"context"
	"encoding/csv"
	"errors"
	"fmt"
	"image"
	"image/png"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"time"

	"trug/science/colour"
)

func testFile(t testing.TB, name string) []byte {
	t.Helper()
	data, err := os.ReadFile(filepath.Join("testdata", name))
	if err != nil {
		t.Fatal(err)
	}
	return data
}

func exiftoolTable(t *testing.T) []map[string]string {
	t.Helper()
	lines, err := csv.NewReader(strings.NewReader(string(testFile(t, "camera-files/exiftool.csv")))).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	var rows []map[string]string
	for _, line := range lines[1:] {
		r := map[string]string{}
		for i, name := range lines[0] {
			r[name] = line[i]
		}
		rows = append(rows, r)
	}
	return rows
}

// differences are where we mean to tell something else than exiftool's table.
var differences = map[string]struct{ ours, why string }{
	"67-0_length_string.jpg DateTimeOriginal": {"2016:09:12 10:05:31", "no time of taking; ours is that of saving, with a note"},
	"HMD_Nokia_8.3_5G.heif DateTimeOriginal":  {"2022:02:03 14:44:07", "no time of taking; ours is that of saving, with a note"},
	"iphone_13_pro_max.HEIC ImageWidth":       {"3024", "ours is upright: the container turns the picture by a quarter"},
	"iphone_13_pro_max.HEIC ImageHeight":      {"4032", "as above"},
	"HMD_Nokia_8.3_5G.heif ImageWidth":        {"3456", "as above, though EXIF gives orientation 1"},
	"HMD_Nokia_8.3_5G.heif ImageHeight":       {"4608", "as above"},
	"landscape_6.jpg ImageWidth":              {"600", "ours is upright: orientation 6"},
	"landscape_6.jpg ImageHeight":             {"450", "as above"},
}

// TestCameraFiles compares with exiftool 12.57, see camera-files/SOURCES.md.
func TestCameraFiles(t *testing.T) {
	rows := exiftoolTable(t)
	if len(rows) != 14 {
		t.Fatalf("%d files, want 14", len(rows))
	}
	for _, r := range rows {
		name := r["SourceFile"]
		f, err := Read(t.Context(), testFile(t, "camera-files/"+name), Limits{})
		if err != nil {
			t.Errorf("%s: %v", name, err)
			continue
		}
		for column, got := range factsAsTable(f) {
			want := r[column]
			if d, ok := differences[name+" "+column]; ok {
				if want == d.ours {
					t.Errorf("%s: %s no longer differs; drop the entry", name, column)
				}
				want = d.ours
			}
			if !sameValue(got, want) {
				t.Errorf("%s: %s is %q, want %q", name, column, got, want)
			}
		}
	}
}

// factsAsTable writes facts as exiftool does.
func factsAsTable(f Facts) map[string]string {
	m := map[string]string{
		"FileType": strings.ToUpper(string(f.Format)), "Orientation": strconv.Itoa(f.Orientation),
		"Make": f.Make, "Model": f.Model, "ProfileDescription": f.Profile,
		"ImageWidth": strconv.Itoa(f.Width), "ImageHeight": strconv.Itoa(f.Height),
		"DateTimeOriginal": "", "OffsetTimeOriginal": "", "GPSLatitude": "", "GPSLongitude": "", "FocalLengthIn35mmFormat": "",
	}
	if f.Taken.Known() {
		m["DateTimeOriginal"] = f.Taken.Wall.Format("2006:01:02 15:04:05")
	}
	if f.Taken.HasOffset {
		m["OffsetTimeOriginal"] = f.Taken.In(nil).Format("-07:00")
	}
	if f.Position != nil {
		m["GPSLatitude"] = fmt.Sprint(float64(f.Position.Lat))
		m["GPSLongitude"] = fmt.Sprint(float64(f.Position.Lon))
	}
	if f.FocalLength35 > 0 {
		m["FocalLengthIn35mmFormat"] = fmt.Sprint(f.FocalLength35)
	}
	return m
}

func sameValue(got, want string) bool {
	a, err1 := strconv.ParseFloat(got, 64)
	b, err2 := strconv.ParseFloat(want, 64)
	if err1 == nil && err2 == nil {
		return math.Abs(a-b) < 1e-9
	}
	// A file in which no orientation is written has orientation 1 for us.
	return got == want || want == "" && got == "1"
}

// TestSatelliteTime: exiftool gives 11:12:32 UTC for a clock at 14:12:31 +03:00.
func TestSatelliteTime(t *testing.T) {
	f, err := Read(t.Context(), testFile(t, "camera-files/HMD_Nokia_8.3_5G.jpg"), Limits{})
	if err != nil {
		t.Fatal(err)
	}
	if want := time.Date(2022, 8, 14, 11, 12, 32, 0, time.UTC); !f.SatelliteTime.Equal(want) {
		t.Errorf("satellite time is %v, want %v", f.SatelliteTime, want)
	}
	if d := f.SatelliteTime.Sub(f.Taken.In(time.UTC)); d != time.Second {
		t.Errorf("the satellites are %v ahead of the camera, want 1s", d)
	}
	if f.PositionUncertainty != 30 {
		t.Errorf("uncertainty is %v, want the 30 m of Darwin Core for a bare fix", f.PositionUncertainty)
	}
}

// TestDamagedCameraFile: the picture's data are damaged half-way, which only
// decoding shows: its facts can be read, the picture is refused with a sentence.
func TestDamagedCameraFile(t *testing.T) {
	_, err := Upright(t.Context(), testFile(t, "camera-files/corrupted.jpg"), Limits{})
	if !errors.Is(err, ErrDamaged) || !strings.Contains(err.Error(), "copy it again") {
		t.Errorf("got %v", err)
	}
}

// meanDifference is the mean CIEDE2000 of two pictures of the same size.
func meanDifference(t *testing.T, got *image.RGBA, want image.Image) float64 {
	t.Helper()
	if got.Rect.Size() != want.Bounds().Size() {
		t.Fatalf("size %v, want %v", got.Rect.Size(), want.Bounds().Size())
	}
	sum := 0.0
	for y := range got.Rect.Dy() {
		for x := range got.Rect.Dx() {
			a := got.RGBAAt(got.Rect.Min.X+x, got.Rect.Min.Y+y)
			r, g, b, _ := want.At(want.Bounds().Min.X+x, want.Bounds().Min.Y+y).RGBA()
			sum += colour.Difference(colour.LabOfSRGB8(a.R, a.G, a.B), colour.LabOfSRGB8(uint8(r>>8), uint8(g>>8), uint8(b>>8)))
		}
	}
	return sum / float64(got.Rect.Dx()*got.Rect.Dy())
}

func readPNG(t *testing.T, name string) image.Image {
	t.Helper()
	f, err := os.Open(filepath.Join("testdata", name))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	img, err := png.Decode(f)
	if err != nil {
		t.Fatal(err)
	}
	return img
}

// TestDisplayP3 compares the iPhone's HEIC with what libheif and littlecms make
// of it. Most of what is left comes from the scaling; leaving the profile out
// would give more than 2.
func TestDisplayP3(t *testing.T) {
	img, err := Upright(t.Context(), testFile(t, "camera-files/iphone_13_pro_max.HEIC"), Limits{})
	if err != nil {
		t.Fatal(err)
	}
	d := meanDifference(t, Scale(img, 403), readPNG(t, "iphone_p3_to_srgb_302x403.png"))
	t.Logf("mean CIEDE2000 %.3f", d)
	if d > 1.2 {
		t.Errorf("mean CIEDE2000 to the reference is %.2f, want at most 1.2", d)
	}
}

func TestHEICRefusesEndedContext(t *testing.T) {
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	if _, err := Upright(ctx, testFile(t, "camera-files/iphone_13_pro_max.HEIC"), Limits{}); !errors.Is(err, context.Canceled) {
		t.Errorf("got %v", err)
	}
}
