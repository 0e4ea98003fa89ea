package main

import (
	"bufio"
	"cmp"
	"encoding/json"
	"fmt"
	"image"
	"image/jpeg"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"slices"
	"strings"
	"syscall"
	"time"

	"trug/bench/render"
	"trug/science/card"
)

// tag is a tag as a detector reports it.
type tag struct {
	ID      int           `json:"id"`
	Corners [4][2]float64 `json:"corners"`
	covered bool
}

// result is what a detector said of a photograph.
type result struct {
	File     string  `json:"file"`
	Detector string  `json:"detector"`
	MS       float64 `json:"ms"`
	Tags     []tag   `json:"tags"`
	plane    *card.Plane
	bent     bool
}

const ours = "Trug"

// cpu is the processor time that this process has taken.
func cpu() time.Duration {
	var u syscall.Rusage
	if syscall.Getrusage(syscall.RUSAGE_SELF, &u) != nil {
		return 0
	}
	return time.Duration(u.Utime.Nano() + u.Stime.Nano())
}

func grey(path string) (*image.Gray, error) {
	f, err := os.Open(path)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	img, err := jpeg.Decode(f)
	if err != nil {
		return nil, err
	}
	y, ok := img.(*image.YCbCr)
	if !ok {
		return nil, fmt.Errorf("%s is no colour JPEG", path)
	}
	return &image.Gray{Pix: y.Y, Stride: y.YStride, Rect: y.Rect}, nil
}

// find runs ours, on one thread.
func find(paths []string) ([]result, error) {
	runtime.GOMAXPROCS(1)
	var f card.Finder
	var out []result
	for _, p := range paths {
		g, err := grey(p)
		if err != nil {
			return nil, err
		}
		runtime.GC()
		t := cpu()
		s := f.Find(g)
		r := result{File: p, Detector: ours, MS: float64(cpu()-t) / 1e6}
		for _, c := range s.Cards {
			for _, t := range c.Tags {
				r.add(t)
			}
		}
		for _, t := range s.Loose {
			r.add(t)
		}
		if len(s.Cards) > 0 {
			r.plane, r.bent = &s.Cards[0].Plane, s.Cards[0].Bent
		}
		out = append(out, r)
	}
	return out, nil
}

func (r *result) add(t card.FoundTag) {
	g := tag{ID: t.ID, covered: t.Covered}
	for i, c := range t.Corners {
		g.Corners[i] = [2]float64{c.X, c.Y}
	}
	r.Tags = append(r.Tags, g)
}

// kept takes the references' results from references.jsonl in the folder, for
// photographs that stand there, and runs the libraries on the rest.
func kept(dir string, paths []string, fast bool) ([]result, error) {
	if os.Getenv("OURS_ALONE") != "" { // while at work on ours
		return nil, nil
	}
	f, err := os.Open(filepath.Join(dir, "references.jsonl"))
	if err != nil {
		return references(paths, fast)
	}
	defer f.Close()
	var out []result
	d := json.NewDecoder(f)
	for d.More() {
		var r result
		if err := d.Decode(&r); err != nil {
			return nil, err
		}
		r.File = filepath.Join(dir, filepath.Base(r.File))
		if slices.Contains(paths, r.File) {
			out = append(out, r)
		}
	}
	rest := slices.DeleteFunc(slices.Clone(paths), func(p string) bool {
		return slices.ContainsFunc(out, func(r result) bool { return r.File == p })
	})
	if len(rest) == 0 {
		return out, nil
	}
	more, err := references(rest, fast)
	return append(out, more...), err
}

// references runs the reference libraries.
func references(paths []string, fast bool) ([]result, error) {
	args := []string{"bench/cards/reference.py"}
	if fast {
		args = append(args, "--fast")
	}
	cmd := exec.Command("/usr/bin/python3", append(args, paths...)...)
	cmd.Stderr = os.Stderr
	pipe, err := cmd.StdoutPipe()
	if err != nil {
		return nil, err
	}
	if err := cmd.Start(); err != nil {
		return nil, err
	}
	var out []result
	sc := bufio.NewScanner(pipe)
	sc.Buffer(nil, 1<<24)
	for sc.Scan() {
		var r result
		if err := json.Unmarshal(sc.Bytes(), &r); err != nil {
			return nil, err
		}
		out = append(out, r)
	}
	return out, cmd.Wait()
}

// score is how a detector did over all photographs.
type score struct {
	detector                 string
	cards, cardsOf, tags     int
	tagsOf, covered, coverOf int
	falseTags, falseCards    int
	sq                       []float64 // squared corner errors
	on, beside               []float64 // % of 50 mm, flat undistorted-by-bend cards
	ms, ms12                 []float64
	bentTold, bentOf, flatAs int
}

// compare scores all detectors in one run.
func compare(dir string, verbose, fast bool) error {
	paths, err := filepath.Glob(filepath.Join(dir, "bench_*.jpg"))
	if err != nil || len(paths) == 0 {
		return fmt.Errorf("%s holds no photograph of the bench: draw them first", dir)
	}
	paths = slices.DeleteFunc(paths, func(p string) bool {
		_, err := os.Stat(strings.TrimSuffix(p, ".jpg") + ".json")
		return err != nil
	})
	results, err := find(paths)
	if err != nil {
		return err
	}
	refs, err := kept(dir, paths, fast)
	if err != nil {
		return err
	}
	var scores []*score
	for _, r := range append(results, refs...) {
		i := slices.IndexFunc(scores, func(s *score) bool { return s.detector == r.Detector })
		if i < 0 {
			scores, i = append(scores, &score{detector: r.Detector}), len(scores)
		}
		truth, err := truthOf(r.File)
		if err != nil {
			return err
		}
		before := *scores[i]
		scores[i].take(&r, truth)
		if verbose && r.Detector == ours {
			scores[i].tell(before, &r, truth)
		}
	}
	fmt.Printf("%d photographs; corner errors in px over the tags found; lengths in %% of 50 mm over flat cards with 3 tags or more\n", len(paths))
	fmt.Printf("%-36s %9s %9s %9s %6s %6s  %-24s %-24s %-24s %s\n", "detector", "cards", "tags", "covered", "false", "cards", "corner RMS/median/p95", "on card mean/p95/max", "beside mean/p95/max", "CPU ms median all, 12 MP")
	for _, s := range scores {
		s.print()
	}
	ratios(scores)
	return nil
}

func truthOf(jpg string) (*render.Truth, error) {
	raw, err := os.ReadFile(strings.TrimSuffix(jpg, ".jpg") + ".json")
	if err != nil {
		return nil, err
	}
	var t render.Truth
	return &t, json.Unmarshal(raw, &t)
}

// take adds a photograph's result.
func (s *score) take(r *result, truth *render.Truth) {
	s.ms = append(s.ms, r.MS)
	if truth.Settings.Width == 4000 {
		s.ms12 = append(s.ms12, r.MS)
	}
	l, err := card.LayoutByID(truth.Settings.Layout)
	if err != nil {
		return
	}
	var spots []card.Spot
	var pixels []card.Pixel
	used := make([]bool, len(r.Tags))
	for _, t := range truth.Tags {
		s.tagsOf++
		if t.Covered {
			s.coverOf++
		}
		at, err := nearest(r.Tags, t)
		if at < 0 {
			continue
		}
		used[at] = true
		s.tags++
		if t.Covered {
			s.covered++
		}
		s.sq = append(s.sq, err...)
		for i, c := range l.Corners(t.Seat) {
			spots = append(spots, c)
			pixels = append(pixels, card.Pixel{X: r.Tags[at].Corners[i][0], Y: r.Tags[at].Corners[i][1]})
		}
	}
	for _, u := range used {
		if !u {
			s.falseTags++
		}
	}
	if truth.Settings.NoCard {
		if len(r.Tags) > 0 {
			s.falseCards++
		}
		return
	}
	s.cardsOf++
	if len(spots) < 12 {
		return
	}
	s.cards++
	bent := truth.Settings.SagMM != 0
	if bent {
		s.bentOf++
	}
	if r.bent && bent {
		s.bentTold++
	} else if r.bent {
		s.flatAs++
	}
	if bent {
		return
	}
	plane := r.plane
	if plane == nil { // the references have corners alone
		p, err := card.FitPlane(l, truth.Settings.Width, truth.Settings.Height, spots, pixels)
		if err != nil {
			return
		}
		plane = &p
	}
	s.on = append(s.on, lengthError(plane, truth.On))
	s.beside = append(s.beside, lengthError(plane, truth.Beside))
}

func lengthError(p *card.Plane, ends [2][2]float64) float64 {
	a, _ := p.ToCard(card.Pixel{X: ends[0][0], Y: ends[0][1]})
	b, _ := p.ToCard(card.Pixel{X: ends[1][0], Y: ends[1][1]})
	return math.Abs(math.Hypot(float64(a.X-b.X), float64(a.Y-b.Y))-50) * 2
}

// nearest finds the tag of the true id nearest to where it is, within half
// its size, and its corners' squared errors.
func nearest(tags []tag, t render.TagTruth) (at int, sq []float64) {
	size := math.Hypot(t.Corners[0][0]-t.Corners[2][0], t.Corners[0][1]-t.Corners[2][1]) / math.Sqrt2
	at = -1
	best := size * size * .25 * 4
	for i, g := range tags {
		if g.ID != t.ID {
			continue
		}
		var e []float64
		sum := 0.0
		for k := range 4 {
			dx, dy := g.Corners[k][0]-t.Corners[k][0], g.Corners[k][1]-t.Corners[k][1]
			e = append(e, dx*dx+dy*dy)
			sum += dx*dx + dy*dy
		}
		if sum < best {
			best, at, sq = sum, i, e
		}
	}
	return at, sq
}

// tell prints what ours did with a photograph.
func (s *score) tell(before score, r *result, truth *render.Truth) {
	t := truth.Settings
	rms := 0.0
	for _, v := range s.sq[len(before.sq):] {
		rms += v / float64(len(s.sq)-len(before.sq))
	}
	note := ""
	if s.falseTags > before.falseTags {
		note += " FALSE"
	}
	if s.cards == before.cards && !t.NoCard {
		note += " MISSED"
	}
	fmt.Printf("%s %4.0f ms tags %d rms %.3f  %s %d px share %.2f tilt %2.0f blur %.1f motion %.0f noise %.0f sag %.1f bent %v cover %d %.2f glare %.1f k1 %.3f sharpen %.1f%s\n", filepath.Base(r.File), r.MS,
		s.tags-before.tags, math.Sqrt(rms), t.Layout, t.Width, t.Share, t.TiltDeg, t.Blur, t.MotionPx, t.Noise, t.SagMM, r.bent, t.Covered, t.CoverFrac, t.Glare, t.K1, t.Sharpen, note)
}

func (s *score) print() {
	var sum float64
	var e []float64
	for _, v := range s.sq {
		sum += v
		e = append(e, math.Sqrt(v))
	}
	three := func(v []float64, first float64) string {
		return fmt.Sprintf("%.3f / %.3f / %.3f", first, quantile(v, .95), quantile(v, 1))
	}
	fmt.Printf("%-36s %4d/%-4d %4d/%-4d %4d/%-4d %6d %6d  %-24s %-24s %-24s %.0f, %.0f\n", s.detector, s.cards, s.cardsOf, s.tags, s.tagsOf, s.covered, s.coverOf,
		s.falseTags, s.falseCards, fmt.Sprintf("%.3f / %.3f / %.3f", math.Sqrt(sum/float64(max(len(s.sq), 1))), quantile(e, .5), quantile(e, .95)),
		three(s.on, mean(s.on)), three(s.beside, mean(s.beside)), quantile(s.ms, .5), quantile(s.ms12, .5))
	if s.detector == ours {
		fmt.Printf("%36s bent cards told: %d of %d; flat ones called bent: %d\n", "", s.bentTold, s.bentOf, s.flatAs)
	}
}

func mean(v []float64) float64 {
	sum := 0.0
	for _, x := range v {
		sum += x
	}
	return sum / float64(max(len(v), 1))
}

func quantile(v []float64, p float64) float64 {
	if len(v) == 0 {
		return math.NaN()
	}
	v = slices.Sorted(slices.Values(v))
	return v[min(int(p*float64(len(v))), len(v)-1)]
}

func sortedBy[T any](v []T, key func(T) float64) []T {
	return slices.SortedFunc(slices.Values(v), func(a, b T) int { return cmp.Compare(key(a), key(b)) })
}
