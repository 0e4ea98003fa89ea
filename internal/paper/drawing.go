package paper

import (
	"bytes"
	"fmt"
	"math"
	"strings"
	"time"

	"codeberg.org/go-pdf/fpdf"
)

// pt is a typographic point in millimetres.
const pt = 25.4 / 72

// tone is how dark something is printed.
type tone int

const (
	ink    tone = iota // black
	second             // captions and labels, still 7:1 on white
	hair               // rules that part things
	accent             // oxblood; a grey printer makes it dark
)

var tones = [...][3]int{{0, 0, 0}, {68, 68, 68}, {130, 130, 130}, {115, 41, 46}}

// style is how text is set.
type style struct {
	face  face
	size  float64 // points
	lead  float64 // line to line, as a multiple of the size; 0 is 1.25
	tone  tone
	track float64 // ems between letters
}

func (s style) leading() float64 {
	if s.lead == 0 {
		s.lead = 1.25
	}
	return s.size * s.lead * pt
}

// with returns the style in another face.
func (s style) with(f face) style { s.face = f; return s }

// drawing is a document as it is laid out. Lengths are millimetres from the
// sheet's upper left corner. While muted it measures and draws nothing, so
// that the same code lays a sheet out and prints it.
type drawing struct {
	*letters
	sheet        Sheet
	kind         string // "Leader's sheet"
	pdf          *fpdf.Fpdf
	muted        bool
	w, h         float64
	left, right  float64 // edges of the text
	foot         float64 // what lies below belongs to the footer
	scale        float64 // of the type that may shrink
	page, pages  int
	note         string
	caps, counts map[string]int // most lines of a text, and how many it took
	level        int            // most lines of any text when room is short; 0 is no limit
	used         [faceCount]bool
	tags         []tag
	marked       bool   // an element is open
	margin       bool   // what is drawn is no element
	as           string // the kind that the next element takes
	inks         struct{ draw, fill, text tone }
}

// desk ends a text that had to be shortened.
const desk = "… continued on the season desk"

// produce lays the document out twice: first to count its pages and the signs
// that its type lacks, then on paper.
func (s Sheet) produce(kind string, draw func(*drawing)) ([]byte, error) {
	l, err := newLetters()
	if err != nil {
		return nil, err
	}
	d := &drawing{letters: l, sheet: s, kind: kind, muted: true}
	d.w, d.h = s.Size.millimetres()
	d.begin()
	draw(d)
	d.footer()
	d.pages, d.note = d.page, l.missingNote()
	d.muted = false
	if err := d.open(); err != nil {
		return nil, err
	}
	d.begin()
	draw(d)
	d.footer()
	var out bytes.Buffer
	if err := d.pdf.Output(&out); err != nil {
		return nil, fmt.Errorf("the sheet could not be written: %w", err)
	}
	return d.finish(out.Bytes())
}

func (d *drawing) begin() {
	d.left, d.right, d.foot = 14, d.w-14, d.h-15
	d.scale, d.page, d.level = 1, 0, 0
	d.caps, d.counts = map[string]int{}, map[string]int{}
}

// open starts the file with its metadata and type.
func (d *drawing) open() error {
	d.pdf = fpdf.NewCustom(&fpdf.InitType{UnitStr: "mm", Size: fpdf.SizeType{Wd: d.w, Ht: d.h}})
	day, err := time.Parse(time.DateOnly, string(d.sheet.Date))
	if err != nil {
		return err
	}
	title := d.clean(d.kind) + ", " + d.clean(d.sheet.Season)
	d.pdf.SetCatalogSort(true)
	d.pdf.SetCreationDate(day)
	d.pdf.SetModificationDate(day)
	d.pdf.SetProducer("Trug", true)
	d.pdf.SetTitle(title, true)
	d.pdf.SetLang("en-GB")
	d.pdf.SetXmpMetadata(xmp(title))
	d.pdf.SetAutoPageBreak(false, 0)
	d.pdf.SetMargins(0, 0, 0)
	for i, name := range faceNames {
		if d.used[i] {
			d.pdf.AddUTF8FontFromBytes(name, "", d.cuts[i].raw)
		}
	}
	return d.pdf.Error()
}

// next starts a page.
func (d *drawing) next() {
	if d.page > 0 {
		d.footer()
	}
	d.page++
	if !d.muted {
		d.pdf.AddPage()
		d.pdf.RawWriteStr("/Artifact BMC")
		d.pdf.SetLineCapStyle("butt")
		d.inks.draw, d.inks.fill, d.inks.text = -1, -1, -1
	}
}

// footer ends a page with season, date and page, and what was replaced.
func (d *drawing) footer() {
	d.margin = true
	defer func() { d.margin = false }()
	st := style{face: sans, size: 8, tone: second}
	if d.sheet.Size == A3 {
		st.size = 11 // read from further off
	}
	y := d.h - 8.5
	d.rule(d.left, y-3.6*st.size/8, d.right, y-3.6*st.size/8, .2, hair)
	page := fmt.Sprintf("%s · page %d of %d", plainDate(d.sheet.Date), d.page, d.pages)
	room := d.right - d.left - d.widthOf(st, page) - 6
	d.oneLine(d.left, y, room, st, d.sheet.Season+" · "+d.kind)
	d.textRight(d.right, y, st, page)
	if d.note != "" {
		d.oneLine(d.left, y-4.6, d.right-d.left, style{face: sans, size: 7, tone: second}, d.note)
	}
	if !d.muted {
		d.pdf.RawWriteStr("EMC")
	}
}

// hush lays out without drawing and returns what f does.
func (d *drawing) hush(f func() float64) float64 {
	was := d.muted
	d.muted = true
	defer func() { d.muted = was }()
	return f()
}

// fit draws with the largest type, from a scale of most down to 0.8, at which
// draw's lower edge stays above limit. Where even the smallest is too large,
// the longest texts are shortened, all to the same number of lines.
func (d *drawing) fit(limit, most float64, draw func() float64) float64 {
	d.settle(limit, most, draw)
	defer func() { d.level = 0 }()
	return draw()
}

// settle is fit without the drawing: it returns the lower edge that draw will
// have.
func (d *drawing) settle(limit, most float64, draw func() float64) float64 {
	var low float64
	clear(d.counts)
	d.level = 0
	for d.scale = most; d.scale > .79; d.scale -= .04 {
		if low = d.hush(draw); low <= limit {
			return low
		}
	}
	d.scale = .8
	fits, over := 1, 0 // lines; with one, a text only points to the desk
	for _, n := range d.counts {
		over = max(over, n)
	}
	for over-fits > 1 {
		d.level = (fits + over) / 2
		if d.hush(draw) <= limit {
			fits = d.level
		} else {
			over = d.level
		}
	}
	d.level = fits
	return d.hush(draw)
}

// body is a style whose size gives way.
func (d *drawing) body(f face, size float64) style { return style{face: f, size: size * d.scale} }

// paragraph sets text in a column and returns the y below it. y is the top of
// its first line. Under an id it may be shortened when room is short.
func (d *drawing) paragraph(id string, x, y, w float64, st style, text string) float64 {
	return d.set(id, x, y, w, st, runs(st.face, d.clean(text)))
}

// led sets a bold beginning and text after it as one paragraph.
func (d *drawing) led(id string, x, y, w float64, st style, lead, text string) float64 {
	bold := sansBold
	if st.face <= serifBold {
		bold = serifBold
	}
	rs := []run{{bold, strings.ReplaceAll(d.clean(lead), "*", "") + " "}}
	return d.set(id, x, y, w, st, append(rs, runs(st.face, d.clean(text))...))
}

// most is how many lines a text may have.
func (d *drawing) most(id string) int {
	most := math.MaxInt
	if n, ok := d.caps[id]; ok {
		most = n
	}
	if d.level > 0 {
		most = min(most, d.level)
	}
	return most
}

func (d *drawing) set(id string, x, y, w float64, st style, rs []run) float64 {
	lines := d.wrap(rs, w/(st.size*pt))
	if id != "" {
		if most := d.most(id); len(lines) > most {
			lines = append(lines[:most-1:most-1], d.wrap([]run{{st.face.italic(), desk}}, w/(st.size*pt))[0])
		}
		d.counts[id] = len(lines)
	}
	defer d.unmark(d.mark("P", ""))
	for _, l := range lines {
		d.line(x, y+st.leading()*.78, st, l.runs)
		y += st.leading()
	}
	return y
}

// oneLine sets text on one line, shrinking it to two thirds and then ending it
// with dots: for footers, which repeat the head, and for slips, whose number
// leads to the rest.
func (d *drawing) oneLine(x, y, w float64, st style, text string) {
	text = strings.ReplaceAll(d.clean(text), "\n", " ")
	least := st.size * 2 / 3
	for st.size > least && d.widthOf(st, text) > w {
		st.size *= .97
	}
	rs := runs(st.face, text)
	if lines := d.wrap(rs, w/(st.size*pt)); len(lines) > 1 {
		dots := d.width(st.face, " …", 0)
		rs = append(d.wrap(rs, w/(st.size*pt)-dots)[0].runs, run{st.face, " …"})
	}
	d.line(x, y, st, rs)
}

// widthOf is the width of clean text without stars.
func (d *drawing) widthOf(st style, text string) float64 {
	return d.width(st.face, text, st.track) * st.size * pt
}

// textLeft sets one line from x; it must be known to fit.
func (d *drawing) textLeft(x, y float64, st style, text string) {
	d.line(x, y, st, runs(st.face, d.clean(text)))
}

// textRight sets one line that ends at x; it must be known to fit.
func (d *drawing) textRight(x, y float64, st style, text string) {
	text = d.clean(text)
	d.textLeft(x-d.widthOf(st, text), y, st, text)
}

// textMiddle sets one line about x; it must be known to fit.
func (d *drawing) textMiddle(x, y float64, st style, text string) {
	text = d.clean(text)
	d.textLeft(x-d.widthOf(st, text)/2, y, st, text)
}

// line draws runs from x on the baseline y, broken where letters are kerned.
func (d *drawing) line(x, y float64, st style, rs []run) {
	for _, r := range rs {
		d.used[r.face] = true
	}
	if d.muted {
		return
	}
	defer d.unmark(d.mark("P", ""))
	d.inkText(st.tone)
	for _, r := range rs {
		d.pdf.SetFont(faceNames[r.face], "", st.size)
		start, at, last := 0, x, glyph{}
		for i, c := range r.text {
			g := d.glyph(r.face, c)
			if i > 0 {
				gap := d.kern(r.face, last.index, g.index) + st.track
				if gap > .003 || gap < -.003 {
					d.pdf.Text(at, y, r.text[start:i])
					x += gap * st.size * pt
					start, at = i, x
				}
			}
			x += g.advance * st.size * pt
			last = g
		}
		if start < len(r.text) {
			d.pdf.Text(at, y, r.text[start:])
		}
	}
}

// xmp is the metadata that readers of files take title and language from.
func xmp(title string) []byte {
	esc := strings.NewReplacer("&", "&amp;", "<", "&lt;", ">", "&gt;").Replace(title)
	return []byte(`<?xpacket begin="` + "\ufeff" + `" id="W5M0MpCehiHzreSzNTczkc9d"?><x:xmpmeta xmlns:x="adobe:ns:meta/"><rdf:RDF xmlns:rdf="http://www.w3.org/1999/02/22-rdf-syntax-ns#"><rdf:Description rdf:about="" xmlns:dc="http://purl.org/dc/elements/1.1/"><dc:title><rdf:Alt><rdf:li xml:lang="x-default">` +
		esc + `</rdf:li></rdf:Alt></dc:title><dc:language><rdf:Bag><rdf:li>en-GB</rdf:li></rdf:Bag></dc:language></rdf:Description></rdf:RDF></x:xmpmeta><?xpacket end="r"?>`)
}
