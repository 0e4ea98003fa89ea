package key_test

import (
	"fmt"
	"math/rand/v2"
	"testing"

	"trug/science/describe"
	"trug/science/key"
	"trug/science/key/starter"
	"trug/science/matrix"
)

// large makes a key of the given size: of every five characters one is a size
// and four have two to twelve states, of which a taxon shows one to three; a
// tenth of the cells is blank.
func large(b *testing.B, taxa, characters int) *key.Key {
	r := rand.New(rand.NewPCG(3, 4))
	chars := make([]matrix.Character, characters)
	for c := range chars {
		chars[c].ID = fmt.Sprintf("c%d", c)
		if c%5 == 4 {
			chars[c].Kind = matrix.Numeric
			continue
		}
		for s := range 2 + r.IntN(11) {
			chars[c].States = append(chars[c].States, matrix.State{ID: fmt.Sprint(s)})
		}
	}
	bu, err := key.NewBuilder(chars, nil, key.Uniform(0.05))
	if err != nil {
		b.Fatal(err)
	}
	row := make([]matrix.Entry, characters)
	for t := range taxa {
		for c := range row {
			row[c] = entry(chars[c], r)
		}
		if err := bu.Add(matrix.Taxon{ID: fmt.Sprint(t), Name: fmt.Sprint(t)}, row); err != nil {
			b.Fatal(err)
		}
	}
	k, err := bu.Key()
	if err != nil {
		b.Fatal(err)
	}
	return k
}

func entry(c matrix.Character, r *rand.Rand) matrix.Entry {
	if r.IntN(10) == 0 {
		return matrix.Entry{}
	}
	e := matrix.Entry{Status: matrix.Given}
	if c.Kind == matrix.Numeric {
		low := float64(1 + r.IntN(100))
		e.Numbers = []describe.Span{describe.Between(low, low+1+float64(r.IntN(1+int(low))))}
		return e
	}
	first := r.IntN(len(c.States))
	for i := range 1 + r.IntN(min(3, len(c.States))) {
		e.States = append(e.States, matrix.Shown{State: (first + i) % len(c.States)})
	}
	return e
}

// One update and the next question ranked. In the worst case nothing has been
// answered, so that every taxon counts.
func BenchmarkFirstAnswerAndQuestions100000x80(b *testing.B) {
	answerAndAsk(b, large(b, 100_000, 80), nil)
}

// The same when two answers have left few taxa that matter.
func BenchmarkFourthAnswerAndQuestions100000x80(b *testing.B) {
	k := large(b, 100_000, 80)
	n := describe.Value(30)
	answerAndAsk(b, k, []key.Answer{{Character: 1, States: []int{0}}, {Character: 2, States: []int{1}}, {Character: 4, Number: &n}})
}

func BenchmarkAnswerAndQuestions173(b *testing.B) {
	k, err := key.New(starter.Published(), key.Uniform(0.05))
	if err != nil {
		b.Fatal(err)
	}
	answerAndAsk(b, k, nil)
}

func answerAndAsk(b *testing.B, k *key.Key, before []key.Answer) {
	f, err := k.Start(nil)
	if err != nil {
		b.Fatal(err)
	}
	for _, a := range before {
		if err := f.Give(a); err != nil {
			b.Fatal(err)
		}
	}
	first := 0
	for f.Answered(first) || !k.Characters()[first].Kind.HasStates() {
		first++
	}
	b.ReportAllocs()
	for b.Loop() {
		if err := f.Give(key.Answer{Character: first, States: []int{0}}); err != nil {
			b.Fatal(err)
		}
		if len(f.Next(key.Asking{Most: 5})) == 0 {
			b.Fatal("no question")
		}
		b.StopTimer()
		f.Withdraw(first)
		b.StartTimer()
	}
}
