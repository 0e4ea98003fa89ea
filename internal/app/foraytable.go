package app

import (
	"context"
	"maps"
	"slices"
	"strings"

	"trug"
	"trug/internal/store"
	"trug/science/describe"
)

// MaxForayRows bounds what is entered at once.
const MaxForayRows = 10000

// ForayRow is a line of the foray table: a find named in the hand.
type ForayRow struct {
	// ID is the record's identifier, made where the row is typed, so that
	// sending the table again changes rows and adds none.
	ID        trug.ID        `json:"id"`
	Number    string         `json:"number,omitempty" doc:"Field number on the slip; blank: the next one"`
	Name      string         `json:"name"`
	Qualifier trug.Qualifier `json:"qualifier,omitempty"`
	// Determiner is the code or the name of who named it in the hand.
	Determiner string `json:"determiner,omitempty"`
	Substrate  string `json:"substrate,omitempty"`
	Host       string `json:"host,omitempty"`
	Count      int    `json:"count,omitempty"`
	Kept       bool   `json:"kept,omitempty" doc:"A specimen was kept"`
	// Views are the photographs laid to it, in their fixed order.
	Views []trug.ViewKind `json:"views,omitempty" readOnly:"true"`
}

// ForayTablePage is the table of a foray with what is wanted beside it.
type ForayTablePage struct {
	Foray ShownForay `json:"foray"`
	Rows  []ForayRow `json:"rows"`
	// Determiners may put a qualifier to a name.
	Determiners []ShownDeterminer `json:"determiners"`
	// Next is the field number that the next find without one would get.
	Next string `json:"next"`
	// Slips are the numbers printed for this foray that no record bears yet.
	Slips []string `json:"slips"`
	// Out are the rows that were taken out and can be put back.
	Out []ForayRow `json:"out"`
}

// ForayTableDone tells what became of the rows.
type ForayTableDone struct {
	Rows   []ForayRowDone `json:"rows"`
	Added  int            `json:"added"`
	Same   int            `json:"same" doc:"Rows that stood there just so"`
	Faults int            `json:"faults"`
}

// ForayRowDone is what became of a row: its field number, or what is wrong.
type ForayRowDone struct {
	ID     trug.ID `json:"id"`
	Number string  `json:"number,omitempty"`
	Fault  string  `json:"fault,omitempty"`
	Field  string  `json:"field,omitempty"`
}

// ForayTable returns the finds of a foray as rows, in order of field number.
func (a *App) ForayTable(ctx context.Context, v Viewer, foray trug.ID) (ForayTablePage, error) {
	l, y, err := a.forayToKeep(ctx, v, foray)
	if err != nil {
		return ForayTablePage{}, err
	}
	page := ForayTablePage{Foray: l.shownForay(y), Rows: []ForayRow{}, Out: []ForayRow{}, Determiners: l.determiners(Viewer{})}
	for _, f := range l.inOrder {
		if f.inTable(y) && l.visible(v, f) {
			page.Rows = append(page.Rows, forayRow(f))
		}
	}
	for _, f := range l.finds {
		if !f.Withdrawn.IsZero() && f.inTable(y) && !l.whereabouts(v, f).withheld {
			page.Out = append(page.Out, forayRow(f))
		}
	}
	slices.SortFunc(page.Out, func(x, y ForayRow) int { return numberOf(x.Number) - numberOf(y.Number) })
	t := newForayTable(a, l, v, y)
	page.Slips = l.freeSlips(y.ID, func(number string) bool { return t.numbers[number] != "" })
	page.Foray.Records, page.Next = len(page.Rows), t.next()
	return page, nil
}

// inTable reports whether a find is a row of the foray's table: one entered
// there, or one named in the hand without a photograph.
func (f *find) inTable(y trug.Foray) bool {
	return f.ID != "" && f.ForayID == y.ID && (f.Tabled || len(f.views) == 0)
}

func forayRow(f *find) ForayRow {
	row := ForayRow{ID: f.ID, Number: f.Number, Name: f.FieldName.Name, Determiner: f.FieldName.By, Substrate: label("substrate", f.Substrate),
		Host: f.Host, Count: f.NumberSeen, Kept: f.Voucher != ""}
	if i := slices.IndexFunc(f.slips, func(d trug.Determination) bool { return d.Name == f.FieldName.Name }); i >= 0 {
		row.Qualifier = f.slips[i].Qualifier
	}
	for _, view := range f.views {
		row.Views = append(row.Views, view.Kind)
	}
	return row
}

// forayToKeep returns a foray that the viewer leads, or any for the coordinator.
func (a *App) forayToKeep(ctx context.Context, v Viewer, id trug.ID) (*ledger, trug.Foray, error) {
	l, err := a.open(ctx, v, KeepForay)
	if err != nil {
		return nil, trug.Foray{}, err
	}
	y, ok := l.forays[id]
	if !ok {
		return nil, y, trug.Errorf(trug.NotFound, "", "There is no such foray here.")
	}
	if !v.keeps(y) {
		return nil, y, trug.Errorf(trug.NotAllowed, "", "This foray is kept by %s and the coordinator.", l.person(y.Leader))
	}
	return l, y, nil
}

// SaveForayTable takes the finds of a foray in: good rows in one transaction,
// each faulty one named with what to do. Place and time are the foray's.
func (a *App) SaveForayTable(ctx context.Context, v Viewer, foray trug.ID, rows []ForayRow) (ForayTableDone, error) {
	l, y, err := a.forayToKeep(ctx, v, foray)
	if err != nil {
		return ForayTableDone{}, err
	}
	if len(rows) > MaxForayRows {
		return ForayTableDone{}, trug.Errorf(trug.TooLarge, "rows", "%d rows at once are too many: enter at most %d", len(rows), MaxForayRows)
	}
	if y.Date > a.today(l.season) {
		return ForayTableDone{}, trug.Errorf(trug.Invalid, "", "This foray is on %s: its finds are entered when it has been.", dayWords(y.Date))
	}
	t := newForayTable(a, l, v, y)
	var done ForayTableDone
	err = a.write(ctx, func(w store.Writer) error {
		// Slips may have been printed since the ledger was read.
		if t.free.ranges, err = store.List[trug.SlipRange](ctx, w, store.Filter{Season: l.season.ID}); err != nil {
			return err
		}
		done = ForayTableDone{Rows: make([]ForayRowDone, len(rows))}
		for i, row := range rows {
			number, same, err := t.save(ctx, w, row)
			done.Rows[i] = ForayRowDone{ID: row.ID, Number: number}
			switch {
			case err == nil && same:
				done.Same++
			case err == nil:
				done.Added++
			case trug.KindOf(err) == trug.Internal:
				return err
			default:
				done.Faults++
				done.Rows[i].Fault, done.Rows[i].Field = says(err), fieldOf(err)
			}
		}
		return nil
	})
	return done, err
}

// fieldOf returns the field that an error names.
func fieldOf(err error) string {
	if e, ok := err.(*trug.Error); ok {
		return e.Field
	}
	return ""
}

// forayTable carries what rows share while they are written.
type forayTable struct {
	app     *App
	l       *ledger
	v       Viewer
	foray   trug.Foray
	numbers map[string]trug.ID
	free    *numbering
}

func newForayTable(a *App, l *ledger, v Viewer, y trug.Foray) *forayTable {
	t := &forayTable{app: a, l: l, v: v, foray: y, numbers: make(map[string]trug.ID, len(l.finds)),
		free: l.numberingOf(slices.Collect(maps.Values(l.slips)))}
	for _, f := range l.finds {
		if f.ID != "" {
			t.numbers[f.Number] = f.ID
		}
	}
	return t
}

// next returns the next free field number.
func (t *forayTable) next() string {
	for {
		if n := t.free.next(); t.numbers[n] == "" {
			return n
		}
	}
}

func (t *forayTable) save(ctx context.Context, w store.Writer, row ForayRow) (number string, same bool, err error) {
	if !row.ID.Valid() {
		return "", false, badID()
	}
	if strings.TrimSpace(row.Name) == "" {
		return "", false, trug.Errorf(trug.Invalid, "name", "no name: type one, or leave the whole row blank")
	}
	r, err := t.record(ctx, w, row)
	if err != nil {
		return "", false, err
	}
	before := t.l.finds[row.ID]
	d, named, err := t.determination(row, before)
	if err != nil {
		return "", false, err
	}
	if err := store.Put(ctx, w, r, t.app.author(t.v), t.app.Clock()); err != nil {
		return "", false, err
	}
	t.numbers[r.Number] = r.ID
	if named {
		if err := store.Put(ctx, w, d, t.app.author(t.v), t.app.Clock()); err != nil {
			return "", false, err
		}
	}
	return r.Number, before != nil && !named && unchanged(before.Record, r), nil
}

func unchanged(a, b trug.Record) bool {
	x, err1 := store.RowOf(a)
	y, err2 := store.RowOf(b)
	return err1 == nil && err2 == nil && string(x.Body) == string(y.Body)
}

// record makes the record of a row.
func (t *forayTable) record(ctx context.Context, w store.Writer, row ForayRow) (trug.Record, error) {
	r := trug.Record{ID: row.ID, SeasonID: t.l.season.ID, RecorderID: t.foray.Leader, Created: t.app.Clock()}
	if r.RecorderID == "" {
		r.RecorderID = t.v.Person.ID
	}
	if before := t.l.finds[row.ID]; before != nil {
		r = before.Record
		if r.ForayID != t.foray.ID {
			return r, trug.Errorf(trug.Conflict, "id", "this row belongs to another foray: reload the table")
		}
		if !r.Withdrawn.IsZero() {
			return r, trug.Errorf(trug.Conflict, "id", "this row was taken out: put it back before it is changed")
		}
		if !r.Tabled && (len(before.views) > 0 || r.RecorderID != t.foray.Leader && !t.v.is(r.RecorderID)) {
			return r, trug.Errorf(trug.Conflict, "id", "this is somebody's own record, with what they handed in: it is changed on its sheet, not here")
		}
	} else {
		public, err := t.app.newPublic()
		if err != nil {
			return r, err
		}
		r.Public, r.Tabled = public, true
		site := t.l.sites[t.foray.SiteID]
		r.ForayID, r.SiteID = t.foray.ID, t.foray.SiteID
		r.Found = trug.When{Date: t.foray.Date, Time: t.foray.Start}
		if site.Radius > 0 {
			r.Place = &trug.Place{Position: site.Centre, Uncertainty: site.Radius, Source: trug.FromSite}
		}
	}
	if err := t.number(ctx, w, &r, row.Number); err != nil {
		return r, err
	}
	substrate, err := substrateOf(row.Substrate)
	if err != nil {
		return r, err
	}
	r.Substrate, r.Host, r.NumberSeen = substrate, strings.TrimSpace(row.Host), row.Count
	r.FieldName = trug.FieldName{Name: strings.TrimSpace(row.Name), By: t.namer(row.Determiner)}
	switch {
	case row.Kept && r.Voucher == "":
		r.Voucher = r.Number
	case !row.Kept:
		r.Voucher = ""
	}
	if err := r.Validate(); err != nil {
		return r, err.(trug.Faults)[0]
	}
	return r, nil
}

// number gives the record the number of its slip, or the next free one.
func (t *forayTable) number(ctx context.Context, w store.Writer, r *trug.Record, given string) (err error) {
	if strings.TrimSpace(given) == "" {
		for r.Number == "" {
			number := t.next()
			used, err := numberUsed(ctx, w, t.l.season.ID, number)
			if err != nil {
				return err
			}
			if !used {
				r.Number = number
			}
		}
		return nil
	}
	if strings.EqualFold(strings.TrimSpace(given), r.Number) {
		return nil
	}
	if given, err = t.l.readNumber(given); err != nil {
		return err
	}
	if holder, taken := t.numbers[given]; taken && holder != r.ID {
		if f := t.l.finds[holder]; f != nil && !f.Withdrawn.IsZero() {
			return trug.Errorf(trug.Conflict, "number", "%s was the number of a find that was taken out: numbers are given once, so put that find back or use another slip", given)
		}
		return trug.Errorf(trug.Conflict, "number", "%s is another find's number already: look at the slip again", given)
	}
	r.Number = given
	return nil
}

// substrateOf reads a substrate by its mark, its label, or the beginning of one.
func substrateOf(text string) (string, error) {
	text = strings.ToLower(strings.TrimSpace(text))
	if text == "" {
		return "", nil
	}
	var found []string
	for _, s := range describe.States("substrate") {
		if s.Name == text || strings.ToLower(s.Label) == text {
			return s.Name, nil
		}
		if strings.HasPrefix(strings.ToLower(s.Label), text) {
			found = append(found, s.Name)
		}
	}
	if len(found) == 1 {
		return found[0], nil
	}
	return "", trug.Errorf(trug.Invalid, "substrate", "%q is not what can be grown on here: choose from the list, such as leaf litter, stump or soil", text)
}

// namer returns how whoever named it in the hand is called.
func (t *forayTable) namer(text string) string {
	if p, ok := t.person(text); ok {
		return p.Name
	}
	return strings.TrimSpace(text)
}

func (t *forayTable) person(text string) (trug.Person, bool) {
	return t.l.goesBy(text)
}

// determination makes the slip of a row whose namer is a determiner of the
// season; anybody else's name is the field name alone.
func (t *forayTable) determination(row ForayRow, before *find) (d trug.Determination, named bool, err error) {
	p, ok := t.person(row.Determiner)
	if !ok || !p.Has(trug.DeterminerRole) {
		if row.Qualifier != trug.NoQualifier {
			return d, false, trug.Errorf(trug.Invalid, "qualifier", "a qualifier goes with a determination: give the code of a determiner of the season beside it")
		}
		return d, false, nil
	}
	viewer := Viewer{Season: t.l.season.ID, Person: &p}
	f := before
	if f == nil {
		f = &find{Record: trug.Record{ID: row.ID}}
	}
	for _, old := range f.slips {
		if old.By == p.ID && old.Name == strings.Join(strings.Fields(row.Name), " ") && (old.Qualifier == row.Qualifier || row.Qualifier == "") {
			return d, false, nil // the slip is there
		}
	}
	id, err := t.app.newID()
	if err != nil {
		return d, false, err
	}
	d, err = t.app.slip(t.l, viewer, f, GivenName{ID: id, Name: row.Name, Qualifier: row.Qualifier, Basis: []trug.Basis{trug.FromSpecimen}})
	if err != nil {
		if faults, many := err.(trug.Faults); many {
			err = faults[0]
		}
		return d, false, err
	}
	d.Date, d.Seen = t.foray.Date, nil
	return d, true, nil
}
