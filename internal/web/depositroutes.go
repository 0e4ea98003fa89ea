package web

import (
	"context"

	"trug/internal/app"
)

// depositRoutes are the deposits and what comes before one.
func (s *server) depositRoutes() []route {
	return []route{
		{method: "GET", path: "/api/deposits", action: app.SeeDeposits, call: answer(s, func(ctx context.Context, _ *struct{}) (app.DepositsPage, error) {
			return s.app.Deposits(ctx, viewer(ctx))
		})},
		{method: "GET", path: "/api/deposits/next", action: app.PrepareDeposit, call: answer(s, func(ctx context.Context, _ *struct{}) (app.BeforeDeposit, error) {
			return s.app.BeforeDeposit(ctx, viewer(ctx))
		})},
		{method: "POST", path: "/api/deposits", action: app.PublishDeposit, call: answer(s, func(ctx context.Context, in *struct{ Body app.GivenDeposit }) (app.ShownDeposit, error) {
			return s.app.Publish(ctx, viewer(ctx), in.Body)
		})},
		{method: "GET", path: "/api/deposits/{public}/archive", action: app.GetArchive, serve: s.sendArchive, gives: "application/zip"},
	}
}
