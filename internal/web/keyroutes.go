package web

import (
	"context"
	"io"
	"mime"
	"net/http"
	"path"

	"trug"
	"trug/internal/app"
)

// keyRoutes are those of the season's key at the Season desk.
func (s *server) keyRoutes() []route {
	return []route{
		{method: "GET", path: "/api/key", action: app.OpenDesk, call: answer(s, func(ctx context.Context, _ *struct{}) (app.KeyDesk, error) {
			return s.app.Key(ctx, viewer(ctx))
		})},
		{method: "PUT", path: "/api/key", action: app.KeepDesk, call: answer(s, func(ctx context.Context, in *struct {
			Body struct {
				Learns  bool `json:"learns"`
				Expects bool `json:"expects"`
			}
		}) (app.KeyDesk, error) {
			return s.app.SaveKey(ctx, viewer(ctx), in.Body.Learns, in.Body.Expects)
		})},
		{method: "GET", path: "/api/key/{name}", action: app.OpenDesk, serve: s.sendKeyFile, gives: "application/octet-stream"},
		{method: "POST", path: "/api/key/{name}", action: app.KeepDesk, serve: s.takeKeyFile, takes: "application/octet-stream", gives: app.KeyFileDone{}},
		{method: "POST", path: "/api/key/{name}/take-out", action: app.KeepDesk, call: answer(s, func(ctx context.Context, in *struct {
			Name string `path:"name" maxLength:"100"`
		}) (app.KeyDesk, error) {
			return s.app.DropKeyFile(ctx, viewer(ctx), in.Name)
		})},
	}
}

// keyTypes are the media types of the key's files, by ending.
var keyTypes = map[string]string{".csv": "text/csv; charset=utf-8", ".xml": "application/xml", ".txt": "text/plain; charset=utf-8"}

// sendKeyFile hands out the season's matrix or its own characters.
func (s *server) sendKeyFile(w http.ResponseWriter, r *http.Request) {
	name := r.PathValue("name")
	data, err := s.app.KeyFile(r.Context(), viewer(r.Context()), name)
	if err != nil {
		s.fail(w, r, err)
		return
	}
	w.Header().Set("Content-Type", keyTypes[path.Ext(name)])
	w.Header().Set("Content-Disposition", mime.FormatMediaType("attachment", map[string]string{"filename": name}))
	_, _ = w.Write(data)
}

// takeKeyFile takes a matrix or the season's own characters in.
func (s *server) takeKeyFile(w http.ResponseWriter, r *http.Request) {
	data, err := io.ReadAll(http.MaxBytesReader(w, r.Body, app.MaxKeyFile))
	if err != nil {
		s.fail(w, r, trug.Errorf(trug.TooLarge, "", "the file is over %d MB", app.MaxKeyFile>>20))
		return
	}
	done, err := s.app.TakeKeyFile(r.Context(), viewer(r.Context()), r.PathValue("name"), data)
	s.send(w, r, done, err)
}
