package sqlstore

import (
	"bytes"
	"context"
	"database/sql"
	"encoding/json"
	"fmt"
	"slices"
	"time"

	"trug"
	"trug/internal/store"
)

// Redact takes words out of things, in their rows and in every amendment.
func (c *change) Redact(ctx context.Context, telling store.Row, of []store.Named, blank func(store.Kind, json.RawMessage) (json.RawMessage, error), by store.Author, at time.Time) error {
	if telling.Kind != store.Redactions {
		return fmt.Errorf("redact by a %s: a redaction has to tell of it", telling.Kind.Word())
	}
	before, err := c.LastSeq(ctx)
	if err != nil {
		return err
	}
	if err := c.Save(ctx, telling, by, at); err != nil {
		return err
	}
	seq, err := c.LastSeq(ctx)
	if err != nil {
		return err
	}
	if seq == before {
		return trug.Errorf(trug.Conflict, "", "this redaction was made already")
	}
	for _, thing := range of {
		if err := c.redactThing(ctx, thing, seq, blank); err != nil {
			// Words half taken out are never kept, whatever the caller makes of the error.
			c.broken = err
			return err
		}
	}
	return nil
}

func (c *change) redactThing(ctx context.Context, thing store.Named, seq int64, blank func(store.Kind, json.RawMessage) (json.RawMessage, error)) error {
	doing := fmt.Sprintf("redact %s %s", thing.Kind.Word(), thing.ID)
	history, err := c.History(ctx, thing.Kind, thing.ID)
	if err != nil {
		return err
	}
	row, err := c.Load(ctx, thing.Kind, thing.ID)
	if err != nil {
		return err
	}
	for _, a := range history {
		var was any
		old := a.Before
		if a.Before != nil {
			if old, err = blank(thing.Kind, a.Before); err != nil {
				return fmt.Errorf("%s: %w", doing, err)
			}
			was = string(old)
		}
		now, err := blank(thing.Kind, a.After)
		if err != nil {
			return fmt.Errorf("%s: %w", doing, err)
		}
		if bytes.Equal(old, a.Before) && bytes.Equal(now, a.After) {
			continue
		}
		if _, err := c.tx.ExecContext(ctx, redact, was, string(now), seq, a.Seq); err != nil {
			return c.store.explain(ctx, doing, err)
		}
	}
	body, err := blank(thing.Kind, row.Body)
	if err != nil {
		return fmt.Errorf("%s: %w", doing, err)
	}
	next, err := store.RowOfBody(thing.Kind, body)
	if err != nil {
		return fmt.Errorf("%s: %w", doing, err)
	}
	if next.ID != row.ID || next.Season != row.Season || next.Parent != row.Parent {
		return fmt.Errorf("%s: what is left belongs elsewhere", doing)
	}
	s, err := c.statements(thing.Kind)
	if err != nil {
		return err
	}
	next.Body = body
	if err := c.keyIsFree(ctx, s, next); err != nil {
		return err
	}
	_, err = c.tx.ExecContext(ctx, s.update, string(next.ID), string(next.Season), string(next.Parent), next.Key, string(body))
	return c.store.explain(ctx, doing, err)
}

// checkRedactions proves that every amendment of which words were taken out
// refers to a redaction that came after it and names its thing.
func checkRedactions(ctx context.Context, v view) ([]string, error) {
	orphans, err := collect(ctx, v, loose, nil, func(rows *sql.Rows) (seq int64, err error) { return seq, rows.Scan(&seq) })
	if err != nil {
		return nil, err
	}
	var says []string
	for _, seq := range orphans {
		says = append(says, fmt.Sprintf("amendment %d says that words were taken out of it, but no redaction tells of it", seq))
	}
	type redacted struct {
		seq   int64
		id    trug.ID
		after []byte
	}
	list, err := collect(ctx, v, told, nil, func(rows *sql.Rows) (r redacted, err error) {
		return r, rows.Scan(&r.seq, &r.id, &r.after)
	})
	for _, r := range list {
		var by trug.Redaction
		if err := json.Unmarshal(r.after, &by); err != nil || !slices.Contains(by.Of, r.id) {
			says = append(says, fmt.Sprintf("amendment %d says that words were taken out of it by a redaction that does not name its thing", r.seq))
		}
	}
	return says, err
}
