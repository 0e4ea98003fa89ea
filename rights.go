package trug

import "time"

// Mark says that a reader thinks a person can be seen on a view. While one
// stands open the view is shown to the coordinator and the record's recorder
// alone.
type Mark struct {
	ID       ID        `json:"id"`
	SeasonID ID        `json:"season"`
	RecordID ID        `json:"record"`
	ViewID   ID        `json:"view"`
	By       ID        `json:"by"`
	Created  time.Time `json:"created"`
	// Settled is when a coordinator cropped or cleared the view, SettledBy
	// who, How which of the two; zero while the mark is open.
	Settled   time.Time `json:"settled,omitzero"`
	SettledBy ID        `json:"settledBy,omitempty"`
	How       MarkEnd   `json:"how,omitempty"`
}

// Open reports whether the mark still withholds its view.
func (m Mark) Open() bool { return m.Settled.IsZero() }

// MarkEnd is what became of a mark.
type MarkEnd string

// The ends of marks.
const (
	Cropped MarkEnd = "cropped"
	Cleared MarkEnd = "cleared"
)

// Crop is the part of a photograph that is shown, in pixels of the upright
// original.
type Crop struct {
	Left   int `json:"left"`
	Top    int `json:"top"`
	Width  int `json:"width"`
	Height int `json:"height"`
}

// Redaction tells that somebody's name and words were taken out of a season:
// of which things, when, by whom. What they were stands nowhere any more, not
// as a hash either: the hash of a name is found again by trying names.
type Redaction struct {
	ID       ID `json:"id"`
	SeasonID ID `json:"season"`
	// PersonID is who was taken out, By who carried it out.
	PersonID ID `json:"person"`
	By       ID `json:"by"`
	// Of are the things whose rows and amendments were gone through.
	Of      []ID      `json:"of"`
	Created time.Time `json:"created"`
}

// NameTakenOut stands where the name of somebody stood who had it taken out.
const NameTakenOut = "a recorder whose name was taken out"

// TakenOut returns of the person what stays when they go: their identifier and
// roles, on which records hang, and nothing that says who they are.
func (p Person) TakenOut() Person {
	return Person{ID: p.ID, Public: p.Public, SeasonID: p.SeasonID, Name: NameTakenOut, Roles: p.Roles, Gone: p.Gone, Created: p.Created}
}
