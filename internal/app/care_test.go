package app_test

import (
	"bytes"
	"strings"
	"testing"

	"trug"
	"trug/internal/app"
	"trug/internal/app/apptest"
	"trug/internal/store"
)

// The list of protected names: one is added, changed, taken off and put back,
// and the history has every step. What follows for finds and prompts is there at once.
func TestProtectedNames(t *testing.T) {
	s, ctx := apptest.New(t, "2026-10-10"), t.Context()
	v, record, name := s.As("R02"), s.ID(), "Laccaria amethystina"
	at := &app.EditablePlace{Lat: 48.585, Lon: -19.88, Uncertainty: 8, Source: trug.FromPin}
	if _, err := s.SaveRecord(ctx, s.As("R08"), record, app.EditableRecord{Found: trug.When{Date: "2026-10-10"}, Place: at, Remarks: "by the gate"}); err != nil {
		t.Fatal(err)
	}
	if _, err := s.Determine(ctx, s.As("D1"), record, app.GivenName{ID: s.ID(), Name: name, Basis: []trug.Basis{trug.FromDescription}}); err != nil {
		t.Fatal(err)
	}
	find := func() (recorder bool) {
		_, err := s.App.Record(ctx, s.As("R03"), record)
		return err == nil
	}
	if !find() {
		t.Fatal("the find is not there for another recorder to begin with")
	}
	id := s.ID()
	e := app.ShownProtection{Name: " " + name + " ", Reason: "few places", Category: 3, Tells: trug.TellSquare1km}
	got, err := s.SaveProtection(ctx, v, id, e)
	if err != nil || got.Name != name || got.Finds == 0 {
		t.Fatalf("added: %+v, %v", got, err)
	}
	if find() {
		t.Error("the find is still there for another recorder")
	}
	if sheet, _ := s.App.Record(ctx, v, record); !strings.Contains(sheet.Place.Says, "Outsiders see the square 27U ") {
		t.Errorf("the coordinator reads: %s", sheet.Place.Says)
	}
	touched := func(want bool) {
		t.Helper()
		rulings, err := s.Rulings(ctx, s.As("R08"), app.RulingsAsked{Site: "S4", Date: "2026-10-10", Name: name})
		if err != nil || rulings[0].May != want {
			t.Errorf("it may be picked: %+v, %v; want %v", rulings[0], err, want)
		}
		rulings, err = s.Rulings(ctx, s.As("R08"), app.RulingsAsked{Site: "S2", Date: "2026-10-10", Name: name})
		if err != nil || rulings[0].May {
			t.Errorf("the rule of the name opened a site that bars picking: %+v, %v", rulings[0], err)
		}
	}
	touched(false)
	e.Touch, e.Tells = true, trug.TellNothing
	if got, err = s.SaveProtection(ctx, v, id, e); err != nil || !got.Touch {
		t.Fatalf("changed: %+v, %v", got, err)
	}
	touched(true)
	if sheet, _ := s.App.Record(ctx, v, record); !strings.Contains(sheet.Place.Says, "Outsiders do not learn of this find") {
		t.Errorf("the coordinator reads: %s", sheet.Place.Says)
	}
	for name, c := range map[string]struct {
		id    trug.ID
		spoil func(*app.ShownProtection)
		says  string
	}{
		"twice":             {s.ID(), func(*app.ShownProtection) {}, "protected already"},
		"not on the list":   {id, func(e *app.ShownProtection) { e.Name = "Boletus nemo" }, "not on the season's checklist"},
		"no reason":         {id, func(e *app.ShownProtection) { e.Reason = " " }, "why its places"},
		"category 5":        {id, func(e *app.ShownProtection) { e.Category = 5 }, "no category"},
		"an unknown rule":   {id, func(e *app.ShownProtection) { e.Tells = "100 km" }, "no rule"},
		"no UUIDv7":         {"x", func(*app.ShownProtection) {}, "UUID"},
		"nothing but a gap": {id, func(e *app.ShownProtection) { e.Name = " " }, "which name"},
	} {
		bad := e
		c.spoil(&bad)
		if _, err := s.SaveProtection(ctx, v, c.id, bad); err == nil || !strings.Contains(err.Error(), c.says) {
			t.Errorf("%s: said %v, want %q", name, err, c.says)
		}
	}
	for range 2 {
		if got, err = s.RemoveProtection(ctx, v, id); err != nil || got.Removed != "2026-10-10" {
			t.Fatalf("taken off: %+v, %v", got, err)
		}
	}
	if !find() {
		t.Error("taken off, the find is not there for another recorder")
	}
	lists, err := s.Care(ctx, v)
	if err != nil || len(lists.Protected) != 3 || len(lists.GoneProtected) != 1 || lists.GoneProtected[0].Reason != "few places" {
		t.Errorf("lists: %+v, %v", lists, err)
	}
	if text, _ := s.TableCSV(ctx, v, "protected"); strings.Contains(string(text), name) {
		t.Error("the table tells what was taken off")
	}
	if _, err := s.SaveProtection(ctx, v, id, e); err != nil || find() {
		t.Errorf("put back: %v, the find is there: %v", err, find())
	}
	// The same for a program that reads the season anew.
	anew, err := app.New(app.Options{Store: s.Store, Blobs: s.Blobs, Secret: bytes.Repeat([]byte{7}, 32), Device: "test", Clock: s.Clock})
	if err != nil {
		t.Fatal(err)
	}
	if again, err := anew.Care(ctx, v); err != nil || len(again.Protected) != 4 || len(again.GoneProtected) != 0 {
		t.Errorf("read anew: %+v, %v", again, err)
	}
	changes(t, s, store.Protections, id, 4)
}

// changes counts what the history has of a thing.
func changes(t *testing.T, s apptest.Season, kind store.Kind, id trug.ID, want int) {
	t.Helper()
	var list []store.Amendment
	err := s.Store.Read(t.Context(), func(r store.Reader) (err error) {
		list, err = r.History(t.Context(), kind, id)
		return err
	})
	if err != nil || len(list) != want {
		t.Errorf("%d amendments, %v; want %d", len(list), err, want)
	}
}

// The list of look-alikes likewise: a pair added holds a name with one opinion
// back, and taken off lets it go.
func TestLookAlikes(t *testing.T) {
	s, ctx := apptest.New(t, "2026-10-10"), t.Context()
	v, id, record := s.As("R02"), s.ID(), s.ID()
	if _, err := s.SaveRecord(ctx, s.As("R08"), record, app.EditableRecord{Found: trug.When{Date: "2026-10-10"}, Remarks: "by the gate"}); err != nil {
		t.Fatal(err)
	}
	if _, err := s.Determine(ctx, s.As("D1"), record, app.GivenName{ID: s.ID(), Name: "Laccaria amethystina", Basis: []trug.Basis{trug.FromDescription}}); err != nil {
		t.Fatal(err)
	}
	held := func() bool {
		sheet, err := s.App.Record(ctx, s.As("R08"), record)
		if err != nil {
			t.Fatal(err)
		}
		return sheet.Name.Name == ""
	}
	if held() {
		t.Fatal("held to begin with")
	}
	e := app.ShownLookAlike{Name: "Mycena pura", TakenFor: "Laccaria amethystina", Why: "holds muscarine", Settles: "smell", Views: []trug.ViewKind{trug.Side}}
	if _, err := s.SaveLookAlike(ctx, v, id, e); err != nil || !held() {
		t.Errorf("added: %v, held: %v", err, held())
	}
	for name, spoil := range map[string]func(*app.ShownLookAlike){
		"of itself":        func(e *app.ShownLookAlike) { e.TakenFor = e.Name },
		"a view unknown":   func(e *app.ShownLookAlike) { e.Views = []trug.ViewKind{"selfie"} },
		"not on the list":  func(e *app.ShownLookAlike) { e.TakenFor = "Boletus nemo" },
		"one name missing": func(e *app.ShownLookAlike) { e.Name = "" },
	} {
		bad := e
		spoil(&bad)
		if _, err := s.SaveLookAlike(ctx, v, id, bad); trug.KindOf(err) != trug.Invalid {
			t.Errorf("%s: %v", name, err)
		}
	}
	if _, err := s.SaveLookAlike(ctx, v, s.ID(), e); trug.KindOf(err) != trug.Conflict {
		t.Errorf("twice: %v", err)
	}
	for range 2 {
		if got, err := s.RemoveLookAlike(ctx, v, id); err != nil || got.Removed == "" || held() {
			t.Errorf("taken off: %+v, %v, held: %v", got, err, held())
		}
	}
	changes(t, s, store.LookAlikes, id, 2)
}

// Both lists go through CSV with all that they say; a second time changes nothing.
func TestCareThroughTables(t *testing.T) {
	s, ctx := apptest.New(t, "2026-10-10"), t.Context()
	v := s.As("R02")
	for table, text := range map[string]string{
		"protected": "name,reason,category,tells,may_be_touched\nHericium erinaceus,few trees,1,nothing,no\nLaccaria amethystina,asked for,4,1 km,yes\n" +
			"Mycena pura,asked for,4,5 km,no\nLycoperdon perlatum,asked for,4,area,perhaps\n",
		"look-alikes": "pair,why,settles,views\nMycena pura / Laccaria amethystina,muscarine,smell,side; spore print\nMycena pura / Mycena pura,,,\n",
	} {
		done, err := s.TakeTable(ctx, v, table, []byte(text))
		if err != nil || done.Added != 1 || len(done.Faults) == 0 {
			t.Errorf("%s: %+v, %v", table, done, err)
		}
		if done, err = s.TakeTable(ctx, v, table, []byte(text)); err != nil || done.Added+done.Changed != 0 {
			t.Errorf("%s a second time: %+v, %v", table, done, err)
		}
	}
	lists, err := s.Care(ctx, v)
	if err != nil || len(lists.Protected) != 4 {
		t.Fatalf("%+v, %v", lists.Protected, err)
	}
	for _, p := range lists.Protected {
		switch p.Name {
		case "Hericium erinaceus":
			if p.Tells != trug.TellNothing || p.Touch {
				t.Errorf("%+v", p)
			}
		case "Laccaria amethystina":
			if p.Tells != trug.TellSquare1km || !p.Touch {
				t.Errorf("%+v", p)
			}
		}
	}
}

// A find under two rules goes by the stricter one.
func TestTheStricterRuleHolds(t *testing.T) {
	a := trug.Protection{Name: "A", Tells: trug.TellSquare1km, Touch: true}
	for _, tells := range trug.Tellings {
		for _, touch := range []bool{true, false} {
			b := trug.Protection{Name: "B", Tells: tells, Touch: touch}
			for _, got := range []trug.Protection{a.And(b), b.And(a)} {
				if got.Tells != tells || got.Touch != touch {
					t.Errorf("%+v and %+v make %+v", a, b, got)
				}
			}
		}
	}
}
