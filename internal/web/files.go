package web

import (
	"context"
	"encoding/json"
	"fmt"
	"io"
	"mime"
	"net/http"
	"strings"
	"time"

	"trug"
	"trug/internal/app"
)

// takePhotograph takes one file as the body of a request.
func (s *server) takePhotograph(w http.ResponseWriter, r *http.Request) {
	p, err := s.app.TakePhotograph(r.Context(), viewer(r.Context()), r.URL.Query().Get("name"), app.Sized{Reader: http.MaxBytesReader(w, r.Body, app.MaxPhotographBytes+1), Size: r.ContentLength})
	s.send(w, r, p, err)
}

// send answers with JSON or with the problem.
func (s *server) send(w http.ResponseWriter, r *http.Request, body any, err error) {
	if err != nil {
		s.fail(w, r, err)
		return
	}
	w.Header().Set("Content-Type", "application/json")
	_ = json.NewEncoder(w).Encode(body)
}

func (s *server) sendPhotograph(w http.ResponseWriter, r *http.Request) {
	f, err := s.app.OpenPhotograph(r.Context(), viewer(r.Context()), trug.ID(r.PathValue("id")), app.Size(r.PathValue("size")))
	if err != nil {
		s.fail(w, r, err)
		return
	}
	// Who may see a photograph can change from one moment to the next, and a
	// part of it may have been cut away: the browser keeps it and asks each
	// time whether it may still show it.
	w.Header().Set("Cache-Control", "private, no-cache")
	s.sendFile(w, r, f)
}

func (s *server) sendFile(w http.ResponseWriter, r *http.Request, f app.File) {
	defer f.Close()
	w.Header().Set("Content-Type", f.Type)
	// The hash of an original would recognise it elsewhere: half of the hash
	// of what is sent is enough to tell files apart.
	w.Header().Set("ETag", `"`+string(f.Hash[:32])+`"`)
	http.ServeContent(w, r, "", time.Time{}, f)
}

func (s *server) sendGround(w http.ResponseWriter, r *http.Request) {
	ground, err := s.app.Ground(r.Context(), viewer(r.Context()))
	if err != nil {
		s.fail(w, r, err)
		return
	}
	w.Header().Set("Content-Type", "application/geo+json")
	w.Header().Set("Cache-Control", "private, max-age=3600")
	_, _ = w.Write(ground)
}

func (s *server) sendArchive(w http.ResponseWriter, r *http.Request) {
	v := viewer(r.Context())
	f, d, err := s.app.OpenArchive(r.Context(), v, trug.PublicID(r.PathValue("public")))
	if err != nil {
		s.fail(w, r, err)
		return
	}
	name := s.app.ArchiveName(r.Context(), v, d)
	w.Header().Set("Content-Disposition", mime.FormatMediaType("attachment", map[string]string{"filename": name}))
	s.sendFile(w, r, f)
}

func (s *server) addChecklist(w http.ResponseWriter, r *http.Request) {
	const most = 32 << 20
	text, err := io.ReadAll(http.MaxBytesReader(w, r.Body, most))
	if err != nil {
		s.fail(w, r, trug.Errorf(trug.TooLarge, "", "the list is over %d MB: split it", most>>20))
		return
	}
	got, err := s.app.AddNames(r.Context(), viewer(r.Context()), text)
	s.send(w, r, got, err)
}

// readOutline reads an outline from a file and keeps nothing.
func (s *server) readOutline(w http.ResponseWriter, r *http.Request) {
	s.readShape(w, r, s.app.ReadOutline)
}

// readRoute reads a route from a file and keeps nothing.
func (s *server) readRoute(w http.ResponseWriter, r *http.Request) {
	s.readShape(w, r, s.app.ReadRoute)
}

func (s *server) readShape(w http.ResponseWriter, r *http.Request, read func(context.Context, app.Viewer, []byte) (app.ReadShape, error)) {
	data, err := io.ReadAll(http.MaxBytesReader(w, r.Body, app.MaxShapeBytes))
	if err != nil {
		s.fail(w, r, trug.Errorf(trug.TooLarge, "", "the file is over %d MB: thin it out in the program that wrote it", app.MaxShapeBytes>>20))
		return
	}
	shape, err := read(r.Context(), viewer(r.Context()), data)
	s.send(w, r, shape, err)
}

// sendPaper sends a printed sheet.
func (s *server) sendPaper(w http.ResponseWriter, r *http.Request) {
	q := r.URL.Query()
	pdf, name, err := s.app.Paper(r.Context(), viewer(r.Context()), app.PaperAsked{Sheet: strings.TrimSuffix(r.PathValue("sheet"), ".pdf"),
		Foray: trug.ID(q.Get("foray")), Site: trug.ID(q.Get("site")), Slips: trug.ID(q.Get("slips")), Size: q.Get("size"), Address: q.Get("address")})
	if err != nil {
		s.fail(w, r, err)
		return
	}
	w.Header().Set("Content-Type", "application/pdf")
	w.Header().Set("Content-Disposition", mime.FormatMediaType("inline", map[string]string{"filename": name}))
	_, _ = w.Write(pdf)
}

// sendTable hands a table of the desk out as CSV.
func (s *server) sendTable(w http.ResponseWriter, r *http.Request) {
	name := strings.TrimSuffix(r.PathValue("name"), ".csv")
	text, err := s.app.TableCSV(r.Context(), viewer(r.Context()), name)
	if err != nil {
		s.fail(w, r, err)
		return
	}
	w.Header().Set("Content-Type", "text/csv; charset=utf-8")
	w.Header().Set("Content-Disposition", mime.FormatMediaType("attachment", map[string]string{"filename": name + ".csv"}))
	_, _ = w.Write(text)
}

// takeTable takes a table of the desk in.
func (s *server) takeTable(w http.ResponseWriter, r *http.Request) {
	text, err := io.ReadAll(http.MaxBytesReader(w, r.Body, app.MaxTableBytes))
	if err != nil {
		s.fail(w, r, trug.Errorf(trug.TooLarge, "", "the table is over %d MB: split it", app.MaxTableBytes>>20))
		return
	}
	done, err := s.app.TakeTable(r.Context(), viewer(r.Context()), strings.TrimSuffix(r.PathValue("name"), ".csv"), text)
	s.send(w, r, done, err)
}

// enter leads the first coordinator to the set-up page, and visitors of the
// demonstration in as whoever the link is of.
func (s *server) enter(w http.ResponseWriter, r *http.Request) {
	token := r.PathValue("token")
	if key, ok := strings.CutPrefix(token, "setup-"); ok {
		if open, err := s.app.SetupOpen(r.Context(), key); err == nil && open {
			s.setCookie(w, r, setupCookie, key, 24*time.Hour)
			http.Redirect(w, r, "/setup", http.StatusSeeOther)
			return
		}
		http.Redirect(w, r, "/", http.StatusSeeOther)
		return
	}
	in, err := s.app.EnterByLink(r.Context(), caller(r.Context()).Caller, token)
	if err != nil {
		w.Header().Set("Content-Type", "text/html; charset=utf-8")
		w.WriteHeader(http.StatusNotFound)
		fmt.Fprint(w, `<!doctype html><html lang="en"><meta charset="utf-8"><meta name="viewport" content="width=device-width"><title>This link opens nothing</title><h1>This link opens nothing here</h1><p>Copy it whole, or ask the coordinator for a new one.</p><p><a href="/">To the season's page</a></p></html>`)
		return
	}
	s.setCookie(w, r, sessionCookie, in.Token, in.Lasts)
	http.Redirect(w, r, "/", http.StatusSeeOther)
}

func (s *server) leave(w http.ResponseWriter, r *http.Request) {
	err := s.app.Leave(r.Context(), viewer(r.Context()))
	s.setCookie(w, r, sessionCookie, "", -time.Second)
	s.send(w, r, struct{}{}, err)
}
