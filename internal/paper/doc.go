// Package paper makes the season's printed sheets as PDF: the leader's sheet,
// the risk sheet, field slips, the programme, the poster and the thank-you
// list. Data in, bytes out: it reads and writes nothing, and the same data
// give the same bytes, for the only date is the one passed in.
//
// What holds of every sheet:
//
//   - Sizes are true millimetres when it is printed at 100 %. Everything is
//     black on white or told twice, so that a grey printer loses nothing.
//   - Text wraps. Where a sheet is one page by nature its type shrinks, by a
//     fifth at most; what still does not fit ends in "continued on the season
//     desk", beginning with the longest text. Nothing runs over an edge.
//   - *Between stars* in any text is set in italics: scientific names.
//   - The type holds Latin, Greek and Cyrillic letters. Any other sign is
//     printed as □ and a line above the footer says which it was. Scripts
//     written from right to left cannot be set.
//   - Title and language stand in the file's metadata, a footer with season,
//     date and page on each page. The fixed words are English.
package paper

import (
	"fmt"
	"strings"
	"time"
	"unicode/utf8"

	"trug"
)

// Size is the size of a sheet.
type Size int

// The sizes that sheets are made in.
const (
	A4     Size = iota // 210 × 297 mm
	Letter             // 215.9 × 279.4 mm
	A3                 // 297 × 420 mm, posters alone
)

// millimetres returns width and height, upright.
func (s Size) millimetres() (w, h float64) {
	switch s {
	case Letter:
		return 215.9, 279.4
	case A3:
		return 297, 420
	}
	return 210, 297
}

// Sheet is what every sheet bears.
type Sheet struct {
	// Season is the season's title: "Vale of Wimbrel, fungi of 2026".
	Season string
	// Date is the day the sheet goes by, printed in the footer.
	Date trug.Date
	// Size is A4 unless set.
	Size Size
}

// Validate returns what is wrong with s as one sentence, or nil.
func (s Sheet) Validate() error {
	switch {
	case strings.TrimSpace(s.Season) == "":
		return fmt.Errorf("the sheet needs the season's title for its head and footer")
	case !s.Date.Valid():
		return fmt.Errorf("%q is not a day: give the sheet's date as 2026-10-10", s.Date)
	case s.Size < A4 || s.Size > A3:
		return fmt.Errorf("there is no sheet size %d: choose A4, Letter or A3", s.Size)
	}
	return nil
}

// validateHome is Validate for sheets that come out of a printer at home.
func (s Sheet) validateHome() error {
	if s.Size == A3 {
		return fmt.Errorf("this sheet is laid out for A4 and Letter: only the poster can be A3")
	}
	return s.Validate()
}

// Species is a name as it is printed: "*Galerina marginata* (Batsch) Kühner, funeral bell".
type Species struct {
	Name       string // the scientific name, set in italics
	Authorship string // set upright; may be empty
	Plain      string // a name in the reader's language; may be empty
	Why        string // why it is looked for; may be empty
}

// text returns the species with its name between stars.
func (s Species) text() string {
	name := strings.ReplaceAll(strings.TrimSpace(s.Name), "*", "")
	if name != "" {
		name = "*" + name + "*"
	}
	if s.Authorship != "" {
		name = strings.TrimSpace(name + " " + s.Authorship)
	}
	for _, more := range []string{s.Plain, s.Why} {
		if more != "" && name != "" {
			name += ", "
		}
		name += more
	}
	return name
}

// Number is whom to call and the number as it is dialled.
type Number struct {
	Who   string // "Emergency", "Poison information centre of Wimbrel"
	Phone string // "112"; empty leaves room to write it
}

// validate returns what is wrong with n, or nil. A number to call is never
// shortened, so that it must be short.
func (n Number) validate() error {
	switch {
	case utf8.RuneCountInString(n.Phone) > 40:
		return fmt.Errorf("a number to call has more than 40 signs: give one number, as it is dialled")
	case utf8.RuneCountInString(n.Who) > 60:
		return fmt.Errorf("whom to call has more than 60 letters: name it shortly")
	}
	return nil
}

// longDate writes a day as "Saturday 10 October 2026"; what is no day is "".
func longDate(d trug.Date) string { return dateAs(d, "Monday 2 January 2006") }

// plainDate writes a day as "10 October 2026"; what is no day is "".
func plainDate(d trug.Date) string { return dateAs(d, "2 January 2006") }

func dateAs(d trug.Date, form string) string {
	t, err := time.Parse(time.DateOnly, string(d))
	if err != nil {
		return ""
	}
	return t.Format(form)
}

// or returns text, or instead where there is none.
func or(text, instead string) string {
	if strings.TrimSpace(text) == "" {
		return instead
	}
	return text
}
