// Package dwca writes a season's deposit as a Darwin Core Archive and reads
// our own deposits back.
//
// A deposit is a zip of eight files: meta.xml, eml.xml and six tables in UTF-8,
// cells parted by tabs and rows by line feeds, with one header line:
//
//	event.txt           core, dwc:Event: the season, its forays, one event a find
//	occurrence.txt      dwc:Occurrence: one row a find, then one for each taxon
//	                    that was looked for on a foray and not found
//	media.txt           ac:Multimedia: one row a view
//	identification.txt  dwc:Identification: one row a determination
//	survey.txt          eco:Event: what a foray, a visit or the season itself
//	                    states of scope and effort
//	measurement.txt     obis:ExtendedMeasurementOrFact: one row for each state,
//	                    number or blank of a find's description
//
// The archive is a star, so views and determinations hang on events. Because
// each find has an event of its own those rows are unambiguous; they also
// repeat the occurrenceID (in a column added to the identification table, and
// in ac:associatedObservationReference). Season > foray > find are joined by
// dwc:parentEventID. An absent occurrence hangs on the event of its foray,
// since it is a statement about the whole search, and has no event of its own.
//
// What may be said of a find is decided elsewhere: a Dataset has had the
// locality rule applied, and the package writes exactly what it is given; what
// that asks of whoever fills a Survey stands there. Four things are its own
// care, so that an archive tells no more than its rows say:
//
//   - Identifiers come from the random public identifiers alone.
//   - Rows stand in the order of those identifiers, which tells nothing of time.
//   - Field numbers (dwc:recordNumber) are never written. They run on through
//     the season, so a gap would tell on which day a withheld find was made.
//     Whoever fills Find.Voucher must see that it holds none of them either.
//   - Every event has the same dwc:samplingProtocol, so that a withheld find
//     doesn't tell whether it was made on a foray. The methods of a foray stand
//     in survey.txt.
//
// Format 2 brought surveys, absences, visits and routes. Deposits of format 1,
// which had no survey.txt, are read as ever. Format 3 brought descriptions
// (measurement.txt and dwc:organismRemarks); format 2 is read as ever.
// Format 4 brought measured colours; format 3 is read as ever.
//
// Write then Read gives the Dataset back as tidied: tabs and line breaks in
// values are blanks (the tables have no quoting), control characters are gone,
// lists are in a fixed order, and an "aff." name has lost its authorship since
// the name published is that of the taxon above.
//
// Sources: the Darwin Core text guide (http://rs.tdwg.org/dwc/terms/guides/text/),
// the Event and Occurrence cores and the identification extension of
// 2025-07-10, the Humboldt extension of that day, the Audiovisual Core
// extension of 2026-02-24, the extended measurement or fact extension of 2023-08-28, and the metadata profile 1.3 on EML 2.2.0.
package dwca
