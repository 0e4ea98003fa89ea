package paper

import (
	"bytes"
	"encoding/xml"
	"fmt"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"trug/science/place"
)

// poppler runs one of the tools of poppler-utils over a sheet; they read PDF
// by themselves and so judge what is written here from outside.
func poppler(t *testing.T, pdf []byte, tool string, args ...string) string {
	t.Helper()
	if _, err := exec.LookPath(tool); err != nil {
		if os.Getenv("CI") != "" {
			t.Fatalf("%s is wanted: install poppler-utils", tool)
		}
		t.Skipf("%s is not installed (poppler-utils)", tool)
	}
	file := filepath.Join(t.TempDir(), "sheet.pdf")
	if err := os.WriteFile(file, pdf, 0o600); err != nil {
		t.Fatal(err)
	}
	for i, a := range args {
		if a == "FILE" {
			args[i] = file
		}
	}
	var warn bytes.Buffer
	cmd := exec.Command(tool, args...)
	cmd.Stderr = &warn
	got, err := cmd.Output()
	if err != nil || warn.Len() > 0 {
		t.Fatalf("%s: %v %s", tool, err, warn.String())
	}
	return string(got)
}

// textOf returns the sheet's words with single spaces.
func textOf(t *testing.T, pdf []byte) string {
	t.Helper()
	return strings.Join(strings.Fields(poppler(t, pdf, "pdftotext", "-raw", "FILE", "-")), " ")
}

// box is a word's place in points, as pdftotext -bbox gives it.
type box struct {
	MinX float64 `xml:"xMin,attr"`
	MinY float64 `xml:"yMin,attr"`
	MaxX float64 `xml:"xMax,attr"`
	MaxY float64 `xml:"yMax,attr"`
	Word string  `xml:",chardata"`
}

type bboxPage struct {
	Width  float64 `xml:"width,attr"`
	Height float64 `xml:"height,attr"`
	Words  []box   `xml:"word"`
}

func pagesOf(t *testing.T, pdf []byte) []bboxPage {
	t.Helper()
	var doc struct {
		Pages []bboxPage `xml:"body>doc>page"`
	}
	if err := xml.Unmarshal([]byte(poppler(t, pdf, "pdftotext", "-bbox", "FILE", "-")), &doc); err != nil {
		t.Fatal(err)
	}
	return doc.Pages
}

func must(t testing.TB, pdf []byte, err error) []byte {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
	return pdf
}

func TestWordsOnEachSheet(t *testing.T) {
	want := map[string][]string{
		"leader": {"Upper Tansel Pinery", "Saturday 10 October 2026 · 10:00 to 15:00", "Eszter Fogglethorpe", "14 expected", "27U 583 5382", "112", "555 0142 88",
			"Holds from 1 September 2026 to 30 November 2026.", "May be dug: not known: treat as no", "Galerina marginata (Batsch) Kühner", "Jorun Őszi-Plumley", eaten, "Children stay with their adult.", "meet"},
		"risk": {"Windthrow on the north ride", "Sheep dip by the old fold", usualWeather, usualLone, "Assessed on the ground by Eszter Fogglethorpe, 21 August 2026", eaten},
		"slips": {"W26-0301", "W26-0309", "recorder", "field name", "by whom", "grows on", "tree near", "how many", "smell", "specimen kept yes no",
			"top", "side", "underneath", "surroundings", usualCaution, "is 50 mm"},
		"programme": {"Saturday 26 September 2026", "Čertov Ridge", "Step-free? Not known: please ask.", "Bring along boots and a coat", "Tibor Kühner-Marsh"},
		"poster":    {"What grows in the Vale?", "TANSEL-26", "wimbrel.example/in", usualSteps[3], posterCaution},
		"thanks":    {"Zdeňka", "Łucja", "Young recorder 3", "And 23 more, who take part without being named."},
	}
	for name, make := range samples() {
		pdf, err := make()
		text := textOf(t, must(t, pdf, err))
		for _, w := range want[name] {
			if !strings.Contains(text, w) {
				t.Errorf("%s lacks %q in: %s", name, w, text)
			}
		}
		for _, w := range []string{head.Season, "8 October 2026 · page 1 of "} {
			if !strings.Contains(text, w) {
				t.Errorf("%s lacks %q", name, w)
			}
		}
		if strings.HasSuffix(name, "-long") {
			continue // has a sign that the type lacks
		}
		for _, never := range []string{"edible", "harmless", "poisonous", "verified", "observer", substituteText} {
			if strings.Contains(strings.ToLower(text), never) {
				t.Errorf("%s says %q", name, never)
			}
		}
	}
}

const substituteText = string(substitute)

func TestPagesAndSizes(t *testing.T) {
	size := regexp.MustCompile(`Pages: +(\d+)[\s\S]*Page size: +([\d.]+) x ([\d.]+) pts`)
	for name, want := range map[string]struct {
		pages int
		w, h  float64
	}{"leader": {1, 210, 297}, "risk": {1, 210, 297}, "slips": {2, 210, 297}, "programme": {1, 210, 297}, "thanks": {1, 210, 297},
		"poster": {1, 210, 297}, "poster-a3": {1, 297, 420}, "leader-letter": {1, 215.9, 279.4}, "slips-letter": {2, 215.9, 279.4}} {
		pdf, err := samples()[name]()
		info := poppler(t, must(t, pdf, err), "pdfinfo", "FILE")
		m := size.FindStringSubmatch(info)
		if m == nil {
			t.Fatalf("%s: %s", name, info)
		}
		w, _ := strconv.ParseFloat(m[2], 64)
		h, _ := strconv.ParseFloat(m[3], 64)
		if m[1] != fmt.Sprint(want.pages) || math.Abs(w*pt-want.w) > .01 || math.Abs(h*pt-want.h) > .01 {
			t.Errorf("%s: %s pages of %.2f × %.2f mm, want %+v", name, m[1], w*pt, h*pt, want)
		}
		for _, line := range []string{"Tagged: +yes", "Title: +.*Vale of Wimbrel", "CreationDate: +Thu Oct +8 00:00:00 2026"} {
			if !regexp.MustCompile(line).MatchString(info) {
				t.Errorf("%s: no %q in %s", name, line, info)
			}
		}
	}
}

// Each face is embedded, cut down, and says which letters it holds.
func TestTypeIsEmbedded(t *testing.T) {
	pdf, err := samples()["leader"]()
	lines := strings.Split(strings.TrimSpace(poppler(t, must(t, pdf, err), "pdffonts", "FILE")), "\n")[2:]
	if len(lines) < 4 {
		t.Fatalf("%d fonts", len(lines))
	}
	for _, l := range lines {
		if f := strings.Fields(l); f[len(f)-5] != "yes" || f[len(f)-3] != "yes" {
			t.Errorf("not embedded, or without letters: %s", l)
		}
	}
	if len(pdf) > 80_000 {
		t.Errorf("%d bytes: the faces are not cut", len(pdf))
	}
}

// The tree is read by poppler: titles as titles, text whole and in order.
func TestReadAloud(t *testing.T) {
	pdf, err := samples()["leader"]()
	text := poppler(t, must(t, pdf, err), "pdfinfo", "-struct-text", "FILE")
	text = strings.Join(strings.Fields(text), " ")
	for _, want := range []string{`H1 (block) "Upper Tansel Pinery"`, `H2 (block) "Rules here"`, "by the green gate; the bus stops at Tansel Mill"} {
		if !strings.Contains(text, want) {
			t.Errorf("no %q in %s", want, text)
		}
	}
	if figure := poppler(t, pdf, "pdfinfo", "-struct", "FILE"); !strings.Contains(figure, "Figure") {
		t.Errorf("the map is no figure: %s", figure)
	}
	if !bytes.Contains(pdf, []byte("/PrintScaling /None")) || !bytes.Contains(pdf, []byte("/Lang (en-GB)")) {
		t.Error("no language, or printers may change the size")
	}
}

func TestSameDataSameBytes(t *testing.T) {
	for name, make := range samples() {
		a, err := make()
		must(t, a, err)
		if b, _ := make(); !bytes.Equal(a, b) {
			t.Errorf("%s differs from itself", name)
		}
	}
}

// What the type lacks is shown, and told.
func TestSignsThatTheTypeLacks(t *testing.T) {
	l := sampleLeader()
	l.Leader = "Ada 🍄 \u05d0\u05d1 Ko\u0301s \xff"
	pdf, err := Leader(l)
	text := textOf(t, must(t, pdf, err))
	for _, want := range []string{"Ada □ □□ Kós □", "□ stands for a sign that this sheet’s type lacks (U+1F344, U+05D0, U+05D1, U+FFFD)."} {
		if !strings.Contains(strings.ReplaceAll(text, "'", "’"), want) {
			t.Errorf("no %q in %s", want, text)
		}
	}
}

func TestWrongData(t *testing.T) {
	bad := func(s Sheet) Sheet { s.Date = "10.10.2026"; return s }
	for want, err := range map[string]error{
		"not a day":           second2(Leader(LeaderData{Sheet: bad(head)})),
		"season's title":      second2(Risk(RiskData{Sheet: Sheet{Date: "2026-10-10"}})),
		"A4 and Letter":       second2(Programme(ProgrammeData{Sheet: Sheet{Season: "x", Date: "2026-10-10", Size: A3}})),
		"no sheet size":       second2(Poster(PosterData{Sheet: Sheet{Season: "x", Date: "2026-10-10", Size: 9}})),
		"no field number":     second2(Slips(SlipsData{Sheet: head})),
		"too many":            second2(Slips(SlipsData{Sheet: head, Numbers: make([]string, MostSlips+1)})),
		"no room on a slip":   second2(Slips(SlipsData{Sheet: head, Numbers: []string{"a"}, Caution: flood(100)})),
		"no address":          second2(Poster(PosterData{Sheet: head, URL: "javascript:alert(1)", Code: "A"})),
		"needs a field code":  second2(Poster(PosterData{Sheet: head, URL: "https://wimbrel.example"})),
		"too long":            second2(Poster(PosterData{Sheet: head, URL: "https://wimbrel.example/" + strings.Repeat("a", 3000), Code: "A"})),
		"nobody types":        second2(Poster(PosterData{Sheet: head, URL: "https://wimbrel.example", Code: strings.Repeat("A", 61)})),
		"as it is dialled":    second2(Leader(LeaderData{Sheet: head, Emergency: Number{Phone: flood(20)}})),
		"name it shortly":     second2(Risk(RiskData{Sheet: head, Poison: Number{Who: flood(40)}})),
		"cannot have taken":   second2(Thanks(ThanksData{Sheet: head, Unnamed: -1})),
		"the meeting point: ": second2(Leader(LeaderData{Sheet: head, Map: Outline{Rings: sampleLeader().Map.Rings, Meet: &place.Position{Lat: 91}}})),
	} {
		if err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("want %q, got %v", want, err)
		}
	}
}

func second2(_ []byte, err error) error { return err }

// Letters are kerned: "To" is closer than T and o apart; and figures line up.
func TestLetters(t *testing.T) {
	l, err := newLetters()
	if err != nil {
		t.Fatal(err)
	}
	for f := range faceCount {
		if a, b := l.width(f, "T", 0)+l.width(f, "o", 0), l.width(f, "To", 0); b > a-.02 {
			t.Errorf("%s: To is %.3f em, apart %.3f", faceNames[f], b, a)
		}
		for _, r := range "ąčđěğħıķłőřşťůżŻẞЖжΩ–’“”·□→½×" {
			if l.glyph(f, r).index == 0 {
				t.Errorf("%s lacks %c", faceNames[f], r)
			}
		}
	}
	for _, r := range "123456789" {
		for _, f := range []face{sans, sansBold} {
			if l.glyph(f, r).advance != l.glyph(f, '0').advance {
				t.Errorf("%s: %c is not as wide as 0", faceNames[f], r)
			}
		}
	}
	rs := runs(sans, "a *Mycena pura* b 2*3 * c*")
	if len(rs) < 3 || rs[1] != (run{sansItalic, "Mycena pura"}) {
		t.Errorf("%+v", rs)
	}
	var text strings.Builder
	for _, r := range rs {
		text.WriteString(r.text)
	}
	if text.String() != "a Mycena pura b 2*3 * c*" {
		t.Errorf("a star without a partner is gone: %q", text.String())
	}
}

func TestDrawingsAreRead(t *testing.T) {
	all, err := drawings()
	if err != nil {
		t.Fatal(err)
	}
	for _, v := range views {
		if len(all[v.drawing]) < 3 {
			t.Errorf("%s has %d lines", v.drawing, len(all[v.drawing]))
		}
	}
	ops, err := readPath("M1 2l3-4h.5V9c1 1 2 2 3 3z")
	want := []op{{'M', [6]float64{1, 2}}, {'L', [6]float64{4, -2}}, {'L', [6]float64{4.5, -2}}, {'L', [6]float64{4.5, 9}}, {'C', [6]float64{5.5, 10, 6.5, 11, 7.5, 12}}, {do: 'Z'}}
	if err != nil || fmt.Sprint(ops) != fmt.Sprint(want) {
		t.Errorf("%v %v", ops, err)
	}
	for _, bad := range []string{"L1 2", "M1", "Q1 2 3 4", "M1 2 X", "Z5"} {
		if _, err := readPath(bad); err == nil {
			t.Errorf("%q was read", bad)
		}
	}
}
