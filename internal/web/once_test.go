package web

import (
	"bytes"
	"context"
	"errors"
	"log/slog"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"

	"trug/internal/app/apptest"
)

// leaver is a browser that goes away amid the body of an answer.
type leaver struct {
	http.ResponseWriter
	heads int
	leave func()
}

func (l *leaver) WriteHeader(status int) { l.heads++; l.ResponseWriter.WriteHeader(status) }

func (l *leaver) Write([]byte) (int, error) {
	l.leave()
	return 0, errors.Join(errNotTaken, errors.New("broken pipe"))
}

// Whoever leaves amid an answer of any route gets one head, is no fault to be
// logged, and never a second answer after half of the first.
func TestLeavingAmidAnAnswer(t *testing.T) {
	s := apptest.New(t, "2026-10-10")
	requests := samples(t, s, Handler(s.App, Options{}))
	for name, goes := range map[string]bool{"went away": true, "takes nothing": false} {
		var log bytes.Buffer
		h := Handler(s.App, Options{Log: slog.New(slog.NewTextHandler(&log, nil))})
		for _, r := range (&server{app: s.App}).routes() {
			if r.method != "GET" {
				continue
			}
			q := requests["GET "+r.path]()
			ctx, leave := context.WithCancel(t.Context())
			if !goes {
				leave = func() {}
			}
			w := &leaver{ResponseWriter: httptest.NewRecorder(), leave: leave}
			func() {
				defer func() {
					if p := recover(); p != nil && p != http.ErrAbortHandler {
						t.Errorf("%s %s: %v", name, r.path, p)
					}
				}()
				h.ServeHTTP(w, newClient(t, s, h, "R02").request("GET", q.path, nil, "").WithContext(ctx))
			}()
			if w.heads > 1 {
				t.Errorf("%s: %s wrote %d heads", name, r.path, w.heads)
			}
			if strings.Contains(log.String(), "level=ERROR") {
				t.Errorf("%s: %s logged %s", name, r.path, log.String())
				log.Reset()
			}
			if goes {
				leave()
			}
		}
	}
}

// A fault of ours after half of an answer breaks it off and is logged; before
// the first byte it is answered with the one sentence.
func TestAFaultAmidAnAnswer(t *testing.T) {
	var log bytes.Buffer
	s := &server{Options: Options{Log: slog.New(slog.NewTextHandler(&log, nil))}}
	for name, begun := range map[string]bool{"before": false, "amid": true} {
		log.Reset()
		w := httptest.NewRecorder()
		broke := false
		func() {
			defer func() { broke = recover() == http.ErrAbortHandler }()
			s.recovered(http.HandlerFunc(func(w http.ResponseWriter, _ *http.Request) {
				if begun {
					_, _ = w.Write([]byte("half"))
				}
				panic("a fault")
			})).ServeHTTP(w, httptest.NewRequest("GET", "/", nil))
		}()
		if broke != begun || begun && w.Body.String() != "half" || !begun && (w.Code != 500 || !strings.Contains(w.Body.String(), internalSays)) {
			t.Errorf("%s: broken off %v, %d %q", name, broke, w.Code, w.Body)
		}
		if !strings.Contains(log.String(), "level=ERROR") {
			t.Errorf("%s: not logged: %q", name, log.String())
		}
	}
}
