package certs

import (
	"context"
	"crypto/tls"
	"crypto/x509"
	"encoding/pem"
	"io"
	"log"
	"log/slog"
	"net"
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/letsencrypt/challtestsrv"
	"github.com/letsencrypt/pebble/v2/ca"
	"github.com/letsencrypt/pebble/v2/db"
	"github.com/letsencrypt/pebble/v2/va"
	"github.com/letsencrypt/pebble/v2/wfe"
)

// port returns an address of this machine on which nothing listens, and its port.
func port(t *testing.T) (string, int) {
	t.Helper()
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	defer l.Close()
	return l.Addr().String(), l.Addr().(*net.TCPAddr).Port
}

// testAuthority runs a whole ACME server (letsencrypt/pebble, in this process)
// for which every name leads to this machine and whose proofs go to the given
// ports. It returns its directory, the file with the root of its own address,
// and the root of what it issues.
func testAuthority(t *testing.T, plainPort, tlsPort int) (directory, root string, issued *x509.CertPool) {
	t.Helper()
	t.Setenv("PEBBLE_VA_NOSLEEP", "1")
	quiet := log.New(io.Discard, "", 0)
	dns, _ := port(t)
	names, err := challtestsrv.New(challtestsrv.Config{Log: quiet, DNSAddrs: []string{dns}})
	if err != nil {
		t.Fatal(err)
	}
	names.SetDefaultDNSIPv6("")
	names.SetDefaultDNSIPv4("127.0.0.1")
	go names.Run()
	t.Cleanup(names.Shutdown)

	store := db.NewMemoryStore()
	authority := ca.New(quiet, store, "", "ecdsa", 0, 1, map[string]ca.Profile{"default": {Description: "for the test"}})
	proofs := va.New(quiet, plainPort, tlsPort, true, dns, store)
	front := wfe.New(quiet, store, proofs, authority, []string{"pebble.test"}, true, false, 1, 1)
	server := httptest.NewTLSServer(front.Handler())
	t.Cleanup(server.Close)
	root = filepath.Join(t.TempDir(), "root.pem")
	if err := os.WriteFile(root, pem.EncodeToMemory(&pem.Block{Type: "CERTIFICATE", Bytes: server.Certificate().Raw}), 0o600); err != nil {
		t.Fatal(err)
	}
	issued = x509.NewCertPool()
	if !issued.AppendCertsFromPEM(authority.GetRootCert(0).PEM()) {
		t.Fatal("the authority has no root")
	}
	return server.URL + wfe.DirectoryPath, root, issued
}

// A name gets its certificate from a real ACME server: by a proof on the TLS
// port, and where that does not answer, over plain HTTP; at the next start it
// is still there.
func TestACertificateByACME(t *testing.T) {
	for _, way := range []string{"tls-alpn-01", "http-01"} {
		t.Run(way, func(t *testing.T) {
			tlsAddress, tlsPort := port(t)
			plainAddress, plainPort := port(t)
			proofPort := tlsPort
			if way == "http-01" {
				_, proofPort = port(t) // nobody answers there
			}
			directory, root, issued := testAuthority(t, plainPort, proofPort)
			a := ACME{Names: []string{"Fungi.Example.org"}, Directory: directory, Root: root, Folder: t.TempDir(), Log: slog.New(slog.NewTextHandler(t.Output(), nil))}
			ready, err := ByACME(a)
			if err != nil {
				t.Fatal(err)
			}
			plain := ready.Plain(http.NotFoundHandler())
			if way == "http-01" {
				serveOn(t, plainAddress, nil, http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
					r.Host, _, _ = net.SplitHostPort(r.Host) // on port 80 the name comes without a port
					plain.ServeHTTP(w, r)
				}))
			}
			serveOn(t, tlsAddress, ready.Config, http.HandlerFunc(func(w http.ResponseWriter, _ *http.Request) { _, _ = io.WriteString(w, "spores") }))
			ready.Fetch(t.Context())

			c := &http.Client{Timeout: time.Minute, Transport: &http.Transport{ForceAttemptHTTP2: true, TLSClientConfig: &tls.Config{RootCAs: issued},
				DialContext: func(ctx context.Context, network, _ string) (net.Conn, error) {
					return (&net.Dialer{}).DialContext(ctx, network, tlsAddress)
				}}}
			got, err := c.Get("https://fungi.example.org/")
			if err != nil {
				t.Fatal(err)
			}
			defer got.Body.Close()
			if body, _ := io.ReadAll(got.Body); string(body) != "spores" || got.ProtoMajor != 2 {
				t.Errorf("answered %q by HTTP/%d", body, got.ProtoMajor)
			}
			if names := got.TLS.PeerCertificates[0].DNSNames; !slices.Equal(names, []string{"fungi.example.org"}) {
				t.Errorf("the certificate is for %v", names)
			}
			if _, err := c.Get("https://other.example.org/"); err == nil {
				t.Error("a name that was not given got a certificate")
			}
			again, err := ByACME(ACME{Names: a.Names, Directory: "https://127.0.0.1:1/none", Folder: a.Folder, Log: a.Log})
			if err != nil {
				t.Fatal(err)
			}
			kept, err := again.GetCertificate(&tls.ClientHelloInfo{ServerName: "fungi.example.org", CipherSuites: []uint16{tls.TLS_ECDHE_ECDSA_WITH_AES_128_GCM_SHA256},
				SignatureSchemes: []tls.SignatureScheme{tls.ECDSAWithP256AndSHA256}, SupportedCurves: []tls.CurveID{tls.CurveP256}})
			if err != nil || !kept.Leaf.Equal(got.TLS.PeerCertificates[0]) {
				t.Errorf("after a second start the certificate is not there: %v", err)
			}
		})
	}
}

func serveOn(t *testing.T, address string, keys *tls.Config, h http.Handler) {
	t.Helper()
	l, err := net.Listen("tcp", address)
	if err != nil {
		t.Fatal(err)
	}
	s := &http.Server{Handler: h, TLSConfig: keys, ErrorLog: log.New(io.Discard, "", 0)}
	go func() {
		if keys != nil {
			_ = s.ServeTLS(l, "", "")
			return
		}
		_ = s.Serve(l)
	}()
	t.Cleanup(func() { s.Close() })
}

// What can't be a public name, and a root that is none, are refused at the start.
func TestACMERefusesWhatCannotBe(t *testing.T) {
	for _, name := range []string{"", "trug", "https://fungi.example.org", "fungi.example.org:443", "*.example.org", "[::1]"} {
		if _, err := ByACME(ACME{Names: []string{name}}); err == nil || !strings.Contains(err.Error(), "fungi.example.org") {
			t.Errorf("%q: %v", name, err)
		}
	}
	none := filepath.Join(t.TempDir(), "root.pem")
	if _, err := ByACME(ACME{Names: []string{"fungi.example.org"}, Root: none}); err == nil {
		t.Error("a root that is not there was taken")
	}
	if err := os.WriteFile(none, []byte("oak"), 0o600); err != nil {
		t.Fatal(err)
	}
	if _, err := ByACME(ACME{Names: []string{"fungi.example.org"}, Root: none}); err == nil {
		t.Error("a root that is none was taken")
	}
}
