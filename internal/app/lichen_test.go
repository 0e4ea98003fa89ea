package app_test

import (
	"slices"
	"strings"
	"testing"

	"trug"
	"trug/internal/app"
	"trug/internal/app/apptest"
	"trug/internal/offline"
)

// A lichen with the views that are asked of one lacks nothing, on the screens of its
// recorder and of determiners alike, and is not found among what lacks an underneath.
func TestALichenLacksNoUnderneath(t *testing.T) {
	s := apptest.New(t, "2026-10-10")
	m := offline.Message{Phone: s.ID(), Number: 1, Record: s.ID(), Set: fields("form", "lichen_leaf", "substrate", "moss")}
	for n, kind := range trug.Wanted("lichen_leaf") {
		picture := apptest.JPEG(t, 9200+uint64(n))
		send(t, s, "R08", picture)
		m.Views = append(m.Views, offline.View{Photograph: hashOf(picture), Kind: kind})
	}
	taken := take(t, s, "R08", m)
	if taken.State != "taken" || len(m.Views) != 3 {
		t.Fatalf("%+v", taken)
	}
	for who, v := range map[string]app.Viewer{"its recorder": s.As("R08"), "a determiner": s.As("R05"), "the coordinator": s.As("R02")} {
		sheet, err := s.App.Record(t.Context(), v, m.Record)
		if err != nil || len(sheet.Misses) != 0 || !strings.HasPrefix(sheet.Facts, "Top, surroundings and close-up;") {
			t.Errorf("the sheet for %s: %q, misses %q; %v", who, sheet.Facts, sheet.Misses, err)
		}
		for _, kind := range trug.FourViews {
			page, err := s.Book(t.Context(), v, app.BookQuery{Facts: []string{"lacks:" + string(kind)}, Limit: 500})
			if err != nil {
				t.Fatal(err)
			}
			if slices.ContainsFunc(page.Lines, func(l app.BookLine) bool { return l.ID == m.Record }) {
				t.Errorf("for %s the Record book has it among what lacks %s", who, kind)
			}
		}
	}
	day, err := s.Daybook(t.Context(), s.As("R08"), "2026-10-10")
	if err != nil {
		t.Fatal(err)
	}
	i := slices.IndexFunc(day.Finds, func(f app.DayFind) bool { return f.ID == m.Record })
	if i < 0 || len(day.Finds[i].Misses) != 0 || strings.Contains(day.Finds[i].Facts, "no underneath") {
		t.Errorf("the Daybook: %+v", day.Finds)
	}
}
