package disk

import (
	"bytes"
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"trug"
	"trug/internal/blob"
	"trug/internal/blob/blobtest"
)

func TestStore(t *testing.T) {
	blobtest.Run(t, func(t *testing.T) blob.Store {
		s := mustOpen(t, filepath.Join(t.TempDir(), "photographs"))
		t.Cleanup(func() { nothingIncoming(t, s) })
		return s
	})
}

// The generic check must find what the disk's own one finds.
func TestVerifyThroughTheInterface(t *testing.T) {
	s := mustOpen(t, filepath.Join(t.TempDir(), "photographs"))
	h := put(t, s, "cap")
	put(t, s, "stem")
	spoil(t, s, h, "cup")
	says, err := blob.Verify(t.Context(), struct{ blob.Store }{s}, nil)
	if err != nil || len(says) != 1 || !strings.HasPrefix(says[0], string(h)) {
		t.Errorf("Verify says %q (%v), want one sentence on %s", says, err, h)
	}
}

func TestLayout(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "photographs")
	s := mustOpen(t, dir)
	h := put(t, s, "abc")
	// The hash of "abc" by FIPS 180-4.
	path := filepath.Join(dir, "ba", "78", "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad")
	before, err := os.Stat(path)
	if err != nil {
		t.Fatal(err)
	}
	if before.Mode().Perm() != 0o400 {
		t.Errorf("the file has mode %v, want -r--------", before.Mode())
	}
	put(t, s, "abc")
	after, err := os.Stat(path)
	if err != nil || !os.SameFile(before, after) {
		t.Errorf("putting the same bytes again made another file of %s (%v)", h, err)
	}
}

func TestVerifyFinds(t *testing.T) {
	s := mustOpen(t, filepath.Join(t.TempDir(), "photographs"))
	changed, cut, misplaced, whole := put(t, s, "cap"), put(t, s, "stem"), put(t, s, "gills"), put(t, s, "ring")
	spoil(t, s, changed, "cup")
	spoil(t, s, cut, "ste")
	from, _, _ := s.path(misplaced)
	if err := os.Rename(from, filepath.Join(s.dir, string(misplaced))); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(filepath.Join(s.dir, "notes.txt"), []byte("x"), 0o600); err != nil {
		t.Fatal(err)
	}
	says, err := s.Verify(t.Context(), nil)
	if err != nil {
		t.Fatal(err)
	}
	all := strings.Join(says, "\n")
	for _, want := range []string{string(changed) + ": holds other bytes", string(cut) + ": holds other bytes", string(misplaced) + ": Trug did not", "notes.txt: Trug did not"} {
		if !strings.Contains(all, want) {
			t.Errorf("Verify does not say %q:\n%s", want, all)
		}
	}
	if len(says) != 4 || strings.Contains(all, string(whole)) {
		t.Errorf("Verify says too much:\n%s", all)
	}
	// Putting the right bytes again mends both.
	put(t, s, "cap")
	put(t, s, "stem")
	if says, err = s.Verify(t.Context(), nil); err != nil || len(says) != 2 {
		t.Errorf("after mending Verify says %q (%v), want the two that don't belong", says, err)
	}
}

func TestOpenClearsWhatWasAbandoned(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "photographs")
	s := mustOpen(t, dir)
	old, fresh := filepath.Join(s.incoming(), "put-1"), filepath.Join(s.incoming(), "put-2")
	for _, path := range []string{old, fresh} {
		if err := os.WriteFile(path, []byte("half a photogr"), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	long := time.Now().Add(-2 * abandoned)
	if err := os.Chtimes(old, long, long); err != nil {
		t.Fatal(err)
	}
	mustOpen(t, dir)
	if _, err := os.Stat(old); !errors.Is(err, fs.ErrNotExist) {
		t.Errorf("the abandoned file is still there (%v)", err)
	}
	if _, err := os.Stat(fresh); err != nil {
		t.Errorf("a file that another process may be writing was removed: %v", err)
	}
}

func TestOpenRefuses(t *testing.T) {
	dir := t.TempDir()
	if _, err := Open(filepath.Join(dir, "missing", "photographs")); err == nil || trug.KindOf(err) != trug.NotFound {
		t.Errorf("a folder without its parent was opened: %v", err)
	}
	file := filepath.Join(dir, "file")
	if err := os.WriteFile(file, nil, 0o600); err != nil {
		t.Fatal(err)
	}
	var says *trug.Error
	if _, err := Open(file); !errors.As(err, &says) || says.Says == "" {
		t.Errorf("a file was opened as a folder, or refused without a sentence: %v", err)
	}
	// The disk went away under a running store.
	s := mustOpen(t, filepath.Join(dir, "photographs"))
	if err := os.RemoveAll(s.dir); err != nil {
		t.Fatal(err)
	}
	if _, _, err := s.Put(t.Context(), strings.NewReader("cap"), 10); !errors.As(err, &says) {
		t.Errorf("keeping a file on a disk that is gone gives %v", err)
	}
}

// A disk that takes fewer bytes than it was given must be noticed.
func TestFinishChecksTheLength(t *testing.T) {
	f, err := os.Create(filepath.Join(t.TempDir(), "put-1"))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	if _, err := f.WriteString("half"); err != nil {
		t.Fatal(err)
	}
	if err := finish(f, 8); err == nil {
		t.Error("4 bytes on the disk passed for 8")
	}
}

func BenchmarkPut(b *testing.B) {
	s := mustOpen(b, filepath.Join(b.TempDir(), "photographs"))
	body := bytes.Repeat([]byte("a photograph of 4 MB, made up. \n"), 1<<17)
	b.SetBytes(int64(len(body)))
	for i := 0; b.Loop(); i++ {
		copy(body, time.Duration(i).String()+" ")
		if _, _, err := s.Put(b.Context(), bytes.NewReader(body), 1<<30); err != nil {
			b.Fatal(err)
		}
	}
}

func mustOpen(t testing.TB, dir string) *Store {
	t.Helper()
	s, err := Open(dir)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func put(t testing.TB, s *Store, body string) trug.Hash {
	t.Helper()
	h, _, err := s.Put(t.Context(), strings.NewReader(body), 1<<20)
	if err != nil {
		t.Fatal(err)
	}
	return h
}

// spoil gives a kept file other bytes, as a bad disk might.
func spoil(t *testing.T, s *Store, h trug.Hash, body string) {
	t.Helper()
	path, _, _ := s.path(h)
	if err := os.Chmod(path, 0o600); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(path, []byte(body), 0o600); err != nil {
		t.Fatal(err)
	}
}

func nothingIncoming(t *testing.T, s *Store) {
	entries, err := os.ReadDir(s.incoming())
	if err != nil {
		t.Error(err)
	}
	for _, e := range entries {
		t.Errorf("%s was left behind", e.Name())
	}
}
