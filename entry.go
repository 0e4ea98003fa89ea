package trug

import "time"

// The things of this file are what people come in with. They are kept apart
// from the things of a season: no amendment tells of them, no deposit or table
// holds them, and they are deleted when they have served.

// Session is a device on which somebody came in.
type Session struct {
	ID       ID `json:"id"`
	SeasonID ID `json:"season"`
	PersonID ID `json:"person"`
	// Token is the hash of what the device holds in its cookie.
	Token string `json:"token"`
	// Label says in words what sort of device it is: "Firefox on Android".
	Label string `json:"label"`
	// By says with what they came in.
	By      WayIn     `json:"by"`
	Created time.Time `json:"created"`
	// Seen is when the device last asked for something, to the quarter hour.
	Seen time.Time `json:"seen"`
	// Until is when the session ends whatever happens.
	Until time.Time `json:"until"`
}

// SignIn tells that somebody came in, and when and how that ended. It outlasts
// the session for a while, and holds no address.
type SignIn struct {
	ID       ID        `json:"id"` // that of the session
	SeasonID ID        `json:"season"`
	PersonID ID        `json:"person"`
	Label    string    `json:"label"` // what sort of device it was
	By       WayIn     `json:"by"`
	Created  time.Time `json:"created"`
	// Until is when it would end by itself; Ended when it was ended, and How;
	// both are empty while it lasts, and where it ended by itself.
	Until time.Time `json:"until"`
	Ended time.Time `json:"ended,omitzero"`
	How   SignInEnd `json:"how,omitempty"`
}

// SignInEnd is how a sign-in ended.
type SignInEnd string

// The ends of sign-ins.
const (
	EndLeft      SignInEnd = "left"         // on the device itself
	EndElsewhere SignInEnd = "elsewhere"    // from another device of theirs, or by a new password
	EndByDesk    SignInEnd = "desk"         // by a coordinator
	EndAnew      SignInEnd = "invited anew" // by a new invitation
)

// WayIn is with what somebody came in.
type WayIn string

// The ways in. By field code and phrase one is a recorder and nothing more,
// whatever else one is in the season.
const (
	ByFieldCode    WayIn = "field code"
	ByPhrase       WayIn = "recovery phrase"
	ByInvitation   WayIn = "invitation"
	ByPassword     WayIn = "password"
	ByPasskey      WayIn = "passkey"
	ByRecoveryCode WayIn = "recovery code"
	ByDemoLink     WayIn = "link of the demonstration"
)

// WaysIn lists the ways in.
var WaysIn = []WayIn{ByFieldCode, ByPhrase, ByInvitation, ByPassword, ByPasskey, ByRecoveryCode, ByDemoLink}

// RecorderOnly reports whether the way in opens the recorder's part alone.
func (w WayIn) RecorderOnly() bool { return w == ByFieldCode || w == ByPhrase }

// FieldCode lets recorders into a season. It hangs on walls, so it is kept as
// it reads.
type FieldCode struct {
	ID       ID        `json:"id"`
	SeasonID ID        `json:"season"`
	Code     string    `json:"code"`
	By       ID        `json:"by"`
	Created  time.Time `json:"created"`
	// Last is the last day on which it lets anybody in.
	Last Date `json:"last"`
	// Closed is set while the coordinator lets nobody in by it.
	Closed bool `json:"closed,omitempty"`
	// Let counts those whom it has let in, LetAt is when it let in the latest.
	Let   int       `json:"let,omitempty"`
	LetAt time.Time `json:"letAt,omitzero"`
}

// Taking tells whom a field code let in for a phone that may not have heard the
// answer: the phone asks again with the same identifier and is the same person.
type Taking struct {
	ID       ID `json:"id"`
	SeasonID ID `json:"season"`
	PersonID ID `json:"person"`
	// Hash is that of the code, the name to be shown and the random identifier that the
	// phone made for this one time.
	Hash string `json:"hash"`
	// Until is when the code's life is over.
	Until time.Time `json:"until"`
}

// Invitation lets one person come in with roles of their own.
type Invitation struct {
	ID       ID `json:"id"`
	SeasonID ID `json:"season"`
	// Token is the hash of what stands in the link.
	Token string `json:"token"`
	Roles []Role `json:"roles"`
	// PersonID is set where it is for somebody who is in the season already.
	PersonID ID `json:"person,omitempty"`
	// Note says for whom it is, as the coordinator wrote it.
	Note    string    `json:"note,omitempty"`
	By      ID        `json:"by,omitempty"`
	Created time.Time `json:"created"`
	Until   time.Time `json:"until"`
	// Used and Revoked are when it was accepted or taken back; zero while neither.
	Used    time.Time `json:"used,omitzero"`
	UsedBy  ID        `json:"usedBy,omitempty"`
	Revoked time.Time `json:"revoked,omitzero"`
}

// Password is the hash of somebody's password, with the name that goes with it.
type Password struct {
	ID       ID `json:"id"`
	SeasonID ID `json:"season"`
	PersonID ID `json:"person"`
	// SignIn is the name they sign in with, folded; it is unique in a store.
	SignIn  string    `json:"signIn"`
	Hash    string    `json:"hash"`
	Created time.Time `json:"created"`
}

// Passkey is the public half of a key that lives in somebody's device.
type Passkey struct {
	ID       ID `json:"id"`
	SeasonID ID `json:"season"`
	PersonID ID `json:"person"`
	// Credential is the key's own identifier in hexadecimal.
	Credential string `json:"credential"`
	// Key is the credential as the WebAuthn library writes it in JSON.
	Key     []byte    `json:"key"`
	Label   string    `json:"label"`
	Created time.Time `json:"created"`
	Used    time.Time `json:"used,omitzero"`
}

// RecoveryCode is a code that lets its owner in once.
type RecoveryCode struct {
	ID       ID        `json:"id"`
	SeasonID ID        `json:"season"`
	PersonID ID        `json:"person"`
	Hash     string    `json:"hash"`
	Created  time.Time `json:"created"`
}

// Phrase is a recovery phrase, by which a recorder comes in on another phone.
type Phrase struct {
	ID       ID        `json:"id"`
	SeasonID ID        `json:"season"`
	PersonID ID        `json:"person"`
	Hash     string    `json:"hash"`
	Created  time.Time `json:"created"`
}

// Ceremony is a passkey being set up or asked for: a challenge that is out.
type Ceremony struct {
	ID       ID     `json:"id"`
	SeasonID ID     `json:"season,omitempty"`
	PersonID ID     `json:"person,omitempty"`
	Token    string `json:"token"`
	// Challenge is the state as the WebAuthn library writes it in JSON.
	Challenge []byte    `json:"challenge"`
	Until     time.Time `json:"until"`
}

// Guesses counts what was tried in vain to come in from one place, or who came
// in anew from there.
type Guesses struct {
	ID       ID `json:"id"`
	SeasonID ID `json:"season,omitempty"`
	// Place is a hash of what, of which sort and from where: one row each.
	Place string `json:"place"`
	// What was tried, and what Of is counted: a device, an address, a name, a season.
	What WayIn  `json:"what"`
	Of   string `json:"of"`
	// Mark tells places apart on a page; nothing leads back from it.
	Mark  string    `json:"mark"`
	Fill  float64   `json:"fill"`
	At    time.Time `json:"at"`
	Wrong int       `json:"wrong"`
	First time.Time `json:"first"`
	Last  time.Time `json:"last"`
	// Until is when it is forgotten.
	Until time.Time `json:"until"`
}
