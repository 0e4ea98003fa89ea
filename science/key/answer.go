package key

import (
	"fmt"
	"math"

	"trug/science/describe"
	"trug/science/matrix"
)

// Answer is what was seen of one character. A blank ("not looked for", "could
// not be seen") is no answer and is not given to a key: it is no evidence.
type Answer struct {
	Character int
	// States are those seen on the find, all of them.
	States []int
	// Either says that the find shows one of States and that the observer
	// cannot tell which.
	Either bool
	// Absent says that it was looked for and that the find has no such part.
	Absent bool
	// Number is a size or count; with several fruitbodies its range.
	Number *describe.Span
	// Uncertainty is the standard uncertainty of Number, in its unit.
	Uncertainty float64
}

// check says what is wrong with an answer, or nil.
func (k *Key) check(a Answer) error {
	if a.Character < 0 || a.Character >= len(k.characters) {
		return fmt.Errorf("there is no character number %d", a.Character+1)
	}
	ch := k.characters[a.Character]
	for _, s := range a.States {
		if s < 0 || s >= len(ch.States) {
			return fmt.Errorf("%s has no state number %d", ch.ID, s+1)
		}
	}
	if a.Number != nil {
		if err := a.Number.Valid(); err != nil {
			return fmt.Errorf("%s: %w", ch.ID, err)
		}
		if a.Number.Low < 0 {
			return fmt.Errorf("%s can't be less than nothing", ch.ID)
		}
	}
	if !(a.Uncertainty >= 0) || math.IsInf(a.Uncertainty, 0) {
		return fmt.Errorf("%s: an uncertainty of %g can't be", ch.ID, a.Uncertainty)
	}
	ok := a.Absent
	switch {
	case ch.Kind.HasStates():
		ok = ok != (len(a.States) > 0) && a.Number == nil
	case ch.Kind.IsNumber():
		ok = ok != (a.Number != nil) && len(a.States) == 0
	default:
		return fmt.Errorf("%s is told in words: a key can't weigh it", ch.ID)
	}
	if !ok {
		return fmt.Errorf("%s needs one answer: its states, a number, or that it is not there", ch.ID)
	}
	return nil
}

// evidence is an answer's likelihood, by class of its column.
type evidence struct {
	answer Answer
	// like is the likelihood in each class, usual its mean over the taxa of
	// which the character is known.
	like  []float64
	usual float64
}

// weigh returns the likelihood of an answer in each class.
func (k *Key) weigh(a Answer) evidence {
	c := &k.columns[a.Character]
	e := evidence{answer: a, like: make([]float64, len(c.classes))}
	switch {
	case a.Absent && c.absent < 0:
		// No taxon is known to lack the part: it tells nothing.
		for i := range e.like {
			e.like[i] = 1
		}
	case a.Absent:
		for i := range e.like {
			e.like[i] = c.p[i*c.answers+c.absent]
		}
	case a.Number != nil:
		c.weighNumber(e.like, *a.Number, a.Uncertainty)
	default:
		c.weighStates(e.like, a)
	}
	if sharp := k.settings.Sharpness; sharp != 0 && sharp != 1 {
		for i := range e.like {
			e.like[i] = math.Pow(e.like[i], sharp)
		}
	}
	total, taxa := 0.0, 0
	for i, l := range e.like {
		if st := c.classes[i].entry.Status; st == matrix.Given || st == matrix.Inapplicable {
			total += l * float64(c.classes[i].taxa)
			taxa += c.classes[i].taxa
		}
	}
	if e.usual = total / float64(max(taxa, 1)); taxa == 0 {
		e.usual = e.like[0]
	}
	return e
}

// weighStates: the states that one look shows are one piece of evidence, so
// several seen together count with their geometric mean (our choice; as
// independent looks they would weigh too much). Either of several counts with
// their sum.
func (c *column) weighStates(like []float64, a Answer) {
	for i := range like {
		p, sum, logs := c.p[i*c.answers:(i+1)*c.answers], 0.0, 0.0
		for _, s := range a.States {
			sum += p[s]
			logs += math.Log(p[s])
		}
		like[i] = sum
		if !a.Either && len(a.States) > 1 {
			like[i] = math.Exp(logs / float64(len(a.States)))
		}
	}
}

// weighNumber: a range over several fruitbodies is read as two standard
// deviations to either side and widens the uncertainty.
func (c *column) weighNumber(like []float64, n describe.Span, u float64) {
	u = math.Hypot(u, (n.High-n.Low)/4)
	usual, taxa := 0.0, 0
	lowest, highest := math.Inf(1), math.Inf(-1)
	for i := range c.classes {
		k := &c.classes[i]
		if k.entry.Status != matrix.Given {
			continue
		}
		v := c.size.curve(k.low, k.high, n.Middle, u)
		like[i] = v.density(n.Middle)
		usual += like[i] * float64(k.taxa)
		taxa += k.taxa
		lowest, highest = min(lowest, v.low), max(highest, v.high)
	}
	if taxa == 0 {
		for i := range like {
			like[i] = 1
		}
		return
	}
	// A thousandth of the errors may be any size at all, so that a number
	// beyond every taxon's reach leaves all as they are.
	usual = 0.999*usual/float64(taxa) + 0.001/(highest-lowest+1)
	for i := range like {
		switch c.classes[i].entry.Status {
		case matrix.Given:
			like[i] = (1-c.wrong)*like[i] + c.wrong*usual
		case matrix.Inapplicable:
			like[i] = c.wrong * usual
		default:
			like[i] = usual
		}
	}
}
