package offline

import (
	"encoding/json"
	"maps"
	"slices"

	"trug"
)

// Values are the fields of a record by name, each as JSON.
type Values map[string]json.RawMessage

// Change is one change that a record went through at the server.
type Change struct {
	// Version is that of the record after the change, counted from 1; of a view's
	// name, how often it had been changed.
	Version int
	// Phone and Number tell the message that made it; empty and 0 for a change
	// that was made at the desk or by the form in reach.
	Phone  trug.ID
	Number int64
	// Fields are those that the change set.
	Fields []string
}

// Why says why a value does not stand.
type Why string

// The reasons.
const (
	// Unseen: somebody else had changed the field, and the phone had not seen it.
	Unseen Why = "changed meanwhile"
	// Older: a later message of the same phone came first.
	Older Why = "said anew since"
)

// Loss is a value that goes into the history and does not stand.
type Loss struct {
	Field string `json:"field"`
	Why   Why    `json:"why"`
}

// Outcome is what becomes of a message.
type Outcome struct {
	// Take are the fields whose values stand from now on.
	Take []string
	Lost []Loss
}

// Merge decides about each field of a message, in the order of Fields, and about each
// answer of one that was taken Apart: changes are what the record went through, in the order of their versions, and now is
// what stands. It does not ask whether the message came before; whoever keeps
// messages knows.
func Merge(changes []Change, now Values, m Message) Outcome {
	var out Outcome
	for _, field := range fieldsOf(m.Set) {
		value, set := m.Set[field]
		switch why := standsAgainst(changes, m, field); {
		case !set:
		case why == "" || Same(value, now[field]):
			out.Take = append(out.Take, field)
		default:
			out.Lost = append(out.Lost, Loss{field, why})
		}
	}
	return out
}

// standsAgainst returns why the message can't set the field, empty when it can.
func standsAgainst(changes []Change, m Message, field string) Why {
	var why Why
	for _, c := range changes {
		if !slices.Contains(c.Fields, field) {
			continue
		}
		own := c.Phone == m.Phone && c.Number > 0
		if own && c.Number > m.Number {
			return Older // it was told off already, by the phone itself
		}
		if !own && c.Version > m.seen(field) {
			why = Unseen
		}
	}
	return why
}

// With returns the values with the named fields as the message has them.
func (v Values) With(m Message, fields []string) Values {
	out := maps.Clone(v)
	if out == nil {
		out = Values{}
	}
	for _, field := range fields {
		out[field] = m.Set[field]
	}
	return out
}

// Differing returns in which fields two states of a record differ.
func Differing(before, after Values) []string {
	var out []string
	for _, field := range fieldsOf(before, after) {
		if !Same(before[field], after[field]) {
			out = append(out, field)
		}
	}
	return out
}
