package app_test

import (
	"testing"
	"time"

	"trug"
	"trug/internal/app"
	"trug/internal/app/apptest"
	"trug/internal/demo"
)

// A later day adds what has come since; what a visitor changed stays.
func TestDemonstrationGoesOn(t *testing.T) {
	s, ctx := apptest.New(t, "2026-10-10"), t.Context()
	v := s.As("R08")
	own := s.ID()
	if _, err := s.SaveRecord(ctx, v, own, app.EditableRecord{Found: trug.When{Date: "2026-10-10"}, FieldName: "Mycena"}); err != nil {
		t.Fatal(err)
	}
	sheet, err := s.App.Record(ctx, v, s.Record("W26-0100"))
	if err != nil {
		t.Fatal(err)
	}
	e := *sheet.Editable
	e.Remarks = "under the third beech"
	if _, err := s.SaveRecord(ctx, v, s.Record("W26-0100"), e); err != nil {
		t.Fatal(err)
	}
	if err := s.LoadDemonstration(ctx, demo.Load("2026-11-25")); err != nil {
		t.Fatal(err)
	}
	page, err := s.Book(ctx, s.As("R02"), app.BookQuery{})
	if err != nil {
		t.Fatal(err)
	}
	if page.All != 243 {
		t.Errorf("%d records, want the season's 242 and the visitor's own", page.All)
	}
	if again, err := s.App.Record(ctx, v, s.Record("W26-0100")); err != nil || again.Remarks != "under the third beech" {
		t.Errorf("the visitor's remark reads %q (%v)", again.Remarks, err)
	}
}

// The painter fills in the views in the background, and says how far it is.
func TestDemonstrationIsPainted(t *testing.T) {
	if testing.Short() {
		t.Skip("draws pictures")
	}
	s, ctx := apptest.New(t, "2026-10-10"), t.Context()
	d := s.Demo
	d.Pictures = d.Pictures[:3]
	v := s.As("R02")
	record := d.Pictures[0].RecordID
	if err := s.PaintDemonstration(ctx, d, 2); err != nil {
		t.Fatal(err)
	}
	sheet, err := s.App.Record(ctx, v, record)
	if err != nil {
		t.Fatal(err)
	}
	if !sheet.Drawing && len(sheet.Views) == 0 {
		t.Error("the sheet has no views and does not say that they are being drawn")
	}
	deadline := time.Now().Add(2 * time.Minute)
	for {
		p, err := s.App.DrawingProgress(ctx, v)
		if err != nil {
			t.Fatal(err)
		}
		if p.Done == p.Total {
			break
		}
		if time.Now().After(deadline) {
			t.Fatalf("after two minutes %d of %d are drawn", p.Done, p.Total)
		}
		time.Sleep(50 * time.Millisecond)
	}
	if sheet, err = s.App.Record(ctx, v, record); err != nil || len(sheet.Views) == 0 || sheet.Drawing {
		t.Fatalf("after drawing: %d views, drawing %v, %v", len(sheet.Views), sheet.Drawing, err)
	}
	view := sheet.Views[0]
	if view.Width != 1600 || view.Height != 1200 {
		t.Errorf("the view is %d by %d, want 1600 by 1200", view.Width, view.Height)
	}
	f, err := s.OpenPhotograph(ctx, v, view.Photograph, app.Thumb)
	if err != nil {
		t.Fatal(err)
	}
	f.Close()
	if err := s.PaintDemonstration(ctx, d, 1); err != nil {
		t.Fatal(err)
	}
	if p, _ := s.App.DrawingProgress(ctx, v); p.Done != 3 {
		t.Errorf("a second start draws again: %d of 3 done", p.Done)
	}
}
