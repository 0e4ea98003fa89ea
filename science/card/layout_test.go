package card

import (
	"bytes"
	"encoding/csv"
	"fmt"
	"math"
	"math/bits"
	"os"
	"strings"
	"testing"
)

// Any two of the 587 codes, in any turns, and each code and its own turns,
// differ in 11 bits or more: the family's name says so (36 bits, distance 11).
func TestCodesAreFarApart(t *testing.T) {
	f := tag36h11()
	if len(f.codes) != 587 {
		t.Fatalf("%d codes", len(f.codes))
	}
	least := codeBits
	for i, c := range f.codes {
		for k, r := 0, c; k < 4; k, r = k+1, turned(r) {
			for j := i; j < len(f.codes); j++ {
				if j == i && k == 0 {
					continue
				}
				least = min(least, bits.OnesCount64(r^f.codes[j]))
			}
		}
	}
	if least != MinDistance {
		t.Errorf("the least distance is %d", least)
	}
}

// The first four tags as the reference data draw them.
func TestCells(t *testing.T) {
	raw, err := os.ReadFile("testdata/tag36h11_first4_grids.txt")
	if err != nil {
		t.Fatal(err)
	}
	var grid [tagCells][tagCells]bool
	n := -1
	row := 0
	for _, line := range strings.Split(string(raw), "\n") {
		switch {
		case strings.HasPrefix(line, "id "):
			n++
			row = 0
			if grid, err = Cells(n); err != nil {
				t.Fatal(err)
			}
		case len(line) == tagCells:
			for col := range tagCells {
				if grid[row][col] != (line[col] == '1') {
					t.Errorf("tag %d, row %d, column %d", n, row, col)
				}
			}
			row++
		}
	}
	if n != 3 {
		t.Errorf("%d grids were read", n+1)
	}
	for _, id := range []int{-1, 587} {
		if _, err := Cells(id); err == nil {
			t.Errorf("tag %d was drawn", id)
		}
	}
}

// A code read from a turned tag is found again with the turns it needs.
func TestMatchTurns(t *testing.T) {
	f := tag36h11()
	for id := 0; id < len(f.codes); id += 7 {
		// What is read from a tag that lies turned clockwise by k quarters.
		for k := range 4 {
			read := f.codes[id]
			for range (4 - k) % 4 {
				read = turned(read)
			}
			got, turns, d := f.match(read ^ 0b1001)
			if got != id || d != 2 || turns != k {
				t.Fatalf("tag %d turned %d: %d, %d turns, distance %d", id, k, got, turns, d)
			}
		}
	}
}

// Turning the drawn tag a quarter counter-clockwise turns its word.
func TestTurnedIsAQuarter(t *testing.T) {
	f := tag36h11()
	g, err := Cells(5)
	if err != nil {
		t.Fatal(err)
	}
	var word uint64
	for i := range codeBits {
		// Counter-clockwise: what stands at (col, row) afterwards stood at (9-row, col).
		col, row := f.col[i]+1, f.row[i]+1
		word <<= 1
		if g[col][tagCells-1-row] {
			word |= 1
		}
	}
	if word != turned(f.codes[5]) {
		t.Errorf("%x, not %x", word, turned(f.codes[5]))
	}
}

func TestLayouts(t *testing.T) {
	taken := map[int]string{}
	for _, l := range Layouts() {
		for q := l.FirstQuad; q < l.FirstQuad+l.Quads; q++ {
			if taken[q] != "" {
				t.Errorf("quad %d belongs to %s and %s", q, taken[q], l.ID)
			}
			if taken[q] = l.ID; 4*q+3 >= TagCount() {
				t.Errorf("%s: the family has no quad %d", l.ID, q)
			}
		}
		boxes := []Box{l.Square, l.Drawings, l.Words}
		for _, tag := range l.Tags {
			cell := tag.Black.W / blackCells
			boxes = append(boxes, Box{tag.Black.X - cell, tag.Black.Y - cell, 10 * cell, 10 * cell})
		}
		seen := map[string]bool{}
		colours, greys := 0, 0
		for _, p := range l.Patches {
			if seen[p.ID] {
				t.Errorf("%s has two patches %s", l.ID, p.ID)
			}
			if seen[p.ID] = true; p.Grey {
				greys++
			} else {
				colours++
			}
			boxes = append(boxes, p.Box)
		}
		if l.ID != "reference" && (colours < 16 || greys < 6) {
			t.Errorf("%s has %d colours and %d greys", l.ID, colours, greys)
		}
		for i, a := range boxes {
			if a.X < 0 || a.Y < 0 || a.X+a.W > l.Width || a.Y+a.H > l.Height {
				t.Errorf("%s: %v leaves the card", l.ID, a)
			}
			for _, b := range boxes[:i] {
				if a.W > 0 && b.W > 0 && a.X < b.X+b.W && b.X < a.X+a.W && a.Y < b.Y+b.H && b.Y < a.Y+a.H {
					t.Errorf("%s: %v and %v overlap", l.ID, a, b)
				}
			}
		}
	}
}

// Ids of a batch lead back to it; the first batches share none.
func TestBatches(t *testing.T) {
	for _, l := range Layouts() {
		seen := map[[4]int]bool{}
		used := map[int]bool{}
		for n := range l.Batches() {
			ids, err := l.Ids(n)
			if err != nil {
				t.Fatal(err)
			}
			if seen[ids] {
				t.Fatalf("%s: batch %d has the ids of another", l.ID, n)
			}
			seen[ids] = true
			for seat, id := range ids {
				if got, s := seatOf(id); got != l || s != seat {
					t.Fatalf("%s: tag %d is at seat %d", l.ID, id, s)
				}
				if n < l.Quads && used[id] {
					t.Fatalf("%s: batch %d takes tag %d again", l.ID, n, id)
				}
				used[id] = true
			}
			if got := l.batchOf(ids[2]/4, ids[1]/4); got != n {
				t.Fatalf("%s: batch %d was read as %d", l.ID, n, got)
			}
		}
		if _, err := l.Ids(l.Batches()); err == nil {
			t.Errorf("%s has a batch too many", l.ID)
		}
	}
}

// The reference card's plane as its renderer knows it: corners of
// rendered/corners.csv; the two dots and the outside length of photos.csv
// then lie where that file says, 50 mm apart.
func TestPlaneOfTheReferenceCard(t *testing.T) {
	l := Layouts()[0]
	corners := table(t, "testdata/corners.csv")
	for _, p := range table(t, "testdata/photos.csv") {
		var spots []Spot
		var pixels []Pixel
		for _, c := range corners {
			if c.text["photo"] == p.text["photo"] {
				for i, k := range []string{"tl", "tr", "br", "bl"} {
					spots = append(spots, l.Corners(int(c.num("tag_id")))[i])
					pixels = append(pixels, Pixel{c.num("x_" + k), c.num("y_" + k)})
				}
			}
		}
		plane, err := FitPlane(l, int(p.num("width")), int(p.num("height")), spots, pixels)
		if err != nil {
			t.Fatal(err)
		}
		for _, s := range []struct {
			x, y string
			at   Spot
		}{{"seg_x1", "seg_y1", Spot{27.5, 46}}, {"seg_x2", "seg_y2", Spot{77.5, 46}}, {"out_x1", "out_y1", Spot{27.5, -34}}, {"out_x2", "out_y2", Spot{77.5, -34}}} {
			q := plane.ToImage(s.at)
			if d := math.Hypot(q.X-p.num(s.x), q.Y-p.num(s.y)); d > .01 {
				t.Errorf("%s: %v is seen %.3f px from where it is", p.text["photo"], s.at, d)
			}
			back, ok := plane.ToCard(Pixel{p.num(s.x), p.num(s.y)})
			if d := math.Hypot(float64(back.X-s.at.X), float64(back.Y-s.at.Y)); !ok || d > .01 {
				t.Errorf("%s: %v is %.4f mm off", p.text["photo"], s.at, d)
			}
		}
		if got := plane.PxPerMM(plane.Middle()); math.Abs(got/p.num("px_per_mm")-1) > .6 {
			t.Errorf("%s: %.2f px a mm at the middle, %.2f stated", p.text["photo"], got, p.num("px_per_mm"))
		}
	}
}

func TestDistortionThereAndBack(t *testing.T) {
	l := Layouts()[1]
	p := newPlane(l, 4000, 3000)
	for _, k := range []float64{-.1, -.02, 0, .03, .1} {
		if !p.set([planeParams]float64{700, -200, 1500, 180, 650, 2000, .1, -.2, k}) {
			t.Fatal("no plane")
		}
		for _, s := range []Spot{{0, 0}, {90, 0}, {45, 90}, {-30, 20}} {
			back, ok := p.ToCard(p.ToImage(s))
			if !ok || math.Abs(float64(back.X-s.X)) > 1e-3 || math.Abs(float64(back.Y-s.Y)) > 1e-3 {
				t.Errorf("k %v: %v came back as %v", k, s, back)
			}
		}
	}
	if q := p.ToImage(Spot{0, 1e6}); !math.IsNaN(q.X) {
		t.Errorf("a spot behind the horizon is seen at %v", q)
	}
}

func TestFitPlaneRefuses(t *testing.T) {
	l := Layouts()[0]
	line := []Spot{{0, 0}, {1, 1}, {2, 2}, {3, 3}}
	if _, err := FitPlane(l, 100, 100, line, []Pixel{{0, 0}, {1, 1}, {2, 2}, {3, 3}}); err == nil {
		t.Error("four points in a line made a plane")
	}
	if _, err := FitPlane(l, 100, 100, line[:3], make([]Pixel, 3)); err == nil {
		t.Error("three points made a plane")
	}
	same := l.Corners(0)
	if _, err := FitPlane(l, 100, 100, same[:], make([]Pixel, 4)); err == nil {
		t.Error("one pixel made a plane")
	}
}

// line is a row of a table by its head.
type line struct {
	t    *testing.T
	text map[string]string
}

func (l line) num(k string) float64 {
	l.t.Helper()
	var v float64
	if _, err := fmt.Sscan(l.text[k], &v); err != nil {
		l.t.Fatalf("%s = %q: %v", k, l.text[k], err)
	}
	return v
}

func table(t *testing.T, name string) []line {
	t.Helper()
	raw, err := os.ReadFile(name)
	if err != nil {
		t.Fatal(err)
	}
	all, err := csv.NewReader(bytes.NewReader(raw)).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	var out []line
	for _, r := range all[1:] {
		m := map[string]string{}
		for i, k := range all[0] {
			m[k] = r[i]
		}
		out = append(out, line{t, m})
	}
	return out
}
