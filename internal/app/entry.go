package app

import (
	"context"
	"crypto/hmac"
	"crypto/sha256"
	"encoding/base64"
	"encoding/hex"
	"fmt"
	"strings"

	"trug"
	"trug/internal/store"
)

// EntryToken returns the last part of a person's entry link, by which visitors
// of the demonstration become that person. It is the person's identifier with a
// signature of the data folder's secret, so the same link is printed each time.
func (a *App) EntryToken(id trug.ID) string {
	raw, _ := hex.DecodeString(strings.ReplaceAll(string(id), "-", ""))
	return base64.RawURLEncoding.EncodeToString(append(raw, a.sign("enter", string(id))[:16]...))
}

// EnterByLink lets a visitor of the demonstration in as the person whose entry
// link ends in token. Elsewhere such links open nothing.
func (a *App) EnterByLink(ctx context.Context, c Caller, token string) (Entered, error) {
	id, err := a.linked(token)
	if err != nil {
		return Entered{}, err
	}
	var in Entered
	err = a.write(ctx, func(w store.Writer) error {
		p, err := store.Get[trug.Person](ctx, w, id)
		if err != nil {
			return err
		}
		in, err = a.enter(ctx, w, c, p, trug.ByDemoLink)
		return err
	})
	return in, err
}

// linked returns whose entry link ends in token.
func (a *App) linked(token string) (trug.ID, error) {
	raw, err := base64.RawURLEncoding.DecodeString(token)
	if err != nil || len(raw) != 32 || !a.EntryLinks {
		return "", unknownLink()
	}
	h := hex.EncodeToString(raw[:16])
	id := trug.ID(h[:8] + "-" + h[8:12] + "-" + h[12:16] + "-" + h[16:20] + "-" + h[20:])
	if !hmac.Equal(raw[16:], a.sign("enter", string(id))[:16]) {
		return "", unknownLink()
	}
	return id, nil
}

// entryLink returns the person's entry link in the demonstration, empty elsewhere.
func (a *App) entryLink(id trug.ID) string {
	if !a.EntryLinks {
		return ""
	}
	return "/enter/" + a.EntryToken(id)
}

func unknownLink() error {
	return trug.Errorf(trug.NotFound, "", "This link opens nothing here. Copy it whole, or ask the coordinator for a new one.")
}

func (a *App) sign(purpose, text string) []byte {
	mac := hmac.New(sha256.New, a.Secret)
	fmt.Fprintf(mac, "%s\x00%s", purpose, text)
	return mac.Sum(nil)
}

// SetupToken returns the word in the link by which the first coordinator sets
// a season up while the store is empty.
func (a *App) SetupToken() string {
	return base64.RawURLEncoding.EncodeToString(a.sign("setup", "")[:16])
}

// SetupOpen reports whether a season may be created with the token: it is the
// right one and the store holds no season yet.
func (a *App) SetupOpen(ctx context.Context, token string) (bool, error) {
	if !hmac.Equal([]byte(token), []byte(a.SetupToken())) {
		return false, nil
	}
	seasons, err := a.Seasons(ctx)
	return err == nil && len(seasons) == 0, err
}
