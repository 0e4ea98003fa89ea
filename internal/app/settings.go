package app

import (
	"context"
	"maps"
	"slices"
	"strings"

	"trug"
	"trug/internal/store"
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
	Languages      []string     `json:"languages"`
	// Opened is the day on which recorders were let in; Missing says what
	// keeps the season closed.
	Opened  trug.Date `json:"opened,omitempty" readOnly:"true"`
	Missing []string  `json:"missing" readOnly:"true"`
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
	return Settings{Title: s.Title, Place: s.Place, Description: s.Description, Starts: s.Starts, Ends: s.Ends, Zone: s.Zone, Licence: s.Licence,
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
