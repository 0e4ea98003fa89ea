package web

import (
	"context"

	"trug/internal/app"
)

// forayRoutes are the forays with their tables, slips and printed sheets.
func (s *server) forayRoutes() []route {
	return []route{
		{method: "GET", path: "/api/forays", action: app.SeeForays, call: answer(s, func(ctx context.Context, q *deskQuery) (app.DeskPage[app.ForayLine], error) {
			return s.app.Forays(ctx, viewer(ctx), q.query())
		})},
		{method: "GET", path: "/api/forays/offers", action: app.SeeForays, call: answer(s, func(ctx context.Context, q *OfferQuery) (app.Offered, error) {
			return s.app.OfferForays(ctx, viewer(ctx), q.Text, q.Only)
		})},
		{method: "GET", path: "/api/forays/{id}", action: app.SeeForays, call: answer(s, func(ctx context.Context, in *ByID) (app.ShownForay, error) {
			return s.app.Foray(ctx, viewer(ctx), in.ID)
		})},
		{method: "GET", path: "/api/forays/coming", action: app.ComeAlong, call: answer(s, func(ctx context.Context, _ *struct{}) ([]app.ComingForay, error) {
			return s.app.ComingForays(ctx, viewer(ctx))
		})},
		{method: "PUT", path: "/api/forays/{id}", action: app.KeepForay, call: answer(s, func(ctx context.Context, in *struct {
			ByID
			Body app.ShownForay
		}) (app.ShownForay, error) {
			return s.app.SaveForay(ctx, viewer(ctx), in.ID, in.Body)
		})},
		{method: "POST", path: "/api/forays/{id}/sign-up", action: app.ComeAlong, call: answer(s, func(ctx context.Context, in *struct {
			ByID
			Body struct {
				Comes bool `json:"comes"`
			}
		}) (app.ComingForay, error) {
			return s.app.SignUp(ctx, viewer(ctx), in.ID, in.Body.Comes)
		})},
		{method: "POST", path: "/api/forays/{id}/heads", action: app.KeepForay, call: answer(s, func(ctx context.Context, in *struct {
			ByID
			Body app.GivenHeads
		}) (app.ComingForay, error) {
			return s.app.CountHeads(ctx, viewer(ctx), in.ID, in.Body)
		})},
		{method: "GET", path: "/api/forays/{id}/table", action: app.KeepForay, call: answer(s, func(ctx context.Context, in *ByID) (app.ForayTablePage, error) {
			return s.app.ForayTable(ctx, viewer(ctx), in.ID)
		})},
		{method: "PUT", path: "/api/forays/{id}/table", action: app.KeepForay, call: answer(s, func(ctx context.Context, in *struct {
			ByID
			Body struct {
				Rows []app.ForayRow `json:"rows"`
			}
		}) (app.ForayTableDone, error) {
			return s.app.SaveForayTable(ctx, viewer(ctx), in.ID, in.Body.Rows)
		})},
		{method: "POST", path: "/api/forays/{id}/table/out", action: app.KeepForay, call: answer(s, func(ctx context.Context, in *struct {
			ByID
			Body app.GivenOut
		}) (app.ForayTablePage, error) {
			return s.app.TakeOutRows(ctx, viewer(ctx), in.ID, in.Body)
		})},
		{method: "POST", path: "/api/forays/{id}/sign-ups", action: app.KeepForay, call: answer(s, func(ctx context.Context, in *struct {
			ByID
			Body app.GivenSignUps
		}) (app.ShownForay, error) {
			return s.app.ChangeSignUps(ctx, viewer(ctx), in.ID, in.Body)
		})},
		{method: "POST", path: "/api/forays/{id}/hand-on", action: app.KeepForay, call: answer(s, func(ctx context.Context, in *struct {
			ByID
			Body struct {
				To string `json:"to" doc:"Chosen name, code or identifier of a leader"`
			}
		}) (app.ShownForay, error) {
			return s.app.HandOn(ctx, viewer(ctx), in.ID, in.Body.To)
		})},
		{method: "GET", path: "/api/leaders", action: app.SeeForays, call: answer(s, func(ctx context.Context, _ *struct{}) ([]app.ShownLeader, error) {
			return s.app.Leaders(ctx, viewer(ctx))
		})},
		{method: "GET", path: "/api/slips", action: app.KeepForay, call: answer(s, func(ctx context.Context, _ *struct{}) ([]app.ShownSlips, error) {
			return s.app.SlipRanges(ctx, viewer(ctx))
		})},
		{method: "PUT", path: "/api/slips/{id}", action: app.KeepForay, call: answer(s, func(ctx context.Context, in *struct {
			ByID
			Body app.GivenSlips
		}) (app.ShownSlips, error) {
			return s.app.ReserveSlips(ctx, viewer(ctx), in.ID, in.Body)
		})},
		{method: "POST", path: "/api/route", action: app.KeepForay, serve: s.readRoute, takes: "application/octet-stream", gives: app.ReadShape{}},
		{method: "GET", path: "/api/paper/{sheet}", action: app.KeepForay, serve: s.sendPaper, gives: "application/pdf"},
	}
}
