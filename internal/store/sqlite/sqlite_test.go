package sqlite

import (
	"database/sql"
	"path/filepath"
	"testing"

	"trug/internal/store"
	"trug/internal/store/storetest"
)

func TestStore(t *testing.T) {
	storetest.Run(t, func(t *testing.T) (store.Store, storetest.Tamper) {
		path := filepath.Join(t.TempDir(), "season ?#%41.db")
		s := mustOpen(t, path)
		return s, func(statement string) error { return behind(t, path, statement) }
	})
}

func mustOpen(t testing.TB, path string) store.Store {
	t.Helper()
	s, err := Open(t.Context(), path)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		if err := s.Close(); err != nil {
			t.Error(err)
		}
	})
	return s
}

// behind runs a statement on the file as another program would.
func behind(t testing.TB, path, statement string) error {
	t.Helper()
	db, err := pool(path, 1, "")
	if err != nil {
		t.Fatal(err)
	}
	defer db.Close()
	_, err = db.ExecContext(t.Context(), statement)
	return err
}

// setting returns what a connection of the pool says of a setting.
func setting(t *testing.T, db *sql.DB, name string) string {
	t.Helper()
	var value string
	if err := db.QueryRowContext(t.Context(), "PRAGMA "+name).Scan(&value); err != nil {
		t.Fatal(err)
	}
	return value
}
