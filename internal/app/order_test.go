package app_test

import (
	"archive/zip"
	"bytes"
	"io"
	"testing"

	"trug"
	"trug/internal/app"
	"trug/internal/app/apptest"
)

// unzipped returns every file of an archive as text.
func unzipped(t *testing.T, data []byte) map[string]string {
	t.Helper()
	z, err := zip.NewReader(bytes.NewReader(data), int64(len(data)))
	if err != nil {
		t.Fatal(err)
	}
	out := map[string]string{}
	for _, f := range z.File {
		r, err := f.Open()
		if err != nil {
			t.Fatal(err)
		}
		text, err := io.ReadAll(r)
		if err != nil {
			t.Fatal(err)
		}
		r.Close()
		out[f.Name] = string(text)
	}
	return out
}

// Three devices with wrong clocks: the first slip is dated 2027 by its
// identifier, the third, which settles, 2025. What counts is the order in
// which they came, also for a program that reads the season anew.
func TestSlipsCountInTheOrderOfTheirComing(t *testing.T) {
	s, ctx := apptest.New(t, "2026-10-10"), t.Context()
	id := s.ID()
	if _, err := s.SaveRecord(ctx, s.As("R08"), id, app.EditableRecord{Found: trug.When{Date: "2026-10-10"}, Form: "gilled", Remarks: "small"}); err != nil {
		t.Fatal(err)
	}
	names := []string{"Mycena pura", "Laccaria amethystina", "Mycena pura"}
	for i, slip := range []struct{ by, id string }{
		{"D1", "01a8ffff-ffff-7000-8000-000000000001"}, // of 2027
		{"D2", "01999999-0000-7000-8000-000000000002"}, // of 2025
		{"D3", "01900000-0000-7000-8000-000000000003"}, // of 2024
	} {
		if i == 2 {
			if _, err := s.LiftFlap(ctx, s.As(slip.by), id); err != nil {
				t.Fatal(err)
			}
		}
		if _, err := s.Determine(ctx, s.As(slip.by), id, app.GivenName{ID: trug.ID(slip.id), Name: names[i], Basis: []trug.Basis{trug.FromDescription}}); err != nil {
			t.Fatal(err)
		}
	}
	anew, err := app.New(app.Options{Store: s.Store, Blobs: s.Blobs, Secret: bytes.Repeat([]byte{7}, 32), Device: "test", Clock: s.Clock})
	if err != nil {
		t.Fatal(err)
	}
	for name, a := range map[string]*app.App{"the program that took them": s.App, "one that reads the season anew": anew} {
		sheet, err := a.Record(ctx, s.As("R02"), id)
		if err != nil {
			t.Fatal(err)
		}
		if sheet.Name.Name != "Mycena pura" || len(sheet.Slips) != 3 || sheet.Slips[0].Det != s.As("D3").Person.Name || sheet.Slips[2].Det != s.As("D1").Person.Name {
			t.Errorf("%s: %s %+v; want it settled as Mycena pura by the third slip, newest first", name, sheet.Naming, sheet.Slips)
		}
	}
	// The newest pass tells with whom it lies, whatever its identifier says.
	for i, to := range []string{"D4", "D5"} {
		pass := app.GivenPass{ID: trug.ID([]string{"01a8ffff-ffff-7000-8000-000000000009", "01900000-0000-7000-8000-000000000009"}[i]), To: s.As(to).Person.ID}
		if err := s.PassFind(ctx, s.As("D1"), s.Record("W26-0100"), pass); err != nil {
			t.Fatal(err)
		}
	}
	for code, mine := range map[string]bool{"D4": false, "D5": true} {
		for name, a := range map[string]*app.App{"kept": s.App, "anew": anew} {
			page, err := a.Table(ctx, s.As(code))
			if err != nil {
				t.Fatal(err)
			}
			has := false
			for _, g := range page.Groups {
				for _, f := range g.Finds {
					has = has || f.ID == s.Record("W26-0100") && f.PassedToMe
				}
			}
			if has != mine {
				t.Errorf("%s (%s): the find lies with them: %v, want %v", code, name, has, mine)
			}
		}
	}
}
