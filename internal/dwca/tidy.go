package dwca

import (
	"cmp"
	"slices"
	"strings"
	"time"
	"unicode"
	"unicode/utf8"

	"trug"
)

// NameWithheld is written where a person's name isn't published.
const NameWithheld = "name withheld for reasons of privacy"

// inventedMark ends the title of a season made up for demonstration.
const inventedMark = " (invented data)"

// tidy returns the dataset as an archive can hold it; see the package comment.
// It copies what it changes.
func tidy(d Dataset) Dataset {
	d.Stamp = d.Stamp.UTC().Truncate(time.Second)
	texts(&d.Title, &d.Place, &d.RightsHolder, &d.Contact, &d.ContactAddress, &d.Checklist,
		&d.BasisOfRecord, &d.Country, &d.BaseURL, &d.Zone)
	d.BaseURL = strings.TrimRight(d.BaseURL, "/")
	if d.Invented {
		for strings.HasSuffix(d.Title, inventedMark) {
			d.Title = text(strings.TrimSuffix(d.Title, inventedMark))
		}
	}
	if d.Contact == "" {
		d.Contact = d.RightsHolder
	}
	d.Abstract = paragraphs(d.Abstract)
	d.Survey = tidySurvey(d.Survey)
	d.Forays = sorted(d.Forays, func(f *Foray) trug.PublicID { return f.Public })
	for i := range d.Forays {
		tidyForay(&d.Forays[i])
	}
	d.Finds = sorted(d.Finds, func(f *Find) trug.PublicID { return f.Public })
	for i := range d.Finds {
		tidyFind(&d.Finds[i], &d)
	}
	return d
}

func tidyForay(f *Foray) {
	texts(&f.Code, &f.Name, &f.SiteName, &f.Habitat, &f.Leader, &f.Route)
	if f.Start == "" || f.End == "" {
		f.Start, f.End, f.Offset, f.EndDate = "", "", "", ""
	}
	if f.EndDate == f.Date {
		f.EndDate = ""
	}
	f.Place = tidyPlace(f.Place)
	f.Survey = tidySurvey(f.Survey)
}

func tidyPlace(p *trug.Place) *trug.Place {
	if p == nil {
		return nil
	}
	q := *p
	texts(&q.Verbatim)
	return &q
}

func tidyFind(f *Find, d *Dataset) {
	texts(&f.Locality, &f.Habitat, &f.FieldName.Name, &f.FieldName.By, &f.Form, &f.Substrate,
		&f.Habit, &f.Ripeness, &f.Smell, &f.SporePrint, &f.Host, &f.Voucher, &f.Remarks, &f.Status,
		&f.Generalisations, &f.Withheld, &f.Description)
	f.Facts, f.Sizes, f.Colours = tidyFacts(f.Facts), tidySizes(f.Sizes), tidyColours(f.Colours)
	f.Place = tidyPlace(f.Place)
	f.RecordedBy = names(f.RecordedBy)
	f.IdentifiedBy = names(f.IdentifiedBy)
	f.Name = tidyName(f.Name)
	if f.Name.Name == "" {
		f.Name = Name{Kingdom: cmp.Or(f.Name.Kingdom, fungi)}
		f.IdentifiedBy, f.DateIdentified = nil, ""
	}
	f.Views = sorted(f.Views, func(v *View) trug.PublicID { return v.Public })
	for i := range f.Views {
		v := &f.Views[i]
		texts(&v.By, &v.Owner)
		v.By = person(v.By)
		if v.Licence == d.Licence {
			v.Licence = ""
		}
		if v.Owner == d.RightsHolder {
			v.Owner = ""
		}
	}
	f.Slips = sorted(f.Slips, func(s *Slip) trug.PublicID { return s.Public })
	for i := range f.Slips {
		s := &f.Slips[i]
		texts(&s.By, &s.Remark)
		s.By = person(s.By)
		s.Name = tidyName(s.Name)
		s.Basis = sorted(s.Basis, func(b *trug.Basis) int { return slices.Index(trug.Bases, *b) })
		s.Basis = slices.Compact(s.Basis)
	}
}

// sorted returns a copy in the order of key, nil when it is empty. Equal keys
// are equal values, or identifiers used twice, which are refused afterwards.
func sorted[T any, K cmp.Ordered](list []T, key func(*T) K) []T {
	if len(list) == 0 {
		return nil
	}
	list = slices.Clone(list)
	slices.SortFunc(list, func(a, b T) int { return cmp.Compare(key(&a), key(&b)) })
	return list
}

// names tidies a list of people. None at all, or nobody but withheld names, is nil.
func names(list []string) []string {
	out := items(list)
	if !slices.ContainsFunc(out, func(n string) bool { return n != NameWithheld }) {
		return nil
	}
	return out
}

// items tidies a list of values that will stand in one cell; nil when it is empty.
func items(list []string) []string {
	var out []string
	for _, s := range list {
		if s = item(s); s != "" {
			out = append(out, s)
		}
	}
	return out
}

// item makes s fit to be a value of a list.
func item(s string) string {
	return strings.Join(strings.Fields(strings.ReplaceAll(text(s), "|", "/")), " ")
}

func person(name string) string {
	if name == NameWithheld {
		return ""
	}
	return name
}

func texts(fields ...*string) {
	for _, f := range fields {
		*f = text(*f)
	}
}

// text makes s fit for a cell: blanks for tabs and every sort of line break,
// no other control characters, nothing that XML can't hold, no blanks at the ends.
func text(s string) string {
	if plainASCII(s) {
		return strings.Trim(s, " ")
	}
	s = strings.ReplaceAll(strings.ToValidUTF8(s, "\uFFFD"), "\r\n", " ")
	s = strings.Map(func(r rune) rune {
		switch {
		case r == '\t' || r >= '\n' && r <= '\r' || r == 0x85 || r == 0x2028 || r == 0x2029:
			return ' '
		case unicode.IsControl(r) || r == 0xFEFF:
			return -1
		case r == 0xFFFE || r == 0xFFFF:
			return utf8.RuneError
		}
		return r
	}, s)
	return strings.TrimSpace(s)
}

func plainASCII(s string) bool {
	for i := range len(s) {
		if s[i] < ' ' || s[i] > '~' {
			return false
		}
	}
	return true
}

// paragraphs tidies a text of several lines: each line is a paragraph.
func paragraphs(s string) string {
	var out []string
	for line := range strings.Lines(strings.ReplaceAll(s, "\r", "\n")) {
		if line = text(line); line != "" {
			out = append(out, line)
		}
	}
	return strings.Join(out, "\n")
}
