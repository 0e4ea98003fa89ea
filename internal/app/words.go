package app

import (
	"fmt"
	"slices"
	"strings"
	"time"
	"unicode/utf8"

	"trug"
	"trug/science/describe"
	"trug/science/said"
)

// dayWords writes a day as "10 October 2026".
func dayWords(d trug.Date) string {
	t, err := time.Parse(time.DateOnly, string(d))
	if err != nil {
		return string(d)
	}
	return t.Format("2 January 2006")
}

// daySaid writes a day in full.
func daySaid(d trug.Date) said.Day { return said.Day{Day: string(d)} }

// dayInSeason writes a day as "10 October", without the year.
func dayInSeason(d trug.Date) said.Day { return said.Day{Day: string(d), InSeason: true} }

// foundWords writes when a find was made: "10 October 2026, 11:34".
func foundWords(w trug.When) said.List {
	if w.Time == "" {
		return said.List{List: []any{said.Day{Day: string(w.Date)}}}
	}
	return said.List{List: []any{said.Day{Day: string(w.Date)}, w.Time[:5]}, By: ", "}
}

// label returns the plain words of a state, the text itself when it is none
// of the vocabulary.
func label(character, state string) string {
	if s, ok := describe.Find(character, state); ok {
		return s.Label
	}
	return state
}

// labelSaid is label for every language: words of the vocabulary are known
// there, what people wrote themselves stays as it is.
func labelSaid(character, state string) any {
	if s, ok := describe.Find(character, state); ok {
		return said.As(said.Words(s.Label))
	}
	return state
}

// onWords says what a find grows on and how: "leaf litter, in a troop".
func onWords(r trug.Record) said.List {
	parts := said.List{List: []any{}, By: ", "}
	if r.Substrate != "" {
		on := said.List{List: []any{said.Inside{Inside: labelSaid("substrate", r.Substrate)}}, By: " "}
		if r.Host != "" {
			on.List = append(on.List, "("+r.Host+")")
		}
		parts.List = append(parts.List, on)
	} else if r.Host != "" {
		parts.List = append(parts.List, r.Host)
	}
	if r.Habit != "" {
		parts.List = append(parts.List, said.Inside{Inside: labelSaid("habit", r.Habit)})
	}
	return parts
}

func lowerFirst(s string) string {
	if s == "" {
		return s
	}
	_, n := utf8.DecodeRuneInString(s)
	return strings.ToLower(s[:n]) + s[n:]
}

// fullStop makes a sentence of an error of a computation.
func fullStop(err error) said.List {
	stop := "."
	if strings.HasSuffix(err.Error(), "?") {
		stop = ""
	}
	return said.List{List: []any{said.Capital{Capital: said.Of("%v", err)}, stop}, By: said.Nothing}
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
func basisWords(basis []trug.Basis) said.List {
	var words said.List
	for _, b := range basis {
		words.List = append(words.List, said.As(basisSaid[b]))
	}
	return words
}

var basisSaid = map[trug.Basis]said.Words{trug.FromPhotographs: "photographs", trug.FromDescription: "description", trug.FromSpecimen: "the specimen",
	trug.FromMicroscope: "the microscope", trug.FromSequence: "the sequence"}

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
		return instead("Name under the flap")
	case n.Held && !l.mayNameAny(v):
		return instead("Waits for a second opinion")
	case len(f.slips) == 0:
		return instead("No name yet")
	case n.Taxon.Name == "":
		return instead("Opinions share no name")
	default:
		return ShownName{Name: n.Taxon.Name, Authorship: n.Taxon.Authorship, Rank: n.Taxon.Rank, Qualifier: n.Qualifier}
	}
}

// instead says why no name stands there.
func instead(words said.Words) ShownName {
	n := ShownName{Instead: string(words)}
	n.Said.Put("instead", said.As(words))
	return n
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
func (l *ledger) namingWords(v Viewer, f *find) said.Sentence {
	n := f.naming
	switch {
	case len(f.slips) == 0:
		return said.As("Nobody has put a name to it yet.")
	case l.underFlap(v, f):
		return said.As("{opinions}, under the flap.", "opinions", opinions(n.Opinions))
	case n.Held && !l.mayNameAny(v):
		return said.As("A name has been given; it waits for a second opinion before it leaves the table.")
	}
	last := n.Counting[len(n.Counting)-1]
	switch {
	case n.Opinions == 1:
		return said.As("{name}, det. {person}, {day}, from {basis}; no second opinion.", "name", nameWords(last.Name, last.Qualifier),
			"person", shortName(l.person(last.By)), "day", dayInSeason(last.Date), "basis", basisWords(last.Basis))
	case n.Settled:
		return said.As("{name}; settled by {person}, {day}, from {basis}, after opinions differed.", "name", nameWords(n.Taxon.Name, n.Qualifier),
			"person", shortName(l.person(last.By)), "day", dayInSeason(last.Date), "basis", basisWords(last.Basis))
	case n.Differ && n.Taxon.Name == "":
		return said.As("{opinions} differ: {names}. They share no name on the checklist.", "opinions", opinions(len(n.Counting)), "names", l.names(n.Counting))
	case n.Differ:
		return said.As("{opinions} differ: {names}. What they share is {name}.", "opinions", opinions(len(n.Counting)), "names", l.names(n.Counting), "name", n.Taxon.Name)
	default:
		return l.agreeing(n)
	}
}

// agreeing is namingWords for opinions that give the same name.
func (l *ledger) agreeing(n trug.Naming) said.Sentence {
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
	values := []any{"name", nameWords(n.Taxon.Name, n.Qualifier), "people", strings.Join(dets, ", "), "basis", basisWords(basis), "doubting", doubting, "qualifier", string(n.Qualifier)}
	if 0 < doubting && doubting < len(n.Counting) {
		return said.As("{name}, det. {people}, from {basis}: the same name, {doubting, plural, one {one of them} other {# of them}} with {qualifier}.", values...)
	}
	return said.As("{name}, det. {people}, from {basis}: the same name.", values[:6]...)
}

// names lists the names of differing opinions with who gave them.
func (l *ledger) names(slips []trug.Determination) string {
	words := make([]string, len(slips))
	for i, d := range slips {
		words[i] = fmt.Sprintf("%s (%s)", nameWords(d.Name, d.Qualifier), shortName(l.person(d.By)))
	}
	return strings.Join(words, ", ")
}

// opinions counts opinions: "One opinion", "Two opinions".
func opinions(n int) said.Sentence {
	words := said.Words("{n, plural, =1 {One opinion} =2 {Two opinions} =3 {Three opinions} one {# opinion} other {# opinions}}")
	return said.As(words, "n", n)
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
