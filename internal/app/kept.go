package app

import (
	"cmp"
	"context"
	"fmt"
	"slices"
	"strings"

	"trug"
	"trug/internal/store"
)

// KeptPage is all that is kept about somebody, what for and how long.
type KeptPage struct {
	ID     trug.ID       `json:"id"`
	Name   string        `json:"name"`
	Mine   bool          `json:"mine" doc:"It is about whoever asks"`
	Minor  bool          `json:"minor,omitempty"`
	Gone   bool          `json:"gone,omitempty" doc:"Their name was taken out"`
	Parts  []KeptPart    `json:"parts"`
	Agreed []KeptConsent `json:"agreed" doc:"What they agreed to, and may withdraw"`
	// Children take part under them.
	Children []KeptChild `json:"children"`
	// Records are theirs, by field number; those taken out can be put back.
	Records []KeptRecord `json:"records"`
	// Asked is what they asked for last: that the name be taken out.
	Asked *KeptWish `json:"asked,omitempty"`
	// MayExport, MayAsk and MayTakeOut say what the viewer may do here: take a
	// copy, ask for the name to be taken out, take it out.
	MayExport  bool `json:"mayExport"`
	MayAsk     bool `json:"mayAsk"`
	MayTakeOut bool `json:"mayTakeOut"`
	// Stays are sentences on what taking the name out does not reach.
	Stays []string `json:"stays"`
	// Backups says how long backups hold it.
	Backups string `json:"backups"`
}

// KeptPart is a sort of thing that is kept.
type KeptPart struct {
	What  string   `json:"what"`
	Lines []string `json:"lines"`
	For   string   `json:"for" doc:"What it is for"`
	Until string   `json:"until" doc:"How long it is kept"`
}

// KeptConsent is something that was agreed to and still stands.
type KeptConsent struct {
	About trug.ConsentAbout `json:"about"`
	Words string            `json:"words"`
	Given trug.Date         `json:"given"`
}

// KeptRecord is a record of somebody's.
type KeptRecord struct {
	ID     trug.ID `json:"id"`
	Number string  `json:"number"`
	Says   string  `json:"says" doc:"Day, and the name it bears"`
	Out    bool    `json:"out,omitempty" doc:"Taken out of the season; it can be put back"`
}

// KeptChild is a child under somebody.
type KeptChild struct {
	ID   trug.ID `json:"id"`
	Name string  `json:"name"`
}

// Kept returns what is kept about somebody: about oneself ("me"), a child that
// takes part under one, or, for the coordinator, anybody. Others are answered
// as not there.
func (a *App) Kept(ctx context.Context, v Viewer, who trug.ID) (KeptPage, error) {
	l, p, err := a.whose(ctx, v, SeeKept, who)
	if err != nil {
		return KeptPage{}, err
	}
	page := KeptPage{ID: p.ID, Name: p.Name, Mine: v.is(p.ID), Minor: p.Minor, Gone: !p.Gone.IsZero(), Agreed: []KeptConsent{}, Children: []KeptChild{},
		Records: l.keptRecords(v, p), Asked: l.wishOf(v, p), MayExport: l.mayExport(v, p), MayAsk: l.mayAsk(v, p) && p.Gone.IsZero(),
		MayTakeOut: v.May(TakeOutName) && p.Gone.IsZero(), Stays: l.staysWords(p), Backups: a.backupWords(l, p)}
	if page.Parts, err = a.keptParts(ctx, l, v, p); err != nil {
		return KeptPage{}, err
	}
	for _, about := range trug.ConsentsAbout {
		if i := latest(p, about); i >= 0 && p.Consents[i].Withdrawn == "" {
			page.Agreed = append(page.Agreed, KeptConsent{about, consentWords[about], p.Consents[i].Given})
		}
	}
	for _, c := range l.people {
		if c.Guardian == p.ID && c.Gone.IsZero() {
			page.Children = append(page.Children, KeptChild{c.ID, c.Name})
		}
	}
	slices.SortFunc(page.Children, func(x, y KeptChild) int { return strings.Compare(x.Name+string(x.ID), y.Name+string(y.ID)) })
	return page, nil
}

var consentWords = map[trug.ConsentAbout]string{
	trug.ShowName:     "the name stands with finds that are published",
	trug.ShowPictures: "photographs may be published",
	trug.SendLetters:  "letters may be sent",
}

// whose returns the person whom the viewer asks about, if they may.
func (a *App) whose(ctx context.Context, v Viewer, action Action, who trug.ID) (*ledger, trug.Person, error) {
	l, err := a.open(ctx, v, action)
	if err != nil {
		return nil, trug.Person{}, err
	}
	if who == "me" {
		who = v.Person.ID
	}
	p, ok := l.people[who]
	if !ok || !v.is(who) && !v.has(trug.Coordinator) && !(p.Minor && v.is(p.Guardian)) {
		return nil, trug.Person{}, trug.Errorf(trug.NotFound, "", "There is nobody here whose page you could read: it shows yourself, and children who take part under you.")
	}
	return l, p, nil
}

// mayExport: oneself, the adult of a child, and the coordinator for a child
// whose adult asks.
func (l *ledger) mayExport(v Viewer, p trug.Person) bool {
	return v.is(p.ID) || p.Minor && (v.is(p.Guardian) || v.has(trug.Coordinator))
}

// opinionLines counts what somebody did at the table.
func opinionLines(k keptThings) []string {
	lines := []string{count(len(k.slips), "name") + " put to finds"}
	for _, d := range []struct {
		n     int
		thing string
		rest  string
	}{{len(k.sizes), "size", " measured"}, {len(k.colours), "colour", " measured"}, {len(k.requests), "request", " for more evidence"}, {len(k.passes), "find", " passed on"}, {len(k.lifts), "find", " whose earlier opinions were looked at"}} {
		if d.n > 0 {
			lines = append(lines, count(d.n, d.thing)+d.rest)
		}
	}
	return lines
}

func (a *App) keptParts(ctx context.Context, l *ledger, v Viewer, p trug.Person) ([]KeptPart, error) {
	k := l.thingsOf(p)
	ways, err := a.waysOf(ctx, p)
	if err != nil {
		return nil, err
	}
	seen := 0
	err = a.Store.Read(ctx, func(r store.Reader) error {
		looks, err := r.Looks(ctx, store.LookFilter{Season: l.season.ID, Person: p.ID, Limit: auditMost})
		seen = len(looks)
		return err
	})
	if err != nil {
		return nil, err
	}
	const untilOut = "Until the name is taken out, or whoever runs the server deletes the season."
	parts := []KeptPart{
		{"Who", personLines(l, p), "So that people of the season know who found and named what.", untilOut},
		{"Devices and ways in", ways, "So that you come in again, and nobody else as you.", "A device until it is signed out or not used for long, and for 90 days after that when you came in by it; a code or password until it is replaced."},
		{"Records", recordLines(k), "They are what the season is for; what is published is told under Deposits.", "For good; without the name when it is taken out."},
		{"Photographs", photographLines(k), "To name the finds. An original also bears what the camera wrote: time, place, model.", "For good; originals are deleted if that is wished when the name is taken out."},
		{"Sign-ups", forayLines(k), "So that the leader knows who comes.", untilOut},
		{"Opinions", opinionLines(k), "Names are given by people who answer for them.", "For good; without the name when it is taken out."},
		{"Looks and marks", []string{count(seen, "look") + " at the place of a protected or private find of somebody else's", count(len(k.marks), "mark") + " that a person can be seen"},
			"So that the coordinator sees who knows a secret place, and who floods the season with marks.", "For good, by number; without the name when it is taken out."},
	}
	return parts, nil
}

func personLines(l *ledger, p trug.Person) []string {
	lines := []string{"Name: " + p.Name}
	add := func(what, text string) {
		if text != "" {
			lines = append(lines, what+": "+text)
		}
	}
	add("Mark", p.Code)
	add("Published as", p.Published())
	if p.Minor {
		add("Takes part under", l.person(p.Guardian))
	}
	add("Names", p.Scope)
	for _, c := range p.Consents {
		text := "on " + dayWords(c.Given) + howWords(c.How)
		if c.Withdrawn != "" {
			text += ", withdrawn on " + dayWords(c.Withdrawn) + howWords(c.WithdrawnHow)
		}
		add("Agreed that "+consentWords[c.About], text)
	}
	return append(lines, "In the season since "+dayWords(trug.DateOf(p.Created)))
}

// waysOf tells in words by what somebody comes in; no secret is told.
func (a *App) waysOf(ctx context.Context, p trug.Person) (lines []string, err error) {
	err = a.Store.Read(ctx, func(r store.Reader) error {
		sessions, err := store.ListSecrets[trug.Session](ctx, r, store.SecretFilter{Person: p.ID})
		if err != nil {
			return err
		}
		for _, s := range sessions {
			lines = append(lines, fmt.Sprintf("%s, came in on %s by %s, last seen %s", s.Label, dayWords(trug.DateOf(s.Created)), s.By, s.Seen.UTC().Format("2 January 2006, 15:04 UTC")))
		}
		past, err := a.pastSignIns(ctx, r, p)
		if err != nil {
			return err
		}
		for _, s := range past {
			lines = append(lines, fmt.Sprintf("%s, came in on %s by %s; %s. Erased on %s", s.Label, dayWords(trug.DateOf(s.Created)), s.By, endWords(s), dayWords(trug.DateOf(store.SignInErased(s)))))
		}
		for _, w := range []struct {
			kind store.SecretKind
			word string
		}{{store.Passwords, "A password, kept as a hash"}, {store.Passkeys, "A passkey: its public half"}, {store.Phrases, "A recovery phrase, kept as a hash"},
			{store.RecoveryCodes, "Recovery codes, kept as hashes"}, {store.Invitations, "An invitation"}} {
			found, err := r.Secrets(ctx, store.SecretFilter{Kind: w.kind, Person: p.ID})
			if err != nil {
				return err
			}
			if len(found) > 0 {
				lines = append(lines, w.word)
			}
		}
		return nil
	})
	return notNil(lines), err
}

// keptRecords lists somebody's records by number, with what they are called.
func (l *ledger) keptRecords(v Viewer, p trug.Person) []KeptRecord {
	out := []KeptRecord{}
	for _, r := range l.thingsOf(p).records {
		f := l.finds[r.ID]
		name := l.shownName(v, f)
		what := cmp.Or(name.Name, lowerFirst(name.Instead))
		if name.Name == "" && r.FieldName.Name != "" && l.mayFieldName(v, f) {
			what = r.FieldName.Name
		}
		out = append(out, KeptRecord{r.ID, r.Number, foundWords(r.Found) + ", " + what, !r.Withdrawn.IsZero()})
	}
	return out
}

func recordLines(k keptThings) []string {
	lines := []string{count(len(k.records), "record")}
	if n := len(k.records); n > 0 {
		lines = append(lines, fmt.Sprintf("%s to %s, each with day, place, what was seen and remarks", k.records[0].Number, k.records[n-1].Number))
	}
	return lines
}

func photographLines(k keptThings) []string {
	placed := 0
	for _, p := range k.photographs {
		if p.Place != nil {
			placed++
		}
	}
	words := count(len(k.photographs), "photograph")
	switch {
	case placed > 0:
		words += fmt.Sprintf("; in %s the camera wrote the place", count(placed, "of them"))
	case len(k.photographs) > 0:
		words += "; the camera wrote no place"
	}
	return []string{words}
}

func forayLines(k keptThings) []string {
	lines := []string{}
	for _, y := range k.forays {
		lines = append(lines, y.Name+", "+dayWords(y.Date))
	}
	return lines
}

// staysWords says what taking the name out can't reach.
func (l *ledger) staysWords(p trug.Person) []string {
	out := []string{"Records, determinations and places stay, without the name: they are facts about fungi, and others have built on them."}
	var bear []string
	if name := p.Published(); name != "" && p.Gone.IsZero() {
		for _, d := range l.depositsByNumber() {
			bear = append(bear, fmt.Sprintf("version %d of %s", d.Number, dayWords(d.Date)))
		}
	}
	if len(bear) > 0 {
		out = append(out, "What was published can't be called back from those who have it: the name may stand in "+strings.Join(bear, ", ")+". The next deposit goes out without it.")
	}
	if n := l.namedElsewhere(p); n > 0 {
		out = append(out, fmt.Sprintf("The name also stands in %s by other people. The coordinator looks at each and says where it comes out: a program can't tell a person from a plant of the same name.", lowerFirst(count(n, "remark"))))
	}
	return out
}

// backupWords says how long backups hold what is kept, and so a name that is
// taken out.
func (a *App) backupWords(l *ledger, p trug.Person) string {
	switch days := a.BackupDays; {
	case days <= 0:
		return "Whether there are backups that still hold what was taken out, and how long, is not known here: whoever runs the server has not said. Ask the contact of the season."
	case !p.Gone.IsZero():
		last := p.Gone.AddDate(0, 0, days).In(zone(l.season))
		return fmt.Sprintf("Whoever runs the server keeps backups for %s: those of before held the name until %s.", lowerFirst(count(days, "day")), dayWords(trug.DateOf(last)))
	default:
		last := a.Clock().AddDate(0, 0, days).In(zone(l.season))
		return fmt.Sprintf("Whoever runs the server keeps backups for %s: what is taken out today is in them until %s.", lowerFirst(count(days, "day")), dayWords(trug.DateOf(last)))
	}
}

// namedElsewhere counts remarks of others in which the name stands as a word.
func (l *ledger) namedElsewhere(p trug.Person) (n int) {
	if !p.Gone.IsZero() || p.Name == "" {
		return 0
	}
	bears := func(text string) bool { from, _ := findName(text, p.Name); return text != "" && from >= 0 }
	for _, f := range l.finds {
		if f.RecorderID != p.ID && bears(f.Remarks) {
			n++
		}
		for _, d := range f.slips {
			if d.By != p.ID && bears(d.Remark) {
				n++
			}
		}
	}
	for _, y := range l.forays {
		if y.Leader != p.ID && bears(y.Note) {
			n++
		}
	}
	return n
}

// WithdrawConsent takes back what somebody agreed to.
func (a *App) WithdrawConsent(ctx context.Context, v Viewer, who trug.ID, about trug.ConsentAbout) (KeptPage, error) {
	l, p, err := a.whose(ctx, v, SeeKept, who)
	if err != nil {
		return KeptPage{}, err
	}
	c := consentOf(&p, about)
	switch {
	case c == nil:
		return KeptPage{}, trug.Errorf(trug.Invalid, "about", "nothing of this kind was agreed to, so there is nothing to withdraw")
	case c.Withdrawn == "":
		c.Withdrawn, c.WithdrawnHow = max(a.today(l.season), c.Given), "in the app"
		if !v.is(p.ID) {
			c.WithdrawnHow = "in the app, by " + map[bool]string{true: "the coordinator", false: "the adult"}[!v.is(p.Guardian)]
		}
		if err := a.write(ctx, func(w store.Writer) error { return store.Put(ctx, w, p, a.author(v), a.Clock()) }); err != nil {
			return KeptPage{}, err
		}
	}
	return a.Kept(ctx, v, who)
}
