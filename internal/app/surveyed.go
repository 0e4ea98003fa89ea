package app

import (
	"maps"
	"slices"
	"strings"

	"trug"
	"trug/internal/dwca"
)

// surveyOf says for a deposit what was looked for on a foray, with which
// effort, and what was not found. It must not undo by silence what is withheld:
// protected names are excluded from the scope of every foray alike, and are
// neither targets nor absences; nor is a name that waits for a second opinion.
func (l *ledger) surveyOf(y trug.Foray, out dwca.Foray) *dwca.Survey {
	s := dwca.Survey{Targets: l.tellable(y.Scope), Inventory: dwca.OpportunisticSearch, AbundanceReported: l.counted(y.ID)}
	for _, p := range slices.SortedFunc(maps.Values(l.protections), func(x, y trug.Protection) int { return strings.Compare(x.Name, y.Name) }) {
		s.Excluded = append(s.Excluded, p.Name)
	}
	if len(s.Targets) > 0 {
		s.Inventory, s.FullyReported = dwca.OpenSearch, y.WholeScope
		for _, name := range l.tellable(y.NotFound) {
			if l.coversProtected(name) || l.foundOn(y.ID, name) {
				continue
			}
			t, ok := l.list.Accepted(name)
			if !ok {
				t = trug.Taxon{Name: name, Rank: rankOf(name), Kingdom: "Fungi"}
			}
			absence := dwca.Absence{Public: dwca.AbsenceID(y.Public, t.Name), Name: l.publishedName(t, trug.NoQualifier)}
			if out.Leader != "" {
				absence.RecordedBy = []string{out.Leader}
			}
			s.Absences = append(s.Absences, absence)
		}
	} else if len(l.tellable(y.Targets)) > 0 {
		s.Inventory = dwca.RestrictedSearch
		s.Targets = l.tellable(y.Targets)
	}
	if len(s.Targets) == 0 {
		s.Excluded = nil // where no scope is stated, nothing is taken from it
	}
	s.DurationMinutes = out.Minutes
	if out.People > 0 && out.Minutes > 0 {
		s.Effort = float64(out.People) * float64(out.Minutes) / 60
		s.EffortProtocol = "number of people times the length of the outing, breaks included"
	}
	if out.Leader != "" {
		s.PerformedBy = []string{out.Leader}
	}
	return &s
}

// tellable leaves out names that must not be spoken of foray by foray.
func (l *ledger) tellable(names []string) []string {
	var out []string
	for _, name := range names {
		if _, protected := l.list.Protects(name); protected || l.waitsAnywhere(name) {
			continue
		}
		out = append(out, name)
	}
	return out
}

// coversProtected reports whether a protected species lies in the taxon: its
// absence from every foray but one would tell where the species grows.
func (l *ledger) coversProtected(name string) bool {
	for _, p := range l.protections {
		t, ok := l.list.Accepted(p.Name)
		if ok && slices.Contains([]string{t.Name, trug.GenusOf(t.Name), t.Family, t.Kingdom}, name) {
			return true
		}
	}
	return false
}

// foundOn reports whether a find of a foray bears the name, or one that lies
// in it, by any opinion: then it was not absent.
func (l *ledger) foundOn(foray trug.ID, name string) bool {
	return slices.ContainsFunc(l.inOrder, func(f *find) bool {
		return f.ForayID == foray && slices.ContainsFunc(append(f.slips, trug.Determination{Name: f.naming.Taxon.Name}), func(d trug.Determination) bool {
			t, _ := l.list.Accepted(d.Name)
			return d.Name != "" && slices.Contains([]string{d.Name, t.Name, trug.GenusOf(d.Name), t.Family}, name)
		})
	})
}

// waitsAnywhere reports whether any find bears the name and may not leave the
// table yet.
func (l *ledger) waitsAnywhere(name string) bool {
	return slices.ContainsFunc(l.inOrder, func(f *find) bool {
		return f.naming.Held && (f.FieldName.Name == name || slices.ContainsFunc(f.slips, func(d trug.Determination) bool { return d.Name == name }))
	})
}

// counted reports whether fruitbodies were counted for the finds of a foray
// that are published on it.
func (l *ledger) counted(foray trug.ID) bool {
	return slices.ContainsFunc(l.inOrder, func(f *find) bool { return f.ForayID == foray && f.protection == nil && f.NumberSeen > 0 })
}

// routeOf writes a foray's route as well-known text, longitude first, unless it
// leads over private ground, or a protected find of that foray, or of that day
// and site, could be read from it.
func (l *ledger) routeOf(y trug.Foray) string {
	if len(y.Route) < 2 || !l.knows(Viewer{Season: l.season.ID}, y.SiteID) || slices.ContainsFunc(l.inOrder, func(f *find) bool {
		return f.protection != nil && (f.ForayID == y.ID || f.SiteID == y.SiteID && y.Date <= f.Found.Date && f.Found.Date <= y.Ends())
	}) {
		return ""
	}
	return dwca.Route(y.Route)
}
