package apptest

import (
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"testing"
	"time"

	"trug"
	"trug/internal/demo"
	"trug/internal/store"
	"trug/science/place"
)

// Size is how large a season is to be made.
type Size struct {
	Sites, Forays, People int
	// Corners are those of a site's outline; the first site has as many as an
	// outline may sensibly have.
	Corners, FirstCorners int
}

// Whole is the largest season that the Season desk is measured with.
var Whole = Size{Sites: 500, Forays: 5000, People: 50000, Corners: 120, FirstCorners: 10000}

// Big returns an app with the invented season as it stands on the day, and
// sites, forays and people beside its own, up to the size.
func Big(tb testing.TB, day trug.Date, n Size) Season {
	tb.Helper()
	s := New(tb, day)
	if err := Fill(tb.Context(), s.Store, s.Demo.Season, s.Demo, n); err != nil {
		tb.Fatal(err)
	}
	return s
}

// Fill writes as many sites, forays and people into a season as it lacks to
// the size, always the same ones, each as a row with its amendment.
func Fill(ctx context.Context, st store.Store, season trug.Season, d demo.Season, n Size) error {
	f := &filling{season: season, rand: rand.New(rand.NewPCG(1, 2)), at: time.Date(2026, 8, 1, 9, 0, 0, 0, time.UTC)}
	sites, err := f.sites(n.Sites-len(d.Sites), n)
	if err != nil {
		return err
	}
	people := f.people(n.People - len(d.People))
	forays := f.forays(n.Forays-len(d.Forays), sites, people)
	return st.Write(ctx, func(w store.Writer) error {
		if err := putAll(ctx, w, sites, f.at); err != nil {
			return err
		}
		if err := putAll(ctx, w, people, f.at); err != nil {
			return err
		}
		return putAll(ctx, w, forays, f.at)
	})
}

func putAll[T store.Thing](ctx context.Context, w store.Writer, things []T, at time.Time) error {
	for _, thing := range things {
		if err := store.Put(ctx, w, thing, store.Author{Device: "test"}, at); err != nil {
			return err
		}
	}
	return nil
}

type filling struct {
	season trug.Season
	rand   *rand.Rand
	at     time.Time
	made   int64
}

// Read makes rand.Rand the source of identifiers, so that they are always the same.
func (f *filling) Read(p []byte) (int, error) {
	for i := range p {
		p[i] = byte(f.rand.Uint32())
	}
	return len(p), nil
}

func (f *filling) id() trug.ID {
	f.made++
	id, _ := trug.NewID(f.at.Add(time.Duration(f.made)*time.Millisecond), f)
	return id
}

func (f *filling) public() trug.PublicID {
	id, _ := trug.NewPublicID(f)
	return id
}

func pick[T any](f *filling, of []T) T { return of[f.rand.IntN(len(of))] }

var (
	firstNames = []string{"Wren", "Ada", "Jörn", "Maëlle", "Tilda", "Oskar", "Ingrid", "Bram", "Senna", "Pavel", "Noor", "Elif", "Hanne", "Rufus", "Dilys", "Cerys"}
	beginnings = []string{"Ash", "Brack", "Coom", "Dun", "Elm", "Fern", "Gors", "Hazel", "Isk", "Kell", "Lind", "Mar", "Nettle", "Oaken", "Pell", "Quar", "Row", "Sedge", "Thorn", "Ulver", "Wick", "Yar"}
	endings    = []string{"away", "beck", "combe", "dale", "eston", "ford", "garth", "holt", "ing", "ley", "mere", "ner", "over", "ridge", "shaw", "thorpe", "under", "wold"}
	lands      = []string{"Wood", "Hanger", "Pasture", "Heath", "Moss", "Copse", "Common", "Dingle", "Carr", "Quarry"}
	habitats   = []string{"beech wood", "old pasture", "wet alder wood", "heath", "dune slack", "oak wood", "churchyard"}
)

func (f *filling) word() string { return pick(f, beginnings) + pick(f, endings) }

func (f *filling) people(n int) []trug.Person {
	out := make([]trug.Person, 0, max(n, 0))
	for i := range n {
		p := trug.Person{ID: f.id(), Public: f.public(), SeasonID: f.season.ID, Code: fmt.Sprintf("R%05d", i+1001),
			Name: pick(f, firstNames) + " " + f.word(), Roles: []trug.Role{trug.RecorderRole}, Created: f.at}
		p.Credit = p.Name
		switch {
		case i%100 == 0:
			p.Roles = append(p.Roles, trug.Leader)
		case i%250 == 1:
			p.Roles, p.Scope = append(p.Roles, trug.DeterminerRole), "brackets and crusts"
		case i%8 == 3:
			p.Minor, p.Name, p.Credit, p.Guardian = true, pick(f, firstNames), "", out[i-1].ID
		}
		if i%3 == 0 {
			p.Consents = []trug.Consent{{About: trug.ShowName, Given: "2026-09-01", How: "on paper"}}
		}
		out = append(out, p)
	}
	return out
}

func (f *filling) sites(n int, size Size) ([]trug.Site, error) {
	area, err := f.season.Area()
	if err != nil {
		return nil, fmt.Errorf("where the sites are to lie: %w", err)
	}
	b := area.Bounds()
	out := make([]trug.Site, 0, max(n, 0))
	for i := range n {
		s := trug.Site{ID: f.id(), Public: f.public(), SeasonID: f.season.ID, Code: fmt.Sprintf("S%d", i+101), Name: f.word() + " " + pick(f, lands),
			Habitat: []string{pick(f, habitats)}, Manager: f.word() + " Estate", Hazards: []string{"mud: boots", "ticks: look after"},
			Road: "the lane to " + f.word(), Meeting: "the gate by the lay-by", Radius: 400}
		s.Centre = place.Position{Lat: b.South + (b.North-b.South)*place.Degrees(0.03+0.94*f.rand.Float64()), Lon: b.West + (b.East-b.West)*place.Degrees(0.03+0.94*f.rand.Float64())}
		corners := size.Corners
		if i == 0 {
			corners = size.FirstCorners
		}
		if i%10 != 9 {
			s.Outline = [][]place.Position{f.outline(s.Centre, corners)}
		}
		if i%7 != 6 {
			s.Permission = &trug.Permission{From: "2026-09-01", Until: pick(f, []trug.Date{"2026-10-20", "2026-12-31", "2027-01-31"}), People: 20,
				Pick: trug.Allowed, Cut: trug.Allowed, Dig: trug.Barred, Words: "Keep to the paths by the stream."}
		}
		out = append(out, s)
	}
	return out, nil
}

// outline draws a ring round a spot, some 300 m off, with the wobble of a hand.
func (f *filling) outline(c place.Position, corners int) []place.Position {
	ring := make([]place.Position, corners)
	waves, turn := 3+f.rand.IntN(5), f.rand.Float64()*2*math.Pi
	for i := range ring {
		a := 2 * math.Pi * float64(i) / float64(corners)
		r := 0.0027 * (1 + 0.25*math.Sin(float64(waves)*a+turn) + 0.02*math.Sin(37*a) + 0.3/float64(corners)*f.rand.Float64())
		ring[i] = place.Position{Lat: c.Lat + place.Degrees(r*math.Sin(a)), Lon: c.Lon + place.Degrees(1.5*r*math.Cos(a))}
	}
	return ring
}

func (f *filling) forays(n int, sites []trug.Site, people []trug.Person) []trug.Foray {
	out := make([]trug.Foray, 0, max(n, 0))
	first := time.Date(2026, 9, 5, 0, 0, 0, 0, time.UTC)
	for i := range n {
		y := trug.Foray{ID: f.id(), Public: f.public(), SeasonID: f.season.ID, SiteID: pick(f, sites).ID, Code: fmt.Sprintf("F%04d", i+1001),
			Name: f.word() + " again", Date: trug.DateOf(first.AddDate(0, 0, f.rand.IntN(80))), Start: "09:30", End: "12:30", Created: f.at}
		if i%5 == 4 {
			y.Visit, y.Name, y.By = true, "", pick(f, people).ID
		} else if i%11 != 0 {
			y.Leader = people[f.rand.IntN((len(people)+99)/100)*100].ID
		}
		for range f.rand.IntN(12) {
			y.SignedUp = append(y.SignedUp, pick(f, people).ID)
		}
		y.Targets = []string{"Hydnum repandum"}
		out = append(out, y)
	}
	return out
}
