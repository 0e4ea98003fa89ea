package dwca

import (
	"bytes"
	"crypto/sha256"
	"reflect"

	"trug"
)

// Survey says what was looked for on an event, how, and with what effort, in
// the terms of the Humboldt extension of 2025-07-10 to Darwin Core. It is
// published as one row of survey.txt; a zero Survey states nothing and is the
// same as none.
//
// # What is written as given, and what must be decided before
//
// All of it is written exactly as given, beside forays whose day and site are
// public, while a protected find hangs on the season with its month alone.
// So a survey can undo what was withheld, by silence too. Whoever fills it
// must see to these things, for the season as a whole and never foray by foray:
//
//   - A protected taxon is named in no Targets and no Absences, or it stands in
//     the Excluded of all surveys alike. Were it absent from every foray but
//     one, that one is where it grows; were it a target of one foray alone,
//     likewise. The same holds of a name that waits for a second opinion.
//   - FullyReported is not set where a find was withheld from the foray, unless
//     its taxon is excluded: the foray would seem to have had none. And the one
//     foray on which it isn't set must not stand out for that reason.
//   - HasVouchers and AbundanceReported speak of what is published on the foray.
//   - PerformedBy and the people of Absences are names whose owners agreed.
//   - Foray.Route is left out where it stops at or leads round a withheld find.
//
// One net is drawn here all the same: a dataset that reports a taxon absent
// anywhere while the day of a find of it, or of a taxon in it, is withheld is
// refused. It catches slips in the first rule and takes the place of none.
type Survey struct {
	// Targets and Excluded are the names of the taxa that were looked for and
	// of those within them that were not.
	Targets, Excluded []string
	// FullyReported is set only when every fungus of that scope which was
	// seen is reported: a complete list that somebody has checked.
	FullyReported bool
	// Completeness says whether all that was there will have been seen, and
	// CompletenessProtocol how that was judged. Each may be empty.
	Completeness         Completeness
	CompletenessProtocol string
	// Absences are the taxa looked for by name and not found. They are only
	// reported where Targets are stated and the search was open or restricted,
	// and never for the season.
	Absences []Absence
	// Inventory is the kind of search, empty when not known.
	Inventory InventoryType
	// Protocols are the methods; either all are described or none.
	Protocols []Protocol
	// DurationMinutes is how long the event lasted, breaks included; 0 when
	// not known, and for the season.
	DurationMinutes int
	// Effort is the time of search summed over the people, in person-hours; 0
	// when not known, and for the season. Where Foray.People and Foray.Minutes
	// are both known it must be their product. EffortProtocol says how it was
	// got, and is not published without it.
	Effort         float64
	EffortProtocol string
	// Area is that of the ground searched in AreaUnit, one of AreaUnits; 0
	// when not known, and for the season.
	Area     float64
	AreaUnit string
	// AbundanceReported is set when fruitbodies were counted for the finds.
	AbundanceReported bool
	// HasVouchers says whether specimens were kept; nil when not known.
	// Institutions name the fungaria that have them, if any yet.
	HasVouchers  *bool
	Institutions []string
	// PerformedBy are who searched, as published; none means names withheld,
	// and for the season that nothing is said.
	PerformedBy []string
}

// Absence is a taxon that was looked for on a foray and not found. It is
// published as an occurrence with occurrenceStatus absent that hangs on the
// event of the foray itself, with HumanObservation as its basisOfRecord
// whatever that of the finds is, and without quantity.
type Absence struct {
	// Public must stay the same from version to version: see AbsenceID.
	Public trug.PublicID
	// Name may bear agg. and no other qualifier.
	Name Name
	// RecordedBy are who looked, as published; none means name withheld.
	RecordedBy []string
	// IdentifiedBy are who would have known it, as published; may be empty.
	IdentifiedBy []string
}

// AbsenceID returns an identifier for the absence of a taxon from a foray that
// is the same in every version of a deposit. It has the form of a random one
// and is made of the two public things alone, by SHA-256, so it tells nothing
// that its row doesn't.
func AbsenceID(foray trug.PublicID, name string) trug.PublicID {
	sum := sha256.Sum256([]byte(string(foray) + " lacks " + name))
	id, err := trug.NewPublicID(bytes.NewReader(sum[:]))
	if err != nil {
		panic(err) // the sum has more bytes than are read
	}
	return id
}

// Protocol is a method of search: a name such as "timedSearch" and, if need
// be, how it was done.
type Protocol struct{ Name, Description string }

// Completeness is a value of eco:taxonCompletenessReported.
type Completeness string

// The values of Completeness (http://rs.tdwg.org/dwc/doc/tcr/).
const (
	NotReported        Completeness = "notReported"
	ReportedComplete   Completeness = "reportedComplete"
	ReportedIncomplete Completeness = "reportedIncomplete"
)

// InventoryType is a value of eco:inventoryTypes.
type InventoryType string

// The kinds of search that people make. A compilation is none of ours.
const (
	OpenSearch          InventoryType = "openSearch"
	RestrictedSearch    InventoryType = "restrictedSearch"
	OpportunisticSearch InventoryType = "opportunisticSearch"
	Adventitious        InventoryType = "adventitious"
)

// AreaUnits are the units of Survey.Area: square metres, hectares and square
// kilometres, written with the superscript that the term's definition asks for.
var AreaUnits = []string{"m²", "ha", "km²"}

// The values of occurrenceStatus, and the basisOfRecord of what is absent.
const (
	statusPresent = "present"
	statusAbsent  = "absent"
	absentBasis   = "HumanObservation"
)

// The units of survey.txt.
const (
	durationUnit = "minutes"
	effortUnit   = "personHours"
)

// tidySurvey returns the survey as an archive can hold it, nil for one that
// states nothing. It copies what it changes.
func tidySurvey(s *Survey) *Survey {
	if s == nil {
		return nil
	}
	q := *s
	texts(&q.CompletenessProtocol, &q.EffortProtocol)
	for _, list := range []*[]string{&q.Targets, &q.Excluded, &q.Institutions} {
		*list = items(*list)
	}
	q.PerformedBy = names(q.PerformedBy)
	q.Protocols = nil
	for _, p := range s.Protocols {
		if p = (Protocol{item(p.Name), item(p.Description)}); p != (Protocol{}) {
			q.Protocols = append(q.Protocols, p)
		}
	}
	if q.Effort == 0 {
		q.EffortProtocol = ""
	}
	if q.Area == 0 {
		q.AreaUnit = ""
	}
	q.Absences = sorted(q.Absences, func(a *Absence) trug.PublicID { return a.Public })
	for i := range q.Absences {
		a := &q.Absences[i]
		a.Name = tidyName(a.Name)
		a.RecordedBy, a.IdentifiedBy = names(a.RecordedBy), items(a.IdentifiedBy)
	}
	if reflect.ValueOf(q).IsZero() {
		return nil
	}
	return &q
}

// absentTaxa are the names of the absences with their signs, as a cell.
func (s *Survey) absentTaxa() string {
	list := make([]string, len(s.Absences))
	for i := range s.Absences {
		list[i] = item(s.Absences[i].Name.cells().verbatim)
	}
	return listed(list)
}
