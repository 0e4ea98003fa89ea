package key

import (
	"math"
	"runtime"
	"slices"
	"sync"
)

// Question is a character worth looking at next.
type Question struct {
	Character int
	// Bits is the information expected of the answer about which taxon it is,
	// in bits.
	Bits float64
	// Effort is what looking costs, 1 for a glance.
	Effort float64
	// Remain counts the taxa that remain, Separates how many of them the
	// answer is expected to set aside.
	Remain    int
	Separates float64
}

// Asking says which questions may be asked.
type Asking struct {
	// Most is the number of questions wanted; 0 means all.
	Most int
	// Skip reports a character that is not to be asked: because views or
	// measurements answer it already, or the form rules it out. May be nil.
	Skip func(character int) bool
	// Effort returns what looking costs where it differs from the key's own
	// settings; +Inf where the look isn't allowed. May be nil.
	Effort func(character int, usual float64) float64
}

// Next returns the characters that are not yet answered and may be asked, the
// one with the most expected information per effort first. The information is
// the mutual information of answer and taxon, given that the find is of the
// key: the entropy of the answer less its mean entropy within the taxa
// (Shannon 1948; as a rule for choosing characters common practice).
func (f *Find) Next(ask Asking) []Question {
	var open []Question
	for c := range f.key.columns {
		col := &f.key.columns[c]
		if !col.informed || f.Answered(c) || !f.Applies(c) || ask.Skip != nil && ask.Skip(c) {
			continue
		}
		effort := col.effort
		if ask.Effort != nil {
			effort = ask.Effort(c, effort)
		}
		if !math.IsInf(effort, 1) && effort > 0 {
			open = append(open, Question{Character: c, Effort: effort})
		}
	}
	f.inform(open)
	slices.SortStableFunc(open, func(a, b Question) int {
		switch x, y := a.Bits/a.Effort, b.Bits/b.Effort; {
		case x > y:
			return -1
		case x < y:
			return 1
		}
		return 0
	})
	// What can't tell anything apart is not worth a look.
	if end := slices.IndexFunc(open, func(q Question) bool { return q.Bits < 1e-9 }); end >= 0 {
		open = open[:end]
	}
	if ask.Most > 0 && len(open) > ask.Most {
		open = open[:ask.Most]
	}
	remaining := f.Remaining()
	for i := range open {
		open[i].Remain = len(remaining)
		open[i].Separates = f.separates(open[i].Character, remaining)
	}
	return open
}

// Applies reports whether the answers so far leave room for a character: it
// does not apply where a rule of the matrix says so.
func (f *Find) Applies(character int) bool {
	for _, r := range f.key.rules {
		if !slices.Contains(r.Makes, character) {
			continue
		}
		for _, e := range f.given {
			if e.answer.Character == r.Character && len(e.answer.States) > 0 &&
				!slices.ContainsFunc(e.answer.States, func(s int) bool { return !slices.Contains(r.States, s) }) {
				return false
			}
		}
	}
	return true
}

// few is the number of cells below which one processor is quicker than two.
const few = 1 << 16

// inform reckons the bits of each question.
func (f *Find) inform(open []Question) {
	workers := min(runtime.GOMAXPROCS(0), len(open))
	alive := f.alive()
	if len(open)*len(f.in) < few {
		workers = 1
	}
	if workers <= 1 {
		var s scratch
		for i := range open {
			open[i].Bits = f.bits(open[i].Character, alive, &s)
		}
		return
	}
	var wg sync.WaitGroup
	for w := range workers {
		wg.Go(func() {
			var s scratch
			for i := w; i < len(open); i += workers {
				open[i].Bits = f.bits(open[i].Character, alive, &s)
			}
		})
	}
	wg.Wait()
}

// dead is the total probability of the taxa that may be left out of the
// reckoning of questions: it changes no expected information by more than
// some 1e-5 bits.
const dead = 1e-6

// alive returns the taxa that matter for the next question, nil for all.
func (f *Find) alive() []uint32 {
	least := dead / float64(len(f.in))
	n := 0
	for _, p := range f.in {
		if p > least {
			n++
		}
	}
	if n > len(f.in)/2 {
		return nil
	}
	out := make([]uint32, 0, n)
	for t, p := range f.in {
		if p > least {
			out = append(out, uint32(t))
		}
	}
	return out
}

// scratch is room that one worker uses again and again.
type scratch struct{ weight, answer []float64 }

func cleared(b []float64, n int) []float64 {
	if cap(b) < n {
		return make([]float64, n)
	}
	b = b[:n]
	clear(b)
	return b
}

// bits returns the mutual information of the character's answer and the taxon.
func (f *Find) bits(character int, alive []uint32, s *scratch) float64 {
	c := &f.key.columns[character]
	s.answer = cleared(s.answer, c.answers)
	f.share(c, alive, s)
	within := 0.0
	for i := range c.classes {
		lane := s.weight[i*lanes : i*lanes+lanes]
		w := lane[0] + lane[1] + lane[2] + lane[3]
		if w == 0 {
			continue
		}
		within += w * c.entropy[i]
		for a, p := range c.p[i*c.answers : (i+1)*c.answers] {
			s.answer[a] += w * p
		}
	}
	whole, total := 0.0, 0.0
	for _, p := range s.answer {
		if p > 0 {
			whole -= p * math.Log2(p)
			total += p
		}
	}
	if total > 0 {
		// The weights may lack what alive left out.
		whole = whole/total + math.Log2(total)
		within /= total
	}
	return max(whole-within, 0)
}

// lanes is how many sums are kept for a class side by side, so that an
// addition need not wait for the one before it.
const lanes = 4

// share fills the scratch with the probability that lies in each class.
func (f *Find) share(c *column, alive []uint32, s *scratch) {
	s.weight = cleared(s.weight, lanes*len(c.classes))
	w, in, class := s.weight, f.in, c.class
	if alive != nil {
		for _, t := range alive {
			w[lanes*class[t]] += in[t]
		}
		return
	}
	for len(class) >= lanes && len(in) >= lanes {
		w[lanes*class[0]] += in[0]
		w[lanes*class[1]+1] += in[1]
		w[lanes*class[2]+2] += in[2]
		w[lanes*class[3]+3] += in[3]
		class, in = class[lanes:], in[lanes:]
	}
	for t, k := range class {
		w[lanes*k] += in[t]
	}
}

// separates returns how many of the remaining taxa the answer is expected to
// set aside: those whose entry does not allow it.
func (f *Find) separates(character int, remaining []int) float64 {
	c := &f.key.columns[character]
	chance, against := make([]float64, c.answers), make([]float64, c.answers)
	total := 0.0
	for _, t := range remaining {
		k := c.class[t]
		total += f.in[t]
		for a, p := range c.p[int(k)*c.answers : int(k+1)*c.answers] {
			chance[a] += f.in[t] * p
			if c.classes[k].allowed&(1<<a) == 0 {
				against[a]++
			}
		}
	}
	sum := 0.0
	for a := range chance {
		sum += chance[a] / total * against[a]
	}
	return sum
}
