package paper

import (
	"fmt"
	"strings"
)

// ThanksData is what the thank-you list bears.
type ThanksData struct {
	Sheet
	Lead string // a sentence of thanks; empty prints the usual one
	// Names are those who agreed to be named, as they wish to be named and in
	// the order to be printed.
	Names []string
	// Unnamed is how many more took part without being named.
	Unnamed int
}

// Thanks makes the thank-you list, in columns on as many pages of A4 or Letter
// as it takes. Only names of people who agreed may be given: this package
// cannot know. It fails when the season or the date are wrong or Unnamed is
// less than nothing.
func Thanks(x ThanksData) ([]byte, error) {
	if err := x.validateHome(); err != nil {
		return nil, err
	}
	if x.Unnamed < 0 {
		return nil, fmt.Errorf("%d people cannot have taken part without being named: count again", x.Unnamed)
	}
	return x.produce("Thank you", func(d *drawing) {
		d.next()
		y := d.title("Thank you", x.Season)
		y = d.capped("lead", 12, d.left, y, (d.right-d.left)*.85, style{face: serif, size: 14},
			or(x.Lead, "These people walked, looked, wrote down and put names to what grew here.")) + 5
		last := x.closing()
		y = x.columns(d, y)
		st := style{face: serifItalic, size: 13}
		if d.hush(func() float64 { return d.paragraph("", d.left, y+4, d.right-d.left, st, last) }) > d.foot {
			d.next()
			y = 16
		}
		d.paragraph("", d.left, y+4, d.right-d.left, st, last)
	})
}

// closing counts those who are not named.
func (x ThanksData) closing() string {
	some := false
	for _, n := range x.Names {
		some = some || strings.TrimSpace(n) != ""
	}
	switch {
	case x.Unnamed == 0 && !some:
		return "Nobody has agreed to be named yet."
	case x.Unnamed == 0:
		return "Everybody who took part is named here, by their own wish."
	case x.Unnamed == 1 && some:
		return "And one more, who takes part without being named. Names stand here by consent alone."
	case some:
		return fmt.Sprintf("And %d more, who take part without being named. Names stand here by consent alone.", x.Unnamed)
	case x.Unnamed == 1:
		return "One took part without being named."
	}
	return fmt.Sprintf("%d took part, all without being named.", x.Unnamed)
}

// columns sets the names down three columns, evenly filled on the last page.
func (x ThanksData) columns(d *drawing, top float64) float64 {
	const cols, gap = 3, 7.0
	w := (d.right - d.left - (cols-1)*gap) / cols
	st := style{face: sans, size: 16, lead: 1.2}
	var names []string
	for _, n := range x.Names {
		if strings.TrimSpace(n) != "" {
			names = append(names, n)
		}
	}
	name := func(at, y float64, n string) float64 {
		return d.capped("name", 6, at, y, w, st, n) + 1.1
	}
	// As large as all names fit on one page, each on one line; else as small as
	// is easy to read.
	heights := make([]float64, len(names))
	for ; ; st.size -= 1.5 {
		whole := true
		for i, n := range names {
			heights[i] = d.hush(func() float64 { return name(0, 0, n) })
			whole = whole && heights[i] < 1.5*st.leading()+1.1
		}
		if n, _ := fill(heights, d.foot-14-top, cols); n == len(names) && whole || st.size <= 11.5 {
			break
		}
	}
	for y := top; ; y = 18 {
		n, room := fill(heights, d.foot-y, cols)
		low := y
		for col := 0; col < cols && n > 0; col++ {
			at := y
			for n > 0 && at+heights[0] <= y+room+.001 {
				at = name(d.left+float64(col)*(w+gap), at, names[0])
				names, heights, n = names[1:], heights[1:], n-1
			}
			low = max(low, at)
		}
		if len(names) == 0 {
			return low
		}
		d.next()
	}
}

// fill returns how many of the heights go on a page of columns of a height,
// and the least height of column that takes them.
func fill(heights []float64, high float64, cols int) (n int, room float64) {
	fits := func(room float64) int {
		n := 0
		for range cols {
			for at := 0.0; n < len(heights) && at+heights[n] <= room+.001; n++ {
				at += heights[n]
			}
		}
		return n
	}
	n = fits(high)
	if n < len(heights) {
		return n, high
	}
	lo, hi := 0.0, high
	for range 30 {
		if mid := (lo + hi) / 2; fits(mid) == n {
			hi = mid
		} else {
			lo = mid
		}
	}
	return n, hi
}
