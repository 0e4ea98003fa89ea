package app

import (
	"bytes"
	"context"
	"encoding/csv"
	"fmt"
	"io"
	"slices"
	"strings"
	"unicode/utf8"

	"trug"
	"trug/internal/store"
)

// NamesAdded tells what became of a checklist handed in.
type NamesAdded struct {
	Added   int `json:"added"`
	Already int `json:"already" doc:"Names that stood there as given"`
	// Faults name the rows that were left out, with what to do; good rows go in.
	Faults []string `json:"faults"`
}

// AddNames takes names into the season's checklist from CSV with a header
// line: name, authorship, rank, family, kingdom, accepted (the accepted name
// of a synonym), vernacular; all but name may be missing. Handing the same
// list in again changes nothing.
func (a *App) AddNames(ctx context.Context, v Viewer, text []byte) (NamesAdded, error) {
	l, err := a.open(ctx, v, AddChecklist)
	if err != nil {
		return NamesAdded{}, err
	}
	rows, faults, err := readChecklist(text)
	if err != nil {
		return NamesAdded{}, err
	}
	got := NamesAdded{Faults: notNil(faults)}
	// Accepted names first, so that synonyms find theirs.
	slices.SortStableFunc(rows, func(x, y checklistRow) int { return len(x.accepted) - len(y.accepted) })
	ids := map[string]trug.ID{}
	for _, t := range l.taxa {
		ids[t.Name] = t.ID
	}
	err = a.write(ctx, func(w store.Writer) error {
		for _, row := range rows {
			if _, ok := ids[row.Name]; ok {
				got.Already++
				continue
			}
			if row.accepted != "" {
				if row.AcceptedID = ids[row.accepted]; row.AcceptedID == "" {
					got.Faults = append(got.Faults, fmt.Sprintf("line %d, %s: its accepted name %q is not on the list: add it first", row.line, row.Name, row.accepted))
					continue
				}
			}
			if row.ID, err = a.newID(); err != nil {
				return err
			}
			row.SeasonID = l.season.ID
			if err := store.Put(ctx, w, row.Taxon, a.author(v), a.Clock()); err != nil {
				return err
			}
			ids[row.Name] = row.ID
			got.Added++
		}
		return nil
	})
	return got, err
}

type checklistRow struct {
	trug.Taxon
	accepted string
	line     int
}

func readChecklist(text []byte) (rows []checklistRow, faults []string, err error) {
	if bytes.HasPrefix(text, []byte("PK\x03\x04")) {
		return nil, nil, trug.Errorf(trug.Invalid, "", "this is a spreadsheet file: save it as CSV and hand that in")
	}
	if !utf8.Valid(text) {
		return nil, nil, trug.Errorf(trug.Invalid, "", "the list is not in UTF-8: save it as CSV UTF-8")
	}
	c := csv.NewReader(bytes.NewReader(bytes.TrimPrefix(text, []byte("\ufeff"))))
	c.FieldsPerRecord, c.TrimLeadingSpace = -1, true
	head, err := c.Read()
	if err != nil {
		return nil, nil, trug.Errorf(trug.Invalid, "", "the list is empty: its first line names the columns, such as name,authorship,rank,family,kingdom,accepted")
	}
	column := map[string]int{}
	for i, h := range head {
		column[strings.ToLower(strings.TrimSpace(h))] = i
	}
	if _, ok := column["name"]; !ok {
		return nil, nil, trug.Errorf(trug.Invalid, "", "the list has no column called name; its first line reads: %s", strings.Join(head, ", "))
	}
	for {
		cells, err := c.Read()
		if err == io.EOF {
			return rows, faults, nil
		}
		if err != nil { // there is no field whose place could be asked for
			faults = append(faults, fmt.Sprintf("the list can't be read on (%v): look for a quotation mark without its partner", err))
			return rows, faults, nil
		}
		line, _ := c.FieldPos(0)
		row, fault := readName(cells, column)
		if fault != "" {
			faults = append(faults, fmt.Sprintf("line %d: %s", line, fault))
			continue
		}
		row.line = line
		rows = append(rows, row)
	}
}

func readName(cells []string, column map[string]int) (row checklistRow, fault string) {
	cell := func(name string) string {
		if i, ok := column[name]; ok && i < len(cells) {
			return strings.Join(strings.Fields(cells[i]), " ")
		}
		return ""
	}
	row.Name, row.Authorship, row.Family, row.Kingdom = cell("name"), cell("authorship"), cell("family"), cell("kingdom")
	row.Vernacular, row.accepted, row.Rank = cell("vernacular"), cell("accepted"), trug.Rank(strings.ToLower(cell("rank")))
	if row.Kingdom == "" {
		row.Kingdom = "Fungi"
	}
	if row.Rank == "" {
		row.Rank = rankOf(row.Name)
	}
	switch {
	case row.Name == "":
		return row, "the name is blank: fill it in or take the line out"
	case !looksScientific(row.Name):
		return row, fmt.Sprintf("%q does not look like a scientific name: put the author into the column authorship", row.Name)
	case !slices.Contains([]trug.Rank{trug.Species, trug.Genus, trug.Family, trug.Kingdom}, row.Rank):
		return row, fmt.Sprintf("rank %q is not known: use species, genus, family or kingdom", row.Rank)
	}
	return row, ""
}
