package app

import (
	"bytes"
	"context"
	"fmt"
	"slices"
	"sync"
	"time"

	"trug"
	"trug/internal/demo"
	"trug/internal/store"
)

// LoadDemonstration brings the invented season into the store as far as it is
// not there yet. What visitors have changed stays as they left it.
func (a *App) LoadDemonstration(ctx context.Context, d demo.Season) error {
	ground, _, err := a.Blobs.Put(ctx, bytes.NewReader(d.Ground), 16<<20)
	if err != nil {
		return fmt.Errorf("keep the demonstration's ground: %w", err)
	}
	d.Season.Ground = ground
	table, _, err := a.Blobs.Put(ctx, bytes.NewReader(d.CardColours), MaxColourTable)
	if err != nil {
		return fmt.Errorf("keep the demonstration's card colours: %w", err)
	}
	d.Cards = slices.Clone(d.Cards)
	colours := *d.Cards[0].Colours
	colours.Table = table
	d.Cards[0].Colours = &colours
	by := store.Author{Device: "demonstration"}
	err = a.write(ctx, func(w store.Writer) error {
		load := loader{ctx: ctx, w: w, by: by, app: a}
		put(&load, d.Season, d.Season.ID)
		putAll(&load, d.People, func(x trug.Person) trug.ID { return x.ID })
		putAll(&load, d.Cards, func(x trug.CardBatch) trug.ID { return x.ID })
		putAll(&load, d.Sites, func(x trug.Site) trug.ID { return x.ID })
		putAll(&load, d.Forays, func(x trug.Foray) trug.ID { return x.ID })
		putAll(&load, d.Taxa, func(x trug.Taxon) trug.ID { return x.ID })
		putAll(&load, d.LookAlikes, func(x trug.LookAlike) trug.ID { return x.ID })
		putAll(&load, d.Protections, func(x trug.Protection) trug.ID { return x.ID })
		putAll(&load, d.Records, func(x trug.Record) trug.ID { return x.ID })
		putAll(&load, d.Determinations, func(x trug.Determination) trug.ID { return x.ID })
		putAll(&load, d.Requests, func(x trug.Request) trug.ID { return x.ID })
		return load.err
	})
	if err != nil {
		return err
	}
	return a.demoFieldCode(ctx, d.Season)
}

// demoFieldCode makes the invented season's field code, where it has none yet.
func (a *App) demoFieldCode(ctx context.Context, s trug.Season) error {
	return a.write(ctx, func(w store.Writer) error {
		list, err := store.ListSecrets[trug.FieldCode](ctx, w, store.SecretFilter{Season: s.ID})
		if err != nil || len(list) > 0 {
			return err
		}
		code, err := a.newFieldCode(s.ID)
		if err != nil {
			return err
		}
		code.Last = trug.Date("2026-12-31") // --today shows the season when it is over as well
		return store.PutSecret(ctx, w, code)
	})
}

// FieldCodeOf returns a season's field code, empty while there is none. It is
// for the command line, which stands beside the data.
func (a *App) FieldCodeOf(ctx context.Context, season trug.ID) (string, error) {
	code, err := a.fieldCode(ctx, season)
	return code.Code, err
}

// loader carries what each of many writes needs, and the first error.
type loader struct {
	ctx context.Context
	w   store.Writer
	by  store.Author
	app *App
	err error
}

func put[T store.Thing](l *loader, thing T, id trug.ID) {
	if l.err == nil {
		l.err = putOnce(l.ctx, l.w, thing, id, l.by, l.app)
	}
}

func putAll[T store.Thing](l *loader, things []T, id func(T) trug.ID) {
	for _, t := range things {
		put(l, t, id(t))
	}
}

// painter draws the demonstration's photographs in the background, those that
// somebody looks at before the others.
type painter struct {
	mu      sync.Mutex
	waiting []demo.Picture
	of      map[trug.ID][]trug.ViewKind // views still to be drawn, by record
	done    int
	total   int
	began   time.Time
	fresh   int // drawn since began
}

// PaintDemonstration draws the photographs that the store does not hold yet,
// with workers at once, until all are drawn or ctx ends. It sets itself as
// the app's Drawing and returns at once.
func (a *App) PaintDemonstration(ctx context.Context, d demo.Season, workers int) error {
	p := &painter{of: map[trug.ID][]trug.ViewKind{}, began: time.Now(), total: len(d.Pictures)}
	err := a.Store.Read(ctx, func(r store.Reader) error {
		views, err := store.List[trug.View](ctx, r, store.Filter{Season: d.Season.ID})
		have := map[trug.ID]bool{}
		for _, v := range views {
			have[v.ID] = true
		}
		for _, x := range d.Pictures {
			if have[x.ViewID] {
				p.done++
				continue
			}
			p.waiting = append(p.waiting, x)
			p.of[x.RecordID] = append(p.of[x.RecordID], x.Kind)
		}
		return err
	})
	if err != nil {
		return err
	}
	a.Drawing = p
	for range workers {
		go a.paint(ctx, p, d)
	}
	return nil
}

func (a *App) paint(ctx context.Context, p *painter, d demo.Season) {
	for ctx.Err() == nil {
		x, ok := p.next()
		if !ok {
			return
		}
		if err := a.paintOne(ctx, d, x); err != nil && ctx.Err() == nil {
			a.Log.Error("drawing the demonstration", "file", x.FileName, "error", err)
		}
		p.drawn(x)
	}
}

func (a *App) paintOne(ctx context.Context, d demo.Season, x demo.Picture) error {
	data, err := x.Draw()
	if err != nil {
		return err
	}
	l, err := a.ledger(ctx, d.Season.ID)
	if err != nil {
		return err
	}
	by := l.people[x.By]
	v := Viewer{Season: d.Season.ID, Person: &by}
	photograph, _, err := a.keepPhotograph(ctx, v, l, handed{x.FileName, data, false})
	if err != nil {
		return err
	}
	view := trug.View{ID: x.ViewID, Public: x.Public, SeasonID: d.Season.ID, RecordID: x.RecordID, PhotographID: photograph.ID, Kind: x.Kind, By: x.By, Created: x.Taken}
	return a.write(ctx, func(w store.Writer) error { return putOnce(ctx, w, view, view.ID, a.author(v), a) })
}

// next takes the photograph to be drawn next.
func (p *painter) next() (demo.Picture, bool) {
	p.mu.Lock()
	defer p.mu.Unlock()
	if len(p.waiting) == 0 {
		return demo.Picture{}, false
	}
	x := p.waiting[0]
	p.waiting = p.waiting[1:]
	return x, true
}

func (p *painter) drawn(x demo.Picture) {
	p.mu.Lock()
	defer p.mu.Unlock()
	p.done++
	p.fresh++
	// A new slice: the old one may be in somebody's hands.
	p.of[x.RecordID] = slices.DeleteFunc(slices.Clone(p.of[x.RecordID]), func(k trug.ViewKind) bool { return k == x.Kind })
}

// Progress is Drawing's.
func (p *painter) Progress() (done, total, seconds int) {
	p.mu.Lock()
	defer p.mu.Unlock()
	if p.fresh > 0 {
		each := time.Since(p.began) / time.Duration(p.fresh)
		seconds = int((each * time.Duration(p.total-p.done)).Seconds())
	} else {
		seconds = (p.total - p.done) / 3 // until one is drawn, a guess
	}
	return p.done, p.total, seconds
}

// Still is Drawing's.
func (p *painter) Still(record trug.ID) []trug.ViewKind {
	p.mu.Lock()
	defer p.mu.Unlock()
	return p.of[record]
}

// Want is Drawing's: photographs of the record are drawn before the others.
func (p *painter) Want(record trug.ID) {
	p.mu.Lock()
	defer p.mu.Unlock()
	if len(p.of[record]) == 0 {
		return
	}
	first := make([]demo.Picture, 0, len(p.waiting))
	var rest []demo.Picture
	for _, x := range p.waiting {
		if x.RecordID == record {
			first = append(first, x)
		} else {
			rest = append(rest, x)
		}
	}
	p.waiting = append(first, rest...)
}
