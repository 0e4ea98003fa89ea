package web

import (
	"context"
	"encoding/json"
	"fmt"
	"mime"
	"net/http"

	"trug"
	"trug/internal/app"
)

// sizesRoutes is the part of the table on field cards and the sizes that are read
// off them.
func (s *server) sizesRoutes() []route {
	return []route{
		{method: "GET", path: "/api/views/{id}/card", action: app.SeeSizes, call: answer(s, func(ctx context.Context, in *ByID) (app.ShownCard, error) {
			return s.app.ViewCard(ctx, viewer(ctx), in.ID)
		})},
		{method: "POST", path: "/api/views/{id}/outline", action: app.MeasureView, call: answer(s, func(ctx context.Context, in *struct {
			ByID
			Body app.GivenStroke
		}) (app.ProposedOutline, error) {
			return s.app.ProposeOutline(ctx, viewer(ctx), in.ID, in.Body)
		})},
		{method: "POST", path: "/api/views/{id}/snap", action: app.MeasureView, call: answer(s, func(ctx context.Context, in *struct {
			ByID
			Body app.GivenSnap
		}) (app.SnappedPoint, error) {
			return s.app.SnapPoint(ctx, viewer(ctx), in.ID, in.Body)
		})},
		{method: "POST", path: "/api/sizes", action: app.MeasureView, call: answer(s, func(ctx context.Context, in *struct{ Body app.GivenSize }) (app.TriedSize, error) {
			return s.app.TrySize(ctx, viewer(ctx), in.Body)
		})},
		{method: "PUT", path: "/api/sizes/{id}", action: app.MeasureView, call: answer(s, func(ctx context.Context, in *struct {
			ByID
			Body app.GivenSize
		}) (app.RecordSheet, error) {
			return s.app.SaveSize(ctx, viewer(ctx), in.ID, in.Body)
		})},
		{method: "POST", path: "/api/sizes/{id}/take-back", action: app.MeasureView, call: answer(s, func(ctx context.Context, in *ByID) (app.RecordSheet, error) {
			return s.app.TakeBackSize(ctx, viewer(ctx), in.ID)
		})},
		{method: "GET", path: "/api/cards", action: app.SeeCards, call: answer(s, func(ctx context.Context, _ *struct{}) ([]app.ShownBatch, error) {
			return s.app.CardBatches(ctx, viewer(ctx))
		})},
		{method: "POST", path: "/api/cards", action: app.PrintCards, serve: s.sendCards, takes: "application/json", gives: "application/pdf"},
		{method: "PUT", path: "/api/cards/{id}/control-line", action: app.PrintCards, call: answer(s, func(ctx context.Context, in *struct {
			ByID
			Body app.GivenControlLine
		}) (app.ShownBatch, error) {
			return s.app.MeasureBatch(ctx, viewer(ctx), in.ID, in.Body)
		})},
	}
}

// sendCards makes a sheet of field cards, a printing of its own.
func (s *server) sendCards(w http.ResponseWriter, r *http.Request) {
	var g app.GivenCards
	if err := json.NewDecoder(http.MaxBytesReader(w, r.Body, 1<<16)).Decode(&g); err != nil {
		s.fail(w, r, trug.Errorf(trug.Invalid, "", "what was sent can't be read: reload the page and try again"))
		return
	}
	pdf, b, err := s.app.MakeCards(r.Context(), viewer(r.Context()), g)
	if err != nil {
		s.fail(w, r, err)
		return
	}
	w.Header().Set("Content-Type", "application/pdf")
	w.Header().Set("Content-Disposition", mime.FormatMediaType("attachment", map[string]string{"filename": fmt.Sprintf("cards-%s-%d.pdf", b.Layout, b.Number)}))
	_, _ = w.Write(pdf)
}
