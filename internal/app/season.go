package app

import (
	"context"
	"encoding/json"
	"fmt"
	"io"
	"slices"

	"trug"
	"trug/internal/store"
	"trug/science/describe"
	"trug/science/place"
)

// NewSeason is what the set-up page asks for.
type NewSeason struct {
	Code         string       `json:"code"`
	Title        string       `json:"title"`
	Place        string       `json:"place"`
	Description  string       `json:"description,omitempty"`
	Starts       trug.Date    `json:"starts"`
	Ends         trug.Date    `json:"ends"`
	Box          Box          `json:"box"`
	Zone         string       `json:"zone"`
	Licence      trug.Licence `json:"licence"`
	RightsHolder string       `json:"rightsHolder,omitempty"`
	Contact      string       `json:"contact,omitempty"`
	Checklist    string       `json:"checklist,omitempty"`
	// Coordinator is what the first coordinator is called.
	Coordinator string `json:"coordinator"`
}

// CreateSeason makes the store's first season and its coordinator, for whoever
// holds the set-up token.
func (a *App) CreateSeason(ctx context.Context, token string, n NewSeason) (trug.Season, trug.Person, error) {
	open, err := a.SetupOpen(ctx, token)
	if err != nil {
		return trug.Season{}, trug.Person{}, err
	}
	if !open {
		return trug.Season{}, trug.Person{}, trug.Errorf(trug.NotAllowed, "", "A season is set up by the link that the server printed when it started, and only while there is none.")
	}
	corner := func(lat, lon float64) place.Position {
		return place.Position{Lat: place.Degrees(lat), Lon: place.Degrees(lon)}
	}
	s := trug.Season{
		Code: n.Code, Title: n.Title, Place: n.Place, Description: n.Description, Starts: n.Starts, Ends: n.Ends,
		Outline: [][]place.Position{{corner(n.Box.South, n.Box.West), corner(n.Box.South, n.Box.East), corner(n.Box.North, n.Box.East), corner(n.Box.North, n.Box.West)}},
		Zone:    n.Zone, Licence: n.Licence, RightsHolder: n.RightsHolder, Contact: n.Contact, Checklist: n.Checklist,
		BasisOfRecord: "HumanObservation", Created: a.Clock(),
	}
	if n.Box.North <= n.Box.South {
		return s, trug.Person{}, trug.Errorf(trug.Invalid, "box", "the northern edge %g must lie above the southern edge %g: exchange them", n.Box.North, n.Box.South)
	}
	p := trug.Person{Name: n.Coordinator, Credit: n.Coordinator, Roles: []trug.Role{trug.Coordinator, trug.DeterminerRole, trug.RecorderRole}, Created: a.Clock()}
	if s.RightsHolder == "" {
		s.RightsHolder = n.Coordinator
	}
	if s.Contact == "" {
		s.Contact = n.Coordinator
	}
	if err := s.Validate(); err != nil {
		return s, p, err
	}
	if p.Name == "" {
		return s, p, trug.Errorf(trug.Invalid, "coordinator", "say what you are called; a first name is enough")
	}
	if s.ID, err = a.newID(); err != nil {
		return s, p, err
	}
	if s.Public, err = a.newPublic(); err != nil {
		return s, p, err
	}
	p.SeasonID = s.ID
	if err := a.stampPerson(&p); err != nil {
		return s, p, err
	}
	by := store.Author{Person: p.ID, Device: a.Device}
	return s, p, a.write(ctx, func(w store.Writer) error {
		// Two people may hold the set-up link: the second finds it closed.
		seasons, err := store.List[trug.Season](ctx, w, store.Filter{})
		if err != nil {
			return err
		}
		if len(seasons) > 0 {
			return trug.Errorf(trug.Conflict, "", "Somebody has just set up the season %q here.", seasons[0].Title)
		}
		if err := store.Put(ctx, w, s, by, a.Clock()); err != nil {
			return err
		}
		return store.Put(ctx, w, p, by, a.Clock())
	})
}

// Seasons returns the seasons of the store, oldest first. It is for the
// command line, which stands beside the data.
func (a *App) Seasons(ctx context.Context) ([]trug.Season, error) {
	var list []trug.Season
	err := a.Store.Read(ctx, func(r store.Reader) (err error) {
		list, err = store.List[trug.Season](ctx, r, store.Filter{})
		return err
	})
	return list, err
}

// SeasonByCode returns the season with the code; without a code the only one.
func (a *App) SeasonByCode(ctx context.Context, code string) (trug.Season, error) {
	seasons, err := a.Seasons(ctx)
	if err != nil {
		return trug.Season{}, err
	}
	codes := ""
	for _, s := range seasons {
		if s.Code == code || code == "" && len(seasons) == 1 {
			return s, nil
		}
		codes += " " + s.Code
	}
	if len(seasons) == 0 {
		return trug.Season{}, trug.Errorf(trug.NotFound, "", "there is no season in this folder yet: run trug serve and set one up, or trug demo")
	}
	return trug.Season{}, trug.Errorf(trug.NotFound, code, "there is no season of this code here; there are:%s", codes)
}

// Season returns the viewer's season as they may know it.
func (a *App) Season(ctx context.Context, v Viewer) (ShownSeason, error) {
	if v.Season == "" {
		return ShownSeason{}, trug.Errorf(trug.NotFound, "", "There is no season here yet. Whoever started the server sets one up by the link it printed.")
	}
	l, err := a.open(ctx, v, SeeSeason)
	if err != nil {
		return ShownSeason{}, err
	}
	s := l.season
	shown := ShownSeason{Code: s.Code, Title: s.Title, Place: s.Place, Description: s.Description, Starts: s.Starts, Ends: s.Ends,
		Today: a.today(s), Licence: s.Licence, Zone: s.Zone, HasGround: s.Ground != "", Invented: s.Invented, Choices: choices(), Box: l.box(), Grid: s.GridSide()}
	if v.Person != nil {
		shown.Me = &ShownMe{ID: v.Person.ID, Name: v.Person.Name, Roles: v.Person.Roles, Places: places(v), By: v.By}
		shown.Me.Returns, err = a.returns(ctx, v)
	}
	return shown, err
}

// places lists the places of the web app that the viewer may open.
func places(v Viewer) []string {
	var list []string
	for _, p := range []struct {
		name   string
		action Action
	}{{"table", PutName}, {"daybook", OpenDaybook}, {"book", OpenBook}, {"table", OpenTable}, {"squares", OpenSquares}, {"deposits", SeeDeposits}, {"desk", OpenDesk}} {
		// Who neither records nor leads keeps no Daybook.
		if p.name == "daybook" && !v.has(trug.RecorderRole) && !v.has(trug.Leader) {
			continue
		}
		// A leader finds their forays at the desk.
		if slices.Contains(list, p.name) {
			continue // for who names finds the table is the first place, for others one among many
		}
		if v.May(p.action) || p.name == "desk" && v.May(KeepForay) {
			list = append(list, p.name)
		}
	}
	return list
}

// box returns the rectangle round the season's area.
func (l *ledger) box() Box {
	area, err := l.season.Area()
	if err != nil {
		return Box{}
	}
	b := area.Bounds()
	return Box{West: float64(b.West), East: float64(b.East), North: float64(b.North), South: float64(b.South)}
}

func choices() Choices {
	list := func(character string) []Choice {
		states := describe.States(character)
		out := make([]Choice, len(states))
		for i, s := range states {
			out[i] = Choice{State: s.Name, Label: s.Label, Says: s.Says}
		}
		return out
	}
	out := Choices{Form: list("form"), Substrate: list("substrate"), Habit: list("habit"), Ripeness: list("ripeness"),
		Smell: list("smell"), SporePrint: list("spore_print")}
	for i, c := range out.Form {
		out.Form[i].Views = trug.Wanted(c.State)
	}
	return out
}

// Ground returns the GeoJSON on which the season's maps are drawn, an empty
// collection when it has none.
func (a *App) Ground(ctx context.Context, v Viewer) ([]byte, error) {
	l, err := a.open(ctx, v, SeeGround)
	if err != nil {
		return nil, err
	}
	if l.season.Ground == "" {
		return []byte(`{"type":"FeatureCollection","features":[]}`), nil
	}
	f, err := a.Blobs.Open(ctx, l.season.Ground)
	if err != nil {
		return nil, fmt.Errorf("open the ground: %w", err)
	}
	defer f.Close()
	ground, err := io.ReadAll(f)
	if err != nil {
		return nil, err
	}
	return l.groundFor(v, ground)
}

// groundFor leaves out of a map what bears the name of private ground that the
// viewer does not know: its outline would tell where it is.
func (l *ledger) groundFor(v Viewer, ground []byte) ([]byte, error) {
	unknown := map[string]bool{}
	for _, s := range l.sites {
		if !l.knows(v, s.ID) {
			unknown[s.Name] = true
		}
	}
	if len(unknown) == 0 {
		return ground, nil
	}
	var collection struct {
		Type     string            `json:"type"`
		Features []json.RawMessage `json:"features"`
	}
	if err := json.Unmarshal(ground, &collection); err != nil {
		return nil, fmt.Errorf("read the ground: %w", err)
	}
	collection.Features = slices.DeleteFunc(collection.Features, func(feature json.RawMessage) bool {
		var f struct {
			Properties struct {
				Name string `json:"name"`
			} `json:"properties"`
		}
		return json.Unmarshal(feature, &f) != nil || unknown[f.Properties.Name]
	})
	return json.Marshal(collection)
}
