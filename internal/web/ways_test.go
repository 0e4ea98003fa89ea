package web

import (
	"fmt"
	"net/http"
	"net/http/httptest"
	"strings"
	"sync"
	"testing"
	"time"

	"trug"
	"trug/internal/app"
	"trug/internal/app/apptest"
)

// Whoever comes in by a right password, phrase or recovery code is told their
// own name and nothing of anybody else, and by a phrase is a recorder whatever
// part they have: for every part, by every way.
func TestEveryWayInByEveryPart(t *testing.T) {
	s := apptest.New(t, "2026-10-10")
	h := Handler(s.App, Options{})
	others := tellingOf(s)
	for role, code := range personOf {
		if role == trug.Outsider {
			continue
		}
		me := s.As(code)
		given, err := s.MakePhrase(t.Context(), me)
		if err != nil {
			t.Fatal(err)
		}
		name := "Signs in as " + code
		if err := s.ChangePassword(t.Context(), me, app.Caller{}, app.ChangedPassword{Name: name, Password: "mossy heron lamp"}); err != nil {
			t.Fatal(err)
		}
		codes, err := s.MakeRecoveryCodes(t.Context(), me)
		if err != nil {
			t.Fatal(err)
		}
		for way, body := range map[string]string{"phrase": fmt.Sprintf(`{"phrase":%q}`, given.Phrase),
			"password":      fmt.Sprintf(`{"name":%q,"password":"mossy heron lamp"}`, name),
			"recovery-code": fmt.Sprintf(`{"code":%q}`, codes.RecoveryCodes[0])} {
			c := client{t: t, handler: h}
			status, answer, cookies := c.ask("POST", "/api/come-in/"+way, body)
			if status != 200 || !strings.Contains(answer, me.Person.Name) {
				t.Errorf("%s by %s: %d %s", role, way, status, answer)
				continue
			}
			for _, w := range others {
				if strings.Contains(answer, w) && w != `"`+me.Person.Name+`"` {
					t.Errorf("%s by %s is told %q: %s", role, way, w, answer)
				}
			}
			c.cookie = cookieOf(t, cookies, sessionCookie).Value
			opens := 403
			if role == trug.Coordinator && way != "phrase" {
				opens = 200
			}
			if status, answer, _ := c.ask("GET", "/api/people", ""); status != opens {
				t.Errorf("the desk for a %s by %s: %d, want %d: %.200s", role, way, status, opens, answer)
			}
			// Coming in anew ends the session that the browser had.
			if way == "phrase" && me.Person.Has(trug.RecorderRole) { // by phrase one who is no recorder is nobody
				if status, answer, _ := c.ask("POST", "/api/come-in/phrase", body); status != 200 {
					t.Errorf("%s again by phrase: %d %s", role, status, answer)
				}
				if status, _, _ := c.ask("GET", "/api/me/ways", ""); status != 401 {
					t.Errorf("the former session of a %s goes on: %d", role, status)
				}
			}
			// A right secret is no key to somebody else's: used twice, a recovery code opens nothing.
			if way == "recovery-code" {
				if status, _, _ := (client{t: t, handler: h}).ask("POST", "/api/come-in/"+way, body); status != 401 {
					t.Errorf("the same recovery code again: %d", status)
				}
			}
		}
	}
}

// What answers a wrong password, phrase or code names nobody, and the same
// whether there is such a person or not.
func TestWrongWaysInTellNothing(t *testing.T) {
	s := apptest.New(t, "2026-10-10")
	h := Handler(s.App, Options{})
	if err := s.ChangePassword(t.Context(), s.As("R02"), app.Caller{}, app.ChangedPassword{Name: "Somebody", Password: "mossy heron lamp"}); err != nil {
		t.Fatal(err)
	}
	var answers []string
	for _, name := range []string{"Somebody", "Nobody"} {
		status, answer, _ := (client{t: t, handler: h}).ask("POST", "/api/come-in/password", fmt.Sprintf(`{"name":%q,"password":"another one here"}`, name))
		if status != 401 {
			t.Errorf("%s: %d", name, status)
		}
		answers = append(answers, answer)
	}
	if answers[0] != answers[1] {
		t.Errorf("the answers tell who is there: %q, %q", answers[0], answers[1])
	}
	for _, w := range tellingOf(s) {
		if strings.Contains(answers[0], w) {
			t.Errorf("a wrong password is told %q", w)
		}
	}
}

// An invitation opens once: replayed, taken back or run out it is refused in
// words, by looking at it, by beginning a passkey and by accepting.
func TestAnInvitationIsGoodOnce(t *testing.T) {
	s := apptest.New(t, "2026-10-10")
	clock, began := s.App.Clock, s.App.Clock()
	h := Handler(s.App, Options{})
	c := client{t: t, handler: h}
	accept := func(token, name string) (int, string) {
		status, body, _ := c.ask("POST", "/api/come-in/invitation", fmt.Sprintf(`{"token":%q,"name":%q,"password":"mossy heron lamp"}`, token, name))
		return status, body
	}
	used, taken, over, raced := invited(t, s), invited(t, s), invited(t, s), invited(t, s)
	if status, body := accept(used, "Wren One"); status != 200 {
		t.Fatalf("the first time: %d %s", status, body)
	}
	list, err := s.Invitations(t.Context(), s.As("R02"))
	if err != nil {
		t.Fatal(err)
	}
	if _, err := s.RevokeInvitation(t.Context(), s.As("R02"), list[2].ID); err != nil { // newest first: raced, over, taken, used
		t.Fatal(err)
	}
	// Two at once: one comes in.
	statuses := make([]int, 6)
	var wait sync.WaitGroup
	for i := range statuses {
		wait.Go(func() { statuses[i], _ = accept(raced, fmt.Sprint("Racer ", i)) })
	}
	wait.Wait()
	in := 0
	for _, status := range statuses {
		if status == 200 {
			in++
		}
	}
	if in != 1 {
		t.Errorf("by one invitation at once came in %d: %v", in, statuses)
	}
	s.App.Clock = func() time.Time { return clock().Add(8 * 24 * time.Hour) }
	for name, x := range map[string]struct{ token, says string }{"used": {used, "was used on"}, "taken back": {taken, "taken this invitation back"}, "run out": {over, "was good until"}} {
		if name == "taken back" || name == "used" {
			s.App.Clock = clock
		} else {
			s.App.Clock = func() time.Time { return clock().Add(8 * 24 * time.Hour) }
		}
		for path, body := range map[string]string{"look": fmt.Sprintf(`{"token":%q}`, x.token), "passkey": fmt.Sprintf(`{"token":%q,"name":"Wren"}`, x.token)} {
			if status, answer, _ := c.ask("POST", "/api/come-in/invitation/"+path, body); status != 403 || !strings.Contains(answer, x.says) {
				t.Errorf("%s, %s: %d %s", name, path, status, answer)
			}
		}
		if status, answer := accept(x.token, "Wren Two"); status != 403 || !strings.Contains(answer, x.says) {
			t.Errorf("%s, accepted: %d %s", name, status, answer)
		}
	}
	// A clock that goes an hour back makes none of them good again.
	s.App.Clock = func() time.Time { return began.Add(-time.Hour) }
	for _, token := range []string{used, taken} {
		if status, _ := accept(token, "Wren Three"); status != 403 {
			t.Errorf("with the clock an hour back: %d", status)
		}
	}
}

// Over HTTP: two coordinators take the part from each other at once, one of
// them stays; the last one may not leave, on either route.
func TestCoordinatorsLeavingOverHTTP(t *testing.T) {
	s := apptest.New(t, "2026-10-10")
	h := Handler(s.App, Options{})
	roles := func(by client, code string, roles string) (int, string) {
		id := string(s.As(code).Person.ID)
		_, body := by.do("GET", "/api/people/"+id, nil, "")
		start := strings.Index(body, `"roles":[`)
		if start < 0 {
			return 403, body
		}
		end := start + strings.Index(body[start:], "]") + 1
		return by.do("PUT", "/api/people/"+id, []byte(body[:start]+`"roles":`+roles+body[end:]), "application/json")
	}
	one := newClient(t, s, h, "R02")
	if status, body := roles(one, "R02", `["recorder"]`); status != 422 || !strings.Contains(body, "invite another coordinator first") {
		t.Errorf("the last coordinator leaves: %d %s", status, body)
	}
	if status, body := one.do("POST", "/api/kept/me/take-out", []byte(fmt.Sprintf(`{"name":%q}`, s.As("R02").Person.Name)), "application/json"); status < 400 || status >= 500 {
		t.Errorf("the last coordinator takes their name out: %d %s", status, body)
	}
	if status, body := roles(one, "R03", `["recorder","coordinator"]`); status != 200 {
		t.Fatalf("a second coordinator: %d %s", status, body)
	}
	two := newClient(t, s, h, "R03")
	statuses := make([]int, 2)
	var wait sync.WaitGroup
	wait.Go(func() { statuses[0], _ = roles(one, "R03", `["recorder"]`) })
	wait.Go(func() { statuses[1], _ = roles(two, "R02", `["recorder"]`) })
	wait.Wait()
	if (statuses[0] == 200) == (statuses[1] == 200) {
		t.Errorf("both or neither: %v", statuses)
	}
	left, err := s.Everybody(t.Context(), s.Demo.Season.ID, trug.Coordinator)
	if err != nil || len(left) != 1 {
		t.Errorf("%d coordinators are left, %v", len(left), err)
	}
}

// Over HTTP: a session that ran out, was ended, is made up, or is another
// server's opens nothing, is told as over where one may not go on, and outlives
// a clock that goes an hour back.
func TestStolenAndExpiredSessionsOverHTTP(t *testing.T) {
	s := apptest.New(t, "2026-10-10")
	h := Handler(s.App, Options{})
	clock := s.App.Clock
	c := newClient(t, s, h, "R02")
	for name, x := range map[string]struct {
		off  time.Duration
		want int
	}{"at once": {0, 200}, "an hour back": {-time.Hour, 200}, "four days unused": {4*24*time.Hour + time.Minute, 401}, "a month later": {31 * 24 * time.Hour, 401}} {
		s.App.Clock = func() time.Time { return clock().Add(x.off) }
		status, body := c.do("GET", "/api/people", nil, "")
		if status != x.want || status == 401 && !strings.Contains(body, "no longer signed in") {
			t.Errorf("%s: %d, want %d: %.200s", name, status, x.want, body)
		}
		s.App.Clock = clock
	}
	elsewhere := apptest.New(t, "2026-10-10")
	for name, token := range map[string]string{"made up": "AAAA", "another server's": elsewhere.Token("R02"), "a long one": strings.Repeat("A", 8000), "markup": "<script>"} {
		forged := client{t: t, handler: h, cookie: token}
		if status, body := forged.do("GET", "/api/people", nil, ""); status != 401 {
			t.Errorf("%s: %d %.200s", name, status, body)
		}
	}
	// A cookie of the wrong name, as another application of the host could set it over HTTPS, is none.
	secure := Handler(s.App, Options{Secure: true})
	r := c.request("GET", "/api/people", nil, "")
	w := httptest.NewRecorder()
	secure.ServeHTTP(w, r)
	if w.Code != http.StatusUnauthorized {
		t.Errorf("over HTTPS a cookie without the prefix opens: %d", w.Code)
	}
	if status, _ := c.do("POST", "/api/leave", []byte(`{}`), "application/json"); status != 200 {
		t.Fatal("leaving")
	}
	if status, _ := c.do("GET", "/api/people", nil, ""); status != 401 {
		t.Errorf("a cookie that was copied before its owner left opens: %d", status)
	}
}
