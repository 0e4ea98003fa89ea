package app

import (
	"fmt"
	"slices"
	"strings"

	"trug"
	"trug/science/describe"
	"trug/science/key"
	"trug/science/matrix"
	"trug/science/place"
)

// near is how far from a find what has been recorded counts for it (our
// choice: a day's walk).
const near place.Metres = 10_000

// expected is what is known of each taxon before a find is looked at.
type expected struct {
	taxa []key.Expectation
	// season and place are those of the find, in words; empty where not known.
	season, place string
	near          bool // what has been recorded was counted around the find
}

// expect gathers what is expected where and when a find was made. Settled
// finds alone count, without the find itself.
func (k *seasonKey) expect(l *ledger, f *find) expected {
	e := expected{taxa: make([]key.Expectation, len(k.book.Taxa)), near: f.Place != nil}
	for id, s := range k.settled {
		if id == f.ID {
			continue
		}
		if e.near && (s.find.Place == nil || place.Distance(f.Place.Position, s.find.Place.Position) > near) {
			continue
		}
		e.taxa[s.Taxon].Recorded++
	}
	if state := seasonOf(f.Record); state != "" && k.unlisted("season", []string{state}, func(t int) { e.taxa[t].OutOfSeason = true }) {
		e.season = state
	}
	// Who described the place has answered the character: it is evidence then.
	described := slices.ContainsFunc(f.Description, func(a describe.Answer) bool { return a.Character == "habitat" })
	if states := k.habitats(l.sites[f.SiteID]); len(states) > 0 && !described &&
		k.unlisted("habitat", states, func(t int) { e.taxa[t].Elsewhere = true }) {
		e.place = strings.ToLower(strings.Join(l.sites[f.SiteID].Habitat, ", "))
	}
	return e
}

// unlisted calls fn with each taxon whose entry lists none of the states, and
// reports whether the matrix has the character and states at all.
func (k *seasonKey) unlisted(character string, states []string, fn func(taxon int)) bool {
	c := k.book.Character(character)
	if c < 0 {
		return false
	}
	var at []int
	for _, s := range states {
		if i := k.book.Characters[c].State(s); i >= 0 {
			at = append(at, i)
		}
	}
	if len(at) == 0 {
		return false
	}
	for t, row := range k.book.Rows {
		if row[c].Status == matrix.Given && !slices.ContainsFunc(row[c].States, func(s matrix.Shown) bool { return slices.Contains(at, s.State) }) {
			fn(t)
		}
	}
	return true
}

// habitats returns the states of the vocabulary that a site's habitat names;
// none where it names something else, since nothing follows from that then.
func (k *seasonKey) habitats(site trug.Site) []string {
	c, _ := k.words.Character("habitat")
	var out []string
	for _, word := range site.Habitat {
		i := slices.IndexFunc(c.States, func(s describe.State) bool { return strings.EqualFold(s.Label, word) || s.Name == word })
		if i < 0 {
			return nil
		}
		out = append(out, c.States[i].Name)
	}
	return out
}

// tell says what is expected of a taxon, "" where nothing is known.
func (e expected) tell(taxon int) string {
	x := e.taxa[taxon]
	var parts []string
	switch {
	case x.Recorded > 0 && e.near:
		parts = append(parts, fmt.Sprintf("%s of this season within 10 km", lowerFirst(count(x.Recorded, "settled find"))))
	case x.Recorded > 0:
		parts = append(parts, fmt.Sprintf("%s of this season", lowerFirst(count(x.Recorded, "settled find"))))
	}
	if x.OutOfSeason {
		parts = append(parts, "not known from "+e.season)
	}
	if x.Elsewhere {
		parts = append(parts, "not known from "+e.place)
	}
	return strings.Join(parts, "; ")
}
