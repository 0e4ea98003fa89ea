package app_test

import (
	"context"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"trug"
	"trug/internal/app"
	"trug/internal/app/apptest"
)

// second makes R03 coordinator beside R02.
func second(t *testing.T, s apptest.Season) {
	t.Helper()
	e, err := s.Person(t.Context(), s.As("R02"), s.As("R03").Person.ID)
	if err != nil {
		t.Fatal(err)
	}
	e.Roles = append(slices.Clone(e.Roles), trug.Coordinator)
	if _, err := s.SavePerson(t.Context(), s.As("R02"), e.ID, e); err != nil {
		t.Fatal(err)
	}
}

// demote takes the coordinator's part from somebody.
func demote(ctx context.Context, s apptest.Season, by app.Viewer, id trug.ID) error {
	e, err := s.Person(ctx, by, id)
	if err != nil {
		return err
	}
	e.Roles = []trug.Role{trug.RecorderRole}
	_, err = s.SavePerson(ctx, by, id, e)
	return err
}

// Two coordinators who take the part from each other at once: one succeeds, the
// other is told, and one is left.
func TestTwoCoordinatorsRemoveEachOther(t *testing.T) {
	for range 5 {
		s := apptest.New(t, "2026-10-10")
		second(t, s)
		a, b := s.As("R02"), s.As("R03")
		errs := make([]error, 2)
		var wait sync.WaitGroup
		for i, pair := range [][2]app.Viewer{{a, b}, {b, a}} {
			wait.Go(func() { errs[i] = demote(t.Context(), s, pair[0], pair[1].Person.ID) })
		}
		wait.Wait()
		failed := slices.IndexFunc(errs, func(err error) bool { return err != nil })
		if failed < 0 || errs[1-failed] != nil {
			t.Fatalf("both or neither: %v", errs)
		}
		if err := errs[failed]; trug.KindOf(err) != trug.NotAllowed || !strings.Contains(err.Error(), "no longer coordinator") {
			t.Errorf("the second is told %v", err)
		}
		left, err := s.Everybody(t.Context(), s.Demo.Season.ID, trug.Coordinator)
		if err != nil || len(left) != 1 {
			t.Errorf("%d coordinators are left, %v", len(left), err)
		}
	}
}

// A coordinator may leave while another stays; the last one may not.
func TestTheLastCoordinatorStays(t *testing.T) {
	s := apptest.New(t, "2026-10-10")
	me := s.As("R02")
	if err := demote(t.Context(), s, me, me.Person.ID); trug.KindOf(err) != trug.Invalid || !strings.Contains(err.Error(), "invite another coordinator first") {
		t.Errorf("the last coordinator leaving: %v", err)
	}
	table := []byte("code,roles\nR02,recorder\n")
	if _, err := s.TakeTable(t.Context(), me, "people", table); trug.KindOf(err) != trug.Invalid {
		t.Errorf("the last coordinator leaving by a table: %v", err)
	}
	second(t, s)
	if err := demote(t.Context(), s, me, me.Person.ID); err != nil {
		t.Errorf("one of two leaving: %v", err)
	}
	// What a page still shows is no longer theirs to send.
	if err := demote(t.Context(), s, me, s.As("R03").Person.ID); trug.KindOf(err) != trug.NotAllowed {
		t.Errorf("who was coordinator a moment ago: %v", err)
	}
}

// turned is a clock that can be set.
type turned struct{ at time.Time }

func (c *turned) now() time.Time { return c.at }

// Sessions outlive a clock that goes an hour back, end unused after their time
// by role, and end in all.
func TestSessionsAndTheClock(t *testing.T) {
	s := apptest.New(t, "2026-10-10")
	clock := &turned{s.Clock()}
	s.App.Clock = clock.now
	in := func(token string) bool {
		t.Helper()
		v, err := s.Viewer(t.Context(), token)
		if err != nil {
			t.Fatal(err)
		}
		if v.Person == nil && (v.Lapsed != (token != "") || v.Season == "") {
			t.Error("an ended session is not told as such")
		}
		return v.Person != nil
	}
	recorder, coordinator := s.Token("R08"), s.Token("R02")
	clock.at = clock.at.Add(-time.Hour)
	if !in(recorder) || !in(coordinator) {
		t.Error("a clock an hour back ends sessions")
	}
	clock.at = clock.at.Add(5 * 24 * time.Hour)
	if !in(recorder) || in(coordinator) {
		t.Error("after five days unused a recorder is in and a coordinator is not")
	}
	for range 5 {
		clock.at = clock.at.Add(50 * 24 * time.Hour)
		if clock.at.Sub(s.Demo.Season.Created) > 0 && !in(recorder) {
			break
		}
	}
	if in(recorder) {
		t.Error("a session lasts for ever as long as it is used")
	}
	if in("") || in("forged") || in(strings.Repeat("A", 100000)) {
		t.Error("a made-up token is taken")
	}
}

// Entered by field code or phrase one is a recorder and nothing more, even when
// the coordinator has given one another part since.
func TestAFieldCodeOpensTheRecordersPartAlone(t *testing.T) {
	s := apptest.New(t, "2026-10-10")
	given, err := s.MakePhrase(t.Context(), s.As("R02"))
	if err != nil {
		t.Fatal(err)
	}
	in, err := s.SayPhrase(t.Context(), s.Outsider(), app.Caller{}, given.Phrase)
	if err != nil {
		t.Fatal(err)
	}
	v, err := s.Viewer(t.Context(), in.Token)
	if err != nil || v.Person.Has(trug.Coordinator) || !v.Person.Has(trug.RecorderRole) || v.May(app.OpenDesk) || !v.May(app.OpenDaybook) {
		t.Errorf("by phrase: %+v, %v", v.Person, err)
	}
}

// A child comes along under an adult, and in by a phrase of their own.
func TestAChildComesAlong(t *testing.T) {
	s := apptest.New(t, "2026-10-10")
	given, err := s.BringChild(t.Context(), s.As("R08"), app.Caller{}, app.GivenChild{Name: "Fern"})
	if err != nil {
		t.Fatal(err)
	}
	in, err := s.SayPhrase(t.Context(), s.Outsider(), app.Caller{}, given.Phrase)
	if err != nil || !in.Person.Minor || in.Person.Guardian != s.As("R08").Person.ID || in.Person.Credit != "" {
		t.Errorf("the child is %+v, %v", in.Person, err)
	}
	child := app.Viewer{Season: in.Person.SeasonID, Person: &in.Person}
	if _, err := s.BringChild(t.Context(), child, app.Caller{}, app.GivenChild{Name: "Moss"}); trug.KindOf(err) != trug.NotAllowed {
		t.Errorf("a child brings a child: %v", err)
	}
	if _, err := s.BringChild(t.Context(), s.As("R08"), app.Caller{}, app.GivenChild{Name: "Fern Larkspindle"}); trug.KindOf(err) != trug.Invalid {
		t.Errorf("a child's whole name: %v", err)
	}
}

// A field code lets nobody in before the season is opened, after its last day,
// or when there is a new one.
func TestWhenAFieldCodeLetsIn(t *testing.T) {
	s := apptest.New(t, "2026-10-10")
	v := s.As("R02")
	code, err := s.SaveFieldCode(t.Context(), v, app.ShownFieldCode{Last: "2026-10-10"})
	if err != nil || !code.Lets {
		t.Fatalf("%+v, %v", code, err)
	}
	take := func(code, name string) error {
		_, err := s.TakeFieldCode(t.Context(), s.Outsider(), app.Caller{Address: "192.0.2.1"}, app.TakenCode{Code: code, Name: name})
		return err
	}
	if err := take(code.Code, "Wren"); err != nil {
		t.Errorf("on its last day: %v", err)
	}
	for name, says := range map[string]string{"": "may call you", strings.Repeat("n", 41): "41 letters", "a@example.org": "No e-mail", "a\u202eb": "can't be shown"} {
		if err := take(code.Code, name); trug.KindOf(err) != trug.Invalid || !strings.Contains(err.Error(), says) {
			t.Errorf("the name %q: %v, want %q", name, err, says)
		}
	}
	clock := &turned{s.Clock().Add(26 * time.Hour)}
	now := s.App.Clock
	s.App.Clock = clock.now
	if err := take(code.Code, "Wren"); trug.KindOf(err) != trug.NotAllowed || !strings.Contains(err.Error(), "good until 10 October") {
		t.Errorf("the day after: %v", err)
	}
	s.App.Clock = now
	renewed, err := s.SaveFieldCode(t.Context(), v, app.ShownFieldCode{Last: "2026-10-25", Renew: true})
	if err != nil || renewed.Code == code.Code {
		t.Fatalf("%+v, %v", renewed, err)
	}
	if err := take(code.Code, "Wren"); trug.KindOf(err) != trug.NotEntered {
		t.Errorf("the old one: %v", err)
	}
	if err := take(renewed.Code, "Wren"); err != nil {
		t.Errorf("the new one: %v", err)
	}
}

// A thousand guesses at once gain nothing over one after another.
func TestGuessesAtOnce(t *testing.T) {
	s := apptest.New(t, "2026-10-10")
	if _, err := s.SaveFieldCode(t.Context(), s.As("R02"), app.ShownFieldCode{Last: "2026-10-25"}); err != nil {
		t.Fatal(err)
	}
	var wait sync.WaitGroup
	var lock sync.Mutex
	kinds := map[trug.ErrorKind]int{}
	for range 100 {
		wait.Go(func() {
			_, err := s.SayPhrase(t.Context(), s.Outsider(), app.Caller{Address: "2001:db8::7", Device: "one"}, "above above above above above above")
			lock.Lock()
			defer lock.Unlock()
			kinds[trug.KindOf(err)]++
		})
	}
	wait.Wait()
	if kinds[trug.NotEntered] != 8 || kinds[trug.TooOften] != 92 {
		t.Errorf("of a hundred at once %d were tried and %d put off, want 8 and 92", kinds[trug.NotEntered], kinds[trug.TooOften])
	}
	// The same network under another address is the same network.
	guesses, err := s.Guesses(t.Context(), s.As("R02"))
	if err != nil || len(guesses) != 3 || guesses[0].Wrong != 8 {
		t.Errorf("the coordinator sees %+v, %v", guesses, err)
	}
}
