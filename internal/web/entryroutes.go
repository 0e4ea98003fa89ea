package web

import (
	"context"

	"github.com/danielgtaylor/huma/v2"

	"trug/internal/app"
)

// comeInPath is under what everything lies by which people come in.
const comeInPath = "/api/come-in/"

// letIn makes a huma operation of a use case by which somebody comes in.
func letIn[In any](s *server, use func(context.Context, app.Viewer, app.Caller, *In) (app.Entered, error)) func(huma.API, huma.Operation) {
	return func(api huma.API, op huma.Operation) {
		huma.Register(api, op, func(ctx context.Context, in *In) (*cameIn, error) {
			entered, err := use(ctx, viewer(ctx), caller(ctx).Caller, in)
			if err != nil {
				return nil, s.asProblem(ctx, op.Method+" "+op.Path, err)
			}
			return s.entry(ctx, entered), nil
		})
	}
}

// entryRoutes is the part of the table by which people come in, look after
// their devices and codes, and by which the coordinator lets them.
func (s *server) entryRoutes() []route {
	return []route{
		{method: "POST", path: comeInPath + "field-code", action: app.ComeIn, call: letIn(s, func(ctx context.Context, v app.Viewer, c app.Caller, in *struct{ Body app.TakenCode }) (app.Entered, error) {
			return s.app.TakeFieldCode(ctx, v, c, in.Body)
		})},
		{method: "POST", path: comeInPath + "phrase", action: app.ComeIn, call: letIn(s, func(ctx context.Context, v app.Viewer, c app.Caller, in *struct {
			Body struct {
				Phrase string `json:"phrase" maxLength:"300"`
			}
		}) (app.Entered, error) {
			return s.app.SayPhrase(ctx, v, c, in.Body.Phrase)
		})},
		{method: "GET", path: "/api/me/sessions", action: app.KeepOwnWays, call: answer(s, func(ctx context.Context, _ *struct{}) ([]app.ShownSession, error) {
			return s.app.Sessions(ctx, viewer(ctx))
		})},
		{method: "POST", path: "/api/me/sessions/{id}/end", action: app.KeepOwnWays, call: answer(s, func(ctx context.Context, in *ByID) (nothing, error) {
			return nothing{}, s.app.EndSession(ctx, viewer(ctx), in.ID)
		})},
		{method: "POST", path: "/api/me/sessions/end-others", action: app.KeepOwnWays, call: answer(s, func(ctx context.Context, _ *struct{}) (nothing, error) {
			return nothing{}, s.app.EndOtherSessions(ctx, viewer(ctx))
		})},
		{method: "POST", path: "/api/me/phrase", action: app.KeepOwnWays, call: answer(s, func(ctx context.Context, _ *struct{}) (app.GivenPhrase, error) {
			return s.app.MakePhrase(ctx, viewer(ctx))
		})},
		{method: "POST", path: "/api/me/children", action: app.KeepOwnWays, call: answer(s, func(ctx context.Context, in *struct{ Body app.GivenChild }) (app.GivenPhrase, error) {
			return s.app.BringChild(ctx, viewer(ctx), in.Body)
		})},
		{method: "GET", path: "/api/field-code", action: app.OpenDesk, call: answer(s, func(ctx context.Context, _ *struct{}) (app.ShownFieldCode, error) {
			return s.app.FieldCode(ctx, viewer(ctx))
		})},
		{method: "PUT", path: "/api/field-code", action: app.KeepDesk, call: answer(s, func(ctx context.Context, in *struct{ Body app.ShownFieldCode }) (app.ShownFieldCode, error) {
			return s.app.SaveFieldCode(ctx, viewer(ctx), in.Body)
		})},
		{method: "GET", path: "/api/guesses", action: app.OpenDesk, call: answer(s, func(ctx context.Context, _ *struct{}) ([]app.ShownGuesses, error) {
			return s.app.Guesses(ctx, viewer(ctx))
		})},
		{method: "POST", path: "/api/guesses/forget", action: app.KeepDesk, call: answer(s, func(ctx context.Context, _ *struct{}) (nothing, error) {
			return nothing{}, s.app.ForgetGuesses(ctx, viewer(ctx))
		})},
		{method: "POST", path: "/api/people/{id}/end-ways", action: app.KeepDesk, call: answer(s, func(ctx context.Context, in *struct {
			ByID
			Body struct {
				All bool `json:"all" doc:"Password, passkeys, codes and phrase as well"`
			}
		}) (nothing, error) {
			return nothing{}, s.app.EndWays(ctx, viewer(ctx), in.ID, in.Body.All)
		})},
	}
}
