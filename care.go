package trug

import (
	"slices"
	"strings"
	"time"

	"trug/science/place"
)

// LookAlike says that one name is taken for another and that at least one of
// them is dangerous: finds that bear either need two independent opinions.
type LookAlike struct {
	ID       ID `json:"id"`
	SeasonID ID `json:"season"`
	// Name and TakenFor are scientific names without authorship.
	Name     string `json:"name"`
	TakenFor string `json:"takenFor"`
	Why      string `json:"why"`
	// SettledBy lists the views, and says the characters, that tell them apart.
	Views   []ViewKind `json:"views,omitempty"`
	Settles string     `json:"settles,omitempty"`
	// Removed is when it was taken off the list; zero while it stands there.
	Removed time.Time `json:"removed,omitzero"`
}

// Protection keeps the localities of one name from outsiders, by a rule of its own.
type Protection struct {
	ID       ID `json:"id"`
	SeasonID ID `json:"season"`
	// Name is the scientific name without authorship.
	Name   string `json:"name"`
	Reason string `json:"reason"`
	// Category is that of the standing guide to sensitive species data: 1
	// (extreme) to 4 (low).
	Category int `json:"category"`
	// Tells is how much of where and when outsiders learn.
	Tells Telling `json:"tells,omitempty"`
	// Touch is set where people may be asked to pick, cut, dig or keep it as
	// far as the site allows; else it is looked at and left as it is.
	Touch bool `json:"touch,omitempty"`
	// Removed is when it was taken off the list; zero while it stands there.
	Removed time.Time `json:"removed,omitzero"`
}

// Telling is how much of the place of a protected find leaves the season. The
// day never does: the day tells the foray, and the foray the site.
type Telling string

// From nothing at all to a square of the map grid. Squares are those of the
// grid, never shifted by chance, so that two finds of one spot tell no more
// than one.
const (
	TellNothing    Telling = "nothing" // the find is not published
	TellArea       Telling = ""        // the season's area and the month
	TellSquare10km Telling = "10 km"   // the square of 10 km and the month
	TellSquare1km  Telling = "1 km"    // the square of 1 km and the month
)

// Tellings lists them, the strictest first.
var Tellings = []Telling{TellNothing, TellArea, TellSquare10km, TellSquare1km}

// Side returns the side of the square that is told, 0 where none is.
func (t Telling) Side() place.Metres {
	switch t {
	case TellSquare10km:
		return 10_000
	case TellSquare1km:
		return 1000
	}
	return 0
}

// And returns the protection of a find that falls under both: the stricter
// rule for its place, and it is touched only where both allow it.
func (p Protection) And(q Protection) Protection {
	strict, other := p, q
	if slices.Index(Tellings, q.Tells) < slices.Index(Tellings, p.Tells) {
		strict, other = q, p
	}
	strict.Touch = strict.Touch && other.Touch
	return strict
}

// Validate returns all that is wrong with the protection by itself, or nil.
func (p Protection) Validate() error {
	var f Faults
	if p.Name == "" {
		f.add("name", "say which name is protected, such as: Hericium erinaceus")
	}
	if p.Category < 1 || p.Category > 4 {
		f.add("category", "%d is no category: use 1 (extreme), 2 (high), 3 (medium) or 4 (low)", p.Category)
	}
	if strings.TrimSpace(p.Reason) == "" {
		f.add("reason", "say why its places are protected: outsiders are told who decided, not why")
	}
	if !slices.Contains(Tellings, p.Tells) {
		f.add("tells", "%q is no rule for its place: use nothing, 10 km, 1 km, or area for the season's area (blank means the same)", p.Tells)
	}
	return f.orNil()
}

// Validate returns all that is wrong with the pair by itself, or nil.
func (a LookAlike) Validate() error {
	var f Faults
	if a.Name == "" || a.TakenFor == "" {
		f.add("name", "a pair has two names: the one, and the one that it is taken for")
	} else if a.Name == a.TakenFor {
		f.add("takenFor", "%s can't be taken for itself: give the other name", a.Name)
	}
	for _, v := range a.Views {
		if !v.Valid() {
			f.add("views", "%q is no view: use top, side, underneath, surroundings, cut, base, spore print, close-up or micrograph", v)
		}
	}
	return f.orNil()
}
