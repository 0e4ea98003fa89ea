package web

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"trug"
	"trug/internal/app"
	"trug/internal/app/apptest"
)

// privateGround makes the pasture of the invented season known by words that
// stand nowhere else, and returns them with what is found on it.
func privateGround(t *testing.T, s apptest.Season) (site app.ShownDeskSite, secrets []string) {
	t.Helper()
	sites, err := s.Sites(t.Context(), s.As("R02"), app.DeskQuery{Limit: 200})
	if err != nil {
		t.Fatal(err)
	}
	at := slices.IndexFunc(sites.Lines, func(x app.SiteLine) bool { return x.Code == "S2" })
	if site, err = s.Site(t.Context(), s.As("R02"), sites.Lines[at].ID); err != nil {
		t.Fatal(err)
	}
	if site.Open {
		t.Fatal("the pasture is open to everybody")
	}
	site.Name, site.Meeting, site.Road, site.Manager, site.Rule = "Zyxwold Pasture", "at the Zyxwold stile", "Zyxwold lane", "Zyxwold farm", "no Zyxwold dogs"
	if _, err := s.SaveSite(t.Context(), s.As("R02"), site.ID, site); err != nil {
		t.Fatal(err)
	}
	secrets = []string{"Zyxwold", "48.535", string(site.ID)}
	n := 0
	for _, r := range s.Demo.Records {
		if r.SiteID == site.ID {
			secrets = append(secrets, string(r.ID), r.Number)
			n++
		}
	}
	if n == 0 {
		t.Fatal("nothing was found on the pasture")
	}
	return site, secrets
}

// Whoever came in by a guessed field code learns nothing of private ground by
// any route, in any answer: not its name, not where it is, not what was found.
func TestAGuessedFieldCodeOpensNoPrivateGround(t *testing.T) {
	s := apptest.New(t, "2026-10-10")
	h := Handler(s.App, Options{})
	requests := samples(t, s, h)
	site, secrets := privateGround(t, s)
	stranger := guest(t, s)
	asked := 0
	look := func(what, body string) {
		t.Helper()
		asked++
		for _, secret := range secrets {
			if strings.Contains(body, secret) {
				t.Errorf("%s tells %q: %.300s", what, secret, body)
			}
		}
	}
	for _, r := range (&server{app: s.App}).routes() {
		if r.method != "GET" {
			continue
		}
		q := requests[r.method+" "+r.path]()
		if q.of != nil || strings.Contains(r.path, "archive") || r.path == "/api/ground" {
			// A deposit is for everybody; of the map there is a test below.
			continue
		}
		_, body := client{t, h, stranger, nil}.do("GET", q.path, nil, "")
		look(r.path, body)
	}
	c := client{t, h, stranger, nil}
	for _, path := range []string{"/api/records?limit=500", "/api/records?text=zyxwold", "/api/records?site=S2", "/api/records?sort=site&limit=500", "/api/prompts?site=S2", "/api/forays/coming"} {
		_, body := c.do("GET", path, nil, "")
		look(path, body)
	}
	for _, r := range s.Demo.Records {
		if r.SiteID == site.ID {
			if status, body := c.do("GET", "/api/records/"+string(r.ID), nil, ""); status != 404 {
				t.Errorf("%s is there: %d %s", r.Number, status, body)
			}
		}
	}
	// Standing on it, their own record tells them no more than they gave.
	own := string(s.ID())
	place := fmt.Sprintf(`{"lat":%f,"lon":%f,"source":"phone"}`, site.Lat+.0001, site.Lon)
	status, body := c.do("PUT", "/api/records/"+own, []byte(`{"found":{"date":"2026-10-10"},"fieldName":"Mycena","views":[],"place":`+place+`}`), "application/json")
	if status != 200 || strings.Contains(body, "Zyxwold") {
		t.Errorf("a record on the spot: %d %s", status, body)
	}
	for _, path := range []string{"/api/daybook", "/api/records/" + own, "/api/records?fact=mine", "/api/records/" + own + "/history"} {
		if _, body := c.do("GET", path, nil, ""); strings.Contains(body, "Zyxwold") {
			t.Errorf("%s tells whose land it is: %s", path, body)
		}
	}
	if _, body := c.do("GET", "/api/records?fact=mine&text=zyxwold", nil, ""); !strings.Contains(body, `"total":0`) {
		t.Errorf("searching tells whose land it is: %s", body)
	}
	if _, body := c.do("POST", "/api/prompts", []byte(`{"place":`+place+`}`), "application/json"); strings.Contains(body, "Zyxwold") || strings.Contains(body, `"may":true`) {
		t.Errorf("asking about the spot: %s", body)
	}
	if asked < 20 {
		t.Errorf("only %d answers were read", asked)
	}
}

// The map under the squares draws private ground for those who know it.
func TestTheMapKeepsPrivateGround(t *testing.T) {
	s := apptest.New(t, "2026-10-10")
	h := Handler(s.App, Options{})
	for token, has := range map[string]bool{guest(t, s): false, s.Token("R02"): true} {
		status, body := client{t, h, token, nil}.do("GET", "/api/ground", nil, "")
		if status != 200 || strings.Contains(body, "Quarterpenny") != has || !strings.Contains(body, "Hobbleshaw Hanger") {
			t.Errorf("%d, drawn %v, want %v", status, strings.Contains(body, "Quarterpenny"), has)
		}
	}
}

// guest comes in by the field code and returns the session's token.
func guest(t *testing.T, s apptest.Season) string {
	t.Helper()
	in, err := s.TakeFieldCode(t.Context(), s.Outsider(), app.Caller{Address: "192.0.2.7"}, app.TakenCode{Code: opened(t, s), Name: "Stranger"})
	if err != nil {
		t.Fatal(err)
	}
	return in.Token
}

// Nobody signs themselves up for private ground: they ask, the leader signs
// them up, and then their phone has it.
func TestAskingToComeToPrivateGround(t *testing.T) {
	s := apptest.New(t, "2026-10-10")
	h := Handler(s.App, Options{})
	privateGround(t, s)
	token := guest(t, s)
	c := client{t, h, token, nil}
	id := foray(t, s, "O11")
	for range 2 { // asking twice is asking once
		status, body := c.do("POST", "/api/forays/"+id+"/sign-up", []byte(`{"comes":true}`), "application/json")
		if status != 200 || !strings.Contains(body, `"asks":true`) || strings.Contains(body, "Zyxwold") || !strings.Contains(body, `"signedUp":0`) {
			t.Fatalf("asking: %d %s", status, body)
		}
	}
	if _, body := c.do("GET", "/api/forays/coming", nil, ""); strings.Contains(body, "Zyxwold") {
		t.Errorf("asking opens it: %s", body)
	}
	v := s.As("R02")
	y, err := s.Foray(t.Context(), v, trug.ID(id))
	if err != nil {
		t.Fatal(err)
	}
	if len(y.Asking) != 1 || !slices.Equal(y.AskingNames, []string{"Stranger"}) {
		t.Fatalf("the coordinator reads that %v %v ask", y.Asking, y.AskingNames)
	}
	if y, err = s.ChangeSignUps(t.Context(), v, y.ID, app.GivenSignUps{Add: []string{string(y.Asking[0])}}); err != nil || len(y.Asking) != 0 {
		t.Fatalf("signing up: %v, %v", y.Asking, err)
	}
	if _, body := c.do("GET", "/api/forays/coming", nil, ""); !strings.Contains(body, "at the Zyxwold stile") {
		t.Errorf("who is signed up does not learn where to meet: %s", body)
	}
	if _, body := c.do("GET", "/api/records?site=S2", nil, ""); strings.Contains(body, `"total":0`) {
		t.Errorf("who is signed up does not see the finds: %s", body)
	}
	// They say that they don't come after all, and know no more of it.
	if _, body := c.do("POST", "/api/forays/"+id+"/sign-up", []byte(`{"comes":false}`), "application/json"); strings.Contains(body, `"comes":true`) {
		t.Error(body)
	}
	if _, body := c.do("GET", "/api/forays/coming", nil, ""); strings.Contains(body, "Zyxwold") {
		t.Errorf("who left still sees it: %s", body)
	}
}
