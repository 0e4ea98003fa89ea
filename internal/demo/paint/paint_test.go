package paint

import (
	"bytes"
	"image/jpeg"
	"math"
	"strings"
	"testing"
	"time"

	"github.com/bep/imagemeta"
)

func plainFind() Find {
	return Find{Seed: 77, Form: "gilled", WidthMM: 82, StemLengthMM: 70, StemWidthMM: 17, L: 70, A: 6, B: 50,
		ColourWords: "ochre yellow", SporePrint: "cream", Substrate: "litter_leaf", Host: "Fagus",
		Habit: "solitary", Ripeness: "mature", NumberSeen: 1}
}

func goodShot(v View) Shot {
	return Shot{View: v, Card: true, Sharp: true, ExposureOK: true, TiltDeg: 8}
}

func TestViewNames(t *testing.T) {
	for _, v := range Views {
		got, err := ParseView(v.String())
		if err != nil || got != v {
			t.Errorf("ParseView(%q) = %v, %v", v.String(), got, err)
		}
	}
	if _, err := ParseView("sideways"); err == nil {
		t.Error("a view that does not exist was accepted")
	}
}

// The same arguments give the same pixels, whatever was drawn before with the
// pooled buffers.
func TestRenderRepeats(t *testing.T) {
	f := plainFind()
	a := Render(f, goodShot(Top))
	done := make(chan bool)
	go func() { // two workers, as a season is drawn
		Render(sampleFinds[1], goodShot(Side))
		done <- true
	}()
	b := Render(f, goodShot(Top))
	<-done
	if !bytes.Equal(a.Pix, b.Pix) {
		t.Error("two renderings of one shot differ")
	}
	f.Seed++
	if c := Render(f, goodShot(Top)); meanDifference(a.Pix, c.Pix) < 5 {
		t.Error("another seed draws nearly the same picture")
	}
}

func meanDifference(a, b []uint8) float64 {
	var s float64
	for i := range a {
		s += math.Abs(float64(a[i]) - float64(b[i]))
	}
	return s / float64(len(a))
}

// The cap's greatest width, measured in the finished picture against the drawn
// card alone, is the width asked for.
func TestCapWidthAgainstCard(t *testing.T) {
	for _, w := range []float64{40, 160} {
		for _, ripe := range []string{"opening", "mature", "old"} {
			f := plainFind()
			f.WidthMM, f.Ripeness, f.Seed = w, ripe, uint64(w)+3
			f.ColourWords = "plain"
			r := renderWith(f, goodShot(Top), options{neutral: true, bare: true})
			got := capWidth(t, r)
			t.Logf("%s cap of %.0f mm measures %.2f mm", ripe, w, got)
			if math.Abs(got/w-1) > 0.02 {
				t.Errorf("%s cap of %.0f mm measures %.1f mm (%+.1f %%)", ripe, w, got, 100*(got/w-1))
			}
		}
	}
}

// capWidth maps the cap's outline to mm by the homography of the card's four
// corners as they appear in the picture, and gives its greatest diameter.
func capWidth(t *testing.T, r result) float64 {
	t.Helper()
	corner := [4][2]float64{} // upper left, upper right, lower right, lower left
	best := [4]float64{1e9, -1e9, -1e9, 1e9}
	n := 0
	for i, m := range r.mat {
		if m&kindOf != matCard {
			continue
		}
		n++
		x, y := float64(i%Width), float64(i/Width)
		for k, v := range [4]float64{x + y, x - y, x + y, x - y} {
			if (k == 0 || k == 3) == (v < best[k]) && v != best[k] {
				best[k], corner[k] = v, [2]float64{x, y}
			}
		}
	}
	if n < 20000 {
		t.Fatalf("only %d card pixels", n)
	}
	h := homography(corner, [4][2]float64{{0, 0}, {CardWidthMM, 0}, {CardWidthMM, CardHeightMM}, {0, CardHeightMM}})
	var widest float64
	const dirs = 60
	var lo, hi [dirs]float64
	for d := range dirs {
		lo[d], hi[d] = 1e9, -1e9
	}
	for i, m := range r.mat {
		if m&heroBit == 0 || m&capBit == 0 {
			continue
		}
		x, y := float64(i%Width), float64(i/Width)
		q := h[6]*x + h[7]*y + 1
		u, v := (h[0]*x+h[1]*y+h[2])/q, (h[3]*x+h[4]*y+h[5])/q
		for d := range dirs {
			s := u*math.Cos(math.Pi*float64(d)/dirs) + v*math.Sin(math.Pi*float64(d)/dirs)
			lo[d], hi[d] = min(lo[d], s), max(hi[d], s)
		}
	}
	for d := range dirs {
		widest = max(widest, hi[d]-lo[d])
	}
	return widest
}

// homography solves the 8 equations of four point pairs by elimination.
func homography(p, q [4][2]float64) [8]float64 {
	var a [8][9]float64
	for i := range 4 {
		x, y, u, v := p[i][0], p[i][1], q[i][0], q[i][1]
		a[2*i] = [9]float64{x, y, 1, 0, 0, 0, -u * x, -u * y, u}
		a[2*i+1] = [9]float64{0, 0, 0, x, y, 1, -v * x, -v * y, v}
	}
	for c := range 8 {
		best := c
		for r := c; r < 8; r++ {
			if math.Abs(a[r][c]) > math.Abs(a[best][c]) {
				best = r
			}
		}
		a[c], a[best] = a[best], a[c]
		for r := range 8 {
			if r != c {
				k := a[r][c] / a[c][c]
				for j := c; j < 9; j++ {
					a[r][j] -= k * a[c][j]
				}
			}
		}
	}
	var h [8]float64
	for i := range h {
		h[i] = a[i][8] / a[i][i]
	}
	return h
}

// The mean colour of the cap in neutral light is near the CIELAB asked for.
// Tolerance 10 (delta E ab): shading, blots and eaten places are part of it.
func TestCapColour(t *testing.T) {
	for _, c := range [][3]float64{{70, 6, 50}, {46, 52, 36}, {48, 14, 26}, {86, 0, 12}, {42, 14, -12}, {60, -14, 38}} {
		f := plainFind()
		f.L, f.A, f.B, f.ColourWords = c[0], c[1], c[2], "plain"
		r := renderWith(f, goodShot(Top), options{neutral: true, bare: true})
		var sum [3]float64
		var n float64
		for i, m := range r.mat {
			if m&heroBit != 0 && m&capBit != 0 {
				for k := range 3 {
					sum[k] += srgbToLinear(float64(r.img.Pix[4*i+k]) / 255)
				}
				n++
			}
		}
		l, a, b := linearToLab(sum[0]/n, sum[1]/n, sum[2]/n)
		d := math.Sqrt(sq(l-c[0]) + sq(a-c[1]) + sq(b-c[2]))
		t.Logf("asked for Lab %v, cap is %.1f %.1f %.1f (delta E %.1f)", c, l, a, b, d)
		if d > 10 {
			t.Errorf("asked for Lab %v, cap is %.0f %.0f %.0f (delta E %.1f)", c, l, a, b, d)
		}
	}
}

func sq(x float64) float64 { return x * x }

func srgbToLinear(v float64) float64 {
	if v <= 0.04045 {
		return v / 12.92
	}
	return math.Pow((v+0.055)/1.055, 2.4)
}

// linearToLab uses the matrix of IEC 61966-2-1 and the D65 white point, written
// out here apart from the code under test.
func linearToLab(r, g, b float64) (L, A, B float64) {
	x := (0.4124*r + 0.3576*g + 0.1805*b) / 0.95047
	y := 0.2126*r + 0.7152*g + 0.0722*b
	z := (0.0193*r + 0.1192*g + 0.9505*b) / 1.08883
	f := func(t float64) float64 {
		if t > 216.0/24389 {
			return math.Cbrt(t)
		}
		return (24389.0/27*t + 16) / 116
	}
	return 116*f(y) - 16, 500 * (f(x) - f(y)), 200 * (f(y) - f(z))
}

// Full red of sRGB is Lab 53.24 80.09 67.20 (published in many places; from
// memory), and the two directions must agree.
func TestLabRoundTrip(t *testing.T) {
	if v := lab(53.24, 80.09, 67.20); math.Abs(float64(v.x)-1)+float64(v.y)+float64(v.z) > 0.01 {
		t.Errorf("full red came out as %v", v)
	}
	for _, c := range [][3]float64{{46, 40, 30}, {70, 6, 50}, {80, -4, 10}, {30, 8, -12}} {
		v := lab(c[0], c[1], c[2])
		l, a, b := linearToLab(float64(v.x), float64(v.y), float64(v.z))
		if math.Abs(l-c[0])+math.Abs(a-c[1])+math.Abs(b-c[2]) > 0.3 {
			t.Errorf("Lab %v came back as %.2f %.2f %.2f", c, l, a, b)
		}
	}
}

// The drawn tags follow the reference grids: decoded from the picture's pixels
// through the card's corners, every cell has the right colour.
func TestCardTagsReadable(t *testing.T) {
	r := renderWith(plainFind(), goodShot(Top), options{neutral: true, bare: true})
	wrong := 0
	for id, tag := range theCard().Tags {
		at, tagMM := [2]float64{float64(tag.Black.X), float64(tag.Black.Y)}, float64(tag.Black.W)
		for cy := range 10 {
			for cx := range 10 {
				x := at[0] + tagMM/8*(float64(cx)-0.5)
				y := at[1] + tagMM/8*(float64(cy)-0.5)
				p := r.pose.at.add(r.pose.x.mul(float32(x))).add(r.pose.y.mul(float32(y)))
				sx, sy, _ := r.cam.project(p)
				lum := r.img.Pix[4*(int(sy+0.5)*Width+int(sx+0.5))+1]
				if (lum > 110) != theCard().cells[id][cy][cx] {
					wrong++
				}
			}
		}
	}
	if wrong > 0 {
		t.Errorf("%d of 400 tag cells have the wrong colour", wrong)
	}
}

func TestPhotographExif(t *testing.T) {
	zone := time.FixedZone("", -(3*3600 + 1800))
	c := Camera{Make: "Wimbrel", Model: "Pocket 7", Taken: time.Date(2026, 10, 3, 9, 41, 27, 0, zone), HasOffset: true,
		Lat: 48.561234, Lon: -19.957493, HasPlace: true, AccuracyM: 12.5}
	file, err := Photograph(plainFind(), goodShot(Top), c)
	if err != nil {
		t.Fatal(err)
	}
	if cfg, err := jpeg.DecodeConfig(bytes.NewReader(file)); err != nil || cfg.Width != Width || cfg.Height != Height {
		t.Fatalf("not a %dx%d JPEG: %v %v", Width, Height, cfg, err)
	}
	var tags imagemeta.Tags
	_, err = imagemeta.Decode(imagemeta.Options{R: bytes.NewReader(file), ImageFormat: imagemeta.JPEG, Sources: imagemeta.EXIF,
		HandleTag: func(i imagemeta.TagInfo) error { tags.Add(i); return nil }})
	if err != nil {
		t.Fatal(err)
	}
	exif := tags.EXIF()
	for tag, want := range map[string]string{"Make": "Wimbrel", "Model": "Pocket 7",
		"DateTimeOriginal": "2026:10:03 09:41:27", "OffsetTimeOriginal": "-03:30"} {
		if got, _ := exif[tag].Value.(string); strings.TrimRight(got, "\x00") != want {
			t.Errorf("%s is %q, want %q", tag, exif[tag].Value, want)
		}
	}
	lat, lon, err := tags.GetLatLong()
	if err != nil || math.Abs(lat-c.Lat) > 1e-6 || math.Abs(lon-c.Lon) > 1e-6 {
		t.Errorf("place is %v, %v (%v)", lat, lon, err)
	}
	if _, ok := exif["GPSHPositioningError"]; !ok {
		t.Error("no positioning error")
	}
	c.HasPlace, c.HasOffset = false, false
	bare, err := exifSegment(c, Width, Height)
	if err != nil || len(bare) > 400 {
		t.Errorf("without place: %d bytes, %v", len(bare), err)
	}
}

func TestCameraErrors(t *testing.T) {
	now := time.Date(2026, 10, 3, 9, 0, 0, 0, time.UTC)
	for _, c := range []Camera{{}, {Taken: now, HasPlace: true, Lat: 91}, {Taken: now, HasPlace: true, Lon: math.NaN()},
		{Taken: now, Make: "a\x00b"}} {
		if _, err := exifSegment(c, 10, 10); err == nil {
			t.Errorf("camera %+v was accepted", c)
		}
	}
}

// A few of each ground: the mean file must stay below 380 kB and every view of
// every form must draw the fruitbody.
func TestFileSizeAndPresence(t *testing.T) {
	cam := Camera{Make: "Wimbrel", Model: "W1", Taken: time.Date(2026, 10, 3, 9, 0, 0, 0, time.UTC)}
	total, n := 0, 0
	for i, f := range sampleFinds {
		for _, v := range []View{Top, Views[1+i%5]} {
			file, err := Photograph(f, goodShot(v), cam)
			if err != nil {
				t.Fatal(err)
			}
			total += len(file)
			n++
		}
	}
	if total/n > 380_000 {
		t.Errorf("mean file is %d bytes", total/n)
	}
}

func TestEveryFormShowsItself(t *testing.T) {
	forms := []string{"gilled", "gilled_shell", "bolete", "bracket", "crust", "chanterelle", "spined_stalked", "spined_hanging",
		"club", "coral", "cup", "hard_stroma", "puffball", "stinkhorn", "birds_nest", "jelly", "lichen_leaf", "slime_cushion", "no such form"}
	for i, form := range forms {
		f := Find{Seed: uint64(i), Form: form, WidthMM: 50, HeightMM: 50, L: 60, A: 10, B: 30, Substrate: "soil", Habit: "solitary", Ripeness: "mature"}
		v := Views[i%len(Views)]
		r := renderWith(f, Shot{View: v, Sharp: true, ExposureOK: true}, options{neutral: true, bare: true})
		n := 0
		for _, m := range r.mat {
			if m&heroBit != 0 {
				n++
			}
		}
		if least := map[bool]int{true: 300, false: 20000}[v == Surroundings]; n < least {
			t.Errorf("%s, %v: only %d pixels show the fruitbody", form, v, n)
		}
	}
}
