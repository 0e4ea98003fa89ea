package dwca

import (
	"encoding/xml"
	"fmt"
	"io"
	"slices"
	"strconv"
	"strings"
	"time"

	"trug"
	"trug/science/place"
)

// formatVersion numbers the form of our deposits: their tables, their
// columns, and the places in the metadata from which they are read back. Its
// layouts are those of all formats that are read.
const formatVersion = 4

// The keywords of the set that marks our deposits.
const (
	markThesaurus   = "Trug deposits"
	markFormat      = "deposit format "
	markZone        = "time zone "
	markInvented    = "invented data"
	datasetTypes    = "GBIF Dataset Type Vocabulary: http://rs.gbif.org/vocabulary/gbif/dataset_type_2015-07-10.xml"
	profileLocation = "https://eml.ecoinformatics.org/eml-2.2.0 https://rs.gbif.org/schema/eml-gbif-profile/1.3/eml.xsd"
)

// emlDataset is the dataset element of the metadata profile, as far as we
// write it, in the order that its schema asks for.
type emlDataset struct {
	XMLName     xml.Name     `xml:"dataset"`
	Alternate   string       `xml:"alternateIdentifier"`
	Title       string       `xml:"title"`
	Creator     emlParty     `xml:"creator"`
	PubDate     string       `xml:"pubDate"`
	Language    string       `xml:"language"`
	Abstract    []string     `xml:"abstract>para"`
	KeywordSets []emlKeys    `xml:"keywordSet"`
	Info        string       `xml:"additionalInfo>para"`
	Rights      emlRaw       `xml:"intellectualRights"`
	Licensed    emlLicence   `xml:"licensed"`
	Coverage    emlCoverage  `xml:"coverage"`
	Maintenance emlUpkeep    `xml:"maintenance"`
	Contact     emlParty     `xml:"contact"`
	Steps       []emlStep    `xml:"methods>methodStep"`
	Sampling    *emlSampling `xml:"methods>sampling"`
	Quality     []emlStep    `xml:"methods>qualityControl"`
}

type emlParty struct {
	Organisation string `xml:"organizationName"`
	Address      string `xml:"electronicMailAddress,omitempty"`
}

type emlKeys struct {
	Keywords  []string `xml:"keyword"`
	Thesaurus string   `xml:"keywordThesaurus"`
}

// emlRaw is XML that is written as it stands.
type emlRaw struct {
	Inner string `xml:",innerxml"`
}

type emlLicence struct {
	Name       string `xml:"licenseName"`
	URL        string `xml:"url"`
	Identifier string `xml:"identifier"`
}

type emlCoverage struct {
	Area     string      `xml:"geographicCoverage>geographicDescription"`
	West     string      `xml:"geographicCoverage>boundingCoordinates>westBoundingCoordinate"`
	East     string      `xml:"geographicCoverage>boundingCoordinates>eastBoundingCoordinate"`
	North    string      `xml:"geographicCoverage>boundingCoordinates>northBoundingCoordinate"`
	South    string      `xml:"geographicCoverage>boundingCoordinates>southBoundingCoordinate"`
	Begins   string      `xml:"temporalCoverage>rangeOfDates>beginDate>calendarDate"`
	Ends     string      `xml:"temporalCoverage>rangeOfDates>endDate>calendarDate"`
	Taxonomy emlTaxonomy `xml:"taxonomicCoverage"`
}

type emlTaxonomy struct {
	General  string     `xml:"generalTaxonomicCoverage"`
	Kingdoms []emlTaxon `xml:"taxonomicClassification"`
}

type emlTaxon struct {
	Rank  string `xml:"taxonRankName"`
	Value string `xml:"taxonRankValue"`
}

type emlUpkeep struct {
	Text      string `xml:"description>para"`
	Frequency string `xml:"maintenanceUpdateFrequency"`
}

type emlStep struct {
	Paras []string `xml:"description>para"`
}

type emlSampling struct {
	Extent      string `xml:"studyExtent>description>para"`
	Description string `xml:"samplingDescription>para"`
}

type emlExtra struct {
	XMLName   xml.Name `xml:"additionalMetadata"`
	Stamp     string   `xml:"metadata>gbif>dateStamp"`
	Hierarchy string   `xml:"metadata>gbif>hierarchyLevel"`
	Citation  string   `xml:"metadata>gbif>citation"`
}

// packageID is the identifier of this version of the metadata.
func (d *Dataset) packageID() string {
	return string(d.PackageID) + "/v" + strconv.Itoa(d.Number)
}

// title is the title as published.
func (d *Dataset) title() string {
	if d.Invented {
		return d.Title + inventedMark
	}
	return d.Title
}

// writeEML writes the metadata of a tidied, valid dataset.
func writeEML(w io.Writer, d *Dataset) error {
	_, err := fmt.Fprintf(w, `<?xml version="1.0" encoding="UTF-8"?>
<eml:eml xmlns:eml="https://eml.ecoinformatics.org/eml-2.2.0"
         xmlns:xsi="http://www.w3.org/2001/XMLSchema-instance"
         xsi:schemaLocation="%s"
         packageId="%s" system="urn:uuid" scope="system" xml:lang="en">
`, profileLocation, d.packageID())
	if err != nil {
		return err
	}
	enc := xml.NewEncoder(w)
	enc.Indent("  ", "  ")
	if err := enc.Encode(emlOf(d)); err != nil {
		return err
	}
	extra := emlExtra{
		Stamp: d.Stamp.Format(time.RFC3339), Hierarchy: "dataset",
		Citation: fmt.Sprintf("%s (%s). %s. Version %d.", d.RightsHolder, d.Date[:4], strings.TrimSuffix(d.title(), "."), d.Number),
	}
	if err := enc.Encode(extra); err != nil {
		return err
	}
	_, err = io.WriteString(w, "\n</eml:eml>\n")
	return err
}

func emlOf(d *Dataset) emlDataset {
	words := licenceWords[d.Licence]
	marks := emlKeys{Thesaurus: markThesaurus, Keywords: []string{
		markFormat + strconv.Itoa(formatVersion), markZone + d.Zone,
	}}
	if d.Invented {
		marks.Keywords = append(marks.Keywords, markInvented)
	}
	return emlDataset{
		Alternate: string(d.Public),
		Title:     d.title(),
		Creator:   emlParty{Organisation: d.RightsHolder},
		PubDate:   string(d.Date),
		Language:  "en",
		Abstract:  abstractOf(d),
		KeywordSets: []emlKeys{
			{Keywords: []string{"Samplingevent"}, Thesaurus: datasetTypes},
			{Keywords: []string{"Fungi", "fruitbodies", "bioblitz"}, Thesaurus: "n/a"},
			marks,
		},
		Info: infoText,
		Rights: emlRaw{fmt.Sprintf(`<para>This work is licensed under a <ulink url="%s"><citetitle>%s</citetitle></ulink>.</para>`,
			words.legal, words.title)},
		Licensed:    emlLicence{words.title, words.legal, string(d.Licence)},
		Coverage:    coverageOf(d),
		Maintenance: emlUpkeep{upkeepText, "asNeeded"},
		Contact:     emlParty{d.Contact, d.ContactAddress},
		Steps:       stepsOf(d),
		Sampling:    &emlSampling{extentOf(d), samplingOf(d)},
		Quality:     qualityOf(d),
	}
}

func coverageOf(d *Dataset) emlCoverage {
	kingdoms := []string{fungi}
	for i := range d.Finds {
		if k := d.Finds[i].Name.Kingdom; k != "" && !slices.Contains(kingdoms, k) {
			kingdoms = append(kingdoms, k)
		}
	}
	slices.Sort(kingdoms[1:])
	c := emlCoverage{
		Area: d.Place, West: decimal(d.Box.West), East: decimal(d.Box.East),
		North: decimal(d.Box.North), South: decimal(d.Box.South),
		Begins: string(d.Starts), Ends: string(d.Ends),
		Taxonomy: emlTaxonomy{General: "Fungi that form fruitbodies visible to the naked eye, and what is recorded with them"},
	}
	for _, k := range kingdoms {
		c.Taxonomy.Kingdoms = append(c.Taxonomy.Kingdoms, emlTaxon{string(trug.Kingdom), k})
	}
	return c
}

func decimal(x place.Degrees) string { return strconv.FormatFloat(float64(x), 'f', -1, 64) }
