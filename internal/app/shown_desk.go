package app

import (
	"time"

	"trug"
	"trug/science/said"
)

// What the desk's pages show.

// TablePage is what waits on the table for the viewer.
type TablePage struct {
	Waits  int          `json:"waits"`
	Groups []TableGroup `json:"groups"`
	// Determiners are those to whom a find can be passed.
	Determiners []ShownDeterminer `json:"determiners"`
}

// TableGroup is a pile of the table.
type TableGroup struct {
	Code    string      `json:"code"`
	Title   string      `json:"title" doc:"Gilled, on soil and litter"`
	Short   string      `json:"short" doc:"On soil and litter"`
	Drawing string      `json:"drawing" doc:"Name of the line drawing"`
	Finds   []TableFind `json:"finds"`
}

// TableFind is a find that waits.
type TableFind struct {
	ID     trug.ID `json:"id"`
	Number string  `json:"number"`
	// Why is "name", "second opinion" or "differ".
	Why string `json:"why"`
	// Care is set when a look-alike is to be ruled out. It says nothing of
	// which; it is known from the form alone or once the flap is lifted.
	Care bool `json:"care"`
	// PassedToMe is set when somebody handed it to the viewer.
	PassedToMe bool `json:"passedToMe"`
}

// ShownDeterminer is a determiner as others see them.
type ShownDeterminer struct {
	ID    trug.ID `json:"id"`
	Code  string  `json:"code,omitempty"`
	Name  string  `json:"name"`
	Scope string  `json:"scope"`
}

// GivenName is what a determiner puts on a slip.
type GivenName struct {
	ID        trug.ID        `json:"id" doc:"UUIDv7 made where the slip is written, so that sending twice is harmless"`
	Name      string         `json:"name"`
	Qualifier trug.Qualifier `json:"qualifier,omitempty" enum:",cf.,aff.,agg.,sp."`
	Basis     []trug.Basis   `json:"basis"`
	Remark    string         `json:"remark,omitempty"`
}

// NameChoice is a completion from the checklist.
type NameChoice struct {
	ID         trug.ID   `json:"id"`
	Name       string    `json:"name"`
	Authorship string    `json:"authorship,omitempty"`
	Rank       trug.Rank `json:"rank"`
	Family     string    `json:"family,omitempty"`
	// Accepted is the accepted name when this one is a synonym.
	Accepted string `json:"accepted,omitempty"`
}

// SquaresPage is the map of the season for the coordinator.
type SquaresPage struct {
	Side    int           `json:"side" doc:"Side of a square in metres"`
	Squares []ShownSquare `json:"squares"`
	Sites   []ShownSite   `json:"sites"`
	Lines   []GridLine    `json:"lines" doc:"Grid lines with their figures"`
	// Without counts records that have no place.
	Without int    `json:"without"`
	Says    string `json:"says"`
}

// ShownSquare is a cell of the map grid with what was found in it.
type ShownSquare struct {
	Name    string       `json:"name"`
	Ring    [][2]float64 `json:"ring" doc:"Corners as longitude, latitude"`
	Records int          `json:"records"`
	Species int          `json:"species" doc:"Different names at species rank"`
	Days    int          `json:"days" doc:"Days with a record"`
	Numbers []string     `json:"numbers" doc:"Field numbers, for the list beside the map"`
}

// ShownSite is a site on the map.
type ShownSite struct {
	Code   string  `json:"code"`
	Name   string  `json:"name"`
	Lat    float64 `json:"lat"`
	Lon    float64 `json:"lon"`
	Radius float64 `json:"radius" doc:"metres"`
}

// GridLine is a line of the map grid.
type GridLine struct {
	Label string       `json:"label"`
	East  bool         `json:"east" doc:"A line of equal easting"`
	Line  [][2]float64 `json:"line" doc:"Longitude, latitude"`
}

// DepositsPage is what was published and what would be.
type DepositsPage struct {
	Deposits []ShownDeposit `json:"deposits" doc:"Newest first"`
}

// ShownDeposit is a published version.
type ShownDeposit struct {
	Public         trug.PublicID `json:"public"`
	Number         int           `json:"number"`
	Date           trug.Date     `json:"date"`
	Records        int           `json:"records"`
	Views          int           `json:"views"`
	Determinations int           `json:"determinations"`
	Withheld       int           `json:"withheld" doc:"Finds whose place is kept back"`
	Bytes          int64         `json:"bytes"`
	Remark         string        `json:"remark,omitempty"`
}

// Check is a line of what is looked at before a deposit.
type Check struct {
	// Holds is "yes", "remark" or "stops".
	Holds string `json:"holds" enum:"yes,remark,stops"`
	// Lead is the first clause, set bold; Says goes on from it.
	Lead string `json:"lead"`
	Says string `json:"says"`
	// Fact is the Record book filter that shows the records meant.
	Fact string `json:"fact,omitempty"`
}

// BeforeDeposit is what the next deposit would be.
type BeforeDeposit struct {
	Number int     `json:"number"`
	Checks []Check `json:"checks"`
	// CanGo is set when nothing stops it.
	CanGo bool `json:"canGo"`
	// Example shows one protected find as the viewer and as outsiders see it.
	Example *SeenTwice `json:"example,omitempty"`
}

// SeenTwice is a protected find as the coordinator and as outsiders see it.
type SeenTwice struct {
	Name      ShownName  `json:"name"`
	Number    string     `json:"number"`
	Yours     ShownPlace `json:"yours"`
	YourDate  string     `json:"yourDate"`
	Outside   ShownPlace `json:"outside"`
	OutDate   string     `json:"outDate"`
	DecidedBy string     `json:"decidedBy"`
}

// ShownPerson is somebody of the season, for the coordinator.
type ShownPerson struct {
	ID     trug.ID     `json:"id"`
	Code   string      `json:"code,omitempty"`
	Name   string      `json:"name"`
	Credit string      `json:"credit,omitempty"`
	Minor  bool        `json:"minor"`
	Roles  []trug.Role `json:"roles"`
	Scope  string      `json:"scope,omitempty"`
	// Link makes the browser that person, in the demonstration; empty elsewhere.
	Link string `json:"link"`
}

// ShownAmendment is a line of a record's history.
type ShownAmendment struct {
	At   time.Time `json:"at"`
	By   string    `json:"by"`
	What string    `json:"what" doc:"What was changed, in words"`
	// Palette holds the main colours where a colour was measured.
	Palette []ShownTone `json:"palette,omitempty"`
	Said    said.Fields `json:"said,omitempty"`
}

// DrawingProgress tells how far the demonstration's photographs are drawn.
type DrawingProgress struct {
	Done    int    `json:"done"`
	Total   int    `json:"total"`
	Seconds int    `json:"seconds" doc:"Time left"`
	Says    string `json:"says"`
}

// ReadPlace is a typed place as it was understood.
type ReadPlace struct {
	Lat         float64 `json:"lat"`
	Lon         float64 `json:"lon"`
	Decimal     string  `json:"decimal"`
	DMS         string  `json:"dms"`
	Uncertainty float64 `json:"uncertainty" doc:"Metres, from the digits given"`
	Inside      bool    `json:"inside" doc:"Whether it lies in the season's area"`
	Says        string  `json:"says,omitempty"`
}
