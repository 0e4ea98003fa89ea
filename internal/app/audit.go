package app

import (
	"bytes"
	"cmp"
	"context"
	"encoding/csv"
	"fmt"
	"slices"
	"strconv"
	"strings"
	"time"

	"trug"
	"trug/internal/store"
)

// What an audit can be about.
const (
	auditLooks   = "looks"
	auditChanges = "changes"
	auditEntries = "entries"
	auditGuesses = "guesses"
)

// auditPage is how many lines a page of the audit has, auditMost how many go
// into a file.
const (
	auditPage = 100
	auditMost = 100_000
)

// AuditAsked chooses lines of the audit. Empty fields do not restrict.
type AuditAsked struct {
	What   string    // auditLooks, auditChanges, auditEntries or auditGuesses
	Act    string    // a sort of act within it
	Person trug.ID   // by whom
	Thing  string    // field number of a record, mark of a site, foray or person
	From   trug.Date // first and last day, by the season's clock
	Until  trug.Date
	Before string // what a page gave as next
}

// auditQuestion is what was asked for, understood.
type auditQuestion struct {
	AuditAsked
	thing       store.Named
	from, until time.Time // from the first instant to before the second; zero for ever
	limit       int
}

func (q auditQuestion) within(at time.Time) bool {
	return (q.from.IsZero() || !at.Before(q.from)) && (q.until.IsZero() || at.Before(q.until))
}

// AuditLine is a line of the audit. No line holds a place.
type AuditLine struct {
	Seq    int64     `json:"seq,omitempty" doc:"Number within its list; missing where there is none"`
	At     time.Time `json:"at"`
	Person trug.ID   `json:"person,omitempty"`
	By     string    `json:"by"`
	What   string    `json:"what" doc:"What was done, in words, without values"`
	// Thing is what it was about; missing where nothing can be opened.
	Thing *AuditThing `json:"thing,omitempty"`
	key   trug.ID
}

// AuditPage is a page of the audit, newest first.
type AuditPage struct {
	What  string      `json:"what"`
	Lines []AuditLine `json:"lines"`
	// Next is what to ask for as "before" to read on; missing at the end.
	Next string `json:"next,omitempty"`
	// Acts are the sorts of acts that this list can be narrowed to.
	Acts []AuditAct `json:"acts"`
	// People are those who can be asked for.
	People []AuditPerson `json:"people"`
	// Kept says how long lines of this list are kept.
	Kept string `json:"kept"`
}

// AuditAct is a sort of act by its code and in words.
type AuditAct struct {
	Act   string `json:"act"`
	Words string `json:"words"`
}

// AuditPerson is somebody whose lines can be asked for.
type AuditPerson struct {
	ID   trug.ID `json:"id"`
	Name string  `json:"name"`
	Code string  `json:"code,omitempty"`
}

// keptWords say how long the lines of each list are kept.
var keptWords = map[string]string{
	auditLooks:   "Kept as long as the season. Repeated looks of one person at one thing by the same page count once an hour.",
	auditChanges: "Kept as long as the season; no value stands here, since a value may be a place.",
	auditEntries: "Erased 90 days after somebody was signed out. The sort of device is kept, and no address.",
	auditGuesses: "Erased 30 days after the last try. Where it came from is told apart by a mark; no address is kept.",
}

// Audit returns who looked at protected and private places, who changed what,
// who came in and what was tried in vain, for the coordinator. The
// coordinator's own looks stand in it like everybody's, and so does the look at
// the audit itself where it tells of such places.
func (a *App) Audit(ctx context.Context, v Viewer, q AuditAsked) (AuditPage, error) {
	l, lines, next, err := a.audit(ctx, v, q, auditPage)
	if err != nil {
		return AuditPage{}, err
	}
	page := AuditPage{What: q.What, Lines: notNil(lines), Next: next, Acts: actsOf(q.What), People: []AuditPerson{}, Kept: keptWords[q.What]}
	for _, p := range l.people {
		page.People = append(page.People, AuditPerson{p.ID, p.Name, p.Code})
	}
	slices.SortFunc(page.People, func(x, y AuditPerson) int {
		return cmp.Or(strings.Compare(x.Name, y.Name), strings.Compare(x.Code, y.Code), strings.Compare(string(x.ID), string(y.ID)))
	})
	return page, nil
}

// actsOf lists the sorts of acts of a list.
func actsOf(what string) []AuditAct {
	out := []AuditAct{}
	switch what {
	case auditLooks:
		for _, w := range ways {
			out = append(out, AuditAct{w, "by the " + w})
		}
	case auditChanges:
		for _, x := range changeActs {
			out = append(out, AuditAct{x.act, x.words})
		}
	default:
		for _, w := range trug.WaysIn {
			out = append(out, AuditAct{string(w), "by " + string(w)})
		}
	}
	return out
}

// AuditCSV returns the lines as CSV, newest first. No cell of it is run as a
// formula by a spreadsheet.
func (a *App) AuditCSV(ctx context.Context, v Viewer, q AuditAsked) ([]byte, error) {
	_, lines, _, err := a.audit(ctx, v, q, auditMost)
	if err != nil {
		return nil, err
	}
	var b bytes.Buffer
	w := csv.NewWriter(&b)
	_ = w.Write([]string{"number", "at", "person", "by", "what", "about", "thing"})
	for _, x := range lines {
		t := cmp.Or(x.Thing, &AuditThing{})
		number := ""
		if x.Seq > 0 {
			number = strconv.FormatInt(x.Seq, 10)
		}
		_ = w.Write([]string{number, x.At.UTC().Format(time.RFC3339), harmless(string(x.Person)), harmless(x.By), harmless(x.What), t.Kind, harmless(t.Words)})
	}
	w.Flush()
	return b.Bytes(), w.Error()
}

func (a *App) audit(ctx context.Context, v Viewer, asked AuditAsked, limit int) (*ledger, []AuditLine, string, error) {
	l, err := a.open(ctx, v, SeeAudit)
	if err != nil {
		return nil, nil, "", err
	}
	q, err := l.auditQuestion(asked, limit)
	if err != nil {
		return nil, nil, "", err
	}
	var lines []AuditLine
	next := ""
	switch q.What {
	case auditLooks:
		lines, err = a.auditLooks(ctx, l, q)
	case auditChanges:
		lines, err = a.auditChanges(ctx, l, q)
	case auditEntries:
		lines, next, err = a.auditEntries(ctx, l, q)
	case auditGuesses:
		lines, err = a.auditGuesses(ctx, l, q)
	}
	if err != nil {
		return nil, nil, "", err
	}
	if len(lines) > limit {
		lines = lines[:limit]
		next = strconv.FormatInt(lines[limit-1].Seq, 10)
	}
	if slices.ContainsFunc(lines, func(x AuditLine) bool { return x.Thing != nil && x.Thing.secret }) {
		err = a.noteLooks(ctx, v, store.Look{Season: l.season.ID, Person: v.Person.ID, Way: byAudit})
	}
	return l, lines, next, err
}

// auditQuestion understands what was asked for.
func (l *ledger) auditQuestion(asked AuditAsked, limit int) (q auditQuestion, err error) {
	q = auditQuestion{AuditAsked: asked, limit: limit}
	if keptWords[q.What] == "" {
		return q, trug.Errorf(trug.Invalid, "what", "%q can't be asked for: use looks, changes, entries or guesses", q.What)
	}
	if q.Act != "" && !slices.ContainsFunc(actsOf(q.What), func(x AuditAct) bool { return x.Act == q.Act }) {
		return q, trug.Errorf(trug.Invalid, "act", "this list has no acts called %q: leave it blank for all", q.Act)
	}
	if q.Before != "" && q.What != auditEntries {
		if n, err := strconv.ParseInt(q.Before, 10, 64); err != nil || n < 1 {
			return q, trug.Errorf(trug.Invalid, "before", "%q is no place to read on from: use what a page gave as next", q.Before)
		}
	}
	for _, d := range []struct {
		day   trug.Date
		field string
		at    *time.Time
		later int
	}{{q.From, "from", &q.from, 0}, {q.Until, "until", &q.until, 1}} {
		if d.day == "" {
			continue
		}
		if !d.day.Valid() {
			return q, trug.Errorf(trug.Invalid, d.field, "%q is not a day: write it as 2026-10-10", d.day)
		}
		day, _ := time.ParseInLocation(time.DateOnly, string(d.day), zone(l.season))
		*d.at = day.AddDate(0, 0, d.later)
	}
	if q.From != "" && q.Until != "" && q.Until < q.From {
		return q, trug.Errorf(trug.Invalid, "until", "the last day lies before the first: turn them round")
	}
	q.thing, err = l.namedThing(q.Thing)
	return q, err
}

// namedThing finds what somebody typed: a field number, or the mark of a site,
// foray or person.
func (l *ledger) namedThing(text string) (store.Named, error) {
	text = strings.TrimSpace(text)
	if text == "" {
		return store.Named{}, nil
	}
	if f := l.byNumber()[strings.ToUpper(text)]; f != nil {
		return store.Named{Kind: store.Records, ID: f.ID}, nil
	}
	for id, s := range l.sites {
		if strings.EqualFold(s.Code, text) {
			return store.Named{Kind: store.Sites, ID: id}, nil
		}
	}
	for id, y := range l.forays {
		if strings.EqualFold(y.Code, text) {
			return store.Named{Kind: store.Forays, ID: id}, nil
		}
	}
	for id, p := range l.people {
		if strings.EqualFold(p.Code, text) {
			return store.Named{Kind: store.People, ID: id}, nil
		}
	}
	return store.Named{}, trug.Errorf(trug.Invalid, "thing", "nothing of the season has the number or mark %q: write it whole, such as %s for a record", text, trug.FieldNumber(l.season.Code, 100))
}

func (q auditQuestion) beforeSeq() int64 {
	n, _ := strconv.ParseInt(q.Before, 10, 64) // checked when it was asked
	return n
}

func (a *App) auditLooks(ctx context.Context, l *ledger, q auditQuestion) (lines []AuditLine, err error) {
	f := store.LookFilter{Season: l.season.ID, Person: q.Person, Way: q.Act, From: q.from, Until: q.until, Before: q.beforeSeq(), Limit: q.limit + 1}
	switch q.thing.Kind {
	case store.Records:
		f.Record = q.thing.ID
	case store.Sites:
		f.Site = q.thing.ID
	case "":
	default:
		return nil, trug.Errorf(trug.Invalid, "thing", "looks are at records and sites: give a field number or the mark of a site")
	}
	err = a.Store.Read(ctx, func(r store.Reader) error {
		looks, err := r.Looks(ctx, f)
		for _, k := range looks {
			line := AuditLine{Seq: k.Seq, At: k.At, Person: k.Person, By: l.person(k.Person), What: "saw a place by the " + k.Way}
			switch {
			case k.Record != "":
				line.Thing = l.thingFor(store.Records, k.Record)
			case k.Site != "":
				line.What, line.Thing = "saw private ground by the "+k.Way, l.thingFor(store.Sites, k.Site)
			default:
				line.What = "saw of which finds and sites the " + k.Way + " tells"
			}
			lines = append(lines, line)
		}
		return err
	})
	return lines, err
}

func (a *App) auditChanges(ctx context.Context, l *ledger, q auditQuestion) (lines []AuditLine, err error) {
	f := store.AmendmentFilter{Season: l.season.ID, Person: q.Person, Of: q.thing, From: q.from, Until: q.until, Before: q.beforeSeq(), Limit: q.limit + 1}
	if i := slices.IndexFunc(changeActs, func(x auditAct) bool { return x.act == q.Act }); i >= 0 {
		f.Kinds = changeActs[i].kinds
	}
	err = a.Store.Read(ctx, func(r store.Reader) error {
		changes, err := r.Amendments(ctx, f)
		var holding map[trug.ID]trug.ID
		if slices.ContainsFunc(changes, func(c store.Amendment) bool { return c.Kind == store.Photographs || c.Kind == store.FoundCards }) {
			holding = l.recordsOfPhotographs()
		}
		for _, c := range changes {
			lines = append(lines, AuditLine{Seq: c.Seq, At: c.At, Person: c.By.Person, By: l.whoDid(c.By), What: changeWords(c), Thing: l.thingOf(c, holding)})
		}
		return err
	})
	return lines, err
}

// recordsOfPhotographs tells of which record each photograph is a view.
func (l *ledger) recordsOfPhotographs() map[trug.ID]trug.ID {
	all := map[trug.ID]trug.ID{}
	for id, f := range l.finds {
		for _, w := range f.views {
			all[w.PhotographID] = id
		}
	}
	return all
}

// numberOf returns the field number of a record, empty where there is none.
func (l *ledger) numberOf(record trug.ID) string {
	if f := l.finds[record]; f != nil {
		return f.Number
	}
	return ""
}

// whoDid names who made a change: a person, or the program by itself.
func (l *ledger) whoDid(by store.Author) string {
	if by.Person == "" {
		return "the program (" + by.Device + ")"
	}
	return l.person(by.Person)
}

// figureWords writes a number of a deposit.
func figureWords(n int) string { return fmt.Sprint(n) }
