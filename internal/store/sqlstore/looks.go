package sqlstore

import (
	"context"
	"database/sql"
	"fmt"
	"time"

	"trug/internal/store"
)

const note = `INSERT INTO looks (seq, at, season, person, way, record, site)
	SELECT COALESCE(MAX(seq), 0) + 1, $1, $2, $3, $4, $5, $6 FROM looks`

// Note adds looks.
func (c *change) Note(ctx context.Context, looks []store.Look) error {
	for _, k := range looks {
		_, err := c.tx.ExecContext(ctx, note, k.At.UTC().Format(timeForm), string(k.Season), string(k.Person), k.Way, string(k.Record), string(k.Site))
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
	c := &chosen{text: `SELECT seq, at, season, person, way, record, site FROM looks WHERE season = $1`, args: []any{string(f.Season)}}
	c.equal("person", string(f.Person))
	c.equal("record", string(f.Record))
	c.equal("site", string(f.Site))
	c.equal("way", f.Way)
	c.newest(f.From, f.Until, f.Before, f.Limit)
	found, err := collect(ctx, v, c.text, c.args, func(rows *sql.Rows) (k store.Look, err error) {
		var at string
		if err := rows.Scan(&k.Seq, &at, (*string)(&k.Season), (*string)(&k.Person), &k.Way, (*string)(&k.Record), (*string)(&k.Site)); err != nil {
			return k, err
		}
		k.At, err = time.Parse(timeForm, at)
		return k, err
	})
	return found, v.store.explain(ctx, "read who looked", err)
}

// chosen is a query that grows by conditions.
type chosen struct {
	text string
	args []any
}

func (c *chosen) and(condition string, value any) {
	c.args = append(c.args, value)
	c.text += fmt.Sprintf(" AND "+condition+" $%d", len(c.args))
}

// equal asks for a value where there is one to ask for.
func (c *chosen) equal(column, value string) {
	if value != "" {
		c.and(column+" =", value)
	}
}

// newest asks for a span of time, and for the newest before a number.
func (c *chosen) newest(from, until time.Time, before int64, limit int) {
	if !from.IsZero() {
		c.and("at >=", from.UTC().Format(timeForm))
	}
	if !until.IsZero() {
		c.and("at <", until.UTC().Format(timeForm))
	}
	if before > 0 {
		c.and("seq <", before)
	}
	c.args = append(c.args, limit)
	c.text += fmt.Sprintf(" ORDER BY seq DESC LIMIT $%d", len(c.args))
}
