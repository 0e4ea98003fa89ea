package app

import (
	"bytes"
	"cmp"
	"encoding/json"
	"maps"
	"slices"
	"strings"
	"unicode"

	"trug"
	"trug/internal/store"
)

// auditAct is a sort of act that the audit can be narrowed to: the kinds of
// things whose changes it takes in.
type auditAct struct {
	act, words string
	kinds      []store.Kind
}

// changeActs parts all kinds of things among the sorts of changes. A test holds
// that none lacks and none stands twice.
var changeActs = []auditAct{
	{"records", "Records, views and photographs", []store.Kind{store.Records, store.Views, store.Photographs, store.Messages}},
	{"names", "Names put to finds, passed on, asked for", []store.Kind{store.Determinations, store.Passes, store.Requests, store.Lifts}},
	{"sizes", "Cards in photographs, sizes and colours", []store.Kind{store.CardBatches, store.FoundCards, store.Measurements, store.Colours}},
	{"seen", "Views on which a person can be seen", []store.Kind{store.Marks}},
	{"people", "People, and names taken out", []store.Kind{store.People, store.Redactions, store.Wishes}},
	{"sites", "Sites", []store.Kind{store.Sites}},
	{"forays", "Forays, visits and field slips", []store.Kind{store.Forays, store.SlipRanges}},
	{"lists", "Checklist, look-alikes, protected names", []store.Kind{store.Taxa, store.LookAlikes, store.Protections}},
	{"season", "The season and its deposits", []store.Kind{store.Seasons, store.Deposits}},
}

// kindWords says what was done when a thing was added or changed.
var kindWords = map[store.Kind]struct{ added, changed string }{
	store.Seasons:        {"set the season up", "changed the season's settings"},
	store.People:         {"added a person", "changed what is kept of a person"},
	store.Sites:          {"added a site", "changed a site"},
	store.Forays:         {"added a foray or visit", "changed a foray or visit"},
	store.Taxa:           {"added a name to the checklist", "changed a name of the checklist"},
	store.LookAlikes:     {"listed a pair of look-alikes", "changed a pair of look-alikes"},
	store.Protections:    {"protected a name", "changed how a name is protected"},
	store.Records:        {"made a record", "changed a record"},
	store.Photographs:    {"handed in a photograph", "changed what is kept of a photograph"},
	store.Views:          {"laid a view to a record", "changed a view"},
	store.Determinations: {"put a name to a find", "changed a determination slip"},
	store.Passes:         {"passed a find on", "changed to whom a find is passed"},
	store.Requests:       {"asked for more evidence", "changed what is asked for"},
	store.Lifts:          {"lifted the flap", "changed a lifted flap"},
	store.Deposits:       {"published a deposit", "changed what is kept of a deposit"},
	store.SlipRanges:     {"had field slips numbered", "changed a run of field slips"},
	store.Marks:          {"said that a person can be seen on a view", "settled such a mark"},
	store.Redactions:     {"took somebody's name out of the season", "changed a taking-out"},
	store.CardBatches:    {"added a batch of field cards", "changed a batch of field cards"},
	store.FoundCards:     {"had the card looked for in a photograph", "had the card looked for again"},
	store.Measurements:   {"measured a find", "changed a measurement"},
	store.Colours:        {"measured a colour of a find", "changed a measured colour"},
	store.Messages:       {"sent a record from a phone", "changed what is kept of a sending"},
	store.Wishes:         {"asked for a name to be taken out", "settled what was asked"},
}

// changeWords says what was done, and which fields of the thing it changed,
// without values: a value may be a place.
func changeWords(c store.Amendment) string {
	words := kindWords[c.Kind]
	what := words.added
	if c.Kind == store.People && c.By.Person == c.ID {
		what = "came into the season" // by the field code
	}
	if c.Before != nil {
		var before, after map[string]json.RawMessage
		_ = json.Unmarshal(c.Before, &before) // what can't be read counts as changed
		_ = json.Unmarshal(c.After, &after)
		var fields []string
		for _, field := range slices.Sorted(maps.Keys(merged(before, after))) {
			if !bytes.Equal(before[field], after[field]) {
				fields = append(fields, field)
			}
		}
		what = cmp.Or(turnWords(c.Kind, fields, after), words.changed+": "+fieldList(fields))
	}
	if c.Redacted > 0 {
		what += " (words were taken out since)"
	}
	return what
}

// turnWords says a change that is an act of its own; empty for others.
func turnWords(kind store.Kind, fields []string, after map[string]json.RawMessage) string {
	changed := func(field string) bool { return slices.Contains(fields, field) }
	text := func(field string) (s string) { _ = json.Unmarshal(after[field], &s); return s }
	outOrBack := func(out, back string) string {
		if _, gone := after["withdrawn"]; gone {
			return out
		}
		return back
	}
	switch {
	case kind == store.Records && changed("withdrawn"):
		return outOrBack("took a record out of the season", "put a record back")
	case kind == store.Views && changed("withdrawn"):
		return outOrBack("took a view out of a record", "put a view in again")
	case kind == store.Photographs && changed("originalGone"):
		return "had the original of a photograph deleted"
	case kind == store.Photographs && changed("crop"):
		return "cropped a view"
	case kind == store.Marks && changed("how") && text("how") == string(trug.Cropped):
		return "settled a mark that a person can be seen: cropped"
	case kind == store.Marks && changed("how"):
		return "settled a mark that a person can be seen: cleared. " + strings.TrimSuffix(trug.ClearedFor(text("why")).Words(), ".")
	case kind == store.Wishes && changed("how"):
		return "settled the wish for a name to be taken out: " + wishEndWords[trug.WishEnd(text("how"))]
	case (kind == store.LookAlikes || kind == store.Protections) && changed("removed"):
		if _, gone := after["removed"]; gone {
			return map[store.Kind]string{store.LookAlikes: "took a pair of look-alikes off the list", store.Protections: "took a name off the protected ones"}[kind]
		}
	case kind == store.Seasons && changed("opened"):
		return "opened the season to recorders"
	}
	return ""
}

// wishEndWords says how a wish ended.
var wishEndWords = map[trug.WishEnd]string{
	trug.WishDone: "done", trug.WishTakenBack: "taken back", trug.WishUnsure: "not clear who asked", trug.WishStays: "the name is to stay",
	trug.WishChildren: "children take part under them", trug.WishLastOfDesk: "the season would have no coordinator",
}

// fieldList writes the names of fields for people.
func fieldList(fields []string) string {
	if len(fields) == 0 {
		return "nothing that is shown"
	}
	words := make([]string, len(fields))
	for i, f := range fields {
		words[i] = cmp.Or(string(fieldWords[f]), spaced(f))
	}
	return strings.Join(words, ", ")
}

// spaced writes a field's name as words: "nearestRoad" as "nearest road".
func spaced(field string) string {
	var b strings.Builder
	for i, r := range field {
		if unicode.IsUpper(r) && i > 0 {
			b.WriteByte(' ')
		}
		b.WriteRune(unicode.ToLower(r))
	}
	return strings.ReplaceAll(b.String(), "_", " ")
}

func merged(x, y map[string]json.RawMessage) map[string]json.RawMessage {
	all := maps.Clone(x)
	if all == nil {
		all = map[string]json.RawMessage{}
	}
	maps.Copy(all, y)
	return all
}

// AuditThing is what an act was about, as it can be opened.
type AuditThing struct {
	Kind  string  `json:"kind" doc:"record, site, foray, person, deposit, season or name"`
	ID    trug.ID `json:"id"`
	Words string  `json:"words"`
	// secret is set where the words or the thing tell of a place that not
	// everybody of the season may know.
	secret bool
}

// thingOf returns what a change was about; nil where there is nothing to open.
func (l *ledger) thingOf(c store.Amendment, holding map[trug.ID]trug.ID) *AuditThing {
	switch c.Kind {
	case store.Views, store.Determinations, store.Passes, store.Requests, store.Lifts, store.Marks, store.Measurements, store.Colours, store.Messages:
		return l.thingFor(store.Records, c.Parent)
	case store.Photographs:
		return l.thingFor(store.Records, holding[c.ID])
	case store.FoundCards:
		var card trug.FoundCard
		_ = json.Unmarshal(c.After, &card)
		return l.thingFor(store.Records, holding[card.PhotographID])
	case store.SlipRanges:
		return l.thingFor(store.Forays, c.Parent)
	case store.Redactions, store.Wishes:
		var about struct {
			Person trug.ID `json:"person"`
		}
		_ = json.Unmarshal(c.After, &about)
		return l.thingFor(store.People, about.Person)
	}
	return l.thingFor(c.Kind, c.ID)
}

func (l *ledger) thingFor(kind store.Kind, id trug.ID) *AuditThing {
	t := &AuditThing{Kind: string(kind), ID: id}
	switch kind {
	case store.Records:
		f := l.finds[id]
		if f == nil || f.ID == "" {
			return nil
		}
		t.Words, t.secret = f.Number, l.guarded(f)
	case store.Sites:
		s := l.sites[id]
		t.Words, t.secret = strings.TrimSpace(s.Code+" "+s.Name), !s.Open
	case store.Forays:
		y := l.forays[id]
		site, known := l.sites[y.SiteID]
		t.Words, t.secret = strings.TrimSpace(y.Code+" "+y.Name), known && !site.Open
	case store.People:
		t.Words = l.person(id)
	case store.Taxa:
		t.Kind, t.Words = "name", l.taxa[id].Name
	case store.LookAlikes:
		t.Kind, t.Words = "name", cmp.Or(l.alikes[id].Name, l.goneAlikes[id].Name)
	case store.Protections:
		t.Kind, t.Words = "name", cmp.Or(l.protections[id].Name, l.goneProtections[id].Name)
	case store.Deposits:
		if d, ok := l.deposits[id]; ok {
			t.Words = "version " + figureWords(d.Number)
		}
	case store.Seasons:
		t.Words = l.season.Title
	}
	if t.Words == "" {
		return nil
	}
	return t
}
