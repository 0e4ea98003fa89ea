package app

import (
	"bytes"
	"context"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"maps"
	"slices"
	"strings"
	"unicode/utf8"

	"trug"
	"trug/internal/store"
)

// MaxTableBytes bounds a table handed in.
const MaxTableBytes = 32 << 20

// TableDone tells what became of a table handed in.
type TableDone struct {
	Added   int `json:"added"`
	Changed int `json:"changed"`
	Same    int `json:"same" doc:"Rows that stood there just so"`
	// Faults name the rows that were left out, with what to do; good rows go in.
	Faults []string `json:"faults"`
}

// column is a column of a table of the desk: how a thing's value is written
// and read.
type column[T any] struct {
	name string
	get  func(l *ledger, t T) string
	set  func(l *ledger, t *T, text string) error
}

// deskTable is a table of the Season desk that goes in and out as CSV. The
// first column is the key: a row whose key is known changes that thing.
type deskTable[T store.Thing] struct {
	columns []column[T]
	all     func(l *ledger) []T
	fresh   func(a *App, l *ledger) (T, error)
	check   func(l *ledger, t T) error
	// took makes a row that went in known to those after it; nil where rows
	// do not name each other.
	took func(l *ledger, t T)
}

// Table writes a table of the desk as CSV: "sites", "forays", "people",
// "names", "look-alikes" or "protected".
func (a *App) TableCSV(ctx context.Context, v Viewer, name string) ([]byte, error) {
	l, err := a.open(ctx, v, OpenDesk)
	if err != nil {
		return nil, err
	}
	if name == "sites" || name == "forays" { // forays are named after their ground
		if err := a.noteSites(ctx, l, v, byTable, slices.Collect(maps.Keys(l.sites))...); err != nil {
			return nil, err
		}
	}
	switch name {
	case "sites":
		return sitesTable.write(l)
	case "forays":
		return foraysTable.write(l)
	case "people":
		return peopleTable.write(l)
	case "names":
		return namesTable.write(l)
	case "look-alikes":
		return alikesTable.write(l)
	case "protected":
		return protectedTable.write(l)
	}
	return nil, noTable(name)
}

func noTable(name string) error {
	return trug.Errorf(trug.NotFound, "", "The desk has no table %q: it has sites, forays, people, names, look-alikes and protected.", name)
}

// TakeTable takes a table of the desk in from CSV with a header line. A faulty
// row is named with what to do, good rows go in; handing the same table in
// again changes nothing.
func (a *App) TakeTable(ctx context.Context, v Viewer, name string, text []byte) (TableDone, error) {
	l, err := a.open(ctx, v, KeepDesk)
	if err != nil {
		return TableDone{}, err
	}
	switch name {
	case "sites":
		return sitesTable.read(ctx, a, v, l, text)
	case "forays":
		return foraysTable.read(ctx, a, v, l, text)
	case "people":
		return peopleTable.read(ctx, a, v, l, text)
	case "names":
		got, err := a.AddNames(ctx, v, text)
		return TableDone{Added: got.Added, Same: got.Already, Faults: got.Faults}, err
	case "look-alikes":
		return alikesTable.read(ctx, a, v, l, text)
	case "protected":
		return protectedTable.read(ctx, a, v, l, text)
	}
	return TableDone{}, noTable(name)
}

func (t deskTable[T]) write(l *ledger) ([]byte, error) {
	var b bytes.Buffer
	w := csv.NewWriter(&b)
	head := make([]string, len(t.columns))
	for i, c := range t.columns {
		head[i] = c.name
	}
	_ = w.Write(head)
	var rows [][]string
	for _, thing := range t.all(l) {
		row := make([]string, len(t.columns))
		for i, c := range t.columns {
			row[i] = harmless(c.get(l, thing))
		}
		rows = append(rows, row)
	}
	slices.SortFunc(rows, slices.Compare)
	_ = w.WriteAll(rows)
	return b.Bytes(), w.Error()
}

// harmless keeps a cell from being run as a formula by a spreadsheet: a word
// that begins like one gets an apostrophe before it, which read takes away.
// Numbers stay as they are.
func harmless(cell string) string {
	if cell == "" || !strings.ContainsRune("=+-@\t\r'", rune(cell[0])) {
		return cell
	}
	if cell[0] == '-' && strings.Trim(cell[1:], "0123456789.,; ") == "" {
		return cell
	}
	return "'" + cell
}

func meant(cell string) string {
	if len(cell) > 1 && cell[0] == '\'' && strings.ContainsRune("=+-@\t\r'", rune(cell[1])) {
		return cell[1:]
	}
	return cell
}

func (t deskTable[T]) read(ctx context.Context, a *App, v Viewer, l *ledger, text []byte) (TableDone, error) {
	done := TableDone{Faults: []string{}}
	rows, head, err := readTable(text)
	if err != nil {
		return done, err
	}
	order := make([]int, len(t.columns)) // where each of our columns stands in a row, -1 for nowhere
	for i, c := range t.columns {
		order[i] = slices.Index(head, c.name)
	}
	if order[0] < 0 {
		return done, trug.Errorf(trug.Invalid, "", "the table has no column called %s; its first line reads: %s", t.columns[0].name, strings.Join(head, ", "))
	}
	for _, h := range head {
		if !slices.ContainsFunc(t.columns, func(c column[T]) bool { return c.name == h }) {
			done.Faults = append(done.Faults, fmt.Sprintf("the column %q is not known here and was left out", h))
		}
	}
	known := map[string]T{}
	for _, thing := range t.all(l) {
		known[t.columns[0].get(l, thing)] = thing
	}
	if t.took != nil {
		l = l.toTakePeople()
	}
	err = a.write(ctx, func(w store.Writer) error {
		return a.keptInHands(ctx, w, v, l, func() error {
			faulty, err := t.takeRows(ctx, a, v, l, w, known, order, rows, &done)
			if err == nil && t.took != nil && len(faulty) < len(rows) {
				// Who was named by a row may have stood below it.
				faulty, err = t.takeRows(ctx, a, v, l, w, known, order, faulty, &done)
			}
			for _, row := range faulty {
				done.Faults = append(done.Faults, fmt.Sprintf("line %d: %v", row.line, row.err))
			}
			return err
		})
	})
	return done, err
}

// takeRows takes rows in and returns those that are faulty, with their faults.
func (t deskTable[T]) takeRows(ctx context.Context, a *App, v Viewer, l *ledger, w store.Writer, known map[string]T, order []int, rows []tableRow, done *TableDone) (faulty []tableRow, err error) {
	for _, row := range rows {
		if row.cells != nil { // else it can't be read
			if row.err, err = t.takeRow(ctx, a, v, l, w, known, order, row, done); err != nil {
				return nil, err
			}
		}
		if row.err != nil {
			faulty = append(faulty, row)
		}
	}
	return faulty, nil
}

// takeRow takes one row in and counts it, or returns its fault.
func (t deskTable[T]) takeRow(ctx context.Context, a *App, v Viewer, l *ledger, w store.Writer, known map[string]T, order []int, row tableRow, done *TableDone) (fault, err error) {
	key := row.cell(order[0])
	thing, have := known[key]
	if !have {
		if thing, err = t.fresh(a, l); err != nil {
			return nil, err
		}
	}
	before := thing
	for i, c := range t.columns {
		if order[i] < 0 {
			continue // a column that is not there changes nothing
		}
		if err := c.set(l, &thing, row.cell(order[i])); err != nil {
			return fmt.Errorf("%s: %w", c.name, err), nil
		}
	}
	if err := t.check(l, thing); err != nil {
		return err, nil
	}
	x, err1 := store.RowOf(before)
	y, err2 := store.RowOf(thing)
	if err := errors.Join(err1, err2); err != nil {
		return nil, err
	}
	if have && bytes.Equal(x.Body, y.Body) {
		done.Same++
		return nil, nil
	}
	if err := store.Put(ctx, w, thing, a.author(v), a.Clock()); err != nil {
		if trug.KindOf(err) == trug.Internal {
			return nil, err
		}
		return err, nil
	}
	if have {
		done.Changed++
	} else {
		done.Added++
	}
	known[key] = thing
	if t.took != nil {
		t.took(l, thing)
	}
	return nil, nil
}

type tableRow struct {
	line  int
	cells []string
	err   error
}

func (r tableRow) cell(i int) string {
	if i < 0 || i >= len(r.cells) {
		return ""
	}
	return meant(strings.TrimSpace(r.cells[i]))
}

// readTable reads CSV with a header line; semicolons and tabs between cells,
// as some spreadsheets write, are found by the first line.
func readTable(text []byte) (rows []tableRow, head []string, err error) {
	if bytes.HasPrefix(text, []byte("PK\x03\x04")) {
		return nil, nil, trug.Errorf(trug.Invalid, "", "this is a spreadsheet file: save it as CSV and hand that in")
	}
	if len(text) > MaxTableBytes {
		return nil, nil, trug.Errorf(trug.TooLarge, "", "the table is over %d MB: split it", MaxTableBytes>>20)
	}
	if !utf8.Valid(text) {
		return nil, nil, trug.Errorf(trug.Invalid, "", "the table is not in UTF-8: save it as CSV UTF-8")
	}
	text = bytes.TrimPrefix(text, []byte("\ufeff"))
	first, _, _ := bytes.Cut(text, []byte("\n"))
	c := csv.NewReader(bytes.NewReader(text))
	c.FieldsPerRecord = -1
	for _, sep := range []rune{';', '\t'} {
		if bytes.ContainsRune(first, sep) && !bytes.ContainsRune(first, ',') {
			c.Comma = sep
		}
	}
	cells, err := c.Read()
	if err != nil {
		return nil, nil, trug.Errorf(trug.Invalid, "", "the table is empty: its first line names the columns; take the table out first to see them")
	}
	for _, h := range cells {
		head = append(head, strings.ToLower(strings.TrimSpace(h)))
	}
	for {
		cells, err := c.Read()
		if err == io.EOF {
			return rows, head, nil
		}
		if err != nil {
			line := 0
			var p *csv.ParseError
			if errors.As(err, &p) {
				line = p.StartLine
			}
			rows = append(rows, tableRow{line: line, err: errors.New("can't be read: look for a quotation mark without its partner")})
			return rows, head, nil
		}
		line, _ := c.FieldPos(0)
		if strings.TrimSpace(strings.Join(cells, "")) != "" {
			rows = append(rows, tableRow{line: line, cells: cells})
		}
	}
}
