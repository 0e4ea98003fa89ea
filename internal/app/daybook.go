package app

import (
	"context"
	"slices"
	"strings"

	"trug"
)

// Daybook returns the viewer's own records of a day, today's when none is
// given, newest first, with the other days that have some.
func (a *App) Daybook(ctx context.Context, v Viewer, day trug.Date) (DaybookPage, error) {
	l, err := a.open(ctx, v, OpenDaybook)
	if err != nil {
		return DaybookPage{}, err
	}
	if day == "" {
		day = a.today(l.season)
	}
	if !day.Valid() {
		return DaybookPage{}, trug.Errorf(trug.Invalid, "date", "%q is not a day: write it as 2026-10-10", day)
	}
	page := DaybookPage{Date: day, Finds: []DayFind{}, Days: []DayCount{}, With: l.askedOfChildren(v)}
	counts := map[trug.Date]int{}
	var where []string
	for _, f := range slices.Backward(l.inOrder) {
		if !v.is(f.RecorderID) {
			continue
		}
		counts[f.Found.Date]++
		if f.Found.Date != day {
			continue
		}
		page.Finds = append(page.Finds, a.dayFind(l, v, f))
		if w := l.whereabouts(v, f).words; !slices.Contains(where, w) {
			where = append(where, w)
		}
	}
	page.Where = strings.Join(where, ", ")
	for d, n := range counts {
		if d != day {
			page.Days = append(page.Days, DayCount{Date: d, Finds: n})
		}
	}
	slices.SortFunc(page.Days, func(x, y DayCount) int { return strings.Compare(string(y.Date), string(x.Date)) })
	return page, nil
}

func (a *App) dayFind(l *ledger, v Viewer, f *find) DayFind {
	facts := trug.FactsOf(f.Record, l.kinds(f), l.person(f.RecorderID))
	d := DayFind{ID: f.ID, Number: f.Number, On: onWords(f.Record).String(), Has: notNil(facts.Has), Misses: notNil(facts.Misses),
		Facts: facts.Sentence(), Asked: l.asked(v, f), Drawing: a.waits(f)}
	d.Name = l.dayName(v, f)
	if l.named(v, f) {
		d.Det = l.namingWords(v, f).String()
		d.Said.Put("det", l.namingWords(v, f))
	}
	d.Said.Put("on", onWords(f.Record))
	d.Said.Put("facts", facts.Said())
	d.Thumb = l.thumb(v, f)
	return d
}

// named reports whether the viewer reads an opinion on the find.
func (l *ledger) named(v Viewer, f *find) bool {
	return len(f.slips) > 0 && !(f.naming.Held && !l.mayNameAny(v))
}

// dayName is how a find is called to those whose Daybook it stands in.
func (l *ledger) dayName(v Viewer, f *find) ShownName {
	switch {
	case l.named(v, f):
		return l.shownName(v, f)
	case f.FieldName.Name != "":
		return ShownName{Name: f.FieldName.Name, Rank: rankOf(f.FieldName.Name)}
	}
	return instead("No name yet")
}

// waits reports whether the demonstration is still drawing the find's views.
func (a *App) waits(f *find) bool { return a.Drawing != nil && len(a.Drawing.Still(f.ID)) > 0 }

// rankOf guesses the rank of a name as written: one word is a genus.
func rankOf(name string) trug.Rank {
	if strings.Contains(strings.TrimSpace(name), " ") {
		return trug.Species
	}
	return trug.Genus
}

func notNil[T any](list []T) []T {
	if list == nil {
		return []T{}
	}
	return list
}
