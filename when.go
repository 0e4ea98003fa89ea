package trug

import (
	"fmt"
	"regexp"
	"time"
)

// Date is a day of the Gregorian calendar as "2026-10-10".
type Date string

// Valid reports whether d is a day that exists.
func (d Date) Valid() bool {
	_, err := time.Parse(time.DateOnly, string(d))
	return err == nil
}

// DateOf returns the day that t shows on its own clock.
func DateOf(t time.Time) Date { return Date(t.Format(time.DateOnly)) }

// When is a day and, as far as they are known, the time of that day and the
// offset of the clock from UTC, kept as the camera or the person gave them.
type When struct {
	Date Date `json:"date"`
	// Time is "15:04" or "15:04:05", empty when only the day is known.
	Time string `json:"time,omitempty"`
	// Offset is "+01:00", "-01:00" or "Z", empty when it is not known.
	Offset string `json:"offset,omitempty"`
}

var offsetForm = regexp.MustCompile(`^(Z|[+-](0\d|1[0-4]):[0-5]\d)$`)

// IsZero reports whether nothing is known.
func (w When) IsZero() bool { return w == When{} }

// Validate returns what is wrong with w under the name of field, or nil.
func (w When) Validate(field string) error {
	switch {
	case !w.Date.Valid():
		return Errorf(Invalid, field, "%q is not a day: write it as 2026-10-10", w.Date)
	case w.Time != "" && !validClock(w.Time):
		return Errorf(Invalid, field, "%q is not a time of day: write it as 14:05", w.Time)
	case w.Offset != "" && (w.Time == "" || !offsetForm.MatchString(w.Offset)):
		return Errorf(Invalid, field, "%q is not an offset from UTC: write it as +01:00 beside a time", w.Offset)
	}
	return nil
}

func validClock(s string) bool {
	if _, err := time.Parse("15:04", s); err == nil && len(s) == 5 {
		return true
	}
	_, err := time.Parse("15:04:05", s)
	return err == nil && len(s) == 8
}

// ISO returns w by ISO 8601-1 as precisely as it is known: a day, or a day
// and time with the offset where there is one.
func (w When) ISO() string {
	if w.Time == "" {
		return string(w.Date)
	}
	return fmt.Sprintf("%sT%s%s", w.Date, w.Time, w.Offset)
}

// Instant returns w as an instant; a missing offset is taken from zone, a
// missing time as noon. It is for sorting and comparing, not for showing.
func (w When) Instant(zone *time.Location) time.Time {
	clock := w.Time
	if clock == "" {
		clock = "12:00"
	}
	if len(clock) == 5 {
		clock += ":00"
	}
	if w.Offset != "" {
		if t, err := time.Parse("2006-01-02T15:04:05Z07:00", string(w.Date)+"T"+clock+w.Offset); err == nil {
			return t
		}
	}
	t, _ := time.ParseInLocation("2006-01-02T15:04:05", string(w.Date)+"T"+clock, zone)
	return t
}

// Plus returns the day n days later, d itself when it is no day.
func (d Date) Plus(n int) Date {
	t, err := time.Parse(time.DateOnly, string(d))
	if err != nil {
		return d
	}
	return DateOf(t.AddDate(0, 0, n))
}
