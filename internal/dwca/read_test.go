package dwca

import (
	"archive/zip"
	"bytes"
	"fmt"
	"io/fs"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"trug"
)

// zipped makes an archive of files, in the order of the names.
func zipped(t testing.TB, files map[string]string, names ...string) []byte {
	t.Helper()
	var b bytes.Buffer
	z := zip.NewWriter(&b)
	for _, name := range names {
		w, err := z.Create(name)
		if err != nil {
			t.Fatal(err)
		}
		if _, err := w.Write([]byte(files[name])); err != nil {
			t.Fatal(err)
		}
	}
	if err := z.Close(); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

var eightFiles = []string{metaFile, emlFile, eventTable.file, occurrenceTable.file, mediaTable.file, identificationTable.file, surveyTable.file, measurementTable.file}

// refused checks that reading gives one sentence that holds want.
func refused(t *testing.T, name string, archive []byte, want string) {
	t.Helper()
	_, err := readBack(archive)
	if err == nil {
		t.Errorf("%s was read", name)
		return
	}
	if k := trug.KindOf(err); k != trug.Invalid && k != trug.TooLarge {
		t.Errorf("%s: the error is of kind %d: %v", name, k, err)
	}
	if s := err.Error(); !strings.Contains(s, want) || strings.Contains(s, "\n") || !strings.Contains(s, ": ") {
		t.Errorf("%s: %q is not the sentence that holds %q", name, s, want)
	}
}

// TestReadRefusesArchives goes through archives of other programs and hostile
// ones; where they come from stands in testdata/SOURCES.md.
func TestReadRefusesArchives(t *testing.T) {
	says := map[string]string{
		"hostile-paths.zip":      "points outside it",
		"inflates.zip":           "unpacks to over 400 times its size",
		"no-meta-simple-csv.zip": "no meta.xml",
	}
	for _, foreign := range []string{"hostile-xml", "dwca-nometadata", "dwca-invalid-lacks-metadata", "two-dialects",
		"utf16le", "ids-and-dates", "event-tree", "bom-utf8", "multifile-psv", "id-with-term"} {
		says[foreign+".zip"] = "not written by Trug"
	}
	paths, err := filepath.Glob(filepath.Join("testdata", "archives", "*.zip"))
	if err != nil || len(paths) != len(says) {
		t.Fatalf("%d archives for %d sentences: %v", len(paths), len(says), err)
	}
	for _, path := range paths {
		b, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		refused(t, filepath.Base(path), b, says[filepath.Base(path)])
	}
}

func TestReadRefusesOtherFiles(t *testing.T) {
	good := string(written(t, sample()))
	eml1252 := map[string]string{metaFile: metaXML, emlFile: `<?xml version="1.0" encoding="windows-1252"?><eml/>`}
	for _, c := range []struct{ name, content, want string }{
		{"nothing", "", "the file is empty"},
		{"a table", "name,place\nRussula,wood\n", "plain text such as CSV"},
		{"a page", "<html><body>Sign in</body></html>", "plain text such as CSV"},
		{"an old spreadsheet", "\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1", "office program"},
		{"gzip", "\x1f\x8b\x08\x00", "packed by gzip"},
		{"a photograph", "\xff\xd8\xff\xe1", "a photograph"},
		{"noise", "\x00\x01\x02\x03", "not a zip file"},
		{"a new spreadsheet", string(zipped(t, nil, "[Content_Types].xml", "xl/workbook.xml")), "a spreadsheet"},
		{"an open spreadsheet", string(zipped(t, nil, "mimetype", "content.xml")), "a spreadsheet"},
		{"an empty zip", string(zipped(t, nil)), "the zip is empty"},
		{"a zip of photographs", string(zipped(t, nil, "1.jpg", "2.jpg")), "no meta.xml"},
		{"a deposit in a folder", string(zipped(t, nil, "deposit/meta.xml")), "in a folder of the zip"},
		{"metadata in windows-1252", string(zipped(t, eml1252, metaFile, emlFile)), "not written by Trug"},
		{"a zip less its end", good[:len(good)-30], "damaged or cut short"},
		{"half a zip", good[:len(good)/2], "damaged or cut short"},
		{"an absolute name", string(zipped(t, nil, "/etc/x")), "points outside it"},
		{"a name with a drive", string(zipped(t, nil, `C:\x`)), "points outside it"},
		{"twice the same", string(zipped(t, nil, metaFile, metaFile)), "twice"},
	} {
		refused(t, c.name, []byte(c.content), c.want)
	}
	damaged := []byte(good)
	damaged[300] ^= 0xff // inside the packed meta.xml
	refused(t, "a byte changed", damaged, "damaged")
}

func TestReadLimits(t *testing.T) {
	good := written(t, sample())
	for want, l := range map[string]Limits{
		"are the most that is read": {Bytes: int64(len(good)) - 1, Unpacked: 1 << 20, Entries: 8, Ratio: 100},
		"unpacks to over":           {Bytes: 1 << 20, Unpacked: 5000, Entries: 8, Ratio: 100},
		"a deposit has eight":       {Bytes: 1 << 20, Unpacked: 1 << 20, Entries: 7, Ratio: 100},
	} {
		_, err := Read(bytes.NewReader(good), int64(len(good)), l)
		if err == nil || trug.KindOf(err) != trug.TooLarge || !strings.Contains(err.Error(), want) {
			t.Errorf("with %+v Read says %v, not %q", l, err, want)
		}
	}
}

func TestReadRefusesLinks(t *testing.T) {
	var b bytes.Buffer
	z := zip.NewWriter(&b)
	h := &zip.FileHeader{Name: metaFile}
	h.SetMode(fs.ModeSymlink | 0o777)
	w, err := z.CreateHeader(h)
	if err != nil {
		t.Fatal(err)
	}
	fmt.Fprint(w, "/etc/passwd")
	if err := z.Close(); err != nil {
		t.Fatal(err)
	}
	refused(t, "a link", b.Bytes(), "a link in place of a file")
}

// changes alter a good deposit in one place each.
var changes = []struct{ file, old, new, want string }{
	{emlFile, "deposit format 4", "deposit format 5", "use a newer Trug"},
	{emlFile, "deposit format 4", "deposit format x", "not written by Trug"},
	{emlFile, "<dataset>", "<dataset", "not written by Trug"},
	{emlFile, "/v2\"", "\"", "packageId"},
	{emlFile, "<westBoundingCoordinate>", "<westBoundingCoordinate>x", "boundingCoordinates"},
	{emlFile, "2026-11-01T18:30:00Z", "yesterday", "dateStamp"},
	{emlFile, "Names follow this list: ", "Names: ", "methods"},
	{emlFile, "<identifier>CC-BY-4.0", "<identifier>MIT", "is not a licence"},
	{emlFile, "deposit format 4", "deposit format 1", "meta.xml: the file has been changed"},
	{metaFile, "ignoreHeaderLines=\"1\"", "ignoreHeaderLines=\"0\"", "has been changed"},
	{"event.txt", "eventID\tparent", "eventId\tparent", "the columns are not"},
	{"event.txt", "50.012345", "fifty", "line 6: \"fifty\" can't stand in decimalLatitude"},
	{"event.txt", "50.012345", "95", "line 6: latitude 95"},
	{"event.txt", "50.012345", "NaN", "latitude is not a number"},
	{"event.txt", "\t9\t0.000001", "\t0\t0.000001", "coordinateUncertaintyInMeters"},
	{"event.txt", "\t9\t0.000001", "\t-9\t0.000001", "coordinateUncertaintyInMeters"},
	{"event.txt", "2026-10-10T10:02:11-01:00", "10/10/2026", "eventDate"},
	{"event.txt", "2026-10-10T12:30-01:00", "2026-10-09T12:30-01:00", "before it starts on"},
	{"event.txt", "2026-10-10T12:30-01:00", "2026-10-10T12:30Z", "eventDate"},
	{"event.txt", "8 people x 150 minutes", "a lot", "samplingEffort"},
	{"event.txt", "camera", "drone", "georeferenceSources"},
	{"event.txt", "observation", "siteVisit", "can't stand in"},
	{"event.txt", "\tWimbrel Fungus Group\t\t\n", "\t\t\n", "cells in place of"},
	{"event.txt", "\tWimbrel Fungus Group\t\t\n", "\tWimbrel Fungus Group\t\t\t\n", "more than 28 cells"},
	{"event.txt", "\n", "\r\n", "line ends have been changed"},
	{"event.txt", "litter", "lit\xffer", "not in UTF-8"},
	{"event.txt", "event/33333333-3333-4333-8333-333333333333\thttps", "event/33333333-3333-4333-8333-333333333334\thttps", "is not in the table"},
	{"occurrence.txt", "event/44444444", "event/54444444", "is not in event.txt"},
	{"occurrence.txt", "find/44444444", "find/94444444", "is not that of the event"},
	{"occurrence.txt", "\t3\tindividuals", "\tthree\tindividuals", "organismQuantity"},
	{"occurrence.txt", "HumanObservation", "FossilSpecimen", "basisOfRecord"},
	{"occurrence.txt", `{"fieldName"`, `{"fieldname2"`, "dynamicProperties"},
	{"occurrence.txt", `"host":"Quercus"`, `"host":`, "associatedTaxa"},
	{"occurrence.txt", "\tspecies\t", "\tvariety\t", "is not the rank of a name"},
	{"event.txt", "EPSG:4326\n", "EPSG:27700\n", "footprintSRS"},
	{"event.txt", "LINESTRING", "CIRCLE", "a route can't be"},
	{"event.txt", `{"visit":true}`, `{"visit":"true"}`, "dynamicProperties"},
	{"occurrence.txt", "\tpresent\t", "\tdetected\t", "occurrenceStatus"},
	{"occurrence.txt", "\tpresent\t", "\tabsent\t", "hangs on no foray"},
	{"occurrence.txt", "HumanObservation\tabsent", "MachineObservation\tabsent", "basisOfRecord"},
	{"occurrence.txt", "absence/6", "absence/z", "occurrenceID"},
	{"occurrence.txt", "event/33333333-3333-4333-8333-333333333333", "event/37333333-3333-4333-8333-333333333333", "absent taxa"},
	{"occurrence.txt", "event/33333333-3333-4333-8333-333333333333", "event/11111111-1111-4111-8111-111111111111", "hangs on no foray"},
	{"survey.txt", "event/33333333", "event/43333333", "neither the season nor a foray"},
	{"survey.txt", "event/37333333", "event/33333333", "a second row"},
	{"survey.txt", "\ttrue\t", "\tyes\t", "can't stand in"},
	{"survey.txt", "Hygrocybe coccinea", "Hygrocybe conica", "absent taxa"},
	{"survey.txt", "Armillaria mellea agg. | Hygrocybe coccinea", "", "isAbsenceReported"},
	{"survey.txt", "\t180\t", "\tlong\t", "eventDurationValue"},
	{"survey.txt", "minutes", "hours", "eventDurationUnit"},
	{"survey.txt", "\t0.03\t", "\t-3\t", "totalAreaSampledValue"},
	{"survey.txt", "km²", "acres", "is not a unit"},
	{"survey.txt", "\t20\tpersonHours", "\tNaN\tpersonHours", "samplingEffortValue"},
	{"survey.txt", "\t20\tpersonHours", "\t21\tpersonHours", "is not that of 8 people"},
	{"survey.txt", "\t20\tpersonHours", "\t\tpersonHours", "isSamplingEffortReported"},
	{"survey.txt", "personHours", "trapHours", "samplingEffortUnit"},
	{"survey.txt", "personHours\ttrue\tfalse", "personHours\ttrue\ttrue", "isLeastSpecificTargetCategoryQuantityInclusive"},
	{"survey.txt", "timedSearch | ", "", "protocolDescriptions"},
	{"survey.txt", "openSearch", "compilation", "kind of search"},
	{"survey.txt", "notReported", "complete", "completeness"},
	{"media.txt", "event/94444444", "event/84444444", "line 4: the event"},
	{"media.txt", "legalcode", "illegalcode", "rights"},
	{"media.txt", "\ttop\t", "\tleft\t", "title"},
	{"media.txt", "view/55555555", "view/Z5555555", "identifier"},
	{"media.txt", "view/55555555", "view/45555555", "used twice"},
	{"media.txt", "\t1600\t", "\t16e9\t", "PixelXDimension"},
	{"identification.txt", "event/14444444", "event/84444444", "line 4: the event"},
	{"identification.txt", "Current determination", "My determination", "identificationRemarks"},
	{"identification.txt", "2026-10-14", "2026-10-34", "is not a day"},
	{"measurement.txt", "#ring=", "#stem_width=", "described twice"},
	{"measurement.txt", "#stem_width", "stem_width", "measurementID"},
	{"measurement.txt", "Not looked for: no evidence.", "Nobody looked.", "measurementRemarks"},
	{"measurement.txt", "not visible\t", "absent\t", "measurementValue"},
	{"measurement.txt", "\tabsent\t\t\t" + factMethod + "\tLooked for and absent.", "\tabsent\t\t\t" + factMethod + "\t", "is no number"},
	{"measurement.txt", "0.4 (standard", "wide (standard", "measurementAccuracy"},
	{"measurement.txt", "(38-)42-51", "51-42", "is no number"},
	{"measurement.txt", "described by the recorder", "guessed by the recorder", "measurementMethod"},
}

func TestReadRefusesChanges(t *testing.T) {
	good := unzip(t, written(t, sample()))
	if got, err := readBack(zipped(t, good, eightFiles...)); err != nil || len(got.Finds) != 3 {
		t.Fatalf("the deposit packed again is not read: %v", err)
	}
	for _, c := range changes {
		changed := maps.Clone(good)
		if changed[c.file] = strings.Replace(good[c.file], c.old, c.new, 1); changed[c.file] == good[c.file] {
			t.Errorf("%s does not hold %q", c.file, c.old)
			continue
		}
		refused(t, fmt.Sprintf("%s with %q", c.file, c.new), zipped(t, changed, eightFiles...), c.want)
	}
}

func TestReadRefusesMissing(t *testing.T) {
	good := unzip(t, written(t, sample()))
	for i, name := range eightFiles[2:] {
		refused(t, "without "+name, zipped(t, good, slices.Delete(slices.Clone(eightFiles), 2+i, 3+i)...), "lacks this file")
		cut := maps.Clone(good)
		cut[name] = strings.TrimSuffix(good[name], "\n")
		refused(t, name+" cut short", zipped(t, cut, eightFiles...), "cut short")
	}
	refused(t, "with a picture", zipped(t, good, append(slices.Clone(eightFiles), "1.jpg")...), "no part of a deposit")
	lines := strings.SplitAfter(good["occurrence.txt"], "\n")
	good["occurrence.txt"] = strings.Join(lines[:3], "")
	refused(t, "a find less", zipped(t, good, eightFiles...), "rows are missing")
	good["occurrence.txt"] = strings.Join(lines[:3], "") + lines[2]
	refused(t, "a find twice", zipped(t, good, eightFiles...), "a second row")
}

func FuzzRead(f *testing.F) {
	f.Add(written(f, sample()))
	for _, folder := range []string{"archives", "deposits"} {
		paths, err := filepath.Glob(filepath.Join("testdata", folder, "*.zip"))
		if err != nil || len(paths) == 0 {
			f.Fatal(folder, err)
		}
		for _, p := range paths {
			b, err := os.ReadFile(p)
			if err != nil {
				f.Fatal(err)
			}
			f.Add(b)
		}
	}
	f.Fuzz(func(t *testing.T, b []byte) {
		small := Limits{Bytes: 1 << 20, Unpacked: 1 << 22, Entries: 16, Ratio: 200}
		d, err := Read(bytes.NewReader(b), int64(len(b)), small)
		checkRead(t, d, err)
	})
}

// FuzzReadTables changes the files inside the zip, where FuzzRead seldom comes.
func FuzzReadTables(f *testing.F) {
	for _, d := range several() {
		s := unzip(f, written(f, d))
		f.Add(s[emlFile], s[eventTable.file], s[occurrenceTable.file], s[mediaTable.file], s[identificationTable.file], s[surveyTable.file])
	}
	old := unzip(f, formatOne(f))
	f.Add(old[emlFile], old[eventTable.file], old[occurrenceTable.file], old[mediaTable.file], old[identificationTable.file], "")
	f.Fuzz(func(t *testing.T, eml, event, occurrence, media, identification, survey string) {
		meta, names := metaXML, eightFiles
		if survey == "" {
			meta, names = layouts[0].meta, eightFiles[:6]
		}
		d, err := readBack(zipped(t, map[string]string{
			metaFile: meta, emlFile: eml, eventTable.file: event, occurrenceTable.file: occurrence,
			mediaTable.file: media, identificationTable.file: identification, surveyTable.file: survey,
		}, names...))
		checkRead(t, d, err)
	})
}

// checkRead holds that whatever is read can be written and read again, and
// that whatever isn't is refused with a sentence.
func checkRead(t *testing.T, d Dataset, err error) {
	if err == nil {
		checkRound(t, d)
		return
	}
	if k := trug.KindOf(err); k != trug.Invalid && k != trug.TooLarge {
		t.Fatalf("the error is of kind %d: %v", k, err)
	}
}
