package web

import (
	"context"
	"encoding/json"
	"errors"
	"net/http"

	"github.com/danielgtaylor/huma/v2"

	"trug"
	"trug/science/said"
)

// Problem is an error as RFC 9457 has it, with the sentence for people.
type Problem struct {
	Title  string  `json:"title"`
	Status int     `json:"status"`
	Says   string  `json:"says" doc:"A sentence: what is wrong and what to do"`
	Field  string  `json:"field,omitempty" doc:"Field, file or row at fault"`
	Faults []Fault `json:"faults,omitempty" doc:"All faults, where there are several"`
	// Said holds the sentence by its words and values, for other languages.
	Said said.Fields `json:"said,omitempty"`
}

// Fault is one of several faults of a form.
type Fault struct {
	Field string      `json:"field"`
	Says  string      `json:"says"`
	Said  said.Fields `json:"said,omitempty"`
}

// Error returns the sentence.
func (p *Problem) Error() string { return p.Says }

// GetStatus returns the HTTP status.
func (p *Problem) GetStatus() int { return p.Status }

// ContentType says that the answer is a problem.
func (p *Problem) ContentType(string) string { return "application/problem+json" }

const internalSays = "Something went wrong here. What you entered is still on your screen; try again in a moment, and tell whoever runs the server if it stays."

// statusOf is the one map from kinds of error to statuses.
var statusOf = map[trug.ErrorKind]int{
	trug.Internal:   http.StatusInternalServerError,
	trug.Invalid:    http.StatusUnprocessableEntity,
	trug.NotFound:   http.StatusNotFound,
	trug.NotEntered: http.StatusUnauthorized,
	trug.NotAllowed: http.StatusForbidden,
	trug.Conflict:   http.StatusConflict,
	trug.TooLarge:   http.StatusRequestEntityTooLarge,
	trug.Busy:       http.StatusServiceUnavailable,
	trug.TooOften:   http.StatusTooManyRequests,
}

func problem(status int, says string) *Problem {
	p := &Problem{Title: http.StatusText(status), Status: status, Says: says}
	p.Said.Put("says", said.As(said.Words(says)))
	return p
}

// goneAway is the status kept for a browser that left before its answer was
// made; nobody reads it.
const goneAway = 499

// asProblem turns an error of a use case into what outsiders may read; only
// internal faults are worth logging, and they tell nothing. That a browser
// went away amid an answer is no fault: what fails then is told for
// information.
func (s *server) asProblem(ctx context.Context, route string, err error) *Problem {
	var p *Problem
	if errors.As(err, &p) {
		return p
	}
	kind := trug.KindOf(err)
	if kind == trug.Internal && errors.Is(ctx.Err(), context.Canceled) {
		s.Log.Info("the browser went away", "route", route, "error", err)
		return &Problem{Title: "Gone away", Status: goneAway, Says: "The question was taken back before it was answered."}
	}
	if kind == trug.Internal {
		s.Log.Error("internal", "route", route, "error", err)
		return problem(http.StatusInternalServerError, internalSays)
	}
	if kind == trug.NotAllowed || kind == trug.TooOften {
		s.Log.Info("refused", "route", route, "status", statusOf[kind]) // who it was, the logs are not to tell
	}
	p = problem(statusOf[kind], "")
	var faults trug.Faults
	if errors.As(err, &faults) {
		for _, f := range faults {
			p.Faults = append(p.Faults, Fault{Field: f.Field, Says: f.Says, Said: saidOf(f)})
		}
	}
	var one *trug.Error
	if errors.As(err, &one) {
		p.Says, p.Field, p.Said = one.Says, one.Field, saidOf(one)
	}
	return p
}

// saidOf is an error's sentence as other languages know it.
func saidOf(e *trug.Error) (f said.Fields) {
	f.Put("says", e.Said)
	return f
}

func (s *server) fail(w http.ResponseWriter, r *http.Request, err error) {
	writeProblem(w, s.asProblem(r.Context(), routeOf(r), err))
}

func writeProblem(w http.ResponseWriter, p *Problem) {
	w.Header().Set("Content-Type", "application/problem+json")
	if p.Status == http.StatusServiceUnavailable {
		w.Header().Set("Retry-After", "30") // seconds, for programs; people read the sentence
	}
	w.WriteHeader(p.Status)
	_ = json.NewEncoder(w).Encode(p)
}

// huma makes its own errors (bodies that are no JSON, values out of range) by
// this function, so that all errors have one shape.
func init() {
	huma.NewError = func(status int, message string, errs ...error) huma.StatusError {
		p := problem(status, message)
		for _, err := range errs {
			var d *huma.ErrorDetail
			if errors.As(err, &d) {
				p.Faults = append(p.Faults, Fault{Field: clipped(d.Location), Says: clipped(d.Message)})
			} else if err != nil {
				p.Faults = append(p.Faults, Fault{Says: clipped(err.Error())})
			}
		}
		if len(p.Faults) > 0 {
			// These words are English alone: what a screen would say instead tells less.
			p.Says, p.Field, p.Said = message+": "+p.Faults[0].Says, p.Faults[0].Field, nil
		}
		return p
	}
}

// clipped keeps what was sent from being sent back whole.
func clipped(says string) string {
	const most = 300
	if r := []rune(says); len(r) > most {
		return string(r[:most]) + " …"
	}
	return says
}
