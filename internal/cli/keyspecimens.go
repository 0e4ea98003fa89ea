package cli

import (
	"encoding/csv"
	"encoding/json"
	"fmt"
	"io"
	"os"
	"slices"
	"strings"

	"trug/science/key"
	"trug/science/key/starter"
	"trug/science/matrix"
)

// specimen is a line of a file of specimens.
type specimen struct {
	id      string
	answers []key.Answer
}

// specimenLine is what is printed of it.
type specimenLine struct {
	Specimen string         `json:"specimen"`
	Best     []specimenName `json:"best"`
	NotInKey float64        `json:"notInKey"`
}

type specimenName struct {
	ID          string  `json:"id"`
	Name        string  `json:"name"`
	Probability float64 `json:"probability"`
}

// specimenSheet is what --json prints of all.
type specimenSheet struct {
	Matrix string `json:"matrix"`
	// Wrong and NotInKey are the rates that were used.
	Wrong     float64        `json:"wrong"`
	NotInKey  float64        `json:"notInKey"`
	Estimated bool           `json:"estimated"`
	Notes     []string       `json:"notes"`
	Specimens []specimenLine `json:"specimens"`
}

// fewest specimens from which rates are estimated.
const fewestToEstimate = 100

// keySpecimens weighs a file of specimens, each by itself.
func (s *streams) keySpecimens(o keyOptions) error {
	m, notes, err := o.readMatrix(starter.Published())
	if err != nil {
		return err
	}
	specimens, more, err := readSpecimens(o, m)
	if err != nil {
		return err
	}
	out := specimenSheet{Matrix: m.Title, Notes: append(orEmpty(notes), more...)}
	settings, err := o.rates(m, specimens, &out)
	if err != nil {
		return err
	}
	k, err := key.New(m, settings)
	if err != nil {
		return err
	}
	for _, n := range out.Notes {
		fmt.Fprintln(s.err, "note:", n)
	}
	for _, sp := range specimens {
		line, err := weighSpecimen(k, sp)
		if err != nil {
			return fmt.Errorf("specimen %s: %w", sp.id, err)
		}
		out.Specimens = append(out.Specimens, line)
	}
	if s.json {
		return json.NewEncoder(s.out).Encode(out)
	}
	fmt.Fprintf(s.out, "# %d specimens; %.3f of the values taken as wrong, %.3f of the specimens as not in the key\n", len(specimens), out.Wrong, out.NotInKey)
	for _, l := range out.Specimens {
		fmt.Fprint(s.out, l.Specimen)
		for _, b := range l.Best {
			fmt.Fprintf(s.out, "\t%s %.4f", b.Name, b.Probability)
		}
		fmt.Fprintf(s.out, "\tnot in this key %.4f\n", l.NotInKey)
	}
	return nil
}

func weighSpecimen(k *key.Key, sp specimen) (specimenLine, error) {
	f, err := k.Start(nil)
	if err != nil {
		return specimenLine{}, err
	}
	for _, a := range sp.answers {
		if err := f.Give(a); err != nil {
			return specimenLine{}, err
		}
	}
	line := specimenLine{Specimen: sp.id, NotInKey: f.NotInKey()}
	for _, t := range f.Best(5) {
		line.Best = append(line.Best, specimenName{k.Taxa()[t].ID, k.Taxa()[t].Name, f.Probability(t)})
	}
	return line, nil
}

// rates takes the rates from the flags, else from the specimens themselves,
// else the usual ones.
func (o keyOptions) rates(m *matrix.Matrix, specimens []specimen, out *specimenSheet) (key.Settings, error) {
	settings := key.Uniform(0.05)
	hasWrong, err := givenRate("wrong", o.wrong)
	if err != nil {
		return settings, err
	}
	hasNot, err := givenRate("not-in-key", o.notInKey)
	if err != nil {
		return settings, err
	}
	if (!hasWrong || !hasNot) && len(specimens) >= fewestToEstimate {
		answers := make([][]key.Answer, len(specimens))
		for i, sp := range specimens {
			answers[i] = sp.answers
		}
		r, err := key.Estimate(answers, func(wrong float64) (*key.Key, error) {
			if hasWrong {
				wrong = o.wrong
			}
			plain := key.Uniform(wrong)
			plain.Sharpness = 1
			return key.New(m, plain)
		})
		if err != nil {
			return settings, err
		}
		settings.Wrong, settings.NotInKey, out.Estimated = r.Wrong, r.NotInKey, true
	}
	if hasWrong {
		settings.Wrong = o.wrong
	}
	if hasNot {
		settings.NotInKey = o.notInKey
	}
	out.Wrong, out.NotInKey = settings.Wrong, settings.NotInKey
	return settings, nil
}

// readSpecimens reads the file: the first column, or specimen_id, names the
// specimen; each column whose head is a character's mark holds a state, states
// joined by |, or a number; a blank cell is no evidence. Other columns, the
// truth among them, are passed over and named in a note.
func readSpecimens(o keyOptions, m *matrix.Matrix) ([]specimen, []string, error) {
	rows, err := readCSV(o.specimens)
	if err != nil {
		return nil, nil, err
	}
	only, err := o.readOnly(len(rows) - 1)
	if err != nil {
		return nil, nil, err
	}
	head := rows[0]
	id := max(0, slices.Index(head, "specimen_id"))
	var passed []string
	known := 0
	for i, h := range head {
		if m.Character(h) >= 0 {
			known++
		} else if i != id {
			passed = append(passed, h)
		}
	}
	if known == 0 {
		return nil, nil, fmt.Errorf("%s: no column is a character of the matrix; its characters are %s", o.specimens, characterList(m))
	}
	var notes []string
	if len(passed) > 0 {
		notes = append(notes, "columns that are no characters of the matrix were passed over: "+strings.Join(passed, ", "))
	}
	var out []specimen
	for n, row := range rows[1:] {
		sp := specimen{id: row[id]}
		for i, cell := range row {
			c := m.Character(head[i])
			cell = strings.TrimSpace(cell)
			if c < 0 || cell == "" || cell == "?" || only != nil && !slices.Contains(only[n], head[i]) {
				continue
			}
			a, err := readAnswer(c, m.Characters[c], strings.ReplaceAll(cell, "|", "+"))
			if err != nil {
				return nil, nil, fmt.Errorf("%s, line %d: %w", o.specimens, n+2, err)
			}
			sp.answers = append(sp.answers, a)
		}
		out = append(out, sp)
	}
	return out, notes, nil
}

// readOnly reads which characters of each specimen are used, nil for all.
func (o keyOptions) readOnly(n int) ([][]string, error) {
	if o.only == "" {
		return nil, nil
	}
	rows, err := readCSV(o.only)
	if err != nil {
		return nil, err
	}
	if len(rows)-1 != n {
		return nil, fmt.Errorf("%s has %d specimens and %s has %d", o.only, len(rows)-1, o.specimens, n)
	}
	out := make([][]string, n)
	for i, row := range rows[1:] {
		out[i] = row[1:]
	}
	return out, nil
}

func readCSV(path string) ([][]string, error) {
	f, err := os.Open(path)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	var rows [][]string
	r := csv.NewReader(f)
	for {
		row, err := r.Read()
		if err == io.EOF {
			break
		}
		if err != nil {
			return nil, fmt.Errorf("%s can't be read as CSV: %w", path, err)
		}
		rows = append(rows, row)
	}
	if len(rows) == 0 {
		return nil, fmt.Errorf("%s is empty: it needs a header line", path)
	}
	rows[0][0] = strings.TrimPrefix(rows[0][0], "\ufeff")
	return rows, nil
}

func characterList(m *matrix.Matrix) string {
	var ids []string
	for _, c := range m.Characters[:min(len(m.Characters), 30)] {
		ids = append(ids, c.ID)
	}
	return strings.Join(ids, ", ")
}
