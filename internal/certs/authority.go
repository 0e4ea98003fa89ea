package certs

import (
	"bytes"
	"crypto/ecdsa"
	"crypto/elliptic"
	"crypto/rand"
	"crypto/sha256"
	"crypto/tls"
	"crypto/x509"
	"crypto/x509/pkix"
	"encoding/pem"
	"errors"
	"fmt"
	"io/fs"
	"math/big"
	"net"
	"net/netip"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"time"
)

// How long certificates last, and how far they begin before their making: a
// phone's clock may be behind. The authority outlasts a season and then ends
// by itself, since people forget to take it away.
const (
	authorityLasts = 200 * 24 * time.Hour
	serverLasts    = 10 * 24 * time.Hour
	renewFrom      = 5 * 24 * time.Hour
	backdated      = 48 * time.Hour
)

// privateRanges are the addresses that an authority of our own may vouch for:
// those that mean another machine in each house (RFC 1918, 3927, 4193, 4291).
var privateRanges = []netip.Prefix{
	netip.MustParsePrefix("10.0.0.0/8"), netip.MustParsePrefix("172.16.0.0/12"), netip.MustParsePrefix("192.168.0.0/16"),
	netip.MustParsePrefix("169.254.0.0/16"), netip.MustParsePrefix("127.0.0.0/8"),
	netip.MustParsePrefix("fc00::/7"), netip.MustParsePrefix("fe80::/10"), netip.MustParsePrefix("::1/128"),
}

// Private reports whether an authority of our own may vouch for the address.
func Private(a netip.Addr) bool {
	return slices.ContainsFunc(privateRanges, func(p netip.Prefix) bool { return p.Contains(a.Unmap().WithZone("")) })
}

// Authority is a certificate authority of this server's own, for a hall
// without internet. By its name constraints (RFC 5280, section 4.2.1.10) it
// can vouch for this machine's two names and for private addresses, never for
// a site of the internet, whoever gets hold of its key.
type Authority struct {
	certificate *x509.Certificate
	key         *ecdsa.PrivateKey
	clock       func() time.Time
	addresses   func() []netip.Addr

	mu      sync.Mutex
	serving *tls.Certificate
}

const authorityFile = "authority.pem"

// OpenAuthority reads the authority of a folder, or makes it for the machine's
// name where there is none or where it has ended; made tells which. addresses
// lists the machine's addresses whenever it is asked.
func OpenAuthority(folder, host string, clock func() time.Time, addresses func() []netip.Addr) (a *Authority, made bool, err error) {
	a = &Authority{clock: clock, addresses: addresses}
	path := filepath.Join(folder, authorityFile)
	text, err := os.ReadFile(path)
	switch {
	case err == nil:
		if err := a.read(text); err != nil {
			return nil, false, fmt.Errorf("%s holds no authority (%w): put it back from a backup, or remove it and let people trust a new one", path, err)
		}
	case !errors.Is(err, fs.ErrNotExist):
		return nil, false, fmt.Errorf("the authority can't be read: %w", err)
	}
	if a.certificate == nil || !clock().Before(a.certificate.NotAfter.Add(-24*time.Hour)) {
		made = true
		if text, err = a.create(host); err != nil {
			return nil, false, err
		}
		if err := keep(path, text); err != nil {
			return nil, false, fmt.Errorf("keep the authority: %w", err)
		}
	}
	_, err = a.get(nil)
	return a, made, err
}

// read takes certificate and key from PEM.
func (a *Authority) read(text []byte) error {
	pair, err := tls.X509KeyPair(text, text)
	if err != nil {
		return err
	}
	key, ok := pair.PrivateKey.(*ecdsa.PrivateKey)
	if !ok || !pair.Leaf.IsCA {
		return errors.New("it is no authority made here")
	}
	a.certificate, a.key = pair.Leaf, key
	return nil
}

// label makes of a machine's name what may stand in a name of the net.
func label(host string) string {
	host, _, _ = strings.Cut(strings.ToLower(host), ".")
	host = strings.Map(func(r rune) rune {
		if r >= 'a' && r <= 'z' || r >= '0' && r <= '9' || r == '-' {
			return r
		}
		return -1
	}, host)
	if host = strings.Trim(host, "-"); host == "" || host == "localhost" || len(host) > 60 {
		return "trug"
	}
	return host
}

// create makes the authority and returns it as PEM.
func (a *Authority) create(host string) ([]byte, error) {
	key, err := ecdsa.GenerateKey(elliptic.P256(), rand.Reader)
	if err != nil {
		return nil, err
	}
	host, now := label(host), a.clock()
	ends := now.Add(authorityLasts)
	t := &x509.Certificate{
		SerialNumber: serial(), Subject: pkix.Name{CommonName: fmt.Sprintf("Trug on %s, until %s", host, ends.Format(time.DateOnly))},
		NotBefore: now.Add(-backdated), NotAfter: ends,
		IsCA: true, BasicConstraintsValid: true, MaxPathLenZero: true,
		KeyUsage: x509.KeyUsageCertSign, ExtKeyUsage: []x509.ExtKeyUsage{x509.ExtKeyUsageServerAuth},
		PermittedDNSDomainsCritical: true,
		PermittedDNSDomains:         []string{host + ".local", host + ".home.arpa"},
	}
	for _, p := range privateRanges {
		t.PermittedIPRanges = append(t.PermittedIPRanges, &net.IPNet{IP: p.Addr().AsSlice(), Mask: net.CIDRMask(p.Bits(), p.Addr().BitLen())})
	}
	der, err := x509.CreateCertificate(rand.Reader, t, t, &key.PublicKey, key)
	if err != nil {
		return nil, err
	}
	if a.certificate, err = x509.ParseCertificate(der); err != nil {
		return nil, err
	}
	a.key = key
	secret, err := x509.MarshalPKCS8PrivateKey(key)
	if err != nil {
		return nil, err
	}
	return append(a.PEM(), pem.EncodeToMemory(&pem.Block{Type: "PRIVATE KEY", Bytes: secret})...), nil
}

func serial() *big.Int {
	b := make([]byte, 16)
	_, _ = rand.Read(b) // never fails
	return new(big.Int).SetBytes(append([]byte{1}, b...))
}

// keep writes a file that only its owner reads, whole or not at all.
func keep(path string, text []byte) error {
	if err := os.MkdirAll(filepath.Dir(path), 0o700); err != nil {
		return err
	}
	f, err := os.CreateTemp(filepath.Dir(path), authorityFile) // 0600
	if err != nil {
		return err
	}
	_, err = f.Write(text)
	if err := errors.Join(err, f.Sync(), f.Close()); err != nil {
		return errors.Join(err, os.Remove(f.Name()))
	}
	return os.Rename(f.Name(), path)
}

// Config serves with certificates of the authority.
func (a *Authority) Config() *tls.Config { return config(a.get) }

// get returns the server's certificate, made anew when it nears its end or
// when the machine has come to another address.
func (a *Authority) get(hello *tls.ClientHelloInfo) (*tls.Certificate, error) {
	a.mu.Lock()
	defer a.mu.Unlock()
	if a.serving != nil && a.clock().Before(a.serving.Leaf.NotAfter.Add(-renewFrom)) && a.clock().After(a.serving.Leaf.NotBefore) && a.vouches(hello) {
		return a.serving, nil
	}
	fresh, err := a.issue()
	if err != nil {
		return a.serving, err
	}
	a.serving = fresh
	return fresh, nil
}

// vouches reports whether the certificate names the address that the caller
// came to; addresses that none may name don't count.
func (a *Authority) vouches(hello *tls.ClientHelloInfo) bool {
	if hello == nil || hello.Conn == nil {
		return true
	}
	to, err := netip.ParseAddrPort(hello.Conn.LocalAddr().String())
	if err != nil || !Private(to.Addr()) {
		return true
	}
	ip := net.IP(to.Addr().Unmap().WithZone("").AsSlice())
	return slices.ContainsFunc(a.serving.Leaf.IPAddresses, ip.Equal)
}

// issue makes a certificate for the machine's names and addresses of now.
func (a *Authority) issue() (*tls.Certificate, error) {
	now := a.clock()
	if !now.Before(a.certificate.NotAfter) {
		return nil, errors.New("the hall's authority has ended: start the server again, and let people trust the new one")
	}
	key, err := ecdsa.GenerateKey(elliptic.P256(), rand.Reader)
	if err != nil {
		return nil, err
	}
	t := &x509.Certificate{
		SerialNumber: serial(), Subject: pkix.Name{CommonName: a.Names()[0]}, DNSNames: a.Names(),
		NotBefore: later(now.Add(-backdated), a.certificate.NotBefore), NotAfter: earlier(now.Add(serverLasts), a.certificate.NotAfter),
		KeyUsage: x509.KeyUsageDigitalSignature, ExtKeyUsage: []x509.ExtKeyUsage{x509.ExtKeyUsageServerAuth}, BasicConstraintsValid: true,
	}
	for _, ip := range a.addresses() {
		if Private(ip) {
			t.IPAddresses = append(t.IPAddresses, ip.Unmap().WithZone("").AsSlice())
		}
	}
	der, err := x509.CreateCertificate(rand.Reader, t, a.certificate, &key.PublicKey, a.key)
	if err != nil {
		return nil, err
	}
	leaf, err := x509.ParseCertificate(der)
	return &tls.Certificate{Certificate: [][]byte{der, a.certificate.Raw}, PrivateKey: key, Leaf: leaf}, err
}

func later(x, y time.Time) time.Time {
	if x.After(y) {
		return x
	}
	return y
}

func earlier(x, y time.Time) time.Time {
	if x.Before(y) {
		return x
	}
	return y
}

// Names are the machine's names that the authority vouches for, the one that
// machines announce by themselves (RFC 6762) first.
func (a *Authority) Names() []string { return slices.Clone(a.certificate.PermittedDNSDomains) }

// Title is the name under which devices list the authority.
func (a *Authority) Title() string { return a.certificate.Subject.CommonName }

// Ends is when the authority ends by itself.
func (a *Authority) Ends() time.Time { return a.certificate.NotAfter }

// DER is the authority's certificate, without its key.
func (a *Authority) DER() []byte { return bytes.Clone(a.certificate.Raw) }

// PEM is the same as text.
func (a *Authority) PEM() []byte {
	return pem.EncodeToMemory(&pem.Block{Type: "CERTIFICATE", Bytes: a.certificate.Raw})
}

// Fingerprint is the SHA-256 of the certificate in pairs of figures, as devices show it.
func (a *Authority) Fingerprint() string {
	sum := sha256.Sum256(a.certificate.Raw)
	return strings.ReplaceAll(fmt.Sprintf("% X", sum[:]), " ", ":")
}
