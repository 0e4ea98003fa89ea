package web

import (
	"bufio"
	"bytes"
	"crypto/tls"
	"errors"
	"flag"
	"fmt"
	"io"
	"log/slog"
	"net"
	"net/http"
	"os"
	"runtime"
	"strings"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"trug/internal/app/apptest"
)

// full runs the tests of this file at their whole size, as `make siege` does.
var full = flag.Bool("full", false, "attack the server at full size")

// serving runs a server on a real socket and returns its address.
func serving(t *testing.T, l limits, h http.Handler, keys *tls.Config) string {
	t.Helper()
	listener, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	server := l.server(h, keys, nil)
	ended := make(chan error, 1)
	go func() {
		if keys != nil {
			ended <- server.ServeTLS(listener, "", "")
			return
		}
		ended <- server.Serve(listener)
	}()
	t.Cleanup(func() {
		if err := server.Close(); err != nil {
			t.Error(err)
		}
		if err := <-ended; !errors.Is(err, http.ErrServerClosed) {
			t.Error(err)
		}
	})
	return listener.Addr().String()
}

// answering fails the test when the service does not answer a person.
func answering(t *testing.T, address string) {
	t.Helper()
	c := &http.Client{Transport: &http.Transport{DisableKeepAlives: true}, Timeout: time.Minute}
	got, err := c.Get("http://" + address + "/api/season")
	if err != nil {
		t.Fatalf("no answer: %v", err)
	}
	defer got.Body.Close()
	if body, err := io.ReadAll(got.Body); err != nil || got.StatusCode != 200 || !bytes.Contains(body, []byte("Wimbrel")) {
		t.Fatalf("answered %d %q: %v", got.StatusCode, body, err)
	}
}

// hold opens a connection, sends the start of something, and keeps it open.
func hold(t *testing.T, address, start string) net.Conn {
	t.Helper()
	c, err := net.DialTimeout("tcp", address, time.Minute)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { c.Close() })
	if _, err := io.WriteString(c, start); err != nil && !errors.Is(err, net.ErrClosed) {
		t.Log(err) // the server may already have let it go
	}
	return c
}

// Slow, silent and half-open connections by the thousand leave the service
// answering: the oldest that asked for nothing make room.
func TestSilentConnectionsByTheThousand(t *testing.T) {
	s := apptest.New(t, "2026-10-10")
	l := usual
	l.connections = 200
	many := 1000
	if *full {
		l, many = usual, 9000
	}
	address := serving(t, l, Handler(s.App, Options{}), nil)
	starts := []string{
		"",                                // says nothing
		"GET /api/season HT",              // stops in the first line
		"GET / HTTP/1.1\r\nHost: a\r\nX:", // stops in a header
		"POST /api/seasons HTTP/1.1\r\nHost: a\r\nContent-Length: 99\r\n\r\n{", // stops in the body; the server answers and hangs up
	}
	began := time.Now()
	for i := range many {
		hold(t, address, starts[i%len(starts)])
		if i%(many/5) == 0 {
			answering(t, address)
		}
	}
	answering(t, address)
	t.Logf("%d connections held, %d goroutines, %.1f s", many, runtime.NumGoroutine(), time.Since(began).Seconds())
	// One goroutine for each connection, one more for each that has sent a head.
	if n := runtime.NumGoroutine(); n > 2*l.connections+200 {
		t.Errorf("%d goroutines after %d connections, with %d allowed", n, many, l.connections)
	}
}

// A head, a body and the taking of an answer that drip are given up, and what
// comes steadily is not, however long it takes.
func TestWhatDripsIsGivenUp(t *testing.T) {
	l := limits{connections: 10, head: 300 * time.Millisecond, idle: time.Second, headBytes: 4 << 10, patience: 300 * time.Millisecond, slowest: 1 << 10}
	large := bytes.Repeat([]byte("spores "), 4<<20)
	var mu sync.Mutex
	read := map[string]error{}
	address := serving(t, l, http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		_, err := io.Copy(io.Discard, r.Body)
		if r.URL.Path == "/works" { // for longer than a body may drip
			select {
			case <-r.Context().Done():
				err = r.Context().Err()
			case <-time.After(3 * l.patience):
			}
		}
		if r.URL.Path == "/large" {
			_, err = w.Write(large)
		}
		mu.Lock()
		read[r.URL.Path] = err
		mu.Unlock()
	}), nil)
	closes := func(c net.Conn) bool {
		_ = c.SetReadDeadline(time.Now().Add(20 * time.Second))
		_, err := io.Copy(io.Discard, c)
		var late net.Error
		return !(errors.As(err, &late) && late.Timeout())
	}
	if !closes(hold(t, address, "GET / HTTP/1.1\r\nHost:")) {
		t.Error("half a head is waited for")
	}
	if !closes(hold(t, address, "PUT /body HTTP/1.1\r\nHost: a\r\nContent-Length: 9000\r\n\r\nspore")) {
		t.Error("half a body is waited for")
	}
	steady := hold(t, address, "PUT /works HTTP/1.1\r\nHost: a\r\nConnection: close\r\nContent-Length: 6000\r\n\r\n")
	for range 12 { // 500 bytes each 100 ms: slower than patience alone would allow
		_, _ = steady.Write(bytes.Repeat([]byte("s"), 500))
		time.Sleep(100 * time.Millisecond)
	}
	if status, err := bufio.NewReader(steady).ReadString('\n'); err != nil || !strings.Contains(status, "200") {
		t.Errorf("a slow but steady body: %q %v", status, err)
	}
	greedy := hold(t, address, "GET /large HTTP/1.1\r\nHost: a\r\n\r\n") // and never reads
	for range 100 {
		mu.Lock()
		err, done := read["/large"]
		mu.Unlock()
		if done {
			if err == nil {
				t.Error("28 MB were taken by nobody")
			}
			break
		}
		time.Sleep(100 * time.Millisecond)
	}
	greedy.Close()
	mu.Lock()
	defer mu.Unlock()
	if err := read["/body"]; !errors.Is(err, os.ErrDeadlineExceeded) {
		t.Errorf("half a body: %v", err)
	}
	if _, done := read["/large"]; !done {
		t.Error("an answer waits for good to be taken")
	}
	if err := read["/works"]; err != nil {
		t.Errorf("a request that took long was ended: %v", err)
	}
}

// A flood of headers is refused before it fills the memory.
func TestHeaderFlood(t *testing.T) {
	s := apptest.New(t, "2026-10-10")
	address := serving(t, usual, Handler(s.App, Options{}), nil)
	c := hold(t, address, "GET / HTTP/1.1\r\nHost: a\r\n")
	go func() {
		for i := 0; ; i++ {
			if _, err := fmt.Fprintf(c, "X-%d: %s\r\n", i, strings.Repeat("a", 500)); err != nil {
				return
			}
		}
	}()
	status, err := bufio.NewReader(c).ReadString('\n')
	if err != nil && !strings.Contains(err.Error(), "reset") || err == nil && !strings.Contains(status, "431") {
		t.Errorf("answered %q %v", status, err)
	}
	answering(t, address)
}

// endless is a body that goes on for as long as somebody reads.
type endless struct {
	piece []byte
	left  int64
	sent  atomic.Int64 // read while the transport still writes
}

func (e *endless) Read(p []byte) (int, error) {
	if e.left <= 0 {
		return 0, io.EOF
	}
	n := copy(p, e.piece)
	e.left -= int64(n)
	e.sent.Add(int64(n))
	return n, nil
}

// A gigabyte of JSON is refused after the first few megabytes, whether its
// length is told or not, and from whoever may not send it before any of it is
// read. What is counted as sent includes what lies in the sockets' buffers.
func TestAGigabyteOfJSON(t *testing.T) {
	s := apptest.New(t, "2026-10-10")
	address := serving(t, usual, Handler(s.App, Options{}), nil)
	for _, c := range []struct {
		name, code string
		length     int64
		most       int64
		status     []int
	}{
		{"told", "R08", 1 << 30, 16 << 20, []int{413}},
		{"untold", "R08", -1, 16 << 20, []int{413}},
		{"by nobody", "", -1, 8 << 20, []int{401}},
	} {
		body := &endless{piece: bytes.Repeat([]byte(`{"views":[{"kind":"top"}],`), 1000), left: 1 << 30}
		r, _ := http.NewRequest("PUT", "http://"+address+"/api/records/"+string(s.ID()), body)
		r.ContentLength = c.length
		r.Header.Set("Content-Type", "application/json")
		if c.code != "" {
			r.AddCookie(&http.Cookie{Name: sessionCookie, Value: s.Token(c.code)})
		}
		got, err := http.DefaultTransport.RoundTrip(r)
		if err == nil {
			got.Body.Close()
			if got.StatusCode != c.status[0] {
				t.Errorf("%s: answered %d", c.name, got.StatusCode)
			}
		} else if !strings.Contains(err.Error(), "reset") && !strings.Contains(err.Error(), "broken pipe") && !strings.Contains(err.Error(), "closed") {
			t.Errorf("%s: %v", c.name, err)
		}
		if sent := body.sent.Load(); sent > c.most {
			t.Errorf("%s: %d MB were read", c.name, sent>>20)
		}
	}
	answering(t, address)
}

// Neither what a server says of connections nor what it logs bears an address.
func TestServerLogsNoAddress(t *testing.T) {
	var b bytes.Buffer
	f := faults{slog.New(slog.NewTextHandler(&b, nil))}
	_, _ = io.WriteString(f, "http: TLS handshake error from 192.0.2.7:4000: EOF\n")
	if b.Len() > 0 {
		t.Errorf("logged %q", b.String())
	}
	_, _ = io.WriteString(f, "http: Accept error: too many open files; retrying in 5ms\n")
	if !strings.Contains(b.String(), "too many open files") {
		t.Error("the server's own trouble is not told")
	}
}
