package paper

import (
	"fmt"
	"strings"
	"unicode/utf8"

	"trug"
)

// SlipsData is what a set of field slips bears.
type SlipsData struct {
	Sheet
	// Numbers are the field numbers, one slip each: "W26-0301". An empty one
	// leaves room to write it. At most MostSlips.
	Numbers []string
	Site    string    // site and foray, printed on each slip; may be empty
	Day     trug.Date // may be empty
	Caution string    // one or two sentences; empty prints the usual ones
}

// MostSlips is how many slips one file holds.
const MostSlips = trug.MostSlips

// A slip's size in millimetres; eight stand on A4 and on Letter alike.
const (
	SlipWidth  = 92
	SlipHeight = 64
)

// mostCaution is how many letters two small lines hold.
const mostCaution = 160

// usualCaution is what no slip goes out without.
const usualCaution = "Taste nothing. Dig only where you may. Leave it growing if the views are enough."

// views are the four that each record wants, with their drawings.
var views = [4]struct{ letter, word, drawing string }{
	{"a", "top", "view-top"}, {"b", "side", "view-side"}, {"c", "underneath", "view-underneath"}, {"d", "surroundings", "view-surroundings"},
}

// Slips makes field slips, eight to a page of A4 or Letter with cut marks and
// a ruler to check that the printer kept the size. It fails when there are no
// numbers, or too many.
func Slips(x SlipsData) ([]byte, error) {
	if err := x.validateHome(); err != nil {
		return nil, err
	}
	switch n := len(x.Numbers); {
	case n == 0:
		return nil, fmt.Errorf("there is no field number to print: give one for each slip, such as W26-0301")
	case n > MostSlips:
		return nil, fmt.Errorf("%d slips are too many for one file: print %d at a time", n, MostSlips)
	case utf8.RuneCountInString(x.Caution) > mostCaution:
		return nil, fmt.Errorf("the caution has no room on a slip: say it in %d letters", mostCaution)
	}
	const across, down = 2, 4
	return x.produce("Field slips", func(d *drawing) {
		left, top := (d.w-across*SlipWidth)/2, (d.h-12-down*SlipHeight)/2
		d.left, d.right = left, left+across*SlipWidth
		for i, n := range x.Numbers {
			at := i % (across * down)
			if at == 0 {
				d.next()
				d.cutLines(left, top, SlipWidth, SlipHeight, across, down, true)
				d.ruler(left+3, top+down*SlipHeight+2.2)
			}
			x.slip(d, n, left+float64(at%across)*SlipWidth, top+float64(at/across)*SlipHeight)
		}
	})
}

// cutLines draws short lines outside a field of pieces of one size, and
// crosses between them if they leave room for it.
func (d *drawing) cutLines(left, top, w, h float64, across, down int, crosses bool) {
	const arm = 3.5
	right, bottom := left+float64(across)*w, top+float64(down)*h
	for i := range across + 1 {
		x := left + float64(i)*w
		d.rule(x, top-1-arm, x, top-1, .15, ink)
		d.rule(x, bottom+1, x, bottom+1+arm, .15, ink)
		for j := 1; crosses && j < down && i > 0 && i < across; j++ {
			y := top + float64(j)*h
			d.rule(x-1.5, y, x+1.5, y, .15, ink)
			d.rule(x, y-1.5, x, y+1.5, .15, ink)
		}
	}
	for j := range down + 1 {
		y := top + float64(j)*h
		d.rule(left-1-arm, y, left-1, y, .15, ink)
		d.rule(right+1, y, right+1+arm, y, .15, ink)
	}
}

// ruler is 50 mm long.
func (d *drawing) ruler(x, y float64) {
	d.rule(x, y, x+50, y, .2, ink)
	for i := 0; i <= 50; i += 5 {
		l := 1.2
		if i%10 == 0 {
			l = 2
		}
		d.rule(x+float64(i), y, x+float64(i), y+l, .2, ink)
	}
	d.textLeft(x+52, y+2.2, style{face: sans, size: 7.5, tone: second}, "is 50 mm, printed at 100 %")
}

// slip draws one at its corner.
func (x SlipsData) slip(d *drawing, number string, left, top float64) {
	const edge, col, step = 4.0, 15.0, 5.9
	l, w := left+edge, float64(SlipWidth)-2*edge
	r := l + w
	y := top + 7.6
	big := style{face: sansBold, size: 15}
	switch n := d.clean(number); {
	case n == "":
		d.textLeft(l, y, style{face: sans, size: 8, tone: second}, "number")
		d.dotted(l+11, l+40, y+.4)
	default:
		d.oneLine(l, y, 44, big, n)
	}
	d.rightLine(r, y, 38, style{face: sans, size: 7.5, tone: second}, x.Season)
	d.rule(l, y+1.7, r, y+1.7, .25, ink)

	y += 6.9
	d.slot(l, r-48, y, 8, "date", plainDate(x.Day))
	d.slot(r-46, r, y, 16, "site, foray", x.Site)
	for _, s := range [][2]string{{"recorder", ""}, {"field name", "by whom"}, {"grows on", "tree near"}, {"how many", "smell"}} {
		y += step
		if s[1] == "" {
			d.slot(l, r, y, col, s[0], "")
			continue
		}
		d.slot(l, l+50, y, col, s[0], "")
		d.slot(l+52, r, y, 13, s[1], "")
	}
	y += step
	d.textLeft(l, y, style{face: sans, size: 8.5, tone: second}, "specimen kept")
	for i, word := range []string{"yes", "no"} {
		at := l + 24 + float64(i)*14
		d.tick(at, y, 3)
		d.textLeft(at+4.2, y, style{face: sans, size: 9.5}, word)
	}
	d.slot(l+52, r, y, 13, "packet", "")
	x.fourViews(d, l, y+1.7, w)
	st := style{face: sansItalic, size: 7.8, lead: 1.12}
	d.twoLines(l, top+SlipHeight-7.6, w, st, or(x.Caution, usualCaution))
}

// rightLine is oneLine that ends at x.
func (d *drawing) rightLine(x, y, w float64, st style, text string) {
	c := d.clean(text)
	for i := 0; i < 14 && d.widthOf(st, c) > w; i++ {
		st.size *= .97
	}
	d.oneLine(x-min(w, d.widthOf(st, c)), y, w+.01, st, text)
}

// slot is a word and a dotted line with what is known on it.
func (d *drawing) slot(l, r, y, col float64, word, value string) {
	d.textLeft(l, y, style{face: sans, size: 8.5, tone: second}, word)
	d.dotted(l+col, r, y+.5)
	if strings.TrimSpace(value) != "" {
		d.oneLine(l+col+.6, y-.2, r-l-col-.6, style{face: sans, size: 9.5}, value)
	}
}

// fourViews is the row of views to tick, each with its drawing and its word.
func (x SlipsData) fourViews(d *drawing, l, y, w float64) {
	const pic = 6.6
	for i, v := range views {
		at := l + float64(i)*(w-1)/4
		d.tick(at, y+4.6, 3.2)
		d.draw(v.drawing, at+4.4, y, pic)
		d.textLeft(at, y+pic+2.6, style{face: sans, size: 8}, v.word)
	}
}

// twoLines sets a caution on two lines, smaller if it must be, and ends it
// with dots when even that is too much.
func (d *drawing) twoLines(x, y, w float64, st style, text string) {
	rs := runs(st.face, d.clean(text))
	lines := d.wrap(rs, w/(st.size*pt))
	for st.size > 6 && len(lines) > 2 {
		st.size *= .96
		lines = d.wrap(rs, w/(st.size*pt))
	}
	if len(lines) > 2 {
		dots := d.width(st.face, " …", 0)
		second := d.wrap(lines[1].runs, w/(st.size*pt)-dots)[0]
		lines = []line{lines[0], {runs: append(second.runs, run{st.face, " …"})}}
	}
	for _, l := range lines {
		d.line(x, y+st.leading()*.78, st, l.runs)
		y += st.leading()
	}
}
