package dwca

import (
	"math"
	"slices"
	"strings"

	"trug"
)

// seasonSurvey checks what is stated of the season itself. What its forays
// state is never summed up for it, by the hierarchy guide of Darwin Core
// (http://rs.tdwg.org/dwc/doc/hierarchy/, 3.2.1 to 3.2.3).
func (c *checker) seasonSurvey(s *Survey) {
	if s == nil {
		return
	}
	c.survey("survey", s)
	if len(s.Absences) > 0 || s.DurationMinutes != 0 || s.Effort != 0 || s.Area != 0 {
		c.fail("survey", "absences, duration, effort and area are told by forays and never summed up for the season: leave them out there")
	}
}

func (c *checker) foraySurvey(field string, f *Foray) {
	s := f.Survey
	if s == nil {
		return
	}
	c.survey(field, s)
	c.absences(field, f)
	// Both are the time of search summed over the people, and the deposit
	// gives both: they may differ by rounding alone.
	if product := float64(f.People * f.Minutes); product > 0 && s.Effort > 0 && math.Abs(s.Effort*60-product) > 1 {
		c.fail(field, "an effort of %g person-hours is not that of %d people x %d minutes: leave the minutes out where people searched for different times", s.Effort, f.People, f.Minutes)
	}
}

func (c *checker) survey(field string, s *Survey) {
	if !slices.Contains([]Completeness{"", NotReported, ReportedComplete, ReportedIncomplete}, s.Completeness) {
		c.fail(field, "%q is no word for completeness: choose notReported, reportedComplete or reportedIncomplete", s.Completeness)
	}
	if !slices.Contains([]InventoryType{"", OpenSearch, RestrictedSearch, OpportunisticSearch, Adventitious}, s.Inventory) {
		c.fail(field, "%q is not a kind of search: choose openSearch, restrictedSearch, opportunisticSearch or adventitious", s.Inventory)
	}
	if s.DurationMinutes < 0 || s.DurationMinutes > mostMinutes {
		c.fail(field, "%d minutes can't be the duration of a foray: give 1 to %d, or 0 for not known", s.DurationMinutes, mostMinutes)
	}
	for _, x := range []float64{s.Effort, s.Area} {
		if x < 0 || math.IsNaN(x) || math.IsInf(x, 0) {
			c.fail(field, "%g can't be an effort or an area: give a positive number, or 0 for not known", x)
		}
	}
	if s.Area > 0 && !slices.Contains(AreaUnits, s.AreaUnit) {
		c.fail(field, "%q is not a unit of areas: choose one of %s", s.AreaUnit, strings.Join(AreaUnits, ", "))
	}
	if len(s.Institutions) > 0 && (s.HasVouchers == nil || !*s.HasVouchers) {
		c.fail(field, "it names a fungarium and no vouchers: say that there are vouchers, or leave it out")
	}
	c.protocols(field, s.Protocols)
	c.scope(field, s)
}

func (c *checker) protocols(field string, list []Protocol) {
	described := 0
	for _, p := range list {
		if p.Name == "" {
			c.fail(field, "a protocol has no name: give it one, such as timedSearch")
		}
		if p.Description != "" {
			described++
		}
	}
	if described > 0 && described < len(list) {
		c.fail(field, "some protocols are described and some are not: describe all or none")
	}
}

// scope checks that what says something of a scope says of which. Its terms
// are only defined for open and restricted searches.
func (c *checker) scope(field string, s *Survey) {
	if len(s.Targets) > 0 && (s.Inventory == OpenSearch || s.Inventory == RestrictedSearch) {
		return
	}
	const needs = "is only said of an open or restricted search for stated taxa: state the kind of search and the target taxa, or leave it out"
	if s.FullyReported {
		c.fail(field, "that everything seen is reported %s", needs)
	}
	if s.Completeness == ReportedComplete || s.Completeness == ReportedIncomplete {
		c.fail(field, "how complete it is %s", needs)
	}
	if len(s.Absences) > 0 {
		c.fail(field, "what was not found %s", needs)
	}
}

func (c *checker) absences(field string, f *Foray) {
	absent := map[string]bool{}
	for i := range f.Survey.Absences {
		x := &f.Survey.Absences[i]
		own := "absence " + string(x.Public)
		c.public(own, x.Public)
		if x.Name.Name == "" {
			c.fail(own, "it gives no name")
		}
		c.name(own, x.Name)
		if q := x.Name.Qualifier; q != trug.NoQualifier && q != trug.Agg {
			c.fail(own, "nobody can look for %s in vain: give the name without it", q)
		}
		if absent[x.Name.Name] {
			c.fail(field, "%s is reported absent twice", x.Name.Name)
		}
		for _, taxon := range x.Name.taxa() {
			if slices.Contains(f.Survey.Excluded, taxon) {
				c.fail(field, "%s is reported absent, and %s was not looked for: leave one out", x.Name.Name, taxon)
			}
		}
		absent[x.Name.Name] = true
		c.absentAnywhere[x.Name.Name] = true
	}
	c.absent[f.Public] = absent
}

// notAbsent checks that a named find contradicts no absence, and that none
// tells where a withheld one was: see Survey.
func (c *checker) notAbsent(field string, f *Find) {
	for _, taxon := range f.Name.taxa() {
		switch {
		case taxon == "":
		case c.absent[f.Foray][taxon]:
			c.fail(field, "it is %s, which its foray reports absent: leave the absence out", f.Name.cells().verbatim)
			return
		case f.Month != "" && c.absentAnywhere[taxon]:
			c.fail(field, "its day is withheld, and %s is reported absent: that tells where it was not, so leave it out of all forays", taxon)
			return
		}
	}
}

// taxa are the name and the taxa that hold it, as far as it tells them. The
// name that an aff. denies is not among them.
func (n Name) taxa() []string {
	list := []string{n.Family, n.Kingdom}
	genus, _, several := strings.Cut(n.Name, " ")
	if n.Qualifier != trug.Aff {
		return append(list, n.Name, genus)
	}
	if several {
		list = append(list, genus)
	}
	return list
}
