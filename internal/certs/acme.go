package certs

import (
	"context"
	"crypto/tls"
	"crypto/x509"
	"fmt"
	"log/slog"
	"net/http"
	"os"
	"slices"
	"strings"
	"time"

	"golang.org/x/crypto/acme"
	"golang.org/x/crypto/acme/autocert"
)

// ACME says which names get a certificate, and from whom.
type ACME struct {
	// Names are the public names of this machine.
	Names []string
	// Directory is the authority's address; empty means Let's Encrypt's.
	Directory string
	// Root is a PEM file with a further root by which the authority's own
	// address is trusted; empty for none.
	Root string
	// Folder keeps the account's key and the certificates.
	Folder string
	Log    *slog.Logger
}

// Ready gets certificates when they are first needed, and renews them from
// thirty days before their end. The names prove themselves on the TLS port
// (tls-alpn-01) or, where that fails, through the handler for plain HTTP that
// Plain wraps (http-01).
type Ready struct {
	*tls.Config
	names   []string
	log     *slog.Logger
	manager *autocert.Manager
}

// ByACME prepares certificates by ACME and asks nobody yet.
func ByACME(a ACME) (*Ready, error) {
	a.Names = slices.Clone(a.Names)
	for i, name := range a.Names {
		a.Names[i] = strings.ToLower(strings.TrimSuffix(name, "."))
		if !strings.Contains(a.Names[i], ".") || strings.ContainsAny(a.Names[i], ":/* ") {
			return nil, fmt.Errorf("%q is no public name: give it as fungi.example.org, without https:// and port", name)
		}
	}
	client := &acme.Client{DirectoryURL: a.Directory, HTTPClient: &http.Client{Timeout: time.Minute}}
	if a.Root != "" {
		pem, err := os.ReadFile(a.Root)
		if err != nil {
			return nil, fmt.Errorf("the root that --acme-root names can't be read: %w", err)
		}
		pool, err := x509.SystemCertPool()
		if err != nil {
			pool = x509.NewCertPool()
		}
		if !pool.AppendCertsFromPEM(pem) {
			return nil, fmt.Errorf("%s holds no certificate in PEM", a.Root)
		}
		client.HTTPClient.Transport = &http.Transport{Proxy: http.ProxyFromEnvironment, ForceAttemptHTTP2: true,
			TLSClientConfig: &tls.Config{RootCAs: pool, MinVersion: tls.VersionTLS12}}
	}
	m := &autocert.Manager{Prompt: autocert.AcceptTOS, Cache: autocert.DirCache(a.Folder), HostPolicy: autocert.HostWhitelist(a.Names...), Client: client}
	c := config(m.GetCertificate)
	c.NextProtos = append(c.NextProtos, acme.ALPNProto)
	return &Ready{Config: c, names: a.Names, log: a.Log, manager: m}, nil
}

// Plain answers the authority's questions over plain HTTP and leaves the rest to next.
func (r *Ready) Plain(next http.Handler) http.Handler { return r.manager.HTTPHandler(next) }

// Fetch gets the certificates now, so that what stands in the way is told to
// the operator at the start, not to the first visitor.
func (r *Ready) Fetch(ctx context.Context) {
	for _, name := range r.names {
		hello := &tls.ClientHelloInfo{ServerName: name, SupportedCurves: []tls.CurveID{tls.CurveP256},
			SignatureSchemes: []tls.SignatureScheme{tls.ECDSAWithP256AndSHA256}, CipherSuites: []uint16{tls.TLS_ECDHE_ECDSA_WITH_AES_128_GCM_SHA256}}
		c, err := r.manager.GetCertificate(hello)
		switch {
		case ctx.Err() != nil:
			return
		case err != nil:
			r.log.Error("no certificate could be got: check that the name leads to this machine, and that ports 80 and 443 reach it from outside; it is tried again at the next visit", "name", name, "error", err)
		default:
			r.log.Info("the certificate is here", "name", name, "until", c.Leaf.NotAfter.Format(time.DateOnly))
		}
	}
}
