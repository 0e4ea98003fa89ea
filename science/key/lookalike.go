package key

import "slices"

// Trap is a dangerous taxon that is taken for another. Names are used, so that
// a trap holds even where the key lacks one of the two.
type Trap struct {
	// Dangerous and TakenFor are scientific names.
	Dangerous, TakenFor string
	// Why says what is at stake, without a word about eating: "contains
	// amatoxins".
	Why string
	// Settles lists the identifiers of the characters that tell the two apart.
	Settles []string
	// Says tells in words what to look at.
	Says string
}

// settledOdds is how much less likely than its double the dangerous taxon
// must be before evidence settles a trap (our choice, on the careful side).
const settledOdds = 1.0 / 200

// Warning is a trap that the evidence has not settled.
type Warning struct {
	Trap Trap
	// Dangerous and TakenFor are the taxa's numbers, -1 for one that the key
	// lacks.
	Dangerous, TakenFor int
	// Open lists the settling characters that have no answer yet, by
	// identifier.
	Open []string
}

// Warnings returns the traps that stand open: either of the two remains among
// the likely taxa, and the evidence does not settle which. It settles a trap
// when a settling character has been answered and the dangerous taxon is two
// hundred times less likely than the one it is taken for. A trap whose
// dangerous taxon is not in the key can't be settled by it.
func (f *Find) Warnings(traps []Trap) []Warning {
	var out []Warning
	remaining := f.Remaining()
	likely := func(t int) bool { return t >= 0 && slices.Contains(remaining, t) }
	for _, t := range traps {
		w := Warning{Trap: t, Dangerous: f.key.Taxon(t.Dangerous), TakenFor: f.key.Taxon(t.TakenFor)}
		if !likely(w.Dangerous) && !likely(w.TakenFor) {
			continue
		}
		answered := false
		for _, id := range t.Settles {
			switch c := f.key.Character(id); {
			case c >= 0 && f.Answered(c):
				answered = true
			default:
				w.Open = append(w.Open, id)
			}
		}
		settled := answered && w.Dangerous >= 0 && w.TakenFor >= 0 && f.in[w.Dangerous] < settledOdds*f.in[w.TakenFor]
		if !settled {
			out = append(out, w)
		}
	}
	return out
}
