package groups

import (
	"slices"
	"testing"

	"trug/science/describe"
)

// Every form of the vocabulary is asked for something, and every row is reached
// by the form it stands for.
func TestEveryFormHasViews(t *testing.T) {
	c, _ := describe.Standing().Character("form")
	if len(c.States) < 30 {
		t.Fatal("the forms are not read")
	}
	known := map[string]bool{}
	for _, s := range c.States {
		known[s.Name] = true
		if len(OfForm(s.Name).Needed) < 2 {
			t.Errorf("%s: %v", s.Name, OfForm(s.Name))
		}
	}
	for form, row := range groupOfForm {
		if !known[form] {
			t.Errorf("the vocabulary has no form %q", form)
		}
		if _, ok := rows()[row]; !ok {
			t.Errorf("the table has no row %q", row)
		}
	}
	if len(Ringed().Needed) == 0 || len(Names()) != len(rows()) {
		t.Errorf("the row of what is ringed: %+v; %d names", Ringed(), len(Names()))
	}
}

// Which views a finder is walked through: the group's, by looking alone. A lichen
// and a slime mould have no underside to be looked at.
func TestViewsOfAForm(t *testing.T) {
	for form, want := range map[string][]Kind{
		"": {Top, Side, Underneath, Surroundings}, "gilled": {Top, Side, Underneath, Surroundings}, "bracket": {Top, Underneath, Surroundings},
		"cup": {Top, Side, Surroundings}, "coral": {Side, CloseUp, Surroundings}, "lichen_leaf": {Top, CloseUp, Surroundings}, "slime_veins": {Top, CloseUp, Surroundings},
	} {
		if got := Views(form); !slices.Equal(got, want) {
			t.Errorf("%q: %v, want %v", form, got, want)
		}
	}
}
