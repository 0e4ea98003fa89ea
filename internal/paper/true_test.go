package paper

import (
	"bytes"
	"compress/zlib"
	"image/png"
	"io"
	"math"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"trug/science/place"
)

// streams returns the pages' drawing orders.
func streams(t *testing.T, pdf []byte) string {
	t.Helper()
	var all strings.Builder
	for _, part := range bytes.Split(pdf, []byte("\nstream\n"))[1:] {
		r, err := zlib.NewReader(bytes.NewReader(part))
		if err != nil {
			continue // no page: plain metadata
		}
		b, err := io.ReadAll(r)
		if err != nil {
			continue
		}
		if bytes.Contains(b, []byte("/Artifact BMC")) {
			all.Write(b)
		}
	}
	return all.String()
}

// drawn returns the straight lines of a sheet in millimetres: x1, y1, x2, y2
// from the lower left corner.
func drawn(t *testing.T, pdf []byte) [][4]float64 {
	t.Helper()
	var out [][4]float64
	for _, m := range regexp.MustCompile(`([\d.]+) ([\d.]+) m ([\d.]+) ([\d.]+) l S`).FindAllStringSubmatch(streams(t, pdf), -1) {
		var v [4]float64
		for i := range v {
			v[i], _ = strconv.ParseFloat(m[i+1], 64)
			v[i] *= pt
		}
		out = append(out, v)
	}
	return out
}

// Cut marks stand 92 and 64 mm apart, and the ruler is 50 mm, to a hundredth.
func TestSlipsAreTrue(t *testing.T) {
	for _, name := range []string{"slips", "slips-letter"} {
		pdf, err := samples()[name]()
		var upright, level []float64
		ruler := false
		for _, l := range drawn(t, must(t, pdf, err)) {
			dx, dy := math.Abs(l[2]-l[0]), math.Abs(l[3]-l[1])
			switch {
			case dx < .001 && math.Abs(dy-3.5) < .01:
				upright = append(upright, l[0])
			case dy < .001 && math.Abs(dx-3.5) < .01:
				level = append(level, l[1])
			case dy < .001 && math.Abs(dx-50) < .01:
				ruler = true
			}
		}
		if !ruler {
			t.Errorf("%s: no ruler of 50 mm", name)
		}
		if len(upright) != 12 || len(level) != 20 { // two pages
			t.Fatalf("%s: %d and %d marks", name, len(upright), len(level))
		}
		for i := 2; i < 6; i += 2 {
			if got := upright[i] - upright[i-2]; math.Abs(got-SlipWidth) > .01 {
				t.Errorf("%s: %.3f mm wide", name, got)
			}
		}
		for i := 2; i < 10; i += 2 {
			if got := level[i-2] - level[i]; math.Abs(got-SlipHeight) > .01 {
				t.Errorf("%s: %.3f mm high", name, got)
			}
		}
	}
}

// A field of 400 × 200 m comes out twice as wide as high, and its scale bar
// as long as it says. The degree's length is that of WGS84 at 52° N: 111.268
// and 68.678 km (NGA standard 0036, from memory).
func TestMapIsToScale(t *testing.T) {
	const lat, lon = 52.0, 10.0
	east, north := place.Degrees(.4/68.678), place.Degrees(.2/111.268)
	p, err := Outline{Rings: [][]place.Position{{{Lat: lat, Lon: lon}, {Lat: lat, Lon: lon + east}, {Lat: lat + north, Lon: lon + east}, {Lat: lat + north, Lon: lon}}}}.plan()
	if err != nil {
		t.Fatal(err)
	}
	if math.Abs(p.w-400) > .4 || math.Abs(p.h-200) > .2 {
		t.Errorf("%.2f × %.2f m, want 400 × 200", p.w, p.h)
	}
	x := sampleLeader()
	x.Map = Outline{Rings: [][]place.Position{{{Lat: lat, Lon: lon}, {Lat: lat, Lon: lon + east}, {Lat: lat + north, Lon: lon + east}, {Lat: lat + north, Lon: lon}}}}
	pdf, err := Leader(x)
	text := textOf(t, must(t, pdf, err))
	k := math.Min((62-8-6)/400.0, (46-8-9)/200.0) // mm of paper a metre
	if !strings.Contains(text, "200 m") {
		t.Errorf("no scale in %s", text)
	}
	found := false
	for _, l := range drawn(t, pdf) {
		found = found || math.Abs(l[2]-l[0]-200*k) < .1 && l[1] == l[3]
	}
	if !found {
		t.Errorf("no bar of %.2f mm for 200 m", 200*k)
	}
	x.Map.Rings = [][]place.Position{{{Lat: 1}, {Lat: 2}}}
	if _, err := Leader(x); err == nil || !strings.Contains(err.Error(), "outline") {
		t.Errorf("two points made a map: %v", err)
	}
	over := ring(-17, 179.999, [2]float64{0, 0}, [2]float64{400, 0}, [2]float64{400, 300})
	for i := range over {
		if over[i].Lon > 180 {
			over[i].Lon -= 360
		}
	}
	if p, err := (Outline{Rings: [][]place.Position{over}}).plan(); err != nil || math.Abs(p.w-400) > 4 {
		t.Errorf("across the date line: %.1f m, %v", p.w, err)
	}
}

// The square code on paper has each module where the encoder put it.
func TestSquareCodeIsDrawn(t *testing.T) {
	x := samplePoster()
	c, err := matrix(x.URL)
	if err != nil {
		t.Fatal(err)
	}
	pdf, err := Poster(x)
	img, err := png.Decode(strings.NewReader(poppler(t, must(t, pdf, err), "pdftoppm", "-r", "254", "-gray", "-png", "FILE"))) // ten dots a millimetre
	if err != nil {
		t.Fatal(err)
	}
	dark := func(x, y float64) bool { r, _, _, _ := img.At(int(x*10), int(y*10)).RGBA(); return r < 0x8000 }
	// Find the frame's upper left corner, going down inside the left margin.
	top := 130.0
	for line := false; !line; {
		if top += .1; top > 280 {
			t.Fatal("no frame")
		}
		line = true
		for x := 17.0; x < 77 && line; x += .5 {
			line = dark(x, top)
		}
	}
	m := 62 / float64(c.Size+8)
	for row := -4; row < c.Size+4; row++ {
		for col := -4; col < c.Size+4; col++ {
			got := dark(16+(float64(col)+4.5)*m, top+.2+(float64(row)+4.5)*m)
			if want := row >= 0 && col >= 0 && row < c.Size && col < c.Size && c.Black(col, row); got != want {
				t.Fatalf("module %d, %d is dark: %v, want %v", col, row, got, want)
			}
		}
	}
}
