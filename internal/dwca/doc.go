// Package dwca writes a season's deposit as a Darwin Core Archive and reads
// our own deposits back.
//
// A deposit is a zip of six files: meta.xml, eml.xml and four tables in UTF-8,
// cells parted by tabs and rows by line feeds, with one header line:
//
//	event.txt           core, dwc:Event: the season, its forays, one event a find
//	occurrence.txt      dwc:Occurrence: one row a find
//	media.txt           ac:Multimedia: one row a view
//	identification.txt  dwc:Identification: one row a determination
//
// The archive is a star, so views and determinations hang on events. Because
// each find has an event of its own those rows are unambiguous; they also
// repeat the occurrenceID (in a column added to the identification table, and
// in ac:associatedObservationReference). Season > foray > find are joined by
// dwc:parentEventID.
//
// What may be said of a find is decided elsewhere: a Dataset has had the
// locality rule applied, and the package writes exactly what it is given. Four
// things are its own care, so that an archive tells no more than its rows say:
//
//   - Identifiers come from the random public identifiers alone.
//   - Rows stand in the order of those identifiers, which tells nothing of time.
//   - Field numbers (dwc:recordNumber) are never written. They run on through
//     the season, so a gap would tell on which day a withheld find was made.
//     Whoever fills Find.Voucher must see that it holds none of them either.
//   - Every event has the same dwc:samplingProtocol, so that a withheld find
//     doesn't tell whether it was made on a foray.
//
// Write then Read gives the Dataset back as tidied: tabs and line breaks in
// values are blanks (the tables have no quoting), control characters are gone,
// lists are in a fixed order, and an "aff." name has lost its authorship since
// the name published is that of the taxon above.
//
// Sources: the Darwin Core text guide (http://rs.tdwg.org/dwc/terms/guides/text/),
// the Event and Occurrence cores and the identification extension of
// 2025-07-10, the Audiovisual Core extension of 2026-02-24, and the metadata
// profile 1.3 on EML 2.2.0.
package dwca
