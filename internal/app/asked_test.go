package app_test

import (
	"bytes"
	"testing"

	"trug"
	"trug/internal/app"
	"trug/internal/app/apptest"
)

// A view that was asked for ends the request, also when the device that asked
// has a clock that is months ahead of ours.
func TestAViewEndsItsRequest(t *testing.T) {
	s, ctx := apptest.New(t, "2026-10-10"), t.Context()
	recorder, id := s.As("R08"), s.ID()
	given := app.EditableRecord{Found: trug.When{Date: "2026-10-10"}, FieldName: "Laccaria"}
	if _, err := s.SaveRecord(ctx, recorder, id, given); err != nil {
		t.Fatal(err)
	}
	ahead := trug.ID("01a8ffff-ffff-7000-8000-000000000001") // of 2027
	sheet, err := s.AskFor(ctx, s.As("D1"), id, app.GivenRequest{ID: ahead, View: trug.Side})
	if err != nil || len(sheet.Asked) != 1 {
		t.Fatalf("asked: %v, %+v; want the side", err, sheet.Asked)
	}
	p, err := s.TakePhotograph(ctx, recorder, "IMG.jpg", bytes.NewReader(apptest.JPEG(t, 1)))
	if err != nil {
		t.Fatal(err)
	}
	given.Views = []app.EditableView{{Photograph: p.ID, Kind: trug.Side}}
	sheet, err = s.SaveRecord(ctx, recorder, id, given)
	if err != nil || len(sheet.Asked) != 0 {
		t.Errorf("the side has come: %v, still asked for %+v", err, sheet.Asked)
	}
}
