package sqlite

import (
	"database/sql"
	"os"
	"path/filepath"
	"testing"

	driver "modernc.org/sqlite"

	"trug"
)

// raw opens the file without Trug's settings, so that nothing waits.
func raw(t *testing.T, path string) *sql.DB {
	t.Helper()
	connector, err := driver.NewConnector("file:" + filepath.ToSlash(path))
	if err != nil {
		t.Fatal(err)
	}
	db := sql.OpenDB(connector)
	db.SetMaxOpenConns(1)
	t.Cleanup(func() { db.Close() })
	return db
}

func run(t *testing.T, db *sql.DB, statements ...string) (last error) {
	t.Helper()
	for _, s := range statements {
		_, last = db.ExecContext(t.Context(), s)
	}
	return last
}

// Each error is had from SQLite itself by bringing the fault about.
func TestExplain(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, "season.db")
	db := raw(t, path)
	refused(t, explain(run(t, db, "CREATE TABLE a (k TEXT UNIQUE, n INTEGER PRIMARY KEY)", "INSERT INTO a VALUES ('x', 1)", "INSERT INTO a VALUES ('x', 2)")),
		trug.Conflict, "already there")
	refused(t, explain(run(t, db, "INSERT INTO a VALUES ('y', 1)")), trug.Conflict, "already there")
	if err := run(t, db, "BEGIN IMMEDIATE"); err != nil {
		t.Fatal(err)
	}
	refused(t, explain(run(t, raw(t, path), "BEGIN IMMEDIATE")), trug.Busy, "another program")
	if err := run(t, db, "COMMIT"); err != nil {
		t.Fatal(err)
	}
	refused(t, explain(run(t, db, "PRAGMA max_page_count = 5", "INSERT INTO a (k) VALUES (hex(zeroblob(100000)))")), trug.Internal, "disk is full")
	refused(t, explain(run(t, db, "PRAGMA query_only = 1", "INSERT INTO a (k) VALUES ('z')")), trug.Internal, "may not be written")
	refused(t, explain(run(t, raw(t, filepath.Join(dir, "missing", "season.db")), "SELECT 1")), trug.NotFound, "can't be opened")

	text := filepath.Join(dir, "letter.txt")
	if err := os.WriteFile(text, make([]byte, 4096), 0o600); err != nil {
		t.Fatal(err)
	}
	refused(t, explain(run(t, raw(t, text), "CREATE TABLE b (c)")), trug.Invalid, "not one of Trug")

	if explain(run(t, db, "SELECT nonsense")) != nil {
		t.Error("a fault of the program was explained as one of the machine")
	}
	if explain(os.ErrClosed) != nil {
		t.Error("an error that is not SQLite's was explained")
	}
}

// Damage inside the file is found by Check, or refused with a sentence.
func TestDamageIsFound(t *testing.T) {
	path := filepath.Join(t.TempDir(), "season.db")
	s, err := Open(t.Context(), path)
	if err != nil {
		t.Fatal(err)
	}
	for n := range 20 {
		save(t, s, n)
	}
	if err := s.Close(); err != nil {
		t.Fatal(err)
	}
	whole, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	for at := len(whole) / 2; at < len(whole)/2+8192; at++ {
		whole[at] ^= 0x5a
	}
	if err := os.WriteFile(path, whole, 0o600); err != nil {
		t.Fatal(err)
	}
	says, err := mustOpen(t, path).Check(t.Context())
	if err != nil {
		refused(t, err, trug.Internal, "damaged")
	} else if len(says) == 0 {
		t.Error("two pages of nonsense in the file went unnoticed")
	}
}
