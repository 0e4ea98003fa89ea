package cli

import (
	"bufio"
	"fmt"
	"io"
	"math"
	"slices"
	"strconv"
	"strings"

	"trug/science/describe"
	"trug/science/key"
	"trug/science/key/starter"
	"trug/science/matrix"
)

// talk is a find at the key in a terminal.
type talk struct {
	s     *streams
	o     keyOptions
	find  *key.Find
	words *describe.Vocabulary
	title string
	// skipped are the characters that nobody could tell.
	skipped map[int]bool
}

func (t *talk) traps() []key.Trap { return starter.Traps() }

// answer takes "character=state".
func (t *talk) answer(text string) error {
	id, value, ok := strings.Cut(text, "=")
	if !ok {
		return fmt.Errorf("%q is no answer: write character=state, such as ring=none", text)
	}
	id, value = strings.TrimSpace(id), strings.TrimSpace(value)
	k := t.find.Key()
	c := k.Character(id)
	if c < 0 {
		return fmt.Errorf("there is no character %q%s", id, nearest(id, k.Characters()))
	}
	ch := k.Characters()[c]
	if value == "?" || t.isBlank(ch.ID, value) {
		t.find.Withdraw(c)
		t.skipped[c] = true
		return nil
	}
	a, err := readAnswer(c, ch, value)
	if err != nil {
		return err
	}
	return t.find.Give(a)
}

// isBlank reports whether a state of the vocabulary stands for "not looked
// for" or "not visible", which is no evidence.
func (t *talk) isBlank(character, state string) bool {
	c, _ := t.words.Character(character)
	s, ok := c.State(state)
	return ok && (s.StandsFor == describe.NotLookedFor || s.StandsFor == describe.NotVisible)
}

// readAnswer reads the value of an answer.
func readAnswer(c int, ch matrix.Character, value string) (key.Answer, error) {
	a := key.Answer{Character: c}
	if value == "-" {
		a.Absent = true
		return a, nil
	}
	if ch.Kind.IsNumber() {
		n, u, err := describe.ParseMeasured(value)
		a.Number, a.Uncertainty = &n, u
		return a, err
	}
	parts := []string{value}
	if stateOf(ch, value) < 0 {
		if a.Either = strings.Contains(value, "/"); a.Either {
			parts = strings.Split(value, "/")
		} else {
			parts = strings.Split(value, "+")
		}
	}
	for _, p := range parts {
		s := stateOf(ch, strings.TrimSpace(p))
		if s < 0 {
			var ids []string
			for _, st := range ch.States {
				ids = append(ids, st.ID)
			}
			return a, fmt.Errorf("%s has no state %q: give one of %s", ch.ID, p, strings.Join(ids, ", "))
		}
		a.States = append(a.States, s)
	}
	return a, nil
}

// stateOf finds a state by its mark or its label.
func stateOf(ch matrix.Character, word string) int {
	return slices.IndexFunc(ch.States, func(s matrix.State) bool { return s.ID == word || strings.EqualFold(s.Label, word) })
}

// nearest names characters that begin alike, for an error.
func nearest(id string, list []matrix.Character) string {
	var like []string
	for _, c := range list {
		if len(id) >= 3 && (strings.HasPrefix(c.ID, id[:3]) || strings.Contains(c.ID, id)) {
			like = append(like, c.ID)
		}
	}
	if len(like) == 0 {
		return ": trug key --json lists the questions"
	}
	return ": there are " + strings.Join(like[:min(len(like), 8)], ", ")
}

const talkHelp = `  a state or its number   answers the question
  character=state         answers any character, in any order
  ?                       can't tell: the next question
  undo                    takes the last answer back
  show                    the whole sheet: taxa, reasons, doubles, questions
  compare ONE, TWO        what tells two taxa apart
  end                     ends`

// run asks question after question until there is none, or "end".
func (t *talk) run(in io.Reader) error {
	w := t.s.out
	fmt.Fprintf(w, "%s.\nType help for what can be typed.\n", t.title)
	lines := bufio.NewScanner(in)
	for {
		ask := t.asking()
		ask.Most = 1
		next := t.find.Next(ask)
		if len(next) > 0 {
			t.put(next[0])
		} else {
			fmt.Fprintln(w, "\nThere is nothing more to ask.")
			t.print()
			return nil
		}
		fmt.Fprint(w, "> ")
		if !lines.Scan() {
			fmt.Fprintln(w)
			t.print()
			return lines.Err()
		}
		line := strings.TrimSpace(lines.Text())
		if line == "end" {
			t.print()
			return nil
		}
		if err := t.heed(line, next[0].Character); err != nil {
			fmt.Fprintln(w, "That can't be taken:", err)
		}
	}
}

// put prints a question.
func (t *talk) put(q key.Question) {
	w, one := t.s.out, t.question(q)
	best := t.find.Best(1)[0]
	fmt.Fprintf(w, "\n%d remain", q.Remain)
	if len(t.find.Answers()) > 0 {
		fmt.Fprintf(w, "; likeliest %s (%s); not in this key %s", t.find.Key().Taxa()[best].Name,
			strings.TrimSpace(share(t.find.Probability(best))), strings.TrimSpace(share(t.find.NotInKey())))
	}
	fmt.Fprintf(w, ".\n%s [%s]\n  It sets aside %.0f of the %d that remain.\n", one.Question, one.Character, math.Round(one.Separates), one.Remain)
	if one.Unit != "" {
		fmt.Fprintf(w, "  a number, in %s\n", one.Unit)
	}
	for i, s := range one.States {
		fmt.Fprintf(w, "  %2d %s: %s\n", i+1, s.ID, orLabel(s))
	}
}

func orLabel(s keyState) string {
	if s.Says == "" {
		return s.Label
	}
	return s.Label + ". " + s.Says
}

// heed does what a line says; a bare word answers the question asked.
func (t *talk) heed(line string, asked int) error {
	k := t.find.Key()
	switch word, rest, _ := strings.Cut(line, " "); {
	case line == "":
		return nil
	case line == "help":
		fmt.Fprintln(t.s.out, talkHelp)
		return nil
	case line == "show":
		t.print()
		return nil
	case line == "undo":
		answers := t.find.Answers()
		if len(answers) == 0 {
			return fmt.Errorf("nothing has been answered yet")
		}
		t.find.Withdraw(answers[len(answers)-1].Character)
		return nil
	case word == "compare":
		return t.compare(rest)
	case strings.Contains(line, "="):
		return t.answer(line)
	}
	ch := k.Characters()[asked]
	if n, err := strconv.Atoi(line); err == nil && ch.Kind.HasStates() {
		if n < 1 || n > len(ch.States) {
			return fmt.Errorf("there are %d answers", len(ch.States))
		}
		line = ch.States[n-1].ID
	}
	return t.answer(ch.ID + "=" + line)
}

// compare prints what tells two taxa apart.
func (t *talk) compare(names string) error {
	k := t.find.Key()
	a, b, ok := strings.Cut(names, ",")
	one, two := k.Taxon(strings.TrimSpace(a)), k.Taxon(strings.TrimSpace(b))
	if !ok || one < 0 || two < 0 {
		return fmt.Errorf("write two names of the key with a comma between, such as compare Amanita fulva, Amanita virosa")
	}
	d := t.find.Compare(one, two)
	for _, x := range d[:min(len(d), 2*t.o.most)] {
		ch := k.Characters()[x.Character]
		fmt.Fprintf(t.s.out, "  %s: %s, against %s\n", ch.Name(), ch.Tell(x.One), ch.Tell(x.Two))
	}
	return nil
}
