package delta

import (
	"bufio"
	"fmt"
	"io"
	"strconv"
	"strings"

	"trug/science/matrix"
)

// Write writes a matrix. Marks of characters, states and taxa go into
// comments, as do frequencies and doubts, for which the standard has no sign;
// Read takes them back. Angle brackets, stars and signs that would break the
// form are replaced in texts. The text is UTF-8.
func Write(w io.Writer, m *matrix.Matrix) error {
	if err := m.Validate(); err != nil {
		return err
	}
	b := bufio.NewWriter(w)
	line := func(format string, a ...any) { fmt.Fprintf(b, format+"\n", a...) }
	if m.Title != "" {
		line("*SHOW %s\n", clean(m.Title))
	}
	most := 2
	for _, c := range m.Characters {
		most = max(most, len(c.States))
	}
	line("*NUMBER OF CHARACTERS %d", len(m.Characters))
	line("*MAXIMUM NUMBER OF STATES %d", most)
	line("*MAXIMUM NUMBER OF ITEMS %d", len(m.Taxa))
	b.WriteString("*CHARACTER TYPES")
	for i, c := range m.Characters {
		fmt.Fprintf(b, " %d,%s", i+1, [...]string{"UM", "OM", "RN", "IN", "TE"}[c.Kind])
	}
	b.WriteString("\n*NUMBERS OF STATES")
	for i, c := range m.Characters {
		if c.Kind.HasStates() {
			fmt.Fprintf(b, " %d,%d", i+1, len(c.States))
		}
	}
	line("")
	writeRules(b, m)
	line("\n*CHARACTER LIST")
	for i, c := range m.Characters {
		line("\n#%d. %s/", i+1, labelled(c.Label, c.ID, c.Says))
		if c.Kind.IsNumber() && c.Unit != "" {
			line("   %s/", clean(c.Unit))
		}
		for j, s := range c.States {
			line("   %d. %s/", j+1, labelled(s.Label, s.ID, s.Says))
		}
	}
	line("\n*ITEM DESCRIPTIONS")
	for t, taxon := range m.Taxa {
		line("\n# %s/", labelled(taxon.Name, taxon.ID, taxon.Says))
		for c, e := range m.Rows[t] {
			if a := attribute(m.Characters[c], e); a != "" {
				line("%d%s", c+1, a)
			}
		}
	}
	return b.Flush()
}

func writeRules(b *bufio.Writer, m *matrix.Matrix) {
	if len(m.Rules) == 0 {
		return
	}
	b.WriteString("*DEPENDENT CHARACTERS")
	for _, r := range m.Rules {
		states, makes := make([]string, len(r.States)), make([]string, len(r.Makes))
		for i, s := range r.States {
			states[i] = strconv.Itoa(s + 1)
		}
		for i, c := range r.Makes {
			makes[i] = strconv.Itoa(c + 1)
		}
		fmt.Fprintf(b, " %d,%s:%s", r.Character+1, strings.Join(states, "/"), strings.Join(makes, ":"))
	}
	b.WriteByte('\n')
}

// labelled writes a label with its mark and remark as a comment.
func labelled(label, id, says string) string {
	if label == "" {
		label = id
	}
	if says != "" {
		id += "; " + says
	}
	return clean(label) + " <" + markSign + clean(id) + ">"
}

// attribute writes an entry after the character's number, "" for a blank.
func attribute(c matrix.Character, e matrix.Entry) string {
	switch {
	case e.Status == matrix.Depends:
		return ",V"
	case e.Status == matrix.Inapplicable:
		return ",-"
	case e.Status == matrix.Blank && c.Kind == matrix.Text:
		return ""
	case e.Status == matrix.Blank:
		return ",U" // said outright, so that no rule or implicit value fills it
	case c.Kind == matrix.Text:
		return "<" + clean(e.Text) + ">"
	}
	var parts []string
	for _, s := range e.States {
		p := strconv.Itoa(s.State + 1)
		if s.Frequency > 0 {
			p += fmt.Sprintf("<%s %% of %d finds>", strconv.FormatFloat(s.Frequency*100, 'g', 6, 64), s.Count)
		}
		if s.Doubtful {
			p += "<" + doubtfulNote + ">"
		}
		if s.Note != "" {
			p += "<" + clean(s.Note) + ">"
		}
		parts = append(parts, p)
	}
	for _, n := range e.Numbers {
		parts = append(parts, n.String())
	}
	return "," + strings.Join(parts, "/")
}

// clean keeps a text within the form: on one line, without the signs that
// begin or end something.
func clean(s string) string {
	s = strings.NewReplacer("<", "(", ">", ")", "*", "×", "#", "№").Replace(strings.Join(strings.Fields(s), " "))
	s = strings.TrimSuffix(strings.ReplaceAll(s, "/ ", ", "), "/")
	return strings.TrimSpace(s)
}
