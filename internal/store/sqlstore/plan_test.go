package sqlstore_test

import (
	"database/sql"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"trug/internal/store"
	"trug/internal/store/sqlite"
	"trug/internal/store/sqlstore"
)

// Every query of a use case must go through an index, by SQLite's own account
// of its plan, or a season slows down as it fills.
func TestQueriesUseTheirIndex(t *testing.T) {
	path := filepath.Join(t.TempDir(), "season.db")
	s, err := sqlite.Open(t.Context(), path)
	if err != nil {
		t.Fatal(err)
	}
	defer s.Close()
	db, err := sql.Open("sqlite", path)
	if err != nil {
		t.Fatal(err)
	}
	defer db.Close()
	check := func(query string, args []any, index string) {
		t.Helper()
		plan := planOf(t, db, query, args)
		if !strings.Contains(plan, "INDEX "+index+" ") {
			t.Errorf("%s\ngoes by %s, want index %s", query, plan, index)
		}
	}
	for _, c := range []struct {
		f     store.Filter
		index string
	}{
		{store.Filter{Season: "s"}, "view_season"},
		{store.Filter{Parent: "p"}, "view_parent"},
		{store.Filter{Season: "s", Parent: "p"}, "view_parent"},
		{store.Filter{Key: "k"}, "view_key"},
		{store.Filter{Season: "s", Key: "k"}, "view_key"},
	} {
		query, args := sqlstore.FindSQL(store.Views, c.f)
		check(query, args, c.index)
	}
	for _, c := range []struct {
		f     store.SecretFilter
		index string
	}{
		{store.SecretFilter{Kind: store.Sessions, Key: "k"}, "secrets_key"},
		{store.SecretFilter{Kind: store.Sessions, Person: "p"}, "secrets_person"},
		{store.SecretFilter{Kind: store.Invitations, Season: "s"}, "secrets_season"},
		{store.SecretFilter{Kind: store.Sessions, Over: time.Now()}, "secrets_until"},
	} {
		query, args := sqlstore.SecretsSQL(c.f)
		check(query, args, c.index)
	}
	for _, c := range []struct {
		f     store.AmendmentFilter
		index string
	}{
		{store.AmendmentFilter{Season: "s", Limit: 9}, "amendments_season"},
		{store.AmendmentFilter{Season: "s", Person: "p", Before: 7, Limit: 9}, "amendments_person"},
		{store.AmendmentFilter{Season: "s", Of: store.Named{Kind: store.Records, ID: "x"}, Limit: 9}, "amendments_parent"},
	} {
		query, args := sqlstore.AmendmentsSQL(c.f)
		check(query, args, c.index)
	}
	check(sqlstore.HistorySQL, []any{"record", "x"}, "amendments_thing")
	check(sqlstore.SinceSQL, []any{"s", 1, 10}, "amendments_season")
}

func planOf(t *testing.T, db *sql.DB, query string, args []any) string {
	t.Helper()
	rows, err := db.QueryContext(t.Context(), "EXPLAIN QUERY PLAN "+query, args...)
	if err != nil {
		t.Fatal(err)
	}
	defer rows.Close()
	var plan strings.Builder
	for rows.Next() {
		var id, parent, unused int
		var detail string
		if err := rows.Scan(&id, &parent, &unused, &detail); err != nil {
			t.Fatal(err)
		}
		plan.WriteString(detail + "; ")
	}
	if err := rows.Err(); err != nil {
		t.Fatal(err)
	}
	return plan.String()
}
