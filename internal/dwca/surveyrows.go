package dwca

import (
	"bufio"
	"cmp"
	"slices"
	"strconv"
)

// surveys writes a row for the season and each foray that states anything.
func (a *archiveWriter) surveys(b *bufio.Writer) error {
	b.WriteString(surveyTable.header())
	r := make([]string, suColumns)
	if s := a.d.Survey; s != nil {
		s.put(r)
		r[suEvent], r[suPerformedBy] = a.ids.of(eventPath, a.d.Public), listed(s.PerformedBy)
		if err := put(b, r); err != nil {
			return err
		}
	}
	for i := range a.d.Forays {
		f := &a.d.Forays[i]
		if f.Survey == nil {
			continue
		}
		f.Survey.put(r)
		r[suEvent], r[suPerformedBy] = a.ids.of(eventPath, f.Public), people(f.Survey.PerformedBy)
		if err := put(b, r); err != nil {
			return err
		}
	}
	return nil
}

// put fills the cells of the survey but for its event and people.
func (s *Survey) put(r []string) {
	r[suTargets], r[suExcluded] = listed(s.Targets), listed(s.Excluded)
	r[suFully] = strconv.FormatBool(s.FullyReported)
	r[suCompleteness], r[suCompletenessProtocol] = string(s.Completeness), s.CompletenessProtocol
	r[suAbsence], r[suAbsent] = strconv.FormatBool(len(s.Absences) > 0), s.absentTaxa()
	r[suInventory] = string(s.Inventory)
	var named, described []string
	for _, p := range s.Protocols {
		named = append(named, p.Name)
		if p.Description != "" {
			described = append(described, p.Description)
		}
	}
	r[suProtocols], r[suDescriptions] = listed(named), listed(described)
	if s.DurationMinutes > 0 {
		r[suDuration], r[suDurationUnit] = whole(s.DurationMinutes), durationUnit
	}
	if s.Area > 0 {
		r[suArea], r[suAreaUnit] = number(s.Area), s.AreaUnit
	}
	r[suEffortReported] = strconv.FormatBool(s.Effort > 0)
	if s.Effort > 0 {
		r[suEffort], r[suEffortUnit], r[suEffortProtocol] = number(s.Effort), effortUnit, s.EffortProtocol
	}
	r[suAbundance] = strconv.FormatBool(s.AbundanceReported)
	// Each find is counted once, under the name that it has, so the counts of
	// a genus don't hold those of its species.
	r[suInclusive] = strconv.FormatBool(false)
	if s.HasVouchers != nil {
		r[suVouchers] = strconv.FormatBool(*s.HasVouchers)
	}
	r[suInstitutions] = listed(s.Institutions)
}

// absences writes the rows of what was not found behind those of the finds,
// in the order of the identifiers.
func (a *archiveWriter) absences(b *bufio.Writer, r []string) error {
	type absent struct {
		foray *Foray
		*Absence
	}
	var list []absent
	for i := range a.d.Forays {
		f := &a.d.Forays[i]
		for j := range f.absences() {
			list = append(list, absent{f, &f.Survey.Absences[j]})
		}
	}
	slices.SortFunc(list, func(x, y absent) int { return cmp.Compare(x.Public, y.Public) })
	for _, x := range list {
		c := x.Name.cells()
		r[ocEvent], r[ocID] = a.ids.of(eventPath, x.foray.Public), a.ids.of(absencePath, x.Public)
		r[ocBasis], r[ocStatus] = absentBasis, statusAbsent
		r[ocRecordedBy], r[ocIdentifiedBy] = people(x.RecordedBy), listed(x.IdentifiedBy)
		if len(x.RecordedBy) == 0 {
			r[ocWithheld] = recorderWithheld
		}
		r[ocVerbatim], r[ocQualifier], r[ocName] = c.verbatim, c.qualifier, c.scientific
		r[ocAuthorship], r[ocRank] = c.authorship, c.rank
		r[ocKingdom], r[ocFamily], r[ocCode] = x.Name.Kingdom, x.Name.Family, "ICN"
		if err := put(b, r); err != nil {
			return err
		}
	}
	return nil
}

// absences are those of the foray's survey, none where it has no survey.
func (f *Foray) absences() []Absence {
	if f.Survey == nil {
		return nil
	}
	return f.Survey.Absences
}

// survey reads a row of survey.txt.
func (t *tablesReader) survey(r *tableReader) error {
	c := r.cells
	if _, twice := t.absent[c[suEvent]]; twice {
		return r.fail("a second row for the event %.80q", c[suEvent])
	}
	t.absent[c[suEvent]] = c[suAbsent]
	i, ok := t.forays[c[suEvent]]
	if !ok && c[suEvent] != t.season {
		return r.fail("the event %.80q is neither the season nor a foray", c[suEvent])
	}
	s := &Survey{
		Targets: readList(c[suTargets]), Excluded: readList(c[suExcluded]), Completeness: Completeness(c[suCompleteness]),
		CompletenessProtocol: c[suCompletenessProtocol], Inventory: InventoryType(c[suInventory]),
		EffortProtocol: c[suEffortProtocol], AreaUnit: c[suAreaUnit],
		Institutions: readList(c[suInstitutions]), PerformedBy: readPeople(c[suPerformedBy]),
	}
	for _, read := range []func(*tableReader) error{s.readFlags, s.readNumbers, s.readProtocols} {
		if err := read(r); err != nil {
			return err
		}
	}
	if ok {
		t.d.Forays[i].Survey = s
	} else {
		t.d.Survey = s
	}
	return nil
}

// readFlags takes the cells that are true or false.
func (s *Survey) readFlags(r *tableReader) error {
	c := r.cells
	var absent, effort, inclusive, vouchers bool
	for _, flag := range []struct {
		column int
		to     *bool
	}{{suFully, &s.FullyReported}, {suAbsence, &absent}, {suEffortReported, &effort},
		{suAbundance, &s.AbundanceReported}, {suInclusive, &inclusive}, {suVouchers, &vouchers}} {
		switch cell := c[flag.column]; {
		case cell == "true":
			*flag.to = true
		case cell == "" && flag.column == suVouchers:
		case cell != "false":
			return r.bad(flag.column)
		}
	}
	if c[suVouchers] != "" {
		s.HasVouchers = &vouchers
	}
	switch {
	case absent != (c[suAbsent] != ""):
		return r.bad(suAbsence)
	case effort != (c[suEffort] != ""):
		return r.bad(suEffortReported)
	case inclusive:
		return r.bad(suInclusive)
	}
	return nil
}

// readNumbers takes the numbers and checks their units.
func (s *Survey) readNumbers(r *tableReader) error {
	c := r.cells
	var ok bool
	if s.DurationMinutes, ok = readWhole(c[suDuration]); !ok {
		return r.bad(suDuration)
	}
	if s.Area, ok = readNumber(c[suArea]); !ok {
		return r.bad(suArea)
	}
	if s.Effort, ok = readNumber(c[suEffort]); !ok {
		return r.bad(suEffort)
	}
	if (c[suDuration] != "") != (c[suDurationUnit] == durationUnit) {
		return r.bad(suDurationUnit)
	}
	if (c[suEffort] != "") != (c[suEffortUnit] == effortUnit) {
		return r.bad(suEffortUnit)
	}
	return nil
}

// readProtocols joins the names of the methods with their descriptions.
func (s *Survey) readProtocols(r *tableReader) error {
	named, described := readList(r.cells[suProtocols]), readList(r.cells[suDescriptions])
	if len(described) > 0 && len(described) != len(named) {
		return r.bad(suDescriptions)
	}
	for i, name := range named {
		p := Protocol{Name: name}
		if len(described) > 0 {
			p.Description = described[i]
		}
		s.Protocols = append(s.Protocols, p)
	}
	return nil
}

// absence reads a row of occurrence.txt that says what was not found.
func (t *tablesReader) absence(r *tableReader) error {
	c := r.cells
	i, ok := t.forays[c[ocEvent]]
	if !ok || t.d.Forays[i].Survey == nil {
		return r.fail("the absence hangs on no foray that has a row in %s", surveyTable.file)
	}
	x := Absence{RecordedBy: readPeople(c[ocRecordedBy]), IdentifiedBy: readList(c[ocIdentifiedBy])}
	if x.Public, ok = t.ids.parse(absencePath, c[ocID]); !ok {
		return r.bad(ocID)
	}
	switch {
	case c[ocBasis] != absentBasis:
		return r.bad(ocBasis)
	case c[ocQuantity] != "":
		return r.bad(ocQuantity)
	}
	x.Name = nameCells{c[ocName], c[ocAuthorship], c[ocRank], c[ocQualifier], c[ocVerbatim]}.name(c[ocKingdom], c[ocFamily])
	s := t.d.Forays[i].Survey
	s.Absences = append(s.Absences, x)
	return nil
}

// checkAbsent holds that the absences of a tidied dataset are those that
// survey.txt lists.
func (t *tablesReader) checkAbsent() error {
	for i := range t.d.Forays {
		f := &t.d.Forays[i]
		listed, has := "", t.absent[t.ids.of(eventPath, f.Public)]
		if f.Survey != nil {
			listed = f.Survey.absentTaxa()
		}
		if listed != has {
			return invalid(surveyTable.file, "the absent taxa %.80q are not those of %s: fetch the deposit again", has, occurrenceTable.file)
		}
	}
	if has := t.absent[t.season]; has != "" {
		return invalid(surveyTable.file, "the absent taxa %.80q hang on the season: fetch the deposit again", has)
	}
	return nil
}
