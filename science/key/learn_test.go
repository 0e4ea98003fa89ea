package key_test

import (
	"math"
	"reflect"
	"testing"

	"trug/science/key"
)

func settled(taxon, character int, states ...int) key.Settled {
	return key.Settled{Taxon: taxon, Answers: []key.Answer{{Character: character, States: states}}}
}

// By hand: the book lists states 1 and 2 of gills in the second taxon, half
// and half. Of eight finds six show 1, two show 0, which the book lacks:
// 0: 2/18; 1: (6+5)/18; 2: (0+5)/18.
func TestLearnByHand(t *testing.T) {
	m := small()
	finds := []key.Settled{settled(1, 1, 0), settled(1, 1, 0)}
	for range 6 {
		finds = append(finds, settled(1, 1, 1))
	}
	out, changes, err := key.Learn(m, finds)
	if err != nil {
		t.Fatal(err)
	}
	if len(changes) != 1 || changes[0].Finds != 8 || changes[0].Taxon != 1 || changes[0].Character != 1 {
		t.Fatalf("changes %+v", changes)
	}
	want := []float64{2.0 / 18, 11.0 / 18, 5.0 / 18}
	for i, s := range out.Rows[1][1].States {
		if s.State != i || s.Count != 8 || math.Abs(s.Frequency-want[i]) > 1e-12 {
			t.Errorf("state %d: %+v, by hand %g", i, s, want[i])
		}
	}
	if !reflect.DeepEqual(m, small()) {
		t.Error("the matrix given was changed")
	}
	if !reflect.DeepEqual(out.Rows[0], m.Rows[0]) {
		t.Error("another taxon was changed")
	}
}

func TestLearnNeedsEnough(t *testing.T) {
	finds := []key.Settled{settled(0, 1, 0), settled(0, 1, 0), settled(0, 1, 0), settled(0, 1, 1)}
	if _, changes, err := key.Learn(small(), finds); err != nil || len(changes) != 0 {
		t.Errorf("four finds changed %+v, %v", changes, err)
	}
	// One stray find of five adds no state.
	out, _, err := key.Learn(small(), append(finds, settled(0, 1, 0)))
	if err != nil || len(out.Rows[0][1].States) != 1 {
		t.Errorf("%+v, %v", out.Rows[0][1], err)
	}
	if _, _, err := key.Learn(small(), []key.Settled{settled(9, 1, 0)}); err == nil {
		t.Error("a taxon that is not there was taken")
	}
	if _, _, err := key.Learn(small(), []key.Settled{settled(0, 1, 9)}); err == nil {
		t.Error("a state that is not there was taken")
	}
}

// What was learned is weighed: a state seen in most finds counts for more.
func TestLearnedFrequenciesAreWeighed(t *testing.T) {
	var finds []key.Settled
	for range 40 {
		finds = append(finds, settled(1, 1, 1))
	}
	out, _, err := key.Learn(small(), finds)
	if err != nil {
		t.Fatal(err)
	}
	before := start(t, small(), key.Uniform(0.05), key.Answer{Character: 1, States: []int{2}})
	after := start(t, out, key.Uniform(0.05), key.Answer{Character: 1, States: []int{2}})
	if after.Probability(1) >= before.Probability(1) {
		t.Errorf("the rarer state is as likely as before: %g, %g", before.Probability(1), after.Probability(1))
	}
}
