package app

import (
	"cmp"
	"context"
	"fmt"
	"slices"
	"strings"

	"trug"
)

// DeskQuery asks for a leaf of a list of the Season desk.
type DeskQuery struct {
	// Text is searched for: every word of it, without accents and capitals.
	Text string
	// Only restricts the list. Sites: "notes". Forays: "coming", "past",
	// "mine", "visits", "notes". People: a role, or "child".
	Only string
	// Sort is the column, with a hyphen before it for the other way round.
	// Sites and people: "mark", "name"; forays: "date", "mark", "name".
	Sort string
	// From is the first line, counted from 0; Limit is how many, at most 200.
	From, Limit int
}

// DeskPage is a leaf of a list of the Season desk.
type DeskPage[L any] struct {
	Lines []L `json:"lines"`
	Total int `json:"total" doc:"Lines that answer to the query"`
	All   int `json:"all" doc:"Lines without a query"`
	Odd   int `json:"odd" doc:"Lines without a query that have something to look at"`
	// Next is a mark that is still free.
	Next string `json:"next"`
}

// SiteLine is a site in the list: its outline is asked for with the site.
type SiteLine struct {
	ID      trug.ID  `json:"id"`
	Code    string   `json:"code"`
	Name    string   `json:"name"`
	Habitat []string `json:"habitat"`
	// Permission is the dates and what may be done, without its words; nil where none is known.
	Permission *trug.Permission `json:"permission,omitempty"`
	Drawn      bool             `json:"drawn" doc:"It has an outline"`
	Open       bool             `json:"open,omitempty" doc:"Anybody may go; else it is private ground"`
	Hectares   float64          `json:"hectares,omitempty"`
	Radius     float64          `json:"radius,omitempty" doc:"metres"`
	Forays     int              `json:"forays"`
	Records    int              `json:"records"`
	Notes      []string         `json:"notes"`
}

// ForayLine is a foray or visit in the list.
type ForayLine struct {
	ID       trug.ID   `json:"id"`
	Code     string    `json:"code"`
	Name     string    `json:"name"`
	SiteName string    `json:"siteName"`
	Date     trug.Date `json:"date"`
	Start    string    `json:"start,omitempty"`
	End      string    `json:"end,omitempty"`
	EndDate  trug.Date `json:"endDate,omitempty"`
	Visit    bool      `json:"visit,omitempty"`
	// Who leads it, or made the visit.
	Who      string   `json:"who,omitempty"`
	Yours    bool     `json:"yours" doc:"The viewer leads it or made it"`
	People   int      `json:"people,omitempty" doc:"How many came"`
	SignedUp int      `json:"signedUp"`
	Records  int      `json:"records"`
	Notes    []string `json:"notes"`
}

// answering reports whether text holds every word.
func answering(text string, words []string) bool {
	for _, w := range words {
		if !strings.Contains(text, w) {
			return false
		}
	}
	return true
}

// check fills in what was left open and refuses what can't be asked.
func (q *DeskQuery) check(sorts, only []string) error {
	if q.Limit <= 0 || q.Limit > 200 {
		q.Limit = 50
	}
	q.From = max(q.From, 0)
	if q.Sort != "" && !slices.Contains(sorts, strings.TrimPrefix(q.Sort, "-")) {
		return trug.Errorf(trug.Invalid, "sort", "this list can't be sorted by %q: use %s, with a hyphen before it for the other way round", q.Sort, strings.Join(sorts, ", "))
	}
	if q.Only != "" && !slices.Contains(only, q.Only) {
		return trug.Errorf(trug.Invalid, "only", "this list can't be narrowed to %q: use %s", q.Only, strings.Join(only, ", "))
	}
	return nil
}

// leafOf sorts what was chosen and shows the leaf that is asked for; list is
// in the order of the first sort already.
func leafOf[L, S any](q DeskQuery, page *DeskPage[S], chosen []*L, order func(a, b *L) int, show func(*L) S) {
	if order != nil {
		chosen = slices.SortedStableFunc(slices.Values(chosen), order)
	}
	page.Total, page.Lines = len(chosen), []S{}
	for i := q.From; i < min(q.From+q.Limit, len(chosen)); i++ {
		at := i
		if strings.HasPrefix(q.Sort, "-") {
			at = len(chosen) - 1 - i
		}
		page.Lines = append(page.Lines, show(chosen[at]))
	}
}

// Sites lists the season's sites, by mark, for the Season desk and for leaders.
func (a *App) Sites(ctx context.Context, v Viewer, q DeskQuery) (DeskPage[SiteLine], error) {
	l, err := a.open(ctx, v, SeeSites)
	if err != nil {
		return DeskPage[SiteLine]{}, err
	}
	if err := q.check([]string{"mark", "name"}, []string{"notes"}); err != nil {
		return DeskPage[SiteLine]{}, err
	}
	all := l.desk.sites.get()
	page := DeskPage[SiteLine]{All: len(all), Next: nextMark(all, func(s *siteLine) mark { return s.mark }, "S")}
	for _, s := range all {
		if len(s.notes) > 0 {
			page.Odd++
		}
	}
	var order func(a, b *siteLine) int
	if strings.HasSuffix(q.Sort, "name") {
		order = func(a, b *siteLine) int { return strings.Compare(folded(a.Name), folded(b.Name)) }
	}
	forays := l.foraysOfSites()
	leafOf(q, &page, l.sitesAnswering(q), order, func(s *siteLine) SiteLine {
		shown := SiteLine{ID: s.ID, Code: s.Code, Name: s.Name, Habitat: notNil(s.Habitat), Drawn: len(s.Outline) > 0, Open: s.Open, Hectares: s.Hectares,
			Radius: float64(s.Radius), Forays: forays[s.ID], Records: l.desk.records.get()[s.ID], Notes: s.notes}
		if p := s.Permission; p != nil {
			shown.Permission = &trug.Permission{From: p.From, Until: p.Until, People: p.People, Pick: p.Pick, Cut: p.Cut, Dig: p.Dig, Take: p.Take}
		}
		return shown
	})
	return page, nil
}

func (l *ledger) sitesAnswering(q DeskQuery) (chosen []*siteLine) {
	words := strings.Fields(folded(q.Text))
	for _, s := range l.desk.sites.get() {
		if (q.Only == "" || len(s.notes) > 0) && answering(s.text, words) {
			chosen = append(chosen, s)
		}
	}
	return chosen
}

func (l *ledger) foraysOfSites() map[trug.ID]int {
	n := map[trug.ID]int{}
	for _, y := range l.forays {
		n[y.SiteID]++
	}
	return n
}

// Forays lists the season's forays and visits, by date, for the Season desk and
// for leaders.
func (a *App) Forays(ctx context.Context, v Viewer, q DeskQuery) (DeskPage[ForayLine], error) {
	l, err := a.open(ctx, v, SeeForays)
	if err != nil {
		return DeskPage[ForayLine]{}, err
	}
	if err := q.check([]string{"date", "mark", "name"}, []string{"coming", "past", "mine", "visits", "notes"}); err != nil {
		return DeskPage[ForayLine]{}, err
	}
	all, words, today := l.desk.forays.get(), strings.Fields(folded(q.Text)), a.today(l.season)
	page := DeskPage[ForayLine]{All: len(all), Next: nextMark(all, func(y *forayLine) mark { return y.mark }, "F")}
	var chosen []*forayLine
	for _, y := range all {
		if len(y.notes) > 0 {
			page.Odd++
		}
		if y.among(q.Only, v, today) && answering(y.text, words) {
			chosen = append(chosen, y)
		}
	}
	order := map[string]func(a, b *forayLine) int{
		"mark": func(a, b *forayLine) int { return a.mark.compare(b.mark) },
		"name": func(a, b *forayLine) int { return strings.Compare(folded(a.Name), folded(b.Name)) },
	}[strings.TrimPrefix(q.Sort, "-")]
	leafOf(q, &page, chosen, order, func(y *forayLine) ForayLine { return l.forayLine(v, y) })
	return page, nil
}

// among reports whether a foray belongs to those that the list is narrowed to.
func (y *forayLine) among(only string, v Viewer, today trug.Date) bool {
	switch only {
	case "coming":
		return y.Ends() >= today
	case "past":
		return y.Ends() < today
	case "mine":
		return v.is(y.Leader) || v.is(y.By)
	case "visits":
		return y.Visit
	case "notes":
		return len(y.notes) > 0
	}
	return true
}

func (l *ledger) forayLine(v Viewer, y *forayLine) ForayLine {
	who := y.Leader
	if y.Visit {
		who = y.By
	}
	return ForayLine{ID: y.ID, Code: y.Code, Name: y.Name, SiteName: l.sites[y.SiteID].Name, Date: y.Date, Start: y.Start, End: y.End, EndDate: y.EndDate,
		Visit: y.Visit, Who: l.person(who), Yours: v.is(y.Leader) || v.is(y.By), People: y.People, SignedUp: len(y.SignedUp),
		Records: l.desk.records.get()[y.ID], Notes: y.notes}
}

// People lists the season's people with their entry links, by mark, for the
// coordinator.
func (a *App) People(ctx context.Context, v Viewer, q DeskQuery) (DeskPage[ShownPerson], error) {
	l, err := a.open(ctx, v, OpenDesk)
	if err != nil {
		return DeskPage[ShownPerson]{}, err
	}
	roles := []string{string(trug.RecorderRole), string(trug.Leader), string(trug.DeterminerRole), string(trug.Coordinator), "child"}
	if err := q.check([]string{"mark", "name"}, roles); err != nil {
		return DeskPage[ShownPerson]{}, err
	}
	list := l.desk.people.get()
	page := DeskPage[ShownPerson]{All: len(list), Next: nextMark(list, func(p *personLine) mark { return p.mark }, "R")}
	if strings.HasSuffix(q.Sort, "name") {
		list = l.desk.peopleByName.get()
	}
	words, chosen := strings.Fields(folded(q.Text)), list
	if q.Only != "" || len(words) > 0 {
		chosen = nil
		for _, p := range list {
			if p.among(q.Only) && answering(p.text, words) {
				chosen = append(chosen, p)
			}
		}
	}
	leafOf(q, &page, chosen, nil, func(p *personLine) ShownPerson { return a.shownPerson(l.people[p.id]) })
	return page, nil
}

// among reports whether somebody belongs to those that the list is narrowed to.
func (p *personLine) among(only string) bool {
	switch only {
	case "":
		return true
	case "child":
		return p.minor
	}
	return slices.Contains(p.roles, trug.Role(only))
}

// nextMark returns the mark after the highest figure in use, written like it:
// S2 after S1, F08 after F07. Of people only marks that begin with the letter
// count, since determiners have marks of their own.
func nextMark[L any](list []*L, of func(*L) mark, letter string) string {
	most := mark{lead: letter, width: 1}
	for _, line := range list {
		m := of(line)
		if m.n < most.n || m.n < 0 || letter == "R" && m.lead != letter || strings.ContainsFunc(m.lead, notLetter) {
			continue
		}
		most = m
	}
	return fmt.Sprintf("%s%0*d", most.lead, most.width, most.n+1)
}

func notLetter(r rune) bool { return !('a' <= r && r <= 'z' || 'A' <= r && r <= 'Z') }

// Offer is something to be chosen in a form.
type Offer struct {
	ID   trug.ID `json:"id"`
	Code string  `json:"code,omitempty"`
	Name string  `json:"name"`
	// Date is that of a foray.
	Date trug.Date `json:"date,omitempty"`
}

// Offered are the first offers that answer to what was typed, the likeliest first.
type Offered struct {
	Offers []Offer `json:"offers"`
	Total  int     `json:"total" doc:"How many answer"`
}

// MostOffers is how many are offered at once.
const MostOffers = 20

// offer picks the first of a list that answer to what was typed: the very mark
// first, then what begins so, then the rest.
func offer[L any](list []*L, typed string, answers func(*L) bool, line func(*L) (code, text string), show func(*L) Offer) Offered {
	out, key := Offered{Offers: []Offer{}}, strings.TrimSpace(folded(typed))
	words := strings.Fields(key)
	var ranks [3][]*L
	for _, x := range list {
		code, text := line(x)
		if !answers(x) || !answering(text, words) {
			continue
		}
		out.Total++
		rank := 2
		if key != "" && folded(code) == key {
			rank = 0
		} else if strings.HasPrefix(text, key) || strings.Contains(text, "\n"+key) {
			rank = 1
		}
		if len(ranks[rank]) < MostOffers {
			ranks[rank] = append(ranks[rank], x)
		}
	}
	for _, x := range slices.Concat(ranks[0], ranks[1], ranks[2]) {
		if len(out.Offers) < MostOffers {
			out.Offers = append(out.Offers, show(x))
		}
	}
	return out
}

// OfferPeople offers people by name or mark, for the coordinator: all, those
// who may lead ("leader"), or those a child may take part under ("adult").
func (a *App) OfferPeople(ctx context.Context, v Viewer, typed, only string) (Offered, error) {
	l, err := a.open(ctx, v, OpenDesk)
	if err != nil {
		return Offered{}, err
	}
	is := map[string]func(*personLine) bool{
		"":       func(*personLine) bool { return true },
		"leader": func(p *personLine) bool { return p.among("leader") || p.among("coordinator") },
		"adult":  func(p *personLine) bool { return !p.minor },
	}[only]
	if is == nil {
		return Offered{}, trug.Errorf(trug.Invalid, "only", "people can't be narrowed to %q: use leader or adult", only)
	}
	return offer(l.desk.peopleByName.get(), typed, is, func(p *personLine) (string, string) { return l.people[p.id].Code, p.text },
		func(p *personLine) Offer {
			return Offer{ID: p.id, Code: l.people[p.id].Code, Name: l.people[p.id].Name}
		}), nil
}

// OfferSites offers sites by name or mark.
func (a *App) OfferSites(ctx context.Context, v Viewer, typed string) (Offered, error) {
	l, err := a.open(ctx, v, SeeSites)
	if err != nil {
		return Offered{}, err
	}
	return offer(l.desk.sites.get(), typed, func(*siteLine) bool { return true }, func(s *siteLine) (string, string) { return s.Code, s.text },
		func(s *siteLine) Offer { return Offer{ID: s.ID, Code: s.Code, Name: s.Name} }), nil
}

// OfferForays offers forays by name, mark, site or leader, those to come
// first; "led" leaves visits out.
func (a *App) OfferForays(ctx context.Context, v Viewer, typed, only string) (Offered, error) {
	l, err := a.open(ctx, v, SeeForays)
	if err != nil {
		return Offered{}, err
	}
	if only != "" && only != "led" {
		return Offered{}, trug.Errorf(trug.Invalid, "only", "forays can't be narrowed to %q: use led", only)
	}
	list := l.desk.forays.get()
	i, _ := slices.BinarySearchFunc(list, a.today(l.season), func(y *forayLine, day trug.Date) int { return cmp.Compare(y.Date, day) })
	past := slices.Clone(list[:i])
	slices.Reverse(past)
	return offer(slices.Concat(list[i:], past), typed, func(y *forayLine) bool { return only == "" || !y.Visit },
		func(y *forayLine) (string, string) { return y.Code, y.text }, func(y *forayLine) Offer {
			return Offer{ID: y.ID, Code: y.Code, Name: cmp.Or(y.Name, l.sites[y.SiteID].Name), Date: y.Date}
		}), nil
}
