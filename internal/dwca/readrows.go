package dwca

import (
	"strings"

	"trug"
)

// find returns the find on whose event a row hangs, after checking that the
// occurrenceID repeated in the row is its own.
func (t *tablesReader) find(r *tableReader, occurrence int) (*Find, error) {
	i, ok := t.byEvent[r.cells[0]]
	if !ok {
		return nil, r.fail("the event %.80q is not in %s", r.cells[0], eventTable.file)
	}
	f := &t.d.Finds[i]
	if r.cells[occurrence] != t.ids.of(findPath, f.Public) {
		return nil, r.fail("the find %.80q is not that of the event", r.cells[occurrence])
	}
	return f, nil
}

func (t *tablesReader) occurrence(r *tableReader) error {
	c := r.cells
	switch c[ocStatus] {
	case statusPresent:
	case statusAbsent:
		return t.absence(r)
	default:
		return r.bad(ocStatus)
	}
	f, err := t.find(r, ocID)
	if err != nil {
		return err
	}
	if t.described[f.Public] {
		return r.fail("a second row for the find %.80q", c[ocID])
	}
	t.described[f.Public] = true
	if c[ocBasis] != t.d.BasisOfRecord {
		return r.bad(ocBasis)
	}
	f.RecordedBy = readPeople(c[ocRecordedBy])
	if err := f.readCount(r); err != nil {
		return err
	}
	f.Status, f.Description = c[ocVerification], c[ocOrganism]
	if err := f.readProperties(r); err != nil {
		return err
	}
	if c[ocIdentifiedBy] == "" {
		f.FieldName.Name = c[ocVerbatim]
		f.Name.Kingdom = c[ocKingdom]
		return nil
	}
	f.IdentifiedBy = readPeople(c[ocIdentifiedBy])
	f.DateIdentified = trug.Date(c[ocDateIdentified])
	f.Name = nameCells{c[ocName], c[ocAuthorship], c[ocRank], c[ocQualifier], c[ocVerbatim]}.name(c[ocKingdom], c[ocFamily])
	if f.Name.Name == "" {
		return r.bad(ocName)
	}
	return nil
}

// readCount takes the number seen, the remarks that it opens, and the host.
func (f *Find) readCount(r *tableReader) error {
	c := r.cells
	var ok bool
	if f.NumberSeen, ok = readWhole(c[ocQuantity]); !ok {
		return r.bad(ocQuantity)
	}
	if f.Remarks = c[ocRemarks]; f.NumberSeen > 0 {
		if f.Remarks, ok = strings.CutPrefix(c[ocRemarks], countRemark); !ok {
			return r.bad(ocRemarks)
		}
	}
	if c[ocTaxa] != "" {
		var h host
		if readObject("{"+c[ocTaxa]+"}", &h) != nil {
			return r.bad(ocTaxa)
		}
		f.Host = h.Host
	}
	return nil
}

// readProperties takes what stands in dynamicProperties.
func (f *Find) readProperties(r *tableReader) error {
	var p properties
	if readObject(r.cells[ocDynamic], &p) != nil {
		return r.bad(ocDynamic)
	}
	f.FieldName = trug.FieldName{Name: p.FieldName, By: p.FieldNameBy}
	f.Form, f.Substrate, f.Habit, f.Ripeness = p.Form, p.Substrate, p.Habit, p.Ripeness
	f.Smell, f.SporePrint, f.Voucher = p.Smell, p.SporePrint, p.Voucher
	return nil
}

func (t *tablesReader) view(r *tableReader) error {
	c := r.cells
	f, err := t.find(r, meOccurrence)
	if err != nil {
		return err
	}
	v := View{Kind: trug.ViewKind(c[meTitle]), By: c[meCreator], Owner: c[meOwner], Hash: trug.Hash(c[meHash])}
	var ok bool
	if v.Public, ok = t.ids.parse(viewPath, c[meID]); !ok {
		return r.bad(meID)
	}
	if !v.Kind.Valid() {
		return r.bad(meTitle)
	}
	if c[meTaken] != "" {
		if v.Taken, err = readWhen(c[meTaken]); err != nil {
			return r.bad(meTaken)
		}
	}
	if v.Width, ok = readWhole(c[meWidth]); !ok {
		return r.bad(meWidth)
	}
	if v.Height, ok = readWhole(c[meHeight]); !ok {
		return r.bad(meHeight)
	}
	if v.Licence, ok = licenceOf(c[meRights]); !ok {
		return r.bad(meRights)
	}
	f.Views = append(f.Views, v)
	return nil
}

func (t *tablesReader) slip(r *tableReader) error {
	c := r.cells
	f, err := t.find(r, idOccurrence)
	if err != nil {
		return err
	}
	s := Slip{By: c[idBy], Date: trug.Date(c[idDate])}
	var ok bool
	if s.Public, ok = t.ids.parse(determinationPath, c[idID]); !ok {
		return r.bad(idID)
	}
	if !s.readRemarks(c[idRemarks]) {
		return r.bad(idRemarks)
	}
	s.Name = nameCells{c[idName], c[idAuthorship], c[idRank], c[idQualifier], c[idVerbatim]}.name(c[idKingdom], c[idFamily])
	f.Slips = append(f.Slips, s)
	return nil
}
