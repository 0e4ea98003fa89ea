package app_test

import (
	"testing"

	"trug/internal/app"
	"trug/internal/app/apptest"
)

// The lists of the Season desk, and what they follow from, in a season of 500
// sites, 5,000 forays and 50,000 people. `go test -run '^$' -bench Desk ./internal/app`
func BenchmarkDesk(b *testing.B) {
	s := apptest.Big(b, "2026-10-10", apptest.Whole)
	v, ctx := s.As("R02"), b.Context()
	for _, c := range []struct {
		name string
		use  func() error
	}{
		{"people/first leaf", func() error { _, err := s.People(ctx, v, app.DeskQuery{}); return err }},
		{"people/last leaf by name", func() error { _, err := s.People(ctx, v, app.DeskQuery{Sort: "name", From: 49900}); return err }},
		{"people/searched", func() error { _, err := s.People(ctx, v, app.DeskQuery{Text: "jorn ash", Only: "leader"}); return err }},
		{"people/offered", func() error { _, err := s.OfferPeople(ctx, v, "wre", ""); return err }},
		{"forays/first leaf", func() error { _, err := s.Forays(ctx, v, app.DeskQuery{}); return err }},
		{"forays/searched by mark", func() error { _, err := s.Forays(ctx, v, app.DeskQuery{Text: "wood", Sort: "mark"}); return err }},
		{"sites/first leaf", func() error { _, err := s.Sites(ctx, v, app.DeskQuery{}); return err }},
		{"sites/map", func() error { _, err := s.SiteEdges(ctx, v, app.DeskQuery{}); return err }},
		{"settings", func() error { _, err := s.Settings(ctx, v); return err }},
	} {
		b.Run(c.name, func(b *testing.B) {
			for b.Loop() {
				if err := c.use(); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
	forays, err := s.Forays(ctx, v, app.DeskQuery{Only: "coming", Limit: 1})
	if err != nil {
		b.Fatal(err)
	}
	people, err := s.People(ctx, v, app.DeskQuery{From: 30000, Limit: 1})
	if err != nil {
		b.Fatal(err)
	}
	sites, err := s.Sites(ctx, v, app.DeskQuery{Text: "s101"})
	if err != nil {
		b.Fatal(err)
	}
	b.Run("one foray", func(b *testing.B) {
		for b.Loop() {
			if _, err := s.Foray(ctx, v, forays.Lines[0].ID); err != nil {
				b.Fatal(err)
			}
		}
	})
	b.Run("one site of 10,000 corners", func(b *testing.B) {
		for b.Loop() {
			if _, err := s.Site(ctx, v, sites.Lines[0].ID); err != nil {
				b.Fatal(err)
			}
		}
	})
	b.Run("one person", func(b *testing.B) {
		for b.Loop() {
			if _, err := s.Person(ctx, v, people.Lines[0].ID); err != nil {
				b.Fatal(err)
			}
		}
	})
	b.Run("leader's sheet", func(b *testing.B) {
		for b.Loop() {
			if _, _, err := s.Paper(ctx, v, app.PaperAsked{Sheet: "leaders-sheet", Foray: forays.Lines[0].ID}); err != nil {
				b.Fatal(err)
			}
		}
	})
	b.Run("a person kept, and the list again", func(b *testing.B) {
		p, err := s.Person(ctx, v, people.Lines[0].ID)
		if err != nil {
			b.Fatal(err)
		}
		for b.Loop() {
			p.Hours = 3 - p.Hours
			if _, err := s.SavePerson(ctx, v, p.ID, p); err != nil {
				b.Fatal(err)
			}
			if _, err := s.People(ctx, v, app.DeskQuery{}); err != nil {
				b.Fatal(err)
			}
		}
	})
	b.Run("a foray kept, and the list again", func(b *testing.B) {
		y, err := s.Foray(ctx, v, forays.Lines[0].ID)
		if err != nil {
			b.Fatal(err)
		}
		for b.Loop() {
			y.Note += "!"
			if _, err := s.SaveForay(ctx, v, y.ID, y); err != nil {
				b.Fatal(err)
			}
			if _, err := s.Forays(ctx, v, app.DeskQuery{}); err != nil {
				b.Fatal(err)
			}
		}
	})
}

// Reading the whole season into memory, as the first page after a start does.
func BenchmarkFirstPageOfALargeSeason(b *testing.B) {
	s := apptest.Big(b, "2026-10-10", apptest.Whole)
	v := s.As("R02")
	for b.Loop() {
		again, err := app.New(s.Options)
		if err != nil {
			b.Fatal(err)
		}
		if _, err := again.People(b.Context(), v, app.DeskQuery{}); err != nil {
			b.Fatal(err)
		}
	}
}

// 50,000 people out as a table, and the same table in again.
func BenchmarkPeopleAsATable(b *testing.B) {
	s := apptest.Big(b, "2026-10-10", apptest.Whole)
	v := s.As("R02")
	for b.Loop() {
		text, err := s.TableCSV(b.Context(), v, "people")
		if err != nil {
			b.Fatal(err)
		}
		done, err := s.TakeTable(b.Context(), v, "people", text)
		if err != nil || done.Added+done.Changed > 0 {
			b.Fatal(done, err)
		}
	}
}

// 50,000 people that are new to a season, a child after every seventh.
func BenchmarkPeopleFromATable(b *testing.B) {
	big := apptest.Big(b, "2026-10-10", apptest.Whole)
	text, err := big.TableCSV(b.Context(), big.As("R02"), "people")
	if err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		s := apptest.New(b, "2026-10-10")
		done, err := s.TakeTable(b.Context(), s.As("R02"), "people", text)
		if err != nil || len(done.Faults) > 0 {
			b.Fatal(done.Faults[:min(len(done.Faults), 3)], err)
		}
	}
}
