package app_test

import (
	"context"
	"encoding/json"
	"slices"
	"strings"
	"testing"

	"trug"
	"trug/internal/app"
	"trug/internal/app/apptest"
	"trug/internal/offline"
	"trug/internal/store"
	"trug/science/describe"
)

// withGiven adds answers to what a message sets.
func withGiven(t *testing.T, set map[string]json.RawMessage, given ...app.GivenAnswer) map[string]json.RawMessage {
	t.Helper()
	text, err := json.Marshal(given)
	if err != nil {
		t.Fatal(err)
	}
	set["answers"] = text
	return set
}

func capColor(states ...string) app.GivenAnswer {
	return app.GivenAnswer{Character: "cap_color", States: states}
}

// description returns the answers of a record by their characters.
func description(t *testing.T, s apptest.Season, record trug.ID) map[string]string {
	t.Helper()
	out := map[string]string{}
	err := s.Store.Read(t.Context(), func(r store.Reader) error {
		got, err := store.Get[trug.Record](t.Context(), r, record)
		for _, a := range got.Description {
			out[a.Character] = strings.Join(a.States, "+")
		}
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return out
}

// Two phones and the desk answer further questions of one record: who answers another
// question loses nothing, who answers the same one unseen does not displace what
// stands, and what does not stand is in the history.
func TestAnswersFromPhonesAndDesk(t *testing.T) {
	s := apptest.New(t, "2026-10-10")
	one, other, record := s.ID(), s.ID(), s.ID()
	message := func(phone trug.ID, number int64, seen int, set map[string]json.RawMessage) offline.Message {
		return offline.Message{Phone: phone, Number: number, Record: record, Seen: seen, Set: set}
	}
	gills := app.GivenAnswer{Character: "gill_attachment", States: []string{"free"}}
	if got := take(t, s, "R08", message(one, 1, 0, withGiven(t, fields("remarks", "by the oak", "form", "gilled"), capColor("white")))); got.Version != 1 {
		t.Fatalf("%+v", got)
	}
	if got := take(t, s, "R08", message(other, 1, 0, withGiven(t, fields(), capColor("brown"), gills))); got.State != "taken" || len(got.Lost) != 1 || got.Lost[0].Field != "answers" {
		t.Errorf("the other phone: %+v", got)
	}
	if got := description(t, s, record); got["cap_color"] != "white" || got["gill_attachment"] != "free" {
		t.Errorf("what stands: %v", got)
	}
	var lost bool
	err := s.Store.Read(t.Context(), func(r store.Reader) error {
		history, err := r.History(t.Context(), store.Records, record)
		for _, c := range history {
			var was trug.Record
			if err := json.Unmarshal(c.After, &was); err != nil {
				return err
			}
			lost = lost || slices.ContainsFunc(was.Description, func(a describe.Answer) bool { return slices.Equal(a.States, []string{"brown"}) })
		}
		return err
	})
	if err != nil || !lost {
		t.Errorf("the answer that does not stand is not in the history: %v", err)
	}
	sheet, err := s.App.Record(t.Context(), s.As("R08"), record)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := s.AnswerQuestion(t.Context(), s.As("R08"), record, capColor("yellow")); err != nil {
		t.Fatal(err)
	}
	if got := take(t, s, "R08", message(one, 2, sheet.Version, withGiven(t, fields(), capColor("white")))); len(got.Lost) != 1 {
		t.Errorf("against the desk, unseen: %+v", got)
	}
	if got := description(t, s, record); got["cap_color"] != "yellow" || got["gill_attachment"] != "free" {
		t.Errorf("after the desk: %v", got)
	}
	sound(t, s)
}

// between is a store in which something happens after a read.
type between struct {
	store.Store
	left int
	then func()
}

func (b *between) Read(ctx context.Context, f func(store.Reader) error) error {
	err := b.Store.Read(ctx, f)
	if b.left--; b.left == 0 {
		b.then()
	}
	return err
}

// Whatever moment the desk changes a record at while a message about it is taken, and
// while its sheet is made: neither displaces what the other said, and the version that
// a sheet tells is none that it does not show.
func TestTheDeskWhileAMessageIsTaken(t *testing.T) {
	s := apptest.New(t, "2026-10-10")
	v := s.As("R08")
	for n := 1; n <= 9; n++ {
		first := offline.Message{Phone: s.ID(), Number: 1, Record: s.ID(), Set: fields("remarks", "by the oak")}
		take(t, s, "R08", first)
		sheet, err := s.App.Record(t.Context(), v, first.Record)
		if err != nil {
			t.Fatal(err)
		}
		between := &between{Store: s.Store, left: n}
		options := s.Options
		options.Store = between
		watched, err := app.New(options)
		if err != nil {
			t.Fatal(err)
		}
		happened := false
		between.then = func() {
			e := *sheet.Editable
			e.Remarks, happened = "by the beech", true
			if _, err := s.SaveRecord(t.Context(), v, first.Record, e); err != nil {
				t.Fatal(err)
			}
		}
		second := offline.Message{Phone: first.Phone, Number: 2, Record: first.Record, Seen: sheet.Version, Set: map[string]json.RawMessage{"host": json.RawMessage(`"oak"`)}}
		if got, err := watched.TakeMessages(t.Context(), v, []offline.Message{second}); err != nil || got[0].State != "taken" || len(got[0].Lost) != 0 {
			t.Fatalf("after read %d: %+v, %v", n, got, err)
		}
		after, err := s.App.Record(t.Context(), v, first.Record)
		if err != nil {
			t.Fatal(err)
		}
		if e := after.Editable; happened && (e.Remarks != "by the beech" || e.Host != "oak") {
			t.Errorf("after read %d: %q, %q", n, e.Remarks, e.Host)
		}
		between.left, between.then = n, func() {
			e := *after.Editable
			e.Remarks = "by the lime"
			if _, err := s.SaveRecord(t.Context(), v, first.Record, e); err != nil {
				t.Fatal(err)
			}
		}
		shown, err := watched.Record(t.Context(), v, first.Record)
		if err != nil {
			t.Fatal(err)
		}
		if shown.Editable.Remarks != "by the lime" && shown.Version > after.Version {
			t.Errorf("after read %d the sheet shows version %d and tells %d", n, after.Version, shown.Version)
		}
	}
}
