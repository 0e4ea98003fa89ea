package trug

import (
	"time"

	"trug/science/place"
)

// Foray is a led outing to a site; a visit is the same by one person or
// household, without a leader.
type Foray struct {
	ID       ID       `json:"id"`
	Public   PublicID `json:"public"`
	SeasonID ID       `json:"season"`
	SiteID   ID       `json:"site"`
	// Code is the foray's short mark: "O07".
	Code string `json:"code"`
	Name string `json:"name"`
	Date Date   `json:"date"`
	// Start and End are times of day by the clocks of the area, "09:30".
	Start string `json:"start,omitempty"`
	End   string `json:"end,omitempty"`
	// EndDate is the day of End where it lies past midnight.
	EndDate Date `json:"endDate,omitempty"`
	// Visit marks one without a leader, made by the person By.
	Visit  bool `json:"visit,omitempty"`
	By     ID   `json:"by,omitempty"`
	Leader ID   `json:"leader,omitempty"`
	// People is how many came; 0 while it lies ahead or nobody counted.
	People int `json:"people,omitempty"`
	// Weather is told in words.
	Weather string `json:"weather,omitempty"`
	// Route is the line walked; empty when nobody recorded it.
	Route []place.Position `json:"route,omitempty"`
	// Targets are scientific names that were to be looked for.
	Targets []string `json:"targets,omitempty"`
	// NotFound are targets that were looked for and not found. They are
	// published as absences only where Scope is stated.
	NotFound []string `json:"notFound,omitempty"`
	// Scope says in scientific names of groups what was looked for at all;
	// WholeScope that every kind of it that was seen is reported.
	Scope      []string `json:"scope,omitempty"`
	WholeScope bool     `json:"wholeScope,omitempty"`
	// SignedUp are those who said that they would come.
	SignedUp []ID `json:"signedUp,omitempty"`
	// Asking are those who ask to come where the site is private ground: the
	// leader or the coordinator signs them up.
	Asking []ID `json:"asking,omitempty"`
	// Out and Back are heads as they were counted last: who set out with the
	// leader, and who is back. Nil where nobody counted. Only numbers are kept.
	Out  *Heads `json:"out,omitempty"`
	Back *Heads `json:"back,omitempty"`
	// Note says how it went, for the desk.
	Note    string    `json:"note,omitempty"`
	Created time.Time `json:"created,omitzero"`
}

// Heads is a count of people at a moment.
type Heads struct {
	People int       `json:"people"`
	At     time.Time `json:"at"`
}

// Away is how many who set out are not back by the last counts, 0 where nobody
// counted at the start.
func (y Foray) Away() int {
	if y.Out == nil {
		return 0
	}
	back := 0
	if y.Back != nil {
		back = y.Back.People
	}
	return max(0, y.Out.People-back)
}

// Ends returns the day on which the foray ends.
func (y Foray) Ends() Date {
	if y.EndDate != "" {
		return y.EndDate
	}
	return y.Date
}

// Lasts returns how long the foray lasts by the clocks of the zone, 0 when
// its start or end is not known. A night in which the clocks are changed
// lasts as long as it truly did.
func (y Foray) Lasts(zone *time.Location) time.Duration {
	if y.Start == "" || y.End == "" {
		return 0
	}
	start := When{Date: y.Date, Time: y.Start}.Instant(zone)
	end := When{Date: y.Ends(), Time: y.End}.Instant(zone)
	return end.Sub(start)
}

// Validate returns all that is wrong with the foray by itself, or nil.
func (y Foray) Validate() error {
	var f Faults
	if y.Code == "" || len(y.Code) > 12 {
		f.add("code", "%q can't mark a foray: use a short mark such as F07", y.Code)
	}
	if y.SiteID == "" {
		f.add("site", "say which site it goes to; a new one is made under Sites")
	}
	if !y.Date.Valid() {
		f.add("date", "%q is not a day: write it as 2026-10-10", y.Date)
	}
	for field, clock := range map[string]string{"start": y.Start, "end": y.End} {
		if clock != "" && !validClock(clock) {
			f.add(field, "%q is not a time of day: write it as 09:30", clock)
		}
	}
	switch {
	case y.EndDate != "" && !y.EndDate.Valid():
		f.add("endDate", "%q is not a day: write it as 2026-10-11", y.EndDate)
	case y.EndDate != "" && y.EndDate < y.Date:
		f.add("endDate", "it ends on %s, before it begins on %s", y.EndDate, y.Date)
	case y.Ends() == y.Date && validClock(y.Start) && validClock(y.End) && y.End <= y.Start:
		f.add("end", "it ends at %s, before it starts at %s: mend one, or give the next day as the day it ends", y.End, y.Start)
	}
	if y.People < 0 || y.People > 10000 {
		f.add("people", "%d people can't be: count those who came, or leave it blank", y.People)
	}
	if !y.Visit && y.Name == "" {
		f.add("name", "the foray needs a name for the programme, such as: Old wood again")
	}
	return f.orNil()
}
