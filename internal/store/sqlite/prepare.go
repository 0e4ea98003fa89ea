package sqlite

import (
	"context"
	"database/sql"
	"embed"
	"io/fs"
	"path/filepath"
	"time"

	"github.com/pressly/goose/v3"

	"trug"
	"trug/internal/store/sqlstore"
)

//go:embed migrations/*.sql
var files embed.FS

// mark is the application_id by which Trug knows its files: "Trug" in ASCII.
const mark = 0x54727567

// prepare sees that the file is one of Trug and that its tables are those
// which this program reads and writes.
func prepare(ctx context.Context, db *sql.DB, path string, held *lock) error {
	only, err := fs.Sub(files, "migrations")
	if err != nil {
		return err
	}
	m := sqlstore.Migrations{Dialect: goose.DialectSQLite3, Files: only}
	pending, err := pending(ctx, db, path, m)
	if err != nil {
		return err
	}
	if !pending {
		return known(writeAhead(ctx, db)) // a database tool may have changed it
	}
	if held == nil {
		// The tables must not change under a server, so a lesser command
		// takes the server's lock while it changes them.
		brief, err := takeLock(ctx, path)
		if trug.KindOf(err) == trug.Busy {
			return trug.Errorf(trug.Busy, "", "the data in %s are of an older Trug and a server is using them: stop the server, start it again with this version, then repeat the command", filepath.Dir(path))
		}
		if err != nil {
			return err
		}
		defer brief.release()
	}
	return migrate(ctx, db, path, m)
}

// migrate brings the tables up to date, under the lock. Another may have done
// so while this one waited for it.
func migrate(ctx context.Context, db *sql.DB, path string, m sqlstore.Migrations) error {
	pending, err := pending(ctx, db, path, m)
	if err != nil || !pending {
		return err
	}
	if err := writeAhead(ctx, db); err != nil {
		return known(err)
	}
	if err := m.Up(ctx, db); err != nil {
		return known(err)
	}
	return nil
}

// writeAhead puts the file into write-ahead mode, in which it then stays. While
// another connection reads, SQLite refuses the change at once instead of
// waiting (https://www.sqlite.org/c3ref/busy_handler.html), so it is tried
// again for a while.
func writeAhead(ctx context.Context, db *sql.DB) error {
	for end := time.Now().Add(lockPatience); ; {
		var mode string
		err := db.QueryRowContext(ctx, "PRAGMA journal_mode = WAL").Scan(&mode)
		switch {
		case err == nil && mode == "wal":
			return nil
		case err == nil:
			return trug.Errorf(trug.Invalid, "", "the data folder lies on a disk that can't keep a database safe (no write-ahead log): choose a folder on a disk of this machine")
		case trug.KindOf(known(err)) != trug.Busy || time.Now().After(end):
			return err
		}
		select {
		case <-ctx.Done():
			return ctx.Err()
		case <-time.After(20 * time.Millisecond):
		}
	}
}

// pending reports whether the tables are older than this program. A database
// of another program is refused before anything is written to it.
func pending(ctx context.Context, db *sql.DB, path string, m sqlstore.Migrations) (bool, error) {
	var id, tables, versions int64
	err := db.QueryRowContext(ctx, `SELECT (SELECT application_id FROM pragma_application_id),
		(SELECT COUNT(*) FROM sqlite_schema WHERE type = 'table' AND name NOT LIKE 'sqlite%'),
		(SELECT COUNT(*) FROM sqlite_schema WHERE type = 'table' AND name = $1)`,
		sqlstore.VersionTable).Scan(&id, &tables, &versions)
	if err != nil {
		return false, known(err)
	}
	// A kill between the first steps of the first migration leaves the table
	// of versions alone, without the mark.
	if id != mark && (id != 0 || tables > versions) {
		return false, trug.Errorf(trug.Invalid, "", "%s is a database of another program: choose another data folder", path)
	}
	var version int64
	if versions > 0 {
		if version, err = sqlstore.Version(ctx, db); err != nil {
			return false, known(err)
		}
	}
	return m.Pending(db, version)
}

// known returns what explain makes of err, err itself when it knows nothing.
func known(err error) error {
	if err == nil {
		return nil
	}
	if e := explain(err); e != nil {
		return e
	}
	return err
}

// inspect lets SQLite look through the whole file.
func inspect(ctx context.Context, tx *sql.Tx) ([]string, error) {
	rows, err := tx.QueryContext(ctx, "PRAGMA integrity_check")
	if err != nil {
		return nil, err
	}
	defer rows.Close()
	var says []string
	for rows.Next() {
		var line string
		if err := rows.Scan(&line); err != nil {
			return nil, err
		}
		if line != "ok" {
			says = append(says, "the database file is damaged: "+line)
		}
	}
	return says, rows.Err()
}
