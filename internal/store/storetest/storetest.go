// Package storetest is what every store has to pass, whatever its database.
package storetest

import (
	"context"
	"fmt"
	"testing"
	"time"

	"trug"
	"trug/internal/store"
)

// Tamper runs one SQL statement on a store's database behind its back, as a
// person with a database tool could.
type Tamper func(statement string) error

// Run puts the store through the suite. open returns a new, empty store, which
// it closes when the test ends, and the way to tamper with it.
func Run(t *testing.T, open func(t *testing.T) (store.Store, Tamper)) {
	for _, part := range []struct {
		name string
		run  func(*testing.T, *bench)
	}{
		{"every field of every thing comes back", everyThing},
		{"what is not there is not found", notFound},
		{"a key is used once in a season", keysConflict},
		{"a thing stays in its season", staysInSeason},
		{"saving again writes nothing", saveAgain},
		{"history tells every change", historyTells},
		{"amendments of a season since a number", sinceNumber},
		{"rows are ordered by the bytes of their IDs", ordered},
		{"the order of taking is not that of the IDs", takenInOrder},
		{"filters choose", filters},
		{"odd text comes back", oddText},
		{"text that can't be kept is refused", refusedText},
		{"large bodies come back", largeBodies},
		{"an error leaves nothing", errorLeavesNothing},
		{"a panic leaves nothing", panicLeavesNothing},
		{"a conflict does not end the transaction", conflictGoesOn},
		{"writers at once lose nothing", writersAtOnce},
		{"a reader sees one view", oneView},
		{"a writer sees its own changes", ownChanges},
		{"a context that ends stops the work", contextEnds},
		{"every field of every secret comes back", everySecret},
		{"secrets are changed and deleted, and no amendment tells of them", secretsGo},
		{"the key of a secret is used once", secretKeys},
		{"a redaction takes words out of rows and history", redacts},
		{"secrets are read by page", secretsByPage},
		{"amendments are chosen", amendmentsChosen},
		{"looks are kept", looksStay},
		{"check finds what was tampered with", checkFinds},
		{"the database guards its history", guards},
	} {
		t.Run(part.name, func(t *testing.T) {
			s, tamper := open(t)
			part.run(t, &bench{Store: s, tamper: tamper, ctx: t.Context()})
		})
	}
}

// bench is a store on the bench, with short ways to use it.
type bench struct {
	store.Store
	tamper Tamper
	ctx    context.Context
}

var (
	noon = time.Date(2026, 10, 10, 12, 0, 0, 123456789, time.UTC)
	wren = store.Author{Person: "01999999-0000-7000-8000-000000000001", Device: "telephone of Wren"}
)

const (
	seasonOne trug.ID = "01999999-0000-7000-8000-0000000000a1"
	seasonTwo trug.ID = "01999999-0000-7000-8000-0000000000a2"
)

// id returns the n-th identifier of the tests.
func id(n int) trug.ID { return trug.ID(fmt.Sprintf("01999999-1000-7000-8000-%012x", n)) }

// record returns the n-th record of the tests.
func record(n int) trug.Record {
	return trug.Record{ID: id(n), SeasonID: seasonOne, Number: fmt.Sprintf("W26-%04d", n), Remarks: "as found"}
}

// put writes things of one kind in one transaction.
func put[T store.Thing](t *testing.T, b *bench, things ...T) {
	t.Helper()
	if err := tryPut(b, things...); err != nil {
		t.Fatal(err)
	}
}

func tryPut[T store.Thing](b *bench, things ...T) error {
	return b.Write(b.ctx, func(w store.Writer) error {
		for _, thing := range things {
			if err := store.Put(b.ctx, w, thing, wren, noon); err != nil {
				return err
			}
		}
		return nil
	})
}

// get reads one thing.
func get[T store.Thing](t *testing.T, b *bench, id trug.ID) T {
	t.Helper()
	var thing T
	err := b.Read(b.ctx, func(r store.Reader) (err error) {
		thing, err = store.Get[T](b.ctx, r, id)
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return thing
}

// find reads rows.
func find(t *testing.T, b *bench, kind store.Kind, f store.Filter) []store.Row {
	t.Helper()
	var rows []store.Row
	err := b.Read(b.ctx, func(r store.Reader) (err error) {
		rows, err = r.Find(b.ctx, kind, f)
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return rows
}

// history reads the amendments of a thing.
func history(t *testing.T, b *bench, kind store.Kind, id trug.ID) []store.Amendment {
	t.Helper()
	var found []store.Amendment
	err := b.Read(b.ctx, func(r store.Reader) (err error) {
		found, err = r.History(b.ctx, kind, id)
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return found
}

func lastSeq(t *testing.T, b *bench) int64 {
	t.Helper()
	var seq int64
	err := b.Read(b.ctx, func(r store.Reader) (err error) {
		seq, err = r.LastSeq(b.ctx)
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return seq
}

// clean fails the test unless Check finds nothing.
func clean(t *testing.T, b *bench) {
	t.Helper()
	says, err := b.Check(b.ctx)
	if err != nil {
		t.Fatal(err)
	}
	for _, s := range says {
		t.Errorf("Check says: %s", s)
	}
}

func wantKind(t *testing.T, err error, kind trug.ErrorKind) {
	t.Helper()
	if err == nil || trug.KindOf(err) != kind {
		t.Errorf("error is %v of kind %d, want one of kind %d", err, trug.KindOf(err), kind)
	}
}
