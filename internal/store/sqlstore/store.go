package sqlstore

import (
	"context"
	"database/sql"
	"fmt"

	"trug/internal/store"
)

// Dialect is what one database does in its own way.
type Dialect struct {
	// Explain returns an error with a kind and a sentence for a driver's
	// error that it knows by its code, else nil.
	Explain func(error) error
	// Reading is how a transaction is opened that sees one unchanging view.
	Reading sql.TxOptions
	// Alone makes the transaction the only one that writes, until it ends;
	// nil where every writing transaction is so from its opening.
	Alone func(context.Context, *sql.Tx) error
	// Inspect returns a sentence for each fault of the database's own files;
	// nil where the database offers no such check.
	Inspect func(context.Context, *sql.Tx) ([]string, error)
}

// Store is a store.Store over a database whose tables are up to date.
type Store struct {
	reads, writes *sql.DB
	dialect       Dialect
	tables        map[store.Kind]statements
	release       func() error
}

// New returns the store over two pools of connections, one for reading and
// one for writing, which may be the same. Close closes both and then calls
// release, unless it is nil.
func New(reads, writes *sql.DB, dialect Dialect, release func() error) *Store {
	s := &Store{reads: reads, writes: writes, dialect: dialect, tables: map[store.Kind]statements{}, release: release}
	for _, kind := range store.Kinds {
		s.tables[kind] = statementsFor(kind)
	}
	return s
}

// Read runs fn on one consistent view.
func (s *Store) Read(ctx context.Context, fn func(store.Reader) error) error {
	return s.read(ctx, func(v view) error { return fn(v) })
}

func (s *Store) read(ctx context.Context, fn func(view) error) error {
	tx, err := s.reads.BeginTx(ctx, &s.dialect.Reading)
	if err != nil {
		return s.explain(ctx, "open the store for reading", err)
	}
	// Nothing was written, so there is nothing to commit, and an error in
	// giving up the view harms nobody.
	defer tx.Rollback()
	return fn(view{s, tx, map[string]*sql.Stmt{}})
}

// Write runs fn in one transaction, alone among writers. It is durable when
// Write returns nil; an error or a panic in fn leaves nothing behind. Within
// fn, calling Write again on the same store waits for ever: pass the Writer on.
func (s *Store) Write(ctx context.Context, fn func(store.Writer) error) error {
	tx, err := s.writes.BeginTx(ctx, nil)
	if err != nil {
		return s.explain(ctx, "open the store for writing", err)
	}
	defer tx.Rollback() // does nothing after a commit
	if s.dialect.Alone != nil {
		if err := s.dialect.Alone(ctx, tx); err != nil {
			return s.explain(ctx, "wait for other writers", err)
		}
	}
	c := &change{view: view{s, tx, map[string]*sql.Stmt{}}}
	if err := fn(c); err != nil {
		return err
	}
	if c.broken != nil {
		return c.broken
	}
	if err := tx.Commit(); err != nil {
		return s.explain(ctx, "save what was written", err)
	}
	return nil
}

// Close closes the connections and lets go of what New was given to release.
func (s *Store) Close() error {
	err := s.reads.Close()
	if s.writes != s.reads {
		if e := s.writes.Close(); err == nil {
			err = e
		}
	}
	if s.release != nil {
		if e := s.release(); err == nil {
			err = e
		}
	}
	return err
}

// explain says what was being done when err came up. A context that has ended
// is the reason for whatever the driver says about it.
func (s *Store) explain(ctx context.Context, doing string, err error) error {
	if err == nil {
		return nil
	}
	if ctx.Err() != nil {
		return fmt.Errorf("%s: %w", doing, ctx.Err())
	}
	if known := s.dialect.Explain(err); known != nil {
		return known
	}
	return fmt.Errorf("%s: %w", doing, err)
}
