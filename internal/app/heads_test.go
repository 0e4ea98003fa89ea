package app_test

import (
	"testing"
	"time"

	"trug"
	"trug/internal/app"
	"trug/internal/app/apptest"
)

// A leader counts who sets out and who is back; whoever is missing is told, a
// count that waited on a phone does not displace a later one, and the form of
// the foray loses none.
func TestHeadsAreCounted(t *testing.T) {
	s, ctx := apptest.New(t, "2026-10-10"), t.Context()
	o8, leader := forayOf(t, s, "O08"), s.As("R01")
	form, err := s.Foray(ctx, leader, o8)
	if err != nil {
		t.Fatal(err)
	}
	now := s.App.Clock()
	count := func(v app.Viewer, g app.GivenHeads) app.ComingForay {
		t.Helper()
		y, err := s.CountHeads(ctx, v, o8, g)
		if err != nil {
			t.Fatal(err)
		}
		return y
	}
	if y := count(leader, app.GivenHeads{People: 14, At: now.Add(-3 * time.Hour)}); !y.Leads || y.Heads == nil || y.Heads.Out != 14 || y.Heads.Away != 14 {
		t.Fatalf("14 set out: %+v", y.Heads)
	}
	if y := count(leader, app.GivenHeads{People: 12, Back: true, At: now.Add(-time.Minute)}); y.Heads.Back != 12 || y.Heads.Away != 2 {
		t.Errorf("12 of 14 are back: %+v", y.Heads)
	}
	// A count of before that comes late, and one of a clock that is wrong.
	if y := count(leader, app.GivenHeads{People: 5, Back: true, At: now.Add(-time.Hour)}); y.Heads.Back != 12 {
		t.Errorf("an older count stands: %+v", y.Heads)
	}
	if y := count(leader, app.GivenHeads{People: 14, Back: true, At: now.AddDate(30, 0, 0)}); y.Heads.Back != 14 || y.Heads.Away != 0 {
		t.Errorf("all are back, by a phone whose clock is wrong: %+v", y.Heads)
	}
	form.Weather = "bright"
	form.People = nil
	if _, err := s.SaveForay(ctx, leader, o8, form); err != nil {
		t.Fatal(err)
	}
	coming, err := s.ComingForays(ctx, leader)
	if err != nil {
		t.Fatal(err)
	}
	seen := false
	for _, y := range coming {
		if y.ID == o8 {
			seen = y.Leads && y.Heads != nil && y.Heads.Out == 14 && y.Heads.Back == 14
		}
	}
	if !seen {
		t.Errorf("the form displaced the counts: %+v", coming)
	}
	// Nobody else learns of them, or counts.
	others, err := s.ComingForays(ctx, s.As("R03"))
	for _, y := range others {
		if y.Leads || y.Heads != nil || err != nil {
			t.Errorf("somebody else is told heads: %+v %v", y, err)
		}
	}
	if _, err := s.CountHeads(ctx, s.As("R12"), o8, app.GivenHeads{People: 3}); trug.KindOf(err) != trug.NotAllowed {
		t.Errorf("another leader counted: %v", err)
	}
	for _, n := range []int{0, -1, 10001} {
		if _, err := s.CountHeads(ctx, leader, o8, app.GivenHeads{People: n}); trug.KindOf(err) != trug.Invalid {
			t.Errorf("%d heads: %v", n, err)
		}
	}
}
