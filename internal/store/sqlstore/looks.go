package sqlstore

import (
	"context"
	"database/sql"
	"fmt"
	"time"

	"trug/internal/store"
)

const note = `INSERT INTO looks (seq, at, season, person, way, record)
	SELECT COALESCE(MAX(seq), 0) + 1, $1, $2, $3, $4, $5 FROM looks`

// Note adds looks.
func (c *change) Note(ctx context.Context, looks []store.Look) error {
	for _, k := range looks {
		_, err := c.tx.ExecContext(ctx, note, k.At.UTC().Format(timeForm), string(k.Season), string(k.Person), k.Way, string(k.Record))
		if err != nil {
			return c.store.explain(ctx, "note who looked", err)
		}
	}
	return nil
}

// Looks returns the looks that the filter chooses, newest first.
func (v view) Looks(ctx context.Context, f store.LookFilter) ([]store.Look, error) {
	if f.Limit <= 0 {
		return nil, fmt.Errorf("asked for at most %d looks: ask for at least one", f.Limit)
	}
	query, args := `SELECT seq, at, season, person, way, record FROM looks WHERE season = $1`, []any{string(f.Season)}
	and := func(condition string, value any) {
		args = append(args, value)
		query += fmt.Sprintf(" AND "+condition+" $%d", len(args))
	}
	if f.Person != "" {
		and("person =", string(f.Person))
	}
	if f.Record != "" {
		and("record =", string(f.Record))
	}
	if f.Before > 0 {
		and("seq <", f.Before)
	}
	args = append(args, f.Limit)
	query += fmt.Sprintf(" ORDER BY seq DESC LIMIT $%d", len(args))
	found, err := collect(ctx, v, query, args, func(rows *sql.Rows) (k store.Look, err error) {
		var at string
		if err := rows.Scan(&k.Seq, &at, (*string)(&k.Season), (*string)(&k.Person), &k.Way, (*string)(&k.Record)); err != nil {
			return k, err
		}
		k.At, err = time.Parse(timeForm, at)
		return k, err
	})
	return found, v.store.explain(ctx, "read who looked", err)
}
