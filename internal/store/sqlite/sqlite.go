// Package sqlite is the store in one SQLite file, the default: nothing has to
// be installed or run beside Trug.
//
// The file is in write-ahead mode with full synchronisation, so what Write has
// saved survives a power cut, and readers and the writer don't wait for each
// other. One connection writes; a few read.
//
// Several programs may have the file open at once: the server through
// OpenExclusive, of which there is one at a time, and beside it commands that
// read and now and then write through Open or OpenExisting. The file must lie
// on a disk of the machine, since network file systems don't keep SQLite's locks.
package sqlite

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"io/fs"
	"net/url"
	"os"
	"path/filepath"
	"strings"
	"time"

	driver "modernc.org/sqlite"

	"trug"
	"trug/internal/store"
	"trug/internal/store/sqlstore"
)

// readers is how many connections read at once: a handful of cheap queries
// keeps a small machine busy, and each connection holds memory for its cache.
const readers = 4

// patience is how long a connection waits for another program's write.
const patience = 10 * time.Second

// Open opens the database in the file, which it makes where there is none,
// beside whoever else has it open. Where the tables are older than this
// program it brings them up to date, and returns an error of kind trug.Busy
// when a server is using them.
func Open(ctx context.Context, path string) (store.Store, error) { return open(ctx, path, false) }

// OpenExisting is Open for commands that only look at what is there: a missing
// file is an error of kind trug.NotFound in place of a new empty database.
func OpenExisting(ctx context.Context, path string) (store.Store, error) {
	if _, err := os.Stat(path); errors.Is(err, fs.ErrNotExist) {
		return nil, trug.Errorf(trug.NotFound, "", "there is no season in %s: check the folder, or make a season there first", filepath.Dir(path))
	}
	return open(ctx, path, false)
}

// OpenExclusive is Open for the server: no other may open the database so
// until this one is closed or its process ends, however it ends. While another
// has it the error is of kind trug.Busy and says what to do.
func OpenExclusive(ctx context.Context, path string) (store.Store, error) {
	return open(ctx, path, true)
}

func open(ctx context.Context, path string, exclusive bool) (store.Store, error) {
	path, err := filepath.Abs(path)
	if err != nil {
		return nil, err
	}
	if err := makeFile(path); err != nil {
		return nil, err
	}
	var held *lock
	if exclusive {
		if held, err = takeLock(ctx, path); err != nil {
			return nil, err
		}
	}
	s, err := connect(ctx, path, held)
	if err != nil {
		return nil, errors.Join(err, held.release())
	}
	return s, nil
}

// makeFile makes the empty database file, readable by its owner alone since it
// holds names and places. SQLite gives its other files the same permissions,
// and synchronises the folder with the first of them.
func makeFile(path string) error {
	f, err := os.OpenFile(path, os.O_CREATE|os.O_EXCL|os.O_RDWR, 0o600)
	switch {
	case errors.Is(err, fs.ErrExist):
		return nil
	case errors.Is(err, fs.ErrNotExist):
		return trug.Errorf(trug.NotFound, "", "there is no folder %s: make it first, or check how it is written", filepath.Dir(path))
	case errors.Is(err, fs.ErrPermission):
		return trug.Errorf(trug.NotFound, "", "no file may be made in %s: give Trug write access to the folder, or choose another", filepath.Dir(path))
	case err != nil:
		return err
	}
	return f.Close()
}

// connect opens the pools and brings the tables up to date.
func connect(ctx context.Context, path string, held *lock) (store.Store, error) {
	// fdatasync is as durable as fsync here and often twice as fast; where
	// the system has none, SQLite keeps to its own way.
	_, _ = driver.Fdatasync(true)
	writes, err := pool(path, 1, "_txlock=immediate")
	if err != nil {
		return nil, err
	}
	if err := prepare(ctx, writes, path, held); err != nil {
		return nil, errors.Join(err, writes.Close())
	}
	reads, err := pool(path, readers, "_query_only=1")
	if err != nil {
		return nil, errors.Join(err, writes.Close())
	}
	dialect := sqlstore.Dialect{
		Explain: explain,
		Reading: sql.TxOptions{ReadOnly: true},
		Inspect: inspect,
	}
	return sqlstore.New(reads, writes, dialect, held.release), nil
}

// pool returns a pool of connections to the file. All settings are those of a
// connection, so they stand in the name by which connections are opened.
func pool(path string, most int, more string) (*sql.DB, error) {
	settings := []string{
		more,
		fmt.Sprintf("_busy_timeout=%d", patience.Milliseconds()),
		"_synchronous=FULL",
		"_foreign_keys=1",
		"_dqs=0",               // a misspelt column is an error, not a text
		"_defensive=1",         // no statement may damage the file
		"_error_rc=1",          // errors speak of what went wrong alone
		"_pragma=fullfsync(1)", // on macOS fsync alone does not reach the disk
		"_pragma=checkpoint_fullfsync(1)",
		"_pragma=secure_delete(1)",             // what was taken out is overwritten in the file
		"_pragma=journal_size_limit(67108864)", // give the disk back after a burst
	}
	slashed := filepath.ToSlash(path)
	if !strings.HasPrefix(slashed, "/") {
		slashed = "/" + slashed // C:/season becomes file:///C:/season
	}
	name := url.URL{Scheme: "file", Path: slashed, RawQuery: strings.Join(settings, "&")}
	connector, err := driver.NewConnector(name.String())
	if err != nil {
		return nil, err
	}
	db := sql.OpenDB(connector)
	db.SetMaxOpenConns(most)
	db.SetMaxIdleConns(most)
	return db, nil
}
