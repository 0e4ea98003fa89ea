package app

import (
	"context"
	"slices"
	"strings"
	"time"
	"unicode/utf8"

	"trug"
	"trug/internal/paper"
	"trug/internal/signin"
	"trug/internal/store"
)

// NewInvitation is what the coordinator says of an invitation.
type NewInvitation struct {
	Roles []trug.Role `json:"roles" doc:"coordinator, determiner, leader"`
	// Person is set to invite anew somebody who is in the season already: they
	// keep what they have and get the roles besides.
	Person trug.ID `json:"person,omitempty"`
	Note   string  `json:"note,omitempty" maxLength:"200" doc:"For whom it is, for the coordinators"`
	Days   int     `json:"days" minimum:"1" maximum:"30" doc:"How long it is good"`
}

// ShownInvitation is an invitation as the coordinators see it.
type ShownInvitation struct {
	ID      trug.ID     `json:"id"`
	Roles   []trug.Role `json:"roles"`
	Note    string      `json:"note,omitempty"`
	Person  string      `json:"person,omitempty" doc:"Name of whom it invites anew"`
	By      string      `json:"by" doc:"Who made it"`
	Created time.Time   `json:"created"`
	Until   time.Time   `json:"until"`
	State   string      `json:"state" enum:"open,used,taken back,run out"`
	UsedBy  string      `json:"usedBy,omitempty"`
}

// MadeInvitation is an invitation with its link, which is shown this once: it
// is kept hashed.
type MadeInvitation struct {
	ShownInvitation
	Link string `json:"link"`
	// Square is the link as a square code, a row a string of 1 and 0; it holds
	// the whole address only where the server knows its own.
	Square []string `json:"square,omitempty"`
}

// invitationPath is where invitations are opened. What tells one from another
// stands behind a #, so that it gets into no log on the way.
const invitationPath = "/invitation#"

// Invite makes an invitation. address is that under which the link is opened.
func (a *App) Invite(ctx context.Context, v Viewer, address string, n NewInvitation) (MadeInvitation, error) {
	l, err := a.open(ctx, v, KeepDesk)
	if err != nil {
		return MadeInvitation{}, err
	}
	if p, ok := l.people[n.Person]; n.Person != "" && (!ok || p.Minor) {
		return MadeInvitation{}, trug.Errorf(trug.NotFound, "person", "There is no grown-up of this identifier in the season.")
	}
	i, token, err := a.newInvitation(l.season.ID, n)
	if err != nil {
		return MadeInvitation{}, err
	}
	i.By = v.Person.ID
	if err := a.write(ctx, func(w store.Writer) error { return store.PutSecret(ctx, w, i) }); err != nil {
		return MadeInvitation{}, err
	}
	made := MadeInvitation{ShownInvitation: a.shownInvitation(l, i), Link: invitationPath + token}
	made.Square, err = paper.Square(strings.TrimRight(address, "/") + made.Link)
	return made, err
}

// newInvitation checks what was said and draws a token.
func (a *App) newInvitation(season trug.ID, n NewInvitation) (i trug.Invitation, token string, err error) {
	note := strings.TrimSpace(n.Note)
	switch {
	case len(n.Roles) == 0:
		return i, "", trug.Errorf(trug.Invalid, "roles", "say as what they are invited: coordinator, determiner or leader")
	case slices.ContainsFunc(n.Roles, func(r trug.Role) bool {
		return r != trug.Coordinator && r != trug.DeterminerRole && r != trug.Leader
	}):
		return i, "", trug.Errorf(trug.Invalid, "roles", "coordinators, determiners and leaders are invited; recorders take the field code")
	case n.Days < 1 || n.Days > 30:
		return i, "", trug.Errorf(trug.Invalid, "days", "an invitation is good for 1 to 30 days")
	case utf8.RuneCountInString(note) > 200:
		return i, "", trug.Errorf(trug.Invalid, "note", "the note is too long: a name is enough")
	}
	if token, err = signin.NewToken(a.Random); err != nil {
		return i, "", err
	}
	now := a.Clock()
	i = trug.Invitation{SeasonID: season, Token: signin.HashToken(token), Roles: n.Roles, PersonID: n.Person, Note: note,
		Created: now, Until: now.Add(time.Duration(n.Days) * aDay)}
	i.ID, err = a.newID()
	return i, token, err
}

// InviteCoordinator makes an invitation for a coordinator, good for a day: for
// the command line, which stands beside the data, and for whoever has just set
// a season up, with the person that they are.
func (a *App) InviteCoordinator(ctx context.Context, season, person trug.ID) (link string, err error) {
	i, token, err := a.newInvitation(season, NewInvitation{Roles: []trug.Role{trug.Coordinator}, Person: person, Days: 1})
	if err != nil {
		return "", err
	}
	return invitationPath + token, a.write(ctx, func(w store.Writer) error { return store.PutSecret(ctx, w, i) })
}

func (a *App) shownInvitation(l *ledger, i trug.Invitation) ShownInvitation {
	by := l.person(i.By)
	if i.By == "" {
		by = "the server's command line"
	}
	return ShownInvitation{ID: i.ID, Roles: i.Roles, Note: i.Note, Person: l.person(i.PersonID), By: by, Created: i.Created, Until: i.Until,
		State: a.stateOf(i), UsedBy: l.person(i.UsedBy)}
}

func (a *App) stateOf(i trug.Invitation) string {
	switch {
	case !i.Used.IsZero():
		return "used"
	case !i.Revoked.IsZero():
		return "taken back"
	case !a.Clock().Before(i.Until):
		return "run out"
	}
	return "open"
}

// Invitations lists the season's invitations, newest first.
func (a *App) Invitations(ctx context.Context, v Viewer) ([]ShownInvitation, error) {
	l, err := a.open(ctx, v, OpenDesk)
	if err != nil {
		return nil, err
	}
	out := []ShownInvitation{}
	err = a.Store.Read(ctx, func(r store.Reader) error {
		list, err := store.ListSecrets[trug.Invitation](ctx, r, store.SecretFilter{Season: l.season.ID})
		for _, i := range slices.Backward(list) {
			out = append(out, a.shownInvitation(l, i))
		}
		return err
	})
	return out, err
}

// RevokeInvitation takes an invitation back that nobody has used.
func (a *App) RevokeInvitation(ctx context.Context, v Viewer, id trug.ID) (ShownInvitation, error) {
	l, err := a.open(ctx, v, KeepDesk)
	if err != nil {
		return ShownInvitation{}, err
	}
	var i trug.Invitation
	err = a.write(ctx, func(w store.Writer) error {
		list, err := store.ListSecrets[trug.Invitation](ctx, w, store.SecretFilter{ID: id, Season: l.season.ID})
		switch {
		case err != nil:
			return err
		case id == "" || len(list) == 0:
			return trug.Errorf(trug.NotFound, "", "There is no such invitation here.")
		case !list[0].Used.IsZero():
			return trug.Errorf(trug.Invalid, "", "%s has come in by this invitation already: take their part from them under People.", l.person(list[0].UsedBy))
		}
		i = list[0]
		if i.Revoked.IsZero() {
			i.Revoked = a.Clock()
		}
		return store.PutSecret(ctx, w, i)
	})
	return a.shownInvitation(l, i), err
}

// AskedIn is what an invitation says to whoever opens it.
type AskedIn struct {
	Season string      `json:"season"`
	Roles  []trug.Role `json:"roles"`
	// Name is that of whom it invites anew; empty where somebody new is asked.
	Name  string    `json:"name,omitempty"`
	Until time.Time `json:"until"`
}

// LookAtInvitation tells whoever holds an invitation what it is for.
func (a *App) LookAtInvitation(ctx context.Context, v Viewer, c Caller, token string) (AskedIn, error) {
	if err := v.Permit(ComeIn); err != nil {
		return AskedIn{}, err
	}
	var shown AskedIn
	err := a.guarded(ctx, guess{Caller: c, what: trug.ByInvitation, season: v.Season}, func() error {
		return a.Store.Read(ctx, func(r store.Reader) error {
			i, err := a.invitation(ctx, r, token)
			if err != nil {
				return err
			}
			s, err := store.Get[trug.Season](ctx, r, i.SeasonID)
			shown = AskedIn{Season: s.Title, Roles: i.Roles, Until: i.Until}
			if err == nil && i.PersonID != "" {
				var p trug.Person
				p, err = store.Get[trug.Person](ctx, r, i.PersonID)
				shown.Name = p.Name
			}
			return err
		})
	})
	return shown, err
}

// invitation returns the invitation of the token while it is good, else says
// in plain words why it is not.
func (a *App) invitation(ctx context.Context, r store.Reader, token string) (trug.Invitation, error) {
	i, err := store.SecretByKey[trug.Invitation](ctx, r, signin.HashToken(token))
	if err != nil {
		if trug.KindOf(err) == trug.NotFound {
			err = trug.Errorf(trug.NotEntered, "", "This invitation opens nothing here. Copy the link whole, or ask the coordinator for a new one.")
		}
		return i, err
	}
	switch a.stateOf(i) {
	case "used":
		return i, trug.Errorf(trug.NotAllowed, "", "This invitation was used on %s: each is good for once. If it was you, sign in; else tell the coordinator.", daySaid(trug.DateOf(i.Used)))
	case "taken back":
		return i, trug.Errorf(trug.NotAllowed, "", "The coordinator has taken this invitation back. Ask them if you think it should hold.")
	case "run out":
		return i, trug.Errorf(trug.NotAllowed, "", "This invitation was good until %s. Ask the coordinator for a new one.", daySaid(trug.DateOf(i.Until)))
	}
	return i, nil
}

// Acceptance is how somebody accepts an invitation: by a password, or by a
// passkey that they have just made.
type Acceptance struct {
	Token    string         `json:"token" maxLength:"200"`
	Name     string         `json:"name" maxLength:"200" doc:"What people of the season call them, and the name they sign in with"`
	Password string         `json:"password,omitempty" maxLength:"1000"`
	Passkey  *PasskeyAnswer `json:"passkey,omitempty"`
}

// AcceptInvitation lets somebody in by an invitation, keeps their password or
// passkey, and gives them recovery codes, all or nothing.
func (a *App) AcceptInvitation(ctx context.Context, v Viewer, c Caller, x Acceptance) (Entered, error) {
	if err := v.Permit(ComeIn); err != nil {
		return Entered{}, err
	}
	name, err := shownNameOf(x.Name)
	if err != nil {
		return Entered{}, err
	}
	if (x.Password == "") == (x.Passkey == nil) {
		return Entered{}, trug.Errorf(trug.Invalid, "password", "choose a password, or make a passkey")
	}
	// Whether the invitation is good is asked before the slow work.
	if _, err := a.LookAtInvitation(ctx, v, c, x.Token); err != nil {
		return Entered{}, err
	}
	hash := ""
	if x.Password != "" {
		if hash, err = a.hashPassword(ctx, v.Season, name, x.Password); err != nil {
			return Entered{}, err
		}
	}
	codes, err := a.drawCodes(ctx)
	if err != nil {
		return Entered{}, err
	}
	var in Entered
	err = a.write(ctx, func(w store.Writer) error {
		i, err := a.invitation(ctx, w, x.Token)
		if err != nil {
			return err
		}
		p, err := a.invited(ctx, w, i, name)
		if err != nil {
			return err
		}
		if hash != "" {
			err = a.keepPassword(ctx, w, p, name, hash)
		} else {
			err = a.keepPasskey(ctx, w, c, p, *x.Passkey)
		}
		if err != nil {
			return err
		}
		if err := a.keepCodes(ctx, w, p, codes); err != nil {
			return err
		}
		i.Used, i.UsedBy = a.Clock(), p.ID
		if err := store.PutSecret(ctx, w, i); err != nil {
			return err
		}
		// Whoever is invited anew has lost something: what was in is signed out.
		if _, err := a.signOut(ctx, w, store.SecretFilter{Person: p.ID}, trug.EndAnew, ""); err != nil {
			return err
		}
		in, err = a.enter(ctx, w, c, p, trug.ByInvitation)
		in.RecoveryCodes = codes.plain
		return err
	})
	return in, err
}

// invited returns the person of an invitation, made or given the roles.
func (a *App) invited(ctx context.Context, w store.Writer, i trug.Invitation, name string) (trug.Person, error) {
	p := trug.Person{SeasonID: i.SeasonID, Name: name, Created: a.Clock(), Roles: []trug.Role{trug.RecorderRole}}
	if i.PersonID != "" {
		var err error
		if p, err = store.Get[trug.Person](ctx, w, i.PersonID); err != nil {
			return p, err
		}
		p.Roles = slices.Clone(p.Roles)
	} else if err := a.stampPerson(&p); err != nil {
		return p, err
	}
	for _, r := range i.Roles {
		if !p.Has(r) {
			p.Roles = append(p.Roles, r)
		}
	}
	if err := p.Validate(); err != nil {
		return p, err
	}
	return p, store.Put(ctx, w, p, store.Author{Person: p.ID, Device: a.Device}, a.Clock())
}
