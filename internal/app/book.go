package app

import (
	"cmp"
	"context"
	"maps"
	"slices"
	"strings"

	"trug"
	"trug/science/describe"
)

// facts of the Record book's filters, each a question of a find.
var bookFacts = map[string]func(l *ledger, v Viewer, f *find) bool{
	"no-photograph": func(l *ledger, _ Viewer, f *find) bool { return len(l.kinds(f)) == 0 },
	"no-place":      func(_ *ledger, _ Viewer, f *find) bool { return f.Place == nil },
	"no-name":       func(_ *ledger, _ Viewer, f *find) bool { return len(f.slips) == 0 },
	"one-opinion":   func(_ *ledger, _ Viewer, f *find) bool { return f.naming.Opinions == 1 },
	"differ":        func(_ *ledger, _ Viewer, f *find) bool { return f.naming.Differ },
	"held":          func(l *ledger, v Viewer, f *find) bool { return f.naming.Held && len(f.slips) > 0 && l.mayNameAny(v) },
	"asked":         func(l *ledger, v Viewer, f *find) bool { return len(l.asked(v, f)) > 0 },
	// Under the flap a protection would tell what others named it.
	"protected": func(l *ledger, v Viewer, f *find) bool { return f.protection != nil && !l.underFlap(v, f) },
	"mine":      func(_ *ledger, v Viewer, f *find) bool { return v.is(f.RecorderID) },
	"microscope": func(_ *ledger, _ Viewer, f *find) bool {
		return slices.ContainsFunc(f.naming.Counting, func(d trug.Determination) bool {
			return slices.Contains(d.Basis, trug.FromMicroscope)
		})
	},
}

func init() {
	for _, k := range trug.ViewKinds {
		bookFacts["lacks:"+string(k)] = func(l *ledger, _ Viewer, f *find) bool {
			// Of the four views a find lacks what is asked for; of the others whatever is not there.
			asked := !slices.Contains(trug.FourViews, k) || slices.Contains(trug.Wanted(f.Form), k)
			return asked && !slices.Contains(l.kinds(f), k)
		}
	}
}

// Book returns the lines of the Record book that answer the query, among the
// records the viewer may know of.
func (a *App) Book(ctx context.Context, v Viewer, q BookQuery) (BookPage, error) {
	l, err := a.open(ctx, v, OpenBook)
	if err != nil {
		return BookPage{}, err
	}
	if err := q.check(); err != nil {
		return BookPage{}, err
	}
	wanted, err := q.wanted()
	if err != nil {
		return BookPage{}, err
	}
	off := map[trug.ID]float64{}
	var measured [][]trug.Colour
	page := BookPage{Lines: []BookLine{}, Counts: map[string]int{}, Forms: []Choice{}, Forays: l.forayChoices(v), Sites: l.siteChoices(v)}
	forms := map[string]bool{}
	var chosen []*find
	for _, f := range l.inOrder {
		if !l.visible(v, f) {
			continue
		}
		page.All++
		forms[f.Form] = true
		for name, holds := range bookFacts {
			if holds(l, v, f) {
				page.Counts[name]++
			}
		}
		colours := l.coloursFor(v, f)
		if len(colours) > 0 {
			measured = append(measured, colours)
		}
		if !l.answers(v, f, q) {
			continue
		}
		if wanted != nil {
			d, ok := wanted.nearest(colours)
			if !ok {
				continue
			}
			off[f.ID] = d
		}
		chosen = append(chosen, f)
	}
	for _, s := range describe.States("form") {
		if forms[s.Name] {
			page.Forms = append(page.Forms, Choice{State: s.Name, Label: s.Label, Says: s.Says})
		}
	}
	page.ColourNames = colourNames(measured)
	l.sortBook(v, chosen, q.Sort)
	if q.Sort == "colour" {
		slices.SortStableFunc(chosen, func(x, y *find) int { return cmp.Compare(off[x.ID], off[y.ID]) })
	}
	page.Total = len(chosen)
	chosen = chosen[min(q.From, len(chosen)):]
	chosen = chosen[:min(q.Limit, len(chosen))]
	for _, f := range chosen {
		line := l.bookLine(v, f)
		line.Off = off[f.ID]
		page.Lines = append(page.Lines, line)
	}
	// A line names the site of its find.
	if err := a.note(ctx, l, v, byBook, chosen...); err != nil {
		return BookPage{}, err
	}
	return page, nil
}

// check fills in what was left open and refuses what can't be asked.
func (q *BookQuery) check() error {
	if q.Limit <= 0 || q.Limit > 500 {
		q.Limit = 50
	}
	q.From = max(q.From, 0)
	for _, f := range q.Facts {
		if bookFacts[f] == nil {
			return trug.Errorf(trug.Invalid, "fact", "the Record book has no such fact: %q. It has %s", f, strings.Join(slices.Sorted(maps.Keys(bookFacts)), ", "))
		}
	}
	if !slices.Contains([]string{"", "number", "-number", "date", "-date", "name", "recorder", "site", "colour"}, q.Sort) {
		return trug.Errorf(trug.Invalid, "sort", "the Record book can't be sorted by %q: use number, -number, date, -date, name, recorder, site or colour", q.Sort)
	}
	return nil
}

// answers reports whether a find answers the query.
func (l *ledger) answers(v Viewer, f *find, q BookQuery) bool {
	foray, site := l.forays[f.ForayID], l.sites[f.SiteID]
	if !l.knows(v, f.SiteID) {
		foray, site = trug.Foray{}, trug.Site{}
	}
	if q.Form != "" && f.Form != q.Form || q.Foray != "" && foray.Code != q.Foray || q.Site != "" && site.Code != q.Site {
		return false
	}
	for _, name := range q.Facts {
		if !bookFacts[name](l, v, f) {
			return false
		}
	}
	if q.Text == "" {
		return true
	}
	text := []string{f.Number, l.person(f.RecorderID), site.Name, foray.Name, f.Host, f.Remarks,
		label("form", f.Form), label("substrate", f.Substrate), l.shownName(v, f).Name}
	if l.mayFieldName(v, f) {
		text = append(text, f.FieldName.Name)
	}
	if !l.underFlap(v, f) {
		if t, ok := l.list.Accepted(l.shownName(v, f).Name); ok {
			text = append(text, t.Vernacular)
		}
	}
	all := strings.ToLower(strings.Join(text, "\n"))
	for _, word := range strings.Fields(strings.ToLower(q.Text)) {
		if !strings.Contains(all, word) {
			return false
		}
	}
	return true
}

// sortBook orders finds by the column; ties stay in order of field number.
func (l *ledger) sortBook(v Viewer, finds []*find, by string) {
	key := map[string]func(f *find) string{
		"date": func(f *find) string { return f.Found.ISO() },
		"name": func(f *find) string {
			if n := l.shownName(v, f); n.Name != "" {
				return n.Name
			}
			return "\uffff" // what has no name stands last
		},
		"recorder": func(f *find) string { return l.person(f.RecorderID) },
		"site":     func(f *find) string { return l.whereabouts(v, f).words },
	}[strings.TrimPrefix(by, "-")]
	if key != nil {
		slices.SortStableFunc(finds, func(x, y *find) int { return strings.Compare(key(x), key(y)) })
	}
	if strings.HasPrefix(by, "-") {
		slices.Reverse(finds)
	}
}

func (l *ledger) bookLine(v Viewer, f *find) BookLine {
	w := l.whereabouts(v, f)
	line := BookLine{ID: f.ID, Number: f.Number, Name: l.shownName(v, f), Date: string(w.found.Date), Place: w.words,
		Recorder: l.person(f.RecorderID), On: onWords(f.Record).String(), Naming: l.namingWords(v, f).String(), Protected: f.protection != nil,
		Facts: trug.FactsOf(f.Record, l.kinds(f), l.person(f.RecorderID)).Sentence()}
	if l.underFlap(v, f) {
		line.Facts, line.Protected = l.factsUnderFlap(f).String(), false
	}
	line.Thumb, line.Tones = l.thumb(v, f), tonesOf(l.coloursFor(v, f))
	return line
}

func (l *ledger) forayChoices(v Viewer) []Coded {
	out := []Coded{}
	for _, y := range l.forays {
		if l.knows(v, y.SiteID) {
			out = append(out, Coded{Code: y.Code, Name: y.Name})
		}
	}
	return byCode(out)
}

func (l *ledger) siteChoices(v Viewer) []Coded {
	out := []Coded{}
	for _, s := range l.sites {
		if l.knows(v, s.ID) {
			out = append(out, Coded{Code: s.Code, Name: s.Name})
		}
	}
	return byCode(out)
}

func byCode(list []Coded) []Coded {
	slices.SortFunc(list, func(x, y Coded) int { return strings.Compare(x.Code, y.Code) })
	return list
}
