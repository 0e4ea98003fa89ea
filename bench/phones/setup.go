package main

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"net/http"
	"net/http/cookiejar"
	"os"
	"regexp"
	"strings"
	"time"

	"trug"
)

// season is one that phones can send to.
type season struct {
	code        string // the field code
	coordinator *http.Client
}

// asks sends a request with JSON and reads the answer into out, nil for none.
func asks(ctx context.Context, c *http.Client, method, address string, in, out any) error {
	var body io.Reader
	if in != nil {
		text, err := json.Marshal(in)
		if err != nil {
			return err
		}
		body = bytes.NewReader(text)
	}
	r, err := http.NewRequestWithContext(ctx, method, address, body)
	if err != nil {
		return err
	}
	if in != nil {
		r.Header.Set("Content-Type", "application/json")
	}
	answer, err := c.Do(r)
	if err != nil {
		return err
	}
	defer answer.Body.Close()
	text, err := io.ReadAll(answer.Body)
	if err != nil {
		return err
	}
	if answer.StatusCode >= 300 {
		return fmt.Errorf("%s %s: %d %s", method, r.URL.Path, answer.StatusCode, text)
	}
	if out == nil {
		return nil
	}
	return json.Unmarshal(text, out)
}

var setupLink = regexp.MustCompile(`/enter/setup-\S+`)

// setUp goes the way of a first coordinator: the link that the server printed,
// a season, a password, one site, an emergency number, the field code.
func setUp(ctx context.Context, s *server) (season, error) {
	said, err := os.ReadFile(s.logName())
	if err != nil {
		return season{}, err
	}
	link := setupLink.FindString(string(said))
	if link == "" {
		return season{}, errors.New("the server printed no link to set a season up")
	}
	jar, _ := cookiejar.New(nil)
	c := &http.Client{Jar: jar}
	at := "http://" + s.address
	today := time.Now()
	day := func(off int) string { return today.AddDate(0, 0, off).Format(time.DateOnly) }
	if err := asks(ctx, c, "GET", at+link, nil, nil); err != nil {
		return season{}, err
	}
	made := struct{ Link string }{}
	if err := asks(ctx, c, "POST", at+"/api/seasons", map[string]any{"code": "P26", "title": "Phones", "place": "A wood", "starts": day(-20), "ends": day(20),
		"box": map[string]float64{"west": -20, "south": 48, "east": -19, "north": 49}, "zone": "UTC", "licence": "CC0-1.0", "coordinator": "Alma"}, &made); err != nil {
		return season{}, err
	}
	token := made.Link[strings.LastIndexAny(made.Link, "/#")+1:]
	if err := asks(ctx, c, "POST", at+"/api/come-in/invitation", map[string]string{"token": token, "name": "Alma", "password": "nine brown caps in the beech litter"}, nil); err != nil {
		return season{}, err
	}
	site, err := newID()
	if err != nil {
		return season{}, err
	}
	if err := asks(ctx, c, "PUT", at+"/api/sites/"+string(site), map[string]any{"id": site, "code": "S1", "name": "Wood", "lat": 48.5, "lon": -19.5, "radius": 3000, "open": true,
		"habitat": []string{}, "outline": []any{}, "hazards": []string{"old shafts"}, "forays": 0, "records": 0, "notes": []string{}, "permission": map[string]string{"pick": "yes"}}, nil); err != nil {
		return season{}, err
	}
	set := map[string]any{}
	if err := asks(ctx, c, "GET", at+"/api/settings", nil, &set); err != nil {
		return season{}, err
	}
	set["emergency"] = "112"
	delete(set, "area")
	if err := asks(ctx, c, "PUT", at+"/api/settings", set, nil); err != nil {
		return season{}, err
	}
	if err := asks(ctx, c, "POST", at+"/api/settings/open", nil, nil); err != nil {
		return season{}, err
	}
	code := struct{ Code string }{}
	err = asks(ctx, c, "PUT", at+"/api/field-code", map[string]any{"code": "", "last": day(20), "lets": false}, &code)
	return season{code.Code, c}, err
}

// newID returns a fresh identifier.
func newID() (trug.ID, error) { return trug.NewID(time.Now(), randomBytes{}) }
