package app

import (
	"bytes"
	"encoding/json"
	"testing"

	"trug"
	"trug/internal/paper"
)

// The printed programme names sites that are open to everybody and where to
// meet there; of private ground neither its name nor the way.
func TestTheProgrammeNamesNoPrivateSite(t *testing.T) {
	l := &ledger{season: trug.Season{ID: "season", Place: "Sallow Down"}, people: map[trug.ID]trug.Person{"p": {ID: "p", Name: "Birk"}},
		sites: map[trug.ID]trug.Site{
			"open":    {ID: "open", Name: "Hobbleshaw Hanger", Meeting: "by the lychgate", Road: "lane to the mill", Open: true},
			"private": {ID: "private", Name: "Quillwort's paddock", Meeting: "behind the dairy", Road: "the farm drive"},
		},
		forays: map[trug.ID]trug.Foray{
			"a": {ID: "a", SiteID: "open", Name: "First walk", Date: "2026-10-10", Start: "10:00", Leader: "p"},
			"b": {ID: "b", SiteID: "private", Name: "Second walk", Date: "2026-10-11", Start: "10:00", Leader: "p"},
			"c": {ID: "c", SiteID: "private", Name: "A visit", Date: "2026-10-12", Visit: true},
		}}
	x := l.programme(paper.Sheet{})
	text, err := json.Marshal(x)
	if err != nil {
		t.Fatal(err)
	}
	for _, secret := range []string{"Quillwort", "paddock", "dairy", "farm drive", "A visit"} {
		if bytes.Contains(text, []byte(secret)) {
			t.Errorf("the programme tells %q: %s", secret, text)
		}
	}
	if len(x.Forays) != 2 || x.Forays[0].Site != "Hobbleshaw Hanger" || x.Forays[0].MeetingPoint != "by the lychgate" || x.Forays[1].Name != "Second walk" || x.Forays[1].Leader != "Birk" {
		t.Errorf("the programme: %s", text)
	}
}
