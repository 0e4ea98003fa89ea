package trug

import (
	"regexp"
	"time"

	"trug/science/place"
)

// Season is the whole bioblitz: its title, dates, area, checklist and rules.
type Season struct {
	ID     ID       `json:"id"`
	Public PublicID `json:"public"`
	// Code is the short mark of the season, first part of each field number: "W26".
	Code  string `json:"code"`
	Title string `json:"title"`
	// Place is the name of the area in words, shown to outsiders for finds whose place is withheld.
	Place       string `json:"place"`
	Description string `json:"description,omitempty"`
	Starts      Date   `json:"starts"`
	Ends        Date   `json:"ends"`
	// Outline is that of the area inside which records are expected: one ring
	// or more, as place.NewArea takes them.
	Outline [][]place.Position `json:"outline"`
	// Grid is the side of the squares that maps and tallies of the season go
	// by: 100, 1000 or 10,000 m; 0 stands for 1000.
	Grid int `json:"grid,omitempty"`
	// Zone is the time zone of the area, an IANA name such as "Etc/GMT+1".
	Zone string `json:"zone"`
	// Country is the ISO 3166-1 alpha-2 code, empty where there is none.
	Country string `json:"country,omitempty"`
	// Licence is the season-wide licence of records and photographs.
	Licence Licence `json:"licence"`
	// RightsHolder is who holds the rights, as published.
	RightsHolder string `json:"rightsHolder"`
	// Contact is who answers for the data, as published.
	Contact string `json:"contact"`
	// ContactAddress is an e-mail address that outsiders may write to; may be empty.
	ContactAddress string `json:"contactAddress,omitempty"`
	// Checklist names the source and version of the names the season goes by.
	Checklist string `json:"checklist"`
	// BasisOfRecord is what an attended photograph without a voucher is published as.
	BasisOfRecord string `json:"basisOfRecord"`
	// Emergency and PoisonCentre are the telephone numbers that printed sheets
	// and the field app show; without the first no season is opened.
	Emergency    string `json:"emergency,omitempty"`
	PoisonCentre string `json:"poisonCentre,omitempty"`
	// Languages are those that people of the season speak, as RFC 5646 tags.
	Languages []string `json:"languages,omitempty"`
	// Opened is the day from which recorders may come in; empty while they
	// may not.
	Opened Date `json:"opened,omitempty"`
	// NumbersFrom is the least running figure of a field number given here;
	// smaller ones are kept for numbers given elsewhere, as on paper slips.
	NumbersFrom int `json:"numbersFrom,omitempty"`
	// Ground names the GeoJSON of woods, water and paths that maps are drawn
	// on; empty when the season has none.
	Ground Hash `json:"ground,omitempty"`
	// Key is what the season's key is made of.
	Key SeasonKey `json:"key,omitzero"`
	// Invented marks a season made up for demonstration.
	Invented bool      `json:"invented,omitempty"`
	Created  time.Time `json:"created"`
}

// SeasonKey is what a season's key is made of beyond what every season begins
// with, and what it may reckon with. See science/key.
type SeasonKey struct {
	// Matrix names the plain table of the season's own matrix; empty for the
	// starter matrix.
	Matrix Hash `json:"matrix,omitempty"`
	// Characters names the table of the characters and states that the season
	// adds to the vocabulary; empty for none.
	Characters Hash `json:"characters,omitempty"`
	// Learns lets the season's settled finds change the frequencies of the
	// matrix.
	Learns bool `json:"learns,omitempty"`
	// Expects lets the time of year, the kind of place and what has been
	// recorded weigh before anything is looked at.
	Expects bool `json:"expects,omitempty"`
}

// Licence is one of the licences under which a deposit may go out.
type Licence string

// The licences that data publishers take (standards README, section 14).
const (
	CC0    Licence = "CC0-1.0"
	CCBY   Licence = "CC-BY-4.0"
	CCBYNC Licence = "CC-BY-NC-4.0"
)

// GridSide returns the side of the season's squares in metres.
func (s Season) GridSide() int {
	if s.Grid == 0 {
		return 1000
	}
	return s.Grid
}

// Area returns the land inside the season's outline.
func (s Season) Area() (place.Area, error) { return place.NewArea(s.Outline...) }

var seasonCode = regexp.MustCompile(`^[A-Z][A-Z0-9]{1,7}$`)

// Validate returns all that is wrong with the season, or nil.
func (s Season) Validate() error {
	var f Faults
	if !seasonCode.MatchString(s.Code) {
		f.add("code", "%q can't stand before field numbers: use two to eight capital letters and figures, such as W26", s.Code)
	}
	if s.Title == "" {
		f.add("title", "the season needs a title, such as: Vale of Wimbrel, fungi of 2026")
	}
	if s.Place == "" {
		f.add("place", "say in words where the season is, such as: Vale of Wimbrel")
	}
	if !s.Starts.Valid() {
		f.add("starts", "%q is not a day: write the first day as 2026-09-26", s.Starts)
	}
	if !s.Ends.Valid() {
		f.add("ends", "%q is not a day: write the last day as 2026-10-25", s.Ends)
	} else if s.Ends < s.Starts {
		f.add("ends", "the last day %s lies before the first day %s: exchange them", s.Ends, s.Starts)
	}
	if _, err := s.Area(); err != nil {
		f.add("area", "%v", err)
	}
	if g := s.GridSide(); g != 100 && g != 1000 && g != 10_000 {
		f.add("grid", "squares of %d m a side can't be drawn: choose 100, 1000 or 10000", g)
	}
	if _, err := time.LoadLocation(s.Zone); err != nil || s.Zone == "" {
		f.add("zone", "%q is not a time zone: choose one such as Europe/Oslo", s.Zone)
	}
	switch s.Licence {
	case CC0, CCBY, CCBYNC:
	default:
		f.add("licence", "%q is not a licence for a deposit: choose CC0-1.0, CC-BY-4.0 or CC-BY-NC-4.0", s.Licence)
	}
	return f.orNil()
}

// Taxon is a name of the season's checklist.
type Taxon struct {
	ID       ID `json:"id"`
	SeasonID ID `json:"season"`
	// Code is the checklist's own mark for the name; may be empty.
	Code       string `json:"code,omitempty"`
	Name       string `json:"name"`
	Authorship string `json:"authorship,omitempty"`
	Rank       Rank   `json:"rank"`
	Family     string `json:"family,omitempty"`
	Kingdom    string `json:"kingdom"`
	// Vernacular is the common name; it never stands beside a probability.
	Vernacular string `json:"vernacular,omitempty"`
	// AcceptedID is the accepted name when this one is a synonym.
	AcceptedID ID `json:"accepted,omitempty"`
	// Group is the state of `form` under which the table sorts it; may be empty.
	Group string `json:"group,omitempty"`
}

// Rank is the rank of a name.
type Rank string

// The ranks that determinations use, lowest first.
const (
	Species Rank = "species"
	Genus   Rank = "genus"
	Family  Rank = "family"
	Kingdom Rank = "kingdom"
)
