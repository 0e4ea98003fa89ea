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
	// Why says why the view was cleared; empty unless it was.
	Why ClearedFor `json:"why,omitempty"`
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

// ClearedFor is why a marked view may be shown as it is.
type ClearedFor string

// The reasons. There is none for somebody who can be seen and has agreed: who
// stands on a picture of a bioblitz is as likely a child.
const (
	NobodySeen  ClearedFor = "nobody"
	PartSeen    ClearedFor = "part"
	ShadowSeen  ClearedFor = "shadow"
	PictureSeen ClearedFor = "picture"
)

// ClearedReasons lists the reasons in the order in which they are offered.
var ClearedReasons = []ClearedFor{NobodySeen, PartSeen, ShadowSeen, PictureSeen}

// Words says the reason in a sentence.
func (r ClearedFor) Words() string {
	return map[ClearedFor]string{
		NobodySeen:  "Nobody can be seen.",
		PartSeen:    "Only a hand, a foot or clothing: nobody can be told by it.",
		ShadowSeen:  "Only a shadow or a reflection: nobody can be told by it.",
		PictureSeen: "A statue, a drawing or a printed picture, and no living person.",
	}[r]
}

// Crop is the part of a photograph that is shown, in pixels of the upright
// original.
type Crop struct {
	Left   int `json:"left"`
	Top    int `json:"top"`
	Width  int `json:"width"`
	Height int `json:"height"`
	// FullWidth and FullHeight are the original's: what the lens's focal length
	// says of the camera's height holds for the whole picture, whose middle the
	// camera's axis goes through (science/card, PoseOfPart). 0 in crops made
	// before they were kept.
	FullWidth  int `json:"fullWidth,omitempty"`
	FullHeight int `json:"fullHeight,omitempty"`
	// By and At say who cropped and when; empty as above.
	By ID        `json:"by,omitempty"`
	At time.Time `json:"at,omitzero"`
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
	// Originals are photographs whose originals are deleted at their wish,
	// Deleted is when the last of them was; zero while some may be there.
	Originals []ID      `json:"originals,omitempty"`
	Deleted   time.Time `json:"deleted,omitzero"`
}

// NameTakenOut stands where the name of somebody stood who had it taken out.
const NameTakenOut = "a recorder whose name was taken out"

// TakenOut returns of the person what stays when they go: their identifier and
// roles, on which records hang, and nothing that says who they are.
func (p Person) TakenOut() Person {
	return Person{ID: p.ID, Public: p.Public, SeasonID: p.SeasonID, Name: NameTakenOut, Roles: p.Roles, Gone: p.Gone, Created: p.Created}
}

// Wish is what somebody asks the coordinator to do with what is kept about
// them. It holds choices alone: nobody has to say why.
type Wish struct {
	ID       ID `json:"id"`
	SeasonID ID `json:"season"`
	// PersonID is whom it is about, By who asks: they themselves, or the adult
	// under whom a child takes part.
	PersonID ID        `json:"person"`
	By       ID        `json:"by"`
	About    WishAbout `json:"about"`
	Created  time.Time `json:"created"`
	// Settled is when it came to an end, SettledBy who ended it, How in which
	// way; zero while it waits.
	Settled   time.Time `json:"settled,omitzero"`
	SettledBy ID        `json:"settledBy,omitempty"`
	How       WishEnd   `json:"how,omitempty"`
}

// Open reports whether the wish waits for somebody.
func (w Wish) Open() bool { return w.Settled.IsZero() }

// WishAbout is what is wished.
type WishAbout string

// What can be wished.
const (
	NameOut         WishAbout = "name"           // the name is taken out
	NameAndPictures WishAbout = "name, pictures" // and the originals of photographs are deleted
)

// WishEnd is how a wish came to an end.
type WishEnd string

// The ends of wishes. All but the first two are the coordinator's answers,
// which reach a child too: set sentences that stand in the app.
const (
	WishDone       WishEnd = "done"
	WishTakenBack  WishEnd = "taken back" // by whoever asked
	WishUnsure     WishEnd = "unsure"     // it is not clear that they asked themselves
	WishStays      WishEnd = "stays"      // they were spoken with and wish to stay
	WishChildren   WishEnd = "children"   // children take part under them
	WishLastOfDesk WishEnd = "last"       // the season would have no coordinator
)

// WishRefusals lists the ends by which a coordinator can decline, in the order
// in which they are offered.
var WishRefusals = []WishEnd{WishUnsure, WishStays, WishChildren, WishLastOfDesk}
