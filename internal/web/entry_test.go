package web

import (
	"encoding/json"
	"fmt"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"

	"trug"
	"trug/internal/app"
	"trug/internal/app/apptest"
)

// entrySamples gives a request for each route by which people come in or look
// after their ways in.
func entrySamples(t *testing.T, s apptest.Season) map[string]func() sample {
	t.Helper()
	code := opened(t, s)
	phrase, err := s.MakePhrase(t.Context(), s.As("R03"))
	if err != nil {
		t.Fatal(err)
	}
	plain := func(path, body string) func() sample {
		return func() sample { return sample{path: path, body: body} }
	}
	return map[string]func() sample{
		"POST /api/come-in/field-code": plain("/api/come-in/field-code", fmt.Sprintf(`{"code":%q,"name":"Wren"}`, code)),
		"POST /api/come-in/phrase":     plain("/api/come-in/phrase", fmt.Sprintf(`{"phrase":%q}`, phrase.Phrase)),
		"POST /api/come-in/password": func() sample {
			return sample{path: "/api/come-in/password", body: `{"name":"Nobody","password":"mossy heron lamp"}`, gives: 401}
		},
		"POST /api/come-in/recovery-code": func() sample {
			return sample{path: "/api/come-in/recovery-code", body: `{"code":"3333"}`, gives: 422}
		},
		"POST /api/come-in/passkey/ask": plain("/api/come-in/passkey/ask", `{}`),
		"POST /api/come-in/passkey": func() sample {
			return sample{path: "/api/come-in/passkey", body: `{"ceremony":"x","answer":{}}`, gives: 422}
		},
		"POST /api/come-in/invitation/look": func() sample {
			return sample{path: "/api/come-in/invitation/look", body: fmt.Sprintf(`{"token":%q}`, invited(t, s))}
		},
		"POST /api/come-in/invitation/passkey": func() sample {
			return sample{path: "/api/come-in/invitation/passkey", body: fmt.Sprintf(`{"token":%q,"name":"Wren"}`, invited(t, s))}
		},
		"POST /api/come-in/invitation": func() sample {
			token := invited(t, s)
			return sample{path: "/api/come-in/invitation", body: fmt.Sprintf(`{"token":%q,"name":"W %s","password":"mossy heron lamp"}`, token, token[:8])}
		},
		"GET /api/me/ways": plain("/api/me/ways", ""),
		"PUT /api/me/password": func() sample {
			return sample{path: "/api/me/password", body: `{"name":"Wren","password":"short"}`, gives: 422}
		},
		"POST /api/me/recovery-codes": plain("/api/me/recovery-codes", `{}`),
		"POST /api/me/passkeys/ask":   plain("/api/me/passkeys/ask", `{}`),
		"POST /api/me/passkeys": func() sample {
			return sample{path: "/api/me/passkeys", body: `{"ceremony":"x","answer":{}}`, gives: 422}
		},
		"POST /api/me/passkeys/{id}/remove": func() sample {
			return sample{path: "/api/me/passkeys/" + string(s.ID()) + "/remove", body: `{}`, gives: 404}
		},
		"GET /api/invitations":  plain("/api/invitations", ""),
		"POST /api/invitations": plain("/api/invitations", `{"roles":["determiner"],"days":7}`),
		"POST /api/invitations/{id}/revoke": func() sample {
			invited(t, s)
			list, err := s.Invitations(t.Context(), s.As("R02"))
			if err != nil {
				t.Fatal(err)
			}
			return sample{path: "/api/invitations/" + string(list[0].ID) + "/revoke", body: `{}`}
		},
		"GET /api/me/sessions": plain("/api/me/sessions", ""),
		"GET /api/me/sign-ins": plain("/api/me/sign-ins", ""),
		"POST /api/me/sessions/{id}/end": func() sample {
			return sample{body: `{}`, of: func(code string) string { return "/api/me/sessions/" + sessionOf(t, s, code) + "/end" }}
		},
		"POST /api/me/sessions/end-others": plain("/api/me/sessions/end-others", `{}`),
		"POST /api/me/phrase":              plain("/api/me/phrase", `{}`),
		"POST /api/me/children":            plain("/api/me/children", `{"name":"Fern"}`),
		"GET /api/field-code":              plain("/api/field-code", ""),
		"PUT /api/field-code":              plain("/api/field-code", `{"code":"","last":"2026-12-31","lets":false}`),
		"GET /api/guesses":                 plain("/api/guesses", ""),
		"POST /api/guesses/forget":         plain("/api/guesses/forget", `{}`),
		"POST /api/people/{id}/end-ways":   plain("/api/people/"+string(s.As("R03").Person.ID)+"/end-ways", `{"all":false}`),
	}
}

// opened makes the season's field code and returns it.
func opened(t *testing.T, s apptest.Season) string {
	t.Helper()
	code, err := s.SaveFieldCode(t.Context(), s.As("R02"), app.ShownFieldCode{Last: "2026-12-31"})
	if err != nil || !code.Lets {
		t.Fatalf("a field code: %+v, %v", code, err)
	}
	return code.Code
}

// invited makes an invitation of a determiner's and returns its token.
func invited(t *testing.T, s apptest.Season) string {
	t.Helper()
	made, err := s.Invite(t.Context(), s.As("R02"), "http://trug.test", app.NewInvitation{Roles: []trug.Role{trug.DeterminerRole}, Days: 7})
	if err != nil {
		t.Fatal(err)
	}
	_, token, _ := strings.Cut(made.Link, "#")
	return token
}

// sessionOf returns a session of the person's; of nobody's somebody else's.
func sessionOf(t *testing.T, s apptest.Season, code string) string {
	t.Helper()
	if code == "" {
		code = "R03"
	}
	s.Token(code)
	list, err := s.Sessions(t.Context(), s.As(code))
	if err != nil || len(list) == 0 {
		t.Fatalf("sessions of %s: %v, %v", code, list, err)
	}
	return string(list[len(list)-1].ID)
}

// ask sends a JSON body and returns status, body and the cookies set.
func (c client) ask(method, path, body string, cookies ...*http.Cookie) (int, string, []*http.Cookie) {
	c.t.Helper()
	r := httptest.NewRequest(method, "http://trug.test"+path, strings.NewReader(body))
	r.Header.Set("Content-Type", "application/json")
	r.Header.Set("Sec-Fetch-Site", "same-origin")
	for _, k := range cookies {
		r.AddCookie(k)
	}
	if c.cookie != "" {
		r.AddCookie(&http.Cookie{Name: sessionCookie, Value: c.cookie})
	}
	w := httptest.NewRecorder()
	c.handler.ServeHTTP(w, r)
	return w.Code, w.Body.String(), w.Result().Cookies()
}

// A recorder comes in by code and name, makes a phrase, and comes in by it on
// another phone; ending the first session leaves the second.
func TestARecorderComesInAndComesBack(t *testing.T) {
	s := apptest.New(t, "2026-10-10")
	h := Handler(s.App, Options{})
	code := opened(t, s)
	phone := client{t: t, handler: h}
	status, body, cookies := phone.ask("POST", "/api/come-in/field-code", fmt.Sprintf(`{"code":" %s ","name":"  Wren   of the wood "}`, strings.ToLower(code)))
	if status != 200 || !strings.Contains(body, `"name":"Wren of the wood"`) {
		t.Fatalf("%d %s", status, body)
	}
	phone.cookie = cookieOf(t, cookies, sessionCookie).Value
	if status, body, _ = phone.ask("GET", "/api/daybook", ""); status != 200 {
		t.Fatalf("the Daybook: %d %s", status, body)
	}
	if status, body, _ = phone.ask("GET", "/api/people", ""); status != 403 {
		t.Errorf("a recorder sees the people: %d %s", status, body)
	}
	_, body, _ = phone.ask("POST", "/api/me/phrase", `{}`)
	var given app.GivenPhrase
	if err := json.Unmarshal([]byte(body), &given); err != nil || len(strings.Fields(given.Phrase)) != 6 {
		t.Fatalf("a phrase: %s, %v", body, err)
	}
	other := client{t: t, handler: h}
	status, body, cookies = other.ask("POST", "/api/come-in/phrase", fmt.Sprintf(`{"phrase":%q}`, strings.ToUpper(given.Phrase)))
	if status != 200 {
		t.Fatalf("by phrase: %d %s", status, body)
	}
	other.cookie = cookieOf(t, cookies, sessionCookie).Value
	if status, body, _ = other.ask("POST", "/api/me/sessions/end-others", `{}`); status != 200 {
		t.Fatalf("end others: %d %s", status, body)
	}
	if status, body, _ = phone.ask("GET", "/api/daybook", ""); status != 401 || !strings.Contains(body, "no longer signed in") {
		t.Errorf("an ended session: %d %s", status, body)
	}
	if status, body, _ = other.ask("POST", "/api/leave", `{}`); status != 200 {
		t.Errorf("leaving: %d %s", status, body)
	}
	if status, _, _ = other.ask("GET", "/api/daybook", ""); status != 401 {
		t.Errorf("the cookie of somebody who left still opens: %d", status)
	}
}

func cookieOf(t *testing.T, cookies []*http.Cookie, name string) *http.Cookie {
	t.Helper()
	for _, c := range cookies {
		if strings.HasSuffix(c.Name, name) {
			return c
		}
	}
	t.Fatalf("no cookie %s among %v", name, cookies)
	return nil
}

// Nobody ends, or learns of, somebody else's devices.
func TestSessionsOfOthers(t *testing.T) {
	s := apptest.New(t, "2026-10-10")
	h := Handler(s.App, Options{})
	theirs := sessionOf(t, s, "R03")
	for _, code := range []string{"R08", "R01", "D1", "R02"} {
		c := newClient(t, s, h, code)
		if status, body, _ := c.ask("POST", "/api/me/sessions/"+theirs+"/end", `{}`); status != 404 {
			t.Errorf("%s ends a session of R03: %d %s", code, status, body)
		}
		if _, body, _ := c.ask("GET", "/api/me/sessions", ""); strings.Contains(body, theirs) {
			t.Errorf("%s sees a session of R03: %s", code, body)
		}
	}
	if status, body, _ := newClient(t, s, h, "R03").ask("POST", "/api/me/sessions/"+theirs+"/end", `{}`); status != 200 {
		t.Errorf("R03 can't end their own: %d %s", status, body)
	}
}

// Wrong codes are slowed by device and by address, the coordinator sees it,
// and no answer or page holds the address.
func TestGuessingIsSlowed(t *testing.T) {
	s := apptest.New(t, "2026-10-10")
	h := Handler(s.App, Options{})
	opened(t, s)
	c := client{t: t, handler: h}
	wrong := `{"code":"3333-3334","name":"Wren"}`
	// The check symbol of a made-up code is reckoned by trying the 23.
	for _, last := range "34679CDFGHJKMNPQRTVWXYZ" {
		wrong = fmt.Sprintf(`{"code":"3333-333%c","name":"Wren"}`, last)
		if status, _, _ := c.ask("POST", "/api/come-in/field-code", wrong); status == 401 {
			break
		}
	}
	_, _, cookies := c.ask("POST", "/api/come-in/field-code", wrong)
	device := cookieOf(t, cookies, deviceCookie)
	var statuses []int
	for range 9 {
		status, _, _ := c.ask("POST", "/api/come-in/field-code", wrong, device)
		statuses = append(statuses, status)
	}
	if statuses[6] != 401 || statuses[7] != 429 || statuses[8] != 429 {
		t.Errorf("with one device: %v", statuses)
	}
	// Another device behind the same address goes on, for a while.
	n := 0
	for ; n < 60; n++ {
		if status, _, _ := c.ask("POST", "/api/come-in/field-code", wrong); status == 429 {
			break
		}
	}
	if n < 25 || n > 35 {
		t.Errorf("one address was stopped after %d more", n)
	}
	_, body, _ := newClient(t, s, h, "R02").ask("GET", "/api/guesses", "")
	if !strings.Contains(body, `"field code"`) || !strings.Contains(body, `"waits":true`) || strings.Contains(body, "192.0.2.1") {
		t.Errorf("the coordinator sees %s", body)
	}
	if status, body, _ := newClient(t, s, h, "R02").ask("POST", "/api/guesses/forget", `{}`); status != 200 {
		t.Fatalf("%d %s", status, body)
	}
	if status, _, _ := c.ask("POST", "/api/come-in/field-code", wrong, device); status != 401 {
		t.Errorf("after the coordinator let them: %d", status)
	}
}

// A session's cookie is bound to the host where the page is secure.
func TestCookiesOfASecurePage(t *testing.T) {
	s := apptest.New(t, "2026-10-10")
	code := opened(t, s)
	for secure, name := range map[bool]string{true: "__Host-trug_session", false: "trug_session"} {
		c := client{t: t, handler: Handler(s.App, Options{Secure: secure})}
		_, _, cookies := c.ask("POST", "/api/come-in/field-code", fmt.Sprintf(`{"code":%q,"name":"Wren"}`, code))
		got := cookieOf(t, cookies, sessionCookie)
		if got.Name != name || got.Secure != secure || !got.HttpOnly || got.SameSite != http.SameSiteLaxMode || got.Path != "/" || got.Domain != "" {
			t.Errorf("secure %v: %+v", secure, got)
		}
	}
}
