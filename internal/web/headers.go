package web

import (
	"net/http"
	"strings"
)

// contentPolicy lets a page run and show nothing but what lies here. Nothing
// stands inline, text becomes markup only through the two named policies (the
// component library's own, and ours in ui/src/parts/trusted.ts).
var contentPolicy = strings.Join([]string{
	"default-src 'none'",
	"script-src 'self' 'wasm-unsafe-eval'", // WebAssembly of ours is compiled; text still is not
	"style-src 'self'",
	"img-src 'self' blob:", // blob: is a photograph not handed in yet
	"font-src 'self'",
	"connect-src 'self'",
	"manifest-src 'self'",
	"worker-src 'self'",
	"object-src 'none'",
	"base-uri 'none'",
	"form-action 'self'",
	"frame-ancestors 'none'",
	"require-trusted-types-for 'script'",
	"trusted-types svelte-trusted-html trug",
}, "; ")

// devicePolicy lets pages ask for the place and the camera, and for nothing
// else that a browser can do.
const devicePolicy = "geolocation=(self), camera=(self), publickey-credentials-get=(self), publickey-credentials-create=(self), " +
	"microphone=(), payment=(), usb=(), serial=(), midi=(), display-capture=(), idle-detection=(), browsing-topics=()"

// insistFor is how long a browser is to insist on HTTPS: a year. Names below
// the server's are left alone: they are other people's.
const insistFor = "max-age=31536000"

// headers sets what every answer bears: nothing is framed, sniffed, or run
// that did not come from here, no address is told to others, and nothing of a
// person's is kept on the way.
func (s *server) headers(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		h := w.Header()
		h.Set("Content-Security-Policy", contentPolicy)
		h.Set("Permissions-Policy", devicePolicy)
		h.Set("X-Content-Type-Options", "nosniff")
		h.Set("X-Frame-Options", "DENY") // for browsers that don't know frame-ancestors
		h.Set("Referrer-Policy", "no-referrer")
		h.Set("Cross-Origin-Resource-Policy", "same-origin")
		h.Set("Cache-Control", "no-store") // the web app's own files and photographs say otherwise
		how := reachedBy(r.Context())
		if how.secure { // browsers don't heed it over plain HTTP and complain
			h.Set("Cross-Origin-Opener-Policy", "same-origin")
		}
		if how.secure && !s.OwnAuthority && mayInsist(how.host) {
			h.Set("Strict-Transport-Security", insistFor)
		}
		next.ServeHTTP(w, r)
	})
}
