package app

import (
	"context"
	"fmt"
	"math"
	"slices"
	"time"

	"trug"
	"trug/science/place"
	"trug/science/said"
)

// protects returns the protection that a find falls under: of its current
// name, of any opinion ever given, or of its field name. One open slip would
// undo the rest; of several rules the strictest holds.
func protects(f *find, list *trug.Checklist) *trug.Protection {
	var all *trug.Protection
	for _, name := range f.names() {
		if p, ok := list.Protects(name); ok {
			if all != nil {
				p = all.And(p)
			}
			all = &p
		}
	}
	return all
}

// names returns every name that was ever given to the find.
func (f *find) names() []string {
	names := []string{f.naming.Taxon.Name, f.FieldName.Name}
	for _, d := range f.slips {
		names = append(names, d.Name)
	}
	return names
}

// whereabouts is what somebody may learn of where, when and by whom a find
// was made. Only the locality rule makes one.
type whereabouts struct {
	// withheld is set when they learn at most the season's area or a square,
	// and the month: no foray, time, photograph, field number, recorder or habitat.
	withheld bool
	// secret is set when they do not learn that there is such a find.
	secret bool
	// place is nil where the season's area is all that is told, or nobody said.
	place *trug.Place
	words string
	// square names the square that is told in place of the spot.
	square string
	// own is set where it is withheld at its recorder's wish, not at the coordinator's decision.
	own   bool
	found trug.When
	month string // "2026-10", set when withheld
}

// whereabouts is the locality rule, the one place where it is decided what of
// a place is shown to whom. A protected find is exact for coordinators,
// determiners and its own recorder; everybody else learns what the rule of its
// name tells: nothing, the season's area or a square of the grid, and the month.
// A find on private ground is not there for whoever came in and does not know
// the site; outsiders, and deposits, see the square of 1 km that holds it, and
// not what the ground is called. A find in its recorder's own garden is kept like
// a protected one: outsiders see a square of 10 km and the month.
func (l *ledger) whereabouts(v Viewer, f *find) whereabouts {
	if v.Person != nil && !v.is(f.RecorderID) && !l.knows(v, f.SiteID) {
		return whereabouts{withheld: true, words: l.season.Place, month: string(f.Found.Date[:7])}
	}
	if (f.protection != nil || f.Garden) && !v.has(trug.Coordinator) && !v.has(trug.DeterminerRole) && !v.is(f.RecorderID) {
		return l.withheldPlace(f)
	}
	if !l.knows(v, f.SiteID) && !v.is(f.RecorderID) {
		w := whereabouts{words: l.season.Place, found: f.Found}
		if f.Place != nil {
			w.place, w.square = coarse(*f.Place, privateSide)
		}
		return w
	}
	words := l.sites[l.siteFor(v, f.SiteID)].Name
	if words == "" {
		words = l.season.Place
	}
	return whereabouts{place: f.Place, words: words, found: f.Found}
}

// withheldPlace is what is told of a protected find, or of one in its recorder's
// garden, to those who may not know where it stands. Of both the coarser holds.
func (l *ledger) withheldPlace(f *find) whereabouts {
	w := whereabouts{withheld: true, words: l.season.Place, month: string(f.Found.Date[:7])}
	side := gardenSide
	if f.protection == nil {
		w.own = true
	} else {
		w.secret = f.protection.Tells == trug.TellNothing
		if tells := f.protection.Tells.Side(); tells == 0 || !f.Garden {
			side = tells
		}
	}
	if side > 0 && f.Place != nil {
		w.place, w.square = coarse(*f.Place, side)
	}
	return w
}

// gardenSide is the square in which outsiders see what was found in somebody's
// own garden: with the name under which its recorder is published, a smaller one
// would tell in the country where they live (our own judgement).
const gardenSide place.Metres = 10_000

// whose says by whom a place is withheld, in a deposit's words.
func (w whereabouts) whose() string {
	if w.own {
		return "at the recorder's wish"
	}
	return "at the coordinator's decision"
}

// privateSide is the square in which outsiders see what was found on private
// ground: large enough to hold more than one farm (common practice, no source).
const privateSide place.Metres = 1000

// publishedGround returns where a foray was as outsiders may know it: the name
// and the circle of an open site; of private ground the square of its middle.
func (l *ledger) publishedGround(site trug.Site) (name string, at *trug.Place) {
	if site.Radius > 0 {
		at = &trug.Place{Position: site.Centre, Uncertainty: site.Radius}
	}
	if l.knows(Viewer{Season: l.season.ID}, site.ID) {
		return site.Name, at
	}
	if at != nil {
		at, _ = coarse(*at, privateSide)
	}
	return "", at
}

// coarse returns the square of the grid that holds a spot as a place: its
// middle, with a circle that holds the whole square and what may lie beside it.
// A spot that is not known to half a side gets a larger square, above 10 km
// none: its own uncertainty, which may be that of a site, must not be told.
func coarse(p trug.Place, side place.Metres) (*trug.Place, string) {
	for ; side <= 10_000; side *= 10 {
		if p.Uncertainty > side/2 {
			continue
		}
		sq, err := place.SquareOf(p.Position, side)
		if err != nil {
			return nil, ""
		}
		const step = 0.0001 // degrees
		at := place.Position{Lat: rounded(sq.Centre().Lat, step), Lon: rounded(sq.Centre().Lon, step)}
		return &trug.Place{Position: at, Precision: step, Uncertainty: sq.Uncertainty() + side/2 + place.PrecisionUncertainty(at.Lat, step)}, sq.Name()
	}
	return nil, ""
}

// rounded returns an angle to the nearest step.
func rounded(d, step place.Degrees) place.Degrees {
	return place.Degrees(math.Round(float64(d/step)) / math.Round(1/float64(step)))
}

// outsideWords says what outsiders learn of where and when a protected find was made.
func (l *ledger) outsideWords(f *find) said.Sentence {
	w := l.whereabouts(Viewer{Season: l.season.ID}, f)
	switch {
	case w.secret:
		return said.As("Outsiders do not learn of this find")
	case w.square != "":
		return said.As("Outsiders see the square {square} of the map grid, {month}, and no more", "square", w.square, "month", said.Day{Day: w.month})
	default:
		return said.As("Outsiders see {place}, {month}, and no more", "place", l.season.Place, "month", said.Day{Day: w.month})
	}
}

// knows reports whether somebody who came in may know of a site: what is open
// to everybody, and private ground where they, or the adult they are with, are
// signed up for a foray or lead one. Whoever came by invitation knows every
// site. A guessed field code opens nothing more than what is open.
func (l *ledger) knows(v Viewer, id trug.ID) bool {
	s, ok := l.sites[id]
	if !ok || s.Open || v.has(trug.Coordinator) || v.has(trug.DeterminerRole) || v.has(trug.Leader) {
		return true
	}
	if v.Person == nil {
		return false
	}
	for _, y := range l.forays {
		if y.SiteID == id && (signedUp(v.Person.ID, y) || v.Person.Guardian != "" && signedUp(v.Person.Guardian, y)) {
			return true
		}
	}
	return false
}

func signedUp(person trug.ID, y trug.Foray) bool {
	return slices.Contains(y.SignedUp, person) || y.Leader == person
}

// siteFor returns the site as the viewer may know it: the identifier, empty
// where they may not.
func (l *ledger) siteFor(v Viewer, id trug.ID) trug.ID {
	if !l.knows(v, id) {
		return ""
	}
	return id
}

// visible reports whether the viewer may know that the find exists. A
// protected find of somebody else's is not there for those who may not know
// its place: a line without a place, among numbered lines, would tell it.
func (l *ledger) visible(v Viewer, f *find) bool {
	return f.Withdrawn.IsZero() && !l.whereabouts(v, f).withheld
}

// showPlace writes a place for the viewer. No handler, exporter, tile or log
// formats a coordinate by other means.
func (l *ledger) showPlace(v Viewer, f *find) ShownPlace {
	w := l.whereabouts(v, f)
	shown := ShownPlace{Words: w.words}
	if f.protection != nil {
		shown.Protected = true
		shown.say(said.As("{outside}: decided by the coordinator. {reason}.", "outside", l.outsideWords(f), "reason", sentence(f.protection.Reason)))
	}
	if w.withheld {
		if w.own {
			shown.say(said.As("Place withheld at the recorder's wish."))
			return shown
		}
		shown.say(said.As("Place withheld at the coordinator's decision."))
		return shown
	}
	if f.Garden {
		shown.Garden = true
		if f.protection == nil {
			shown.say(said.As("The recorder's own garden: only they, determiners and the coordinator see where it is. {outside}.", "outside", l.outsideWords(f)))
		}
	}
	if w.place != nil {
		writePosition(&shown, *w.place)
	}
	return shown
}

// say says what others see of the place.
func (p *ShownPlace) say(s said.Sentence) {
	p.Says = s.String()
	p.Said.Put("says", s)
}

// writePosition fills in the notations of a place that may be shown.
func writePosition(shown *ShownPlace, p trug.Place) {
	shown.Known = true
	precision := p.Precision
	if precision == 0 {
		precision = 1e-6
	}
	shown.Lat, shown.Lon = float64(p.Position.Lat), float64(p.Position.Lon)
	shown.Decimal = place.FormatDecimal(p.Position, precision)
	shown.DMS = place.FormatDMS(p.Position, precision)
	shown.Uncertainty = float64(p.Uncertainty)
	if u, _, err := place.ToUTM(p.Position); err == nil {
		shown.Square = fmt.Sprintf("%s %06.0f %07.0f", zoneName(p.Position, u), float64(u.Easting), float64(u.Northing))
	}
	source := map[trug.PlaceSource]said.Words{
		trug.FromCamera: "from the camera", trug.FromPhone: "from the phone",
		trug.FromPin: "pin on the map", trug.FromText: "typed in", trug.FromSite: "the middle of the site",
	}[p.Source]
	shown.Source = string(source)
	shown.Said.Put("source", said.As(source))
}

// SiteEdge is a site as the map of all sites draws it: with its outline in
// rough, or the circle that stands for it.
type SiteEdge struct {
	ID      trug.ID        `json:"id"`
	Code    string         `json:"code"`
	Name    string         `json:"name"`
	Lat     float64        `json:"lat"`
	Lon     float64        `json:"lon"`
	Radius  float64        `json:"radius,omitempty" doc:"metres"`
	Outline [][][2]float64 `json:"outline" doc:"Rings of longitude, latitude, simplified to a fiftieth of the radius"`
	Odd     bool           `json:"odd" doc:"There is something to look at"`
}

// SiteEdges returns what the map of all sites draws, for those who may see the
// sites and nobody else: land is private, and where it lies tells of what was
// found on it.
func (a *App) SiteEdges(ctx context.Context, v Viewer, q DeskQuery) ([]SiteEdge, error) {
	l, err := a.open(ctx, v, SeeSites)
	if err != nil {
		return nil, err
	}
	if err := q.check(nil, []string{"notes"}); err != nil {
		return nil, err
	}
	out, ids := []SiteEdge{}, []trug.ID{}
	for _, s := range l.sitesAnswering(q) {
		e := SiteEdge{ID: s.ID, Code: s.Code, Name: s.Name, Lat: metreOf(s.Centre.Lat), Lon: metreOf(s.Centre.Lon), Radius: math.Round(float64(s.Radius)),
			Outline: [][][2]float64{}, Odd: len(s.notes) > 0}
		for _, r := range s.edge() {
			points := ring(r)
			for i, p := range points {
				points[i] = [2]float64{metreOf(place.Degrees(p[0])), metreOf(place.Degrees(p[1]))}
			}
			e.Outline = append(e.Outline, points)
		}
		out, ids = append(out, e), append(ids, s.ID)
	}
	return out, a.noteSites(ctx, l, v, bySiteMap, ids...)
}

// metreOf rounds a coordinate to a metre or so: a map of all sites shows no less.
func metreOf(d place.Degrees) float64 { return math.Round(float64(d)*1e5) / 1e5 }

// zoneName writes the zone with its band, "27U".
func zoneName(p place.Position, u place.UTM) string {
	if s, err := place.SquareOf(p, 1000); err == nil {
		name := s.Name()
		for i := range name {
			if name[i] == ' ' {
				return name[:i]
			}
		}
	}
	return fmt.Sprint(u.Zone)
}

// outsideArea returns how far a place lies outside the season's area in
// kilometres, 0 when inside.
func (l *ledger) outsideArea(p place.Position) float64 {
	area, err := l.season.Area()
	if err != nil || area.Contains(p) {
		return 0
	}
	nearest := math.Inf(1)
	for _, ring := range l.season.Outline {
		for i, from := range ring {
			to := ring[(i+1)%len(ring)]
			for k := range 33 {
				t := place.Degrees(k) / 32
				q := place.Position{Lat: from.Lat + t*(to.Lat-from.Lat), Lon: from.Lon + t*(to.Lon-from.Lon)}
				nearest = min(nearest, float64(place.Distance(p, q)))
			}
		}
	}
	return max(nearest/1000, 0.001)
}

// monthWords writes "2026-10" as "October 2026".
func monthWords(month string) string {
	t, err := time.Parse("2006-01", month)
	if err != nil {
		return month
	}
	return t.Format("January 2006")
}
