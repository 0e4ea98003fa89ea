package said_test

import (
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"testing"

	"trug/science/said"
)

func TestEnglish(t *testing.T) {
	for _, c := range []struct {
		says fmt.Stringer
		want string
	}{
		{said.As("No permission is known for {site}.", "site", "Sallow {n} Copse"), "No permission is known for Sallow {n} Copse."},
		{said.As("{n, plural, =0 {No opinion} one {One opinion} other {# opinions}} differ.", "n", 0), "No opinion differ."},
		{said.As("{n, plural, =0 {No opinion} one {One opinion} other {# opinions}}", "n", 1), "One opinion"},
		{said.As("{n, plural, one {One of {who}} other {# of {who}}}", "n", 3, "who", "them"), "3 of them"},
		{said.As("Good until {day}.", "day", said.Day{Day: "2026-10-01"}), "Good until 1 October 2026."},
		{said.Day{Day: "2026-10-01", InSeason: true}, "1 October"},
		{said.Day{Day: "2026-10"}, "October 2026"},
		{said.Day{Day: "some day"}, "some day"},
		{said.List{List: []any{"top", said.As("side"), "cut"}}, "top, side and cut"},
		{said.List{List: []any{"top", "side"}, By: "; "}, "top; side"},
		{said.Capital{Capital: said.List{List: []any{"élan"}}}, "Élan"},
		{said.Capital{Capital: ""}, ""},
		{said.Inside{Inside: said.As("Leaf litter")}, "leaf litter"},
		{said.Inside{Inside: ""}, ""},
		{said.After(said.As("One."), said.Sentence{}, "", said.As("Two.")), "One. Two."},
		{said.As("{u} mm", "u", 0.5), "0.5 mm"},
		{said.As("{missing"), "{missing"},
	} {
		if got := c.says.String(); got != c.want {
			t.Errorf("%q, want %q", got, c.want)
		}
	}
}

func TestErrorf(t *testing.T) {
	inner := said.Errorf("%q is not a day: write it as %s", "31 June", "2026-10-10")
	err := said.Errorf("row %d of %d, %.1f %%: %w", 3, 12, 4.25, inner)
	if want := `row 3 of 12, 4.2 %: "31 June" is not a day: write it as 2026-10-10`; err.Error() != want {
		t.Errorf("%q, want %q", err, want)
	}
	if !errors.Is(err, inner) {
		t.Error("the cause is lost")
	}
	var e *said.Error
	if !errors.As(err, &e) || e.Sentence.Words != "row {1} of {2}, {3} %: {4}" {
		t.Fatalf("%+v", e)
	}
	got, _ := json.Marshal(e.Sentence)
	want := `{"words":"row {1} of {2}, {3} %: {4}","values":{"1":3,"2":12,"3":4.2,"4":{"words":"{1} is not a day: write it as {2}","values":{"1":"\"31 June\"","2":"2026-10-10"}}}}`
	if string(got) != want {
		t.Errorf("%s, want %s", got, want)
	}
	if e.Sentence.String() != err.Error() {
		t.Errorf("%q, want %q", e.Sentence.String(), err)
	}
	// Words that are put into a sentence are said in the other language too.
	words, _ := json.Marshal(said.Of("not a photograph but %s", said.Words("a text file")))
	if want := `{"words":"not a photograph but {1}","values":{"1":{"words":"a text file"}}}`; string(words) != want {
		t.Errorf("%s, want %s", words, want)
	}
	if s := said.Of("%v", io.EOF); s.String() != "EOF" {
		t.Errorf("%q", s.String())
	}
}

// Whatever the words are, writing them ends and does not break.
func FuzzWritten(f *testing.F) {
	f.Add("{n, plural, one {#} other {# of {who}}}", "x")
	f.Add("{{}}}{, plural,{", "{")
	f.Fuzz(func(t *testing.T, words, value string) {
		_ = said.As(said.Words(words), "n", value, "who", value).String()
		_ = said.Of(words, value, 3).String()
	})
}
