package paper

import (
	"strings"
	"unicode/utf8"
)

// run is a piece of clean text in one face.
type run struct {
	face face
	text string
}

// line is a set line with its width in ems.
type line struct {
	runs  []run
	width float64
}

// runs splits a clean text at its stars: what stands between two of them is
// set in italics. A star without a partner, or beside a space within, is
// printed.
func runs(f face, text string) []run {
	var out []run
	for {
		i := strings.IndexByte(text, '*')
		if i < 0 {
			break
		}
		n := strings.IndexByte(text[i+1:], '*')
		if n <= 0 || strings.HasPrefix(text[i+1:], " ") || text[i+n] == ' ' || strings.Contains(text[i+1:i+1+n], "\n") {
			out = append(out, run{f, text[:i+1]})
			text = text[i+1:]
			continue
		}
		out = append(out, run{f, text[:i]}, run{f.italic(), text[i+1 : i+1+n]})
		text = text[i+n+2:]
	}
	return append(out, run{f, text})
}

// wrapper fills lines.
type wrapper struct {
	l     *letters
	max   float64
	lines []line
	now   line
	word  []run
	wordW float64
}

// wrap sets runs in lines of at most max ems, breaking at spaces and, within
// a word that is wider than a line, anywhere.
func (l *letters) wrap(rs []run, max float64) []line {
	w := &wrapper{l: l, max: max}
	for _, r := range rs {
		for text := r.text; text != ""; {
			i := strings.IndexAny(text, " \n")
			if i < 0 {
				w.add(run{r.face, text})
				break
			}
			w.add(run{r.face, text[:i]})
			w.endWord()
			if text[i] == '\n' {
				w.endLine()
			} else {
				w.space(r.face)
			}
			text = text[i+1:]
		}
	}
	w.endWord()
	if len(w.now.runs) > 0 || len(w.lines) == 0 {
		w.endLine()
	}
	return w.lines
}

func (w *wrapper) add(r run) {
	if r.text != "" {
		w.word = append(w.word, r)
		w.wordW += w.l.width(r.face, r.text, 0)
	}
}

// space adds a space to the line, if there is something before it.
func (w *wrapper) space(f face) {
	if len(w.now.runs) > 0 {
		w.now.runs = append(w.now.runs, run{f, " "})
		w.now.width += w.l.glyph(f, ' ').advance
	}
}

// endWord puts the word on this line or the next, in pieces if need be.
func (w *wrapper) endWord() {
	if len(w.word) == 0 {
		return
	}
	if w.now.width+w.wordW > w.max && len(w.now.runs) > 0 {
		w.endLine()
	}
	for _, r := range w.word {
		for w.now.width+w.l.width(r.face, r.text, 0) > w.max {
			n := w.l.prefix(r, w.max-w.now.width, len(w.now.runs) == 0)
			if n > 0 {
				w.now.runs = append(w.now.runs, run{r.face, r.text[:n]})
				w.now.width += w.l.width(r.face, r.text[:n], 0)
				r.text = r.text[n:]
			}
			if r.text == "" {
				break
			}
			w.endLine()
		}
		if r.text != "" {
			w.now.runs = append(w.now.runs, r)
			w.now.width += w.l.width(r.face, r.text, 0)
		}
	}
	w.word, w.wordW = nil, 0
}

// prefix returns how many bytes of r fit into width; one letter at least when
// some must.
func (l *letters) prefix(r run, width float64, some bool) int {
	n, used := 0, 0.0
	for i, c := range r.text {
		used += l.glyph(r.face, c).advance
		if used > width && (i > 0 || !some) {
			return n
		}
		n = i + utf8.RuneLen(c)
	}
	return n
}

func (w *wrapper) endLine() {
	// The space at its end stays, unseen, so that words read aloud are apart.
	if n := len(w.now.runs); n > 0 && w.now.runs[n-1].text == " " {
		w.now.width -= w.l.glyph(w.now.runs[n-1].face, ' ').advance
	}
	w.lines = append(w.lines, w.now)
	w.now = line{}
}
