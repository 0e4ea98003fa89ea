package app_test

import (
	"fmt"
	"math/rand/v2"
	"testing"

	"trug"
	"trug/internal/app"
	"trug/internal/app/apptest"
	"trug/internal/store"
	"trug/science/colour"
	"trug/science/truecolour"
)

// The Record book by colour among 5,000 finds with three colours each of two main
// ones, beside the same book without.
func BenchmarkBookByColour5000(b *testing.B) {
	s, ctx := apptest.New(b, "2026-10-10"), b.Context()
	manyColours(b, s, 5000)
	v := s.As("D1")
	if _, err := s.Book(ctx, v, app.BookQuery{}); err != nil { // reads the season into memory
		b.Fatal(err)
	}
	for name, q := range map[string]app.BookQuery{"whole": {}, "colour": {Colour: "#a16d3f", Sort: "colour"}, "name": {ColourName: "yellowish brown"}} {
		b.Run(name, func(b *testing.B) {
			for b.Loop() {
				if _, err := s.Book(ctx, v, q); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

func manyColours(b *testing.B, s apptest.Season, n int) {
	r := rand.New(rand.NewPCG(6, 8))
	author := store.Author{Person: s.As("R08").Person.ID}
	err := s.Store.Write(b.Context(), func(w store.Writer) error {
		for i := range n {
			photograph := trug.Photograph{ID: s.ID(), SeasonID: s.Demo.Season.ID, Original: trug.Hash(fmt.Sprintf("%064x", i)), By: author.Person}
			record := trug.Record{ID: s.ID(), SeasonID: s.Demo.Season.ID, Number: fmt.Sprintf("W26-%05d", 20000+i), RecorderID: author.Person, Found: trug.When{Date: "2026-10-09"}}
			view := trug.View{ID: s.ID(), SeasonID: s.Demo.Season.ID, RecordID: record.ID, PhotographID: photograph.ID, Kind: trug.Top}
			if err := store.Put(b.Context(), w, photograph, author, s.Clock()); err != nil {
				return err
			}
			if err := store.Put(b.Context(), w, record, author, s.Clock()); err != nil {
				return err
			}
			if err := store.Put(b.Context(), w, view, author, s.Clock()); err != nil {
				return err
			}
			for range 3 {
				c := trug.Colour{ID: s.ID(), SeasonID: s.Demo.Season.ID, RecordID: record.ID, ViewID: view.ID, Character: "cap_color", Way: trug.ColourTap}
				for range 2 {
					m := truecolour.Main{Lab: colour.Lab{L: 20 + 70*r.Float64(), A: 40*r.Float64() - 5, B: 50 * r.Float64()}, Spread: colour.RoundSpread(2), Share: .5}
					c.Palette = append(c.Palette, m.Tell())
				}
				c.Mean = c.Palette[0]
				if err := store.Put(b.Context(), w, c, author, s.Clock()); err != nil {
					return err
				}
			}
		}
		return nil
	})
	if err != nil {
		b.Fatal(err)
	}
}
