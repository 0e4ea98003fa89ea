package web

import (
	"bytes"
	"context"
	"crypto/sha1"
	"crypto/sha256"
	"encoding/base64"
	"encoding/hex"
	"encoding/json"
	"errors"
	"hash"
	"net/http"
	"strconv"
	"strings"
	"time"

	"trug"
	"trug/internal/app"
	"trug/internal/offline"
)

// The open protocol tus 1.0.0 (https://tus.io/protocols/resumable-upload), by
// which photographs come in pieces, with what of its extensions we speak.
const (
	tusVersion    = "1.0.0"
	tusExtensions = "creation,termination,checksum,expiration"
	tusSums       = "sha256,sha1"
	tusPiece      = "application/offset+octet-stream"
	uploadsPath   = "/api/field/uploads"
	// statusSum is what the checksum extension answers a piece whose sum is wrong.
	statusSum = 460
)

// fieldRoutes is the part of the table by which phones take along what they
// need out of reach, and send what they kept.
func (s *server) fieldRoutes() []route {
	return []route{
		{method: "POST", path: "/api/field/messages", action: app.SaveARecord, call: answer(s, func(ctx context.Context, in *struct {
			Body struct {
				Messages []offline.Message `json:"messages" maxItems:"20"`
			}
		}) ([]app.MessageAnswer, error) {
			return s.app.TakeMessages(ctx, viewer(ctx), in.Body.Messages)
		})},
		{method: "GET", path: "/api/field", action: app.TakeAlong, serve: s.sendHeld, gives: app.HeldSeason{}},
		{method: "GET", path: "/api/field/names", action: app.TakeAlong, serve: s.sendNames, gives: []app.HeldName{}},
		{method: "POST", path: "/api/field/next", action: app.SaveARecord, call: answer(s, func(ctx context.Context, in *struct{ Body app.SpotAsked }) (app.Spot, error) {
			return s.app.OnTheSpot(ctx, viewer(ctx), in.Body)
		})},
		{method: "OPTIONS", path: uploadsPath, action: app.SeeSeason, serve: s.tus(s.tellTus), gives: nothing{}},
		{method: "POST", path: uploadsPath, action: app.HandIn, serve: s.tus(s.beginUpload), gives: nothing{}},
		{method: "HEAD", path: uploadsPath + "/{id}", action: app.HandIn, serve: s.tus(s.tellUpload), gives: nothing{}},
		{method: "PATCH", path: uploadsPath + "/{id}", action: app.HandIn, serve: s.tus(s.continueUpload), gives: nothing{}},
		{method: "DELETE", path: uploadsPath + "/{id}", action: app.HandIn, serve: s.tus(s.dropUpload), gives: nothing{}},
	}
}

// sendHeld sends what a phone takes along, or says that it has it already.
func (s *server) sendHeld(w http.ResponseWriter, r *http.Request) {
	held, err := s.app.Held(r.Context(), viewer(r.Context()))
	s.sendOnce(w, r, held, err)
}

// sendNames does so with the names of the checklist.
func (s *server) sendNames(w http.ResponseWriter, r *http.Request) {
	names, err := s.app.HeldNames(r.Context(), viewer(r.Context()))
	s.sendOnce(w, r, names, err)
}

// sendOnce sends an answer that changes seldom under a tag of its content.
func (s *server) sendOnce(w http.ResponseWriter, r *http.Request, what any, err error) {
	if err != nil {
		s.fail(w, r, err)
		return
	}
	body, err := json.Marshal(what)
	if err != nil {
		s.fail(w, r, err)
		return
	}
	sum := sha256.Sum256(body)
	w.Header().Set("Content-Type", "application/json")
	w.Header().Set("Cache-Control", "private, no-cache")
	w.Header().Set("ETag", `"`+hex.EncodeToString(sum[:16])+`"`)
	http.ServeContent(w, r, "", time.Time{}, bytes.NewReader(body))
}

// tus sees that both sides speak the same version.
func (s *server) tus(serve http.HandlerFunc) http.HandlerFunc {
	return func(w http.ResponseWriter, r *http.Request) {
		w.Header().Set("Tus-Resumable", tusVersion)
		if r.Method != http.MethodOptions && r.Header.Get("Tus-Resumable") != tusVersion {
			w.Header().Set("Tus-Version", tusVersion)
			s.fail(w, r, problem(http.StatusPreconditionFailed, "Photographs come in pieces by tus 1.0.0: the request says so in Tus-Resumable."))
			return
		}
		serve(w, r)
	}
}

func (s *server) tellTus(w http.ResponseWriter, _ *http.Request) {
	h := w.Header()
	h.Set("Tus-Version", tusVersion)
	h.Set("Tus-Extension", tusExtensions)
	h.Set("Tus-Max-Size", strconv.Itoa(app.MaxPhotographBytes))
	h.Set("Tus-Checksum-Algorithm", tusSums)
	w.WriteHeader(http.StatusNoContent)
}

func (s *server) beginUpload(w http.ResponseWriter, r *http.Request) {
	length, err := strconv.ParseInt(r.Header.Get("Upload-Length"), 10, 64)
	if err != nil {
		s.fail(w, r, trug.Errorf(trug.Invalid, "Upload-Length", "Say how many bytes the photograph has."))
		return
	}
	told, err := metadata(r.Header.Get("Upload-Metadata"))
	if err != nil {
		s.fail(w, r, err)
		return
	}
	u, err := s.app.BeginUpload(r.Context(), viewer(r.Context()), app.NewUpload{Length: length, Hash: trug.Hash(told["sha256"]), FileName: told["filename"]})
	if err != nil {
		s.fail(w, r, err)
		return
	}
	w.Header().Set("Location", uploadsPath+"/"+string(u.ID))
	w.Header().Set("Upload-Offset", strconv.FormatInt(u.Offset, 10))
	w.Header().Set("Upload-Expires", u.Until.Format(http.TimeFormat))
	w.WriteHeader(http.StatusCreated)
}

// metadata reads pairs of a key and a value in base64, parted by commas.
func metadata(text string) (map[string]string, error) {
	out := map[string]string{}
	for pair := range strings.SplitSeq(text, ",") {
		key, packed, _ := strings.Cut(strings.TrimSpace(pair), " ")
		value, err := base64.StdEncoding.DecodeString(strings.TrimSpace(packed))
		if err != nil {
			return nil, trug.Errorf(trug.Invalid, "Upload-Metadata", "What is told of the photograph is not in base64.")
		}
		out[key] = string(value)
	}
	return out, nil
}

func (s *server) tellUpload(w http.ResponseWriter, r *http.Request) {
	u, err := s.app.Upload(r.Context(), viewer(r.Context()), trug.ID(r.PathValue("id")))
	if err != nil {
		s.fail(w, r, err)
		return
	}
	w.Header().Set("Upload-Offset", strconv.FormatInt(u.Offset, 10))
	w.Header().Set("Upload-Length", strconv.FormatInt(u.Length, 10))
	w.Header().Set("Upload-Expires", u.Until.Format(http.TimeFormat))
	w.WriteHeader(http.StatusOK)
}

func (s *server) continueUpload(w http.ResponseWriter, r *http.Request) {
	if r.Header.Get("Content-Type") != tusPiece {
		s.fail(w, r, problem(http.StatusUnsupportedMediaType, "A piece of a photograph comes as "+tusPiece+"."))
		return
	}
	offset, err := strconv.ParseInt(r.Header.Get("Upload-Offset"), 10, 64)
	if err != nil || offset < 0 {
		s.fail(w, r, trug.Errorf(trug.Invalid, "Upload-Offset", "Say from which byte on the piece goes."))
		return
	}
	sum, want, err := sumOf(r.Header.Get("Upload-Checksum"))
	if err != nil {
		s.fail(w, r, err)
		return
	}
	body := http.MaxBytesReader(w, r.Body, app.MaxPhotographBytes)
	u, err := s.app.ContinueUpload(r.Context(), viewer(r.Context()), trug.ID(r.PathValue("id")), offset, body, sum, want)
	if errors.Is(err, app.ErrSum) {
		err = problem(statusSum, "This piece did not arrive as it left: send it again.")
	} else if err != nil && trug.KindOf(err) == trug.Internal && r.Context().Err() != nil {
		err = trug.Errorf(trug.Invalid, "", "The piece broke off; what came is kept.")
	}
	if err != nil {
		s.fail(w, r, err)
		return
	}
	w.Header().Set("Upload-Offset", strconv.FormatInt(u.Offset, 10))
	w.Header().Set("Upload-Expires", u.Until.Format(http.TimeFormat))
	w.WriteHeader(http.StatusNoContent)
}

// sumOf reads the sum of a piece; none is one without.
func sumOf(text string) (hash.Hash, []byte, error) {
	if text == "" {
		return nil, nil, nil
	}
	name, packed, _ := strings.Cut(text, " ")
	want, err := base64.StdEncoding.DecodeString(packed)
	known := map[string]func() hash.Hash{"sha1": sha1.New, "sha256": sha256.New}[name]
	if err != nil || known == nil {
		return nil, nil, problem(http.StatusBadRequest, "A piece's sum is told as sha256 or sha1, in base64.")
	}
	return known(), want, nil
}

func (s *server) dropUpload(w http.ResponseWriter, r *http.Request) {
	if err := s.app.DropUpload(r.Context(), viewer(r.Context()), trug.ID(r.PathValue("id"))); err != nil {
		s.fail(w, r, err)
		return
	}
	w.WriteHeader(http.StatusNoContent)
}
