package app

import (
	"slices"
	"strings"

	"trug/science/describe"
	"trug/science/key"
	"trug/science/key/starter"
)

// doubles joins the traps that are known from the start with the season's own
// list of look-alikes.
func (l *ledger) doubles(k *key.Find, words *describe.Vocabulary) []KeyDouble {
	traps := slices.Clone(starter.Traps())
	for _, x := range l.alikes {
		if !slices.ContainsFunc(traps, func(t key.Trap) bool { return t.Dangerous == x.Name && t.TakenFor == x.TakenFor }) {
			traps = append(traps, key.Trap{Dangerous: x.Name, TakenFor: x.TakenFor, Why: x.Why, Settles: settling(words, x.Settles), Says: x.Settles})
		}
	}
	slices.SortFunc(traps, func(a, b key.Trap) int { return strings.Compare(a.Dangerous+a.TakenFor, b.Dangerous+b.TakenFor) })
	out := []KeyDouble{}
	for _, w := range k.Warnings(traps) {
		d := KeyDouble{w.Trap.Dangerous, w.Trap.TakenFor, w.Trap.Why, w.Trap.Says, []string{}}
		for _, id := range w.Open {
			if c, ok := words.Character(id); ok {
				d.Open = append(d.Open, c.Label)
			}
		}
		out = append(out, d)
	}
	return out
}

// settling reads from a coordinator's words which characters settle a pair:
// parts between semicolons or commas that begin with a character's mark, such
// as "spore print rust; smell: mealy".
func settling(words *describe.Vocabulary, text string) []string {
	var out []string
	for _, part := range strings.FieldsFunc(strings.ToLower(text), func(r rune) bool { return r == ';' || r == ',' }) {
		part = strings.ReplaceAll(strings.TrimSpace(part), "_", " ") + " "
		best := ""
		for _, c := range words.Characters() {
			mark := strings.ReplaceAll(c.Name, "_", " ")
			if rest, ok := strings.CutPrefix(part, mark); ok && strings.ContainsAny(rest[:1], " :") && len(c.Name) > len(best) {
				best = c.Name
			}
		}
		if best != "" && !slices.Contains(out, best) {
			out = append(out, best)
		}
	}
	return out
}
