package storetest

import (
	"bytes"
	"encoding/json"
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"

	"trug"
	"trug/internal/store"
)

func notFound(t *testing.T, b *bench) {
	err := b.Read(b.ctx, func(r store.Reader) error {
		for _, kind := range store.Kinds {
			_, err := r.Load(b.ctx, kind, id(1))
			wantKind(t, err, trug.NotFound)
			rows, err := r.Find(b.ctx, kind, store.Filter{})
			if err != nil || len(rows) != 0 {
				t.Errorf("found %d things of kind %s in an empty store (%v)", len(rows), kind, err)
			}
		}
		if _, err := r.Load(b.ctx, "mushroom", id(1)); err == nil {
			t.Error("a kind that does not exist was loaded")
		}
		if _, err := r.Find(b.ctx, `record" --`, store.Filter{}); err == nil {
			t.Error("a kind that does not exist was found")
		}
		seq, err := r.LastSeq(b.ctx)
		if seq != 0 || err != nil {
			t.Errorf("the last amendment of an empty store is %d (%v)", seq, err)
		}
		_, err = store.ByKey[trug.Record](b.ctx, r, seasonOne, "W26-0001")
		wantKind(t, err, trug.NotFound)
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	clean(t, b)
}

func keysConflict(t *testing.T, b *bench) {
	put(t, b, record(1))
	same := record(2)
	same.Number = record(1).Number
	wantKind(t, tryPut(b, same), trug.Conflict)

	same.SeasonID = seasonTwo
	put(t, b, same) // another season has numbers of its own
	put(t, b, record(3))
	moved := record(3)
	moved.Number = record(1).Number
	wantKind(t, tryPut(b, moved), trug.Conflict)

	// Things without a key never meet, and a key given up is free again.
	put(t, b, trug.Person{ID: id(4), SeasonID: seasonOne}, trug.Person{ID: id(5), SeasonID: seasonOne})
	first := record(1)
	first.Number = "W26-9999"
	put(t, b, first)
	put(t, b, moved)
	// Capitals and accents make different keys.
	put(t, b, trug.Taxon{ID: id(6), SeasonID: seasonOne, Name: "Boletus é"}, trug.Taxon{ID: id(7), SeasonID: seasonOne, Name: "boletus é"},
		trug.Taxon{ID: id(8), SeasonID: seasonOne, Name: "Boletus e\u0301"})
	clean(t, b)
}

func staysInSeason(t *testing.T, b *bench) {
	put(t, b, record(1))
	stray := record(1)
	stray.SeasonID = seasonTwo
	wantKind(t, tryPut(b, stray), trug.NotFound)
	if got := get[trug.Record](t, b, id(1)); got.SeasonID != seasonOne {
		t.Errorf("the record went to season %s", got.SeasonID)
	}
}

func saveAgain(t *testing.T, b *bench) {
	put(t, b, record(1))
	put(t, b, record(1), record(1))
	if n := lastSeq(t, b); n != 1 {
		t.Errorf("there are %d amendments after saving the same three times, want 1", n)
	}
	clean(t, b)
}

func historyTells(t *testing.T, b *bench) {
	was := record(1)
	put(t, b, was)
	put(t, b, record(2))
	is := was
	is.Remarks = "slug-eaten"
	other := store.Author{Person: id(77), Device: "🍄 'phone'"}
	later := noon.Add(time.Hour).In(time.FixedZone("", 3600))
	err := b.Write(b.ctx, func(w store.Writer) error { return store.Put(b.ctx, w, is, other, later) })
	if err != nil {
		t.Fatal(err)
	}
	first, _ := store.RowOf(was)
	second, _ := store.RowOf(is)
	want := []store.Amendment{
		{Seq: 1, At: noon, By: wren, Kind: store.Records, ID: id(1), Season: seasonOne, After: first.Body},
		{Seq: 3, At: later.UTC(), By: other, Kind: store.Records, ID: id(1), Season: seasonOne, Before: first.Body, After: second.Body},
	}
	sameAmendments(t, history(t, b, store.Records, id(1)), want)
	if found := history(t, b, store.Views, id(1)); len(found) != 0 {
		t.Errorf("a view has the history of a record with its identifier: %v", found)
	}
	clean(t, b)
}

func sameAmendments(t *testing.T, got, want []store.Amendment) {
	t.Helper()
	if len(got) != len(want) {
		t.Fatalf("there are %d amendments, want %d", len(got), len(want))
	}
	for i, g := range got {
		w := want[i]
		if !g.At.Equal(w.At) || !bytes.Equal(g.Before, w.Before) || !bytes.Equal(g.After, w.After) || (g.Before == nil) != (w.Before == nil) {
			t.Errorf("amendment %d is %+v, want %+v", i, g, w)
		}
		g.At, g.Before, g.After = w.At, nil, nil
		w.Before, w.After = nil, nil
		if fmt.Sprint(g) != fmt.Sprint(w) {
			t.Errorf("amendment %d is %+v, want %+v", i, g, w)
		}
	}
}

func sinceNumber(t *testing.T, b *bench) {
	put(t, b, trug.Season{ID: seasonOne, Code: "W26"}, trug.Season{ID: seasonTwo, Code: "W27"})
	put(t, b, record(1), record(2))
	put(t, b, trug.View{ID: id(3), SeasonID: seasonOne, RecordID: id(2), PhotographID: id(4)})
	put(t, b, trug.Person{ID: id(5), SeasonID: seasonTwo})
	for _, c := range []struct {
		season trug.ID
		after  int64
		limit  int
		want   []int64
	}{
		{seasonOne, 0, 100, []int64{1, 3, 4, 5}},
		{seasonOne, 1, 2, []int64{3, 4}},
		{seasonOne, 4, 2, []int64{5}},
		{seasonOne, 6, 2, nil},
		{seasonTwo, 0, 100, []int64{2, 6}},
		{id(99), 0, 100, nil},
	} {
		err := b.Read(b.ctx, func(r store.Reader) error {
			found, err := r.Since(b.ctx, c.season, c.after, c.limit)
			var got []int64
			for _, a := range found {
				got = append(got, a.Seq)
				if a.Kind == store.Views && a.Parent != id(2) {
					t.Errorf("the amendment of the view names %q as its record", a.Parent)
				}
			}
			if !slices.Equal(got, c.want) {
				t.Errorf("since %d at most %d: %v, want %v", c.after, c.limit, got, c.want)
			}
			return err
		})
		if err != nil {
			t.Fatal(err)
		}
	}
	err := b.Read(b.ctx, func(r store.Reader) error {
		_, err := r.Since(b.ctx, seasonOne, 0, 0)
		return err
	})
	if err == nil {
		t.Error("at most 0 amendments were asked for without an error")
	}
}

// ordered uses identifiers that databases with a language's order would put
// otherwise: small letters among capitals, signs passed over, å after z.
func ordered(t *testing.T, b *bench) {
	ids := []string{"a", "B", "b", "A", "a-b", "ab", "a_b", "å", "z", "Z", "ø", "0", "~", " a", "é", "e\u0301", "🍄", "\uffee"}
	for _, s := range ids {
		put(t, b, trug.Person{ID: trug.ID(s), SeasonID: seasonOne})
	}
	slices.Sort(ids) // Go compares strings byte by byte
	for _, f := range []store.Filter{{}, {Season: seasonOne}} {
		var got []string
		for _, row := range find(t, b, store.People, f) {
			got = append(got, string(row.ID))
		}
		if !slices.Equal(got, ids) {
			t.Errorf("filter %+v: the order is %q, want %q", f, got, ids)
		}
	}
	clean(t, b)
}

// takenInOrder writes things whose identifiers run against the order of their
// coming, and changes the first one last: it stays the first that came.
func takenInOrder(t *testing.T, b *bench) {
	for n := 9; n > 0; n-- {
		put(t, b, trug.Pass{ID: id(n), SeasonID: seasonOne, RecordID: id(100)})
		put(t, b, trug.Lift{ID: id(n), SeasonID: seasonOne, RecordID: id(100)})
	}
	put(t, b, trug.Pass{ID: id(9), SeasonID: seasonOne, RecordID: id(100), Remark: "changed"})
	var got map[trug.ID]int64
	err := b.Read(b.ctx, func(r store.Reader) (err error) {
		got, err = r.Taken(b.ctx, store.Passes)
		return err
	})
	if err != nil || len(got) != 9 {
		t.Fatalf("%d of 9 passes, %v", len(got), err)
	}
	for n := 9; n > 1; n-- {
		if got[id(n)] >= got[id(n-1)] {
			t.Errorf("%s came as amendment %d, after %s as %d", id(n), got[id(n)], id(n-1), got[id(n-1)])
		}
	}
	err = b.Read(b.ctx, func(r store.Reader) error { _, err := r.Taken(b.ctx, "mushroom"); return err })
	if err == nil {
		t.Error("a kind that does not exist was answered")
	}
}

func filters(t *testing.T, b *bench) {
	view := func(n int, season trug.ID, record, photograph int) trug.View {
		return trug.View{ID: id(n), SeasonID: season, RecordID: id(record), PhotographID: id(photograph)}
	}
	put(t, b, view(1, seasonOne, 101, 201), view(2, seasonOne, 101, 202), view(3, seasonOne, 102, 203),
		view(4, seasonTwo, 101, 201), view(5, seasonTwo, 103, 205))
	for _, c := range []struct {
		f    store.Filter
		want []trug.ID
	}{
		{store.Filter{}, []trug.ID{id(1), id(2), id(3), id(4), id(5)}},
		{store.Filter{Season: seasonOne}, []trug.ID{id(1), id(2), id(3)}},
		{store.Filter{Parent: id(101)}, []trug.ID{id(1), id(2), id(4)}},
		{store.Filter{Key: string(id(201))}, []trug.ID{id(1), id(4)}},
		{store.Filter{Season: seasonTwo, Parent: id(101)}, []trug.ID{id(4)}},
		{store.Filter{Season: seasonOne, Key: string(id(201))}, []trug.ID{id(1)}},
		{store.Filter{Parent: id(101), Key: string(id(202))}, []trug.ID{id(2)}},
		{store.Filter{Season: seasonOne, Parent: id(102), Key: string(id(203))}, []trug.ID{id(3)}},
		{store.Filter{Season: seasonOne, Parent: id(103)}, nil},
		{store.Filter{Season: "' OR 1=1 --"}, nil},
		{store.Filter{Parent: "%"}, nil},
	} {
		var got []trug.ID
		for _, row := range find(t, b, store.Views, c.f) {
			got = append(got, row.ID)
		}
		if !slices.Equal(got, c.want) {
			t.Errorf("filter %+v chooses %v, want %v", c.f, got, c.want)
		}
	}
}

func oddText(t *testing.T, b *bench) {
	for i, text := range []string{
		"", " ", "\x00", "a\x00b", `it's "odd"`, `\u0000 \\ $1 ? :a @b`, "🍄‍🟫 é e\u0301 \u202e", "<&>\u2028", "'; DROP TABLE record; --",
		"line\r\nbreak\ttab", "\ufeffmark", string(rune(0x10ffff)), "null", "{}",
	} {
		r := record(i)
		r.Remarks, r.Host = text, text
		if !strings.Contains(text, "\x00") {
			r.Number = text
		}
		put(t, b, r)
		if got := get[trug.Record](t, b, r.ID); got.Remarks != text || got.Host != text || got.Number != r.Number {
			t.Errorf("%q came back as %q, number %q", text, got.Remarks, got.Number)
		}
		if rows := find(t, b, store.Records, store.Filter{Key: r.Number}); r.Number != "" && (len(rows) != 1 || rows[0].ID != r.ID) {
			t.Errorf("the key %q finds %d rows", r.Number, len(rows))
		}
	}
	clean(t, b)
}

func refusedText(t *testing.T, b *bench) {
	for _, text := range []string{"a\x00b", "\xff", "half \xe2\x82"} {
		for _, row := range []store.Row{
			{Kind: store.Records, ID: trug.ID(text), Body: json.RawMessage(`{}`)},
			{Kind: store.Records, ID: id(1), Season: trug.ID(text), Body: json.RawMessage(`{}`)},
			{Kind: store.Records, ID: id(1), Parent: trug.ID(text), Body: json.RawMessage(`{}`)},
			{Kind: store.Records, ID: id(1), Key: text, Body: json.RawMessage(`{}`)},
		} {
			wantKind(t, b.Write(b.ctx, func(w store.Writer) error { return w.Save(b.ctx, row, wren, noon) }), trug.Invalid)
		}
		by := store.Author{Person: wren.Person, Device: text}
		wantKind(t, b.Write(b.ctx, func(w store.Writer) error { return store.Put(b.ctx, w, record(1), by, noon) }), trug.Invalid)
	}
	for _, row := range []store.Row{
		{Kind: store.Records, ID: id(1)},
		{Kind: store.Records, ID: id(1), Body: json.RawMessage(`{"id":`)},
		{Kind: store.Records, ID: id(1), Body: json.RawMessage("\"\xff\"")},
		{Kind: store.Records, Body: json.RawMessage(`{}`)},
		{Kind: "mushroom", ID: id(1), Body: json.RawMessage(`{}`)},
	} {
		if b.Write(b.ctx, func(w store.Writer) error { return w.Save(b.ctx, row, wren, noon) }) == nil {
			t.Errorf("%+v was kept", row)
		}
	}
	if n := lastSeq(t, b); n != 0 {
		t.Errorf("%d amendments were kept", n)
	}
}

func largeBodies(t *testing.T, b *bench) {
	r := record(1)
	r.Remarks = strings.Repeat("fungus 🍄 ", 1<<17) // about 1.7 MB
	put(t, b, r)
	if got := get[trug.Record](t, b, r.ID); got.Remarks != r.Remarks {
		t.Errorf("%d bytes came back as %d", len(r.Remarks), len(got.Remarks))
	}
	clean(t, b)
}
