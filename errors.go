package trug

import (
	"errors"
	"fmt"
	"strings"

	"trug/science/said"
)

// ErrorKind says what sort of thing went wrong, so that the command line can
// choose an exit code and the server a status. New kinds are added at the end.
type ErrorKind int

const (
	// Internal is a fault of the program or the machine; its text is for logs.
	Internal ErrorKind = iota
	// Invalid means that what was given can't be taken as it is.
	Invalid
	// NotFound means that there is no such thing, or none that may be seen.
	NotFound
	// NotEntered means that whoever asks has not come in, or no longer is.
	NotEntered
	// NotAllowed means that the role does not permit it.
	NotAllowed
	// Conflict means that the thing was changed or used by somebody meanwhile.
	Conflict
	// TooLarge means that a file or picture is over a limit.
	TooLarge
	// Busy means that it may go through a little later.
	Busy
	// TooOften means that it was tried too often and has to wait.
	TooOften
)

// Error is an error with a sentence that a person can act on.
type Error struct {
	Kind ErrorKind
	// Field names the field, file or row at fault; empty where none is.
	Field string
	// Says is the sentence shown: what is wrong and what to do.
	Says string
	// Said is the sentence by its words and values, for other languages; without
	// words where the English text is all there is.
	Said said.Sentence
	// Err is the cause, for logs only.
	Err error
}

// Error returns the sentence, with the field before it and the cause after it.
func (e *Error) Error() string {
	s := e.Says
	if e.Field != "" {
		s = e.Field + ": " + s
	}
	if e.Err != nil {
		s += " (" + e.Err.Error() + ")"
	}
	return s
}

// Unwrap returns the cause.
func (e *Error) Unwrap() error { return e.Err }

// Errorf returns an error of the kind with a sentence; the format is what other
// languages know it by.
func Errorf(kind ErrorKind, field, format string, args ...any) *Error {
	return &Error{Kind: kind, Field: field, Says: fmt.Sprintf(format, args...), Said: said.Of(format, args...)}
}

// KindOf returns the kind of err: that of the first *Error in its chain, of
// the first fault where it is Faults, else Internal.
func KindOf(err error) ErrorKind {
	var e *Error
	if errors.As(err, &e) {
		return e.Kind
	}
	return Internal
}

// Faults gathers every fault of one thing, so that a form can show them all.
type Faults []*Error

// Error returns the sentences, one after another.
func (f Faults) Error() string {
	says := make([]string, len(f))
	for i, e := range f {
		says[i] = e.Error()
	}
	return strings.Join(says, "; ")
}

// Unwrap returns the faults one by one.
func (f Faults) Unwrap() []error {
	errs := make([]error, len(f))
	for i, e := range f {
		errs[i] = e
	}
	return errs
}

// add appends a fault of kind Invalid.
func (f *Faults) add(field, format string, args ...any) {
	*f = append(*f, Errorf(Invalid, field, format, args...))
}

// orNil returns f as an error, nil when it is empty.
func (f Faults) orNil() error {
	if len(f) == 0 {
		return nil
	}
	return f
}
