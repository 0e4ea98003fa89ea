package dwca

import (
	"math"
	"regexp"
	"slices"
	"time"

	"trug"
	"trug/science/place"
)

// mostFaults bounds the list of what is wrong: nobody reads further.
const mostFaults = 20

// checker gathers what is wrong with a tidied dataset.
type checker struct {
	faults trug.Faults
	seen   map[trug.PublicID]bool
	forays map[trug.PublicID]bool
	// absent are the names reported absent on each foray, absentAnywhere on
	// any of them.
	absent         map[trug.PublicID]map[string]bool
	absentAnywhere map[string]bool
}

func (c *checker) fail(field, format string, args ...any) {
	if len(c.faults) < mostFaults {
		c.faults = append(c.faults, trug.Errorf(trug.Invalid, field, format, args...))
	}
}

// validate returns what keeps a tidied dataset from being published, or nil.
func validate(d *Dataset) error {
	c := checker{seen: map[trug.PublicID]bool{}, forays: map[trug.PublicID]bool{},
		absent: map[trug.PublicID]map[string]bool{}, absentAnywhere: map[string]bool{}}
	c.dataset(d)
	c.seasonSurvey(d.Survey)
	for i := range d.Forays {
		c.foray(&d.Forays[i])
	}
	for i := range d.Finds {
		c.find(&d.Finds[i])
	}
	if len(c.faults) > 0 {
		return c.faults
	}
	return nil
}

var countryCode = regexp.MustCompile(`^([A-Z]{2})?$`)

// The values of basisOfRecord that a season may be set to. PreservedSpecimen
// is not among them: it needs the acronym of a fungarium and an accession
// number for every record.
var basesOfRecord = []string{"HumanObservation", "MachineObservation"}

func (c *checker) dataset(d *Dataset) {
	c.public("season", d.Public)
	c.public("deposit", d.PackageID)
	if d.Number < 1 {
		c.fail("number", "%d can't number a deposit: the first is 1", d.Number)
	}
	if y := d.Stamp.Year(); y < 1980 || y > 2107 {
		c.fail("stamp", "the time %s can't be kept in a zip file: set the clock", d.Stamp.Format(time.RFC3339))
	}
	for _, t := range []struct{ field, text, says string }{
		{"title", d.Title, "the season needs a title before it can be published"},
		{"place", d.Place, "say in words where the season is before it is published"},
		{"rightsHolder", d.RightsHolder, "say who holds the rights before the season is published"},
	} {
		if t.text == "" {
			c.fail(t.field, "%s", t.says)
		}
	}
	if _, ok := licenceWords[d.Licence]; !ok {
		c.fail("licence", "%q is not a licence for a deposit: choose CC0-1.0, CC-BY-4.0 or CC-BY-NC-4.0", d.Licence)
	}
	if !slices.Contains(basesOfRecord, d.BasisOfRecord) {
		c.fail("basisOfRecord", "%q can't be the basis of all records: choose HumanObservation or MachineObservation", d.BasisOfRecord)
	}
	if !countryCode.MatchString(d.Country) {
		c.fail("country", "%q is not a country code: use two capital letters, or none", d.Country)
	}
	if d.BaseURL != "" && !validBase(d.BaseURL) {
		c.fail("baseURL", "%q is not a public address: write it as https://host/path, or leave it out", d.BaseURL)
	}
	if _, err := time.LoadLocation(d.Zone); err != nil || d.Zone == "" {
		c.fail("zone", "%q is not a time zone: choose one such as Europe/Oslo", d.Zone)
	}
	c.days(d)
	c.box(d.Box)
}

func (c *checker) days(d *Dataset) {
	c.day("date", d.Date)
	c.day("starts", d.Starts)
	c.day("ends", d.Ends)
	if d.Ends < d.Starts {
		c.fail("ends", "the last day %s lies before the first day %s", d.Ends, d.Starts)
	}
}

func (c *checker) box(b place.Box) {
	for _, p := range []place.Position{{Lat: b.South, Lon: b.West}, {Lat: b.North, Lon: b.East}} {
		if err := p.Valid(); err != nil {
			c.fail("area", "%v", err)
			return
		}
	}
	if b.South >= b.North || b.West == b.East {
		c.fail("area", "the season has no area: draw its outline before it is published")
	}
}

// identified checks when a find was named: a day, or the month alone where
// the find's own day may not be told, since many are named on the day they
// are found.
func (c *checker) identified(field string, d trug.Date) {
	if !monthForm.MatchString(string(d)) {
		c.day(field, d)
	}
}

func (c *checker) day(field string, d trug.Date) {
	if !d.Valid() {
		c.fail(field, "%q is not a day: write it as 2026-10-10", d)
	}
}

// public checks a public identifier and that nothing else bears it.
func (c *checker) public(field string, id trug.PublicID) {
	if !id.Valid() {
		c.fail(field, "%q is not a public identifier", id)
	} else if c.seen[id] {
		c.fail(field, "the identifier %s is used twice", id)
	}
	c.seen[id] = true
}

func (c *checker) foray(f *Foray) {
	field := "foray " + string(f.Public)
	c.public(field, f.Public)
	c.forays[f.Public] = true
	c.day(field, f.Date)
	if f.Start != "" {
		c.when(field, trug.When{Date: f.Date, Time: f.Start, Offset: f.Offset})
		c.when(field, f.end())
		if f.EndDate == "" && f.End < f.Start {
			c.fail(field, "it ends at %s, before it starts at %s", f.End, f.Start)
		}
		if f.EndDate != "" && f.EndDate < f.Date {
			c.fail(field, "it ends on %s, before it starts on %s", f.EndDate, f.Date)
		}
	}
	if f.People < 0 || f.Minutes < 0 || f.People > trug.MaxNumberSeen || f.Minutes > mostMinutes {
		c.fail(field, "an effort of %d people and %d minutes can't be", f.People, f.Minutes)
	}
	c.place(field, f.Place)
	if f.Place != nil && f.Place.Source != "" {
		c.fail(field, "the place of a foray is that of its site: leave its source empty")
	}
	if f.Visit && f.Leader != "" {
		c.fail(field, "a visit has no leader: leave the leader out, or call it a foray")
	}
	if err := CheckRoute(f.Route); f.Route != "" && err != nil {
		c.fail(field, "%v", err)
	}
	c.foraySurvey(field, f)
}

func (c *checker) when(field string, w trug.When) {
	if err := w.Validate(""); err != nil {
		c.fail(field, "%s", err)
	}
}

func (c *checker) place(field string, p *trug.Place) {
	if p == nil {
		return
	}
	if err := p.Position.Valid(); err != nil {
		c.fail(field, "%v", err)
	}
	for _, x := range []float64{float64(p.Uncertainty), float64(p.Precision)} {
		if x < 0 || math.IsNaN(x) || math.IsInf(x, 0) {
			c.fail(field, "%g can't be the uncertainty or precision of a place: give a positive number, or 0 for not known", x)
		}
	}
	if _, ok := sourceWords[p.Source]; !ok {
		c.fail(field, "%q is not a source of places", p.Source)
	}
}

// mostMinutes bounds how long a foray lasts: a month.
const mostMinutes = 31 * 24 * 60

var monthForm = regexp.MustCompile(`^\d{4}-(0[1-9]|1[0-2])$`)

func (c *checker) find(f *Find) {
	field := "find " + string(f.Public)
	c.public(field, f.Public)
	if f.Foray != "" && !c.forays[f.Foray] {
		c.fail(field, "its foray %s is not in the deposit", f.Foray)
	}
	switch {
	case !f.Found.IsZero() && f.Month != "":
		c.fail(field, "it has both a day and a month: give one")
	case !f.Found.IsZero():
		c.when(field, f.Found)
	case !monthForm.MatchString(f.Month):
		c.fail(field, "it has neither a day nor a month such as 2026-10")
	}
	c.place(field, f.Place)
	if f.NumberSeen < 0 || f.NumberSeen > trug.MaxNumberSeen {
		c.fail(field, "%d can't be a count of fruitbodies", f.NumberSeen)
	}
	if f.Name.Name != "" {
		c.name(field, f.Name)
		if f.DateIdentified != "" {
			c.identified(field, f.DateIdentified)
		}
		c.notAbsent(field, f)
	}
	c.facts(field, f.Facts)
	c.sizes(field, f.Sizes)
	c.colours(field, f.Colours)
	for i := range f.Views {
		c.view(&f.Views[i])
	}
	for i := range f.Slips {
		c.slip(&f.Slips[i])
	}
}

func (c *checker) name(field string, n Name) {
	switch n.Rank {
	case trug.Species, trug.Genus, trug.Family, trug.Kingdom:
	default:
		c.fail(field, "%q is not the rank of a name", n.Rank)
	}
	switch {
	case !slices.Contains(trug.Qualifiers, n.Qualifier):
		c.fail(field, "%q is not a qualifier", n.Qualifier)
	case n.Qualifier == trug.Sp && n.Rank != trug.Genus:
		c.fail(field, "sp. stands behind a genus, not behind a %s", n.Rank)
	case n.Qualifier != trug.NoQualifier && n.Rank != trug.Species && n.Rank != trug.Genus:
		c.fail(field, "%s stands with a species or a genus, not with a %s", n.Qualifier, n.Rank)
	}
}

func (c *checker) view(v *View) {
	field := "view " + string(v.Public)
	c.public(field, v.Public)
	if !v.Kind.Valid() {
		c.fail(field, "%q is not a kind of view", v.Kind)
	}
	if !v.Taken.IsZero() {
		c.when(field, v.Taken)
	}
	if v.Width < 0 || v.Height < 0 || v.Width > math.MaxInt32 || v.Height > math.MaxInt32 {
		c.fail(field, "%d x %d pixels can't be", v.Width, v.Height)
	}
	if v.Hash != "" && !v.Hash.Valid() {
		c.fail(field, "%q is not a SHA-256 in hexadecimal", v.Hash)
	}
	if _, ok := licenceWords[v.Licence]; !ok && v.Licence != "" {
		c.fail(field, "%q is not a licence for a photograph: choose CC0-1.0, CC-BY-4.0 or CC-BY-NC-4.0", v.Licence)
	}
}

func (c *checker) slip(s *Slip) {
	field := "determination " + string(s.Public)
	c.public(field, s.Public)
	if s.Name.Name == "" {
		c.fail(field, "it gives no name")
	}
	c.name(field, s.Name)
	c.identified(field, s.Date)
	for _, b := range s.Basis {
		if !contains(trug.Bases, b) {
			c.fail(field, "%q is not a basis", b)
		}
	}
}
