package main

import (
	"context"
	"io"
	"math/rand/v2"
	"net"
	"net/http"
	"sync"
	"sync/atomic"
	"time"
)

// faults are what a proxy does to those who use it.
type faults struct {
	// fail is the part of requests that fail, slow that of connections with
	// 50 kbit/s; cut is how long connections live on the average, 0 for ever.
	fail, slow float64
	cut        time.Duration
}

// slowRate is 50 kbit/s in bytes a second.
const slowRate = 50_000 / 8

// proxy stands between phones and server.
type proxy struct {
	faults
	address, to string
	clean       atomic.Bool
	serves      *http.Server
	onward      *http.Transport

	failed, cuts, slowed atomic.Int64

	mu   sync.Mutex
	rand *rand.Rand
}

// newProxy listens on a port of its own and passes on to the address.
func newProxy(to string, f faults, seed uint64) (*proxy, error) {
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		return nil, err
	}
	p := &proxy{faults: f, address: l.Addr().String(), to: to, rand: rand.New(rand.NewPCG(seed, 11)),
		onward: &http.Transport{MaxIdleConnsPerHost: 64, DisableCompression: true}}
	p.serves = &http.Server{Handler: p, ReadHeaderTimeout: time.Minute}
	go func() { _ = p.serves.Serve(badListener{l, p}) }()
	return p, nil
}

func (p *proxy) close() { _ = p.serves.Close() }

// clear lets everything through from now on.
func (p *proxy) clear() { p.clean.Store(true) }

// draw returns a number from 0 to 1.
func (p *proxy) draw() float64 {
	p.mu.Lock()
	defer p.mu.Unlock()
	return p.rand.Float64()
}

// ServeHTTP passes a request on, or fails it in one of four ways.
func (p *proxy) ServeHTTP(w http.ResponseWriter, r *http.Request) {
	way := -1
	if !p.clean.Load() && p.draw() < p.fail {
		way = int(p.draw() * 4)
		p.failed.Add(1)
	}
	body := io.Reader(r.Body)
	switch way {
	case 0:
		http.Error(w, "the proxy does not pass this on", http.StatusBadGateway)
		return
	case 1:
		panic(http.ErrAbortHandler) // the connection ends before the server hears of it
	case 2:
		if r.ContentLength > 1 { // half of it reaches the server
			body = io.MultiReader(io.LimitReader(r.Body, r.ContentLength/2), broken{})
		}
	}
	answer, err := p.pass(r, body)
	if err != nil {
		http.Error(w, "the server is not there", http.StatusBadGateway)
		return
	}
	defer answer.Body.Close()
	if way >= 2 { // the server did it, and nobody learns so
		_, _ = io.Copy(io.Discard, answer.Body)
		panic(http.ErrAbortHandler)
	}
	for name, values := range answer.Header {
		w.Header()[name] = values
	}
	w.WriteHeader(answer.StatusCode)
	_, _ = io.Copy(w, answer.Body)
}

func (p *proxy) pass(r *http.Request, body io.Reader) (*http.Response, error) {
	out, err := http.NewRequestWithContext(r.Context(), r.Method, "http://"+p.to+r.URL.RequestURI(), body)
	if err != nil {
		return nil, err
	}
	out.Header, out.ContentLength, out.Host = r.Header.Clone(), r.ContentLength, r.Host
	if r.ContentLength == 0 {
		out.Body = http.NoBody
	}
	return p.onward.RoundTrip(out)
}

// broken is the rest of a body whose sender is gone.
type broken struct{}

func (broken) Read([]byte) (int, error) { return 0, io.ErrUnexpectedEOF }

// badListener takes connections some of which are slow, or cut after a while.
type badListener struct {
	net.Listener
	proxy *proxy
}

func (l badListener) Accept() (net.Conn, error) {
	c, err := l.Listener.Accept()
	p := l.proxy
	if err != nil || p.clean.Load() {
		return c, err
	}
	if p.cut > 0 {
		p.mu.Lock()
		after := time.Duration(p.rand.ExpFloat64() * float64(p.cut))
		p.mu.Unlock()
		time.AfterFunc(after, func() {
			if c.Close() == nil {
				p.cuts.Add(1)
			}
		})
	}
	if p.draw() < p.slow {
		p.slowed.Add(1)
		return &slowConn{Conn: c, proxy: p}, nil
	}
	return c, nil
}

// slowConn lets slowRate through each way.
type slowConn struct {
	net.Conn
	proxy   *proxy
	in, out sync.Mutex
	inAt    time.Time
	outAt   time.Time
}

// stride is how much goes through at once.
const stride = 1 << 10

func (c *slowConn) Read(b []byte) (int, error) {
	c.in.Lock()
	defer c.in.Unlock()
	n, err := c.Conn.Read(b[:min(len(b), stride)])
	c.inAt = c.pace(c.inAt, n)
	return n, err
}

func (c *slowConn) Write(b []byte) (int, error) {
	c.out.Lock()
	defer c.out.Unlock()
	sent := 0
	for sent < len(b) {
		n, err := c.Conn.Write(b[sent:min(len(b), sent+stride)])
		sent += n
		if err != nil {
			return sent, err
		}
		c.outAt = c.pace(c.outAt, n)
	}
	return sent, nil
}

// pace waits until n more bytes are due and returns when that was.
func (c *slowConn) pace(at time.Time, n int) time.Time {
	if c.proxy.clean.Load() {
		return time.Now()
	}
	if now := time.Now(); at.Before(now) {
		at = now
	}
	at = at.Add(time.Duration(n) * time.Second / slowRate)
	time.Sleep(time.Until(at))
	return at
}

// sleep waits, or returns earlier when ctx ends.
func sleep(ctx context.Context, d time.Duration) {
	t := time.NewTimer(d)
	defer t.Stop()
	select {
	case <-t.C:
	case <-ctx.Done():
	}
}
