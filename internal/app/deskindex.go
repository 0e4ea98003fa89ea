package app

import (
	"cmp"
	"maps"
	"slices"
	"strings"
	"sync"
	"sync/atomic"
	"unicode"

	"golang.org/x/text/unicode/norm"

	"trug"
	"trug/internal/store"
	"trug/science/place"
)

// deskIndex is what the lists of the Season desk are found by: a line for each
// thing, in order, with what is searched in and what is to be looked at worked
// out once. A ledger hands what did not change on to the one that follows.
type deskIndex struct {
	people       *made[[]*personLine] // by mark
	peopleByName *made[[]*personLine]
	called       *made[map[string]trug.ID] // by mark or name, in small letters
	sites        *made[[]*siteLine]        // by mark
	forays       *made[[]*forayLine]       // by day
	records      *made[map[trug.ID]int]    // of each site and of each foray
}

// works are the parts of the index to be worked out ahead, what is looked at
// most first.
func (d *deskIndex) works() []func() {
	return []func(){
		func() { d.forays.get() }, func() { d.sites.get() }, func() { d.people.get() }, func() { d.records.get() },
		func() {
			for _, s := range d.sites.get() {
				s.edge()
			}
		},
		func() { d.peopleByName.get() }, func() { d.called.get() },
	}
}

// made is a value that is worked out when it is first asked for.
type made[T any] struct {
	once  sync.Once
	ready atomic.Bool
	work  func() T
	value T
}

func toMake[T any](work func() T) *made[T] { return &made[T]{work: work} }

func (m *made[T]) get() T {
	m.once.Do(func() {
		m.value, m.work = m.work(), nil
		m.ready.Store(true)
	})
	return m.value
}

// kept returns m where it was worked out already, else a new one: what was
// never asked for would keep a ledger of the past in memory.
func kept[T any](m *made[T], work func() T) *made[T] {
	if m.ready.Load() {
		return m
	}
	return toMake(work)
}

// mark is a short mark taken apart, so that S2 stands before S10.
type mark struct {
	lead  string
	n     int // -1 without a figure
	width int // digits of the figure
}

func markOf(code string) mark {
	digits := len(code)
	for digits > 0 && '0' <= code[digits-1] && code[digits-1] <= '9' {
		digits--
	}
	m := mark{lead: code[:digits], n: -1, width: len(code) - digits}
	if 0 < m.width && m.width < 10 {
		m.n = 0
		for _, d := range code[digits:] {
			m.n = 10*m.n + int(d-'0')
		}
	}
	return m
}

func (m mark) compare(o mark) int {
	return cmp.Or(strings.Compare(m.lead, o.lead), cmp.Compare(m.n, o.n), cmp.Compare(m.width, o.width))
}

type personLine struct {
	id      trug.ID
	mark    mark
	name    string // folded
	letters string // of the name, for telling likeness
	text    string // what is searched in
	roles   []trug.Role
	minor   bool
}

type siteLine struct {
	trug.Site
	mark  mark
	text  string
	notes []string
	// edge is the outline as the map of all sites draws it.
	edge func() [][]place.Position
}

type forayLine struct {
	trug.Foray
	mark  mark
	text  string
	notes []string
}

// folded makes text comparable: no capitals, no accents.
func folded(text string) string {
	ascii := true
	for i := range len(text) {
		ascii = ascii && text[i] < 0x80
	}
	if ascii {
		return strings.ToLower(text)
	}
	return strings.ToLower(strings.Map(func(r rune) rune {
		if unicode.Is(unicode.M, r) {
			return -1
		}
		return r
	}, norm.NFD.String(text)))
}

func byMark(a, b *personLine) int {
	return cmp.Or(a.mark.compare(b.mark), strings.Compare(string(a.id), string(b.id)))
}

func byName(a, b *personLine) int { return cmp.Or(strings.Compare(a.name, b.name), byMark(a, b)) }

func sitesByMark(a, b *siteLine) int { return a.mark.compare(b.mark) }

func foraysByDay(a, b *forayLine) int {
	return cmp.Or(strings.Compare(string(a.Date), string(b.Date)), strings.Compare(a.Start, b.Start), a.mark.compare(b.mark))
}

func personLineOf(p trug.Person) *personLine {
	return &personLine{id: p.ID, mark: markOf(p.Code), name: folded(p.Name), letters: string(plain(p.Name)),
		text: folded(p.Code + "\n" + p.Name + "\n" + p.Credit + "\n" + p.Scope), roles: p.Roles, minor: p.Minor}
}

func (l *ledger) siteLineOf(s trug.Site) *siteLine {
	text := []string{s.Code, s.Name, s.Manager, s.Meeting}
	return &siteLine{Site: s, mark: markOf(s.Code), text: folded(strings.Join(append(text, s.Habitat...), "\n")), notes: l.siteNotes(s),
		edge: sync.OnceValue(func() [][]place.Position { return place.SimplifyRings(s.Outline, min(max(s.Radius/50, 2), 20)) })}
}

func (l *ledger) forayLineOf(y trug.Foray) *forayLine {
	site := l.sites[y.SiteID]
	text := []string{y.Code, y.Name, site.Code, site.Name, l.person(y.Leader), l.person(y.By), dayWords(y.Date), string(y.Date)}
	return &forayLine{Foray: y, mark: markOf(y.Code), text: folded(strings.Join(text, "\n")), notes: l.forayNotes(y, site)}
}

// lines makes a line of each thing, in order.
func lines[T any, L any](of map[trug.ID]T, line func(T) *L, order func(a, b *L) int) []*L {
	out := make([]*L, 0, len(of))
	for _, thing := range of {
		out = append(out, line(thing))
	}
	slices.SortFunc(out, order)
	return out
}

// exchanged returns lines with some of them gone and fresh ones in their places.
func exchanged[L any](list []*L, gone func(*L) bool, fresh []*L, order func(a, b *L) int) []*L {
	fresh = slices.SortedFunc(slices.Values(fresh), order)
	out := make([]*L, 0, len(list)+len(fresh))
	for _, x := range list {
		if gone(x) {
			continue
		}
		for len(fresh) > 0 && order(fresh[0], x) < 0 {
			out, fresh = append(out, fresh[0]), fresh[1:]
		}
		out = append(out, x)
	}
	return append(out, fresh...)
}

// fewChanges is up to how many changes are put into a list one by one.
const fewChanges = 500

// indexDesk makes the index of a ledger out of that of the one before, nil for
// none, and what was changed since.
func (l *ledger) indexDesk(before *ledger, changed map[store.Kind][]trug.ID) {
	l.desk = &deskIndex{
		people: toMake(l.makePeople), peopleByName: toMake(l.makePeopleByName), called: toMake(l.makeCalled),
		sites: toMake(l.makeSites), forays: toMake(l.makeForays), records: toMake(l.makeRecords),
	}
	if before == nil {
		return
	}
	was, none := before.desk, func(k store.Kind) bool { return len(changed[k]) == 0 }
	if none(store.People) {
		l.desk.people, l.desk.peopleByName, l.desk.called = kept(was.people, l.makePeople), kept(was.peopleByName, l.makePeopleByName), kept(was.called, l.makeCalled)
	} else if was.people.ready.Load() && len(changed[store.People]) <= fewChanges {
		l.exchangePeople(was, changed[store.People])
	}
	if none(store.Sites) && none(store.Seasons) {
		l.desk.sites = kept(was.sites, l.makeSites)
	}
	renamed := func(id trug.ID) bool { return before.people[id].ID != "" && before.person(id) != l.person(id) }
	if none(store.Sites) && none(store.Seasons) && !slices.ContainsFunc(changed[store.People], renamed) && len(changed[store.Forays]) <= fewChanges && was.forays.ready.Load() {
		l.exchangeForays(was, changed[store.Forays])
	}
	if none(store.Records) {
		l.desk.records = kept(was.records, l.makeRecords)
	}
}

func (l *ledger) makePeople() []*personLine { return lines(l.people, personLineOf, byMark) }

func (l *ledger) makePeopleByName() []*personLine {
	return slices.SortedFunc(slices.Values(l.desk.people.get()), byName)
}

func (l *ledger) makeSites() []*siteLine { return lines(l.sites, l.siteLineOf, sitesByMark) }

func (l *ledger) makeForays() []*forayLine { return lines(l.forays, l.forayLineOf, foraysByDay) }

func (l *ledger) makeRecords() map[trug.ID]int {
	n := map[trug.ID]int{}
	for _, f := range l.inOrder {
		n[f.SiteID]++
		n[f.ForayID]++
	}
	return n
}

// makeCalled says who goes by a mark or a name; a mark goes before a name, and
// of several of one name the one who came first is meant.
func (l *ledger) makeCalled() map[string]trug.ID {
	called := make(map[string]trug.ID, 2*len(l.people))
	for _, id := range slices.Sorted(maps.Keys(l.people)) {
		callPerson(called, l.people[id])
	}
	for id, p := range l.people {
		if p.Code != "" {
			called[strings.ToLower(p.Code)] = id
		}
	}
	return called
}

func callPerson(called map[string]trug.ID, p trug.Person) {
	for _, name := range []string{p.Name, p.Code} {
		if key := strings.ToLower(name); key != "" && called[key] == "" {
			called[key] = p.ID
		}
	}
}

// goesBy returns who goes by a mark or name.
func (l *ledger) goesBy(text string) (trug.Person, bool) {
	p, ok := l.people[l.desk.called.get()[strings.ToLower(strings.TrimSpace(text))]]
	return p, ok
}

func (l *ledger) exchangePeople(was *deskIndex, changed []trug.ID) {
	gone, fresh := map[trug.ID]bool{}, []*personLine{}
	for _, id := range changed {
		if !gone[id] {
			fresh = append(fresh, personLineOf(l.people[id]))
		}
		gone[id] = true
	}
	old := func(x *personLine) bool { return gone[x.id] }
	people := exchanged(was.people.get(), old, fresh, byMark)
	l.desk.people = toMake(func() []*personLine { return people })
	l.desk.people.get()
	if was.peopleByName.ready.Load() {
		named := exchanged(was.peopleByName.get(), old, fresh, byName)
		l.desk.peopleByName = toMake(func() []*personLine { return named })
		l.desk.peopleByName.get()
	}
}

func (l *ledger) exchangeForays(was *deskIndex, changed []trug.ID) {
	if len(changed) == 0 {
		l.desk.forays = was.forays
		return
	}
	gone, fresh := map[trug.ID]bool{}, []*forayLine{}
	for _, id := range changed {
		if !gone[id] {
			fresh = append(fresh, l.forayLineOf(l.forays[id]))
		}
		gone[id] = true
	}
	forays := exchanged(was.forays.get(), func(x *forayLine) bool { return gone[x.ID] }, fresh, foraysByDay)
	l.desk.forays = toMake(func() []*forayLine { return forays })
	l.desk.forays.get()
}
