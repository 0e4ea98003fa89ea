package dwca

import (
	"bufio"
	"cmp"
	"slices"

	"trug"
)

// owned is a view or slip with the find that it belongs to.
type owned[T any] struct {
	find *Find
	row  *T
}

// gather lists what parts returns for every find, in the order of the public
// identifiers, so that the order of the rows tells nothing.
func gather[T any](finds []Find, parts func(*Find) []T, id func(*T) trug.PublicID) []owned[T] {
	var list []owned[T]
	for i := range finds {
		rows := parts(&finds[i])
		for j := range rows {
			list = append(list, owned[T]{&finds[i], &rows[j]})
		}
	}
	slices.SortFunc(list, func(a, b owned[T]) int { return cmp.Compare(id(a.row), id(b.row)) })
	return list
}

func (a *archiveWriter) media(b *bufio.Writer) error {
	b.WriteString(mediaTable.header())
	r := make([]string, meColumns)
	for _, m := range gather(a.d.Finds, func(f *Find) []View { return f.Views }, func(v *View) trug.PublicID { return v.Public }) {
		a.view(r, m.find, m.row)
		if err := put(b, r); err != nil {
			return err
		}
	}
	return nil
}

func (a *archiveWriter) view(r []string, f *Find, v *View) {
	words := viewWords[v.Kind]
	licence := licenceWords[cmp.Or(v.Licence, a.d.Licence)]
	r[meEvent] = a.ids.findEvent(f.Public)
	r[meID] = a.ids.of(viewPath, v.Public)
	r[meType], r[meSubtype] = "StillImage", "Photograph"
	r[meTitle], r[meDescription] = string(v.Kind), words.description
	r[meCreator] = cmp.Or(v.By, NameWithheld)
	if !v.Taken.IsZero() {
		r[meTaken] = v.Taken.ISO()
	}
	r[meOwner] = cmp.Or(v.Owner, a.d.RightsHolder)
	r[meTerms], r[mePage], r[meRights] = licence.title, licence.page, licence.legal
	r[meAccess] = a.ids.file(v.Public)
	r[meFormat], r[meVariant] = "image/jpeg", "Good Quality"
	r[meWidth], r[meHeight] = whole(v.Width), whole(v.Height)
	if v.Hash != "" {
		r[meHashFunction], r[meHash] = "SHA-256", string(v.Hash)
	}
	r[mePart], r[meOrientation] = words.part, words.orientation
	r[meOccurrence] = a.ids.of(findPath, f.Public)
	r[meLanguage] = "en"
}

func (a *archiveWriter) identifications(b *bufio.Writer) error {
	b.WriteString(identificationTable.header())
	r := make([]string, idColumns)
	for _, m := range gather(a.d.Finds, func(f *Find) []Slip { return f.Slips }, func(s *Slip) trug.PublicID { return s.Public }) {
		a.slip(r, m.find, m.row)
		if err := put(b, r); err != nil {
			return err
		}
	}
	return nil
}

func (a *archiveWriter) slip(r []string, f *Find, s *Slip) {
	c := s.Name.cells()
	r[idEvent] = a.ids.findEvent(f.Public)
	r[idID] = a.ids.of(determinationPath, s.Public)
	r[idOccurrence] = a.ids.of(findPath, f.Public)
	r[idVerbatim], r[idQualifier] = c.verbatim, c.qualifier
	r[idBy] = cmp.Or(s.By, NameWithheld)
	r[idDate] = string(s.Date)
	r[idRemarks] = s.remarks()
	r[idName], r[idAuthorship], r[idRank] = c.scientific, c.authorship, c.rank
	r[idKingdom], r[idFamily], r[idCode] = s.Name.Kingdom, s.Name.Family, "ICN"
}
