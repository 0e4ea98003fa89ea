package app

import (
	"context"
	"slices"
	"strings"

	"trug"
	"trug/internal/store"
)

// LiftFlap shows the viewer the field name and the earlier opinions of a find
// and notes that they have seen them. Lifting twice notes nothing more.
func (a *App) LiftFlap(ctx context.Context, v Viewer, id trug.ID) (RecordSheet, error) {
	l, err := a.open(ctx, v, LiftTheFlap)
	if err != nil {
		return RecordSheet{}, err
	}
	f, err := l.seen(v, id)
	if err != nil {
		return RecordSheet{}, err
	}
	if !l.underFlap(v, f) {
		return a.sheetFor(ctx, l, v, f)
	}
	lift := trug.Lift{SeasonID: l.season.ID, RecordID: f.ID, By: v.Person.ID, Created: a.Clock()}
	for _, d := range f.slips {
		lift.Slips = append(lift.Slips, d.ID)
	}
	if lift.ID, err = a.newID(); err != nil {
		return RecordSheet{}, err
	}
	if err := a.write(ctx, func(w store.Writer) error { return store.Put(ctx, w, lift, a.author(v), a.Clock()) }); err != nil {
		return RecordSheet{}, err
	}
	return a.Record(ctx, v, id)
}

// Determine pastes a slip: it gives the find a name by the viewer. Earlier
// slips stay. What the viewer had seen of others' opinions is worked out from
// the flaps they lifted, not asked.
func (a *App) Determine(ctx context.Context, v Viewer, id trug.ID, g GivenName) (RecordSheet, error) {
	l, err := a.open(ctx, v, PutName)
	if err != nil {
		return RecordSheet{}, err
	}
	f, err := l.seen(v, id)
	if err != nil {
		return RecordSheet{}, err
	}
	if !g.ID.Valid() {
		return RecordSheet{}, badID()
	}
	if slices.ContainsFunc(f.slips, func(d trug.Determination) bool { return d.ID == g.ID }) {
		return a.sheetFor(ctx, l, v, f) // sent twice
	}
	d, err := a.slip(l, v, f, g)
	if err != nil {
		return RecordSheet{}, err
	}
	if err := a.write(ctx, func(w store.Writer) error { return store.Put(ctx, w, d, a.author(v), a.Clock()) }); err != nil {
		return RecordSheet{}, err
	}
	return a.Record(ctx, v, id)
}

// slip makes a determination of what was given and checks it.
func (a *App) slip(l *ledger, v Viewer, f *find, g GivenName) (trug.Determination, error) {
	name := strings.Join(strings.Fields(g.Name), " ")
	d := trug.Determination{ID: g.ID, SeasonID: l.season.ID, RecordID: f.ID, By: v.Person.ID, Date: a.today(l.season),
		Name: name, Qualifier: g.Qualifier, Basis: g.Basis, Remark: strings.TrimSpace(g.Remark), Created: a.Clock(), Seen: l.hasSeen(v, f)}
	if t, ok := l.list.ByName(name); ok {
		d.Name, d.TaxonID, d.Rank = t.Name, t.ID, t.Rank
	} else {
		if name != "" && !looksScientific(name) {
			return d, trug.Errorf(trug.Invalid, "name", "%q does not look like a scientific name: write a genus with a capital and, if you can, the epithet in small letters, without author", name)
		}
		d.Rank = rankOf(name)
	}
	if d.Rank == trug.Genus && d.Qualifier == trug.NoQualifier {
		d.Qualifier = trug.Sp
	}
	if err := d.Validate(); err != nil {
		return d, err
	}
	if len(l.kinds(f)) == 0 && slices.Contains(d.Basis, trug.FromPhotographs) {
		return d, trug.Errorf(trug.Invalid, "basis", "this record has no photograph: say what the name rests on instead, such as the description")
	}
	var err error
	d.Public, err = a.newPublic()
	return d, err
}

// hasSeen lists the others' determinations that the viewer has seen: those
// under flaps they lifted, and all that came while nothing was hidden from
// them, because they had named the find before or it is their own.
func (l *ledger) hasSeen(v Viewer, f *find) []trug.ID {
	var seen []trug.ID
	open := !l.underFlap(v, f)
	for _, d := range f.slips {
		if v.is(d.By) {
			continue
		}
		lifted := slices.ContainsFunc(f.lifts, func(q trug.Lift) bool { return v.is(q.By) && slices.Contains(q.Slips, d.ID) })
		if open || lifted {
			seen = append(seen, d.ID)
		}
	}
	return seen
}

// looksScientific reports whether a name is a capitalised word, followed by
// words in small letters if any: enough to catch a slip of the keyboard. The
// parsing of names proper has its own place in science/names.
func looksScientific(name string) bool {
	for i, word := range strings.Fields(name) {
		for k, r := range word {
			upper := 'A' <= r && r <= 'Z'
			small := 'a' <= r && r <= 'z' || r == '-' || r == '.' || r > 127
			if i == 0 && k == 0 && !upper || (i > 0 || k > 0) && !small {
				return false
			}
		}
	}
	return len(strings.Fields(name)) <= 4
}

// GivenPass hands a find on.
type GivenPass struct {
	ID     trug.ID `json:"id"`
	To     trug.ID `json:"to,omitempty" doc:"A determiner; empty means whoever is next"`
	Remark string  `json:"remark,omitempty"`
}

// PassFind hands a find that waits on the table to somebody else.
func (a *App) PassFind(ctx context.Context, v Viewer, id trug.ID, g GivenPass) error {
	l, err := a.open(ctx, v, PassOn)
	if err != nil {
		return err
	}
	f, err := l.seen(v, id)
	if err != nil {
		return err
	}
	to, known := l.people[g.To]
	switch {
	case !g.ID.Valid():
		return badID()
	case g.To != "" && (!known || !to.Has(trug.DeterminerRole)):
		return trug.Errorf(trug.Invalid, "to", "this is no determiner of the season: choose one from the list, or whoever is next")
	case v.is(g.To):
		return trug.Errorf(trug.Invalid, "to", "it lies with you already: choose somebody else")
	case len([]rune(g.Remark)) > trug.MaxRemarksLength:
		return trug.Errorf(trug.Invalid, "remark", "the remark is over %d characters: shorten it", trug.MaxRemarksLength)
	}
	p := trug.Pass{ID: g.ID, SeasonID: l.season.ID, RecordID: f.ID, By: v.Person.ID, To: g.To, Remark: strings.TrimSpace(g.Remark), Created: a.Clock()}
	return a.write(ctx, func(w store.Writer) error { return putOnce(ctx, w, p, p.ID, a.author(v), a) })
}

// putOnce writes a thing unless one with its identifier is there already, so
// that a message sent twice changes nothing, and nobody overwrites another's.
func putOnce[T store.Thing](ctx context.Context, w store.Writer, thing T, id trug.ID, by store.Author, a *App) error {
	_, err := store.Get[T](ctx, w, id)
	if err == nil {
		return nil
	}
	if trug.KindOf(err) != trug.NotFound {
		return err
	}
	return store.Put(ctx, w, thing, by, a.Clock())
}

// Names completes the beginning of a scientific name from the checklist: at
// most twelve, in alphabetical order, never ranked by likelihood. Each word
// typed may be cut short: "lac am" finds Laccaria amethystina.
func (a *App) Names(ctx context.Context, v Viewer, starts string) ([]NameChoice, error) {
	l, err := a.open(ctx, v, CompleteName)
	if err != nil {
		return nil, err
	}
	out := []NameChoice{}
	typed := strings.Fields(strings.ToLower(starts))
	if len(typed) == 0 {
		return out, nil
	}
	for _, t := range l.list.Taxa() {
		if !completes(strings.Fields(strings.ToLower(t.Name)), typed) {
			continue
		}
		c := NameChoice{ID: t.ID, Name: t.Name, Authorship: t.Authorship, Rank: t.Rank, Family: t.Family}
		if acc, ok := l.list.ByID(t.AcceptedID); ok {
			c.Accepted = acc.Name
		}
		if out = append(out, c); len(out) == 12 {
			break
		}
	}
	return out, nil
}

// completes reports whether each typed word begins the word of the name in
// the same place; a single word may begin the epithet too.
func completes(name, typed []string) bool {
	if len(typed) == 1 && len(name) > 1 && strings.HasPrefix(name[1], typed[0]) {
		return true
	}
	if len(typed) > len(name) {
		return false
	}
	for i, w := range typed {
		if !strings.HasPrefix(name[i], w) {
			return false
		}
	}
	return true
}
