// Package certs holds where the server's certificate comes from: files that
// are given, an authority of the public internet by ACME (RFC 8555), or an
// authority of this server's own for places without internet. It listens to
// nothing and answers nobody.
package certs

import (
	"crypto/tls"
	"errors"
	"fmt"
	"io/fs"
	"log/slog"
	"os"
	"sync"
	"time"
)

// config is what all ways share: TLS 1.2 with forward secrecy and
// authenticated ciphers, or TLS 1.3, which has no others.
func config(get func(*tls.ClientHelloInfo) (*tls.Certificate, error)) *tls.Config {
	return &tls.Config{
		GetCertificate: get,
		MinVersion:     tls.VersionTLS12,
		NextProtos:     []string{"h2", "http/1.1"},
		CipherSuites: []uint16{
			tls.TLS_ECDHE_ECDSA_WITH_AES_128_GCM_SHA256, tls.TLS_ECDHE_RSA_WITH_AES_128_GCM_SHA256,
			tls.TLS_ECDHE_ECDSA_WITH_AES_256_GCM_SHA384, tls.TLS_ECDHE_RSA_WITH_AES_256_GCM_SHA384,
			tls.TLS_ECDHE_ECDSA_WITH_CHACHA20_POLY1305_SHA256, tls.TLS_ECDHE_RSA_WITH_CHACHA20_POLY1305_SHA256,
		},
	}
}

// Given serves a certificate and key from PEM files and takes them in anew
// when they change. The error names the file and what to do. What goes wrong
// later is told to log, and the certificate before stays.
func Given(certificate, key string, log *slog.Logger) (*tls.Config, error) {
	g := &given{certificate: certificate, key: key, log: log}
	stamp, err := g.stamp()
	if err != nil {
		return nil, err
	}
	pair, err := g.load()
	if err != nil {
		return nil, err
	}
	g.pair, g.loaded = pair, stamp
	return config(g.get), nil
}

type given struct {
	certificate, key string
	log              *slog.Logger

	mu     sync.Mutex
	pair   *tls.Certificate
	loaded [2]version
}

// version tells one state of a file from the next.
type version struct {
	at   time.Time
	size int64
}

func (g *given) stamp() (out [2]version, err error) {
	for i, name := range []string{g.certificate, g.key} {
		info, err := os.Stat(name)
		if errors.Is(err, fs.ErrNotExist) {
			return out, fmt.Errorf("there is no file %s: name the certificate with --certificate and its key with --key", name)
		} else if err != nil {
			return out, err
		}
		out[i] = version{info.ModTime(), info.Size()}
	}
	return out, nil
}

func (g *given) load() (*tls.Certificate, error) {
	pair, err := tls.LoadX509KeyPair(g.certificate, g.key)
	if err != nil {
		return nil, fmt.Errorf("%s and %s are no certificate and key in PEM that belong together: %w", g.certificate, g.key, err)
	}
	return &pair, nil
}

func (g *given) get(*tls.ClientHelloInfo) (*tls.Certificate, error) {
	g.mu.Lock()
	defer g.mu.Unlock()
	stamp, err := g.stamp()
	if err != nil || stamp == g.loaded {
		return g.pair, nil // files are away for a moment while they are replaced
	}
	pair, err := g.load()
	g.loaded = stamp
	if err != nil {
		g.log.Warn("the certificate's files have changed but can't be read; the one before stays", "error", err)
		return g.pair, nil
	}
	g.log.Info("the certificate was read anew", "until", pair.Leaf.NotAfter.Format(time.DateOnly))
	g.pair = pair
	return pair, nil
}
