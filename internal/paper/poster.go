package paper

import (
	"fmt"
	"net/url"
	"strings"
	"unicode/utf8"

	"rsc.io/qr"
)

// PosterData is what the season's poster tells.
type PosterData struct {
	Sheet
	Title string // large; empty prints the season's title
	Where string // "in the Vale of Wimbrel"
	Dates string // "26 September to 25 October 2026"
	Lead  string // a sentence; may be empty
	// Steps say in four plain sentences how to take part; an empty one prints
	// the usual one.
	Steps [4]string
	// URL is what the square code holds: an http or https address.
	URL string
	// Address is what people type who have no camera; empty prints the URL
	// without its beginning.
	Address string
	Code    string // the field code
	Caution string // empty prints the usual one
}

var usualSteps = [4]string{
	"Take the field code: point your phone at the square, or type the address.",
	"Walk and look: come on a foray, or look near home where you may.",
	"Lay the card beside what you find and take four views.",
	"Send when in reach. People who know fungi put a name to it, and you hear what became of it.",
}

const posterCaution = "Look, don’t taste. Ask before you enter, pick or dig. Children stay with their adult."

// Poster makes a poster of one page: A4, A3 or Letter. It fails when the
// season, the date or the address are wrong, or there is no field code.
func Poster(x PosterData) ([]byte, error) {
	if err := x.Sheet.Validate(); err != nil {
		return nil, err
	}
	u, err := url.Parse(x.URL)
	if err != nil || u.Scheme != "http" && u.Scheme != "https" || u.Host == "" {
		return nil, fmt.Errorf("%q is no address for the square code: give one that begins with https://", x.URL)
	}
	if strings.TrimSpace(x.Code) == "" {
		return nil, fmt.Errorf("the poster needs a field code: give the one that people enter the season with")
	}
	for what, text := range map[string]string{"address": x.Address, "field code": x.Code} {
		if n := utf8.RuneCountInString(text); n > 60 {
			return nil, fmt.Errorf("the %s has %d letters: nobody types more than 60", what, n)
		}
	}
	square, err := matrix(x.URL)
	if err != nil {
		return nil, err
	}
	return x.produce("Poster", func(d *drawing) { x.poster(d, square) })
}

// poster lays the page out in units of A4: k makes it A3.
func (x PosterData) poster(d *drawing, square *qr.Code) {
	d.next()
	k := d.w / 210
	d.left, d.right = 16*k, d.w-16*k
	w := d.right - d.left
	bottom := d.foot - 3*k
	// From below: caution, then the code beside the square.
	st := style{face: sansBold, size: 13 * k}
	high := d.hush(func() float64 { return d.capped("caution", 3, d.left, 0, w, st, or(x.Caution, posterCaution)) })
	cautionY := bottom - high
	side := 62 * k
	squareY := cautionY - 7*k - side

	d.rule(d.left, 15*k, d.right, 15*k, 1.6*k, accent)
	air := 0.0
	upper := func() float64 {
		y := x.banner(d, 18*k+air/2, w, k)
		y = d.pictures(y+6*k+air, w, k)
		return x.steps(d, y+5*k+air, w, k)
	}
	low := d.settle(squareY-5*k, 1.32, upper)
	air = max(0, squareY-5*k-low) / 3
	upper()
	d.level = 0
	x.entry(d, square, squareY, side, k)
	d.rule(d.left, cautionY-2.5*k, d.right, cautionY-2.5*k, .3*k, ink)
	d.capped("caution", 3, d.left, cautionY, w, st, or(x.Caution, posterCaution))
}

// typed is the URL as people type it: without its beginning, and without
// what only the square code can carry when it is long.
func (x PosterData) typed() string {
	u, err := url.Parse(x.URL)
	if err != nil {
		return ""
	}
	if whole := strings.TrimSuffix(u.Host+u.RequestURI(), "/"); len(whole) <= 60 {
		return whole
	}
	return u.Host
}

// banner sets title, place and dates.
func (x PosterData) banner(d *drawing, y, w, k float64) float64 {
	title := or(x.Title, x.Season)
	st := style{face: serifBold, size: 58 * k * d.scale, lead: 1.04, tone: accent}
	lines := func() int { return len(d.wrap(runs(st.face, d.clean(title)), w/(st.size*pt))) }
	for st.size > 24*k*d.scale && (lines() > 2 || d.widest(st, title) > w) {
		st.size *= .95
	}
	y = d.titled("H1", func() float64 { return d.paragraph("title", d.left, y, w, st, title) })
	if x.Where != "" {
		y = d.paragraph("where", d.left, y+1*k, w, style{face: serif, size: 23 * k * d.scale, lead: 1.15}, x.Where)
	}
	y = d.paragraph("dates", d.left, y+1*k, w, style{face: sansBold, size: 21 * k * d.scale, lead: 1.2}, x.Dates)
	if x.Lead != "" {
		y = d.paragraph("lead", d.left, y+2*k, w, style{face: sans, size: 15 * k * d.scale, lead: 1.2}, x.Lead)
	}
	return y
}

// widest is the width of a text's longest word.
func (d *drawing) widest(st style, text string) float64 {
	most := 0.0
	for _, word := range strings.Fields(d.clean(text)) {
		most = max(most, d.widthOf(st, word))
	}
	return most
}

// pictures is the row of the four views and the card.
func (d *drawing) pictures(y, w, k float64) float64 {
	side := 25 * k * d.scale
	names := []string{"view-top", "view-side", "view-underneath", "view-surroundings", "field-card"}
	words := []string{"top", "side", "underneath", "surroundings", "field card"}
	for i, n := range names {
		x := d.left + (w-side)/float64(len(names)-1)*float64(i)
		d.draw(n, x, y, side)
		d.textMiddle(x+side/2, y+side+4.6*k, style{face: sans, size: 12 * k}, words[i])
	}
	return y + side + 6*k
}

// steps sets how to take part, numbered, in two columns.
func (x PosterData) steps(d *drawing, y, w, k float64) float64 {
	const gap = 9
	col := (w - gap*k) / 2
	for row := range 2 {
		low := y
		for i := range 2 {
			n := row*2 + i
			left := d.left + float64(i)*(col+gap*k)
			num := style{face: serifBold, size: 34 * k * d.scale, tone: accent}
			d.textLeft(left, y+num.size*pt*.74, num, fmt.Sprint(n+1))
			st := style{face: sans, size: 15.5 * k * d.scale, lead: 1.18}
			low = max(low, d.paragraph(fmt.Sprint("step ", n), left+11*k, y+.6*k, col-11*k, st, or(x.Steps[n], usualSteps[n])))
		}
		y = max(low, y+34*k*d.scale*pt) + 3*k
	}
	return y
}

// entry sets the square code, and the address and the field code in letters.
func (x PosterData) entry(d *drawing, square *qr.Code, y, side, k float64) {
	d.code(square, d.left, y, side)
	d.frame(d.left, y, side, side, .4*k, ink)
	left := d.left + side + 8*k
	w := d.right - left
	label := style{face: sans, size: 13 * k}
	d.textLeft(left, y+6*k, label, "or open")
	address := d.clean(or(x.Address, x.typed()))
	st := style{face: sansBold, size: 22 * k, lead: 1.1}
	low := d.shrinkTo(left, y+8*k, w, 16*k, st, address)
	d.textLeft(left, low+9*k, label, "and type the field code")
	code := style{face: sansBold, size: 64 * k, lead: 1.05}
	d.shrinkTo(left, low+10*k, w, y+side-low-10*k, code, d.clean(x.Code))
}

// shrinkTo sets text in a box, as large as it fits in both ways.
func (d *drawing) shrinkTo(x, y, w, h float64, st style, text string) float64 {
	rs := []run{{st.face, text}}
	lines := d.wrap(rs, w/(st.size*pt))
	for st.size > 7 && (float64(len(lines))*st.leading() > h || d.widest(st, text) > w && st.size > 13) {
		st.size *= .95
		lines = d.wrap(rs, w/(st.size*pt))
	}
	for i, l := range lines {
		if float64(i+1)*st.leading() > h+.01 {
			break
		}
		d.line(x, y+st.leading()*.78, st, l.runs)
		y += st.leading()
	}
	return y
}
