package app

import (
	"trug"
	"trug/science/said"
)

// The structs below are what a viewer is shown: the domain's things after
// permission, the locality rule, the flap and the rule of two opinions. The
// web serves them as JSON, the command line prints them.

// ShownSeason is the season as the viewer may know it.
type ShownSeason struct {
	Code        string       `json:"code"`
	Title       string       `json:"title"`
	Place       string       `json:"place"`
	Description string       `json:"description"`
	Starts      trug.Date    `json:"starts"`
	Ends        trug.Date    `json:"ends"`
	Today       trug.Date    `json:"today"`
	Licence     trug.Licence `json:"licence"`
	Zone        string       `json:"zone"`
	Box         Box          `json:"box" doc:"Box round the season's area"`
	Grid        int          `json:"grid" doc:"Side of the season's squares in metres"`
	HasGround   bool         `json:"hasGround"`
	Invented    bool         `json:"invented"`
	Me          *ShownMe     `json:"me,omitempty" doc:"Who has come in; missing for an outsider"`
	// Choices are the states offered for each character, in plain words.
	Choices Choices `json:"choices"`
}

// Box is a rectangle in decimal degrees.
type Box struct {
	West  float64 `json:"west"`
	East  float64 `json:"east"`
	North float64 `json:"north"`
	South float64 `json:"south"`
}

// ShownMe is the viewer themselves.
type ShownMe struct {
	ID    trug.ID     `json:"id"`
	Name  string      `json:"name"`
	Roles []trug.Role `json:"roles"`
	// Places lists the places of the app that the viewer may open:
	// "daybook", "table", "book", "squares", "deposits", "desk".
	Places []string `json:"places"`
	// By says with what they came in; Returns that they have a way to come in
	// again, on another device or when they have left this one.
	By      trug.WayIn `json:"by"`
	Returns bool       `json:"returns"`
}

// Choice is a state of a character in plain words.
type Choice struct {
	State string `json:"state"`
	Label string `json:"label"`
	Says  string `json:"says" doc:"Plain definition"`
	// Views are those that are asked of a find of this form.
	Views []trug.ViewKind `json:"views,omitempty"`
}

// Choices are the states offered when a find is recorded.
type Choices struct {
	Form       []Choice `json:"form"`
	Substrate  []Choice `json:"substrate"`
	Habit      []Choice `json:"habit"`
	Ripeness   []Choice `json:"ripeness"`
	Smell      []Choice `json:"smell"`
	SporePrint []Choice `json:"sporePrint"`
}

// ShownPlace is what a viewer learns of a spot. It is made by showPlace alone.
type ShownPlace struct {
	// Words names the site or, withheld, the season's area.
	Words string `json:"words"`
	// Known is set when the position below is given.
	Known bool    `json:"known"`
	Lat   float64 `json:"lat,omitempty"`
	Lon   float64 `json:"lon,omitempty"`
	// Decimal, DMS and Square write the position in three notations.
	Decimal string `json:"decimal,omitempty"`
	DMS     string `json:"dms,omitempty"`
	Square  string `json:"square,omitempty"`
	// Uncertainty is in metres; 0 when not known.
	Uncertainty float64 `json:"uncertainty,omitempty"`
	Source      string  `json:"source,omitempty"`
	// Protected is set when outsiders learn less; Says tells what they see
	// and who decided.
	Protected bool        `json:"protected,omitempty"`
	Says      string      `json:"says,omitempty"`
	Said      said.Fields `json:"said,omitempty"`
	// Garden is set where it is the recorder's own garden, and held back.
	Garden bool `json:"garden,omitempty"`
}

// ShownName is a name as it is written: parts, so that the epithets can be
// set in italics and the rest upright.
type ShownName struct {
	// Name is empty when there is none that the viewer may see.
	Name       string         `json:"name,omitempty"`
	Authorship string         `json:"authorship,omitempty"`
	Rank       trug.Rank      `json:"rank,omitempty"`
	Qualifier  trug.Qualifier `json:"qualifier,omitempty"`
	// Instead says in words why no name stands here: "No name yet".
	Instead string      `json:"instead,omitempty"`
	Said    said.Fields `json:"said,omitempty"`
}

// ShownView is one view of a find.
type ShownView struct {
	ID         trug.ID       `json:"id"`
	Kind       trug.ViewKind `json:"kind"`
	Photograph trug.ID       `json:"photograph"`
	Width      int           `json:"width" doc:"Of the screen derivative, pixels"`
	Height     int           `json:"height"`
	Taken      string        `json:"taken,omitempty" doc:"Time of day as the camera gave it"`
	FullWidth  int           `json:"fullWidth" doc:"Of the original, pixels"`
	FullHeight int           `json:"fullHeight"`
	// PxPerMM is the scale at the field card, in pixels of the screen derivative
	// to a true millimetre; 0 where no card is seen.
	PxPerMM float64 `json:"pxPerMm,omitempty"`
	// Withheld is set while others don't see it: a reader marked that a person
	// can be seen. Cropped is set where a part was cut away for that reason.
	Withheld bool `json:"withheld,omitempty"`
	Cropped  bool `json:"cropped,omitempty"`
	// Waits says so in words, to the recorder and the coordinator; to everybody, that
	// a picture can't be read.
	Waits string      `json:"waits,omitempty"`
	Said  said.Fields `json:"said,omitempty"`
}

// ShownSlip is a determination slip.
type ShownSlip struct {
	ID     trug.ID      `json:"id"`
	Name   ShownName    `json:"name"`
	Det    string       `json:"det"`
	Mine   bool         `json:"mine"`
	Date   trug.Date    `json:"date"`
	Basis  []trug.Basis `json:"basis"`
	Remark string       `json:"remark,omitempty"`
	// Independent is set when no earlier opinion had been seen.
	Independent bool `json:"independent"`
}

// RecordSheet is a record as the viewer may see it.
type RecordSheet struct {
	ID     trug.ID   `json:"id"`
	Number string    `json:"number"`
	Name   ShownName `json:"name"`
	// Said holds sentences of the sheet for other languages.
	Said said.Fields `json:"said,omitempty"`
	// Facts is the sentence on views and what lacks; Naming that on opinions.
	Facts  string          `json:"facts"`
	Naming string          `json:"naming"`
	Views  []ShownView     `json:"views"`
	Misses []trug.ViewKind `json:"misses"`
	// Withheld are views that are there and not shown, with why.
	Withheld []ShownWithheld `json:"withheld,omitempty"`
	Found    trug.When       `json:"found"`
	FoundIn  string          `json:"foundWords" doc:"Day and time in words"`
	Place    ShownPlace      `json:"place"`
	// Position is the raw place for the recorder's own form; missing for others.
	Editable *EditableRecord `json:"editable,omitempty"`
	// Version is told beside it: a phone that changes the record out of reach tells
	// which one it had seen.
	Version  int    `json:"version,omitempty"`
	Recorder string `json:"recorder"`
	Mine     bool   `json:"mine"`
	Foray    string `json:"foray,omitempty"`
	Site     string `json:"site,omitempty"`
	// Characters in plain words; empty when not looked for.
	Form       string `json:"form,omitempty"`
	FormState  string `json:"formState,omitempty"`
	Substrate  string `json:"substrate,omitempty"`
	Host       string `json:"host,omitempty"`
	Habit      string `json:"habit,omitempty"`
	Ripeness   string `json:"ripeness,omitempty"`
	Smell      string `json:"smell,omitempty"`
	SporePrint string `json:"sporePrint,omitempty"`
	NumberSeen int    `json:"numberSeen,omitempty"`
	Voucher    string `json:"voucher,omitempty"`
	Remarks    string `json:"remarks,omitempty"`
	// Flap is set while field name and slips lie under the flap for this viewer.
	Flap      bool        `json:"flap"`
	FieldName string      `json:"fieldName,omitempty"`
	NamedBy   string      `json:"namedBy,omitempty"`
	Slips     []ShownSlip `json:"slips" doc:"Newest first"`
	// Sizes were read off views on the plane of the field card.
	Sizes []ShownSize `json:"sizes"`
	// Colours were measured in views through the field card; Together joins
	// those of one character from several views.
	Colours  []ShownColour   `json:"colours"`
	Together []ShownTogether `json:"together"`
	Asked    []ShownRequest  `json:"asked"`
	// Askable is what can be asked for, for those who may ask.
	Askable []Askable `json:"askable"`
	// Unanswered are requests that came to an end without what was asked for.
	Unanswered []ShownRequest `json:"unanswered"`
	// Care is a sentence when the find bears a name that needs two opinions.
	Care string `json:"care,omitempty"`
	// May lists what the viewer may do: "edit", "determine", "pass", "ask", "history",
	// "mark" (that a person can be seen), "crop", "settle" (a marked view).
	May []string `json:"may"`
	// Drawing is set while the demonstration's photographs are still being drawn.
	Drawing bool `json:"drawing,omitempty"`
}

// EditableRecord is what a recorder fills in, and gets back to change.
type EditableRecord struct {
	Found      trug.When      `json:"found"`
	Place      *EditablePlace `json:"place,omitempty"`
	Garden     bool           `json:"garden,omitempty" doc:"It stands in the recorder's own garden: the place is held back from others"`
	FieldName  string         `json:"fieldName,omitempty"`
	NamedBy    string         `json:"namedBy,omitempty"`
	Form       string         `json:"form,omitempty"`
	Substrate  string         `json:"substrate,omitempty"`
	Host       string         `json:"host,omitempty"`
	Habit      string         `json:"habit,omitempty"`
	Ripeness   string         `json:"ripeness,omitempty"`
	Smell      string         `json:"smell,omitempty"`
	SporePrint string         `json:"sporePrint,omitempty"`
	NumberSeen int            `json:"numberSeen,omitempty"`
	Remarks    string         `json:"remarks,omitempty"`
	// Answers are answers to further questions of the vocabulary: each takes the
	// place of one that was given before, and those not named stay.
	Answers     []GivenAnswer  `json:"answers,omitempty" maxItems:"200"`
	Views       []EditableView `json:"views"`
	ForayCode   string         `json:"foray,omitempty" doc:"Code of the foray; empty means found from date and place"`
	OutsideIsOK bool           `json:"outsideIsOK,omitempty" doc:"Keep the place although it lies outside the season's area"`
	DateIsOK    bool           `json:"dateIsOK,omitempty" doc:"Keep the date although it is doubtful"`
}

// EditablePlace is a place as it is given.
type EditablePlace struct {
	Lat         float64          `json:"lat"`
	Lon         float64          `json:"lon"`
	Uncertainty float64          `json:"uncertainty,omitempty"`
	Source      trug.PlaceSource `json:"source"`
	// Text is what was typed; when Source is "text" the position is read from it.
	Text string `json:"text,omitempty"`
}

// EditableView says which photograph is which view.
type EditableView struct {
	Photograph trug.ID       `json:"photograph"`
	Kind       trug.ViewKind `json:"kind"`
	// Again puts a view in again that was taken out of a record. Without it a
	// form that was filled in before would undo the taking out.
	Again bool `json:"again,omitempty"`
	// Renamed is told, and not read: a phone sends it back with what it renames out of reach.
	Renamed int `json:"renamed,omitempty" doc:"How often the view got another kind; not read"`
	// By is the phone's message that gives the view its kind.
	By *trug.Sending `json:"-"`
}

// ShownPhotograph is a photograph just handed in.
type ShownPhotograph struct {
	ID       trug.ID   `json:"id"`
	FileName string    `json:"fileName"`
	Width    int       `json:"width"`
	Height   int       `json:"height"`
	Taken    trug.When `json:"taken"`
	// Place is what the camera wrote; missing when it wrote none.
	Place *EditablePlace `json:"place,omitempty"`
	// Notes are sentences to show beside it.
	Notes []string `json:"notes"`
	// InRecord is the number of the viewer's record that already holds it.
	InRecord string `json:"inRecord,omitempty"`
	// Again is set when the same file had been handed in before.
	Again bool        `json:"again"`
	Said  said.Fields `json:"said,omitempty"`
}

// DaybookPage is a recorder's records of a day.
type DaybookPage struct {
	Date trug.Date `json:"date"`
	// Where names the foray or sites of the day in words.
	Where string     `json:"where"`
	Finds []DayFind  `json:"finds"`
	Days  []DayCount `json:"days" doc:"Other days with records, newest first"`
	// With is what is asked for of finds of children who take part under the viewer.
	With []AskedWith `json:"with"`
}

// DayCount is a day with its number of records.
type DayCount struct {
	Date  trug.Date `json:"date"`
	Finds int       `json:"finds"`
}

// DayFind is a line of the Daybook.
type DayFind struct {
	ID      trug.ID         `json:"id"`
	Number  string          `json:"number"`
	Name    ShownName       `json:"name" doc:"Field name, or the name a determiner gave"`
	Det     string          `json:"det,omitempty" doc:"Who gave it, when it is a determination"`
	On      string          `json:"on" doc:"What it grows on and how"`
	Has     []trug.ViewKind `json:"has"`
	Misses  []trug.ViewKind `json:"misses"`
	Facts   string          `json:"facts"`
	Asked   []ShownRequest  `json:"asked"`
	Thumb   trug.ID         `json:"thumb,omitempty"`
	Drawing bool            `json:"drawing,omitempty"`
	Said    said.Fields     `json:"said,omitempty"`
}

// BookQuery chooses and orders lines of the Record book.
type BookQuery struct {
	// Text is looked for in number, names, recorder, site, foray, host and remarks.
	Text string
	// Facts are all to hold: "lacks:top" (any view kind), "no-photograph",
	// "no-place", "no-name", "one-opinion", "differ", "held", "asked",
	// "microscope", "protected", "mine".
	Facts []string
	Form  string
	Foray string
	Site  string
	// Colour is a colour that one measured in a view is to come near to: "#a16d3f",
	// or L*, a*, b* relative to D65; Within how near, CIEDE2000; 0 takes 10.
	Colour string
	Within float64
	// ColourName is the name of a block of the ISCC-NBS method at any of its
	// levels that it is to bear, ColourOf the character that it answers.
	ColourName, ColourOf string
	// Sort is "number", "-number", "date", "-date", "name", "recorder", "site",
	// "colour" (nearest first).
	Sort  string
	From  int
	Limit int
}

// BookPage is part of the Record book.
type BookPage struct {
	Total int        `json:"total" doc:"How many records answer the query"`
	All   int        `json:"all" doc:"How many there are that the viewer may see"`
	Lines []BookLine `json:"lines"`
	// Counts tells how many records of the whole book each fact holds for.
	Counts map[string]int `json:"counts"`
	Forays []Coded        `json:"forays"`
	Sites  []Coded        `json:"sites"`
	Forms  []Choice       `json:"forms" doc:"Forms that occur"`
	// ColourNames are the names that measured colours can be found by, the coarser
	// first.
	ColourNames []string `json:"colourNames"`
}

// Coded is a foray or site by code and name.
type Coded struct {
	Code string `json:"code"`
	Name string `json:"name"`
}

// BookLine is a line of the Record book.
type BookLine struct {
	ID        trug.ID   `json:"id"`
	Number    string    `json:"number"`
	Name      ShownName `json:"name"`
	Date      string    `json:"date" doc:"Day, or month when withheld"`
	Place     string    `json:"place"`
	Recorder  string    `json:"recorder"`
	On        string    `json:"on"`
	Facts     string    `json:"facts"`
	Naming    string    `json:"naming"`
	Thumb     trug.ID   `json:"thumb,omitempty"`
	Protected bool      `json:"protected,omitempty"`
	// Tones are the first of its measured colours; Off is how far the nearest one
	// lies from the colour that was asked for, CIEDE2000.
	Tones []BookTone `json:"tones"`
	Off   float64    `json:"off,omitempty"`
}
