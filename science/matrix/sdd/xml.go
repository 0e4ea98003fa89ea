// Package sdd reads and writes character matrices as TDWG Structured
// Descriptive Data 1.1 (TDWG standard 116): names, characters, dependencies of
// characters and coded descriptions of the first data set in a file.
package sdd

import "encoding/xml"

// namespace is that of SDD 1.1.
const namespace = "http://rs.tdwg.org/UBIF/2006/"

// The elements that a matrix needs, in the order that the schema asks for.

type datasets struct {
	XMLName   xml.Name  `xml:"Datasets"`
	Namespace string    `xml:"xmlns,attr,omitempty"`
	Technical technical `xml:"TechnicalMetadata"`
	Dataset   []dataset `xml:"Dataset"`
}

type technical struct {
	Created   string    `xml:"created,attr"`
	Generator generator `xml:"Generator"`
}

type generator struct {
	Name    string `xml:"name,attr"`
	Version string `xml:"version,attr"`
}

type dataset struct {
	Lang           string          `xml:"http://www.w3.org/XML/1998/namespace lang,attr"`
	Representation *representation `xml:"Representation"`
	TaxonNames     *taxonNames     `xml:"TaxonNames"`
	Concepts       *concepts       `xml:"DescriptiveConcepts"`
	Characters     *characters     `xml:"Characters"`
	Trees          *trees          `xml:"CharacterTrees"`
	Descriptions   *descriptions   `xml:"CodedDescriptions"`
}

type representation struct {
	Label  []string `xml:"Label"`
	Detail []string `xml:"Detail"`
}

type taxonNames struct {
	TaxonName []named `xml:"TaxonName"`
}

type named struct {
	ID             string         `xml:"id,attr"`
	Representation representation `xml:"Representation"`
}

type concepts struct {
	Concept []concept `xml:"DescriptiveConcept"`
}

type concept struct {
	named
	Modifiers *modifiers `xml:"Modifiers"`
}

type modifiers struct {
	Modifier []modifier `xml:"Modifier"`
}

type modifier struct {
	named
	Class string `xml:"ModifierClass,omitempty"`
}

// characters keeps the kinds apart by their elements' names.
type characters struct {
	List []character `xml:",any"`
}

type character struct {
	XMLName xml.Name
	named
	States      *stateList   `xml:"States"`
	Assumptions *assumptions `xml:"Assumptions"`
	Unit        *unit        `xml:"MeasurementUnit"`
	Default     *defaults    `xml:"Default"`
}

type assumptions struct {
	Scale    string `xml:"MeasurementScale,omitempty"`
	Integers string `xml:"ValuesAreInteger,omitempty"`
}

type stateList struct {
	Definition []named `xml:"StateDefinition"`
}

type unit struct {
	Label []label `xml:"Label"`
}

type label struct {
	Role string `xml:"role,attr,omitempty"`
	Text string `xml:",chardata"`
}

type defaults struct {
	Prefix string `xml:"MeasurementUnitPrefix,omitempty"`
}

type trees struct {
	Tree []tree `xml:"CharacterTree"`
}

type tree struct {
	named
	Nodes nodes `xml:"Nodes"`
}

type nodes struct {
	CharNode []charNode `xml:"CharNode"`
}

type charNode struct {
	Rules     *rules `xml:"DependencyRules"`
	Character ref    `xml:"Character"`
}

type rules struct {
	Inapplicable *stateRefs `xml:"InapplicableIf"`
}

type stateRefs struct {
	State []ref `xml:"State"`
}

type ref struct {
	Ref string `xml:"ref,attr"`
}

type descriptions struct {
	Description []description `xml:"CodedDescription"`
}

type description struct {
	named
	Scope   scope    `xml:"Scope"`
	Summary *summary `xml:"SummaryData"`
}

type scope struct {
	TaxonName []ref `xml:"TaxonName"`
}

type summary struct {
	List []datum `xml:",any"`
}

// datum is one of Categorical, Quantitative and TextChar.
type datum struct {
	XMLName  xml.Name
	Ref      string    `xml:"ref,attr"`
	Status   []status  `xml:"Status"`
	State    []state   `xml:"State"`
	Measure  []measure `xml:"Measure"`
	PMeasure []measure `xml:"PMeasure"`
	Content  []string  `xml:"Content"`
}

type status struct {
	Code string `xml:"code,attr"`
}

type state struct {
	Ref      string        `xml:"ref,attr"`
	Modifier []modifierRef `xml:"Modifier"`
	Note     []string      `xml:"Note"`
}

type modifierRef struct {
	Ref   string `xml:"ref,attr"`
	Lower string `xml:"lower,attr,omitempty"`
	Upper string `xml:"upper,attr,omitempty"`
}

type measure struct {
	Type  string `xml:"type,attr"`
	Value string `xml:"value,attr"`
	Par   string `xml:"par,attr,omitempty"`
}

// Status codes; a character that may show anything is told as one that can't
// be interpreted, for which the standard has the nearest code.
const (
	notApplicable    = "NotApplicable"
	dataUnavailable  = "DataUnavailable"
	notInterpretable = "NotInterpretable"
)

// Marks of the modifiers that Write defines.
const (
	frequencyMark = "modifier.frequency"
	doubtfulMark  = "modifier.doubtful"
)
