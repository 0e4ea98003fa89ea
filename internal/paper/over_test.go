package paper

import (
	"bytes"
	"fmt"
	"math"
	"regexp"
	"strings"
	"testing"
	"unicode/utf8"

	"trug"
	"trug/science/place"
)

// flood returns text of n words that wraps.
func flood(n int) string {
	return strings.TrimSpace(strings.Repeat("rather long words about everything ", n/5+1))
}

// inside fails when a word lies over the sheet's edges or below its footer,
// or when the body runs into the footer's line.
func inside(t *testing.T, name string, pdf []byte) {
	t.Helper()
	for i, p := range pagesOf(t, pdf) {
		for _, w := range p.Words {
			if line := p.Height - 12.1/pt; p.Height < 1000 && w.MinY < line-.5 && w.MaxY > line+.5 {
				t.Errorf("%s, page %d: %q runs into the footer", name, i+1, w.Word)
			}
			if w.MinX < 8/pt || w.MaxX > p.Width-8/pt || w.MinY < 5/pt || w.MaxY > p.Height-4/pt {
				t.Errorf("%s, page %d: %q at %.1f..%.1f, %.1f..%.1f mm", name, i+1, w.Word, w.MinX*pt, w.MaxX*pt, w.MinY*pt, w.MaxY*pt)
			}
		}
	}
}

func TestNothingRunsOver(t *testing.T) {
	name := strings.Repeat("Fogglethorpe-Őszi ", 17) // about 300 letters
	word := strings.Repeat("Mycena", 60)             // no space at all
	for _, filler := range []string{name, word, flood(900), "a\nb\n\n\n\nc" + strings.Repeat("\n", 500)} {
		l := sampleLeader()
		l.Foray, l.Site, l.Code, l.Leader, l.MeetingPoint, l.NearestRoad, l.Square, l.Position = filler, filler, filler, filler, filler, filler, filler, filler
		l.Permission = Permission{filler, filler, "", "", filler, filler, filler, filler}
		l.Rules = []string{filler, filler, filler}
		l.Species = []Species{{filler, filler, filler, filler}}
		l.Emergency, l.Poison, l.Season = Number{strings.Repeat("W", 60), strings.Repeat("9", 40)}, Number{strings.Repeat("W ", 30), "555 0142 88"}, filler
		pdf, err := Leader(l)
		inside(t, "leader", must(t, pdf, err))
		if n := len(pagesOf(t, pdf)); n != 1 {
			t.Errorf("the leader's sheet has %d pages", n)
		}
		if text := textOf(t, pdf); !strings.Contains(text, "555 0142 88") || !strings.Contains(text, "Children stay with their adult") || !strings.Contains(text, eaten[:30]) || !strings.Contains(text, desk) {
			t.Errorf("what must stand is gone, or nothing says that the rest is: %.300s", text)
		}
		r := sampleRisk()
		r.Site, r.Ground, r.Trees, r.Water, r.Livestock, r.Roads, r.Contaminated, r.LoneWork, r.Weather = filler, filler, filler, filler, filler, filler, filler, filler, filler
		for range 30 {
			r.Hazards = append(r.Hazards, Hazard{filler, filler})
		}
		pdf, err = Risk(r)
		inside(t, "risk", must(t, pdf, err))
		if n := len(pagesOf(t, pdf)); n != 1 {
			t.Errorf("the risk sheet has %d pages", n)
		}
		otherSheets(t, filler)
	}
}

// otherSheets floods the sheets that are not one page by nature.
func otherSheets(t *testing.T, filler string) {
	t.Helper()
	s := sampleSlips()
	s.Site, s.Season, s.Numbers[0] = filler, filler, filler
	s.Caution = flood(16)
	pdf, err := Slips(s)
	inside(t, "slips", must(t, pdf, err))
	p := sampleProgramme()
	p.Intro, p.Contact, p.Season = filler, filler, filler
	p.Forays[1] = ProgrammeForay{"2026-10-01", filler, filler, filler, filler, filler, filler, filler}
	p.Bring = append(p.Bring, filler, filler)
	pdf, err = Programme(p)
	inside(t, "programme", must(t, pdf, err))
	o := samplePoster()
	o.Title, o.Where, o.Dates, o.Lead, o.Season, o.Caution = filler, filler, filler, filler, filler, filler
	o.Steps = [4]string{filler, filler, filler, filler}
	pdf, err = Poster(o)
	inside(t, "poster", must(t, pdf, err))
	k := sampleThanks()
	k.Lead, k.Season = filler, filler
	k.Names = append(k.Names, filler, filler)
	pdf, err = Thanks(k)
	inside(t, "thanks", must(t, pdf, err))
}

func TestManyPages(t *testing.T) {
	k := sampleThanks()
	k.Names = nil
	for i := range 700 {
		k.Names = append(k.Names, fmt.Sprintf("Recorder Nr%04d", i))
	}
	pdf, err := Thanks(k)
	text := textOf(t, must(t, pdf, err))
	if n := strings.Count(text, "Recorder Nr"); n != 700 {
		t.Errorf("%d of 700 names", n)
	}
	if n := len(pagesOf(t, pdf)); n < 3 || !strings.Contains(text, fmt.Sprintf("page %d of %d", n, n)) {
		t.Errorf("%d pages, not counted in the footer", n)
	}
	inside(t, "thanks", pdf)
	p := sampleProgramme()
	for i := range 40 {
		p.Forays = append(p.Forays, ProgrammeForay{Day: "2026-10-20", Site: fmt.Sprintf("Wood%02d", i)})
	}
	pdf, err = Programme(p)
	text = textOf(t, must(t, pdf, err))
	if n := len(regexp.MustCompile(`Wood\d\d`).FindAllString(text, -1)); n != 40 {
		t.Errorf("%d of 40 forays", n)
	}
	inside(t, "programme", pdf)
}

// Whatever people type, a sheet comes out whole or an error says why.
func FuzzSheets(f *testing.F) {
	f.Add("Upper Tansel", "*Mycena* \n x", "2026-10-10", 52.0, 10.0, 3)
	f.Add("", "\xff\x00*", "nix", math.NaN(), 200.0, -1)
	f.Add(flood(400), strings.Repeat("W", 700), "2026-10-10", -89.9, -180.0, 40)
	f.Fuzz(func(t *testing.T, a, b, day string, lat, lon float64, n int) {
		s := Sheet{Season: a, Date: trug.Date(day)}
		many := make([]string, max(0, min(n, 60)))
		for i := range many {
			many[i] = b
		}
		l := LeaderData{Sheet: s, Site: b, Code: a, Leader: b, Permission: Permission{Words: b, Dig: a}, Rules: many, Species: []Species{{a, b, a, b}}, Emergency: Number{b, a}}
		if n%2 == 0 {
			l.Map.Rings = [][]place.Position{{{Lat: place.Degrees(lat), Lon: place.Degrees(lon)}, {Lat: place.Degrees(lat + .01), Lon: place.Degrees(lon)}, {Lat: place.Degrees(lat), Lon: place.Degrees(lon + .02)}}}
		}
		for i, make := range []func() ([]byte, error){
			func() ([]byte, error) { return Leader(l) },
			func() ([]byte, error) {
				return Risk(RiskData{Sheet: s, Site: a, Ground: b, Hazards: []Hazard{{a, b}, {b, a}}})
			},
			func() ([]byte, error) { return Slips(SlipsData{Sheet: s, Numbers: many, Site: b, Caution: a}) },
			func() ([]byte, error) {
				return Programme(ProgrammeData{Sheet: s, Bring: many, Forays: []ProgrammeForay{{Site: a, Name: b}}})
			},
			func() ([]byte, error) { return Poster(PosterData{Sheet: s, Title: a, Lead: b, URL: b, Code: a}) },
			func() ([]byte, error) { return Thanks(ThanksData{Sheet: s, Names: many, Unnamed: n}) },
		} {
			pdf, err := make()
			if err == nil && (!bytes.HasPrefix(pdf, []byte("%PDF-")) || !bytes.HasSuffix(pdf, []byte("%%EOF\n"))) {
				t.Errorf("sheet %d is not whole", i)
			}
			if err != nil && (len(err.Error()) < 20 || !utf8.ValidString(err.Error())) {
				t.Errorf("sheet %d: %q says little", i, err)
			}
		}
	})
}

func FuzzReadPath(f *testing.F) {
	f.Add("M1 2l3-4h.5V9c1 1 2 2 3 3z")
	f.Fuzz(func(t *testing.T, d string) {
		ops, err := readPath(d)
		if err == nil && len(ops) > 0 && ops[0].do != 'M' {
			t.Errorf("%q begins with %c", d, ops[0].do)
		}
	})
}

func BenchmarkLeader(b *testing.B) {
	x := sampleLeader()
	for b.Loop() {
		if _, err := Leader(x); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkSlips(b *testing.B) {
	x := sampleSlips()
	for len(x.Numbers) < 200 {
		x.Numbers = append(x.Numbers, fmt.Sprintf("W26-%04d", len(x.Numbers)))
	}
	for b.Loop() {
		if _, err := Slips(x); err != nil {
			b.Fatal(err)
		}
	}
}
