package web

import (
	"context"

	"trug/internal/app"
)

// seasonRoutes are what the season shows of itself, its maps, and how one is set up.
func (s *server) seasonRoutes() []route {
	return []route{
		{method: "GET", path: "/api/season", action: app.SeeSeason, call: answer(s, func(ctx context.Context, _ *struct{}) (app.ShownSeason, error) {
			return s.app.Season(ctx, viewer(ctx))
		})},
		{method: "GET", path: "/api/setup", setup: true, call: answer(s, s.setupOpen)},
		{method: "POST", path: "/api/seasons", setup: true, call: answer(s, s.createSeason)},
		{method: "GET", path: "/api/ground", action: app.SeeGround, serve: s.sendGround, gives: "application/geo+json"},
		{method: "GET", path: "/api/squares", action: app.OpenSquares, call: answer(s, func(ctx context.Context, in *struct {
			Side int `query:"side" doc:"Metres; left out: the season's own grid"`
		}) (app.SquaresPage, error) {
			return s.app.Squares(ctx, viewer(ctx), in.Side)
		})},
		{method: "GET", path: "/api/drawing", action: app.SeeDrawing, call: answer(s, func(ctx context.Context, _ *struct{}) (app.DrawingProgress, error) {
			return s.app.DrawingProgress(ctx, viewer(ctx))
		})},
		{method: "POST", path: "/api/leave", action: app.LeaveSeason, serve: s.leave, gives: struct{}{}},
	}
}

// SetupState says whether a season may be set up by the visitor.
type SetupState struct {
	Open bool `json:"open"`
}

func (s *server) setupOpen(ctx context.Context, _ *struct{}) (SetupState, error) {
	open, err := s.app.SetupOpen(ctx, caller(ctx).setup)
	return SetupState{Open: open}, err
}

// SeasonMade gives the invitation by which whoever has just set a season up
// comes in as its coordinator.
type SeasonMade struct {
	Link string `json:"link"`
}

func (s *server) createSeason(ctx context.Context, in *struct{ Body app.NewSeason }) (SeasonMade, error) {
	season, p, err := s.app.CreateSeason(ctx, caller(ctx).setup, in.Body)
	if err != nil {
		return SeasonMade{}, err
	}
	link, err := s.app.InviteCoordinator(ctx, season.ID, p.ID)
	return SeasonMade{Link: link}, err
}
