package paper

import (
	"embed"
	"fmt"
	"strings"
	"sync"
	"unicode"
	"unicode/utf8"

	"golang.org/x/image/font"
	"golang.org/x/image/font/sfnt"
	"golang.org/x/image/math/fixed"
	"golang.org/x/text/unicode/norm"
)

//go:embed fonts/*.ttf
var fontFiles embed.FS

// face is one of the six cuts of type.
type face int

const (
	serif face = iota
	serifItalic
	serifBold
	sans
	sansItalic
	sansBold
	faceCount
)

var faceNames = [faceCount]string{"serif", "serif-italic", "serif-bold", "sans", "sans-italic", "sans-bold"}

// italic is the cut in which f sets scientific names: upright where the rest
// is in italics.
func (f face) italic() face {
	switch f {
	case serifItalic:
		return serif
	case serif, serifBold:
		return serifItalic
	case sansItalic:
		return sans
	}
	return sansItalic
}

// cut is a face as read from its file.
type cut struct {
	raw  []byte
	font *sfnt.Font
}

// cuts reads the embedded files once.
var cuts = sync.OnceValues(func() (all [faceCount]cut, err error) {
	for i, name := range faceNames {
		if all[i].raw, err = fontFiles.ReadFile("fonts/" + name + ".ttf"); err != nil {
			return all, err
		}
		if all[i].font, err = sfnt.Parse(all[i].raw); err != nil {
			return all, fmt.Errorf("the type %s cannot be read: %w", name, err)
		}
	}
	return all, nil
})

// substitute stands for each sign that the type lacks.
const substitute = '□'

// letters measures text for one document. Lengths are in ems.
type letters struct {
	cuts     [faceCount]cut
	buf      sfnt.Buffer
	glyphs   [faceCount]map[rune]glyph
	kerns    [faceCount]map[[2]sfnt.GlyphIndex]float64
	missing  []rune // what was replaced, each once, in order
	replaced map[rune]bool
}

type glyph struct {
	index   sfnt.GlyphIndex
	advance float64
}

func newLetters() (*letters, error) {
	c, err := cuts()
	if err != nil {
		return nil, err
	}
	l := &letters{cuts: c, replaced: map[rune]bool{}}
	for i := range l.glyphs {
		l.glyphs[i] = map[rune]glyph{}
		l.kerns[i] = map[[2]sfnt.GlyphIndex]float64{}
	}
	return l, nil
}

// em is the size at which the files are measured: their own 1000 units.
const em = 1000

// glyph returns the glyph of r in f; index 0 where there is none.
func (l *letters) glyph(f face, r rune) glyph {
	if g, ok := l.glyphs[f][r]; ok {
		return g
	}
	var g glyph
	if i, err := l.cuts[f].font.GlyphIndex(&l.buf, r); err == nil && i != 0 {
		if a, err := l.cuts[f].font.GlyphAdvance(&l.buf, i, fixed.I(em), font.HintingNone); err == nil {
			g = glyph{i, float64(a) / 64 / em}
		}
	}
	l.glyphs[f][r] = g
	return g
}

// kern returns by how much the gap between two letters differs from none.
func (l *letters) kern(f face, a, b sfnt.GlyphIndex) float64 {
	pair := [2]sfnt.GlyphIndex{a, b}
	if k, ok := l.kerns[f][pair]; ok {
		return k
	}
	k := 0.0
	if v, err := l.cuts[f].font.Kern(&l.buf, a, b, fixed.I(em), font.HintingNone); err == nil {
		k = float64(v) / 64 / em
	}
	l.kerns[f][pair] = k
	return k
}

// width returns the width of a clean text, with track between its letters.
func (l *letters) width(f face, text string, track float64) float64 {
	var w float64
	var last sfnt.GlyphIndex
	for _, r := range text {
		g := l.glyph(f, r)
		if last != 0 {
			w += l.kern(f, last, g.index) + track
		}
		w += g.advance
		last = g.index
	}
	return w
}

// longest is how many signs of one text are looked at: more than a page holds.
const longest = 6000

// clean composes accents, drops control and formatting signs, and replaces
// what the type lacks, noting it. Lines stay apart; other white space becomes
// one space.
func (l *letters) clean(text string) string {
	if len(text) > longest*utf8.UTFMax {
		text = text[:longest*utf8.UTFMax]
	}
	var b strings.Builder
	space, n := false, 0
	for _, r := range norm.NFC.String(text) {
		if n++; n > longest {
			break
		}
		switch {
		case r == '\n':
			b.WriteByte('\n')
			space = false
			continue
		case r == '\u00A0' || r == '\u202F':
			r = '\u00A0'
		case unicode.IsSpace(r):
			space = true
			continue
		case unicode.IsControl(r) || unicode.Is(unicode.Cf, r) || unicode.Is(unicode.Variation_Selector, r):
			continue
		}
		if space && b.Len() > 0 {
			b.WriteByte(' ')
		}
		space = false
		if l.glyph(sans, r).index == 0 {
			l.note(r)
			r = substitute
		}
		b.WriteRune(r)
	}
	return strings.Trim(b.String(), " \n")
}

// note remembers a sign that was replaced.
func (l *letters) note(r rune) {
	if !l.replaced[r] {
		l.replaced[r] = true
		l.missing = append(l.missing, r)
	}
}

// missingNote says which signs were replaced; "" when none was.
func (l *letters) missingNote() string {
	if len(l.missing) == 0 {
		return ""
	}
	var codes []string
	for i, r := range l.missing {
		if i == 6 {
			codes = append(codes, fmt.Sprintf("and %d more", len(l.missing)-i))
			break
		}
		codes = append(codes, fmt.Sprintf("U+%04X", r))
	}
	return string(substitute) + " stands for a sign that this sheet's type lacks (" + strings.Join(codes, ", ") + ")."
}
