package demo

import (
	"embed"
	"encoding/csv"
	"fmt"
	"strconv"
	"strings"
)

//go:embed data
var files embed.FS

// row is a line of one of the embedded tables, by column.
type row map[string]string

// table reads an embedded table. The tables are part of the program and
// tested, so a fault in them is a fault of the program.
func table(name string) []row {
	f, err := files.Open("data/" + name + ".csv")
	if err != nil {
		panic(err)
	}
	defer f.Close()
	lines, err := csv.NewReader(f).ReadAll()
	if err != nil {
		panic(fmt.Errorf("the invented season's %s: %w", name, err))
	}
	rows := make([]row, 0, len(lines)-1)
	for _, line := range lines[1:] {
		r := row{}
		for i, cell := range line {
			r[lines[0][i]] = cell
		}
		rows = append(rows, r)
	}
	return rows
}

// number reads a number, 0 for a blank cell.
func (r row) number(column string) float64 {
	if r[column] == "" {
		return 0
	}
	x, err := strconv.ParseFloat(r[column], 64)
	if err != nil {
		panic(fmt.Errorf("the invented season: %s %q is no number", column, r[column]))
	}
	return x
}

func (r row) yes(column string) bool { return r[column] == "yes" }

// list reads values parted by semicolons.
func (r row) list(column string) []string {
	if r[column] == "" {
		return nil
	}
	return strings.Split(r[column], ";")
}

// by returns the rows by a column.
func by(rows []row, column string) map[string]row {
	out := map[string]row{}
	for _, r := range rows {
		out[r[column]] = r
	}
	return out
}
