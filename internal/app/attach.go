package app

import (
	"context"
	"fmt"
	"slices"
	"strings"

	"trug"
	"trug/internal/store"
)

// MaxFilesNamed bounds how many names are read at once.
const MaxFilesNamed = 5000

// NamedFile is what is proposed of a photograph by its file's name: to which
// find it belongs, and which view it is; or a sentence on why to none.
type NamedFile struct {
	File   string `json:"file"`
	Number string `json:"number,omitempty" doc:"Field number in the name; blank: none"`
	// Record is the find that bears the number and takes the photograph.
	Record trug.ID       `json:"record,omitempty"`
	Kind   trug.ViewKind `json:"kind,omitempty" doc:"View that the name says; blank: none"`
	Says   string        `json:"says,omitempty" doc:"Why the photograph goes to no find"`
}

// NumberedFind is a find that photographs can be laid to.
type NumberedFind struct {
	Record trug.ID         `json:"record"`
	Number string          `json:"number"`
	Name   string          `json:"name" doc:"Name given in the hand"`
	Date   trug.Date       `json:"date"`
	Views  []trug.ViewKind `json:"views" doc:"Those that it has"`
}

// NamedFiles is what was read of files' names.
type NamedFiles struct {
	Files []NamedFile    `json:"files"`
	Finds []NumberedFind `json:"finds"`
}

// ReadFileNames reads of names to which finds photographs belong. Numbers that
// were typed, whole or as the figure alone, are read alike where a file has
// one beside its name. It writes nothing.
func (a *App) ReadFileNames(ctx context.Context, v Viewer, asked []NameAsked) (NamedFiles, error) {
	l, err := a.open(ctx, v, HandIn)
	if err != nil {
		return NamedFiles{}, err
	}
	if len(asked) > MaxFilesNamed {
		return NamedFiles{}, trug.Errorf(trug.TooLarge, "files", "%d files at once are too many: choose at most %d", len(asked), MaxFilesNamed)
	}
	out := NamedFiles{Files: make([]NamedFile, len(asked)), Finds: []NumberedFind{}}
	listed := map[trug.ID]bool{}
	byNumber := l.byNumber()
	for i, q := range asked {
		named, f := l.namedFile(v, byNumber, q)
		out.Files[i] = named
		if f != nil && !listed[f.ID] {
			listed[f.ID] = true
			out.Finds = append(out.Finds, NumberedFind{Record: f.ID, Number: f.Number, Name: f.FieldName.Name, Date: f.Found.Date, Views: notNil(l.kinds(f))})
		}
	}
	slices.SortFunc(out.Finds, func(x, y NumberedFind) int { return numberOf(x.Number) - numberOf(y.Number) })
	return out, nil
}

// NameAsked is a file's name, with the number that somebody gave it.
type NameAsked struct {
	File   string `json:"file"`
	Number string `json:"number,omitempty" doc:"Number typed for it; blank: the one in its name"`
}

func (l *ledger) namedFile(v Viewer, byNumber map[string]*find, q NameAsked) (NamedFile, *find) {
	tells := trug.ReadFileName(l.season.Code, q.File)
	out := NamedFile{File: q.File, Kind: tells.Kind}
	if strings.TrimSpace(q.Number) != "" {
		number, err := l.readNumber(q.Number)
		if err != nil {
			out.Says = says(err)
			return out, nil
		}
		tells = trug.FileTells{Numbers: []string{number}}
	}
	f, number, err := l.findOfFile(v, byNumber, tells)
	out.Number = number
	if err != nil {
		out.Says = says(err)
		return out, nil
	}
	if f != nil {
		out.Record = f.ID
	}
	return out, f
}

// byNumber files the finds, withdrawn ones too, by their field number.
func (l *ledger) byNumber() map[string]*find {
	out := make(map[string]*find, len(l.finds))
	for _, f := range l.finds {
		if f.ID != "" {
			out[f.Number] = f
		}
	}
	return out
}

// findOfFile returns the find to which a file's name says that it belongs, nil
// for a name without a number; or an error that says why it can't be laid there.
func (l *ledger) findOfFile(v Viewer, byNumber map[string]*find, tells trug.FileTells) (f *find, number string, err error) {
	fault := func(format string, args ...any) error { return trug.Errorf(trug.Invalid, "number", format, args...) }
	switch {
	case len(tells.Numbers) > 1:
		return nil, "", fault("the name bears two numbers, %s: leave the right one in it", strings.Join(tells.Numbers, " and "))
	case len(tells.Numbers) == 0 && tells.Foreign != "":
		return nil, tells.Foreign, fault("%s is a number of another season: here they begin with %s-", tells.Foreign, l.season.Code)
	case len(tells.Numbers) == 0:
		return nil, "", nil
	}
	number = tells.Numbers[0]
	f = byNumber[number]
	switch {
	case f != nil && !f.Withdrawn.IsZero() && l.mayLay(v, f):
		return nil, number, fault("%s was taken out of the foray table: put it back there first, or mend the number", number)
	case !f.stands() || !l.visible(v, f):
		if l.onSlip(number) {
			return nil, number, fault("%s is on a printed slip, but no find is entered under it yet: enter its row in the foray table first", number)
		}
		return nil, number, fault("no find here has the number %s: enter its row in the foray table first, or mend the number", number)
	case !l.mayLay(v, f):
		return nil, number, fault("%s is somebody else's find: its recorder, the leader of its foray for what is in the table, and the coordinator lay photographs to it", number)
	}
	return f, number, nil
}

func (l *ledger) onSlip(number string) bool {
	for _, r := range l.slips {
		if r.Holds(numberOf(number)) {
			return true
		}
	}
	return false
}

// mayLay reports whether the viewer may lay photographs to a find: its
// recorder, the coordinator, and who keeps the foray in whose table it stands.
func (l *ledger) mayLay(v Viewer, f *find) bool {
	if (f.protection != nil || f.Garden) && l.whereabouts(v, f).withheld {
		return false
	}
	y, ok := l.forays[f.ForayID]
	return v.is(f.RecorderID) || v.has(trug.Coordinator) || ok && f.inTable(y) && v.keeps(y)
}

// AddViews lays photographs to a record as views; those that it has stay.
// Doing it twice changes nothing; a photograph that is there already as
// another view becomes the view that is given.
func (a *App) AddViews(ctx context.Context, v Viewer, id trug.ID, given []EditableView) (NumberedFind, error) {
	l, err := a.open(ctx, v, HandIn)
	if err != nil {
		return NumberedFind{}, err
	}
	f := l.finds[id]
	if !f.stands() || !l.visible(v, f) {
		return NumberedFind{}, trug.Errorf(trug.NotFound, "", "There is no such record here.")
	}
	if !l.mayLay(v, f) {
		return NumberedFind{}, trug.Errorf(trug.NotAllowed, "", "This is somebody else's find: its recorder, the leader of its foray for what is in the table, and the coordinator lay photographs to it.")
	}
	views, err := a.viewsOf(v, l, f, id, given)
	if err != nil {
		return NumberedFind{}, err
	}
	err = a.write(ctx, func(w store.Writer) error {
		for _, view := range views {
			if err := store.Put(ctx, w, view, a.author(v), a.Clock()); err != nil {
				if trug.KindOf(err) == trug.Conflict { // laid elsewhere meanwhile
					return trug.Errorf(trug.Conflict, "views", "one of these photographs was laid to a record meanwhile: look them over again")
				}
				return err
			}
		}
		return nil
	})
	if err != nil {
		return NumberedFind{}, err
	}
	l, err = a.open(ctx, v, SaveARecord)
	if err != nil {
		return NumberedFind{}, err
	}
	f = l.finds[id]
	return NumberedFind{Record: f.ID, Number: f.Number, Name: f.FieldName.Name, Date: f.Found.Date, Views: notNil(l.kinds(f))}, nil
}

// numbered sorts photographs whose names bear a field number to the finds that
// have it. Those that go to none are refused in a sentence and stay where they
// are; photographs without a number are returned.
func (l *ledger) numbered(v Viewer, list []candidate, p *Proposal) (plain []candidate) {
	byNumber := l.byNumber()
	groups := map[trug.ID][]candidate{}
	var order []trug.ID
	for _, c := range list {
		tells := trug.ReadFileName(l.season.Code, c.file.Name)
		f, number, err := l.findOfFile(v, byNumber, tells)
		switch {
		case err != nil:
			p.Refused = append(p.Refused, RefusedFile{File: c.file.Name, Says: says(err)})
		case f == nil:
			plain = append(plain, c)
		case c.heldBy != nil && c.heldBy.ID != f.ID:
			p.Refused = append(p.Refused, RefusedFile{File: c.file.Name,
				Says: "the name says " + number + ", but this photograph is in another record already: one photograph belongs to one record"})
		case c.heldBy != nil:
			// It lies there already.
		case c.takenOut:
			p.Refused = append(p.Refused, RefusedFile{File: c.file.Name, Says: "this photograph was taken out of a record: whoever wants it in again puts it in by hand"})
		default:
			if groups[f.ID] == nil {
				order = append(order, f.ID)
			}
			c.tells = tells.Kind
			groups[f.ID] = append(groups[f.ID], c)
		}
	}
	for _, id := range order {
		p.Finds = append(p.Finds, l.numberedFind(l.finds[id], groups[id]))
	}
	slices.SortFunc(p.Finds, func(x, y ProposedFind) int { return numberOf(x.Adds) - numberOf(y.Adds) })
	return plain
}

// numberedFind proposes photographs for the find whose number they bear.
func (l *ledger) numberedFind(f *find, group []candidate) ProposedFind {
	slices.SortStableFunc(group, func(x, y candidate) int {
		if c := x.at.Compare(y.at); c != 0 {
			return c
		}
		return strings.Compare(x.file.Name, y.file.Name)
	})
	out := ProposedFind{Found: f.Found, Words: l.sites[f.SiteID].Name, Adds: f.Number, into: f.ID, byNumber: true}
	taken := map[trug.ViewKind]bool{}
	for _, k := range l.kinds(f) {
		taken[k] = true
	}
	for _, c := range group { // what names say goes before what is guessed
		if c.tells != "" && taken[c.tells] {
			out.Remarks = append(out.Remarks, fmt.Sprintf("%s has a %s view besides; both are kept", f.Number, c.tells))
		}
		taken[c.tells] = true
	}
	for _, c := range group {
		kind := c.tells
		if kind == "" {
			kind = nextView(taken)
		}
		out.Views = append(out.Views, ProposedView{File: c.file.Name, Kind: kind, read: c.file.Read})
		if day := c.taken.Date; day != "" && f.Found.Date != "" && day != f.Found.Date {
			out.Remarks = append(out.Remarks, fmt.Sprintf("%s was taken on %s, the find is of %s: is the number right?", c.file.Name, dayWords(day), dayWords(f.Found.Date)))
		}
		out.Remarks = append(out.Remarks, c.notes...)
	}
	if twice := foldersOf(group); len(twice) > 1 {
		out.Remarks = append(out.Remarks, fmt.Sprintf("%s stands in %s: look whether one of them is another find's", f.Number, strings.Join(twice, " and ")))
	}
	out.Remarks = uniq(out.Remarks)
	return out
}

// foldersOf lists the folders in which photographs lie.
func foldersOf(group []candidate) []string {
	var out []string
	for _, c := range group {
		folder := "the folder itself"
		if i := strings.LastIndex(c.file.Name, "/"); i >= 0 {
			folder = c.file.Name[:i]
		}
		if !slices.Contains(out, folder) {
			out = append(out, folder)
		}
	}
	return out
}

// uniq keeps each sentence once, in order.
func uniq(list []string) (out []string) {
	for _, s := range list {
		if !slices.Contains(out, s) {
			out = append(out, s)
		}
	}
	return out
}
