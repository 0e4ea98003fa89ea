package cli

import (
	"bytes"
	"context"
	"crypto/tls"
	"crypto/x509"
	"errors"
	"io"
	"log/slog"
	"net"
	"net/http"
	"path/filepath"
	"regexp"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/spf13/cobra"

	"trug/internal/app"
)

// heard is what a command prints while it runs.
type heard struct {
	mu sync.Mutex
	b  bytes.Buffer
}

func (h *heard) Write(p []byte) (int, error) {
	h.mu.Lock()
	defer h.mu.Unlock()
	return h.b.Write(p)
}

func (h *heard) String() string {
	h.mu.Lock()
	defer h.mu.Unlock()
	return h.b.String()
}

// free returns an address on which nothing listens.
func free(t *testing.T) string {
	t.Helper()
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	defer l.Close()
	return l.Addr().String()
}

// A hall without internet: the page about trust comes over plain HTTP, and a
// device that took the certificate from it gets the season by HTTPS.
func TestServingAHall(t *testing.T) {
	ctx, stop := context.WithCancel(t.Context())
	defer stop()
	out, said := &heard{}, &heard{}
	s := &streams{out: out, err: said}
	listen, plain := free(t), free(t)
	f := serving{data: filepath.Join(t.TempDir(), "data"), roomEach: 1, reaching: reaching{listen: listen, plain: plain, ownAuthority: true, changed: func(string) bool { return true }}}
	ended := make(chan error, 1)
	go func() { ended <- s.serve(ctx, f, nil, nil, s.greetSeason) }()

	page := eventually(t, "http://"+plain+"/enter/none", ended)
	shown := regexp.MustCompile(`([0-9A-F]{2}:){31}[0-9A-F]{2}`).FindString(page)
	if shown == "" || !strings.Contains(out.String(), shown) {
		t.Errorf("the page shows the fingerprint %q, the terminal said\n%s", shown, out)
	}
	if !strings.Contains(page, `href="https://`+listen+`/enter/none"`) {
		t.Error("the page does not lead on")
	}
	if !strings.Contains(out.String(), ".local:"+portOf(listen)+"/enter/setup-") {
		t.Errorf("no way in was printed:\n%s", out)
	}
	trusting := &http.Client{Timeout: time.Minute}
	if _, err := trusting.Get("https://" + listen + "/"); err == nil {
		t.Error("a device that trusts nothing is let through")
	}
	roots := x509.NewCertPool()
	roots.AppendCertsFromPEM([]byte(eventually(t, "http://"+plain+"/trust/authority.pem", ended)))
	trusting.Transport = &http.Transport{TLSClientConfig: &tls.Config{RootCAs: roots}}
	got, err := trusting.Get("https://" + listen + "/api/setup")
	if err != nil {
		t.Fatal(err)
	}
	got.Body.Close()
	if got.StatusCode != 200 || got.Header.Get("Strict-Transport-Security") != "" {
		t.Errorf("%d %v", got.StatusCode, got.Header)
	}
	trusting.CloseIdleConnections()
	stop()
	if err := <-ended; err != nil {
		t.Errorf("the server ended with %v", err)
	}
	if strings.Contains(said.String(), "127.0.0.1") {
		t.Errorf("an address was logged: %s", said)
	}
}

// eventually asks until the server answers.
func eventually(t *testing.T, address string, ended chan error) string {
	t.Helper()
	for range 600 {
		select {
		case err := <-ended:
			t.Fatalf("the server ended: %v", err)
		default:
		}
		if got, err := http.Get(address); err == nil {
			defer got.Body.Close()
			body, err := io.ReadAll(got.Body)
			if err != nil {
				t.Fatal(err)
			}
			return string(body)
		}
		time.Sleep(50 * time.Millisecond)
	}
	t.Fatal("the server does not answer")
	return ""
}

// Flags that don't go together are refused with what to do.
func TestWaysToBeReached(t *testing.T) {
	for name, c := range map[string]struct {
		args []string
		says string
	}{
		"two ways":             {[]string{"--own-authority", "--own-name", "fungi.example.org"}, "choose one way"},
		"a certificate alone":  {[]string{"--certificate", "a.pem"}, "go together"},
		"a key alone":          {[]string{"--key", "a.pem"}, "go together"},
		"no such files":        {[]string{"--certificate", "none.pem", "--key", "none.pem"}, "no file none.pem"},
		"a name without a dot": {[]string{"--own-name", "trug"}, "no public name"},
		"a proxy by name":      {[]string{"--behind-proxy", "proxy"}, "10.0.0.0/8"},
		"a directory alone":    {[]string{"--acme-directory", "https://127.0.0.1/"}, "--own-name"},
		"plain beside plain":   {[]string{"--listen-plain", ":80"}, "goes with HTTPS"},
	} {
		t.Run(name, func(t *testing.T) {
			var f serving
			c1 := &cobra.Command{}
			f.add(c1, t.TempDir(), "127.0.0.1:8080")
			if err := c1.ParseFlags(c.args); err != nil {
				t.Fatal(err)
			}
			if _, err := f.front(f.address, f.data, slog.New(slog.DiscardHandler)); err == nil || !strings.Contains(err.Error(), c.says) {
				t.Errorf("said %v, want something with %q", err, c.says)
			}
		})
	}
}

// The usual ports come with each way, and given ones stay.
func TestUsualPorts(t *testing.T) {
	for _, c := range []struct{ args, listen, plain string }{
		{"", "127.0.0.1:8080", ""},
		{"--own-authority", ":8443", ":8080"},
		{"--own-authority --listen 192.168.4.1:443 --listen-plain 192.168.4.1:80", "192.168.4.1:443", "192.168.4.1:80"},
		{"--own-name fungi.example.org", ":443", ":80"},
		{"--own-name fungi.example.org --listen-plain -", ":443", ""},
		{"--behind-proxy 127.0.0.1", "127.0.0.1:8080", ""},
	} {
		var f serving
		command := &cobra.Command{}
		f.add(command, t.TempDir(), "127.0.0.1:8080")
		if err := command.ParseFlags(strings.Fields(c.args)); err != nil {
			t.Fatal(err)
		}
		if _, err := f.front(f.address, f.data, slog.New(slog.DiscardHandler)); err != nil {
			t.Fatal(err)
		}
		if f.listen != c.listen || f.plain != c.plain {
			t.Errorf("%s: listens on %s and %s, want %s and %s", c.args, f.listen, f.plain, c.listen, c.plain)
		}
	}
}

// Who serves plain HTTP to a network is told what that means; who does not, is not.
func TestPlainHTTPIsTold(t *testing.T) {
	for _, c := range []struct {
		listen, address string
		proxies         []string
		told            bool
	}{
		{"127.0.0.1:8080", "", nil, false},
		{"localhost:8080", "", nil, false},
		{":8080", "", nil, true},
		{"192.168.4.1:80", "", nil, true},
		{":8080", "https://fungi.example.org", nil, false},
		{":8080", "", []string{"10.0.0.1"}, false},
	} {
		f := reaching{listen: c.listen, proxies: c.proxies, changed: func(string) bool { return true }}
		w, err := f.front(c.address, t.TempDir(), slog.New(slog.DiscardHandler))
		if err != nil || (w.says != "") != c.told {
			t.Errorf("%+v: says %q, %v", c, w.says, err)
		}
	}
}

// Ports that are taken are told, and nothing stays open.
func TestTakenPorts(t *testing.T) {
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	defer l.Close()
	other := free(t)
	f := reaching{listen: other, plain: l.Addr().String()}
	if _, _, err := f.open(front{plain: http.NotFoundHandler()}); err == nil || !strings.Contains(err.Error(), "--listen-plain") {
		t.Errorf("said %v", err)
	}
	again, err := net.Listen("tcp", other)
	if err != nil {
		t.Fatalf("the first port stays open: %v", err)
	}
	again.Close()
	s := &streams{out: io.Discard, err: io.Discard}
	f2 := serving{data: filepath.Join(t.TempDir(), "data"), roomEach: 1, reaching: reaching{listen: l.Addr().String(), changed: func(string) bool { return true }}}
	if err := s.serve(t.Context(), f2, nil, nil, func(context.Context, *app.App, string) error { return errors.New("greeted") }); err == nil || !strings.Contains(err.Error(), "--listen") {
		t.Errorf("said %v", err)
	}
}
