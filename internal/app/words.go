package app

import (
	"fmt"
	"slices"
	"strings"
	"time"
	"unicode/utf8"

	"trug"
	"trug/science/describe"
)

// dayWords writes a day as "10 October 2026".
func dayWords(d trug.Date) string {
	t, err := time.Parse(time.DateOnly, string(d))
	if err != nil {
		return string(d)
	}
	return t.Format("2 January 2006")
}

// dayInSeason writes a day as "10 October", without the year.
func dayInSeason(d trug.Date) string {
	t, err := time.Parse(time.DateOnly, string(d))
	if err != nil {
		return string(d)
	}
	return t.Format("2 January")
}

// foundWords writes when a find was made: "10 October 2026, 11:34".
func foundWords(w trug.When) string {
	if w.Time == "" {
		return dayWords(w.Date)
	}
	return dayWords(w.Date) + ", " + w.Time[:5]
}

// label returns the plain words of a state, the text itself when it is none
// of the vocabulary.
func label(character, state string) string {
	if s, ok := describe.Find(character, state); ok {
		return s.Label
	}
	return state
}

// onWords says what a find grows on and how: "leaf litter, in a troop".
func onWords(r trug.Record) string {
	var parts []string
	if r.Substrate != "" {
		on := lowerFirst(label("substrate", r.Substrate))
		if r.Host != "" {
			on += " (" + r.Host + ")"
		}
		parts = append(parts, on)
	} else if r.Host != "" {
		parts = append(parts, r.Host)
	}
	if r.Habit != "" {
		parts = append(parts, lowerFirst(label("habit", r.Habit)))
	}
	return strings.Join(parts, ", ")
}

func lowerFirst(s string) string {
	if s == "" {
		return s
	}
	_, n := utf8.DecodeRuneInString(s)
	return strings.ToLower(s[:n]) + s[n:]
}

// fullStop makes a sentence of an error of a computation.
func fullStop(err error) string {
	s := sentence(err.Error())
	if strings.HasSuffix(s, "?") {
		return s
	}
	return s + "."
}

// sentence makes words one sentence without its full stop.
func sentence(s string) string {
	s = strings.TrimRight(strings.TrimSpace(s), ".")
	if s == "" {
		return s
	}
	return strings.ToUpper(s[:1]) + s[1:]
}

// shortName writes a person as a slip does: "A. Wolfsbane-Smith".
func shortName(name string) string {
	given, rest, ok := strings.Cut(strings.TrimSpace(name), " ")
	if !ok || given == "" {
		return name
	}
	return string([]rune(given)[:1]) + ". " + rest
}

// basisWords says what a determination rests on: "photographs and description".
func basisWords(basis []trug.Basis) string {
	words := make([]string, len(basis))
	for i, b := range basis {
		words[i] = string(b)
		if b == trug.FromSpecimen || b == trug.FromMicroscope || b == trug.FromSequence {
			words[i] = "the " + words[i]
		}
	}
	if len(words) < 2 {
		return strings.Join(words, "")
	}
	return strings.Join(words[:len(words)-1], ", ") + " and " + words[len(words)-1]
}

// nameWords writes a name in plain text with its qualifier where open
// nomenclature puts it: "Russula cf. fellea", "Russula sp.".
func nameWords(name string, q trug.Qualifier) string {
	if q == trug.NoQualifier || name == "" {
		return name
	}
	genus, epithet, ok := strings.Cut(name, " ")
	if !ok || q == trug.Agg {
		return name + " " + string(q)
	}
	return genus + " " + string(q) + " " + epithet
}

// shownName returns the current name of a find for the viewer.
func (l *ledger) shownName(v Viewer, f *find) ShownName {
	switch n := f.naming; {
	case l.underFlap(v, f) && len(f.slips) > 0:
		return ShownName{Instead: "Name under the flap"}
	case n.Held && !l.mayNameAny(v):
		return ShownName{Instead: "Waits for a second opinion"}
	case len(f.slips) == 0:
		return ShownName{Instead: "No name yet"}
	case n.Taxon.Name == "":
		return ShownName{Instead: "Opinions share no name"}
	default:
		return ShownName{Name: n.Taxon.Name, Authorship: n.Taxon.Authorship, Rank: n.Taxon.Rank, Qualifier: n.Qualifier}
	}
}

// mayNameAny reports whether names that have not left the table yet may be
// shown to the viewer: to determiners and the coordinator.
func (l *ledger) mayNameAny(v Viewer) bool {
	return v.has(trug.DeterminerRole) || v.has(trug.Coordinator)
}

// mayFieldName reports whether the viewer may read the field name: a species
// name reaches a recorder only as their own field name or as a determination.
func (l *ledger) mayFieldName(v Viewer, f *find) bool {
	return v.is(f.RecorderID) || l.mayNameAny(v) && !l.underFlap(v, f)
}

// namingWords tells in one sentence who named the find, when and on what:
// "Galerina cf. marginata, det. A. Wolfsbane-Smith, 12 October, from
// photographs; no second opinion."
func (l *ledger) namingWords(v Viewer, f *find) string {
	n := f.naming
	switch {
	case len(f.slips) == 0:
		return "Nobody has put a name to it yet."
	case l.underFlap(v, f):
		return fmt.Sprintf("%s, under the flap.", count(n.Opinions, "opinion"))
	case n.Held && !l.mayNameAny(v):
		return "A name has been given; it waits for a second opinion before it leaves the table."
	}
	last := n.Counting[len(n.Counting)-1]
	switch {
	case n.Opinions == 1:
		return fmt.Sprintf("%s, det. %s, %s, from %s; no second opinion.", nameWords(last.Name, last.Qualifier),
			shortName(l.person(last.By)), dayInSeason(last.Date), basisWords(last.Basis))
	case n.Settled:
		return fmt.Sprintf("%s; settled by %s, %s, from %s, after opinions differed.", nameWords(n.Taxon.Name, n.Qualifier),
			shortName(l.person(last.By)), dayInSeason(last.Date), basisWords(last.Basis))
	case n.Differ && n.Taxon.Name == "":
		return fmt.Sprintf("%s differ: %s. They share no name on the checklist.", count(len(n.Counting), "opinion"), l.names(n.Counting))
	case n.Differ:
		return fmt.Sprintf("%s differ: %s. What they share is %s.", count(len(n.Counting), "opinion"), l.names(n.Counting), n.Taxon.Name)
	default:
		return l.agreeing(n)
	}
}

// agreeing is namingWords for opinions that give the same name.
func (l *ledger) agreeing(n trug.Naming) string {
	dets := make([]string, len(n.Counting))
	basis := []trug.Basis{}
	doubting := 0
	for i, d := range n.Counting {
		dets[i] = shortName(l.person(d.By))
		for _, b := range d.Basis {
			if !slices.Contains(basis, b) {
				basis = append(basis, b)
			}
		}
		if d.Qualifier != trug.NoQualifier {
			doubting++
		}
	}
	s := fmt.Sprintf("%s, det. %s, from %s: the same name", nameWords(n.Taxon.Name, n.Qualifier), strings.Join(dets, ", "), basisWords(basis))
	if 0 < doubting && doubting < len(n.Counting) {
		s += fmt.Sprintf(", %s with %s", count(doubting, "of them"), n.Qualifier)
	}
	return s + "."
}

// names lists the names of differing opinions with who gave them.
func (l *ledger) names(slips []trug.Determination) string {
	words := make([]string, len(slips))
	for i, d := range slips {
		words[i] = fmt.Sprintf("%s (%s)", nameWords(d.Name, d.Qualifier), shortName(l.person(d.By)))
	}
	return strings.Join(words, ", ")
}

var numberWords = []string{"No", "One", "Two", "Three", "Four", "Five", "Six", "Seven", "Eight", "Nine"}

// count writes "One opinion", "Two opinions", "12 opinions".
func count(n int, thing string) string {
	word := fmt.Sprint(n)
	if n < len(numberWords) {
		word = numberWords[n]
	}
	if thing == "of them" {
		return strings.ToLower(word) + " of them"
	}
	if n != 1 {
		thing += "s"
	}
	return word + " " + thing
}
