package app

import (
	"context"
	"slices"
	"strings"

	"trug"
	"trug/internal/store"
	"trug/science/said"
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
	Backups string      `json:"backups"`
	Said    said.Fields `json:"said,omitempty"`
}

// KeptPart is a sort of thing that is kept.
type KeptPart struct {
	What  string      `json:"what"`
	Lines []string    `json:"lines"`
	For   string      `json:"for" doc:"What it is for"`
	Until string      `json:"until" doc:"How long it is kept"`
	Said  said.Fields `json:"said,omitempty"`
}

// keptPart makes a part of its sentences.
func keptPart(what said.Words, lines []any, purpose, until said.Words) KeptPart {
	return KeptPart{string(what), englishOf(lines), string(purpose), string(until),
		said.Fields{"what": said.As(what), "lines": notNil(lines), "for": said.As(purpose), "until": said.As(until)}}
}

// englishOf writes sentences in English.
func englishOf(lines []any) []string {
	out := []string{}
	for _, l := range lines {
		out = append(out, said.English(l))
	}
	return out
}

// KeptConsent is something that was agreed to and still stands.
type KeptConsent struct {
	About trug.ConsentAbout `json:"about"`
	Words string            `json:"words"`
	Given trug.Date         `json:"given"`
	Said  said.Fields       `json:"said,omitempty"`
}

// KeptRecord is a record of somebody's.
type KeptRecord struct {
	ID     trug.ID     `json:"id"`
	Number string      `json:"number"`
	Says   string      `json:"says" doc:"Day, and the name it bears"`
	Out    bool        `json:"out,omitempty" doc:"Taken out of the season; it can be put back"`
	Said   said.Fields `json:"said,omitempty"`
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
		MayTakeOut: v.May(TakeOutName) && p.Gone.IsZero(), Stays: englishOf(l.staysWords(p)), Backups: a.backupWords(l, p).String()}
	page.Said.Put("stays", l.staysWords(p))
	page.Said.Put("backups", a.backupWords(l, p))
	if page.Parts, err = a.keptParts(ctx, l, v, p); err != nil {
		return KeptPage{}, err
	}
	for _, about := range trug.ConsentsAbout {
		if i := latest(p, about); i >= 0 && p.Consents[i].Withdrawn == "" {
			page.Agreed = append(page.Agreed, KeptConsent{about, string(consentWords[about]), p.Consents[i].Given, said.Fields{"words": said.As(consentWords[about])}})
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

var consentWords = map[trug.ConsentAbout]said.Words{
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
func opinionLines(k keptThings) []any {
	lines := []any{said.As("{n, plural, =0 {No names} one {One name} other {# names}} put to finds", "n", len(k.slips))}
	for _, d := range []struct {
		n     int
		words said.Words
	}{{len(k.sizes), said.Words("{n, plural, one {One size} other {# sizes}} measured")}, {len(k.colours), said.Words("{n, plural, one {One colour} other {# colours}} measured")},
		{len(k.requests), said.Words("{n, plural, one {One request} other {# requests}} for more evidence")}, {len(k.passes), said.Words("{n, plural, one {One find} other {# finds}} passed on")},
		{len(k.lifts), said.Words("{n, plural, one {One find} other {# finds}} whose earlier opinions were looked at")}} {
		if d.n > 0 {
			lines = append(lines, said.As(d.words, "n", d.n))
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
	const untilOut = said.Words("Until the name is taken out, or whoever runs the server deletes the season.")
	parts := []KeptPart{
		keptPart("Who", personLines(l, p), "So that people of the season know who found and named what.", untilOut),
		keptPart("Devices and ways in", ways, "So that you come in again, and nobody else as you.", "A device until it is signed out or not used for long, and for 90 days after that when you came in by it; a code or password until it is replaced."),
		keptPart("Records", recordLines(k), "They are what the season is for; what is published is told under Deposits.", "For good; without the name when it is taken out."),
		keptPart("Photographs", photographLines(k), "To name the finds. An original also bears what the camera wrote: time, place, model.", "For good; originals are deleted if that is wished when the name is taken out."),
		keptPart("Sign-ups", forayLines(k), "So that the leader knows who comes.", untilOut),
		keptPart("Opinions", opinionLines(k), "Names are given by people who answer for them.", "For good; without the name when it is taken out."),
		keptPart("Looks and marks", []any{said.As("{n, plural, =0 {No looks} one {One look} other {# looks}} at the place of a protected or private find of somebody else's", "n", seen), said.As("{n, plural, =0 {No marks} one {One mark} other {# marks}} that a person can be seen", "n", len(k.marks))},
			"So that the coordinator sees who knows a secret place, and who floods the season with marks.", "For good, by number; without the name when it is taken out."),
	}
	return parts, nil
}

func personLines(l *ledger, p trug.Person) []any {
	lines := []any{said.As("Name: {name}", "name", p.Name)}
	add := func(words said.Words, text string) {
		if text != "" {
			lines = append(lines, said.As(words, "text", text))
		}
	}
	add(said.Words("Mark: {text}"), p.Code)
	add(said.Words("Published as: {text}"), p.Published())
	if p.Minor {
		add(said.Words("Takes part under: {text}"), l.person(p.Guardian))
	}
	add(said.Words("Names: {text}"), p.Scope)
	for _, c := range p.Consents {
		values := []any{"what", said.As(consentWords[c.About]), "day", daySaid(c.Given), "how", howWords(c.How), "end", daySaid(c.Withdrawn), "endHow", howWords(c.WithdrawnHow)}
		if c.Withdrawn != "" {
			lines = append(lines, said.As("Agreed that {what}: on {day}{how}, withdrawn on {end}{endHow}", values...))
		} else {
			lines = append(lines, said.As("Agreed that {what}: on {day}{how}", values[:6]...))
		}
	}
	return append(lines, said.As("In the season since {day}", "day", daySaid(trug.DateOf(p.Created))))
}

// waysOf tells in words by what somebody comes in; no secret is told.
func (a *App) waysOf(ctx context.Context, p trug.Person) (lines []any, err error) {
	err = a.Store.Read(ctx, func(r store.Reader) error {
		sessions, err := store.ListSecrets[trug.Session](ctx, r, store.SecretFilter{Person: p.ID})
		if err != nil {
			return err
		}
		for _, s := range sessions {
			lines = append(lines, said.As("{device}, came in on {day} by {way}, last seen {seen}, {clock}", "device", s.Label, "day", daySaid(trug.DateOf(s.Created)), "way", said.As(said.Words(s.By)), "seen", daySaid(trug.DateOf(s.Seen.UTC())), "clock", s.Seen.UTC().Format("15:04 UTC")))
		}
		past, err := a.pastSignIns(ctx, r, p)
		if err != nil {
			return err
		}
		for _, s := range past {
			lines = append(lines, said.As("{device}, came in on {day} by {way}; {end}. Erased on {erased}", "device", s.Label, "day", daySaid(trug.DateOf(s.Created)), "way", said.As(said.Words(s.By)), "end", said.As(endWords(s)), "erased", daySaid(trug.DateOf(store.SignInErased(s)))))
		}
		for _, w := range []struct {
			kind store.SecretKind
			word said.Words
		}{{store.Passwords, "A password, kept as a hash"}, {store.Passkeys, "A passkey: its public half"}, {store.Phrases, "A recovery phrase, kept as a hash"},
			{store.RecoveryCodes, "Recovery codes, kept as hashes"}, {store.Invitations, "An invitation"},
			{store.Takings, "That a field code let them in, kept as a hash, so that a phone that did not hear the answer can ask again"}} {
			found, err := r.Secrets(ctx, store.SecretFilter{Kind: w.kind, Person: p.ID})
			if err != nil {
				return err
			}
			if len(found) > 0 {
				lines = append(lines, said.As(w.word))
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
		var what any = name.Name
		if name.Name == "" {
			what = said.Inside{Inside: name.Said["instead"]}
		}
		if name.Name == "" && r.FieldName.Name != "" && l.mayFieldName(v, f) {
			what = r.FieldName.Name
		}
		says := said.List{List: []any{foundWords(r.Found), what}, By: ", "}
		out = append(out, KeptRecord{r.ID, r.Number, says.String(), !r.Withdrawn.IsZero(), said.Fields{"says": says}})
	}
	return out
}

func recordLines(k keptThings) []any {
	lines := []any{said.As("{n, plural, =0 {No records} one {One record} other {# records}}", "n", len(k.records))}
	if n := len(k.records); n > 0 {
		lines = append(lines, said.As("{first} to {last}, each with day, place, what was seen and remarks", "first", k.records[0].Number, "last", k.records[n-1].Number))
	}
	return lines
}

func photographLines(k keptThings) []any {
	placed := 0
	for _, p := range k.photographs {
		if p.Place != nil {
			placed++
		}
	}
	words := said.List{List: []any{said.As("{n, plural, =0 {No photographs} one {One photograph} other {# photographs}}", "n", len(k.photographs))}, By: "; "}
	switch {
	case placed > 0:
		words.List = append(words.List, said.As("in {n, plural, one {one of them} other {# of them}} the camera wrote the place", "n", placed))
	case len(k.photographs) > 0:
		words.List = append(words.List, said.As("the camera wrote no place"))
	}
	return []any{words}
}

func forayLines(k keptThings) []any {
	lines := []any{}
	for _, y := range k.forays {
		lines = append(lines, said.List{List: []any{y.Name, daySaid(y.Date)}, By: ", "})
	}
	return lines
}

// staysWords says what taking the name out can't reach.
func (l *ledger) staysWords(p trug.Person) []any {
	out := []any{said.As("Records, determinations and places stay, without the name: they are facts about fungi, and others have built on them.")}
	bear := said.List{By: ", "}
	if name := p.Published(); name != "" && p.Gone.IsZero() {
		for _, d := range l.depositsByNumber() {
			bear.List = append(bear.List, said.As("version {number} of {day}", "number", d.Number, "day", daySaid(d.Date)))
		}
	}
	if len(bear.List) > 0 {
		out = append(out, said.As("What was published can't be called back from those who have it: the name may stand in {versions}. The next deposit goes out without it.", "versions", bear))
	}
	if n := l.namedElsewhere(p); n > 0 {
		out = append(out, said.As("The name also stands in {n, plural, one {one remark} other {# remarks}} by other people. The coordinator looks at each and says where it comes out: a program can't tell a person from a plant of the same name.", "n", n))
	}
	return out
}

// backupWords says how long backups hold what is kept, and so a name that is
// taken out.
func (a *App) backupWords(l *ledger, p trug.Person) said.Sentence {
	switch days := a.BackupDays; {
	case days <= 0:
		return said.As("Whether there are backups that still hold what was taken out, and how long, is not known here: whoever runs the server has not said. Ask the contact of the season.")
	case !p.Gone.IsZero():
		last := p.Gone.AddDate(0, 0, days).In(zone(l.season))
		return said.As("Whoever runs the server keeps backups for {n, plural, one {one day} other {# days}}: those of before held the name until {day}.", "n", days, "day", daySaid(trug.DateOf(last)))
	default:
		last := a.Clock().AddDate(0, 0, days).In(zone(l.season))
		return said.As("Whoever runs the server keeps backups for {n, plural, one {one day} other {# days}}: what is taken out today is in them until {day}.", "n", days, "day", daySaid(trug.DateOf(last)))
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
