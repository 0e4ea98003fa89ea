package app

import (
	"bytes"
	"context"
	"fmt"
	"io"
	"slices"
	"sync"

	"trug"
	"trug/science/describe"
	"trug/science/key"
	"trug/science/key/starter"
	"trug/science/matrix"
)

// seasonKey is the key of a season: its words, its matrix, and what the
// season's settled finds have taught it. It never changes.
type seasonKey struct {
	of    trug.SeasonKey
	words *describe.Vocabulary
	// book is the matrix as it was handed in, in the vocabulary's characters.
	book *matrix.Matrix
	key  *key.Key
	// seq is the ledger that settled, changes and key were worked out of.
	seq     int64
	settled map[trug.ID]settledFind
	// changes are the entries that settled finds changed; none unless the
	// season learns.
	changes []key.Change
}

// settledFind is a find from which a season can learn.
type settledFind struct {
	find *find // as it was when it was put to the key
	key.Settled
}

// standingKey is what a season begins with, made once.
var standingKey = sync.OnceValues(func() (*seasonKey, error) {
	words := describe.Standing()
	k, err := key.New(starter.InWords(), key.Standard(words))
	return &seasonKey{words: words, book: starter.InWords(), key: k}, err
})

// keyOf returns the season's key.
func (a *App) keyOf(ctx context.Context, l *ledger) (*seasonKey, error) {
	a.keysMu.Lock()
	defer a.keysMu.Unlock()
	k := a.keys[l.season.ID]
	if k == nil || k.of.Matrix != l.season.Key.Matrix || k.of.Characters != l.season.Key.Characters {
		fresh, err := a.makeKey(ctx, l.season.Key)
		if err != nil {
			return nil, err
		}
		k = fresh
	}
	if k.settled == nil || k.seq != l.seq || k.of != l.season.Key {
		fresh, err := k.taught(l)
		if err != nil {
			return nil, err
		}
		k = fresh
	}
	a.keys[l.season.ID] = k
	return k, nil
}

// makeKey makes the key of a season's own matrix and characters, untaught.
func (a *App) makeKey(ctx context.Context, of trug.SeasonKey) (*seasonKey, error) {
	standing, err := standingKey()
	if err != nil || of.Matrix == "" && of.Characters == "" {
		return standing, err
	}
	words, book := standing.words, starter.InWords()
	if of.Characters != "" {
		table, err := a.readKept(ctx, of.Characters)
		if err != nil {
			return nil, fmt.Errorf("read the season's characters: %w", err)
		}
		if words, err = words.With(bytes.NewReader(table)); err != nil {
			return nil, fmt.Errorf("read the season's characters: %w", err)
		}
	}
	if of.Matrix != "" {
		table, err := a.readKept(ctx, of.Matrix)
		if err != nil {
			return nil, fmt.Errorf("read the season's matrix: %w", err)
		}
		if book, err = matrix.Read(bytes.NewReader(table), keyLimits); err != nil {
			return nil, fmt.Errorf("read the season's matrix: %w", err)
		}
	}
	k, _, err := keyFrom(book, words)
	return k, err
}

// keyFrom makes a key of a matrix in the words of a vocabulary, with notes on
// what could not be matched.
func keyFrom(m *matrix.Matrix, words *describe.Vocabulary) (*seasonKey, []string, error) {
	book, notes, err := key.Fit(m, words)
	if err != nil {
		return nil, nil, err
	}
	k, err := key.New(book, key.Standard(words))
	return &seasonKey{words: words, book: book, key: k}, notes, err
}

func (a *App) readKept(ctx context.Context, h trug.Hash) ([]byte, error) {
	f, err := a.Blobs.Open(ctx, h)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	return io.ReadAll(f)
}

// taught returns the key with what the ledger's settled finds teach; without
// leave to learn they are counted alone.
func (k *seasonKey) taught(l *ledger) (*seasonKey, error) {
	next := *k
	next.of, next.seq, next.settled, next.changes = l.season.Key, l.seq, map[trug.ID]settledFind{}, nil
	taxa := k.taxaBy(l)
	for _, f := range l.inOrder {
		taxon, ok := taxa[f.naming.Taxon.Name]
		if !ok || !settledEnough(f) {
			continue
		}
		if held, ok := k.settled[f.ID]; ok && held.find == f && held.Taxon == taxon {
			next.settled[f.ID] = held
			continue
		}
		// What anybody may know is learned from.
		known, _ := k.evidence(l, Viewer{Season: l.season.ID}, f)
		answers, err := k.key.Answers(k.words, known)
		if err != nil {
			continue // a description that the words no longer fit teaches nothing
		}
		next.settled[f.ID] = settledFind{f, key.Settled{Taxon: taxon, Answers: answers}}
	}
	m := k.book
	if next.of.Learns {
		var err error
		if m, next.changes, err = key.Learn(k.book, next.lessons("")); err != nil {
			return nil, err
		}
	}
	if len(next.changes) == 0 && len(k.changes) == 0 {
		return &next, nil
	}
	var err error
	next.key, err = key.New(m, key.Standard(k.words))
	return &next, err
}

// lessons lists the settled finds but for one, in a fixed order.
func (k *seasonKey) lessons(without trug.ID) []key.Settled {
	ids := make([]trug.ID, 0, len(k.settled))
	for id := range k.settled {
		if id != without {
			ids = append(ids, id)
		}
	}
	slices.Sort(ids)
	out := make([]key.Settled, len(ids))
	for i, id := range ids {
		out[i] = k.settled[id].Settled
	}
	return out
}

// without returns the key as if a find had taught it nothing: a find's own
// name must not come back to whoever weighs it anew.
func (k *seasonKey) without(id trug.ID) (*seasonKey, error) {
	if _, ok := k.settled[id]; !ok || len(k.changes) == 0 {
		return k, nil
	}
	m, changes, err := key.Learn(k.book, k.lessons(id))
	if err != nil {
		return nil, err
	}
	next := *k
	next.changes = changes
	next.key, err = key.New(m, key.Standard(k.words))
	return &next, err
}

// taxaBy returns the taxa of the matrix by the names that the season's
// checklist accepts for them.
func (k *seasonKey) taxaBy(l *ledger) map[string]int {
	out := make(map[string]int, len(k.book.Taxa))
	for t, x := range k.book.Taxa {
		name := x.Name
		if accepted, ok := l.list.Accepted(name); ok {
			name = accepted.Name
		}
		if _, taken := out[name]; !taken {
			out[name] = t
		}
	}
	return out
}

// settledEnough reports whether a season may learn from a find: it has a
// species' name without a doubt, on which two determiners agree without sight
// of each other, or that a third settled, or that rests on more than looks.
func settledEnough(f *find) bool {
	n := f.naming
	if n.Taxon.Rank != trug.Species || n.Qualifier != trug.NoQualifier || n.Differ || n.Held {
		return false
	}
	return n.Settled || n.Independent >= 2 || slices.ContainsFunc(n.Counting, func(d trug.Determination) bool {
		return slices.Contains(d.Basis, trug.FromMicroscope) || slices.Contains(d.Basis, trug.FromSequence)
	})
}

// evidence is what is known of a find as the key weighs it: what was answered and
// what was measured in views that the viewer sees; measured holds what counts of
// that. The time of year is no character of a fungus: it weighs among what is
// expected.
func (k *seasonKey) evidence(l *ledger, v Viewer, f *find) (out, measured describe.Answers) {
	out = k.answersOf(f.Record)
	delete(out, "season")
	return out, fill(out, k.measuredAnswers(l.sizesFor(v, f)))
}
