package web

import (
	"net/http"
	"net/http/httptest"
	"regexp"
	"strings"
	"testing"
)

var aHall = Hall{Title: "Trug on nab, until 2027-05-01", Fingerprint: "AA:BB", Names: []string{"nab.local", "nab.home.arpa"}, Ends: "1 May 2027",
	DER: []byte{0x30, 1}, PEM: []byte("-----BEGIN CERTIFICATE-----"), Port: "8443"}

func askPlain(h http.Handler, method, host, path string) *httptest.ResponseRecorder {
	r := httptest.NewRequest(method, "http://"+host+path, nil)
	w := httptest.NewRecorder()
	h.ServeHTTP(w, r)
	return w
}

// Over plain HTTP every address leads to the page about trust, and from it on
// to what was asked for, at an address that the authority vouches for.
func TestTheHallExplainsItself(t *testing.T) {
	for _, c := range []struct{ host, path, to string }{
		{"192.168.4.1:8080", "/", "https://192.168.4.1:8443/"},
		{"192.168.4.1:8080", "/enter/abc?x=1", "https://192.168.4.1:8443/enter/abc?x=1"},
		{"nab.local:8080", "/book", "https://nab.local:8443/book"},
		{"[fd00::1]:8080", "/", "https://[fd00::1]:8443/"},
		{"bank.example.com", "/", "https://nab.local:8443/"},
		{"203.0.113.9", "/", "https://nab.local:8443/"},
		{"nab.local", "//elsewhere.test/", "https://nab.local:8443/"},
	} {
		w := askPlain(aHall.Plain(), "GET", c.host, c.path)
		if w.Code == http.StatusMovedPermanently || w.Code == http.StatusTemporaryRedirect {
			continue // the path is cleaned first
		}
		if want := `href="` + c.to + `"`; !strings.Contains(w.Body.String(), want) {
			t.Errorf("%s%s: %d, leads on to %s, want %s", c.host, c.path, w.Code, regexp.MustCompile(`href="https[^"]*"`).FindString(w.Body.String()), want)
		}
		for _, part := range []string{"AA:BB", "nab.home.arpa", "1 May 2027", "Android", "iPhone", "Windows", "Mac", "Linux"} {
			if !strings.Contains(w.Body.String(), part) {
				t.Errorf("the page does not speak of %s", part)
			}
		}
		if n := strings.Count(w.Body.String(), "Take it away:"); n != 5 {
			t.Errorf("taking away is told %d times", n)
		}
		if policy := w.Header().Get("Content-Security-Policy"); !strings.Contains(policy, "default-src 'none'") || strings.Contains(w.Body.String(), "style=") || strings.Contains(w.Body.String(), "<script") {
			t.Errorf("policy %q", policy)
		}
	}
	if w := askPlain(aHall.Plain(), "POST", "nab.local", "/api/leave"); w.Code != http.StatusForbidden {
		t.Errorf("a POST over plain HTTP: %d", w.Code)
	}
}

// The certificate comes as devices take it, and beside the web app as well.
func TestTheHallsCertificate(t *testing.T) {
	app := http.HandlerFunc(func(w http.ResponseWriter, _ *http.Request) { w.WriteHeader(http.StatusTeapot) })
	for _, h := range []http.Handler{aHall.Plain(), aHall.Beside(app)} {
		w := askPlain(h, "GET", "nab.local", "/trust/authority.crt")
		if w.Header().Get("Content-Type") != "application/x-x509-ca-cert" || w.Body.String() != string(aHall.DER) {
			t.Errorf("%v %q", w.Header(), w.Body)
		}
		if w := askPlain(h, "GET", "nab.local", "/trust/authority.pem"); w.Body.String() != string(aHall.PEM) {
			t.Errorf("as text: %q", w.Body)
		}
		if w := askPlain(h, "GET", "nab.local", "/trust"); !strings.Contains(w.Body.String(), "Take it away:") {
			t.Errorf("/trust: %d", w.Code)
		}
	}
	if w := askPlain(aHall.Beside(app), "GET", "nab.local", "/book"); w.Code != http.StatusTeapot {
		t.Errorf("the app is not reached: %d", w.Code)
	}
}

// Plain HTTP leads to HTTPS, and what would change something is refused.
func TestToHTTPS(t *testing.T) {
	for _, c := range []struct{ host, port, asked, path, to string }{
		{"", "443", "fungi.example.org", "/book?text=a", "https://fungi.example.org/book?text=a"},
		{"", "8443", "fungi.example.org:8080", "/", "https://fungi.example.org:8443/"},
		{"", "8443", "[fd00::1]:8080", "/", "https://[fd00::1]:8443/"},
		{"fungi.example.org", "443", "elsewhere.test", "/", "https://fungi.example.org/"},
		{"", "443", "fungi.example.org", "//elsewhere.test/x", "https://fungi.example.org/"},
	} {
		w := askPlain(ToHTTPS(c.host, c.port), "GET", c.asked, c.path)
		if got := w.Header().Get("Location"); w.Code != http.StatusPermanentRedirect || got != c.to {
			t.Errorf("%s%s: %d to %q, want %s", c.asked, c.path, w.Code, got, c.to)
		}
		if w.Header().Get("Strict-Transport-Security") != "" {
			t.Error("browsers ignore it over plain HTTP; it must not be sent (RFC 6797, section 7.2)")
		}
	}
	if w := askPlain(ToHTTPS("", "443"), "POST", "fungi.example.org", "/api/leave"); w.Code != http.StatusForbidden {
		t.Errorf("POST: %d", w.Code)
	}
}
