// Package blobtest is what every store of files has to pass.
package blobtest

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"math"
	"math/rand/v2"
	"strings"
	"sync"
	"testing"
	"testing/iotest"

	"trug"
	"trug/internal/blob"
)

// Run puts the store through the suite. open returns a new, empty store.
func Run(t *testing.T, open func(t *testing.T) blob.Store) {
	for _, part := range []struct {
		name string
		run  func(*testing.T, blob.Store)
	}{
		{"hashes are those of the standard", standard},
		{"files of all sizes come back", roundTrip},
		{"a file can be read from any place", seeks},
		{"putting again is harmless", putAgain},
		{"what is not there is not found", notFound},
		{"more than the limit is refused", limit},
		{"a reader that fails leaves nothing", failingReader},
		{"a reader that panics leaves nothing", panickingReader},
		{"a context that ends leaves nothing", contextEnds},
		{"the same bytes at once are kept once", sameAtOnce},
		{"different bytes at once are all kept", differentAtOnce},
		{"each file is told of once", each},
		{"verify finds nothing wrong", verify},
		{"what is removed is gone, and can come again", removed},
	} {
		t.Run(part.name, func(t *testing.T) { part.run(t, open(t)) })
	}
}

func removed(t *testing.T, s blob.Store) {
	h, _, err := s.Put(t.Context(), strings.NewReader("a picture of somebody"), noLimit)
	if err != nil {
		t.Fatal(err)
	}
	for range 2 { // a second time is harmless
		if err := s.Remove(t.Context(), h); err != nil {
			t.Fatal(err)
		}
	}
	if _, ok, err := s.Has(t.Context(), h); ok || err != nil {
		t.Errorf("it is still there (%v)", err)
	}
	if err := s.Remove(t.Context(), "../../etc"); trug.KindOf(err) != trug.NotFound {
		t.Errorf("removing what is no hash: %v", err)
	}
	if again, _, err := s.Put(t.Context(), strings.NewReader("a picture of somebody"), noLimit); again != h || err != nil {
		t.Errorf("it does not come again: %v", err)
	}
}

// noLimit is a limit that no test reaches.
const noLimit = 1 << 30

// standard checks against the examples of FIPS 180-4 (NIST, "SHA-256
// examples": "abc" and the two-block message) and that of no bytes at all
// (NIST CAVP, SHA256ShortMsg.rsp, Len = 0).
func standard(t *testing.T, s blob.Store) {
	for text, want := range map[string]trug.Hash{
		"":    "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855",
		"abc": "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad",
		"abcdbcdecdefdefgefghfghighijhijkijkljklmklmnlmnomnopnopq": "248d6a61d20638b8e5c026930c3e6039a33ce45964ff2167f6ecedd419db06c1",
	} {
		if got, size, err := s.Put(t.Context(), strings.NewReader(text), noLimit); got != want || size != int64(len(text)) || err != nil {
			t.Errorf("%q was kept as %s with %d bytes (%v), want %s", text, got, size, err, want)
		}
		if got := read(t, s, want); string(got) != text {
			t.Errorf("%q came back as %q", text, got)
		}
	}
}

func roundTrip(t *testing.T, s blob.Store) {
	for _, size := range []int{1, 4095, 4096, 256 << 10, 256<<10 + 1, 3 << 20} {
		want := random(size)
		// Readers that give little at a time, or an error with the last bytes.
		for _, r := range []io.Reader{bytes.NewReader(want), iotest.HalfReader(bytes.NewReader(want)), iotest.DataErrReader(bytes.NewReader(want))} {
			h, n, err := s.Put(t.Context(), r, int64(size))
			if err != nil || n != int64(size) || !h.Valid() {
				t.Fatalf("%d bytes were kept as %q, %d bytes (%v)", size, h, n, err)
			}
			if !bytes.Equal(read(t, s, h), want) {
				t.Errorf("%d bytes came back otherwise", size)
			}
			if n, ok, err := s.Has(t.Context(), h); n != int64(size) || !ok || err != nil {
				t.Errorf("Has says %d, %v, %v of %d bytes", n, ok, err, size)
			}
		}
	}
	holds(t, s, 6)
}

func seeks(t *testing.T, s blob.Store) {
	want := random(100_000)
	h := put(t, s, want)
	f, err := s.Open(t.Context(), h)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	for _, c := range []struct {
		offset int64
		whence int
		at     int
	}{{5000, io.SeekStart, 5000}, {1000, io.SeekCurrent, 6100}, {-300, io.SeekEnd, 99_700}, {0, io.SeekStart, 0}} {
		at, err := f.Seek(c.offset, c.whence)
		got := make([]byte, 100)
		if err == nil {
			_, err = io.ReadFull(f, got)
		}
		if err != nil || at != int64(c.at) || !bytes.Equal(got, want[c.at:c.at+100]) {
			t.Errorf("seeking %+v went to %d (%v)", c, at, err)
		}
	}
}

func putAgain(t *testing.T, s blob.Store) {
	h := put(t, s, []byte("cap"))
	f, err := s.Open(t.Context(), h) // an open file does not hinder it
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	if again := put(t, s, []byte("cap")); again != h {
		t.Errorf("the same bytes were kept as %s and %s", h, again)
	}
	if got, err := io.ReadAll(f); string(got) != "cap" || err != nil {
		t.Errorf("the open file reads %q (%v)", got, err)
	}
	holds(t, s, 1)
}

func notFound(t *testing.T, s blob.Store) {
	put(t, s, []byte("cap"))
	for _, h := range []trug.Hash{
		"e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855", "", "ab", "../../etc/passwd",
		trug.Hash(strings.Repeat("AB", 32)), trug.Hash(strings.Repeat("..", 32)), trug.Hash("incoming" + strings.Repeat("/", 56)),
	} {
		if _, err := s.Open(t.Context(), h); trug.KindOf(err) != trug.NotFound || err == nil {
			t.Errorf("opening %q gives %v", h, err)
		}
		if n, ok, err := s.Has(t.Context(), h); n != 0 || ok || err != nil {
			t.Errorf("Has says %d, %v, %v of %q", n, ok, err, h)
		}
	}
}

func limit(t *testing.T, s blob.Store) {
	for _, c := range []struct {
		size, limit int64
		fits        bool
	}{{10, 10, true}, {9, 10, true}, {11, 10, false}, {1, 0, false}, {0, 0, true}, {1, -5, false}, {12, math.MaxInt64, true}, {1 << 20, 1<<20 - 1, false}} {
		_, _, err := s.Put(t.Context(), bytes.NewReader(random(int(c.size))), c.limit)
		if c.fits && err != nil || !c.fits && (err == nil || trug.KindOf(err) != trug.TooLarge) {
			t.Errorf("%d bytes under a limit of %d: %v", c.size, c.limit, err)
		}
	}
	holds(t, s, 4)
	// A reader without end is given up at the limit.
	if _, _, err := s.Put(t.Context(), endless{}, 1<<20); err == nil || trug.KindOf(err) != trug.TooLarge {
		t.Errorf("a reader without end: %v", err)
	}
	holds(t, s, 4)
}

type endless struct{}

func (endless) Read(p []byte) (int, error) { return len(p), nil }

func failingReader(t *testing.T, s blob.Store) {
	lost := errors.New("the telephone lost its signal")
	for _, size := range []int{0, 10, 1 << 20} {
		r := io.MultiReader(bytes.NewReader(random(size)), iotest.ErrReader(lost))
		if _, _, err := s.Put(t.Context(), r, noLimit); !errors.Is(err, lost) {
			t.Errorf("after %d bytes: %v", size, err)
		}
	}
	holds(t, s, 0)
	if _, _, err := s.Put(t.Context(), io.MultiReader(bytes.NewReader(random(10)), iotest.ErrReader(io.ErrUnexpectedEOF)), noLimit); !errors.Is(err, io.ErrUnexpectedEOF) {
		t.Errorf("a file cut short was kept (%v)", err)
	}
	holds(t, s, 0)
}

func panickingReader(t *testing.T, s blob.Store) {
	func() {
		defer func() {
			if recover() == nil {
				t.Error("the panic was swallowed")
			}
		}()
		_, _, _ = s.Put(t.Context(), io.MultiReader(bytes.NewReader(random(10)), panics{}), noLimit)
	}()
	holds(t, s, 0)
	put(t, s, []byte("cap"))
}

type panics struct{}

func (panics) Read([]byte) (int, error) { panic("stop") }

func contextEnds(t *testing.T, s blob.Store) {
	h := put(t, s, []byte("cap"))
	ctx, end := context.WithCancel(t.Context())
	r := io.MultiReader(bytes.NewReader(random(1<<20)), ends{end}, bytes.NewReader(random(1<<20)))
	if _, _, err := s.Put(ctx, r, noLimit); !errors.Is(err, context.Canceled) {
		t.Errorf("Put returned %v", err)
	}
	if _, err := s.Open(ctx, h); !errors.Is(err, context.Canceled) {
		t.Errorf("Open returned %v", err)
	}
	if _, _, err := s.Has(ctx, h); !errors.Is(err, context.Canceled) {
		t.Errorf("Has returned %v", err)
	}
	if err := s.Each(ctx, func(trug.Hash, int64) error { return nil }); !errors.Is(err, context.Canceled) {
		t.Errorf("Each returned %v", err)
	}
	holds(t, s, 1)
}

// ends ends the context when it is read.
type ends struct{ end context.CancelFunc }

func (e ends) Read([]byte) (int, error) { e.end(); return 0, io.EOF }

func sameAtOnce(t *testing.T, s blob.Store) {
	bodies := make([][]byte, 8)
	for i := range bodies {
		bodies[i] = random(50_000 + i)
	}
	var wg sync.WaitGroup
	for range 8 {
		wg.Go(func() {
			for _, body := range bodies {
				h, _, err := s.Put(t.Context(), bytes.NewReader(body), noLimit)
				if err != nil {
					t.Error(err)
					return
				}
				// Whoever was told that it is kept can read it at once.
				if !bytes.Equal(read(t, s, h), body) {
					t.Errorf("%s came back otherwise", h)
				}
			}
		})
	}
	wg.Wait()
	holds(t, s, len(bodies))
}

func differentAtOnce(t *testing.T, s blob.Store) {
	var wg sync.WaitGroup
	for n := range 6 {
		wg.Go(func() {
			for i := range 10 {
				put(t, s, fmt.Appendf(nil, "photograph %d of telephone %d", i, n))
			}
		})
	}
	wg.Wait()
	holds(t, s, 60)
}

func each(t *testing.T, s blob.Store) {
	want := map[trug.Hash]int64{}
	for i := range 20 {
		want[put(t, s, random(i))] = int64(i)
	}
	got := map[trug.Hash]int64{}
	err := s.Each(t.Context(), func(h trug.Hash, size int64) error {
		if _, twice := got[h]; twice {
			t.Errorf("%s was told of twice", h)
		}
		got[h] = size
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	if fmt.Sprint(got) != fmt.Sprint(want) {
		t.Errorf("the files are %v, want %v", got, want)
	}
	stop, calls := errors.New("stop"), 0
	err = s.Each(t.Context(), func(trug.Hash, int64) error { calls++; return stop })
	if !errors.Is(err, stop) || calls != 1 {
		t.Errorf("Each went on for %d calls and returned %v", calls, err)
	}
}

func verify(t *testing.T, s blob.Store) {
	for i := range 5 {
		put(t, s, random(i*1000))
	}
	last, total := 0, 0
	says, err := blob.Verify(t.Context(), s, func(done, of int, _ string) {
		if done < last {
			t.Errorf("progress went back from %d to %d", last, done)
		}
		last, total = done, of
	})
	if len(says) != 0 || err != nil {
		t.Errorf("Verify says %q (%v)", says, err)
	}
	if last != 5 || total != 5 {
		t.Errorf("progress ended at %d of %d, want 5 of 5", last, total)
	}
	if _, err := blob.Verify(t.Context(), s, nil); err != nil {
		t.Errorf("without progress: %v", err)
	}
}

// random returns bytes that are the same in every run.
func random(size int) []byte {
	b := make([]byte, size)
	_, _ = rand.NewChaCha8([32]byte{byte(size), byte(size >> 8), byte(size >> 16)}).Read(b)
	return b
}

func put(t *testing.T, s blob.Store, body []byte) trug.Hash {
	t.Helper()
	h, size, err := s.Put(t.Context(), bytes.NewReader(body), noLimit)
	if err != nil || size != int64(len(body)) {
		t.Errorf("%d bytes were kept as %d (%v)", len(body), size, err)
	}
	return h
}

func read(t *testing.T, s blob.Store, h trug.Hash) []byte {
	t.Helper()
	f, err := s.Open(t.Context(), h)
	if err != nil {
		t.Error(err)
		return nil
	}
	defer f.Close()
	body, err := io.ReadAll(f)
	if err != nil {
		t.Error(err)
	}
	return body
}

// holds checks how many files are kept.
func holds(t *testing.T, s blob.Store, want int) {
	t.Helper()
	n := 0
	if err := s.Each(t.Context(), func(trug.Hash, int64) error { n++; return nil }); err != nil {
		t.Fatal(err)
	}
	if n != want {
		t.Errorf("%d files are kept, want %d", n, want)
	}
}
