package sqlstore

import (
	"context"
	"database/sql"
	"fmt"
	"io/fs"

	"github.com/pressly/goose/v3"

	"trug"
)

// VersionTable is where the number of the last migration is kept.
const VersionTable = "schema_version"

// Migrations are the numbered changes that bring a database's tables up to
// what this program reads and writes.
type Migrations struct {
	Dialect goose.Dialect
	// Files holds them as 00001_name.sql and so on.
	Files fs.FS
}

func (m Migrations) provider(db *sql.DB) (*goose.Provider, error) {
	return goose.NewProvider(m.Dialect, db, m.Files,
		goose.WithTableName(VersionTable), goose.WithDisableGlobalRegistry(true), goose.WithLogger(goose.NopLogger()))
}

// Pending reports whether the database, whose tables have the given version
// (0 for none), is older than this program. A database that is newer is an
// error of kind trug.Invalid: an older program would read it wrongly.
func (m Migrations) Pending(db *sql.DB, version int64) (bool, error) {
	p, err := m.provider(db)
	if err != nil {
		return false, fmt.Errorf("read the migrations: %w", err)
	}
	sources := p.ListSources()
	newest := sources[len(sources)-1].Version
	if version > newest {
		return false, trug.Errorf(trug.Invalid, "", "the data were written by a newer Trug (layout %d, and this one knows layouts up to %d): use that newer version of the program", version, newest)
	}
	return version < newest, nil
}

// Up applies the migrations that are pending, each in a transaction.
func (m Migrations) Up(ctx context.Context, db *sql.DB) error {
	p, err := m.provider(db)
	if err != nil {
		return fmt.Errorf("read the migrations: %w", err)
	}
	if _, err := p.Up(ctx); err != nil {
		return fmt.Errorf("bring the tables up to date: %w", err)
	}
	return nil
}

// Version returns the number of the last migration applied to a database that
// has been migrated before.
func Version(ctx context.Context, db *sql.DB) (int64, error) {
	var version sql.NullInt64
	err := db.QueryRowContext(ctx, `SELECT MAX(version_id) FROM `+VersionTable).Scan(&version)
	return version.Int64, err
}
