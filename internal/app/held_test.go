package app_test

import (
	"encoding/json"
	"testing"

	"trug/internal/app"
	"trug/internal/app/apptest"
	"trug/internal/offline"
)

// One's own latest records go along with their versions, nobody else's; what a phone
// changes of one stands against what the desk changes meanwhile, field by field.
func TestAHeldRecordIsChangedOutOfReach(t *testing.T) {
	s := apptest.New(t, "2026-10-10")
	first := take(t, s, "R08", offline.Message{Phone: s.ID(), Number: 1, Record: s.ID(), Set: fields("remarks", "by the oak", "host", "oak", "smell", "of flour")})
	if first.State != "taken" {
		t.Fatalf("%+v", first)
	}
	held, err := s.Held(t.Context(), s.As("R08"))
	if err != nil {
		t.Fatal(err)
	}
	var mine app.HeldRecord
	for _, r := range held.Records {
		if sheet, err := s.App.Record(t.Context(), s.As("R08"), r.ID); err != nil || !sheet.Mine || sheet.Version != r.Version || sheet.Number != r.Number {
			t.Errorf("%s goes along at version %d; its sheet: %+v, %v", r.Number, r.Version, sheet, err)
		}
		if r.ID == first.Record {
			mine = r
		}
	}
	if mine.Version != 1 || mine.Editable.Host != "oak" {
		t.Fatalf("the record that was sent goes along as %+v", mine)
	}
	other, err := s.Held(t.Context(), s.As("R09"))
	if err != nil {
		t.Fatal(err)
	}
	for _, r := range other.Records {
		if r.ID == mine.ID {
			t.Error("it goes along with somebody else")
		}
	}
	e := mine.Editable
	e.Remarks, e.OutsideIsOK, e.DateIsOK = "the label says oak wood", true, true
	if _, err := s.SaveRecord(t.Context(), s.As("R02"), mine.ID, e); err != nil {
		t.Fatal(err)
	}
	got := take(t, s, "R08", offline.Message{Phone: s.ID(), Number: 1, Record: mine.ID, Seen: mine.Version,
		Set: map[string]json.RawMessage{"remarks": json.RawMessage(`"snails on it"`), "host": json.RawMessage(`"hornbeam"`), "smell": nil}})
	if got.State != "taken" || len(got.Lost) != 1 || got.Lost[0].Field != "remarks" {
		t.Fatalf("%+v", got)
	}
	sheet, err := s.App.Record(t.Context(), s.As("R08"), mine.ID)
	if err != nil || sheet.Editable.Remarks != "the label says oak wood" || sheet.Editable.Host != "hornbeam" || sheet.Editable.Smell != "" || sheet.Version != got.Version {
		t.Errorf("%+v, %v", sheet.Editable, err)
	}
}
