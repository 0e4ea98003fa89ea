package app

import (
	"context"
	"fmt"
	"slices"
	"strings"
	"time"

	"trug"
	"trug/internal/dwca"
	"trug/science/place"
)

// dataset gathers the season as outsiders may see it, ready to be written.
// Everything about a find goes through the locality rule with an outsider as
// the viewer. Free remarks of recorders and who they say named it in the hand
// stay inside the season: they may name people and places.
func (a *App) dataset(ctx context.Context, l *ledger, number int, packageID trug.PublicID) (dwca.Dataset, error) {
	k, err := a.keyOf(ctx, l)
	if err != nil {
		return dwca.Dataset{}, err
	}
	s := l.season
	b := l.box()
	d := dwca.Dataset{Public: s.Public, PackageID: packageID, Number: number, Date: a.today(s), Stamp: a.Clock().UTC().Truncate(time.Second),
		Title: s.Title, Place: s.Place, Box: place.Box{West: place.Degrees(b.West), East: place.Degrees(b.East), North: place.Degrees(b.North), South: place.Degrees(b.South)},
		Abstract: s.Description, Starts: s.Starts, Ends: s.Ends, Zone: s.Zone, Licence: s.Licence, RightsHolder: s.RightsHolder,
		Contact: s.Contact, ContactAddress: s.ContactAddress, Checklist: s.Checklist, BasisOfRecord: s.BasisOfRecord,
		Country: s.Country, BaseURL: a.PublicAddress, Invented: s.Invented}
	for _, y := range l.forays {
		if y.Date <= d.Date {
			d.Forays = append(d.Forays, l.publishedForay(y))
		}
	}
	for _, f := range l.inOrder {
		if !l.whereabouts(Viewer{Season: s.ID}, f).secret {
			d.Finds = append(d.Finds, l.publishedFind(k, f))
		}
	}
	return d, nil
}

func (l *ledger) publishedForay(y trug.Foray) dwca.Foray {
	site := l.sites[y.SiteID]
	out := dwca.Foray{Public: y.Public, Code: y.Code, Name: y.Name, Date: y.Date, Start: y.Start, End: y.End,
		Habitat: strings.Join(site.Habitat, ", "), People: y.People, Leader: l.credit(y.Leader)}
	if at := (trug.When{Date: y.Date, Time: y.Start}).Instant(zone(l.season)); y.Start != "" {
		out.Offset = at.Format("Z07:00")
	}
	out.EndDate, out.Visit = y.EndDate, y.Visit
	if lasts := y.Lasts(zone(l.season)); lasts > 0 {
		out.Minutes = int(lasts.Minutes())
	}
	out.SiteName, out.Place = l.publishedGround(site)
	out.Route, out.Survey = l.routeOf(y), l.surveyOf(y, out)
	return out
}

// credit returns the name under which somebody is published, empty when it
// is withheld.
func (l *ledger) credit(id trug.ID) string { return l.people[id].Published() }

// publishedFind returns a find as it leaves: by the locality rule for an
// outsider, and without a name that has not left the table.
func (l *ledger) publishedFind(k *seasonKey, f *find) dwca.Find {
	w := l.whereabouts(Viewer{Season: l.season.ID}, f)
	out := dwca.Find{Public: f.Public}
	if !f.naming.Held {
		l.publishNames(&out, f, w.withheld)
	} else {
		out.Status = dwca.Status(trug.Naming{})
		out.Withheld = "The name is withheld until two independent opinions have been given."
	}
	if w.withheld {
		l.withhold(&out, w)
		return out
	}
	out.Foray, out.Found = l.forays[f.ForayID].Public, f.Found
	out.Place, out.Locality = w.place, w.words
	if w.square != "" {
		out.Generalisations = fmt.Sprintf("Place given as the square %s of the UTM grid: it lies on private ground.", w.square)
	}
	out.Habitat = strings.Join(l.sites[f.SiteID].Habitat, ", ")
	if c := l.credit(f.RecorderID); c != "" {
		out.RecordedBy = []string{c}
	}
	out.NumberSeen, out.Host = f.NumberSeen, f.Host
	out.Form, out.Substrate, out.Habit = lowerFirst(label("form", f.Form)), lowerFirst(label("substrate", f.Substrate)), lowerFirst(label("habit", f.Habit))
	out.Ripeness, out.Smell, out.SporePrint = lowerFirst(label("ripeness", f.Ripeness)), lowerFirst(label("smell", f.Smell)), lowerFirst(label("spore_print", f.SporePrint))
	k.describe(&out, l, f)
	if f.Voucher != "" {
		// Its number follows the field number, which is not published.
		out.Remarks = "A specimen was kept."
	}
	for _, view := range l.viewsFor(Viewer{Season: l.season.ID}, f) {
		if l.people[f.RecorderID].Refuses(trug.ShowPictures) {
			break
		}
		p := l.photographs[view.PhotographID]
		if p.Unreadable {
			continue // its derivative is a plain grey
		}
		out.Views = append(out.Views, dwca.View{Public: view.Public, Kind: view.Kind, By: l.credit(f.RecorderID), Taken: p.Taken,
			Width: p.Screen.Width, Height: p.Screen.Height, Hash: p.Screen.Hash})
	}
	return out
}

// withhold leaves of a find whose place is withheld the season's area or a square,
// and the month.
func (l *ledger) withhold(out *dwca.Find, w whereabouts) {
	out.Month, out.Locality = w.month, w.words
	out.Generalisations = fmt.Sprintf("Place given as the whole area of the season and date as the month, %s.", w.whose())
	if w.place != nil {
		out.Place = w.place
		out.Generalisations = fmt.Sprintf("Place given as the square %s of the UTM grid and date as the month, %s.", w.square, w.whose())
	} else if area, err := l.season.Area(); err == nil {
		// The middle of the whole area with the radius that holds all of it
		// says where the season is and nothing of the find.
		out.Place = &trug.Place{Position: area.Centroid(), Uncertainty: area.Radius(), Precision: 0.01}
		out.Place.Position.Lat, out.Place.Position.Lon = rounded(out.Place.Position.Lat, 0.01), rounded(out.Place.Position.Lon, 0.01)
		out.Place.Uncertainty += place.PrecisionUncertainty(out.Place.Position.Lat, 0.01)
	}
	says := "Place, day, visit, recorder, photographs, habitat and remarks are withheld to protect the locality; ask the contact of this dataset."
	if w.own {
		says = "Place, day, recorder, photographs, habitat and remarks are withheld: it was found in the recorder's own garden."
	}
	if out.Withheld != "" {
		says = out.Withheld + " " + says
	}
	out.Withheld = says
}

// publishNames adds the current name and every slip.
func (l *ledger) publishNames(out *dwca.Find, f *find, withheld bool) {
	n := f.naming
	out.Name = l.publishedName(n.Taxon, n.Qualifier)
	out.Status = dwca.Status(n)
	if f.FieldName.Name != "" && !withheld {
		out.FieldName = trug.FieldName{Name: f.FieldName.Name}
	}
	for _, d := range n.Counting {
		if c := l.credit(d.By); c != "" {
			out.IdentifiedBy = append(out.IdentifiedBy, c)
		}
		out.DateIdentified = max(out.DateIdentified, d.Date)
	}
	for _, d := range f.slips {
		t, ok := l.list.ByID(d.TaxonID)
		if !ok {
			t = trug.Taxon{Name: d.Name, Rank: d.Rank, Kingdom: n.Taxon.Kingdom}
		}
		slip := dwca.Slip{Public: d.Public, Name: l.publishedName(t, d.Qualifier), By: l.credit(d.By), Date: d.Date, Basis: d.Basis,
			Independent: len(d.Seen) == 0, Remark: d.Remark,
			Current: slices.ContainsFunc(n.Counting, func(c trug.Determination) bool { return c.ID == d.ID })}
		if withheld {
			// A find named on the day it was made would tell the day.
			slip.Date, slip.Remark = d.Date[:7], ""
		}
		out.Slips = append(out.Slips, slip)
	}
	if withheld && out.DateIdentified != "" {
		out.DateIdentified = out.DateIdentified[:7]
	}
}

func (l *ledger) publishedName(t trug.Taxon, q trug.Qualifier) dwca.Name {
	n := dwca.Name{Name: t.Name, Authorship: t.Authorship, Rank: t.Rank, Qualifier: q, Kingdom: t.Kingdom, Family: t.Family}
	if n.Kingdom == "" {
		n.Kingdom = "Fungi"
	}
	return n
}
