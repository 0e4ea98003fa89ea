package key_test

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"trug/science/describe"
	"trug/science/key"
	"trug/science/matrix"
)

// states makes an entry of the given states.
func states(s ...int) matrix.Entry {
	e := matrix.Entry{Status: matrix.Given}
	for _, i := range s {
		e.States = append(e.States, matrix.Shown{State: i})
	}
	return e
}

func size(low, high float64) matrix.Entry {
	return matrix.Entry{Status: matrix.Given, Numbers: []describe.Span{describe.Between(low, high)}}
}

// small is a matrix of four invented taxa.
func small() *matrix.Matrix {
	abc := []matrix.State{{ID: "a"}, {ID: "b"}, {ID: "c"}}
	return &matrix.Matrix{
		Characters: []matrix.Character{
			{ID: "under", States: []matrix.State{{ID: "gills"}, {ID: "pores"}}},
			{ID: "gills", States: abc},
			{ID: "shade", Kind: matrix.Ordered, States: abc},
			{ID: "width", Kind: matrix.Numeric, Unit: "mm"},
			{ID: "words", Kind: matrix.Text},
		},
		Rules: []matrix.Rule{{Character: 0, States: []int{1}, Makes: []int{1}}},
		Taxa:  []matrix.Taxon{{ID: "1", Name: "Prima una"}, {ID: "2", Name: "Prima dua"}, {ID: "3", Name: "Secunda una"}, {ID: "4", Name: "Tertia una"}},
		Rows: [][]matrix.Entry{
			{states(0), states(0), states(0), size(20, 40), {}},
			{states(0), states(1, 2), states(1), size(20, 40), {}},
			{states(1), {Status: matrix.Inapplicable}, states(2), size(60, 90), {}},
			{states(0, 1), {}, {Status: matrix.Depends}, {}, {}},
		},
	}
}

func start(t *testing.T, m *matrix.Matrix, s key.Settings, answers ...key.Answer) *key.Find {
	t.Helper()
	k, err := key.New(m, s)
	if err != nil {
		t.Fatal(err)
	}
	f, err := k.Start(nil)
	if err != nil {
		t.Fatal(err)
	}
	for _, a := range answers {
		if err := f.Give(a); err != nil {
			t.Fatal(err)
		}
	}
	return f
}

// By hand, with e = .1, for the answer "b" to gills. The third taxon has no
// gills, so "does not apply" is one more answer: in the first taxon three
// wrong answers share the error; the second grants two states; in the third
// three states share it; the fourth is a blank over four answers.
func TestPosteriorByHand(t *testing.T) {
	s := key.Uniform(0.1)
	s.NotInKey, s.Sharpness = 0, 1
	f := start(t, small(), s, key.Answer{Character: 1, States: []int{1}})
	like := []float64{0.1 / 3, 0.9 / 2, 0.1 / 3, 1.0 / 4}
	total := 0.0
	for _, l := range like {
		total += l
	}
	for i, l := range like {
		if got := f.Probability(i); math.Abs(got-l/total) > 1e-12 {
			t.Errorf("taxon %d: %.6f, by hand %.6f", i+1, got, l/total)
		}
	}
}

func randomAnswers(m *matrix.Matrix, r *rand.Rand) []key.Answer {
	var out []key.Answer
	for _, c := range r.Perm(len(m.Characters)) {
		ch := m.Characters[c]
		switch {
		case ch.Kind.IsNumber():
			n := describe.Value(float64(1 + r.IntN(100)))
			out = append(out, key.Answer{Character: c, Number: &n, Uncertainty: float64(r.IntN(3))})
		case ch.Kind.HasStates():
			out = append(out, key.Answer{Character: c, States: []int{r.IntN(len(ch.States))}, Absent: false})
		}
	}
	return out
}

// Whatever is answered, the probabilities and "not in this key" sum to 1, the
// order of the answers does not matter, and taking all back leaves the start.
func TestAnswersInAnyOrder(t *testing.T) {
	m, r := small(), rand.New(rand.NewPCG(1, 1))
	for range 200 {
		answers := randomAnswers(m, r)
		f := start(t, m, key.Uniform(0.05), answers...)
		slices.Reverse(answers)
		g := start(t, m, key.Uniform(0.05), answers...)
		sum := f.NotInKey()
		for i := range m.Taxa {
			sum += f.Probability(i)
			if math.Abs(f.Probability(i)-g.Probability(i)) > 1e-12 {
				t.Fatalf("taxon %d: %g in one order, %g in the other", i, f.Probability(i), g.Probability(i))
			}
		}
		if math.Abs(sum-1) > 1e-12 {
			t.Fatalf("probabilities sum to %g", sum)
		}
		for _, a := range answers {
			f.Withdraw(a.Character)
		}
		if f.Probability(0) != f.Probability(1) || math.Abs(f.NotInKey()-0.02) > 1e-12 || len(f.Answers()) != 0 {
			t.Fatalf("after taking all back: %g, %g, not in key %g", f.Probability(0), f.Probability(1), f.NotInKey())
		}
	}
}

// "Never exclude a species on size alone: halve and double the printed range
// before the likelihood falls below one tenth" (trade, measurement.md).
func TestSizesAreTolerant(t *testing.T) {
	m := &matrix.Matrix{
		Characters: []matrix.Character{{ID: "width", Kind: matrix.Numeric}},
		Taxa:       []matrix.Taxon{{ID: "1", Name: "Una"}, {ID: "2", Name: "Dua"}},
		Rows:       [][]matrix.Entry{{size(20, 40)}, {size(1000, 2000)}},
	}
	s := key.Settings{Wrong: 1e-6, Size: key.Size{Shoulder: key.TolerantShoulder}}
	for _, v := range []float64{10, 80} {
		f := start(t, m, s)
		n := describe.Value(v)
		if err := f.Give(key.Answer{Character: 0, Number: &n}); err != nil {
			t.Fatal(err)
		}
		if f.Probability(0) < 0.99 {
			t.Errorf("at %g mm, half or double the range, the taxon has the probability %g against one fifty times as large", v, f.Probability(0))
		}
	}
	if got := math.Exp(-math.Pow(math.Ln2/key.TolerantShoulder, 2) / 2); math.Abs(got-0.1) > 1e-12 {
		t.Errorf("the likelihood at half the range is %g of that within, not one tenth", got)
	}
}

// Sharpness raises each likelihood to a power: by hand for two answers, whose
// order it does not change.
func TestSharpnessByHand(t *testing.T) {
	s := key.Uniform(0.1)
	s.NotInKey, s.Sharpness = 0, 1
	answers := []key.Answer{{Character: 0, States: []int{0}}, {Character: 1, States: []int{1}}}
	plain := start(t, small(), s, answers...)
	s.Sharpness = 2
	sharp := start(t, small(), s, answers...)
	total := 0.0
	for i := range 4 {
		total += plain.Probability(i) * plain.Probability(i)
	}
	for i := range 4 {
		if want := plain.Probability(i) * plain.Probability(i) / total; math.Abs(sharp.Probability(i)-want) > 1e-12 {
			t.Errorf("taxon %d: %.6f, the square normalised %.6f", i+1, sharp.Probability(i), want)
		}
	}
	s.Sharpness = 11
	if _, err := key.New(small(), s); err == nil {
		t.Error("a sharpness of 11 was taken")
	}
}

// The expected information against its definition: the mean over the answers
// of the fall of entropy, reckoned by giving each answer in turn. Taxa that
// are alike in a character yield nothing.
func TestQuestionsByDefinition(t *testing.T) {
	m := small()
	s := key.Uniform(0.1)
	s.NotInKey, s.Sharpness = 0, 1
	f := start(t, m, s, key.Answer{Character: 2, States: []int{1}})
	entropy := func(f *key.Find) (h float64) {
		for i := range m.Taxa {
			if p := f.Probability(i); p > 0 {
				h -= p * math.Log2(p)
			}
		}
		return h
	}
	var got float64
	for _, q := range f.Next(key.Asking{}) {
		if q.Character == 0 {
			got = q.Bits
		}
	}
	// The chance of each answer, from e = .1 and two states.
	chance := [2]float64{}
	like := [][2]float64{{.9, .1}, {.9, .1}, {.1, .9}, {.5, .5}}
	for i, l := range like {
		chance[0] += f.Probability(i) * l[0]
		chance[1] += f.Probability(i) * l[1]
	}
	want := entropy(f)
	for a := range 2 {
		g := start(t, m, s, key.Answer{Character: 2, States: []int{1}}, key.Answer{Character: 0, States: []int{a}})
		want -= chance[a] * entropy(g)
	}
	if math.Abs(got-want) > 1e-9 {
		t.Errorf("expected information %.6f bits, by definition %.6f", got, want)
	}
}

func TestNextObeysRulesEffortAndSkip(t *testing.T) {
	f := start(t, small(), key.Uniform(0.05))
	asked := func(a key.Asking) (out []int) {
		for _, q := range f.Next(a) {
			out = append(out, q.Character)
		}
		return out
	}
	if got := asked(key.Asking{}); slices.Contains(got, 4) || len(got) != 4 {
		t.Errorf("asked %v: text is no evidence, the other four are", got)
	}
	barred := key.Asking{Effort: func(c int, usual float64) float64 {
		if c == 1 {
			return math.Inf(1)
		}
		return usual
	}}
	if slices.Contains(asked(barred), 1) {
		t.Error("a look that is not allowed was asked for")
	}
	dear := key.Asking{Effort: func(c int, usual float64) float64 {
		if c == 3 {
			return 1
		}
		return 1000
	}}
	if got := asked(dear); got[0] != 3 {
		t.Errorf("asked %v: the cheap look comes first", got)
	}
	if slices.Contains(asked(key.Asking{Skip: func(c int) bool { return c == 2 }}), 2) {
		t.Error("what the views answer was asked")
	}
	if err := f.Give(key.Answer{Character: 0, States: []int{1}}); err != nil {
		t.Fatal(err)
	}
	if slices.Contains(asked(key.Asking{}), 1) || f.Applies(1) {
		t.Error("gills were asked of a find with pores")
	}
}

func TestReasonsAndComparison(t *testing.T) {
	f := start(t, small(), key.Uniform(0.05), key.Answer{Character: 1, States: []int{0}}, key.Answer{Character: 2, States: []int{1}})
	one := f.Candidate(0)
	if len(one.For) != 1 || one.For[0].Character != 1 || len(one.Against) != 1 || one.Against[0].Character != 2 {
		t.Errorf("for %v, against %v", one.For, one.Against)
	}
	if four := f.Candidate(3); len(four.Silent) != 2 {
		t.Errorf("of the fourth nothing is known, got silent %v", four.Silent)
	}
	d := f.Compare(0, 1)
	if len(d) != 2 || d[0].Bits < d[1].Bits || d[0].Bits > 1 || !d[0].Answered {
		t.Errorf("differences %+v", d)
	}
}

// A dangerous double stays in sight until a settling character is answered
// and the evidence is strong.
func TestTrapsStayOpen(t *testing.T) {
	trap := []key.Trap{{Dangerous: "Prima dua", TakenFor: "Prima una", Settles: []string{"gills"}}}
	f := start(t, small(), key.Uniform(0.001))
	if w := f.Warnings(trap); len(w) != 1 || !slices.Equal(w[0].Open, []string{"gills"}) {
		t.Fatalf("before any answer: %+v", w)
	}
	// Strong evidence by another character does not settle it.
	f = start(t, small(), key.Uniform(0.001), key.Answer{Character: 2, States: []int{0}})
	if w := f.Warnings(trap); len(w) != 1 {
		t.Error("the trap was settled without a look at what settles it")
	}
	if err := f.Give(key.Answer{Character: 1, States: []int{0}}); err != nil {
		t.Fatal(err)
	}
	if w := f.Warnings(trap); len(w) != 0 {
		t.Errorf("settled by gills and shade, and still open: %+v", w)
	}
	absent := []key.Trap{{Dangerous: "Nowhere here", TakenFor: "Prima una"}}
	if w := f.Warnings(absent); len(w) != 1 || w[0].Dangerous != -1 {
		t.Errorf("a double that the key lacks can't be settled by it: %+v", w)
	}
}

func TestPriorNeverRulesOut(t *testing.T) {
	w := key.Prior([]key.Expectation{{Recorded: 9}, {}, {OutOfSeason: true, Elsewhere: true}, {Recorded: -1}})
	if w[0] != 10 || w[1] != 1 || math.Abs(w[2]-0.04) > 1e-12 || w[3] != 1 {
		t.Errorf("weights %v", w)
	}
}

func TestBadAnswersAreRefused(t *testing.T) {
	f := start(t, small(), key.Uniform(0.05))
	n, neg := describe.Value(3), describe.Value(-3)
	for name, a := range map[string]key.Answer{
		"no such character":    {Character: 9, States: []int{0}},
		"no such state":        {Character: 0, States: []int{2}},
		"nothing":              {Character: 0},
		"number for states":    {Character: 0, Number: &n},
		"states for a number":  {Character: 3, States: []int{0}},
		"negative size":        {Character: 3, Number: &neg},
		"words":                {Character: 4, States: []int{0}},
		"there and absent":     {Character: 0, States: []int{0}, Absent: true},
		"boundless inaccuracy": {Character: 3, Number: &n, Uncertainty: math.Inf(1)},
	} {
		if f.Give(a) == nil {
			t.Errorf("%s was taken", name)
		}
	}
	if len(f.Answers()) != 0 {
		t.Error("a refused answer was kept")
	}
}
