package app

import (
	"encoding/json"
	"slices"
	"strings"
	"testing"

	"trug/internal/store"
)

// Every kind of thing has words of its own and belongs to one sort of change,
// or a change of it would be told in the program's words, or not be found.
func TestEveryChangeHasWords(t *testing.T) {
	seen := map[store.Kind]int{}
	for _, x := range changeActs {
		for _, k := range x.kinds {
			seen[k]++
		}
	}
	for _, k := range store.Kinds {
		if seen[k] != 1 {
			t.Errorf("%s belongs to %d sorts of changes", k, seen[k])
		}
		if w := kindWords[k]; w.added == "" || w.changed == "" {
			t.Errorf("a change of a %s is told in no words", k)
		}
	}
	if len(seen) != len(store.Kinds) || len(kindWords) != len(store.Kinds) {
		t.Errorf("%d kinds are sorted, %d have words, of %d", len(seen), len(kindWords), len(store.Kinds))
	}
}

// What was done is said in words, and no value with it.
func TestChangeWordsTellNoValues(t *testing.T) {
	for _, c := range []struct {
		kind          store.Kind
		before, after string
		want          string
	}{
		{store.Records, ``, `{"number":"W26-0100"}`, "made a record"},
		{store.Records, `{"place":{"lat":48.512345}}`, `{"place":{"lat":48.598765},"fieldName":{"name":"secreta"}}`, "changed a record: field name, place"},
		{store.Records, `{}`, `{"withdrawn":"2026-10-10T10:00:00Z"}`, "took a record out of the season"},
		{store.Records, `{"withdrawn":"2026-10-10T10:00:00Z"}`, `{}`, "put a record back"},
		{store.Sites, `{"name":"secreta","centre":{"lat":48.512345}}`, `{"name":"other","centre":{"lat":48.598765}}`, "changed a site: centre, name"},
		{store.Marks, `{}`, `{"how":"cleared","why":"shadow"}`, "settled a mark that a person can be seen: cleared. Only a shadow or a reflection: nobody can be told by it"},
		{store.Photographs, `{}`, `{"crop":{"left":4},"width":3}`, "cropped a view"},
		{store.Protections, `{}`, `{"removed":"2026-10-10T10:00:00Z"}`, "took a name off the protected ones"},
		{store.Seasons, `{"poisonCentre":"1"}`, `{"poisonCentre":"2"}`, "changed the season's settings: poison centre"},
		{store.People, `{"name":"a"}`, `not JSON`, "changed what is kept of a person: name"},
	} {
		a := store.Amendment{Kind: c.kind, After: json.RawMessage(c.after)}
		if c.before != "" {
			a.Before = json.RawMessage(c.before)
		}
		got := changeWords(a)
		if got != c.want {
			t.Errorf("%s %s -> %s: %q, want %q", c.kind, c.before, c.after, got, c.want)
		}
		for _, value := range []string{"48.5", "secreta", "W26", "other"} {
			if strings.Contains(got, value) {
				t.Errorf("%q tells the value %s", got, value)
			}
		}
	}
}

// The ways by which places are seen are each offered once.
func TestEveryWayIsOffered(t *testing.T) {
	if s := slices.Clone(ways); len(slices.Compact(slices.Sorted(slices.Values(s)))) != len(ways) {
		t.Errorf("a way stands twice: %q", ways)
	}
}
