package describe

import "slices"

// Look says what it takes to see a character.
type Look string

// The looks, from a glance to a night's wait.
const (
	Date    Look = "date"    // nobody looks: the date tells
	See     Look = "see"     // a glance at what stands there
	Measure Look = "measure" // laid beside the card
	Touch   Look = "touch"
	Smell   Look = "smell" // a rubbed fragment at arm's length
	Turn    Look = "turn"  // looked at from below
	Lens    Look = "lens"
	Cut     Look = "cut" // cut, broken, peeled or rubbed, and some minutes' wait
	Dig     Look = "dig" // the base laid bare
	Test    Look = "test"
	Print   Look = "print" // a spore print: hours
)

// efforts are what the looks cost, a glance being 1 (our judgement, no
// source): the order is what matters, and that waiting for a print costs more
// than all that can be done on the spot.
var efforts = map[Look]float64{Date: 0.1, See: 1, Measure: 1.5, Touch: 1.5, Smell: 2, Turn: 1.5, Lens: 3, Cut: 4, Dig: 5, Test: 10, Print: 20}

// Effort returns what the look costs, a glance being 1; 0 for a look that does
// not exist.
func (l Look) Effort() float64 { return efforts[l] }

// Valid reports whether the look is one of the list.
func (l Look) Valid() bool { return efforts[l] > 0 }

// Needs returns what must be allowed where the find stands before the look may
// be asked for, in the words of a site's permission: "pick", "cut", "dig",
// "print". Looking from below needs nothing: a mirror or a phone held low will do.
func (l Look) Needs() []string {
	switch l {
	case Smell, Cut, Test:
		return []string{"cut"}
	case Dig:
		return []string{"dig"}
	case Print:
		return []string{"print"}
	}
	return nil
}

// ShownBy reports whether one of the kinds of view shows the character, so
// that a recorder who has sent it need not be asked.
func (c Character) ShownBy(views []string) bool {
	return slices.ContainsFunc(c.Views, func(v string) bool { return slices.Contains(views, v) })
}
