package app_test

import (
	"testing"

	"trug"
	"trug/internal/app"
	"trug/internal/app/apptest"
)

// A find of the small hours is on the foray that began the evening before, as
// far as that lasted; of two forays at one site that day the one under way has it.
func TestFindsOfANightAreOnItsForay(t *testing.T) {
	s, ctx := apptest.New(t, "2026-10-26"), t.Context()
	v, leader := s.As("R02"), s.As("R12").Person.ID
	for _, y := range []app.ShownForay{
		{Code: "N2", Name: "Evening", Site: "S2", Date: "2026-10-24", Start: "16:00", End: "18:00", Leader: leader},
		{Code: "N3", Name: "Night", Site: "S2", Date: "2026-10-24", Start: "21:00", EndDate: "2026-10-25", End: "01:30", Leader: leader},
	} {
		if _, err := s.SaveForay(ctx, v, s.ID(), y); err != nil {
			t.Fatal(err)
		}
	}
	at := &app.EditablePlace{Lat: 48.535, Lon: -19.905, Uncertainty: 10, Source: trug.FromPin}
	for when, want := range map[trug.When]string{
		{Date: "2026-10-24", Time: "16:30"}: "Evening", {Date: "2026-10-24", Time: "23:59"}: "Night", {Date: "2026-10-25", Time: "00:30:10"}: "Night",
		{Date: "2026-10-25", Time: "01:30"}: "Night", {Date: "2026-10-25", Time: "01:31"}: "", {Date: "2026-10-25"}: "", {Date: "2026-10-26", Time: "00:10"}: "",
		{Date: "2026-10-24"}: "Evening", {Date: "2026-10-24", Time: "12:00"}: "Evening", // of that day, by the first mark
	} {
		sheet, err := s.SaveRecord(ctx, v, s.ID(), app.EditableRecord{Found: when, Place: at, FieldName: "Mycena", DateIsOK: true})
		if err != nil || sheet.Foray != want {
			t.Errorf("found %s %s: on %q, want %q (%v)", when.Date, when.Time, sheet.Foray, want, err)
		}
	}
}
