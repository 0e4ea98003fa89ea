package trug

import (
	"slices"
	"time"
	"unicode/utf8"
)

// Determination is a name given to a find by a determiner. It is never
// erased, only followed by another. How far determinations can be trusted is
// computed in science/reliability.
type Determination struct {
	ID       ID       `json:"id"`
	Public   PublicID `json:"public"`
	SeasonID ID       `json:"season"`
	RecordID ID       `json:"record"`
	By       ID       `json:"by"`
	Date     Date     `json:"date"`
	// Name is the scientific name without authorship and qualifier.
	Name string `json:"name"`
	// TaxonID is the name on the checklist; empty when it stands on none.
	TaxonID   ID        `json:"taxon,omitempty"`
	Rank      Rank      `json:"rank"`
	Qualifier Qualifier `json:"qualifier,omitempty"`
	Basis     []Basis   `json:"basis"`
	Remark    string    `json:"remark,omitempty"`
	// Seen lists the earlier determinations that the determiner had looked at
	// when giving this one; an opinion that lists none is independent.
	Seen    []ID      `json:"seen,omitempty"`
	Created time.Time `json:"created"`
}

// Qualifier is a sign of open nomenclature (Sigovini et al. 2016,
// https://doi.org/10.1111/2041-210X.12594).
type Qualifier string

// The qualifiers that a slip offers; empty means none.
const (
	NoQualifier Qualifier = ""
	Cf          Qualifier = "cf."
	Aff         Qualifier = "aff."
	Agg         Qualifier = "agg."
	Sp          Qualifier = "sp."
)

// Qualifiers lists them in the order in which they are offered.
var Qualifiers = []Qualifier{NoQualifier, Cf, Aff, Agg, Sp}

// Basis is what a determination rests on.
type Basis string

// The bases, weakest first.
const (
	FromPhotographs Basis = "photographs"
	FromDescription Basis = "description"
	FromSpecimen    Basis = "specimen"
	FromMicroscope  Basis = "microscope"
	FromSequence    Basis = "sequence"
)

// Bases lists them in that order.
var Bases = []Basis{FromPhotographs, FromDescription, FromSpecimen, FromMicroscope, FromSequence}

// Validate returns all that is wrong with the determination, or nil.
func (d Determination) Validate() error {
	var f Faults
	if d.Name == "" {
		f.add("name", "type a scientific name, or choose Leave at genus or Pass to")
	} else if utf8.RuneCountInString(d.Name) > MaxNameLength {
		f.add("name", "the name is over %d characters: give the scientific name alone", MaxNameLength)
	}
	switch d.Rank {
	case Species, Genus, Family, Kingdom:
	default:
		f.add("rank", "%q is not a rank that a slip can bear", d.Rank)
	}
	if !slices.Contains(Qualifiers, d.Qualifier) {
		f.add("qualifier", "%q is not a qualifier: use cf., aff., agg., sp. or none", d.Qualifier)
	}
	if d.Rank == Species && d.Qualifier == Sp {
		f.add("qualifier", "sp. stands behind a genus; this name is a species: use cf. or leave at genus")
	}
	if d.Qualifier != NoQualifier && d.Rank != Species && d.Rank != Genus {
		f.add("qualifier", "%s stands with a species or a genus, not with a %s", d.Qualifier, d.Rank)
	}
	if len(d.Basis) == 0 {
		f.add("basis", "say what the name rests on: photographs, description, specimen, microscope or sequence")
	}
	for _, b := range d.Basis {
		if !slices.Contains(Bases, b) {
			f.add("basis", "%q is not a basis: use photographs, description, specimen, microscope or sequence", b)
		}
	}
	if !d.Date.Valid() {
		f.add("date", "%q is not a day", d.Date)
	}
	if utf8.RuneCountInString(d.Remark) > MaxRemarksLength {
		f.add("remark", "the remark is over %d characters: shorten it", MaxRemarksLength)
	}
	return f.orNil()
}

// Pass hands a find that waits on the table to another determiner, or to
// whoever comes next.
type Pass struct {
	ID       ID `json:"id"`
	SeasonID ID `json:"season"`
	RecordID ID `json:"record"`
	By       ID `json:"by"`
	// To is the determiner it is handed to; empty means anybody.
	To      ID        `json:"to,omitempty"`
	Remark  string    `json:"remark,omitempty"`
	Created time.Time `json:"created"`
}

// Lift notes that somebody lifted the flap over the earlier opinions and the
// field name of a find; what they name after that is not independent.
type Lift struct {
	ID       ID `json:"id"`
	SeasonID ID `json:"season"`
	RecordID ID `json:"record"`
	By       ID `json:"by"`
	// Slips are the determinations that lay under the flap.
	Slips   []ID      `json:"slips,omitempty"`
	Created time.Time `json:"created"`
}

// Deposit is a published version of the season's data, numbered and dated.
type Deposit struct {
	ID       ID       `json:"id"`
	Public   PublicID `json:"public"`
	SeasonID ID       `json:"season"`
	Number   int      `json:"number"`
	Date     Date     `json:"date"`
	By       ID       `json:"by"`
	// Archive names the zip file.
	Archive Hash  `json:"archive"`
	Bytes   int64 `json:"bytes"`
	// Counts of what the archive holds.
	Records        int       `json:"records"`
	Views          int       `json:"views"`
	Determinations int       `json:"determinations"`
	Withheld       int       `json:"withheld"`
	Remark         string    `json:"remark,omitempty"`
	Created        time.Time `json:"created"`
}
