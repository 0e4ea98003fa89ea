// Package web serves the app over HTTP: a JSON API described by OpenAPI 3.1,
// the embedded web app, entry links and public files. It turns requests into
// use cases and errors into statuses, and decides nothing.
package web

import (
	"context"
	"log/slog"
	"net/http"
	"net/netip"
	"strings"

	"github.com/danielgtaylor/huma/v2"
	"github.com/danielgtaylor/huma/v2/adapters/humago"

	"trug"
	"trug/internal/app"
)

// Options are how a server behaves.
type Options struct {
	// Secure is set when everybody reaches the server by HTTPS although it
	// serves plain HTTP itself, since a proxy before it does not say so.
	Secure bool
	// Proxies are the addresses whose X-Forwarded headers are believed.
	Proxies []netip.Prefix
	// OwnAuthority is set when the certificate is of an authority that only
	// this server's people trust: no browser may be told to insist on it.
	OwnAuthority bool
	Log          *slog.Logger
}

// server holds what handlers share.
type server struct {
	app *app.App
	Options
}

// Handler returns the whole server over the app.
func Handler(a *app.App, o Options) http.Handler {
	if o.Log == nil {
		o.Log = slog.New(slog.DiscardHandler)
	}
	s := &server{app: a, Options: o}
	mux := http.NewServeMux()
	api := humago.New(mux, apiConfig())
	for _, r := range s.routes() {
		r.register(s, api, mux)
	}
	sameOrigin := http.NewCrossOriginProtection()
	sameOrigin.SetDenyHandler(http.HandlerFunc(s.refuseOthers))
	return s.reach(s.headers(s.recovered(sameOrigin.Handler(s.entered(mux)))))
}

// apiConfig describes the API; its description is served at /api/openapi.json.
func apiConfig() huma.Config {
	c := huma.DefaultConfig("Trug", "1")
	c.OpenAPIPath, c.DocsPath, c.SchemasPath = "/api/openapi", "", ""
	c.CreateHooks = nil // no $schema links in answers
	c.Info.Description = "The seasons, records and deposits of a fungal bioblitz."
	return c
}

// OpenAPI returns the description of the API as JSON, for the front end's types.
func OpenAPI() ([]byte, error) {
	mux := http.NewServeMux()
	api := humago.New(mux, apiConfig())
	s := &server{}
	for _, r := range s.routes() {
		r.register(s, api, mux)
	}
	return api.OpenAPI().MarshalJSON()
}

// refuseOthers answers what a page of another site sent by somebody's browser.
func (s *server) refuseOthers(w http.ResponseWriter, r *http.Request) {
	s.fail(w, r, trug.Errorf(trug.NotAllowed, "", "This was sent from another site, so nothing was done. Open this season's own page and do it there."))
}

type viewerKey struct{}

// viewer returns who asks.
func viewer(ctx context.Context) app.Viewer {
	v, _ := ctx.Value(viewerKey{}).(app.Viewer)
	return v
}

// entered works out who asks from the session cookie, and from where.
func (s *server) entered(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if strings.HasPrefix(r.URL.Path, assetsPath) {
			next.ServeHTTP(w, r)
			return
		}
		v, err := s.app.Viewer(r.Context(), s.cookie(r, sessionCookie))
		if err != nil {
			s.fail(w, r, err)
			return
		}
		ctx := context.WithValue(r.Context(), viewerKey{}, v)
		next.ServeHTTP(w, r.WithContext(context.WithValue(ctx, callerKey{}, s.marked(w, r, s.callerOf(r)))))
	})
}

// routeOf returns the pattern that a request matched, never its address:
// addresses bear identifiers, and logs outlive permissions.
func routeOf(r *http.Request) string {
	if r.Pattern != "" {
		return r.Pattern
	}
	return r.Method
}
