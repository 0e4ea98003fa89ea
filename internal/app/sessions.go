package app

import (
	"context"
	"slices"
	"time"

	"trug"
	"trug/internal/signin"
	"trug/internal/store"
)

// lasting is how long a session stays good: unused, and in all.
type lasting struct{ idle, whole time.Duration }

// aDay in hours: no matter of the calendar here.
const aDay = 24 * time.Hour

// lastings by role, the strictest of a person's roles counting: a coordinator
// can publish places, a recorder's phone must last a season in a pocket. The
// 30 days are those of NIST SP 800-63B, section 4.1.3; the rest is our own
// judgement.
var lastings = []struct {
	role trug.Role
	lasting
}{
	{trug.Coordinator, lasting{4 * aDay, 30 * aDay}},
	{trug.DeterminerRole, lasting{14 * aDay, 60 * aDay}},
	{trug.Leader, lasting{14 * aDay, 60 * aDay}},
	{trug.RecorderRole, lasting{60 * aDay, 200 * aDay}},
}

func lastingOf(p trug.Person) lasting {
	for _, l := range lastings {
		if p.Has(l.role) {
			return l.lasting
		}
	}
	return lastings[0].lasting
}

// seenEvery is how exactly it is kept when a device was last seen: so that not
// every question to the server writes.
const seenEvery = 15 * time.Minute

// Entered is what somebody gets who has come in: the token of their session,
// for the cookie, and how long it lasts at most.
type Entered struct {
	Token  string
	Lasts  time.Duration
	Person trug.Person
	// RecoveryCodes are one-time codes that were made along with it; they are
	// shown this once.
	RecoveryCodes []string
}

// enter makes a session of a person on the caller's device.
func (a *App) enter(ctx context.Context, w store.Writer, c Caller, p trug.Person, by trug.WayIn) (Entered, error) {
	if !p.Gone.IsZero() {
		return Entered{}, trug.Errorf(trug.NotFound, "", "This opens nothing here any more.")
	}
	token, err := signin.NewToken(a.Random)
	if err != nil {
		return Entered{}, err
	}
	id, err := a.newID()
	if err != nil {
		return Entered{}, err
	}
	now, lasts := a.Clock(), lastingOf(as(p, by)).whole
	if _, err := store.DropSecrets[trug.Session](ctx, w, store.SecretFilter{Over: now}); err != nil {
		return Entered{}, err
	}
	if _, err := store.DropSecrets[trug.SignIn](ctx, w, store.SecretFilter{Over: now}); err != nil {
		return Entered{}, err
	}
	if err := a.endOldSessions(ctx, w, p.ID, by); err != nil {
		return Entered{}, err
	}
	s := trug.Session{ID: id, SeasonID: p.SeasonID, PersonID: p.ID, Token: signin.HashToken(token), Label: c.Label, By: by,
		Created: now, Seen: now, Until: now.Add(lasts)}
	if err := store.PutSecret(ctx, w, signInOf(s)); err != nil {
		return Entered{}, err
	}
	return Entered{Token: token, Lasts: lasts, Person: p}, store.PutSecret(ctx, w, s)
}

// mostSessions is on how many devices somebody may be in at a time; whoever
// comes in on one more is signed out where they were seen the longest ago. A
// person of the demonstration is many visitors.
const mostSessions = 20

func (a *App) endOldSessions(ctx context.Context, w store.Writer, person trug.ID, by trug.WayIn) error {
	if by == trug.ByDemoLink {
		return nil
	}
	open, err := store.ListSecrets[trug.Session](ctx, w, store.SecretFilter{Person: person})
	if err != nil || len(open) < mostSessions {
		return err
	}
	slices.SortFunc(open, func(x, y trug.Session) int { return x.Seen.Compare(y.Seen) })
	for _, s := range open[:len(open)-mostSessions+1] {
		if _, err := a.endSessions(ctx, w, store.SecretFilter{ID: s.ID}, trug.EndElsewhere, ""); err != nil {
			return err
		}
	}
	return nil
}

// as returns the person with the parts that the way in opens.
func as(p trug.Person, by trug.WayIn) trug.Person {
	if by.RecorderOnly() {
		p.Roles = slices.DeleteFunc(slices.Clone(p.Roles), func(r trug.Role) bool { return r != trug.RecorderRole })
	}
	return p
}

// ended reports whether a session is over: by its end, or unused for too long.
// A clock that was set back ends none.
func (a *App) ended(s trug.Session, p trug.Person) bool {
	now := a.Clock()
	return !now.Before(s.Until) || now.Sub(s.Seen) > lastingOf(p).idle || now.Sub(s.Created) > lastingOf(p).whole
}

// NewDevice returns what a device that tries to come in is told apart by.
func (a *App) NewDevice() (string, error) { return signin.NewToken(a.Random) }

// Viewer returns who the token of a session cookie stands for. Without a token
// it is an outsider of the store's first season; so it is with one that is
// forged or over, and then the viewer is told so where they may not go on.
func (a *App) Viewer(ctx context.Context, token string) (Viewer, error) {
	v := Viewer{Lapsed: token != ""}
	var stale *trug.Session
	err := a.Store.Read(ctx, func(r store.Reader) error {
		s, p, ok, err := a.sessionOf(ctx, r, token)
		if err != nil {
			return err
		}
		if ok {
			v = Viewer{Season: p.SeasonID, Person: &p, Session: s.ID, By: s.By}
			if a.Clock().Sub(s.Seen) >= seenEvery {
				stale = &s
			}
			return nil
		}
		seasons, err := store.List[trug.Season](ctx, r, store.Filter{})
		if err == nil && len(seasons) > 0 {
			v.Season = seasons[0].ID
		}
		return err
	})
	if err == nil && stale != nil {
		err = a.seen(ctx, stale.ID)
	}
	return v, err
}

func (a *App) sessionOf(ctx context.Context, r store.Reader, token string) (trug.Session, trug.Person, bool, error) {
	if token == "" {
		return trug.Session{}, trug.Person{}, false, nil
	}
	s, err := store.SecretByKey[trug.Session](ctx, r, signin.HashToken(token))
	if err != nil {
		return s, trug.Person{}, false, unlessNotFound(err)
	}
	p, err := store.Get[trug.Person](ctx, r, s.PersonID)
	if err != nil {
		return s, p, false, unlessNotFound(err)
	}
	p = as(p, s.By)
	return s, p, !a.ended(s, p), nil
}

func unlessNotFound(err error) error {
	if trug.KindOf(err) == trug.NotFound {
		return nil
	}
	return err
}

// seen keeps that a session was used, if it has not ended meanwhile.
func (a *App) seen(ctx context.Context, id trug.ID) error {
	return a.write(ctx, func(w store.Writer) error {
		list, err := store.ListSecrets[trug.Session](ctx, w, store.SecretFilter{ID: id})
		if err != nil || len(list) == 0 {
			return err
		}
		list[0].Seen = a.Clock()
		return store.PutSecret(ctx, w, list[0])
	})
}

// ShownSession is a device on which somebody came in.
type ShownSession struct {
	ID      trug.ID    `json:"id"`
	Label   string     `json:"label"`
	By      trug.WayIn `json:"by"`
	Created time.Time  `json:"created"`
	Seen    time.Time  `json:"seen" doc:"To the quarter hour"`
	Ends    time.Time  `json:"ends" doc:"When it ends if it is not used again"`
	Here    bool       `json:"here" doc:"The device that asks"`
}

// Sessions lists the devices on which the viewer came in, this one first.
func (a *App) Sessions(ctx context.Context, v Viewer) ([]ShownSession, error) {
	if err := v.Permit(KeepOwnWays); err != nil {
		return nil, err
	}
	out := []ShownSession{}
	err := a.Store.Read(ctx, func(r store.Reader) error {
		list, err := store.ListSecrets[trug.Session](ctx, r, store.SecretFilter{Person: v.Person.ID})
		if err != nil {
			return err
		}
		p, err := store.Get[trug.Person](ctx, r, v.Person.ID)
		for _, s := range list {
			p := as(p, s.By)
			if a.ended(s, p) {
				continue
			}
			ends := s.Seen.Add(lastingOf(p).idle)
			if s.Until.Before(ends) {
				ends = s.Until
			}
			out = append(out, ShownSession{ID: s.ID, Label: s.Label, By: s.By, Created: s.Created, Seen: s.Seen, Ends: ends, Here: s.ID == v.Session})
		}
		return err
	})
	slices.SortStableFunc(out, func(x, y ShownSession) int {
		if x.Here != y.Here {
			return map[bool]int{true: -1, false: 1}[x.Here]
		}
		return y.Seen.Compare(x.Seen)
	})
	return out, err
}

// returns reports whether the viewer has a way to come in again.
func (a *App) returns(ctx context.Context, v Viewer) (bool, error) {
	if v.By == trug.ByDemoLink {
		return true, nil
	}
	has := false
	err := a.Store.Read(ctx, func(r store.Reader) error {
		for _, k := range []store.SecretKind{store.Phrases, store.Passwords, store.Passkeys} {
			rows, err := r.Secrets(ctx, store.SecretFilter{Kind: k, Person: v.Person.ID})
			if err != nil {
				return err
			}
			has = has || len(rows) > 0
		}
		return nil
	})
	return has, err
}

// EndSession ends one of the viewer's own sessions.
func (a *App) EndSession(ctx context.Context, v Viewer, id trug.ID) error {
	if err := v.Permit(KeepOwnWays); err != nil {
		return err
	}
	return a.write(ctx, func(w store.Writer) error {
		how := trug.EndElsewhere
		if id == v.Session {
			how = trug.EndLeft
		}
		n, err := a.signOut(ctx, w, store.SecretFilter{ID: id, Person: v.Person.ID}, how, "")
		if err == nil && (n == 0 || id == "") {
			return trug.Errorf(trug.NotFound, "", "There is no such device of yours; it may have been signed out already.")
		}
		return err
	})
}

// EndOtherSessions ends the viewer's sessions but the one that asks.
func (a *App) EndOtherSessions(ctx context.Context, v Viewer) error {
	if err := v.Permit(KeepOwnWays); err != nil {
		return err
	}
	return a.write(ctx, func(w store.Writer) error { return a.endOthers(ctx, w, v) })
}

func (a *App) endOthers(ctx context.Context, w store.Writer, v Viewer) error {
	_, err := a.signOut(ctx, w, store.SecretFilter{Person: v.Person.ID}, trug.EndElsewhere, v.Session)
	return err
}

// Leave ends the session that asks, if there is one.
func (a *App) Leave(ctx context.Context, v Viewer) error {
	if v.Session == "" {
		return nil
	}
	return a.write(ctx, func(w store.Writer) error {
		_, err := a.signOut(ctx, w, store.SecretFilter{ID: v.Session}, trug.EndLeft, "")
		return err
	})
}

// signOut is endSessions where somebody wants a device out: one that came in by the
// field code forgets nothing of it, and would come back by itself with its taking.
func (a *App) signOut(ctx context.Context, w store.Writer, f store.SecretFilter, how trug.SignInEnd, but trug.ID) (int, error) {
	list, err := store.ListSecrets[trug.Session](ctx, w, f)
	if err != nil {
		return 0, err
	}
	for _, s := range list {
		if s.ID == but || s.By != trug.ByFieldCode {
			continue
		}
		if _, err := store.DropSecrets[trug.Taking](ctx, w, store.SecretFilter{Person: s.PersonID}); err != nil {
			return 0, err
		}
	}
	return a.endSessions(ctx, w, f, how, but)
}

// EndWays ends the sessions of somebody of the season, for the coordinator;
// with all, their password, passkeys, codes and phrase as well, so that they
// come in again by a new invitation or field code alone.
func (a *App) EndWays(ctx context.Context, v Viewer, id trug.ID, all bool) error {
	l, err := a.open(ctx, v, KeepDesk)
	if err != nil {
		return err
	}
	if _, ok := l.people[id]; !ok {
		return trug.Errorf(trug.NotFound, "", "There is nobody of this identifier in the season.")
	}
	if all && v.is(id) {
		return trug.Errorf(trug.Invalid, "", "You can't take every way in from yourself: ask another coordinator.")
	}
	return a.write(ctx, func(w store.Writer) error {
		if v.is(id) {
			return a.endOthers(ctx, w, v)
		}
		if _, err := a.signOut(ctx, w, store.SecretFilter{Person: id}, trug.EndByDesk, ""); err != nil || !all {
			return err
		}
		return dropWays(ctx, w, id)
	})
}

// dropWays deletes everything by which somebody comes in, but for sessions that
// are open.
func dropWays(ctx context.Context, w store.Writer, person trug.ID) error {
	for _, k := range []store.SecretKind{store.Passwords, store.Passkeys, store.RecoveryCodes, store.Phrases, store.Invitations, store.Ceremonies, store.Takings} {
		if _, err := w.DropSecrets(ctx, store.SecretFilter{Kind: k, Person: person}); err != nil {
			return err
		}
	}
	return nil
}
