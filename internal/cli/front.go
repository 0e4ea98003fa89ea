package cli

import (
	"context"
	"crypto/tls"
	"errors"
	"fmt"
	"io"
	"log/slog"
	"net"
	"net/http"
	"net/netip"
	"os"
	"path/filepath"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"trug/internal/certs"
	"trug/internal/web"
)

// Folders of a data folder that hold keys.
const (
	authorityFolder = "authority" // of the hall's own
	acmeFolder      = "acme"      // account and certificates
)

// reaching are the flags that say how browsers reach the server.
type reaching struct {
	listen, plain    string
	certificate, key string
	ownNames         []string
	directory, root  string
	ownAuthority     bool
	proxies          []string
	changed          func(flag string) bool
}

func (f *reaching) add(c *cobra.Command, listen string) {
	c.Flags().StringVar(&f.listen, "listen", listen, "address and port to listen on; with HTTPS :443, with --own-authority :8443, unless given")
	c.Flags().StringVar(&f.plain, "listen-plain", "", "with HTTPS: where plain HTTP is led on to it; :80, with --own-authority :8080, unless given; - for nowhere")
	c.Flags().StringVar(&f.certificate, "certificate", "", "serve HTTPS with this certificate (PEM, with what lies between it and its root); read anew when it changes")
	c.Flags().StringVar(&f.key, "key", "", "the certificate's key (PEM)")
	c.Flags().StringSliceVar(&f.ownNames, "own-name", nil, "serve HTTPS under this public name, with a certificate got and renewed by ACME; giving it accepts the authority's terms")
	c.Flags().StringVar(&f.directory, "acme-directory", "", "ask this ACME authority instead of Let's Encrypt")
	c.Flags().StringVar(&f.root, "acme-root", "", "file with a root (PEM) by which that authority's address is trusted")
	c.Flags().BoolVar(&f.ownAuthority, "own-authority", false, "serve HTTPS without internet: a certificate authority of the server's own, which each device trusts once")
	c.Flags().StringSliceVar(&f.proxies, "behind-proxy", nil, "believe X-Forwarded-For, -Proto and -Host from these addresses, such as 127.0.0.1 or 10.0.0.0/8")
	f.changed = c.Flags().Changed
}

// front is how the server stands towards browsers.
type front struct {
	keys    *tls.Config // nil for plain HTTP
	options web.Options
	// beside adds pages of its own to the app's; nil for none.
	beside func(http.Handler) http.Handler
	// plain answers plain HTTP beside HTTPS; nil for nothing.
	plain http.Handler
	// address is where people come in when no public address was given.
	address string
	// says is what the operator has to know; empty for nothing.
	says string
	// begin does what waits until the server listens.
	begin func(context.Context)
}

// front chooses among the ways to be reached. address is the public one, data
// the data folder.
func (f *reaching) front(address, data string, log *slog.Logger) (front, error) {
	ways := 0
	for _, given := range []bool{f.certificate != "" || f.key != "", len(f.ownNames) > 0, f.ownAuthority} {
		if given {
			ways++
		}
	}
	if ways > 1 {
		return front{}, errors.New("choose one way to HTTPS: --certificate with --key, --own-name, or --own-authority")
	}
	proxies, err := prefixes(f.proxies)
	if err != nil {
		return front{}, err
	}
	f.defaults(ways > 0)
	o := web.Options{Proxies: proxies, Log: log}
	switch {
	case len(f.ownNames) > 0:
		return f.byACME(o, data, log)
	case f.ownAuthority:
		return f.byOwnAuthority(o, data)
	case ways > 0:
		return f.byGiven(o, log)
	}
	if f.directory != "" || f.root != "" {
		return front{}, errors.New("--acme-directory and --acme-root go with --own-name: name the machine's public name")
	}
	if f.plain != "" {
		return front{}, errors.New("--listen-plain goes with HTTPS: without it --listen is plain HTTP already")
	}
	o.Secure = strings.HasPrefix(address, "https://")
	w := front{options: o}
	if !o.Secure && len(proxies) == 0 && !local(f.listen) {
		w.says = "This is plain HTTP: others on the network can read along, and browsers on phones give no place, no camera picture while you aim,\nand no work out of reach. --own-authority serves HTTPS without internet, --own-name with it.\n"
	}
	return w, nil
}

// defaults sets the usual ports of HTTPS where none were given.
func (f *reaching) defaults(https bool) {
	listen, plain := ":443", ":80"
	if f.ownAuthority {
		listen, plain = ":8443", ":8080"
	}
	if https && !f.changed("listen") {
		f.listen = listen
	}
	if https && f.plain == "" {
		f.plain = plain
	}
	if f.plain == "-" {
		f.plain = ""
	}
}

func (f *reaching) byGiven(o web.Options, log *slog.Logger) (front, error) {
	if f.certificate == "" || f.key == "" {
		return front{}, errors.New("--certificate and --key go together: name both files")
	}
	keys, err := certs.Given(f.certificate, f.key, log)
	if err != nil {
		return front{}, err
	}
	w := front{keys: keys, options: o, plain: web.ToHTTPS("", portOf(f.listen))}
	c, err := keys.GetCertificate(&tls.ClientHelloInfo{})
	if err == nil && len(c.Leaf.DNSNames) > 0 {
		w.address = withPort("https://"+c.Leaf.DNSNames[0], f.listen)
	}
	return w, err
}

func (f *reaching) byACME(o web.Options, data string, log *slog.Logger) (front, error) {
	ready, err := certs.ByACME(certs.ACME{Names: f.ownNames, Directory: f.directory, Root: f.root, Folder: filepath.Join(data, acmeFolder), Log: log})
	if err != nil {
		return front{}, err
	}
	return front{keys: ready.Config, options: o, plain: ready.Plain(web.ToHTTPS("", portOf(f.listen))), begin: ready.Fetch,
		address: withPort("https://"+f.ownNames[0], f.listen)}, nil
}

func (f *reaching) byOwnAuthority(o web.Options, data string) (front, error) {
	host, _ := os.Hostname() // without a name it is called trug
	a, made, err := certs.OpenAuthority(filepath.Join(data, authorityFolder), host, time.Now, addresses)
	if err != nil {
		return front{}, err
	}
	o.OwnAuthority = true
	h := web.Hall{Title: a.Title(), Fingerprint: a.Fingerprint(), Names: a.Names(), Ends: a.Ends().Format("2 January 2006"), DER: a.DER(), PEM: a.PEM(), Port: portOf(f.listen)}
	w := front{keys: a.Config(), options: o, beside: h.Beside, plain: h.Plain(), address: withPort("https://"+a.Names()[0], f.listen)}
	var b strings.Builder
	if made {
		fmt.Fprintln(&b, "A certificate authority was made for this folder. Each device trusts it once.")
	}
	fmt.Fprintf(&b, "Devices that don't trust this server yet first open one of\n")
	for _, ip := range addresses() {
		if certs.Private(ip) && !ip.IsLoopback() && !ip.IsLinkLocalUnicast() {
			fmt.Fprintf(&b, "  http://%s/\n", net.JoinHostPort(ip.String(), portOf(f.plain)))
		}
	}
	fmt.Fprintf(&b, "  http://%s/\nand compare the fingerprint (SHA-256), which you read out to them:\n  %s\n", net.JoinHostPort(a.Names()[0], portOf(f.plain)), a.Fingerprint())
	if left := time.Until(a.Ends()); left < 30*24*time.Hour {
		fmt.Fprintf(&b, "The authority ends on %s; after that, started again, the server makes a new one, to be trusted anew.\n", h.Ends)
	}
	w.says = b.String()
	return w, nil
}

// addresses lists the machine's addresses.
func addresses() []netip.Addr {
	list, _ := net.InterfaceAddrs() // without a network there are none
	var out []netip.Addr
	for _, x := range list {
		if p, err := netip.ParsePrefix(x.String()); err == nil {
			out = append(out, p.Addr())
		}
	}
	return out
}

// prefixes reads addresses and networks.
func prefixes(list []string) ([]netip.Prefix, error) {
	var out []netip.Prefix
	for _, text := range list {
		p, err := netip.ParsePrefix(text)
		if a, err2 := netip.ParseAddr(text); err2 == nil {
			p, err = netip.PrefixFrom(a, a.BitLen()), nil
		}
		if err != nil {
			return nil, fmt.Errorf("--behind-proxy %s is no address: give it as 127.0.0.1, ::1 or 10.0.0.0/8", text)
		}
		out = append(out, p.Masked())
	}
	return out, nil
}

func portOf(listen string) string {
	_, port, err := net.SplitHostPort(listen)
	if err != nil {
		return ""
	}
	return port
}

// withPort adds the port of listen unless it is the usual one of HTTPS.
func withPort(address, listen string) string {
	if port := portOf(listen); port != "443" && port != "" {
		return address + ":" + port
	}
	return address
}

// local reports whether only this machine reaches the address.
func local(listen string) bool {
	host, _, err := net.SplitHostPort(listen)
	ip, err2 := netip.ParseAddr(host)
	return err == nil && (host == "localhost" || err2 == nil && ip.IsLoopback())
}

// run serves on what was opened until ctx ends.
func (w front) run(ctx context.Context, main, plain net.Listener, app http.Handler, log *slog.Logger) error {
	if w.beside != nil {
		app = w.beside(app)
	}
	first := web.Server(app, w.keys, log)
	servers := []*http.Server{first}
	ended := make(chan error, 2)
	go func() {
		if w.keys != nil {
			ended <- first.ServeTLS(main, "", "")
			return
		}
		ended <- first.Serve(main)
	}()
	if plain != nil {
		second := web.Server(w.plain, nil, log)
		servers = append(servers, second)
		go func() { ended <- second.Serve(plain) }()
	}
	if w.begin != nil {
		go w.begin(ctx)
	}
	var err error
	select {
	case err = <-ended:
	case <-ctx.Done():
	}
	grace, cancel := context.WithTimeout(context.WithoutCancel(ctx), 10*time.Second)
	defer cancel()
	for _, s := range servers {
		err = errors.Join(err, s.Shutdown(grace))
	}
	return err
}

// open listens where the flags say.
func (f *reaching) open(w front) (main, plain net.Listener, err error) {
	if main, err = net.Listen("tcp", f.listen); err != nil {
		return nil, nil, fmt.Errorf("nothing can listen on %s (%w): choose another with --listen", f.listen, err)
	}
	if w.plain == nil || f.plain == "" {
		return main, nil, nil
	}
	if plain, err = net.Listen("tcp", f.plain); err != nil {
		return nil, nil, errors.Join(fmt.Errorf("nothing can listen on %s (%w): choose another with --listen-plain, or - for none", f.plain, err), main.Close())
	}
	return main, plain, nil
}

// closeAll closes listeners that will not be served.
func closeAll(list ...io.Closer) (err error) {
	for _, l := range list {
		err = errors.Join(err, l.Close())
	}
	return err
}
