package app

import (
	"context"
	"strings"
	"time"

	"golang.org/x/text/unicode/norm"

	"trug"
	"trug/internal/signin"
	"trug/internal/store"
)

// signInName folds a name so that it is known again however it is typed.
func signInName(name string) string {
	return strings.Join(strings.Fields(strings.ToLower(norm.NFKC.String(name))), " ")
}

// hashPassword checks a password against what is tried first, and hashes it.
func (a *App) hashPassword(ctx context.Context, season trug.ID, name, password string) (hash string, err error) {
	known := []string{name}
	err = a.Store.Read(ctx, func(r store.Reader) error {
		s, err := store.Get[trug.Season](ctx, r, season)
		known = append(known, s.Title, s.Place, s.Code)
		return unlessNotFound(err)
	})
	if err != nil {
		return "", err
	}
	if err := signin.CheckPassword(password, known...); err != nil {
		return "", err
	}
	var fault error
	err = a.slowly(ctx, func() { hash, fault = signin.HashPassword(password, a.Random) })
	if err == nil {
		err = fault
	}
	return hash, err
}

// keepPassword puts a password in place of the one before.
func (a *App) keepPassword(ctx context.Context, w store.Writer, p trug.Person, name, hash string) error {
	if _, err := store.DropSecrets[trug.Password](ctx, w, store.SecretFilter{Person: p.ID}); err != nil {
		return err
	}
	id, err := a.newID()
	if err != nil {
		return err
	}
	err = store.PutSecret(ctx, w, trug.Password{ID: id, SeasonID: p.SeasonID, PersonID: p.ID, SignIn: signInName(name), Hash: hash, Created: a.Clock()})
	if trug.KindOf(err) == trug.Conflict {
		return trug.Errorf(trug.Conflict, "name", "Somebody signs in as %s already: add your surname or a letter, so that the two are told apart.", name)
	}
	return err
}

// nobodysHash is what a password is compared with when nobody has the name, so
// that the answer takes as long. It is that of 32 random bytes nobody kept.
const nobodysHash = "$argon2id$v=19$m=65536,t=1,p=4$c29tZXNhbHQxNmJ5dGVzIQ$AAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAA"

// GivenPassword is a name and the password that goes with it.
type GivenPassword struct {
	Name     string `json:"name" maxLength:"200"`
	Password string `json:"password" maxLength:"1000"`
}

// SignIn lets somebody in by name and password. The answer is the same whether
// nobody has the name or the password is another.
func (a *App) SignIn(ctx context.Context, v Viewer, c Caller, g GivenPassword) (Entered, error) {
	if err := v.Permit(ComeIn); err != nil {
		return Entered{}, err
	}
	name := signInName(g.Name)
	if name == "" || g.Password == "" {
		return Entered{}, trug.Errorf(trug.Invalid, "name", "Give the name and the password that you chose.")
	}
	var in Entered
	err := a.guarded(ctx, guess{Caller: c, what: trug.ByPassword, season: v.Season, name: name}, func() error {
		p, right, err := a.verified(ctx, name, g.Password)
		if err != nil {
			return err
		}
		if !right {
			return trug.Errorf(trug.NotEntered, "", "This name and this password do not belong together. Look at both; a recovery code lets you in as well.")
		}
		return a.write(ctx, func(w store.Writer) error {
			in, err = a.enter(ctx, w, c, p, trug.ByPassword)
			return err
		})
	})
	return in, err
}

func (a *App) verified(ctx context.Context, name, password string) (p trug.Person, right bool, err error) {
	held := trug.Password{Hash: nobodysHash}
	err = a.Store.Read(ctx, func(r store.Reader) error {
		found, err := store.SecretByKey[trug.Password](ctx, r, name)
		if err != nil {
			return unlessNotFound(err)
		}
		held = found
		p, err = store.Get[trug.Person](ctx, r, found.PersonID)
		return err
	})
	if err != nil {
		return p, false, err
	}
	err = a.slowly(ctx, func() { right = signin.VerifyPassword(held.Hash, password) })
	return p, right && held.PersonID != "", err
}

// codesGiven is how many recovery codes somebody gets at a time.
const codesGiven = 8

// drawnCodes are fresh recovery codes with the hashes they are kept under.
type drawnCodes struct{ plain, hashed []string }

func (a *App) drawCodes(ctx context.Context) (d drawnCodes, err error) {
	for range codesGiven {
		code, err := signin.NewRecoveryCode(a.Random)
		if err != nil {
			return d, err
		}
		hash, err := a.slowKey(ctx, "recovery code", code)
		if err != nil {
			return d, err
		}
		d.plain, d.hashed = append(d.plain, code), append(d.hashed, hash)
	}
	return d, nil
}

// keepCodes puts recovery codes in place of those before.
func (a *App) keepCodes(ctx context.Context, w store.Writer, p trug.Person, d drawnCodes) error {
	if _, err := store.DropSecrets[trug.RecoveryCode](ctx, w, store.SecretFilter{Person: p.ID}); err != nil {
		return err
	}
	for _, h := range d.hashed {
		id, err := a.newID()
		if err != nil {
			return err
		}
		if err := store.PutSecret(ctx, w, trug.RecoveryCode{ID: id, SeasonID: p.SeasonID, PersonID: p.ID, Hash: h, Created: a.Clock()}); err != nil {
			return err
		}
	}
	return nil
}

// UseRecoveryCode lets somebody in by one of their one-time codes, which is
// then used up.
func (a *App) UseRecoveryCode(ctx context.Context, v Viewer, c Caller, text string) (Entered, error) {
	if err := v.Permit(ComeIn); err != nil {
		return Entered{}, err
	}
	code, err := signin.ReadRecoveryCode(text)
	if err != nil {
		return Entered{}, err
	}
	var in Entered
	err = a.guarded(ctx, guess{Caller: c, what: trug.ByRecoveryCode, season: v.Season}, func() error {
		key, err := a.slowKey(ctx, "recovery code", code)
		if err != nil {
			return err
		}
		return a.write(ctx, func(w store.Writer) error {
			held, err := store.SecretByKey[trug.RecoveryCode](ctx, w, key)
			if err != nil {
				if trug.KindOf(err) == trug.NotFound {
					err = trug.Errorf(trug.NotEntered, "code", "This recovery code opens nothing: each is good for once, and new ones end the old. Try the next on your list, or ask the coordinator to invite you anew.")
				}
				return err
			}
			if _, err := store.DropSecrets[trug.RecoveryCode](ctx, w, store.SecretFilter{ID: held.ID}); err != nil {
				return err
			}
			p, err := store.Get[trug.Person](ctx, w, held.PersonID)
			if err != nil {
				return err
			}
			in, err = a.enter(ctx, w, c, p, trug.ByRecoveryCode)
			return err
		})
	})
	return in, err
}

// ShownWays are somebody's own ways in.
type ShownWays struct {
	// SignIn is the name that goes with the password; empty while there is none.
	SignIn   string         `json:"signIn,omitempty"`
	Passkeys []ShownPasskey `json:"passkeys"`
	Codes    int            `json:"codes" doc:"Recovery codes that are left"`
	Phrase   bool           `json:"phrase" doc:"There is a recovery phrase"`
	// Keeps is set for those who may keep a password and passkeys: they came in
	// by something more than a field code or phrase.
	Keeps bool `json:"keeps"`
}

// ShownPasskey is a passkey by its label.
type ShownPasskey struct {
	ID      trug.ID   `json:"id"`
	Label   string    `json:"label"`
	Created time.Time `json:"created"`
	Used    time.Time `json:"used,omitzero"`
}

// Ways returns the viewer's own ways in.
func (a *App) Ways(ctx context.Context, v Viewer) (ShownWays, error) {
	if err := v.Permit(KeepOwnWays); err != nil {
		return ShownWays{}, err
	}
	shown := ShownWays{Passkeys: []ShownPasskey{}, Keeps: !v.By.RecorderOnly()}
	mine := store.SecretFilter{Person: v.Person.ID}
	err := a.Store.Read(ctx, func(r store.Reader) error {
		passwords, err := store.ListSecrets[trug.Password](ctx, r, mine)
		if err != nil {
			return err
		}
		for _, p := range passwords {
			shown.SignIn = p.SignIn
		}
		keys, err := store.ListSecrets[trug.Passkey](ctx, r, mine)
		if err != nil {
			return err
		}
		for _, k := range keys {
			shown.Passkeys = append(shown.Passkeys, ShownPasskey{ID: k.ID, Label: k.Label, Created: k.Created, Used: k.Used})
		}
		codes, err := store.ListSecrets[trug.RecoveryCode](ctx, r, mine)
		if err != nil {
			return err
		}
		shown.Codes = len(codes)
		phrases, err := store.ListSecrets[trug.Phrase](ctx, r, mine)
		shown.Phrase = len(phrases) > 0
		return err
	})
	return shown, err
}

// keepsWays permits what only those may who came in by more than a field code.
func (v Viewer) keepsWays() error {
	if err := v.Permit(KeepOwnWays); err != nil {
		return err
	}
	if v.By.RecorderOnly() {
		return trug.Errorf(trug.NotAllowed, "", "You came in by %s: a recovery phrase is all that you need. Passwords and passkeys are for those whom the coordinator invites.", v.By)
	}
	return nil
}

// ChangedPassword is a new password; Now is the one before it, where there is one.
type ChangedPassword struct {
	Name     string `json:"name" maxLength:"200" doc:"Name to sign in with"`
	Now      string `json:"now,omitempty" maxLength:"1000"`
	Password string `json:"password" maxLength:"1000"`
}

// ChangePassword keeps a new password of the viewer's and signs out their other
// devices. The one before is asked for, unless they came in by a recovery code
// since they do not know it.
func (a *App) ChangePassword(ctx context.Context, v Viewer, c Caller, x ChangedPassword) error {
	if err := v.keepsWays(); err != nil {
		return err
	}
	name, err := shownNameOf(x.Name)
	if err != nil {
		return err
	}
	if err := a.makes(v); err != nil {
		return err
	}
	ways, err := a.Ways(ctx, v)
	if err != nil {
		return err
	}
	if ways.SignIn != "" && v.By != trug.ByRecoveryCode && v.By != trug.ByInvitation {
		err := a.guarded(ctx, guess{Caller: c, what: trug.ByPassword, season: v.Season, name: ways.SignIn}, func() error {
			_, right, err := a.verified(ctx, ways.SignIn, x.Now)
			if err == nil && !right {
				err = trug.Errorf(trug.NotEntered, "now", "This is not the password that you have now.")
			}
			return err
		})
		if trug.KindOf(err) == trug.NotEntered && err != nil {
			return trug.Errorf(trug.Invalid, "now", "This is not the password that you have now.")
		} else if err != nil {
			return err
		}
	}
	hash, err := a.hashPassword(ctx, v.Season, name, x.Password)
	if err != nil {
		return err
	}
	return a.write(ctx, func(w store.Writer) error {
		if err := a.keepPassword(ctx, w, *v.Person, name, hash); err != nil {
			return err
		}
		return a.endOthers(ctx, w, v)
	})
}

// GivenCodes are recovery codes, shown this once.
type GivenCodes struct {
	RecoveryCodes []string `json:"recoveryCodes"`
}

// MakeRecoveryCodes makes recovery codes in place of those before and signs out
// the viewer's other devices.
func (a *App) MakeRecoveryCodes(ctx context.Context, v Viewer) (GivenCodes, error) {
	if err := v.keepsWays(); err != nil {
		return GivenCodes{}, err
	}
	if err := a.makes(v); err != nil {
		return GivenCodes{}, err
	}
	codes, err := a.drawCodes(ctx)
	if err != nil {
		return GivenCodes{}, err
	}
	err = a.write(ctx, func(w store.Writer) error {
		if err := a.keepCodes(ctx, w, *v.Person, codes); err != nil {
			return err
		}
		return a.endOthers(ctx, w, v)
	})
	return GivenCodes{codes.plain}, err
}
