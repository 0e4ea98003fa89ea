package web

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"io"
	"log/slog"
	"maps"
	"math/rand/v2"
	"net/http"
	"net/http/httptest"
	"net/url"
	"runtime"
	"slices"
	"strings"
	"testing"
	"time"

	"trug"
	"trug/internal/app/apptest"
)

// described is what the attacks know of the API: its own description.
type described struct {
	Paths map[string]map[string]struct {
		Parameters []struct {
			Name, In string
			Schema   schema
		}
		RequestBody struct {
			Content map[string]struct{ Schema schema }
		}
	}
	Components struct{ Schemas map[string]schema }
}

type schema struct {
	Ref        string `json:"$ref"`
	Type       any
	Format     string
	Properties map[string]schema
	Items      *schema
	Enum       []any
	Required   []string
}

// kind returns the first type of a schema that is not null.
func (s schema) kind() string {
	switch t := s.Type.(type) {
	case string:
		return t
	case []any:
		for _, x := range t {
			if x != "null" {
				return fmt.Sprint(x)
			}
		}
	}
	return ""
}

// attacker makes requests from the API's description, each unlike the others
// and the same for the same seed.
type attacker struct {
	*rand.Rand
	api described
	// ids exist in the season, by what they are; all are tried everywhere.
	ids []string
}

// nasty are texts that have broken programs before.
var nasty = []string{
	"", " ", "0", "-1", "null", "undefined", "true", "NaN", "1e999", "9223372036854775808", "../../etc/passwd", "..%2f..%2fsecret", "%00", "a\x00b",
	"'; DROP TABLE record; --", `" OR 1=1 --`, "<script>alert(1)</script>", `"><img src=x onerror=alert(1)>`, "{{7*7}}", "${7*7}", "=cmd|' /C calc'!A0", "+1", "@SUM(A1)", "-2+3",
	"\r\nSet-Cookie: a=b", "\xff\xfe\xfd", "\u202eevil", "e\u0301\u0301\u0301", "🍄🍄🍄", "İstanbul", "ß", strings.Repeat("a", 300), strings.Repeat("ä", 20000), strings.Repeat("(", 5000),
	"2026-02-30", "0000-00-00", "99999-12-31", "2026-10-10", "25:61", "48.5, -19.9", "S1", "O01", "recorder", "coordinator", "thumb", "original", "sites.csv", "people", "leaders-sheet.pdf", "risk-sheet", "poster.pdf",
}

func pick[T any](r *rand.Rand, list []T) T { return list[r.IntN(len(list))] }

func (a *attacker) text() string {
	switch a.IntN(3) {
	case 0:
		return pick(a.Rand, a.ids)
	case 1:
		return pick(a.Rand, nasty)
	default:
		b := make([]byte, a.IntN(40))
		for i := range b {
			b[i] = byte(a.Uint32())
		}
		return string(b)
	}
}

// value makes a value of a schema; now and then one of another kind.
func (a *attacker) value(s schema, deep int) any {
	if s.Ref != "" {
		return a.value(a.api.Components.Schemas[s.Ref[strings.LastIndex(s.Ref, "/")+1:]], deep)
	}
	kind := s.kind()
	if a.IntN(25) == 0 {
		kind = pick(a.Rand, []string{"string", "integer", "object", "array", "boolean", "null"})
	}
	if len(s.Enum) > 0 && a.IntN(5) > 0 {
		return pick(a.Rand, s.Enum)
	}
	switch kind {
	case "object":
		out := map[string]any{}
		for _, name := range slices.Sorted(maps.Keys(s.Properties)) {
			if slices.Contains(s.Required, name) && a.IntN(20) > 0 || a.IntN(2) == 0 {
				out[name] = a.value(s.Properties[name], deep+1)
			}
		}
		if a.IntN(15) == 0 {
			out[a.text()] = a.text()
		}
		return out
	case "array":
		out := []any{}
		if s.Items != nil && deep < 6 {
			for range a.IntN(4) {
				out = append(out, a.value(*s.Items, deep+1))
			}
		}
		return out
	case "integer", "number":
		return pick(a.Rand, []any{0, 1, -1, 7, 48.5, -19.9, 1000, 1 << 40, -1 << 62, 1e300, -90.0001, 180, json.RawMessage("1e400"), json.RawMessage("-0")})
	case "boolean":
		return a.IntN(2) == 0
	case "null":
		return nil
	default:
		return a.text()
	}
}

// body makes a body for a route, well-formed more often than not.
func (a *attacker) body(content map[string]struct{ Schema schema }) (body []byte, kind string) {
	kinds := slices.Sorted(maps.Keys(content))
	if len(kinds) > 0 {
		kind = kinds[0]
	}
	switch a.IntN(12) {
	case 0:
		body = []byte(a.text())
	case 1:
		body = []byte(strings.Repeat(pick(a.Rand, []string{"[", `{"a":`, `"`, "{", "<a>"}), 1+a.IntN(100000)))
	case 2:
		body = nil
	case 3:
		body = pick(a.Rand, [][]byte{{0xff, 0xd8, 0xff, 0xe0}, []byte("\x89PNG\r\n\x1a\n"), []byte("RIFF\xff\xff\xff\xffWEBPVP8 "), []byte("PK\x03\x04"), []byte("\x1f\x8b\x08"), []byte("\x00\x00\x00\x18ftypheic")})
		body = append(slices.Clone(body), a.text()...)
	default:
		if kind == "application/json" {
			body, _ = json.Marshal(a.value(content[kind].Schema, 0))
			if a.IntN(10) == 0 && len(body) > 2 { // one byte is wrong
				body[a.IntN(len(body))] = byte(a.Uint32())
			}
		} else {
			body = []byte(pick(a.Rand, []string{"code,name\nS1,x\n", "name\nMycena pura\n", "code;name\n=1+1;\"", `{"type":"Polygon","coordinates":[[[0,0],[1e9,1],[1,1]]]}`, `{"type":"LineString","coordinates":[]}`, "<gpx><trk>", "\xef\xbb\xbfcode\n"}) + a.text())
		}
	}
	if a.IntN(8) == 0 {
		kind = pick(a.Rand, []string{"", "text/plain", "application/xml", "multipart/form-data; boundary=x", "application/json; charset=utf-16", "application/cbor", "a/b;;;=", strings.Repeat("x", 900)})
	}
	return body, kind
}

// request makes a request for a route as its table writes it.
func (a *attacker) request(r route) *http.Request {
	about := a.api.Paths[r.path][strings.ToLower(r.method)]
	path := pathParameter.ReplaceAllStringFunc(strings.ReplaceAll(r.path, "...", ""), func(string) string { return url.PathEscape(a.text()) })
	query := url.Values{}
	for _, p := range about.Parameters {
		if p.In == "query" && a.IntN(3) > 0 {
			query.Add(p.Name, fmt.Sprint(a.value(p.Schema, 0)))
		}
	}
	if a.IntN(10) == 0 {
		query.Add(a.text(), a.text())
	}
	method := r.method
	if a.IntN(15) == 0 {
		method = pick(a.Rand, []string{"GET", "HEAD", "POST", "PUT", "PATCH", "DELETE", "OPTIONS", "TRACE", "CONNECT", "SPORES"})
	}
	body, kind := a.body(about.RequestBody.Content)
	q := httptest.NewRequest(method, "http://trug.test/", bytes.NewReader(body))
	u, err := url.ParseRequestURI(path)
	if err != nil {
		u = &url.URL{Path: "/" + strings.Trim(path, "/")}
	}
	u.Scheme, u.Host, u.RawQuery = "http", "trug.test", query.Encode()
	q.URL = u
	q.Header.Set("Content-Type", kind)
	if a.IntN(10) > 0 {
		q.Header.Set("Sec-Fetch-Site", "same-origin")
	}
	for name, values := range map[string][]string{
		"Accept":           {"*/*", "application/cbor", "text/html", a.text()},
		"Accept-Encoding":  {"gzip", "br", "identity;q=0, *;q=0"},
		"Content-Encoding": {"gzip", "deflate"},
		"Range":            {"bytes=0-1", "bytes=5-2", "bytes=-9999999", "bytes=0-1,3-4,0-1,5-,7-9"},
		"If-None-Match":    {"*", `"a"`, a.text()},
		"X-Forwarded-For":  {"127.0.0.1", a.text()},
		"Cookie":           {sessionCookie + "=" + a.text(), "a=b; " + setupCookie + "=" + a.text(), ";;;="},
	} {
		if a.IntN(12) == 0 {
			q.Header[name] = []string{pick(a.Rand, values)}
		}
	}
	return q
}

// newAttacker knows the invented season's things.
func newAttacker(t *testing.T, s apptest.Season, seed uint64) *attacker {
	t.Helper()
	raw, err := OpenAPI()
	if err != nil {
		t.Fatal(err)
	}
	a := &attacker{Rand: rand.New(rand.NewPCG(seed, 4))}
	if err := json.Unmarshal(raw, &a.api); err != nil {
		t.Fatal(err)
	}
	for _, r := range s.Demo.Records[:20] {
		a.ids = append(a.ids, string(r.ID))
	}
	for _, y := range s.Demo.Forays[:5] {
		a.ids = append(a.ids, string(y.ID))
	}
	for _, p := range s.Demo.People[:5] {
		a.ids = append(a.ids, string(p.ID))
	}
	for _, x := range s.Demo.Sites[:3] {
		a.ids = append(a.ids, string(x.ID))
	}
	for range 5 {
		a.ids = append(a.ids, string(s.ID()))
	}
	return a
}

// attacks is how many requests the test makes; ten thousand with -full.
func attacks() int {
	if *full {
		return 10000
	}
	return 1500
}

// Whatever is asked of whichever route by whoever, the program has an answer:
// no fault of its own, nothing that hangs, no memory that stays, and a store
// that still agrees with its history.
func TestTenThousandAttacks(t *testing.T) {
	s := apptest.New(t, "2026-10-10")
	var said bytes.Buffer
	h := Handler(s.App, Options{Log: slog.New(slog.NewTextHandler(&said, nil))})
	const seed = 20261010
	a := newAttacker(t, s, seed)
	routes := (&server{app: s.App}).routes()
	clients := map[trug.Role]client{}
	statuses := map[int]int{}
	reached := map[string]int{}
	out := map[trug.Role]bool{}
	before := heap()
	for i := range attacks() {
		r := routes[i%len(routes)]
		role := trug.Roles[a.IntN(len(trug.Roles))]
		if clients[role].handler == nil || out[role] { // whoever left, or whose session was ended, comes in again
			clients[role] = newClient(t, s, h, personOf[role])
		}
		q := a.request(r)
		sent, _ := io.ReadAll(q.Body)
		q.Body = io.NopCloser(bytes.NewReader(sent))
		quiet := said.Len()
		if c := clients[role].cookie; c != "" && q.Header.Get("Cookie") == "" {
			q.AddCookie(&http.Cookie{Name: sessionCookie, Value: c})
		}
		ctx, cancel := context.WithTimeout(t.Context(), time.Minute)
		w := httptest.NewRecorder()
		done := make(chan struct{})
		go func() { h.ServeHTTP(w, q.WithContext(ctx)); close(done) }()
		select {
		case <-done:
		case <-ctx.Done():
			t.Fatalf("request %d of seed %d hangs: %s %q as %s", i, seed, q.Method, q.URL, role)
		}
		cancel()
		statuses[w.Code]++
		out[role] = w.Code == http.StatusUnauthorized
		if w.Code < 400 {
			reached[r.method+" "+r.path]++
		}
		if w.Code >= 500 || strings.Contains(said.String()[quiet:], "level=ERROR") {
			t.Errorf("request %d of seed %d: %d from %s %q with %.600q as %s: %.300s; logged %.600s", i, seed, w.Code, q.Method, q.URL, sent, role, w.Body, said.String()[quiet:])
		}
	}
	grown := heap() - before
	t.Logf("%d requests over %d routes, %d of which let some through; %v; the heap grew by %.1f MB", attacks(), len(routes), len(reached), statuses, float64(grown)/(1<<20))
	if grown > 64<<20 {
		t.Errorf("the heap grew by %d MB", grown>>20)
	}
	if statuses[200] < attacks()/10 || len(reached) < len(routes)*3/10 { // routes that take a secret, or the identifier of a file on its way, let no attack through
		t.Errorf("the attacks hardly get in: %v, %d of %d routes", statuses, len(reached), len(routes))
	}
	if faults, err := s.CheckStore(t.Context(), nil); err != nil || len(faults) > 0 {
		t.Errorf("after the attacks the store has faults: %v %v", faults, err)
	}
}

func heap() int64 {
	runtime.GC()
	runtime.GC()
	var m runtime.MemStats
	runtime.ReadMemStats(&m)
	return int64(m.HeapAlloc)
}

// Noise on the wire, half requests and requests smuggled into others are
// answered with a refusal or a closed connection, and the service goes on.
func TestNoiseOnTheWire(t *testing.T) {
	s := apptest.New(t, "2026-10-10")
	address := serving(t, usual, Handler(s.App, Options{}), nil)
	r := rand.New(rand.NewPCG(1, 4))
	lines := []string{"GET / HTTP/1.1\r\n", "Host: trug.test\r\n", "POST /api/leave HTTP/1.1\r\n", "Content-Length: 5\r\n", "Content-Length: 7\r\n", "Transfer-Encoding: chunked\r\n", "\r\n", "5\r\nhello\r\n0\r\n\r\n",
		"Transfer-Encoding: xchunked\r\n", "ffffffffffffffff\r\n", "GET http://elsewhere.test/ HTTP/1.1\r\n", "Host: elsewhere.test\r\n", "PRI * HTTP/2.0\r\n\r\nSM\r\n\r\n", "\x16\x03\x01\x02\x00\x01", "GET /\x00 HTTP/1.1\r\n",
		"GET /%zz HTTP/1.1\r\n", "CONNECT elsewhere.test:443 HTTP/1.1\r\n", "X:\r\n", " folded\r\n", "Expect: 100-continue\r\n", "Upgrade: websocket\r\nConnection: upgrade\r\n", "HTTP/9.9", "\n\n\n"}
	many := 150
	if *full {
		many = 3000
	}
	for i := range many {
		var b strings.Builder
		for range 1 + r.IntN(9) {
			b.WriteString(pick(r, lines))
		}
		c := hold(t, address, b.String())
		if tcp, ok := c.(interface{ CloseWrite() error }); ok {
			_ = tcp.CloseWrite()
		}
		_ = c.SetReadDeadline(time.Now().Add(time.Minute))
		got, _ := io.ReadAll(io.LimitReader(c, 1<<20))
		c.Close()
		for status := 500; status < 510; status++ {
			if status != 501 && status != 505 && bytes.Contains(got, fmt.Appendf(nil, "HTTP/1.1 %d", status)) { // "not built in" is an answer
				t.Errorf("noise %d %q: %.200s", i, b.String(), got)
			}
		}
	}
	answering(t, address)
}
