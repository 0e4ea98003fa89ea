package trug

import (
	"strconv"
	"time"
)

// Message is what is kept of a message by which a phone that was out of reach
// told of a record: enough to know it when it comes again, and to merge what
// comes after it. The values themselves are in the record and its history. The
// rule of merging is package internal/offline.
type Message struct {
	ID       ID `json:"id"`
	SeasonID ID `json:"season"`
	RecordID ID `json:"record"`
	By       ID `json:"by"`
	// Phone is the identifier that the app on a phone gave itself, and Number
	// counts its messages.
	Phone  ID    `json:"phone"`
	Number int64 `json:"number"`
	// Seen is the version of the record that the phone had seen; From and To
	// are those before and after the message was taken.
	Seen int `json:"seen"`
	From int `json:"from"`
	To   int `json:"to"`
	// Took names the fields whose values stood, Lost those that went into the
	// history because they had been changed meanwhile.
	Took []string `json:"took,omitempty"`
	Lost []string `json:"lost,omitempty"`
	// ClockAhead is by how many seconds the phone's clock was ahead of the
	// server's when the message came; below nought when it was behind.
	ClockAhead float64   `json:"clockAhead,omitempty"`
	Received   time.Time `json:"received"`
}

// Sending tells a message of a phone: who sent it is who the record belongs to.
type Sending struct {
	Phone  ID    `json:"phone"`
	Number int64 `json:"number"`
}

// Key tells the message among those of its season: who sent it, from which
// phone, and its number; empty for no message.
func (m Message) Key() string {
	if m.Phone == "" {
		return ""
	}
	return string(m.By) + " " + string(m.Phone) + " " + strconv.FormatInt(m.Number, 10)
}
