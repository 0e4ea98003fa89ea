package paper

import (
	"errors"
	"strings"

	"trug"
)

// RiskData is what a risk sheet tells of one site.
type RiskData struct {
	Sheet
	Site         string
	Code         string // the site's short mark: "S1"
	Square       string
	Position     string
	NearestRoad  string
	Hazards      []Hazard
	Ground       string
	Trees        string
	Water        string
	Livestock    string
	Roads        string
	Contaminated string // ground that may hold metals or chemicals
	LoneWork     string // empty prints the usual rule
	Weather      string // when to call off; empty prints the usual rule
	Emergency    Number
	Poison       Number
	AssessedBy   string
	Assessed     trug.Date
}

// Hazard is a danger of the place and what to do about it.
type Hazard struct{ What, Do string }

// What is printed where the site has no rule of its own.
const (
	usualLone    = "Nobody works alone without somebody knowing the way and the time back."
	usualWeather = "Call it off in strong wind under trees, thunder, flood, ice or great heat. The leader decides, also on the way."
)

// Risk makes the risk sheet of a site: one page of A4 or Letter. It fails when
// the season, its date or a number to call are wrong.
func Risk(x RiskData) ([]byte, error) {
	if err := x.validateHome(); err != nil {
		return nil, err
	}
	if err := errors.Join(x.Emergency.validate(), x.Poison.validate()); err != nil {
		return nil, err
	}
	return x.produce("Risk sheet", func(d *drawing) {
		d.next()
		y := d.head(x.Site, x.Code, x.assessed())
		const side = 62.0
		w := d.right - d.left - side - 8
		low := d.fit(d.foot-60, 1.12, func() float64 {
			a := x.hazards(d, d.left, y, w)
			a = x.topics(d, d.left, a+3, w)
			b := d.calls(d.left+w+8, y, side, x.Emergency, x.Poison, x.Square)
			b = x.where(d, d.left+w+8, b+4, side)
			return max(a, b)
		})
		low = d.paragraph("", d.left, low+3, 120, style{face: serif, size: 13}, "Seen on the day by the leader")
		d.rule(d.left, low+.3, d.right, low+.3, .25, ink)
		d.ruled(d.left, low+1, d.right-d.left, d.foot-9)
		small := style{face: sans, size: 9, tone: second}
		d.textLeft(d.left, d.foot-1.5, small, "leader")
		d.dotted(d.left+12, d.left+100, d.foot-1)
		d.textLeft(d.left+104, d.foot-1.5, small, "date")
		d.dotted(d.left+113, d.right, d.foot-1)
	})
}

// assessed says who looked at the place, and when.
func (x RiskData) assessed() string {
	by, when := strings.TrimSpace(x.AssessedBy), plainDate(x.Assessed)
	switch {
	case by != "" && when != "":
		return "Assessed on the ground by " + by + ", " + when
	case by != "":
		return "Assessed by " + by + "; the day is not known"
	case when != "":
		return "Assessed " + when + "; by whom is not known"
	}
	return "Nobody is known to have assessed this site: do so before anybody comes"
}

// hazards sets each danger and what to do, side by side.
func (x RiskData) hazards(d *drawing, left, y, w float64) float64 {
	st := d.body(sans, 10.5)
	y = d.heading(left, y, w, "What can hurt here, and what to do")
	if len(x.Hazards) == 0 {
		return d.paragraph("", left, y, w, st, "No hazard is written down. That does not mean that there is none: look before you start.")
	}
	col := w * .36
	for i, h := range x.Hazards {
		id := "hazard " + string(rune('A'+i%26)) + string(rune('a'+i/26%26))
		if i >= mostHazards {
			return d.paragraph("", left, y+.4, w, st.with(sansItalic), desk)
		}
		a := d.paragraph(id, left, y, col-3, st.with(sansBold), or(h.What, "A hazard without a name"))
		b := d.paragraph(id+" do", left+col, y, w-col, st, or(h.Do, "Nobody has written down what to do: settle it before you start."))
		y = max(a, b) + .7
		d.rule(left, y, left+w, y, .2, hair)
		y += .7
	}
	return y
}

// mostHazards is how many a page holds beside the rest.
const mostHazards = 9

// topics sets what every site is asked about.
func (x RiskData) topics(d *drawing, left, y, w float64) float64 {
	y = d.heading(left, y, w, "Look at each before you start, and note it")
	for _, t := range [][2]string{{"ground", x.Ground}, {"trees", x.Trees}, {"water", x.Water}, {"livestock", x.Livestock}, {"roads", x.Roads},
		{"contaminated", x.Contaminated}, {"alone", or(x.LoneWork, usualLone)}, {"weather", or(x.Weather, usualWeather)}} {
		y = d.fact(left, y, w, t[0], t[1])
	}
	return y
}

// where sets how help finds the place.
func (x RiskData) where(d *drawing, left, y, w float64) float64 {
	st := d.body(sans, 10.5)
	y = d.heading(left, y, w, "How help finds you")
	for _, t := range [][2]string{{"Nearest road:", x.NearestRoad}, {"Square:", x.Square}, {"Position:", x.Position}} {
		y = d.led("where "+t[0], left, y, w, st, t[0], or(t[1], "not given; find out before you go")) + .8
	}
	y = d.heading(left, y+2.5, w, "Always")
	return d.list("", left, y, w, st, []string{
		"Wash hands afterwards.",
		"Never puff ripe puffballs near a face; with asthma, keep upwind and leave mouldy finds to others.",
		"Knives stay sheathed and with adults.",
		"Look before you reach: snakes, wasps, wire.",
		"Old works, tips, verges, sprayed ground: stay off what is fenced.",
	})
}
