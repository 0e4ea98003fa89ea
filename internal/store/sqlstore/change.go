package sqlstore

import (
	"bytes"
	"context"
	"database/sql"
	"encoding/json"
	"errors"
	"fmt"
	"strings"
	"time"
	"unicode/utf8"

	"trug"
	"trug/internal/store"
)

// change reads and writes within one transaction.
type change struct {
	view
	// broken is the error that may have left a row without its amendment;
	// the transaction is then undone whatever the caller makes of the error.
	broken error
}

// Save writes the row and its amendment, or nothing when it is there already.
func (c *change) Save(ctx context.Context, row store.Row, by store.Author, at time.Time) error {
	s, err := c.statements(row.Kind)
	if err != nil {
		return err
	}
	if err := fit(row, by); err != nil {
		return err
	}
	if c.broken != nil {
		return c.broken
	}
	old, err := c.Load(ctx, row.Kind, row.ID)
	isNew := trug.KindOf(err) == trug.NotFound
	switch {
	case isNew:
	case err != nil:
		return err
	case old.Season == row.Season && old.Parent == row.Parent && old.Key == row.Key && bytes.Equal(old.Body, row.Body):
		return nil
	case old.Season != row.Season:
		return trug.Errorf(trug.NotFound, "", "There is no such %s here.", row.Kind.Word()) // it is another season's, which is nobody's business
	}
	if err := c.keyIsFree(ctx, s, row); err != nil {
		return err
	}
	c.broken = c.write(ctx, s, isNew, old, row, by, at)
	return c.broken
}

// fit refuses what not every database can keep, so that all refuse alike:
// bodies that are not JSON, and NUL or broken UTF-8 outside the body.
func fit(row store.Row, by store.Author) error {
	if row.ID == "" {
		return fmt.Errorf("save a %s without an identifier", row.Kind.Word())
	}
	if !json.Valid(row.Body) || !utf8.Valid(row.Body) {
		return fmt.Errorf("save %s %s: the body is not JSON", row.Kind.Word(), row.ID)
	}
	for _, t := range []struct{ field, text string }{
		{"id", string(row.ID)}, {"season", string(row.Season)}, {"parent", string(row.Parent)},
		{"key", row.Key}, {"person", string(by.Person)}, {"device", by.Device},
	} {
		if strings.ContainsRune(t.text, 0) || !utf8.ValidString(t.text) {
			return trug.Errorf(trug.Invalid, t.field, "%q holds characters that can't be kept: type it again", t.text)
		}
	}
	return nil
}

// keyIsFree returns an error of kind trug.Conflict when another row of the
// kind and season has the key. The unique index would find it too, but some
// databases then give up the whole transaction, which the caller may not want.
func (c *change) keyIsFree(ctx context.Context, s statements, row store.Row) error {
	if row.Key == "" {
		return nil
	}
	var holder string
	err := c.one(ctx, s.holder, []any{string(row.Season), row.Key, string(row.ID)}, &holder)
	switch {
	case errors.Is(err, sql.ErrNoRows):
		return nil
	case err != nil:
		return c.store.explain(ctx, fmt.Sprintf("look for a %s %q", row.Kind.Word(), row.Key), err)
	}
	return trug.Errorf(trug.Conflict, "", "there is already a %s %q: open that one, or choose another", row.Kind.Word(), row.Key)
}

// write puts down the row and the amendment.
func (c *change) write(ctx context.Context, s statements, isNew bool, old, row store.Row, by store.Author, at time.Time) error {
	put, before := s.update, any(string(old.Body))
	if isNew {
		put, before = s.insert, nil
	}
	doing := fmt.Sprintf("save %s %s", row.Kind.Word(), row.ID)
	body := string(row.Body)
	if err := c.exec(ctx, put, string(row.ID), string(row.Season), string(row.Parent), row.Key, body); err != nil {
		return c.store.explain(ctx, doing, err)
	}
	err := c.exec(ctx, amend, at.UTC().Format(timeForm), string(by.Person), by.Device,
		string(row.Kind), string(row.ID), string(seasonOf(row)), string(row.Parent), before, body)
	return c.store.explain(ctx, doing, err)
}

func (c *change) exec(ctx context.Context, query string, args ...any) error {
	s, err := c.prepared(ctx, query)
	if err != nil {
		return err
	}
	_, err = s.ExecContext(ctx, args...)
	return err
}

// seasonOf returns the season under which the amendments of the row are
// listed: for a season that is itself.
func seasonOf(row store.Row) trug.ID {
	if row.Kind == store.Seasons {
		return row.ID
	}
	return row.Season
}
