// Package demo holds the invented season, Vale of Wimbrel: its people, places,
// finds and opinions as things of package trug, and the photographs of its
// finds, drawn by its sub-package paint. It writes nothing; app does.
//
// The demo's files keep the words outing, underside, section and print; here
// they become foray, underneath, cut and spore print.
package demo

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"slices"
	"sort"
	"strings"
	"time"

	"trug"
	"trug/science/place"
)

// Today is the day on which the demonstration stands unless it is told
// another: the middle of its season.
const Today trug.Date = "2026-10-10"

// Zone is the invented vale's time zone.
const Zone = "Etc/GMT+1"

// offset is that of Zone.
const offset = "-01:00"

// Season is the invented season as far as it has come by a day.
type Season struct {
	Season         trug.Season
	People         []trug.Person
	Sites          []trug.Site
	Forays         []trug.Foray
	Taxa           []trug.Taxon
	LookAlikes     []trug.LookAlike
	Protections    []trug.Protection
	Records        []trug.Record
	Determinations []trug.Determination
	Requests       []trug.Request
	// Cards are the printings of field cards; CardColours is the table of measured
	// colours of the first, a CSV.
	Cards       []trug.CardBatch
	CardColours []byte
	// Ground is the GeoJSON that its maps are drawn on.
	Ground []byte
	// Pictures are the photographs of the records, those that a visitor sees
	// first before the others.
	Pictures []Picture
	// Guests are the people whose entry links are printed: one for each part.
	Guests []trug.Person
	// Whole counts the records of the finished season.
	Whole int
}

// id makes the identifier of a demo thing: always the same, so that loading
// the season twice adds nothing. It has the form of a UUIDv7 of the instant.
func id(at time.Time, parts ...string) trug.ID {
	h := sum(parts...)
	ms := fmt.Sprintf("%012x", at.UnixMilli())
	return trug.ID(ms[:8] + "-" + ms[8:] + "-7" + h[:3] + "-8" + h[3:6] + "-" + h[6:18])
}

// public makes a public identifier; in an invented season it need not be random.
func public(parts ...string) trug.PublicID {
	h := sum(append(parts, "public")...)
	return trug.PublicID(h[:8] + "-" + h[8:12] + "-4" + h[12:15] + "-9" + h[15:18] + "-" + h[18:30])
}

func sum(parts ...string) string {
	s := sha256.Sum256([]byte("Vale of Wimbrel\x00" + strings.Join(parts, "\x00")))
	return hex.EncodeToString(s[:])
}

// begun is when the season's desk was set up.
var begun = time.Date(2026, 9, 1, 9, 0, 0, 0, time.UTC)

// Load returns the season as it stands on the day.
func Load(today trug.Date) Season {
	s := Season{Season: season(), Whole: len(table("records"))}
	ground, err := files.ReadFile("data/ground.geojson")
	if err != nil {
		panic(err)
	}
	s.Ground = ground
	s.people()
	s.cards()
	s.places()
	s.names()
	s.records(today)
	s.determinations(today)
	s.pictures()
	return s
}

func season() trug.Season {
	corner := func(lat, lon place.Degrees) place.Position { return place.Position{Lat: lat, Lon: lon} }
	return trug.Season{
		ID: id(begun, "season"), Public: public("season"), Code: "W26", Title: "Vale of Wimbrel, season of 2026", Place: "Vale of Wimbrel",
		Description: "Fungi, lichens and slime moulds of the Vale of Wimbrel, found on forays and visits in autumn 2026. Every person, place and find of this season is invented.",
		Starts:      "2026-09-26", Ends: "2026-10-25",
		Outline: [][]place.Position{{corner(48.47945, -20.07985), corner(48.47945, -19.8059), corner(48.62088, -19.8059), corner(48.62088, -20.07985)}},
		Zone:    Zone, Licence: trug.CC0, RightsHolder: "Vale of Wimbrel Fungus Foray (invented)", Contact: "Vale of Wimbrel Fungus Foray (invented)",
		Checklist: "Invented checklist of the Vale of Wimbrel, 38 species", BasisOfRecord: "HumanObservation", Invented: true,
		Emergency: "555 0100 (invented)", PoisonCentre: "555 0199 (invented)", Languages: []string{"en", "de", "es", "fr", "hu"}, Opened: "2026-09-20",
		// The season's own records of days to come keep their numbers.
		NumbersFrom: 301, Created: begun,
	}
}

func (s *Season) season() trug.ID { return s.Season.ID }

func (s *Season) people() {
	leads := map[string]bool{}
	for _, r := range table("outings") {
		leads[r["leader_recorder_id"]] = true
	}
	for _, r := range table("recorders") {
		code := r["recorder_id"]
		p := trug.Person{ID: id(begun, code), Public: public(code), SeasonID: s.season(), Code: code, Name: r["full_name"],
			Credit: r["credit_as"], Roles: []trug.Role{trug.RecorderRole}, Created: begun, Consents: consents(r["consent"])}
		if leads[code] {
			p.Roles = append(p.Roles, trug.Leader)
		}
		if code == "R02" {
			p.Roles = append([]trug.Role{trug.Coordinator}, p.Roles...)
		}
		if r["age_group"] == "minor" {
			// Of a child the first name alone is kept.
			p.Minor, p.Guardian = true, id(begun, r["guardian_recorder_id"])
			p.Name, _, _ = strings.Cut(p.Name, " ")
		}
		s.People = append(s.People, p)
	}
	for _, r := range table("determiners") {
		code := r["determiner_id"]
		s.People = append(s.People, trug.Person{ID: id(begun, code), Public: public(code), SeasonID: s.season(), Code: code,
			Name: r["full_name"], Credit: r["full_name"], Roles: []trug.Role{trug.DeterminerRole}, Scope: r["scope"], Groups: r.list("group_codes"),
			Hours: r.number("hours_offered_a_week"), Consents: consents("yes"), Created: begun})
	}
	for _, p := range s.People {
		if p.Code == "R02" || p.Code == "D1" || p.Code == "R08" {
			s.Guests = append(s.Guests, p)
		}
	}
}

// consents are those to name, pictures and letters, all given on one day.
func consents(word string) []trug.Consent {
	how := "on paper"
	if word == "by guardian" {
		how = word
	}
	out := make([]trug.Consent, len(trug.ConsentsAbout))
	for i, about := range trug.ConsentsAbout {
		out[i] = trug.Consent{About: about, Given: "2026-09-20", How: how}
	}
	return out
}

func (s *Season) places() {
	for _, r := range table("sites") {
		code := r["site_id"]
		s.Sites = append(s.Sites, trug.Site{ID: id(begun, code), Public: public(code), SeasonID: s.season(), Code: code, Name: r["site_name"],
			Description: r["description"], Habitat: habitats(r.list("habitat")), Centre: position(r), Radius: place.Metres(r.number("radius_m")),
			Hectares: r.number("area_ha"), Manager: r["land_manager"], Permission: permission(r), Hazards: hazards(r["safety_notes"]), Rule: r["site_rule"],
			Road: r["nearest_road"], Meeting: r["meeting_point"], Assessed: trug.Date(r["walked_on"]), AssessedBy: r["walked_by"], Open: r["ground"] == "open"})
	}
	for _, r := range table("outings") {
		code := r["outing_id"]
		s.Forays = append(s.Forays, trug.Foray{ID: id(begun, code), Public: public(code), SeasonID: s.season(), SiteID: id(begun, r["site_id"]),
			Code: code, Name: r["outing_name"], Date: trug.Date(r["event_date"]), Start: r["start_time"], End: r["end_time"],
			Leader: id(begun, r["leader_recorder_id"]), People: int(r.number("people")), Weather: r["weather"]})
	}
	names := map[string]string{}
	for _, r := range table("species") {
		names[r["species_code"]] = r["scientific_name"]
	}
	for _, r := range table("sensitive_localities") {
		code := r["locality_id"]
		s.Protections = append(s.Protections, trug.Protection{ID: id(begun, code), SeasonID: s.season(), Name: names[r["species_code"]],
			Reason: r["reason"], Category: int(r.number("category"))})
	}
	for _, r := range table("lookalike_traps") {
		code := r["trap_id"]
		a := trug.LookAlike{ID: id(begun, code), SeasonID: s.season(), Name: names[r["species_code"]], TakenFor: names[r["often_named_as_code"]],
			Why: r["why_it_matters"], Settles: r["characters_that_settle_it"]}
		for _, v := range r.list("views_that_settle_it") {
			a.Views = append(a.Views, viewKind(v))
		}
		s.LookAlikes = append(s.LookAlikes, a)
	}
}

// permission reads the demo's words into what may be done. What the words
// leave open is not known, and then nothing asks for it.
func permission(r row) *trug.Permission {
	p := trug.Permission{Words: r["permission"], From: "2026-09-01", Until: "2026-11-30"}
	switch words := r["permission"]; {
	case strings.Contains(words, "no collecting"):
		p.Pick, p.Cut, p.Dig, p.Take = trug.Barred, trug.Barred, trug.Barred, trug.Barred
	case strings.Contains(words, "collecting"):
		p.Pick, p.Cut, p.Take = trug.Allowed, trug.Allowed, trug.Allowed
	}
	if strings.Contains(r["site_rule"], "no digging") {
		p.Dig = trug.Barred
	}
	return &p
}

func hazards(words string) []string {
	list := strings.Split(words, ";")
	for i, h := range list {
		list[i] = strings.TrimSpace(h)
	}
	return list
}

// habitats writes the demo's habitat marks in words.
func habitats(marks []string) []string {
	words := map[string]string{"broadleaf": "broadleaved wood", "meadow": "old pasture", "dune": "dune", "heath": "heath",
		"conifer": "conifer plantation", "wet_wood": "wet wood", "lawn": "lawn", "town": "town park"}
	out := make([]string, len(marks))
	for i, m := range marks {
		out[i] = m
		if w := words[m]; w != "" {
			out[i] = w
		}
	}
	return out
}

func position(r row) place.Position {
	return place.Position{Lat: place.Degrees(r.number("decimal_latitude")), Lon: place.Degrees(r.number("decimal_longitude"))}
}

// viewKind turns a word of the demo's files into ours.
func viewKind(word string) trug.ViewKind {
	switch word {
	case "underside":
		return trug.Underneath
	case "section":
		return trug.Cut
	case "print":
		return trug.SporePrint
	}
	return trug.ViewKind(word)
}

func (s *Season) names() {
	genera := map[string]trug.Taxon{}
	for _, r := range table("species") {
		t := trug.Taxon{ID: id(begun, "taxon", r["scientific_name"]), SeasonID: s.season(), Code: r["species_code"], Name: r["scientific_name"],
			Authorship: r["authorship"], Rank: trug.Species, Family: r["family"], Kingdom: "Fungi", Vernacular: r["vernacular_name_en"], Group: r["form"]}
		if strings.HasPrefix(r["form"], "slime_") {
			t.Kingdom = "Protozoa"
		}
		s.Taxa = append(s.Taxa, t)
		genus := trug.GenusOf(t.Name)
		genera[genus] = trug.Taxon{ID: id(begun, "taxon", genus), SeasonID: s.season(), Name: genus, Rank: trug.Genus, Family: t.Family, Kingdom: t.Kingdom, Group: t.Group}
	}
	for _, t := range genera {
		s.Taxa = append(s.Taxa, t)
	}
	sort.Slice(s.Taxa, func(i, j int) bool { return s.Taxa[i].Name < s.Taxa[j].Name })
}

func (s *Season) records(today trug.Date) {
	for _, r := range table("records") {
		day := trug.Date(r["event_date"])
		if day > today {
			continue
		}
		code := r["record_id"]
		rec := trug.Record{SeasonID: s.season(), Public: public(code), Number: code, RecorderID: id(begun, r["recorder_id"]), SiteID: id(begun, r["site_id"]),
			Found: trug.When{Date: day, Time: r["event_time"], Offset: offset}, FieldName: trug.FieldName{Name: r["field_name"]},
			Form: r["form"], Substrate: r["substrate"], Host: r["host"], Habit: r["habit"], Ripeness: r["ripeness"], Smell: r["smell"],
			NumberSeen: int(r.number("number_seen")), Voucher: r["voucher_number"],
			Place: &trug.Place{Position: position(r), Uncertainty: place.Metres(r.number("coordinate_uncertainty_m")), Precision: 1e-6, Source: trug.FromPhone}}
		if r["outing_id"] != "" {
			rec.ForayID = id(begun, r["outing_id"])
		}
		if r["location_source"] == "map pin" {
			rec.Place.Source = trug.FromPin
		}
		if r["spore_print"] != "none" {
			rec.SporePrint = r["spore_print"]
		}
		rec.Created = rec.Found.Instant(time.UTC)
		rec.ID = id(rec.Created, code)
		s.Records = append(s.Records, rec)
	}
}

// determinations takes the opinions given by the day. The files tell the day
// alone; they are set to the noon of it, one a second in the order of the file.
func (s *Season) determinations(today trug.Date) {
	records := map[string]trug.ID{}
	for _, r := range s.Records {
		records[r.Number] = r.ID
	}
	asks := map[string]trug.ViewKind{"ask for dug-out base": trug.Base, "ask for underside": trug.Underneath}
	for i, r := range table("determinations") {
		day := trug.Date(r["date_identified"])
		record := records[r["record_id"]]
		if day > today || record == "" {
			continue
		}
		at := trug.When{Date: day, Time: "12:00:00", Offset: offset}.Instant(time.UTC).Add(time.Duration(i) * time.Second)
		code := r["determination_id"]
		d := trug.Determination{ID: id(at, code), Public: public(code), SeasonID: s.season(), RecordID: record, By: id(begun, r["determiner_id"]),
			Date: day, Name: r["name_given"], TaxonID: id(begun, "taxon", r["name_given"]), Rank: trug.Rank(r["rank"]),
			Qualifier: trug.Qualifier(r["qualifier"]), Basis: bases(r["basis"]), Created: at}
		if view, ok := asks[r["remark"]]; ok {
			s.Requests = append(s.Requests, trug.Request{ID: id(at, code, "ask"), SeasonID: s.season(), RecordID: record, By: d.By, View: view, Created: at})
		} else {
			d.Remark = r["remark"]
		}
		s.Determinations = append(s.Determinations, d)
	}
	// They are brought in in the order in which they were given.
	slices.SortStableFunc(s.Determinations, func(x, y trug.Determination) int { return x.Created.Compare(y.Created) })
	slices.SortStableFunc(s.Requests, func(x, y trug.Request) int { return x.Created.Compare(y.Created) })
}

// bases reads what a determination rests on from the demo's words.
func bases(words string) []trug.Basis {
	switch words {
	case "photographs and description":
		return []trug.Basis{trug.FromPhotographs, trug.FromDescription}
	case "specimen, macroscopic":
		return []trug.Basis{trug.FromSpecimen}
	case "specimen, microscope":
		return []trug.Basis{trug.FromSpecimen, trug.FromMicroscope}
	}
	return []trug.Basis{trug.Basis(words)}
}
