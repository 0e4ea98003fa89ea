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
	// Scope says in words which groups a determiner names.
	Scope   string    `json:"scope,omitempty"`
	Created time.Time `json:"created"`
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
	if len(p.Roles) == 0 {
		f.add("roles", "choose at least one role: recorder, leader, determiner or coordinator")
	}
	for _, r := range p.Roles {
		switch r {
		case Coordinator, DeterminerRole, Leader, RecorderRole:
		default:
			f.add("roles", "%q is not a role: choose recorder, leader, determiner or coordinator", r)
		}
	}
	return f.orNil()
}
