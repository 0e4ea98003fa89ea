package storetest

import (
	"reflect"
	"testing"
	"time"

	"trug"
	"trug/internal/store"
)

// everySecret fills every field of every kind of secret.
func everySecret(t *testing.T, b *bench) {
	seen := map[store.SecretKind]bool{}
	secretTrip[trug.Session](t, b, seen)
	secretTrip[trug.FieldCode](t, b, seen)
	secretTrip[trug.Invitation](t, b, seen)
	secretTrip[trug.Password](t, b, seen)
	secretTrip[trug.Passkey](t, b, seen)
	secretTrip[trug.RecoveryCode](t, b, seen)
	secretTrip[trug.Phrase](t, b, seen)
	secretTrip[trug.Ceremony](t, b, seen)
	secretTrip[trug.Guesses](t, b, seen)
	secretTrip[trug.SignIn](t, b, seen)
	secretTrip[trug.Taking](t, b, seen)
	for _, kind := range store.SecretKinds {
		if !seen[kind] {
			t.Errorf("no secret of kind %s was tried", kind)
		}
	}
	clean(t, b)
}

func secretTrip[T store.SecretThing](t *testing.T, b *bench, seen map[store.SecretKind]bool) {
	t.Helper()
	var full T
	(&filler{t: t}).fill(reflect.ValueOf(&full).Elem(), reflect.TypeFor[T]().Name())
	want, err := store.SecretOf(full)
	if err != nil {
		t.Fatal(err)
	}
	seen[want.Kind] = true
	keep(t, b, full)
	keep(t, b, full) // a second time changes nothing
	things := secrets[T](t, b, store.SecretFilter{ID: want.ID})
	if len(things) != 1 || !reflect.DeepEqual(things[0], full) {
		t.Errorf("%s came back as\n%+v, want\n%+v", want.Kind, things, full)
	}
	err = b.Read(b.ctx, func(r store.Reader) error {
		rows, err := r.Secrets(b.ctx, store.SecretFilter{Kind: want.Kind, Key: want.Key})
		if err == nil && (len(rows) != 1 || !reflect.DeepEqual(rows[0], want)) {
			t.Errorf("row of %s came back as\n%+v, want\n%+v", want.Kind, rows, want)
		}
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
}

func keep[T store.SecretThing](t *testing.T, b *bench, thing T) {
	t.Helper()
	if err := b.Write(b.ctx, func(w store.Writer) error { return store.PutSecret(b.ctx, w, thing) }); err != nil {
		t.Fatal(err)
	}
}

func secrets[T store.SecretThing](t *testing.T, b *bench, f store.SecretFilter) []T {
	t.Helper()
	var things []T
	err := b.Read(b.ctx, func(r store.Reader) (err error) {
		things, err = store.ListSecrets[T](b.ctx, r, f)
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return things
}

func session(n int, person trug.ID) trug.Session {
	return trug.Session{ID: id(n), SeasonID: seasonOne, PersonID: person, Token: "token " + string(id(n)), Until: noon.Add(time.Duration(n) * time.Hour)}
}

func secretsGo(t *testing.T, b *bench) {
	before := lastSeq(t, b)
	for n := range 6 {
		keep(t, b, session(n, id(100+n%2)))
	}
	changed := session(1, id(101))
	changed.Label = "telephone"
	keep(t, b, changed)
	if got := secrets[trug.Session](t, b, store.SecretFilter{ID: id(1)}); len(got) != 1 || got[0].Label != "telephone" {
		t.Errorf("a changed session is %+v", got)
	}
	drop := func(f store.SecretFilter, want int) {
		t.Helper()
		err := b.Write(b.ctx, func(w store.Writer) error {
			n, err := store.DropSecrets[trug.Session](b.ctx, w, f)
			if err == nil && n != want {
				t.Errorf("%+v deleted %d, want %d", f, n, want)
			}
			return err
		})
		if err != nil {
			t.Fatal(err)
		}
	}
	drop(store.SecretFilter{Over: noon.Add(90 * time.Minute)}, 2)
	drop(store.SecretFilter{Person: id(101)}, 2)
	drop(store.SecretFilter{Person: id(101)}, 0)
	drop(store.SecretFilter{Season: seasonTwo}, 0)
	if got := secrets[trug.Session](t, b, store.SecretFilter{Season: seasonOne}); len(got) != 2 {
		t.Errorf("%d sessions are left, want 2", len(got))
	}
	err := b.Write(b.ctx, func(w store.Writer) error {
		_, err := store.DropSecrets[trug.Session](b.ctx, w, store.SecretFilter{})
		return err
	})
	if err == nil {
		t.Error("all secrets of a kind can be deleted at once")
	}
	if now := lastSeq(t, b); now != before {
		t.Errorf("secrets made %d amendments", now-before)
	}
	clean(t, b)
}

// secretsByPage reads sign-ins from the newest, a few at a time.
func secretsByPage(t *testing.T, b *bench) {
	for n := range 7 {
		keep(t, b, trug.SignIn{ID: id(n), SeasonID: seasonOne, PersonID: id(100), Created: noon, Until: noon})
	}
	keep(t, b, trug.SignIn{ID: id(50), SeasonID: seasonTwo, PersonID: id(101), Created: noon, Until: noon})
	var read []trug.ID
	f := store.SecretFilter{Season: seasonOne, Newest: 3}
	for {
		got := secrets[trug.SignIn](t, b, f)
		for _, s := range got {
			read = append(read, s.ID)
		}
		if len(got) < 3 {
			break
		}
		f.Before = got[len(got)-1].ID
	}
	want := []trug.ID{id(6), id(5), id(4), id(3), id(2), id(1), id(0)}
	if !reflect.DeepEqual(read, want) {
		t.Errorf("read by page: %v, want %v", read, want)
	}
}

func secretKeys(t *testing.T, b *bench) {
	keep(t, b, session(1, id(100)))
	other := session(2, id(100))
	other.Token = session(1, "").Token
	err := b.Write(b.ctx, func(w store.Writer) error {
		wantKind(t, store.PutSecret(b.ctx, w, other), trug.Conflict)
		return store.PutSecret(b.ctx, w, session(3, id(100))) // the transaction goes on
	})
	if err != nil {
		t.Fatal(err)
	}
	// The same key in another kind is another key.
	keep(t, b, trug.Invitation{ID: id(1), SeasonID: seasonOne, Token: other.Token})
	err = b.Read(b.ctx, func(r store.Reader) error {
		if _, err := store.SecretByKey[trug.Session](b.ctx, r, ""); trug.KindOf(err) != trug.NotFound {
			t.Errorf("an empty key finds something: %v", err)
		}
		got, err := store.SecretByKey[trug.Session](b.ctx, r, other.Token)
		if err == nil && got.ID != id(1) {
			t.Errorf("found %s", got.ID)
		}
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	bad := session(4, "a\x00b")
	wantKind(t, b.Write(b.ctx, func(w store.Writer) error { return store.PutSecret(b.ctx, w, bad) }), trug.Invalid)
}
