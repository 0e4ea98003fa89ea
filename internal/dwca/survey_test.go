package dwca

import (
	"fmt"
	"math"
	"os"
	"path/filepath"
	"reflect"
	"slices"
	"strings"
	"testing"

	"trug"
)

// formatOne returns a deposit of format 1, kept as it was written then.
func formatOne(t testing.TB) []byte {
	t.Helper()
	b, err := os.ReadFile(filepath.Join("testdata", "deposits", "format-1.zip"))
	if err != nil {
		t.Fatal(err)
	}
	return b
}

// TestReadsFormatOne holds that deposits from before survey.txt are read as
// they always were: the sample, less all that format 2 brought.
func TestReadsFormatOne(t *testing.T) {
	got, err := readBack(formatOne(t))
	if err != nil {
		t.Fatal(err)
	}
	want := withoutDescriptions()
	want.Survey, want.Forays = nil, want.Forays[:1]
	want.Forays[0].Survey = nil
	if !reflect.DeepEqual(got, want) {
		t.Error(difference(reflect.ValueOf(got), reflect.ValueOf(want), "dataset"))
	}
	files := unzip(t, formatOne(t))
	files[surveyTable.file] = surveyTable.header()
	refused(t, "format 1 with a survey", zipped(t, files, eightFiles...), "no part of a deposit")
	// Read again after writing it is of the present format, and the same.
	checkRound(t, got)
}

// withoutDescriptions is the sample as formats 1 and 2 could hold it.
func withoutDescriptions() Dataset {
	d := tidy(sample())
	for i := range d.Finds {
		d.Finds[i].Description, d.Finds[i].Facts, d.Finds[i].Sizes, d.Finds[i].Colours = "", nil, nil, nil
	}
	return d
}

// TestReadsFormatThree holds that deposits from before measured colours are read.
func TestReadsFormatThree(t *testing.T) {
	old, err := os.ReadFile(filepath.Join("testdata", "deposits", "format-3.zip"))
	if err != nil {
		t.Fatal(err)
	}
	got, err := readBack(old)
	if err != nil {
		t.Fatal(err)
	}
	want := tidy(sample())
	for i := range want.Finds {
		want.Finds[i].Colours = nil
		for j := range want.Finds[i].Facts {
			x := &want.Finds[i].Facts[j]
			x.Measured = x.Measured && x.Number != "" // format 3 had no states that colours filled in
		}
	}
	if !reflect.DeepEqual(got, want) {
		t.Errorf("read %+v, want %+v", got, want)
	}
	checkRound(t, got)
}

// TestReadsFormatTwo holds the same of deposits from before measurement.txt.
func TestReadsFormatTwo(t *testing.T) {
	old, err := os.ReadFile(filepath.Join("testdata", "deposits", "format-2.zip"))
	if err != nil {
		t.Fatal(err)
	}
	got, err := readBack(old)
	if err != nil {
		t.Fatal(err)
	}
	if want := withoutDescriptions(); !reflect.DeepEqual(got, want) {
		t.Error(difference(reflect.ValueOf(got), reflect.ValueOf(want), "dataset"))
	}
	checkRound(t, got)
}

// scope is a survey that may be anything of a season.
func (g generator) scope() *Survey {
	s := &Survey{Targets: g.people(), Excluded: g.people(), CompletenessProtocol: g.text(), AbundanceReported: g.IntN(2) == 0,
		Completeness: pick(g, []Completeness{"", NotReported}), Inventory: pick(g, []InventoryType{"", OpenSearch, OpportunisticSearch, Adventitious}),
		EffortProtocol: g.text(), AreaUnit: pick(g, append(AreaUnits, "", "acres")), PerformedBy: g.people()}
	if s.HasVouchers = pick(g, []*bool{nil, new(true), new(false)}); s.HasVouchers != nil && *s.HasVouchers {
		s.Institutions = g.people()
	}
	described := g.IntN(2) == 0
	for range g.IntN(3) {
		p := Protocol{Name: g.some()}
		if described {
			p.Description = g.some()
		}
		s.Protocols = append(s.Protocols, p)
	}
	if g.IntN(2) == 0 {
		s.Targets, s.Inventory = append(s.Targets, g.some()), pick(g, []InventoryType{OpenSearch, RestrictedSearch})
		s.FullyReported = g.IntN(2) == 0
		s.Completeness = pick(g, []Completeness{"", NotReported, ReportedComplete, ReportedIncomplete})
	}
	return s
}

// survey adds what may be stated of a foray, or nothing.
func (g generator) survey(f *Foray) {
	f.Route = pick(g, []string{"", " multilinestring((0 0,-1e-1 5),(-180 90, 3 4.5)) ", "POLYGON ((10 20, 11 20, 11 21, 10 21, 10 20))"})
	switch g.IntN(4) {
	case 0:
		return
	case 1:
		f.Survey = &Survey{}
		return
	}
	s := g.scope()
	f.Survey = s
	s.DurationMinutes = g.IntN(3) * 45
	switch g.IntN(3) {
	case 0:
		s.Effort, s.Area, s.AreaUnit = g.ExpFloat64()+1e-9, g.ExpFloat64()+1e-9, pick(g, AreaUnits)
	case 1:
		s.Effort = 1e-7
	}
	if f.People > 0 && f.Minutes > 0 && s.Effort > 0 {
		s.Effort = float64(f.People*f.Minutes) / 60
	}
	if len(items(s.Targets)) == 0 || s.Inventory != OpenSearch && s.Inventory != RestrictedSearch {
		return
	}
	for i := range g.IntN(4) {
		a := Absence{Public: g.id(), Name: g.name(), RecordedBy: g.people(), IdentifiedBy: g.people()}
		a.Name.Name = fmt.Sprintf("Nusquam%d%s", i, g.text()) // no find has it
		a.Name.Rank, a.Name.Qualifier = trug.Species, pick(g, []trug.Qualifier{trug.NoQualifier, trug.Agg})
		a.Name.Kingdom, a.Name.Family = pick(g, []string{"", "Fungi"}), pick(g, []string{"", "Nusquamaceae"})
		s.Absences = append(s.Absences, a)
	}
}

// TestSurveyWords holds that what is written is among the values that the
// definitions and vocabularies give.
func TestSurveyWords(t *testing.T) {
	known := map[string]bool{}
	for _, row := range readCSV(t, "survey-words.csv") {
		known[row["term"]+" "+row["value"]] = true
	}
	check := func(term, value string) {
		if !known[term+" "+value] {
			t.Errorf("%q is no value of %s", value, term)
		}
	}
	for _, c := range []Completeness{NotReported, ReportedComplete, ReportedIncomplete} {
		check("taxonCompletenessReported", string(c))
	}
	for _, i := range []InventoryType{OpenSearch, RestrictedSearch, OpportunisticSearch, Adventitious} {
		check("inventoryTypes", string(i))
	}
	check("occurrenceStatus", statusPresent)
	check("occurrenceStatus", statusAbsent)
	check("basisOfRecord", absentBasis)
	check("eventDurationUnit", durationUnit)
	check("samplingEffortUnit", effortUnit)
	check("totalAreaSampledUnit", AreaUnits[2])
	for _, row := range rows(t, unzip(t, written(t, sample())), &surveyTable) {
		for _, term := range []string{"isTaxonomicScopeFullyReported", "isAbsenceReported", "isSamplingEffortReported", "isAbundanceReported"} {
			check(term, row[eco+term])
		}
	}
}

// TestSurveyExample writes the survey of a worked example and compares the row.
func TestSurveyExample(t *testing.T) {
	d := sample()
	f := &d.Forays[0]
	f.People, f.Minutes, d.Survey, d.Forays = 3, 60, nil, d.Forays[:1]
	f.Survey = &Survey{
		Targets: []string{"Basidiomycota", "Ascomycota"}, Excluded: []string{"lichenized fungi"}, Completeness: NotReported,
		Inventory: OpenSearch, Protocols: []Protocol{{Name: "timedSearch"}}, DurationMinutes: 180, Effort: 3,
		Area: 0.03, AreaUnit: "km²", AbundanceReported: true, HasVouchers: new(true), Institutions: []string{"EXM"},
		PerformedBy: []string{"A. Recorder", "B. Recorder", "E. Recorder"},
	}
	list := rows(t, unzip(t, written(t, d)), &surveyTable)
	if len(list) != 1 {
		t.Fatalf("%d rows for one survey", len(list))
	}
	row := list[0]
	// The example gives the duration in hours.
	if row[eco+"eventDurationValue"] != "180" || row[eco+"eventDurationUnit"] != "minutes" {
		t.Errorf("three hours are %s %s", row[eco+"eventDurationValue"], row[eco+"eventDurationUnit"])
	}
	row[eco+"eventDurationValue"], row[eco+"eventDurationUnit"] = "3", "hours"
	for _, want := range readCSV(t, "example-survey.csv") {
		if got := row[eco+want["term"]]; got != want["value"] {
			t.Errorf("%s is %q, not %q", want["term"], got, want["value"])
		}
	}
}

// TestSurveyRows checks the rows without the reader: keys, one row for each
// event that states anything, and values with their units, which the
// definition says belong together.
func TestSurveyRows(t *testing.T) {
	for _, d := range several() {
		files := unzip(t, written(t, d))
		d = tidy(d)
		kinds := map[string]string{}
		for _, row := range rows(t, files, &eventTable) {
			kinds[row[dwc+"eventID"]] = row[dwc+"eventType"]
			if (row[dwc+"footprintWKT"] == "") != (row[dwc+"footprintSRS"] == "") {
				t.Errorf("a footprint without its system: %v", row)
			}
		}
		states := 0
		for i := range d.Forays {
			if d.Forays[i].Survey != nil {
				states++
			}
		}
		seen := map[string]bool{}
		for _, row := range rows(t, files, &surveyTable) {
			id := row[dwc+"eventID"]
			season := kinds[id] == "bioBlitz"
			if seen[id] || !season && kinds[id] != "siteVisit" {
				t.Errorf("the row hangs on no foray, or on one that has another: %v", row)
			}
			if seen[id] = true; !season {
				states--
			}
			for _, term := range []string{"eventDuration", "totalAreaSampled", "samplingEffort"} {
				if (row[eco+term+"Value"] == "") != (row[eco+term+"Unit"] == "") {
					t.Errorf("%s has a value or a unit alone: %v", term, row)
				}
				if season && row[eco+term+"Value"] != "" {
					t.Errorf("%s is summed up for the season", term)
				}
			}
			if row[eco+"isLeastSpecificTargetCategoryQuantityInclusive"] != "false" {
				t.Error("counts of a genus are said to hold those of its species")
			}
		}
		if states != 0 || seen[identifiers{d.BaseURL}.of(eventPath, d.Public)] != (d.Survey != nil) {
			t.Errorf("%d surveys have no row, or the season's has none", states)
		}
	}
}

// TestAbsences checks the absent occurrences without the reader.
func TestAbsences(t *testing.T) {
	found := false
	for _, d := range several() {
		files := unzip(t, written(t, d))
		unique, list := map[string]bool{}, map[string][]string{}
		for _, row := range rows(t, files, &occurrenceTable) {
			id, event := row[dwc+"occurrenceID"], row[dwc+"eventID"]
			if unique[id] {
				t.Errorf("the identifier %s is used twice", id)
			}
			if unique[id] = true; row[dwc+"occurrenceStatus"] == "present" {
				continue
			}
			list[event] = append(list[event], item(row[dwc+"verbatimIdentification"]))
			if row[dwc+"organismQuantity"] != "" || row[dwc+"basisOfRecord"] != "HumanObservation" || row[dwc+"recordedBy"] == "" ||
				row[dwc+"scientificName"] == "" || row[dwc+"taxonRank"] == "" || row[dwc+"dynamicProperties"] != "" {
				t.Errorf("an absence is published as %v", row)
			}
		}
		for _, row := range rows(t, files, &surveyTable) {
			taxa := list[row[dwc+"eventID"]]
			if got := strings.Join(taxa, " | "); row[eco+"absentTaxa"] != got || row[eco+"isAbsenceReported"] != fmt.Sprint(len(taxa) > 0) {
				t.Errorf("the absences %q are said to be %q", got, row[eco+"absentTaxa"])
			}
			found = found || len(taxa) > 0
			delete(list, row[dwc+"eventID"])
		}
		if len(list) > 0 {
			t.Errorf("absences hang on events without a stated scope: %v", list)
		}
	}
	if !found {
		t.Error("no dataset has absences")
	}
}

// TestAbsentOccurrence reads one row over word by word.
func TestAbsentOccurrence(t *testing.T) {
	list := rows(t, unzip(t, written(t, sample())), &occurrenceTable)
	got := list[len(list)-1]
	for term, want := range map[string]string{
		"eventID":        "https://wimbrel.example/season/event/33333333-3333-4333-8333-333333333333",
		"occurrenceID":   "https://wimbrel.example/season/absence/73333333-3333-4333-8333-333333333333",
		"scientificName": "Hygrocybe coccinea (Schaeff.) P. Kumm.", "scientificNameAuthorship": "(Schaeff.) P. Kumm.",
		"taxonRank": "species", "kingdom": "Fungi", "recordedBy": "B. Sedge | A. Bramble", "identifiedBy": "D. Sorrel",
		"occurrenceStatus": "absent", "organismQuantityType": "", "identificationVerificationStatus": "",
	} {
		if got[dwc+term] != want {
			t.Errorf("%s is %q, not %q", term, got[dwc+term], want)
		}
	}
}

// TestEmptyVisit holds that a visit without a find is published in full.
func TestEmptyVisit(t *testing.T) {
	d := sample()
	d.Finds, d.Forays, d.Survey = nil, []Foray{sampleVisit()}, nil
	checkRound(t, d)
	files := unzip(t, written(t, d))
	events, surveys := rows(t, files, &eventTable), rows(t, files, &surveyTable)
	if len(events) != 2 || len(surveys) != 1 {
		t.Fatalf("%d events and %d surveys", len(events), len(surveys))
	}
	if e := events[1]; e[dwc+"eventType"] != "siteVisit" || e[dwc+"samplingEffort"] != "1 person x 90 minutes" || !strings.HasPrefix(e[dwc+"footprintWKT"], "LINESTRING") {
		t.Errorf("the visit is published as %v", e)
	}
	if s := surveys[0]; s[eco+"isTaxonomicScopeFullyReported"] != "true" || s[eco+"samplingEffortValue"] != "1.5" || s[eco+"samplingPerformedBy"] != NameWithheld {
		t.Errorf("the visit states %v", s)
	}
	if c := Summary(d); c.Visits != 1 || c.Forays != 0 {
		t.Errorf("it is counted as %+v", c)
	}
}

// TestTidySurvey holds what tidying drops.
func TestTidySurvey(t *testing.T) {
	for _, s := range []*Survey{nil, {}, {EffortProtocol: "by clock", AreaUnit: "ha", Targets: []string{" ", "\t"}, Protocols: []Protocol{{}}, PerformedBy: []string{NameWithheld}}} {
		if got := tidySurvey(s); got != nil {
			t.Errorf("%+v states %+v", s, got)
		}
	}
	got := tidySurvey(&Survey{Targets: []string{" Agaricales|Boletales", ""}, Effort: 1, EffortProtocol: " by\tclock"})
	if want := (&Survey{Targets: []string{"Agaricales/Boletales"}, Effort: 1, EffortProtocol: "by clock"}); !reflect.DeepEqual(got, want) {
		t.Errorf("it is tidied to %+v", got)
	}
}

// TestWriteRefusesSurveys holds that impossible and telling statements are
// refused with a sentence.
func TestWriteRefusesSurveys(t *testing.T) {
	one := func(change func(*Survey)) func(*Dataset) { return func(d *Dataset) { change(d.Forays[0].Survey) } }
	for _, c := range []struct {
		want   string
		change func(*Dataset)
	}{
		{"a visit has no leader", func(d *Dataset) { d.Forays[1].Leader = "B. Sedge" }},
		{"a route can't be", func(d *Dataset) { d.Forays[1].Route = "POINT (1 2)" }},
		{"never summed up", func(d *Dataset) { d.Survey.Effort = 21.5 }},
		{"never summed up", func(d *Dataset) { d.Survey.Absences = d.Forays[0].Survey.Absences }},
		{"no word for completeness", one(func(s *Survey) { s.Completeness = "whole" })},
		{"not a kind of search", one(func(s *Survey) { s.Inventory = "compilation" })},
		{"can't be the duration", one(func(s *Survey) { s.DurationMinutes = 50000 })},
		{"can't be an effort", one(func(s *Survey) { s.Effort = -1 })},
		{"can't be an effort", one(func(s *Survey) { s.Area = math.Inf(1) })},
		{"not a unit of areas", one(func(s *Survey) { s.AreaUnit = "acres" })},
		{"is not that of 8 people x 150", one(func(s *Survey) { s.Effort = 24 })},
		{"names a fungarium", one(func(s *Survey) { s.HasVouchers = nil })},
		{"describe all or none", one(func(s *Survey) { s.Protocols[0].Description = "" })},
		{"a protocol has no name", one(func(s *Survey) { s.Protocols[0].Name = "" })},
		{"what was not found is only said", one(func(s *Survey) { s.Targets = nil })},
		{"what was not found is only said", one(func(s *Survey) { s.Inventory = Adventitious })},
		{"everything seen is reported is only", func(d *Dataset) { d.Forays[1].Survey.Inventory = "" }},
		{"how complete it is is only", func(d *Dataset) { d.Forays[1].Survey.Targets = nil }},
		{"it gives no name", one(func(s *Survey) { s.Absences[0].Name.Name = "" })},
		{"in vain", one(func(s *Survey) { s.Absences[0].Name.Qualifier = trug.Cf })},
		{"absent twice", one(func(s *Survey) { s.Absences[0].Name = s.Absences[1].Name })},
		{"used twice", one(func(s *Survey) { s.Absences[0].Public = s.Absences[1].Public })},
		{"Hygrocybe was not looked for", one(func(s *Survey) { s.Excluded = []string{"Hygrocybe"} })},
		{"Russula cf. fellea, which its foray reports absent", one(func(s *Survey) { s.Absences[0].Name.Name = "Russula fellea" })},
		{"which its foray reports absent", one(func(s *Survey) { s.Absences[0].Name.Name = "Russulaceae" })},
		{"tells where it was not", one(func(s *Survey) { s.Excluded, s.Absences[0].Name.Name = nil, "Hericium" })},
	} {
		d := sample()
		c.change(&d)
		err := Write(discard{t}, d)
		if err == nil || !strings.Contains(err.Error(), c.want) || trug.KindOf(err) != trug.Invalid {
			t.Errorf("Write says %v, which does not hold %q", err, c.want)
		}
	}
}

// discard fails the test when anything is written to it.
type discard struct{ t *testing.T }

func (d discard) Write(p []byte) (int, error) {
	d.t.Errorf("%q was written all the same", p)
	return len(p), nil
}

// TestAbsenceID holds that the identifiers are steady, valid and apart. The
// digest is that of sha256sum over the two joined by " lacks ".
func TestAbsenceID(t *testing.T) {
	id := AbsenceID("33333333-3333-4333-8333-333333333333", "Armillaria mellea")
	if want := trug.PublicID("0ca6acca-b8d8-42f8-a39f-6a29c244b7ae"); id != want || !id.Valid() {
		t.Errorf("the identifier is %s, not %s", id, want)
	}
	if id == AbsenceID("33333333-3333-4333-8333-333333333333", "Armillaria") || id == AbsenceID("37333333-3333-4333-8333-333333333333", "Armillaria mellea") {
		t.Error("two absences have the same identifier")
	}
}

// TestOverMidnight holds that a foray may end on a later day, and not on one before.
func TestOverMidnight(t *testing.T) {
	d := sample()
	f := &d.Forays[0]
	f.Start, f.End, f.EndDate = "21:30", "00:30", "2026-10-11"
	checkRound(t, d)
	if got := rows(t, unzip(t, written(t, d)), &eventTable)[1][dwc+"eventDate"]; got != "2026-10-10T21:30-01:00/2026-10-11T00:30-01:00" {
		t.Errorf("it is published as %s", got)
	}
	f.EndDate = "2026-10-09"
	if err := Write(discard{t}, d); err == nil || !strings.Contains(err.Error(), "before it starts on") {
		t.Errorf("a foray that ends before it starts: %v", err)
	}
}

// TestAbsentElsewhere holds that a taxon may be absent on one foray and found
// on another, and that a name which aff. denies counts as not found.
func TestAbsentElsewhere(t *testing.T) {
	d := sample()
	i := slices.IndexFunc(d.Finds, func(f Find) bool { return f.Foray != "" })
	d.Forays[0].Survey.Absences[0].Name.Name = "Russula fellea"
	d.Finds[i].Foray = d.Forays[1].Public
	checkRound(t, d)
	d = sample()
	d.Forays[0].Survey.Absences[0].Name.Name, d.Finds[i].Name.Qualifier = "Russula fellea", trug.Aff
	checkRound(t, d)
}
