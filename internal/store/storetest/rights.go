package storetest

import (
	"encoding/json"
	"errors"
	"fmt"
	"strings"
	"testing"
	"time"

	"trug"
	"trug/internal/store"
)

// redacts takes a name out of a person with a history and looks for it
// everywhere, while the chain of amendments still holds.
func redacts(t *testing.T, b *bench) {
	p := trug.Person{ID: id(1), SeasonID: seasonOne, Name: "Quillwort", Code: "R77"}
	put(t, b, p)
	p.Credit = "Quillwort the Elder"
	put(t, b, p)
	r := record(2)
	put(t, b, r)
	telling := trug.Redaction{ID: id(9), SeasonID: seasonOne, PersonID: p.ID, Of: []trug.ID{p.ID, r.ID}}
	things := []store.Named{{Kind: store.People, ID: p.ID}, {Kind: store.Records, ID: r.ID}}
	if err := redactBy(b, telling, things); err != nil {
		t.Fatal(err)
	}
	if got := get[trug.Person](t, b, p.ID); got.Name != trug.NameTakenOut || got.Code != "" || got.Credit != "" {
		t.Errorf("the row still says %+v", got)
	}
	if rows := find(t, b, store.People, store.Filter{Season: seasonOne, Key: "R77"}); len(rows) != 0 {
		t.Error("the person is still found by their mark")
	}
	err := b.Read(b.ctx, func(read store.Reader) error {
		all, err := read.Since(b.ctx, seasonOne, 0, 100)
		for _, a := range all {
			if strings.Contains(string(a.Before)+string(a.After), "Quillwort") {
				t.Errorf("amendment %d still bears the name", a.Seq)
			}
			if want := map[store.Kind]int64{store.People: 4}[a.Kind]; a.Redacted != want {
				t.Errorf("amendment %d of a %s is redacted by %d, want %d", a.Seq, a.Kind.Word(), a.Redacted, want)
			}
		}
		if len(all) != 4 {
			t.Errorf("%d amendments, want 4", len(all))
		}
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	clean(t, b)
	wantKind(t, redactBy(b, telling, things), trug.Conflict)
	put(t, b, p) // coming back is a change like others
	clean(t, b)

	// Blanking that moves a thing elsewhere leaves nothing behind.
	last := lastSeq(t, b)
	telling.ID = id(10)
	err = b.Write(b.ctx, func(w store.Writer) error {
		row, err := store.RowOf(telling)
		if err != nil {
			return err
		}
		_ = w.Redact(b.ctx, row, things[1:], func(_ store.Kind, _ json.RawMessage) (json.RawMessage, error) {
			return json.RawMessage(`{"id":"elsewhere"}`), nil
		}, wren, noon)
		return nil // forgetting the error must not save half
	})
	if err == nil || lastSeq(t, b) != last {
		t.Errorf("a redaction that moves things was kept (%v)", err)
	}
	clean(t, b)
	for _, statement := range []string{
		`UPDATE amendments SET "after" = '{}' WHERE seq = 3`,
		`UPDATE amendments SET "after" = '{}', redacted = 4 WHERE seq = 3`,
		`UPDATE amendments SET person = 'x', redacted = 5 WHERE seq = 1`,
	} {
		if err := b.tamper(statement); err == nil {
			t.Errorf("the database lets through: %s", statement)
		}
	}
	// Without the guard, the check finds an amendment that claims a redaction.
	if err := b.tamper(`DROP TRIGGER amendments_stay`); err != nil {
		t.Fatal(err)
	}
	if err := b.tamper(`UPDATE amendments SET redacted = 5 WHERE seq = 3`); err != nil {
		t.Fatal(err)
	}
	if says, err := b.Check(b.ctx); err != nil || !strings.Contains(strings.Join(says, "\n"), "no redaction tells of it") {
		t.Errorf("the check says %q (%v)", says, err)
	}
}

func redactBy(b *bench, telling trug.Redaction, things []store.Named) error {
	row, err := store.RowOf(telling)
	if err != nil {
		return err
	}
	return b.Write(b.ctx, func(w store.Writer) error {
		return w.Redact(b.ctx, row, things, func(kind store.Kind, body json.RawMessage) (json.RawMessage, error) {
			if kind != store.People {
				return body, nil
			}
			var p trug.Person
			if err := json.Unmarshal(body, &p); err != nil {
				return nil, err
			}
			return json.Marshal(p.TakenOut())
		}, wren, noon)
	})
}

func looksStay(t *testing.T, b *bench) {
	var all []store.Look
	for n := range 5 {
		all = append(all, store.Look{At: noon.Add(time.Duration(n) * time.Minute), Season: seasonOne, Person: id(n % 2), Way: "sheet", Record: id(100 + n)})
	}
	all[4].Way, all[4].Record, all[4].Site = "paper", "", id(60)
	before := lastSeq(t, b)
	if err := b.Write(b.ctx, func(w store.Writer) error { return w.Note(b.ctx, all) }); err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		f    store.LookFilter
		want string
	}{
		{store.LookFilter{Limit: 9}, "5 4 3 2 1"},
		{store.LookFilter{Limit: 2, Before: 4}, "3 2"},
		{store.LookFilter{Limit: 9, Person: id(1)}, "4 2"},
		{store.LookFilter{Limit: 9, Record: id(102)}, "3"},
		{store.LookFilter{Limit: 9, Site: id(60)}, "5"},
		{store.LookFilter{Limit: 9, Way: "sheet", Person: id(0)}, "3 1"},
		{store.LookFilter{Limit: 9, From: noon.Add(time.Minute), Until: noon.Add(3 * time.Minute)}, "3 2"},
	} {
		c.f.Season = seasonOne
		err := b.Read(b.ctx, func(r store.Reader) error {
			got, err := r.Looks(b.ctx, c.f)
			var seqs []string
			for _, k := range got {
				seqs = append(seqs, fmt.Sprint(k.Seq))
				want := all[k.Seq-1]
				if want.Seq = k.Seq; k != want {
					t.Errorf("a look came back as %+v, want %+v", k, want)
				}
			}
			if s := strings.Join(seqs, " "); s != c.want {
				t.Errorf("%+v finds %s, want %s", c.f, s, c.want)
			}
			return err
		})
		if err != nil {
			t.Fatal(err)
		}
	}
	if lastSeq(t, b) != before {
		t.Error("looks made amendments")
	}
	for _, statement := range []string{`UPDATE looks SET person = 'x'`, `DELETE FROM looks`} {
		if b.tamper(statement) == nil {
			t.Errorf("the database lets through: %s", statement)
		}
	}
	clean(t, b)
}

// amendmentsChosen asks for changes by person, kind, thing, time and page.
func amendmentsChosen(t *testing.T, b *bench) {
	robin := store.Author{Person: id(71)}
	first, second := record(2), record(3)
	again := first
	again.Remarks = "again"
	site, lift := trug.Site{ID: id(60), SeasonID: seasonOne, Code: "S1"}, trug.Lift{ID: id(61), SeasonID: seasonOne, RecordID: first.ID}
	err := b.Write(b.ctx, func(w store.Writer) error {
		at := func(minute int) time.Time { return noon.Add(time.Duration(minute) * time.Minute) }
		return errors.Join(store.Put(b.ctx, w, first, wren, at(0)), store.Put(b.ctx, w, second, robin, at(1)), store.Put(b.ctx, w, site, robin, at(2)),
			store.Put(b.ctx, w, lift, wren, at(3)), store.Put(b.ctx, w, again, robin, at(4)))
	})
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		f    store.AmendmentFilter
		want string
	}{
		{store.AmendmentFilter{Limit: 9}, "5 4 3 2 1"},
		{store.AmendmentFilter{Limit: 2, Before: 5}, "4 3"},
		{store.AmendmentFilter{Limit: 9, Person: robin.Person}, "5 3 2"},
		{store.AmendmentFilter{Limit: 9, Kinds: []store.Kind{store.Sites, store.Lifts}}, "4 3"},
		{store.AmendmentFilter{Limit: 9, Of: store.Named{Kind: store.Records, ID: first.ID}}, "5 4 1"},
		{store.AmendmentFilter{Limit: 9, Of: store.Named{Kind: store.Sites, ID: site.ID}}, "3"},
		{store.AmendmentFilter{Limit: 9, From: noon.Add(time.Minute), Until: noon.Add(3 * time.Minute)}, "3 2"},
		{store.AmendmentFilter{Limit: 9, Person: robin.Person, Kinds: []store.Kind{store.Records}, From: noon.Add(2 * time.Minute)}, "5"},
	} {
		c.f.Season = seasonOne
		err := b.Read(b.ctx, func(r store.Reader) error {
			got, err := r.Amendments(b.ctx, c.f)
			var seqs []string
			for _, k := range got {
				seqs = append(seqs, fmt.Sprint(k.Seq))
			}
			if s := strings.Join(seqs, " "); s != c.want {
				t.Errorf("%+v finds %s, want %s", c.f, s, c.want)
			}
			return err
		})
		if err != nil {
			t.Fatal(err)
		}
	}
}
