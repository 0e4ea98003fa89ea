package app_test

import (
	"bytes"
	"strings"
	"testing"

	"trug"
	"trug/internal/app"
	"trug/internal/app/apptest"
	"trug/internal/store"
)

// A view that was taken out is in no answer, no deposit and no picture for
// others, and not destroyed: its history tells, and it can be put in again.
func TestTakingAViewOut(t *testing.T) {
	s, ctx := apptest.New(t, "2026-10-10"), t.Context()
	own, coordinator, determiner := s.As("R08"), s.As("R02"), s.As("D1")
	p, err := s.TakePhotograph(ctx, own, "IMG.jpg", bytes.NewReader(apptest.JPEG(t, 3)))
	if err != nil {
		t.Fatal(err)
	}
	id := s.ID()
	given := app.EditableRecord{Found: trug.When{Date: "2026-10-10"}, FieldName: "Laccaria", Views: []app.EditableView{{Photograph: p.ID, Kind: trug.Top}}}
	sheet, err := s.SaveRecord(ctx, own, id, given)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := s.AskFor(ctx, determiner, id, app.GivenRequest{ID: s.ID(), View: trug.Underneath}); err != nil {
		t.Fatal(err)
	}
	view := sheet.Views[0].ID
	media := func() bool {
		var archive bytes.Buffer
		if _, err := s.WriteArchive(ctx, app.Desk(s.Demo.Season.ID), &archive); err != nil {
			t.Fatal(err)
		}
		return strings.Contains(unzipped(t, archive.Bytes())["media.txt"], string(publicOf(t, s, view)))
	}
	if !media() {
		t.Fatal("the view is not in the deposit to begin with")
	}
	for _, who := range []string{"R01", "D1"} {
		if _, err := s.TakeOutView(ctx, s.As(who), id, view); trug.KindOf(err) != trug.NotAllowed {
			t.Errorf("%s took somebody else's view out: %v", who, err)
		}
	}
	if _, err := s.TakeOutView(ctx, own, id, s.ID()); trug.KindOf(err) != trug.NotFound {
		t.Errorf("a view that is not there: %v", err)
	}
	for range 2 { // the second time changes nothing
		if sheet, err = s.TakeOutView(ctx, coordinator, id, view); err != nil || len(sheet.Views) != 0 || len(sheet.Editable.Views) != 0 {
			t.Fatalf("taken out: %v, %+v", err, sheet.Views)
		}
	}
	if !strings.HasPrefix(sheet.Facts, "No photograph") {
		t.Errorf("facts: %s", sheet.Facts)
	}
	if media() {
		t.Error("the view is in the next deposit")
	}
	for _, size := range []app.Size{app.Thumb, app.Screen, app.Original} {
		for code, sees := range map[string]bool{"R08": true, "R02": false, "D1": false, "R01": false} {
			f, err := s.OpenPhotograph(ctx, s.As(code), p.ID, size)
			if (err == nil) != sees {
				t.Errorf("%s asks for the %s: %v", code, size, err)
			}
			if err == nil {
				f.Close()
			}
		}
	}
	history, err := s.History(ctx, own, id)
	if err != nil || !strings.Contains(history[0].What, "taken out") {
		t.Errorf("history: %v, %+v", err, history)
	}
	if says, err := s.Store.Check(ctx); err != nil || len(says) > 0 {
		t.Errorf("check: %v, %q", err, says)
	}
	// A form that was open meanwhile does not undo it; choosing the photograph anew does.
	if _, err := s.SaveRecord(ctx, own, id, given); trug.KindOf(err) != trug.Conflict || !strings.Contains(err.Error(), "taken out") {
		t.Errorf("saved as it stood before: %v", err)
	}
	given.Views[0].Again = true
	again := s.ID()
	if sheet, err = s.SaveRecord(ctx, own, again, given); err != nil || len(sheet.Views) != 1 || sheet.Views[0].ID != view {
		t.Errorf("put into another record: %v, %+v", err, sheet.Views)
	}
	if sheet, err = s.App.Record(ctx, own, id); err != nil || len(sheet.Views) != 0 {
		t.Errorf("it came back to the first record as well: %v, %+v", err, sheet.Views)
	}
}

func publicOf(t *testing.T, s apptest.Season, view trug.ID) (public trug.PublicID) {
	t.Helper()
	err := s.Store.Read(t.Context(), func(r store.Reader) error {
		v, err := store.Get[trug.View](t.Context(), r, view)
		public = v.Public
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return public
}
