package asking

import (
	"fmt"
	"strings"
	"sync"

	"trug/science/describe"
	"trug/science/key"
	"trug/science/key/starter"
	"trug/science/matrix"
)

// HeldKey is what a phone holds of a season's own vocabulary and matrix; each is
// empty where the season has none of its own, since the standing ones are part
// of the program.
type HeldKey struct {
	// Characters is the season's table of characters, as it was handed in.
	Characters string `json:"characters,omitempty"`
	// Matrix is the matrix as a plain table, in the words of the vocabulary and
	// with figures in place of names. What settled finds taught is not in it: an
	// entry that has changed would tell that such a find was made.
	Matrix string `json:"matrix,omitempty"`
}

var standing = sync.OnceValues(func() (*key.Key, error) {
	return key.New(starter.InWords(), key.Standard(describe.Standing()))
})

// Key makes the vocabulary and the key of it. Its errors are those of tables
// that can't be read.
func (h HeldKey) Key() (*describe.Vocabulary, *key.Key, error) {
	words, book := describe.Standing(), starter.InWords()
	if h == (HeldKey{}) {
		k, err := standing()
		return words, k, err
	}
	var err error
	if h.Characters != "" {
		if words, err = words.With(strings.NewReader(h.Characters)); err != nil {
			return nil, nil, err
		}
	}
	if h.Matrix != "" {
		if book, err = matrix.Read(strings.NewReader(h.Matrix), matrix.DefaultLimits); err != nil {
			return nil, nil, err
		}
	}
	if book, _, err = key.Fit(book, words); err != nil {
		return nil, nil, err
	}
	k, err := key.New(book, key.Standard(words))
	return words, k, err
}

// Hold writes a season's tables as phones hold them; characters is the table as
// it was handed in, and book, in its words, nil where the season has none of its own.
func Hold(characters string, book *matrix.Matrix) (HeldKey, error) {
	out := HeldKey{Characters: characters}
	if book == nil {
		return out, nil
	}
	nameless := *book
	nameless.Title, nameless.Taxa = "", make([]matrix.Taxon, len(book.Taxa))
	for t := range nameless.Taxa {
		nameless.Taxa[t] = matrix.Taxon{ID: fmt.Sprint(t + 1), Name: fmt.Sprint(t + 1)}
	}
	var table strings.Builder
	err := matrix.Write(&table, &nameless)
	out.Matrix = table.String()
	return out, err
}
