package matrix

import (
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"slices"
	"strconv"
	"strings"

	"trug/science/describe"
)

// Limits bound what a reader takes in, so that a hostile file fills no memory.
type Limits struct {
	Characters, States, Taxa int
	// Cells bounds taxa times characters.
	Cells int
}

// DefaultLimits suit any key that people make by hand.
var DefaultLimits = Limits{Characters: 5000, States: 1000, Taxa: 100_000, Cells: 2_000_000}

// Allow returns an error that says which limit a table exceeds, or nil.
func (l Limits) Allow(characters, taxa int) error {
	switch {
	case characters > l.Characters:
		return fmt.Errorf("%d characters are more than the %d that can be read", characters, l.Characters)
	case taxa > l.Taxa:
		return fmt.Errorf("%d taxa are more than the %d that can be read", taxa, l.Taxa)
	case taxa > 0 && characters > l.Cells/taxa:
		return fmt.Errorf("%d taxa by %d characters are more than the %d cells that can be read", taxa, characters, l.Cells)
	}
	return nil
}

// The plain table: a header line "taxon,name,remarks" and the characters'
// marks; lines that begin with # say what the characters are; then a line a
// taxon. docs/formats.md tells it to people.
const (
	kindLine   = "#kind"
	labelLine  = "#label"
	saysLine   = "#remarks"
	unitLine   = "#unit"
	statesLine = "#states"
	ruleLine   = "#does not apply where"
)

var head = []string{"taxon", "name", "remarks"}

// Signs of a cell that holds no value.
const (
	dependsSign      = "~"
	inapplicableSign = "-"
)

// Write writes the matrix as a plain table. Read reads it back alike, but for
// the notes of single states.
func Write(w io.Writer, m *Matrix) error {
	if err := m.Validate(); err != nil {
		return err
	}
	c := csv.NewWriter(w)
	line := func(first [3]string, cell func(Character) string) error {
		row := first[:]
		for _, ch := range m.Characters {
			row = append(row, cell(ch))
		}
		return c.Write(row)
	}
	// The title stands in the name's cell of the line of labels.
	err := errors.Join(
		line([3]string(head), func(ch Character) string { return ch.ID }),
		line([3]string{kindLine}, func(ch Character) string { return ch.Kind.String() }),
		line([3]string{labelLine, m.Title}, func(ch Character) string { return ch.Label }),
		line([3]string{saysLine}, func(ch Character) string { return ch.Says }),
		line([3]string{unitLine}, func(ch Character) string { return ch.Unit }),
		line([3]string{statesLine}, writeStates),
	)
	if err != nil {
		return err
	}
	for _, r := range m.Rules {
		if err := c.Write(m.writeRule(r)); err != nil {
			return err
		}
	}
	for t, taxon := range m.Taxa {
		row := []string{taxon.ID, taxon.Name, taxon.Says}
		for i, e := range m.Rows[t] {
			row = append(row, m.Characters[i].Format(e))
		}
		if err := c.Write(row); err != nil {
			return err
		}
	}
	c.Flush()
	return c.Error()
}

func writeStates(c Character) string {
	var parts []string
	for _, s := range c.States {
		parts = append(parts, quoteState(s.ID)+"="+strings.ReplaceAll(s.Label, "|", "/"))
	}
	return strings.Join(parts, "|")
}

// quoteState keeps the table's own signs out of a state's mark.
func quoteState(id string) string {
	return strings.NewReplacer("|", "_", "=", "_", ":", "_", "?", "_").Replace(id)
}

func (m *Matrix) writeRule(r Rule) []string {
	ids := make([]string, len(r.States))
	for i, s := range r.States {
		ids[i] = quoteState(m.Characters[r.Character].States[s].ID)
	}
	row := make([]string, len(head)+len(m.Characters))
	row[0] = ruleLine
	for _, c := range r.Makes {
		row[len(head)+c] = m.Characters[r.Character].ID + "=" + strings.Join(ids, "|")
	}
	return row
}

// Format writes an entry of the character as a cell of the plain table:
// "bell|cone", "white:0.6/12|cream:0.4/12" (frequency and number of finds),
// "warts?" (doubtful), "(30-)42-51(-60)", "~" (depends), "-" (does not apply).
func (c Character) Format(e Entry) string {
	switch {
	case e.Status == Depends:
		return dependsSign
	case e.Status == Inapplicable:
		return inapplicableSign
	case c.Kind == Text:
		return e.Text
	}
	var parts []string
	for _, s := range e.States {
		p := quoteState(c.States[s.State].ID)
		if s.Frequency > 0 {
			p += ":" + strconv.FormatFloat(s.Frequency, 'g', 6, 64)
			if s.Count > 0 {
				p += "/" + strconv.Itoa(s.Count)
			}
		}
		if s.Doubtful {
			p += "?"
		}
		parts = append(parts, p)
	}
	for _, n := range e.Numbers {
		parts = append(parts, n.String())
	}
	return strings.Join(parts, "|")
}

// Parse reads a cell that Format writes. A text cell holds any words but the
// two signs.
func (c Character) Parse(cell string) (Entry, error) {
	switch cell = strings.TrimSpace(cell); {
	case cell == "":
		return Entry{}, nil
	case cell == dependsSign:
		return Entry{Status: Depends}, nil
	case cell == inapplicableSign:
		return Entry{Status: Inapplicable}, nil
	case c.Kind == Text:
		return Entry{Status: Given, Text: cell}, nil
	}
	e := Entry{Status: Given}
	for _, part := range strings.Split(cell, "|") {
		part = strings.TrimSpace(part)
		if c.Kind.IsNumber() {
			n, err := describe.ParseSpan(part)
			if err != nil {
				return Entry{}, err
			}
			e.Numbers = append(e.Numbers, n)
			continue
		}
		s, err := c.parseShown(part)
		if err != nil {
			return Entry{}, err
		}
		e.States = append(e.States, s)
	}
	return e, c.Check(e)
}

func (c Character) parseShown(part string) (Shown, error) {
	var s Shown
	rest, doubtful := strings.CutSuffix(part, "?")
	s.Doubtful = doubtful
	id, frequency, has := strings.Cut(rest, ":")
	if has {
		share, count, counted := strings.Cut(frequency, "/")
		f, err := strconv.ParseFloat(share, 64)
		if err == nil && counted {
			s.Count, err = strconv.Atoi(count)
		}
		if err != nil {
			return s, fmt.Errorf("%q is no frequency: write it as in white:0.6 or white:0.6/12", part)
		}
		s.Frequency = f
	}
	s.State = slices.IndexFunc(c.States, func(st State) bool { return st.ID == id || quoteState(st.ID) == id })
	if s.State < 0 {
		return s, fmt.Errorf("%s has no state %q: it has %s", c.ID, id, c.stateList())
	}
	return s, nil
}

// stateList names the first states, for errors.
func (c Character) stateList() string {
	var ids []string
	for _, s := range c.States[:min(len(c.States), 20)] {
		ids = append(ids, s.ID)
	}
	if len(c.States) > 20 {
		ids = append(ids, "…")
	}
	return strings.Join(ids, ", ")
}

// Read reads a plain table. Without the lines that say what the characters
// are, a column of nothing but numbers is numeric, any other one has the
// states that its cells name. An error names the line.
func Read(r io.Reader, limits Limits) (*Matrix, error) {
	c := csv.NewReader(r)
	c.FieldsPerRecord = -1
	t := tableReader{limits: limits}
	for {
		row, err := c.Read()
		if err == io.EOF {
			break
		}
		if err != nil {
			return nil, fmt.Errorf("the table can't be read: %w", err)
		}
		line, _ := c.FieldPos(0)
		if err := t.take(row, line); err != nil {
			return nil, fmt.Errorf("line %d: %w", line, err)
		}
	}
	return t.matrix()
}

// tableReader gathers a plain table before it is made sense of.
type tableReader struct {
	limits  Limits
	ids     []string
	title   string
	defined map[string][]string
	rules   [][]string
	rows    [][]string
	lines   []int
}

func (t *tableReader) take(row []string, line int) error {
	if t.ids == nil {
		row[0] = strings.TrimPrefix(row[0], "\ufeff")
		if len(row) <= len(head) || !slices.Equal(row[:len(head)], head) {
			return fmt.Errorf("the header must begin with %s, and a character a column must follow", strings.Join(head, ","))
		}
		t.ids, t.defined = row[len(head):], map[string][]string{}
		return t.limits.Allow(len(t.ids), 0)
	}
	if len(row) != len(head)+len(t.ids) {
		return fmt.Errorf("%d cells where the header has %d", len(row), len(head)+len(t.ids))
	}
	if !strings.HasPrefix(row[0], "#") {
		t.rows, t.lines = append(t.rows, row), append(t.lines, line)
		return t.limits.Allow(len(t.ids), len(t.rows))
	}
	switch row[0] {
	case ruleLine:
		t.rules = append(t.rules, row[len(head):])
	case kindLine, labelLine, saysLine, unitLine, statesLine:
		if row[0] == labelLine {
			t.title = row[1]
		}
		t.defined[row[0]] = row[len(head):]
	default:
		return fmt.Errorf("%q is none of the lines that say what characters are: %s", row[0],
			strings.Join([]string{kindLine, labelLine, saysLine, unitLine, statesLine, ruleLine}, ", "))
	}
	return nil
}

func (t *tableReader) matrix() (*Matrix, error) {
	if t.ids == nil {
		return nil, errors.New("the table is empty: it needs a header line")
	}
	m := &Matrix{Title: t.title}
	for i, id := range t.ids {
		c, err := t.character(i, id)
		if err != nil {
			return nil, fmt.Errorf("the character %s: %w", id, err)
		}
		m.Characters = append(m.Characters, c)
	}
	for _, row := range t.rules {
		for i, cell := range row {
			if err := m.readRule(i, cell); err != nil {
				return nil, err
			}
		}
	}
	for n, row := range t.rows {
		m.Taxa = append(m.Taxa, Taxon{ID: row[0], Name: row[1], Says: row[2]})
		entries := make([]Entry, len(m.Characters))
		for i, cell := range row[len(head):] {
			var err error
			if entries[i], err = m.Characters[i].Parse(cell); err != nil {
				return nil, fmt.Errorf("line %d, %s: %w", t.lines[n], m.Characters[i].ID, err)
			}
		}
		m.Rows = append(m.Rows, entries)
	}
	return m, m.Validate()
}

// character makes sense of column i.
func (t *tableReader) character(i int, id string) (Character, error) {
	defined := func(line string) string {
		if cells := t.defined[line]; cells != nil {
			return cells[i]
		}
		return ""
	}
	c := Character{ID: id, Label: defined(labelLine), Says: defined(saysLine), Unit: defined(unitLine)}
	if word := defined(kindLine); word != "" {
		var err error
		if c.Kind, err = ParseKind(word); err != nil {
			return c, err
		}
	} else if t.isNumeric(i) {
		c.Kind = Numeric
	}
	if !c.Kind.HasStates() {
		return c, nil
	}
	if list := defined(statesLine); list != "" {
		for _, part := range strings.Split(list, "|") {
			state, label, _ := strings.Cut(part, "=")
			c.States = append(c.States, State{ID: strings.TrimSpace(state), Label: strings.TrimSpace(label)})
		}
	} else {
		c.States = t.statesOf(i)
	}
	if len(c.States) == 0 && defined(kindLine) == "" {
		c.Kind = Text // a column of blanks
	}
	if len(c.States) > t.limits.States {
		return c, fmt.Errorf("%d states are more than the %d that can be read", len(c.States), t.limits.States)
	}
	return c, nil
}

func (t *tableReader) isNumeric(i int) bool {
	some := false
	for _, row := range t.rows {
		cell := strings.TrimSpace(row[len(head)+i])
		if cell == "" || cell == dependsSign || cell == inapplicableSign {
			continue
		}
		for _, part := range strings.Split(cell, "|") {
			if _, err := describe.ParseSpan(part); err != nil {
				return false
			}
		}
		some = true
	}
	return some
}

// statesOf gathers the states that a column's cells name.
func (t *tableReader) statesOf(i int) []State {
	var states []State
	seen := map[string]bool{}
	for _, row := range t.rows {
		cell := strings.TrimSpace(row[len(head)+i])
		if cell == "" || cell == dependsSign || cell == inapplicableSign {
			continue
		}
		for _, part := range strings.Split(cell, "|") {
			id, _, _ := strings.Cut(strings.TrimSuffix(strings.TrimSpace(part), "?"), ":")
			if !seen[id] && len(states) <= t.limits.States {
				seen[id] = true
				states = append(states, State{ID: id, Label: id})
			}
		}
	}
	return states
}

// readRule reads "under=pores|smooth" in the column of character i.
func (m *Matrix) readRule(i int, cell string) error {
	if cell == "" {
		return nil
	}
	id, list, _ := strings.Cut(cell, "=")
	r := Rule{Character: m.Character(id), Makes: []int{i}}
	if r.Character < 0 {
		return fmt.Errorf("%s does not apply where %q: there is no character %s", m.Characters[i].ID, cell, id)
	}
	for _, part := range strings.Split(list, "|") {
		s := m.Characters[r.Character].State(part)
		if s < 0 {
			return fmt.Errorf("%s does not apply where %q: %s has no state %q", m.Characters[i].ID, cell, id, part)
		}
		r.States = append(r.States, s)
	}
	m.AddRule(r)
	return nil
}

// AddRule adds a rule, joined to one that has the same character and states.
func (m *Matrix) AddRule(r Rule) {
	for i := range m.Rules {
		if m.Rules[i].Character == r.Character && slices.Equal(m.Rules[i].States, r.States) {
			for _, c := range r.Makes {
				if !slices.Contains(m.Rules[i].Makes, c) {
					m.Rules[i].Makes = append(m.Rules[i].Makes, c)
				}
			}
			return
		}
	}
	m.Rules = append(m.Rules, r)
}
