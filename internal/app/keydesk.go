package app

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"slices"
	"strings"

	"trug"
	"trug/internal/store"
	"trug/science/describe"
	"trug/science/key"
	"trug/science/key/starter"
	"trug/science/matrix"
	"trug/science/matrix/delta"
	"trug/science/matrix/forms"
	"trug/science/matrix/sdd"
)

// KeyDesk is the season's key for its coordinator: what it is made of, what
// it may reckon with, and every entry that settled finds have changed.
type KeyDesk struct {
	Title string `json:"title" readOnly:"true"`
	Taxa  int    `json:"taxa" readOnly:"true"`
	// OwnMatrix says that the season handed in a matrix of its own.
	OwnMatrix bool `json:"ownMatrix" readOnly:"true"`
	// Characters counts those that can be asked, with the season's own, whose
	// labels Added lists.
	Characters int      `json:"characters" readOnly:"true"`
	Added      []string `json:"added" readOnly:"true"`
	// Learns lets settled finds change the matrix; Expects lets time of year,
	// kind of place and what has been recorded weigh.
	Learns  bool `json:"learns"`
	Expects bool `json:"expects"`
	// Settled counts the finds that a season may learn from, Needed how many
	// of a kind with an answer change an entry.
	Settled int          `json:"settled" readOnly:"true"`
	Needed  int          `json:"needed" readOnly:"true"`
	Changes []KeyLearned `json:"changes" readOnly:"true"`
}

// KeyLearned is an entry of the matrix that settled finds changed.
type KeyLearned struct {
	Name   string `json:"name"`
	Label  string `json:"label"`
	Finds  int    `json:"finds"`
	Before string `json:"before"`
	After  string `json:"after"`
}

// KeyFileDone tells what became of a matrix or a table of characters handed
// in: kept, or refused for the faults.
type KeyFileDone struct {
	Kept bool `json:"kept"`
	// Says tells in a sentence what is in the season's key now.
	Says string `json:"says"`
	// Faults name what keeps the file out, by line where there is one; Notes
	// what was passed over.
	Faults []string `json:"faults"`
	Notes  []string `json:"notes"`
}

// keyLimits bound a season's own matrix: some thousand times a flora.
var keyLimits = matrix.Limits{Characters: 1000, States: 1000, Taxa: 20_000, Cells: 1_000_000}

// MaxKeyFile bounds a matrix or table of characters handed in, in bytes.
const MaxKeyFile = 16 << 20

// Key shows the season's key at the Season desk.
func (a *App) Key(ctx context.Context, v Viewer) (KeyDesk, error) {
	l, err := a.open(ctx, v, OpenDesk)
	if err != nil {
		return KeyDesk{}, err
	}
	return a.keyDesk(ctx, l)
}

func (a *App) keyDesk(ctx context.Context, l *ledger) (KeyDesk, error) {
	k, err := a.keyOf(ctx, l)
	if err != nil {
		return KeyDesk{}, err
	}
	out := KeyDesk{Title: k.book.Title, Taxa: len(k.book.Taxa), OwnMatrix: k.of.Matrix != "", Characters: len(k.words.Characters()), Added: []string{},
		Learns: k.of.Learns, Expects: k.of.Expects, Settled: len(k.settled), Needed: key.FewestToLearn, Changes: []KeyLearned{}}
	for _, c := range k.words.Characters() {
		if c.Season || slices.ContainsFunc(c.States, func(s describe.State) bool { return s.Season }) {
			out.Added = append(out.Added, c.Label)
		}
	}
	for _, c := range k.changes {
		ch := k.book.Characters[c.Character]
		out.Changes = append(out.Changes, KeyLearned{k.book.Taxa[c.Taxon].Name, ch.Name(), c.Finds, ch.Tell(c.Before), ch.Tell(c.After)})
	}
	return out, nil
}

// SaveKey keeps what the season's key may reckon with.
func (a *App) SaveKey(ctx context.Context, v Viewer, learns, expects bool) (KeyDesk, error) {
	l, err := a.open(ctx, v, KeepDesk)
	if err != nil {
		return KeyDesk{}, err
	}
	s := l.season
	s.Key.Learns, s.Key.Expects = learns, expects
	return a.saveKey(ctx, v, s)
}

// saveKey keeps the season and shows its key.
func (a *App) saveKey(ctx context.Context, v Viewer, s trug.Season) (KeyDesk, error) {
	if err := a.write(ctx, func(w store.Writer) error { return store.Put(ctx, w, s, a.author(v), a.Clock()) }); err != nil {
		return KeyDesk{}, err
	}
	l, err := a.ledger(ctx, s.ID)
	if err != nil {
		return KeyDesk{}, err
	}
	return a.keyDesk(ctx, l)
}

// TakeKeyFile takes a matrix ("matrix": SDD, DELTA text in UTF-8 or a plain
// table) or a table of the characters and states that the season adds
// ("characters": CSV) in. A file with a fault is refused as a whole, since half
// a key misleads.
func (a *App) TakeKeyFile(ctx context.Context, v Viewer, name string, data []byte) (KeyFileDone, error) {
	l, err := a.open(ctx, v, KeepDesk)
	if err != nil {
		return KeyFileDone{}, err
	}
	if len(data) > MaxKeyFile {
		return KeyFileDone{}, trug.Errorf(trug.TooLarge, "", "the file is over %d MB", MaxKeyFile>>20)
	}
	if bytes.HasPrefix(data, []byte("PK\x03\x04")) {
		return KeyFileDone{}, trug.Errorf(trug.Invalid, "", "this is a spreadsheet file: save it as CSV and hand that in")
	}
	switch name {
	case "matrix":
		return a.takeMatrix(ctx, v, l, data)
	case "characters":
		return a.takeCharacters(ctx, v, l, data)
	}
	return KeyFileDone{}, noKeyFile(name)
}

func noKeyFile(name string) error {
	return trug.Errorf(trug.NotFound, "", "The key has no file %q: it has matrix and characters.", name)
}

// refusedFile returns the faults of an error, one a line.
func refusedFile(err error) KeyFileDone {
	return KeyFileDone{Says: "The file was not taken in; the key is as it was.", Faults: strings.Split(err.Error(), "\n"), Notes: []string{}}
}

func (a *App) takeMatrix(ctx context.Context, v Viewer, l *ledger, data []byte) (KeyFileDone, error) {
	m, notes, err := forms.Read(bytes.NewReader(data), delta.UTF8, keyLimits)
	if err != nil {
		return refusedFile(err), nil
	}
	k, err := a.keyOf(ctx, l)
	if err != nil {
		return KeyFileDone{}, err
	}
	if m.Title == "" {
		m.Title = "A matrix of the season's own"
	}
	fitted, more, err := keyFrom(m, k.words)
	if err != nil {
		return refusedFile(err), nil
	}
	var off []string
	for _, x := range m.Taxa {
		if _, ok := l.list.ByName(x.Name); !ok {
			off = append(off, x.Name)
		}
	}
	if len(off) > 0 {
		more = append(more, fmt.Sprintf("%s not on the season's checklist, and so nothing is learned of them: %s", isAre(len(off), "taxon", "taxa"), firstWords(off)))
	}
	var table bytes.Buffer
	if err := matrix.Write(&table, m); err != nil {
		return refusedFile(err), nil
	}
	s := l.season
	if s.Key.Matrix, _, err = a.Blobs.Put(ctx, &table, 4*MaxKeyFile); err != nil {
		return KeyFileDone{}, err
	}
	if _, err := a.saveKey(ctx, v, s); err != nil {
		return KeyFileDone{}, err
	}
	return KeyFileDone{Kept: true, Says: fmt.Sprintf("The key knows %d taxa now: %s.", len(fitted.book.Taxa), m.Title), Faults: []string{}, Notes: notNil(append(notes, more...))}, nil
}

func isAre(n int, one, many string) string {
	if n == 1 {
		return "1 " + one + " is"
	}
	return fmt.Sprintf("%d %s are", n, many)
}

// firstWords lists some and counts the rest.
func firstWords(list []string) string {
	const some = 10
	if len(list) <= some {
		return strings.Join(list, ", ")
	}
	return fmt.Sprintf("%s and %d more", strings.Join(list[:some], ", "), len(list)-some)
}

func (a *App) takeCharacters(ctx context.Context, v Viewer, l *ledger, data []byte) (KeyFileDone, error) {
	words, err := describe.Standing().With(bytes.NewReader(bytes.TrimPrefix(data, []byte("\ufeff"))))
	if err != nil {
		return refusedFile(err), nil
	}
	if err := l.keepsAnswers(words); err != nil {
		return refusedFile(err), nil
	}
	k, err := a.keyOf(ctx, l)
	if err != nil {
		return KeyFileDone{}, err
	}
	// The matrix as it was handed in may have more to say in the new words.
	m := starter.InWords()
	if k.of.Matrix != "" {
		if m, err = a.ownMatrix(ctx, k.of.Matrix); err != nil {
			return KeyFileDone{}, err
		}
	}
	_, notes, err := keyFrom(m, words)
	if err != nil {
		return refusedFile(err), nil
	}
	s := l.season
	if s.Key.Characters, _, err = a.Blobs.Put(ctx, bytes.NewReader(data), MaxKeyFile); err != nil {
		return KeyFileDone{}, err
	}
	desk, err := a.saveKey(ctx, v, s)
	if err != nil {
		return KeyFileDone{}, err
	}
	return KeyFileDone{Kept: true, Says: fmt.Sprintf("The season has its own words on: %s.", firstWords(desk.Added)), Faults: []string{}, Notes: notNil(notes)}, nil
}

// keepsAnswers returns an error where words would no longer know what finds
// have been described with.
func (l *ledger) keepsAnswers(words *describe.Vocabulary) error {
	lost := map[string]int{}
	for _, f := range l.inOrder {
		for _, x := range f.Description {
			c, _ := words.Character(x.Character)
			switch {
			case c.Name == "":
				lost[x.Character]++
			default:
				for _, s := range x.States {
					if _, ok := c.State(s); !ok {
						lost[x.Character+" "+s]++
					}
				}
			}
		}
	}
	var faults []error
	for what, n := range lost {
		faults = append(faults, fmt.Errorf("%s described with %q, which would be gone: keep its line", isAre(n, "find", "finds"), what))
	}
	slices.SortFunc(faults, func(x, y error) int { return strings.Compare(x.Error(), y.Error()) })
	return errors.Join(faults...)
}

func (a *App) ownMatrix(ctx context.Context, h trug.Hash) (*matrix.Matrix, error) {
	table, err := a.readKept(ctx, h)
	if err != nil {
		return nil, err
	}
	return matrix.Read(bytes.NewReader(table), keyLimits)
}

// DropKeyFile goes back to the starter matrix, or to the standing vocabulary.
func (a *App) DropKeyFile(ctx context.Context, v Viewer, name string) (KeyDesk, error) {
	l, err := a.open(ctx, v, KeepDesk)
	if err != nil {
		return KeyDesk{}, err
	}
	s := l.season
	switch name {
	case "matrix":
		s.Key.Matrix = ""
	case "characters":
		if err := l.keepsAnswers(describe.Standing()); err != nil {
			return KeyDesk{}, trug.Errorf(trug.Invalid, "", "%v", err)
		}
		s.Key.Characters = ""
	default:
		return KeyDesk{}, noKeyFile(name)
	}
	return a.saveKey(ctx, v, s)
}

// KeyFile writes the season's matrix, with what it has learned, as a plain
// table ("matrix.csv"), SDD ("matrix.xml") or DELTA text ("matrix.txt"), or the
// characters that the season added ("characters.csv").
func (a *App) KeyFile(ctx context.Context, v Viewer, name string) ([]byte, error) {
	l, err := a.open(ctx, v, OpenDesk)
	if err != nil {
		return nil, err
	}
	k, err := a.keyOf(ctx, l)
	if err != nil {
		return nil, err
	}
	if name == "characters.csv" {
		if k.of.Characters == "" {
			return describe.SeasonHead(), nil
		}
		return a.readKept(ctx, k.of.Characters)
	}
	m := k.book
	if k.of.Learns {
		if m, _, err = key.Learn(k.book, k.lessons("")); err != nil {
			return nil, err
		}
	}
	var b bytes.Buffer
	switch name {
	case "matrix.csv":
		err = matrix.Write(&b, m)
	case "matrix.xml":
		err = sdd.Write(&b, m, a.Clock(), "1")
	case "matrix.txt":
		err = delta.Write(&b, m)
	default:
		return nil, noKeyFile(name)
	}
	return b.Bytes(), err
}
