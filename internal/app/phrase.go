package app

import (
	"context"

	"trug"
	"trug/internal/signin"
	"trug/internal/store"
)

// GivenPhrase is a recovery phrase, shown this once.
type GivenPhrase struct {
	Phrase string `json:"phrase" doc:"Six words, to be written down or said aloud"`
	For    string `json:"for" doc:"Whom it lets in"`
}

// MakePhrase makes a recovery phrase for the viewer. It is kept hashed, so
// that it can't be shown a second time: whoever asks again gets a new one, and
// the one before is good for nothing.
func (a *App) MakePhrase(ctx context.Context, v Viewer) (GivenPhrase, error) {
	if err := v.Permit(KeepOwnWays); err != nil {
		return GivenPhrase{}, err
	}
	if err := a.makes(v); err != nil {
		return GivenPhrase{}, err
	}
	return a.phraseFor(ctx, *v.Person)
}

func (a *App) phraseFor(ctx context.Context, p trug.Person) (GivenPhrase, error) {
	phrase, err := signin.NewPhrase(a.Random)
	if err != nil {
		return GivenPhrase{}, err
	}
	hash, err := a.slowKey(ctx, "phrase", phrase)
	if err != nil {
		return GivenPhrase{}, err
	}
	id, err := a.newID()
	if err != nil {
		return GivenPhrase{}, err
	}
	err = a.write(ctx, func(w store.Writer) error {
		if _, err := store.DropSecrets[trug.Phrase](ctx, w, store.SecretFilter{Person: p.ID}); err != nil {
			return err
		}
		return store.PutSecret(ctx, w, trug.Phrase{ID: id, SeasonID: p.SeasonID, PersonID: p.ID, Hash: hash, Created: a.Clock()})
	})
	return GivenPhrase{Phrase: phrase, For: p.Name}, err
}

// slowKey is signin.SlowKey, one at a time: each takes 64 MiB.
func (a *App) slowKey(ctx context.Context, purpose, text string) (key string, err error) {
	err = a.slowly(ctx, func() { key = signin.SlowKey(a.Secret, purpose, text) })
	return key, err
}

// mostWaiting bounds how many wait for slow work, which is over for the last of
// them in some ten seconds.
const mostWaiting = 64

// slowly runs what takes 64 MiB and a good part of a second, one at a time. The
// error is of kind Busy when too many wait already.
func (a *App) slowly(ctx context.Context, work func()) error {
	select {
	case a.queue <- struct{}{}:
		defer func() { <-a.queue }()
	default:
		return trug.Errorf(trug.Busy, "", "Many people are signing in just now. Try again in a minute.")
	}
	select {
	case a.hashing <- struct{}{}:
		defer func() { <-a.hashing }()
		work()
		return nil
	case <-ctx.Done():
		return ctx.Err()
	}
}

// SayPhrase lets a recorder in on another phone by their recovery phrase.
func (a *App) SayPhrase(ctx context.Context, v Viewer, c Caller, text string) (Entered, error) {
	if err := v.Permit(ComeIn); err != nil {
		return Entered{}, err
	}
	phrase, err := signin.ReadPhrase(text)
	if err != nil {
		return Entered{}, err
	}
	var in Entered
	err = a.guarded(ctx, guess{Caller: c, what: trug.ByPhrase, season: v.Season}, func() error {
		key, err := a.slowKey(ctx, "phrase", phrase)
		if err != nil {
			return err
		}
		return a.write(ctx, func(w store.Writer) error {
			held, err := store.SecretByKey[trug.Phrase](ctx, w, key)
			if err != nil {
				if trug.KindOf(err) == trug.NotFound {
					err = trug.Errorf(trug.NotEntered, "phrase", "This recovery phrase opens nothing here: look at the words again. If a newer one was asked for, the older is good for nothing.")
				}
				return err
			}
			p, err := store.Get[trug.Person](ctx, w, held.PersonID)
			if err != nil {
				return err
			}
			in, err = a.enter(ctx, w, c, p, trug.ByPhrase)
			return err
		})
	})
	return in, err
}

// GivenChild names a child who comes along.
type GivenChild struct {
	Name string `json:"name" maxLength:"200" doc:"First name or chosen name, one word"`
}

// BringChild adds a child who takes part under the viewer, an adult, and gives
// the phrase by which the child comes in on a phone of their own. It is counted
// like somebody who comes in by the field code.
func (a *App) BringChild(ctx context.Context, v Viewer, c Caller, g GivenChild) (GivenPhrase, error) {
	l, err := a.open(ctx, v, KeepOwnWays)
	if err != nil {
		return GivenPhrase{}, err
	}
	if v.Person.Minor {
		return GivenPhrase{}, trug.Errorf(trug.NotAllowed, "", "Your adult adds a child on their own phone.")
	}
	if err := a.makes(v); err != nil {
		return GivenPhrase{}, err
	}
	name, err := shownNameOf(g.Name)
	if err != nil {
		return GivenPhrase{}, err
	}
	children := 0
	for _, p := range l.people {
		if p.Guardian == v.Person.ID {
			children++
		}
	}
	if children >= mostChildren {
		return GivenPhrase{}, trug.Errorf(trug.Invalid, "name", "%d children come with you already: the coordinator can add more.", children)
	}
	p := trug.Person{SeasonID: l.season.ID, Created: a.Clock()}
	if err := a.stampPerson(&p); err != nil {
		return GivenPhrase{}, err
	}
	e := EditablePerson{Name: name, Minor: true, Guardian: v.Person.ID, Roles: []trug.Role{trug.RecorderRole}}
	if err := l.fillPerson(&p, e); err != nil {
		return GivenPhrase{}, err
	}
	code, err := a.fieldCode(ctx, l.season.ID)
	if err != nil {
		return GivenPhrase{}, err
	}
	code.SeasonID = l.season.ID // where there is none yet
	err = a.write(ctx, func(w store.Writer) error {
		if err := a.countIn(ctx, w, a.places(comer(c, code)), true); err != nil {
			return err
		}
		return store.Put(ctx, w, p, a.author(v), a.Clock())
	})
	if err != nil {
		return GivenPhrase{}, err
	}
	return a.phraseFor(ctx, p)
}

// mostChildren is how many children one adult may bring by themselves.
const mostChildren = 12
