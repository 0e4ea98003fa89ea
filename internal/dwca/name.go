package dwca

import (
	"cmp"
	"strings"

	"trug"
)

// fungi is the kingdom under which a find without any name is published.
const fungi = "Fungi"

// tidyName brings a name into the form that its published columns can tell.
func tidyName(n Name) Name {
	texts(&n.Name, &n.Authorship, &n.Kingdom, &n.Family)
	n.Name = strings.Join(strings.Fields(n.Name), " ")
	if n.Qualifier != trug.Aff {
		return n
	}
	// The name published is that of the taxon above.
	n.Authorship = ""
	if n.Rank = trug.Genus; strings.Contains(n.Name, " ") {
		n.Rank = trug.Species
	} else if n.Family == "" {
		n.Kingdom = cmp.Or(n.Kingdom, fungi)
	}
	return n
}

// nameCells are the columns in which a name is published.
type nameCells struct {
	scientific, authorship, rank, qualifier, verbatim string
}

// cells says how a name is published (standards README, section 8): cf. and
// agg. keep the name and say the doubt beside it; aff. and sp. give the taxon
// above, since readers often overlook the qualifier.
func (n Name) cells() nameCells {
	c := nameCells{scientific: n.Name, authorship: n.Authorship, rank: string(n.Rank), verbatim: n.Name}
	first, rest, several := strings.Cut(n.Name, " ")
	switch n.Qualifier {
	case trug.Sp:
		c.verbatim = n.Name + " sp."
	case trug.Agg:
		c.verbatim, c.qualifier = n.Name+" agg.", "agg."
	case trug.Cf, trug.Aff:
		sign := string(n.Qualifier) + " "
		if several {
			c.verbatim, c.qualifier = first+" "+sign+rest, sign+rest
		} else {
			c.verbatim, c.qualifier = sign+first, sign+first
		}
	}
	if n.Qualifier == trug.Aff {
		switch {
		case several:
			c.scientific, c.rank = first, string(trug.Genus)
		case n.Family != "":
			c.scientific, c.rank = n.Family, string(trug.Family)
		default:
			c.scientific, c.rank = n.Kingdom, string(trug.Kingdom)
		}
	}
	if c.authorship != "" {
		c.scientific += " " + c.authorship
	}
	return c
}

// name is the way back from cells.
func (c nameCells) name(kingdom, family string) Name {
	n := Name{Rank: trug.Rank(c.rank), Authorship: c.authorship, Kingdom: kingdom, Family: family}
	n.Name = c.scientific
	if c.authorship != "" {
		n.Name = strings.TrimSuffix(c.scientific, " "+c.authorship)
	}
	sign, _, _ := strings.Cut(c.qualifier, " ")
	switch q := trug.Qualifier(sign); {
	case q == trug.Agg:
		n.Qualifier = q
	case q == trug.Cf || q == trug.Aff:
		n.Qualifier, n.Name = q, withoutSign(c.verbatim, sign)
	case c.qualifier == "" && n.Rank == trug.Genus && c.verbatim == n.Name+" sp.":
		n.Qualifier = trug.Sp
	}
	if n.Qualifier == trug.Aff {
		if n.Rank = trug.Genus; strings.Contains(n.Name, " ") {
			n.Rank = trug.Species
		}
	}
	return n
}

// withoutSign takes the sign out of a name as written, from before it or from
// behind its first word.
func withoutSign(verbatim, sign string) string {
	if rest, ok := strings.CutPrefix(verbatim, sign+" "); ok {
		return rest
	}
	first, rest, _ := strings.Cut(verbatim, " ")
	return first + " " + strings.TrimPrefix(rest, sign+" ")
}
