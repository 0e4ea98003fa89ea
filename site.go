package trug

import (
	"trug/science/place"
)

// Site is land that may be visited.
type Site struct {
	ID       ID       `json:"id"`
	Public   PublicID `json:"public"`
	SeasonID ID       `json:"season"`
	// Code is the site's short mark: "S1".
	Code        string         `json:"code"`
	Name        string         `json:"name"`
	Description string         `json:"description,omitempty"`
	Habitat     []string       `json:"habitat,omitempty"`
	Centre      place.Position `json:"centre"`
	// Radius is that of a circle round Centre that holds the site.
	Radius place.Metres `json:"radius"`
	// Outline is the site's edge as rings, as place.NewArea takes them; empty
	// while nobody has drawn it, and then the circle stands for it.
	Outline  [][]place.Position `json:"outline,omitempty"`
	Hectares float64            `json:"hectares,omitempty"`
	Manager  string             `json:"manager,omitempty"`
	// Open is set where anybody may go. What is not open is private ground: of
	// it, and of finds on it, recorders learn who are signed up for a foray there.
	Open bool `json:"open,omitempty"`
	// Permission is what the manager allows; nil while nothing is known.
	Permission *Permission `json:"permission,omitempty"`
	// Hazards are told in words, one each.
	Hazards []string `json:"hazards,omitempty"`
	// Road and Meeting say in words where the nearest road is, for those who
	// must be fetched, and where people meet.
	Road    string `json:"road,omitempty"`
	Meeting string `json:"meeting,omitempty"`
	Rule    string `json:"rule,omitempty"`
	// Assessed is the day on which somebody walked it for the risk sheet, By who.
	Assessed   Date   `json:"assessed,omitempty"`
	AssessedBy string `json:"assessedBy,omitempty"`
}

// Leave is what a permission says about one thing.
type Leave string

// A thing is allowed, barred, or nobody knows; what nobody knows is not done.
const (
	Allowed  Leave = "yes"
	Barred   Leave = "no"
	NotKnown Leave = ""
)

// Permission is what a land manager allows on a site.
type Permission struct {
	// Words are the manager's own, with whatever conditions they set.
	Words string `json:"words,omitempty"`
	// From and Until bound it; an empty end is open, on both sides.
	From  Date `json:"from,omitempty"`
	Until Date `json:"until,omitempty"`
	// Part says in words for which part of the site it holds; empty for all.
	Part string `json:"part,omitempty"`
	// People is how many may come at once; 0 means that nothing was said.
	People int `json:"people,omitempty"`
	// What may be done with fruitbodies.
	Pick Leave `json:"pick,omitempty"`
	Cut  Leave `json:"cut,omitempty"`
	Dig  Leave `json:"dig,omitempty"`
	Take Leave `json:"take,omitempty"`
}

// Covers reports whether the permission holds on the day.
func (p *Permission) Covers(day Date) bool {
	return p != nil && (p.From == "" || p.From <= day) && (p.Until == "" || day <= p.Until)
}

// Area returns the land inside the site's outline, or an error where it has none.
func (s Site) Area() (place.Area, error) { return place.NewArea(s.Outline...) }

// Holds reports whether the spot, as far as it is sure, may lie on the site.
func (s Site) Holds(p Place) bool {
	if len(s.Outline) > 0 {
		if a, err := s.Area(); err == nil && a.Contains(p.Position) {
			return true
		}
	}
	return s.Radius > 0 && place.Distance(s.Centre, p.Position) <= s.Radius+p.Uncertainty
}

// Validate returns all that is wrong with the site by itself, or nil. What is
// wrong with its outline is told by science/place.
func (s Site) Validate() error {
	var f Faults
	if s.Code == "" || len(s.Code) > 12 {
		f.add("code", "%q can't mark a site: use a short mark such as S1", s.Code)
	}
	if s.Name == "" {
		f.add("name", "the site needs a name, such as: Hobbleshaw Hanger")
	}
	if err := s.Centre.Valid(); err != nil {
		f.add("centre", "%v", err)
	} else if s.Radius <= 0 && len(s.Outline) == 0 {
		f.add("outline", "draw the site's outline, or give its middle and a radius in metres that holds it")
	}
	if p := s.Permission; p != nil {
		for _, d := range []struct {
			field string
			day   Date
		}{{"permission.from", p.From}, {"permission.until", p.Until}} {
			if d.day != "" && !d.day.Valid() {
				f.add(d.field, "%q is not a day: write it as 2026-09-26", d.day)
			}
		}
		if p.From != "" && p.Until != "" && p.Until < p.From {
			f.add("permission.until", "the permission ends on %s, before it begins on %s: exchange the two or mend one", p.Until, p.From)
		}
		if p.People < 0 {
			f.add("permission.people", "%d people can't be: give how many may come at once, or leave it blank", p.People)
		}
		for field, l := range map[string]Leave{"permission.pick": p.Pick, "permission.cut": p.Cut, "permission.dig": p.Dig, "permission.take": p.Take} {
			if l != Allowed && l != Barred && l != NotKnown {
				f.add(field, "%q is no answer: use yes, no, or leave it blank for not known", l)
			}
		}
	}
	return f.orNil()
}
