package web

import (
	"context"

	"trug"
	"trug/internal/app"
)

// tableRoutes are the table of the determiners: names, the flap, and what is asked for.
func (s *server) tableRoutes() []route {
	return []route{
		{method: "POST", path: "/api/records/{id}/flap", action: app.LiftTheFlap, call: answer(s, func(ctx context.Context, in *ByID) (app.RecordSheet, error) {
			return s.app.LiftFlap(ctx, viewer(ctx), in.ID)
		})},
		{method: "POST", path: "/api/records/{id}/determinations", action: app.PutName, call: answer(s, func(ctx context.Context, in *struct {
			ByID
			Body app.GivenName
		}) (app.RecordSheet, error) {
			return s.app.Determine(ctx, viewer(ctx), in.ID, in.Body)
		})},
		{method: "POST", path: "/api/records/{id}/key", action: app.PutName, call: answer(s, func(ctx context.Context, in *struct {
			ByID
			Body app.KeyAsked
		}) (app.KeySheet, error) {
			return s.app.KeyOf(ctx, viewer(ctx), in.ID, in.Body)
		})},
		{method: "POST", path: "/api/records/{id}/passes", action: app.PassOn, call: answer(s, func(ctx context.Context, in *struct {
			ByID
			Body app.GivenPass
		}) (struct{}, error) {
			return struct{}{}, s.app.PassFind(ctx, viewer(ctx), in.ID, in.Body)
		})},
		{method: "POST", path: "/api/records/{id}/requests", action: app.AskForView, call: answer(s, func(ctx context.Context, in *struct {
			ByID
			Body app.GivenRequest
		}) (app.RecordSheet, error) {
			return s.app.AskFor(ctx, viewer(ctx), in.ID, in.Body)
		})},
		{method: "POST", path: "/api/records/{id}/requests/{request}/end", action: app.EndARequest, call: answer(s, func(ctx context.Context, in *struct {
			ByID
			Request trug.ID `path:"request"`
			Body    struct {
				How trug.RequestEnd `json:"how" doc:"gone, kept, or taken back"`
			}
		}) (app.RecordSheet, error) {
			return s.app.EndRequest(ctx, viewer(ctx), in.ID, in.Request, in.Body.How)
		})},
		{method: "GET", path: "/api/table", action: app.OpenTable, call: answer(s, func(ctx context.Context, _ *struct{}) (app.TablePage, error) {
			return s.app.Table(ctx, viewer(ctx))
		})},
		{method: "GET", path: "/api/names", action: app.CompleteName, call: answer(s, func(ctx context.Context, in *struct {
			Starts string `query:"starts" maxLength:"200"`
		}) ([]app.NameChoice, error) {
			return s.app.Names(ctx, viewer(ctx), in.Starts)
		})},
	}
}
