package app_test

import (
	"bytes"
	"slices"
	"strings"
	"sync"
	"testing"

	"trug"
	"trug/internal/app"
	"trug/internal/app/apptest"
)

func forayOf(t testing.TB, s apptest.Season, code string) trug.ID {
	t.Helper()
	for _, y := range s.Demo.Forays {
		if y.Code == code {
			return y.ID
		}
	}
	t.Fatalf("no foray %s", code)
	return ""
}

// enter keeps finds in the table of O01, which R01 leads.
func enter(t testing.TB, s apptest.Season, as string, rows ...app.ForayRow) app.ForayTableDone {
	t.Helper()
	for i := range rows {
		if rows[i].ID == "" {
			rows[i].ID = s.ID()
		}
	}
	done, err := s.SaveForayTable(t.Context(), s.As(as), forayOf(t, s, "O01"), rows)
	if err != nil {
		t.Fatal(err)
	}
	return done
}

// What is printed on slips is given to no other record and printed on no
// other slip; the next printing goes on after it.
func TestSlipsAreRemembered(t *testing.T) {
	s, ctx := apptest.New(t, "2026-10-10"), t.Context()
	leader, o1 := s.As("R01"), forayOf(t, s, "O01")
	id := s.ID()
	first, err := s.ReserveSlips(ctx, leader, id, app.GivenSlips{Foray: o1, Count: 24})
	if err != nil {
		t.Fatal(err)
	}
	again, err := s.ReserveSlips(ctx, leader, id, app.GivenSlips{Foray: o1, Count: 99})
	if err != nil || again != first {
		t.Errorf("asked again: %+v, %v; want %+v", again, err, first)
	}
	second, err := s.ReserveSlips(ctx, s.As("R02"), s.ID(), app.GivenSlips{Count: 8})
	if err != nil || figure(second.First) != figure(first.Last)+1 {
		t.Errorf("the next printing begins at %s after %s, %v", second.First, first.Last, err)
	}
	for name, g := range map[string]app.GivenSlips{
		"printed already": {From: figure(first.Last), Count: 3}, "of a record": {From: 1, Count: 3}, "none": {Count: 0}, "too many": {Count: 2001}, "minus": {From: -4, Count: 3},
	} {
		if got, err := s.ReserveSlips(ctx, leader, s.ID(), g); err == nil {
			t.Errorf("%s: kept %+v", name, got)
		}
	}
	if _, err := s.ReserveSlips(ctx, s.As("R12"), s.ID(), app.GivenSlips{Foray: o1, Count: 3}); trug.KindOf(err) != trug.NotAllowed {
		t.Errorf("slips for somebody else's foray: %v", err)
	}
	page, err := s.ForayTable(ctx, leader, o1)
	if err != nil || len(page.Slips) != 24 || page.Slips[0] != first.First {
		t.Fatalf("the table offers %q, %v", page.Slips, err)
	}
	// Neither a record handed in nor a row without a number takes one of them.
	p := record(t, s, "R08")
	done := enter(t, s, "R01", app.ForayRow{Name: "Mycena pura"}, app.ForayRow{Name: "Mycena pura", Number: page.Slips[3]}, app.ForayRow{Name: "Mycena pura"})
	for _, number := range []string{p.Number, done.Rows[0].Number, done.Rows[2].Number} {
		if n := figure(number); n >= figure(first.First) && n <= figure(second.Last) {
			t.Errorf("%s was given, which stands on a slip (%s to %s)", number, first.First, second.Last)
		}
	}
	if page, err = s.ForayTable(ctx, leader, o1); err != nil || len(page.Slips) != 23 || slices.Contains(page.Slips, done.Rows[1].Number) {
		t.Errorf("after one was used the table offers %d: %v", len(page.Slips), err)
	}
	for as, want := range map[string]int{"R02": 2, "R01": 1, "R12": 0} {
		list, err := s.SlipRanges(ctx, s.As(as))
		if err != nil || len(list) != want {
			t.Errorf("%s sees %+v, %v; want %d", as, list, err, want)
		}
		pdf, _, err := s.Paper(ctx, s.As(as), app.PaperAsked{Sheet: "slips", Slips: id})
		if (want > 0) != (err == nil && bytes.HasPrefix(pdf, []byte("%PDF"))) {
			t.Errorf("%s prints them again: %v", as, err)
		}
	}
	if list, _ := s.SlipRanges(ctx, leader); list[0].Used != 1 || list[0].ForayName == "" || list[0].By != leader.Person.Name {
		t.Errorf("the run is told as %+v", list[0])
	}
}

func figure(number string) (n int) {
	for _, c := range number[strings.LastIndex(number, "-")+1:] {
		n = n*10 + int(c-'0')
	}
	return n
}

func record(t testing.TB, s apptest.Season, as string) app.RecordSheet {
	t.Helper()
	r, err := s.SaveRecord(t.Context(), s.As(as), s.ID(), app.EditableRecord{Found: trug.When{Date: "2026-10-10"}, FieldName: "Mycena"})
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// Two printings at once get different numbers.
func TestSlipsPrintedAtOnce(t *testing.T) {
	s := apptest.New(t, "2026-10-10")
	var runs [8]app.ShownSlips
	var wg sync.WaitGroup
	for i := range runs {
		id := s.ID()
		wg.Go(func() {
			var err error
			if runs[i], err = s.ReserveSlips(t.Context(), s.As("R02"), id, app.GivenSlips{Count: 5}); err != nil {
				t.Error(err)
			}
		})
	}
	wg.Wait()
	slices.SortFunc(runs[:], func(x, y app.ShownSlips) int { return figure(x.First) - figure(y.First) })
	for i := range runs[1:] {
		if figure(runs[i+1].First) != figure(runs[i].Last)+1 {
			t.Errorf("%s follows %s", runs[i+1].First, runs[i].Last)
		}
	}
}

// Rows are taken out and put back by who keeps the foray; a number once given
// is given to nothing else, and nothing is lost.
func TestRowsAreTakenOutAndPutBack(t *testing.T) {
	s, ctx := apptest.New(t, "2026-10-10"), t.Context()
	o1, leader := forayOf(t, s, "O01"), s.As("R01")
	done := enter(t, s, "R01", app.ForayRow{Name: "Mycena pura", Host: "beech"}, app.ForayRow{Name: "Mycena galericulata"})
	id, number := done.Rows[0].ID, done.Rows[0].Number
	before, _ := s.ForayTable(ctx, leader, o1)
	for _, as := range []string{"R12", "D1", "R08"} {
		if _, err := s.TakeOutRows(ctx, s.As(as), o1, app.GivenOut{Rows: []trug.ID{id}}); trug.KindOf(err) != trug.NotAllowed {
			t.Errorf("taken out by %s: %v", as, err)
		}
	}
	for range 2 { // twice changes nothing
		page, err := s.TakeOutRows(ctx, leader, o1, app.GivenOut{Rows: []trug.ID{id}})
		if err != nil || len(page.Rows) != len(before.Rows)-1 || len(page.Out) != 1 || page.Out[0].Number != number {
			t.Fatalf("taken out: %d rows and %+v out, %v", len(page.Rows), page.Out, err)
		}
	}
	for _, as := range []string{"R01", "R02", "D1"} {
		if _, err := s.App.Record(ctx, s.As(as), id); trug.KindOf(err) != trug.NotFound {
			t.Errorf("%s still sees it: %v", as, err)
		}
	}
	if page, err := s.Book(ctx, s.As("R02"), app.BookQuery{Text: number}); err != nil || page.Total != 0 {
		t.Errorf("the Record book lists it: %+v, %v", page, err)
	}
	if got := enter(t, s, "R01", app.ForayRow{Name: "Mycena", Number: number}); got.Faults != 1 || !strings.Contains(got.Rows[0].Fault, "taken out") {
		t.Errorf("its number was given again: %+v", got)
	}
	if got := enter(t, s, "R01", app.ForayRow{ID: id, Name: "Mycena"}); got.Faults != 1 {
		t.Errorf("it was changed while out: %+v", got)
	}
	if got := enter(t, s, "R01", app.ForayRow{Name: "Mycena"}); got.Rows[0].Number == number {
		t.Errorf("the next row got its number %s", number)
	}
	page, err := s.TakeOutRows(ctx, s.As("R02"), o1, app.GivenOut{Rows: []trug.ID{id}, Back: true})
	if err != nil || len(page.Out) != 0 {
		t.Fatalf("put back: %+v, %v", page.Out, err)
	}
	i := slices.IndexFunc(page.Rows, func(r app.ForayRow) bool { return r.ID == id })
	if i < 0 || page.Rows[i].Number != number || page.Rows[i].Host != "beech" {
		t.Errorf("came back as %+v", page.Rows)
	}
	history, err := s.History(ctx, s.As("R02"), id)
	if err != nil || !strings.Contains(history[1].What, "Taken out of the season") {
		t.Errorf("its history: %+v, %v", history, err)
	}
}

// A blanked field is blank at once, not only after the season was read anew.
func TestBlankedFieldsAreBlank(t *testing.T) {
	s := apptest.New(t, "2026-10-10")
	done := enter(t, s, "R01", app.ForayRow{Name: "Mycena pura", Host: "beech", Count: 3})
	id := done.Rows[0].ID
	enter(t, s, "R01", app.ForayRow{ID: id, Name: "Mycena pura"})
	if r, err := s.App.Record(t.Context(), s.As("R01"), id); err != nil || r.Host != "" || r.NumberSeen != 0 {
		t.Errorf("host %q, number %d after both were blanked: %v", r.Host, r.NumberSeen, err)
	}
}

// Of people who sign up at once none is lost, nor is anybody lost to a form
// that was opened before they did.
func TestSignUpsAtOnce(t *testing.T) {
	s, ctx := apptest.New(t, "2026-10-10"), t.Context()
	o8, leader := forayOf(t, s, "O08"), s.As("R01")
	codes := []string{"R03", "R04", "R05", "R06", "R08", "R09"}
	form, err := s.Foray(ctx, leader, o8)
	if err != nil {
		t.Fatal(err)
	}
	var wg sync.WaitGroup
	for i, code := range codes {
		v := s.As(code)
		wg.Go(func() {
			var err error
			if i%2 == 0 {
				_, err = s.SignUp(ctx, v, o8, true)
			} else {
				_, err = s.ChangeSignUps(ctx, leader, o8, app.GivenSignUps{Add: []string{strings.ToUpper(v.Person.Name)}})
			}
			if err != nil {
				t.Error(code, err)
			}
		})
	}
	wg.Wait()
	form.Weather = "bright"
	kept, err := s.SaveForay(ctx, leader, o8, form)
	if err != nil {
		t.Fatal(err)
	}
	for _, code := range codes {
		if !slices.Contains(kept.SignedUp, s.As(code).Person.ID) {
			t.Errorf("%s is off the list", code)
		}
	}
	kept, err = s.ChangeSignUps(ctx, leader, o8, app.GivenSignUps{Off: []trug.ID{s.As("R04").Person.ID}})
	if err != nil || slices.Contains(kept.SignedUp, s.As("R04").Person.ID) || len(kept.Coming) != len(codes)-1 {
		t.Errorf("taken off: %q, %v", kept.Coming, err)
	}
	for name, c := range map[string]struct{ as, add, says string }{
		"a stranger": {"R01", "Nobody Atall", "nobody of the season is called"}, "no name": {"R01", " ", "say who it is"},
	} {
		if _, err := s.ChangeSignUps(ctx, s.As(c.as), o8, app.GivenSignUps{Add: []string{c.add}}); err == nil || !strings.Contains(err.Error(), c.says) {
			t.Errorf("%s: said %v, want %q", name, err, c.says)
		}
	}
	if _, err := s.ChangeSignUps(ctx, s.As("R12"), o8, app.GivenSignUps{Add: []string{"R08"}}); trug.KindOf(err) != trug.NotAllowed {
		t.Errorf("another leader changed the list: %v", err)
	}
}

// A leader hands a foray on; then it is the other's, table and all.
func TestHandOn(t *testing.T) {
	s, ctx := apptest.New(t, "2026-10-10"), t.Context()
	o1 := forayOf(t, s, "O01")
	done := enter(t, s, "R01", app.ForayRow{Name: "Mycena pura"})
	if _, err := s.HandOn(ctx, s.As("R01"), o1, "R08"); err == nil || !strings.Contains(err.Error(), "does not lead") {
		t.Errorf("handed on to a recorder: %v", err)
	}
	if _, err := s.HandOn(ctx, s.As("R12"), o1, "R12"); trug.KindOf(err) != trug.NotAllowed {
		t.Errorf("another leader took it: %v", err)
	}
	y, err := s.HandOn(ctx, s.As("R01"), o1, s.As("R12").Person.Name)
	if err != nil || y.Leader != s.As("R12").Person.ID {
		t.Fatalf("handed on: %+v, %v", y.LeaderName, err)
	}
	if _, err := s.SaveForayTable(ctx, s.As("R01"), o1, nil); trug.KindOf(err) != trug.NotAllowed {
		t.Errorf("the former leader keeps the table: %v", err)
	}
	if got := enter(t, s, "R12", app.ForayRow{ID: done.Rows[0].ID, Name: "Mycena rosea"}); got.Faults > 0 {
		t.Errorf("the new leader can't change a row: %+v", got)
	}
	leaders, err := s.Leaders(ctx, s.As("R12"))
	if err != nil || !slices.ContainsFunc(leaders, func(l app.ShownLeader) bool { return l.Code == "R01" }) || slices.ContainsFunc(leaders, func(l app.ShownLeader) bool { return l.Code == "R08" }) {
		t.Errorf("leaders: %+v, %v", leaders, err)
	}
}

// Nobody is not the same as not counted.
func TestHeadcountOfNobody(t *testing.T) {
	s, ctx := apptest.New(t, "2026-10-10"), t.Context()
	v, o1 := s.As("R02"), forayOf(t, s, "O01")
	form, err := s.Foray(ctx, v, o1)
	if err != nil {
		t.Fatal(err)
	}
	form.People = new(0)
	if _, err := s.SaveForay(ctx, v, o1, form); err == nil || !strings.Contains(err.Error(), "leave it blank") {
		t.Errorf("0 people: %v", err)
	}
	form.People = nil
	if y, err := s.SaveForay(ctx, v, o1, form); err != nil || y.People != nil {
		t.Errorf("blank: %v, %v", y.People, err)
	}
	done, err := s.TakeTable(ctx, v, "forays", []byte("code,people\nO01,0\nO02,12\nO03,\n"))
	if err != nil || len(done.Faults) != 1 || !strings.Contains(done.Faults[0], "leave it blank") {
		t.Errorf("as CSV: %+v, %v", done, err)
	}
}
