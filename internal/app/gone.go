package app

import (
	"context"
	"fmt"
	"slices"
	"strings"

	"trug"
	"trug/internal/store"
)

// GivenTakingOut says that somebody's name is to be taken out of the season.
type GivenTakingOut struct {
	// Name is theirs, typed again, so that nobody goes by a slip of the finger.
	Name string `json:"name" maxLength:"300"`
	// Originals asks for the originals of their photographs to be deleted; the
	// smaller copies without metadata stay.
	Originals bool `json:"originals,omitempty"`
	// Mentions are the things of others out of whose words the name is to come.
	Mentions []trug.ID `json:"mentions,omitempty" doc:"Of those that were found, the ones that mean this person"`
}

// TakeOutName takes somebody's name and all that tells who they are out of the
// season: out of rows and of every amendment, sign-ups, sessions and ways in.
// Records, determinations and places stay, by "a recorder whose name was taken
// out". For oneself, a child that takes part under one, and the coordinator.
// It can't be undone. Doing it again changes nothing.
func (a *App) TakeOutName(ctx context.Context, v Viewer, who trug.ID, g GivenTakingOut) error {
	l, p, err := a.whose(ctx, v, TakeOutName, who)
	if err != nil {
		return err
	}
	if !p.Gone.IsZero() {
		return nil
	}
	if !strings.EqualFold(strings.Join(strings.Fields(g.Name), " "), strings.Join(strings.Fields(p.Name), " ")) {
		return trug.Errorf(trug.Invalid, "name", "type the name as it stands here, %s: taking it out can't be undone", p.Name)
	}
	if i := slices.IndexFunc(l.childrenOf(p.ID), func(c trug.Person) bool { return c.Gone.IsZero() }); i >= 0 {
		return trug.Errorf(trug.Invalid, "name", "children take part under this person: take their names out first, or ask the coordinator to put them under another adult")
	}
	telling, things, names, err := a.toRedact(ctx, v, l, p, g)
	if err != nil {
		return err
	}
	row, err := store.RowOf(telling)
	if err != nil {
		return err
	}
	err = a.write(ctx, func(w store.Writer) error {
		return a.keptInHands(ctx, w, v, l, func() error { return a.takeOut(ctx, w, v, p, row, things, blankOf(p, names, g.Mentions)) })
	})
	if err != nil {
		return err
	}
	if err := a.deleteOriginals(ctx, telling); err != nil {
		return fmt.Errorf("the name is taken out; deleting the originals goes on when the server starts next: %w", err)
	}
	return nil
}

// toRedact gathers what is to be gone through: what bears the person's own
// words, and what of others was said to mean them.
func (a *App) toRedact(ctx context.Context, v Viewer, l *ledger, p trug.Person, g GivenTakingOut) (telling trug.Redaction, things []store.Named, names []string, err error) {
	if names, err = a.namesOf(ctx, p); err != nil {
		return telling, nil, nil, err
	}
	things = l.redactable(p)
	if len(g.Mentions) > 0 {
		if len(g.Mentions) > mostMentions {
			return telling, nil, nil, trug.Errorf(trug.TooLarge, "mentions", "%d at once are too many: %d is the most", len(g.Mentions), mostMentions)
		}
		found, err := a.searchNames(ctx, l, p, names)
		if err != nil {
			return telling, nil, nil, err
		}
		for _, id := range g.Mentions {
			i := slices.IndexFunc(found, func(m namedIn) bool { return m.ID == id })
			if i < 0 {
				return telling, nil, nil, trug.Errorf(trug.Conflict, "mentions", "what was found has changed meanwhile: load the page again and look it through")
			}
			if x := (store.Named{Kind: found[i].kind, ID: id}); !slices.Contains(things, x) {
				things = append(things, x)
			}
		}
	}
	telling = trug.Redaction{SeasonID: l.season.ID, PersonID: p.ID, By: v.Person.ID, Created: a.Clock()}
	if telling.ID, err = a.newID(); err != nil {
		return telling, nil, nil, err
	}
	for _, t := range things {
		telling.Of = append(telling.Of, t.ID)
	}
	if g.Originals {
		for _, x := range l.thingsOf(p).photographs {
			telling.Originals = append(telling.Originals, x.ID)
		}
	}
	return telling, things, names, nil
}

func (l *ledger) childrenOf(id trug.ID) (out []trug.Person) {
	for _, c := range l.people {
		if c.Guardian == id {
			out = append(out, c)
		}
	}
	return out
}

// takeOut does the work within the transaction.
func (a *App) takeOut(ctx context.Context, w store.Writer, v Viewer, p trug.Person, telling store.Row, things []store.Named, blank blanking) error {
	if err := w.Redact(ctx, telling, things, blank, a.author(v), a.Clock()); err != nil {
		return err
	}
	now, err := store.Get[trug.Person](ctx, w, p.ID)
	if err != nil {
		return err
	}
	// Without a part in the season, so that nobody counts on them.
	now.Gone, now.Roles = a.Clock(), nil
	if err := store.Put(ctx, w, now, a.author(v), a.Clock()); err != nil {
		return err
	}
	used, err := store.ListSecrets[trug.Invitation](ctx, w, store.SecretFilter{Season: p.SeasonID})
	if err != nil {
		return err
	}
	for _, i := range used { // whose note may bear the name
		if i.UsedBy == p.ID {
			if _, err := store.DropSecrets[trug.Invitation](ctx, w, store.SecretFilter{ID: i.ID}); err != nil {
				return err
			}
		}
	}
	waits, err := openWishes(ctx, w, p)
	if err != nil {
		return err
	}
	if err := a.endWishes(ctx, w, v, waits, trug.WishDone); err != nil {
		return err
	}
	for _, k := range []store.SecretKind{store.Sessions, store.SignIns} {
		if _, err := w.DropSecrets(ctx, store.SecretFilter{Kind: k, Person: p.ID}); err != nil {
			return err
		}
	}
	return dropWays(ctx, w, p.ID)
}
