package store

import (
	"context"
	"encoding/json"
	"fmt"
	"time"

	"trug"
)

// SecretKind names a sort of secret.
type SecretKind string

// The kinds of secrets.
const (
	Sessions      SecretKind = "session"
	FieldCodes    SecretKind = "field_code"
	Invitations   SecretKind = "invitation"
	Passwords     SecretKind = "password"
	Passkeys      SecretKind = "passkey"
	RecoveryCodes SecretKind = "recovery_code"
	Phrases       SecretKind = "phrase"
	Ceremonies    SecretKind = "ceremony"
	GuessesMade   SecretKind = "guesses"
	SignIns       SecretKind = "sign_in"
	Takings       SecretKind = "taking"
)

// SecretKinds lists every kind.
var SecretKinds = []SecretKind{Sessions, FieldCodes, Invitations, Passwords, Passkeys, RecoveryCodes, Phrases, Ceremonies, GuessesMade, SignIns, Takings}

// Secret is what people come in with, as a database keeps it: apart from the
// things of a season, without amendments, to be changed and deleted.
type Secret struct {
	Kind   SecretKind
	ID     trug.ID
	Season trug.ID // may be empty
	Person trug.ID // whose it is; may be empty
	// Key is unique within the kind where it is not empty: the hash of a
	// token, a field code, the name that somebody signs in with.
	Key string
	// Until is when it may be swept away; zero for never.
	Until time.Time
	Body  json.RawMessage
}

// SecretFilter chooses secrets of one kind. Empty fields do not restrict.
type SecretFilter struct {
	Kind   SecretKind
	ID     trug.ID
	Season trug.ID
	Person trug.ID
	Key    string
	// Over chooses those whose Until lies before it.
	Over time.Time
	// Before chooses those with a lower identifier, and Newest at most so many,
	// the highest identifier first; 0 for all, the lowest first.
	Before trug.ID
	Newest int
}

// SecretThing is a struct of package trug that is kept as a secret.
type SecretThing interface {
	trug.Session | trug.FieldCode | trug.Invitation | trug.Password | trug.Passkey | trug.RecoveryCode | trug.Phrase | trug.Ceremony | trug.Guesses | trug.SignIn | trug.Taking
}

// signInsLast is how long it is remembered that somebody came in, from when
// they were signed out: long enough to look into what is noticed late, and no
// longer (our own judgement).
const signInsLast = 90 * 24 * time.Hour

// SignInErased is when what is kept of a sign-in is erased: counted from its
// end, or from when it would have ended by itself.
func SignInErased(s trug.SignIn) time.Time {
	if !s.Ended.IsZero() {
		return s.Ended.Add(signInsLast)
	}
	return s.Until.Add(signInsLast)
}

// SecretOf returns the thing as a secret.
func SecretOf[T SecretThing](thing T) (Secret, error) {
	var s Secret
	switch t := any(thing).(type) {
	case trug.Session:
		s = Secret{Kind: Sessions, ID: t.ID, Season: t.SeasonID, Person: t.PersonID, Key: t.Token, Until: t.Until}
	case trug.FieldCode:
		s = Secret{Kind: FieldCodes, ID: t.ID, Season: t.SeasonID, Key: t.Code}
	case trug.Invitation:
		s = Secret{Kind: Invitations, ID: t.ID, Season: t.SeasonID, Person: t.PersonID, Key: t.Token}
	case trug.Password:
		s = Secret{Kind: Passwords, ID: t.ID, Season: t.SeasonID, Person: t.PersonID, Key: t.SignIn}
	case trug.Passkey:
		s = Secret{Kind: Passkeys, ID: t.ID, Season: t.SeasonID, Person: t.PersonID, Key: t.Credential}
	case trug.RecoveryCode:
		s = Secret{Kind: RecoveryCodes, ID: t.ID, Season: t.SeasonID, Person: t.PersonID, Key: t.Hash}
	case trug.Phrase:
		s = Secret{Kind: Phrases, ID: t.ID, Season: t.SeasonID, Person: t.PersonID, Key: t.Hash}
	case trug.Ceremony:
		s = Secret{Kind: Ceremonies, ID: t.ID, Season: t.SeasonID, Person: t.PersonID, Key: t.Token, Until: t.Until}
	case trug.Guesses:
		s = Secret{Kind: GuessesMade, ID: t.ID, Season: t.SeasonID, Key: t.Place, Until: t.Until}
	case trug.Taking:
		s = Secret{Kind: Takings, ID: t.ID, Season: t.SeasonID, Person: t.PersonID, Key: t.Hash, Until: t.Until}
	case trug.SignIn:
		s = Secret{Kind: SignIns, ID: t.ID, Season: t.SeasonID, Person: t.PersonID}
		if !t.Until.IsZero() || !t.Ended.IsZero() {
			s.Until = SignInErased(t)
		}
	}
	body, err := json.Marshal(thing)
	if err != nil {
		return Secret{}, fmt.Errorf("write %s as JSON: %w", s.Kind, err)
	}
	s.Body = body
	return s, nil
}

func secretKindOf[T SecretThing]() SecretKind {
	var zero T
	s, _ := SecretOf(zero)
	return s.Kind
}

// ListSecrets returns the secrets of T's kind that the filter chooses, ordered
// by identifier.
func ListSecrets[T SecretThing](ctx context.Context, from Reader, f SecretFilter) ([]T, error) {
	f.Kind = secretKindOf[T]()
	rows, err := from.Secrets(ctx, f)
	if err != nil {
		return nil, err
	}
	things := make([]T, len(rows))
	for i, row := range rows {
		if err := json.Unmarshal(row.Body, &things[i]); err != nil {
			return nil, fmt.Errorf("read a %s: %w", row.Kind, err)
		}
	}
	return things, nil
}

// SecretByKey returns the secret with the key, or an error of kind
// trug.NotFound. An empty key finds none.
func SecretByKey[T SecretThing](ctx context.Context, from Reader, key string) (T, error) {
	var none T
	if key == "" {
		return none, noSecret()
	}
	things, err := ListSecrets[T](ctx, from, SecretFilter{Key: key})
	if err != nil {
		return none, err
	}
	if len(things) == 0 {
		return none, noSecret()
	}
	return things[0], nil
}

func noSecret() error { return trug.Errorf(trug.NotFound, "", "there is no such thing here") }

// PutSecret keeps the secret, in place of its former self.
func PutSecret[T SecretThing](ctx context.Context, to Writer, thing T) error {
	s, err := SecretOf(thing)
	if err != nil {
		return err
	}
	return to.KeepSecret(ctx, s)
}

// DropSecrets deletes the secrets of T's kind that the filter chooses and
// returns how many there were.
func DropSecrets[T SecretThing](ctx context.Context, to Writer, f SecretFilter) (int, error) {
	f.Kind = secretKindOf[T]()
	return to.DropSecrets(ctx, f)
}
