package app

import (
	"cmp"
	"context"
	"maps"
	"slices"
	"sort"
	"strconv"
	"strings"

	"trug"
	"trug/internal/store"
)

// ledger is a season held in memory, as the amendments up to seq have made
// it. Once handed out it never changes: a change makes a new ledger that
// shares what stayed the same.
type ledger struct {
	seq         int64
	season      trug.Season
	people      map[trug.ID]trug.Person
	sites       map[trug.ID]trug.Site
	forays      map[trug.ID]trug.Foray
	taxa        map[trug.ID]trug.Taxon
	alikes      map[trug.ID]trug.LookAlike
	protections map[trug.ID]trug.Protection
	photographs map[trug.ID]trug.Photograph
	// outViews are the views that were taken out of their records, by
	// photograph. Nothing else of the ledger holds them, so nothing shows them.
	outViews map[trug.ID]trug.View
	deposits map[trug.ID]trug.Deposit
	slips    map[trug.ID]trug.SlipRange
	marks    map[trug.ID]trug.Mark
	wishes   map[trug.ID]trug.Wish
	marked   map[trug.ID]int // open marks by view
	// cards are what photographs show of the field card, by photograph;
	// batches are the printings of cards.
	cards   map[trug.ID]trug.FoundCard
	batches map[trug.ID]trug.CardBatch
	list    *trug.Checklist
	finds   map[trug.ID]*find
	inOrder []*find // by field number, without those withdrawn
	desk    *deskIndex
	// goneAlikes and goneProtections were taken off their lists; alikes and
	// protections hold those that stand.
	goneAlikes      map[trug.ID]trug.LookAlike
	goneProtections map[trug.ID]trug.Protection
	drawing         Drawing // nil when nothing is being drawn
	today           trug.Date
	// children holds the ledger for children; whole is set in that one alone.
	children *childLedger
	whole    *ledger
}

// find is a record with all that hangs on it.
type find struct {
	trug.Record
	views    []trug.View          // in the fixed order of kinds
	slips    []trug.Determination // in the order in which they were taken
	passes   []trug.Pass
	requests []trug.Request
	lifts    []trug.Lift
	sizes    []trug.Measurement // in the order of their making, those taken back as well
	colours  []trug.Colour      // likewise
	naming   trug.Naming
	// protection is set when the find's locality is kept from outsiders.
	protection *trug.Protection
	// others are the fields of a child's record that hold another's words.
	others map[string]bool
}

// ledger returns the season as it stands now.
func (a *App) ledger(ctx context.Context, season trug.ID) (*ledger, error) {
	a.mu.Lock()
	defer a.mu.Unlock()
	held := a.ledgers[season]
	err := a.Store.Read(ctx, func(r store.Reader) error {
		seq, err := r.LastSeq(ctx)
		if err != nil || held != nil && held.seq == seq {
			return err
		}
		next, err := refresh(ctx, r, held, season)
		if err != nil {
			return err
		}
		next.seq, held = seq, next
		return nil
	})
	if err != nil {
		return nil, err
	}
	a.ledgers[season] = held
	if today := a.today(held.season); held.drawing != a.Drawing || held.today != today {
		next := *held
		next.drawing, next.today, next.children = a.Drawing, today, &childLedger{}
		held = &next
		a.ledgers[season] = held
	}
	return held, nil
}

// ReadAhead reads every season into memory, the newest first, and works out what
// the lists of the Season desk are found by, so that whoever comes first need
// not wait for it. Nothing hangs on it: it gives up when ctx ends.
func (a *App) ReadAhead(ctx context.Context) error {
	seasons, err := a.Seasons(ctx)
	if err != nil {
		return err
	}
	slices.SortFunc(seasons, func(x, y trug.Season) int { return cmp.Compare(y.ID, x.ID) })
	for _, s := range seasons {
		l, err := a.ledger(ctx, s.ID)
		if err != nil {
			return err
		}
		for _, work := range l.desk.works() {
			if ctx.Err() != nil {
				return ctx.Err()
			}
			work()
		}
	}
	return nil
}

// inTheirOrder are the kinds of which it matters what came after what. Their
// identifiers are made by devices whose clocks may be wrong, so they count in
// the order in which the store took them; amendments come in that order anyway.
var inTheirOrder = map[store.Kind]bool{store.Determinations: true, store.Passes: true, store.Requests: true}

// refresh reads the whole season, or what was amended since held.
func refresh(ctx context.Context, r store.Reader, held *ledger, season trug.ID) (*ledger, error) {
	const batch = 5000
	if held != nil {
		changes, err := r.Since(ctx, season, held.seq, batch)
		if err != nil {
			return nil, err
		}
		// A redaction changes rows of which no amendment of their own tells.
		redacted := slices.ContainsFunc(changes, func(c store.Amendment) bool { return c.Kind == store.Redactions })
		if len(changes) < batch && !redacted {
			return held.amended(ctx, r, changes)
		}
	}
	l := &ledger{people: map[trug.ID]trug.Person{}, sites: map[trug.ID]trug.Site{}, forays: map[trug.ID]trug.Foray{},
		taxa: map[trug.ID]trug.Taxon{}, alikes: map[trug.ID]trug.LookAlike{}, protections: map[trug.ID]trug.Protection{},
		photographs: map[trug.ID]trug.Photograph{}, outViews: map[trug.ID]trug.View{}, deposits: map[trug.ID]trug.Deposit{},
		goneAlikes: map[trug.ID]trug.LookAlike{}, goneProtections: map[trug.ID]trug.Protection{},
		slips: map[trug.ID]trug.SlipRange{}, marks: map[trug.ID]trug.Mark{}, wishes: map[trug.ID]trug.Wish{}, cards: map[trug.ID]trug.FoundCard{},
		batches: map[trug.ID]trug.CardBatch{}, finds: map[trug.ID]*find{}}
	var err error
	if l.season, err = store.Get[trug.Season](ctx, r, season); err != nil {
		return nil, err
	}
	for _, kind := range store.Kinds {
		if kind == store.Seasons {
			continue
		}
		rows, err := r.Find(ctx, kind, store.Filter{Season: season})
		if err != nil {
			return nil, err
		}
		if inTheirOrder[kind] {
			taken, err := r.Taken(ctx, kind)
			if err != nil {
				return nil, err
			}
			slices.SortFunc(rows, func(x, y store.Row) int { return cmp.Compare(taken[x.ID], taken[y.ID]) })
		}
		for _, row := range rows {
			if err := l.take(row); err != nil {
				return nil, err
			}
		}
	}
	l.listNames()
	for _, f := range l.finds {
		f.work(l)
	}
	if err := l.traceAll(ctx, r); err != nil {
		return nil, err
	}
	l.children = &childLedger{}
	l.order()
	l.indexDesk(nil, nil)
	return l, nil
}

// amended returns a ledger with the changes made.
func (l *ledger) amended(ctx context.Context, r store.Reader, changes []store.Amendment) (*ledger, error) {
	changed := map[store.Kind][]trug.ID{}
	for _, c := range changes {
		changed[c.Kind] = append(changed[c.Kind], c.ID)
	}
	next := *l
	next.part(changed)
	var err error
	if next.season, err = store.Get[trug.Season](ctx, r, l.season.ID); err != nil {
		return nil, err
	}
	touched, names := map[trug.ID]bool{}, false
	for _, c := range changes {
		id := c.Parent
		switch c.Kind {
		case store.Records:
			id = c.ID
		case store.Taxa, store.LookAlikes, store.Protections:
			names = true
		}
		if f := next.finds[id]; f != nil && !touched[id] {
			next.finds[id] = f.copy()
		}
		touched[id] = true
		if err := next.take(store.Row{Kind: c.Kind, ID: c.ID, Season: c.Season, Parent: c.Parent, Body: c.After}); err != nil {
			return nil, err
		}
	}
	if names {
		next.listNames()
		for id, f := range next.finds {
			if !touched[id] {
				next.finds[id] = f.copy()
			}
			touched[id] = true
		}
	}
	for id := range touched {
		if f := next.finds[id]; f != nil {
			f.work(&next)
		}
	}
	if err := next.traceChanged(ctx, r, l, touched, changed[store.People]); err != nil {
		return nil, err
	}
	next.children = &childLedger{}
	next.order()
	next.indexDesk(l, changed)
	return &next, nil
}

// part gives a ledger maps of its own for what was changed; the rest it goes
// on sharing with the one that it was copied from.
func (l *ledger) part(changed map[store.Kind][]trug.ID) {
	own := func(kind store.Kind, clone func()) {
		if len(changed[kind]) > 0 {
			clone()
		}
	}
	own(store.People, func() { l.people = maps.Clone(l.people) })
	own(store.Sites, func() { l.sites = maps.Clone(l.sites) })
	own(store.Forays, func() { l.forays = maps.Clone(l.forays) })
	own(store.Taxa, func() { l.taxa = maps.Clone(l.taxa) })
	own(store.LookAlikes, func() { l.alikes, l.goneAlikes = maps.Clone(l.alikes), maps.Clone(l.goneAlikes) })
	own(store.Protections, func() { l.protections, l.goneProtections = maps.Clone(l.protections), maps.Clone(l.goneProtections) })
	own(store.Photographs, func() { l.photographs = maps.Clone(l.photographs) })
	own(store.SlipRanges, func() { l.slips = maps.Clone(l.slips) })
	own(store.Deposits, func() { l.deposits = maps.Clone(l.deposits) })
	own(store.Marks, func() { l.marks = maps.Clone(l.marks) })
	own(store.Wishes, func() { l.wishes = maps.Clone(l.wishes) })
	own(store.FoundCards, func() { l.cards = maps.Clone(l.cards) })
	own(store.CardBatches, func() { l.batches = maps.Clone(l.batches) })
	own(store.Views, func() { l.outViews = maps.Clone(l.outViews) })
	l.finds = maps.Clone(l.finds) // records, and what hangs on them
}

// take puts a row where it belongs.
func (l *ledger) take(row store.Row) error {
	switch row.Kind {
	case store.People:
		return keep(row, l.people)
	case store.Sites:
		return keep(row, l.sites)
	case store.Forays:
		return keep(row, l.forays)
	case store.Taxa:
		return keep(row, l.taxa)
	case store.LookAlikes:
		return keepOr(row, l.alikes, l.goneAlikes, func(a trug.LookAlike) bool { return !a.Removed.IsZero() })
	case store.Protections:
		return keepOr(row, l.protections, l.goneProtections, func(p trug.Protection) bool { return !p.Removed.IsZero() })
	case store.Photographs:
		return keep(row, l.photographs)
	case store.Deposits:
		return keep(row, l.deposits)
	case store.Marks:
		return keep(row, l.marks)
	case store.Wishes:
		return keep(row, l.wishes)
	case store.SlipRanges:
		return keep(row, l.slips)
	case store.CardBatches:
		return keep(row, l.batches)
	case store.FoundCards:
		var c trug.FoundCard
		err := store.Decode(row, &c)
		l.cards[c.PhotographID] = c
		return err
	case store.Measurements:
		return hang(row, &l.find(row.Parent).sizes, func(m trug.Measurement) trug.ID { return m.ID })
	case store.Colours:
		return hang(row, &l.find(row.Parent).colours, func(c trug.Colour) trug.ID { return c.ID })
	case store.Records:
		// Into a fresh record: what was blanked stands in no body, and the
		// former one is shared with older ledgers.
		var r trug.Record
		err := store.Decode(row, &r)
		l.find(row.ID).Record = r
		return err
	case store.Views:
		return l.takeView(row)
	case store.Determinations:
		return hang(row, &l.find(row.Parent).slips, func(d trug.Determination) trug.ID { return d.ID })
	case store.Passes:
		return hang(row, &l.find(row.Parent).passes, func(p trug.Pass) trug.ID { return p.ID })
	case store.Requests:
		return hang(row, &l.find(row.Parent).requests, func(q trug.Request) trug.ID { return q.ID })
	case store.Lifts:
		return hang(row, &l.find(row.Parent).lifts, func(q trug.Lift) trug.ID { return q.ID })
	}
	return nil
}

// takeView hangs a view on its find, or takes it down where it was withdrawn.
func (l *ledger) takeView(row store.Row) error {
	var v trug.View
	if err := store.Decode(row, &v); err != nil {
		return err
	}
	if v.Withdrawn.IsZero() {
		delete(l.outViews, v.PhotographID)
		return hang(row, &l.find(row.Parent).views, func(v trug.View) trug.ID { return v.ID })
	}
	l.outViews[v.PhotographID] = v
	f := l.find(row.Parent)
	f.views = slices.DeleteFunc(f.views, func(w trug.View) bool { return w.ID == v.ID })
	return nil
}

func keep[T any](row store.Row, into map[trug.ID]T) error {
	var thing T
	if err := store.Decode(row, &thing); err != nil {
		return err
	}
	into[row.ID] = thing
	return nil
}

// keepOr keeps a thing in one of two maps, by whether it has gone.
func keepOr[T any](row store.Row, standing, gone map[trug.ID]T, went func(T) bool) error {
	var thing T
	if err := store.Decode(row, &thing); err != nil {
		return err
	}
	into, other := standing, gone
	if went(thing) {
		into, other = gone, standing
	}
	into[row.ID] = thing
	delete(other, row.ID)
	return nil
}

// hang adds a thing to a find's list, or puts it in place of its former self.
func hang[T any](row store.Row, list *[]T, id func(T) trug.ID) error {
	var thing T
	if err := store.Decode(row, &thing); err != nil {
		return err
	}
	if i := slices.IndexFunc(*list, func(t T) bool { return id(t) == row.ID }); i >= 0 {
		(*list)[i] = thing
	} else {
		*list = append(*list, thing)
	}
	return nil
}

// find returns the find with the identifier, a new one when there is none yet.
func (l *ledger) find(id trug.ID) *find {
	f := l.finds[id]
	if f == nil {
		f = &find{}
		l.finds[id] = f
	}
	return f
}

// stands reports whether there is a record, and one that was not withdrawn.
func (f *find) stands() bool { return f != nil && f.ID != "" && f.Withdrawn.IsZero() }

// copy returns a find that can be changed without changing f.
func (f *find) copy() *find {
	g := *f
	g.views, g.slips = slices.Clone(f.views), slices.Clone(f.slips)
	g.sizes, g.colours = slices.Clone(f.sizes), slices.Clone(f.colours)
	g.passes, g.requests, g.lifts = slices.Clone(f.passes), slices.Clone(f.requests), slices.Clone(f.lifts)
	return &g
}

// work computes what follows from the parts: order, naming, protection.
func (f *find) work(l *ledger) {
	sort.SliceStable(f.views, func(i, j int) bool {
		if a, b := f.views[i].Kind.Order(), f.views[j].Kind.Order(); a != b {
			return a < b
		}
		return f.views[i].ID < f.views[j].ID
	})
	f.naming = trug.NameFind(f.slips, f.FieldName, l.list)
	f.protection = protects(f, l.list)
}

// listNames builds the checklist from its names.
func (l *ledger) listNames() {
	byID := func(a, b trug.Taxon) int { return strings.Compare(a.Name, b.Name) }
	l.list = trug.NewChecklist(slices.SortedFunc(maps.Values(l.taxa), byID),
		slices.Collect(maps.Values(l.alikes)), slices.Collect(maps.Values(l.protections)))
}

// order sorts the finds by field number and leaves out what was withdrawn and
// what has no record: a view whose record is not read is none that can be
// shown.
func (l *ledger) order() {
	l.countMarks()
	l.inOrder = l.inOrder[:0:0]
	for _, f := range l.finds {
		if f.stands() {
			l.inOrder = append(l.inOrder, f)
		}
	}
	slices.SortFunc(l.inOrder, func(a, b *find) int {
		if d := numberOf(a.Number) - numberOf(b.Number); d != 0 {
			return d
		}
		return strings.Compare(a.Number, b.Number)
	})
}

// numberOf returns the running figure of a field number: 100 of "W26-0100".
func numberOf(number string) int {
	n, _ := strconv.Atoi(number[strings.LastIndex(number, "-")+1:])
	return n
}

// kinds returns the kinds of the find's views. Views that the demonstration
// is still drawing count: the record has them, the painter has not.
func (l *ledger) kinds(f *find) []trug.ViewKind {
	kinds := make([]trug.ViewKind, 0, len(f.views))
	for _, v := range f.views {
		if !l.photographs[v.PhotographID].Unreadable {
			kinds = append(kinds, v.Kind)
		}
	}
	if l.drawing != nil {
		kinds = append(kinds, l.drawing.Still(f.ID)...)
	}
	return kinds
}

// person returns how somebody is called inside the season.
func (l *ledger) person(id trug.ID) string { return l.people[id].Name }
