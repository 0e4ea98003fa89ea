package dwca

import (
	"archive/zip"
	"bytes"
	"encoding/csv"
	"io"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"trug"
	"trug/science/describe"
)

// unzip returns the files of an archive as text.
func unzip(t testing.TB, archive []byte) map[string]string {
	t.Helper()
	z, err := zip.NewReader(bytes.NewReader(archive), int64(len(archive)))
	if err != nil {
		t.Fatal(err)
	}
	files := map[string]string{}
	for _, f := range z.File {
		r, err := f.Open()
		if err != nil {
			t.Fatal(err)
		}
		b, err := io.ReadAll(r)
		if err != nil {
			t.Fatal(err)
		}
		files[f.Name] = string(b)
	}
	return files
}

// rows splits a table by hand, without the reader under test: a slice of
// cells by term for each row.
func rows(t testing.TB, files map[string]string, tab *table) []map[string]string {
	t.Helper()
	lines := strings.Split(strings.TrimSuffix(files[tab.file], "\n"), "\n")
	var out []map[string]string
	for _, line := range lines[1:] {
		cells := strings.Split(line, "\t")
		if len(cells) != len(tab.terms) {
			t.Fatalf("%s: a row of %d cells, not %d: %q", tab.file, len(cells), len(tab.terms), line)
		}
		row := map[string]string{}
		for i, term := range tab.terms {
			row[term] = cells[i]
		}
		out = append(out, row)
	}
	return out
}

// several are datasets to check archives with: the sample with either sort of
// identifier and some odd ones.
func several() []Dataset {
	d := sample()
	d.BaseURL, d.Country, d.Invented = "", "NO", false
	list := []Dataset{sample(), d}
	for seed := range uint64(5) {
		g := generator{rand.New(rand.NewPCG(seed, 2))}
		list = append(list, g.dataset())
	}
	return list
}

// TestXML validates meta.xml and eml.xml against their published schemas.
func TestXML(t *testing.T) {
	tool, err := exec.LookPath("xmllint")
	if err != nil {
		if os.Getenv("CI") != "" {
			t.Fatal("xmllint is missing: install libxml2-utils")
		}
		t.Skip("xmllint (libxml2-utils) is not installed, so the XML is not validated")
	}
	for _, d := range several() {
		files := unzip(t, written(t, d))
		dir := t.TempDir()
		for name, schema := range map[string]string{
			metaFile: "dwc-text/tdwg_dwc_text.xsd",
			emlFile:  "eml-gbif-profile-1.3/eml.xsd",
		} {
			path := filepath.Join(dir, name)
			if err := os.WriteFile(path, []byte(files[name]), 0o600); err != nil {
				t.Fatal(err)
			}
			lint := exec.Command(tool, "--nonet", "--noout", "--schema", schema, path)
			lint.Dir = filepath.Join("testdata", "schemas")
			lint.Env = append(os.Environ(), "XML_CATALOG_FILES=catalog.xml")
			if out, err := lint.CombinedOutput(); err != nil {
				t.Errorf("%s does not validate: %v\n%s\n%s", name, err, out, files[name])
			}
		}
	}
}

func readCSV(t *testing.T, name string) []map[string]string {
	t.Helper()
	f, err := os.Open(filepath.Join("testdata", name))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	lines, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	var out []map[string]string
	for _, line := range lines[1:] {
		row := map[string]string{}
		for i, key := range lines[0] {
			row[key] = line[i]
		}
		out = append(out, row)
	}
	return out
}

func tableNamed(name string) *table {
	for _, t := range tables {
		if t.file == name+".txt" {
			return t
		}
	}
	return nil
}

// TestTermsAreDefined holds that every column is a term of the published
// definition of its table, but for the one that is added on purpose.
func TestTermsAreDefined(t *testing.T) {
	defined := map[string]bool{}
	for _, row := range readCSV(t, "terms-by-definition.csv") {
		defined[row["table"]+" "+row["term"]] = true
		if tab := tableNamed(row["table"]); tab.rowType != row["row_type"] {
			t.Fatalf("%s has the row type %s, not %s", row["table"], tab.rowType, row["row_type"])
		}
	}
	for _, tab := range tables {
		name := strings.TrimSuffix(tab.file, ".txt")
		for i, term := range tab.terms {
			if i == 0 { // joins the row to its event
				continue
			}
			if !defined[name+" "+term] && !(name == "identification" && term == dwc+"occurrenceID") {
				t.Errorf("%s is no term of the definition of %s", term, tab.rowType)
			}
		}
	}
}

// leftOut are the terms that terms.csv says should be there and are not.
var leftOut = map[string]string{
	"measurement measurementDeterminedBy": "who gave an answer is not kept with it",
	"occurrence recordedByID":             "the season keeps no identifiers of people",
	"occurrence identifiedByID":           "the season keeps no identifiers of people",
	"occurrence materialEntityID":         "no institution has numbered the specimens",
	"occurrence institutionCode":          "no institution has numbered the specimens",
	"occurrence catalogNumber":            "no institution has numbered the specimens",
	"occurrence preparations":             "how specimens were kept is not asked",
	"occurrence disposition":              "no institution has numbered the specimens",
}

// TestTermsRequired goes through terms.csv: a term that must or should be
// there has a column or a reason, and what must be filled is filled wherever
// the condition of the list holds.
func TestTermsRequired(t *testing.T) {
	for _, d := range several() {
		files := unzip(t, written(t, d))
		for _, want := range readCSV(t, "terms.csv") {
			tab := tableNamed(want["table"])
			if tab == nil || strings.HasPrefix(want["requirement"], "may") {
				continue
			}
			_, short, _ := strings.Cut(want["term"], ":")
			if leftOut[want["table"]+" "+short] != "" {
				if slices.Contains(tab.terms, want["uri"]) {
					t.Errorf("%s is written after all: take it off the list", want["term"])
				}
				continue
			}
			if !slices.Contains(tab.terms, want["uri"]) {
				t.Errorf("%s has no column %s", tab.file, want["term"])
				continue
			}
			for _, row := range rows(t, files, tab) {
				if applies(t, want["requirement"], want["term"], row) && row[want["uri"]] == "" {
					t.Errorf("%s: %s is empty in %v", tab.file, want["term"], row)
				}
			}
		}
	}
}

// applies reports whether a row must have a value for the term.
func applies(t *testing.T, requirement, term string, row map[string]string) bool {
	switch requirement {
	case "must", "must here":
		// Only where an effort exists, as the list says of the value.
		return term != "dwc:sampleSizeValue" || strings.Contains(row[dwc+"samplingEffort"], " x ")
	case "should":
		return false
	case "must if true":
		return row[eco+"isSamplingEffortReported"] == "true"
	case "must with value":
		return row[dwc+"sampleSizeValue"] != ""
	case "must for numbers":
		_, err := describe.ParseSpan(row[dwc+"measurementValue"])
		return err == nil
	case "must for computed values":
		// Words that a colour filled in are no number; the colour's row has its own.
		return row[dwc+"measurementMethod"] != factMethod && row[dwc+"measurementMethod"] != colouredMethod
	case "must with quantity":
		return row[dwc+"organismQuantity"] != ""
	case "must if generalised", "must if withheld":
		return false // TestNothingLost compares them with the dataset
	case "must if doubtful":
		return regexp.MustCompile(`(^| )(cf|aff|agg)\.`).MatchString(row[dwc+"verbatimIdentification"]) &&
			row[dwc+"identifiedBy"] != ""
	}
	t.Fatalf("a requirement that the test does not know: %q", requirement)
	return false
}

// TestNothingLost compares the cells with conditions with the dataset itself.
func TestNothingLost(t *testing.T) {
	for _, d := range several() {
		files := unzip(t, written(t, d))
		d = tidy(d)
		events := rows(t, files, &eventTable)[1+len(d.Forays):]
		occurrences := rows(t, files, &occurrenceTable)
		for i, f := range d.Finds {
			for _, c := range []struct{ term, got, want string }{
				{"dataGeneralizations", events[i][dwc+"dataGeneralizations"], f.Generalisations},
				{"informationWithheld", events[i][dwc+"informationWithheld"], f.Withheld},
				{"kingdom", occurrences[i][dwc+"kingdom"], f.Name.Kingdom},
				{"basisOfRecord", occurrences[i][dwc+"basisOfRecord"], d.BasisOfRecord},
				{"occurrenceStatus", occurrences[i][dwc+"occurrenceStatus"], "present"},
			} {
				if c.got != c.want {
					t.Errorf("%s is %q, not %q", c.term, c.got, c.want)
				}
			}
			if got := occurrences[i][dwc+"informationWithheld"]; !strings.Contains(got, f.Withheld) ||
				len(f.RecordedBy) == 0 && !strings.Contains(got, recorderWithheld) {
				t.Errorf("informationWithheld of the occurrence is %q", got)
			}
			if f.Name.Name == "" && (occurrences[i][dwc+"scientificName"] != f.Name.Kingdom || occurrences[i][dwc+"taxonRank"] != "kingdom") {
				t.Errorf("a find without a name is published as %q", occurrences[i][dwc+"scientificName"])
			}
		}
	}
}

// TestKeys holds that identifiers are unique and that all references lead to
// a row, without using the reader.
func TestKeys(t *testing.T) {
	for _, d := range several() {
		files := unzip(t, written(t, d))
		unique := map[string]bool{}
		add := func(id string) {
			if id == "" || unique[id] {
				t.Errorf("the identifier %q is empty or used twice", id)
			}
			unique[id] = true
		}
		events := map[string]bool{}
		for i, row := range rows(t, files, &eventTable) {
			add(row[dwc+"eventID"])
			events[row[dwc+"eventID"]] = true
			if parent := row[dwc+"parentEventID"]; !events[parent] && !(i == 0 && parent == "") {
				t.Errorf("the parent %q stands on no row before", parent)
			}
		}
		find := map[string]string{} // by event
		for _, row := range rows(t, files, &occurrenceTable) {
			add(row[dwc+"occurrenceID"])
			if row[dwc+"occurrenceStatus"] == "absent" {
				continue // TestAbsences goes through them
			}
			if find[row[dwc+"eventID"]] != "" || !events[row[dwc+"eventID"]] {
				t.Errorf("the event of %v is unknown or has another find", row)
			}
			find[row[dwc+"eventID"]] = row[dwc+"occurrenceID"]
		}
		for _, joined := range []struct {
			table          *table
			id, occurrence string
		}{
			{&mediaTable, dcterms + "identifier", ac + "associatedObservationReference"},
			{&identificationTable, dwc + "identificationID", dwc + "occurrenceID"},
		} {
			for _, row := range rows(t, files, joined.table) {
				add(row[joined.id])
				if o := find[row[dwc+"eventID"]]; o == "" || o != row[joined.occurrence] {
					t.Errorf("%s: the row %v hangs on no find", joined.table.file, row)
				}
			}
		}
	}
}

// TestTellsNothingOfTime holds what the package comment promises: rows in the
// order of random identifiers, no field numbers, no internal identifiers, and
// one protocol for all.
func TestTellsNothingOfTime(t *testing.T) {
	internal := regexp.MustCompile(`[0-9a-f]{8}-[0-9a-f]{4}-7[0-9a-f]{3}-[89ab][0-9a-f]{3}-[0-9a-f]{12}`)
	for _, d := range several() {
		files := unzip(t, written(t, d))
		for name, s := range files {
			if internal.MatchString(s) {
				t.Errorf("%s holds an identifier that tells the time of its making", name)
			}
		}
		for _, tab := range tables {
			if slices.Contains(tab.terms, dwc+"recordNumber") {
				t.Errorf("%s has a column for field numbers", tab.file)
			}
		}
		for _, sortedBy := range []struct {
			table *table
			term  string
			from  int
		}{
			{&eventTable, dwc + "eventID", 1 + len(d.Forays)}, {&occurrenceTable, dwc + "occurrenceID", 0},
			{&mediaTable, dcterms + "identifier", 0}, {&identificationTable, dwc + "identificationID", 0},
		} {
			var ids []string
			for _, row := range rows(t, files, sortedBy.table)[sortedBy.from:] {
				if row[dwc+"occurrenceStatus"] != "absent" { // these follow, in an order of their own
					ids = append(ids, row[sortedBy.term])
				}
			}
			if !slices.IsSorted(ids) {
				t.Errorf("%s is not in the order of its identifiers", sortedBy.table.file)
			}
		}
		for _, row := range rows(t, files, &eventTable) {
			if row[dwc+"samplingProtocol"] != samplingProtocol {
				t.Error("events differ in their protocol")
			}
		}
	}
}

// TestWriteRefuses holds that what can't be published is refused with a
// sentence before anything is written.
func TestWriteRefuses(t *testing.T) {
	for want, change := range map[string]func(*Dataset){
		"is not a licence":          func(d *Dataset) { d.Licence = "" },
		"is not a licence for a ph": func(d *Dataset) { d.Finds[0].Views[0].Licence = "all rights" },
		"who holds the rights":      func(d *Dataset) { d.RightsHolder = " \n" },
		"used twice":                func(d *Dataset) { d.Finds[1].Public = d.Finds[0].Public },
		"not a public identifier":   func(d *Dataset) { d.Finds[0].Public = "0191f7c0-0001-7000-8000-000000000001" },
		"is not in the deposit":     func(d *Dataset) { d.Finds[0].Foray = d.Public },
		"neither a day nor a month": func(d *Dataset) { d.Finds[0].Found = trug.When{} },
		"both a day and a month":    func(d *Dataset) { d.Finds[0].Month = "2026-10" },
		"have latitude and longi":   func(d *Dataset) { d.Finds[0].Place.Position.Lat = 120 },
		"PreservedSpecimen":         func(d *Dataset) { d.BasisOfRecord = "PreservedSpecimen" },
		"is not a public address":   func(d *Dataset) { d.BaseURL = "ftp://x" },
		"draw its outline":          func(d *Dataset) { d.Box.North = d.Box.South },
		"before it starts":          func(d *Dataset) { d.Forays[0].End = "08:00" },
		"sp. stands behind a genus": func(d *Dataset) { d.Finds[0].Name.Qualifier = trug.Sp },
		"is not a time zone":        func(d *Dataset) { d.Zone = "Nowhere/Here" },
		"first is 1":                func(d *Dataset) { d.Number = 0 },
	} {
		d := sample()
		change(&d)
		var b bytes.Buffer
		err := Write(&b, d)
		if err == nil || !strings.Contains(err.Error(), want) || trug.KindOf(err) != trug.Invalid {
			t.Errorf("Write says %v, which does not hold %q", err, want)
		}
		if b.Len() > 0 {
			t.Errorf("%s: something was written all the same", want)
		}
	}
}
