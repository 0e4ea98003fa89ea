package sqlstore

import (
	"fmt"
	"strings"

	"trug/internal/store"
)

// statements is the SQL for one kind. The name of the table is the kind, a
// constant of this program; whatever people type goes through placeholders.
type statements struct {
	load, find, insert, update, holder string
	trace, unamended                   string
}

const amendmentColumns = `seq, at, person, device, kind, id, season, parent, "before", "after"`

const readAmendments = `SELECT ` + amendmentColumns + `, redacted FROM amendments`

func statementsFor(kind store.Kind) statements {
	on := func(text string) string { return strings.ReplaceAll(text, "TABLE", `"`+string(kind)+`"`) }
	return statements{
		load:   on(`SELECT id, season, parent, "key", body FROM TABLE WHERE id = $1`),
		find:   on(`SELECT id, season, parent, "key", body FROM TABLE`),
		insert: on(`INSERT INTO TABLE (id, season, parent, "key", body) VALUES ($1, $2, $3, $4, $5)`),
		update: on(`UPDATE TABLE SET season = $2, parent = $3, "key" = $4, body = $5 WHERE id = $1`),
		holder: on(`SELECT id FROM TABLE WHERE season = $1 AND "key" = $2 AND "key" <> '' AND id <> $3`),
		trace: on(`SELECT a.seq, a.id, a.season, a.parent, a."before", a."after", r.id, r.season, r.parent, r."key", r.body
			FROM amendments a LEFT JOIN TABLE r ON r.id = a.id WHERE a.kind = $1 ORDER BY a.id, a.seq`),
		unamended: on(`SELECT r.id FROM TABLE r WHERE NOT EXISTS
			(SELECT 1 FROM amendments a WHERE a.kind = $1 AND a.id = r.id) ORDER BY r.id`),
	}
}

// The amendments. The next number is reckoned in place, not drawn from a
// sequence, since sequences leave gaps where a transaction was undone.
const (
	amend = `INSERT INTO amendments (` + amendmentColumns + `)
		SELECT COALESCE(MAX(seq), 0) + 1, $1, $2, $3, $4, $5, $6, $7, $8, $9 FROM amendments`
	history = readAmendments + ` WHERE kind = $1 AND id = $2 ORDER BY seq`
	since   = readAmendments + ` WHERE season = $1 AND seq > $2 ORDER BY seq LIMIT $3`
	taken   = `SELECT id, MIN(seq) FROM amendments WHERE kind = $1 GROUP BY id`
	lastSeq = `SELECT COALESCE(MAX(seq), 0) FROM amendments`
	count   = `SELECT COUNT(*), COALESCE(MIN(seq), 1), COALESCE(MAX(seq), 0) FROM amendments`
	redact  = `UPDATE amendments SET "before" = $1, "after" = $2, redacted = $3 WHERE seq = $4`
	// loose are redacted amendments whose redaction is not there.
	loose = `SELECT a.seq FROM amendments a LEFT JOIN amendments r ON r.seq = a.redacted AND r.kind = 'redaction' AND r.seq > a.seq
		WHERE a.redacted <> 0 AND r.seq IS NULL ORDER BY a.seq`
	told  = `SELECT a.seq, a.id, r."after" FROM amendments a JOIN amendments r ON r.seq = a.redacted AND r.kind = 'redaction' WHERE a.redacted <> 0 ORDER BY a.seq`
	kinds = `SELECT DISTINCT kind FROM amendments ORDER BY kind`
)

// where returns the conditions of the filter and their arguments. The indexes
// by parent and by key leave out rows without one; saying "is not empty" in so
// many words is what lets the database use them.
func where(f store.Filter) (string, []any) {
	var conditions []string
	var args []any
	equal := func(column, value string) {
		if value == "" {
			return
		}
		args = append(args, value)
		conditions = append(conditions, fmt.Sprintf("%s = $%d AND %[1]s <> ''", column, len(args)))
	}
	equal("season", string(f.Season))
	equal("parent", string(f.Parent))
	equal(`"key"`, f.Key)
	if len(conditions) == 0 {
		return "", nil
	}
	return " WHERE " + strings.Join(conditions, " AND "), args
}
