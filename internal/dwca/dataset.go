package dwca

import (
	"time"

	"trug"
	"trug/science/place"
)

// Dataset is what a deposit says: a season as outsiders may see it.
type Dataset struct {
	// Public is the season's public identifier, PackageID that of this
	// version of the deposit: a new one for each.
	Public    trug.PublicID
	PackageID trug.PublicID
	// Number counts the season's deposits from 1.
	Number int
	// Date is the day of publication, Stamp the instant of writing; it is
	// also the time that the files in the zip bear.
	Date  trug.Date
	Stamp time.Time

	Title string
	// Place is the area in words, Box its bounds: those of the season's
	// outline, never those of the records.
	Place string
	Box   place.Box
	// Abstract may have several paragraphs, one a line, and may be empty.
	Abstract     string
	Starts, Ends trug.Date
	// Zone is the IANA name of the area's time zone.
	Zone    string
	Licence trug.Licence
	// RightsHolder must be given; an empty Contact means the same.
	RightsHolder, Contact, ContactAddress string
	// Checklist names the list that the names follow; may be empty.
	Checklist string
	// BasisOfRecord is the dwc:basisOfRecord of every find.
	BasisOfRecord string
	// Country is an ISO 3166-1 alpha-2 code, empty when there is none.
	Country string
	// BaseURL is the public address of the server, "https://host/season".
	// Without one identifiers are of the form urn:uuid:....
	BaseURL  string
	Invented bool

	// Survey is what applies to the season's own event, never a sum over its
	// forays; nil when it states nothing.
	Survey *Survey
	Forays []Foray
	Finds  []Find
}

// Foray is a led outing of the season, or a visit. One on which nothing was
// found is published like any other: that somebody looked is worth knowing.
type Foray struct {
	Public trug.PublicID
	Code   string
	Name   string
	Date   trug.Date
	// Start and End are "15:04" and stand together; one alone is not
	// published. Offset is that of the clock from UTC, as in trug.When.
	Start, End, Offset string
	// EndDate is the day of End where that lies past midnight, else empty.
	EndDate  trug.Date
	SiteName string
	Habitat  string
	// Place holds the site; its Source is empty. Nil when not known.
	Place *trug.Place
	// People and Minutes are the effort, each 0 when not known. The minutes
	// are those of each of the people.
	People, Minutes int
	// Leader is the name as published, empty for none.
	Leader string
	// Visit is set for the outing of one person or household, which has no
	// leader. Its event is a siteVisit like that of a foray.
	Visit bool
	// Route is the track walked or the area searched as well-known text, in
	// degrees of WGS84, longitude first: see CheckRoute. It is published as
	// given, so it must be empty where it would betray a find.
	Route string
	// Survey is nil when nothing is stated of scope and effort.
	Survey *Survey
}

// Find is a record as published.
type Find struct {
	Public trug.PublicID
	// Foray is the one it was made on; empty hangs it on the season.
	Foray trug.PublicID
	// Found is the day, with the time as far as it may be told. For a find
	// of which only the month may be told it is zero and Month is "2026-10".
	Found trug.When
	Month string
	// Place is nil when it is not known or may not be told.
	Place             *trug.Place
	Locality, Habitat string
	// RecordedBy are the names as published; none means name withheld.
	RecordedBy []string
	FieldName  trug.FieldName
	// NumberSeen counts the fruitbodies; 0 means not counted.
	NumberSeen int
	// Form to SporePrint are states in words; empty means not looked for.
	Form, Substrate, Habit, Ripeness, Smell, SporePrint, Host string
	// Voucher is the mark of a specimen kept, never the field number.
	Voucher string
	Remarks string
	// Description is what was described, in the prose of the trade; Facts is
	// the same by character, in the vocabulary's order.
	Description string
	Facts       []Fact
	// Sizes were read off photographs, one row for each fruitbody.
	Sizes []Size
	// Colours were measured in photographs, one row for each main colour.
	Colours []Color

	// Name is the current name; a find without one has an empty Name.Name.
	Name         Name
	IdentifiedBy []string
	// DateIdentified is the day of the latest opinion that counts, or its
	// month where the day may not be told.
	DateIdentified trug.Date
	// Status says in a sentence what the name rests on: see Status.
	Status string
	Views  []View
	Slips  []Slip
	// Generalisations and Withheld say what was made coarser and what was
	// left out, and why; empty when nothing was.
	Generalisations, Withheld string
}

// Name is a taxon name with its sign of doubt.
type Name struct {
	// Name is without authorship and qualifier.
	Name       string
	Authorship string
	Rank       trug.Rank
	Qualifier  trug.Qualifier
	Kingdom    string
	Family     string
}

// View is a photograph as published: its derivative, not the original.
type View struct {
	Public trug.PublicID
	Kind   trug.ViewKind
	// By is the photographer as published; empty means name withheld.
	By string
	// Taken is zero when it isn't known or may not be told.
	Taken trug.When
	// Width and Height are in pixels, Hash is that of the derivative.
	Width, Height int
	Hash          trug.Hash
	// Licence and Owner are empty where they are those of the dataset.
	Licence trug.Licence
	Owner   string
}

// Slip is a determination as published.
type Slip struct {
	Public trug.PublicID
	Name   Name
	// By is the determiner as published; empty means name withheld.
	By string
	// Date is the day, or the month where the day may not be told.
	Date  trug.Date
	Basis []trug.Basis
	// Independent is set when it was given without sight of another.
	Independent bool
	// Current is set when the current name rests on it.
	Current bool
	Remark  string
}

// Counts says how much a deposit holds.
type Counts struct {
	// Forays are those that were led; Visits were not. Absences are taxa
	// looked for on one of either and not found.
	Forays, Visits, Absences     int
	Finds, Views, Determinations int
	// Named counts the finds with a name, Species those named to species,
	// signs of doubt included.
	Named, Species int
	// Withheld counts the finds of which something is withheld, Generalised
	// those of which something was made coarser.
	Withheld, Generalised int
}

// Summary counts what the dataset holds.
func Summary(d Dataset) Counts {
	c := Counts{Finds: len(d.Finds)}
	for i := range d.Forays {
		f := &d.Forays[i]
		if f.Visit {
			c.Visits++
		} else {
			c.Forays++
		}
		if f.Survey != nil {
			c.Absences += len(f.Survey.Absences)
		}
	}
	for i := range d.Finds {
		f := &d.Finds[i]
		c.Views += len(f.Views)
		c.Determinations += len(f.Slips)
		if f.Name.Name != "" {
			c.Named++
			if f.Name.Rank == trug.Species {
				c.Species++
			}
		}
		if f.Withheld != "" {
			c.Withheld++
		}
		if f.Generalisations != "" {
			c.Generalised++
		}
	}
	return c
}
