package web

import (
	"context"
	"errors"
	"net/http"
)

// once is an answer whose head goes out once: huma and our own handlers write a
// status again when the browser went away amid the body, which net/http then
// complains of, and an error written after half an answer would be read as part
// of it.
type once struct {
	http.ResponseWriter
	begun bool
}

func (o *once) WriteHeader(status int) {
	if o.begun {
		return
	}
	o.begun = status >= 200 // those below only announce
	o.ResponseWriter.WriteHeader(status)
}

func (o *once) Write(p []byte) (int, error) {
	o.begun = true
	return o.ResponseWriter.Write(p)
}

// Unwrap lets a ResponseController through.
func (o *once) Unwrap() http.ResponseWriter { return o.ResponseWriter }

// recovered answers a fault of the program like any other and keeps serving. An
// answer that is half out is broken off, so that nobody takes it for whole.
func (s *server) recovered(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		answer := &once{ResponseWriter: w}
		defer func() {
			p := recover()
			switch {
			case p == nil:
			case p == http.ErrAbortHandler:
				panic(p) // ends an answer that can't be finished
			case answer.begun:
				s.brokenOff(r, p)
				panic(http.ErrAbortHandler)
			default:
				s.Log.Error("panic", "path", routeOf(r), "panic", p)
				writeProblem(answer, problem(http.StatusInternalServerError, internalSays))
			}
		}()
		next.ServeHTTP(answer, r)
	})
}

// brokenOff logs that an answer could not be finished: as a fault, unless the
// browser went away or did not take it.
func (s *server) brokenOff(r *http.Request, fault any) {
	err, _ := fault.(error)
	if errors.Is(r.Context().Err(), context.Canceled) || errors.Is(err, errNotTaken) {
		s.Log.Info("an answer was not taken to its end", "route", routeOf(r))
		return
	}
	s.Log.Error("an answer broke off", "path", routeOf(r), "panic", fault)
}
