package app

import (
	"cmp"
	"context"
	"fmt"
	"slices"
	"time"

	"trug"
	"trug/internal/store"
	"trug/science/said"
)

// ShownSignIn is a sign-in of one's own that is over.
type ShownSignIn struct {
	ID      trug.ID    `json:"id"`
	Label   string     `json:"label" doc:"What sort of device it was"`
	By      trug.WayIn `json:"by"`
	Created time.Time  `json:"created"`
	// Ended is missing where the device was not used for so long that it was
	// signed out by itself: when it was used last is not kept.
	Ended time.Time `json:"ended,omitzero"`
	Says  string    `json:"says" doc:"How it ended"`
	Until time.Time `json:"until" doc:"When this line is erased at the latest"`
}

// mostSignIns is how many of one's own earlier sign-ins are listed.
const mostSignIns = 50

// SignIns lists the viewer's sign-ins that are over, the newest first.
func (a *App) SignIns(ctx context.Context, v Viewer) ([]ShownSignIn, error) {
	if err := v.Permit(KeepOwnWays); err != nil {
		return nil, err
	}
	var past []trug.SignIn
	err := a.Store.Read(ctx, func(r store.Reader) (err error) {
		past, err = a.pastSignIns(ctx, r, *v.Person)
		return err
	})
	out := []ShownSignIn{}
	for _, s := range past[:min(mostSignIns, len(past))] {
		out = append(out, ShownSignIn{ID: s.ID, Label: s.Label, By: s.By, Created: s.Created, Ended: s.Ended, Says: string(endWords(s)), Until: store.SignInErased(s)})
	}
	return out, err
}

// pastSignIns returns the sign-ins of somebody that are over, the newest first.
func (a *App) pastSignIns(ctx context.Context, r store.Reader, p trug.Person) ([]trug.SignIn, error) {
	all, err := store.ListSecrets[trug.SignIn](ctx, r, store.SecretFilter{Person: p.ID})
	if err != nil {
		return nil, err
	}
	in, err := a.stillIn(ctx, r, store.SecretFilter{Person: p.ID}, map[trug.ID]trug.Person{p.ID: p})
	if err != nil {
		return nil, err
	}
	all = slices.DeleteFunc(all, func(s trug.SignIn) bool { return in[s.ID] || a.Clock().After(store.SignInErased(s)) })
	slices.SortFunc(all, func(x, y trug.SignIn) int { return cmp.Or(y.Created.Compare(x.Created), cmp.Compare(y.ID, x.ID)) })
	return all, nil
}

// stillIn tells which sessions among those that the filter chooses let in.
func (a *App) stillIn(ctx context.Context, r store.Reader, f store.SecretFilter, people map[trug.ID]trug.Person) (map[trug.ID]bool, error) {
	sessions, err := store.ListSecrets[trug.Session](ctx, r, f)
	in := map[trug.ID]bool{}
	for _, s := range sessions {
		if p, ok := people[s.PersonID]; ok && !a.ended(s, as(p, s.By)) {
			in[s.ID] = true
		}
	}
	return in, err
}

// endWords says how a sign-in ended.
func endWords(s trug.SignIn) said.Words {
	return cmp.Or(map[trug.SignInEnd]said.Words{
		trug.EndLeft:      "left on the device itself",
		trug.EndElsewhere: "signed out from another device",
		trug.EndByDesk:    "signed out by a coordinator",
		trug.EndAnew:      "signed out by a new invitation",
	}[s.How], said.Words("signed out by itself, not having been used"))
}

// endSessions ends the sessions that the filter chooses but one, and keeps when
// and how. It returns how many there were.
func (a *App) endSessions(ctx context.Context, w store.Writer, f store.SecretFilter, how trug.SignInEnd, but trug.ID) (int, error) {
	list, err := store.ListSecrets[trug.Session](ctx, w, f)
	if err != nil {
		return 0, err
	}
	n := 0
	for _, s := range list {
		if s.ID == but {
			continue
		}
		n++
		if _, err := store.DropSecrets[trug.Session](ctx, w, store.SecretFilter{ID: s.ID}); err != nil {
			return n, err
		}
		if a.Clock().After(s.Until) {
			continue // it had ended by itself
		}
		ended := signInOf(s)
		ended.Ended, ended.How = a.Clock(), how
		if err := store.PutSecret(ctx, w, ended); err != nil {
			return n, err
		}
	}
	return n, nil
}

// signInOf is what is kept of a session when it is over.
func signInOf(s trug.Session) trug.SignIn {
	return trug.SignIn{ID: s.ID, SeasonID: s.SeasonID, PersonID: s.PersonID, Label: s.Label, By: s.By, Created: s.Created, Until: s.Until}
}

// auditEntries lists who came in and how that ended, a page at a time.
func (a *App) auditEntries(ctx context.Context, l *ledger, q auditQuestion) (lines []AuditLine, next string, err error) {
	err = a.Store.Read(ctx, func(r store.Reader) error {
		in, err := a.stillIn(ctx, r, store.SecretFilter{Season: l.season.ID}, l.people)
		if err != nil {
			return err
		}
		before := trug.ID(q.Before)
		for len(lines) <= q.limit {
			const batch = 500
			f := store.SecretFilter{Season: l.season.ID, Person: q.Person, Before: before, Newest: batch}
			found, err := store.ListSecrets[trug.SignIn](ctx, r, f)
			if err != nil {
				return err
			}
			for _, s := range found {
				before = s.ID
				if q.Act != "" && string(s.By) != q.Act || !q.within(s.Created) || q.thing.ID != "" && q.thing.ID != s.PersonID || a.Clock().After(store.SignInErased(s)) {
					continue
				}
				lines = append(lines, l.entryLine(s, in[s.ID]))
			}
			if len(found) < batch || !q.from.IsZero() && found[len(found)-1].Created.Before(q.from.Add(-aDay)) {
				break
			}
		}
		return nil
	})
	if len(lines) > q.limit {
		lines = lines[:q.limit]
		next = string(lines[q.limit-1].key)
	}
	return lines, next, err
}

func (l *ledger) entryLine(s trug.SignIn, in bool) AuditLine {
	what := fmt.Sprintf("came in by %s (%s); ", s.By, s.Label)
	switch {
	case in:
		what += "still in"
	case s.Ended.IsZero():
		what += string(endWords(s))
	default:
		what += string(endWords(s)) + " on " + dayWords(trug.DateOf(s.Ended.In(zone(l.season)))) + " at " + s.Ended.In(zone(l.season)).Format("15:04")
	}
	return AuditLine{At: s.Created, Person: s.PersonID, By: l.person(s.PersonID), What: what, Thing: l.thingFor(store.People, s.PersonID), key: s.ID}
}

// auditGuesses lists what was tried in vain in the last thirty days.
func (a *App) auditGuesses(ctx context.Context, l *ledger, q auditQuestion) (lines []AuditLine, err error) {
	err = a.Store.Read(ctx, func(r store.Reader) error {
		guesses, err := store.ListSecrets[trug.Guesses](ctx, r, store.SecretFilter{Season: l.season.ID})
		for _, g := range guesses {
			if g.Of != ofSeason && g.Wrong > 0 && (q.Act == "" || q.Act == string(g.What)) && q.within(g.Last) {
				lines = append(lines, AuditLine{At: g.Last, By: "unknown, mark " + g.Mark, What: fmt.Sprintf("%s tried in vain, %s", g.What, count(g.Wrong, "time"))})
			}
		}
		return err
	})
	slices.SortFunc(lines, func(x, y AuditLine) int { return y.At.Compare(x.At) })
	return lines, err
}
