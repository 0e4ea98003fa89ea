package paper

import (
	"fmt"
	"net/url"
	"strings"
	"unicode/utf8"

	"rsc.io/qr"

	"trug/science/card"
)

// CardsData is what a sheet of field cards bears.
type CardsData struct {
	Sheet
	Layout *card.Layout
	// Batch is the batch that the tags tell: one for each download.
	Batch int
	// Several fills the sheet; otherwise it bears one card.
	Several bool
	// URL is what the square code holds for joining the season: an http or
	// https address. Empty leaves the place free.
	URL string
	// Code is the field code, printed in words; may be empty.
	Code    string
	Caution string // empty prints the usual one
}

// ControlLength is the length of the control line in millimetres: what it
// truly measures tells how large the sheet was printed.
const ControlLength = 100

// strip is the height of what stands below the cards, in millimetres.
const strip = 30

// laying are the four drawings of how the card is laid, and what they say.
var laying = [4]struct{ drawing, word string }{
	{"card-beside", "Lay it flat beside the fungus, as high as what you measure."},
	{"card-above", "Hold the camera straight above, fungus and card whole in the view."},
	{"card-upright", "For a stem: hold it upright beside the stem, at the same distance."},
	{"card-clear", "Keep the four tags clear of leaves and glare, and the card unbent."},
}

// Cards makes a page of field cards whose millimetres are true when it is
// printed at 100 %, with cut marks, a control line of 100 mm, and how to lay
// the card. It fails for layouts that are not ours to print, batches that
// there are not, and addresses that are none.
func Cards(x CardsData) ([]byte, error) {
	if err := x.validateHome(); err != nil {
		return nil, err
	}
	if x.Layout == nil || x.Layout.Words.W == 0 {
		return nil, fmt.Errorf("this kind of card has no room for words: print the pocket or the large card")
	}
	ids, err := x.Layout.Ids(x.Batch)
	if err != nil {
		return nil, err
	}
	if n := utf8.RuneCountInString(x.Code); n > 60 {
		return nil, fmt.Errorf("the field code has %d letters: nobody types more than 60", n)
	}
	var square *qr.Code
	if x.URL != "" {
		u, err := url.Parse(x.URL)
		if err != nil || u.Scheme != "http" && u.Scheme != "https" || u.Host == "" {
			return nil, fmt.Errorf("%q is no address for the square code: give one that begins with https://", x.URL)
		}
		if square, err = matrix(x.URL); err != nil {
			return nil, err
		}
	}
	return x.produce("Field cards", func(d *drawing) { x.page(d, ids, square) })
}

// page lays out cards and strip.
func (x CardsData) page(d *drawing, ids [4]int, square *qr.Code) {
	w, h := float64(x.Layout.Width), float64(x.Layout.Height)
	const top = 10.0
	across, down := 1, 1
	if x.Several {
		across = max(int((d.w-16)/w), 1)
		down = max(int((d.foot-strip-top)/h), 1)
	}
	left := (d.w - float64(across)*w) / 2
	d.next()
	d.cutLines(left, top, w, h, across, down, false)
	for i := range across * down {
		x.card(d, ids, square, left+float64(i%across)*w, top+float64(i/across)*h)
	}
	x.strip(d, top+float64(down)*h+7)
}

// strip draws the control line and how the card is laid.
func (x CardsData) strip(d *drawing, y float64) {
	l := (d.w - ControlLength) / 2
	d.rule(l, y, l+ControlLength, y, .25, ink)
	d.rule(l, y-1.5, l, y+1.5, .25, ink)
	d.rule(l+ControlLength, y-1.5, l+ControlLength, y+1.5, .25, ink)
	small := style{face: sans, size: 8.5}
	d.textMiddle(d.w/2, y+4.6, small, fmt.Sprintf("This line is %d mm long when printed at 100 %%. Measure it with a ruler and type in what you find: %s, batch %d.", ControlLength, x.Layout.Name, x.Batch))
	const side = 13.0
	step := (d.right - d.left) / float64(len(laying))
	for i, v := range laying {
		at := d.left + float64(i)*step
		d.draw(v.drawing, at, y+7, side)
		d.paragraph("", at+side+1.5, y+7, step-side-4, style{face: sans, size: 7.5, lead: 1.1}, v.word)
	}
}

// card draws one at its upper left corner.
func (x CardsData) card(d *drawing, ids [4]int, square *qr.Code, left, top float64) {
	l := x.Layout
	for seat, t := range l.Tags {
		d.tag(ids[seat], left+float64(t.Black.X), top+float64(t.Black.Y), float64(t.Black.W))
	}
	for _, p := range l.Patches {
		d.patch(p.SRGB, left+float64(p.Box.X), top+float64(p.Box.Y), float64(p.Box.W), float64(p.Box.H))
	}
	for _, r := range l.Rulers {
		d.millimetres(l, r, left, top)
	}
	side := float64(l.Drawings.H)
	for i, v := range laying {
		d.draw(v.drawing, left+float64(l.Drawings.X)+float64(i)*(float64(l.Drawings.W)-side)/3, top+float64(l.Drawings.Y), side)
	}
	if square != nil {
		d.code(square, left+float64(l.Square.X), top+float64(l.Square.Y), float64(l.Square.W))
	}
	x.words(d, left+float64(l.Words.X), top+float64(l.Words.Y))
}

// words sets season, field code, caution and batch.
func (x CardsData) words(d *drawing, left, y float64) {
	l := x.Layout
	w, bottom := float64(l.Words.W), y+float64(l.Words.H)
	k := w / 30 // the pocket card's column
	size := 5.6 + .9*(k-1)*2
	st := style{face: sansBold, size: size * 1.15, lead: 1.12}
	d.oneLine(left, y+2.2*size/5.6, w, st, x.Season)
	y += 3.1 * size / 5.6
	if x.Code != "" {
		d.oneLine(left, y+2*size/5.6, w, style{face: sans, size: size}, "Field code "+x.Code)
		y += 2.8 * size / 5.6
	}
	d.capped("card caution", 4, left, y, w, style{face: sansItalic, size: size, lead: 1.12}, or(x.Caution, usualCaution))
	d.oneLine(left, bottom-.4, w, style{face: sans, size: size * .85, tone: second}, fmt.Sprintf("%s, batch %d, lengths in mm", l.Name, x.Batch))
}

// tag draws a tag's black square with its white cells; the sheet is the white
// round it.
func (d *drawing) tag(id int, x, y, side float64) {
	cells, err := card.Cells(id)
	if err != nil || d.muted {
		return
	}
	defer d.unmark(d.mark("Figure", fmt.Sprintf("Tag %d, for the program to find the card by.", id)))
	d.inkFill(ink)
	d.pdf.Rect(x, y, side, side, "F")
	d.pdf.SetFillColor(255, 255, 255)
	d.inks.fill = -1
	c := side / 8
	// Runs along rows and along columns, so that no seam shows between cells.
	for i := 1; i < 9; i++ {
		for j := 1; j < 9; j++ {
			n, m := 0, 0
			for j+n < 9 && cells[i][j+n] && (j == 1 || n > 0 || !cells[i][j-1]) {
				n++
			}
			for j+m < 9 && cells[j+m][i] && (j == 1 || m > 0 || !cells[j-1][i]) {
				m++
			}
			if n > 0 {
				d.pdf.Rect(x+float64(j-1)*c, y+float64(i-1)*c, float64(n)*c, c, "F")
			}
			if m > 0 {
				d.pdf.Rect(x+float64(i-1)*c, y+float64(j-1)*c, c, float64(m)*c, "F")
			}
		}
	}
}

// patch fills a rectangle with a colour.
func (d *drawing) patch(c [3]uint8, x, y, w, h float64) {
	if d.muted {
		return
	}
	d.pdf.SetFillColor(int(c[0]), int(c[1]), int(c[2]))
	d.inks.fill = -1
	d.pdf.Rect(x, y, w, h, "F")
}

// millimetres draws a ruler's ticks, and the figures where no tag stands.
func (d *drawing) millimetres(l *card.Layout, r card.Ruler, left, top float64) {
	dx, dy := float64(r.To.X-r.From.X), float64(r.To.Y-r.From.Y)
	n := int(max(dx, -dx, dy, -dy) + .5)
	small := style{face: sans, size: 4.6}
	for i := range n + 1 {
		x, y := left+float64(r.From.X)+dx*float64(i)/float64(n), top+float64(r.From.Y)+dy*float64(i)/float64(n)
		long := float64(r.Short)
		switch {
		case i%10 == 0:
			long = float64(r.Ten)
		case i%5 == 0:
			long = float64(r.Five)
		}
		ix, iy := float64(r.Inward[0]), float64(r.Inward[1])
		d.rule(x, y, x+ix*long, y+iy*long, .12, ink)
		if !r.Figures || i%10 != 0 || i == 0 || i == n || nearTag(l, x-left+ix*5, y-top+iy*5) {
			continue
		}
		if ix == 0 {
			d.textMiddle(x, y+iy*(long+.5), small, fmt.Sprint(i))
		} else {
			d.textLeft(x+ix*(long+.4), y+.55, small, fmt.Sprint(i))
		}
	}
}

// nearTag reports whether a place lies on a tag or in the white round it.
func nearTag(l *card.Layout, x, y float64) bool {
	for _, t := range l.Tags {
		free := float64(t.Black.W)/8 + 1.5
		if x > float64(t.Black.X)-free && x < float64(t.Black.X+t.Black.W)+free && y > float64(t.Black.Y)-free && y < float64(t.Black.Y+t.Black.H)+free {
			return true
		}
	}
	return false
}

// CardKinds lists the cards that can be printed: "large, pocket".
func CardKinds() string {
	var names []string
	for _, l := range card.Layouts() {
		if l.Words.W > 0 {
			names = append(names, l.ID)
		}
	}
	return strings.Join(names, ", ")
}
