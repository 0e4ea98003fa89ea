package web

import (
	"context"

	"trug/internal/app"
)

// deskRoutes are the Season desk: people, care, settings, the checklist and tables as files.
func (s *server) deskRoutes() []route {
	return []route{
		{method: "GET", path: "/api/people", action: app.OpenDesk, call: answer(s, func(ctx context.Context, q *deskQuery) (app.DeskPage[app.ShownPerson], error) {
			return s.app.People(ctx, viewer(ctx), q.query())
		})},
		{method: "GET", path: "/api/people/offers", action: app.OpenDesk, call: answer(s, func(ctx context.Context, q *OfferQuery) (app.Offered, error) {
			return s.app.OfferPeople(ctx, viewer(ctx), q.Text, q.Only)
		})},
		{method: "POST", path: "/api/people", action: app.AddSomebody, call: answer(s, func(ctx context.Context, in *struct{ Body app.NewPerson }) (app.ShownPerson, error) {
			return s.app.AddPerson(ctx, viewer(ctx), in.Body)
		})},
		{method: "POST", path: "/api/checklist", action: app.AddChecklist, serve: s.addChecklist, takes: "text/csv", gives: app.NamesAdded{}},
		{method: "GET", path: "/api/people/{id}", action: app.OpenDesk, call: answer(s, func(ctx context.Context, in *ByID) (app.EditablePerson, error) {
			return s.app.Person(ctx, viewer(ctx), in.ID)
		})},
		{method: "PUT", path: "/api/people/{id}", action: app.KeepDesk, call: answer(s, func(ctx context.Context, in *struct {
			ByID
			Body app.EditablePerson
		}) (app.EditablePerson, error) {
			return s.app.SavePerson(ctx, viewer(ctx), in.ID, in.Body)
		})},
		{method: "GET", path: "/api/care", action: app.OpenDesk, call: answer(s, func(ctx context.Context, _ *struct{}) (app.CareLists, error) {
			return s.app.Care(ctx, viewer(ctx))
		})},
		{method: "PUT", path: "/api/protected/{id}", action: app.KeepDesk, call: answer(s, func(ctx context.Context, in *struct {
			ByID
			Body app.ShownProtection
		}) (app.ShownProtection, error) {
			return s.app.SaveProtection(ctx, viewer(ctx), in.ID, in.Body)
		})},
		{method: "POST", path: "/api/protected/{id}/take-off", action: app.KeepDesk, call: answer(s, func(ctx context.Context, in *ByID) (app.ShownProtection, error) {
			return s.app.RemoveProtection(ctx, viewer(ctx), in.ID)
		})},
		{method: "PUT", path: "/api/look-alikes/{id}", action: app.KeepDesk, call: answer(s, func(ctx context.Context, in *struct {
			ByID
			Body app.ShownLookAlike
		}) (app.ShownLookAlike, error) {
			return s.app.SaveLookAlike(ctx, viewer(ctx), in.ID, in.Body)
		})},
		{method: "POST", path: "/api/look-alikes/{id}/take-off", action: app.KeepDesk, call: answer(s, func(ctx context.Context, in *ByID) (app.ShownLookAlike, error) {
			return s.app.RemoveLookAlike(ctx, viewer(ctx), in.ID)
		})},
		{method: "GET", path: "/api/settings", action: app.OpenDesk, call: answer(s, func(ctx context.Context, _ *struct{}) (app.Settings, error) {
			return s.app.Settings(ctx, viewer(ctx))
		})},
		{method: "PUT", path: "/api/settings", action: app.KeepDesk, call: answer(s, func(ctx context.Context, in *struct{ Body app.Settings }) (app.Settings, error) {
			return s.app.SaveSettings(ctx, viewer(ctx), in.Body)
		})},
		{method: "POST", path: "/api/settings/open", action: app.KeepDesk, call: answer(s, func(ctx context.Context, _ *struct{}) (app.Settings, error) {
			return s.app.OpenSeason(ctx, viewer(ctx))
		})},
		{method: "GET", path: "/api/tables/{name}", action: app.OpenDesk, serve: s.sendTable, gives: "text/csv"},
		{method: "POST", path: "/api/tables/{name}", action: app.KeepDesk, serve: s.takeTable, takes: "text/csv", gives: app.TableDone{}},
	}
}

// deskQuery is the query of a list of the desk as an address bears it.
type deskQuery struct {
	OfferQuery
	Sort  string `query:"sort"`
	From  int    `query:"from" minimum:"0"`
	Limit int    `query:"limit" minimum:"0" maximum:"200"`
}

func (q *deskQuery) query() app.DeskQuery {
	return app.DeskQuery{Text: q.Text, Only: q.Only, Sort: q.Sort, From: q.From, Limit: q.Limit}
}

// OfferQuery is what was typed to find something, and what it is narrowed to.
type OfferQuery struct {
	Text string `query:"text" maxLength:"200"`
	Only string `query:"only" maxLength:"20"`
}
