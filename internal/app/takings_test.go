package app_test

import (
	"sync"
	"testing"
	"time"

	"trug"
	"trug/internal/app"
	"trug/internal/app/apptest"
)

// takes has somebody take a code from a phone of their own.
func takes(t *testing.T, s apptest.Season, code, name string, taking trug.ID) app.Entered {
	t.Helper()
	in, err := s.TakeFieldCode(t.Context(), s.Outsider(), app.Caller{Address: "192.0.2.1", Device: string(taking)}, app.TakenCode{Code: code, Name: name, Taking: taking})
	if err != nil {
		t.Fatal(err)
	}
	return in
}

// A phone that did not hear the answer asks again and is the same person, with a
// session that lets in; other phones and other names are other people.
func TestAFieldCodeIsTakenOnce(t *testing.T) {
	s := apptest.New(t, "2026-10-10")
	desk := s.As("R02")
	code, err := s.SaveFieldCode(t.Context(), desk, app.ShownFieldCode{Last: "2026-10-10"})
	if err != nil {
		t.Fatal(err)
	}
	mine, other := s.ID(), s.ID()
	first, again := takes(t, s, code.Code, "Wren", mine), takes(t, s, code.Code, " Wren ", mine)
	if first.Person.ID != again.Person.ID {
		t.Errorf("asked twice, they are %s and %s", first.Person.ID, again.Person.ID)
	}
	for n, in := range []app.Entered{first, again} {
		if v, err := s.Viewer(t.Context(), in.Token); err != nil || v.Person == nil || v.Person.ID != first.Person.ID {
			t.Errorf("session %d lets in %+v, %v", n+1, v.Person, err)
		}
	}
	// A family: the other phone under the same name, and another name on the same phone.
	if in := takes(t, s, code.Code, "Wren", other); in.Person.ID == first.Person.ID {
		t.Error("another phone is the same person")
	}
	if in := takes(t, s, code.Code, "Siskin", mine); in.Person.ID == first.Person.ID {
		t.Error("another name at the same phone is the same person")
	}
	// Phones with an app of before send none, and are somebody new each time.
	one, two := takes(t, s, code.Code, "Wren", ""), takes(t, s, code.Code, "Wren", "")
	if one.Person.ID == two.Person.ID {
		t.Error("two without an identifier are one person")
	}
	if shown, err := s.FieldCode(t.Context(), desk); err != nil || shown.Let != 5 {
		t.Errorf("the code let in %d people, want 5; %v", shown.Let, err)
	}
	if _, err := s.TakeFieldCode(t.Context(), s.Outsider(), app.Caller{}, app.TakenCode{Code: code.Code, Name: "Wren", Taking: "mine"}); trug.KindOf(err) != trug.Invalid {
		t.Errorf("an identifier that is none: %v", err)
	}
	// Who was in is let in again though the code is closed meanwhile, nobody else.
	if _, err := s.SaveFieldCode(t.Context(), desk, app.ShownFieldCode{Last: "2026-10-10", Closed: true}); err != nil {
		t.Fatal(err)
	}
	if in := takes(t, s, code.Code, "Wren", mine); in.Person.ID != first.Person.ID {
		t.Error("closed meanwhile, it makes another person")
	}
	// The code's life is over.
	clock := &turned{s.Clock().Add(72 * time.Hour)}
	s.App.Clock = clock.now
	if _, err := s.TakeFieldCode(t.Context(), s.Outsider(), app.Caller{}, app.TakenCode{Code: code.Code, Name: "Wren", Taking: mine}); trug.KindOf(err) != trug.NotAllowed {
		t.Errorf("after the code's life: %v", err)
	}
}

// Whom the coordinator takes every way in from does not come in by an old taking.
func TestATakingEndsWithTheWays(t *testing.T) {
	s := apptest.New(t, "2026-10-10")
	desk := s.As("R02")
	code, err := s.SaveFieldCode(t.Context(), desk, app.ShownFieldCode{Last: "2026-10-10"})
	if err != nil {
		t.Fatal(err)
	}
	mine := s.ID()
	first := takes(t, s, code.Code, "Wren", mine)
	if err := s.EndWays(t.Context(), desk, first.Person.ID, true); err != nil {
		t.Fatal(err)
	}
	// A phone that asks by itself whether it was in already makes nobody new.
	_, err = s.TakeFieldCode(t.Context(), s.Outsider(), app.Caller{Address: "192.0.2.1"}, app.TakenCode{Code: code.Code, Name: "Wren", Taking: mine, Back: true})
	if trug.KindOf(err) != trug.NotEntered {
		t.Errorf("coming back after the ways are taken: %v", err)
	}
	if in := takes(t, s, code.Code, "Wren", mine); in.Person.ID == first.Person.ID {
		t.Error("they are in again as whom they were")
	}
}

// A device that was signed out, from wherever, does not come back by itself.
func TestATakingEndsWhenItsDeviceIsSignedOut(t *testing.T) {
	s := apptest.New(t, "2026-10-10")
	desk := s.As("R02")
	code, err := s.SaveFieldCode(t.Context(), desk, app.ShownFieldCode{Last: "2026-10-10"})
	if err != nil {
		t.Fatal(err)
	}
	for how, signOut := range map[string]func(lost app.Viewer, elsewhere app.Viewer) error{
		"from another device":   func(lost, elsewhere app.Viewer) error { return s.EndSession(t.Context(), elsewhere, lost.Session) },
		"with all others":       func(_, elsewhere app.Viewer) error { return s.EndOtherSessions(t.Context(), elsewhere) },
		"on the device itself":  func(lost, _ app.Viewer) error { return s.Leave(t.Context(), lost) },
		"by the coordinator":    func(lost, _ app.Viewer) error { return s.EndWays(t.Context(), desk, lost.Person.ID, false) },
		"with all its sessions": func(lost, _ app.Viewer) error { return s.EndSession(t.Context(), lost, lost.Session) },
	} {
		mine := s.ID()
		lost, err := s.Viewer(t.Context(), takes(t, s, code.Code, how[:12], mine).Token)
		if err != nil {
			t.Fatal(err)
		}
		elsewhere := lost
		elsewhere.Session = s.ID()
		if err := signOut(lost, elsewhere); err != nil {
			t.Fatalf("%s: %v", how, err)
		}
		_, err = s.TakeFieldCode(t.Context(), s.Outsider(), app.Caller{Address: "192.0.2.1", Device: string(mine)}, app.TakenCode{Code: code.Code, Name: how[:12], Taking: mine, Back: true})
		if trug.KindOf(err) != trug.NotEntered {
			t.Errorf("signed out %s it comes back by itself: %v", how, err)
		}
	}
}

// Where the coordinator lets the code last longer, a phone that still has not heard the
// answer is nobody new on the further days.
func TestATakingLastsAsLongAsItsCode(t *testing.T) {
	s := apptest.New(t, "2026-10-10")
	desk := s.As("R02")
	code, err := s.SaveFieldCode(t.Context(), desk, app.ShownFieldCode{Last: "2026-10-10"})
	if err != nil {
		t.Fatal(err)
	}
	mine := s.ID()
	first := takes(t, s, code.Code, "Wren", mine)
	if _, err := s.SaveFieldCode(t.Context(), desk, app.ShownFieldCode{Last: "2026-10-20"}); err != nil {
		t.Fatal(err)
	}
	clock := &turned{s.Clock().Add(6 * 24 * time.Hour)}
	s.App.Clock = clock.now
	if in := takes(t, s, code.Code, "Wren", mine); in.Person.ID != first.Person.ID {
		t.Error("they are somebody new")
	}
}

// Sent several times at once, as by a phone whose connection comes and goes, a
// taking makes one person.
func TestATakingManyTimesAtOnce(t *testing.T) {
	s := apptest.New(t, "2026-10-10")
	code, err := s.SaveFieldCode(t.Context(), s.As("R02"), app.ShownFieldCode{Last: "2026-10-10"})
	if err != nil {
		t.Fatal(err)
	}
	mine := s.ID()
	people := make([]trug.ID, 6)
	var wait sync.WaitGroup
	for n := range people {
		wait.Go(func() {
			in, err := s.TakeFieldCode(t.Context(), s.Outsider(), app.Caller{Address: "192.0.2.1"}, app.TakenCode{Code: code.Code, Name: "Wren", Taking: mine})
			if err != nil {
				t.Error(err)
			}
			people[n] = in.Person.ID
		})
	}
	wait.Wait()
	for _, p := range people {
		if p != people[0] {
			t.Fatalf("the people are %v", people)
		}
	}
}
