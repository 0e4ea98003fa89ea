package app_test

import (
	"bytes"
	"encoding/json"
	"strings"
	"sync"
	"testing"
	"time"

	"trug"
	"trug/internal/app"
	"trug/internal/app/apptest"
	"trug/internal/store"
)

var home = app.Caller{Address: "192.0.2.1", Label: "a test", Origin: "http://localhost:8080"}

const heron = "mossy heron by lamplight"

// invite makes an invitation and returns its token and the rest of it.
func invite(t *testing.T, s apptest.Season, n app.NewInvitation) (string, app.MadeInvitation) {
	t.Helper()
	made, err := s.Invite(t.Context(), s.As("R02"), "http://trug.test", n)
	if err != nil {
		t.Fatal(err)
	}
	_, token, _ := strings.Cut(made.Link, "#")
	if len(made.Square) < 21 || len(made.Square[0]) != len(made.Square) {
		t.Errorf("the square has %d rows", len(made.Square))
	}
	return token, made
}

// Somebody accepts an invitation, signs in by name and password, loses the
// password, comes in by a recovery code once, and sets another password.
func TestFromInvitationToANewPassword(t *testing.T) {
	s, ctx := apptest.New(t, "2026-10-10"), t.Context()
	token, _ := invite(t, s, app.NewInvitation{Roles: []trug.Role{trug.DeterminerRole}, Days: 7})
	asked, err := s.LookAtInvitation(ctx, s.Outsider(), home, token)
	if err != nil || asked.Season != "Vale of Wimbrel, season of 2026" || asked.Name != "" {
		t.Fatalf("%+v, %v", asked, err)
	}
	in, err := s.AcceptInvitation(ctx, s.Outsider(), home, app.Acceptance{Token: token, Name: "Isolde  Farrow", Password: heron})
	if err != nil || len(in.RecoveryCodes) != 8 || !in.Person.Has(trug.DeterminerRole) || in.Person.Credit != "" {
		t.Fatalf("%+v, %v", in, err)
	}
	signIn := func(name, password string) (app.Viewer, error) {
		got, err := s.SignIn(ctx, s.Outsider(), home, app.GivenPassword{Name: name, Password: password})
		if err != nil {
			return app.Viewer{}, err
		}
		v, err := s.Viewer(ctx, got.Token)
		return v, err
	}
	v, err := signIn(" isolde FARROW ", heron)
	if err != nil || !v.May(app.OpenTable) {
		t.Fatalf("signing in: %+v, %v", v.Person, err)
	}
	_, wrongPassword := signIn("Isolde Farrow", heron+"s")
	_, wrongName := signIn("Isolde Farrows", heron)
	if trug.KindOf(wrongPassword) != trug.NotEntered || wrongPassword.Error() != wrongName.Error() {
		t.Errorf("a wrong password says %v, a wrong name %v", wrongPassword, wrongName)
	}
	byCode, err := s.UseRecoveryCode(ctx, s.Outsider(), home, strings.ToLower(in.RecoveryCodes[3]))
	if err != nil {
		t.Fatal(err)
	}
	if _, err := s.UseRecoveryCode(ctx, s.Outsider(), home, in.RecoveryCodes[3]); trug.KindOf(err) != trug.NotEntered {
		t.Errorf("a code used twice: %v", err)
	}
	w, err := s.Viewer(ctx, byCode.Token)
	if err != nil {
		t.Fatal(err)
	}
	if ways, err := s.Ways(ctx, w); err != nil || ways.Codes != 7 || ways.SignIn != "isolde farrow" {
		t.Errorf("%+v, %v", ways, err)
	}
	if err := s.ChangePassword(ctx, w, home, app.ChangedPassword{Name: "Isolde Farrow", Password: "an otter under the alder"}); err != nil {
		t.Fatal(err)
	}
	if again, err := s.Viewer(ctx, in.Token); err != nil || again.Person != nil {
		t.Errorf("other devices stay in when the password is changed: %v", err)
	}
	if _, err := signIn("Isolde Farrow", heron); trug.KindOf(err) != trug.NotEntered {
		t.Errorf("the old password: %v", err)
	}
	if v, err = signIn("Isolde Farrow", "an otter under the alder"); err != nil {
		t.Fatal(err)
	}
	if err := s.ChangePassword(ctx, v, home, app.ChangedPassword{Name: "Isolde Farrow", Password: heron}); trug.KindOf(err) != trug.Invalid {
		t.Errorf("without the one before: %v", err)
	}
	if err := s.ChangePassword(ctx, v, home, app.ChangedPassword{Name: "Isolde Farrow", Now: "an otter under the alder", Password: "wimbrel2026"}); trug.KindOf(err) != trug.Invalid {
		t.Errorf("a password of the season's words: %v", err)
	}
}

// A replayed, expired, revoked or made-up invitation gets a plain sentence and
// lets nobody in; of two who use one at once, one comes in.
func TestInvitationsThatDoNotHold(t *testing.T) {
	s, ctx := apptest.New(t, "2026-10-10"), t.Context()
	clock := &turned{s.Clock()}
	s.App.Clock = clock.now
	leader := app.NewInvitation{Roles: []trug.Role{trug.Leader}, Days: 2}
	accept := func(token, name string) error {
		_, err := s.AcceptInvitation(ctx, s.Outsider(), home, app.Acceptance{Token: token, Name: name, Password: heron})
		return err
	}
	token, _ := invite(t, s, leader)
	errs := make([]error, 2)
	var wait sync.WaitGroup
	for i := range errs {
		wait.Go(func() { errs[i] = accept(token, []string{"Anselm", "Birgit"}[i]) })
	}
	wait.Wait()
	if (errs[0] == nil) == (errs[1] == nil) {
		t.Errorf("two at once: %v", errs)
	}
	clock.at = clock.at.Add(time.Second)
	expired, _ := invite(t, s, leader)
	clock.at = clock.at.Add(time.Second)
	revoked, made := invite(t, s, leader)
	if _, err := s.RevokeInvitation(ctx, s.As("R02"), made.ID); err != nil {
		t.Fatal(err)
	}
	taken := accept(revoked, "Cosima")
	clock.at = clock.at.Add(48 * time.Hour)
	for name, c := range map[string]struct {
		err  error
		kind trug.ErrorKind
		says string
	}{
		"replayed": {accept(token, "Dietmar"), trug.NotAllowed, "was used on 10 October"},
		"expired":  {accept(expired, "Edda"), trug.NotAllowed, "was good until 12 October"},
		"revoked":  {taken, trug.NotAllowed, "taken this invitation back"},
		"made up":  {accept("x", "Frauke"), trug.NotEntered, "opens nothing here"},
	} {
		if trug.KindOf(c.err) != c.kind || !strings.Contains(c.err.Error(), c.says) {
			t.Errorf("%s: %v, want %q", name, c.err, c.says)
		}
	}
	for name, n := range map[string]app.NewInvitation{"recorder": {Roles: []trug.Role{trug.RecorderRole}, Days: 2}, "nobody": {Days: 2}, "for ever": {Roles: leader.Roles, Days: 400}} {
		if _, err := s.Invite(ctx, s.As("R02"), "http://trug.test", n); trug.KindOf(err) != trug.Invalid {
			t.Errorf("inviting %s: %v", name, err)
		}
	}
	list, err := s.Invitations(ctx, s.As("R02"))
	if err != nil || len(list) != 3 || list[0].State != "taken back" || list[1].State != "run out" || list[2].State != "used" {
		t.Errorf("%+v, %v", list, err)
	}
}

// Invited anew, a coordinator keeps what they are, and what was in is out.
func TestInvitedAnew(t *testing.T) {
	s, ctx := apptest.New(t, "2026-10-10"), t.Context()
	lost := s.Token("R02")
	link, err := s.InviteCoordinator(ctx, s.Demo.Season.ID, s.As("R02").Person.ID)
	if err != nil {
		t.Fatal(err)
	}
	_, token, _ := strings.Cut(link, "#")
	in, err := s.AcceptInvitation(ctx, s.Outsider(), home, app.Acceptance{Token: token, Name: "Ngozi", Password: heron})
	if err != nil || in.Person.ID != s.As("R02").Person.ID || in.Person.Name != "Ngozi Puddlecombe" {
		t.Fatalf("%+v, %v", in.Person, err)
	}
	if v, err := s.Viewer(ctx, lost); err != nil || v.Person != nil {
		t.Errorf("a lost device stays in: %v", err)
	}
}

// What people come in with stands nowhere in clear: not in the database, not in
// the history, not in what a coordinator is shown.
func TestSecretsAreKeptHashed(t *testing.T) {
	s, ctx := apptest.New(t, "2026-10-10"), t.Context()
	token, _ := invite(t, s, app.NewInvitation{Roles: []trug.Role{trug.Coordinator}, Days: 2})
	in, err := s.AcceptInvitation(ctx, s.Outsider(), home, app.Acceptance{Token: token, Name: "Gudrun", Password: heron})
	if err != nil {
		t.Fatal(err)
	}
	phrase, err := s.MakePhrase(ctx, s.As("R08"))
	if err != nil {
		t.Fatal(err)
	}
	secrets := append([]string{token, heron, in.Token, phrase.Phrase, "192.0.2.1"}, in.RecoveryCodes...)
	var text bytes.Buffer
	err = s.Store.Read(ctx, func(r store.Reader) error {
		for _, k := range store.SecretKinds {
			rows, err := r.Secrets(ctx, store.SecretFilter{Kind: k})
			if err != nil {
				return err
			}
			if err := json.NewEncoder(&text).Encode(rows); err != nil {
				return err
			}
		}
		changes, err := r.Since(ctx, s.Demo.Season.ID, 0, 100000)
		if err != nil {
			return err
		}
		return json.NewEncoder(&text).Encode(changes)
	})
	if err != nil {
		t.Fatal(err)
	}
	invitations, err := s.Invitations(ctx, s.As("R02"))
	if err != nil {
		t.Fatal(err)
	}
	people, err := s.People(ctx, s.As("R02"), app.DeskQuery{})
	if err != nil {
		t.Fatal(err)
	}
	if err := json.NewEncoder(&text).Encode([]any{invitations, people}); err != nil {
		t.Fatal(err)
	}
	if text.Len() < 10000 {
		t.Fatalf("only %d bytes were looked through", text.Len())
	}
	for _, secret := range secrets {
		if strings.Contains(text.String(), secret) {
			t.Errorf("%q is kept in clear", secret)
		}
	}
}
