package web

import (
	"bytes"
	"context"
	"log/slog"
	"net/http/httptest"
	"strings"
	"testing"

	"trug"
	"trug/internal/app/apptest"
)

// Logs outlive permissions and are read by whoever mends the machine: after
// every route was asked by every role, and after each failed inside as well,
// no place, name, code, token, address or file name stands in them.
func TestLogsTellNothing(t *testing.T) {
	s := apptest.New(t, "2026-10-10")
	var said bytes.Buffer
	h := Handler(s.App, Options{Log: slog.New(slog.NewTextHandler(&said, &slog.HandlerOptions{Level: slog.LevelDebug, ReplaceAttr: func(_ []string, a slog.Attr) slog.Attr {
		if a.Key == slog.TimeKey {
			return slog.Attr{} // seconds look like degrees
		}
		return a
	}}))})
	requests := samples(t, s, h)
	late, end := context.WithTimeout(t.Context(), 0)
	defer end()
	var tokens []string
	for _, role := range trug.Roles {
		for _, r := range (&server{app: s.App}).routes() {
			c := newClient(t, s, h, personOf[role])
			if c.cookie != "" {
				tokens = append(tokens, c.cookie)
			}
			q := requests[r.method+" "+r.path]()
			c.do(r.method, q.path, []byte(q.body), q.kind)
			broken := c.request(r.method, q.path, []byte(q.body), q.kind) // the store answers too late
			h.ServeHTTP(httptest.NewRecorder(), broken.WithContext(late))
		}
	}
	log := said.String()
	if strings.Count(log, "level=ERROR") < 20 {
		t.Fatalf("hardly anything was logged: %.500s", log)
	}
	tell := func(what, word string) {
		if len(word) > 3 && strings.Contains(log, word) {
			i := strings.Index(log, word)
			t.Errorf("the log tells %s %q: …%s…", what, word, log[max(0, i-200):min(len(log), i+80)])
		}
	}
	for _, p := range s.Demo.People {
		tell("a name", p.Name)
		tell("a person", string(p.ID))
		tell("a way in", s.EntryToken(p.ID))
	}
	for _, r := range s.Demo.Records {
		tell("a record", string(r.ID))
		if r.Place != nil {
			for _, word := range notations(t, r.Place.Position) {
				tell("a place", word)
			}
		}
	}
	for _, x := range s.Demo.Sites {
		tell("a site", x.Name)
	}
	for _, token := range tokens {
		tell("a session", token)
	}
	for _, word := range []string{"own.jpg", "192.0.2.1", "48.5", "19.9", s.SetupToken()} {
		tell("what it must not", word)
	}
}
