package main

import (
	"encoding/csv"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"strings"

	"trug/bench/render"
)

// photograph is one with what is truly in it.
type photograph struct {
	path  string
	truth render.Truth
}

// set is a set of photographs.
type set struct {
	name   string
	many   bool // of many tags of one id, of no card
	ours   bool // drawn here, in a folder where more may be kept
	photos []photograph
}

func truthOf(jpg string) (*render.Truth, error) {
	raw, err := os.ReadFile(strings.TrimSuffix(jpg, ".jpg") + ".json")
	if err != nil {
		return nil, err
	}
	var t render.Truth
	return &t, json.Unmarshal(raw, &t)
}

// benchSet is the bench's photographs in a folder; those still being drawn are
// left out.
func benchSet(dir string) (set, error) {
	s := set{name: "bench", ours: true}
	paths, err := filepath.Glob(filepath.Join(dir, "bench_*.jpg"))
	if err != nil || len(paths) == 0 {
		return s, fmt.Errorf("%q holds no photograph of the bench: draw them first", dir)
	}
	for _, p := range paths {
		t, err := truthOf(p)
		if errors.Is(err, fs.ErrNotExist) {
			continue
		}
		if err != nil {
			return s, err
		}
		s.photos = append(s.photos, photograph{p, *t})
	}
	return s, nil
}

// realSet is the real photographs with a list of tags beside each: as the
// AprilTag library gives them, bottom left first, pixel centres at .5.
func realSet(dir string) (set, error) {
	s := set{name: "real photographs", many: true}
	paths, err := filepath.Glob(filepath.Join(dir, "*.jpg"))
	if err != nil || len(paths) == 0 {
		return s, fmt.Errorf("%s is missing: run this from the repository's root", dir)
	}
	for _, p := range paths {
		raw, err := os.ReadFile(strings.TrimSuffix(p, ".jpg") + ".txt")
		if err != nil {
			return s, err
		}
		one := photograph{path: p}
		one.truth.Settings.Covered = -1
		for _, line := range strings.Split(strings.TrimSpace(string(raw)), "\n") {
			var t render.TagTruth
			line = strings.NewReplacer(",", " ", "(", " ", ")", " ").Replace(line)
			c := &t.Corners
			if _, err := fmt.Sscan(line, &t.ID, &c[3][0], &c[3][1], &c[2][0], &c[2][1], &c[1][0], &c[1][1], &c[0][0], &c[0][1]); err != nil {
				return s, fmt.Errorf("%s: %q: %w", p, line, err)
			}
			for i := range c {
				c[i][0], c[i][1] = c[i][0]-.5, c[i][1]-.5
			}
			one.truth.Tags = append(one.truth.Tags, t)
		}
		s.photos = append(s.photos, one)
	}
	return s, nil
}

// givenSet is the rendered photographs of the reference card, with photos.csv
// and corners.csv in the folder above or the same.
func givenSet(dir string) (set, error) {
	s := set{name: "rendered photographs given"}
	above := dir
	if _, err := os.Stat(filepath.Join(dir, "photos.csv")); err != nil {
		above = filepath.Dir(dir)
	}
	photos, err := table(filepath.Join(above, "photos.csv"))
	if err != nil {
		return s, err
	}
	corners, err := table(filepath.Join(above, "corners.csv"))
	if err != nil {
		return s, err
	}
	for _, row := range photos {
		one := photograph{path: filepath.Join(dir, row["photo"])}
		if _, err := os.Stat(one.path); err != nil {
			continue // the repository has five of the twelve
		}
		n := numbers{row: row}
		t := &one.truth
		t.Settings = render.Settings{Layout: "reference", Width: int(n.of("width")), Height: int(n.of("height")), TiltDeg: n.of("tilt_deg"), Share: n.of("width_frac"), Blur: n.of("blur_sigma_px"),
			Noise: n.of("noise_sigma"), Covered: int(n.of("occluded_tag")), CoverFrac: n.of("occluded_frac")}
		t.On = [2][2]float64{{n.of("seg_x1"), n.of("seg_y1")}, {n.of("seg_x2"), n.of("seg_y2")}}
		t.Beside = [2][2]float64{{n.of("out_x1"), n.of("out_y1")}, {n.of("out_x2"), n.of("out_y2")}}
		if n.err != nil {
			return s, n.err
		}
		for _, c := range corners {
			if c["photo"] != row["photo"] {
				continue
			}
			n := numbers{row: c}
			tag := render.TagTruth{ID: int(n.of("tag_id")), Seat: int(n.of("tag_id")), Covered: c["occluded"] == "1"}
			for i, at := range []string{"tl", "tr", "br", "bl"} {
				tag.Corners[i] = [2]float64{n.of("x_" + at), n.of("y_" + at)}
			}
			if n.err != nil {
				return s, n.err
			}
			t.Tags = append(t.Tags, tag)
		}
		s.photos = append(s.photos, one)
	}
	if len(s.photos) == 0 {
		return s, fmt.Errorf("%q holds none of the photographs that photos.csv names", dir)
	}
	return s, nil
}

// table is a table's rows by the names of its columns.
func table(path string) ([]map[string]string, error) {
	f, err := os.Open(path)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil || len(rows) == 0 {
		return nil, fmt.Errorf("%s: no rows: %v", path, err)
	}
	var out []map[string]string
	for _, r := range rows[1:] {
		m := map[string]string{}
		for i, v := range r {
			m[rows[0][i]] = v
		}
		out = append(out, m)
	}
	return out, nil
}

// numbers reads a row's numbers and keeps the first that is none.
type numbers struct {
	row map[string]string
	err error
}

func (n *numbers) of(column string) float64 {
	v, err := strconv.ParseFloat(n.row[column], 64)
	if err != nil && n.err == nil {
		n.err = fmt.Errorf("%s: %q is no number", column, n.row[column])
		return math.NaN()
	}
	return v
}
