package storetest

import (
	"context"
	"errors"
	"fmt"
	"strings"
	"sync"
	"testing"

	"trug"
	"trug/internal/store"
)

func errorLeavesNothing(t *testing.T, b *bench) {
	put(t, b, record(1))
	stop := errors.New("stop")
	err := b.Write(b.ctx, func(w store.Writer) error {
		changed := record(1)
		changed.Remarks = "changed"
		if err := store.Put(b.ctx, w, changed, wren, noon); err != nil {
			return err
		}
		if err := store.Put(b.ctx, w, record(2), wren, noon); err != nil {
			return err
		}
		return stop
	})
	if !errors.Is(err, stop) {
		t.Errorf("Write returned %v", err)
	}
	onlyFirst(t, b)
}

func panicLeavesNothing(t *testing.T, b *bench) {
	put(t, b, record(1))
	func() {
		defer func() {
			if recover() == nil {
				t.Error("the panic was swallowed")
			}
		}()
		_ = b.Write(b.ctx, func(w store.Writer) error {
			if err := store.Put(b.ctx, w, record(2), wren, noon); err != nil {
				return err
			}
			panic("stop")
		})
	}()
	onlyFirst(t, b)
}

// onlyFirst checks that record 1 alone is there as it was, that the next
// amendment gets the next number, and that the store goes on working.
func onlyFirst(t *testing.T, b *bench) {
	t.Helper()
	if rows := find(t, b, store.Records, store.Filter{}); len(rows) != 1 || get[trug.Record](t, b, id(1)).Remarks != "as found" {
		t.Errorf("%d records are there, or the first was changed", len(rows))
	}
	put(t, b, record(3))
	if n := lastSeq(t, b); n != 2 {
		t.Errorf("the last amendment is %d, want 2", n)
	}
	clean(t, b)
}

func conflictGoesOn(t *testing.T, b *bench) {
	put(t, b, record(1))
	err := b.Write(b.ctx, func(w store.Writer) error {
		clash := record(2)
		clash.Number = record(1).Number
		wantKind(t, store.Put(b.ctx, w, clash, wren, noon), trug.Conflict)
		return store.Put(b.ctx, w, record(2), wren, noon)
	})
	if err != nil {
		t.Fatal(err)
	}
	get[trug.Record](t, b, id(2))
	clean(t, b)
}

func writersAtOnce(t *testing.T, b *bench) {
	const writers, each = 6, 20
	put(t, b, trug.Person{ID: id(0), SeasonID: seasonOne})
	var wg sync.WaitGroup
	for n := range writers {
		wg.Go(func() {
			for i := range each {
				err := b.Write(b.ctx, func(w store.Writer) error {
					// A count kept in a row loses steps unless each writer
					// sees what the last one left.
					p, err := store.Get[trug.Person](b.ctx, w, id(0))
					if err != nil {
						return err
					}
					p.Name += "|"
					if err := store.Put(b.ctx, w, p, wren, noon); err != nil {
						return err
					}
					return store.Put(b.ctx, w, record(1+n*each+i), wren, noon)
				})
				if err != nil {
					t.Error(err)
				}
			}
		})
	}
	wg.Go(func() {
		for range each {
			err := b.Read(b.ctx, func(r store.Reader) error {
				_, err := store.List[trug.Record](b.ctx, r, store.Filter{Season: seasonOne})
				return err
			})
			if err != nil {
				t.Error(err)
			}
		}
	})
	wg.Wait()
	if got := get[trug.Person](t, b, id(0)).Name; got != strings.Repeat("|", writers*each) {
		t.Errorf("%d steps were counted, want %d", len(got), writers*each)
	}
	if rows := find(t, b, store.Records, store.Filter{}); len(rows) != writers*each {
		t.Errorf("%d records are there, want %d", len(rows), writers*each)
	}
	if n := lastSeq(t, b); n != 1+2*writers*each {
		t.Errorf("the last amendment is %d, want %d", n, 1+2*writers*each)
	}
	clean(t, b)
}

func oneView(t *testing.T, b *bench) {
	put(t, b, record(1))
	err := b.Read(b.ctx, func(r store.Reader) error {
		if _, err := r.Load(b.ctx, store.Records, id(1)); err != nil {
			return err
		}
		changed := record(1)
		changed.Remarks = "changed"
		put(t, b, changed)
		put(t, b, record(2))
		again, err := store.Get[trug.Record](b.ctx, r, id(1))
		if err != nil || again.Remarks != "as found" {
			t.Errorf("the record changed under its reader: %q (%v)", again.Remarks, err)
		}
		rows, err := r.Find(b.ctx, store.Records, store.Filter{})
		if len(rows) != 1 {
			t.Errorf("the reader sees %d records, want the 1 that was there", len(rows))
		}
		if seq, err := r.LastSeq(b.ctx); seq != 1 || err != nil {
			t.Errorf("the reader sees amendment %d, want 1 (%v)", seq, err)
		}
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	if got := get[trug.Record](t, b, id(1)); got.Remarks != "changed" {
		t.Error("the next reader does not see the change")
	}
}

func ownChanges(t *testing.T, b *bench) {
	err := b.Write(b.ctx, func(w store.Writer) error {
		for i := 1; i <= 3; i++ {
			if err := store.Put(b.ctx, w, record(i), wren, noon); err != nil {
				return err
			}
		}
		got, err := store.ByKey[trug.Record](b.ctx, w, seasonOne, "W26-0002")
		if got.ID != id(2) {
			t.Errorf("found %q, want %q", got.ID, id(2))
		}
		if seq, err := w.LastSeq(b.ctx); seq != 3 || err != nil {
			t.Errorf("the writer sees amendment %d, want 3 (%v)", seq, err)
		}
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
}

func contextEnds(t *testing.T, b *bench) {
	ended, end := context.WithCancel(b.ctx)
	end()
	called := func(store.Reader) error { t.Error("fn was called"); return nil }
	if err := b.Read(ended, called); !errors.Is(err, context.Canceled) {
		t.Errorf("Read returned %v", err)
	}
	if err := b.Write(ended, func(w store.Writer) error { return called(w) }); !errors.Is(err, context.Canceled) {
		t.Errorf("Write returned %v", err)
	}
	put(t, b, record(1))
	during, end := context.WithCancel(b.ctx)
	err := b.Write(during, func(w store.Writer) error {
		if err := store.Put(during, w, record(2), wren, noon); err != nil {
			return err
		}
		end()
		if err := store.Put(during, w, record(3), wren, noon); !errors.Is(err, context.Canceled) {
			t.Errorf("Save returned %v", err)
		}
		return nil // forgetting the error must not save half
	})
	if !errors.Is(err, context.Canceled) {
		t.Errorf("Write returned %v", err)
	}
	onlyFirst(t, b)

	// A writer that waits for another gives up when its context ends.
	err = b.Write(b.ctx, func(store.Writer) error {
		waiting, end := context.WithCancel(b.ctx)
		result := make(chan error)
		go func() { result <- b.Write(waiting, func(store.Writer) error { return nil }) }()
		end()
		if err := <-result; !errors.Is(err, context.Canceled) {
			t.Errorf("the waiting writer returned %v", err)
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
}

func checkFinds(t *testing.T, b *bench) {
	put(t, b, record(1), record(2), record(3), record(4), record(5), record(6))
	clean(t, b)
	body := func(r trug.Record) string {
		row, err := store.RowOf(r)
		if err != nil {
			t.Fatal(err)
		}
		return string(row.Body)
	}
	strange := record(1)
	strange.Remarks = "put there by hand"
	for _, c := range []struct{ statement, finds string }{
		{fmt.Sprintf(`UPDATE "record" SET body = '%s' WHERE id = '%s'`, body(strange), id(1)), "not as its last amendment"},
		{fmt.Sprintf(`UPDATE "record" SET body = 'nonsense' WHERE id = '%s'`, id(2)), "can't be read"},
		{fmt.Sprintf(`UPDATE "record" SET "key" = 'W26-9999' WHERE id = '%s'`, id(3)), "filed under"},
		{fmt.Sprintf(`UPDATE "record" SET season = '%s' WHERE id = '%s'`, seasonTwo, id(4)), "does not belong where"},
		{fmt.Sprintf(`INSERT INTO "record" (id, season, parent, "key", body) VALUES ('%s', '%s', '', 'W26-0007', '%s')`,
			id(7), seasonOne, body(record(7))), "no amendment"},
		{fmt.Sprintf(`INSERT INTO amendments (seq, at, person, device, kind, id, season, parent, "before", "after")
			VALUES (7, '2026-10-10T12:00:00.000000000Z', '', '', 'record', '%s', '%s', '', '{}', '%s')`,
			id(5), seasonOne, body(record(5))), "does not start from"},
		{fmt.Sprintf(`INSERT INTO amendments (seq, at, person, device, kind, id, season, parent, "before", "after")
			VALUES (9, '2026-10-10T12:00:00.000000000Z', '', '', 'record', '%s', '%s', '', NULL, '{}')`,
			id(99), seasonOne), "it is not there"},
		// Number 8 is missing since 9 follows 7.
		{`INSERT INTO amendments (seq, at, person, device, kind, id, season, parent, "before", "after")
			VALUES (10, '2026-10-10T12:00:00.000000000Z', '', '', 'mushroom', 'x', '', '', NULL, '{}')`, `kind "mushroom"`},
	} {
		before, err := b.Check(b.ctx)
		if err != nil {
			t.Fatal(err)
		}
		if strings.Contains(strings.Join(before, "\n"), c.finds) {
			t.Errorf("%q was found before it was done: %q", c.finds, before)
		}
		if err := b.tamper(c.statement); err != nil {
			t.Fatalf("%s: %v", c.statement, err)
		}
		after, err := b.Check(b.ctx)
		if err != nil || !strings.Contains(strings.Join(after, "\n"), c.finds) {
			t.Errorf("after %s\nCheck says %q (%v), want something with %q", c.statement, after, err, c.finds)
		}
	}
	says, err := b.Check(b.ctx)
	if err != nil || !strings.Contains(strings.Join(says, "\n"), "some are missing") {
		t.Errorf("a gap in the numbers was not found: %q (%v)", says, err)
	}
	if strings.Contains(strings.Join(says, "\n"), string(id(6))) {
		t.Errorf("a record that nobody touched is complained of: %q", says)
	}
}

func guards(t *testing.T, b *bench) {
	put(t, b, record(1))
	for _, statement := range []string{
		`UPDATE amendments SET device = 'nobody'`,
		`DELETE FROM amendments`,
		`DELETE FROM "record"`,
	} {
		if b.tamper(statement) == nil {
			t.Errorf("%s was let through", statement)
		}
	}
	for _, kind := range store.Kinds {
		// A DELETE that finds no row passes everywhere, so each table gets one.
		insert := fmt.Sprintf(`INSERT INTO "%s" (id, season, parent, "key", body) VALUES ('guarded', '', '', '', '{}')`, kind)
		if err := b.tamper(insert); err != nil {
			t.Errorf("%s: %v", insert, err)
		}
		if b.tamper(fmt.Sprintf(`DELETE FROM "%s"`, kind)) == nil {
			t.Errorf("rows of kind %s can be deleted", kind.Word())
		}
	}
}
