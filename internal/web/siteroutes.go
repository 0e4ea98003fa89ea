package web

import (
	"context"

	"trug/internal/app"
)

// siteRoutes are the sites of the desk, and outlines that are read for them.
func (s *server) siteRoutes() []route {
	return []route{
		{method: "GET", path: "/api/sites", action: app.SeeSites, call: answer(s, func(ctx context.Context, q *deskQuery) (app.DeskPage[app.SiteLine], error) {
			return s.app.Sites(ctx, viewer(ctx), q.query())
		})},
		{method: "GET", path: "/api/sites/offers", action: app.SeeSites, call: answer(s, func(ctx context.Context, q *OfferQuery) (app.Offered, error) {
			return s.app.OfferSites(ctx, viewer(ctx), q.Text)
		})},
		{method: "GET", path: "/api/sites/map", action: app.SeeSites, call: answer(s, func(ctx context.Context, q *OfferQuery) ([]app.SiteEdge, error) {
			return s.app.SiteEdges(ctx, viewer(ctx), app.DeskQuery{Text: q.Text, Only: q.Only})
		})},
		{method: "GET", path: "/api/sites/{id}", action: app.SeeSites, call: answer(s, func(ctx context.Context, in *ByID) (app.ShownDeskSite, error) {
			return s.app.Site(ctx, viewer(ctx), in.ID)
		})},
		{method: "PUT", path: "/api/sites/{id}", action: app.KeepDesk, call: answer(s, func(ctx context.Context, in *struct {
			ByID
			Body app.ShownDeskSite
		}) (app.ShownDeskSite, error) {
			return s.app.SaveSite(ctx, viewer(ctx), in.ID, in.Body)
		})},
		{method: "POST", path: "/api/outline", action: app.KeepDesk, serve: s.readOutline, takes: "application/octet-stream", gives: app.ReadShape{}},
		{method: "POST", path: "/api/outline/check", action: app.KeepDesk, call: answer(s, func(ctx context.Context, in *struct {
			Body struct {
				Rings [][][2]float64 `json:"rings"`
			}
		}) (app.ReadShape, error) {
			return s.app.CheckOutline(ctx, viewer(ctx), in.Body.Rings)
		})},
	}
}
