package web

import (
	"context"
	"crypto/tls"
	"errors"
	"io"
	"log"
	"log/slog"
	"net"
	"net/http"
	"strings"
	"sync"
	"time"
)

// limits are what connections may ask of the server. A browser opens one to six
// of them; a season's evening has some hundreds of browsers.
type limits struct {
	// connections are held open; beyond them those that have asked for nothing
	// yet are closed, the oldest first.
	connections int
	// head is how long the head of a request may take, TLS included; idle how
	// long a connection is kept for the next request.
	head, idle time.Duration
	headBytes  int
	// patience is how long a piece of an answer may wait to be taken. A body has
	// as long for each piece that comes in it at slowest bytes a second.
	patience time.Duration
	slowest  int64
}

// usual are the limits of every server; 4 kB a second is less than the slowest
// mobile network gives (common practice, no source).
var usual = limits{connections: 4096, head: 10 * time.Second, idle: 2 * time.Minute, headBytes: 32 << 10, patience: 30 * time.Second, slowest: 4 << 10}

// Server returns an HTTP server over the handler that slow, silent and
// greedy connections can't exhaust; nil keys for plain HTTP. It logs no addresses.
func Server(h http.Handler, keys *tls.Config, l *slog.Logger) *http.Server {
	return usual.server(h, keys, l)
}

func (l limits) server(h http.Handler, keys *tls.Config, to *slog.Logger) *http.Server {
	if to == nil {
		to = slog.New(slog.DiscardHandler)
	}
	c := &crowd{most: l.connections}
	return &http.Server{
		Handler: l.steady(h, c), TLSConfig: keys,
		ReadHeaderTimeout: l.head, IdleTimeout: l.idle, MaxHeaderBytes: l.headBytes,
		HTTP2:     &http.HTTP2Config{MaxConcurrentStreams: 100, SendPingTimeout: 30 * time.Second, PingTimeout: 15 * time.Second},
		ConnState: c.changed,
		ConnContext: func(ctx context.Context, conn net.Conn) context.Context {
			return context.WithValue(ctx, connKey{}, conn)
		},
		ErrorLog: log.New(faults{to}, "", 0),
	}
}

// faults passes on what net/http says of the server itself. What it says of a
// connection bears the address of somebody's phone.
type faults struct{ log *slog.Logger }

func (f faults) Write(line []byte) (int, error) {
	if text := string(line); strings.HasPrefix(text, "http: Accept error") {
		f.log.Error("no connection can be taken", "error", strings.TrimSpace(text))
	}
	return len(line), nil
}

type connKey struct{}

// crowd counts connections. Those from which something is awaited (a request,
// the next piece of a body) are the first to go when there are too many, the
// longest waiting first: so thousands of silent ones push out each other.
type crowd struct {
	most int

	mu      sync.Mutex
	open    map[net.Conn]bool
	waiting []net.Conn // the longest waiting first; may hold some that wait no more
}

// awaits notes that the next piece of a body is awaited, or that it is whole.
func (c *crowd) awaits(conn net.Conn, more bool) {
	state := http.StateActive
	if more {
		state = http.StateIdle
	}
	if conn != nil {
		c.changed(conn, state)
	}
}

func (c *crowd) changed(conn net.Conn, state http.ConnState) {
	c.mu.Lock()
	defer c.mu.Unlock()
	if c.open == nil {
		c.open = map[net.Conn]bool{}
	}
	switch state {
	case http.StateNew, http.StateIdle:
		c.open[conn] = true
		c.waiting = append(c.waiting, conn)
	case http.StateActive:
		c.open[conn] = false
	default:
		delete(c.open, conn)
	}
	if len(c.waiting) > 2*c.most {
		c.tidy()
	}
	for len(c.open) > c.most && len(c.waiting) > 0 {
		oldest := c.waiting[0]
		c.waiting = c.waiting[1:]
		if c.open[oldest] {
			delete(c.open, oldest)
			_ = oldest.Close()
		}
	}
}

// tidy keeps of each waiting connection its last place in the line.
func (c *crowd) tidy() {
	seen, kept := map[net.Conn]bool{}, []net.Conn{}
	for i := len(c.waiting) - 1; i >= 0; i-- {
		if conn := c.waiting[i]; c.open[conn] && !seen[conn] {
			seen[conn] = true
			kept = append(kept, conn)
		}
	}
	for i, j := 0, len(kept)-1; i < j; i, j = i+1, j-1 {
		kept[i], kept[j] = kept[j], kept[i]
	}
	c.waiting = kept
}

// steady gives up on bodies that drip and on answers that nobody takes.
func (l limits) steady(next http.Handler, c *crowd) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		control := http.NewResponseController(w)
		if r.Body != nil && r.Body != http.NoBody {
			d := &drip{limits: l, crowd: c, body: r.Body, control: control}
			d.conn, _ = r.Context().Value(connKey{}).(net.Conn)
			d.wait()
			r.Body = d
		}
		next.ServeHTTP(&taken{ResponseWriter: w, control: control, patience: l.patience}, r)
	})
}

// drip is a body that has to keep coming.
type drip struct {
	limits
	crowd   *crowd
	conn    net.Conn
	body    io.ReadCloser
	control *http.ResponseController
	// due is how many bytes have to have come before the wait begins anew.
	got, due int64
}

func (d *drip) Read(p []byte) (int, error) {
	n, err := d.body.Read(p)
	d.got += int64(n)
	switch err {
	case nil:
		d.wait()
	case io.EOF:
		// The connection is watched from here on for its end: no deadline may
		// end it while the answer is worked out.
		_ = d.control.SetReadDeadline(time.Time{})
		d.crowd.awaits(d.conn, false)
	}
	return n, err
}

// wait sets how long the next piece may take.
func (d *drip) wait() {
	d.crowd.awaits(d.conn, true)
	if d.got >= d.due {
		d.due = d.got + int64(d.patience.Seconds()*float64(d.slowest))
		_ = d.control.SetReadDeadline(time.Now().Add(d.patience))
	}
}

func (d *drip) Close() error { return d.body.Close() }

// errNotTaken is that the other side does not take an answer.
var errNotTaken = errors.New("the answer is not taken")

// taken is an answer whose every piece has to be taken.
type taken struct {
	http.ResponseWriter
	control  *http.ResponseController
	patience time.Duration
}

func (t *taken) Write(p []byte) (int, error) {
	const piece = 64 << 10
	sent := 0
	for {
		part := p[sent:min(sent+piece, len(p))]
		_ = t.control.SetWriteDeadline(time.Now().Add(t.patience))
		n, err := t.ResponseWriter.Write(part)
		sent += n
		if err != nil {
			return sent, errors.Join(errNotTaken, err)
		}
		if sent >= len(p) {
			return sent, nil
		}
	}
}

// Unwrap lets a ResponseController through.
func (t *taken) Unwrap() http.ResponseWriter { return t.ResponseWriter }
