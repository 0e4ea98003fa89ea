package app_test

import (
	"bytes"
	"strings"
	"testing"

	"trug"
	"trug/internal/app"
	"trug/internal/app/apptest"
)

func fileOf(name string, data []byte) app.IntakeFile {
	return app.IntakeFile{Name: name, Read: func() ([]byte, error) { return data, nil }}
}

// Photographs come after the rows of the foray table, and find them by the
// number in their names; a second time adds nothing.
func TestIntakeByNumber(t *testing.T) {
	s, ctx := apptest.New(t, "2026-10-10"), t.Context()
	slips, err := s.ReserveSlips(ctx, s.As("R01"), s.ID(), app.GivenSlips{Foray: forayOf(t, s, "O01"), Count: 8})
	if err != nil {
		t.Fatal(err)
	}
	done := enter(t, s, "R01", app.ForayRow{Name: "Mycena pura"}, app.ForayRow{Name: "Russula"}, app.ForayRow{Name: "Mycena"})
	a, b, out := done.Rows[0].Number, done.Rows[1].Number, done.Rows[2].Number
	if _, err := s.TakeOutRows(ctx, s.As("R01"), forayOf(t, s, "O01"), app.GivenOut{Rows: []trug.ID{done.Rows[2].ID}}); err != nil {
		t.Fatal(err)
	}
	twice := apptest.JPEG(t, 3)
	files := []app.IntakeFile{fileOf(a+"_c.jpg", apptest.JPEG(t, 1)), fileOf(a+" top.jpg", apptest.JPEG(t, 2)), fileOf(b+"/IMG_1.JPG", twice), fileOf("more/"+b+"/IMG_2.JPG", apptest.JPEG(t, 4)),
		fileOf("W26-9999.jpg", apptest.JPEG(t, 5)), fileOf(slips.First+".jpg", apptest.JPEG(t, 6)), fileOf(out+".jpg", apptest.JPEG(t, 7)), fileOf("V25-0001.jpg", apptest.JPEG(t, 8)),
		fileOf(a+" "+b+".jpg", apptest.JPEG(t, 9)), fileOf("again "+b+".jpg", twice), fileOf("IMG_0305.jpg", apptest.JPEG(t, 10)), fileOf(a+"_d.jpg", []byte("a text"))}
	o := app.DefaultIntake
	o.Day = "2026-10-10"
	p, err := s.ProposeIntake(ctx, s.As("R01"), files, o, nil)
	if err != nil {
		t.Fatal(err)
	}
	if len(p.Finds) != 3 || p.Finds[0].Adds != a || p.Finds[1].Adds != b || p.Finds[2].Adds != "" {
		t.Fatalf("proposed %+v", p.Finds)
	}
	for _, view := range p.Finds[0].Views {
		if want := map[string]trug.ViewKind{a + "_c.jpg": trug.Underneath, a + " top.jpg": trug.Top}[view.File]; view.Kind != want {
			t.Errorf("%s is proposed as %s, want %s", view.File, view.Kind, want)
		}
	}
	if !strings.Contains(strings.Join(p.Finds[1].Remarks, " "), "stands in") {
		t.Errorf("nothing is said of a number in two folders: %q", p.Finds[1].Remarks)
	}
	for name, says := range map[string]string{"W26-9999.jpg": "no find here has the number", slips.First + ".jpg": "on a printed slip", out + ".jpg": "taken out", "V25-0001.jpg": "another season",
		a + " " + b + ".jpg": "two numbers", "again " + b + ".jpg": "taken once", a + "_d.jpg": "not a JPEG"} {
		if !refused(p, name, says) {
			t.Errorf("of %s it should say %q: %+v", name, says, p.Refused)
		}
	}
	if err := s.ApplyIntake(ctx, s.As("R01"), &p, o, nil); err != nil {
		t.Fatal(err)
	}
	for i, want := range []string{"top underneath", "top side"} {
		if got := viewsOf(t, s, done.Rows[i].ID); got != want || p.Finds[i].Failed != "" {
			t.Errorf("%s has the views %q, want %q: %s", done.Rows[i].Number, got, want, p.Finds[i].Failed)
		}
	}
	again, err := s.ProposeIntake(ctx, s.As("R01"), files, o, nil)
	if err != nil || len(again.Finds) != 0 || again.Already != 5 {
		t.Errorf("a second time: %+v, %d there already, %v", again.Finds, again.Already, err)
	}
	page, err := s.ForayTable(ctx, s.As("R01"), forayOf(t, s, "O01"))
	if err != nil || len(page.Rows) < 2 {
		t.Fatal(err)
	}
	if got := enter(t, s, "R01", app.ForayRow{ID: done.Rows[0].ID, Name: "Mycena rosea", Number: a}); got.Faults > 0 {
		t.Errorf("a row with photographs can't be changed in the table: %+v", got)
	}
}

func refused(p app.Proposal, name, says string) bool {
	for _, r := range p.Refused {
		if r.File == name && strings.Contains(r.Says, says) {
			return true
		}
	}
	return false
}

func viewsOf(t testing.TB, s apptest.Season, id trug.ID) string {
	t.Helper()
	r, err := s.App.Record(t.Context(), s.As("R02"), id)
	if err != nil {
		t.Fatal(err)
	}
	var kinds []string
	for _, v := range r.Views {
		kinds = append(kinds, string(v.Kind))
	}
	return strings.Join(kinds, " ")
}

// Photographs are laid to a find by its recorder, the leader of the foray in
// whose table it stands, and the coordinator; by nobody else, and others are
// not told of finds that are hidden from them.
func TestWhoLaysPhotographs(t *testing.T) {
	s, ctx := apptest.New(t, "2026-10-10"), t.Context()
	done := enter(t, s, "R01", app.ForayRow{Name: "Mycena pura"})
	row, own := done.Rows[0], record(t, s, "R08")
	n := uint64(100)
	for _, c := range []struct {
		as     string
		id     trug.ID
		number string
		may    bool
	}{{"R01", row.ID, row.Number, true}, {"R02", row.ID, row.Number, true}, {"R12", row.ID, row.Number, false}, {"D1", row.ID, row.Number, false}, {"R08", row.ID, row.Number, false},
		{"R08", own.ID, own.Number, true}, {"R02", own.ID, own.Number, true}, {"R01", own.ID, own.Number, false}} {
		n++
		photograph, err := s.TakePhotograph(ctx, s.As(c.as), "a.jpg", bytes.NewReader(apptest.JPEG(t, n)))
		if err != nil {
			t.Fatal(err)
		}
		for range 2 { // twice changes nothing
			_, err = s.AddViews(ctx, s.As(c.as), c.id, []app.EditableView{{Photograph: photograph.ID, Kind: trug.Side}})
			if (err == nil) != c.may {
				t.Errorf("%s lays a photograph to %s: %v", c.as, c.number, err)
			}
		}
		named, err := s.ReadFileNames(ctx, s.As(c.as), []app.NameAsked{{File: c.number + " cut.jpg"}, {File: "IMG_1.jpg", Number: strings.TrimPrefix(c.number, "W26-")}})
		if err != nil {
			t.Fatal(err)
		}
		for _, f := range named.Files {
			if (f.Record == c.id) != c.may || (f.Says == "") != c.may {
				t.Errorf("%s is told of %s: %+v", c.as, c.number, f)
			}
		}
	}
	if got := viewsOf(t, s, row.ID); got != "side side" {
		t.Errorf("the row has the views %q, want two sides", got)
	}
}

// A protected find of somebody else's answers as if it were not there.
func TestNumbersTellNothingOfProtectedFinds(t *testing.T) {
	s, ctx := apptest.New(t, "2026-10-10"), t.Context()
	var secret trug.Record
	for _, r := range s.Demo.Records {
		if strings.HasPrefix(r.FieldName.Name, "Hericium") && r.RecorderID != s.As("R08").Person.ID {
			secret = r
		}
	}
	if secret.ID == "" {
		t.Fatal("the invented season has no protected find by this day")
	}
	named, err := s.ReadFileNames(ctx, s.As("R08"), []app.NameAsked{{File: secret.Number + ".jpg"}, {File: "W26-9999.jpg"}})
	if err != nil {
		t.Fatal(err)
	}
	a, b := strings.ReplaceAll(named.Files[0].Says, secret.Number, "N"), strings.ReplaceAll(named.Files[1].Says, "W26-9999", "N")
	if a == "" || a != b || len(named.Finds) != 0 {
		t.Errorf("a protected find is told apart from none: %q, %q", a, b)
	}
	if _, err := s.AddViews(ctx, s.As("R08"), secret.ID, nil); trug.KindOf(err) != trug.NotFound {
		t.Errorf("a protected find answers %v", err)
	}
}
