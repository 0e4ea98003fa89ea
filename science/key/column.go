package key

import (
	"encoding/binary"
	"math"
	"slices"

	"trug/science/matrix"
)

// maxStates is the number of states that fit a bit mask, one bit kept for
// "does not apply".
const maxStates = 63

// class is what all taxa with the same entry of a character share.
type class struct {
	entry matrix.Entry
	taxa  int
	// allowed marks the answers (states, or bins of a number) that the entry
	// grants or leaves open.
	allowed uint64
	// low and high are the printed range of a number.
	low, high float64
}

// column is a character made ready: the taxa's classes, and per class the
// probability of each answer.
type column struct {
	kind    matrix.Kind
	states  int
	wrong   float64
	effort  float64
	size    Size
	class   []uint32 // by taxon
	classes []class
	// answers is the number of different answers reckoned with: the states
	// (and "does not apply" where some taxon has it), or the bins of a number.
	answers int
	// absent is the answer "does not apply", -1 where no taxon has it.
	absent int
	// p holds the probability of answer a in class c at c*answers+a.
	p []float64
	// entropy holds, for each class, the entropy of its answers in bits.
	entropy []float64
	// edges divide a number into bins, for the choice of questions alone.
	edges []float64
	// informed is false for a character that no answer can be weighed by.
	informed bool
}

// signature writes all of an entry that a key weighs.
func signature(b []byte, e matrix.Entry) []byte {
	b = append(b, byte(e.Status))
	f := func(v float64) { b = binary.LittleEndian.AppendUint64(b, math.Float64bits(v)) }
	for _, s := range e.States {
		b = append(b, byte(s.State))
		if s.Doubtful {
			b = append(b, 1)
		} else {
			b = append(b, 0)
		}
		f(s.Frequency)
	}
	if low, _, high, ok := e.Extent(); ok {
		f(low)
		f(high)
	}
	return b
}

func newClass(e matrix.Entry) class {
	c := class{entry: e}
	c.low, _, c.high, _ = e.Extent()
	return c
}

// finish reckons the tables once all taxa are there.
func (c *column) finish() {
	c.absent = -1
	switch {
	case c.kind.HasStates():
		c.answers = c.states
		for i := range c.classes {
			if c.classes[i].entry.Status == matrix.Inapplicable {
				c.absent, c.answers = c.states, c.states+1
				break
			}
		}
		c.informed = true
		c.finishStates()
	case c.kind.IsNumber():
		c.finishNumbers()
	}
	c.entropy = make([]float64, len(c.classes))
	for i := range c.classes {
		for _, p := range c.p[i*c.answers : (i+1)*c.answers] {
			if p > 0 {
				c.entropy[i] -= p * math.Log2(p)
			}
		}
	}
}

func (c *column) finishStates() {
	c.p = make([]float64, len(c.classes)*c.answers)
	for i := range c.classes {
		c.distribute(i, nil)
	}
	if !slices.ContainsFunc(c.classes, func(k class) bool {
		return slices.ContainsFunc(k.entry.States, func(s matrix.Shown) bool { return s.Doubtful })
	}) {
		return
	}
	// A doubtful state is as likely in a taxon as it is in the others.
	for i, usual := 0, c.usual(); i < len(c.classes); i++ {
		c.distribute(i, usual)
	}
}

// usual returns the share of each answer over all taxa of which something is
// known.
func (c *column) usual() []float64 {
	usual, taxa := make([]float64, c.answers), 0.0
	for i := range c.classes {
		if st := c.classes[i].entry.Status; st == matrix.Blank || st == matrix.Depends {
			continue
		}
		w := float64(c.classes[i].taxa)
		taxa += w
		for a := range usual {
			usual[a] += w * c.p[i*c.answers+a]
		}
	}
	for a := range usual {
		usual[a] /= max(taxa, 1)
	}
	return usual
}

// distribute fills the probabilities of class i. Doubtful states take their
// share from usual; without it they count as not listed.
func (c *column) distribute(i int, usual []float64) {
	k, p := &c.classes[i], c.p[i*c.answers:(i+1)*c.answers]
	all := uint64(1)<<c.answers - 1
	switch k.entry.Status {
	case matrix.Blank, matrix.Depends:
		k.allowed = all
		for a := range p {
			p[a] = 1 / float64(c.answers)
		}
		return
	case matrix.Inapplicable:
		k.allowed = 1 << c.absent
		for a := range p {
			p[a] = c.wrong / float64(c.states)
		}
		p[c.absent] = 1 - c.wrong
		return
	}
	clear(p)
	listed, doubtful := uint64(0), uint64(0)
	total, known, n := 0.0, 0.0, 0
	for _, s := range k.entry.States {
		if s.Doubtful {
			doubtful |= 1 << s.State
			continue
		}
		listed |= 1 << s.State
		if s.Frequency > 0 {
			known += s.Frequency
			n++
		}
	}
	for _, s := range k.entry.States {
		if s.Doubtful {
			continue
		}
		// A state without a frequency is as frequent as those that have one.
		f := s.Frequency
		if f == 0 {
			f = 1
			if n > 0 {
				f = known / float64(n)
			}
		}
		p[s.State] = f
		total += f
	}
	k.allowed = listed | doubtful
	open := 1.0
	if usual != nil {
		for a := range p {
			if doubtful&(1<<a) != 0 {
				p[a] = usual[a]
				open -= p[a]
			}
		}
	} else {
		doubtful = 0
	}
	c.spread(p, listed, doubtful, open, total)
}

// spread shares the probability left open between the listed states, by their
// weights in p that sum to total, and the errors among all other answers.
func (c *column) spread(p []float64, listed, doubtful uint64, open, total float64) {
	wrong, reach := c.wrong, 0.0
	for a := range p {
		if (listed|doubtful)&(1<<a) == 0 {
			reach += c.slip(a, listed)
		}
	}
	switch {
	case reach == 0:
		wrong = 0
	case total == 0:
		wrong = 1
	}
	for a := range p {
		switch {
		case listed&(1<<a) != 0:
			p[a] *= open * (1 - wrong) / total
		case doubtful&(1<<a) == 0:
			p[a] = open * wrong * c.slip(a, listed) / reach
		}
	}
}

// slip is how readily an observer writes down answer a by mistake: alike for
// all, but in an ordered character halved with every step away from a state
// that the taxon has.
func (c *column) slip(a int, listed uint64) float64 {
	if c.kind != matrix.Ordered || listed == 0 || a == c.absent {
		return 1
	}
	steps := c.states
	for s := range c.states {
		if listed&(1<<s) != 0 {
			steps = min(steps, max(s-a, a-s))
		}
	}
	return math.Pow(2, float64(1-steps))
}
