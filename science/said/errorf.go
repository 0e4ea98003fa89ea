package said

import (
	"errors"
	"fmt"
	"regexp"
	"strconv"
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

var verb = regexp.MustCompile(`%[-+ #0]*[\d.]*[a-zA-Z%]`)

// Of makes a sentence of a format of package fmt: {1} stands for what the
// first verb writes, and so on. A value that is a sentence itself, or an error
// that is one, is told as such.
func Of(format string, args ...any) Sentence {
	s := Sentence{Words: Key(format)}
	n := 0
	for _, v := range verb.FindAllString(format, -1) {
		if v == "%%" {
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
	n := 0
	return Words(verb.ReplaceAllStringFunc(format, func(v string) string {
		if v == "%%" {
			return "%"
		}
		n++
		return "{" + strconv.Itoa(n) + "}"
	}))
}

func valueOf(verb string, arg any) any {
	switch v := arg.(type) {
	case Sentence, List, Day, Capital, Inside, Figure:
		return v
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
		if number, err := strconv.ParseFloat(text, 64); err == nil {
			return number
		}
	}
	return text
}
