package app_test

import (
	"bytes"
	"strings"
	"testing"

	"trug"
	"trug/internal/app"
	"trug/internal/app/apptest"
)

// Consents go out and in with the table of people: day and way of giving and
// of taking back. None is erased, a second time changes nothing.
func TestConsentsThroughTheTable(t *testing.T) {
	s, ctx := apptest.New(t, "2026-10-10"), t.Context()
	v := s.As("R02")
	head := "code,name,roles,name_given,name_how,name_withdrawn,name_withdrawn_how,pictures_given\n"
	for _, c := range []struct {
		row, fault string
		changed    int
	}{
		{"R90,Wren,recorder,2026-09-20,on paper,,,2026-09-21", "", 1},
		{"R90,Wren,recorder,2026-09-20,on paper,2026-10-01,by letter,2026-09-21", "", 1},
		{"R90,Wren,recorder,2026-09-20,on paper,,,2026-09-21", "it was withdrawn on 2026-10-01", 0},
		{"R90,Wren,recorder,,,2026-10-01,by letter,2026-09-21", "is not erased", 0},
		{"R90,Wren,recorder,2026-09-30,on paper,,,2026-09-21", "later day", 0},
		{"R90,Wren,recorder,2026-10-02,on the phone,,,2026-09-21", "", 1},
		{"R90,Wren,recorder,2026-10-02,on the phone,2026-09-01,,2026-09-21", "can't have been withdrawn", 0},
		{"R91,Robin,recorder,,by letter,,,", "no consent that this could be about", 0},
		{"R91,Robin,recorder,yesterday,,,,", "is not a day", 0},
		{"R91,Robin,recorder,,,2026-10-01,,", "never given", 0},
	} {
		done, err := s.TakeTable(ctx, v, "people", []byte(head+c.row+"\n"))
		if err != nil || done.Added+done.Changed != c.changed || !strings.Contains(strings.Join(done.Faults, " "), c.fault) || (len(done.Faults) > 0) != (c.fault != "") {
			t.Errorf("%s: %+v, %v; want %q", c.row, done, err, c.fault)
		}
	}
	text, err := s.TableCSV(ctx, v, "people")
	if err != nil || !strings.Contains(string(text), "2026-10-02,on the phone,,") {
		t.Errorf("the table does not tell: %v\n%s", err, text)
	}
	if done, err := s.TakeTable(ctx, v, "people", text); err != nil || done.Added+done.Changed+len(done.Faults) != 0 {
		t.Errorf("handed in again: %+v, %v", done, err)
	}
	p, err := s.PersonByCode(ctx, s.Demo.Season.ID, "R90")
	if err != nil || len(p.Consents) != 3 || !p.Agrees(trug.ShowName) || p.Consents[0].WithdrawnHow != "by letter" {
		t.Errorf("Wren: %+v, %v", p.Consents, err)
	}
}

// A consent withdrawn after a deposit: the page says what can't be undone, and
// the next deposit goes out without name or pictures.
func TestConsentWithdrawnAfterADeposit(t *testing.T) {
	s, ctx := apptest.New(t, "2026-10-10"), t.Context()
	v, own := s.As("R02"), s.As("R03")
	p, err := s.TakePhotograph(ctx, own, "IMG.jpg", bytes.NewReader(apptest.JPEG(t, 4)))
	if err != nil {
		t.Fatal(err)
	}
	if _, err := s.SaveRecord(ctx, own, s.ID(), app.EditableRecord{Found: trug.When{Date: "2026-10-10"}, Views: []app.EditableView{{Photograph: p.ID, Kind: trug.Top}}}); err != nil {
		t.Fatal(err)
	}
	media := func() (rows int, named bool) {
		var archive bytes.Buffer
		if _, err := s.WriteArchive(ctx, v, &archive); err != nil {
			t.Fatal(err)
		}
		files := unzipped(t, archive.Bytes())
		for _, text := range files {
			named = named || strings.Contains(text, own.Person.Credit)
		}
		return strings.Count(files["media.txt"], "\n") - 1, named
	}
	if rows, named := media(); rows != 1 || !named {
		t.Fatalf("before: %d pictures, named: %v", rows, named)
	}
	if _, err := s.Publish(ctx, v, app.GivenDeposit{ID: s.ID()}); err != nil {
		t.Fatal(err)
	}
	e, err := s.Person(ctx, v, own.Person.ID)
	if err != nil {
		t.Fatal(err)
	}
	for i := range e.Consents {
		e.Consents[i].Withdrawn, e.Consents[i].WithdrawnHow = "2026-10-10", "by letter"
	}
	if e, err = s.SavePerson(ctx, v, own.Person.ID, e); err != nil {
		t.Fatal(err)
	}
	all := strings.Join(e.Notes, "\n")
	for _, want := range []string{"Consent to the name was withdrawn on 10 October 2026 (by letter). The next deposit goes out without it; version 1 of 10 October 2026 can't be called back",
		"Consent to the pictures was withdrawn", "No more letters"} {
		if !strings.Contains(all, want) {
			t.Errorf("the page does not say %q:\n%s", want, all)
		}
	}
	if rows, named := media(); rows != 0 || named {
		t.Errorf("after: %d pictures, named: %v", rows, named)
	}
}
