package matrix_test

import (
	"testing"

	"trug/science/describe"
	"trug/science/matrix"
)

func TestTell(t *testing.T) {
	colour := matrix.Character{ID: "cap", Kind: matrix.Unordered, States: []matrix.State{{ID: "red", Label: "Red"}, {ID: "orange"}, {ID: "koh", Label: "KOH yellow"}, {ID: "l", Label: "L-shaped"},
		{ID: "a"}, {ID: "b"}, {ID: "c"}}}
	size := matrix.Character{ID: "size", Kind: matrix.Numeric, Unit: "mm"}
	given := func(s ...matrix.Shown) matrix.Entry { return matrix.Entry{Status: matrix.Given, States: s} }
	for _, c := range []struct {
		c    matrix.Character
		e    matrix.Entry
		want string
	}{
		{colour, matrix.Entry{}, "not known"},
		{colour, matrix.Entry{Status: matrix.Depends}, "varies"},
		{colour, matrix.Entry{Status: matrix.Inapplicable}, "does not apply"},
		{colour, given(matrix.Shown{State: 0, Frequency: 0.62, Count: 12}, matrix.Shown{State: 1}), "red (62 % of 12 finds) or orange"},
		{colour, given(matrix.Shown{State: 2}, matrix.Shown{State: 3}, matrix.Shown{State: 1, Doubtful: true}), "KOH yellow or l-shaped"},
		{colour, given(matrix.Shown{State: 1, Doubtful: true}), "not known"},
		{colour, given(matrix.Shown{State: 0}, matrix.Shown{State: 1}, matrix.Shown{State: 4}, matrix.Shown{State: 5}, matrix.Shown{State: 6}, matrix.Shown{State: 3}), "red or orange or a or b or one of 2 others"},
		{size, matrix.Entry{Status: matrix.Given, Numbers: []describe.Span{describe.Between(42, 51)}}, "42–51 mm"},
	} {
		if got := c.c.Tell(c.e); got != c.want {
			t.Errorf("got %q, want %q", got, c.want)
		}
	}
	if e := given(matrix.Shown{State: 0, Frequency: 0.5, Count: 12}); e.Counted() != 12 || colour.Name() != "cap" {
		t.Errorf("%d finds, %q", e.Counted(), colour.Name())
	}
}
