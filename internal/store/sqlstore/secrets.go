package sqlstore

import (
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

const (
	secretColumns = `kind, id, season, person, "key", until, body`
	keepSecret    = `INSERT INTO secrets (` + secretColumns + `) VALUES ($1, $2, $3, $4, $5, $6, $7)
		ON CONFLICT (kind, id) DO UPDATE SET season = excluded.season, person = excluded.person,
		"key" = excluded."key", until = excluded.until, body = excluded.body`
	secretHolder = `SELECT id FROM secrets WHERE kind = $1 AND "key" = $2 AND "key" <> '' AND id <> $3`
)

// Secrets returns the secrets that the filter chooses, ordered by identifier.
func (v view) Secrets(ctx context.Context, f store.SecretFilter) ([]store.Secret, error) {
	query, args := secretsQuery(f)
	found, err := collect(ctx, v, query, args, scanSecret)
	return found, v.store.explain(ctx, "find secrets of kind "+string(f.Kind), err)
}

func secretsQuery(f store.SecretFilter) (string, []any) {
	conditions, args := whereSecrets(f)
	query := `SELECT ` + secretColumns + ` FROM secrets` + conditions + ` ORDER BY id`
	if f.Newest > 0 {
		args = append(args, f.Newest)
		query += fmt.Sprintf(" DESC LIMIT $%d", len(args))
	}
	return query, args
}

func scanSecret(rows *sql.Rows) (s store.Secret, err error) {
	var until string
	if err := rows.Scan(&s.Kind, &s.ID, &s.Season, &s.Person, &s.Key, &until, (*[]byte)(&s.Body)); err != nil {
		return s, err
	}
	if until != "" {
		s.Until, err = time.Parse(timeForm, until)
	}
	return s, err
}

func whereSecrets(f store.SecretFilter) (string, []any) {
	args := []any{string(f.Kind)}
	conditions := " WHERE kind = $1"
	for _, c := range []struct{ column, value string }{{"id", string(f.ID)}, {"season", string(f.Season)}, {"person", string(f.Person)}, {`"key"`, f.Key}} {
		if c.value != "" {
			args = append(args, c.value)
			conditions += fmt.Sprintf(" AND %s = $%d AND %[1]s <> ''", c.column, len(args))
		}
	}
	if f.Before != "" {
		args = append(args, string(f.Before))
		conditions += fmt.Sprintf(" AND id < $%d", len(args))
	}
	if !f.Over.IsZero() {
		args = append(args, f.Over.UTC().Format(timeForm))
		conditions += fmt.Sprintf(" AND until < $%d AND until <> ''", len(args))
	}
	return conditions, args
}

// KeepSecret writes the secret, in place of one of the same kind and ID.
func (c *change) KeepSecret(ctx context.Context, s store.Secret) error {
	if s.ID == "" || s.Kind == "" || !json.Valid(s.Body) || !utf8.Valid(s.Body) {
		return fmt.Errorf("keep a secret of kind %q: it has no identifier or no body", s.Kind)
	}
	for _, t := range []string{string(s.ID), string(s.Season), string(s.Person), s.Key} {
		if strings.ContainsRune(t, 0) || !utf8.ValidString(t) {
			return trug.Errorf(trug.Invalid, "", "This holds characters that can't be kept: type it again.")
		}
	}
	if c.broken != nil {
		return c.broken
	}
	if s.Key != "" {
		var holder string
		err := c.tx.QueryRowContext(ctx, secretHolder, string(s.Kind), s.Key, string(s.ID)).Scan(&holder)
		switch {
		case err == nil:
			return trug.Errorf(trug.Conflict, "", "there is such a %s already", strings.ReplaceAll(string(s.Kind), "_", " "))
		case !errors.Is(err, sql.ErrNoRows):
			return c.store.explain(ctx, "look for a secret", err)
		}
	}
	until := ""
	if !s.Until.IsZero() {
		until = s.Until.UTC().Format(timeForm)
	}
	_, err := c.tx.ExecContext(ctx, keepSecret, string(s.Kind), string(s.ID), string(s.Season), string(s.Person), s.Key, until, string(s.Body))
	return c.store.explain(ctx, "keep a secret", err)
}

// DropSecrets deletes the secrets that the filter chooses.
func (c *change) DropSecrets(ctx context.Context, f store.SecretFilter) (int, error) {
	conditions, args := whereSecrets(f)
	if len(args) < 2 {
		return 0, fmt.Errorf("delete secrets of kind %q: say which", f.Kind)
	}
	done, err := c.tx.ExecContext(ctx, `DELETE FROM secrets`+conditions, args...)
	if err != nil {
		return 0, c.store.explain(ctx, "delete secrets", err)
	}
	n, err := done.RowsAffected()
	return int(n), c.store.explain(ctx, "delete secrets", err)
}
