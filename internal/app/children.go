package app

import (
	"context"
	"encoding/json"
	"fmt"
	"maps"
	"slices"
	"strings"
	"sync"

	"trug"
	"trug/internal/store"
	"trug/science/describe"
)

// What children are told stands in set sentences: no adult's own words about
// a find reach them. So that no route can forget it, a child is answered from a
// ledger of its own, in which such words do not stand.

// freeWords are the fields of a record in which people write what they like.
var freeWords = map[string]func(r *trug.Record) *string{
	"remarks":   func(r *trug.Record) *string { return &r.Remarks },
	"host":      func(r *trug.Record) *string { return &r.Host },
	"smell":     func(r *trug.Record) *string { return &r.Smell },
	"voucher":   func(r *trug.Record) *string { return &r.Voucher },
	"fieldName": func(r *trug.Record) *string { return &r.FieldName.Name },
	"namedBy":   func(r *trug.Record) *string { return &r.FieldName.By },
}

// placeWords is how the place was typed; words within an answer to a question
// are called by answerTo and its character.
const placeWords, answerTo = "place", "answer: "

// freeFields lists the fields of a record in which words can stand.
func freeFields(r *trug.Record) []string {
	out := append(slices.Sorted(maps.Keys(freeWords)), placeWords)
	for _, a := range r.Description {
		out = append(out, answerTo+a.Character)
	}
	return out
}

// free returns the words that somebody chose in a field; states of the
// vocabulary, which are offered to everybody, are none.
func free(r *trug.Record, field string) string {
	if character, ok := strings.CutPrefix(field, answerTo); ok {
		for _, a := range r.Description {
			if a.Character == character {
				return a.Text
			}
		}
		return ""
	}
	if field == placeWords {
		if r.Place == nil {
			return ""
		}
		return r.Place.Verbatim
	}
	text := *freeWords[field](r)
	if _, ok := describe.Find(field, text); ok {
		return ""
	}
	return text
}

// withhold takes the words of a field out. The record shares nothing that is
// changed with the one that it was copied from.
func withhold(r *trug.Record, field string) {
	switch character, answer := strings.CutPrefix(field, answerTo); {
	case free(r, field) == "":
	case answer:
		r.Description = slices.Clone(r.Description)
		for i := range r.Description {
			if r.Description[i].Character == character {
				r.Description[i].Text = ""
			}
		}
		// An answer of words alone says nothing without them.
		r.Description = slices.DeleteFunc(r.Description, func(a describe.Answer) bool {
			return a.Text == "" && len(a.States) == 0 && a.Number == nil && a.Blank == describe.Answered
		})
	case field == placeWords:
		p := *r.Place
		p.Verbatim, r.Place = "", &p
	default:
		*freeWords[field](r) = ""
	}
}

// traceWords finds out which words in a child's record somebody else wrote: the
// history tells. What the program wrote by itself counts as the child's.
func (l *ledger) traceWords(ctx context.Context, r store.Reader, f *find) error {
	f.others = nil
	if f.ID == "" || !l.people[f.RecorderID].Minor || !slices.ContainsFunc(freeFields(&f.Record), func(field string) bool { return free(&f.Record, field) != "" }) {
		return nil
	}
	history, err := r.History(ctx, store.Records, f.ID)
	if err != nil {
		return err
	}
	others := map[string]bool{}
	var was trug.Record
	for _, c := range history {
		var is trug.Record
		if err := json.Unmarshal(c.After, &is); err != nil {
			return fmt.Errorf("read who wrote what of a record: %w", err)
		}
		for _, field := range freeFields(&is) {
			if free(&was, field) != free(&is, field) {
				others[field] = c.By.Person != "" && c.By.Person != f.RecorderID
			}
		}
		was = is
	}
	f.others = others
	return nil
}

// traceAll does it for all records of a season.
func (l *ledger) traceAll(ctx context.Context, r store.Reader) error {
	for _, f := range l.finds {
		if err := l.traceWords(ctx, r, f); err != nil {
			return err
		}
	}
	return nil
}

// traceChanged does it for records that were changed, and for those of people
// of whom it was changed whether they are children.
func (l *ledger) traceChanged(ctx context.Context, r store.Reader, before *ledger, touched map[trug.ID]bool, people []trug.ID) error {
	turned := map[trug.ID]bool{}
	for _, id := range people {
		if l.people[id].Minor != before.people[id].Minor {
			turned[id] = true
		}
	}
	if len(turned) > 0 {
		for id, f := range l.finds {
			if turned[f.RecorderID] && !touched[id] {
				l.finds[id] = f.copy()
				touched[id] = true
			}
		}
	}
	for id := range touched {
		if f := l.finds[id]; f != nil {
			if err := l.traceWords(ctx, r, f); err != nil {
				return err
			}
		}
	}
	return nil
}

// childLedger is the ledger for children, made when the first of them asks.
type childLedger struct {
	once sync.Once
	made *ledger
}

// forChildren returns the ledger as children may read it: of adults' records
// the facts without free words, of children's records the children's own words,
// of slips the names of the checklist without remarks.
func (l *ledger) forChildren() *ledger {
	if l.whole != nil {
		return l
	}
	l.children.once.Do(func() {
		c := *l
		c.whole, c.people, c.finds = l, maps.Clone(l.people), make(map[trug.ID]*find, len(l.finds))
		for id, p := range c.people {
			c.people[id] = childsPerson(p)
		}
		for id, f := range l.finds {
			c.finds[id] = l.childsFind(f)
		}
		c.inOrder = make([]*find, len(l.inOrder))
		for i, f := range l.inOrder {
			c.inOrder[i] = c.finds[f.ID]
		}
		l.children.made = &c
	})
	return l.children.made
}

// full returns the ledger with all words: what is written back goes by it.
func (l *ledger) full() *ledger {
	if l.whole != nil {
		return l.whole
	}
	return l
}

// childsPerson leaves out what others noted about somebody in their own words.
func childsPerson(p trug.Person) trug.Person {
	p.Scope, p.Consents = "", slices.Clone(p.Consents)
	for i := range p.Consents {
		p.Consents[i].How, p.Consents[i].WithdrawnHow = "", ""
	}
	return p
}

func (l *ledger) childsFind(f *find) *find {
	g := f.copy()
	adults := !l.people[f.RecorderID].Minor
	for _, field := range freeFields(&f.Record) {
		if adults || f.others[field] {
			withhold(&g.Record, field)
		}
	}
	for i := range g.slips {
		g.slips[i] = l.childsSlip(g.slips[i])
	}
	for i := range g.passes {
		g.passes[i].Remark = ""
	}
	g.naming.Counting = slices.Clone(g.naming.Counting)
	for i := range g.naming.Counting {
		g.naming.Counting[i] = l.childsSlip(g.naming.Counting[i])
	}
	if name := g.naming.Taxon.Name; name != "" && !l.listed(name) {
		g.naming.Taxon = trug.Taxon{Name: unlistedName}
		g.naming.Qualifier = trug.NoQualifier
	}
	return g
}

// unlistedName stands for a name that is on no list: it may be any words.
const unlistedName = "a name that is not on the checklist"

func (l *ledger) childsSlip(d trug.Determination) trug.Determination {
	d.Remark = ""
	if !l.listed(d.Name) {
		d.Name, d.Rank, d.Qualifier = unlistedName, "", trug.NoQualifier
	}
	return d
}

func (l *ledger) listed(name string) bool {
	_, ok := l.list.ByName(name)
	return ok
}

// keepUnseen leaves in a child's record what others wrote and the child was not
// shown: an empty field of their form does not mean that they take it out.
func keepUnseen(before *find, r *trug.Record) {
	for field := range before.others {
		text := freeWords[field]
		if text != nil && before.others[field] && *text(r) == "" {
			*text(r) = *text(&before.Record)
		}
	}
}
