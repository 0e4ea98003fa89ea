package web

import (
	"bytes"
	"compress/gzip"
	"embed"
	"io"
	"io/fs"
	"mime"
	"net/http"
	"path"
	"strings"
	"sync"
	"time"

	"trug"
)

// dist is the web app as built from ui; it is committed, so that building the
// program needs Go alone.
//
//go:embed all:dist
var dist embed.FS

// assetsPath is where the web app's own files lie. Their names bear a hash of
// what is in them, so browsers keep them for good.
const assetsPath = "/assets/"

// asset is a file of the web app, plain and compressed.
type asset struct {
	plain, packed []byte
	kind          string
}

// assets holds the web app's files by address, compressed once.
var assets = sync.OnceValue(func() map[string]asset {
	out := map[string]asset{}
	_ = fs.WalkDir(dist, "dist", func(name string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		data, err := dist.ReadFile(name)
		if err != nil {
			return err
		}
		if packed, ok := strings.CutSuffix(name, ".gz"); ok {
			if out[strings.TrimPrefix(packed, "dist")], err = packedAsset(packed, data); err != nil {
				return err
			}
			return nil
		}
		a := asset{plain: data, kind: mime.TypeByExtension(path.Ext(name))}
		switch path.Ext(name) {
		case ".html", ".js", ".css", ".svg", ".json", ".webmanifest", ".txt":
			var b bytes.Buffer
			z, _ := gzip.NewWriterLevel(&b, gzip.BestCompression)
			_, _ = z.Write(data)
			_ = z.Close()
			a.packed = b.Bytes()
			if path.Ext(name) == ".webmanifest" {
				a.kind = "application/manifest+json"
			}
		case ".woff2":
			a.kind = "font/woff2"
		}
		out[strings.TrimPrefix(name, "dist")] = a
		return nil
	})
	return out
})

// packedAsset is a file that lies packed in dist, as the program for the browser's
// worker does: it is handed out as it lies, and plain to whoever can't unpack it.
func packedAsset(name string, data []byte) (asset, error) {
	z, err := gzip.NewReader(bytes.NewReader(data))
	if err != nil {
		return asset{}, err
	}
	plain, err := io.ReadAll(z)
	kind := mime.TypeByExtension(path.Ext(name))
	if path.Ext(name) == ".wasm" {
		kind = "application/wasm"
	}
	return asset{plain: plain, packed: data, kind: kind}, err
}

// page serves a file of the web app, or its one page for every address that
// the app itself makes sense of.
func (s *server) page(w http.ResponseWriter, r *http.Request) {
	if strings.HasPrefix(r.URL.Path, "/api/") {
		s.fail(w, r, trug.Errorf(trug.NotFound, "", "There is nothing at this address."))
		return
	}
	a, ok := assets()[r.URL.Path]
	switch {
	case !ok && strings.HasPrefix(r.URL.Path, assetsPath):
		http.NotFound(w, r)
		return
	case !ok:
		a = assets()["/index.html"]
		w.Header().Set("Cache-Control", "no-cache")
	case strings.HasPrefix(r.URL.Path, assetsPath):
		w.Header().Set("Cache-Control", "public, max-age=31536000, immutable")
	default:
		w.Header().Set("Cache-Control", "no-cache")
	}
	w.Header().Set("Content-Type", a.kind)
	body := a.plain
	if a.packed != nil {
		w.Header().Set("Vary", "Accept-Encoding")
		if strings.Contains(r.Header.Get("Accept-Encoding"), "gzip") {
			w.Header().Set("Content-Encoding", "gzip")
			body = a.packed
		}
	}
	http.ServeContent(w, r, "", time.Time{}, bytes.NewReader(body))
}
