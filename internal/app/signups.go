package app

import (
	"context"
	"slices"
	"strings"

	"trug"
	"trug/internal/store"
)

// SignUp says that the viewer comes to a foray, or does not. Where the site is
// private ground that they do not know, they ask to come.
func (a *App) SignUp(ctx context.Context, v Viewer, id trug.ID, comes bool) (ComingForay, error) {
	l, err := a.open(ctx, v, ComeAlong)
	if err != nil {
		return ComingForay{}, err
	}
	y, ok := l.forays[id]
	if !ok || y.Visit {
		return ComingForay{}, trug.Errorf(trug.NotFound, "", "There is no such foray here.")
	}
	if y.Date < a.today(l.season) {
		return ComingForay{}, trug.Errorf(trug.Invalid, "", "This foray is over.")
	}
	c := signUps{}
	switch me := []trug.ID{v.Person.ID}; {
	case !comes:
		c.off = me
	case l.knows(v, y.SiteID):
		c.add = me
	default:
		c.ask = me
	}
	y, err = a.changeSignUps(ctx, v, l, id, c)
	if err != nil {
		return ComingForay{}, err
	}
	return l.comingForay(v, y), nil
}

// GivenSignUps puts people on the list of a foray and takes others off it.
type GivenSignUps struct {
	// Add names them by the name they chose, their code or identifier.
	Add []string  `json:"add,omitempty" doc:"Chosen name, code or identifier"`
	Off []trug.ID `json:"off,omitempty"`
}

// ChangeSignUps puts others on the list of a foray, or takes them off: for its
// leader and the coordinator. People are found by name or code, so that a
// leader need not be shown everybody of the season.
func (a *App) ChangeSignUps(ctx context.Context, v Viewer, id trug.ID, g GivenSignUps) (ShownForay, error) {
	l, y, err := a.forayToKeep(ctx, v, id)
	if err != nil {
		return ShownForay{}, err
	}
	if y.Visit {
		return ShownForay{}, trug.Errorf(trug.Invalid, "", "People sign up for forays; this is a visit.")
	}
	c := signUps{off: g.Off}
	for _, who := range g.Add {
		p, err := l.personCalled(who)
		if err != nil {
			return ShownForay{}, err
		}
		c.add = append(c.add, p.ID)
	}
	y, err = a.changeSignUps(ctx, v, l, id, c)
	if err != nil {
		return ShownForay{}, err
	}
	return l.keptForay(v, y), nil
}

// signUps is a change of a foray's list.
type signUps struct{ add, off, ask []trug.ID }

// changeSignUps changes the list as it stands in the store, within the
// transaction, so that of two people who sign up at once neither is lost.
func (a *App) changeSignUps(ctx context.Context, v Viewer, l *ledger, id trug.ID, c signUps) (y trug.Foray, err error) {
	err = a.write(ctx, func(w store.Writer) error {
		if y, err = store.Get[trug.Foray](ctx, w, id); err != nil {
			return err
		}
		list := slices.DeleteFunc(slices.Clone(y.SignedUp), func(p trug.ID) bool { return slices.Contains(c.off, p) })
		for _, p := range c.add {
			if slices.Contains(list, p) {
				continue
			}
			if most := l.places(y); most > 0 && len(list) >= most {
				return trug.Errorf(trug.Invalid, "add", "The %d places of this foray are taken: the land manager allows no more.", most)
			}
			list = append(list, p)
		}
		y.SignedUp = list
		y.Asking = slices.DeleteFunc(slices.Clone(y.Asking), func(p trug.ID) bool { return slices.Contains(c.off, p) || slices.Contains(list, p) })
		for _, p := range c.ask {
			if !slices.Contains(list, p) && !slices.Contains(y.Asking, p) {
				y.Asking = append(y.Asking, p)
			}
		}
		return store.Put(ctx, w, y, a.author(v), a.Clock())
	})
	return y, err
}

// places is how many may come to a foray, 0 where nobody set a limit.
func (l *ledger) places(y trug.Foray) int {
	if p := l.sites[y.SiteID].Permission; p != nil {
		return p.People
	}
	return 0
}

// personCalled finds somebody of the season by identifier, code or chosen name.
func (l *ledger) personCalled(text string) (trug.Person, error) {
	text = strings.Join(strings.Fields(text), " ")
	if text == "" {
		return trug.Person{}, trug.Errorf(trug.Invalid, "add", "say who it is, by the name they chose or by their code")
	}
	var called []trug.Person
	var codes []string
	for _, p := range l.people {
		switch {
		case string(p.ID) == text || p.Code != "" && strings.EqualFold(p.Code, text):
			return p, nil
		case strings.EqualFold(p.Name, text):
			called = append(called, p)
			if p.Code != "" {
				codes = append(codes, p.Code)
			}
		}
	}
	switch {
	case len(called) == 1:
		return called[0], nil
	case len(called) == 0:
		return trug.Person{}, trug.Errorf(trug.Invalid, "add", "nobody of the season is called %q: write the name as they chose it, or their code; somebody new is added by the coordinator, under People", text)
	case len(codes) < len(called):
		return trug.Person{}, trug.Errorf(trug.Conflict, "add", "%d people are called %s, and not all have a code: ask the coordinator to give them one, under People", len(called), called[0].Name)
	}
	slices.Sort(codes)
	return trug.Person{}, trug.Errorf(trug.Conflict, "add", "%d people are called %s: give the code instead, %s", len(called), called[0].Name, strings.Join(codes, " or "))
}

// ShownLeader is somebody who may lead a foray.
type ShownLeader struct {
	ID   trug.ID `json:"id"`
	Name string  `json:"name"`
	Code string  `json:"code,omitempty"`
}

// Leaders lists who may lead, by name: the programme names them anyhow.
func (a *App) Leaders(ctx context.Context, v Viewer) ([]ShownLeader, error) {
	l, err := a.open(ctx, v, SeeForays)
	if err != nil {
		return nil, err
	}
	out := []ShownLeader{}
	for _, p := range l.people {
		if leads(p) {
			out = append(out, ShownLeader{p.ID, p.Name, p.Code})
		}
	}
	slices.SortFunc(out, func(x, y ShownLeader) int { return strings.Compare(x.Name+x.Code, y.Name+y.Code) })
	return out, nil
}

func leads(p trug.Person) bool { return p.Has(trug.Leader) || p.Has(trug.Coordinator) }

// HandOn gives a foray to another leader, who keeps it from then on.
func (a *App) HandOn(ctx context.Context, v Viewer, id trug.ID, to string) (ShownForay, error) {
	l, y, err := a.forayToKeep(ctx, v, id)
	if err != nil {
		return ShownForay{}, err
	}
	if y.Visit {
		return ShownForay{}, trug.Errorf(trug.Invalid, "", "A visit has no leader to hand it on to.")
	}
	p, err := l.personCalled(to)
	if err != nil {
		return ShownForay{}, toField(err, "to")
	}
	if !leads(p) {
		return ShownForay{}, trug.Errorf(trug.Invalid, "to", "%s does not lead forays yet: the coordinator makes somebody a leader, under People", p.Name)
	}
	err = a.write(ctx, func(w store.Writer) error {
		if y, err = store.Get[trug.Foray](ctx, w, id); err != nil {
			return err
		}
		y.Leader = p.ID
		return store.Put(ctx, w, y, a.author(v), a.Clock())
	})
	if err != nil {
		return ShownForay{}, err
	}
	return l.keptForay(v, y), nil
}

// toField returns the error as one about another field.
func toField(err error, field string) error {
	if e, ok := err.(*trug.Error); ok {
		at := *e
		at.Field = field
		return &at
	}
	return err
}
