package web

import (
	"context"
	"errors"
	"io"
	"mime"
	"net/http"

	"trug"
	"trug/internal/app"
)

// colourRoutes is the part of the table on colours that are measured in views.
func (s *server) colourRoutes() []route {
	return []route{
		{method: "POST", path: "/api/colours", action: app.MeasureView, call: answer(s, func(ctx context.Context, in *struct{ Body app.GivenColour }) (app.ShownColour, error) {
			return s.app.TryColour(ctx, viewer(ctx), in.Body)
		})},
		{method: "PUT", path: "/api/colours/{id}", action: app.MeasureView, call: answer(s, func(ctx context.Context, in *struct {
			ByID
			Body app.GivenColour
		}) (app.RecordSheet, error) {
			return s.app.SaveColour(ctx, viewer(ctx), in.ID, in.Body)
		})},
		{method: "POST", path: "/api/colours/{id}/take-back", action: app.MeasureView, call: answer(s, func(ctx context.Context, in *ByID) (app.RecordSheet, error) {
			return s.app.TakeBackColour(ctx, viewer(ctx), in.ID)
		})},
		{method: "POST", path: "/api/colours/{id}/describe", action: app.MeasureView, call: answer(s, func(ctx context.Context, in *ByID) (app.RecordSheet, error) {
			return s.app.FillFromColour(ctx, viewer(ctx), in.ID)
		})},
		{method: "GET", path: "/api/views/{id}/corrected", action: app.SeeSizes, serve: s.sendCorrected, gives: "image/jpeg"},
		{method: "GET", path: "/api/cards/{id}/colours", action: app.PrintCards, serve: s.sendCardColours, gives: "text/csv"},
		{method: "PUT", path: "/api/cards/{id}/colours", action: app.PrintCards, serve: s.takeCardColours, takes: "text/csv", gives: app.ShownBatch{}},
	}
}

// sendCorrected sends a view as its card corrects it. It is kept by the browser
// and asked for again each time, as a photograph is.
func (s *server) sendCorrected(w http.ResponseWriter, r *http.Request) {
	f, err := s.app.CorrectedView(r.Context(), viewer(r.Context()), trug.ID(r.PathValue("id")))
	if err != nil {
		s.fail(w, r, err)
		return
	}
	w.Header().Set("Cache-Control", "private, no-cache")
	s.sendFile(w, r, f)
}

// sendCardColours sends a printing's table of measured colours as it was handed in.
func (s *server) sendCardColours(w http.ResponseWriter, r *http.Request) {
	table, err := s.app.CardColours(r.Context(), viewer(r.Context()), trug.ID(r.PathValue("id")))
	if err != nil {
		s.fail(w, r, err)
		return
	}
	w.Header().Set("Content-Type", "text/csv; charset=utf-8")
	w.Header().Set("Content-Disposition", mime.FormatMediaType("attachment", map[string]string{"filename": "card-colours.csv"}))
	_, _ = w.Write(table)
}

// takeCardColours takes in a printing's table of measured colours.
func (s *server) takeCardColours(w http.ResponseWriter, r *http.Request) {
	table, err := io.ReadAll(http.MaxBytesReader(w, r.Body, app.MaxColourTable))
	if err != nil {
		if large := new(http.MaxBytesError); errors.As(err, &large) {
			err = trug.Errorf(trug.TooLarge, "table", "the table is over %d kB: it has a line for each patch of the card, and no more", app.MaxColourTable>>10)
		}
		s.fail(w, r, err)
		return
	}
	b, err := s.app.SayCardColours(r.Context(), viewer(r.Context()), trug.ID(r.PathValue("id")), table)
	s.send(w, r, b, err)
}
