package main

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"

	"trug/science/key"
	"trug/science/matrix"
)

// score gathers what is measured over specimens.
type score struct {
	n          int
	top1, top5 float64
	stated     []float64 // the probability of the first name
	right      []bool
}

// place counts the truth's place among the probabilities; equals share it.
func (s *score) place(p []float64, truth int) {
	better, equal := 0, 0
	for t := range p {
		switch {
		case p[t] > p[truth]*(1+1e-9):
			better++
		case p[t] >= p[truth]*(1-1e-9):
			equal++
		}
	}
	s.n++
	s.top1 += min(1, max(0, float64(1-better)/float64(equal)))
	s.top5 += min(1, max(0, float64(5-better)/float64(equal)))
}

func (s *score) add(f *key.Find, truth int) {
	best := f.Best(5)
	p := make([]float64, len(f.Key().Taxa()))
	for t := range p {
		p[t] = f.Probability(t)
	}
	s.place(p, truth)
	s.stated = append(s.stated, f.Probability(best[0]))
	s.right = append(s.right, best[0] == truth)
}

// calibration returns the expected calibration error over ten bins of equal
// width (Naeini, Cooper & Hauskrecht 2015).
func (s *score) calibration() float64 {
	var n, p, r [10]float64
	for i, v := range s.stated {
		b := min(int(v*10), 9)
		n[b]++
		p[b] += v
		if s.right[i] {
			r[b]++
		}
	}
	e := 0.0
	for b := range n {
		e += math.Abs(p[b]-r[b]) / float64(s.n)
	}
	return e
}

// measure prints the table of what is reached.
func measure(m *matrix.Matrix, sets []set) error {
	fmt.Println("rates: estimated from the specimens without their names, as trug key --specimens does; then fixed at 5 % wrong values")
	for _, set := range sets {
		for _, six := range []bool{false, true} {
			if six && set.specimens[0].six == nil {
				continue
			}
			if err := measureSet(m, set, six); err != nil {
				return err
			}
		}
	}
	k, err := key.New(m, key.Uniform(0.05))
	if err != nil {
		return err
	}
	for _, set := range sets[:min(2, len(sets))] {
		if err := questions(k, set); err != nil {
			return err
		}
	}
	for _, set := range sets[:min(3, len(sets))] {
		if err := strangers(m, set, key.Uniform(0.05)); err != nil {
			return err
		}
	}
	return nil
}

func measureSet(m *matrix.Matrix, set set, six bool) error {
	which := "all characters"
	if six {
		which = "six characters"
	}
	fmt.Printf("%s, %s\n", set.name, which)
	line := func(name string, s score) {
		fmt.Printf("  %-46s top-1 %.4f  top-5 %.4f  calibration error %.4f\n", name, s.top1/float64(s.n), s.top5/float64(s.n), s.calibration())
	}
	estimated, err := estimate(m, set, six)
	if err != nil {
		return err
	}
	for _, v := range []struct {
		name string
		s    key.Settings
	}{{fmt.Sprintf("key, estimated %.3f wrong, %.3f not in key", estimated.Wrong, estimated.NotInKey), estimated}, {"key, fixed at 5 %", key.Uniform(0.05)}} {
		var s score
		if err := scored(m, set, six, v.s, &s); err != nil {
			return err
		}
		line(v.name, s)
	}
	var ref, opt score
	reference(m, set, six, &ref, false)
	reference(m, set, six, &opt, true)
	line("reference naive Bayes at 5 %", ref)
	line("Bayes optimum", opt)
	return nil
}

// scored scores the key with the settings on a set.
func scored(m *matrix.Matrix, set set, six bool, settings key.Settings, s *score) error {
	k, err := key.New(m, settings)
	if err != nil {
		return err
	}
	for _, sp := range set.specimens {
		f, err := ask(k, sp, six)
		if err != nil {
			return err
		}
		s.add(f, sp.truth)
	}
	return nil
}

// estimate returns the settings with the rates estimated from the set.
func estimate(m *matrix.Matrix, set set, six bool) (key.Settings, error) {
	var finds [][]key.Answer
	for _, sp := range set.specimens {
		finds = append(finds, sp.used(six))
	}
	rates, err := key.Estimate(finds, func(wrong float64) (*key.Key, error) {
		s := key.Uniform(wrong)
		s.Sharpness = 1
		return key.New(m, s)
	})
	s := key.Uniform(rates.Wrong)
	s.NotInKey = rates.NotInKey
	return s, err
}

func share(a, n int) float64 { return float64(a) / float64(n) }

// used returns the answers of a specimen, or its six.
func (sp specimen) used(six bool) []key.Answer {
	var out []key.Answer
	for _, a := range sp.answers {
		if !six || sp.six[a.Character] {
			out = append(out, a)
		}
	}
	return out
}

func ask(k *key.Key, sp specimen, six bool) (*key.Find, error) {
	f, err := k.Start(nil)
	if err != nil {
		return nil, err
	}
	for _, a := range sp.used(six) {
		if err := f.Give(a); err != nil {
			return nil, err
		}
	}
	return f, nil
}

// questions measures how many characters are offered until a taxon has the
// probability .95, with the key's choice and in random order.
func questions(k *key.Key, set set) error {
	r := rand.New(rand.NewPCG(1, 2))
	n := min(500, len(set.specimens))
	for _, random := range []bool{false, true} {
		offered, right, never := 0, 0, 0
		for _, sp := range set.specimens[:n] {
			f, err := k.Start(nil)
			if err != nil {
				return err
			}
			order := r.Perm(len(k.Characters()))
			done := map[int]bool{}
			for len(done) < len(order) && f.Probability(f.Best(1)[0]) < 0.95 {
				c := order[len(done)]
				if !random {
					q := f.Next(key.Asking{Most: 1, Skip: func(c int) bool { return done[c] }})
					if len(q) == 0 {
						break
					}
					c = q[0].Character
				}
				done[c] = true
				offered++
				if i := slices.IndexFunc(sp.answers, func(a key.Answer) bool { return a.Character == c }); i >= 0 {
					if err := f.Give(sp.answers[i]); err != nil {
						return err
					}
				}
			}
			if f.Probability(f.Best(1)[0]) < 0.95 {
				never++
			}
			if f.Best(1)[0] == sp.truth {
				right++
			}
		}
		how := "the key's choice"
		if random {
			how = "random order"
		}
		fmt.Printf("questions until p >= .95, %s, %s: %.2f, right %.3f, never sure %d of %d\n", set.name, how, share(offered, n), share(right, n), never, n)
	}
	return nil
}

// strangers takes a fifth of the species out of the matrix and measures how
// well "not in this key" tells their specimens from the rest.
func strangers(m *matrix.Matrix, set set, s key.Settings) error {
	var auc, oracle, lowest float64
	lowest = 1
	const folds = 5
	for fold := range folds {
		out := fifth(len(m.Taxa), fold)
		a, o, err := strangersAUC(m, set, s, out, true)
		if err != nil {
			return err
		}
		auc += a / folds
		oracle += o / folds
		lowest = min(lowest, a)
	}
	fmt.Printf("a fifth taken out, %s, all characters: AUROC of \"not in this key\" %.4f (five folds, lowest %.4f); optimum that knows the species taken out %.4f\n", set.name, auc, lowest, oracle)
	return nil
}

func fifth(n, fold int) map[int]bool {
	out := map[int]bool{}
	for _, t := range rand.New(rand.NewPCG(11, 12)).Perm(n)[fold*n/5 : (fold+1)*n/5] {
		out[t] = true
	}
	return out
}

func without(m *matrix.Matrix, out map[int]bool) *matrix.Matrix {
	less := &matrix.Matrix{Title: m.Title, Characters: m.Characters, Rules: m.Rules}
	for t := range m.Taxa {
		if !out[t] {
			less.Taxa = append(less.Taxa, m.Taxa[t])
			less.Rows = append(less.Rows, m.Rows[t])
		}
	}
	return less
}

func strangersAUC(m *matrix.Matrix, set set, s key.Settings, out map[int]bool, withOracle bool) (auc, oracle float64, err error) {
	k, err := key.New(without(m, out), s)
	if err != nil {
		return 0, 0, err
	}
	var whole *naive
	if withOracle {
		whole = newNaive(m, true, set.wrong)
	}
	var p, q []float64
	var strange []bool
	for _, sp := range set.specimens[:min(2000, len(set.specimens))] {
		f, err := ask(k, sp, false)
		if err != nil {
			return 0, 0, err
		}
		p = append(p, f.LogOddsNotInKey())
		strange = append(strange, out[sp.truth])
		if !withOracle {
			continue
		}
		in, not := 0.0, 0.0
		for t, v := range whole.posterior(sp, false) {
			if out[t] {
				not += v
			} else {
				in += v
			}
		}
		q = append(q, math.Log(not+1e-300)-math.Log(in+1e-300))
	}
	if withOracle {
		oracle = auroc(q, strange)
	}
	return auroc(p, strange), oracle, nil
}

// auroc returns the area under the receiver operating characteristic: the
// chance that a random stranger scores above a random known one, ties half
// (Hanley & McNeil 1982).
func auroc(score []float64, positive []bool) float64 {
	order := make([]int, len(score))
	for i := range order {
		order[i] = i
	}
	slices.SortFunc(order, func(a, b int) int {
		switch {
		case score[a] < score[b]:
			return -1
		case score[a] > score[b]:
			return 1
		}
		return 0
	})
	ranks, n := 0.0, 0
	for i := 0; i < len(order); {
		j := i
		for j < len(order) && score[order[j]] == score[order[i]] {
			j++
		}
		for _, k := range order[i:j] {
			if positive[k] {
				ranks += float64(i+j+1) / 2
				n++
			}
		}
		i = j
	}
	return (ranks - float64(n)*float64(n+1)/2) / (float64(n) * float64(len(score)-n))
}
