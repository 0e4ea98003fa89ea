package app

import (
	"context"
	"slices"
	"strings"

	"trug"
)

// pile is a group of the table: finds that one determiner would take together.
type pile struct {
	code, title, short, drawing string
	forms                       []string
	// on restricts a pile to substrates; nil takes what is left.
	on []string
}

// piles are tried in order; the last takes everything.
var piles = []pile{
	{"gilled-grass", "Gilled, in grass", "In grass", "form-gilled", []string{"gilled", "gilled_shell"}, []string{"grass", "dung", "sand"}},
	{"gilled-wood", "Gilled, on wood", "On wood", "form-gilled", []string{"gilled", "gilled_shell"},
		[]string{"living_tree", "dead_standing", "dead_fallen", "dead_branch", "stump", "buried_wood", "worked_wood", "chips", "bark", "cone"}},
	{"gilled-soil", "Gilled, on soil and litter", "On soil and litter", "form-gilled", []string{"gilled", "gilled_shell"}, nil},
	{"boletes", "Fleshy, with pores", "Boletes", "under-pores", []string{"bolete"}, nil},
	{"brackets", "Brackets and crusts", "Brackets", "form-bracket", []string{"bracket", "half_bracket", "crust", "pored_stalked"}, nil},
	{"spines", "Spines and folds", "Spines, folds", "under-spines", []string{"spined_stalked", "spined_hanging", "chanterelle"}, nil},
	{"clubs", "Clubs, corals, rosettes", "Clubs, corals", "form-club", []string{"club", "coral", "rosette"}, nil},
	{"cups", "Cups, saddles, honeycombs", "Cups", "form-cup", []string{"cup", "saddle_brain", "honeycomb"}, nil},
	{"balls", "Balls, stars, eggs, nests", "Balls, nests", "form-ball", []string{"puffball", "earthball", "earthstar", "stalked_puffball", "stinkhorn", "birds_nest", "truffle"}, nil},
	{"jellies", "Jellies", "Jellies", "form-jelly", []string{"jelly"}, nil},
	{"hard", "Hard, black, flask-like", "Hard, black", "form-flask", []string{"hard_stroma"}, nil},
	{"lichens", "Lichens", "Lichens", "form-lichen", []string{"lichen_crust", "lichen_powder", "lichen_lobed_crust", "lichen_scale", "lichen_leaf", "lichen_shrub", "lichen_beard", "lichen_cup_stalk", "lichen_jelly"}, nil},
	{"slime", "Slime moulds", "Slime moulds", "form-ball", []string{"slime_stalked", "slime_veins", "slime_cushion", "slime_packed", "slime_creeping"}, nil},
	{"unsorted", "Form not said", "Not sorted", "view-top", nil, nil},
}

// pileOf returns the index of the pile in which the find lies.
func pileOf(f *find) int {
	for i, p := range piles {
		if slices.Contains(p.forms, f.Form) && (p.on == nil || slices.Contains(p.on, f.Substrate)) {
			return i
		}
	}
	return len(piles) - 1
}

// Table returns what waits for the viewer: finds without a name, those that
// want a second opinion, and those whose opinions differ, as far as the
// viewer has not had their say, and nobody passed them to somebody else. Who
// coordinates and names nothing reads all that waits for anybody.
func (a *App) Table(ctx context.Context, v Viewer) (TablePage, error) {
	l, err := a.open(ctx, v, OpenTable)
	if err != nil {
		return TablePage{}, err
	}
	page := TablePage{Groups: []TableGroup{}}
	groups := make([]TableGroup, len(piles))
	for _, f := range l.inOrder {
		why, mine := l.waitsFor(v, f)
		if why == "" {
			continue
		}
		page.Waits++
		g := &groups[pileOf(f)]
		g.Finds = append(g.Finds, TableFind{ID: f.ID, Number: f.Number, Why: why, PassedToMe: mine, Care: l.careBefore(v, f)})
	}
	for i, g := range groups {
		if len(g.Finds) > 0 {
			p := piles[i]
			g.Code, g.Title, g.Short, g.Drawing = p.code, p.title, p.short, p.drawing
			page.Groups = append(page.Groups, g)
		}
	}
	page.Determiners = l.determiners(v)
	return page, nil
}

// determiners lists who names finds, but for the viewer.
func (l *ledger) determiners(v Viewer) []ShownDeterminer {
	out := []ShownDeterminer{}
	for _, p := range l.people {
		if p.Has(trug.DeterminerRole) && !v.is(p.ID) {
			out = append(out, ShownDeterminer{ID: p.ID, Code: p.Code, Name: p.Name, Scope: p.Scope})
		}
	}
	slices.SortFunc(out, func(x, y ShownDeterminer) int { return strings.Compare(x.Name, y.Name) })
	return out
}

// why says what the find waits for: "name", "second opinion" or "differ";
// empty when it waits for nothing.
func (f *find) why() string {
	switch n := f.naming; {
	case len(f.slips) == 0:
		return "name"
	case n.Differ:
		return "differ"
	case n.Held:
		return "second opinion"
	}
	return ""
}

// waitsFor says why the find waits for the viewer: "name", "second opinion"
// or "differ"; empty when it does not. passed tells that it was handed to them.
func (l *ledger) waitsFor(v Viewer, f *find) (why string, passed bool) {
	if !v.May(PutName) {
		return f.why(), false
	}
	for _, d := range f.slips {
		if v.is(d.By) {
			return "", false
		}
	}
	if v.is(f.RecorderID) {
		return "", false // nobody names their own find independently
	}
	if why = f.why(); why == "" || len(f.passes) == 0 {
		return why, false
	}
	last := f.passes[len(f.passes)-1]
	switch {
	case v.is(last.To):
		return why, true
	case last.To != "":
		return "", false
	}
	for _, p := range f.passes {
		if v.is(p.By) {
			return "", false
		}
	}
	return why, false
}

// careBefore reports whether a look-alike is to be ruled out. While earlier
// opinions lie under the flap it is known only where the flap was lifted: a
// stroke across the tick would tell what others thought.
func (l *ledger) careBefore(v Viewer, f *find) bool {
	return f.naming.Held && !l.underFlap(v, f)
}
