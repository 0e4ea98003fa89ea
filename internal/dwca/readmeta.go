package dwca

import (
	"bytes"
	"encoding/xml"
	"slices"
	"strconv"
	"strings"
	"time"

	"trug"
	"trug/science/place"
)

// emlFile's whole document, for reading.
type emlDocument struct {
	XMLName   xml.Name   `xml:"eml"`
	PackageID string     `xml:"packageId,attr"`
	Dataset   emlDataset `xml:"dataset"`
	Extra     emlExtra   `xml:"additionalMetadata"`
}

// mostMetadata bounds the two XML files.
const mostMetadata = 4 << 20

// metadata tells our deposits from all else and reads the season's own facts
// and the layout of the tables.
func metadata(files archive) (Dataset, *layout, error) {
	if err := kindOf(files); err != nil {
		return Dataset{}, nil, err
	}
	doc, marks, form, err := ours(files)
	if err != nil {
		return Dataset{}, nil, err
	}
	meta, err := files.unpack(metaFile)
	if err != nil {
		return Dataset{}, nil, err
	}
	if !bytes.Equal(meta, []byte(form.meta)) {
		return Dataset{}, nil, invalid(metaFile, "the file has been changed since Trug wrote it: fetch the deposit again")
	}
	for name := range files {
		if name != metaFile && name != emlFile && !slices.ContainsFunc(form.tables, func(t *table) bool { return t.file == name }) {
			return Dataset{}, nil, invalid("", "the zip holds files that are no part of a deposit: fetch it again")
		}
	}
	d, err := doc.dataset(marks)
	return d, form, err
}

// ours reads the metadata of a deposit that Trug wrote: the document, its
// marks, and the layout of its format.
func ours(files archive) (*emlDocument, []string, *layout, error) {
	doc := &emlDocument{}
	foreign := invalid("", "this archive was not written by Trug, and reading other programs' data is not built yet: %s", giveDeposit)
	raw, err := files.unpack(emlFile)
	if err != nil || xml.Unmarshal(raw, doc) != nil {
		return nil, nil, nil, foreign
	}
	marks := doc.marks()
	version, ok := marked(marks, markFormat)
	if !ok {
		return nil, nil, nil, foreign
	}
	n, err := strconv.Atoi(version)
	if err != nil || n < 1 {
		return nil, nil, nil, foreign
	}
	if n > formatVersion {
		return nil, nil, nil, invalid("", "this deposit has format %d, and this program reads up to %d: use a newer Trug", n, formatVersion)
	}
	return doc, marks, &layouts[n-1], nil
}

// kindOf refuses zips that are no Darwin Core Archives, and metadata too
// large to be any.
func kindOf(files archive) error {
	_, office := files["[Content_Types].xml"]
	_, open := files["mimetype"]
	if office || open {
		return invalid("", "this is a spreadsheet or another office file, not a deposit: %s", giveDeposit)
	}
	if len(files) == 0 {
		return invalid("", "the zip is empty: %s", giveDeposit)
	}
	if _, ok := files[metaFile]; !ok {
		for name := range files {
			if strings.HasSuffix(strings.ToLower(name), "/"+metaFile) {
				return invalid("", "the files lie in a folder of the zip, so it has been packed again: give the zip file as Trug wrote it")
			}
		}
		return invalid("", "the zip has no meta.xml, so it is not a Darwin Core Archive: %s", giveDeposit)
	}
	for _, name := range []string{metaFile, emlFile} {
		if f, ok := files[name]; ok && f.UncompressedSize64 > mostMetadata {
			return trug.Errorf(trug.TooLarge, name, "the file is over %d bytes, which none of ours is: %s", mostMetadata, giveDeposit)
		}
	}
	return nil
}

// marks returns the keywords of our own set.
func (doc *emlDocument) marks() []string {
	for _, set := range doc.Dataset.KeywordSets {
		if set.Thesaurus == markThesaurus {
			return set.Keywords
		}
	}
	return nil
}

// marked returns what stands behind the opening in the first mark that has it.
func marked(marks []string, opening string) (string, bool) {
	for _, m := range marks {
		if rest, ok := strings.CutPrefix(m, opening); ok {
			return rest, true
		}
	}
	return "", false
}

// dataset takes the season's facts out of the metadata.
func (doc *emlDocument) dataset(marks []string) (Dataset, error) {
	e := &doc.Dataset
	d := Dataset{
		Public: trug.PublicID(e.Alternate), Date: trug.Date(e.PubDate), Title: e.Title,
		Place: e.Coverage.Area, Starts: trug.Date(e.Coverage.Begins), Ends: trug.Date(e.Coverage.Ends),
		Licence: trug.Licence(e.Licensed.Identifier), RightsHolder: e.Creator.Organisation,
		Contact: e.Contact.Organisation, ContactAddress: e.Contact.Address,
		Invented: slices.Contains(marks, markInvented),
	}
	d.Zone, _ = marked(marks, markZone)
	changed := func(what string) (Dataset, error) {
		return Dataset{}, invalid(emlFile, "%s is not as Trug writes it: fetch the deposit again", what)
	}
	id, number, ok := strings.Cut(doc.PackageID, "/v")
	n, err := strconv.Atoi(number)
	if !ok || err != nil {
		return changed("packageId")
	}
	d.PackageID, d.Number = trug.PublicID(id), n
	if d.Stamp, err = time.Parse(time.RFC3339, doc.Extra.Stamp); err != nil {
		return changed("dateStamp")
	}
	if d.Box, ok = e.Coverage.box(); !ok {
		return changed("boundingCoordinates")
	}
	if !e.prose(&d) {
		return changed("the abstract or the methods")
	}
	return tidy(d), nil
}

func (c *emlCoverage) box() (place.Box, bool) {
	var b place.Box
	for _, side := range []struct {
		text string
		to   *place.Degrees
	}{{c.West, &b.West}, {c.East, &b.East}, {c.North, &b.North}, {c.South, &b.South}} {
		x, err := strconv.ParseFloat(side.text, 64)
		if err != nil {
			return b, false
		}
		*side.to = place.Degrees(x)
	}
	return b, true
}

// prose takes what stands in paragraphs.
func (e *emlDataset) prose(d *Dataset) bool {
	fixed := 1
	if d.Invented {
		fixed = 2
	}
	if len(e.Abstract) < fixed || len(e.Steps) <= stepBasis ||
		len(e.Steps[stepChecklist].Paras) == 0 || len(e.Steps[stepBasis].Paras) == 0 {
		return false
	}
	d.Abstract = strings.Join(e.Abstract[:len(e.Abstract)-fixed], "\n")
	checklist := e.Steps[stepChecklist].Paras[0]
	var ok bool
	if checklist != checklistNone {
		if d.Checklist, ok = strings.CutPrefix(checklist, checklistOpening); !ok {
			return false
		}
	}
	d.BasisOfRecord, ok = strings.CutPrefix(e.Steps[stepBasis].Paras[0], basisOpening)
	return ok
}
