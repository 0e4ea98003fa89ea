package app

import (
	"context"
	"encoding/hex"
	"encoding/json"
	"net/url"
	"time"

	"github.com/go-webauthn/webauthn/protocol"
	"github.com/go-webauthn/webauthn/webauthn"

	"trug"
	"trug/internal/signin"
	"trug/internal/store"
)

// Passkeys are WebAuthn credentials (W3C Web Authentication Level 2). The
// library makes challenges and checks what comes back; here is kept what it
// needs between, and whose key it was. It draws its challenges from the
// machine's own random source.

// PasskeyAsked is a challenge, for the browser to answer.
type PasskeyAsked struct {
	Ceremony string          `json:"ceremony" doc:"To be sent back with the answer"`
	Options  json.RawMessage `json:"options" doc:"For navigator.credentials, in its JSON form"`
}

// PasskeyAnswer is what the browser made of a challenge.
type PasskeyAnswer struct {
	Ceremony string          `json:"ceremony" maxLength:"200"`
	Answer   json.RawMessage `json:"answer" doc:"The credential in its JSON form"`
}

// ceremonyLasts is how long a challenge may be answered.
const ceremonyLasts = 5 * time.Minute

// relying returns the library set up for the page that asks: keys are bound to
// its host.
func relying(origin string) (*webauthn.WebAuthn, error) {
	u, err := url.Parse(origin)
	if err != nil || u.Hostname() == "" {
		return nil, trug.Errorf(trug.Invalid, "", "Passkeys need a page with an address of its own.")
	}
	return webauthn.New(&webauthn.Config{RPID: u.Hostname(), RPDisplayName: "Trug", RPOrigins: []string{origin}})
}

// keyHolder is a person as the library wants one.
type keyHolder struct {
	handle []byte
	name   string
	keys   []webauthn.Credential
}

func (h keyHolder) WebAuthnID() []byte                         { return h.handle }
func (h keyHolder) WebAuthnName() string                       { return h.name }
func (h keyHolder) WebAuthnDisplayName() string                { return h.name }
func (h keyHolder) WebAuthnCredentials() []webauthn.Credential { return h.keys }

// handleOf is by what a device knows a person: nothing that says who it is.
func (a *App) handleOf(text string) []byte { return a.sign("passkey", text) }

// holder returns a person with their passkeys.
func (a *App) holder(ctx context.Context, r store.Reader, p trug.Person) (keyHolder, error) {
	h := keyHolder{handle: a.handleOf(string(p.ID)), name: p.Name}
	list, err := store.ListSecrets[trug.Passkey](ctx, r, store.SecretFilter{Person: p.ID})
	if err != nil {
		return h, err
	}
	for _, k := range list {
		var c webauthn.Credential
		if err := json.Unmarshal(k.Key, &c); err != nil {
			return h, err
		}
		h.keys = append(h.keys, c)
	}
	return h, nil
}

// keepCeremony keeps a challenge that is out and returns it for the browser.
func (a *App) keepCeremony(ctx context.Context, c Caller, person trug.ID, options any, state *webauthn.SessionData) (PasskeyAsked, error) {
	asked := PasskeyAsked{}
	if err := a.brakes.ceremonies.take(a.Clock(), c.places()); err != nil {
		return asked, err
	}
	challenge, err := json.Marshal(state)
	if err != nil {
		return asked, err
	}
	if asked.Options, err = json.Marshal(options); err != nil {
		return asked, err
	}
	if asked.Ceremony, err = signin.NewToken(a.Random); err != nil {
		return asked, err
	}
	id, err := a.newID()
	if err != nil {
		return asked, err
	}
	now := a.Clock()
	return asked, a.write(ctx, func(w store.Writer) error {
		if _, err := store.DropSecrets[trug.Ceremony](ctx, w, store.SecretFilter{Over: now}); err != nil {
			return err
		}
		if a.begun.Add(1)%countedEvery == 0 {
			if err := dropOldCeremonies(ctx, w); err != nil {
				return err
			}
		}
		return store.PutSecret(ctx, w, trug.Ceremony{ID: id, PersonID: person, Token: signin.HashToken(asked.Ceremony), Challenge: challenge, Until: now.Add(ceremonyLasts)})
	})
}

// mostCeremonies is how many challenges are kept at a time, and countedEvery
// after how many new ones that is looked at. Beyond it the oldest go: to push
// somebody's out while their finger is on the sensor takes a hundred a second,
// which brakes.ceremonies lets through from a great many addresses alone.
const (
	mostCeremonies = 2000
	countedEvery   = 100
)

func dropOldCeremonies(ctx context.Context, w store.Writer) error {
	open, err := store.ListSecrets[trug.Ceremony](ctx, w, store.SecretFilter{})
	if err != nil {
		return err
	}
	for i := 0; i < len(open)-mostCeremonies; i++ { // their identifiers are in order of time
		if _, err := store.DropSecrets[trug.Ceremony](ctx, w, store.SecretFilter{ID: open[i].ID}); err != nil {
			return err
		}
	}
	return nil
}

// takeCeremony returns the state of a challenge and uses it up.
func (a *App) takeCeremony(ctx context.Context, w store.Writer, token string) (state webauthn.SessionData, person trug.ID, err error) {
	held, err := store.SecretByKey[trug.Ceremony](ctx, w, signin.HashToken(token))
	if err != nil || !a.Clock().Before(held.Until) {
		if err == nil || trug.KindOf(err) == trug.NotFound {
			err = trug.Errorf(trug.Invalid, "", "That took too long, or was answered already: begin again.")
		}
		return state, "", err
	}
	if _, err := store.DropSecrets[trug.Ceremony](ctx, w, store.SecretFilter{ID: held.ID}); err != nil {
		return state, "", err
	}
	return state, held.PersonID, json.Unmarshal(held.Challenge, &state)
}

// beginKey asks a browser to make a passkey. Until somebody new has accepted
// their invitation, its token stands for them.
func (a *App) beginKey(ctx context.Context, c Caller, h keyHolder, person trug.ID) (PasskeyAsked, error) {
	rp, err := relying(c.Origin)
	if err != nil {
		return PasskeyAsked{}, err
	}
	var have []protocol.CredentialDescriptor
	for _, k := range h.keys {
		have = append(have, k.Descriptor())
	}
	options, state, err := rp.BeginRegistration(h, webauthn.WithExclusions(have),
		webauthn.WithResidentKeyRequirement(protocol.ResidentKeyRequirementRequired),
		webauthn.WithAuthenticatorSelection(protocol.AuthenticatorSelection{ResidentKey: protocol.ResidentKeyRequirementRequired, RequireResidentKey: protocol.ResidentKeyRequired(), UserVerification: protocol.VerificationRequired}))
	if err != nil {
		return PasskeyAsked{}, err
	}
	return a.keepCeremony(ctx, c, person, options.Response, state)
}

// BeginInvitedKey asks the browser of whoever holds an invitation for a passkey.
func (a *App) BeginInvitedKey(ctx context.Context, v Viewer, c Caller, token, name string) (PasskeyAsked, error) {
	name, err := shownNameOf(name)
	if err != nil {
		return PasskeyAsked{}, err
	}
	if _, err := a.LookAtInvitation(ctx, v, c, token); err != nil {
		return PasskeyAsked{}, err
	}
	return a.beginKey(ctx, c, keyHolder{handle: a.handleOf("invitation " + signin.HashToken(token)), name: name}, "")
}

// BeginKey asks the viewer's browser for one more passkey.
func (a *App) BeginKey(ctx context.Context, v Viewer, c Caller) (PasskeyAsked, error) {
	if err := v.keepsWays(); err != nil {
		return PasskeyAsked{}, err
	}
	var h keyHolder
	err := a.Store.Read(ctx, func(r store.Reader) (err error) {
		h, err = a.holder(ctx, r, *v.Person)
		return err
	})
	if err != nil {
		return PasskeyAsked{}, err
	}
	return a.beginKey(ctx, c, h, v.Person.ID)
}

// AddKey keeps a passkey that the viewer's browser has made.
func (a *App) AddKey(ctx context.Context, v Viewer, c Caller, x PasskeyAnswer) (ShownWays, error) {
	if err := v.keepsWays(); err != nil {
		return ShownWays{}, err
	}
	if err := a.write(ctx, func(w store.Writer) error { return a.keepPasskey(ctx, w, c, *v.Person, x) }); err != nil {
		return ShownWays{}, err
	}
	return a.Ways(ctx, v)
}

// keepPasskey checks what the browser made and keeps its public half.
func (a *App) keepPasskey(ctx context.Context, w store.Writer, c Caller, p trug.Person, x PasskeyAnswer) error {
	state, person, err := a.takeCeremony(ctx, w, x.Ceremony)
	if err != nil {
		return err
	}
	if person != "" && person != p.ID {
		return trug.Errorf(trug.Invalid, "", "This passkey was begun by somebody else: begin again.")
	}
	rp, err := relying(c.Origin)
	if err != nil {
		return err
	}
	answer, err := protocol.ParseCredentialCreationResponseBytes(x.Answer)
	if err != nil {
		return badKey()
	}
	made, err := rp.CreateCredential(keyHolder{handle: state.UserID, name: p.Name}, state, answer)
	if err != nil {
		return badKey()
	}
	key, err := json.Marshal(made)
	if err != nil {
		return err
	}
	id, err := a.newID()
	if err != nil {
		return err
	}
	err = store.PutSecret(ctx, w, trug.Passkey{ID: id, SeasonID: p.SeasonID, PersonID: p.ID, Credential: hex.EncodeToString(made.ID), Key: key,
		Label: c.Label, Created: a.Clock()})
	if trug.KindOf(err) == trug.Conflict {
		return trug.Errorf(trug.Conflict, "", "This passkey is kept here already.")
	}
	return err
}

func badKey() error {
	return trug.Errorf(trug.Invalid, "", "What this device answered can't be taken as a passkey: begin again, or choose a password.")
}

// RemoveKey takes one of the viewer's passkeys out and signs out their other devices.
func (a *App) RemoveKey(ctx context.Context, v Viewer, id trug.ID) (ShownWays, error) {
	if err := v.keepsWays(); err != nil {
		return ShownWays{}, err
	}
	err := a.write(ctx, func(w store.Writer) error {
		n, err := store.DropSecrets[trug.Passkey](ctx, w, store.SecretFilter{ID: id, Person: v.Person.ID})
		switch {
		case err != nil:
			return err
		case n == 0 || id == "":
			return trug.Errorf(trug.NotFound, "", "There is no such passkey of yours.")
		}
		return a.endOthers(ctx, w, v)
	})
	if err != nil {
		return ShownWays{}, err
	}
	return a.Ways(ctx, v)
}

// AskForKey asks a browser for a passkey of anybody's.
func (a *App) AskForKey(ctx context.Context, v Viewer, c Caller) (PasskeyAsked, error) {
	if err := v.Permit(ComeIn); err != nil {
		return PasskeyAsked{}, err
	}
	rp, err := relying(c.Origin)
	if err != nil {
		return PasskeyAsked{}, err
	}
	options, state, err := rp.BeginDiscoverableLogin(webauthn.WithUserVerification(protocol.VerificationRequired))
	if err != nil {
		return PasskeyAsked{}, err
	}
	return a.keepCeremony(ctx, c, "", options.Response, state)
}

// SignInByKey lets somebody in by their passkey.
func (a *App) SignInByKey(ctx context.Context, v Viewer, c Caller, x PasskeyAnswer) (Entered, error) {
	if err := v.Permit(ComeIn); err != nil {
		return Entered{}, err
	}
	rp, err := relying(c.Origin)
	if err != nil {
		return Entered{}, err
	}
	answer, err := protocol.ParseCredentialRequestResponseBytes(x.Answer)
	if err != nil {
		return Entered{}, badKey()
	}
	var in Entered
	err = a.guarded(ctx, guess{Caller: c, what: trug.ByPasskey, season: v.Season}, func() error {
		return a.write(ctx, func(w store.Writer) error {
			state, _, err := a.takeCeremony(ctx, w, x.Ceremony)
			if err != nil {
				return err
			}
			p, err := a.answered(ctx, w, rp, state, answer)
			if err != nil {
				return err
			}
			in, err = a.enter(ctx, w, c, p, trug.ByPasskey)
			return err
		})
	})
	return in, err
}

// answered checks an answer and returns whose passkey it was. A key that seems
// to have been copied, since its counter went back, is not taken.
func (a *App) answered(ctx context.Context, w store.Writer, rp *webauthn.WebAuthn, state webauthn.SessionData, answer *protocol.ParsedCredentialAssertionData) (trug.Person, error) {
	wrong := trug.Errorf(trug.NotEntered, "", "This passkey opens nothing here: it may have been taken out, or be of another season. Sign in in another way.")
	held, err := store.SecretByKey[trug.Passkey](ctx, w, hex.EncodeToString(answer.RawID))
	if err != nil {
		if trug.KindOf(err) == trug.NotFound {
			return trug.Person{}, wrong
		}
		return trug.Person{}, err
	}
	p, err := store.Get[trug.Person](ctx, w, held.PersonID)
	if err != nil {
		return p, err
	}
	h, err := a.holder(ctx, w, p)
	if err != nil {
		return p, err
	}
	// The handle is that under which the key was made, which may be an invitation's.
	_, used, err := rp.ValidatePasskeyLogin(func(_, handle []byte) (webauthn.User, error) {
		return keyHolder{handle: handle, name: h.name, keys: h.keys}, nil
	}, state, answer)
	if err != nil || used.Authenticator.CloneWarning {
		return p, wrong
	}
	if held.Key, err = json.Marshal(used); err != nil {
		return p, err
	}
	held.Used = a.Clock()
	return p, store.PutSecret(ctx, w, held)
}
