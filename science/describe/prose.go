package describe

import (
	"slices"
	"strconv"
	"strings"
	"sync"
)

// Register is the wording of a description.
type Register int

// The two wordings. They tell the same facts.
const (
	Plain Register = iota
	Technical
)

// phrase is how a character is told, with {} where its answer goes.
type phrase struct {
	character, part  string
	plain, technical string
	// absent is the plain wording for what was looked for and is not there;
	// the technical one is the state's own term.
	absent string
	// join stands between several states: "to" where they form a scale.
	join string
}

// parts heads the sentences, in the order in which the trade describes (common
// practice: whole, cap, gills, stem, veils, flesh, smell, spores, where it grew).
var parts = []struct{ name, plain, technical string }{
	{"whole", "", ""}, {"cap", "Cap", "Pileus"}, {"underside", "Underside:", "Hymenophore"}, {"stem", "Stem", "Stipe"},
	{"veils", "", ""}, {"flesh", "Flesh:", "Context:"}, {"smell", "Smell", "Odour"}, {"spores", "Spore print", "Spore deposit"},
	{"other_parts", "", ""}, {"lichen", "", "Thallus"}, {"slime", "", ""},
	{"growing", "Growing", "Growing"}, {"tests", "Tests:", "Reactions:"},
}

var phrases = sync.OnceValue(func() []phrase {
	f, err := files.Open("data/prose.csv")
	if err != nil {
		panic(err)
	}
	defer f.Close()
	var out []phrase
	if err := rows(f, []string{"character_id", "part", "plain", "technical", "absent", "join"}, func(_ int, r []string) {
		out = append(out, phrase{r[0], r[1], r[2], r[3], r[4], r[5]})
	}); err != nil {
		panic(err)
	}
	return out
})

// Fact is one answer put into words.
type Fact struct {
	Character string
	Text      string
}

// Facts puts each answer into words, in the order of the trade; blanks that
// are no evidence are left out. Both registers yield the same characters.
func (v *Vocabulary) Facts(answers Answers, r Register) []Fact {
	var out []Fact
	said := map[string]bool{}
	for _, p := range phrases() {
		said[p.character] = true
		if text := v.fact(p, answers, r); text != "" {
			out = append(out, Fact{p.character, text})
		}
	}
	// A season's own characters are told by their labels.
	for _, c := range v.characters {
		if !said[c.Name] {
			p := phrase{character: c.Name, plain: strings.ToLower(c.Label) + ": {}", technical: strings.ToLower(c.Label) + ": {}", join: "and"}
			if text := v.fact(p, answers, r); text != "" {
				out = append(out, Fact{c.Name, text})
			}
		}
	}
	return out
}

// Prose writes a description in sentences, a part of the fruitbody in each:
// "Cap 42–51 mm broad, from the side domed to flat, red." What was not looked
// for and what could not be told end it, since their silence would be read.
func (v *Vocabulary) Prose(answers Answers, r Register) string {
	facts := map[string][]string{}
	part := map[string]string{}
	for _, p := range phrases() {
		part[p.character] = p.part
	}
	for _, f := range v.Facts(answers, r) {
		facts[part[f.Character]] = append(facts[part[f.Character]], f.Text)
	}
	var out []string
	for _, p := range parts {
		head := p.plain
		if r == Technical {
			head = p.technical
		}
		if list := facts[p.name]; len(list) > 0 {
			out = append(out, sentence(head+" "+strings.Join(list, ", ")))
		}
	}
	if list := facts[""]; len(list) > 0 {
		out = append(out, sentence(strings.Join(list, ", ")))
	}
	for _, b := range []struct {
		blank            Blank
		plain, technical string
	}{{NotLookedFor, "Not looked for: ", "Not assessed: "}, {NotVisible, "Could not be told: ", "Not discernible: "}} {
		if list := v.blanks(answers, b.blank, r); len(list) > 0 {
			head := b.plain
			if r == Technical {
				head = b.technical
			}
			out = append(out, sentence(head+strings.Join(list, ", ")))
		}
	}
	return strings.Join(out, " ")
}

func sentence(s string) string {
	s = strings.TrimSpace(s)
	for i, r := range s {
		return strings.ToUpper(string(r)) + s[i+len(string(r)):] + "."
	}
	return ""
}

// blanks names the characters that stand blank for a reason. Those that
// nobody has touched are not named.
func (v *Vocabulary) blanks(answers Answers, b Blank, r Register) []string {
	var out []string
	for _, c := range v.characters {
		if a, ok := answers[c.Name]; ok && v.Meaning(a) == b {
			out = append(out, InSentence(c.name(r)))
		}
	}
	return out
}

func (c Character) name(r Register) string {
	if r == Technical && c.Technical != "" {
		return firstTerm(c.Technical)
	}
	return c.Label
}

// InSentence makes a label fit for the middle of a sentence: its first word in
// small letters; the signs of reagents stay.
func InSentence(s string) string {
	words := strings.Fields(s)
	if len(words) == 0 {
		return s
	}
	if !slices.Contains([]string{"K", "C", "KC", "Pd", "KOH", "FeSO4", "NH4OH", "L"}, strings.Trim(words[0], ",")) {
		words[0] = strings.ToLower(words[0])
	}
	return strings.Join(words, " ")
}

// fact puts one answer into words, "" for none.
func (v *Vocabulary) fact(p phrase, answers Answers, r Register) string {
	a, ok := answers[p.character]
	c, known := v.Character(p.character)
	if !ok || !known {
		return ""
	}
	pattern := p.plain
	if r == Technical {
		pattern = p.technical
	}
	switch v.Meaning(a) {
	case NotLookedFor, NotVisible:
		return ""
	case Absent:
		return c.absent(p, a, r)
	}
	var text string
	switch {
	case a.Number != nil:
		text = number(c, a)
	case len(a.States) > 0:
		text = c.states(a, p.join, r)
	default:
		text = strings.Join(strings.Fields(a.Text), " ")
	}
	if text == "" {
		return ""
	}
	return strings.Replace(pattern, "{}", text, 1)
}

// absent words what was looked for and is not there.
func (c Character) absent(p phrase, a Answer, r Register) string {
	i := slices.IndexFunc(c.States, func(s State) bool { return s.StandsFor == Absent })
	if len(a.States) == 1 {
		i = slices.IndexFunc(c.States, func(s State) bool { return s.Name == a.States[0] })
	}
	switch {
	case r == Technical && i >= 0 && strings.HasSuffix(c.States[i].Technical, " absent"):
		return c.States[i].Technical
	case r == Technical && i >= 0 && c.States[i].Technical != "":
		return strings.Replace(p.technical, "{}", technical(c.States[i]), 1)
	case p.absent != "":
		return p.absent
	}
	return InSentence(c.name(r)) + " absent"
}

// number writes a size with its unit, and its uncertainty where it is known.
func number(c Character, a Answer) string {
	text := a.Number.Typeset()
	if a.Uncertainty > 0 && a.Number.Single() {
		text += " ± " + strconv.FormatFloat(a.Uncertainty, 'g', 2, 64)
	}
	if c.Unit != "count" {
		text += " " + c.Unit
	}
	return text
}

// states writes the states of an answer in the vocabulary's order.
func (c Character) states(a Answer, join string, r Register) string {
	var words []string
	for _, s := range c.States {
		if !slices.Contains(a.States, s.Name) {
			continue
		}
		word := InSentence(s.Label)
		if r == Technical {
			word = technical(s)
		}
		if c.Kind == Multiple {
			// The commas of a label would read as the list's.
			word = strings.ReplaceAll(word, ", ", "/")
		}
		words = append(words, word)
	}
	if a.Either {
		return strings.Join(words, " or ")
	}
	if join == "and" && len(words) > 2 {
		return strings.Join(words[:len(words)-1], ", ") + " and " + words[len(words)-1]
	}
	return strings.Join(words, " "+join+" ")
}

// colours are told by the same words in both registers: the Latin ones mean
// nothing without a chart.
var colours = []string{"cap_color", "gill_color", "stem_color", "veil_color", "lichen_color", "lichen_fruit_color", "slime_color", "slime_creeping_color", "slime_spores", "season", "test_koh", "test_iron", "test_ammonia"}

// technical is the term of a state, the first where the vocabulary gives two: an
// "or" between them would read as a doubt.
func technical(s State) string {
	if s.Technical == "" || s.StandsFor == Answered && slices.Contains(colours, s.Character) {
		return InSentence(s.Label)
	}
	return firstTerm(s.Technical)
}

func firstTerm(terms string) string {
	first, _, _ := strings.Cut(terms, "; ")
	return first
}
