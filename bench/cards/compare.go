package main

import (
	"cmp"
	"encoding/json"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"runtime"
	"slices"
	"strings"

	"trug/bench/render"
	"trug/science/card"
)

// all is what all detectors say of a photograph, one after the other. With keep,
// it is kept beside it, and taken from there the next time.
func (l *look) all(p *photograph, keep bool) (all []result, err error) {
	beside := strings.TrimSuffix(p.path, ".jpg") + ".found"
	if raw, err := os.ReadFile(beside); keep && err == nil {
		return all, json.Unmarshal(raw, &all)
	}
	our, err := find(&l.finder, p)
	if err != nil {
		return nil, err
	}
	all = []result{our}
	if l.refs != nil {
		refs, err := l.refs.find(p.path)
		if err != nil {
			return nil, err
		}
		all = append(all, refs...)
	}
	if !keep {
		return all, nil
	}
	kept, err := json.Marshal(all)
	if err != nil {
		return nil, err
	}
	return all, os.WriteFile(beside, kept, 0o644)
}

// score is how a detector did over all photographs.
type score struct {
	detector                 string
	many                     bool // photographs of many tags, of no card
	cards, cardsOf, tags     int
	tagsOf, covered, coverOf int
	falseTags, falseCards    int
	sq                       []float64 // squared corner errors
	on, beside               []float64 // % of 50 mm, flat undistorted-by-bend cards
	ms, ms12                 []float64
	bentTold, bentOf, flatAs int
}

// look is what compare looks at, and with what.
type look struct {
	verbose, fast, alone, keep bool
	finder                     card.Finder
	refs                       *references
}

// compare scores all detectors in one run: on the real photographs, the rendered
// ones given, and the bench's, each photograph by all of them in turn.
func compare(dir, given string, l *look) error {
	runtime.GOMAXPROCS(1)
	real, err := realSet("science/card/testdata/real")
	if err != nil {
		return err
	}
	twelve, err := givenSet(given)
	if err != nil {
		return err
	}
	bench, err := benchSet(dir)
	if err != nil {
		return err
	}
	if !l.alone {
		if l.refs, err = startReferences(l.fast); err != nil {
			return err
		}
		defer l.refs.stop()
	}
	for _, s := range []set{real, twelve, bench} {
		if err := l.score(s); err != nil {
			return err
		}
	}
	return nil
}

// score runs all detectors on a set and prints how they did.
func (l *look) score(s set) error {
	var scores []*score
	for i := range s.photos {
		p := &s.photos[i]
		all, err := l.all(p, l.keep && s.ours)
		if err != nil {
			return err
		}
		for _, r := range all {
			i := slices.IndexFunc(scores, func(s *score) bool { return s.detector == r.Detector })
			if i < 0 {
				scores, i = append(scores, &score{detector: r.Detector, many: s.many}), len(scores)
			}
			before := *scores[i]
			scores[i].take(&r, &p.truth)
			if l.verbose && r.Detector == ours {
				scores[i].tell(before, &r, &p.truth)
			}
		}
	}
	fmt.Printf("\n%s: %d photographs; corner errors in px over the tags found; lengths in %% of 50 mm over flat cards with 3 tags or more\n", s.name, len(s.photos))
	fmt.Printf("%-46s %9s %9s %9s %6s %6s  %-24s %-24s %-24s %s\n", "detector", "cards", "tags", "covered", "false", "cards", "corner RMS/median/p95", "on card mean/p95/max", "beside mean/p95/max", "CPU ms median all, 12 MP")
	for _, s := range scores {
		s.print()
	}
	if !s.many {
		ratios(scores)
	}
	return nil
}

// take adds a photograph's result.
func (s *score) take(r *result, truth *render.Truth) {
	s.ms = append(s.ms, r.MS)
	if truth.Settings.Width == 4000 {
		s.ms12 = append(s.ms12, r.MS)
	}
	var spots []card.Spot
	var pixels []card.Pixel
	used := make([]bool, len(r.Tags))
	l, err := card.LayoutByID(truth.Settings.Layout)
	if err != nil && !s.many {
		return
	}
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
		if s.many {
			continue
		}
		for i, c := range l.Corners(t.Seat) {
			spots = append(spots, c)
			pixels = append(pixels, card.Pixel{X: r.Tags[at].Corners[i][0], Y: r.Tags[at].Corners[i][1]})
		}
	}
	for i, u := range used {
		// There are more tags in the real photographs than are listed, all of one id.
		if !u && !(s.many && r.Tags[i].ID == truth.Tags[0].ID) {
			s.falseTags++
		}
	}
	if s.many {
		return
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
	if r.Bent && bent {
		s.bentTold++
	} else if r.Bent {
		s.flatAs++
	}
	if bent {
		return
	}
	if r.On != nil && r.Beside != nil {
		s.on, s.beside = append(s.on, *r.On), append(s.beside, *r.Beside)
		return
	}
	// The references have corners alone.
	plane, err := card.FitPlane(l, truth.Settings.Width, truth.Settings.Height, spots, pixels)
	if err != nil {
		return
	}
	s.on = append(s.on, lengthError(&plane, truth.On))
	s.beside = append(s.beside, lengthError(&plane, truth.Beside))
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
		s.tags-before.tags, math.Sqrt(rms), t.Layout, t.Width, t.Share, t.TiltDeg, t.Blur, t.MotionPx, t.Noise, t.SagMM, r.Bent, t.Covered, t.CoverFrac, t.Glare, t.K1, t.Sharpen, note)
}

func (s *score) print() {
	var sum float64
	var e []float64
	for _, v := range s.sq {
		sum += v
		e = append(e, math.Sqrt(v))
	}
	three := func(v []float64, first float64) string {
		if len(v) == 0 {
			return "-"
		}
		return fmt.Sprintf("%.3f / %.3f / %.3f", first, quantile(v, .95), quantile(v, 1))
	}
	fmt.Printf("%-46s %4d/%-4d %4d/%-4d %4d/%-4d %6d %6d  %-24s %-24s %-24s %.0f, %.0f\n", s.detector, s.cards, s.cardsOf, s.tags, s.tagsOf, s.covered, s.coverOf,
		s.falseTags, s.falseCards, fmt.Sprintf("%.3f / %.3f / %.3f", math.Sqrt(sum/float64(max(len(s.sq), 1))), quantile(e, .5), quantile(e, .95)),
		three(s.on, mean(s.on)), three(s.beside, mean(s.beside)), quantile(s.ms, .5), quantile(s.ms12, .5))
	if s.detector == ours && s.cardsOf > 0 {
		fmt.Printf("%46s bent cards told: %d of %d; flat ones called bent: %d\n", "", s.bentTold, s.bentOf, s.flatAs)
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
