package cli

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"trug/science/key"
	"trug/science/matrix"
)

// The sheet is what trug key says of a find, as --json prints it. Its fields
// are told in docs/formats.md.
type keySheet struct {
	Matrix     string         `json:"matrix"`
	Taxa       int            `json:"taxa"`
	Answers    []keyAnswer    `json:"answers"`
	Remaining  int            `json:"remaining"`
	NotInKey   float64        `json:"notInKey"`
	Candidates []keyCandidate `json:"candidates"`
	Open       []keyTrap      `json:"openDoubles"`
	Questions  []keyQuestion  `json:"questions"`
	Caution    string         `json:"caution"`
}

type keyAnswer struct {
	Character string `json:"character"`
	Label     string `json:"label"`
	Answer    string `json:"answer"`
}

type keyCandidate struct {
	ID          string      `json:"id"`
	Name        string      `json:"name"`
	Probability float64     `json:"probability"`
	For         []keyReason `json:"for"`
	Against     []keyReason `json:"against"`
	Silent      []string    `json:"silent,omitempty"`
}

type keyReason struct {
	Character string `json:"character"`
	Label     string `json:"label"`
	// Shows is what the matrix says of the taxon.
	Shows  string  `json:"shows"`
	Weight float64 `json:"weight"`
}

type keyTrap struct {
	Dangerous string   `json:"dangerous"`
	TakenFor  string   `json:"takenFor"`
	Why       string   `json:"why"`
	Says      string   `json:"says"`
	Open      []string `json:"open"`
	InKey     bool     `json:"inKey"`
}

type keyQuestion struct {
	Character string     `json:"character"`
	Question  string     `json:"question"`
	Technical string     `json:"technical,omitempty"`
	Unit      string     `json:"unit,omitempty"`
	States    []keyState `json:"states,omitempty"`
	Separates float64    `json:"separates"`
	Remain    int        `json:"remain"`
	Bits      float64    `json:"bits"`
	Effort    float64    `json:"effort"`
}

type keyState struct {
	ID    string `json:"id"`
	Label string `json:"label"`
	Says  string `json:"says,omitempty"`
}

// asking says which questions may be asked.
func (t *talk) asking() key.Asking {
	return key.Asking{
		Most: t.o.most,
		Skip: func(c int) bool {
			k := t.find.Key()
			word, ok := t.words.Character(k.Characters()[c].ID)
			return t.skipped[c] || slices.ContainsFunc(t.words.After(word.Name), func(of string) bool {
				before := k.Character(of)
				return before >= 0 && !t.find.Answered(before)
			}) || ok && !word.Asks("recorder") && !word.Asks("determiner") && !word.Asks("card")
		},
		Effort: func(c int, usual float64) float64 {
			word, _ := t.words.Character(t.find.Key().Characters()[c].ID)
			if slices.ContainsFunc(word.Look.Needs(), func(n string) bool { return slices.Contains(t.o.bar, n) }) {
				return math.Inf(1)
			}
			return usual
		},
	}
}

func (t *talk) sheet() keySheet {
	k := t.find.Key()
	out := keySheet{Matrix: t.title, Taxa: len(k.Taxa()), Remaining: len(t.find.Remaining()), NotInKey: t.find.NotInKey(), Caution: key.Caution,
		Answers: []keyAnswer{}, Candidates: []keyCandidate{}, Open: []keyTrap{}, Questions: []keyQuestion{}}
	for _, a := range t.find.Answers() {
		c := k.Characters()[a.Character]
		out.Answers = append(out.Answers, keyAnswer{c.ID, c.Name(), answerText(c, a)})
	}
	for _, c := range t.find.Candidates(t.o.most) {
		out.Candidates = append(out.Candidates, t.candidate(c))
	}
	for _, w := range t.find.Warnings(t.traps()) {
		out.Open = append(out.Open, keyTrap{w.Trap.Dangerous, w.Trap.TakenFor, w.Trap.Why, w.Trap.Says, orEmpty(w.Open), w.Dangerous >= 0})
	}
	for _, q := range t.find.Next(t.asking()) {
		out.Questions = append(out.Questions, t.question(q))
	}
	return out
}

func orEmpty(s []string) []string {
	if s == nil {
		return []string{}
	}
	return s
}

func (t *talk) candidate(c key.Candidate) keyCandidate {
	k := t.find.Key()
	reasons := func(list []key.Reason) []keyReason {
		out := []keyReason{}
		for _, r := range list {
			ch := k.Characters()[r.Character]
			out = append(out, keyReason{ch.ID, ch.Name(), ch.Tell(r.Entry), round(r.Weight)})
		}
		return out
	}
	out := keyCandidate{ID: k.Taxa()[c.Taxon].ID, Name: k.Taxa()[c.Taxon].Name, Probability: c.Probability, For: reasons(c.For), Against: reasons(c.Against)}
	for _, s := range c.Silent {
		out.Silent = append(out.Silent, k.Characters()[s].ID)
	}
	return out
}

// round keeps three decimals, which is more than a weight can claim.
func round(v float64) float64 { return math.Round(v*1000) / 1000 }

func (t *talk) question(q key.Question) keyQuestion {
	ch := t.find.Key().Characters()[q.Character]
	out := keyQuestion{Character: ch.ID, Question: ch.Name(), Unit: ch.Unit, Separates: round(q.Separates), Remain: q.Remain, Bits: round(q.Bits), Effort: q.Effort}
	if word, ok := t.words.Character(ch.ID); ok {
		out.Question, out.Technical = word.Question, word.Technical
	}
	for _, s := range ch.States {
		out.States = append(out.States, keyState{s.ID, s.Label, s.Says})
	}
	return out
}

// answerText writes an answer as a person would give it.
func answerText(c matrix.Character, a key.Answer) string {
	if a.Absent {
		return "not there"
	}
	if a.Number != nil {
		text := a.Number.Typeset()
		if a.Uncertainty > 0 {
			text += " ± " + strconv.FormatFloat(a.Uncertainty, 'g', 3, 64)
		}
		return strings.TrimSpace(text + " " + c.Unit)
	}
	var parts []string
	for _, s := range a.States {
		parts = append(parts, c.StateName(s))
	}
	if a.Either {
		return strings.Join(parts, " or ")
	}
	return strings.Join(parts, ", ")
}

// share writes a probability; none is ever called certain.
func share(p float64) string {
	switch {
	case p >= 0.9995:
		return "> 0.999"
	case p < 0.0005:
		return "< 0.001"
	}
	return fmt.Sprintf("%7.3f", p)
}

// print prints the sheet for people.
func (t *talk) print() {
	sh, w := t.sheet(), t.s.out
	if len(sh.Answers) == 0 {
		fmt.Fprintf(w, "%s.\n", sh.Matrix)
	}
	for _, a := range sh.Answers {
		fmt.Fprintf(w, "%s: %s\n", a.Label, a.Answer)
	}
	fmt.Fprintf(w, "\n%d of %d remain. Not in this key: %s\n\n", sh.Remaining, sh.Taxa, strings.TrimSpace(share(sh.NotInKey)))
	if len(sh.Answers) > 0 {
		for _, c := range sh.Candidates {
			fmt.Fprintf(w, "%s  %s\n", share(c.Probability), c.Name)
			printReasons(w, "for", c.For)
			printReasons(w, "against", c.Against)
		}
	}
	if len(sh.Open) > 0 {
		fmt.Fprintln(w, "\nDoubles that the answers do not settle:")
		for _, o := range sh.Open {
			in := ""
			if !o.InKey {
				in = "; it is not in this key"
			}
			fmt.Fprintf(w, "  %s, taken for %s (%s%s): %s\n", o.Dangerous, o.TakenFor, o.Why, in, o.Says)
		}
	}
	if len(sh.Questions) > 0 {
		fmt.Fprintln(w, "\nTells most for the least effort:")
		for i, q := range sh.Questions {
			fmt.Fprintf(w, "  %d. %s [%s]\n     sets aside %.0f of the %d that remain\n", i+1, q.Question, q.Character, math.Round(q.Separates), q.Remain)
		}
	}
	fmt.Fprintf(w, "\n%s\n", sh.Caution)
}

func printReasons(w interface{ Write([]byte) (int, error) }, word string, list []keyReason) {
	var parts []string
	for _, r := range list {
		parts = append(parts, strings.ToLower(r.Label)+" "+r.Shows)
	}
	if len(parts) > 0 {
		fmt.Fprintf(w, "           %s: %s\n", word, strings.Join(parts, "; "))
	}
}
