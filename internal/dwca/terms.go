package dwca

import (
	"fmt"
	"strings"
)

// The namespaces of the terms used.
const (
	dwc     = "http://rs.tdwg.org/dwc/terms/"
	dcterms = "http://purl.org/dc/terms/"
	dc      = "http://purl.org/dc/elements/1.1/"
	ac      = "http://rs.tdwg.org/ac/terms/"
	xmp     = "http://ns.adobe.com/xap/1.0/"
	rights  = "http://ns.adobe.com/xap/1.0/rights/"
	exif    = "http://ns.adobe.com/exif/1.0/"
	eco     = "http://rs.tdwg.org/eco/terms/"
	obis    = "http://rs.iobis.org/obis/terms/"
)

// table is one table of the archive. Its first column joins it to the core.
type table struct {
	file, rowType string
	terms         []string
}

// The columns of event.txt.
const (
	evID = iota
	evParent
	evType
	evDate
	evProtocol
	evSampleValue
	evSampleUnit
	evEffort
	evCode
	evRemarks
	evDynamic
	evHabitat
	evCountry
	evLocality
	evLat
	evLon
	evDatum
	evUncertainty
	evPrecision
	evVerbatim
	evGeoProtocol
	evGeoSources
	evGeneralised
	evWithheld
	evLicence
	evHolder
	evFootprint // the columns of format 1 end before it
	evFootprintSRS
	evColumns
)

var eventTable = table{"event.txt", dwc + "Event", []string{
	evID: dwc + "eventID", evParent: dwc + "parentEventID", evType: dwc + "eventType",
	evDate: dwc + "eventDate", evProtocol: dwc + "samplingProtocol",
	evSampleValue: dwc + "sampleSizeValue", evSampleUnit: dwc + "sampleSizeUnit",
	evEffort: dwc + "samplingEffort", evCode: dwc + "fieldNumber", evRemarks: dwc + "eventRemarks",
	evDynamic: dwc + "dynamicProperties", evHabitat: dwc + "habitat", evCountry: dwc + "countryCode",
	evLocality: dwc + "locality", evLat: dwc + "decimalLatitude", evLon: dwc + "decimalLongitude",
	evDatum: dwc + "geodeticDatum", evUncertainty: dwc + "coordinateUncertaintyInMeters",
	evPrecision: dwc + "coordinatePrecision", evVerbatim: dwc + "verbatimCoordinates",
	evGeoProtocol: dwc + "georeferenceProtocol", evGeoSources: dwc + "georeferenceSources",
	evGeneralised: dwc + "dataGeneralizations", evWithheld: dwc + "informationWithheld",
	evLicence: dcterms + "license", evHolder: dcterms + "rightsHolder",
	evFootprint: dwc + "footprintWKT", evFootprintSRS: dwc + "footprintSRS",
}}

// The columns of occurrence.txt.
const (
	ocEvent = iota
	ocID
	ocBasis
	ocStatus
	ocRecordedBy
	ocQuantity
	ocQuantityType
	ocTaxa
	ocRemarks
	ocIdentifiedBy
	ocDateIdentified
	ocVerbatim
	ocQualifier
	ocVerification
	ocName
	ocAuthorship
	ocRank
	ocKingdom
	ocFamily
	ocCode
	ocDynamic
	ocWithheld
	ocOrganism // the columns of formats 1 and 2 end before it
	ocColumns
)

var occurrenceTable = table{"occurrence.txt", dwc + "Occurrence", []string{
	ocEvent: dwc + "eventID", ocID: dwc + "occurrenceID", ocBasis: dwc + "basisOfRecord",
	ocStatus: dwc + "occurrenceStatus", ocRecordedBy: dwc + "recordedBy",
	ocQuantity: dwc + "organismQuantity", ocQuantityType: dwc + "organismQuantityType",
	ocTaxa: dwc + "associatedTaxa", ocRemarks: dwc + "occurrenceRemarks",
	ocIdentifiedBy: dwc + "identifiedBy", ocDateIdentified: dwc + "dateIdentified",
	ocVerbatim: dwc + "verbatimIdentification", ocQualifier: dwc + "identificationQualifier",
	ocVerification: dwc + "identificationVerificationStatus", ocName: dwc + "scientificName",
	ocAuthorship: dwc + "scientificNameAuthorship", ocRank: dwc + "taxonRank",
	ocKingdom: dwc + "kingdom", ocFamily: dwc + "family", ocCode: dwc + "nomenclaturalCode",
	ocDynamic: dwc + "dynamicProperties", ocWithheld: dwc + "informationWithheld",
	ocOrganism: dwc + "organismRemarks",
}}

// The columns of media.txt.
const (
	meEvent = iota
	meID
	meType
	meSubtype
	meTitle
	meDescription
	meCreator
	meTaken
	meOwner
	meTerms
	mePage
	meRights
	meAccess
	meFormat
	meVariant
	meWidth
	meHeight
	meHashFunction
	meHash
	mePart
	meOrientation
	meOccurrence
	meLanguage
	meColumns
)

var mediaTable = table{"media.txt", ac + "Multimedia", []string{
	meEvent: dwc + "eventID", meID: dcterms + "identifier", meType: dc + "type",
	meSubtype: ac + "subtypeLiteral", meTitle: dcterms + "title", meDescription: dcterms + "description",
	meCreator: dc + "creator", meTaken: xmp + "CreateDate", meOwner: rights + "Owner",
	meTerms: rights + "UsageTerms", mePage: rights + "WebStatement", meRights: dcterms + "rights",
	meAccess: ac + "accessURI", meFormat: dc + "format", meVariant: ac + "variantLiteral",
	meWidth: exif + "PixelXDimension", meHeight: exif + "PixelYDimension",
	meHashFunction: ac + "hashFunction", meHash: ac + "hashValue", mePart: ac + "subjectPartLiteral",
	meOrientation: ac + "subjectOrientationLiteral", meOccurrence: ac + "associatedObservationReference",
	meLanguage: ac + "metadataLanguageLiteral",
}}

// The columns of identification.txt.
const (
	idEvent = iota
	idID
	idOccurrence
	idVerbatim
	idQualifier
	idBy
	idDate
	idRemarks
	idName
	idAuthorship
	idRank
	idKingdom
	idFamily
	idCode
	idColumns
)

var identificationTable = table{"identification.txt", dwc + "Identification", []string{
	idEvent: dwc + "eventID", idID: dwc + "identificationID", idOccurrence: dwc + "occurrenceID",
	idVerbatim: dwc + "verbatimIdentification", idQualifier: dwc + "identificationQualifier",
	idBy: dwc + "identifiedBy", idDate: dwc + "dateIdentified", idRemarks: dwc + "identificationRemarks",
	idName: dwc + "scientificName", idAuthorship: dwc + "scientificNameAuthorship",
	idRank: dwc + "taxonRank", idKingdom: dwc + "kingdom", idFamily: dwc + "family",
	idCode: dwc + "nomenclaturalCode",
}}

// The columns of survey.txt.
const (
	suEvent = iota
	suTargets
	suExcluded
	suFully
	suCompleteness
	suCompletenessProtocol
	suAbsence
	suAbsent
	suInventory
	suProtocols
	suDescriptions
	suDuration
	suDurationUnit
	suArea
	suAreaUnit
	suEffortReported
	suEffortProtocol
	suEffort
	suEffortUnit
	suAbundance
	suInclusive
	suVouchers
	suInstitutions
	suPerformedBy
	suColumns
)

var surveyTable = table{"survey.txt", eco + "Event", []string{
	suEvent: dwc + "eventID", suTargets: eco + "targetTaxonomicScope", suExcluded: eco + "excludedTaxonomicScope",
	suFully: eco + "isTaxonomicScopeFullyReported", suCompleteness: eco + "taxonCompletenessReported",
	suCompletenessProtocol: eco + "taxonCompletenessProtocols", suAbsence: eco + "isAbsenceReported",
	suAbsent: eco + "absentTaxa", suInventory: eco + "inventoryTypes", suProtocols: eco + "protocolNames",
	suDescriptions: eco + "protocolDescriptions", suDuration: eco + "eventDurationValue",
	suDurationUnit: eco + "eventDurationUnit", suArea: eco + "totalAreaSampledValue",
	suAreaUnit: eco + "totalAreaSampledUnit", suEffortReported: eco + "isSamplingEffortReported",
	suEffortProtocol: eco + "samplingEffortProtocol", suEffort: eco + "samplingEffortValue",
	suEffortUnit: eco + "samplingEffortUnit", suAbundance: eco + "isAbundanceReported",
	suInclusive: eco + "isLeastSpecificTargetCategoryQuantityInclusive", suVouchers: eco + "hasVouchers",
	suInstitutions: eco + "voucherInstitutions", suPerformedBy: eco + "samplingPerformedBy",
}}

// The columns of measurement.txt.
const (
	faEvent = iota
	faID
	faOccurrence
	faType
	faValue
	faAccuracy
	faUnit
	faMethod
	faRemarks
	faColumns
)

var measurementTable = table{"measurement.txt", obis + "ExtendedMeasurementOrFact", []string{
	faEvent: dwc + "eventID", faID: dwc + "measurementID", faOccurrence: dwc + "occurrenceID",
	faType: dwc + "measurementType", faValue: dwc + "measurementValue", faAccuracy: dwc + "measurementAccuracy",
	faUnit: dwc + "measurementUnit", faMethod: dwc + "measurementMethod", faRemarks: dwc + "measurementRemarks",
}}

// layout is the tables of a format, the core first, and its meta.xml.
type layout struct {
	tables []*table
	meta   string
}

func layoutOf(tables ...*table) layout { return layout{tables, metaOf(tables)} }

// layouts are those of the formats 1 to formatVersion. Format 1 had neither
// surveys nor routes; formats 1 and 2 had no descriptions; format 3 had no rows
// of colours in its table of measurements.
var layouts = [formatVersion]layout{
	layoutOf(&table{eventTable.file, eventTable.rowType, eventTable.terms[:evFootprint]}, oldOccurrences, &mediaTable, &identificationTable),
	layoutOf(&eventTable, oldOccurrences, &mediaTable, &identificationTable, &surveyTable),
	layoutOf(&eventTable, &occurrenceTable, &mediaTable, &identificationTable, &surveyTable, &measurementTable),
	layoutOf(&eventTable, &occurrenceTable, &mediaTable, &identificationTable, &surveyTable, &measurementTable),
}

var oldOccurrences = &table{occurrenceTable.file, occurrenceTable.rowType, occurrenceTable.terms[:ocOrganism]}

// tables and metaXML are those of the format that is written.
var (
	tables  = layouts[formatVersion-1].tables
	metaXML = layouts[formatVersion-1].meta
)

// table returns the layout's own table with the file name of t, nil where it
// has none.
func (l *layout) table(t *table) *table {
	for _, own := range l.tables {
		if own.file == t.file {
			return own
		}
	}
	return nil
}

// The names of the two files beside the tables.
const (
	metaFile = "meta.xml"
	emlFile  = "eml.xml"
)

// listSeparator stands between the values of a list.
const listSeparator = " | "

// lists are the terms whose cells hold several values.
var lists = map[string]bool{
	dwc + "recordedBy": true, dwc + "identifiedBy": true,
	eco + "targetTaxonomicScope": true, eco + "excludedTaxonomicScope": true, eco + "absentTaxa": true,
	eco + "protocolNames": true, eco + "protocolDescriptions": true,
	eco + "voucherInstitutions": true, eco + "samplingPerformedBy": true,
}

// header is the header line of the table.
func (t *table) header() string {
	names := make([]string, len(t.terms))
	for i, term := range t.terms {
		names[i] = term[strings.LastIndexByte(term, '/')+1:]
	}
	return strings.Join(names, "\t") + "\n"
}

// metaOf writes the meta.xml of deposits with these tables. All five
// attributes are stated: what they default to is seldom what a file has.
func metaOf(tables []*table) string {
	var b strings.Builder
	b.WriteString("<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n" +
		`<archive xmlns="http://rs.tdwg.org/dwc/text/" metadata="` + emlFile + "\">\n")
	for i, t := range tables {
		element, id, first := "extension", "coreid", 1
		if i == 0 {
			element, id, first = "core", "id", 0
		}
		fmt.Fprintf(&b, `  <%s encoding="UTF-8" fieldsTerminatedBy="\t" linesTerminatedBy="\n" fieldsEnclosedBy="" ignoreHeaderLines="1" rowType="%s">`+"\n", element, t.rowType)
		fmt.Fprintf(&b, "    <files><location>%s</location></files>\n    <%s index=\"0\"/>\n", t.file, id)
		for j := first; j < len(t.terms); j++ {
			delimited := ""
			if lists[t.terms[j]] {
				delimited = ` delimitedBy="` + listSeparator + `"`
			}
			fmt.Fprintf(&b, "    <field index=\"%d\" term=\"%s\"%s/>\n", j, t.terms[j], delimited)
		}
		fmt.Fprintf(&b, "  </%s>\n", element)
	}
	b.WriteString("</archive>\n")
	return b.String()
}
