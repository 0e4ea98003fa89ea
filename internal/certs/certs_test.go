package certs

import (
	"bytes"
	"crypto/ecdsa"
	"crypto/elliptic"
	"crypto/rand"
	"crypto/tls"
	"crypto/x509"
	"crypto/x509/pkix"
	"encoding/pem"
	"errors"
	"log/slog"
	"math/big"
	"net"
	"net/netip"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"
)

// pair writes a certificate for the name, and its key, into a folder.
func pair(t *testing.T, folder, name string, at time.Time) (certificate, key string) {
	t.Helper()
	k, err := ecdsa.GenerateKey(elliptic.P256(), rand.Reader)
	if err != nil {
		t.Fatal(err)
	}
	c := &x509.Certificate{SerialNumber: big.NewInt(1), Subject: pkix.Name{CommonName: name}, DNSNames: []string{name}, NotBefore: at, NotAfter: at.Add(time.Hour)}
	der, err := x509.CreateCertificate(rand.Reader, c, c, &k.PublicKey, k)
	if err != nil {
		t.Fatal(err)
	}
	secret, err := x509.MarshalPKCS8PrivateKey(k)
	if err != nil {
		t.Fatal(err)
	}
	certificate, key = filepath.Join(folder, "c.pem"), filepath.Join(folder, "k.pem")
	for path, block := range map[string]*pem.Block{certificate: {Type: "CERTIFICATE", Bytes: der}, key: {Type: "PRIVATE KEY", Bytes: secret}} {
		if err := os.WriteFile(path, pem.EncodeToMemory(block), 0o600); err != nil {
			t.Fatal(err)
		}
		if err := os.Chtimes(path, at, at); err != nil {
			t.Fatal(err)
		}
	}
	return certificate, key
}

// A given certificate is taken in anew when its files change; files that are
// half written leave the one before.
func TestGivenFilesAreReadAnew(t *testing.T) {
	folder := t.TempDir()
	var said bytes.Buffer
	now := time.Now()
	certificate, key := pair(t, folder, "first.example.org", now)
	c, err := Given(certificate, key, slog.New(slog.NewTextHandler(&said, nil)))
	if err != nil {
		t.Fatal(err)
	}
	name := func() string {
		got, err := c.GetCertificate(&tls.ClientHelloInfo{})
		if err != nil {
			t.Fatal(err)
		}
		return got.Leaf.DNSNames[0]
	}
	if name() != "first.example.org" {
		t.Errorf("serves %s", name())
	}
	pair(t, folder, "second.example.org", now.Add(time.Minute))
	if name() != "second.example.org" {
		t.Errorf("after a change it serves %s", name())
	}
	if err := os.WriteFile(key, []byte("half"), 0o600); err != nil {
		t.Fatal(err)
	}
	if name() != "second.example.org" || strings.Count(said.String(), "WARN") != 1 {
		t.Errorf("with a broken key it serves %s and says %s", name(), said.String())
	}
	if err := os.Remove(key); err != nil {
		t.Fatal(err)
	}
	if name() != "second.example.org" {
		t.Errorf("without a key it serves %s", name())
	}
	if c.MinVersion < tls.VersionTLS12 {
		t.Error("older than TLS 1.2 is spoken")
	}
}

// Files that can't be a certificate and its key are refused by name.
func TestGivenFilesThatAreNone(t *testing.T) {
	folder, other := t.TempDir(), t.TempDir()
	certificate, key := pair(t, folder, "a.example.org", time.Now())
	_, otherKey := pair(t, other, "a.example.org", time.Now())
	for name, c := range map[string][2]string{"none": {filepath.Join(folder, "none.pem"), key}, "swapped": {key, certificate}, "not its key": {certificate, otherKey}} {
		if _, err := Given(c[0], c[1], slog.New(slog.DiscardHandler)); err == nil || !strings.Contains(err.Error(), ".pem") {
			t.Errorf("%s: %v", name, err)
		}
	}
}

// hall makes an authority with a clock that can be set.
func hall(t *testing.T, folder string, now *time.Time, addresses ...string) (*Authority, bool) {
	t.Helper()
	a, made, err := OpenAuthority(folder, "Sallow-Down.lan", func() time.Time { return *now }, func() []netip.Addr {
		var out []netip.Addr
		for _, x := range addresses {
			out = append(out, netip.MustParseAddr(x))
		}
		return out
	})
	if err != nil {
		t.Fatal(err)
	}
	return a, made
}

// trusting verifies what a server presents as a device does that trusts the authority.
func trusting(a *Authority, c *tls.Certificate, name string, at time.Time) error {
	roots := x509.NewCertPool()
	roots.AppendCertsFromPEM(a.PEM())
	_, err := c.Leaf.Verify(x509.VerifyOptions{Roots: roots, DNSName: name, CurrentTime: at})
	return err
}

// The hall's authority vouches for this machine's names and private addresses.
func TestTheHallIsTrusted(t *testing.T) {
	now := time.Now()
	folder := filepath.Join(t.TempDir(), "authority")
	a, made := hall(t, folder, &now, "192.168.4.1", "fd12::7", "127.0.0.1", "203.0.113.9")
	if !made {
		t.Error("it says that the authority was there")
	}
	c, err := a.get(nil)
	if err != nil {
		t.Fatal(err)
	}
	for _, name := range []string{"sallow-down.local", "sallow-down.home.arpa", "192.168.4.1", "fd12::7", "127.0.0.1"} {
		if err := trusting(a, c, name, now); err != nil {
			t.Errorf("%s: %v", name, err)
		}
	}
	for _, at := range []time.Time{now.Add(-47 * time.Hour), now.Add(9 * 24 * time.Hour)} { // phones' clocks go wrong
		if err := trusting(a, c, "sallow-down.local", at); err != nil {
			t.Errorf("at %v: %v", at, err)
		}
	}
	if trusting(a, c, "203.0.113.9", now) == nil {
		t.Error("a public address is vouched for")
	}
	if life := c.Leaf.NotAfter.Sub(now); life > serverLasts {
		t.Errorf("the server's certificate lasts %v", life)
	}
	info, err := os.Stat(filepath.Join(folder, authorityFile))
	if err != nil || info.Mode().Perm() != 0o600 {
		t.Errorf("the authority's key lies open: %v %v", info.Mode(), err)
	}
	if bytes.Contains(a.PEM(), []byte("PRIVATE")) || !bytes.Equal(a.DER(), a.certificate.Raw) || len(a.Fingerprint()) != 95 {
		t.Error("what is handed out is not the certificate alone")
	}
	again, made := hall(t, folder, &now)
	if made || again.Fingerprint() != a.Fingerprint() {
		t.Error("a second start made another authority")
	}
}

// Whoever steals the authority's key can still not pass for a site of the
// internet, nor for another machine's name, nor make another authority.
func TestTheHallsAuthorityIsBound(t *testing.T) {
	now := time.Now()
	a, _ := hall(t, t.TempDir(), &now)
	forge := func(change func(*x509.Certificate)) *x509.Certificate {
		k, err := ecdsa.GenerateKey(elliptic.P256(), rand.Reader)
		if err != nil {
			t.Fatal(err)
		}
		c := &x509.Certificate{SerialNumber: serial(), NotBefore: now, NotAfter: now.Add(time.Hour), ExtKeyUsage: []x509.ExtKeyUsage{x509.ExtKeyUsageServerAuth}}
		change(c)
		der, err := x509.CreateCertificate(rand.Reader, c, a.certificate, &k.PublicKey, a.key)
		if err != nil {
			t.Fatal(err)
		}
		leaf, err := x509.ParseCertificate(der)
		if err != nil {
			t.Fatal(err)
		}
		return leaf
	}
	named := func(name string) *x509.Certificate {
		return forge(func(c *x509.Certificate) { c.DNSNames = []string{name} })
	}
	if err := trusting(a, &tls.Certificate{Leaf: named("sallow-down.local")}, "sallow-down.local", now); err != nil {
		t.Fatalf("the forging itself fails: %v", err)
	}
	for _, name := range []string{"bank.example.com", "example.org", "printer.local", "sallow-down.local.example.org"} {
		err := trusting(a, &tls.Certificate{Leaf: named(name)}, name, now)
		var invalid x509.CertificateInvalidError
		if !errors.As(err, &invalid) || invalid.Reason != x509.CANotAuthorizedForThisName {
			t.Errorf("%s: %v", name, err)
		}
	}
	public := forge(func(c *x509.Certificate) { c.IPAddresses = []net.IP{net.ParseIP("203.0.113.9")} })
	if trusting(a, &tls.Certificate{Leaf: public}, "203.0.113.9", now) == nil {
		t.Error("a public address is vouched for")
	}
	if !a.certificate.MaxPathLenZero || a.certificate.MaxPathLen != 0 || a.certificate.KeyUsage != x509.KeyUsageCertSign {
		t.Error("the authority may make further authorities")
	}
	if !a.certificate.PermittedDNSDomainsCritical {
		t.Error("devices that don't know the constraints would not refuse the authority")
	}
}

// The server's certificate renews itself; the authority ends after the season
// and is then made anew, with another name in the devices' lists.
func TestTheHallRenews(t *testing.T) {
	now := time.Date(2026, 9, 19, 10, 0, 0, 0, time.UTC)
	folder := t.TempDir()
	a, _ := hall(t, folder, &now, "10.0.0.5")
	for day := range 195 {
		c, err := a.get(nil)
		if err != nil {
			t.Fatalf("day %d: %v", day, err)
		}
		if err := trusting(a, c, "10.0.0.5", now); err != nil {
			t.Fatalf("day %d: %v", day, err)
		}
		if left := c.Leaf.NotAfter.Sub(now); left < 4*24*time.Hour {
			t.Fatalf("day %d: %v are left", day, left)
		}
		now = now.Add(24 * time.Hour)
	}
	now = a.Ends().Add(time.Hour)
	if _, err := a.get(nil); err == nil {
		t.Error("an authority that has ended goes on")
	}
	b, made := hall(t, folder, &now, "10.0.0.5")
	if !made || b.Fingerprint() == a.Fingerprint() || b.Title() == a.Title() {
		t.Errorf("at the next start the ended authority is still used: %s", b.Title())
	}
	// A clock that was set back must not leave a certificate that begins in the future.
	c, _ := b.get(nil)
	now = now.Add(-49 * time.Hour)
	if d, err := b.get(nil); err != nil || d == c {
		t.Errorf("two days back: %v", err)
	}
}

// A machine that moves to another network is vouched for there as well.
func TestTheHallMoves(t *testing.T) {
	now := time.Now()
	here := []netip.Addr{netip.MustParseAddr("192.168.4.1")}
	a, _, err := OpenAuthority(t.TempDir(), "", func() time.Time { return now }, func() []netip.Addr { return here })
	if err != nil {
		t.Fatal(err)
	}
	if a.Names()[0] != "trug.local" {
		t.Errorf("without a name it is %v", a.Names())
	}
	if c, _ := a.get(nil); trusting(a, c, "127.0.0.1", now) == nil {
		t.Fatal("the address is vouched for before it is there")
	}
	here = append(here, netip.MustParseAddr("127.0.0.1"))
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	defer l.Close()
	conn, err := net.Dial("tcp", l.Addr().String())
	if err != nil {
		t.Fatal(err)
	}
	defer conn.Close()
	c, err := a.get(&tls.ClientHelloInfo{Conn: conn})
	if err != nil || trusting(a, c, "127.0.0.1", now) != nil {
		t.Errorf("after the move: %v", err)
	}
}

// A file that holds no authority is told, not overwritten.
func TestABrokenAuthority(t *testing.T) {
	folder := t.TempDir()
	path := filepath.Join(folder, authorityFile)
	if err := os.WriteFile(path, []byte("oak"), 0o600); err != nil {
		t.Fatal(err)
	}
	if _, _, err := OpenAuthority(folder, "x", time.Now, func() []netip.Addr { return nil }); err == nil || !strings.Contains(err.Error(), path) {
		t.Errorf("said %v", err)
	}
	if text, _ := os.ReadFile(path); string(text) != "oak" {
		t.Error("it was overwritten")
	}
}
