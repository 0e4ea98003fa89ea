package offline

import (
	"bytes"
	"encoding/json"
	"maps"
	"slices"
	"strings"
	"time"

	"trug"
	"trug/science/said"
)

// Fields are those that a message can set, by their names in the API's
// editable record. Each is set or left alone as a whole; a place is one. Answers to
// further questions are set one by one: see Apart.
var Fields = []string{"found", "place", "fieldName", "namedBy", "form", "substrate", "host", "habit", "ripeness", "smell", "sporePrint",
	"numberSeen", "remarks", "answers", "garden"}

// answers is the field that holds a list of answers to further questions.
const answers = "answers"

// AnswerField is the name by which an answer about a character is merged.
func AnswerField(character string) string { return answers + "." + character }

// AnswersIn returns the characters that fields hold answers about, in their order.
func AnswersIn(fields []string) (out []string) {
	for _, f := range fields {
		if c, ok := strings.CutPrefix(f, answers+"."); ok {
			out = append(out, c)
		}
	}
	return out
}

// kinds is what the names of views are merged under.
const kinds = "kinds"

// KindField is the name by which the kind of a view is merged.
func KindField(photograph trug.ID) string { return kinds + "." + string(photograph) }

// KindsField reports the photograph of such a name.
func KindsField(field string) (photograph trug.ID, is bool) {
	id, is := strings.CutPrefix(field, kinds+".")
	return trug.ID(id), is
}

// Apart returns the message with each of its answers, and each name that it gives to a
// view, as a field of its own, so that two who answer different questions lose nothing. A list that can't be read, or is
// longer than MaxAnswers, stays as it is.
func (m Message) Apart() Message {
	if len(m.Kinds) > 0 {
		set := maps.Clone(m.Set)
		if set == nil {
			set = Values{}
		}
		for _, k := range m.Kinds {
			set[KindField(k.Photograph)], _ = json.Marshal(k.Kind) // a text can be written
		}
		m.Set = set
	}
	var list []json.RawMessage
	if value, ok := m.Set[answers]; !ok || json.Unmarshal(value, &list) != nil || len(list) > MaxAnswers {
		return m
	}
	set := maps.Clone(m.Set)
	delete(set, answers)
	for _, one := range list {
		var about struct {
			Character string `json:"character"`
		}
		if json.Unmarshal(one, &about) != nil {
			return m
		}
		set[AnswerField(about.Character)] = one
	}
	m.Set = set
	return m
}

// seen is which version of a field the phone had: of the record, or of the view's name.
func (m Message) seen(field string) int {
	for _, k := range m.Kinds {
		if KindField(k.Photograph) == field {
			return k.Seen
		}
	}
	return m.Seen
}

// fieldsOf returns the fields of values in the order of Fields, then the answers by
// their characters and the names of views by their photographs.
func fieldsOf(of ...Values) []string {
	out := slices.Clone(Fields)
	for _, values := range of {
		for _, f := range slices.Sorted(maps.Keys(values)) {
			if (strings.HasPrefix(f, answers+".") || strings.HasPrefix(f, kinds+".")) && !slices.Contains(out, f) {
				out = append(out, f)
			}
		}
	}
	return out
}

// Limits of a message.
const (
	// MaxViews bounds the views that one message adds to a record.
	MaxViews = 60
	// MaxAnswers bounds the answers to further questions that one message gives.
	MaxAnswers = 200
	// MaxMessages bounds how many messages are sent at once.
	MaxMessages = 20
	// mostOff is how far a phone's clock may be off and still be put down; a
	// clock set further off says nothing.
	mostOff = 50 * 365 * 24 * time.Hour
)

// Message is what a phone tells of one record.
type Message struct {
	// Phone is the identifier that the app on this phone gave itself, and Number
	// counts its messages from 1: together they tell a message that comes again.
	Phone  trug.ID `json:"phone"`
	Number int64   `json:"number"`
	Record trug.ID `json:"record"`
	// Seen is the version of the record that the phone had when this was
	// entered; 0 for a record that the server had not yet taken.
	Seen int `json:"seen"`
	// Made and Sent are what the phone's clock said when this was entered and
	// when it was sent. Nothing is ordered by them.
	Made time.Time `json:"made"`
	Sent time.Time `json:"sent"`
	// Set holds the fields that were entered or changed; null blanks one.
	Set   map[string]json.RawMessage `json:"set"`
	Views []View                     `json:"views"`
	// Kinds say that views which the record has are other views than they are called.
	Kinds []Renaming `json:"kinds,omitempty"`
	// OutsideIsOK and DateIsOK answer the questions that the form asks about
	// places and days outside the season.
	OutsideIsOK bool `json:"outsideIsOK,omitempty"`
	DateIsOK    bool `json:"dateIsOK,omitempty"`
}

// View is a photograph that a message adds to its record.
type View struct {
	// Photograph is the SHA-256 of the original; empty where Handed is given.
	Photograph trug.Hash `json:"photograph,omitempty"`
	// Handed is the identifier of a photograph that was handed in whole before.
	Handed trug.ID       `json:"handed,omitempty"`
	Kind   trug.ViewKind `json:"kind"`
	// FileName is the name that the phone gave the file; may be empty.
	FileName string `json:"fileName,omitempty"`
}

// Renaming calls a view that a record has by another kind.
type Renaming struct {
	// Photograph is the identifier of the view's photograph.
	Photograph trug.ID       `json:"photograph"`
	Kind       trug.ViewKind `json:"kind"`
	// Seen is how often the view had got another kind when the phone saw it: names of
	// views are counted apart from the versions of their record.
	Seen int `json:"seen,omitempty"`
}

// Key tells the view's photograph among those of its message.
func (v View) Key() string { return string(v.Photograph) + string(v.Handed) }

// valid reports whether the view names one photograph and a kind of view.
func (v View) valid() bool {
	one := v.Photograph.Valid() && v.Handed == "" || v.Photograph == "" && v.Handed.Valid()
	return one && v.Kind.Valid()
}

// Validate returns all that is wrong with the message by itself, or nil.
// Whether the values can be kept is asked where the record is.
func (m Message) Validate() error {
	var f trug.Faults
	fault := func(field string, says said.Words) {
		f = append(f, &trug.Error{Kind: trug.Invalid, Field: field, Says: string(says), Said: said.As(says)})
	}
	if !m.Phone.Valid() || m.Number < 1 {
		fault("phone", "a message says which phone sends it, by a UUID of version 7, and its number, from 1")
	}
	if !m.Record.Valid() {
		fault("record", "a record is told by a UUID of version 7, made on the phone")
	}
	if m.Seen < 0 {
		fault("seen", "the version that was seen is 0 or more")
	}
	for name := range m.Set {
		if !slices.Contains(Fields, name) {
			fault("set", "a message sets fields of a record, and this one names another: load the app again, so that it is the server's")
			break
		}
	}
	var list []json.RawMessage
	if json.Unmarshal(m.Set[answers], &list) == nil && len(list) > MaxAnswers {
		fault("answers", "more than 200 answers at once are too many: a record has one for each question")
	}
	if len(m.Views) > MaxViews {
		fault("views", "more than 60 views at once are too many: send them in two messages")
	}
	seen := map[string]bool{}
	for _, v := range m.Views {
		if !v.valid() || seen[v.Key()] {
			fault("views", "a view names a photograph by its SHA-256 or its identifier, once, and one of the kinds of view")
			break
		}
		seen[v.Key()] = true
	}
	if !renamings(m.Kinds) {
		fault(kinds, "what is renamed is a photograph by its identifier, once, and one of the kinds of view, 60 at most")
	}
	if len(f) == 0 {
		return nil
	}
	return f
}

// renamings reports whether each names another photograph and a kind of view.
func renamings(list []Renaming) bool {
	seen := map[trug.ID]bool{}
	for _, k := range list {
		if !k.Photograph.Valid() || !k.Kind.Valid() || k.Seen < 0 || seen[k.Photograph] {
			return false
		}
		seen[k.Photograph] = true
	}
	return len(list) <= MaxViews
}

// ClockAhead returns by how much the phone's clock was ahead of the server's
// when the message was received; the way that the message took is in it. It is
// 0 where the phone did not say, or its clock stands at no sensible time.
func (m Message) ClockAhead(received time.Time) time.Duration {
	off := m.Sent.Sub(received)
	if m.Sent.IsZero() || off.Abs() > mostOff {
		return 0
	}
	return off
}

// Same reports whether two values of a field are the same: as JSON, with what
// is blank in any way the same as left out.
func Same(a, b json.RawMessage) bool {
	return bytes.Equal(plain(a), plain(b))
}

// plain writes a value in one form, nothing for a blank one.
func plain(v json.RawMessage) []byte {
	var read any
	if len(v) == 0 || json.Unmarshal(v, &read) != nil {
		return bytes.TrimSpace(v)
	}
	switch x := read.(type) {
	case nil:
		return nil
	case string:
		if x == "" {
			return nil
		}
	case float64:
		if x == 0 {
			return nil
		}
	case bool:
		if !x {
			return nil
		}
	}
	out, _ := json.Marshal(read) // what was read can be written; keys are sorted
	return out
}
