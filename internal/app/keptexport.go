package app

import (
	"archive/zip"
	"cmp"
	"context"
	"encoding/csv"
	"encoding/json"
	"fmt"
	"io"
	"path"
	"slices"
	"strings"
	"time"

	"trug"
	"trug/internal/store"
)

// KeptExport is what is kept about somebody, ready to be written.
type KeptExport struct {
	app *App
	l   *ledger
	keptThings
	sessions []ShownSession
	looks    []store.Look
	views    map[trug.ID]trug.View // by photograph
}

// ExportKept gathers all that is kept about somebody: for oneself, for a child
// under one, and for the coordinator when a child's adult asks.
func (a *App) ExportKept(ctx context.Context, v Viewer, who trug.ID) (KeptExport, error) {
	l, p, err := a.whose(ctx, v, SeeKept, who)
	if err != nil {
		return KeptExport{}, err
	}
	if !l.mayExport(v, p) {
		return KeptExport{}, trug.Errorf(trug.NotAllowed, "", "An adult takes their own copy; the coordinator makes one for a child whose adult asks for it.")
	}
	x := KeptExport{app: a, l: l, keptThings: l.thingsOf(p), views: map[trug.ID]trug.View{}}
	for _, f := range l.finds {
		for _, w := range f.views {
			x.views[w.PhotographID] = w
		}
	}
	var guarded []*find
	for _, r := range x.records {
		guarded = append(guarded, l.finds[r.ID])
	}
	if err := a.note(ctx, l, v, byExport, guarded...); err != nil {
		return KeptExport{}, err
	}
	err = a.Store.Read(ctx, func(r store.Reader) error {
		list, err := store.ListSecrets[trug.Session](ctx, r, store.SecretFilter{Person: p.ID})
		for _, s := range list {
			x.sessions = append(x.sessions, ShownSession{ID: s.ID, Label: s.Label, By: s.By, Created: s.Created, Seen: s.Seen, Ends: s.Until})
		}
		if err != nil {
			return err
		}
		x.looks, err = r.Looks(ctx, store.LookFilter{Season: l.season.ID, Person: p.ID, Limit: auditMost})
		return err
	})
	return x, err
}

// Name is the name of the file: it says of which season it is, and of nobody.
func (x KeptExport) Name() string { return "kept-about-me-" + x.l.season.Code + ".zip" }

// Write writes the zip: everything as JSON, the lists as CSV too, and the
// photographs as they were handed in. Of a view that was cropped the part that
// is shown goes out: somebody else may be on the rest.
func (x KeptExport) Write(ctx context.Context, to io.Writer) error {
	z := zip.NewWriter(to)
	files := []struct {
		name  string
		write func(io.Writer) error
	}{
		{"README.txt", func(w io.Writer) error { _, err := io.WriteString(w, exportReadme); return err }},
		{"kept.json", x.writeJSON}, {"records.csv", x.writeRecords}, {"photographs.csv", x.writePhotographs},
		{"opinions.csv", x.writeSlips}, {"sign-ups.csv", x.writeSignUps},
	}
	for _, f := range files {
		w, err := z.Create(f.name)
		if err == nil {
			err = f.write(w)
		}
		if err != nil {
			return fmt.Errorf("write %s: %w", f.name, err)
		}
	}
	for i, p := range x.photographs {
		if err := x.writePicture(ctx, z, i, p); err != nil {
			return err
		}
	}
	return z.Close()
}

const exportReadme = `What is kept about you in this season.

kept.json         everything, as the program keeps it
records.csv       your records
photographs.csv   your photographs, with the name of the file in photographs/
opinions.csv      names that you gave
sign-ups.csv      forays that you signed up for, asked for or led
photographs/      your photographs as you handed them in; of a picture that was
                  cropped because a person could be seen, the part that is shown

Places stand in these files as exactly as they are kept. Some may be secret:
think before you pass the files on.
`

func (x KeptExport) writeJSON(w io.Writer) error {
	e := json.NewEncoder(w)
	e.SetIndent("", " ")
	forays := make([]exportedForay, 0, len(x.forays))
	for _, y := range x.forays {
		forays = append(forays, x.foray(y))
	}
	var looks []exportedLook
	for _, k := range x.looks {
		looks = append(looks, exportedLook{k.At, k.Way, x.l.numberOf(k.Record)})
	}
	return e.Encode(struct {
		Season      string               `json:"season"`
		Made        time.Time            `json:"made"`
		Person      trug.Person          `json:"person"`
		Sessions    []ShownSession       `json:"sessions"`
		Records     []trug.Record        `json:"records"`
		Photographs []trug.Photograph    `json:"photographs"`
		Opinions    []trug.Determination `json:"opinions"`
		Forays      []exportedForay      `json:"forays"`
		Marks       []trug.Mark          `json:"marks"`
		Sizes       []trug.Measurement   `json:"sizes"`
		Colours     []trug.Colour        `json:"colours"`
		Requests    []trug.Request       `json:"requests"`
		Passes      []trug.Pass          `json:"passes"`
		Lifts       []trug.Lift          `json:"lifts"`
		Wishes      []trug.Wish          `json:"wishes"`
		Looks       []exportedLook       `json:"looks"`
	}{x.l.season.Title, x.app.Clock().UTC(), x.person, notNil(x.sessions), notNil(x.records), notNil(x.photographs), notNil(x.slips), forays, notNil(x.marks),
		notNil(x.sizes), notNil(x.colours), notNil(x.requests), notNil(x.passes), notNil(x.lifts), notNil(x.wishes), notNil(looks)})
}

// exportedLook tells that they were given the place of a protected or private
// find of somebody else's; the place itself is not theirs to take along.
type exportedLook struct {
	At     time.Time `json:"at"`
	Way    string    `json:"way"`
	Number string    `json:"number"`
}

// exportedForay is a foray without the others who signed up for it.
type exportedForay struct {
	Code string    `json:"code"`
	Name string    `json:"name"`
	Date trug.Date `json:"date"`
	Part string    `json:"part" doc:"signed up, asks to come, or leads"`
}

func (x KeptExport) foray(y trug.Foray) exportedForay {
	part := "signed up"
	switch {
	case y.Leader == x.person.ID:
		part = "leads"
	case slices.Contains(y.Asking, x.person.ID):
		part = "asks to come"
	}
	return exportedForay{y.Code, y.Name, y.Date, part}
}

// table writes rows as CSV, safe to be opened in a spreadsheet.
func table(w io.Writer, head []string, rows [][]string) error {
	c := csv.NewWriter(w)
	_ = c.Write(head)
	for _, row := range rows {
		for i := range row {
			row[i] = harmless(row[i])
		}
		_ = c.Write(row)
	}
	c.Flush()
	return c.Error()
}

func (x KeptExport) writeRecords(w io.Writer) error {
	var rows [][]string
	for _, r := range x.records {
		f := x.l.finds[r.ID]
		var at ShownPlace
		if r.Place != nil {
			writePosition(&at, *r.Place)
		}
		uncertainty, garden := "", ""
		if r.Garden {
			garden = "yes"
		}
		if at.Uncertainty > 0 {
			uncertainty = fmt.Sprintf("%g", at.Uncertainty)
		}
		rows = append(rows, []string{r.Number, string(r.Found.Date), r.Found.Time, at.Decimal, uncertainty, r.FieldName.Name,
			cmp.Or(x.l.shownName(Viewer{Season: x.l.season.ID, Person: &x.person}, f).Name, ""), r.Form, r.Substrate, r.Host, r.Habit, r.Smell, r.Remarks, garden})
	}
	return table(w, []string{"number", "day", "time", "place", "uncertainty_m", "field_name", "name", "form", "substrate", "host", "habit", "smell", "remarks", "own_garden"}, rows)
}

func (x KeptExport) writePhotographs(w io.Writer) error {
	var rows [][]string
	for i, p := range x.photographs {
		number, kind := "", ""
		if view, ok := x.views[p.ID]; ok {
			number, kind = x.l.numberOf(view.RecordID), string(view.Kind)
		}
		rows = append(rows, []string{pictureName(i, p), number, kind, string(p.Taken.Date), p.Taken.Time, p.Camera, p.FileName})
	}
	return table(w, []string{"file", "record", "view", "taken_day", "taken_time", "camera", "named"}, rows)
}

func (x KeptExport) writeSlips(w io.Writer) error {
	var rows [][]string
	for _, d := range x.slips {
		rows = append(rows, []string{x.l.numberOf(d.RecordID), string(d.Date), d.Name, string(d.Qualifier), d.Remark})
	}
	return table(w, []string{"record", "day", "name", "qualifier", "remark"}, rows)
}

func (x KeptExport) writeSignUps(w io.Writer) error {
	var rows [][]string
	for _, y := range x.forays {
		f := x.foray(y)
		rows = append(rows, []string{f.Code, f.Name, string(f.Date), f.Part})
	}
	return table(w, []string{"foray", "name", "day", "part"}, rows)
}

// pictureName numbers the files, so that two of one name don't meet.
func pictureName(i int, p trug.Photograph) string {
	kind := strings.ToLower(path.Ext(p.FileName))
	if p.Crop != nil || kind == "" || len(kind) > 5 || strings.ContainsAny(kind, `/\`) {
		kind = ".jpg"
	}
	return fmt.Sprintf("photographs/%04d%s", i+1, kind)
}

func (x KeptExport) writePicture(ctx context.Context, z *zip.Writer, i int, p trug.Photograph) error {
	hash := p.Original
	if p.Crop != nil {
		hash = p.Screen.Hash
	}
	file, err := x.app.Blobs.Open(ctx, hash)
	if err != nil {
		return fmt.Errorf("open a photograph: %w", err)
	}
	defer file.Close()
	// Photographs are compressed already.
	w, err := z.CreateHeader(&zip.FileHeader{Name: pictureName(i, p), Method: zip.Store})
	if err != nil {
		return err
	}
	_, err = io.Copy(w, file)
	return err
}
