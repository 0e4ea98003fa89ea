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
