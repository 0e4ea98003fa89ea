package cli

import (
	"fmt"
	"io"
	"os"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"trug/science/describe"
	"trug/science/key"
	"trug/science/key/starter"
	"trug/science/matrix"
	"trug/science/matrix/delta"
	"trug/science/matrix/forms"
)

// keyOptions are the flags of trug key.
type keyOptions struct {
	matrix, encoding string
	ask              bool
	most             int
	bar              []string
	specimens, only  string
	without          []string
	wrong, notInKey  float64
}

func keyCommand(s *streams) *cobra.Command {
	var o keyOptions
	c := &cobra.Command{
		Use:   "key [character=state ...]",
		Short: "Work out which fungi a find can be, and what to look at next",
		Long: `Weighs what was seen against a matrix of taxa by characters and prints the
likeliest taxa with what speaks for and against each, the probability that the find
is none of them, dangerous doubles that stay open, and the questions that would tell
most for the least effort. A ranking is no name.

  trug key form=gilled cap_color=red+white cap_diameter=120+-10 ring=hanging
  trug key --matrix FILE            a matrix as SDD 1.1, DELTA text or plain table
  trug key --specimens FILE.csv     a specimen a line, the five best names of each

Answers: state, a+b (all seen), a/b (one of them, can't tell which), 42 or 42-51 or
(30-)42-51(-60) or 52+-3 (in the character's unit), - (looked for, is not there),
? (not looked for or can't tell: no evidence).

In a terminal it goes on asking; type help there.`,
		RunE: func(_ *cobra.Command, args []string) error {
			if o.specimens != "" {
				if len(args) > 0 {
					return fmt.Errorf("answers are read from %s: leave out %s", o.specimens, strings.Join(args, " "))
				}
				return s.keySpecimens(o)
			}
			return s.keyFind(o, args)
		},
	}
	f := c.Flags()
	f.StringVar(&o.matrix, "matrix", "", "file of a matrix; the starter matrix of 173 species without it")
	f.StringVar(&o.encoding, "encoding", "utf-8", "encoding of a DELTA file: utf-8 or windows-1252")
	f.BoolVar(&o.ask, "ask", false, "ask question after question, as in a terminal")
	f.IntVar(&o.most, "most", 5, "how many taxa and questions to print")
	f.StringSliceVar(&o.bar, "not", nil, "what may not be done where the find stands: cut, dig, print")
	f.StringVar(&o.specimens, "specimens", "", "CSV of specimens, a character a column")
	f.StringVar(&o.only, "only", "", "CSV that names for each specimen the characters to be used")
	f.StringSliceVar(&o.without, "without", nil, "taxa to take out of the matrix, by mark or name")
	f.Float64Var(&o.wrong, "wrong", -1, "share of wrong answers; estimated from the specimens without it")
	f.Float64Var(&o.notInKey, "not-in-key", -1, "share of finds that are not in the key; estimated from the specimens without it")
	return c
}

// readMatrix reads the matrix that the flags name; the starter matrix in the
// given form without one.
func (o keyOptions) readMatrix(start *matrix.Matrix) (*matrix.Matrix, []string, error) {
	m, notes := start, []string(nil)
	if o.matrix != "" {
		f, err := os.Open(o.matrix)
		if err != nil {
			return nil, nil, err
		}
		defer f.Close()
		e, ok := map[string]delta.Encoding{"utf-8": delta.UTF8, "windows-1252": delta.Windows1252}[strings.ToLower(o.encoding)]
		if !ok {
			return nil, nil, fmt.Errorf("the encoding %q is not known: give utf-8 or windows-1252", o.encoding)
		}
		if m, notes, err = forms.Read(f, e, matrix.DefaultLimits); err != nil {
			return nil, nil, fmt.Errorf("%s: %w", o.matrix, err)
		}
	}
	if len(o.without) == 0 {
		return m, notes, nil
	}
	less := &matrix.Matrix{Title: m.Title, Characters: m.Characters, Rules: m.Rules}
	var out []int
	for _, id := range o.without {
		t := m.Taxon(strings.TrimSpace(id))
		if t < 0 {
			return nil, nil, fmt.Errorf("there is no taxon %q to take out", id)
		}
		out = append(out, t)
	}
	for t := range m.Taxa {
		if !slices.Contains(out, t) {
			less.Taxa, less.Rows = append(less.Taxa, m.Taxa[t]), append(less.Rows, m.Rows[t])
		}
	}
	return less, notes, nil
}

// given reports whether a rate was given, and that it is one.
func givenRate(name string, v float64) (bool, error) {
	if v == -1 {
		return false, nil
	}
	if !(v >= 0 && v < 1) {
		return false, fmt.Errorf("--%s is %g: give a share from 0 to 1, such as 0.05", name, v)
	}
	return true, nil
}

// keyFind weighs one find.
func (s *streams) keyFind(o keyOptions, args []string) error {
	m, notes, err := o.readMatrix(starter.InWords())
	if err != nil {
		return err
	}
	v := describe.Standing()
	settings := key.Standard(v)
	for name, rate := range map[string]*float64{"wrong": &o.wrong, "not-in-key": &o.notInKey} {
		ok, err := givenRate(name, *rate)
		if err != nil {
			return err
		}
		switch {
		case ok && name == "wrong":
			settings.Wrong = o.wrong
			for id, t := range settings.ByCharacter {
				t.Wrong = o.wrong
				settings.ByCharacter[id] = t
			}
		case ok:
			settings.NotInKey = o.notInKey
		}
	}
	for _, b := range o.bar {
		if !slices.Contains([]string{"cut", "dig", "print"}, b) {
			return fmt.Errorf("--not %s: what may not be done is cut, dig or print", b)
		}
	}
	k, err := key.New(m, settings)
	if err != nil {
		return err
	}
	f, err := k.Start(nil)
	if err != nil {
		return err
	}
	t := &talk{s: s, o: o, find: f, words: v, title: m.Title, skipped: map[int]bool{}}
	for _, n := range notes {
		fmt.Fprintln(s.err, "note:", n)
	}
	for _, a := range args {
		if err := t.answer(a); err != nil {
			return err
		}
	}
	if !s.json && (o.ask || isTerminal(s.in)) {
		return t.run(s.in)
	}
	return s.show(t.sheet(), t.print)
}

// isTerminal reports whether somebody types at r: the empty device is a
// character device too, and nobody does there.
func isTerminal(r io.Reader) bool {
	f, ok := r.(*os.File)
	if !ok {
		return false
	}
	info, err := f.Stat()
	if err != nil || info.Mode()&os.ModeCharDevice == 0 {
		return false
	}
	null, err := os.Stat(os.DevNull)
	return err != nil || !os.SameFile(info, null)
}
