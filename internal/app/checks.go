package app

import (
	"context"
	"fmt"
	"slices"

	"trug"
)

// BeforeDeposit looks at the season before it is published.
func (a *App) BeforeDeposit(ctx context.Context, v Viewer) (BeforeDeposit, error) {
	l, err := a.open(ctx, v, PrepareDeposit)
	if err != nil {
		return BeforeDeposit{}, err
	}
	b := BeforeDeposit{Number: l.nextDeposit(), Checks: a.checks(l, v), CanGo: true, Example: l.seenTwice(v)}
	for _, c := range b.Checks {
		if c.Holds == "stops" {
			b.CanGo = false
		}
	}
	if b.Example != nil {
		err = a.note(ctx, l, v, byChecks, l.byNumber()[b.Example.Number])
	}
	return b, err
}

// checks lists what is looked at before a deposit, what stops it first.
func (a *App) checks(l *ledger, v Viewer) []Check {
	var drawing, noName, held, lacksView, noPlace, outside, protected, offList, anonymous int
	for _, f := range l.inOrder {
		if a.waits(f) {
			drawing++
		}
		if len(f.slips) == 0 {
			noName++
		}
		if f.naming.Held && len(f.slips) > 0 {
			held++
		}
		if slices.ContainsFunc(trug.Wanted(f.Form), func(k trug.ViewKind) bool { return !slices.Contains(l.kinds(f), k) }) {
			lacksView++
		}
		if f.Place == nil {
			noPlace++
		} else if l.outsideArea(f.Place.Position) > 0 {
			outside++
		}
		if f.protection != nil {
			protected++
		}
		if slices.ContainsFunc(f.naming.Counting, func(d trug.Determination) bool { return d.TaxonID == "" }) {
			offList++
		}
		if l.credit(f.RecorderID) == "" {
			anonymous++
		}
	}
	n := len(l.inOrder)
	checks := []Check{
		check(n == 0, "stops", "There is no record yet.", "A deposit needs at least one.", sentence(count(n, "record"))+".", "Each has a field number, a recorder and a day.", ""),
		check(l.season.RightsHolder == "", "stops", "Nobody is named as holding the rights.", "Say who does at the Season desk.",
			"The licence and who holds the rights are stated.", fmt.Sprintf("%s, %s.", l.season.Licence, l.season.RightsHolder), ""),
		check(drawing > 0, "remark", fmt.Sprintf("Photographs of %d records are still being drawn.", drawing), "Those not drawn yet would be missing: wait, if you can.",
			"Every photograph is there.", "", ""),
		check(held > 0, "remark", fmt.Sprintf("%s on the look-alike or protected list for a second opinion.", waitWords(held)),
			"They go out as Fungi, without name and slips, until two independent opinions have been given.",
			"No name on the look-alike list waits for a second opinion.", "", "held"),
		check(noName > 0, "remark", fmt.Sprintf("%s no determination.", hasWords(noName, n)), "They go out as Fungi, with their views and field names.",
			"Every record has a determination.", "", "no-name"),
		check(lacksView > 0, "remark", fmt.Sprintf("%s a view that is asked of their form, or more.", lackWords(lacksView, n)), "The views that are there go out.",
			"Every record has the views that are asked of its form.", "", ""),
		check(noPlace > 0, "remark", fmt.Sprintf("%s no place.", hasWords(noPlace, n)), "They go out without coordinates.",
			"Every record has a place and how sure it is.", "", "no-place"),
		check(outside > 0, "remark", fmt.Sprintf("%s outside the season's area.", lieWords(outside)), "They go out as they are; somebody said that the place is right.",
			"Every place lies inside the season's area.", "", ""),
		check(offList > 0, "remark", fmt.Sprintf("%s on the season's checklist.", notOnListWords(offList)), "They go out as they were given.",
			"All names stand on the season's checklist,", "with authors; the name as first written is kept beside each.", ""),
		{Holds: "yes", Lead: fmt.Sprintf("%s of protected names", sentence(count(protected, "record"))),
			Says: "go out as the rule of their name says: as the season's area or a square, and the month, without visit, time, photograph, number or recorder; or not at all.", Fact: "protected"},
		{Holds: "yes", Lead: "People are named as they asked.", Says: fmt.Sprintf("%s without the recorder's name.", goOutWords(anonymous))},
		{Holds: "yes", Lead: "The archive is read back before it is kept,", Says: "and must give the same records, views and determinations."},
	}
	slices.SortStableFunc(checks, func(x, y Check) int { return weight(x.Holds) - weight(y.Holds) })
	return checks
}

func weight(holds string) int { return slices.Index([]string{"stops", "remark", "yes"}, holds) }

// check is a check that either fails as told or holds as told.
func check(fails bool, how, lead, says, holdsLead, holdsSays, fact string) Check {
	if fails {
		return Check{Holds: how, Lead: lead, Says: says, Fact: fact}
	}
	return Check{Holds: "yes", Lead: holdsLead, Says: holdsSays}
}

func waitWords(n int) string {
	if n == 1 {
		return "One find waits"
	}
	return count(n, "find") + " wait"
}

func hasWords(n, all int) string {
	if n == 1 {
		return fmt.Sprintf("1 of %d records has", all)
	}
	return fmt.Sprintf("%d of %d records have", n, all)
}

func lackWords(n, all int) string {
	if n == 1 {
		return fmt.Sprintf("1 of %d records lacks", all)
	}
	return fmt.Sprintf("%d of %d records lack", n, all)
}

func lieWords(n int) string {
	if n == 1 {
		return "One place lies"
	}
	return count(n, "place") + " lie"
}

func notOnListWords(n int) string {
	if n == 1 {
		return "One name is not"
	}
	return count(n, "name") + " are not"
}

func goOutWords(n int) string {
	if n == 1 {
		return "One record goes out"
	}
	return count(n, "record") + " go out"
}

// seenTwice shows one protected find as the viewer and as outsiders see it.
func (l *ledger) seenTwice(v Viewer) *SeenTwice {
	for _, f := range l.inOrder {
		if f.protection == nil {
			continue
		}
		outsider := Viewer{Season: v.Season}
		return &SeenTwice{Name: l.shownName(v, f), Number: f.Number, Yours: l.showPlace(v, f), YourDate: foundWords(f.Found).String(),
			Outside: l.showPlace(outsider, f), OutDate: monthWords(l.whereabouts(outsider, f).month),
			DecidedBy: "Decided by the coordinator: " + lowerFirst(sentence(f.protection.Reason)) + "."}
	}
	return nil
}
