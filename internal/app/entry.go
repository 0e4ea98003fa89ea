package app

import (
	"context"
	"crypto/hmac"
	"crypto/sha256"
	"encoding/base64"
	"encoding/hex"
	"fmt"
	"strconv"
	"strings"
	"time"

	"trug"
	"trug/internal/store"
)

// sessionLasts is how long a session stays good: longer than any season.
const sessionLasts = 180 * 24 * time.Hour

// EntryToken returns the last part of a person's entry link. It is the
// person's identifier with a signature of the data folder's secret, so that
// nothing secret lies in the database and the same link is printed each time.
func (a *App) EntryToken(id trug.ID) string {
	raw, _ := hex.DecodeString(strings.ReplaceAll(string(id), "-", ""))
	return base64.RawURLEncoding.EncodeToString(append(raw, a.sign("enter", string(id))[:16]...))
}

// Enter returns the person whose entry link ends in token, or an error of
// kind NotFound.
func (a *App) Enter(ctx context.Context, token string) (trug.Person, error) {
	raw, err := base64.RawURLEncoding.DecodeString(token)
	if err != nil || len(raw) != 32 {
		return trug.Person{}, unknownLink()
	}
	h := hex.EncodeToString(raw[:16])
	id := trug.ID(h[:8] + "-" + h[8:12] + "-" + h[12:16] + "-" + h[16:20] + "-" + h[20:])
	if !hmac.Equal(raw[16:], a.sign("enter", string(id))[:16]) {
		return trug.Person{}, unknownLink()
	}
	var p trug.Person
	err = a.Store.Read(ctx, func(r store.Reader) (err error) {
		p, err = store.Get[trug.Person](ctx, r, id)
		return err
	})
	return p, err
}

func unknownLink() error {
	return trug.Errorf(trug.NotFound, "", "This link opens nothing here. Copy it whole, or ask the coordinator for a new one.")
}

// Session returns the text of a session cookie for the person.
func (a *App) Session(id trug.ID) string {
	body := string(id) + "." + strconv.FormatInt(a.Clock().Add(sessionLasts).Unix(), 10)
	return body + "." + base64.RawURLEncoding.EncodeToString(a.sign("session", body))
}

// Viewer returns who a session cookie stands for. A cookie that is missing,
// forged or too old stands for an outsider of the store's first season.
func (a *App) Viewer(ctx context.Context, cookie string) (Viewer, error) {
	var v Viewer
	err := a.Store.Read(ctx, func(r store.Reader) error {
		if id, ok := a.session(cookie); ok {
			if p, err := store.Get[trug.Person](ctx, r, id); err == nil {
				v = Viewer{Season: p.SeasonID, Person: &p}
				return nil
			}
		}
		seasons, err := store.List[trug.Season](ctx, r, store.Filter{})
		if err == nil && len(seasons) > 0 {
			v.Season = seasons[0].ID
		}
		return err
	})
	return v, err
}

func (a *App) session(cookie string) (trug.ID, bool) {
	i := strings.LastIndex(cookie, ".")
	if i < 0 {
		return "", false
	}
	mac, err := base64.RawURLEncoding.DecodeString(cookie[i+1:])
	if err != nil || !hmac.Equal(mac, a.sign("session", cookie[:i])) {
		return "", false
	}
	id, until, _ := strings.Cut(cookie[:i], ".")
	seconds, err := strconv.ParseInt(until, 10, 64)
	if err != nil || a.Clock().Unix() > seconds {
		return "", false
	}
	return trug.ID(id), true
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
