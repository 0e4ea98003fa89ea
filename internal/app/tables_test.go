package app_test

import (
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"

	"trug"
	"trug/internal/app"
	"trug/internal/app/apptest"
)

// Every table of the desk goes out and comes in again with nothing changed.
func TestTablesComeBackTheSame(t *testing.T) {
	s, ctx := apptest.New(t, "2026-10-10"), t.Context()
	v := s.As("R02")
	for name, rows := range map[string]int{"sites": 6, "forays": 14, "people": 29, "names": 72, "look-alikes": 4, "protected": 3} {
		text, err := s.TableCSV(ctx, v, name)
		if err != nil {
			t.Fatal(err)
		}
		if n := strings.Count(string(text), "\n") - 1; n != rows {
			t.Errorf("%s: %d rows, want %d", name, n, rows)
		}
		done, err := s.TakeTable(ctx, v, name, text)
		if err != nil || done.Same != rows || done.Added+done.Changed+len(done.Faults) != 0 {
			t.Errorf("%s handed in again: %+v, %v; want %d the same", name, done, err, rows)
		}
	}
}

// A faulty row is named with what to do, good rows go in, a second time
// changes nothing; other separators, a mark of byte order and formulas are met.
func TestTableWithFaults(t *testing.T) {
	s, ctx := apptest.New(t, "2026-10-10"), t.Context()
	v := s.As("R02")
	text := "\ufeffcode;name;latitude;longitude;radius_m;may_pick;permission_until;colour\n" +
		"S8;Nab Wood;48,51;-19,93;200;yes;2026-10-31;green\n" +
		"S9;Nowhere;95;-19,93;200;;;\n" +
		"S10;Late;48,5;-19,9;100;perhaps;;\n" +
		"S1;Hobbleshaw Hanger;48,56;-19,95;700;;;\n"
	done, err := s.TakeTable(ctx, v, "sites", []byte(text))
	if err != nil {
		t.Fatal(err)
	}
	if done.Added != 1 || done.Changed != 1 || len(done.Faults) != 3 {
		t.Fatalf("%+v: want one added, one changed, three faults", done)
	}
	all := strings.Join(done.Faults, "\n")
	for _, want := range []string{`"colour" is not known`, "line 3: ", "latitude 95", "line 4: ", "perhaps"} {
		if !strings.Contains(all, want) {
			t.Errorf("the faults do not say %q:\n%s", want, all)
		}
	}
	again, err := s.TakeTable(ctx, v, "sites", []byte(text))
	if err != nil || again.Added+again.Changed != 0 {
		t.Errorf("handed in again: %+v, %v", again, err)
	}
	for text, says := range map[string]string{"PK\x03\x04": "save it as CSV", "": "empty", "a,b\n1,2\n": "no column called code", "code\n\xff\xfe\n": "UTF-8"} {
		if _, err := s.TakeTable(ctx, v, "sites", []byte(text)); err == nil || !strings.Contains(err.Error(), says) {
			t.Errorf("%q: said %v, want %q", text, err, says)
		}
	}
	if _, err := s.TakeTable(ctx, v, "protected", []byte("name,reason,category\nMycena nova,rare,2\n")); err != nil {
		t.Error(err)
	}
}

// A cell that a spreadsheet would run as a formula goes out harmless and comes
// back as it was.
func TestFormulasAreHarmless(t *testing.T) {
	s, ctx := apptest.New(t, "2026-10-10"), t.Context()
	v := s.As("R02")
	if _, err := s.SavePerson(ctx, v, s.ID(), app.EditablePerson{Code: "R77", Name: "=HYPERLINK(1)", Roles: []trug.Role{trug.RecorderRole}}); err != nil {
		t.Fatal(err)
	}
	text, err := s.TableCSV(ctx, v, "people")
	if err != nil || strings.Contains(string(text), ",=HYPER") || !strings.Contains(string(text), "'=HYPERLINK(1)") {
		t.Errorf("a formula goes out as it is (%v)", err)
	}
	if done, err := s.TakeTable(ctx, v, "people", text); err != nil || done.Changed != 0 {
		t.Errorf("coming back it changes %d rows, %v", done.Changed, err)
	}
}

func FuzzTakeTable(f *testing.F) {
	s := apptest.New(f, "2026-10-10")
	v := s.As("R02")
	for _, name := range []string{"sites", "forays", "people", "look-alikes", "protected"} {
		text, err := s.TableCSV(f.Context(), v, name)
		if err != nil {
			f.Fatal(err)
		}
		f.Add(name, text)
	}
	f.Fuzz(func(t *testing.T, name string, text []byte) {
		done, err := s.TakeTable(t.Context(), v, name, text)
		if err != nil && trug.KindOf(err) == trug.Internal {
			t.Errorf("%v after %+v", err, done)
		}
	})
}

// The foray table: numbers of slips, determiners by code, faults by row,
// repeated without adding.
func TestForayTable(t *testing.T) {
	s, ctx := apptest.New(t, "2026-10-10"), t.Context()
	v := s.As("R05") // leads O07 of 10 October
	var foray trug.ID
	for _, y := range s.Demo.Forays {
		if y.Code == "O07" {
			foray = y.ID
		}
	}
	rows := []app.ForayRow{
		{ID: s.ID(), Number: "310", Name: "Mycena pura", Determiner: "D1", Qualifier: trug.Cf, Substrate: "leaf litter", Count: 3},
		{ID: s.ID(), Name: "Laccaria amethystina", Determiner: "Solveig Marrowby", Substrate: "stump", Host: "Fagus", Kept: true},
		{ID: s.ID(), Number: "W26-0100", Name: "Mycena pura"},
		{ID: s.ID(), Name: "Mycena pura", Substrate: "cheese"},
		{ID: s.ID(), Name: "  "},
		{ID: s.ID(), Name: "Mycena pura", Qualifier: trug.Cf},
		{ID: s.ID(), Name: "Mycena pura", Count: -2},
	}
	done, err := s.SaveForayTable(ctx, v, foray, rows)
	if err != nil {
		t.Fatal(err)
	}
	if done.Added != 2 || done.Faults != 5 || done.Rows[0].Number != "W26-0310" || done.Rows[1].Number != "W26-0301" {
		t.Fatalf("%+v: want two added as 0310 and 0301, five faults", done)
	}
	for i, says := range map[int]string{2: "another find's number", 3: "cheese", 4: "no name", 5: "goes with a determination", 6: "count"} {
		if !strings.Contains(done.Rows[i].Fault, says) {
			t.Errorf("row %d: %q, want a sentence with %q", i, done.Rows[i].Fault, says)
		}
	}
	sheet, err := s.App.Record(ctx, s.As("R02"), rows[0].ID)
	if err != nil || len(sheet.Slips) != 1 || sheet.Slips[0].Det != "Philippa Vermeulen-Yarrow" || sheet.Place.Words != "Hobbleshaw Hanger" {
		t.Errorf("%+v, %v: want one slip of the determiner at the foray's site", sheet, err)
	}
	if want := "No photograph; named in the hand by Philippa Vermeulen-Yarrow."; sheet.Facts != want {
		t.Errorf("facts %q, want %q", sheet.Facts, want)
	}
	again, err := s.SaveForayTable(ctx, v, foray, rows[:2])
	if err != nil || again.Same != 2 || again.Added != 0 {
		t.Errorf("sent again: %+v, %v; want both the same", again, err)
	}
	back, err := s.ForayTable(ctx, v, foray)
	if err != nil || len(back.Rows) < 2 || back.Next != "W26-0311" || back.Foray.Code != "O07" {
		t.Errorf("%d rows of %s come back, %v, next %s", len(back.Rows), back.Foray.Code, err, back.Next)
	}
	if i := slices.IndexFunc(back.Determiners, func(d app.ShownDeterminer) bool { return d.Code == "D1" }); i < 0 {
		t.Errorf("determiners %+v lack D1", back.Determiners)
	}
	if _, err := s.SaveForayTable(ctx, s.As("R01"), foray, rows); trug.KindOf(err) != trug.NotAllowed {
		t.Errorf("another leader kept the table: %v", err)
	}
}

// Ten thousand pasted rows are taken in one go.
func TestManyRows(t *testing.T) {
	if testing.Short() {
		t.Skip("writes ten thousand records")
	}
	s, ctx := apptest.New(t, "2026-10-10"), t.Context()
	var foray trug.ID
	for _, y := range s.Demo.Forays {
		if y.Code == "O07" {
			foray = y.ID
		}
	}
	rows := make([]app.ForayRow, app.MaxForayRows)
	for i := range rows {
		rows[i] = app.ForayRow{ID: s.ID(), Name: "Mycena pura", Substrate: "soil"}
	}
	began := time.Now()
	done, err := s.SaveForayTable(ctx, s.As("R02"), foray, rows)
	if err != nil || done.Added != len(rows) {
		t.Fatalf("%d added, %v", done.Added, err)
	}
	t.Logf("10,000 rows in %v", time.Since(began))
	if _, err := s.SaveForayTable(ctx, s.As("R02"), foray, append(rows, app.ForayRow{})); trug.KindOf(err) != trug.TooLarge {
		t.Errorf("10,001 rows: %v", err)
	}
}

// A child is under an adult, by first name; a withdrawn consent says what can
// be undone.
func TestPeople(t *testing.T) {
	s, ctx := apptest.New(t, "2026-10-10"), t.Context()
	v := s.As("R02")
	child := app.EditablePerson{Name: "Wren", Credit: "Young recorder 5", Minor: true, Guardian: s.As("R04").Person.ID, Roles: []trug.Role{trug.RecorderRole}}
	if _, err := s.SavePerson(ctx, v, s.ID(), child); err != nil {
		t.Fatal(err)
	}
	for name, c := range map[string]struct {
		spoil func(*app.EditablePerson)
		says  string
	}{
		"full name":   {func(e *app.EditablePerson) { e.Name = "Wren Puddle" }, "first name"},
		"credit":      {func(e *app.EditablePerson) { e.Credit = "Wren" }, "not published by name"},
		"nobody's":    {func(e *app.EditablePerson) { e.Guardian = "" }, "under an adult"},
		"leads":       {func(e *app.EditablePerson) { e.Roles = []trug.Role{trug.Leader} }, "for adults"},
		"odd consent": {func(e *app.EditablePerson) { e.Consents = []trug.Consent{{About: "cake", Given: "2026-10-01"}} }, "nothing that is asked"},
		"early goodbye": {func(e *app.EditablePerson) {
			e.Consents = []trug.Consent{{About: "name", Given: "2026-10-01", Withdrawn: "2026-09-01"}}
		}, "can't have been withdrawn"},
	} {
		bad := child
		c.spoil(&bad)
		if _, err := s.SavePerson(ctx, v, s.ID(), bad); err == nil || !strings.Contains(err.Error(), c.says) {
			t.Errorf("%s: said %v, want %q", name, err, c.says)
		}
	}
	twice, err := s.SavePerson(ctx, v, s.ID(), app.EditablePerson{Name: "Ngozi Pudlecombe", Roles: []trug.Role{trug.RecorderRole}})
	if err != nil || !strings.Contains(fmt.Sprint(twice.Notes), "Ngozi Puddlecombe R02 has nearly the same name") {
		t.Errorf("the same person twice: notes %q, %v", twice.Notes, err)
	}
	if _, err := s.Publish(ctx, v, app.GivenDeposit{ID: s.ID()}); err != nil {
		t.Fatal(err)
	}
	e, err := s.Person(ctx, v, s.As("R03").Person.ID)
	if err != nil {
		t.Fatal(err)
	}
	e.Consents = append([]trug.Consent{}, e.Consents...)
	e.Consents[0].Withdrawn = "2026-10-10"
	e, err = s.SavePerson(ctx, v, e.ID, e)
	if err != nil || !strings.Contains(fmt.Sprint(e.Notes), "version 1 of 10 October 2026 can't be called back") {
		t.Errorf("a consent withdrawn: notes %q, %v", e.Notes, err)
	}
	me, _ := s.Person(ctx, v, v.Person.ID)
	me.Roles = []trug.Role{trug.RecorderRole}
	if _, err := s.SavePerson(ctx, v, me.ID, me); err == nil || !strings.Contains(err.Error(), "no coordinator left") {
		t.Errorf("the coordinator locked themselves out: %v", err)
	}
}

// A family that is new stands in one table: the child goes in at the first
// time, above the guardian or below; a guardian who does not go in is no guardian.
func TestFamilyFromOneTable(t *testing.T) {
	s, ctx := apptest.New(t, "2026-10-10"), t.Context()
	v := s.As("R02")
	text := "code,name,roles,child,guardian\n" +
		"R901,Wren,recorder,yes,R902\n" +
		"R902,Tilda Elmwold,recorder,,\n" +
		"R903,Bram,recorder,yes,tilda elmwold\n" +
		"R904,Noor,recorder,yes,R905\n" +
		"R905,Hanne Rowbeck,juggler,,\n" +
		"R906,Elif,recorder,yes,R901\n"
	done, err := s.TakeTable(ctx, v, "people", []byte(text))
	if err != nil || done.Added != 3 || len(done.Faults) != 3 {
		t.Fatalf("%+v, %v: want three added, three faults", done, err)
	}
	for i, want := range []string{"line 5: guardian: nobody of the season", "line 6: ", "line 7: guardian: a child takes part under an adult"} {
		if !strings.HasPrefix(done.Faults[i], want) {
			t.Errorf("fault %d says %q, want %q", i+1, done.Faults[i], want)
		}
	}
	found, err := s.People(ctx, v, app.DeskQuery{Text: "R903"})
	if err != nil || len(found.Lines) != 1 {
		t.Fatalf("%+v, %v", found, err)
	}
	if p, err := s.Person(ctx, v, found.Lines[0].ID); err != nil || p.GuardianName != "Tilda Elmwold" {
		t.Errorf("the guardian is %q, %v", p.GuardianName, err)
	}
	again, err := s.TakeTable(ctx, v, "people", []byte(text))
	if err != nil || again.Added+again.Changed != 0 || again.Same != 3 {
		t.Errorf("handed in again: %+v, %v", again, err)
	}
}

// The foray table changes no record that somebody made by themselves.
func TestForayTableLeavesOthersRecords(t *testing.T) {
	s, ctx := apptest.New(t, "2026-10-10"), t.Context()
	own := s.Record("W26-0100") // R08's, made on O07
	for _, y := range s.Demo.Forays {
		if y.Code != "O07" {
			continue
		}
		done, err := s.SaveForayTable(ctx, s.As("R05"), y.ID, []app.ForayRow{{ID: own, Name: "Mycena pura"}})
		if err != nil || done.Faults != 1 || !strings.Contains(done.Rows[0].Fault, "somebody's own record") {
			t.Errorf("%+v, %v: want the row refused", done, err)
		}
	}
	sheet, err := s.App.Record(ctx, s.As("R08"), own)
	if err != nil || sheet.FieldName == "Mycena pura" {
		t.Errorf("the record was changed: %q, %v", sheet.FieldName, err)
	}
}
