package dwca

import (
	"fmt"
	"slices"
	"strings"
)

// The texts of the metadata. Where something is read back from a paragraph,
// the constant is its fixed opening; changing one is a new formatVersion.
const (
	abstractText = "Finds of fungi made during a bioblitz: each is one kind of fungus at one spot at one time, photographed in set views and named by determiners. Finds are grouped by foray; every determination is given, not only the current one."
	inventedText = "These data are invented: no such place, person, find or determination exists. They show what a deposit looks like and must not be used as records of fungi."

	infoText = "Places that outsiders must not learn are withheld or made coarser; dataGeneralizations and informationWithheld of each event say what was done. Such a find hangs on the season's event, not on that of its foray. Identifiers are random and rows stand in their order, so neither tells when anything was made; running numbers of the field are not published. A person is named only where that was agreed to."

	upkeepText = "A new version, with its own packageId, is published when finds or determinations have been added or changed. Identifiers of finds, views and determinations stay the same from version to version."

	samplingText = "Open search: all substrates within reach are looked over for fruitbodies. On a foray people search a site together, led by one of them; other finds are made by single people or households. The effort is given for each foray as far as it is known (sampleSizeValue: minutes of search summed over the people). survey.txt says of forays and visits what was looked for and how, as far as that is known; an outing without any find is among them. Nothing is summed up for the season, and a list is complete only where isTaxonomicScopeFullyReported is true."
	absentNone   = "What was not found is not reported."
	absentText   = "What was looked for by name and not found is reported where the scope of the search is stated: an occurrence with occurrenceStatus absent hangs on the event of the foray or visit itself, with basisOfRecord " + absentBasis + " since nothing was photographed. Elsewhere what was not found is not reported. Species whose places are withheld are reported absent nowhere."

	checklistOpening = "Names follow this list: "
	checklistNone    = "No list of names was laid down for this season."
	basisOpening     = "basisOfRecord of every find: "
	basisText        = "A photograph taken by a person who saw the fungus is published with the value chosen for the season; it does not change where a specimen was kept, since no institution has numbered the specimens yet. A mark of a specimen is given in dynamicProperties."
	placeText        = "Places are those of the phone, the camera, a pin on the map or typed coordinates (georeferenceSources). coordinateUncertaintyInMeters is the radius of a circle that holds the place; it is empty where it is not known, and it includes the cell where coordinates were made coarser."
	viewText         = "Photographs are views with a purpose: top, side, underneath, surroundings, and where needed cut, base, spore print, close-up and micrograph (dcterms:title). What is published is a copy without embedded metadata; hashValue is that of the copy."
	stateText        = "What was seen and has no term of its own stands in dynamicProperties: form, substrate, habit, ripeness, smell, sporePrint; a state that is absent was not looked for. fieldName is the name given on the spot, fieldNameBy who gave it."

	opinionText   = "One opinion gives its name. Opinions that agree give that name. Opinions that differ give the lowest taxon that they share, until a further determiner who has seen them all settles it and says on what basis. Neither the latest opinion nor a probability decides. A later opinion of the same determiner takes the place of the earlier, which stays in the identification table as superseded. Names that are easily confused with dangerous ones, and names whose places are protected, need two opinions given without sight of one another."
	qualifierText = "cf. and agg. leave the name in scientificName and stand in identificationQualifier. For aff. and sp. scientificName is the taxon above, for a species its genus. verbatimIdentification is the name with its sign, or for a find that nobody has named yet the field name."
	statusText    = "identificationVerificationStatus is built of these parts: \"" + statusNone + "\"; \"" + statusOne + "\"; the number of determiners \"who agree\" or \"who differ; the name is the lowest taxon they share\"; \"" + statusSettled + "\"; then \", from\" and one or more of photographs, description, specimen, microscope, sequence; then \"" + statusHeld + "\" where it is."
	statusOpening = "In this deposit it takes these values: "
)

func abstractOf(d *Dataset) []string {
	var paras []string
	if d.Abstract != "" {
		paras = strings.Split(d.Abstract, "\n")
	}
	paras = append(paras, abstractText)
	if d.Invented {
		paras = append(paras, inventedText)
	}
	return paras
}

func samplingOf(d *Dataset) string {
	if Summary(*d).Absences > 0 {
		return samplingText + " " + absentText
	}
	return samplingText + " " + absentNone
}

// The places of the method steps that are read back.
const (
	stepChecklist = iota
	stepBasis
)

func stepsOf(d *Dataset) []emlStep {
	checklist := checklistNone
	if d.Checklist != "" {
		checklist = checklistOpening + d.Checklist
	}
	return []emlStep{
		stepChecklist: {[]string{checklist}},
		stepBasis:     {[]string{basisOpening + d.BasisOfRecord, basisText}},
		{[]string{placeText}},
		{[]string{viewText}},
		{[]string{stateText}},
	}
}

func extentOf(d *Dataset) string {
	return fmt.Sprintf("%s, %s to %s.", d.Place, d.Starts, d.Ends)
}

func qualityOf(d *Dataset) []emlStep {
	var used []string
	for i := range d.Finds {
		if s := d.Finds[i].Status; s != "" {
			used = append(used, s)
		}
	}
	slices.Sort(used)
	used = slices.Compact(used)
	paras := []string{qualifierText, statusText}
	if len(used) > 0 {
		paras = append(paras, statusOpening+"\""+strings.Join(used, "\"; \"")+"\".")
	}
	return []emlStep{{[]string{opinionText}}, {paras}}
}
