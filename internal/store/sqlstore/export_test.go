package sqlstore

import "trug/internal/store"

// FindSQL is the statement behind Find.
func FindSQL(kind store.Kind, f store.Filter) (string, []any) {
	conditions, args := where(f)
	return statementsFor(kind).find + conditions + " ORDER BY id", args
}

// The statements behind History and Since.
const (
	HistorySQL = history
	SinceSQL   = since
)

// AmendmentsSQL is the query of Amendments.
var AmendmentsSQL = amendmentsQuery

// SecretsSQL is the query of Secrets.
var SecretsSQL = secretsQuery
