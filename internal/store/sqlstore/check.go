package sqlstore

import (
	"bytes"
	"context"
	"database/sql"
	"fmt"
	"slices"

	"trug"
	"trug/internal/store"
)

// Check proves that rows and amendments agree: every row is what its last
// amendment left, every amendment starts from what the one before it left, no
// number is missing, and the columns of every row are those of its body. It
// returns a sentence for each disagreement.
func (s *Store) Check(ctx context.Context) ([]string, error) {
	var says []string
	err := s.read(ctx, func(v view) error {
		for _, check := range []func(context.Context, view) ([]string, error){s.inspect, checkNumbers, checkKinds, checkRedactions} {
			found, err := check(ctx, v)
			if err != nil {
				return s.explain(ctx, "check the store", err)
			}
			says = append(says, found...)
		}
		for _, kind := range store.Kinds {
			found, err := checkKind(ctx, v, kind)
			if err != nil {
				return s.explain(ctx, "check the things of kind "+kind.Word(), err)
			}
			says = append(says, found...)
		}
		return nil
	})
	return says, err
}

func (s *Store) inspect(ctx context.Context, v view) ([]string, error) {
	if s.dialect.Inspect == nil {
		return nil, nil
	}
	return s.dialect.Inspect(ctx, v.tx)
}

// checkNumbers finds amendments that were taken out.
func checkNumbers(ctx context.Context, v view) ([]string, error) {
	var n, first, last int64
	if err := v.tx.QueryRowContext(ctx, count).Scan(&n, &first, &last); err != nil {
		return nil, err
	}
	if first != 1 || last != n {
		return []string{fmt.Sprintf("there are %d amendments, numbered %d to %d: some are missing", n, first, last)}, nil
	}
	return nil, nil
}

// checkKinds finds amendments of things that this program does not know.
func checkKinds(ctx context.Context, v view) ([]string, error) {
	found, err := collect(ctx, v, kinds, nil, func(rows *sql.Rows) (kind store.Kind, err error) {
		return kind, rows.Scan(&kind)
	})
	var says []string
	for _, kind := range found {
		if !slices.Contains(store.Kinds, kind) {
			says = append(says, fmt.Sprintf("there are amendments of kind %q, which this program does not know", kind))
		}
	}
	return says, err
}

// step is an amendment beside the row as it is now.
type step struct {
	seq                                     int64
	id, season, parent                      trug.ID
	before, after                           []byte
	rowID, rowSeason, rowParent, key, stays sql.NullString
}

func scanStep(rows *sql.Rows) (step, error) {
	var s step
	err := rows.Scan(&s.seq, &s.id, &s.season, &s.parent, &s.before, &s.after,
		&s.rowID, &s.rowSeason, &s.rowParent, &s.key, &s.stays)
	return s, err
}

// checkKind walks the amendments of a kind, thing by thing. It holds one
// amendment at a time, however long the history.
func checkKind(ctx context.Context, v view, kind store.Kind) ([]string, error) {
	table := v.store.tables[kind]
	rows, err := v.tx.QueryContext(ctx, table.trace, string(kind))
	if err != nil {
		return nil, err
	}
	defer rows.Close()
	var says []string
	var last step
	for rows.Next() {
		now, err := scanStep(rows)
		if err != nil {
			return nil, err
		}
		if now.id != last.id {
			says = append(says, last.settle(kind)...)
			last = step{}
		}
		if !bytes.Equal(now.before, last.after) {
			says = append(says, fmt.Sprintf("%s %s: amendment %d does not start from what was there before it", kind.Word(), now.id, now.seq))
		}
		last = now
	}
	if err := rows.Err(); err != nil {
		return nil, err
	}
	says = append(says, last.settle(kind)...)

	loose, err := collect(ctx, v, table.unamended, []any{string(kind)}, func(rows *sql.Rows) (id string, err error) {
		return id, rows.Scan(&id)
	})
	for _, id := range loose {
		says = append(says, fmt.Sprintf("%s %s: there is no amendment that tells of it", kind.Word(), id))
	}
	return says, err
}

// settle compares the last amendment of a thing with its row.
func (s step) settle(kind store.Kind) []string {
	if s.id == "" {
		return nil
	}
	var says []string
	disagree := func(format string, args ...any) {
		says = append(says, fmt.Sprintf("%s %s: ", kind.Word(), s.id)+fmt.Sprintf(format, args...))
	}
	if !s.rowID.Valid {
		disagree("amendment %d tells of it, but it is not there", s.seq)
		return says
	}
	row := store.Row{Kind: kind, ID: s.id, Season: trug.ID(s.rowSeason.String), Parent: trug.ID(s.rowParent.String), Key: s.key.String}
	if s.stays.String != string(s.after) {
		disagree("it is not as its last amendment %d left it", s.seq)
	}
	if seasonOf(row) != s.season || row.Parent != s.parent {
		disagree("it does not belong where its last amendment %d put it", s.seq)
	}
	told, err := store.RowOfBody(kind, []byte(s.stays.String))
	if err != nil {
		disagree("it can't be read: %v", err)
		return says
	}
	if told.ID != row.ID || told.Season != row.Season || told.Parent != row.Parent || told.Key != row.Key {
		disagree("it is filed under %q in season %q, but itself says %q in season %q", row.Key, row.Season, told.Key, told.Season)
	}
	return says
}
