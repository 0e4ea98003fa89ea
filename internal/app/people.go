package app

import (
	"context"
	"strings"
	"unicode/utf8"

	"trug"
	"trug/internal/store"
)

// NewPerson is somebody to be added to the season.
type NewPerson struct {
	ID     trug.ID     `json:"id" doc:"UUIDv7 made where the form is filled in, so that sending twice is harmless"`
	Name   string      `json:"name"`
	Credit string      `json:"credit,omitempty" doc:"Name published with finds; empty: name withheld"`
	Minor  bool        `json:"minor,omitempty"`
	Roles  []trug.Role `json:"roles"`
	Scope  string      `json:"scope,omitempty"`
}

func (a *App) shownPerson(p trug.Person) ShownPerson {
	return ShownPerson{ID: p.ID, Code: p.Code, Name: p.Name, Credit: p.Credit, Minor: p.Minor, Roles: p.Roles, Scope: p.Scope,
		Link: a.entryLink(p.ID)}
}

// AddPerson adds somebody to the season. Repeating it changes nothing.
func (a *App) AddPerson(ctx context.Context, v Viewer, n NewPerson) (ShownPerson, error) {
	l, err := a.open(ctx, v, AddSomebody)
	if err != nil {
		return ShownPerson{}, err
	}
	if p, ok := l.people[n.ID]; ok {
		return a.shownPerson(p), nil
	}
	p := trug.Person{ID: n.ID, SeasonID: v.Season, Name: strings.TrimSpace(n.Name), Credit: strings.TrimSpace(n.Credit),
		Minor: n.Minor, Roles: n.Roles, Scope: strings.TrimSpace(n.Scope), Created: a.Clock()}
	if err := p.Validate(); err != nil {
		return ShownPerson{}, err
	}
	if utf8.RuneCountInString(p.Name+p.Credit+p.Scope) > 3*trug.MaxNameLength {
		return ShownPerson{}, trug.Errorf(trug.Invalid, "name", "the name, credit and scope together are too long: shorten them")
	}
	if p.Minor && p.Credit == p.Name && p.Credit != "" {
		return ShownPerson{}, trug.Errorf(trug.Invalid, "credit", "a child is not published by name: credit them as Young recorder 1 or the like, or leave it blank")
	}
	if err := a.stampPerson(&p); err != nil {
		return ShownPerson{}, err
	}
	err = a.write(ctx, func(w store.Writer) error { return store.Put(ctx, w, p, a.author(v), a.Clock()) })
	return a.shownPerson(p), err
}

// stampPerson gives a person the identifiers that it lacks.
func (a *App) stampPerson(p *trug.Person) (err error) {
	if p.ID == "" {
		if p.ID, err = a.newID(); err != nil {
			return err
		}
	}
	if !p.ID.Valid() {
		return badID()
	}
	p.Public, err = a.newPublic()
	return err
}

func badID() error {
	return trug.Errorf(trug.Invalid, "id", "the identifier is not a UUID of version 7: reload the page and send it again")
}
