package web

import (
	"context"
	"net"
	"net/http"
	"net/netip"
	"strings"
)

// reached is how a request came here: over what, under which name, from which
// address. It is worked out once, and what depends on it (the cookies' Secure,
// whether a browser is told to insist on HTTPS, the slowing of guesses) asks here.
type reached struct {
	// secure is set when the browser speaks HTTPS, to us or to the proxy before us.
	secure bool
	// host is the name that the browser asked for, with its port if it is a special one.
	host string
	// from is the address of the browser; invalid when it can't be told.
	from netip.Addr
}

type reachedKey struct{}

// reachedBy returns how the request of the context came here.
func reachedBy(ctx context.Context) reached {
	r, _ := ctx.Value(reachedKey{}).(reached)
	return r
}

// reach works out how requests came here and hands it on in their context.
func (s *server) reach(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		how := s.howReached(r)
		r = r.WithContext(context.WithValue(r.Context(), reachedKey{}, how))
		r.Host = how.host // the check of other sites compares with it
		next.ServeHTTP(w, r)
	})
}

// howReached believes what X-Forwarded-For, -Proto and -Host say only when the
// connection comes from a proxy that the operator named. Of several addresses
// the last one counts that no named proxy has: those before it were written by
// whoever sent the request.
func (s *server) howReached(r *http.Request) reached {
	how := reached{secure: r.TLS != nil || s.Secure, host: r.Host, from: addressOf(r.RemoteAddr)}
	if !s.proxied(how.from) {
		return how
	}
	hops := strings.Split(strings.Join(r.Header.Values("X-Forwarded-For"), ","), ",")
	for i := len(hops) - 1; i >= 0 && s.proxied(how.from); i-- {
		from := addressOf(strings.TrimSpace(hops[i]))
		if !from.IsValid() {
			break
		}
		how.from = from
	}
	switch last(r.Header, "X-Forwarded-Proto") {
	case "https":
		how.secure = true
	case "http":
		how.secure = false
	}
	if host := last(r.Header, "X-Forwarded-Host"); plausibleHost(host) {
		how.host = host
	}
	return how
}

// proxied reports whether the address is that of a named proxy.
func (s *server) proxied(a netip.Addr) bool {
	for _, p := range s.Proxies {
		if a.IsValid() && p.Contains(a) {
			return true
		}
	}
	return false
}

// last returns the last value of a header that bears several, in small letters:
// the nearest proxy writes the last.
func last(h http.Header, name string) string {
	all := strings.Split(strings.Join(h.Values(name), ","), ",")
	return strings.ToLower(strings.TrimSpace(all[len(all)-1]))
}

// addressOf reads an address with or without a port, IPv6 in brackets or not.
func addressOf(text string) netip.Addr {
	if host, _, err := net.SplitHostPort(text); err == nil {
		text = host
	}
	a, err := netip.ParseAddr(strings.Trim(text, "[]"))
	if err != nil {
		return netip.Addr{}
	}
	return a.Unmap().WithZone("")
}

// plausibleHost reports whether text can be a host with or without a port.
func plausibleHost(text string) bool {
	return text != "" && len(text) < 256 && strings.Trim(text, "abcdefghijklmnopqrstuvwxyz0123456789-.:[]") == ""
}

// mayInsist reports whether browsers may be told to use nothing but HTTPS for
// the host. An address or a name that only holds in one house may be another
// machine's tomorrow, without a certificate that browsers know.
func mayInsist(host string) bool {
	if h, _, err := net.SplitHostPort(host); err == nil {
		host = h
	}
	if addressOf(host).IsValid() || !strings.Contains(host, ".") {
		return false
	}
	for _, local := range []string{".local", ".home.arpa", ".localhost", ".internal", ".test", ".invalid", ".lan"} {
		if strings.HasSuffix(strings.ToLower(host), local) {
			return false
		}
	}
	return true
}
