package app

import (
	"bytes"
	"cmp"
	"context"
	"encoding/csv"
	"encoding/json"
	"fmt"
	"maps"
	"slices"
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
)

// auditPage is how many lines a page of the audit has, auditMost how many go
// into a file.
const (
	auditPage = 200
	auditMost = 100_000
)

// AuditAsked chooses lines of the audit.
type AuditAsked struct {
	What   string  // auditLooks, auditChanges or auditEntries
	Person trug.ID // by whom; empty for all
	Number string  // field number of the record; empty for all
	Before int64   // lines with a lower number; 0 for the newest
}

// AuditLine is a line of the audit. No line holds a place.
type AuditLine struct {
	Seq    int64     `json:"seq" doc:"Number within its list; 0 where there is none"`
	At     time.Time `json:"at"`
	Person trug.ID   `json:"person,omitempty"`
	By     string    `json:"by"`
	What   string    `json:"what"`
	Record trug.ID   `json:"record,omitempty"`
	Number string    `json:"number,omitempty"`
}

// AuditPage is a page of the audit, newest first.
type AuditPage struct {
	What  string      `json:"what"`
	Lines []AuditLine `json:"lines"`
	// Next is what to ask for as "before" to read on; 0 at the end.
	Next int64 `json:"next,omitempty"`
	// People are those who can be asked for.
	People []AuditPerson `json:"people"`
}

// AuditPerson is somebody whose lines can be asked for.
type AuditPerson struct {
	ID   trug.ID `json:"id"`
	Name string  `json:"name"`
	Code string  `json:"code,omitempty"`
}

// Audit returns who looked at protected and private places, who changed what,
// or who came in and who guessed, for the coordinator. The coordinator's own
// looks stand in it like everybody's.
func (a *App) Audit(ctx context.Context, v Viewer, q AuditAsked) (AuditPage, error) {
	l, lines, err := a.audit(ctx, v, q, auditPage+1)
	if err != nil {
		return AuditPage{}, err
	}
	page := AuditPage{What: q.What, Lines: notNil(lines), People: []AuditPerson{}}
	if len(lines) > auditPage {
		page.Lines = lines[:auditPage]
		page.Next = lines[auditPage-1].Seq
	}
	for _, p := range l.people {
		page.People = append(page.People, AuditPerson{p.ID, p.Name, p.Code})
	}
	slices.SortFunc(page.People, func(x, y AuditPerson) int {
		return cmp.Or(strings.Compare(x.Name, y.Name), strings.Compare(x.Code, y.Code), strings.Compare(string(x.ID), string(y.ID)))
	})
	return page, nil
}

// AuditCSV returns the lines as CSV, newest first.
func (a *App) AuditCSV(ctx context.Context, v Viewer, q AuditAsked) ([]byte, error) {
	_, lines, err := a.audit(ctx, v, q, auditMost)
	if err != nil {
		return nil, err
	}
	var b bytes.Buffer
	w := csv.NewWriter(&b)
	_ = w.Write([]string{"number", "at", "person", "by", "what", "record"})
	for _, x := range lines {
		_ = w.Write([]string{fmt.Sprint(x.Seq), x.At.UTC().Format(time.RFC3339), string(x.Person), harmless(x.By), harmless(x.What), harmless(x.Number)})
	}
	w.Flush()
	return b.Bytes(), w.Error()
}

func (a *App) audit(ctx context.Context, v Viewer, q AuditAsked, limit int) (*ledger, []AuditLine, error) {
	l, err := a.open(ctx, v, SeeAudit)
	if err != nil {
		return nil, nil, err
	}
	var record trug.ID
	if q.Number != "" {
		f := l.byNumber()[strings.TrimSpace(q.Number)]
		if f == nil {
			return nil, nil, trug.Errorf(trug.Invalid, "number", "no record of the season has the number %q: write it whole, such as %s", q.Number, trug.FieldNumber(l.season.Code, 100))
		}
		record = f.ID
	}
	var lines []AuditLine
	switch q.What {
	case auditLooks:
		lines, err = a.auditLooks(ctx, l, q, record, limit)
	case auditChanges:
		lines, err = a.auditChanges(ctx, l, q, record, limit)
	case auditEntries:
		lines, err = a.auditEntries(ctx, l, q)
	default:
		err = trug.Errorf(trug.Invalid, "what", "%q can't be asked for: use looks, changes or entries", q.What)
	}
	return l, lines, err
}

func (a *App) auditLooks(ctx context.Context, l *ledger, q AuditAsked, record trug.ID, limit int) (lines []AuditLine, err error) {
	err = a.Store.Read(ctx, func(r store.Reader) error {
		looks, err := r.Looks(ctx, store.LookFilter{Season: l.season.ID, Person: q.Person, Record: record, Before: q.Before, Limit: limit})
		for _, k := range looks {
			lines = append(lines, AuditLine{Seq: k.Seq, At: k.At, Person: k.Person, By: l.person(k.Person), What: "place seen by the " + k.Way,
				Record: k.Record, Number: l.numberOf(k.Record)})
		}
		return err
	})
	return lines, err
}

// numberOf returns the field number of a record, empty where there is none.
func (l *ledger) numberOf(record trug.ID) string {
	if f := l.finds[record]; f != nil {
		return f.Number
	}
	return ""
}

// auditChanges reads the amendments from the first to the last and keeps the
// newest of those that are asked for: a season has tens of thousands, and this
// is asked for seldom.
func (a *App) auditChanges(ctx context.Context, l *ledger, q AuditAsked, record trug.ID, limit int) ([]AuditLine, error) {
	const batch = 2000
	var lines []AuditLine
	err := a.Store.Read(ctx, func(r store.Reader) error {
		for seq := int64(0); ; {
			changes, err := r.Since(ctx, l.season.ID, seq, batch)
			if err != nil {
				return err
			}
			for _, c := range changes {
				seq = c.Seq
				of := c.Parent
				if c.Kind == store.Records {
					of = c.ID
				}
				switch {
				case q.Before > 0 && c.Seq >= q.Before, q.Person != "" && c.By.Person != q.Person, record != "" && of != record:
				default:
					lines = append(lines, AuditLine{Seq: c.Seq, At: c.At, Person: c.By.Person, By: l.whoDid(c.By), What: changeWords(c), Number: l.numberOf(of)})
					if l.numberOf(of) != "" {
						lines[len(lines)-1].Record = of
					}
				}
			}
			if len(lines) > 2*limit {
				lines = slices.Clone(lines[len(lines)-limit:])
			}
			if len(changes) < batch || q.Before > 0 && seq >= q.Before {
				return nil
			}
		}
	})
	slices.Reverse(lines)
	return lines[:min(limit, len(lines))], err
}

// whoDid names who made a change: a person, or the program by itself.
func (l *ledger) whoDid(by store.Author) string {
	if by.Person == "" {
		return "the program (" + by.Device + ")"
	}
	return l.person(by.Person)
}

// changeWords says which fields of which thing were changed, without values:
// a value may be a place.
func changeWords(c store.Amendment) string {
	what := c.Kind.Word()
	if c.Kind == store.Redactions {
		return "somebody's name was taken out of the season"
	}
	var before, after map[string]json.RawMessage
	_ = json.Unmarshal(c.Before, &before) // what can't be read counts as changed
	_ = json.Unmarshal(c.After, &after)
	if c.Before == nil {
		what += " added"
	} else {
		var fields []string
		for _, field := range slices.Sorted(maps.Keys(merged(before, after))) {
			if !bytes.Equal(before[field], after[field]) {
				fields = append(fields, cmp.Or(fieldWords[field], field))
			}
		}
		what += ": " + strings.Join(fields, ", ")
	}
	if c.Redacted > 0 {
		what += " (words were taken out since)"
	}
	return what
}

func merged(x, y map[string]json.RawMessage) map[string]json.RawMessage {
	all := maps.Clone(x)
	if all == nil {
		all = map[string]json.RawMessage{}
	}
	maps.Copy(all, y)
	return all
}

// auditEntries lists the devices that are signed in and the guesses of the
// last thirty days.
func (a *App) auditEntries(ctx context.Context, l *ledger, q AuditAsked) (lines []AuditLine, err error) {
	err = a.Store.Read(ctx, func(r store.Reader) error {
		sessions, err := store.ListSecrets[trug.Session](ctx, r, store.SecretFilter{Season: l.season.ID})
		if err != nil {
			return err
		}
		for _, s := range sessions {
			if q.Person == "" || q.Person == s.PersonID {
				lines = append(lines, AuditLine{At: s.Created, Person: s.PersonID, By: l.person(s.PersonID), What: fmt.Sprintf("came in by %s (%s)", s.By, s.Label)})
			}
		}
		guesses, err := store.ListSecrets[trug.Guesses](ctx, r, store.SecretFilter{Season: l.season.ID})
		for _, g := range guesses {
			if q.Person == "" && g.Of != ofSeason && g.Wrong > 0 {
				lines = append(lines, AuditLine{At: g.Last, By: "unknown, mark " + g.Mark, What: fmt.Sprintf("%s tried in vain, %s", g.What, count(g.Wrong, "time"))})
			}
		}
		return err
	})
	slices.SortFunc(lines, func(x, y AuditLine) int { return y.At.Compare(x.At) })
	return lines, err
}
