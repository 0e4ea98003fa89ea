package describe

import (
	"strings"
	"testing"
)

// The notation (k-)m-n(-p) is check value K19 of the trade table (TULL05); the
// spore size with a middle is the example of the DELTA definition.
func TestSpans(t *testing.T) {
	for text, want := range map[string]Span{
		"42":                      {42, 42, 42, 42, 42, false},
		"42-51":                   {42, 42, 46.5, 51, 51, false},
		"42 – 51":                 {42, 42, 46.5, 51, 51, false},
		"(30-)42-51(-60)":         {30, 42, 46.5, 51, 60, false},
		"(7.2-)7.6-8.2-8.9(-9.3)": {7.2, 7.6, 8.2, 8.9, 9.3, true},
		"(3-)4":                   {3, 4, 4, 4, 4, false},
		"4(-5)":                   {4, 4, 4, 4, 5, false},
		"-5--3":                   {-5, -5, -4, -3, -3, false},
		" 0.5 ":                   {0.5, 0.5, 0.5, 0.5, 0.5, false},
	} {
		got, err := ParseSpan(text)
		if err != nil || got != want {
			t.Errorf("%q: got %+v, %v", text, got, err)
		}
	}
	for _, text := range []string{"", "x", "5-3", "3-", "-", "(3-4", "3)", "(5-)3", "3(-2)", "3 mm", "1-2-3-4", "2-1-3", "1-5-3", "(1)2-3", "1e400", "3,5", "NaN", "1..2"} {
		if s, err := ParseSpan(text); err == nil {
			t.Errorf("%q was read as %s", text, s)
		}
	}
	if s, _ := ParseSpan("(30-)42-51(-60)"); s.Typeset() != "(30–)42–51(–60)" {
		t.Errorf("printed as %s", s.Typeset())
	}
}

// What is read prints, and what was printed reads alike.
func FuzzParseSpan(f *testing.F) {
	for _, s := range []string{"42", "42-51", "(30-)42-46-51(-60)", "4(-5)", "-5--3"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, text string) {
		s, err := ParseSpan(text)
		if err != nil {
			if !strings.Contains(err.Error(), "such as") {
				t.Errorf("the error does not say what to do: %v", err)
			}
			return
		}
		if err := s.Valid(); err != nil {
			t.Fatal(err)
		}
		for _, printed := range []string{s.String(), s.Typeset()} {
			if again, err := ParseSpan(printed); err != nil || again.String() != s.String() {
				t.Errorf("%q printed as %q, read again as %v, %v", text, printed, again, err)
			}
		}
	})
}

func TestParseMeasured(t *testing.T) {
	for text, want := range map[string]struct {
		span string
		u    float64
	}{"52": {"52", 0}, "52+-3": {"52", 3}, "52 ± 0.5": {"52", 0.5}, "(30-)42-51(-60)": {"(30-)42-51(-60)", 0}} {
		n, u, err := ParseMeasured(text)
		if err != nil || n.String() != want.span || u != want.u {
			t.Errorf("%q: %v, %g, %v", text, n, u, err)
		}
	}
	for _, bad := range []string{"", "±3", "52±", "52±x", "52±-1", "52±Inf", "52±NaN"} {
		if _, _, err := ParseMeasured(bad); err == nil {
			t.Errorf("%q was taken", bad)
		}
	}
}
