package app_test

import (
	"fmt"
	"strings"
	"testing"
	"time"

	"trug"
	"trug/internal/app"
	"trug/internal/app/apptest"
)

// joiners lets people in by a code, each from the caller that from gives, until
// one is put off; it returns how many came in and the refusal.
func joiners(t *testing.T, s apptest.Season, code string, most int, from func(n int) app.Caller) (int, error) {
	t.Helper()
	for n := range most {
		_, err := s.TakeFieldCode(t.Context(), s.Outsider(), from(n), app.TakenCode{Code: code, Name: "Wren"})
		if err != nil {
			return n, err
		}
	}
	return most, nil
}

// own is a phone of somebody's own, all behind one address.
func own(n int) app.Caller {
	return app.Caller{Address: "192.0.2.1", Device: fmt.Sprint("phone ", n)}
}

// A class and a whole hall come in behind one address; who makes people without
// end is slowed, seen, and shut out by closing the code or by a new one.
func TestAFieldCodeLetsInOnlySoManyAtOnce(t *testing.T) {
	s := apptest.New(t, "2026-10-10")
	desk := s.As("R02")
	clock := &turned{s.Clock()}
	s.App.Clock = clock.now
	code, err := s.SaveFieldCode(t.Context(), desk, app.ShownFieldCode{Last: "2026-10-25"})
	if err != nil {
		t.Fatal(err)
	}
	if n, err := joiners(t, s, code.Code, 250, own); err != nil {
		t.Fatalf("of a hall of 250 people %d came in: %v", n, err)
	}
	n, err := joiners(t, s, code.Code, 100, func(n int) app.Caller { return own(1000 + n) })
	if n != 50 || trug.KindOf(err) != trug.TooOften || !strings.Contains(err.Error(), "Many people came in by this field code") {
		t.Errorf("after 250 more %d came in, then %v; want 50", n, err)
	}
	// Elsewhere people go on, and here one every ten seconds.
	if n, err := joiners(t, s, code.Code, 5, func(n int) app.Caller { return app.Caller{Address: "198.51.100.7", Device: fmt.Sprint("there ", n)} }); err != nil {
		t.Errorf("at another address %d of 5 came in: %v", n, err)
	}
	clock.at = clock.at.Add(time.Minute)
	if n, _ := joiners(t, s, code.Code, 20, func(n int) app.Caller { return own(2000 + n) }); n != 6 {
		t.Errorf("after a minute %d came in, want 6", n)
	}
	shown, err := s.FieldCode(t.Context(), desk)
	if err != nil || shown.Let != 311 || !shown.LetAt.Equal(clock.at) {
		t.Errorf("the desk sees %d people, latest %v; %v", shown.Let, shown.LetAt, err)
	}
	seen, err := s.Guesses(t.Context(), desk)
	if err != nil || len(seen) != 1 || seen[0].What != "new recorders" || !strings.HasPrefix(seen[0].From, "address ") || !seen[0].Waits || seen[0].Wrong != 306 {
		t.Errorf("the desk sees %+v, %v", seen, err)
	}
	if err := s.ForgetGuesses(t.Context(), desk); err != nil {
		t.Fatal(err)
	}
	if n, err := joiners(t, s, code.Code, 1, own); err != nil {
		t.Errorf("after the coordinator let them: %d, %v", n, err)
	}
	if _, err := s.SaveFieldCode(t.Context(), desk, app.ShownFieldCode{Last: "2026-10-25", Closed: true}); err != nil {
		t.Fatal(err)
	}
	if n, err := joiners(t, s, code.Code, 1, own); n != 0 || trug.KindOf(err) != trug.NotAllowed || !strings.Contains(err.Error(), "closed this field code") {
		t.Errorf("by a closed code %d came in: %v", n, err)
	}
	fresh, err := s.SaveFieldCode(t.Context(), desk, app.ShownFieldCode{Last: "2026-10-25", Renew: true})
	if err != nil || fresh.Let != 0 || !fresh.Lets || fresh.Code == code.Code {
		t.Fatalf("renewed: %+v, %v", fresh, err)
	}
	if n, err := joiners(t, s, code.Code, 1, own); n != 0 || trug.KindOf(err) != trug.NotEntered {
		t.Errorf("by the old code %d came in: %v", n, err)
	}
	if n, err := joiners(t, s, fresh.Code, 300, func(n int) app.Caller { return own(5000 + n) }); err != nil {
		t.Errorf("by the new code %d came in: %v", n, err)
	}
}

// One device and, from however many addresses, the whole season are bounded as
// well; a child whom an adult brings counts like anybody who comes in.
func TestPeopleByDeviceAndSeason(t *testing.T) {
	s := apptest.New(t, "2026-10-10")
	clock := &turned{s.Clock()}
	s.App.Clock = clock.now
	code, err := s.SaveFieldCode(t.Context(), s.As("R02"), app.ShownFieldCode{Last: "2026-10-25"})
	if err != nil {
		t.Fatal(err)
	}
	stand := app.Caller{Address: "192.0.2.1", Device: "tablet"}
	if n, err := joiners(t, s, code.Code, 30, func(int) app.Caller { return stand }); n != 10 || trug.KindOf(err) != trug.TooOften {
		t.Errorf("by one device %d came in, then %v; want 10", n, err)
	}
	if _, err := s.BringChild(t.Context(), s.As("R08"), stand, app.GivenChild{Name: "Fern"}); trug.KindOf(err) != trug.TooOften {
		t.Errorf("a child brought in from there: %v", err)
	}
	clock.at = clock.at.Add(2 * time.Minute)
	if _, err := s.BringChild(t.Context(), s.As("R08"), stand, app.GivenChild{Name: "Fern"}); err != nil {
		t.Errorf("a child brought in two minutes later: %v", err)
	}
	clock.at = clock.at.Add(time.Hour)
	anywhere := func(n int) app.Caller {
		return app.Caller{Address: fmt.Sprintf("203.0.%d.%d", n/250, n%250), Device: fmt.Sprint(n)}
	}
	if n, err := joiners(t, s, code.Code, 1100, anywhere); n != 1000 || trug.KindOf(err) != trug.TooOften {
		t.Errorf("from as many addresses %d came in, then %v; want 1000", n, err)
	}
	// What was usual is forgotten once it slows nobody: of an honest phone
	// nothing stays.
	seen, err := s.Guesses(t.Context(), s.As("R02"))
	if err != nil || len(seen) != 2 || seen[0].From != "the whole season" && seen[1].From != "the whole season" {
		t.Errorf("the desk sees %+v, %v", seen, err)
	}
}
