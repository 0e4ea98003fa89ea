package sqlstore

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"strings"
	"time"

	"trug"
	"trug/internal/store"
)

// view reads within one transaction.
type view struct {
	store *Store
	tx    *sql.Tx
	// ready are the statements that were prepared, by their text: thousands of
	// rows in one transaction are then written without parsing SQL for each.
	// They end with the transaction.
	ready map[string]*sql.Stmt
}

// prepared returns the statement, which the database has parsed once.
func (v view) prepared(ctx context.Context, query string) (*sql.Stmt, error) {
	if s := v.ready[query]; s != nil {
		return s, nil
	}
	s, err := v.tx.PrepareContext(ctx, query)
	if err == nil {
		v.ready[query] = s
	}
	return s, err
}

// one reads the one row that a query yields, sql.ErrNoRows without any.
func (v view) one(ctx context.Context, query string, args []any, into ...any) error {
	s, err := v.prepared(ctx, query)
	if err != nil {
		return err
	}
	return s.QueryRowContext(ctx, args...).Scan(into...)
}

// timeForm is how instants are kept: in UTC, in fixed width, so that text
// sorts by time and any tool can read it.
const timeForm = "2006-01-02T15:04:05.000000000Z"

func (v view) statements(kind store.Kind) (statements, error) {
	s, ok := v.store.tables[kind]
	if !ok {
		return s, fmt.Errorf("there is no kind of thing called %q", kind)
	}
	return s, nil
}

// Load returns the row, or an error of kind trug.NotFound.
func (v view) Load(ctx context.Context, kind store.Kind, id trug.ID) (store.Row, error) {
	s, err := v.statements(kind)
	if err != nil {
		return store.Row{}, err
	}
	row := store.Row{Kind: kind}
	err = v.one(ctx, s.load, []any{string(id)}, &row.ID, &row.Season, &row.Parent, &row.Key, (*[]byte)(&row.Body))
	switch {
	case errors.Is(err, sql.ErrNoRows):
		return store.Row{}, trug.Errorf(trug.NotFound, "", "there is no %s %s here", kind.Word(), id)
	case err != nil:
		return store.Row{}, v.store.explain(ctx, fmt.Sprintf("load %s %s", kind.Word(), id), err)
	}
	return row, nil
}

// Find returns the rows that the filter chooses, ordered by identifier.
func (v view) Find(ctx context.Context, kind store.Kind, f store.Filter) ([]store.Row, error) {
	s, err := v.statements(kind)
	if err != nil {
		return nil, err
	}
	conditions, args := where(f)
	found, err := collect(ctx, v, s.find+conditions+" ORDER BY id", args, func(rows *sql.Rows) (store.Row, error) {
		row := store.Row{Kind: kind}
		return row, rows.Scan(&row.ID, &row.Season, &row.Parent, &row.Key, (*[]byte)(&row.Body))
	})
	return found, v.store.explain(ctx, "find things of kind "+kind.Word(), err)
}

// History returns the amendments of one thing, oldest first.
func (v view) History(ctx context.Context, kind store.Kind, id trug.ID) ([]store.Amendment, error) {
	if _, err := v.statements(kind); err != nil {
		return nil, err
	}
	found, err := collect(ctx, v, history, []any{string(kind), string(id)}, scanAmendment)
	return found, v.store.explain(ctx, fmt.Sprintf("read the history of %s %s", kind.Word(), id), err)
}

// Since returns the amendments of a season after seq, oldest first, at most
// limit, which must be above 0.
func (v view) Since(ctx context.Context, season trug.ID, seq int64, limit int) ([]store.Amendment, error) {
	if limit <= 0 {
		return nil, fmt.Errorf("asked for at most %d amendments: ask for at least one", limit)
	}
	found, err := collect(ctx, v, since, []any{string(season), seq, limit}, scanAmendment)
	return found, v.store.explain(ctx, "read the amendments of season "+string(season), err)
}

// Amendments returns the amendments that the filter chooses, newest first.
func (v view) Amendments(ctx context.Context, f store.AmendmentFilter) ([]store.Amendment, error) {
	if f.Limit <= 0 {
		return nil, fmt.Errorf("asked for at most %d amendments: ask for at least one", f.Limit)
	}
	query, args := amendmentsQuery(f)
	found, err := collect(ctx, v, query, args, scanAmendment)
	return found, v.store.explain(ctx, "read the amendments that were asked for", err)
}

func amendmentsQuery(f store.AmendmentFilter) (string, []any) {
	c := &chosen{text: readAmendments + ` WHERE season = $1`, args: []any{string(f.Season)}}
	c.equal("person", string(f.Person))
	if len(f.Kinds) > 0 {
		marks := make([]string, len(f.Kinds))
		for i, k := range f.Kinds {
			c.args = append(c.args, string(k))
			marks[i] = fmt.Sprintf("$%d", len(c.args))
		}
		c.text += " AND kind IN (" + strings.Join(marks, ", ") + ")"
	}
	if f.Of.ID != "" {
		// Each half has its index: of the thing by kind and identifier, of what belongs to it by parent.
		c.args = append(c.args, string(f.Of.Kind), string(f.Of.ID))
		n := len(c.args)
		c.text += fmt.Sprintf(` AND seq IN (SELECT seq FROM amendments WHERE kind = $%d AND id = $%d
			UNION ALL SELECT seq FROM amendments WHERE parent = $%[2]d AND parent <> '')`, n-1, n)
	}
	c.newest(f.From, f.Until, f.Before, f.Limit)
	return c.text, c.args
}

// Taken returns the number of the amendment by which each thing of a kind first came.
func (v view) Taken(ctx context.Context, kind store.Kind) (map[trug.ID]int64, error) {
	if _, err := v.statements(kind); err != nil {
		return nil, err
	}
	type first struct {
		id  trug.ID
		seq int64
	}
	found, err := collect(ctx, v, taken, []any{string(kind)}, func(rows *sql.Rows) (f first, err error) {
		return f, rows.Scan(&f.id, &f.seq)
	})
	order := make(map[trug.ID]int64, len(found))
	for _, f := range found {
		order[f.id] = f.seq
	}
	return order, v.store.explain(ctx, "read in which order things of kind "+kind.Word()+" came", err)
}

// LastSeq returns the number of the newest amendment, 0 for none.
func (v view) LastSeq(ctx context.Context) (int64, error) {
	var seq int64
	err := v.tx.QueryRowContext(ctx, lastSeq).Scan(&seq)
	return seq, v.store.explain(ctx, "read the number of the last amendment", err)
}

func scanAmendment(rows *sql.Rows) (store.Amendment, error) {
	var a store.Amendment
	var at string
	err := rows.Scan(&a.Seq, &at, &a.By.Person, &a.By.Device, &a.Kind, &a.ID, &a.Season, &a.Parent,
		(*[]byte)(&a.Before), (*[]byte)(&a.After), &a.Redacted)
	if err != nil {
		return a, err
	}
	if a.At, err = time.Parse(timeForm, at); err != nil {
		return a, fmt.Errorf("read the time of amendment %d: %w", a.Seq, err)
	}
	return a, nil
}

// collect returns what scan makes of each row that the query yields.
func collect[T any](ctx context.Context, v view, query string, args []any, scan func(*sql.Rows) (T, error)) ([]T, error) {
	s, err := v.prepared(ctx, query)
	if err != nil {
		return nil, err
	}
	rows, err := s.QueryContext(ctx, args...)
	if err != nil {
		return nil, err
	}
	defer rows.Close()
	var all []T
	for rows.Next() {
		one, err := scan(rows)
		if err != nil {
			return nil, err
		}
		all = append(all, one)
	}
	if err := rows.Err(); err != nil {
		return nil, err
	}
	return all, nil
}
