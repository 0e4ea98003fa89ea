package said

import (
	"errors"
	"fmt"
	"math"
	"strconv"
	"strings"
)

// Error is an error that is a sentence.
type Error struct {
	Sentence Sentence
	err      error
}

// Error returns the English text.
func (e *Error) Error() string { return e.err.Error() }

// Unwrap returns the causes.
func (e *Error) Unwrap() error { return e.err }

// Errorf is fmt.Errorf for errors that people read: the format is the key of
// the sentence. Whatever stands in quotes comes from outside.
func Errorf(format string, args ...any) error {
	return &Error{Sentence: Of(format, args...), err: fmt.Errorf(format, args...)}
}

// Kind is Errorf for a sentence that does not tell its kind of error, and wraps it.
func Kind(kind error, format string, args ...any) error {
	return &Error{Sentence: Of(format, args...), err: &kindly{fmt.Sprintf(format, args...), kind}}
}

type kindly struct {
	text string
	kind error
}

func (k *kindly) Error() string { return k.text }
func (k *kindly) Unwrap() error { return k.kind }

// cutVerb cuts a format of package fmt round its first verb; verb is empty where
// there is none. (Without package regexp, which would make up a tenth of what a
// phone downloads.)
func cutVerb(format string) (before, verb, after string) {
	for at := 0; ; at++ {
		i := strings.IndexByte(format[at:], '%')
		if i < 0 {
			return format, "", ""
		}
		at += i
		end := at + 1
		for end < len(format) && strings.IndexByte("-+ #.0123456789", format[end]) >= 0 {
			end++
		}
		if end < len(format) && (format[end] == '%' || format[end]|0x20 >= 'a' && format[end]|0x20 <= 'z') {
			return format[:at], format[at : end+1], format[end+1:]
		}
	}
}

// Of makes a sentence of a format of package fmt: {1} stands for what the
// first verb writes, and so on. A value that is a sentence itself, or an error
// that is one, is told as such.
func Of(format string, args ...any) Sentence {
	s := Sentence{Words: Key(format)}
	n := 0
	for v, rest := "", format; rest != ""; {
		if _, v, rest = cutVerb(rest); v == "" || v == "%%" {
			continue
		}
		if s.Values == nil {
			s.Values = map[string]any{}
		}
		if n < len(args) {
			s.Values[strconv.Itoa(n+1)] = valueOf(v, args[n])
		}
		n++
	}
	return s
}

// Key is the sentence's words for a format of package fmt.
func Key(format string) Words {
	var out strings.Builder
	n := 0
	for before, v, rest := "", "", format; rest != ""; {
		before, v, rest = cutVerb(rest)
		out.WriteString(before)
		switch v {
		case "":
		case "%%":
			out.WriteByte('%')
		default:
			n++
			out.WriteString("{" + strconv.Itoa(n) + "}")
		}
	}
	return Words(out.String())
}

func valueOf(verb string, arg any) any {
	switch v := arg.(type) {
	case Sentence, List, Day, Capital, Inside, Figure:
		return v
	case Words:
		if how := verb[len(verb)-1]; how == 's' || how == 'v' {
			return As(v)
		}
	case error:
		var e *Error
		if errors.As(v, &e) {
			return e.Sentence
		}
	}
	if verb[len(verb)-1] == 'w' {
		verb = "%v"
	}
	text := fmt.Sprintf(verb, arg)
	switch verb[len(verb)-1] {
	case 'd', 'f', 'g':
		// What is no number, or endless, JSON can't write.
		if number, err := strconv.ParseFloat(text, 64); err == nil && !math.IsNaN(number) && !math.IsInf(number, 0) {
			return number
		}
	}
	return text
}
