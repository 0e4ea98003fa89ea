package paper

import (
	"trug"
)

// ProgrammeData is what the printed list of forays tells.
type ProgrammeData struct {
	Sheet
	Intro   string // a sentence or two under the title; may be empty
	Forays  []ProgrammeForay
	Bring   []string // what to bring
	Contact string   // whom to ask, in words; may be empty
}

// ProgrammeForay is one line of the programme.
type ProgrammeForay struct {
	Day          trug.Date
	Start, End   string
	Name         string // may be empty
	Site         string
	MeetingPoint string
	Leader       string
	StepFree     string // who can come without steps, and how far; empty prints "ask"
}

// Programme makes the printable list of forays in the order given, on as many
// pages of A4 or Letter as it takes. It fails when the season or the date of
// the sheet are wrong. In each foray a text of more than a dozen lines is
// shortened and says so.
func Programme(x ProgrammeData) ([]byte, error) {
	if err := x.validateHome(); err != nil {
		return nil, err
	}
	return x.produce("Programme of forays", func(d *drawing) {
		d.next()
		y := d.title("Programme of forays", x.Season)
		w := d.right - d.left
		if x.Intro != "" {
			y = d.capped("intro", 14, d.left, y, w*.8, style{face: serif, size: 13}, x.Intro) + 3
			d.rule(d.left, y-.6, d.right, y-.6, .2, hair)
			y += 2
		}
		if len(x.Forays) == 0 {
			y = d.paragraph("", d.left, y, w, style{face: sans, size: 12}, "No foray is planned yet. Ask again, or go for a walk of your own with a field code.") + 4
		}
		for _, f := range x.Forays {
			h := d.hush(func() float64 { return f.row(d, 0) })
			if y+h > d.foot {
				d.next()
				y = 18
			}
			y = f.row(d, y)
		}
		x.bring(d, y+2)
	})
}

// title sets a large title over the season and a double rule.
func (d *drawing) title(text, under string) float64 {
	y := d.titled("H1", func() float64 {
		return d.paragraph("", d.left, 14, d.right-d.left, style{face: serif, size: 30, lead: 1.1}, text)
	})
	d.caps["under title"] = 3
	y = d.paragraph("under title", d.left, y, d.right-d.left, style{face: serifItalic, size: 15, tone: second}, under)
	d.doubleRule(y + 2)
	return y + 7
}

// capped is a paragraph of at most so many lines.
func (d *drawing) capped(id string, most int, x, y, w float64, st style, text string) float64 {
	d.caps[id] = most
	return d.paragraph(id, x, y, w, st, text)
}

// row draws a foray and returns the y below it.
func (f ProgrammeForay) row(d *drawing, y float64) float64 {
	const when, gap, most = 42.0, 5.0, 12
	st := style{face: sans, size: 11}
	what, w := d.left+when+gap, (d.right-d.left-when-gap)*.6
	day := or(dateAs(f.Day, "Monday\n2 January 2006"), "day to be told")
	a := d.paragraph("", d.left, y, when, style{face: serifBold, size: 13, lead: 1.15}, day)
	a = d.capped("time", 3, d.left, a+.4, when, st, or(span(f.Start, f.End), "time to be told"))

	b := d.titled("H2", func() float64 {
		return d.capped("site", 4, what, y, w, style{face: serif, size: 15, lead: 1.12}, or(f.Site, "Place to be told"))
	})
	if f.Name != "" {
		b = d.capped("name", 4, what, b, w, st.with(sansItalic), f.Name)
	}
	for _, t := range [][2]string{{"Meet:", or(f.MeetingPoint, "to be told")}, {"Leader:", or(f.Leader, "to be told")}} {
		d.caps[t[0]] = most
		b = d.led(t[0], what, b+.5, w, st, t[0], t[1])
	}
	side := what + w + gap
	d.caps["steps"] = most
	c := d.led("steps", side, y+.6, d.right-side, style{face: sans, size: 10}, "Step-free?", or(f.StepFree, "Not known: please ask."))
	y = max(a, b, c) + 2.4
	d.rule(d.left, y, d.right, y, .2, hair)
	return y + 2.6
}

// bring sets what to bring and whom to ask, kept together where a page allows.
func (x ProgrammeData) bring(d *drawing, y float64) {
	w := d.right - d.left
	box := func(y float64) float64 {
		st := style{face: sans, size: 11}
		half := (w - 8) / 2
		low := y
		if len(x.Bring) > 0 {
			y = d.heading(d.left, y, w, "Bring along")
			low = y
			for col := range 2 {
				at, left := y, d.left+float64(col)*(half+8)
				for i := col; i < len(x.Bring) && i < mostBring; i += 2 {
					d.tick(left, at+st.leading()*.78, 3.2)
					at = d.capped("bring", 4, left+5.5, at, half-5.5, st, x.Bring[i]) + 1
				}
				low = max(low, at)
			}
			if len(x.Bring) > mostBring {
				low = d.paragraph("", d.left, low, w, st.with(sansItalic), desk)
			}
		}
		if x.Contact != "" {
			low = d.capped("contact", 4, d.left, low+2, w, style{face: serif, size: 12}, x.Contact)
		}
		return low
	}
	if low := d.hush(func() float64 { return box(y) }); low > d.foot {
		d.next()
		y = 18
	}
	box(y)
}

// mostBring is how many things are still a list to bring along.
const mostBring = 20
