package app

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"path"
	"strings"
	"time"
	"unicode/utf8"

	"trug"
	"trug/internal/store"
	"trug/science/photo"
	"trug/science/said"
)

// Limits of what is handed in.
const (
	// MaxPhotographBytes bounds a file: far above what phones and cameras write.
	MaxPhotographBytes = 80 << 20
	// MaxPhotographPixels bounds a picture, against files that inflate.
	MaxPhotographPixels = 120e6

	screenSide, thumbSide       = 1600, 400
	screenQuality, thumbQuality = 84, 78
)

// TakePhotograph keeps a photograph as it is handed in: the original bit for
// bit, two derivatives, and what the file says of time and place. The same
// file handed in again is harmless. An error names the file and what to do.
func (a *App) TakePhotograph(ctx context.Context, v Viewer, fileName string, r io.Reader) (ShownPhotograph, error) {
	l, err := a.open(ctx, v, HandIn)
	if err != nil {
		return ShownPhotograph{}, err
	}
	fileName = cleanFileName(fileName)
	giveBack, err := a.files.take(ctx, lengthOf(r))
	if err != nil {
		return ShownPhotograph{}, err
	}
	defer giveBack()
	data, err := io.ReadAll(io.LimitReader(r, MaxPhotographBytes+1))
	if err != nil {
		return ShownPhotograph{}, trug.Errorf(trug.Invalid, fileName, "the file did not arrive whole: send it again")
	}
	if len(data) > MaxPhotographBytes {
		return ShownPhotograph{}, trug.Errorf(trug.TooLarge, fileName, "the file is over %d MB: hand in the camera's JPEG or HEIC", MaxPhotographBytes>>20)
	}
	p, again, err := a.keepPhotograph(ctx, v, l, handed{fileName, data, false})
	if err != nil {
		return ShownPhotograph{}, err
	}
	return a.shownPhotograph(ctx, v, p, again)
}

// handed is a file that is handed in; later tells that what is made of it may
// follow.
type handed struct {
	name  string
	data  []byte
	later bool
}

// keepPhotograph makes sure that the original is durable and known, and unless that
// may follow what is made of it too; again tells that it was known before.
func (a *App) keepPhotograph(ctx context.Context, v Viewer, l *ledger, h handed) (p trug.Photograph, again bool, err error) {
	hash := hashOf(h.data)
	if p, err = a.photographByHash(ctx, l.season.ID, hash); err == nil {
		return p, true, nil
	} else if trug.KindOf(err) != trug.NotFound {
		return p, false, err
	}
	if err := a.roomFor(l, v, int64(len(h.data))); err != nil {
		return p, false, err
	}
	becomes := a.develop
	if h.later {
		becomes = a.undeveloped
	}
	m, err := becomes(ctx, h.name, h.data)
	if err != nil {
		return m.Photograph, false, err
	}
	if m.Original, _, err = a.Blobs.Put(ctx, bytes.NewReader(h.data), MaxPhotographBytes); err == nil {
		err = a.putDerivatives(ctx, &m)
	}
	if err != nil {
		return m.Photograph, false, fmt.Errorf("keep a photograph: %w", err) // its name may tell a place; this goes into logs
	}
	if m.ID, err = a.newID(); err != nil {
		return m.Photograph, false, err
	}
	m.SeasonID, m.Created = l.season.ID, a.Clock()
	if v.Person != nil {
		m.By = v.Person.ID
	}
	err = a.write(ctx, func(w store.Writer) error {
		if err := store.Put(ctx, w, m.Photograph, a.author(v), a.Clock()); err != nil || !m.Developed() {
			return err
		}
		return a.putCard(ctx, w, m, a.author(v))
	})
	if trug.KindOf(err) == trug.Conflict && err != nil { // handed in twice at once
		p, err = a.photographByHash(ctx, l.season.ID, hash)
		return p, true, err
	}
	return m.Photograph, false, err
}

func (a *App) photographByHash(ctx context.Context, season trug.ID, h trug.Hash) (p trug.Photograph, err error) {
	err = a.Store.Read(ctx, func(r store.Reader) error {
		p, err = store.ByKey[trug.Photograph](ctx, r, season, string(h))
		return err
	})
	return p, err
}

// photographOf turns what a file says into a photograph.
func (a *App) photographOf(fileName string, facts photo.Facts) trug.Photograph {
	p := trug.Photograph{Format: string(facts.Format), FileName: fileName, Camera: strings.TrimSpace(facts.Make + " " + facts.Model)}
	for _, n := range facts.Notes {
		p.Notes, p.Said = append(p.Notes, n.Text), append(p.Said, n.Said)
	}
	if t := facts.Taken; t.Known() {
		p.Taken = trug.When{Date: trug.DateOf(t.Wall), Time: t.Wall.Format("15:04:05")}
		if t.HasOffset {
			p.Taken.Offset = t.In(time.UTC).Format("Z07:00")
		}
		if says := photo.ClockDoubt(t, a.Clock()); says.Words != "" {
			p.Notes, p.Said = append(p.Notes, says.String()), append(p.Said, says)
			p.Taken = trug.When{}
		}
	}
	if facts.Position != nil {
		p.Place = &trug.Place{Position: *facts.Position, Uncertainty: facts.PositionUncertainty, Precision: 1e-6, Source: trug.FromCamera}
	}
	return p
}

// shownPhotograph tells the one who handed it in what the file said.
func (a *App) shownPhotograph(ctx context.Context, v Viewer, p trug.Photograph, again bool) (ShownPhotograph, error) {
	l, err := a.ledger(ctx, v.Season)
	if err != nil {
		return ShownPhotograph{}, err
	}
	s := ShownPhotograph{ID: p.ID, FileName: p.FileName, Width: p.Width, Height: p.Height, Taken: p.Taken, Notes: []string{}, Again: again}
	for i, n := range p.Notes {
		if i < len(p.Said) {
			s.note(p.Said[i])
		} else {
			s.note(n)
		}
	}
	mine := v.is(p.By)
	if p.Place != nil && mine {
		s.Place = &EditablePlace{Lat: float64(p.Place.Position.Lat), Lon: float64(p.Place.Position.Lon),
			Uncertainty: float64(p.Place.Uncertainty), Source: trug.FromCamera}
		if km := l.outsideArea(p.Place.Position); km > 0 {
			s.note(said.As("The camera's place lies {distance} outside the season's area: give the place yourself, or keep it if it is right.", "distance", distanceWords(km)))
		}
	}
	if f := l.holding(p.ID); f != nil && again {
		if v.is(f.RecorderID) {
			s.InRecord = f.Number
			s.note(said.As("This photograph is already in your record {number}. One photograph belongs to one record.", "number", f.Number))
		} else {
			s.note(said.As("This photograph is already in somebody's record. One photograph belongs to one record."))
		}
	}
	return s, nil
}

// note adds a sentence to show beside the photograph.
func (s *ShownPhotograph) note(n any) {
	s.Notes = append(s.Notes, said.English(n))
	notes, _ := s.Said["notes"].([]any)
	s.Said.Put("notes", append(notes, n))
}

// holding returns the find in which a photograph is a view, nil for none. A
// find that was withdrawn holds its photographs still.
func (l *ledger) holding(photograph trug.ID) *find {
	for _, f := range l.finds {
		for _, view := range f.views {
			if view.PhotographID == photograph {
				return f
			}
		}
	}
	return nil
}

// viewWith returns the view of the find that a photograph is.
func (f *find) viewWith(photograph trug.ID) trug.ID {
	for _, w := range f.views {
		if w.PhotographID == photograph {
			return w.ID
		}
	}
	return ""
}

// fileFault names the file in an error about it.
func fileFault(fileName string, err error) error {
	if trug.KindOf(err) != trug.Internal {
		return err
	}
	if errors.Is(err, context.Canceled) || errors.Is(err, context.DeadlineExceeded) {
		return err
	}
	return trug.Errorf(trug.Invalid, fileName, "%v", err)
}

// cleanFileName returns the last part of a file's name, short and printable.
func cleanFileName(name string) string {
	name = path.Base(strings.ReplaceAll(name, `\`, "/"))
	name = strings.Map(func(r rune) rune {
		if r < ' ' || r == utf8.RuneError {
			return -1
		}
		return r
	}, name)
	if r := []rune(name); len(r) > 120 {
		name = string(r[len(r)-120:])
	}
	if name == "" || name == "." || name == "/" {
		return "photograph"
	}
	return name
}

// distanceWords writes a distance in kilometres.
func distanceWords(km float64) string {
	switch {
	case km < 1:
		return fmt.Sprintf("%.0f m", km*1000)
	case km < 10:
		return fmt.Sprintf("%.1f km", km)
	default:
		return fmt.Sprintf("%.0f km", km)
	}
}

// Size says which file of a photograph is meant.
type Size string

// The sizes.
const (
	Thumb    Size = "thumb"
	Screen   Size = "screen"
	Original Size = "original"
)

// File is an open file with what is served beside it.
type File struct {
	io.ReadSeekCloser
	Hash trug.Hash
	Type string
	Made time.Time
}

// OpenPhotograph opens a file of a photograph. A photograph in no record yet
// is its owner's; one in a record follows the record. Originals bear the
// camera's place, so only their owner, determiners and the coordinator get them.
func (a *App) OpenPhotograph(ctx context.Context, v Viewer, id trug.ID, size Size) (File, error) {
	l, err := a.open(ctx, v, SeePhotograph)
	if err != nil {
		return File{}, err
	}
	p, ok := l.photographs[id]
	own := ok && v.is(p.By)
	f := l.holding(id)
	if !ok || f == nil && !own || f != nil && (!l.visible(v, f) || l.hidden(v, f, f.viewWith(id))) {
		return File{}, trug.Errorf(trug.NotFound, "", "There is no such photograph here.")
	}
	if size != Original {
		var err error
		if p, err = a.developed(ctx, p); err != nil {
			return File{}, err
		}
	}
	hash, kind := p.Screen.Hash, "image/jpeg"
	switch size {
	case Thumb:
		hash = p.Thumb.Hash
	case Screen:
	case Original:
		if !own && !l.mayNameAny(v) {
			return File{}, trug.Errorf(trug.NotAllowed, "", "Originals bear the camera's place; they are for their owner, determiners and the coordinator.")
		}
		if p.Crop != nil {
			return File{}, trug.Errorf(trug.NotFound, "", "A part of this photograph was cut away because a person could be seen; the original is handed to nobody.")
		}
		if f != nil && p.Place != nil {
			if err := a.note(ctx, l, v, byOriginal, f); err != nil {
				return File{}, err
			}
		}
		hash, kind = p.Original, "image/"+p.Format
	default:
		return File{}, trug.Errorf(trug.NotFound, "", "A photograph comes as thumb, screen or original.")
	}
	file, err := a.Blobs.Open(ctx, hash)
	if err != nil {
		return File{}, fmt.Errorf("open photograph %s: %w", id, err)
	}
	return File{ReadSeekCloser: file, Hash: hash, Type: kind, Made: p.Created}, nil
}
