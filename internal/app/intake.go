package app

import (
	"context"
	"crypto/sha256"
	"slices"
	"strings"
	"time"

	"trug"
	"trug/internal/store"
	"trug/science/photo"
	"trug/science/place"
)

// IntakeFile is a photograph of a folder handed in on a memory card.
type IntakeFile struct {
	Name string
	// Read returns the file's bytes; it is called once or twice.
	Read func() ([]byte, error)
}

// IntakeOptions say how a folder is sorted into finds.
type IntakeOptions struct {
	// Gap is the pause after which the next photograph begins another find.
	Gap time.Duration
	// Apart is the distance from which it does, beyond what the phones'
	// own uncertainties explain.
	Apart place.Metres
	// Day is given to photographs whose camera tells none; may be empty.
	Day trug.Date
	// KeepOutside takes finds outside the season's area or dates as right.
	KeepOutside bool
}

// DefaultIntake suits people who walk from find to find: the views of one
// take a minute or two (common practice, no source).
var DefaultIntake = IntakeOptions{Gap: 4 * time.Minute, Apart: 25}

// Proposal is what a folder would become.
type Proposal struct {
	Finds []ProposedFind `json:"finds"`
	// Refused are the files that are no photographs or can't be read, each
	// with a sentence.
	Refused []RefusedFile `json:"refused"`
	// Already counts photographs that are in the season's records.
	Already int `json:"already"`
}

// ProposedFind is a group of photographs that look like one find.
type ProposedFind struct {
	ID    trug.ID        `json:"-"`
	Found trug.When      `json:"found"`
	Words string         `json:"where"`
	Views []ProposedView `json:"views"`
	// Adds is the number of the record to which the views would be added.
	Adds string `json:"adds,omitempty"`
	// Remarks are sentences on what is doubtful.
	Remarks []string `json:"remarks,omitempty"`
	// Record is the field number once it is written.
	Record string `json:"record,omitempty"`
	// Failed says why it could not be written.
	Failed string `json:"failed,omitempty"`

	place *trug.Place
	into  trug.ID
	// byNumber marks photographs whose names bear the record's field number.
	byNumber bool
}

// ProposedView is a photograph with the view that it seems to be.
type ProposedView struct {
	File string        `json:"file"`
	Kind trug.ViewKind `json:"view"`
	read func() ([]byte, error)
}

// RefusedFile is a file that was not taken.
type RefusedFile struct {
	File string `json:"file"`
	Says string `json:"says"`
}

// candidate is a photograph of the folder with what its file says.
type candidate struct {
	file    IntakeFile
	hash    trug.Hash
	taken   trug.When
	at      time.Time
	place   *trug.Place
	notes   []string
	heldBy  *find
	doubted bool
	// tells is the view that the file's name says; empty for none.
	tells trug.ViewKind
	// takenOut marks a view that was taken out of its record.
	takenOut bool
}

// ProposeIntake reads a folder's photographs and proposes which belong to one
// find and which view each is: by the field number in their names or folders,
// else by time and place. It writes nothing.
func (a *App) ProposeIntake(ctx context.Context, v Viewer, files []IntakeFile, o IntakeOptions, tell trug.Progress) (Proposal, error) {
	l, err := a.open(ctx, v, HandIn)
	if err != nil {
		return Proposal{}, err
	}
	p := Proposal{Finds: []ProposedFind{}, Refused: []RefusedFile{}}
	var list []candidate
	seen := map[trug.Hash]string{}
	for i, f := range files {
		tell.Tell(i, len(files), "photographs read")
		if ctx.Err() != nil {
			return p, ctx.Err()
		}
		c, err := a.candidate(ctx, v, l, f)
		if err != nil {
			p.Refused = append(p.Refused, RefusedFile{File: f.Name, Says: says(err)})
			continue
		}
		if first, twice := seen[c.hash]; twice {
			p.Refused = append(p.Refused, RefusedFile{File: f.Name, Says: "the same photograph as " + first + ": it is taken once"})
			continue
		}
		seen[c.hash] = f.Name
		if c.heldBy != nil {
			p.Already++
		}
		list = append(list, c)
	}
	tell.Tell(len(files), len(files), "photographs read")
	for _, group := range groups(l.numbered(v, list, &p), o) {
		if find, ok := a.proposed(l, v, group, o); ok {
			p.Finds = append(p.Finds, find)
		}
	}
	return p, nil
}

// says returns the sentence of an error without its field.
func says(err error) string {
	if e, ok := err.(*trug.Error); ok {
		return e.Says
	}
	return err.Error()
}

func (a *App) candidate(ctx context.Context, v Viewer, l *ledger, f IntakeFile) (candidate, error) {
	data, err := f.Read()
	if err != nil {
		return candidate{}, err
	}
	facts, err := photo.Read(ctx, data, photo.Limits{MaxBytes: MaxPhotographBytes, MaxPixels: MaxPhotographPixels})
	if err != nil {
		return candidate{}, err
	}
	p := a.photographOf(f.Name, facts)
	c := candidate{file: f, hash: hashOf(data), taken: p.Taken, place: p.Place, notes: p.Notes}
	if p.Taken.Date != "" {
		c.at = p.Taken.Instant(zone(l.season))
	}
	if known, err := a.photographByHash(ctx, l.season.ID, c.hash); err == nil {
		c.heldBy, c.takenOut = l.holding(known.ID), l.outViews[known.ID].ID != ""
	} else if trug.KindOf(err) != trug.NotFound {
		return c, err
	}
	return c, nil
}

// groups parts photographs into finds. Photographs without a time stay with
// the one before them by file name, since cameras count their files.
func groups(list []candidate, o IntakeOptions) [][]candidate {
	slices.SortStableFunc(list, func(x, y candidate) int { return strings.Compare(x.file.Name, y.file.Name) })
	for i := range list {
		if list[i].at.IsZero() && i > 0 {
			list[i].at, list[i].doubted = list[i-1].at, true
		}
	}
	slices.SortStableFunc(list, func(x, y candidate) int { return x.at.Compare(y.at) })
	var out [][]candidate
	for i, c := range list {
		if i == 0 || begins(list[i-1], c, o) {
			out = append(out, nil)
		}
		out[len(out)-1] = append(out[len(out)-1], c)
	}
	return out
}

// begins reports whether c begins another find after before.
func begins(before, c candidate, o IntakeOptions) bool {
	if c.at.Sub(before.at) > o.Gap {
		return true
	}
	if before.place == nil || c.place == nil {
		return false
	}
	// What both phones' fixes are unsure of explains part of the distance.
	apart := o.Apart + place.Metres(max(float64(before.place.Uncertainty), float64(c.place.Uncertainty)))
	return place.Distance(before.place.Position, c.place.Position) > apart
}

// proposed makes a find of a group; ok is false when all of it is known.
func (a *App) proposed(l *ledger, v Viewer, group []candidate, o IntakeOptions) (find ProposedFind, ok bool) {
	taken := map[trug.ViewKind]bool{}
	for _, c := range group {
		if c.heldBy != nil && v.is(c.heldBy.RecorderID) {
			find.Adds, find.into = c.heldBy.Number, c.heldBy.ID
			for _, k := range l.kinds(c.heldBy) {
				taken[k] = true
			}
		}
	}
	var first trug.Hash
	for _, c := range group {
		if find.Found.IsZero() {
			find.Found = c.taken
		}
		if find.place == nil {
			find.place = c.place
		}
		if c.heldBy != nil {
			continue
		}
		if first == "" {
			first = c.hash
		}
		find.Views = append(find.Views, ProposedView{File: c.file.Name, Kind: nextView(taken), read: c.file.Read})
		find.Remarks = append(find.Remarks, c.notes...)
		if c.doubted {
			find.Remarks = append(find.Remarks, c.file.Name+" tells no time; it stays with the file before it")
		}
	}
	if len(find.Views) == 0 {
		return find, false
	}
	find.ID = intakeID(l.season.ID, first, a.Clock())
	a.doubts(l, &find, o)
	return find, true
}

// nextView takes the first view of the fixed order that is not there yet.
func nextView(taken map[trug.ViewKind]bool) trug.ViewKind {
	for _, k := range []trug.ViewKind{trug.Top, trug.Side, trug.Underneath, trug.Surroundings, trug.Cut, trug.Base} {
		if !taken[k] {
			taken[k] = true
			return k
		}
	}
	return trug.CloseUp
}

// doubts adds what is doubtful about time and place.
func (a *App) doubts(l *ledger, find *ProposedFind, o IntakeOptions) {
	if find.Found.IsZero() && o.Day != "" {
		find.Found = trug.When{Date: o.Day}
		find.Remarks = append(find.Remarks, "day as given on the command line")
	}
	if find.Found.IsZero() {
		find.Remarks = append(find.Remarks, "the camera tells no day: give it with --day")
	}
	switch {
	case find.place == nil:
		find.Words = "no place"
	case l.outsideArea(find.place.Position) > 0:
		find.Words = distanceWords(l.outsideArea(find.place.Position)) + " outside the area"
	default:
		r := trug.Record{Found: find.Found, Place: find.place}
		if l.visitOf(&r, "") == nil && r.SiteID != "" {
			find.Words = l.sites[r.SiteID].Name
		} else {
			find.Words = l.season.Place
		}
	}
	find.Remarks = slices.Compact(find.Remarks)
}

// intakeID makes the identifier of a record from its first photograph, so
// that taking the same folder in twice makes the same record.
func intakeID(season trug.ID, first trug.Hash, at time.Time) trug.ID {
	sum := sha256.Sum256([]byte(string(season) + string(first)))
	id, err := trug.NewID(at, &fixed{sum[:]})
	if err != nil {
		panic(err) // ten bytes are always there
	}
	return id
}

// fixed reads given bytes.
type fixed struct{ bytes []byte }

func (f *fixed) Read(p []byte) (int, error) { return copy(p, f.bytes), nil }

// ApplyIntake writes the proposal: each find in a transaction of its own, so
// that one that fails leaves the others. What failed says so in its line.
func (a *App) ApplyIntake(ctx context.Context, v Viewer, p *Proposal, o IntakeOptions, tell trug.Progress) error {
	for i := range p.Finds {
		tell.Tell(i, len(p.Finds), "finds written")
		if ctx.Err() != nil {
			return ctx.Err()
		}
		find := &p.Finds[i]
		number, err := a.applyFind(ctx, v, find, o)
		if err != nil {
			find.Failed = err.Error()
			continue
		}
		find.Record = number
	}
	tell.Tell(len(p.Finds), len(p.Finds), "finds written")
	return nil
}

func (a *App) applyFind(ctx context.Context, v Viewer, find *ProposedFind, o IntakeOptions) (string, error) {
	if find.byNumber {
		return find.Adds, a.applyNumbered(ctx, v, find)
	}
	l, err := a.open(ctx, v, SaveARecord)
	if err != nil {
		return "", err
	}
	e := EditableRecord{Found: find.Found, OutsideIsOK: o.KeepOutside, DateIsOK: o.KeepOutside}
	id := find.ID
	if before := l.finds[find.into]; before.stands() {
		id, e = before.ID, *editable(before)
		e.OutsideIsOK, e.DateIsOK = true, true // they were agreed to before
	} else if find.place != nil {
		e.Place = &EditablePlace{Lat: float64(find.place.Position.Lat), Lon: float64(find.place.Position.Lon),
			Uncertainty: float64(find.place.Uncertainty), Source: find.place.Source}
	}
	views, err := a.handInViews(ctx, v, l, find)
	if err != nil {
		return "", err
	}
	e.Views = append(e.Views, views...)
	sheet, err := a.SaveRecord(ctx, v, id, e)
	return sheet.Number, err
}

// applyNumbered lays the photographs to the record whose number they bear.
func (a *App) applyNumbered(ctx context.Context, v Viewer, find *ProposedFind) error {
	l, err := a.open(ctx, v, HandIn)
	if err != nil {
		return err
	}
	views, err := a.handInViews(ctx, v, l, find)
	if err != nil {
		return err
	}
	_, err = a.AddViews(ctx, v, find.into, views)
	return err
}

// handInViews keeps the photographs of a proposed find.
func (a *App) handInViews(ctx context.Context, v Viewer, l *ledger, find *ProposedFind) (views []EditableView, err error) {
	for _, view := range find.Views {
		data, err := view.read()
		if err != nil {
			return nil, err
		}
		photograph, _, err := a.keepPhotograph(ctx, v, l, handed{cleanFileName(view.File), data, false})
		if err != nil {
			return nil, err
		}
		views = append(views, EditableView{Photograph: photograph.ID, Kind: view.Kind})
	}
	return views, nil
}

// PersonByCode returns the person of a season with the code, or with the name.
// It is for the command line, which stands beside the data.
func (a *App) PersonByCode(ctx context.Context, season trug.ID, code string) (trug.Person, error) {
	var people []trug.Person
	err := a.Store.Read(ctx, func(r store.Reader) (err error) {
		people, err = store.List[trug.Person](ctx, r, store.Filter{Season: season})
		return err
	})
	if err != nil {
		return trug.Person{}, err
	}
	for _, p := range people {
		if code != "" && (p.Code == code || strings.EqualFold(p.Name, code)) {
			return p, nil
		}
	}
	var names []string
	for _, p := range people {
		names = append(names, strings.TrimSpace(p.Code+" "+p.Name))
	}
	return trug.Person{}, trug.Errorf(trug.NotFound, "recorder", "nobody in this season is %q: use the code or the name of one of %s", code, strings.Join(names, ", "))
}

// Everybody returns the people of a season that have the role, for the
// command line that prints entry links.
func (a *App) Everybody(ctx context.Context, season trug.ID, role trug.Role) ([]trug.Person, error) {
	var out []trug.Person
	err := a.Store.Read(ctx, func(r store.Reader) error {
		people, err := store.List[trug.Person](ctx, r, store.Filter{Season: season})
		for _, p := range people {
			if p.Has(role) {
				out = append(out, p)
			}
		}
		return err
	})
	return out, err
}

// Desk is the viewer that the command line is: it stands beside the data and
// may do what a coordinator may.
func Desk(season trug.ID) Viewer {
	return Viewer{Season: season, Person: &trug.Person{SeasonID: season, Name: "command line", Roles: []trug.Role{trug.Coordinator}}}
}

// LastChange returns when the newest amendment was written, the zero time for
// an empty store. A demonstration's clock must not run behind it.
func (a *App) LastChange(ctx context.Context, season trug.ID) (at time.Time, err error) {
	err = a.Store.Read(ctx, func(r store.Reader) error {
		seq, err := r.LastSeq(ctx)
		if err != nil || seq == 0 {
			return err
		}
		last, err := r.Since(ctx, season, seq-1, 1)
		if len(last) > 0 {
			at = last[0].At
		}
		return err
	})
	return at, err
}
