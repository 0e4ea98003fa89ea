package app

import (
	"cmp"
	"context"
	"encoding/json"
	"fmt"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"golang.org/x/text/unicode/norm"

	"trug"
	"trug/internal/store"
)

// Mention is a thing of somebody else's in whose words a name stands.
type Mention struct {
	ID    trug.ID `json:"id"`
	Where string  `json:"where" doc:"Which thing it is: remarks of a record, a slip, a foray"`
	Text  string  `json:"text" doc:"The words round the name"`
	// Former is set where it stands in the history alone.
	Former bool `json:"former,omitempty"`
}

// MentionsPage is where somebody's name stands in others' words.
type MentionsPage struct {
	// Names are all that they were called: now, before, and as published.
	Names    []string  `json:"names"`
	Mentions []Mention `json:"mentions"`
}

// mostMentions bounds what is gone through at once by hand.
const mostMentions = 5000

// Mentions searches what others wrote, and its history, for somebody's name
// and earlier names. The coordinator says in which of it the name comes out: a
// program can't tell a person from a plant of the same name.
func (a *App) Mentions(ctx context.Context, v Viewer, who trug.ID) (MentionsPage, error) {
	l, p, err := a.whose(ctx, v, TakeOutName, who)
	if err != nil {
		return MentionsPage{}, err
	}
	page := MentionsPage{Names: []string{}, Mentions: []Mention{}}
	if !p.Gone.IsZero() {
		return page, nil
	}
	if page.Names, err = a.namesOf(ctx, p); err != nil {
		return MentionsPage{}, err
	}
	found, err := a.searchNames(ctx, l, p, page.Names)
	for _, m := range found {
		page.Mentions = append(page.Mentions, m.Mention)
	}
	return page, err
}

// namesOf returns every name that somebody bore in the season, with the form
// in which slips write it.
func (a *App) namesOf(ctx context.Context, p trug.Person) (names []string, err error) {
	err = a.Store.Read(ctx, func(r store.Reader) error {
		history, err := r.History(ctx, store.People, p.ID)
		if err != nil {
			return err
		}
		for _, c := range slices.Backward(history) {
			var was trug.Person
			if err := json.Unmarshal(c.After, &was); err != nil {
				return fmt.Errorf("read what somebody was called: %w", err)
			}
			for _, n := range []string{was.Name, was.Credit, shortName(was.Name), shortName(was.Credit)} {
				if n = strings.Join(strings.Fields(n), " "); n != "" && n != trug.NameTakenOut && !slices.Contains(names, n) {
					names = append(names, n)
				}
			}
		}
		return nil
	})
	return names, err
}

type namedIn struct {
	Mention
	kind store.Kind
}

// searchNames goes through all amendments of the season: a name that was
// written over stands in them still.
func (a *App) searchNames(ctx context.Context, l *ledger, p trug.Person, names []string) ([]namedIn, error) {
	const batch = 2000
	found := map[trug.ID]namedIn{}
	err := a.Store.Read(ctx, func(r store.Reader) error {
		for seq := int64(0); ; {
			changes, err := r.Since(ctx, l.season.ID, seq, batch)
			if err != nil {
				return err
			}
			for _, c := range changes {
				seq = c.Seq
				if err := l.lookForNames(c, p, names, found); err != nil {
					return err
				}
			}
			if len(changes) < batch {
				return nil
			}
		}
	})
	out := make([]namedIn, 0, len(found))
	for _, m := range found {
		out = append(out, m)
	}
	slices.SortFunc(out, func(x, y namedIn) int {
		return cmp.Or(strings.Compare(x.Where, y.Where), strings.Compare(string(x.ID), string(y.ID)))
	})
	return out, err
}

func (l *ledger) lookForNames(c store.Amendment, p trug.Person, names []string, found map[trug.ID]namedIn) error {
	read := readWords[c.Kind]
	if read == nil {
		return nil
	}
	x, err := read(c.After, p)
	if err != nil || x.own {
		return err
	}
	said := ""
	for _, t := range x.texts {
		said = cmp.Or(said, roundName(*t, names))
	}
	m, before := found[c.ID]
	switch {
	case said != "":
		found[c.ID] = namedIn{Mention{ID: c.ID, Where: l.whereWords(c), Text: said}, c.Kind}
	case before: // an amendment later it no longer stands there
		m.Former = true
		found[c.ID] = m
	}
	return nil
}

// written is a thing with its free words; own is set where they are the
// person's own, out of which the name is taken unasked.
type written struct {
	id    trug.ID
	thing any
	texts []*string
	own   bool
}

// readWords lists for each kind of thing the words in which people write what
// they like. Names of fungi are none: a fungus may be called like somebody.
var readWords = map[store.Kind]func(json.RawMessage, trug.Person) (written, error){
	store.Records:        reads(recordTexts, func(r *trug.Record) trug.ID { return r.RecorderID }),
	store.Determinations: reads(func(d *trug.Determination) []*string { return []*string{&d.Remark} }, func(d *trug.Determination) trug.ID { return d.By }),
	store.Passes:         reads(func(x *trug.Pass) []*string { return []*string{&x.Remark} }, func(x *trug.Pass) trug.ID { return x.By }),
	store.Photographs:    reads(func(x *trug.Photograph) []*string { return []*string{&x.FileName} }, func(x *trug.Photograph) trug.ID { return x.By }),
	store.Forays:         reads(forayTexts, func(y *trug.Foray) trug.ID { return y.Leader }),
	store.CardBatches:    reads(func(b *trug.CardBatch) []*string { return []*string{&b.Remark} }, func(b *trug.CardBatch) trug.ID { return b.By }),
	store.Sites:          reads(siteTexts, nil),
	store.Deposits:       reads(func(d *trug.Deposit) []*string { return []*string{&d.Remark} }, func(d *trug.Deposit) trug.ID { return d.By }),
	store.Seasons:        reads(func(s *trug.Season) []*string { return []*string{&s.Contact, &s.Description, &s.RightsHolder} }, nil),
	store.People:         reads(personTexts, func(p *trug.Person) trug.ID { return p.ID }),
}

func reads[T store.Thing](texts func(*T) []*string, by func(*T) trug.ID) func(json.RawMessage, trug.Person) (written, error) {
	return func(body json.RawMessage, p trug.Person) (written, error) {
		thing := new(T)
		if err := json.Unmarshal(body, thing); err != nil {
			return written{}, fmt.Errorf("read what somebody wrote: %w", err)
		}
		row, err := store.RowOf(*thing)
		return written{row.ID, thing, texts(thing), by != nil && by(thing) == p.ID}, err
	}
}

func recordTexts(r *trug.Record) []*string {
	out := []*string{&r.Remarks, &r.Host, &r.Smell, &r.FieldName.By}
	if r.Place != nil {
		out = append(out, &r.Place.Verbatim)
	}
	for i := range r.Description {
		out = append(out, &r.Description[i].Text)
	}
	return out
}

func forayTexts(y *trug.Foray) []*string { return []*string{&y.Note, &y.Name, &y.Weather} }

func siteTexts(s *trug.Site) []*string {
	out := []*string{&s.AssessedBy, &s.Manager, &s.Name, &s.Description, &s.Road, &s.Meeting, &s.Rule}
	if s.Permission != nil {
		out = append(out, &s.Permission.Words, &s.Permission.Part)
	}
	for i := range s.Hazards {
		out = append(out, &s.Hazards[i])
	}
	return out
}

func personTexts(p *trug.Person) []*string {
	out := []*string{&p.Scope}
	for i := range p.Consents {
		out = append(out, &p.Consents[i].How, &p.Consents[i].WithdrawnHow)
	}
	return out
}

// whereWords says to the coordinator which thing an amendment is about.
func (l *ledger) whereWords(c store.Amendment) string {
	switch c.Kind {
	case store.Records:
		return "Record " + l.numberOf(c.ID)
	case store.Determinations:
		return "Remark on a slip of " + l.numberOf(c.Parent)
	case store.Passes:
		return "Remark on passing on " + l.numberOf(c.Parent)
	case store.Photographs:
		return "File name of a photograph"
	case store.Forays:
		return "Foray " + l.forays[c.ID].Code
	case store.Sites:
		return "Site " + l.sites[c.ID].Code
	case store.CardBatches:
		return fmt.Sprintf("Remark on batch %d of cards", l.batches[c.ID].Number)
	case store.Deposits:
		return fmt.Sprintf("Remark on version %d", l.deposits[c.ID].Number)
	case store.People:
		return "Page of " + l.person(c.ID)
	default:
		return "Settings of the season"
	}
}

// word is a run of letters and figures of a text, folded, and where it stands.
type word struct {
	text     string
	from, to int
}

// textWords splits a text into its words. A hyphen joins two, an apostrophe parts them.
func textWords(text string) (out []word) {
	from := -1
	end := func(at int) {
		if from >= 0 {
			out = append(out, word{norm.NFC.String(strings.ToLower(text[from:at])), from, at})
		}
		from = -1
	}
	for i, r := range text {
		switch inWord := unicode.IsLetter(r) || unicode.IsMark(r) || unicode.IsDigit(r) || r == '-' && from >= 0; {
		case inWord && from < 0:
			from = i
		case !inWord:
			end(i)
		}
	}
	end(len(text))
	return out
}

// findName returns where a name stands in a text as whole words, whatever its
// capitals and blanks; from is -1 where it does not.
func findName(text, name string) (from, to int) {
	in, of := textWords(text), textWords(name)
	for i := 0; len(of) > 0 && i+len(of) <= len(in); i++ {
		if slices.EqualFunc(in[i:i+len(of)], of, func(x, y word) bool { return x.text == y.text }) {
			return in[i].from, in[i+len(of)-1].to
		}
	}
	return -1, -1
}

// withoutNames puts other words in the place of each of the names.
func withoutNames(text string, names []string) string {
	long := slices.SortedFunc(slices.Values(names), func(x, y string) int { return len(y) - len(x) })
	for _, name := range long {
		rest, out := text, ""
		for from, to := findName(rest, name); from >= 0; from, to = findName(rest, name) {
			out, rest = out+rest[:from]+trug.NameTakenOut, rest[to:]
		}
		text = out + rest
	}
	return text
}

// roundName returns the words round the first of the names that stands in a
// text, "" where none does.
func roundName(text string, names []string) string {
	const around = 60 // bytes on each side
	for _, name := range names {
		from, to := findName(text, name)
		if from < 0 {
			continue
		}
		start, end := max(0, from-around), min(len(text), to+around)
		for start > 0 && !utf8.RuneStart(text[start]) {
			start--
		}
		for end < len(text) && !utf8.RuneStart(text[end]) {
			end++
		}
		said := strings.Join(strings.Fields(text[start:end]), " ")
		if start > 0 {
			said = "… " + said
		}
		if end < len(text) {
			said += " …"
		}
		return said
	}
	return ""
}

// takeNames takes the names out of the free words of a body, where they are
// the person's own or were said to mean them. A body that bears none stays
// byte for byte as it was written.
func takeNames(kind store.Kind, body json.RawMessage, p trug.Person, names []string, said []trug.ID) (json.RawMessage, error) {
	x, err := readWords[kind](body, p)
	if err != nil || !x.own && !slices.Contains(said, x.id) {
		return body, err
	}
	changed := false
	for _, t := range x.texts {
		if without := withoutNames(*t, names); without != *t {
			*t, changed = without, true
		}
	}
	if !changed {
		return body, nil
	}
	return json.Marshal(x.thing)
}
