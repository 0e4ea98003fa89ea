package app

import (
	"context"
	"fmt"
	"strings"

	"trug"
	"trug/internal/store"
	"trug/science/place"
)

// ShownDeskSite is a site as the Season desk shows and takes it.
type ShownDeskSite struct {
	ID          trug.ID        `json:"id"`
	Code        string         `json:"code"`
	Name        string         `json:"name"`
	Description string         `json:"description,omitempty"`
	Habitat     []string       `json:"habitat"`
	Lat         float64        `json:"lat"`
	Lon         float64        `json:"lon"`
	Radius      float64        `json:"radius,omitempty" doc:"metres"`
	Outline     [][][2]float64 `json:"outline" doc:"Rings of longitude, latitude; empty while not drawn"`
	Hectares    float64        `json:"hectares,omitempty"`
	Manager     string         `json:"manager,omitempty"`
	// Open is set where anybody may go; else it is private ground, shown to
	// recorders who are signed up for a foray there.
	Open       bool             `json:"open,omitempty"`
	Permission *trug.Permission `json:"permission,omitempty"`
	Hazards    []string         `json:"hazards"`
	Road       string           `json:"road,omitempty"`
	Meeting    string           `json:"meeting,omitempty"`
	Rule       string           `json:"rule,omitempty"`
	Assessed   trug.Date        `json:"assessed,omitempty"`
	AssessedBy string           `json:"assessedBy,omitempty"`
	// Forays and Records count what hangs on the site.
	Forays  int `json:"forays" readOnly:"true"`
	Records int `json:"records" readOnly:"true"`
	// Notes are sentences on what is odd: no outline, a permission that lapses.
	Notes []string `json:"notes" readOnly:"true"`
}

// Site returns a site in full, for the Season desk and for leaders.
func (a *App) Site(ctx context.Context, v Viewer, id trug.ID) (ShownDeskSite, error) {
	l, err := a.open(ctx, v, SeeSites)
	if err != nil {
		return ShownDeskSite{}, err
	}
	s, ok := l.sites[id]
	if !ok {
		return ShownDeskSite{}, trug.Errorf(trug.NotFound, "", "There is no such site in this season.")
	}
	if err := a.noteSites(ctx, l, v, bySitePage, id); err != nil {
		return ShownDeskSite{}, err
	}
	shown := l.shownDeskSite(s)
	shown.Forays, shown.Records = l.foraysOfSites()[id], l.desk.records.get()[id]
	return shown, nil
}

func (l *ledger) shownDeskSite(s trug.Site) ShownDeskSite {
	shown := ShownDeskSite{ID: s.ID, Code: s.Code, Name: s.Name, Description: s.Description, Habitat: notNil(s.Habitat),
		Lat: float64(s.Centre.Lat), Lon: float64(s.Centre.Lon), Radius: float64(s.Radius), Outline: [][][2]float64{}, Hectares: s.Hectares,
		Manager: s.Manager, Open: s.Open, Permission: s.Permission, Hazards: notNil(s.Hazards), Road: s.Road, Meeting: s.Meeting, Rule: s.Rule,
		Assessed: s.Assessed, AssessedBy: s.AssessedBy, Notes: l.siteNotes(s)}
	for _, r := range s.Outline {
		shown.Outline = append(shown.Outline, ring(r))
	}
	return shown
}

// siteNotes says what the coordinator should look at.
func (l *ledger) siteNotes(s trug.Site) []string {
	notes := []string{}
	add := func(format string, args ...any) { notes = append(notes, fmt.Sprintf(format, args...)) }
	switch p := s.Permission; {
	case p == nil:
		add("No permission is known: nothing is asked of people but to look, and no foray should go there.")
	case p.From == "" && p.Until == "":
		add("The permission has no dates: ask until when it holds.")
	case p.Until != "" && p.Until < l.season.Ends:
		add("The permission lapses on %s, before the season ends on %s.", dayWords(p.Until), dayWords(l.season.Ends))
	case p.From > l.season.Starts:
		add("The permission begins on %s, after the season starts on %s.", dayWords(p.From), dayWords(l.season.Starts))
	}
	if len(s.Outline) == 0 {
		add("The outline is not drawn yet: a circle stands for it.")
	}
	if s.Assessed == "" {
		add("Nobody has walked it for the risk sheet yet.")
	}
	if km := l.outsideArea(s.Centre); km > 0 {
		add("Its middle lies %s outside the season's area.", distanceWords(km))
	}
	return notes
}

// SaveSite keeps a site, new or changed.
func (a *App) SaveSite(ctx context.Context, v Viewer, id trug.ID, e ShownDeskSite) (ShownDeskSite, error) {
	l, err := a.open(ctx, v, KeepDesk)
	if err != nil {
		return ShownDeskSite{}, err
	}
	if !id.Valid() {
		return ShownDeskSite{}, badID()
	}
	s := l.sites[id]
	if s.ID == "" {
		s = trug.Site{ID: id, SeasonID: l.season.ID}
		if s.Public, err = a.newPublic(); err != nil {
			return ShownDeskSite{}, err
		}
	}
	if err := fillSite(&s, e); err != nil {
		return ShownDeskSite{}, err
	}
	fault, note, err := a.siteAtSea(ctx, l, s)
	if err != nil {
		return ShownDeskSite{}, err
	}
	if fault != "" {
		return ShownDeskSite{}, trug.Errorf(trug.Invalid, "outline", "%s", fault)
	}
	err = a.write(ctx, func(w store.Writer) error { return store.Put(ctx, w, s, a.author(v), a.Clock()) })
	if err != nil && trug.KindOf(err) == trug.Conflict {
		return ShownDeskSite{}, trug.Errorf(trug.Conflict, "code", "another site has the mark %s already: choose another", s.Code)
	}
	shown := l.shownDeskSite(s)
	if note != "" && l.season.Ground != "" {
		shown.Notes = append(shown.Notes, note)
	}
	return shown, err
}

func fillSite(s *trug.Site, e ShownDeskSite) error {
	s.Code, s.Name, s.Description = strings.TrimSpace(e.Code), strings.TrimSpace(e.Name), strings.TrimSpace(e.Description)
	s.Habitat, s.Hazards = trimmed(e.Habitat), trimmed(e.Hazards)
	s.Centre, s.Radius, s.Hectares = place.Position{Lat: place.Degrees(e.Lat), Lon: place.Degrees(e.Lon)}, place.Metres(e.Radius), e.Hectares
	s.Manager, s.Permission, s.Road, s.Meeting = strings.TrimSpace(e.Manager), e.Permission, strings.TrimSpace(e.Road), strings.TrimSpace(e.Meeting)
	s.Open, s.Rule, s.Assessed, s.AssessedBy = e.Open, strings.TrimSpace(e.Rule), e.Assessed, strings.TrimSpace(e.AssessedBy)
	s.Outline = nil
	if len(e.Outline) > 0 {
		s.Outline = positions(e.Outline)
		for _, f := range place.CheckOutline(s.Outline) {
			if !f.Note {
				return trug.Errorf(trug.Invalid, "outline", "%s", f.Text)
			}
		}
	}
	if len(s.Outline) > 0 {
		area, err := s.Area()
		if err != nil {
			return trug.Errorf(trug.Invalid, "outline", "%v", err)
		}
		s.Centre, s.Radius = area.Centroid(), area.Radius()
		s.Hectares = float64(place.SurfaceOf(s.Outline) / place.Hectare)
	}
	return s.Validate()
}

// trimmed drops blanks around words and words that are blank.
func trimmed(words []string) []string {
	var out []string
	for _, w := range words {
		if w = strings.TrimSpace(w); w != "" {
			out = append(out, w)
		}
	}
	return out
}
