package dwca

import (
	"archive/zip"
	"bufio"
	"fmt"
	"io"
	"math"
	"strings"
	"time"

	"trug"
	"trug/science/place"
)

// Write writes the dataset to w as a deposit. The same dataset always gives
// the same bytes. A dataset that can't be published, for want of a licence or
// with something impossible in it, is refused with trug.Invalid before
// anything is written.
func Write(w io.Writer, d Dataset) error {
	d = tidy(d)
	if err := validate(&d); err != nil {
		return err
	}
	zone, err := time.LoadLocation(d.Zone)
	if err != nil {
		return fmt.Errorf("load the time zone: %w", err)
	}
	a := archiveWriter{d: &d, ids: identifiers{d.BaseURL}, zone: zone}
	z := zip.NewWriter(w)
	for _, file := range []struct {
		name  string
		write func(*bufio.Writer) error
	}{
		{metaFile, func(b *bufio.Writer) error { _, err := b.WriteString(metaXML); return err }},
		{emlFile, func(b *bufio.Writer) error { return writeEML(b, &d) }},
		{eventTable.file, a.events},
		{occurrenceTable.file, a.occurrences},
		{mediaTable.file, a.media},
		{identificationTable.file, a.identifications},
		{surveyTable.file, a.surveys},
		{measurementTable.file, a.facts},
	} {
		to, err := z.CreateHeader(&zip.FileHeader{Name: file.name, Method: zip.Deflate, Modified: d.Stamp})
		if err != nil {
			return fmt.Errorf("write %s into the archive: %w", file.name, err)
		}
		b := bufio.NewWriterSize(to, 1<<16)
		if err := file.write(b); err != nil {
			return fmt.Errorf("write %s into the archive: %w", file.name, err)
		}
		if err := b.Flush(); err != nil {
			return fmt.Errorf("write %s into the archive: %w", file.name, err)
		}
	}
	if err := z.Close(); err != nil {
		return fmt.Errorf("close the archive: %w", err)
	}
	return nil
}

// archiveWriter turns a tidied dataset into rows.
type archiveWriter struct {
	d    *Dataset
	ids  identifiers
	zone *time.Location
}

// put writes a row and blanks its cells for the next.
func put(b *bufio.Writer, r []string) error {
	for i, cell := range r {
		if i > 0 {
			b.WriteByte('\t')
		}
		b.WriteString(cell)
		r[i] = ""
	}
	return b.WriteByte('\n')
}

func (a *archiveWriter) events(b *bufio.Writer) error {
	b.WriteString(eventTable.header())
	r := make([]string, evColumns)
	a.season(r)
	if err := put(b, r); err != nil {
		return err
	}
	for i := range a.d.Forays {
		a.foray(r, &a.d.Forays[i])
		if err := put(b, r); err != nil {
			return err
		}
	}
	for i := range a.d.Finds {
		a.findEvent(r, &a.d.Finds[i])
		if err := put(b, r); err != nil {
			return err
		}
	}
	return nil
}

// The values of eventType.
const (
	seasonType = "bioBlitz"
	forayType  = "siteVisit"
	findType   = "observation"
)

func (a *archiveWriter) common(r []string, kind string) {
	r[evType] = kind
	r[evProtocol] = samplingProtocol
	r[evCountry] = a.d.Country
	r[evLicence] = licenceWords[a.d.Licence].legal
	r[evHolder] = a.d.RightsHolder
}

func (a *archiveWriter) season(r []string) {
	a.common(r, seasonType)
	r[evID] = a.ids.of(eventPath, a.d.Public)
	r[evDate] = seasonDate(a.d.Starts, a.d.Ends, a.zone)
	r[evLocality] = a.d.Place
	centre, radius := circle(a.d.Box)
	putPlace(r, &trug.Place{Position: centre, Uncertainty: radius}, "bounds of the season's area")
}

// circle returns the middle of a box and a radius in whole metres that
// reaches its corners.
func circle(b place.Box) (place.Position, place.Metres) {
	width := b.East - b.West
	if width < 0 {
		width += 360
	}
	lon := b.West + width/2
	if lon > 180 {
		lon -= 360
	}
	centre := place.Position{Lat: (b.South + b.North) / 2, Lon: lon}
	radius := 0.0
	for _, corner := range []place.Position{{Lat: b.South, Lon: b.West}, {Lat: b.North, Lon: b.West}} {
		radius = math.Max(radius, float64(place.Distance(centre, corner)))
	}
	return centre, place.Metres(math.Ceil(radius))
}

func (a *archiveWriter) foray(r []string, f *Foray) {
	a.common(r, forayType)
	r[evID] = a.ids.of(eventPath, f.Public)
	r[evParent] = a.ids.of(eventPath, a.d.Public)
	r[evDate] = f.date()
	f.putEffort(r)
	r[evCode] = f.Code
	r[evRemarks] = f.Name
	r[evDynamic] = object(forayProperties{f.Leader, f.Visit})
	r[evHabitat] = f.Habitat
	r[evLocality] = f.SiteName
	putPlace(r, f.Place, siteSource)
	if f.Route != "" {
		r[evFootprint], r[evFootprintSRS] = f.Route, place.Datum
	}
}

func (a *archiveWriter) findEvent(r []string, f *Find) {
	a.common(r, findType)
	parent := a.d.Public
	if f.Foray != "" {
		parent = f.Foray
	}
	r[evID] = a.ids.findEvent(f.Public)
	r[evParent] = a.ids.of(eventPath, parent)
	r[evDate] = f.date()
	r[evHabitat] = f.Habitat
	r[evLocality] = f.Locality
	if f.Place != nil {
		putPlace(r, f.Place, sourceWords[f.Place.Source])
	}
	r[evGeneralised] = f.Generalisations
	r[evWithheld] = f.Withheld
}

func (a *archiveWriter) occurrences(b *bufio.Writer) error {
	b.WriteString(occurrenceTable.header())
	r := make([]string, ocColumns)
	for i := range a.d.Finds {
		a.occurrence(r, &a.d.Finds[i])
		if err := put(b, r); err != nil {
			return err
		}
	}
	return a.absences(b, r)
}

func (a *archiveWriter) occurrence(r []string, f *Find) {
	r[ocEvent] = a.ids.findEvent(f.Public)
	r[ocID] = a.ids.of(findPath, f.Public)
	r[ocBasis] = a.d.BasisOfRecord
	r[ocStatus] = statusPresent
	r[ocRecordedBy] = people(f.RecordedBy)
	if f.NumberSeen > 0 {
		r[ocQuantity], r[ocQuantityType] = whole(f.NumberSeen), "individuals"
	}
	if f.Host != "" {
		r[ocTaxa] = strings.Trim(object(host{f.Host}), "{}")
	}
	r[ocRemarks] = f.remarks()
	p := properties{
		FieldName: f.FieldName.Name, FieldNameBy: f.FieldName.By,
		Form: f.Form, Substrate: f.Substrate, Habit: f.Habit, Ripeness: f.Ripeness,
		Smell: f.Smell, SporePrint: f.SporePrint, Voucher: f.Voucher,
	}
	c := nameCells{scientific: f.Name.Kingdom, rank: string(trug.Kingdom), verbatim: f.FieldName.Name}
	if f.Name.Name != "" {
		c = f.Name.cells()
		r[ocIdentifiedBy] = people(f.IdentifiedBy)
		r[ocDateIdentified] = string(f.DateIdentified)
	} else {
		p.FieldName = ""
	}
	r[ocVerbatim], r[ocQualifier], r[ocName] = c.verbatim, c.qualifier, c.scientific
	r[ocAuthorship], r[ocRank] = c.authorship, c.rank
	r[ocVerification] = f.Status
	r[ocKingdom], r[ocFamily], r[ocCode] = f.Name.Kingdom, f.Name.Family, "ICN"
	r[ocDynamic] = object(p)
	r[ocWithheld] = f.withheld()
	r[ocOrganism] = f.Description
}
