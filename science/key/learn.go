package key

import (
	"fmt"
	"math"
	"slices"

	"trug/science/matrix"
)

// Settled is a find whose name is settled, with its answers, both in the
// matrix's own numbers.
type Settled struct {
	Taxon   int
	Answers []Answer
}

// Change is what settled finds did to one entry.
type Change struct {
	Taxon, Character int
	// Finds is how many of the taxon had an answer to the character.
	Finds         int
	Before, After matrix.Entry
}

// bookWeight is how many finds a book's word counts for: a state that the book
// lists is not forgotten because five finds did not show it, and one that it
// lacks needs to be seen more than once (our choice).
const bookWeight = 10

// FewestToLearn is how many finds of a taxon with an answer to a character change
// its entry (our choice).
const FewestToLearn = 5

// Learn returns the matrix with the frequencies that settled finds show, and
// every change with its count: nothing is updated silently, and the matrix given
// stays as it is. The frequency of a state is (finds that show it + the book's
// share times ten) / (finds + 10). A state that the book does not list is added
// once two finds show it. Sizes, ordered scales included as states, keep the
// book's range. Finds that several states were seen on count in shares.
func Learn(m *matrix.Matrix, settled []Settled) (*matrix.Matrix, []Change, error) {
	seen := map[[2]int][]float64{}
	finds := map[[2]int]int{}
	for i, s := range settled {
		if s.Taxon < 0 || s.Taxon >= len(m.Taxa) {
			return nil, nil, fmt.Errorf("settled find %d is of taxon number %d, which the matrix lacks", i+1, s.Taxon+1)
		}
		for _, a := range s.Answers {
			if err := count(m, s.Taxon, a, seen, finds); err != nil {
				return nil, nil, fmt.Errorf("settled find %d: %w", i+1, err)
			}
		}
	}
	out := *m
	out.Rows = slices.Clone(m.Rows)
	var changes []Change
	for t := range m.Taxa {
		for c := range m.Characters {
			at := [2]int{t, c}
			if finds[at] < FewestToLearn {
				continue
			}
			change := Change{t, c, finds[at], m.Rows[t][c], learned(m.Rows[t][c], seen[at], finds[at])}
			if len(changes) == 0 || changes[len(changes)-1].Taxon != t {
				out.Rows[t] = slices.Clone(m.Rows[t])
			}
			out.Rows[t][c] = change.After
			changes = append(changes, change)
		}
	}
	return &out, changes, out.Validate()
}

// count adds one answer. Numbers, absences, and answers of which one can't
// tell between states teach nothing.
func count(m *matrix.Matrix, taxon int, a Answer, seen map[[2]int][]float64, finds map[[2]int]int) error {
	if a.Character < 0 || a.Character >= len(m.Characters) {
		return fmt.Errorf("there is no character number %d", a.Character+1)
	}
	ch := m.Characters[a.Character]
	if !ch.Kind.HasStates() || len(a.States) == 0 || a.Either || a.Absent {
		return nil
	}
	at := [2]int{taxon, a.Character}
	if seen[at] == nil {
		seen[at] = make([]float64, len(ch.States))
	}
	finds[at]++
	for _, s := range a.States {
		if s < 0 || s >= len(ch.States) {
			return fmt.Errorf("%s has no state number %d", ch.ID, s+1)
		}
		seen[at][s] += 1 / float64(len(a.States))
	}
	return nil
}

// learned joins the book's word and the finds.
func learned(book matrix.Entry, seen []float64, finds int) matrix.Entry {
	share := make([]float64, len(seen))
	doubtful := make([]bool, len(seen))
	notes := make([]string, len(seen))
	listed := 0.0
	for _, s := range book.States {
		share[s.State], notes[s.State] = s.Frequency, s.Note
		if doubtful[s.State] = s.Doubtful; s.Doubtful {
			share[s.State] = 0
			continue
		}
		if s.Frequency == 0 {
			share[s.State] = 1
		}
		listed += share[s.State]
	}
	weight := float64(bookWeight)
	if book.Status != matrix.Given || listed == 0 {
		weight, listed = 0, 1 // the book says nothing: the finds alone speak
	}
	e := matrix.Entry{Status: matrix.Given}
	for s := range seen {
		f := (seen[s] + weight*share[s]/listed) / (float64(finds) + weight)
		switch {
		case share[s] > 0 || seen[s] >= 2:
			e.States = append(e.States, matrix.Shown{State: s, Frequency: math.Min(f, 1), Count: finds, Note: notes[s]})
		case doubtful[s]:
			e.States = append(e.States, matrix.Shown{State: s, Doubtful: true, Note: notes[s]})
		}
	}
	if len(e.States) == 0 {
		return book
	}
	return e
}
