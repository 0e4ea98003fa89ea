package key

import (
	"errors"
	"fmt"
	"math"
	"slices"
)

// Find is one find at the key: its answers so far, and what they make of each
// taxon. It is for one goroutine.
type Find struct {
	key   *Key
	prior []float64
	// in holds the taxa's probabilities given that the find is of the key;
	// out the same if it is a stranger that resembles the taxon.
	in, out []float64
	// logIn and logOut are the logarithms of the evidence for either.
	logIn, logOut float64
	given         []evidence
}

// Start begins a find. The prior gives each taxon's weight before the first
// answer, from season, place and what has been recorded (see Prior); nil means
// that all are alike.
func (k *Key) Start(prior []float64) (*Find, error) {
	f := &Find{key: k, prior: make([]float64, len(k.taxa)), in: make([]float64, len(k.taxa))}
	if k.settings.NotInKey > 0 {
		f.out = make([]float64, len(k.taxa))
	}
	if prior != nil && len(prior) != len(k.taxa) {
		return nil, fmt.Errorf("a prior of %d weights does not fit %d taxa", len(prior), len(k.taxa))
	}
	total := 0.0
	for i := range f.prior {
		f.prior[i] = 1
		if prior != nil {
			f.prior[i] = prior[i]
		}
		if !(f.prior[i] >= 0) || math.IsInf(f.prior[i], 0) {
			return nil, fmt.Errorf("the prior of %s is %g", k.taxa[i].Name, f.prior[i])
		}
		total += f.prior[i]
	}
	if total == 0 {
		return nil, errors.New("a prior of nothing but zeros leaves no taxon")
	}
	for i := range f.prior {
		f.prior[i] /= total
	}
	f.reset()
	return f, nil
}

func (f *Find) reset() {
	copy(f.in, f.prior)
	copy(f.out, f.prior)
	f.logIn, f.logOut = 0, 0
}

// Key returns the key that the find is at.
func (f *Find) Key() *Key { return f.key }

// Give takes an answer; an earlier one to the same character is replaced.
func (f *Find) Give(a Answer) error {
	if err := f.key.check(a); err != nil {
		return err
	}
	f.Withdraw(a.Character)
	e := f.key.weigh(a)
	f.given = append(f.given, e)
	f.apply(e)
	return nil
}

// Withdraw takes an answer back and reports whether there was one.
func (f *Find) Withdraw(character int) bool {
	i := slices.IndexFunc(f.given, func(e evidence) bool { return e.answer.Character == character })
	if i < 0 {
		return false
	}
	f.given = slices.Delete(f.given, i, i+1)
	f.reset()
	for _, e := range f.given {
		f.apply(e)
	}
	return true
}

// Answers returns the answers in the order in which they were given.
func (f *Find) Answers() []Answer {
	out := make([]Answer, len(f.given))
	for i, e := range f.given {
		out[i] = e.answer
	}
	return out
}

// Answered reports whether the character has an answer.
func (f *Find) Answered(character int) bool {
	return slices.ContainsFunc(f.given, func(e evidence) bool { return e.answer.Character == character })
}

// apply multiplies the likelihoods in. A stranger shares a character with the
// taxon that it resembles by kinship, and else shows what is usual.
func (f *Find) apply(e evidence) {
	classes := f.key.columns[e.answer.Character].class
	f.logIn += math.Log(multiply(f.in, classes, e.like))
	if f.out == nil {
		return
	}
	like, kin := make([]float64, len(e.like)), f.key.settings.Kinship
	for i, l := range e.like {
		like[i] = kin*l + (1-kin)*e.usual
	}
	f.logOut += math.Log(multiply(f.out, classes, like))
}

// multiply takes the likelihoods into the weights, which then sum to 1, and
// returns what they summed to.
func multiply(w []float64, class []uint32, like []float64) float64 {
	sum := 0.0
	class = class[:len(w)]
	for t, c := range class {
		w[t] *= like[c]
		sum += w[t]
	}
	inv := 1 / sum
	for t := range w {
		w[t] *= inv
	}
	return sum
}

// NotInKey returns the probability that the find is of none of the key's taxa.
func (f *Find) NotInKey() float64 {
	p := f.key.settings.NotInKey
	if p == 0 {
		return 0
	}
	return 1 / (1 + (1-p)/p*math.Exp(f.logIn-f.logOut))
}

// Probability returns that of a taxon. All taxa and NotInKey sum to 1.
func (f *Find) Probability(taxon int) float64 { return f.in[taxon] * (1 - f.NotInKey()) }

// remains is the share of the likeliest taxon's probability down to which a
// taxon counts as remaining (our choice).
const remains = 0.01

// Remaining returns the numbers of the taxa that the answers have not set
// aside: those at least a hundredth as probable as the likeliest.
func (f *Find) Remaining() []int {
	least := slices.Max(f.in) * remains
	var out []int
	for t, p := range f.in {
		if p >= least {
			out = append(out, t)
		}
	}
	return out
}

// Best returns the n likeliest taxa, the likeliest first; of equals the first
// in the key.
func (f *Find) Best(n int) []int {
	best := make([]int, 0, n+1)
	for t, p := range f.in {
		if len(best) == n && (n == 0 || p <= f.in[best[n-1]]) {
			continue
		}
		at := len(best)
		for at > 0 && f.in[best[at-1]] < p {
			at--
		}
		best = slices.Insert(best, at, t)
		best = best[:min(len(best), n)]
	}
	return best
}

// LogOddsNotInKey returns the natural logarithm of the odds that the find is
// of none of the key's taxa, which stays exact where the probability rounds to
// 0 or 1; -Inf where the hypothesis is left out.
func (f *Find) LogOddsNotInKey() float64 {
	p := f.key.settings.NotInKey
	return math.Log(p) - math.Log1p(-p) + f.logOut - f.logIn
}
