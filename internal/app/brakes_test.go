package app_test

import (
	"fmt"
	"strings"
	"sync"
	"testing"
	"time"

	"trug"
	"trug/internal/app"
	"trug/internal/app/apptest"
	"trug/internal/store"
)

// Passkeys asked for and never made are bounded by device, by address and, the
// oldest going first, in all; what was asked for ends after five minutes.
func TestPasskeysAskedForAreBounded(t *testing.T) {
	s := apptest.New(t, "2026-10-10")
	clock := &turned{s.Clock()}
	s.App.Clock = clock.now
	ask := func(c app.Caller) (app.PasskeyAsked, error) {
		c.Origin = "https://trug.test"
		return s.AskForKey(t.Context(), s.Outsider(), c)
	}
	many := func(most int, from func(n int) app.Caller) int {
		for n := range most {
			if _, err := ask(from(n)); err != nil {
				if trug.KindOf(err) != trug.TooOften || !strings.Contains(err.Error(), "Many passkeys were asked for") {
					t.Errorf("ask %d: %v", n, err)
				}
				return n
			}
		}
		return most
	}
	kept := func() (list []trug.Ceremony) {
		err := s.Store.Read(t.Context(), func(r store.Reader) (err error) {
			list, err = store.ListSecrets[trug.Ceremony](t.Context(), r, store.SecretFilter{})
			return err
		})
		if err != nil {
			t.Fatal(err)
		}
		return list
	}
	if n := many(40, func(int) app.Caller { return app.Caller{Address: "192.0.2.1", Device: "one"} }); n != 20 {
		t.Errorf("one device asked %d times, want 20", n)
	}
	if n := many(200, own); n != 100 {
		t.Errorf("other devices of the same address asked %d times, want 100", n)
	}
	clock.at = clock.at.Add(time.Minute)
	if n := many(40, own); n != 20 {
		t.Errorf("a minute later they asked %d times, want 20", n)
	}
	anywhere := func(n int) app.Caller { return app.Caller{Address: fmt.Sprintf("203.0.%d.%d", n/250, n%250)} }
	before := kept()
	if n := many(2200, anywhere); n != 2200 {
		t.Errorf("from as many addresses %d were asked for", n)
	}
	after := kept()
	if len(after) > 2100 || len(after) < 2000 || after[0].ID == before[0].ID {
		t.Errorf("%d are kept, want some 2,000, the oldest gone", len(after))
	}
	clock.at = clock.at.Add(5*time.Minute + time.Second)
	if _, err := ask(app.Caller{Address: "198.51.100.1"}); err != nil || len(kept()) != 1 {
		t.Errorf("after their time %d are kept, %v", len(kept()), err)
	}
}

// Who has a good phrase can't keep the others from theirs by saying it without
// end, nor by making new ones; and has twenty devices at most.
func TestRightTriesAreBoundedToo(t *testing.T) {
	s := apptest.New(t, "2026-10-10")
	given, err := s.MakePhrase(t.Context(), s.As("R08"))
	if err != nil {
		t.Fatal(err)
	}
	var first, last app.Entered
	said := 0
	for ; said < 40; said++ {
		in, err := s.SayPhrase(t.Context(), s.Outsider(), app.Caller{Address: "192.0.2.1", Device: "one"}, given.Phrase)
		if err != nil {
			if trug.KindOf(err) != trug.TooOften || !strings.Contains(err.Error(), "Many have signed in from here") {
				t.Errorf("said %d times: %v", said, err)
			}
			break
		}
		if said == 0 {
			first = in
		}
		last = in
	}
	if said < 20 || said > 23 { // one more each ten seconds, and each takes a while
		t.Errorf("said %d times, want 20", said)
	}
	if _, err := s.SayPhrase(t.Context(), s.Outsider(), app.Caller{Address: "192.0.2.1", Device: "two"}, given.Phrase); err != nil {
		t.Errorf("another device: %v", err)
	}
	for token, in := range map[string]bool{first.Token: false, last.Token: true} {
		if v, err := s.Viewer(t.Context(), token); err != nil || (v.Person != nil) != in {
			t.Errorf("one of 21 devices is in: %v, want %v; %v", v.Person != nil, in, err)
		}
	}
	made := 1
	for ; made < 30; made++ {
		if _, err := s.MakePhrase(t.Context(), s.As("R08")); err != nil {
			if trug.KindOf(err) != trug.TooOften {
				t.Error(err)
			}
			break
		}
	}
	if made != 12 {
		t.Errorf("%d phrases were made, want 12", made)
	}
}

// Slow work is waited for by so many and no more: the others are asked to come
// again, and nobody hangs.
func TestTheQueueOfSlowWorkIsBounded(t *testing.T) {
	s := apptest.New(t, "2026-10-10")
	var wait sync.WaitGroup
	var lock sync.Mutex
	kinds := map[trug.ErrorKind]int{}
	for n := range 110 {
		wait.Go(func() {
			_, err := s.SignIn(t.Context(), s.Outsider(), app.Caller{Address: fmt.Sprintf("203.0.113.%d", n)}, app.GivenPassword{Name: fmt.Sprint("Nobody ", n), Password: "mossy heron lamp"})
			lock.Lock()
			defer lock.Unlock()
			kinds[trug.KindOf(err)]++
		})
	}
	wait.Wait()
	if kinds[trug.NotEntered]+kinds[trug.Busy] != 110 || kinds[trug.NotEntered] < 64 {
		t.Errorf("of 110 at once: %v", kinds)
	}
}
