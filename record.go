package trug

import (
	"time"
	"trug/science/said"
	"unicode/utf8"

	"trug/science/describe"
	"trug/science/place"
)

// Record is one kind of fungus, found at one spot at one time by a recorder.
type Record struct {
	ID       ID       `json:"id"`
	Public   PublicID `json:"public"`
	SeasonID ID       `json:"season"`
	// Number is the field number: the season's code and a running figure, "W26-0100".
	Number     string `json:"number"`
	RecorderID ID     `json:"recorder"`
	ForayID    ID     `json:"foray,omitempty"`
	SiteID     ID     `json:"site,omitempty"`
	Found      When   `json:"found"`
	// Place is where it stood; nil while nobody has said.
	Place     *Place    `json:"place,omitempty"`
	FieldName FieldName `json:"fieldName"`
	// Garden is set where its recorder said that it stands in their own garden:
	// then only they, determiners and the coordinator learn where.
	Garden bool `json:"garden,omitempty"`

	// The states below are those of the descriptive vocabulary (`form`,
	// `substrate`, `habit`, `ripeness`, `smell`, `spore_print`); empty means
	// that it was not looked for.
	Form       string `json:"form,omitempty"`
	Substrate  string `json:"substrate,omitempty"`
	Habit      string `json:"habit,omitempty"`
	Ripeness   string `json:"ripeness,omitempty"`
	Smell      string `json:"smell,omitempty"`
	SporePrint string `json:"sporePrint,omitempty"`
	// Host is the tree, plant or animal it grew on or with.
	Host string `json:"host,omitempty"`
	// NumberSeen counts the fruitbodies seen from the spot; 0 means not counted.
	NumberSeen int `json:"numberSeen,omitempty"`
	// Voucher is the number of a specimen kept; empty when none was.
	Voucher string `json:"voucher,omitempty"`
	Remarks string `json:"remarks,omitempty"`
	// Description holds the answers to further questions of the vocabulary, at
	// most one a character, in the order in which they were given. What has a
	// field of its own above stands there alone.
	Description []describe.Answer `json:"description,omitempty"`
	// Tabled marks a find entered in a foray table: the foray's leader keeps
	// it there, with photographs or without.
	Tabled bool `json:"tabled,omitempty"`
	// Withdrawn is when the record was taken out of the season; zero while it
	// stands. It is kept, shown to nobody, and can be put back; its number
	// stays used.
	Withdrawn time.Time `json:"withdrawn,omitzero"`

	Created time.Time `json:"created"`
}

// Place is a spot on the ground with what is known of how sure it is.
type Place struct {
	Position place.Position `json:"position"`
	// Uncertainty is the radius of the circle that holds the spot; 0 means
	// not known.
	Uncertainty place.Metres `json:"uncertainty,omitempty"`
	// Precision is what the digits of the source show, in degrees; 0 means
	// not known.
	Precision place.Degrees `json:"precision,omitempty"`
	Source    PlaceSource   `json:"source"`
	// Verbatim is the place as it was typed.
	Verbatim string `json:"verbatim,omitempty"`
}

// PlaceSource says where a place was had from.
type PlaceSource string

// Where places come from.
const (
	FromCamera PlaceSource = "camera"
	FromPhone  PlaceSource = "phone"
	FromPin    PlaceSource = "pin"
	FromText   PlaceSource = "text"
	FromSite   PlaceSource = "site" // the middle of the site, with its radius
)

// FieldName is the name given on the spot, and by whom.
type FieldName struct {
	// Name is the name as given; empty means "don't know".
	Name string `json:"name,omitempty"`
	// By is who named it in the hand; empty means the recorder.
	By string `json:"by,omitempty"`
}

// Limits of what is typed, in characters: long enough for anybody, short
// enough that a pasted book is refused.
const (
	MaxNameLength    = 200
	MaxRemarksLength = 4000
	// MaxNumberSeen bounds the count of fruitbodies.
	MaxNumberSeen = 100000
)

// Validate returns all that is wrong with the record by itself, or nil.
// Whether it lies in the season's area and dates is asked of the season.
func (r Record) Validate() error {
	var f Faults
	if err := r.Found.Validate("found"); err != nil {
		f.add("found", "say on which day it was found, such as 2026-10-10: %s", err.(*Error).Says)
	}
	if r.Place != nil {
		if err := r.Place.Position.Valid(); err != nil {
			f.add("place", "%v", err)
		}
		if r.Place.Uncertainty < 0 {
			f.add("place", "an uncertainty of %g m can't be: give the radius of a circle that surely holds the spot", r.Place.Uncertainty)
		}
	}
	if r.NumberSeen < 0 || r.NumberSeen > MaxNumberSeen {
		f.add("numberSeen", "%d can't be a count of fruitbodies: give 1 to %d, or leave it blank", r.NumberSeen, MaxNumberSeen)
	}
	for _, t := range []struct {
		field, text string
		most        int
	}{
		{"fieldName", r.FieldName.Name, MaxNameLength},
		{"namedBy", r.FieldName.By, MaxNameLength},
		{"host", r.Host, MaxNameLength},
		{"smell", r.Smell, MaxNameLength},
		{"substrate", r.Substrate, MaxNameLength},
		{"remarks", r.Remarks, MaxRemarksLength},
	} {
		if !utf8.ValidString(t.text) {
			f.add(t.field, "the text is not readable as UTF-8: type it again")
		} else if n := utf8.RuneCountInString(t.text); n > t.most {
			f.add(t.field, "%d characters are too many: keep it to %d", n, t.most)
		}
	}
	f.description(r.Description)
	return f.orNil()
}

// MaxAnswers bounds the answers of a description.
const MaxAnswers = 200

// description checks the answers but for their vocabulary, which a season can
// widen.
func (f *Faults) description(answers []describe.Answer) {
	if len(answers) > MaxAnswers {
		f.add("description", "%d answers are too many: %d is the most", len(answers), MaxAnswers)
		return
	}
	seen := map[string]bool{}
	for _, a := range answers {
		if seen[a.Character] || a.Character == "" {
			f.add("description", "%q is answered twice or has no name", a.Character)
		}
		seen[a.Character] = true
		if !utf8.ValidString(a.Text) || utf8.RuneCountInString(a.Text) > MaxRemarksLength {
			f.add("description", "the words on %s are not readable or too long", a.Character)
		}
	}
}

// Photograph is a picture as it was handed in: the original kept bit for bit,
// what its metadata say, and the derivatives made from it once.
type Photograph struct {
	ID       ID     `json:"id"`
	SeasonID ID     `json:"season"`
	Original Hash   `json:"original"`
	Bytes    int64  `json:"bytes"`
	Format   string `json:"format"`
	// FileName is the name that the file had where it came from.
	FileName string `json:"fileName,omitempty"`
	// Width and Height are in pixels, upright.
	Width  int `json:"width"`
	Height int `json:"height"`
	// Taken is what the camera's clock said; zero when it said nothing.
	Taken When `json:"taken"`
	// Place is what the camera wrote; nil when it wrote none.
	Place  *Place `json:"place,omitempty"`
	Camera string `json:"camera,omitempty"`
	// Notes are sentences on what is odd about the file.
	Notes []string `json:"notes,omitempty"`
	// Said are the notes for other languages; older photographs have none.
	Said []said.Sentence `json:"said,omitempty"`
	// Unreadable is set where the file passed for a photograph by its head and its
	// picture can't be decoded: the derivatives are a plain grey.
	Unreadable bool `json:"unreadable,omitempty"`
	// Crop is set where a person could be seen and the rest was cut away: the
	// derivatives show this part alone, and the original is handed to nobody.
	Crop *Crop `json:"crop,omitempty"`
	// OriginalGone is when the original was deleted at the wish of whoever
	// took it; Original then names the screen derivative.
	OriginalGone time.Time  `json:"originalGone,omitzero"`
	Screen       Derivative `json:"screen"`
	Thumb        Derivative `json:"thumb"`
	By           ID         `json:"by"`
	Created      time.Time  `json:"created"`
}

// Developed reports whether the derivatives are made. Until then their width and height
// are known, and neither hash nor bytes.
func (p Photograph) Developed() bool { return p.Screen.Hash != "" && p.Thumb.Hash != "" }

// Derivative is a smaller copy of a photograph: JPEG, upright, sRGB, without
// any metadata.
type Derivative struct {
	Hash   Hash  `json:"hash"`
	Bytes  int64 `json:"bytes"`
	Width  int   `json:"width"`
	Height int   `json:"height"`
}

// View is a photograph with a purpose in a record.
type View struct {
	ID           ID        `json:"id"`
	Public       PublicID  `json:"public"`
	SeasonID     ID        `json:"season"`
	RecordID     ID        `json:"record"`
	PhotographID ID        `json:"photograph"`
	Kind         ViewKind  `json:"kind"`
	By           ID        `json:"by"`
	Created      time.Time `json:"created"`
	// Labelled is when it got its present kind, where that was after Created.
	Labelled time.Time `json:"labelled,omitzero"`
	// Renamed counts how often it got another kind: a phone out of reach says which
	// count it had seen. NamedBy is the phone's message that gave it the present
	// kind; nil where that was done in reach.
	Renamed int      `json:"renamed,omitempty"`
	NamedBy *Sending `json:"namedBy,omitempty"`
	// Withdrawn is when it was taken out of the record; zero while it is in
	// it. A view taken out is kept, and shown to nobody.
	Withdrawn time.Time `json:"withdrawn,omitzero"`
}

// Since returns from when on the record has had a view of this kind.
func (v View) Since() time.Time {
	if v.Labelled.After(v.Created) {
		return v.Labelled
	}
	return v.Created
}

// Named returns the view under another kind, which it got at a time and, where that
// was out of reach, by a phone's message.
func (v View) Named(kind ViewKind, at time.Time, by *Sending) View {
	v.Kind, v.Labelled, v.NamedBy = kind, at, by
	v.Renamed++
	return v
}

// ViewKind is the purpose of a view.
type ViewKind string

// The kinds of view, in the fixed order in which they are laid out.
const (
	Top          ViewKind = "top"
	Side         ViewKind = "side"
	Underneath   ViewKind = "underneath"
	Surroundings ViewKind = "surroundings"
	Cut          ViewKind = "cut"
	Base         ViewKind = "base"
	SporePrint   ViewKind = "spore print"
	CloseUp      ViewKind = "close-up"
	Micrograph   ViewKind = "micrograph"
)

// ViewKinds lists every kind in its fixed order.
var ViewKinds = []ViewKind{Top, Side, Underneath, Surroundings, Cut, Base, SporePrint, CloseUp, Micrograph}

// FourViews are those asked of a find whose form nobody has said, and of most forms.
var FourViews = ViewKinds[:4]

// Valid reports whether k is one of ViewKinds.
func (k ViewKind) Valid() bool { return k.Order() >= 0 }

// Order returns k's place in ViewKinds, -1 for a kind that does not exist.
func (k ViewKind) Order() int {
	for i, v := range ViewKinds {
		if v == k {
			return i
		}
	}
	return -1
}
