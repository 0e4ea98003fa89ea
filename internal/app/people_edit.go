package app

import (
	"context"
	"fmt"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"golang.org/x/text/unicode/norm"

	"trug"
	"trug/internal/store"
)

// EditablePerson is somebody of the season as the Season desk shows and takes them.
type EditablePerson struct {
	ID       trug.ID        `json:"id"`
	Code     string         `json:"code,omitempty"`
	Name     string         `json:"name"`
	Credit   string         `json:"credit,omitempty" doc:"Name published with finds; empty: name withheld"`
	Minor    bool           `json:"minor,omitempty"`
	Guardian trug.ID        `json:"guardian,omitempty"`
	Roles    []trug.Role    `json:"roles"`
	Scope    string         `json:"scope,omitempty"`
	Groups   []string       `json:"groups"`
	Hours    float64        `json:"hours,omitempty" doc:"Hours a week that a determiner offers"`
	Consents []trug.Consent `json:"consents"`
	// GuardianName is how the guardian is called.
	GuardianName string `json:"guardianName,omitempty" readOnly:"true"`
	// Link makes the browser that person, in the demonstration; empty elsewhere.
	Link string `json:"link" readOnly:"true"`
	// Notes are sentences: somebody of nearly the same name, what a withdrawn
	// consent undoes and what it can't.
	Notes []string `json:"notes" readOnly:"true"`
}

// Person returns somebody of the season for the Season desk.
func (a *App) Person(ctx context.Context, v Viewer, id trug.ID) (EditablePerson, error) {
	l, err := a.open(ctx, v, OpenDesk)
	if err != nil {
		return EditablePerson{}, err
	}
	p, ok := l.people[id]
	if !ok {
		return EditablePerson{}, trug.Errorf(trug.NotFound, "", "There is nobody of this identifier in the season.")
	}
	return a.editablePerson(l, p), nil
}

func (a *App) editablePerson(l *ledger, p trug.Person) EditablePerson {
	return EditablePerson{ID: p.ID, Code: p.Code, Name: p.Name, Credit: p.Credit, Minor: p.Minor, Guardian: p.Guardian, GuardianName: l.person(p.Guardian), Roles: p.Roles, Scope: p.Scope,
		Groups: notNil(p.Groups), Hours: p.Hours, Consents: notNil(p.Consents), Link: a.entryLink(p.ID), Notes: l.personNotes(p)}
}

// SavePerson keeps somebody of the season, new or changed.
func (a *App) SavePerson(ctx context.Context, v Viewer, id trug.ID, e EditablePerson) (EditablePerson, error) {
	l, err := a.open(ctx, v, KeepDesk)
	if err != nil {
		return EditablePerson{}, err
	}
	if !id.Valid() {
		return EditablePerson{}, badID()
	}
	p := l.people[id]
	if p.ID == "" {
		p = trug.Person{ID: id, SeasonID: l.season.ID, Created: a.Clock()}
		if err := a.stampPerson(&p); err != nil {
			return EditablePerson{}, err
		}
	}
	if err := l.fillPerson(&p, e); err != nil {
		return EditablePerson{}, err
	}
	err = a.write(ctx, func(w store.Writer) error {
		return a.keptInHands(ctx, w, v, l, func() error { return store.Put(ctx, w, p, a.author(v), a.Clock()) })
	})
	if err != nil && trug.KindOf(err) == trug.Conflict {
		return EditablePerson{}, trug.Errorf(trug.Conflict, "code", "somebody else has the mark %s already: choose another", p.Code)
	}
	return a.editablePerson(l, p), err
}

// keptInHands runs a change to who coordinates. Before it, the viewer must still
// be coordinator: of two who take the part from each other at once, the second
// finds that it is no longer theirs to take. After it, there must be one left.
func (a *App) keptInHands(ctx context.Context, w store.Writer, v Viewer, l *ledger, change func() error) error {
	now, err := store.Get[trug.Person](ctx, w, v.Person.ID)
	switch {
	case err != nil:
		return err
	case v.has(trug.Coordinator) && !now.Has(trug.Coordinator):
		return trug.Errorf(trug.NotAllowed, "", "You are no longer coordinator: another coordinator has just taken the part from you. Ask them.")
	}
	if err := change(); err != nil {
		return err
	}
	left, err := l.coordinated(ctx, w)
	if err == nil && !left {
		err = trug.Errorf(trug.Invalid, "roles", "the season would have no coordinator left: invite another coordinator first, and leave when they have come in")
	}
	return err
}

// coordinated reports whether the season has a coordinator, as the store stands.
// Those who were it are looked at first: reading tens of thousands of people to
// find that one of them still is would make each name that is kept wait.
func (l *ledger) coordinated(ctx context.Context, r store.Reader) (bool, error) {
	is := func(p trug.Person) bool { return p.Has(trug.Coordinator) }
	for id, p := range l.people {
		if !is(p) {
			continue
		}
		if now, err := store.Get[trug.Person](ctx, r, id); err == nil && is(now) {
			return true, nil
		} else if err != nil && trug.KindOf(err) != trug.NotFound {
			return false, err
		}
	}
	people, err := store.List[trug.Person](ctx, r, store.Filter{Season: l.season.ID})
	return slices.ContainsFunc(people, is), err
}

func (l *ledger) fillPerson(p *trug.Person, e EditablePerson) error {
	p.Code, p.Name, p.Credit, p.Minor, p.Guardian = strings.TrimSpace(e.Code), strings.TrimSpace(e.Name), strings.TrimSpace(e.Credit), e.Minor, e.Guardian
	p.Roles, p.Scope, p.Groups, p.Hours, p.Consents = e.Roles, strings.TrimSpace(e.Scope), trimmed(e.Groups), e.Hours, e.Consents
	if err := p.Validate(); err != nil {
		return err
	}
	if p.Minor {
		guardian, known := l.people[p.Guardian]
		switch {
		case strings.Contains(p.Name, " "):
			return trug.Errorf(trug.Invalid, "name", "of a child the first name or a chosen name is kept, one word: %q has more", p.Name)
		case p.Credit == p.Name && p.Credit != "":
			return trug.Errorf(trug.Invalid, "credit", "a child is not published by name: credit them as Young recorder 1 or the like, or leave it blank")
		case !known || guardian.Minor:
			return trug.Errorf(trug.Invalid, "guardian", "a child takes part under an adult of the season: say who, and add them first")
		case p.Has(trug.Coordinator) || p.Has(trug.Leader) || p.Has(trug.DeterminerRole):
			return trug.Errorf(trug.Invalid, "roles", "a child records; leading, naming and running the season are for adults")
		}
	}
	return nil
}

// personNotes says what the coordinator should look at.
func (l *ledger) personNotes(p trug.Person) []string {
	notes := []string{}
	letters := string(plain(p.Name))
	for _, line := range l.desk.people.get() {
		if line.id != p.ID && alike(line.letters, letters) {
			q := l.people[line.id]
			notes = append(notes, fmt.Sprintf("%s has nearly the same name: is it the same person twice?", strings.TrimSpace(q.Name+" "+q.Code)))
		}
	}
	for _, c := range p.Consents {
		if c.Withdrawn != "" {
			notes = append(notes, l.withdrawn(p, c))
		}
	}
	slices.Sort(notes)
	return slices.Compact(notes)
}

// withdrawn says what a withdrawn consent undoes, and what it can't.
func (l *ledger) withdrawn(p trug.Person, c trug.Consent) string {
	var bear []string
	for _, d := range l.depositsByNumber() {
		if d.Date >= c.Given && d.Date <= c.Withdrawn {
			bear = append(bear, fmt.Sprintf("version %d of %s", d.Number, dayWords(d.Date)))
		}
	}
	what := map[trug.ConsentAbout]string{trug.ShowName: "name", trug.ShowPictures: "pictures", trug.SendLetters: "address"}[c.About]
	switch {
	case c.About == trug.SendLetters:
		return "No more letters are written to them."
	case len(bear) == 0:
		return fmt.Sprintf("Consent to the %s was withdrawn before anything was deposited: nothing bears it.", what)
	default:
		return fmt.Sprintf("Consent to the %s was withdrawn on %s%s. The next deposit goes out without it; %s can't be called back from those who have it.",
			what, dayWords(c.Withdrawn), howWords(c.WithdrawnHow), strings.Join(bear, ", "))
	}
}

// howWords sets in brackets how something was done, if that is known.
func howWords(how string) string {
	if how == "" {
		return ""
	}
	return " (" + how + ")"
}

// alike reports whether two names, as their letters, may be the same person's:
// equal without accents, capitals, hyphens and blanks, or but for one letter.
func alike(a, b string) bool {
	if d := len(a) - len(b); d > utf8.UTFMax || d < -utf8.UTFMax {
		return false
	}
	if utf8.RuneCountInString(a) < 5 || utf8.RuneCountInString(b) < 5 {
		return a != "" && a == b
	}
	for a != "" && b != "" {
		r, n := utf8.DecodeRuneInString(a)
		if q, _ := utf8.DecodeRuneInString(b); q != r {
			break
		}
		a, b = a[n:], b[n:]
	}
	for a != "" && b != "" {
		r, n := utf8.DecodeLastRuneInString(a)
		if q, _ := utf8.DecodeLastRuneInString(b); q != r {
			break
		}
		a, b = a[:len(a)-n], b[:len(b)-n]
	}
	return utf8.RuneCountInString(a) <= 1 && utf8.RuneCountInString(b) <= 1
}

func plain(name string) []rune {
	var out []rune
	for _, r := range norm.NFD.String(strings.ToLower(name)) {
		if unicode.IsLetter(r) {
			out = append(out, r)
		}
	}
	return out
}
