package demo

import (
	"bytes"
	"testing"
	"time"

	"trug"
	"trug/internal/demo/paint"
	"trug/science/card"
	"trug/science/truecolour"
)

// The counts that the invented season's own README gives.
func TestSeasonIsWhole(t *testing.T) {
	s := Load("2026-11-25")
	for _, c := range []struct {
		what      string
		got, want int
	}{{"records", len(s.Records), 242}, {"determinations", len(s.Determinations), 337}, {"people", len(s.People), 24 + 5}, {"sites", len(s.Sites), 6},
		{"forays", len(s.Forays), 14}, {"look-alikes", len(s.LookAlikes), 4}, {"protections", len(s.Protections), 3}, {"guests", len(s.Guests), 3}} {
		if c.got != c.want {
			t.Errorf("%d %s, want %d", c.got, c.what, c.want)
		}
	}
	species, four := 0, 0
	for _, x := range s.Taxa {
		if x.Rank == trug.Species {
			species++
		}
	}
	views := map[trug.ID]map[trug.ViewKind]bool{}
	for _, p := range s.Pictures {
		if views[p.RecordID] == nil {
			views[p.RecordID] = map[trug.ViewKind]bool{}
		}
		views[p.RecordID][p.Kind] = true
	}
	for _, v := range views {
		if v[trug.Top] && v[trug.Side] && v[trug.Underneath] && v[trug.Surroundings] {
			four++
		}
	}
	if species != 38 || four != 143 {
		t.Errorf("%d species and %d records with the four views, the README has 38 and 143", species, four)
	}
}

func TestEveryThingIsSound(t *testing.T) {
	s := Load("2026-11-25")
	ids := map[trug.ID]bool{}
	sound := func(what string, id trug.ID, public trug.PublicID, err error) {
		if !id.Valid() || ids[id] {
			t.Errorf("%s: identifier %q is not its own UUIDv7", what, id)
		}
		if public != "" && !public.Valid() {
			t.Errorf("%s: public identifier %q is no UUIDv4", what, public)
		}
		if err != nil {
			t.Errorf("%s: %v", what, err)
		}
		ids[id] = true
	}
	sound("season", s.Season.ID, s.Season.Public, s.Season.Validate())
	for _, p := range s.People {
		sound(p.Code, p.ID, p.Public, p.Validate())
		if p.Minor && (p.Credit == p.Name || p.Guardian == "") {
			t.Errorf("%s: a child is credited by name or has no adult", p.Code)
		}
	}
	area, err := s.Season.Area()
	if err != nil {
		t.Fatal(err)
	}
	for _, r := range s.Records {
		sound(r.Number, r.ID, r.Public, r.Validate())
		if !area.Contains(r.Place.Position) {
			t.Errorf("%s lies outside the season's area", r.Number)
		}
		if !ids[r.RecorderID] {
			t.Errorf("%s has no recorder", r.Number)
		}
	}
	for _, d := range s.Determinations {
		sound("determination of "+d.Name, d.ID, d.Public, d.Validate())
	}
	for _, c := range s.Cards {
		sound(c.Layout, c.ID, "", c.Validate())
	}
	layout, err := card.LayoutByID(s.Cards[0].Layout)
	if err != nil {
		t.Fatal(err)
	}
	if ref, err := truecolour.ReadReference(bytes.NewReader(s.CardColours), layout); err != nil || len(ref.Lab) != s.Cards[0].Colours.Patches+1 || ref.Lab["paper"].L < 90 {
		t.Errorf("the table of the card's colours: %+v, %v", ref, err)
	}
	for _, p := range s.Pictures {
		sound(p.FileName, p.ViewID, p.Public, nil)
		if !p.Kind.Valid() {
			t.Errorf("%s: no view is called %q", p.FileName, p.Kind)
		}
	}
}

// A season of an earlier day is part of that of a later one, things and
// identifiers alike.
func TestSeasonGrows(t *testing.T) {
	early, late := Load("2026-10-10"), Load("2026-10-11")
	if len(early.Records) != 122 {
		t.Errorf("%d records by 10 October; the files have 122", len(early.Records))
	}
	in := map[trug.ID]trug.Record{}
	for _, r := range late.Records {
		in[r.ID] = r
	}
	for _, r := range early.Records {
		if in[r.ID].Number != r.Number {
			t.Errorf("%s is another record a day later", r.Number)
		}
		if r.Found.Date > "2026-10-10" {
			t.Errorf("%s was found on a day to come", r.Number)
		}
	}
	for _, d := range early.Determinations {
		if d.Date > "2026-10-10" || d.Created.After(time.Date(2026, 10, 10, 18, 0, 0, 0, time.UTC)) {
			t.Errorf("an opinion of %s is given too early", d.Date)
		}
	}
	waiting := early.Pictures[0]
	for _, d := range early.Determinations {
		if d.RecordID == waiting.RecordID {
			t.Error("the first photograph drawn is not of a find that waits for a name")
		}
	}
}

// The painter is given the true size, never the recorder's reading of it.
func TestPicturesAreOfTrueSize(t *testing.T) {
	truth := by(table("truth"), "record_id")
	lines := by(table("records"), "record_id")
	numbers := map[trug.ID]string{}
	s := Load("2026-11-25")
	for _, r := range s.Records {
		numbers[r.ID] = r.Number
	}
	differ := 0
	for _, p := range s.Pictures {
		n := numbers[p.RecordID]
		if p.find.WidthMM != truth[n].number("true_width_mm") {
			t.Fatalf("%s is drawn %v mm wide, truly %v", n, p.find.WidthMM, truth[n].number("true_width_mm"))
		}
		if p.find.WidthMM != lines[n].number("width_mm") {
			differ++
		}
		if p.shot.View == paint.Surroundings && p.shot.Card {
			t.Errorf("%s: a card lies in the surroundings", n)
		}
	}
	if differ == 0 {
		t.Error("true and read sizes are the same: the test says nothing")
	}
}
