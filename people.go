package trug

import "time"

// Role is what a person may do in a season.
type Role string

// The five roles. An outsider is whoever has not come in.
const (
	Coordinator    Role = "coordinator"
	DeterminerRole Role = "determiner"
	Leader         Role = "leader"
	RecorderRole   Role = "recorder"
	Outsider       Role = "outsider"
)

// Roles lists every role in a fixed order.
var Roles = []Role{Coordinator, DeterminerRole, Leader, RecorderRole, Outsider}

// Person is somebody of a season: a recorder, leader, determiner or
// coordinator. As little is kept as possible.
type Person struct {
	ID       ID       `json:"id"`
	Public   PublicID `json:"public"`
	SeasonID ID       `json:"season"`
	// Code is a short mark used in lists of the season: "R01"; may be empty.
	Code string `json:"code,omitempty"`
	// Name is how the person is called inside the season.
	Name string `json:"name"`
	// Credit is the name published with finds; empty means: name withheld.
	Credit string `json:"credit,omitempty"`
	Roles  []Role `json:"roles"`
	// Minor is set for children: their own name never leaves the season.
	Minor bool `json:"minor,omitempty"`
	// Guardian is the adult under whom a child takes part.
	Guardian ID `json:"guardian,omitempty"`
	// Scope says in words which groups a determiner names, Groups which piles
	// of the table, Hours how many hours a week they offer.
	Scope  string   `json:"scope,omitempty"`
	Groups []string `json:"groups,omitempty"`
	Hours  float64  `json:"hours,omitempty"`
	// Consents are what the person, or their guardian, agreed to; a later one
	// about the same thing stands for the earlier.
	Consents []Consent `json:"consents,omitempty"`
	// Gone is when their name and all that told who they are was taken out;
	// zero while they take part.
	Gone    time.Time `json:"gone,omitzero"`
	Created time.Time `json:"created"`
}

// Consent is something that a person agreed to on a day, and until when.
type Consent struct {
	About ConsentAbout `json:"about"`
	Given Date         `json:"given"`
	// Withdrawn is the day on which it was taken back; empty while it stands.
	Withdrawn Date `json:"withdrawn,omitempty"`
	// How says how it was given: on paper, in the app, by the guardian.
	How string `json:"how,omitempty"`
	// WithdrawnHow says how it was taken back: by letter, on the telephone.
	WithdrawnHow string `json:"withdrawnHow,omitempty"`
}

// ConsentAbout is what a consent is about.
type ConsentAbout string

// What is asked for.
const (
	ShowName     ConsentAbout = "name"     // the name as credited stands with finds
	ShowPictures ConsentAbout = "pictures" // pictures may be published
	SendLetters  ConsentAbout = "letters"  // letters may be written to them
)

// Consents to be asked for, in order.
var ConsentsAbout = []ConsentAbout{ShowName, ShowPictures, SendLetters}

// Agrees reports whether the person's consent about a thing stands.
func (p Person) Agrees(about ConsentAbout) bool {
	for i := len(p.Consents) - 1; i >= 0; i-- {
		if c := p.Consents[i]; c.About == about {
			return c.Withdrawn == ""
		}
	}
	return false
}

// Refuses reports whether the person's consent about a thing was withdrawn.
// Who said nothing has not said no.
func (p Person) Refuses(about ConsentAbout) bool {
	for i := len(p.Consents) - 1; i >= 0; i-- {
		if c := p.Consents[i]; c.About == about {
			return c.Withdrawn != ""
		}
	}
	return false
}

// Published returns the name under which the person is published, empty when
// it is withheld: no credit was chosen, or consent to it was withdrawn.
func (p Person) Published() string {
	if !p.Gone.IsZero() {
		return NameTakenOut
	}
	if p.Refuses(ShowName) {
		return ""
	}
	return p.Credit
}

// Has reports whether the person has the role.
func (p Person) Has(r Role) bool {
	for _, have := range p.Roles {
		if have == r {
			return true
		}
	}
	return false
}

// Validate returns all that is wrong with the person, or nil.
func (p Person) Validate() error {
	var f Faults
	if p.Name == "" {
		f.add("name", "give a name to be called by; a first name is enough")
	}
	if !p.Gone.IsZero() && p.Name != NameTakenOut {
		f.add("name", "their name was taken out at their wish and is not put back: whoever takes part again comes in anew")
	}
	if len(p.Roles) == 0 && p.Gone.IsZero() {
		f.add("roles", "choose at least one role: recorder, leader, determiner or coordinator")
	}
	for _, r := range p.Roles {
		switch r {
		case Coordinator, DeterminerRole, Leader, RecorderRole:
		default:
			f.add("roles", "%q is not a role: choose recorder, leader, determiner or coordinator", r)
		}
	}
	for i, c := range p.Consents {
		switch {
		case c.About != ShowName && c.About != ShowPictures && c.About != SendLetters:
			f.add("consents", "%q is nothing that is asked for: use name, pictures or letters", c.About)
		case !c.Given.Valid():
			f.add("consents", "consent %d (%s) has no day: write it as 2026-09-20", i+1, c.About)
		case c.Withdrawn != "" && (!c.Withdrawn.Valid() || c.Withdrawn < c.Given):
			f.add("consents", "consent %d (%s) was given on %s and can't have been withdrawn on %q", i+1, c.About, c.Given, c.Withdrawn)
		}
	}
	for i, c := range p.Consents {
		if c.WithdrawnHow != "" && c.Withdrawn == "" {
			f.add("consents", "consent %d (%s) says how it was withdrawn, not on which day", i+1, c.About)
		}
	}
	if p.Hours < 0 || p.Hours > 168 {
		f.add("hours", "%g hours a week can't be offered", p.Hours)
	}
	return f.orNil()
}
