package web

import (
	"context"
	"net/http"
	"strings"
	"time"

	"trug/internal/app"
)

// Cookies. Where the request came by HTTPS their names get the prefix
// "__Host-", with which browsers take them from this host alone.
const (
	sessionCookie = "trug_session"
	setupCookie   = "trug_setup"
	// deviceCookie tells devices apart that guess codes; it says nothing else.
	deviceCookie = "trug_device"
	hostPrefix   = "__Host-"
)

// cookieName returns the name that a cookie has for the request.
func (s *server) cookieName(r *http.Request, name string) string {
	if reachedBy(r.Context()).secure {
		return hostPrefix + name
	}
	return name
}

// cookie returns the value of a cookie, empty where the request bears none.
func (s *server) cookie(r *http.Request, name string) string {
	c, err := r.Cookie(s.cookieName(r, name))
	if err != nil {
		return ""
	}
	return c.Value
}

// setCookie sets a cookie that scripts can't read and other sites can't send.
func (s *server) setCookie(w http.ResponseWriter, r *http.Request, name, value string, lasts time.Duration) {
	http.SetCookie(w, s.newCookie(reachedBy(r.Context()).secure, name, value, lasts))
}

func (s *server) newCookie(secure bool, name, value string, lasts time.Duration) *http.Cookie {
	if secure {
		name = hostPrefix + name
	}
	return &http.Cookie{Name: name, Value: value, Path: "/", HttpOnly: true, Secure: secure, SameSite: http.SameSiteLaxMode, MaxAge: int(lasts.Seconds())}
}

type callerKey struct{}

// came is from where a request came.
type came struct {
	app.Caller
	secure bool
	setup  string
}

// caller returns from where somebody asks.
func caller(ctx context.Context) came {
	c, _ := ctx.Value(callerKey{}).(came)
	return c
}

func (s *server) callerOf(r *http.Request) came {
	how, scheme := reachedBy(r.Context()), "http://"
	if how.secure {
		scheme = "https://"
	}
	return came{Caller: app.Caller{Address: how.from.String(), Device: s.cookie(r, deviceCookie), Label: deviceWords(r.UserAgent()), Origin: scheme + how.host},
		secure: how.secure, setup: s.cookie(r, setupCookie)}
}

// deviceWords says in words what sort of device a browser says that it is, so
// that its owner knows it again, in names that every language has: "Firefox, Android". The
// words of the browser itself are not kept.
func deviceWords(agent string) string {
	first := func(words ...[2]string) string {
		for _, w := range words {
			if strings.Contains(agent, w[0]) {
				return w[1]
			}
		}
		return ""
	}
	browser := first([2]string{"Firefox/", "Firefox"}, [2]string{"Edg", "Edge"}, [2]string{"OPR/", "Opera"}, [2]string{"SamsungBrowser/", "Samsung Internet"},
		[2]string{"Chrome/", "Chrome"}, [2]string{"CriOS/", "Chrome"}, [2]string{"FxiOS/", "Firefox"}, [2]string{"Safari/", "Safari"})
	machine := first([2]string{"Android", "Android"}, [2]string{"iPhone", "iPhone"}, [2]string{"iPad", "iPad"}, [2]string{"Windows", "Windows"},
		[2]string{"Macintosh", "Mac"}, [2]string{"CrOS", "Chromebook"}, [2]string{"Linux", "Linux"})
	switch {
	case browser == "" && machine == "":
		return "a device that does not say what it is"
	case browser == "":
		return machine
	case machine == "":
		return browser
	}
	return browser + ", " + machine
}

// cameIn is the answer to somebody who has come in: cookies and who they are.
type cameIn struct {
	SetCookie []*http.Cookie `header:"Set-Cookie"`
	Body      CameIn
}

// CameIn says as whom somebody came in.
type CameIn struct {
	Name string `json:"name"`
	// RecoveryCodes are shown this once, where new ones were made.
	RecoveryCodes []string `json:"recoveryCodes,omitempty" doc:"One-time codes, shown this once"`
}

// entry answers with the session's cookie.
func (s *server) entry(ctx context.Context, in app.Entered) *cameIn {
	return &cameIn{SetCookie: []*http.Cookie{s.newCookie(caller(ctx).secure, sessionCookie, in.Token, in.Lasts)},
		Body: CameIn{Name: in.Person.Name, RecoveryCodes: in.RecoveryCodes}}
}

// deviceLasts is how long a device is told apart.
const deviceLasts = 30 * 24 * time.Hour

// marked gives a device that tries to come in a cookie to be told apart by, so
// that its wrong guesses are counted as its own and not as its neighbours'.
func (s *server) marked(w http.ResponseWriter, r *http.Request, c came) came {
	if c.Device != "" || !strings.HasPrefix(r.URL.Path, comeInPath) {
		return c
	}
	if device, err := s.app.NewDevice(); err == nil {
		c.Device = device
		s.setCookie(w, r, deviceCookie, device, deviceLasts)
	}
	return c
}
