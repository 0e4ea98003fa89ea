package app

import (
	"context"
	"slices"

	"trug"
	"trug/science/said"
)

// Viewer is who asks: a person of a season, or an outsider.
type Viewer struct {
	Season trug.ID
	Person *trug.Person // nil for an outsider
	// Session is the one that asks, and By how it came about; empty where
	// nobody asks over the web.
	Session trug.ID
	By      trug.WayIn
	// Lapsed is set when an outsider's device was in and no longer is.
	Lapsed bool
}

// has reports whether the viewer has the role.
func (v Viewer) has(r trug.Role) bool {
	if v.Person == nil {
		return r == trug.Outsider
	}
	return v.Person.Has(r)
}

// is reports whether the viewer is the person.
func (v Viewer) is(id trug.ID) bool { return v.Person != nil && v.Person.ID == id }

// Action is something that can be asked of the app.
type Action string

// said is the action amid a sentence.
func (a Action) said() said.Sentence { return said.As(said.Words(a)) }

// The actions. Each stands in the table below.
const (
	SeeSeason      Action = "see the season"
	OpenDaybook    Action = "open the Daybook"
	HandIn         Action = "hand in a photograph"
	SeePhotograph  Action = "see a photograph"
	SaveARecord    Action = "save a record"
	TakeOut        Action = "take a view out of a record"
	MarkPerson     Action = "mark that a person can be seen"
	CropAView      Action = "crop a view"
	SeeKept        Action = "see what is kept about somebody"
	AskForOut      Action = "ask for a name to be taken out"
	TakeOutName    Action = "take a name out of the season"
	TakeOutRecord  Action = "take a record out of the season"
	SeeAudit       Action = "see who looked and who changed what"
	OpenBook       Action = "open the Record book"
	SeeRecord      Action = "see a record"
	SeeHistory     Action = "see a record's history"
	LiftTheFlap    Action = "lift the flap"
	PutName        Action = "put a name to a find"
	PassOn         Action = "pass a find on"
	AskForView     Action = "ask for another view"
	EndARequest    Action = "end a request for more evidence"
	OpenTable      Action = "open the table"
	CompleteName   Action = "complete a name"
	ReadAPlace     Action = "read a place"
	SeeGround      Action = "see the ground"
	OpenSquares    Action = "open Squares"
	SeeDeposits    Action = "see the deposits"
	GetArchive     Action = "get a deposit's archive"
	PrepareDeposit Action = "prepare a deposit"
	PublishDeposit Action = "publish a deposit"
	OpenDesk       Action = "open the Season desk"
	KeepDesk       Action = "change the Season desk"
	SeeSites       Action = "see the sites"
	SeeForays      Action = "see the forays"
	KeepForay      Action = "change a foray"
	ComeAlong      Action = "sign up for a foray"
	AddSomebody    Action = "add a person"
	AddChecklist   Action = "add names to the checklist"
	SeeDrawing     Action = "see how far the drawing is"
	SeeSizes       Action = "see sizes in a view"
	MeasureView    Action = "measure in a view"
	SeeCards       Action = "see the field cards"
	PrintCards     Action = "print field cards"
	LeaveSeason    Action = "leave"
	TakeAlong      Action = "take the season along on a phone"
	ComeIn         Action = "come in"
	KeepOwnWays    Action = "look after your devices and codes"
)

// everybody may; insiders are all who came in.
var (
	everybody = trug.Roles
	insiders  = []trug.Role{trug.Coordinator, trug.DeterminerRole, trug.Leader, trug.RecorderRole}
	namers    = []trug.Role{trug.DeterminerRole}
	desk      = []trug.Role{trug.Coordinator}
	leaders   = []trug.Role{trug.Coordinator, trug.Leader}
)

// Permissions is the one table of what each role may ask for. Within an
// action, what of a record is shown is decided by the locality rule and the
// rule of two opinions. A test walks every route of the web with every role.
var Permissions = map[Action][]trug.Role{
	SeeSeason:      everybody,
	OpenDaybook:    insiders,
	HandIn:         insiders,
	SeePhotograph:  insiders,
	SaveARecord:    insiders,
	TakeOut:        insiders, // one's own record; the coordinator every one
	MarkPerson:     insiders,
	CropAView:      insiders, // one's own record's; the coordinator every one
	SeeKept:        insiders, // oneself, the children under one; the coordinator everybody
	AskForOut:      insiders, // oneself, the children under one
	TakeOutName:    desk,     // who sees that it is they themselves who ask, and can't be hurried by a borrowed phone
	TakeOutRecord:  insiders, // one's own, those of children under one; the coordinator every one
	SeeAudit:       desk,
	OpenBook:       insiders,
	SeeRecord:      insiders,
	SeeHistory:     insiders, // one's own record; the coordinator every one
	LiftTheFlap:    namers,
	PutName:        namers,
	PassOn:         namers,
	AskForView:     {trug.DeterminerRole, trug.Coordinator},
	EndARequest:    insiders,                                // of one's own find or a child's under one; whoever asked
	OpenTable:      {trug.DeterminerRole, trug.Coordinator}, // who only coordinates reads what waits
	CompleteName:   {trug.DeterminerRole, trug.Coordinator, trug.Leader},
	ReadAPlace:     insiders,
	SeeGround:      insiders,
	OpenSquares:    desk,
	SeeDeposits:    everybody,
	GetArchive:     everybody,
	PrepareDeposit: desk,
	PublishDeposit: desk,
	OpenDesk:       desk,
	KeepDesk:       desk,
	SeeSites:       leaders, // what they tell people on the spot
	SeeForays:      leaders, // others see the coming ones, without who comes
	KeepForay:      leaders, // a leader their own; the coordinator every one
	ComeAlong:      insiders,
	AddSomebody:    desk,
	AddChecklist:   desk,
	SeeDrawing:     everybody,
	SeeSizes:       insiders, // in views that they see
	MeasureView:    insiders, // in one's own record; determiners and the coordinator in every one that they see
	SeeCards:       insiders, // one's own printings; the coordinator every one
	PrintCards:     insiders,
	LeaveSeason:    everybody,
	TakeAlong:      insiders, // what they may know of it
	ComeIn:         everybody,
	KeepOwnWays:    insiders, // each their own
}

// May reports whether the viewer may ask for the action.
func (v Viewer) May(action Action) bool {
	for _, r := range Permissions[action] {
		if v.has(r) {
			return true
		}
	}
	return false
}

// Permit returns nil when the viewer may ask for the action, else an error of
// kind NotEntered for outsiders and NotAllowed for others. Every use case asks
// it; the web asks it as well before it reads what was sent.
func (v Viewer) Permit(action Action) error {
	switch {
	case v.May(action):
		return nil
	case v.Person == nil && v.Lapsed:
		return trug.Errorf(trug.NotEntered, "", "This device is no longer signed in: it was not used for long, or it was signed out from elsewhere. Come in again to %s.", action.said())
	case v.Person == nil:
		return trug.Errorf(trug.NotEntered, "", "To %s, come in first: by the season's field code, or by signing in.", action.said())
	default:
		return trug.Errorf(trug.NotAllowed, "", "Your part in this season does not let you %s. Ask the coordinator if it should.", action.said())
	}
}

// open permits the action and returns the ledger of the viewer's season.
func (a *App) open(ctx context.Context, v Viewer, action Action) (*ledger, error) {
	if err := v.Permit(action); err != nil {
		return nil, err
	}
	l, err := a.ledger(ctx, v.Season)
	if err != nil {
		return nil, err
	}
	if !slices.Contains(Permissions[action], trug.Outsider) {
		if err := l.closedTo(v); err != nil {
			return nil, err
		}
	}
	if v.Person != nil && v.Person.Minor {
		l = l.forChildren()
	}
	return l, nil
}
