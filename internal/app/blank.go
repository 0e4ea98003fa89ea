package app

import (
	"encoding/json"
	"fmt"
	"slices"
	"strings"

	"trug"
	"trug/internal/store"
)

// blanking returns what stays of a body when somebody is taken out of it.
type blanking = func(store.Kind, json.RawMessage) (json.RawMessage, error)

// redactable lists what may bear words that tell who somebody is. Forays are all
// gone through, since a sign-up that was taken back stands in their history.
func (l *ledger) redactable(p trug.Person) []store.Named {
	out := []store.Named{{Kind: store.People, ID: p.ID}}
	add := func(kind store.Kind, id trug.ID) { out = append(out, store.Named{Kind: kind, ID: id}) }
	for _, f := range l.finds {
		if f.ID == "" {
			continue
		}
		// Others' records may say that this person named the find.
		add(store.Records, f.ID)
		for _, d := range f.slips {
			if d.By == p.ID {
				add(store.Determinations, d.ID)
			}
		}
		for _, x := range f.passes {
			if x.By == p.ID {
				add(store.Passes, x.ID)
			}
		}
	}
	for _, x := range l.photographs {
		if x.By == p.ID {
			add(store.Photographs, x.ID)
		}
	}
	for _, d := range l.deposits {
		if d.By == p.ID {
			add(store.Deposits, d.ID)
		}
	}
	for _, b := range l.batches {
		if b.By == p.ID {
			add(store.CardBatches, b.ID)
		}
	}
	for _, y := range l.forays {
		add(store.Forays, y.ID)
	}
	slices.SortFunc(out, func(x, y store.Named) int { return strings.Compare(string(x.ID), string(y.ID)) })
	return out
}

// blankOf returns what stays of a body when the person is taken out of it. It
// gives the same for the same body, so that amendments still follow on each
// other. Names are all that they ever bore.
func blankOf(p trug.Person, names []string, said []trug.ID) blanking {
	return func(kind store.Kind, body json.RawMessage) (json.RawMessage, error) {
		var err error
		switch kind {
		case store.People:
			body, err = blanked(body, func(x *trug.Person) bool {
				if x.ID != p.ID {
					return false
				}
				*x = x.TakenOut()
				return true
			})
		case store.Records:
			body, err = blanked(body, func(r *trug.Record) bool { return blankRecord(r, p, names) })
		case store.Passes:
			body, err = blanked(body, func(x *trug.Pass) bool {
				had := x.By == p.ID && x.Remark != ""
				if had {
					x.Remark = ""
				}
				return had
			})
		case store.Photographs:
			body, err = blanked(body, func(x *trug.Photograph) bool { return blankPhotograph(x, p) })
		case store.Forays:
			body, err = blanked(body, func(y *trug.Foray) bool { return blankForay(y, p) })
		case store.Determinations, store.Sites, store.Deposits, store.Seasons, store.CardBatches:
		default:
			err = fmt.Errorf("nobody has said what of a %s tells who somebody is", kind.Word())
		}
		if err != nil {
			return nil, err
		}
		return takeNames(kind, body, p, names, said)
	}
}

func blankPhotograph(x *trug.Photograph, p trug.Person) bool {
	had := x.By == p.ID && x.FileName+x.Camera != ""
	if had {
		x.FileName, x.Camera, x.Notes = "", "", nil
	}
	return had
}

// blankForay takes the person out of those who come, and their own words on
// how it went out of a foray that they led.
func blankForay(y *trug.Foray, p trug.Person) bool {
	is := func(id trug.ID) bool { return id == p.ID }
	had := slices.ContainsFunc(y.SignedUp, is) || slices.ContainsFunc(y.Asking, is)
	y.SignedUp, y.Asking = slices.DeleteFunc(y.SignedUp, is), slices.DeleteFunc(y.Asking, is)
	if y.Leader == p.ID && y.Note != "" {
		y.Note, had = "", true
	}
	return had
}

// blankRecord takes the recorder's own words out of their record, and the name
// out of anybody's where it says who named the find in the hand.
func blankRecord(r *trug.Record, p trug.Person, names []string) (changed bool) {
	for _, name := range names {
		if strings.EqualFold(strings.TrimSpace(r.FieldName.By), name) {
			r.FieldName.By, changed = trug.NameTakenOut, true
		}
	}
	if r.RecorderID != p.ID {
		return changed
	}
	if r.Remarks != "" {
		r.Remarks, changed = "", true
	}
	if r.Place != nil && r.Place.Verbatim != "" {
		r.Place.Verbatim, changed = "", true
	}
	return changed
}

// blanked changes the thing in a body; a body that has nothing to hide stays
// byte for byte as it was written.
func blanked[T store.Thing](body json.RawMessage, change func(*T) bool) (json.RawMessage, error) {
	var thing T
	if err := json.Unmarshal(body, &thing); err != nil {
		return nil, err
	}
	if !change(&thing) {
		return body, nil
	}
	return json.Marshal(thing)
}
