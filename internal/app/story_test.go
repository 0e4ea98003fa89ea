package app_test

import (
	"bytes"
	"io"
	"strings"
	"testing"

	"trug"
	"trug/internal/app"
	"trug/internal/app/apptest"
	"trug/internal/dwca"
)

// The whole job once: a record with two views, two opinions, a deposit, read
// back.
func TestTheWholeJob(t *testing.T) {
	s, ctx := apptest.New(t, "2026-10-10"), t.Context()
	recorder, coordinator := s.As("R08"), s.As("R02")
	var views []app.EditableView
	for i, kind := range []trug.ViewKind{trug.Top, trug.Underneath} {
		p, err := s.TakePhotograph(ctx, recorder, "IMG.jpg", bytes.NewReader(apptest.JPEG(t, uint64(i))))
		if err != nil {
			t.Fatal(err)
		}
		views = append(views, app.EditableView{Photograph: p.ID, Kind: kind})
	}
	id := s.ID()
	given := app.EditableRecord{Found: trug.When{Date: "2026-10-10", Time: "11:34"}, Form: "gilled", Substrate: "litter_leaf", NumberSeen: 9,
		Place: &app.EditablePlace{Source: trug.FromText, Text: "48°33'36\"N 19°57'00\"W"}, FieldName: "Laccaria", Views: views}
	sheet, err := s.SaveRecord(ctx, recorder, id, given)
	if err != nil {
		t.Fatal(err)
	}
	if want := "Top and underneath; no side, no surroundings."; sheet.Facts != want {
		t.Errorf("facts: %q, want %q", sheet.Facts, want)
	}
	if sheet.Place.Words != "Hobbleshaw Hanger" || sheet.Foray != "Old wood again" {
		t.Errorf("found at %q on %q: the place lies in Hobbleshaw Hanger, where the foray of the day was", sheet.Place.Words, sheet.Foray)
	}
	again, err := s.SaveRecord(ctx, recorder, id, given)
	if err != nil || again.Number != sheet.Number || len(again.Views) != 2 {
		t.Errorf("sending it twice: %v, number %s, %d views; want the same record", err, again.Number, len(again.Views))
	}

	name(t, s, "D1", id, "Laccaria amethystina", trug.NoQualifier)
	sheet = name(t, s, "D5", id, "Laccaria amethystina", trug.Cf)
	if sheet.Name.Name != "Laccaria amethystina" || len(sheet.Slips) != 2 {
		t.Errorf("after two opinions: %+v with %d slips", sheet.Name, len(sheet.Slips))
	}
	sheet = name(t, s, "D2", id, "Mycena pura", trug.NoQualifier)
	if sheet.Name.Name != "Fungi" || len(sheet.Slips) != 3 {
		t.Errorf("opinions of two families: current %q with %d slips, want what they share and all slips", sheet.Name.Name, len(sheet.Slips))
	}

	d, err := s.Publish(ctx, coordinator, app.GivenDeposit{ID: s.ID()})
	if err != nil {
		t.Fatal(err)
	}
	f, _, err := s.OpenArchive(ctx, s.Outsider(), d.Public)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	data, err := io.ReadAll(f)
	if err != nil {
		t.Fatal(err)
	}
	back, err := dwca.Read(bytes.NewReader(data), int64(len(data)), dwca.DefaultLimits)
	if err != nil {
		t.Fatal(err)
	}
	if len(back.Finds) != len(s.Demo.Records)+1 || back.Number != 1 {
		t.Errorf("read back %d finds of version %d, want %d of version 1", len(back.Finds), back.Number, len(s.Demo.Records)+1)
	}
	if d.Withheld == 0 {
		t.Error("no find is withheld; the invented season has protected ones by this day")
	}
}

func name(t *testing.T, s apptest.Season, code string, id trug.ID, name string, q trug.Qualifier) app.RecordSheet {
	t.Helper()
	sheet, err := s.Determine(t.Context(), s.As(code), id, app.GivenName{ID: s.ID(), Name: name, Qualifier: q, Basis: []trug.Basis{trug.FromPhotographs}})
	if err != nil {
		t.Fatal(err)
	}
	return sheet
}

// Bad input gets a sentence that names the field and what to do, and keeps nothing.
func TestBadRecords(t *testing.T) {
	s, ctx := apptest.New(t, "2026-10-10"), t.Context()
	v := s.As("R08")
	good := func() app.EditableRecord {
		return app.EditableRecord{Found: trug.When{Date: "2026-10-10"}, FieldName: "Laccaria", Place: &app.EditablePlace{Lat: 48.56, Lon: -19.95, Source: trug.FromPin}}
	}
	for name, c := range map[string]struct {
		spoil func(*app.EditableRecord)
		says  string
	}{
		"latitude out of range": {func(e *app.EditableRecord) { e.Place.Lat = 123 }, "latitude"},
		"outside the area":      {func(e *app.EditableRecord) { e.Place.Lat = 51.5; e.Place.Lon = 0.1 }, "outside the season's area"},
		"a day to come":         {func(e *app.EditableRecord) { e.Found.Date = "2026-10-11" }, "has not come yet"},
		"before the season":     {func(e *app.EditableRecord) { e.Found.Date = "1970-01-01" }, "outside the season"},
		"no day":                {func(e *app.EditableRecord) { e.Found.Date = "" }, "on which day"},
		"unread place":          {func(e *app.EditableRecord) { e.Place = &app.EditablePlace{Source: trug.FromText, Text: "by the oak"} }, "place"},
		"no such form":          {func(e *app.EditableRecord) { e.Form = "teapot" }, "none of the answers"},
		"too many":              {func(e *app.EditableRecord) { e.NumberSeen = -4 }, "count of fruitbodies"},
		"nothing at all":        {func(e *app.EditableRecord) { e.FieldName = "" }, "a record needs"},
		"unknown photograph":    {func(e *app.EditableRecord) { e.Views = []app.EditableView{{Photograph: s.ID(), Kind: trug.Top}} }, "has not arrived"},
	} {
		t.Run(name, func(t *testing.T) {
			e, id := good(), s.ID()
			c.spoil(&e)
			_, err := s.SaveRecord(ctx, v, id, e)
			if err == nil || !strings.Contains(err.Error(), c.says) {
				t.Errorf("said %v, want a sentence with %q", err, c.says)
			}
			if trug.KindOf(err) != trug.Invalid {
				t.Errorf("kind %v, want Invalid", trug.KindOf(err))
			}
			if _, err := s.App.Record(ctx, v, id); trug.KindOf(err) != trug.NotFound {
				t.Errorf("the bad record was kept (%v)", err)
			}
		})
	}
}

// Files that are no photographs are refused by name; what was handed in stays.
func TestBadPhotographs(t *testing.T) {
	s, ctx := apptest.New(t, "2026-10-10"), t.Context()
	v := s.As("R08")
	whole := apptest.JPEG(t, 1)
	for name, data := range map[string][]byte{"empty.jpg": {}, "one-byte.jpg": {0xff}, "notes.txt": []byte("oak, north side"), "cut-short.jpg": whole[:len(whole)/2]} {
		_, err := s.TakePhotograph(ctx, v, name, bytes.NewReader(data))
		if err == nil || !strings.HasPrefix(err.Error(), name+": ") || trug.KindOf(err) != trug.Invalid {
			t.Errorf("%s: said %v, want a sentence that names the file", name, err)
		}
	}
	first, err := s.TakePhotograph(ctx, v, "a.jpg", bytes.NewReader(whole))
	if err != nil {
		t.Fatal(err)
	}
	second, err := s.TakePhotograph(ctx, v, "b.jpg", bytes.NewReader(whole))
	if err != nil || second.ID != first.ID || !second.Again {
		t.Errorf("the same photograph twice: %+v, %v; want the first again", second, err)
	}
}

// What was looked for and not found is published with the foray's scope and
// effort; protected names are spoken of nowhere.
func TestForaysAreSurveyed(t *testing.T) {
	s, ctx := apptest.New(t, "2026-10-10"), t.Context()
	v := s.As("R02")
	forays, err := s.Forays(ctx, v, app.DeskQuery{})
	if err != nil {
		t.Fatal(err)
	}
	for _, line := range forays.Lines {
		if line.Code != "O04" {
			continue
		}
		y, err := s.Foray(ctx, v, line.ID)
		if err != nil {
			t.Fatal(err)
		}
		y.Scope = []string{"Agaricomycetes"}
		y.WholeScope = true
		y.Targets = []string{"Hydnum repandum", "Hericium erinaceus"}
		y.NotFound = []string{"Fistulina hepatica", "Hericium erinaceus", "Hericium", "Hericiaceae"}
		y.Route = [][2]float64{{-19.88, 48.585}, {-19.875, 48.586}, {-19.87, 48.5852}}
		if _, err := s.SaveForay(ctx, v, y.ID, y); err != nil {
			t.Fatal(err)
		}
	}
	empty := app.ShownForay{Code: "V1", Name: "An evening alone", Visit: true, By: v.Person.ID, Site: "S5", Date: "2026-10-09", Start: "16:00", End: "17:30", People: new(1)}
	if _, err := s.SaveForay(ctx, v, s.ID(), empty); err != nil {
		t.Fatal(err)
	}
	var archive bytes.Buffer
	counts, err := s.WriteArchive(ctx, app.Desk(v.Season), &archive)
	if err != nil {
		t.Fatal(err)
	}
	if counts.Absences != 1 || counts.Visits != 1 {
		t.Errorf("%d absences and %d visits, want one of each", counts.Absences, counts.Visits)
	}
	back, err := dwca.Read(bytes.NewReader(archive.Bytes()), int64(archive.Len()), dwca.DefaultLimits)
	if err != nil {
		t.Fatal(err)
	}
	for _, y := range back.Forays {
		switch y.Name {
		case "Pinery day":
			// Twelve people from 9:30 to 12:30.
			if y.Survey == nil || y.Survey.Effort != 36 || len(y.Survey.Absences) != 1 || y.Survey.Absences[0].Name.Name != "Fistulina hepatica" || y.Route == "" {
				t.Errorf("Pinery day: %+v, route %q", y.Survey, y.Route)
			}
			if len(y.Survey.Excluded) != 3 {
				t.Errorf("excluded %q, want the three protected names", y.Survey.Excluded)
			}
		case "An evening alone":
			if !y.Visit || y.Survey == nil || y.Survey.Effort != 1.5 {
				t.Errorf("an empty visit: %+v", y)
			}
		}
	}
}
