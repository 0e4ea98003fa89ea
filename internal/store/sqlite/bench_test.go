package sqlite

import (
	"path/filepath"
	"testing"
	"time"

	"trug"
	"trug/internal/store"
)

// benchRecord is a record as long as they are in a season.
func benchRecord(n int) trug.Record {
	r := killRecord(n)
	r.Remarks = "on a mossy log by the brook, a dozen in a row"
	r.Found = trug.When{Date: "2026-10-10", Time: "14:05", Offset: "+01:00"}
	r.Place = &trug.Place{Uncertainty: 12, Source: trug.FromPhone}
	r.Substrate, r.Habit, r.Smell = "wood", "row", "of nothing"
	return r
}

// BenchmarkWrite saves one record in one durable transaction.
func BenchmarkWrite(b *testing.B) {
	s := mustOpen(b, filepath.Join(b.TempDir(), "season.db"))
	for n := 0; b.Loop(); n++ {
		err := s.Write(b.Context(), func(w store.Writer) error {
			return store.Put(b.Context(), w, benchRecord(n), store.Author{}, time.Now())
		})
		if err != nil {
			b.Fatal(err)
		}
	}
}

// BenchmarkList reads a season of 10 000 records.
func BenchmarkList(b *testing.B) {
	s := filled(b, 10_000)
	for b.Loop() {
		err := s.Read(b.Context(), func(r store.Reader) error {
			records, err := store.List[trug.Record](b.Context(), r, store.Filter{Season: killSeason})
			if len(records) != 10_000 {
				b.Errorf("%d records", len(records))
			}
			return err
		})
		if err != nil {
			b.Fatal(err)
		}
	}
}

// BenchmarkFindRows reads the same without decoding.
func BenchmarkFindRows(b *testing.B) {
	s := filled(b, 10_000)
	for b.Loop() {
		err := s.Read(b.Context(), func(r store.Reader) error {
			_, err := r.Find(b.Context(), store.Records, store.Filter{Season: killSeason})
			return err
		})
		if err != nil {
			b.Fatal(err)
		}
	}
}

// BenchmarkByKey finds one record among 10 000 by its field number.
func BenchmarkByKey(b *testing.B) {
	s := filled(b, 10_000)
	for b.Loop() {
		err := s.Read(b.Context(), func(r store.Reader) error {
			_, err := store.ByKey[trug.Record](b.Context(), r, killSeason, "W26-5000")
			return err
		})
		if err != nil {
			b.Fatal(err)
		}
	}
}

// BenchmarkCheck proves a store of 10 000 records.
func BenchmarkCheck(b *testing.B) {
	s := filled(b, 10_000)
	for b.Loop() {
		if says, err := s.Check(b.Context()); err != nil || len(says) > 0 {
			b.Fatal(says, err)
		}
	}
}

// filled returns a store with n records.
func filled(b *testing.B, n int) store.Store {
	b.Helper()
	s := mustOpen(b, filepath.Join(b.TempDir(), "season.db"))
	err := s.Write(b.Context(), func(w store.Writer) error {
		for i := range n {
			if err := store.Put(b.Context(), w, benchRecord(i), store.Author{}, time.Now()); err != nil {
				return err
			}
		}
		return nil
	})
	if err != nil {
		b.Fatal(err)
	}
	return s
}

// BenchmarkAudit reads a page of 100 changes, and of 100 looks, among 100 000:
// the newest, an old one, of one person, of one thing, of one rare kind.
func BenchmarkAudit(b *testing.B) {
	const all = 100_000
	s := filled(b, all)
	people := []trug.ID{killRecord(1).ID, killRecord(2).ID, killRecord(3).ID}
	err := s.Write(b.Context(), func(w store.Writer) error {
		looks := make([]store.Look, all)
		for n := range looks {
			looks[n] = store.Look{At: time.Now(), Season: killSeason, Person: people[n%3], Way: "record sheet", Record: killRecord(n).ID}
		}
		rare := trug.Site{ID: "01999999-0000-7000-8000-00000000ffff", SeasonID: killSeason, Code: "S1"}
		if err := store.Put(b.Context(), w, rare, store.Author{Person: people[0]}, time.Now()); err != nil {
			return err
		}
		return w.Note(b.Context(), looks)
	})
	if err != nil {
		b.Fatal(err)
	}
	year := time.Now().AddDate(-1, 0, 0)
	for name, f := range map[string]store.AmendmentFilter{
		"newest": {}, "old": {Before: 5_000}, "person": {Person: people[0]}, "rare kind": {Kinds: []store.Kind{store.Sites}},
		"thing": {Of: store.Named{Kind: store.Records, ID: killRecord(77).ID}}, "days without any": {Until: year},
	} {
		b.Run("changes, "+name, func(b *testing.B) {
			f.Season, f.Limit = killSeason, 101
			for b.Loop() {
				if err := s.Read(b.Context(), func(r store.Reader) error { _, err := r.Amendments(b.Context(), f); return err }); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
	for name, f := range map[string]store.LookFilter{
		"newest": {}, "old": {Before: 5_000}, "person": {Person: people[1]}, "record": {Record: killRecord(77).ID}, "days without any": {Until: year},
	} {
		b.Run("looks, "+name, func(b *testing.B) {
			f.Season, f.Limit = killSeason, 101
			for b.Loop() {
				if err := s.Read(b.Context(), func(r store.Reader) error { _, err := r.Looks(b.Context(), f); return err }); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
