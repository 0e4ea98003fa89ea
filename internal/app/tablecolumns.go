package app

import (
	"fmt"
	"maps"
	"slices"
	"strconv"
	"strings"

	"trug"
	"trug/science/place"
)

// The columns of the desk's tables. Lists stand in one cell, parted by
// semicolons; blank cells mean nothing known.

// words is a column of plain text.
func words[T any](name string, field func(*T) *string) column[T] {
	return column[T]{name, func(_ *ledger, t T) string { return *field(&t) }, func(_ *ledger, t *T, s string) error { *field(t) = s; return nil }}
}

// day is a column of a day.
func day[T any](name string, field func(*T) *trug.Date) column[T] {
	return column[T]{name, func(_ *ledger, t T) string { return string(*field(&t)) }, func(_ *ledger, t *T, s string) error {
		if s != "" && !trug.Date(s).Valid() {
			return fmt.Errorf("%q is not a day: write it as 2026-10-10", s)
		}
		*field(t) = trug.Date(s)
		return nil
	}}
}

// listOf is a column of words parted by semicolons.
func listOf[T any](name string, field func(*T) *[]string) column[T] {
	return column[T]{name, func(_ *ledger, t T) string { return strings.Join(*field(&t), "; ") }, func(_ *ledger, t *T, s string) error {
		*field(t) = trimmed(strings.Split(s, ";"))
		return nil
	}}
}

// figure is a column of a number.
func figure[T any](name string, get func(T) float64, set func(*T, float64)) column[T] {
	return column[T]{name, func(_ *ledger, t T) string {
		if x := get(t); x != 0 {
			return strconv.FormatFloat(x, 'f', -1, 64)
		}
		return ""
	}, func(_ *ledger, t *T, s string) error {
		x := 0.0
		if s != "" {
			var err error
			if x, err = strconv.ParseFloat(strings.Replace(s, ",", ".", 1), 64); err != nil {
				return fmt.Errorf("%q is no number", s)
			}
		}
		set(t, x)
		return nil
	}}
}

// permissionOf returns a site's permission to be written to: a copy, so that
// what was handed out stays as it was.
func permissionOf(s *trug.Site) *trug.Permission {
	p := trug.Permission{}
	if s.Permission != nil {
		p = *s.Permission
	}
	s.Permission = &p
	return &p
}

// leave is a column of what a permission says about one thing.
func leave(name string, field func(*trug.Permission) *trug.Leave) column[trug.Site] {
	return column[trug.Site]{name, func(_ *ledger, s trug.Site) string {
		if s.Permission == nil {
			return ""
		}
		return string(*field(s.Permission))
	}, func(_ *ledger, s *trug.Site, text string) error {
		if text == "" && s.Permission == nil {
			return nil
		}
		*field(permissionOf(s)) = trug.Leave(strings.ToLower(text))
		return nil
	}}
}

// ofPermission is a column of text of a permission.
func ofPermission(name string, field func(*trug.Permission) *string) column[trug.Site] {
	return column[trug.Site]{name, func(_ *ledger, s trug.Site) string {
		if s.Permission == nil {
			return ""
		}
		return *field(s.Permission)
	}, func(_ *ledger, s *trug.Site, text string) error {
		if text == "" && s.Permission == nil {
			return nil
		}
		*field(permissionOf(s)) = text
		return nil
	}}
}

var sitesTable = deskTable[trug.Site]{
	columns: []column[trug.Site]{
		words("code", func(s *trug.Site) *string { return &s.Code }), words("name", func(s *trug.Site) *string { return &s.Name }),
		words("description", func(s *trug.Site) *string { return &s.Description }), listOf("habitat", func(s *trug.Site) *[]string { return &s.Habitat }),
		figure("latitude", func(s trug.Site) float64 { return float64(s.Centre.Lat) }, func(s *trug.Site, x float64) { s.Centre.Lat = place.Degrees(x) }),
		figure("longitude", func(s trug.Site) float64 { return float64(s.Centre.Lon) }, func(s *trug.Site, x float64) { s.Centre.Lon = place.Degrees(x) }),
		figure("radius_m", func(s trug.Site) float64 { return float64(s.Radius) }, func(s *trug.Site, x float64) { s.Radius = place.Metres(x) }),
		figure("hectares", func(s trug.Site) float64 { return s.Hectares }, func(s *trug.Site, x float64) { s.Hectares = x }),
		words("manager", func(s *trug.Site) *string { return &s.Manager }),
		{"ground", func(_ *ledger, s trug.Site) string { return groundWords(s.Open) }, func(_ *ledger, s *trug.Site, text string) error {
			switch strings.ToLower(text) {
			case "open", "private", "":
				s.Open = strings.EqualFold(text, "open")
				return nil
			}
			return fmt.Errorf("%q is not known here: write open where anybody may go, else private", text)
		}},
		ofPermission("permission", func(p *trug.Permission) *string { return &p.Words }),
		ofPermission("permission_from", func(p *trug.Permission) *string { return (*string)(&p.From) }),
		ofPermission("permission_until", func(p *trug.Permission) *string { return (*string)(&p.Until) }),
		ofPermission("permission_part", func(p *trug.Permission) *string { return &p.Part }),
		leave("may_pick", func(p *trug.Permission) *trug.Leave { return &p.Pick }), leave("may_cut", func(p *trug.Permission) *trug.Leave { return &p.Cut }),
		leave("may_dig", func(p *trug.Permission) *trug.Leave { return &p.Dig }), leave("may_take", func(p *trug.Permission) *trug.Leave { return &p.Take }),
		listOf("hazards", func(s *trug.Site) *[]string { return &s.Hazards }), words("road", func(s *trug.Site) *string { return &s.Road }),
		words("meeting", func(s *trug.Site) *string { return &s.Meeting }), words("rule", func(s *trug.Site) *string { return &s.Rule }),
		day("assessed", func(s *trug.Site) *trug.Date { return &s.Assessed }), words("assessed_by", func(s *trug.Site) *string { return &s.AssessedBy }),
	},
	all: func(l *ledger) []trug.Site { return slices.Collect(maps.Values(l.sites)) },
	fresh: func(a *App, l *ledger) (s trug.Site, err error) {
		s.SeasonID = l.season.ID
		if s.ID, err = a.newID(); err == nil {
			s.Public, err = a.newPublic()
		}
		return s, err
	},
	check: func(_ *ledger, s trug.Site) error { return s.Validate() },
}

// ofPerson is a column that names somebody by code, or by name where they have none.
func ofPerson[T any](name string, field func(*T) *trug.ID) column[T] {
	return column[T]{name, func(l *ledger, t T) string {
		p := l.people[*field(&t)]
		if p.Code != "" {
			return p.Code
		}
		return p.Name
	}, func(l *ledger, t *T, text string) error {
		p, known := l.goesBy(text)
		*field(t) = p.ID
		if text != "" && !known {
			return fmt.Errorf("nobody of the season is %q: add them under People first", text)
		}
		return nil
	}}
}

// headcounts is the column of how many came. A 0 is no blank.
var headcounts = func() column[trug.Foray] {
	c := figure("people", func(y trug.Foray) float64 { return float64(y.People) }, func(y *trug.Foray, x float64) { y.People = int(x) })
	plain := c.set
	c.set = func(l *ledger, y *trug.Foray, text string) error {
		err := plain(l, y, text)
		switch {
		case err != nil || text == "":
			return err
		case y.People == 0:
			return nobodyCame()
		}
		return nil
	}
	return c
}()

var foraysTable = deskTable[trug.Foray]{
	columns: []column[trug.Foray]{
		words("code", func(y *trug.Foray) *string { return &y.Code }), words("name", func(y *trug.Foray) *string { return &y.Name }),
		{"site", func(l *ledger, y trug.Foray) string { return l.sites[y.SiteID].Code }, func(l *ledger, y *trug.Foray, text string) error {
			y.SiteID = ""
			for _, s := range l.sites {
				if s.Code == text {
					y.SiteID = s.ID
				}
			}
			if text != "" && y.SiteID == "" {
				return fmt.Errorf("there is no site %q in this season: add it under Sites first", text)
			}
			return nil
		}},
		day("date", func(y *trug.Foray) *trug.Date { return &y.Date }), words("start", func(y *trug.Foray) *string { return &y.Start }),
		words("end", func(y *trug.Foray) *string { return &y.End }), day("end_date", func(y *trug.Foray) *trug.Date { return &y.EndDate }),
		ofPerson("leader", func(y *trug.Foray) *trug.ID { return &y.Leader }),
		headcounts,
		words("weather", func(y *trug.Foray) *string { return &y.Weather }), listOf("targets", func(y *trug.Foray) *[]string { return &y.Targets }),
		listOf("not_found", func(y *trug.Foray) *[]string { return &y.NotFound }), listOf("scope", func(y *trug.Foray) *[]string { return &y.Scope }),
		words("note", func(y *trug.Foray) *string { return &y.Note }),
	},
	all: func(l *ledger) []trug.Foray { return slices.Collect(maps.Values(l.forays)) },
	fresh: func(a *App, l *ledger) (y trug.Foray, err error) {
		y.SeasonID, y.Created = l.season.ID, a.Clock()
		if y.ID, err = a.newID(); err == nil {
			y.Public, err = a.newPublic()
		}
		return y, err
	},
	check: func(_ *ledger, y trug.Foray) error { return y.Validate() },
}

var peopleTable = deskTable[trug.Person]{
	columns: append([]column[trug.Person]{
		words("code", func(p *trug.Person) *string { return &p.Code }), words("name", func(p *trug.Person) *string { return &p.Name }),
		words("credit", func(p *trug.Person) *string { return &p.Credit }),
		{"roles", func(_ *ledger, p trug.Person) string {
			var out []string
			for _, r := range p.Roles {
				out = append(out, string(r))
			}
			return strings.Join(out, "; ")
		}, func(_ *ledger, p *trug.Person, text string) error {
			p.Roles = nil
			for _, r := range trimmed(strings.Split(text, ";")) {
				p.Roles = append(p.Roles, trug.Role(strings.ToLower(r)))
			}
			return nil
		}},
		{"child", func(_ *ledger, p trug.Person) string { return yesNo(p.Minor) }, func(_ *ledger, p *trug.Person, text string) error {
			p.Minor = strings.EqualFold(text, "yes")
			return nil
		}},
		ofPerson("guardian", func(p *trug.Person) *trug.ID { return &p.Guardian }), words("scope", func(p *trug.Person) *string { return &p.Scope }),
		listOf("groups", func(p *trug.Person) *[]string { return &p.Groups }),
		figure("hours_a_week", func(p trug.Person) float64 { return p.Hours }, func(p *trug.Person, x float64) { p.Hours = x }),
	}, consentColumns()...),
	all: func(l *ledger) []trug.Person { return slices.Collect(maps.Values(l.people)) },
	fresh: func(a *App, l *ledger) (p trug.Person, err error) {
		p.SeasonID, p.Created = l.season.ID, a.Clock()
		return p, a.stampPerson(&p)
	},
	check: func(l *ledger, p trug.Person) error {
		if p.Code == "" {
			return trug.Errorf(trug.Invalid, "code", "in a table each person needs a mark of their own, such as R25")
		}
		if p.Minor {
			e := EditablePerson{Code: p.Code, Name: p.Name, Credit: p.Credit, Minor: true, Guardian: p.Guardian, Roles: p.Roles, Consents: p.Consents}
			return l.fillPerson(&p, e)
		}
		return p.Validate()
	},
	took: func(l *ledger, p trug.Person) {
		l.people[p.ID] = p
		called := l.desk.called.get()
		callPerson(called, p)
		if p.Code != "" {
			called[strings.ToLower(p.Code)] = p.ID
		}
	},
}

// toTakePeople returns a ledger to which people can be added while a table goes
// in, so that a child's guardian may stand in the same table.
func (l *ledger) toTakePeople() *ledger {
	own, desk := *l, *l.desk
	own.people, own.desk = maps.Clone(l.people), &desk
	desk.called = toMake(func() map[string]trug.ID { return maps.Clone(l.desk.called.get()) })
	return &own
}

func groundWords(open bool) string {
	if open {
		return "open"
	}
	return "private"
}

func yesNo(b bool) string {
	if b {
		return "yes"
	}
	return ""
}

// saidYes reads a cell that says yes, or no, or nothing.
func saidYes(text string) (bool, error) {
	switch strings.ToLower(text) {
	case "yes":
		return true, nil
	case "", "no":
		return false, nil
	}
	return false, fmt.Errorf("%q is no answer: use yes, or no, or leave it blank", text)
}

var namesTable = deskTable[trug.Taxon]{
	columns: []column[trug.Taxon]{
		words("name", func(t *trug.Taxon) *string { return &t.Name }), words("authorship", func(t *trug.Taxon) *string { return &t.Authorship }),
		words("rank", func(t *trug.Taxon) *string { return (*string)(&t.Rank) }), words("family", func(t *trug.Taxon) *string { return &t.Family }),
		words("kingdom", func(t *trug.Taxon) *string { return &t.Kingdom }), words("vernacular", func(t *trug.Taxon) *string { return &t.Vernacular }),
		{"accepted", func(l *ledger, t trug.Taxon) string { return l.taxa[t.AcceptedID].Name }, nil}, // read by AddNames
	},
	all: func(l *ledger) []trug.Taxon { return slices.Collect(maps.Values(l.taxa)) },
}

// listed checks that a name stands on the checklist: a rule for a name that
// nobody can give would protect nothing.
func listed(l *ledger, name string) error {
	if _, ok := l.list.ByName(name); !ok {
		return trug.Errorf(trug.Invalid, "name", "%q is not on the season's checklist: add it there first", name)
	}
	return nil
}

var alikesTable = deskTable[trug.LookAlike]{
	columns: []column[trug.LookAlike]{
		{"pair", func(_ *ledger, x trug.LookAlike) string { return x.Name + " / " + x.TakenFor }, func(_ *ledger, x *trug.LookAlike, text string) error {
			name, other, ok := strings.Cut(text, " / ")
			if !ok {
				return fmt.Errorf("%q is no pair: write both names with a stroke between, as Galerina marginata / Kuehneromyces mutabilis", text)
			}
			x.Name, x.TakenFor = strings.TrimSpace(name), strings.TrimSpace(other)
			return nil
		}},
		words("why", func(x *trug.LookAlike) *string { return &x.Why }), words("settles", func(x *trug.LookAlike) *string { return &x.Settles }),
		{"views", func(_ *ledger, x trug.LookAlike) string {
			out := make([]string, len(x.Views))
			for i, v := range x.Views {
				out[i] = string(v)
			}
			return strings.Join(out, "; ")
		}, func(_ *ledger, x *trug.LookAlike, text string) error {
			x.Views = nil
			for _, v := range trimmed(strings.Split(text, ";")) {
				x.Views = append(x.Views, trug.ViewKind(strings.ToLower(v)))
			}
			return nil
		}},
	},
	all: func(l *ledger) []trug.LookAlike { return slices.Collect(maps.Values(l.alikes)) },
	fresh: func(a *App, l *ledger) (x trug.LookAlike, err error) {
		x.SeasonID = l.season.ID
		x.ID, err = a.newID()
		return x, err
	},
	check: func(l *ledger, x trug.LookAlike) error {
		if err := x.Validate(); err != nil {
			return err
		}
		if err := listed(l, x.Name); err != nil {
			return err
		}
		return listed(l, x.TakenFor)
	},
}

var protectedTable = deskTable[trug.Protection]{
	columns: []column[trug.Protection]{
		words("name", func(p *trug.Protection) *string { return &p.Name }), words("reason", func(p *trug.Protection) *string { return &p.Reason }),
		figure("category", func(p trug.Protection) float64 { return float64(p.Category) }, func(p *trug.Protection, x float64) { p.Category = int(x) }),
		{"tells", func(_ *ledger, p trug.Protection) string {
			if p.Tells == trug.TellArea {
				return "area"
			}
			return string(p.Tells)
		}, func(_ *ledger, p *trug.Protection, text string) error {
			if p.Tells = trug.Telling(text); text == "area" {
				p.Tells = trug.TellArea
			}
			return nil
		}},
		{"may_be_touched", func(_ *ledger, p trug.Protection) string { return yesNo(p.Touch) }, func(_ *ledger, p *trug.Protection, text string) (err error) {
			p.Touch, err = saidYes(text)
			return err
		}},
	},
	all: func(l *ledger) []trug.Protection { return slices.Collect(maps.Values(l.protections)) },
	fresh: func(a *App, l *ledger) (p trug.Protection, err error) {
		p.SeasonID = l.season.ID
		p.ID, err = a.newID()
		return p, err
	},
	check: func(l *ledger, p trug.Protection) error {
		if err := p.Validate(); err != nil {
			return err
		}
		return listed(l, p.Name)
	},
}
