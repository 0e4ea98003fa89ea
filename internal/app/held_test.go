package app_test

import (
	"encoding/json"
	"fmt"
	"slices"
	"strings"
	"testing"

	"trug"
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

// Answers to further questions go along with a record's differences: each for itself,
// what was received first stands, and the other is in the history.
func TestAnswersGivenOutOfReach(t *testing.T) {
	s := apptest.New(t, "2026-10-10")
	v, phone, record := s.As("R08"), s.ID(), s.ID()
	first := take(t, s, "R08", offline.Message{Phone: phone, Number: 1, Record: record, Set: fields("form", "gilled", "remarks", "by the oak")})
	answers := func(number int64, list string) offline.Message {
		return offline.Message{Phone: phone, Number: number, Record: record, Seen: first.Version, Set: map[string]json.RawMessage{"answers": json.RawMessage(list)}}
	}
	// At the desk somebody answers two questions meanwhile.
	for _, g := range []app.GivenAnswer{{Character: "ring", States: []string{"hanging"}}, {Character: "cap_color", States: []string{"red"}}} {
		if _, err := s.AnswerQuestion(t.Context(), s.As("R02"), record, g); err != nil {
			t.Fatal(err)
		}
	}
	m := answers(2, `[{"character":"ring","states":["none"]},{"character":"volva","states":["none"]},{"character":"cap_color","states":["red"]}]`)
	for range 2 {
		got := take(t, s, "R08", m)
		if got.State != "taken" || len(got.Lost) != 1 || got.Lost[0].Field != "answers" {
			t.Fatalf("%+v", got)
		}
	}
	stands := func() string {
		q, err := s.Questions(t.Context(), v, record)
		if err != nil {
			t.Fatal(err)
		}
		var out []string
		for _, a := range q.Answered {
			out = append(out, a.Character+" "+a.Answer)
		}
		slices.Sort(out)
		return strings.Join(out, "; ")
	}
	if got := stands(); got != "cap_color red; ring ring on the stem: hanging skirt; volva no bag or remains round the dug-out base" {
		t.Errorf("what stands: %s", got)
	}
	history, err := s.History(t.Context(), v, record)
	if err != nil {
		t.Fatal(err)
	}
	text, _ := json.Marshal(history)
	if !strings.Contains(string(text), "Ring on the stem: absent, before hanging skirt.") {
		t.Errorf("the answer that does not stand is nowhere in %s", text)
	}
	// Having seen what stands, the phone takes its answer back, and another one.
	sheet, err := s.App.Record(t.Context(), v, record)
	if err != nil {
		t.Fatal(err)
	}
	back := answers(3, `[{"character":"ring"},{"character":"volva","states":[]}]`)
	back.Seen = sheet.Version
	if got := take(t, s, "R08", back); len(got.Lost) != 0 {
		t.Errorf("%+v", got)
	}
	if got := stands(); got != "cap_color red" {
		t.Errorf("after taking back: %s", got)
	}
	if got := take(t, s, "R08", answers(4, `[{"character":"nose","states":["long"]}]`)); got.State != "refused" || len(got.Faults) != 1 || got.Faults[0].Field != "answers" {
		t.Errorf("an answer to nothing: %+v", got)
	}
}

// Which view a photograph is that the server has is changed out of reach like the rest:
// what was called first stands, what doesn't is in the history, and what is sent again
// changes nothing.
func TestAViewIsRenamedOutOfReach(t *testing.T) {
	s := apptest.New(t, "2026-10-10")
	v, phone, record := s.As("R08"), s.ID(), s.ID()
	m := offline.Message{Phone: phone, Number: 1, Record: record, Set: fields("form", "gilled")}
	for i, kind := range []trug.ViewKind{trug.Top, trug.Side, trug.Base} {
		picture := apptest.JPEG(t, uint64(9100+i))
		send(t, s, "R08", picture)
		m.Views = append(m.Views, offline.View{Photograph: hashOf(picture), Kind: kind})
	}
	if got := take(t, s, "R08", m); got.State != "taken" {
		t.Fatalf("%+v", got)
	}
	views := func() (e []app.EditableView) {
		t.Helper()
		sheet, err := s.App.Record(t.Context(), v, record)
		if err != nil {
			t.Fatal(err)
		}
		return sheet.Editable.Views
	}
	called := func() string {
		var out []string
		for _, w := range views() {
			out = append(out, fmt.Sprintf("%s %d", w.Kind, w.Renamed))
		}
		slices.Sort(out)
		return strings.Join(out, ", ")
	}
	at := map[trug.ViewKind]trug.ID{}
	for _, w := range views() {
		at[w.Kind] = w.Photograph
	}
	rename := func(phone trug.ID, number int64, kinds ...offline.Renaming) offline.Message {
		return offline.Message{Phone: phone, Number: number, Record: record, Seen: 1, Kinds: kinds}
	}
	swap := rename(phone, 2, offline.Renaming{Photograph: at[trug.Top], Kind: trug.Side}, offline.Renaming{Photograph: at[trug.Side], Kind: trug.Top})
	for range 2 {
		if got := take(t, s, "R08", swap); got.State != "taken" || len(got.Lost) != 0 {
			t.Fatalf("%+v", got)
		}
		if got := called(); got != "base 0, side 1, top 1" {
			t.Fatalf("the two changed places: %s", got)
		}
	}
	// Another phone of the family had not seen it; of the third view nobody said anything.
	other := rename(s.ID(), 1, offline.Renaming{Photograph: at[trug.Top], Kind: trug.CloseUp}, offline.Renaming{Photograph: at[trug.Base], Kind: trug.Cut}, offline.Renaming{Photograph: s.ID(), Kind: trug.Top})
	for range 2 {
		if got := take(t, s, "R08", other); len(got.Lost) != 1 || got.Lost[0].Field != offline.KindField(at[trug.Top]) {
			t.Fatalf("%+v", got)
		}
		if got := called(); got != "cut 1, side 1, top 1" {
			t.Fatalf("what was called first stands: %s", got)
		}
	}
	// The desk's word, unseen by the phone, stands against it, and having seen it the phone may.
	e := app.EditableRecord{Found: trug.When{Date: "2026-10-10", Time: "11:34"}, Form: "gilled", Views: views()}
	for i := range e.Views {
		if e.Views[i].Photograph == at[trug.Base] {
			e.Views[i].Kind = trug.Underneath
		}
	}
	if _, err := s.SaveRecord(t.Context(), s.As("R02"), record, e); err != nil {
		t.Fatal(err)
	}
	third := s.ID()
	if got := take(t, s, "R08", rename(third, 1, offline.Renaming{Photograph: at[trug.Base], Kind: trug.SporePrint, Seen: 1})); len(got.Lost) != 1 {
		t.Errorf("%+v", got)
	}
	if got := take(t, s, "R08", rename(third, 2, offline.Renaming{Photograph: at[trug.Base], Kind: trug.Micrograph, Seen: 2})); len(got.Lost) != 0 {
		t.Errorf("%+v", got)
	}
	if got := called(); got != "micrograph 3, side 1, top 1" {
		t.Errorf("at last: %s", got)
	}
	history, err := s.History(t.Context(), v, record)
	if err != nil {
		t.Fatal(err)
	}
	text, _ := json.Marshal(history)
	for _, kind := range []trug.ViewKind{trug.CloseUp, trug.Cut, trug.Underneath, trug.SporePrint, trug.Micrograph} {
		if !strings.Contains(string(text), "A view was named "+string(kind)) {
			t.Errorf("%s is nowhere in %s", kind, text)
		}
	}
	if faults, err := s.CheckStore(t.Context(), nil); err != nil || len(faults) > 0 {
		t.Errorf("the store: %v %v", faults, err)
	}
	// Nobody else's views are called anything.
	if got := take(t, s, "R09", rename(s.ID(), 1, offline.Renaming{Photograph: at[trug.Top], Kind: trug.Cut})); got.State != "refused" {
		t.Errorf("somebody else's: %+v", got)
	}
}
