package app

import (
	"context"
	"fmt"
	"maps"
	"slices"
	"strings"

	"golang.org/x/text/language"

	"trug"
	"trug/internal/store"
	"trug/science/place"
)

// Settings are what the coordinator sets for the whole season.
type Settings struct {
	Title          string       `json:"title"`
	Place          string       `json:"place"`
	Description    string       `json:"description,omitempty"`
	Starts         trug.Date    `json:"starts"`
	Ends           trug.Date    `json:"ends"`
	Zone           string       `json:"zone"`
	Licence        trug.Licence `json:"licence"`
	RightsHolder   string       `json:"rightsHolder,omitempty"`
	Contact        string       `json:"contact,omitempty"`
	ContactAddress string       `json:"contactAddress,omitempty"`
	Checklist      string       `json:"checklist,omitempty"`
	Emergency      string       `json:"emergency,omitempty" doc:"Telephone number"`
	PoisonCentre   string       `json:"poisonCentre,omitempty" doc:"Telephone number"`
	Languages      []string     `json:"languages" doc:"RFC 5646 tags, such as en or pt-BR"`
	// Area is the outline of the season's area; left out, it stays as it is.
	Area [][][2]float64 `json:"area,omitempty" doc:"Rings of longitude, latitude"`
	Grid int            `json:"grid,omitempty" enum:"0,100,1000,10000" doc:"Side of the season's squares in metres; 0: 1000"`
	// AreaIsOK keeps a new area although finds or sites lie outside it.
	AreaIsOK bool `json:"areaIsOK,omitempty" writeOnly:"true"`
	// Opened is the day on which recorders were let in; Missing says what
	// keeps the season closed.
	Opened  trug.Date `json:"opened,omitempty" readOnly:"true"`
	Missing []string  `json:"missing" readOnly:"true"`
	// Outside says what of the season lies outside its area, by count.
	Outside  []string `json:"outside" readOnly:"true"`
	Hectares float64  `json:"hectares" readOnly:"true"`
}

// Settings returns the season's settings for the Season desk.
func (a *App) Settings(ctx context.Context, v Viewer) (Settings, error) {
	l, err := a.open(ctx, v, OpenDesk)
	if err != nil {
		return Settings{}, err
	}
	return l.settings(l.season), nil
}

func (l *ledger) settings(s trug.Season) Settings {
	area := [][][2]float64{}
	for _, r := range s.Outline {
		area = append(area, ring(r))
	}
	return Settings{Area: area, Grid: s.GridSide(), Outside: l.outside(s), Hectares: float64(place.SurfaceOf(s.Outline) / place.Hectare), Title: s.Title, Place: s.Place, Description: s.Description, Starts: s.Starts, Ends: s.Ends, Zone: s.Zone, Licence: s.Licence,
		RightsHolder: s.RightsHolder, Contact: s.Contact, ContactAddress: s.ContactAddress, Checklist: s.Checklist, Emergency: s.Emergency,
		PoisonCentre: s.PoisonCentre, Languages: notNil(s.Languages), Opened: s.Opened, Missing: l.keepsClosed(s)}
}

// keepsClosed says what is missing before recorders may come in: an emergency
// number, and one site whose permission covers part of the season.
func (l *ledger) keepsClosed(s trug.Season) []string {
	missing := []string{}
	if strings.TrimSpace(s.Emergency) == "" {
		missing = append(missing, "No emergency number is set: people must know whom to call.")
	}
	permitted := func(x trug.Site) bool {
		p := x.Permission
		return p != nil && (p.From == "" || p.From <= s.Ends) && (p.Until == "" || s.Starts <= p.Until)
	}
	if !slices.ContainsFunc(slices.Collect(maps.Values(l.sites)), permitted) {
		missing = append(missing, "No site has a permission that covers a day of the season.")
	}
	return missing
}

// SaveSettings keeps the season's settings.
func (a *App) SaveSettings(ctx context.Context, v Viewer, e Settings) (Settings, error) {
	l, err := a.open(ctx, v, KeepDesk)
	if err != nil {
		return Settings{}, err
	}
	s := l.season
	s.Title, s.Place, s.Description, s.Starts, s.Ends = strings.TrimSpace(e.Title), strings.TrimSpace(e.Place), strings.TrimSpace(e.Description), e.Starts, e.Ends
	s.Zone, s.Licence, s.RightsHolder, s.Contact = e.Zone, e.Licence, strings.TrimSpace(e.RightsHolder), strings.TrimSpace(e.Contact)
	s.ContactAddress, s.Checklist = strings.TrimSpace(e.ContactAddress), strings.TrimSpace(e.Checklist)
	s.Emergency, s.PoisonCentre, s.Languages = strings.TrimSpace(e.Emergency), strings.TrimSpace(e.PoisonCentre), trimmed(e.Languages)
	s.Grid = e.Grid
	if s.Languages, err = languageTags(s.Languages); err != nil {
		return Settings{}, err
	}
	if err := a.newArea(ctx, l, &s, e); err != nil {
		return Settings{}, err
	}
	if err := s.Validate(); err != nil {
		return Settings{}, err
	}
	if s.Opened != "" && len(l.keepsClosed(s)) > 0 {
		return Settings{}, trug.Errorf(trug.Invalid, "emergency", "the season is open to recorders: the emergency number can be changed, not taken away")
	}
	if err := a.write(ctx, func(w store.Writer) error { return store.Put(ctx, w, s, a.author(v), a.Clock()) }); err != nil {
		return Settings{}, err
	}
	return l.settings(s), nil
}

// newArea takes over the area that was given, if it is another. What then lies
// outside is told first: it is kept, and kept where it is.
func (a *App) newArea(ctx context.Context, l *ledger, s *trug.Season, e Settings) error {
	outline := positions(e.Area)
	if len(outline) == 0 || sameRings(outline, s.Outline) {
		return nil
	}
	for _, f := range place.CheckOutline(outline) {
		// A season may be larger than can be walked.
		if !f.Note && f.Kind != place.TooLarge {
			return trug.Errorf(trug.Invalid, "area", "%s", f.Text)
		}
	}
	fault, _, err := a.atSea(ctx, l, outline)
	if err != nil {
		return err
	}
	if fault != "" {
		return trug.Errorf(trug.Invalid, "area", "%s", fault)
	}
	s.Outline = outline
	if outside := l.outside(*s); len(outside) > 0 && !e.AreaIsOK {
		return trug.Errorf(trug.Invalid, "area", "With this area: %s Nothing is lost, all of it stays where it is. Draw the area anew, or say that it is right.", strings.Join(outside, " "))
	}
	return nil
}

func sameRings(x, y [][]place.Position) bool { return slices.EqualFunc(x, y, slices.Equal) }

// outside says by count what lies outside the area of a season as it would be.
func (l *ledger) outside(s trug.Season) []string {
	out := []string{}
	area, err := s.Area()
	if err != nil {
		return out
	}
	finds, sites := 0, 0
	for _, f := range l.inOrder {
		if f.Place != nil && !area.Contains(f.Place.Position) {
			finds++
		}
	}
	for _, x := range l.sites {
		if !area.Contains(x.Centre) {
			sites++
		}
	}
	if finds > 0 {
		out = append(out, lieOutside(finds, "record")+" They are published as they are.")
	}
	if sites > 0 {
		out = append(out, lieOutside(sites, "site"))
	}
	return out
}

func lieOutside(n int, thing string) string {
	if n == 1 {
		return fmt.Sprintf("One %s lies outside the season's area.", thing)
	}
	return fmt.Sprintf("%s lie outside the season's area.", count(n, thing))
}

// languageTags returns the tags in their usual form, or an error that names
// one that is none.
func languageTags(tags []string) ([]string, error) {
	var out []string
	for _, tag := range tags {
		t, err := language.Parse(tag)
		if err != nil || t == language.Und {
			return nil, trug.Errorf(trug.Invalid, "languages", "%q is no mark of a language: use en, de, pt-BR and the like", tag)
		}
		if !slices.Contains(out, t.String()) {
			out = append(out, t.String())
		}
	}
	return out, nil
}

// OpenSeason lets recorders in. Without an emergency number and one permitted
// site it is refused.
func (a *App) OpenSeason(ctx context.Context, v Viewer) (Settings, error) {
	l, err := a.open(ctx, v, KeepDesk)
	if err != nil {
		return Settings{}, err
	}
	s := l.season
	if missing := l.keepsClosed(s); len(missing) > 0 {
		return Settings{}, trug.Errorf(trug.Invalid, "", "The season can't be opened to recorders yet. %s", strings.Join(missing, " "))
	}
	if s.Opened == "" {
		s.Opened = a.today(s)
		if err := a.write(ctx, func(w store.Writer) error { return store.Put(ctx, w, s, a.author(v), a.Clock()) }); err != nil {
			return Settings{}, err
		}
	}
	return l.settings(s), nil
}

// closedTo returns an error where the season is not open to recorders yet and
// the viewer is nothing more.
func (l *ledger) closedTo(v Viewer) error {
	if l.season.Opened != "" || v.Person == nil || v.has(trug.Coordinator) || v.has(trug.DeterminerRole) || v.has(trug.Leader) {
		return nil
	}
	return trug.Errorf(trug.NotAllowed, "", "%s is not open to recorders yet. Come back when the coordinator says so.", l.season.Title)
}
