package web

import (
	"crypto/tls"
	"io/fs"
	"net/http"
	"net/http/httptest"
	"net/netip"
	"regexp"
	"strings"
	"testing"

	"trug/internal/app/apptest"
)

// Every answer, the refusals too, forbids framing, sniffing, and scripts that
// did not come from here as a file.
func TestHeaders(t *testing.T) {
	s := apptest.New(t, "2026-10-10")
	h := Handler(s.App, Options{})
	for _, path := range []string{"/", "/api/season", "/api/none", "/api/records", "/enter/none", "/assets/none.js", "/trug.svg"} {
		w := httptest.NewRecorder()
		h.ServeHTTP(w, asked(path, "192.0.2.7:4000", &tls.ConnectionState{}))
		policy := w.Header().Get("Content-Security-Policy")
		for _, part := range []string{"default-src 'none'", "script-src 'self' 'wasm-unsafe-eval';", "style-src 'self';", "frame-ancestors 'none'", "base-uri 'none'", "require-trusted-types-for 'script'"} {
			if !strings.Contains(policy, part) {
				t.Errorf("%s: the policy lacks %s: %q", path, part, policy)
			}
		}
		if strings.Contains(strings.ReplaceAll(policy, "'wasm-unsafe-eval'", ""), "unsafe") || strings.Contains(policy, "data:") || strings.Contains(policy, "*") {
			t.Errorf("%s: the policy lets too much in: %q", path, policy)
		}
		for name, want := range map[string]string{"X-Content-Type-Options": "nosniff", "X-Frame-Options": "DENY", "Referrer-Policy": "no-referrer",
			"Cross-Origin-Opener-Policy": "same-origin", "Access-Control-Allow-Origin": "", "Cross-Origin-Resource-Policy": "same-origin"} {
			if got := w.Header().Get(name); got != want {
				t.Errorf("%s: %s is %q, want %q", path, name, got, want)
			}
		}
		if c := w.Header().Get("Cache-Control"); c == "" || strings.HasPrefix(path, "/api/") && c != "no-store" {
			t.Errorf("%s may be kept on the way: Cache-Control %q", path, c)
		}
	}
}

// The page that is served has no script or style of its own: the policy would
// stop it, and nobody would see why.
func TestPageHasNothingInline(t *testing.T) {
	inline := regexp.MustCompile(`(?i)<script(?:\s[^>]*)?>\s*[^<\s]|<style|\sstyle\s*=|\son[a-z]+\s*=|javascript:|data:`)
	if !inline.MatchString(`<script>x()</script>`) || !inline.MatchString(`<b onclick="x()">`) {
		t.Fatal("the pattern finds nothing")
	}
	pages := 0
	err := fs.WalkDir(dist, "dist", func(name string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() || !strings.HasSuffix(name, ".html") {
			return err
		}
		pages++
		text, err := dist.ReadFile(name)
		if found := inline.Find(text); found != nil {
			t.Errorf("%s: %q stands inline", name, found)
		}
		return err
	})
	if err != nil || pages == 0 {
		t.Fatalf("%d pages looked at: %v", pages, err)
	}
}

// asked asks for a page as it comes from an address, over TLS or not.
func asked(path, from string, over *tls.ConnectionState, forwarded ...string) *http.Request {
	r := httptest.NewRequest("GET", "http://trug.test"+path, nil)
	r.RemoteAddr, r.TLS = from, over
	for i := 0; i+1 < len(forwarded); i += 2 {
		r.Header.Add(forwarded[i], forwarded[i+1])
	}
	return r
}

// What is forwarded is believed of named proxies alone.
func TestHowARequestCameHere(t *testing.T) {
	proxies := []netip.Prefix{netip.MustParsePrefix("10.0.0.0/8"), netip.MustParsePrefix("::1/128")}
	for name, c := range map[string]struct {
		r      *http.Request
		secure bool
		host   string
		from   string
	}{
		"plain":                     {asked("/", "192.0.2.7:4000", nil), false, "trug.test", "192.0.2.7"},
		"TLS":                       {asked("/", "[2001:db8::7]:4000", &tls.ConnectionState{}), true, "trug.test", "2001:db8::7"},
		"a stranger's word":         {asked("/", "192.0.2.7:4000", nil, "X-Forwarded-Proto", "https", "X-Forwarded-For", "198.51.100.1", "X-Forwarded-Host", "bank.test"), false, "trug.test", "192.0.2.7"},
		"a proxy's word":            {asked("/", "10.0.0.1:4000", nil, "X-Forwarded-Proto", "https", "X-Forwarded-For", "198.51.100.1", "X-Forwarded-Host", "fungi.example.org"), true, "fungi.example.org", "198.51.100.1"},
		"a proxy over IPv6":         {asked("/", "[::1]:4000", nil, "X-Forwarded-Proto", "https", "X-Forwarded-For", "2001:db8::9"), true, "trug.test", "2001:db8::9"},
		"two proxies":               {asked("/", "10.0.0.1:4000", nil, "X-Forwarded-For", "203.0.113.5, 198.51.100.1, 10.0.0.9"), false, "trug.test", "198.51.100.1"},
		"two proxies, two headers":  {asked("/", "10.0.0.1:4000", nil, "X-Forwarded-For", "198.51.100.1", "X-Forwarded-For", "10.0.0.9"), false, "trug.test", "198.51.100.1"},
		"an address made up before": {asked("/", "10.0.0.1:4000", nil, "X-Forwarded-For", "10.0.0.4, 198.51.100.1"), false, "trug.test", "198.51.100.1"},
		"nonsense":                  {asked("/", "10.0.0.1:4000", nil, "X-Forwarded-For", "oak", "X-Forwarded-Proto", "gopher", "X-Forwarded-Host", "a b/<c>"), false, "trug.test", "10.0.0.1"},
		"the browser first, http":   {asked("/", "10.0.0.1:4000", nil, "X-Forwarded-Proto", "https, http"), false, "trug.test", "10.0.0.1"},
	} {
		got := (&server{Options: Options{Proxies: proxies}}).howReached(c.r)
		if got.secure != c.secure || got.host != c.host || got.from.String() != c.from {
			t.Errorf("%s: %+v, want secure %v, host %s, from %s", name, got, c.secure, c.host, c.from)
		}
	}
}

// Cookies are marked Secure whenever the browser speaks HTTPS, and only then:
// over plain HTTP in a village hall they would never come back.
func TestCookiesAreSecureOverHTTPS(t *testing.T) {
	s := apptest.New(t, "2026-10-10")
	proxies := []netip.Prefix{netip.MustParsePrefix("10.0.0.1/32")}
	link := "/enter/" + s.EntryToken(s.As("R08").Person.ID)
	for name, c := range map[string]struct {
		o      Options
		r      *http.Request
		secure bool
	}{
		"plain":          {Options{}, asked(link, "192.0.2.7:4000", nil), false},
		"TLS":            {Options{}, asked(link, "192.0.2.7:4000", &tls.ConnectionState{}), true},
		"said to be":     {Options{Secure: true}, asked(link, "192.0.2.7:4000", nil), true},
		"proxied":        {Options{Proxies: proxies}, asked(link, "10.0.0.1:4000", nil, "X-Forwarded-Proto", "https"), true},
		"pretended":      {Options{Proxies: proxies}, asked(link, "10.0.0.2:4000", nil, "X-Forwarded-Proto", "https"), false},
		"proxied, plain": {Options{Proxies: proxies}, asked(link, "10.0.0.1:4000", nil, "X-Forwarded-Proto", "http"), false},
	} {
		w := httptest.NewRecorder()
		Handler(s.App, c.o).ServeHTTP(w, c.r)
		cookies := w.Result().Cookies()
		if len(cookies) == 0 {
			t.Fatalf("%s: no cookie", name)
		}
		for _, k := range cookies {
			if k.Secure != c.secure || !k.HttpOnly || k.SameSite != http.SameSiteLaxMode || k.Path != "/" || k.Domain != "" {
				t.Errorf("%s: %+v, want Secure %v", name, k, c.secure)
			}
		}
	}
}

// A browser is told to insist on HTTPS only where that can't lock people out.
func TestInsistingOnHTTPS(t *testing.T) {
	s := apptest.New(t, "2026-10-10")
	for _, c := range []struct {
		host string
		o    Options
		over *tls.ConnectionState
		want bool
	}{
		{"fungi.example.org", Options{}, &tls.ConnectionState{}, true},
		{"fungi.example.org", Options{Secure: true}, nil, true},
		{"fungi.example.org", Options{}, nil, false},
		{"fungi.example.org", Options{OwnAuthority: true}, &tls.ConnectionState{}, false},
		{"trug.local:8443", Options{}, &tls.ConnectionState{}, false},
		{"hall.home.arpa", Options{}, &tls.ConnectionState{}, false},
		{"192.168.4.1:8443", Options{}, &tls.ConnectionState{}, false},
		{"[fd00::1]", Options{}, &tls.ConnectionState{}, false},
		{"localhost", Options{}, &tls.ConnectionState{}, false},
	} {
		r := asked("/", "192.0.2.7:4000", c.over)
		r.Host = c.host
		w := httptest.NewRecorder()
		Handler(s.App, c.o).ServeHTTP(w, r)
		if got := w.Header().Get("Strict-Transport-Security") != ""; got != c.want {
			t.Errorf("%s with %+v: insists %v, want %v", c.host, c.o, got, c.want)
		}
	}
}

// What another site makes a browser send is refused on every route that
// changes something, by what browsers say of themselves: over HTTPS
// Sec-Fetch-Site, over plain HTTP Origin.
func TestOtherSitesChangeNothing(t *testing.T) {
	s := apptest.New(t, "2026-10-10")
	h := Handler(s.App, Options{})
	cookie := &http.Cookie{Name: sessionCookie, Value: s.Token("R02")}
	tried := 0
	for _, r := range (&server{app: s.App}).routes() {
		if r.method == "GET" || r.method == "HEAD" || r.method == "OPTIONS" {
			continue // they read; what reading changes is the next test's question
		}
		for name, set := range map[string]func(http.Header){
			"cross-site":      func(h http.Header) { h.Set("Sec-Fetch-Site", "cross-site") },
			"same-site":       func(h http.Header) { h.Set("Sec-Fetch-Site", "same-site") },
			"another origin":  func(h http.Header) { h.Set("Origin", "http://elsewhere.test") },
			"another port":    func(h http.Header) { h.Set("Origin", "http://trug.test:81") },
			"a sandbox":       func(h http.Header) { h.Set("Origin", "null") },
			"an origin alike": func(h http.Header) { h.Set("Origin", "http://trug.test.elsewhere.test") },
		} {
			q := httptest.NewRequest(r.method, "http://trug.test"+pathParameter.ReplaceAllString(r.path, "x"), strings.NewReader("{}"))
			q.Header.Set("Content-Type", "text/plain") // what a form of another site may send
			q.AddCookie(cookie)
			set(q.Header)
			w := httptest.NewRecorder()
			h.ServeHTTP(w, q)
			if w.Code != http.StatusForbidden || !strings.Contains(w.Body.String(), "another site") {
				t.Errorf("%s %s from %s: %d %s", r.method, r.path, name, w.Code, w.Body)
			}
			tried++
		}
	}
	if tried < 100 {
		t.Errorf("only %d requests were tried", tried)
	}
}

// Nothing changes by being read: a link on another site can make a browser
// read. The entry links alone give a cookie.
func TestReadingChangesNothing(t *testing.T) {
	s := apptest.New(t, "2026-10-10")
	h := Handler(s.App, Options{})
	requests := samples(t, s, h)
	before, err := s.LastChange(t.Context(), s.Demo.Season.ID)
	if err != nil {
		t.Fatal(err)
	}
	for _, r := range (&server{app: s.App}).routes() {
		if r.method != "GET" && r.method != "HEAD" && r.method != "OPTIONS" {
			continue
		}
		newClient(t, s, h, "R02").do(r.method, requests[r.method+" "+r.path]().path, nil, "")
	}
	after, err := s.LastChange(t.Context(), s.Demo.Season.ID)
	if err != nil || !after.Equal(before) {
		t.Errorf("reading every route wrote something at %v (before: %v, %v)", after, before, err)
	}
}
