package app_test

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"

	"trug"
	"trug/internal/app"
	"trug/internal/app/apptest"
	"trug/internal/offline"
)

func hashOf(data []byte) trug.Hash {
	sum := sha256.Sum256(data)
	return trug.Hash(hex.EncodeToString(sum[:]))
}

// fields makes what a message sets: name, value, name, value.
func fields(list ...string) map[string]json.RawMessage {
	out := map[string]json.RawMessage{"found": json.RawMessage(`{"date":"2026-10-10","time":"11:34"}`)}
	for i := 0; i < len(list); i += 2 {
		out[list[i]] = json.RawMessage(fmt.Sprintf("%q", list[i+1]))
	}
	return out
}

func take(t *testing.T, s apptest.Season, as string, m offline.Message) app.MessageAnswer {
	t.Helper()
	got, err := s.TakeMessages(t.Context(), s.As(as), []offline.Message{m})
	if err != nil || len(got) != 1 {
		t.Fatalf("message %d: %v, %v", m.Number, got, err)
	}
	return got[0]
}

// send hands a photograph in in two pieces.
func send(t *testing.T, s apptest.Season, as string, data []byte) {
	t.Helper()
	v := s.As(as)
	u, err := s.BeginUpload(t.Context(), v, app.NewUpload{Length: int64(len(data)), Hash: hashOf(data), FileName: "a.jpg"})
	if err != nil {
		t.Fatal(err)
	}
	for !u.Whole() {
		piece := data[u.Offset:min(u.Offset+int64(len(data)/2+1), u.Length)]
		if u, err = s.ContinueUpload(t.Context(), v, u.ID, u.Offset, bytes.NewReader(piece), nil, nil); err != nil {
			t.Fatal(err)
		}
	}
}

// A record made out of reach, with a photograph in pieces, arrives once however
// often it is sent.
func TestARecordFromAPhone(t *testing.T) {
	s := apptest.New(t, "2026-10-10")
	picture := apptest.JPEG(t, 9001)
	m := offline.Message{Phone: s.ID(), Number: 1, Record: s.ID(), Set: fields("form", "gilled", "remarks", "by the oak"),
		Views: []offline.View{{Photograph: hashOf(picture), Kind: trug.Top}}, Made: s.Clock(), Sent: s.Clock().Add(3 * time.Hour)}
	if got := take(t, s, "R08", m); got.State != "missing" || len(got.Missing) != 1 {
		t.Fatalf("without its photograph: %+v", got)
	}
	send(t, s, "R08", picture)
	first := take(t, s, "R08", m)
	if first.State != "taken" || first.FieldNumber == "" || first.Version != 1 || !slices.Equal(first.Kept, []trug.Hash{hashOf(picture)}) {
		t.Fatalf("the first time: %+v", first)
	}
	for range 3 {
		if again := take(t, s, "R08", m); again.State != "taken" || again.FieldNumber != first.FieldNumber || again.Version != 1 {
			t.Errorf("again: %+v", again)
		}
	}
	sheet, err := s.App.Record(t.Context(), s.As("R08"), m.Record)
	if err != nil || len(sheet.Views) != 1 || sheet.Editable.Remarks != "by the oak" || sheet.Found.Date != "2026-10-10" {
		t.Errorf("the record: %+v, %v", sheet, err)
	}
	if left, _ := s.Uploads.Of(t.Context(), s.As("R08").Person.ID); len(left) != 0 {
		t.Errorf("%d uploads are left of it", len(left))
	}
	// Nobody else has it, nor takes it over.
	m.Number, m.Set = 2, fields("remarks", "mine")
	if got := take(t, s, "R09", m); got.State != "refused" {
		t.Errorf("somebody else's message on it: %+v", got)
	}
	if faults, err := s.CheckStore(t.Context(), nil); err != nil || len(faults) > 0 {
		t.Errorf("the store: %v %v", faults, err)
	}
}

// Desk and two phones of one family change one record: what was received first
// stands, and every other value is in the history.
func TestPhonesAndDesk(t *testing.T) {
	s := apptest.New(t, "2026-10-10")
	ctx, v := t.Context(), s.As("R08")
	one, other, record := s.ID(), s.ID(), s.ID()
	message := func(phone trug.ID, number int64, seen int, set ...string) offline.Message {
		return offline.Message{Phone: phone, Number: number, Record: record, Seen: seen, Set: fields(set...)}
	}
	if got := take(t, s, "R08", message(one, 1, 0, "fieldName", "Mycena", "remarks", "by the oak")); got.Version != 1 {
		t.Fatalf("%+v", got)
	}
	sheet, err := s.App.Record(ctx, v, record)
	if err != nil {
		t.Fatal(err)
	}
	desk := *sheet.Editable
	desk.Remarks = "by the beech"
	if _, err := s.SaveRecord(ctx, v, record, desk); err != nil {
		t.Fatal(err)
	}
	// The first phone had not seen the desk's words, and the other neither.
	lost := take(t, s, "R08", message(one, 2, 1, "remarks", "by the old oak", "host", "oak"))
	if len(lost.Lost) != 1 || lost.Lost[0].Field != "remarks" || lost.Version != 4 {
		t.Errorf("the first phone: %+v", lost)
	}
	if got := take(t, s, "R08", message(other, 1, 1, "host", "lime", "smell", "faint")); len(got.Lost) != 1 || got.Lost[0].Field != "host" {
		t.Errorf("the other phone: %+v", got)
	}
	// Having seen it, the phone may set it.
	sheet, _ = s.App.Record(ctx, v, record)
	if e := sheet.Editable; e.Remarks != "by the beech" || e.Host != "oak" || e.Smell != "faint" || e.FieldName != "Mycena" {
		t.Errorf("what stands: %+v", e)
	}
	if got := take(t, s, "R08", message(one, 3, 6, "remarks", "by the young beech")); len(got.Lost) != 0 {
		t.Errorf("having seen it: %+v", got)
	}
	// An older message that was held up changes nothing that was said since.
	if got := take(t, s, "R08", message(other, 3, 99, "smell", "strong")); got.State != "taken" {
		t.Errorf("%+v", got)
	}
	if got := take(t, s, "R08", message(other, 2, 99, "smell", "none")); len(got.Lost) != 1 || got.Lost[0].Why != offline.Older {
		t.Errorf("held up: %+v", got)
	}
	history, err := s.History(ctx, v, record)
	if err != nil {
		t.Fatal(err)
	}
	var all []string
	for _, h := range history {
		all = append(all, h.What)
	}
	told := strings.Join(all, "\n")
	for _, value := range []string{"by the oak", "by the beech", "by the old oak", "by the young beech", "lime", "oak", "None noticed", "strong", "faint"} {
		if !strings.Contains(told, value) {
			t.Errorf("%q is nowhere in the history:\n%s", value, told)
		}
	}
	if faults, err := s.CheckStore(ctx, nil); err != nil || len(faults) > 0 {
		t.Errorf("the store: %v %v", faults, err)
	}
}

func TestMessagesThatCannotBeTaken(t *testing.T) {
	s := apptest.New(t, "2026-10-10")
	base := func() offline.Message {
		return offline.Message{Phone: s.ID(), Number: 1, Record: s.ID(), Set: fields("fieldName", "Mycena")}
	}
	for name, c := range map[string]struct {
		change func(*offline.Message)
		field  string
	}{
		"a day to come":        {func(m *offline.Message) { m.Set["found"] = json.RawMessage(`{"date":"2027-01-01"}`) }, "found"},
		"no day":               {func(m *offline.Message) { delete(m.Set, "found") }, "found"},
		"another phone's form": {func(m *offline.Message) { m.Set["colour"] = json.RawMessage(`"red"`) }, "set"},
		"a number for a text":  {func(m *offline.Message) { m.Set["remarks"] = json.RawMessage(`7`) }, "remarks"},
		"far outside the area": {func(m *offline.Message) { m.Set["place"] = json.RawMessage(`{"lat":10,"lon":10,"source":"phone"}`) }, "place"},
		"no record":            {func(m *offline.Message) { m.Record = "" }, "record"},
		"nothing in it":        {func(m *offline.Message) { delete(m.Set, "fieldName") }, "views"},
	} {
		t.Run(name, func(t *testing.T) {
			m := base()
			c.change(&m)
			got := take(t, s, "R08", m)
			if got.State != "refused" || !slices.ContainsFunc(got.Faults, func(f app.FaultOfAField) bool { return f.Field == c.field && f.Says != "" }) {
				t.Errorf("%+v, want it refused for %s", got, c.field)
			}
		})
	}
	// What is said to be right is taken.
	m := base()
	m.Set["place"], m.OutsideIsOK = json.RawMessage(`{"lat":10,"lon":10,"source":"phone"}`), true
	if got := take(t, s, "R08", m); got.State != "taken" {
		t.Errorf("outside, and said to be right: %+v", got)
	}
	m.Number, m.Seen, m.OutsideIsOK, m.Set = 2, 1, false, map[string]json.RawMessage{"remarks": json.RawMessage(`"by the sea"`)}
	if got := take(t, s, "R08", m); got.State != "taken" {
		t.Errorf("it is asked once: %+v", got)
	}
	if _, err := s.TakeMessages(t.Context(), s.Outsider(), []offline.Message{base()}); trug.KindOf(err) != trug.NotEntered {
		t.Errorf("an outsider's message: %v", err)
	}
}
