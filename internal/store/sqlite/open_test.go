package sqlite

import (
	"bytes"
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"sync"
	"testing"
	"time"

	"trug"
	"trug/internal/store"
)

// refused checks that err has the kind and a sentence with the words.
func refused(t *testing.T, err error, kind trug.ErrorKind, words string) {
	t.Helper()
	var e *trug.Error
	if !errors.As(err, &e) || e.Kind != kind || !strings.Contains(e.Says, words) {
		t.Errorf("error is %v, want one of kind %d with %q", err, kind, words)
	}
}

func TestOpenRefuses(t *testing.T) {
	ctx, dir := t.Context(), t.TempDir()

	_, err := Open(ctx, filepath.Join(dir, "missing", "season.db"))
	refused(t, err, trug.NotFound, "there is no folder")

	absent := filepath.Join(dir, "absent.db")
	_, err = OpenExisting(ctx, absent)
	refused(t, err, trug.NotFound, "there is no season in")
	if _, err := os.Stat(absent); !errors.Is(err, fs.ErrNotExist) {
		t.Errorf("looking for a season made a file (%v)", err)
	}

	text := filepath.Join(dir, "letter.txt")
	letter := strings.Repeat("Dear recorder, thank you for the basket. ", 100)
	if err := os.WriteFile(text, []byte(letter), 0o600); err != nil {
		t.Fatal(err)
	}
	_, err = Open(ctx, text)
	refused(t, err, trug.Invalid, "not one of Trug")
	if now, err := os.ReadFile(text); string(now) != letter {
		t.Errorf("the letter was changed (%v)", err)
	}

	foreign := filepath.Join(dir, "foreign.db")
	if err := behind(t, foreign, "CREATE TABLE shopping (item TEXT)"); err != nil {
		t.Fatal(err)
	}
	shopping, err := os.ReadFile(foreign)
	if err != nil {
		t.Fatal(err)
	}
	_, err = Open(ctx, foreign)
	refused(t, err, trug.Invalid, "of another program")
	if now, err := os.ReadFile(foreign); !bytes.Equal(now, shopping) {
		t.Errorf("the database of another program was changed (%v)", err)
	}
}

func TestNewerDatabaseIsRefused(t *testing.T) {
	path := filepath.Join(t.TempDir(), "season.db")
	if err := mustOpen(t, path).Close(); err != nil {
		t.Fatal(err)
	}
	if err := behind(t, path, "INSERT INTO schema_version (version_id, is_applied) VALUES (999, 1)"); err != nil {
		t.Fatal(err)
	}
	_, err := Open(t.Context(), path)
	refused(t, err, trug.Invalid, "written by a newer Trug (layout 999")
}

func TestOneServerAtATime(t *testing.T) {
	t.Parallel()
	ctx, path := t.Context(), filepath.Join(t.TempDir(), "season.db")
	server, err := OpenExclusive(ctx, path)
	if err != nil {
		t.Fatal(err)
	}
	_, err = OpenExclusive(ctx, path)
	refused(t, err, trug.Busy, "another Trug (process "+strconv.Itoa(os.Getpid())+") is already serving")

	// Commands go on beside it, writing ones too.
	for _, open := range []func() (store.Store, error){
		func() (store.Store, error) { return Open(ctx, path) },
		func() (store.Store, error) { return OpenExisting(ctx, path) },
	} {
		beside, err := open()
		if err != nil {
			t.Fatal(err)
		}
		save(t, beside, 1)
		if err := beside.Close(); err != nil {
			t.Error(err)
		}
	}
	save(t, server, 2)
	if err := server.Close(); err != nil {
		t.Fatal(err)
	}
	again, err := OpenExclusive(ctx, path)
	if err != nil {
		t.Fatalf("the lock outlived its store: %v", err)
	}
	if err := again.Close(); err != nil {
		t.Error(err)
	}
}

func save(t testing.TB, s store.Store, n int) {
	t.Helper()
	err := s.Write(t.Context(), func(w store.Writer) error {
		return store.Put(t.Context(), w, killRecord(n), store.Author{}, time.Now())
	})
	if err != nil {
		t.Fatal(err)
	}
}

func TestTablesDoNotChangeUnderAServer(t *testing.T) {
	t.Parallel()
	path := filepath.Join(t.TempDir(), "season.db")
	held, err := takeLock(t.Context(), path) // as a server of an older version has it
	if err != nil {
		t.Fatal(err)
	}
	defer held.release()
	_, err = Open(t.Context(), path)
	refused(t, err, trug.Busy, "stop the server")
}

func TestOpenAtOnce(t *testing.T) {
	path := filepath.Join(t.TempDir(), "season.db")
	var wg sync.WaitGroup
	for n := range 4 {
		wg.Go(func() {
			s, err := Open(t.Context(), path)
			if err != nil {
				t.Error(err)
				return
			}
			defer s.Close()
			err = s.Write(t.Context(), func(w store.Writer) error {
				return store.Put(t.Context(), w, killRecord(n), store.Author{}, time.Now())
			})
			if err != nil {
				t.Error(err)
			}
		})
	}
	wg.Wait()
	s := mustOpen(t, path)
	if says, err := s.Check(t.Context()); err != nil || len(says) != 0 {
		t.Errorf("Check says %q (%v)", says, err)
	}
}

// These settings are what makes a save survive a power cut.
func TestSettings(t *testing.T) {
	path := filepath.Join(t.TempDir(), "season.db")
	mustOpen(t, path)
	for _, c := range []struct{ more, setting, want string }{
		{"", "journal_mode", "wal"},
		{"", "synchronous", "2"}, // FULL (https://www.sqlite.org/pragma.html#pragma_synchronous)
		{"", "foreign_keys", "1"},
		{"", "busy_timeout", "10000"},
		{"", "fullfsync", "1"},
		{"_query_only=1", "query_only", "1"},
	} {
		db, err := pool(path, 1, c.more)
		if err != nil {
			t.Fatal(err)
		}
		if got := setting(t, db, c.setting); got != c.want {
			t.Errorf("%s is %s, want %s", c.setting, got, c.want)
		}
		if err := db.Close(); err != nil {
			t.Error(err)
		}
	}
	info, err := os.Stat(path)
	if err != nil || info.Mode().Perm() != 0o600 {
		t.Errorf("the file has mode %v, want -rw------- (%v)", info.Mode(), err)
	}
}

// A row must not be saved without its amendment, even when the use case
// forgets the error.
func TestForgottenErrorSavesNothing(t *testing.T) {
	path := filepath.Join(t.TempDir(), "season.db")
	s := mustOpen(t, path)
	if err := behind(t, path, `CREATE TRIGGER broken BEFORE INSERT ON amendments BEGIN SELECT RAISE(ABORT, 'no'); END`); err != nil {
		t.Fatal(err)
	}
	err := s.Write(t.Context(), func(w store.Writer) error {
		if store.Put(t.Context(), w, killRecord(1), store.Author{}, time.Now()) == nil {
			t.Error("Save does not tell of the missing amendment")
		}
		return nil
	})
	if err == nil {
		t.Error("Write does not tell of the missing amendment")
	}
	err = s.Read(t.Context(), func(r store.Reader) error {
		_, err := r.Load(t.Context(), store.Records, killID(1))
		return err
	})
	if trug.KindOf(err) != trug.NotFound {
		t.Errorf("the row was saved without its amendment (%v)", err)
	}
}
