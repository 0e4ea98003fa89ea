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
			if err == nil {
				// The browser's former session would be nobody's to end.
				err = s.app.Leave(ctx, viewer(ctx))
			}
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
		{method: "POST", path: comeInPath + "password", action: app.ComeIn, call: letIn(s, func(ctx context.Context, v app.Viewer, c app.Caller, in *struct{ Body app.GivenPassword }) (app.Entered, error) {
			return s.app.SignIn(ctx, v, c, in.Body)
		})},
		{method: "POST", path: comeInPath + "recovery-code", action: app.ComeIn, call: letIn(s, func(ctx context.Context, v app.Viewer, c app.Caller, in *struct {
			Body struct {
				Code string `json:"code" maxLength:"100"`
			}
		}) (app.Entered, error) {
			return s.app.UseRecoveryCode(ctx, v, c, in.Body.Code)
		})},
		{method: "POST", path: comeInPath + "passkey/ask", action: app.ComeIn, call: answer(s, func(ctx context.Context, _ *struct{}) (app.PasskeyAsked, error) {
			return s.app.AskForKey(ctx, viewer(ctx), caller(ctx).Caller)
		})},
		{method: "POST", path: comeInPath + "passkey", action: app.ComeIn, call: letIn(s, func(ctx context.Context, v app.Viewer, c app.Caller, in *struct{ Body app.PasskeyAnswer }) (app.Entered, error) {
			return s.app.SignInByKey(ctx, v, c, in.Body)
		})},
		{method: "POST", path: comeInPath + "invitation/look", action: app.ComeIn, call: answer(s, func(ctx context.Context, in *struct {
			Body struct {
				Token string `json:"token" maxLength:"200"`
			}
		}) (app.AskedIn, error) {
			return s.app.LookAtInvitation(ctx, viewer(ctx), caller(ctx).Caller, in.Body.Token)
		})},
		{method: "POST", path: comeInPath + "invitation/passkey", action: app.ComeIn, call: answer(s, func(ctx context.Context, in *struct {
			Body struct {
				Token string `json:"token" maxLength:"200"`
				Name  string `json:"name" maxLength:"200"`
			}
		}) (app.PasskeyAsked, error) {
			return s.app.BeginInvitedKey(ctx, viewer(ctx), caller(ctx).Caller, in.Body.Token, in.Body.Name)
		})},
		{method: "POST", path: comeInPath + "invitation", action: app.ComeIn, call: letIn(s, func(ctx context.Context, v app.Viewer, c app.Caller, in *struct{ Body app.Acceptance }) (app.Entered, error) {
			return s.app.AcceptInvitation(ctx, v, c, in.Body)
		})},
		{method: "GET", path: "/api/me/ways", action: app.KeepOwnWays, call: answer(s, func(ctx context.Context, _ *struct{}) (app.ShownWays, error) {
			return s.app.Ways(ctx, viewer(ctx))
		})},
		{method: "PUT", path: "/api/me/password", action: app.KeepOwnWays, call: answer(s, func(ctx context.Context, in *struct{ Body app.ChangedPassword }) (nothing, error) {
			return nothing{}, s.app.ChangePassword(ctx, viewer(ctx), caller(ctx).Caller, in.Body)
		})},
		{method: "POST", path: "/api/me/recovery-codes", action: app.KeepOwnWays, call: answer(s, func(ctx context.Context, _ *struct{}) (app.GivenCodes, error) {
			return s.app.MakeRecoveryCodes(ctx, viewer(ctx))
		})},
		{method: "POST", path: "/api/me/passkeys/ask", action: app.KeepOwnWays, call: answer(s, func(ctx context.Context, _ *struct{}) (app.PasskeyAsked, error) {
			return s.app.BeginKey(ctx, viewer(ctx), caller(ctx).Caller)
		})},
		{method: "POST", path: "/api/me/passkeys", action: app.KeepOwnWays, call: answer(s, func(ctx context.Context, in *struct{ Body app.PasskeyAnswer }) (app.ShownWays, error) {
			return s.app.AddKey(ctx, viewer(ctx), caller(ctx).Caller, in.Body)
		})},
		{method: "POST", path: "/api/me/passkeys/{id}/remove", action: app.KeepOwnWays, call: answer(s, func(ctx context.Context, in *ByID) (app.ShownWays, error) {
			return s.app.RemoveKey(ctx, viewer(ctx), in.ID)
		})},
		{method: "GET", path: "/api/invitations", action: app.OpenDesk, call: answer(s, func(ctx context.Context, _ *struct{}) ([]app.ShownInvitation, error) {
			return s.app.Invitations(ctx, viewer(ctx))
		})},
		{method: "POST", path: "/api/invitations", action: app.KeepDesk, call: answer(s, func(ctx context.Context, in *struct{ Body app.NewInvitation }) (app.MadeInvitation, error) {
			return s.app.Invite(ctx, viewer(ctx), caller(ctx).Origin, in.Body)
		})},
		{method: "POST", path: "/api/invitations/{id}/revoke", action: app.KeepDesk, call: answer(s, func(ctx context.Context, in *ByID) (app.ShownInvitation, error) {
			return s.app.RevokeInvitation(ctx, viewer(ctx), in.ID)
		})},
		{method: "GET", path: "/api/me/sessions", action: app.KeepOwnWays, call: answer(s, func(ctx context.Context, _ *struct{}) ([]app.ShownSession, error) {
			return s.app.Sessions(ctx, viewer(ctx))
		})},
		{method: "GET", path: "/api/me/sign-ins", action: app.KeepOwnWays, call: answer(s, func(ctx context.Context, _ *struct{}) ([]app.ShownSignIn, error) {
			return s.app.SignIns(ctx, viewer(ctx))
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
			return s.app.BringChild(ctx, viewer(ctx), caller(ctx).Caller, in.Body)
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
