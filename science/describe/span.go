package describe

import (
	"math"
	"strconv"
	"strings"

	"trug/science/said"
)

// Span is a number as a description gives it: one value, a range, or the
// trade's (k-)m-n(-p), in which m to n is the ordinary range (5th to 95th
// percentile where they are known) and k and p are the extremes seen. The
// notation is that of spore sizes (trade check value K19; TULL05) and of
// DELTA. The unit is the character's.
//
// Least <= Low <= Middle <= High <= Most always holds; a single value has all
// of them equal. Middle is the mean or most usual value; where none was given
// it is half way between Low and High, and HasMiddle is false.
type Span struct {
	Least, Low, Middle, High, Most float64
	HasMiddle                      bool
}

// Value returns the span of a single value.
func Value(v float64) Span { return Span{v, v, v, v, v, false} }

// Between returns the range from low to high; it swaps them when they are the
// wrong way round.
func Between(low, high float64) Span {
	if low > high {
		low, high = high, low
	}
	return Span{low, low, low + (high-low)/2, high, high, false}
}

// Single reports whether the span is one value.
func (s Span) Single() bool { return s.Least == s.Most }

// Scale returns the span with each figure times f, which must be positive.
func (s Span) Scale(f float64) Span {
	return Span{s.Least * f, s.Low * f, s.Middle * f, s.High * f, s.Most * f, s.HasMiddle}
}

// Valid reports what is wrong with the order of the figures, or nil.
func (s Span) Valid() error {
	for _, v := range []float64{s.Least, s.Low, s.Middle, s.High, s.Most} {
		if math.IsNaN(v) || math.IsInf(v, 0) {
			return said.Errorf("a figure of the range is no number")
		}
	}
	if s.Least > s.Low || s.Low > s.High || s.High > s.Most || s.Middle < s.Low || s.Middle > s.High {
		return said.Errorf("the figures of %s do not rise from left to right", s)
	}
	return nil
}

// String writes the span in the notation that ParseSpan reads, with a hyphen:
// "42", "42-51", "42-46-51", "(30-)42-51(-60)".
func (s Span) String() string { return s.write("-") }

// Typeset writes the span with en dashes, as it is printed.
func (s Span) Typeset() string { return s.write("–") }

func (s Span) write(dash string) string {
	num := func(v float64) string { return strconv.FormatFloat(v, 'f', -1, 64) }
	var b strings.Builder
	if s.Least < s.Low {
		b.WriteString("(" + num(s.Least) + dash + ")")
	}
	b.WriteString(num(s.Low))
	if s.High > s.Low {
		if s.HasMiddle {
			b.WriteString(dash + num(s.Middle))
		}
		b.WriteString(dash + num(s.High))
	}
	if s.Most > s.High {
		b.WriteString("(" + dash + num(s.Most) + ")")
	}
	return b.String()
}

// MarshalText writes the notation, so that JSON and CSV hold it too.
func (s Span) MarshalText() ([]byte, error) { return []byte(s.String()), s.Valid() }

// UnmarshalText reads the notation.
func (s *Span) UnmarshalText(text []byte) (err error) {
	*s, err = ParseSpan(string(text))
	return err
}

// ParseSpan reads one value ("42"), a range ("42-51"), a range with its middle
// ("42-46-51") and the forms with extremes in brackets ("(30-)42-51(-60)",
// "(3-)4", "4(-5)"). Hyphen, en dash and minus sign are alike, blanks are
// free, the decimal sign is a point. A figure may be negative. The figures
// must not fall from left to right.
func ParseSpan(text string) (Span, error) {
	r := spanReader{rest: strings.NewReplacer("–", "-", "—", "-", "−", "-", " ", "", "\u00a0", "", "\t", "").Replace(text)}
	s, err := r.span()
	if err == nil && r.rest != "" {
		err = said.Errorf("%q is left over", r.rest)
	}
	if err == nil {
		err = s.Valid()
	}
	if err != nil {
		return Span{}, said.Errorf("%q is not a number or a range such as 42, 42-51 or (30-)42-51(-60): %w", text, err)
	}
	return s, nil
}

// spanReader holds what is still to be read.
type spanReader struct{ rest string }

func (r *spanReader) take(token string) bool {
	rest, ok := strings.CutPrefix(r.rest, token)
	if ok {
		r.rest = rest
	}
	return ok
}

func (r *spanReader) number() (float64, error) {
	n := 0
	if strings.HasPrefix(r.rest, "-") {
		n = 1
	}
	for n < len(r.rest) && (r.rest[n] >= '0' && r.rest[n] <= '9' || r.rest[n] == '.') {
		n++
	}
	v, err := strconv.ParseFloat(r.rest[:n], 64)
	if err != nil {
		return 0, said.Errorf("a figure is missing or can't be read")
	}
	r.rest = r.rest[n:]
	return v, nil
}

// span reads a whole span; order is checked by the caller.
func (r *spanReader) span() (Span, error) {
	least, hasLeast, err := r.least()
	if err != nil {
		return Span{}, err
	}
	var mid []float64
	for {
		v, err := r.number()
		if err != nil {
			return Span{}, err
		}
		if mid = append(mid, v); len(mid) == 3 || !strings.HasPrefix(r.rest, "-") {
			break
		}
		r.take("-")
	}
	s := Between(mid[0], mid[len(mid)-1])
	if mid[0] > mid[len(mid)-1] {
		return s, said.Errorf("the figures fall from left to right")
	}
	if len(mid) == 3 {
		s.Middle, s.HasMiddle = mid[1], true
	}
	if hasLeast {
		s.Least = least
	}
	if r.take("(-") {
		if s.Most, err = r.number(); err != nil {
			return Span{}, err
		}
		if !r.take(")") {
			return Span{}, said.Errorf("a bracket is not closed")
		}
	}
	return s, nil
}

// least reads "(k-)" where there is one.
func (r *spanReader) least() (float64, bool, error) {
	if !r.take("(") {
		return 0, false, nil
	}
	v, err := r.number()
	if err == nil && !r.take("-)") {
		err = said.Errorf("the lower extreme is written (k-)")
	}
	return v, err == nil, err
}

// ParseMeasured reads what ParseSpan reads and a value with its standard
// uncertainty, "52±3" or "52+-3"; the uncertainty is 0 where none is given.
func ParseMeasured(text string) (Span, float64, error) {
	value, plus, has := strings.Cut(strings.ReplaceAll(text, "±", "+-"), "+-")
	n, err := ParseSpan(value)
	if err != nil || !has {
		return n, 0, err
	}
	u, err := strconv.ParseFloat(strings.TrimSpace(plus), 64)
	if err != nil || !(u >= 0) || math.IsInf(u, 0) {
		return n, 0, said.Errorf("%q is no uncertainty: write it as 52+-3", text)
	}
	return n, u, nil
}
