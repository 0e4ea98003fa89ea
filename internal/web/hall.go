package web

import (
	"bytes"
	"embed"
	"html/template"
	"net"
	"net/http"
	"net/netip"
	"slices"
	"strings"
)

//go:embed hall/page.html hall/page.css
var hallFiles embed.FS

var hallPage = template.Must(template.ParseFS(hallFiles, "hall/page.html"))

// Hall is the server's own authority as people are told of it.
type Hall struct {
	// Title is the name in the devices' lists, Fingerprint the SHA-256 in pairs.
	Title, Fingerprint string
	// Names are the machine's two names, Ends the day on which the authority ends.
	Names []string
	Ends  string
	// DER and PEM are the authority's certificate.
	DER, PEM []byte
	// Port is where HTTPS is answered.
	Port string
}

// Plain answers plain HTTP with the page that explains how to trust the
// authority, at every address: who opens a link from paper is led on to it.
func (h Hall) Plain() http.Handler {
	return h.Beside(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) { h.page(w, r, r.URL.RequestURI()) }))
}

// Beside answers at /trust, also once the device trusts: it says how the
// certificate is taken away again. Everything else is left to next.
func (h Hall) Beside(next http.Handler) http.Handler {
	file := func(kind, name string, data []byte) http.HandlerFunc {
		return func(w http.ResponseWriter, _ *http.Request) {
			bare(w.Header())
			w.Header().Set("Content-Type", kind)
			if name != "" {
				w.Header().Set("Content-Disposition", `attachment; filename="`+name+`"`)
			}
			_, _ = w.Write(data)
		}
	}
	style, _ := hallFiles.ReadFile("hall/page.css") // it is embedded
	mux := http.NewServeMux()
	mux.HandleFunc("GET /trust", func(w http.ResponseWriter, r *http.Request) { h.page(w, r, "/") })
	mux.HandleFunc("GET /trust/page.css", file("text/css; charset=utf-8", "", style))
	mux.HandleFunc("GET /trust/authority.crt", file("application/x-x509-ca-cert", "trug-hall.crt", h.DER))
	mux.HandleFunc("GET /trust/authority.pem", file("application/x-pem-file", "trug-hall.pem", h.PEM))
	mux.Handle("/", next)
	return mux
}

// bare sets what a page without scripts, cookies and pictures bears.
func bare(h http.Header) {
	h.Set("Content-Security-Policy", "default-src 'none'; style-src 'self'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'")
	h.Set("X-Content-Type-Options", "nosniff")
	h.Set("X-Frame-Options", "DENY")
	h.Set("Referrer-Policy", "no-referrer")
	h.Set("Cache-Control", "no-store")
}

func (h Hall) page(w http.ResponseWriter, r *http.Request, to string) {
	if r.Method != http.MethodGet && r.Method != http.MethodHead {
		http.Error(w, "Open this page's HTTPS address and do it there.", http.StatusForbidden)
		return
	}
	var b bytes.Buffer
	err := hallPage.Execute(&b, struct {
		Hall
		Open template.URL
	}{h, template.URL("https://" + h.host(r.Host) + pathOf(to))})
	bare(w.Header())
	if err != nil {
		http.Error(w, internalSays, http.StatusInternalServerError)
		return
	}
	w.Header().Set("Content-Type", "text/html; charset=utf-8")
	_, _ = w.Write(b.Bytes())
}

// host is where the browser goes on by HTTPS: the address it came by, if the
// authority can vouch for it, else the machine's first name.
func (h Hall) host(asked string) string {
	if name, _, err := net.SplitHostPort(asked); err == nil {
		asked = name
	}
	asked = strings.ToLower(strings.Trim(asked, "[]"))
	if a, err := netip.ParseAddr(asked); err != nil || a.IsGlobalUnicast() && !a.IsPrivate() {
		if !slices.Contains(h.Names, asked) {
			asked = h.Names[0]
		}
	}
	if h.Port == "443" {
		if strings.Contains(asked, ":") {
			return "[" + asked + "]"
		}
		return asked
	}
	return net.JoinHostPort(asked, h.Port)
}

// pathOf keeps of an address only what is a path of this server.
func pathOf(uri string) string {
	if !strings.HasPrefix(uri, "/") || strings.HasPrefix(uri, "//") {
		return "/"
	}
	return uri
}

// ToHTTPS leads what comes by plain HTTP to the same address by HTTPS on the
// port; host is where to, empty for the host that was asked for. What would
// change something is refused: it has gone over the wire readable already, and
// whoever sent it should learn so.
func ToHTTPS(host, port string) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		bare(w.Header())
		to := host
		if to == "" {
			to = r.Host
		}
		if name, _, err := net.SplitHostPort(to); err == nil {
			to = name
		}
		if !plausibleHost(strings.ToLower(to)) {
			http.Error(w, "This address names no host.", http.StatusBadRequest)
			return
		}
		if r.Method != http.MethodGet && r.Method != http.MethodHead {
			http.Error(w, "This server speaks HTTPS: use its https:// address.", http.StatusForbidden)
			return
		}
		if port != "443" {
			to = net.JoinHostPort(strings.Trim(to, "[]"), port)
		}
		http.Redirect(w, r, "https://"+to+pathOf(r.URL.RequestURI()), http.StatusPermanentRedirect)
	})
}
