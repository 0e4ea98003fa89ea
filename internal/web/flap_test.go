package web

import (
	"strings"
	"testing"

	"trug"
	"trug/internal/app/apptest"
)

// opinionsOf returns the names others gave each record of the invented
// season, field names included.
func opinionsOf(s apptest.Season, but trug.ID) (names map[trug.ID][]string, own map[trug.ID]bool) {
	names, own = map[trug.ID][]string{}, map[trug.ID]bool{}
	for _, d := range s.Demo.Determinations {
		if d.By == but {
			own[d.RecordID] = true
		} else {
			names[d.RecordID] = append(names[d.RecordID], d.Name)
		}
	}
	for _, r := range s.Demo.Records {
		if r.FieldName.Name != "" {
			names[r.ID] = append(names[r.ID], r.FieldName.Name)
		}
	}
	return names, own
}

// What others thought of a find reaches a determiner on no route until they
// have named it or lifted the flap.
func TestOpinionsStayUnderTheFlap(t *testing.T) {
	s := apptest.New(t, "2026-11-25")
	h := Handler(s.App, Options{})
	names, own := opinionsOf(s, s.As("D1").Person.ID)
	c := newClient(t, s, h, "D1")
	hidden := 0
	for _, r := range s.Demo.Records {
		if own[r.ID] {
			continue
		}
		_, sheet := c.do("GET", "/api/records/"+string(r.ID), nil, "")
		_, line := c.do("GET", "/api/records?text="+r.Number, nil, "")
		for _, name := range names[r.ID] {
			hidden++
			for _, body := range []string{sheet, line} {
				if strings.Contains(body, name) {
					t.Fatalf("%s: a determiner is told %q before naming it:\n%s", r.Number, name, body)
				}
			}
			if _, found := c.do("GET", "/api/records?text="+strings.ReplaceAll(name, " ", "+"), nil, ""); strings.Contains(found, `"`+r.Number+`"`) {
				t.Errorf("%s: searching the Record book for %q finds it", r.Number, name)
			}
		}
	}
	if hidden < 100 {
		t.Fatalf("only %d opinions were looked for", hidden)
	}
}

func TestLiftingTheFlap(t *testing.T) {
	s := apptest.New(t, "2026-11-25")
	h := Handler(s.App, Options{})
	names, own := opinionsOf(s, s.As("D1").Person.ID)
	for _, r := range s.Demo.Records {
		if own[r.ID] || len(names[r.ID]) < 3 {
			continue
		}
		c := newClient(t, s, h, "D1")
		_, sheet := c.do("POST", "/api/records/"+string(r.ID)+"/flap", []byte("{}"), "application/json")
		for _, name := range names[r.ID] {
			if !strings.Contains(sheet, name) {
				t.Errorf("%s: %q does not show under the lifted flap", r.Number, name)
			}
		}
		id := string(s.ID())
		_, sheet = c.do("POST", "/api/records/"+string(r.ID)+"/determinations", []byte(`{"id":"`+id+`","name":"Mycena pura","basis":["description"]}`), "application/json")
		if i := strings.Index(sheet, id); i < 0 || !strings.Contains(sheet[i:i+400], `"independent":false`) {
			t.Errorf("%s: an opinion given after lifting the flap counts as independent: %s", r.Number, sheet)
		}
		return
	}
	t.Fatal("no record of the invented season has three opinions of others")
}

// A name that needs two opinions and has one reaches no recorder and no deposit.
func TestHeldNamesStayOnTheTable(t *testing.T) {
	s := apptest.New(t, "2026-11-25")
	h := Handler(s.App, Options{})
	c := newClient(t, s, h, "R08")
	held := 0
	by := map[trug.ID]map[trug.ID]string{}
	for _, d := range s.Demo.Determinations {
		if by[d.RecordID] == nil {
			by[d.RecordID] = map[trug.ID]string{}
		}
		by[d.RecordID][d.By] = d.Name
	}
	dangerous := map[string]bool{}
	for _, a := range s.Demo.LookAlikes {
		dangerous[a.Name], dangerous[a.TakenFor] = true, true
	}
	for _, r := range s.Demo.Records {
		if len(by[r.ID]) != 1 {
			continue
		}
		for _, name := range by[r.ID] {
			if !dangerous[name] && !dangerous[r.FieldName.Name] || name == r.FieldName.Name {
				continue
			}
			held++
			if s.As("R08").Person.ID == r.RecorderID {
				continue
			}
			if status, sheet := c.do("GET", "/api/records/"+string(r.ID), nil, ""); status == 200 && strings.Contains(sheet, name) {
				t.Errorf("%s: a recorder is told %q on one opinion: %s", r.Number, name, sheet)
			}
		}
	}
	if held < 3 {
		t.Fatalf("only %d finds were looked at", held)
	}
}
