package app

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"maps"
	"slices"

	"trug"
	"trug/internal/offline"
	"trug/internal/store"
	"trug/science/key/asking"
	"trug/science/said"
)

// MessageAnswer is what became of a message from a phone.
type MessageAnswer struct {
	Phone  trug.ID `json:"phone"`
	Number int64   `json:"number"`
	Record trug.ID `json:"record"`
	// State is "taken" when record and photographs are durable here, now or
	// before; "missing" when photographs have to be sent first; "refused" when
	// something needs another look; "later" when it should be sent again.
	State string `json:"state" enum:"taken,missing,refused,later"`
	// FieldNumber and Version are the record's, once it is taken.
	FieldNumber string `json:"fieldNumber,omitempty"`
	Version     int    `json:"version,omitempty"`
	// Kept are the SHA-256 of the message's photographs that are durable here,
	// in the record or among those taken out of it.
	Kept []trug.Hash `json:"kept"`
	// Missing are the photographs that have not arrived.
	Missing []trug.Hash `json:"missing"`
	// Lost are the values that somebody had changed meanwhile, by field; they
	// are in the record's history.
	Lost   []offline.Loss  `json:"lost"`
	Says   string          `json:"says,omitempty" doc:"What is wrong, and what to do"`
	Faults []FaultOfAField `json:"faults"`
	Said   said.Fields     `json:"said,omitempty"`
}

// FaultOfAField is what is wrong with one field of a record that was sent.
type FaultOfAField struct {
	Field string      `json:"field"`
	Says  string      `json:"says"`
	Said  said.Fields `json:"said,omitempty"`
}

// TakeMessages takes messages from phones that were out of reach, each for
// itself and in their order. Every one may be sent again. What could not be
// taken is said in its answer; an error is given only where none could be.
func (a *App) TakeMessages(ctx context.Context, v Viewer, list []offline.Message) ([]MessageAnswer, error) {
	if _, err := a.open(ctx, v, SaveARecord); err != nil {
		return nil, err
	}
	if len(list) > offline.MaxMessages {
		return nil, trug.Errorf(trug.TooLarge, "", "%d records at once are too many: send at most %d", len(list), offline.MaxMessages)
	}
	out := []MessageAnswer{}
	for _, m := range list {
		answer, err := a.takeMessage(ctx, v, m)
		if err != nil {
			if answer, err = refusal(answer, err); err != nil {
				return nil, err
			}
		}
		answer.Lost, answer.Faults, answer.Missing, answer.Kept = notNil(answer.Lost), notNil(answer.Faults), notNil(answer.Missing), notNil(answer.Kept)
		out = append(out, answer)
	}
	return out, nil
}

// refusal says in an answer why a message was not taken; what is not the
// message's fault is given back as it is.
func refusal(answer MessageAnswer, err error) (MessageAnswer, error) {
	var one *trug.Error
	var many trug.Faults
	switch kind := trug.KindOf(err); kind {
	case trug.Busy:
		answer.State = "later"
	case trug.Invalid, trug.NotFound, trug.NotAllowed, trug.Conflict, trug.TooLarge:
		answer.State = "refused"
	default:
		return answer, err
	}
	if errors.As(err, &many) {
		for _, f := range many {
			answer.Faults = append(answer.Faults, faultOfAField(f))
		}
	} else if errors.As(err, &one) && one.Field != "" {
		answer.Faults = append(answer.Faults, faultOfAField(one))
	}
	if errors.As(err, &one) {
		answer.Says = one.Says
		answer.Said.Put("says", one.Said)
	}
	return answer, nil
}

func faultOfAField(e *trug.Error) FaultOfAField {
	f := FaultOfAField{Field: e.Field, Says: e.Says}
	f.Said.Put("says", e.Said)
	return f
}

// errMoved is set when a record changed between being read and being written.
var errMoved = errors.New("the record changed meanwhile")

func (a *App) takeMessage(ctx context.Context, v Viewer, m offline.Message) (MessageAnswer, error) {
	answer := MessageAnswer{Phone: m.Phone, Number: m.Number, Record: m.Record}
	if err := m.Validate(); err != nil {
		return answer, err
	}
	photographs, missing, err := a.photographsOf(ctx, v, m)
	if err != nil || len(missing) > 0 {
		answer.State, answer.Missing = "missing", missing
		answer.Says = "Photographs of this record have not arrived yet."
		return answer, err
	}
	for range 5 {
		if err = a.mergeMessage(ctx, v, m, photographs, &answer); !errors.Is(err, errMoved) {
			break
		}
	}
	if errors.Is(err, errMoved) {
		err = trug.Errorf(trug.Busy, "", "This record is being changed elsewhere just now: send it again in a moment.")
	}
	if err != nil {
		return answer, err
	}
	answer.State = "taken"
	for _, view := range m.Views {
		if view.Photograph != "" {
			answer.Kept = append(answer.Kept, view.Photograph)
		}
	}
	a.dropArrived(ctx, v, answer.Kept)
	return answer, nil
}

// mergeMessage merges a message with the record as it stands, in one transaction.
func (a *App) mergeMessage(ctx context.Context, v Viewer, m offline.Message, photographs map[string]trug.ID, answer *MessageAnswer) error {
	l, err := a.open(ctx, v, SaveARecord)
	if err != nil {
		return err
	}
	l = l.full()
	// What was taken out meanwhile, or never was of this record, is called nothing.
	m.Kinds = slices.DeleteFunc(slices.Clone(m.Kinds), func(k offline.Renaming) bool { return len(l.finds[m.Record].viewsOf(k.Photograph, true)) == 0 })
	m = m.Apart()
	past, err := a.pastOf(ctx, l, v, m)
	if err != nil {
		return err
	}
	if past.known != nil {
		return a.takenBefore(l, v, m, past, answer)
	}
	e, out, err := l.merged(m, past, photographs)
	if err != nil {
		return err
	}
	loser, err := a.loserOf(ctx, v, l, m, out)
	if err != nil {
		return err
	}
	before := func(w store.Writer, r trug.Record) error {
		if now, err := w.History(ctx, store.Records, m.Record); err != nil || len(now) != past.version {
			return errors.Join(err, errMoved)
		}
		if _, named, err := namings(ctx, w, l.finds[m.Record], m); err != nil || named != past.named {
			return errors.Join(err, errMoved)
		}
		if loser == nil {
			return nil
		}
		return store.Put(ctx, w, *loser, a.author(v), a.Clock())
	}
	kept := trug.Message{SeasonID: l.season.ID, RecordID: m.Record, By: v.Person.ID, Phone: m.Phone, Number: m.Number, Seen: m.Seen,
		From: past.version, Took: out.Take, Received: a.Clock(), ClockAhead: m.ClockAhead(a.Clock()).Seconds()}
	for _, loss := range out.Lost {
		kept.Lost = append(kept.Lost, loss.Field)
	}
	if kept.ID, err = a.newID(); err != nil {
		return err
	}
	after := func(w store.Writer, r trug.Record) error {
		now, err := w.History(ctx, store.Records, m.Record)
		if err != nil {
			return err
		}
		kept.To = len(now)
		if err := a.putLosers(ctx, v, w, l.finds[m.Record], m, out); err != nil {
			return err
		}
		answer.FieldNumber, answer.Version, answer.Lost = r.Number, kept.To, lossesTold(out.Lost)
		return store.Put(ctx, w, kept, a.author(v), a.Clock())
	}
	return a.saveWith(ctx, v, l, m.Record, e, before, after)
}

// takenBefore answers a message that came before.
func (a *App) takenBefore(l *ledger, v Viewer, m offline.Message, p past, answer *MessageAnswer) error {
	f := l.finds[m.Record]
	if p.known.RecordID != m.Record || !f.stands() || !v.is(f.RecorderID) && !v.has(trug.Coordinator) {
		return trug.Errorf(trug.NotFound, "", "There is no such record among yours.")
	}
	answer.FieldNumber, answer.Version = f.Number, p.version
	var lost []offline.Loss
	for _, field := range p.known.Lost {
		lost = append(lost, offline.Loss{Field: field, Why: offline.Unseen})
	}
	answer.Lost = lossesTold(lost)
	return nil
}

// lossesTold names what was lost as the message did: its answers are one field there.
func lossesTold(lost []offline.Loss) (out []offline.Loss) {
	for _, l := range lost {
		if len(offline.AnswersIn([]string{l.Field})) > 0 {
			l.Field = "answers"
		}
		if !slices.ContainsFunc(out, func(told offline.Loss) bool { return told.Field == l.Field }) {
			out = append(out, l)
		}
	}
	return out
}

// past is what a record went through before a message came.
type past struct {
	version int
	changes []offline.Change
	// named counts the amendments of the views that the message renames.
	named int
	// known is the message itself, where it came before.
	known *trug.Message
}

// pastOf reads what the record of a message went through.
func (a *App) pastOf(ctx context.Context, l *ledger, v Viewer, m offline.Message) (past, error) {
	var p past
	err := a.Store.Read(ctx, func(r store.Reader) error {
		key := trug.Message{By: v.Person.ID, Phone: m.Phone, Number: m.Number}.Key()
		if known, err := store.ByKey[trug.Message](ctx, r, l.season.ID, key); err == nil {
			p.known = &known
		} else if trug.KindOf(err) != trug.NotFound {
			return err
		}
		history, err := r.History(ctx, store.Records, m.Record)
		if err != nil {
			return err
		}
		if n := len(history); n > 0 && history[n-1].Seq > l.seq {
			return errMoved // since the ledger was read, which the message is merged with
		}
		messages, err := store.List[trug.Message](ctx, r, store.Filter{Season: l.season.ID, Parent: m.Record})
		p.version, p.changes = len(history), changesOf(history, messages)
		if err != nil {
			return err
		}
		names, named, err := namings(ctx, r, l.finds[m.Record], m)
		p.changes, p.named = append(p.changes, names...), named
		return err
	})
	return p, err
}

// changesOf tells the history of a record as the rule of merging knows it: a
// change for each message, and one for each amendment that no message made.
func changesOf(history []store.Amendment, messages []trug.Message) []offline.Change {
	var out []offline.Change
	for _, m := range messages {
		out = append(out, offline.Change{Version: m.To, Phone: m.Phone, Number: m.Number, Fields: m.Took})
	}
	for i, c := range history {
		version := i + 1
		if slices.ContainsFunc(messages, func(m trug.Message) bool { return m.From < version && version <= m.To }) {
			continue
		}
		if changed := offline.Differing(valuesIn(c.Before), valuesIn(c.After)); len(changed) > 0 {
			out = append(out, offline.Change{Version: version, Fields: changed})
		}
	}
	slices.SortStableFunc(out, func(x, y offline.Change) int { return x.Version - y.Version })
	return out
}

// namings tells how the views that a message renames got their names, and counts
// their amendments.
func namings(ctx context.Context, r store.Reader, f *find, m offline.Message) (out []offline.Change, count int, err error) {
	if !f.stands() {
		return nil, 0, nil
	}
	for _, k := range m.Kinds {
		i := slices.IndexFunc(f.views, func(w trug.View) bool { return w.PhotographID == k.Photograph })
		if i < 0 {
			continue
		}
		history, err := r.History(ctx, store.Views, f.views[i].ID)
		if err != nil {
			return nil, 0, err
		}
		count += len(history)
		for _, c := range history {
			var was, is trug.View
			if json.Unmarshal(c.After, &is) != nil || len(c.Before) > 0 && json.Unmarshal(c.Before, &was) != nil || is.Renamed <= was.Renamed {
				continue // made, cropped, or a name that was written down for the history alone
			}
			change := offline.Change{Version: is.Renamed, Fields: []string{offline.KindField(k.Photograph)}}
			if is.NamedBy != nil {
				change.Phone, change.Number = is.NamedBy.Phone, is.NamedBy.Number
			}
			out = append(out, change)
		}
	}
	return out, count, nil
}

// putLosers writes down the names of views that do not stand, and what stands over
// them: so both are in the history.
func (a *App) putLosers(ctx context.Context, v Viewer, w store.Writer, f *find, m offline.Message, out offline.Outcome) error {
	for _, loss := range out.Lost {
		photograph, is := offline.KindsField(loss.Field)
		for _, stands := range f.viewsOf(photograph, is) {
			loser := stands
			if json.Unmarshal(m.Set[loss.Field], &loser.Kind) != nil {
				continue
			}
			for _, view := range []trug.View{loser, stands} {
				if err := store.Put(ctx, w, view, a.author(v), a.Clock()); err != nil {
					return err
				}
			}
		}
	}
	return nil
}

// viewsOf returns the find's view of a photograph, where it has one and it is asked for.
func (f *find) viewsOf(photograph trug.ID, asked bool) (out []trug.View) {
	if !asked || !f.stands() {
		return nil
	}
	for _, w := range f.views {
		if w.PhotographID == photograph {
			out = append(out, w)
		}
	}
	return out
}

// valuesIn returns the fields of a record's body as messages name them.
func valuesIn(body json.RawMessage) offline.Values {
	f := &find{}
	if len(body) == 0 || json.Unmarshal(body, &f.Record) != nil {
		return offline.Values{}
	}
	return withAnswers(valuesOf(editable(f)), f.Record)
}

// withAnswers adds to the fields of a record its answers to further questions, as a
// screen gives them.
func withAnswers(values offline.Values, r trug.Record) offline.Values {
	out := maps.Clone(values)
	for _, x := range r.Description {
		// Of structs of texts and numbers; else it counts as another answer.
		out[offline.AnswerField(x.Character)], _ = json.Marshal(asking.Given(x))
	}
	return out
}

// valuesOf returns an editable record as the fields that messages name.
func valuesOf(e *EditableRecord) offline.Values {
	out := offline.Values{}
	text, err := json.Marshal(e)
	if err == nil {
		err = json.Unmarshal(text, &out)
	}
	if err != nil {
		return offline.Values{} // structs of texts and numbers can be written
	}
	delete(out, "views")
	return out
}

// recordOf makes an editable record of fields; one that has no form of its
// field's is an error of kind Invalid.
func recordOf(values offline.Values) (EditableRecord, error) {
	var e EditableRecord
	var given []json.RawMessage
	for _, c := range offline.AnswersIn(slices.Sorted(maps.Keys(values))) {
		given = append(given, values[offline.AnswerField(c)])
	}
	if len(given) > 0 {
		values = maps.Clone(values)
		values["answers"], _ = json.Marshal(given) // each was read as JSON
	}
	text, err := json.Marshal(values)
	if err == nil {
		err = json.Unmarshal(text, &e)
	}
	if err != nil {
		var wrong *json.UnmarshalTypeError
		if errors.As(err, &wrong) {
			return e, trug.Errorf(trug.Invalid, wrong.Field, "this can't be read as what belongs here: enter it anew")
		}
		return e, trug.Errorf(trug.Invalid, "set", "the record can't be read: enter it anew")
	}
	return e, nil
}

// merged returns the record to be saved, and what becomes of the message's fields.
func (l *ledger) merged(m offline.Message, p past, photographs map[string]trug.ID) (EditableRecord, offline.Outcome, error) {
	now := offline.Values{}
	var views []EditableView
	f := l.finds[m.Record]
	if f.stands() {
		was := editable(f)
		now, views = valuesOf(was), was.Views
	}
	standing := now
	if f.stands() {
		standing = withAnswers(now, f.Record)
		for _, w := range f.views {
			standing[offline.KindField(w.PhotographID)], _ = json.Marshal(w.Kind) // a text can be written
		}
	}
	out := offline.Merge(p.changes, standing, m)
	e, err := recordOf(now.With(m, out.Take))
	if err != nil {
		return e, out, err
	}
	for i, view := range m.Views {
		id := photographs[view.Key()]
		if l.outViews[id].ID != "" || slices.ContainsFunc(views, func(w EditableView) bool { return w.Photograph == id }) {
			continue // taken out meanwhile, or here already, perhaps under another name
		}
		if id == "" {
			return e, out, fmt.Errorf("view %d of a message has no photograph", i)
		}
		views = append(views, EditableView{Photograph: id, Kind: view.Kind})
	}
	for i, w := range views {
		if field := offline.KindField(w.Photograph); slices.Contains(out.Take, field) && json.Unmarshal(m.Set[field], &views[i].Kind) == nil {
			views[i].By = &trug.Sending{Phone: m.Phone, Number: m.Number}
		}
	}
	// What stood before was asked about then.
	e.Views = views
	e.OutsideIsOK = m.OutsideIsOK || f.stands() && !slices.Contains(out.Take, "place")
	e.DateIsOK = m.DateIsOK || f.stands() && !slices.Contains(out.Take, "found")
	return e, out, nil
}

// loserOf returns the record as it would be had the values stood that do not:
// written before what stands, it puts them into the history. Nil when none is lost.
func (a *App) loserOf(ctx context.Context, v Viewer, l *ledger, m offline.Message, out offline.Outcome) (*trug.Record, error) {
	f := l.finds[m.Record]
	if len(out.Lost) == 0 || !f.stands() {
		return nil, nil
	}
	var fields []string
	for _, loss := range out.Lost {
		if _, view := offline.KindsField(loss.Field); !view { // putLosers writes those
			fields = append(fields, loss.Field)
		}
	}
	if len(fields) == 0 {
		return nil, nil
	}
	e, err := recordOf(valuesOf(editable(f)).With(m, fields))
	if err != nil {
		return nil, err
	}
	e.OutsideIsOK, e.DateIsOK = true, true
	r := f.Record
	if err := a.fill(l, &r, e); err != nil {
		return nil, err
	}
	if err := a.takeAnswers(ctx, v, l, &r, e.Answers); err != nil {
		return nil, err
	}
	return &r, nil
}
