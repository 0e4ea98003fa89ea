package web

import (
	"bytes"
	"log/slog"
	"mime"
	"net/http/httptest"
	"regexp"
	"strings"
	"testing"

	"trug/internal/app/apptest"
)

// The names of files that are sent are made here, of letters that no system
// takes for anything else, whatever the season and the people are called.
func TestNamesOfFilesAreSafe(t *testing.T) {
	s := apptest.New(t, "2026-10-10")
	h := Handler(s.App, Options{})
	requests := samples(t, s, h)
	set, err := s.Settings(t.Context(), s.As("R02"))
	if err != nil {
		t.Fatal(err)
	}
	set.Title = "../..\\Fungi \"of\"; x=\"y\"\u202e & ärger"
	if _, err := s.SaveSettings(t.Context(), s.As("R02"), set); err != nil {
		t.Fatal(err)
	}
	safe := regexp.MustCompile(`^[A-Za-z0-9][A-Za-z0-9._ -]*\.(zip|csv|pdf)$`)
	named := 0
	for _, r := range (&server{app: s.App}).routes() {
		if r.method != "GET" {
			continue
		}
		w := httptest.NewRecorder()
		h.ServeHTTP(w, newClient(t, s, h, "R02").request("GET", requests["GET "+r.path]().path, nil, ""))
		disposition := w.Header().Get("Content-Disposition")
		if disposition == "" {
			continue
		}
		named++
		how, of, err := mime.ParseMediaType(disposition)
		if err != nil || how != "attachment" && how != "inline" || !safe.MatchString(of["filename"]) || strings.Contains(of["filename"], "..") {
			t.Errorf("%s sends %q (%v)", r.path, disposition, err)
		}
	}
	if named < 4 {
		t.Errorf("only %d routes name a file", named)
	}
}

// A refusal is logged by its route; who was refused is not.
func TestRefusalsAreLogged(t *testing.T) {
	s := apptest.New(t, "2026-10-10")
	var log bytes.Buffer
	h := Handler(s.App, Options{Log: slog.New(slog.NewTextHandler(&log, nil))})
	id := string(s.As("R03").Person.ID)
	if status, _ := newClient(t, s, h, "R08").do("GET", "/api/people/"+id, nil, ""); status != 403 {
		t.Fatal(status)
	}
	if text := log.String(); !strings.Contains(text, "refused") || !strings.Contains(text, "/api/people/{id}") || strings.Contains(text, id) {
		t.Errorf("logged: %s", text)
	}
}
