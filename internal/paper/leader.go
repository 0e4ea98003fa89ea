package paper

import (
	"errors"
	"fmt"
	"strings"

	"trug"
	"trug/science/place"
)

// LeaderData is what a leader's sheet tells of one foray.
type LeaderData struct {
	Sheet
	Foray string // the foray's name
	Code  string // its short mark: "O07"
	Site  string
	Day   trug.Date
	Start string // "10:00", as it is to be read
	Back  string // when everybody is back: "15:00"
	// Leader is the leader's name; Headcount how many are expected, 0 when
	// nobody knows.
	Leader       string
	Headcount    int
	MeetingPoint string
	NearestRoad  string // for an ambulance: which road, which gate
	Square       string // the grid square, ready-made
	Position     string // the position, ready-made
	Permission   Permission
	Rules        []string
	Species      []Species // looked for
	Emergency    Number
	Poison       Number // the poison information centre
	Map          Outline
}

// Permission is what the land manager allows, in words. An empty answer is
// printed as "not known: treat as no".
type Permission struct {
	Manager     string
	Words       string
	From, Until trug.Date
	Pick        string
	Cut         string
	Dig         string
	Keep        string
}

// unasked is how an open question to the land manager is printed.
const unasked = "not known: treat as no"

// dates says when the permission holds.
func (p Permission) dates() string {
	from, until := plainDate(p.From), plainDate(p.Until)
	switch {
	case from != "" && until != "":
		return "Holds from " + from + " to " + until + "."
	case from != "":
		return "Holds from " + from + "; its end is not known: ask before you go."
	case until != "":
		return "Holds until " + until + "."
	}
	return "Its dates are not known: ask before you go."
}

// Outline is a map of a site: rings of positions, as place.NewArea takes
// them, and where people meet, if known.
type Outline struct {
	Rings [][]place.Position
	Meet  *place.Position
}

// briefing is the talk before the start: ten minutes.
var briefing = [][2]string{
	{"Where the edges are.", "Show them on the map and on the ground."},
	{"What never to do:", "taste, dig on barred ground, pick needlessly, break open dead wood."},
	{"Four views and the card.", "Top, side, underneath, surroundings; the card lies in the picture."},
	{"“I don’t know” is fine.", "A record without a name is a good record."},
	{"Buddies.", "Go in twos and keep each other in sight."},
	{"Time back.", "Say it twice, and what you do if somebody is late."},
	{"Ticks, limbs, water.", "Cover up and check; look up before you kneel; keep off the bank."},
	{"Children", "stay with their adult."},
}

// eaten is what a sheet says about eating, and all it says.
const eaten = "If somebody has eaten something: call your poison information centre or emergency number now; keep the remains and the pictures."

// Leader makes the leader's sheet of a foray: one page of A4 or Letter. It
// fails when the season, its date, a number to call or the map's outline are
// wrong.
func Leader(x LeaderData) ([]byte, error) {
	if err := x.validateHome(); err != nil {
		return nil, err
	}
	if err := errors.Join(x.Emergency.validate(), x.Poison.validate()); err != nil {
		return nil, err
	}
	plan, err := x.Map.plan()
	if err != nil {
		return nil, err
	}
	return x.produce("Leader’s sheet", func(d *drawing) {
		d.next()
		y := d.head(x.Site, x.Code, join(" · ", x.Foray, longDate(x.Day), span(x.Start, x.Back)))
		const right = 62.0
		left := d.right - d.left - right - 8
		side := d.left + left + 8
		low := d.fit(d.foot-18, 1, func() float64 {
			a := x.facts(d, d.left, y, left)
			a = x.permitted(d, d.left, a+3, left)
			a = x.wanted(d, d.left, a+3, left)
			b := x.calls(d, side, y, right)
			b = d.chart(plan, side, b+4, right, 46-80*(1-d.scale)) // the map gives way too
			b = d.counted(side, b+4, right)
			return x.brief(d, max(a, b)+4)
		})
		d.notes(low + 3)
	})
}

// head sets season and kind, a large title with a code at its right, what is
// under it, and a double line. Long titles wrap in smaller type.
func (d *drawing) head(title, code, under string) float64 {
	d.textRight(d.right, 15, style{face: sansBold, size: 10}, d.kind)
	low := d.capped("head season", 2, d.left, 12, d.right-d.left-45, style{face: sans, size: 9, tone: second}, d.sheet.Season)
	room, top := d.right-d.left, low+.6
	if code = d.clean(code); code != "" {
		big := style{face: serifBold, size: 23}
		for big.size > 9 && d.widthOf(big, code) > room/3 {
			big.size--
		}
		w := min(d.widthOf(big, code), room/3)
		d.oneLine(d.right-w, top+8.4, w+.1, big, code)
		room -= w + 6
	}
	title = or(title, "Place not given")
	st := style{face: serif, size: 26, lead: 1.12}
	for st.size > 13 && len(d.wrap(runs(st.face, d.clean(title)), room/(st.size*pt))) > 1 {
		st.size--
	}
	low = d.titled("H1", func() float64 { return d.capped("head title", 4, d.left, top, room, st, title) })
	low = max(low, top+10)
	low = d.capped("head under", 3, d.left, low+.4, d.right-d.left, style{face: sans, size: 12}, under)
	d.doubleRule(low + 1.2)
	return low + 5.6
}

// span writes a time from and to.
func span(from, to string) string {
	switch {
	case from != "" && to != "":
		return from + " to " + to
	case to != "":
		return "back by " + to
	}
	return from
}

// join joins what is not empty.
func join(sep string, parts ...string) string {
	var some []string
	for _, p := range parts {
		if strings.TrimSpace(p) != "" {
			some = append(some, p)
		}
	}
	return strings.Join(some, sep)
}

// fact sets a printed word and, on a dotted line, what is known.
func (d *drawing) fact(x, y, w float64, word, value string) float64 {
	const col = 25
	st := d.body(sans, 10.5)
	d.textLeft(x, y+st.leading()*.78, style{face: sans, size: 9 * d.scale, tone: second}, word)
	low := y + st.leading()
	if strings.TrimSpace(value) != "" {
		low = d.paragraph(word, x+col, y, w-col, st, value)
	} else {
		low += 1.2 // room for a hand
	}
	d.dotted(x+col, x+w, low+.2)
	return low + 1
}

func (x LeaderData) facts(d *drawing, left, y, w float64) float64 {
	expected := ""
	if x.Headcount > 0 {
		expected = fmt.Sprintf("%d expected", x.Headcount)
	}
	for _, f := range [][2]string{{"leader", x.Leader}, {"headcount", expected}, {"meet at", x.MeetingPoint}, {"back by", x.Back},
		{"nearest road", x.NearestRoad}, {"square", x.Square}, {"position", x.Position}} {
		y = d.fact(left, y, w, f[0], f[1])
	}
	return y
}

// permitted sets what the land manager allows in a double frame.
func (x LeaderData) permitted(d *drawing, left, y, w float64) float64 {
	top, p := y, x.Permission
	st := d.body(sans, 10)
	in, iw := left+4, w-8
	y = d.paragraph("", in, y+2.2, iw, d.body(serif, 13), "Permission")
	if p.Manager != "" {
		y = d.paragraph("manager", in, y, iw, st, "Land manager: "+p.Manager)
	}
	y = d.paragraph("permission", in, y+.6, iw, st, or(p.Words, "No permission is written down: do not enter before you have it."))
	y = d.paragraph("", in, y+.6, iw, st.with(sansBold), p.dates())
	y += 1.2
	half := (iw - 5) / 2
	for i, pair := range [][4]string{{"picked", p.Pick, "cut", p.Cut}, {"dug", p.Dig, "kept", p.Keep}} {
		a := d.limit(in, y, half, pair[0], pair[1])
		b := d.limit(in+half+5, y, half, pair[2], pair[3])
		y = max(a, b)
		if i == 0 {
			d.rule(in, y+.3, in+iw, y+.3, .2, hair)
			y += 1
		}
	}
	y += 2.4
	d.frame(left, top, w, y-top, .5, ink)
	d.frame(left+1, top+1, w-2, y-top-2, .2, ink)
	return y
}

// limit sets what may be done: "picked: one of each kind".
func (d *drawing) limit(x, y, w float64, word, answer string) float64 {
	st := d.body(sans, 10)
	if strings.TrimSpace(answer) == "" {
		return d.set("", x, y, w, st, []run{{sansBold, "May be " + word + ": "}, {sansBold, unasked}})
	}
	return d.led(word, x, y, w, st, "May be "+word+":", answer)
}

func (x LeaderData) wanted(d *drawing, left, y, w float64) float64 {
	st := d.body(sans, 10)
	if len(x.Rules) > 0 {
		y = d.heading(left, y, w, "Rules here")
		y = d.list("rules", left, y, w, st, x.Rules) + 2.5
	}
	var names []string
	for _, s := range x.Species {
		names = append(names, s.text())
	}
	if len(names) > 0 {
		y = d.heading(left, y, w, "Look out for")
		y = d.list("species", left, y, w, st, names)
	}
	return y
}

// list sets items with dashes; when room is short the last of them give way.
func (d *drawing) list(id string, x, y, w float64, st style, items []string) float64 {
	type row struct {
		line
		first bool
	}
	var rows []row
	for _, item := range items {
		if len(rows) > longest/10 {
			break // more than any page holds; the cap below says so
		}
		for i, l := range d.wrap(runs(st.face, d.clean(item)), (w-4)/(st.size*pt)) {
			rows = append(rows, row{l, i == 0})
		}
	}
	if most := d.most(id); len(rows) > most {
		rows = append(rows[:most-1:most-1], row{d.wrap([]run{{st.face.italic(), desk}}, w/(st.size*pt))[0], false})
	}
	d.counts[id] = len(rows)
	began := false
	defer func() { d.unmark(began) }()
	for i, r := range rows {
		if r.first {
			if i > 0 {
				y += .5
			}
			d.unmark(began)
			began = d.mark("P", "")
			d.line(x, y+st.leading()*.78, st, []run{{st.face, "– "}})
		}
		d.line(x+4, y+st.leading()*.78, st, r.runs)
		y += st.leading()
	}
	return y
}

// calls sets the numbers to call, large, in a thick frame.
func (x LeaderData) calls(d *drawing, left, y, w float64) float64 {
	return d.calls(left, y, w, x.Emergency, x.Poison, x.Square)
}

func (d *drawing) calls(left, y, w float64, emergency, poison Number, square string) float64 {
	top := y
	in, iw := left+3.5, w-7
	y = d.number(in, y+2.5, iw, 27, emergency, "Emergency")
	y = d.number(in, y+1.5, iw, 21, poison, "Poison information centre")
	st := style{face: sans, size: 9.5}
	if square != "" {
		y = d.led("say", in, y+1.5, iw, st, "Say where:", square)
	}
	y = d.paragraph("", in, y+1.2, iw, st, eaten) + 2.5
	d.frame(left, top, w, y-top, .9, ink)
	return y
}

// number sets whom to call and the number, as large as it fits.
func (d *drawing) number(x, y, w, size float64, n Number, who string) float64 {
	y = d.paragraph("", x, y, w, style{face: sansBold, size: 10}, or(n.Who, who))
	st := style{face: sansBold, size: size, lead: 1.1}
	phone := d.clean(n.Phone)
	if phone == "" {
		d.dotted(x, x+w, y+8)
		return d.paragraph("", x, y+8.4, w, style{face: sans, size: 8, tone: second}, "not given: write it here before you go")
	}
	for st.size > 13 && d.widthOf(st, phone) > w {
		st.size--
	}
	return d.paragraph("", x, y, w, st, phone)
}

// counted is where heads are counted out and back.
func (d *drawing) counted(x, y, w float64) float64 {
	y = d.heading(x, y, w, "Heads counted")
	small := style{face: sans, size: 8, tone: second}
	for _, word := range []string{"out", "back"} {
		d.textLeft(x, y+6, style{face: sansBold, size: 10.5}, word)
		d.frame(x+11, y, 12, 8.5, .3, ink)
		d.dotted(x+26, x+38, y+8.3)
		d.dotted(x+40, x+w, y+8.3)
		d.textLeft(x+26, y+11.4, small, "time")
		d.textLeft(x+40, y+11.4, small, "signed")
		y += 13
	}
	return y - 1
}

// brief is the list of the ten-minute talk, in two columns over the width.
func (x LeaderData) brief(d *drawing, y float64) float64 {
	y = d.heading(d.left, y, d.right-d.left, "Ten minutes before you start")
	w := (d.right - d.left - 8) / 2
	st := d.body(sans, 10)
	both := func(half int) float64 {
		low := y
		for col, part := range [][][2]string{briefing[:half], briefing[half:]} {
			at, left := y, d.left+float64(col)*(w+8)
			for _, b := range part {
				d.tick(left, at+st.leading()*.78, 3)
				at = d.led("", left+5, at, w-5, st, b[0], b[1]) + .8
			}
			low = max(low, at)
		}
		return low
	}
	half := len(briefing) / 2
	if d.hush(func() float64 { return both(half - 1) }) < d.hush(func() float64 { return both(half) }) {
		half--
	}
	return both(half)
}

// notes fills what is left of the page with lines to write on.
func (d *drawing) notes(y float64) {
	y = d.paragraph("", d.left, y, 60, style{face: serif, size: 11}, "Notes")
	d.ruled(d.left, y-5, d.right-d.left, d.foot-2)
}
