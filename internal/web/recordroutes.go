package web

import (
	"context"

	"trug"
	"trug/internal/app"
)

// recordRoutes are what recorders do: the Daybook, photographs, records, and what may be done where.
func (s *server) recordRoutes() []route {
	return []route{
		{method: "GET", path: "/api/daybook", action: app.OpenDaybook, call: answer(s, func(ctx context.Context, in *struct {
			Date trug.Date `query:"date"`
		}) (app.DaybookPage, error) {
			return s.app.Daybook(ctx, viewer(ctx), in.Date)
		})},
		{method: "POST", path: "/api/photographs", action: app.HandIn, serve: s.takePhotograph, takes: "application/octet-stream", gives: app.ShownPhotograph{}},
		{method: "GET", path: "/api/photographs/{id}/advice", action: app.HandIn, call: answer(s, func(ctx context.Context, in *struct {
			ByID
			Kind trug.ViewKind `query:"kind" required:"true"`
		}) (app.LookedOver, error) {
			return s.app.LookOver(ctx, viewer(ctx), in.ID, in.Kind)
		})},
		{method: "GET", path: "/api/photographs/{id}/{size}", action: app.SeePhotograph, serve: s.sendPhotograph, gives: "image/jpeg"},
		{method: "GET", path: "/api/records", action: app.OpenBook, call: answer(s, s.book)},
		{method: "PUT", path: "/api/records/{id}", action: app.SaveARecord, call: answer(s, func(ctx context.Context, in *struct {
			ByID
			Body app.EditableRecord
		}) (app.RecordSheet, error) {
			return s.app.SaveRecord(ctx, viewer(ctx), in.ID, in.Body)
		})},
		{method: "GET", path: "/api/records/{id}", action: app.SeeRecord, call: answer(s, func(ctx context.Context, in *ByID) (app.RecordSheet, error) {
			return s.app.Record(ctx, viewer(ctx), in.ID)
		})},
		{method: "GET", path: "/api/records/{id}/history", action: app.SeeHistory, call: answer(s, func(ctx context.Context, in *ByID) ([]app.ShownAmendment, error) {
			return s.app.History(ctx, viewer(ctx), in.ID)
		})},
		{method: "POST", path: "/api/records/{id}/views/{view}/take-out", action: app.TakeOut, call: answer(s, func(ctx context.Context, in *struct {
			ByID
			View trug.ID `path:"view"`
		}) (app.RecordSheet, error) {
			return s.app.TakeOutView(ctx, viewer(ctx), in.ID, in.View)
		})},
		{method: "GET", path: "/api/records/{id}/questions", action: app.SaveARecord, call: answer(s, func(ctx context.Context, in *ByID) (app.FindQuestions, error) {
			return s.app.Questions(ctx, viewer(ctx), in.ID)
		})},
		{method: "POST", path: "/api/records/{id}/answers", action: app.SaveARecord, call: answer(s, func(ctx context.Context, in *struct {
			ByID
			Body app.GivenAnswer
		}) (app.FindQuestions, error) {
			return s.app.AnswerQuestion(ctx, viewer(ctx), in.ID, in.Body)
		})},
		// In a body, since a place in an address ends up in logs on the way here.
		{method: "POST", path: "/api/place", action: app.ReadAPlace, call: answer(s, func(ctx context.Context, in *struct {
			Body struct {
				Text string `json:"text" maxLength:"200"`
			}
		}) (app.ReadPlace, error) {
			return s.app.ReadPlace(ctx, viewer(ctx), in.Body.Text)
		})},
		{method: "POST", path: "/api/photographs/names", action: app.HandIn, call: answer(s, func(ctx context.Context, in *struct {
			Body struct {
				Files []app.NameAsked `json:"files"`
			}
		}) (app.NamedFiles, error) {
			return s.app.ReadFileNames(ctx, viewer(ctx), in.Body.Files)
		})},
		{method: "POST", path: "/api/records/{id}/views", action: app.HandIn, call: answer(s, func(ctx context.Context, in *struct {
			ByID
			Body struct {
				Views []app.EditableView `json:"views"`
			}
		}) (app.NumberedFind, error) {
			return s.app.AddViews(ctx, viewer(ctx), in.ID, in.Body.Views)
		})},
		{method: "GET", path: "/api/prompts", action: app.ReadAPlace, call: answer(s, func(ctx context.Context, in *struct {
			Site string    `query:"site"`
			Date trug.Date `query:"date"`
		}) ([]app.Ruling, error) {
			return s.app.Rulings(ctx, viewer(ctx), app.RulingsAsked{Site: in.Site, Date: in.Date})
		})},
		// A place is asked about in a body: addresses end up in logs on the way here.
		{method: "POST", path: "/api/prompts", action: app.ReadAPlace, call: answer(s, func(ctx context.Context, in *struct{ Body app.RulingsAsked }) ([]app.Ruling, error) {
			return s.app.Rulings(ctx, viewer(ctx), in.Body)
		})},
	}
}

// bookQuery is the Record book's query as an address bears it.
type bookQuery struct {
	Text  string   `query:"text" maxLength:"200"`
	Fact  []string `query:"fact,explode"`
	Form  string   `query:"form"`
	Foray string   `query:"foray"`
	Site  string   `query:"site"`
	// Colour is #rrggbb or L*,a*,b*; Within how near, CIEDE2000.
	Colour     string  `query:"colour" maxLength:"40"`
	Within     float64 `query:"within"`
	ColourName string  `query:"colourName" maxLength:"60"`
	ColourOf   string  `query:"colourOf" maxLength:"100"`
	Sort       string  `query:"sort"`
	From       int     `query:"from" minimum:"0"`
	Limit      int     `query:"limit" minimum:"0" maximum:"500"`
}

func (s *server) book(ctx context.Context, q *bookQuery) (app.BookPage, error) {
	return s.app.Book(ctx, viewer(ctx), app.BookQuery{Text: q.Text, Facts: q.Fact, Form: q.Form, Foray: q.Foray, Site: q.Site,
		Colour: q.Colour, Within: q.Within, ColourName: q.ColourName, ColourOf: q.ColourOf, Sort: q.Sort, From: q.From, Limit: q.Limit})
}
