package app_test

import (
	"strings"
	"testing"
	"time"

	"trug"
	"trug/internal/app"
	"trug/internal/app/apptest"
)

// ask has somebody ask for something of a find.
func ask(t *testing.T, s apptest.Season, who string, id trug.ID, g app.GivenRequest) (app.RecordSheet, error) {
	t.Helper()
	g.ID = s.ID()
	return s.AskFor(t.Context(), s.As(who), id, g)
}

// A find is asked about while going back can still supply it: a soft one for
// days, a bracket for months; then the request ends by itself and says so.
func TestRequestsEndWhenNothingIsLeftToSee(t *testing.T) {
	s, ctx := apptest.New(t, "2026-10-10"), t.Context()
	for _, c := range []struct {
		form string
		days int // that have gone since
		open bool
		says string
	}{
		{"gilled", 10, true, "some days only"}, {"gilled", 11, false, "Too late"}, {"", 11, false, "Too late"},
		{"bracket", 150, true, "for months"}, {"bracket", 181, false, "Too late"}, {"lichen_leaf", 700, true, "no hurry"},
	} {
		id := s.ID()
		if _, err := s.SaveRecord(ctx, s.As("R08"), id, app.EditableRecord{Found: trug.When{Date: "2026-10-10"}, FieldName: "Laccaria", Form: c.form}); err != nil {
			t.Fatal(err)
		}
		sheet, err := ask(t, s, "D1", id, app.GivenRequest{View: trug.Side})
		if err != nil || len(sheet.Asked) != 1 {
			t.Fatalf("%s: asked: %v, %+v", c.form, err, sheet.Asked)
		}
		now := s.App.Clock
		s.App.Clock = func() time.Time { return now().AddDate(0, 0, c.days) }
		sheet, err = s.App.Record(ctx, s.As("R08"), id)
		if err != nil {
			t.Fatal(err)
		}
		shown := append(sheet.Asked, sheet.Unanswered...)
		if (len(sheet.Asked) == 1) != c.open || len(shown) != 1 || !strings.Contains(shown[0].Return, c.says) {
			t.Errorf("%q after %d days: asked %+v, unanswered %+v; want it open: %v, saying %q", c.form, c.days, sheet.Asked, sheet.Unanswered, c.open, c.says)
		}
		if _, err = ask(t, s, "D1", id, app.GivenRequest{View: trug.Underneath}); (err == nil) != c.open {
			t.Errorf("%q asked anew after %d days: %v", c.form, c.days, err)
		}
		if _, err = ask(t, s, "D1", id, app.GivenRequest{View: trug.Surroundings}); err != nil {
			t.Errorf("the surroundings stay: %v", err)
		}
		s.App.Clock = now
	}
}

// Sizes and specimens are asked for too, the specimen only where the site lets
// people take one; each ends as its own kind of answer comes.
func TestSizesAndSpecimensAreAskedFor(t *testing.T) {
	s, ctx := apptest.New(t, "2026-10-10"), t.Context()
	recorder := s.As("R08")
	at := func(site string) trug.ID {
		id := s.ID()
		e := app.EditableRecord{Found: trug.When{Date: "2026-10-10"}, FieldName: "Laccaria"}
		for _, x := range s.Demo.Sites {
			if x.Code == site {
				e.Place = &app.EditablePlace{Lat: float64(x.Centre.Lat), Lon: float64(x.Centre.Lon), Source: trug.FromPin}
			}
		}
		if _, err := s.SaveRecord(ctx, recorder, id, e); err != nil {
			t.Fatal(err)
		}
		return id
	}
	// Quarterpenny Pasture: photographs only; Hobbleshaw Hanger: up to two fruitbodies a species.
	if _, err := ask(t, s, "D1", at("S2"), app.GivenRequest{What: trug.ForSpecimen}); trug.KindOf(err) != trug.Conflict {
		t.Errorf("a specimen where none may be taken: %v", err)
	}
	id := at("S1")
	for _, bad := range []app.GivenRequest{{What: "teapot"}, {What: trug.ForSize, View: trug.Side}, {View: "back"}, {}} {
		if _, err := ask(t, s, "D1", id, bad); trug.KindOf(err) != trug.Invalid {
			t.Errorf("%+v: %v, want a refusal", bad, err)
		}
	}
	if _, err := ask(t, s, "D1", id, app.GivenRequest{What: trug.ForSize}); err != nil {
		t.Fatal(err)
	}
	sheet, err := ask(t, s, "D1", id, app.GivenRequest{What: trug.ForSpecimen})
	if err != nil || len(sheet.Asked) != 2 {
		t.Fatalf("asked for a size and the specimen: %v, %+v", err, sheet.Asked)
	}
	size, specimen := sheet.Asked[0].ID, sheet.Asked[1].ID
	if _, err := s.EndRequest(ctx, s.As("R01"), id, specimen, trug.RequestGone); trug.KindOf(err) != trug.NotAllowed {
		t.Errorf("somebody else says it is gone: %v", err)
	}
	if _, err := s.EndRequest(ctx, recorder, id, size, trug.RequestKept); trug.KindOf(err) != trug.NotAllowed {
		t.Errorf("a size is no specimen to keep: %v", err)
	}
	sheet, err = s.EndRequest(ctx, recorder, id, specimen, trug.RequestKept)
	if err != nil || sheet.Voucher != sheet.Number || len(sheet.Asked) != 1 || len(sheet.Unanswered) != 0 {
		t.Errorf("kept: %v, specimen %q, asked %+v, unanswered %+v", err, sheet.Voucher, sheet.Asked, sheet.Unanswered)
	}
	sheet, err = s.EndRequest(ctx, recorder, id, size, trug.RequestGone)
	if err != nil || len(sheet.Asked) != 0 || len(sheet.Unanswered) != 1 {
		t.Errorf("gone: %v, asked %+v, unanswered %+v", err, sheet.Asked, sheet.Unanswered)
	}
}

// childAndAdult returns a child of the invented season and the adult it comes with.
func childAndAdult(t *testing.T, s apptest.Season) (child, adult app.Viewer) {
	t.Helper()
	for _, p := range s.Demo.People {
		if p.Minor {
			for _, q := range s.Demo.People {
				if q.ID == p.Guardian {
					return s.As(p.Code), s.As(q.Code)
				}
			}
		}
	}
	t.Fatal("no child comes to the invented season")
	return
}

// What is asked of a child's find stands in the Daybook of the adult they come
// with, and in none of the child's own pages.
func TestAnAdultIsAskedForTheChild(t *testing.T) {
	s, ctx := apptest.New(t, "2026-10-10"), t.Context()
	child, adult := childAndAdult(t, s)
	id := s.ID()
	if _, err := s.SaveRecord(ctx, child, id, app.EditableRecord{Found: trug.When{Date: "2026-10-10"}, FieldName: "Laccaria"}); err != nil {
		t.Fatal(err)
	}
	if _, err := ask(t, s, "D1", id, app.GivenRequest{View: trug.Side}); err != nil {
		t.Fatal(err)
	}
	sheet, err := s.App.Record(ctx, child, id)
	if err != nil || len(sheet.Asked)+len(sheet.Unanswered) != 0 {
		t.Errorf("the child is asked: %v, %+v", err, sheet.Asked)
	}
	page, err := s.Daybook(ctx, child, "2026-10-10")
	if err != nil || len(page.Finds) != 1 || len(page.Finds[0].Asked) != 0 {
		t.Errorf("the child's Daybook asks: %v, %+v", err, page.Finds)
	}
	page, err = s.Daybook(ctx, adult, "")
	if err != nil || len(page.With) != 1 || page.With[0].Record != id || len(page.With[0].Asked) != 1 {
		t.Fatalf("the adult's Daybook: %v, %+v; want the child's find", err, page.With)
	}
	if _, err := s.EndRequest(ctx, adult, id, page.With[0].Asked[0].ID, trug.RequestGone); err != nil {
		t.Errorf("the adult says that it is gone: %v", err)
	}
	if page, err = s.Daybook(ctx, adult, ""); err != nil || len(page.With) != 0 {
		t.Errorf("after that: %v, %+v", err, page.With)
	}
}
