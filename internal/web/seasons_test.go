package web

import (
	"bytes"
	"encoding/json"
	"fmt"
	"net/http"
	"regexp"
	"slices"
	"strings"
	"testing"

	"trug"
	"trug/internal/app/apptest"
	"trug/internal/demo"
	"trug/internal/store"
)

var anyID = regexp.MustCompile(`[0-9a-f]{8}-[0-9a-f]{4}-[47][0-9a-f]{3}-[0-9a-f]{4}-[0-9a-f]{11}[0-9a-f]`)

// elsewhere makes another season of the invented one: the same things under
// other identifiers, with names that stand nowhere else.
func elsewhere(t *testing.T, d demo.Season) demo.Season {
	t.Helper()
	d.Season, d.People, d.Sites, d.Forays = moved(t, d.Season), moved(t, d.People), moved(t, d.Sites), moved(t, d.Forays)
	d.Taxa, d.LookAlikes, d.Protections = moved(t, d.Taxa), moved(t, d.LookAlikes), moved(t, d.Protections)
	d.Records, d.Determinations, d.Requests = moved(t, d.Records), moved(t, d.Determinations), moved(t, d.Requests)
	d.Season.Code, d.Season.Title, d.Season.Place = "X27", "Quarrelsome Fen, season of 2027", "Quarrelsome Fen"
	for i := range d.People {
		d.People[i].Name = "Xanthe" + strings.Repeat("a", 1+i%3) + " Quarrel" + string(rune('a'+i%26))
		if d.People[i].Minor {
			d.People[i].Name = "Xanthe" + strings.Repeat("a", 1+i%3)
		} else if d.People[i].Credit != "" {
			d.People[i].Credit = d.People[i].Name
		}
	}
	fen := strings.NewReplacer("Vale of Wimbrel", "Quarrelsome Fen")
	d.Season.Description, d.Season.RightsHolder = fen.Replace(d.Season.Description), fen.Replace(d.Season.RightsHolder)
	d.Season.Contact, d.Season.Checklist = fen.Replace(d.Season.Contact), fen.Replace(d.Season.Checklist)
	for i := range d.Sites {
		d.Ground = bytes.ReplaceAll(d.Ground, []byte(d.Sites[i].Name), []byte(fmt.Sprintf("Quarrelsome Nook %d", i)))
		d.Sites[i].Name = fmt.Sprintf("Quarrelsome Nook %d", i)
	}
	for i := range d.Forays {
		d.Forays[i].Name = fmt.Sprintf("Quarrelsome walk %d", i)
	}
	return d
}

// moved gives every identifier another last figure.
func moved[T any](t *testing.T, x T) (out T) {
	t.Helper()
	text, err := json.Marshal(x)
	if err != nil {
		t.Fatal(err)
	}
	text = anyID.ReplaceAllFunc(text, func(id []byte) []byte {
		last := strings.IndexByte("0123456789abcdef", id[35])
		return append(slices.Clone(id[:35]), "0123456789abcdef"[15-last])
	})
	if err := json.Unmarshal(text, &out); err != nil {
		t.Fatal(err)
	}
	return out
}

// twoSeasons is one folder with two seasons, and a handler over both.
func twoSeasons(t *testing.T) (one, two apptest.Season, h http.Handler) {
	t.Helper()
	one = apptest.New(t, "2026-10-10")
	two = one
	two.Demo = elsewhere(t, one.Demo)
	if err := one.LoadDemonstration(t.Context(), two.Demo); err != nil {
		t.Fatal(err)
	}
	return one, two, Handler(one.App, Options{})
}

// things are identifiers of a season's things, one or two of each sort.
func things(t *testing.T, s apptest.Season, own ownRecord) map[string]string {
	t.Helper()
	d := s.Demo
	return map[string]string{"record": string(d.Records[0].ID), "its own record": string(own.id), "view": string(own.view), "photograph": string(own.photograph),
		"person": string(s.As("R03").Person.ID), "coordinator": string(s.As("R02").Person.ID), "site": string(d.Sites[0].ID), "foray": foray(t, s, "O08"),
		"protected name": string(d.Protections[0].ID), "look-alike": string(d.LookAlikes[0].ID), "season": string(d.Season.ID), "session": sessionOf(t, s, "R03"),
		"public record": string(d.Records[0].Public), "public season": string(d.Season.Public)}
}

// madeBy says which sort of thing a route makes where there is none.
var madeBy = map[string][]string{
	"PUT /api/records/{id}":     {"record", "its own record"},
	"PUT /api/people/{id}":      {"person", "coordinator"},
	"PUT /api/protected/{id}":   {"protected name"},
	"PUT /api/look-alikes/{id}": {"look-alike"},
	"PUT /api/sites/{id}":       {"site"},
	"PUT /api/forays/{id}":      {"foray"},
	"PUT /api/slips/{id}":       {},
	"PUT /api/sizes/{id}":       {},
	"PUT /api/colours/{id}":     {},
}

// tellingOf are words that stand in one season alone.
func tellingOf(s apptest.Season) (words []string) {
	words = append(words, s.Demo.Season.Title, s.Demo.Season.Place)
	for _, p := range s.Demo.People {
		words = append(words, string(p.ID), string(p.Public), `"`+p.Name+`"`)
	}
	for _, x := range s.Demo.Sites {
		words = append(words, string(x.ID), x.Name)
	}
	for _, y := range s.Demo.Forays {
		words = append(words, string(y.ID))
	}
	for _, r := range s.Demo.Records {
		words = append(words, string(r.ID), string(r.Public))
	}
	return words
}

// Two seasons in one folder are apart: whoever is in one, in whichever role,
// finds nothing of the other on any route, by any identifier, and changes
// nothing in it.
func TestTwoSeasonsAreApart(t *testing.T) {
	one, two, h := twoSeasons(t)
	ones, twos := newRecord(t, one, h), newRecord(t, two, h)
	for name, c := range map[string]struct {
		mine, theirs apptest.Season
		own, their   ownRecord
	}{"the first asks for the second": {one, two, ones, twos}, "the second asks for the first": {two, one, twos, ones}} {
		t.Run(name, func(t *testing.T) {
			ids, secrets := things(t, c.theirs, c.their), tellingOf(c.theirs)
			before := changes(t, c.theirs)
			bodies := bodiesOf(t, c.mine, h)
			asked := 0
			for _, role := range trug.Roles {
				if role == trug.Outsider {
					continue // outsiders are those of the first season
				}
				who := newClient(t, c.mine, h, personOf[role])
				for _, r := range (&server{app: one.App}).routes() {
					if strings.HasPrefix(r.path, comeInPath) || r.setup || r.path == "/enter/{token}" || r.path == "/api/leave" || strings.Contains(r.path, "/sessions/end-others") || strings.HasSuffix(r.path, "/take-out") && strings.Contains(r.path, "kept") && !strings.Contains(r.path, "{id}") {
						continue // what lets somebody in, and what ends the session that asks
					}
					if !strings.Contains(r.path, "{") {
						if r.method == "GET" {
							_, body := who.do("GET", r.path, nil, "")
							tells(t, r.path+" as "+string(role), body, secrets, "")
						}
						continue
					}
					if r.path == "/{path...}" || r.path == "/api/paper/{sheet}" || r.path == "/api/tables/{name}" {
						continue
					}
					for what, id := range ids {
						if makes := madeBy[r.method+" "+r.path]; makes != nil && !slices.Contains(makes, what) {
							continue // a new thing under an identifier that another sort of thing has is a new thing
						}
						path := pathParameter.ReplaceAllString(r.path, id)
						if strings.Contains(r.path, "{size}") {
							path = "/api/photographs/" + id + "/original"
						} else if strings.Contains(r.path, "{view}") {
							path = strings.Replace(strings.Replace(r.path, "{id}", ids["its own record"], 1), "{view}", id, 1)
						}
						status, body := who.do(r.method, path, []byte(bodies[r.method+" "+r.path]), "application/json")
						asked++
						if status < 400 || status >= 500 {
							t.Errorf("%s %s of the other season's %s as %s: %d %.300s", r.method, r.path, what, role, status, body)
						}
						tells(t, r.method+" "+r.path+" as "+string(role), body, secrets, id)
					}
				}
			}
			if after := changes(t, c.theirs); after != before {
				t.Errorf("the other season has %d amendments, had %d", after, before)
			}
			if v, err := c.theirs.Viewer(t.Context(), c.theirs.Token("R03")); err != nil || v.Person == nil {
				t.Errorf("somebody of the other season lost their session: %v", err)
			}
			if asked < 1000 {
				t.Errorf("only %d requests were asked", asked)
			}
		})
	}
	if faults, err := one.CheckStore(t.Context(), nil); err != nil || len(faults) > 0 {
		t.Errorf("the store has faults: %v %v", faults, err)
	}
}

// changes counts the amendments of a season.
func changes(t *testing.T, s apptest.Season) (n int) {
	t.Helper()
	err := s.Store.Read(t.Context(), func(r store.Reader) error {
		all, err := r.Since(t.Context(), s.Demo.Season.ID, 0, 1_000_000)
		n = len(all)
		return err
	})
	if err != nil || n == 0 {
		t.Fatalf("%d amendments, %v", n, err)
	}
	return n
}

// bodiesOf are the bodies of the samples, by route.
func bodiesOf(t *testing.T, s apptest.Season, h http.Handler) map[string]string {
	out := map[string]string{}
	for route, q := range samples(t, s, h) {
		if strings.Contains(route, "{") {
			out[route] = q().body
		}
	}
	return out
}

// tells fails where a body holds a word of the other season, but for the
// identifier that was asked for.
func tells(t *testing.T, where, body string, words []string, but string) {
	t.Helper()
	for _, w := range words {
		if w != but && strings.Contains(body, w) {
			t.Errorf("%s tells %q of the other season", where, w)
			return
		}
	}
}

// What names a thing of the other season in a body is refused like what is not
// there: a photograph, a person, a site, a foray.
func TestBodiesNameNothingOfAnotherSeason(t *testing.T) {
	one, two, h := twoSeasons(t)
	own, theirs := newRecord(t, one, h), newRecord(t, two, h)
	other := things(t, two, theirs)
	me, desk := newClient(t, one, h, "R08"), newClient(t, one, h, "R02")
	for name, q := range map[string]struct {
		who                client
		method, path, body string
	}{
		"their photograph as a view of mine": {me, "PUT", "/api/records/" + string(one.ID()), fmt.Sprintf(`{"found":{"date":"2026-10-10"},"fieldName":"Mycena","views":[{"photograph":%q,"kind":"top"}]}`, other["photograph"])},
		"their photograph added to mine":     {me, "POST", "/api/records/" + string(own.id) + "/views", fmt.Sprintf(`{"views":[{"photograph":%q,"kind":"top"}]}`, other["photograph"])},
		"an invitation for their person":     {desk, "POST", "/api/invitations", fmt.Sprintf(`{"roles":["leader"],"person":%q,"days":3}`, other["person"])},
		"a foray handed on to their person":  {desk, "POST", "/api/forays/" + foray(t, one, "O08") + "/hand-on", fmt.Sprintf(`{"to":%q}`, other["person"])},
		"their person signed up here":        {desk, "POST", "/api/forays/" + foray(t, one, "O08") + "/sign-ups", fmt.Sprintf(`{"add":[%q]}`, other["person"])},
		"their person as a child's adult":    {desk, "PUT", "/api/people/" + string(one.ID()), fmt.Sprintf(`{"id":"","name":"Wren","minor":true,"guardian":%q,"roles":["recorder"],"groups":[],"consents":[],"link":"","notes":[]}`, other["person"])},
		"a person added under their id":      {desk, "POST", "/api/people", fmt.Sprintf(`{"id":%q,"name":"Wren","roles":["recorder"]}`, other["person"])},
		"an opinion under the id of theirs":  {newClient(t, one, h, "D1"), "POST", "/api/records/" + string(one.Demo.Records[0].ID) + "/determinations", fmt.Sprintf(`{"id":%q,"name":"Mycena pura","basis":["description"]}`, two.Demo.Determinations[0].ID)},
		"the audit of their person":          {desk, "GET", "/api/audit?what=changes&person=" + other["person"], ""},
	} {
		status, body := q.who.do(q.method, q.path, []byte(q.body), "application/json")
		if q.method == "GET" && status == 200 {
			tells(t, name, body, tellingOf(two), other["person"])
			continue
		}
		if status < 400 || status >= 500 {
			t.Errorf("%s: %d %.300s", name, status, body)
		}
		tells(t, name, body, tellingOf(two), other["person"])
	}
	var people []trug.Person
	err := one.Store.Read(t.Context(), func(r store.Reader) (err error) {
		people, err = store.List[trug.Person](t.Context(), r, store.Filter{Season: two.Demo.Season.ID})
		return err
	})
	if err != nil || len(people) != len(two.Demo.People) {
		t.Errorf("the other season has %d people, want %d; %v", len(people), len(two.Demo.People), err)
	}
}
