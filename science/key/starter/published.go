// Package starter holds the matrix that a season begins with: the 173 species
// of Wagner, Heider & Hattab (2021), in the codes of that publication and in
// the words of our own vocabulary. Scientific names, forms and kinds of
// underside were added from memory; data/SOURCES.md says what was changed.
package starter

import (
	"embed"
	"encoding/csv"
	"fmt"
	"strconv"
	"strings"
	"sync"

	"trug/science/describe"
	"trug/science/matrix"
)

//go:embed data/*.csv
var files embed.FS

// table reads an embedded table with its header line.
func table(name string) ([][]string, error) {
	f, err := files.Open("data/" + name)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil {
		return nil, fmt.Errorf("%s: %w", name, err)
	}
	return rows, nil
}

// must unwraps what the tests prove of the embedded tables.
func must[T any](v T, err error) T {
	if err != nil {
		panic(err)
	}
	return v
}

var published = sync.OnceValue(func() *matrix.Matrix { return must(readPublished()) })

// Published returns the matrix in the characters, codes and units of the
// publication: the layout of its specimen files. It must not be changed.
func Published() *matrix.Matrix { return published() }

func readPublished() (*matrix.Matrix, error) {
	m := &matrix.Matrix{Title: "173 species of Wagner, Heider & Hattab 2021 (CC BY 4.0), as published"}
	species, err := table("species.csv")
	if err != nil {
		return nil, err
	}
	names, err := table("names.csv")
	if err != nil {
		return nil, err
	}
	legend, err := table("legend.csv")
	if err != nil {
		return nil, err
	}
	for _, id := range species[0][2:] {
		m.Characters = append(m.Characters, legendOf(id, legend))
	}
	for i, row := range species[1:] {
		if names[i+1][0] != row[0] {
			return nil, fmt.Errorf("species %s has the name of species %s", row[0], names[i+1][0])
		}
		says := row[1]
		if names[i+1][2] == "guess" {
			says += "; which species the English name means is a guess"
		}
		m.Taxa = append(m.Taxa, matrix.Taxon{ID: row[0], Name: names[i+1][1], Says: says})
		entries := make([]matrix.Entry, len(m.Characters))
		for c, text := range row[2:] {
			if entries[c], err = publishedEntry(m.Characters[c], text); err != nil {
				return nil, fmt.Errorf("species %s: %w", row[0], err)
			}
		}
		m.Rows = append(m.Rows, entries)
	}
	return m, m.Validate()
}

// legendOf returns a published character from the lines of the legend.
func legendOf(id string, legend [][]string) matrix.Character {
	c := matrix.Character{ID: id, Label: strings.ReplaceAll(id, "-", " ")}
	for _, l := range legend {
		switch {
		case l[0] != id:
		case l[1] == "numeric":
			c.Kind, c.Unit = matrix.Numeric, l[2]
		default:
			c.States = append(c.States, matrix.State{ID: l[3], Label: l[4]})
		}
	}
	return c
}

// meanSpread widens a lone mean to a range, as the legend says.
const meanSpread = 0.25

func publishedEntry(c matrix.Character, text string) (matrix.Entry, error) {
	if text == "" {
		return matrix.Entry{}, nil
	}
	e := matrix.Entry{Status: matrix.Given}
	parts := strings.Split(text, "|")
	if c.Kind == matrix.Numeric {
		var v []float64
		for _, p := range parts {
			f, err := strconv.ParseFloat(p, 64)
			if err != nil {
				return e, fmt.Errorf("%s: %w", c.ID, err)
			}
			v = append(v, f)
		}
		if len(v) == 1 {
			v = []float64{v[0] * (1 - meanSpread), v[0] * (1 + meanSpread)}
		}
		e.Numbers = []describe.Span{describe.Between(v[0], v[1])}
		return e, nil
	}
	for _, p := range parts {
		s := c.State(p)
		if s < 0 {
			return e, fmt.Errorf("%s has no code %q", c.ID, p)
		}
		e.States = append(e.States, matrix.Shown{State: s})
	}
	return e, nil
}
