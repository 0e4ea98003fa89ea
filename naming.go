package trug

import "slices"

// Naming is what the determinations of a find say together: which name is
// current, and on what it stands.
type Naming struct {
	// Taxon is the current name; its Name is empty while there is none.
	Taxon Taxon
	// Qualifier is the doubt that the current name carries. A doubt that one
	// of several agreeing opinions bears is kept until it is settled.
	Qualifier Qualifier
	// Counting lists the determinations that the current name follows from,
	// oldest first: the latest of each determiner, or since it was settled.
	Counting []Determination
	// Opinions counts the determiners who have named the find.
	Opinions int
	// Independent counts those who had not seen another's opinion.
	Independent int
	// Differ is set when the counting opinions do not give the same name.
	Differ bool
	// Settled is set when a further determiner who had seen differing
	// opinions has settled them.
	Settled bool
	// Held is set when the find bears a name that needs two independent
	// opinions and has fewer: its name does not leave the table yet.
	Held bool
}

// NameFind works out the current name of a find from its determinations and
// its field name. The determinations stand in the order in which they were
// taken: which is the later, and what settles what, goes by that and not by
// identifiers, which devices with wrong clocks may have made.
//
// One opinion gives its name. Agreeing opinions give that name. Opinions that
// differ give the lowest taxon they share, until a further determiner who has
// seen them all settles it and says on what basis. Neither the newest slip
// nor a probability decides. A determiner's later opinion stands for their
// earlier one, which stays on the sheet.
func NameFind(slips []Determination, field FieldName, list *Checklist) Naming {
	var n Naming
	start := 0
	for i := range slips {
		if settles(slips[i], latest(slips[start:i]), list) {
			start, n.Settled = i, true
		}
	}
	n.Counting = latest(slips[start:])
	n.count(slips)
	n.share(list)
	if n.Settled {
		n.Settled = !n.Differ
	}
	n.Held = n.Independent < 2 && needsTwo(slips, field, list)
	return n
}

// count fills in how many determiners have given an opinion, and how many of
// them without sight of another's.
func (n *Naming) count(slips []Determination) {
	people, free := map[ID]bool{}, map[ID]bool{}
	for _, d := range slips {
		people[d.By] = true
		if len(d.Seen) == 0 {
			free[d.By] = true
		}
	}
	n.Opinions, n.Independent = len(people), len(free)
}

// share sets the current name to the lowest taxon that all counting opinions share.
func (n *Naming) share(list *Checklist) {
	if len(n.Counting) == 0 {
		return
	}
	first := n.Counting[0]
	common := list.lineage(first.Name, first.Rank)
	n.Qualifier = first.Qualifier
	for _, d := range n.Counting[1:] {
		line := list.lineage(d.Name, d.Rank)
		if line[0].Name != common[0].Name {
			n.Differ = true
		}
		if line[0].Rank == Species && (d.Qualifier == Aff) != (first.Qualifier == Aff) {
			// One says it is that species, the other that it is only close to it.
			n.Differ = true
			line = line[1:]
		}
		common = shared(common, line)
		if doubt(d.Qualifier) > doubt(n.Qualifier) {
			n.Qualifier = d.Qualifier
		}
		if len(common) == 0 {
			break
		}
	}
	if len(common) == 0 {
		n.Differ, n.Qualifier = true, NoQualifier
		return
	}
	n.Taxon = common[0]
	if n.Differ {
		n.Qualifier = NoQualifier
		if n.Taxon.Rank == Genus {
			n.Qualifier = Sp
		}
	}
}

func doubt(q Qualifier) int { return slices.Index([]Qualifier{NoQualifier, Sp, Agg, Cf, Aff}, q) }

// shared returns the part of two lineages that they have in common, lowest first.
func shared(a, b []Taxon) []Taxon {
	for i, t := range a {
		for _, u := range b {
			if t.Rank == u.Rank && t.Name == u.Name {
				return a[i:]
			}
		}
	}
	return nil
}

// latest returns the latest determination of each determiner, oldest first.
func latest(slips []Determination) []Determination {
	var out []Determination
	for i, d := range slips {
		if !slices.ContainsFunc(slips[i+1:], func(e Determination) bool { return e.By == d.By }) {
			out = append(out, d)
		}
	}
	return out
}

// settles reports whether d settles the earlier opinions: they differ, its
// author gave none of them, has seen every one, and says what d rests on.
func settles(d Determination, earlier []Determination, list *Checklist) bool {
	if len(earlier) < 2 || len(d.Basis) == 0 {
		return false
	}
	var before Naming
	before.Counting = earlier
	before.share(list)
	if !before.Differ {
		return false
	}
	for _, e := range earlier {
		if e.By == d.By || !slices.Contains(d.Seen, e.ID) {
			return false
		}
	}
	return true
}

func needsTwo(slips []Determination, field FieldName, list *Checklist) bool {
	if list.NeedsTwo(field.Name) {
		return true
	}
	return slices.ContainsFunc(slips, func(d Determination) bool { return list.NeedsTwo(d.Name) })
}
