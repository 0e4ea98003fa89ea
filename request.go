package trug

import (
	"slices"
	"time"
)

// Request asks the recorder for more evidence of a find, in a set sentence.
type Request struct {
	ID       ID `json:"id"`
	SeasonID ID `json:"season"`
	RecordID ID `json:"record"`
	By       ID `json:"by"`
	// What is empty for another view, as in requests older than the others.
	What RequestKind `json:"what,omitempty"`
	// View is the view that is asked for, where it is one.
	View    ViewKind  `json:"view,omitempty"`
	Created time.Time `json:"created"`
	// Ended, EndedBy and How are set when somebody ended it. A request also
	// ends by itself: when what was asked for has come, and when going back
	// can't supply it any more. Both are reckoned, not written.
	Ended   time.Time  `json:"ended,omitzero"`
	EndedBy ID         `json:"endedBy,omitempty"`
	How     RequestEnd `json:"how,omitempty"`
}

// RequestKind is what is asked for.
type RequestKind string

// What can be asked for.
const (
	ForView     RequestKind = ""
	ForSize     RequestKind = "size"     // a size measured with the field card
	ForSpecimen RequestKind = "specimen" // one fruitbody, dried and numbered
)

// RequestEnd is how somebody ended a request.
type RequestEnd string

// How requests are ended by people.
const (
	RequestGone      RequestEnd = "gone"       // whoever was asked: the fruitbody is not there any more
	RequestTakenBack RequestEnd = "taken back" // whoever asked, or the coordinator
	RequestKept      RequestEnd = "kept"       // whoever was asked for a specimen: one is dried and numbered
)

// Valid reports whether the end is one of those that exist.
func (e RequestEnd) Valid() bool {
	return e == RequestGone || e == RequestTakenBack || e == RequestKept
}

// Validate returns all that is wrong with the request by itself, or nil.
func (q Request) Validate() error {
	var f Faults
	switch q.What {
	case ForView:
		if !q.View.Valid() {
			f.add("view", "%q is not a view that can be asked for", q.View)
		}
	case ForSize, ForSpecimen:
		if q.View != "" {
			f.add("view", "a view is asked for by itself: leave the view out, or what")
		}
	default:
		f.add("what", "%q can't be asked for: ask for a view (leave it blank), size or specimen", q.What)
	}
	return f.orNil()
}

// NeedsFruitbody reports whether the fruitbody has to be met again for what is
// asked for. The surroundings stay, and a picture through the microscope is
// asked for where there is one already.
func (q Request) NeedsFruitbody() bool {
	return q.What != ForView || q.View != Surroundings && q.View != Micrograph
}

// FromSpecimen reports whether a dried specimen can supply what is asked for.
// Drying changes sizes, colours and shapes, so little is left.
func (q Request) FromSpecimen() bool {
	return q.What == ForSpecimen || q.What == ForView && slices.Contains([]ViewKind{CloseUp, Micrograph}, q.View)
}

// Stands is for how long fruitbodies of a kind can be met again where they stood.
type Stands int

// How long fruitbodies stand: common practice, no source. Single ones differ
// with weather, slugs and feet.
const (
	StandsDays   Stands = iota // soft ones: toadstools, boletes, cups, jellies
	StandsHours                // slime moulds that still creep
	StandsWeeks                // balls, stars and nests, which dry where they stand
	StandsMonths               // woody and leathery ones on wood, crusts, hard lumps
	StandsYears                // lichens
)

// Days is how many days after the find a return is still worth while.
func (s Stands) Days() int {
	return [...]int{StandsDays: 10, StandsHours: 1, StandsWeeks: 42, StandsMonths: 180, StandsYears: 3650}[s]
}

// standing holds the forms that do not stand for days alone; a find whose form
// nobody told is taken for a soft one.
var standing = map[string]Stands{
	"bracket": StandsMonths, "half_bracket": StandsMonths, "crust": StandsMonths, "pored_stalked": StandsMonths, "hard_stroma": StandsMonths,
	"puffball": StandsWeeks, "earthball": StandsWeeks, "earthstar": StandsWeeks, "stalked_puffball": StandsWeeks, "birds_nest": StandsWeeks,
	"plant_parasite": StandsWeeks, "slime_creeping": StandsHours,
	"lichen_crust": StandsYears, "lichen_powder": StandsYears, "lichen_lobed_crust": StandsYears, "lichen_scale": StandsYears, "lichen_leaf": StandsYears,
	"lichen_shrub": StandsYears, "lichen_beard": StandsYears, "lichen_cup_stalk": StandsYears, "lichen_jelly": StandsYears,
}

// StandingOf tells for how long a find of a form (a state of the character
// form) stands.
func StandingOf(form string) Stands { return standing[form] }

// Return is whether going back can still supply what was asked for.
type Return struct {
	Can bool
	// Until is the last day on which it is worth while; empty where no day
	// ends it.
	Until  Date
	Stands Stands
	// Kept says that the specimen supplies it, without a return.
	Kept bool
}

// ReturnFor tells whether going back to a find can still supply what is asked
// for, as of today.
func ReturnFor(r Record, q Request, today Date) Return {
	switch {
	case r.Voucher != "" && q.FromSpecimen():
		return Return{Can: true, Kept: true}
	case !q.NeedsFruitbody():
		return Return{Can: true}
	}
	stands := StandingOf(r.Form)
	if stands == StandsYears {
		return Return{Can: true, Stands: stands}
	}
	until := r.Found.Date.Plus(stands.Days())
	return Return{Can: until >= today, Until: until, Stands: stands}
}
