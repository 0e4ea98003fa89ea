package web

import (
	"context"
	"fmt"
	"mime"
	"net/http"

	"trug"
	"trug/internal/app"
)

// auditQuery is what of the audit an address asks for.
type auditQuery struct {
	What   string    `query:"what" doc:"looks, changes, entries or guesses"`
	Act    string    `query:"act" maxLength:"40" doc:"A sort of act that the list offers"`
	Person trug.ID   `query:"person" maxLength:"40"`
	Thing  string    `query:"thing" maxLength:"40" doc:"Field number of a record, or mark of a site, foray or person"`
	From   trug.Date `query:"from" maxLength:"10" doc:"First day"`
	Until  trug.Date `query:"until" maxLength:"10" doc:"Last day"`
	Before string    `query:"before" maxLength:"40" doc:"What a page gave as next"`
}

func (q auditQuery) asked() app.AuditAsked {
	return app.AuditAsked{What: q.What, Act: q.Act, Person: q.Person, Thing: q.Thing, From: q.From, Until: q.Until, Before: q.Before}
}

// rightsRoutes is the part of the table on the rights of people: views on which
// somebody can be seen, and who looked and who changed what.
func (s *server) rightsRoutes() []route {
	return []route{
		{method: "POST", path: "/api/records/{id}/views/{view}/mark", action: app.MarkPerson, call: answer(s, func(ctx context.Context, in *struct {
			ByID
			View trug.ID `path:"view"`
			Body app.GivenMark
		}) (nothing, error) {
			return nothing{}, s.app.MarkView(ctx, viewer(ctx), in.ID, in.View, in.Body)
		})},
		{method: "GET", path: "/api/kept/{id}", action: app.SeeKept, call: answer(s, func(ctx context.Context, in *ByID) (app.KeptPage, error) {
			return s.app.Kept(ctx, viewer(ctx), in.ID)
		})},
		{method: "GET", path: "/api/kept/{id}/copy.zip", action: app.SeeKept, serve: s.sendKept, gives: "application/zip"},
		{method: "POST", path: "/api/kept/{id}/withdraw", action: app.SeeKept, call: answer(s, func(ctx context.Context, in *struct {
			ByID
			Body struct {
				About trug.ConsentAbout `json:"about" doc:"name, pictures or letters"`
			}
		}) (app.KeptPage, error) {
			return s.app.WithdrawConsent(ctx, viewer(ctx), in.ID, in.Body.About)
		})},
		{method: "POST", path: "/api/kept/{id}/take-out", action: app.TakeOutName, call: answer(s, func(ctx context.Context, in *struct {
			ByID
			Body app.GivenTakingOut
		}) (nothing, error) {
			return nothing{}, s.app.TakeOutName(ctx, viewer(ctx), in.ID, in.Body)
		})},
		{method: "GET", path: "/api/kept/{id}/mentions", action: app.TakeOutName, call: answer(s, func(ctx context.Context, in *ByID) (app.MentionsPage, error) {
			return s.app.Mentions(ctx, viewer(ctx), in.ID)
		})},
		{method: "POST", path: "/api/kept/{id}/ask", action: app.AskForOut, call: answer(s, func(ctx context.Context, in *struct {
			ByID
			Body app.GivenWish
		}) (app.KeptPage, error) {
			return s.app.AskOut(ctx, viewer(ctx), in.ID, in.Body)
		})},
		{method: "POST", path: "/api/kept/{id}/ask-no-more", action: app.AskForOut, call: answer(s, func(ctx context.Context, in *ByID) (app.KeptPage, error) {
			return s.app.TakeWishBack(ctx, viewer(ctx), in.ID)
		})},
		{method: "POST", path: "/api/records/{id}/take-out", action: app.TakeOutRecord, call: answer(s, func(ctx context.Context, in *struct {
			ByID
			Body app.GivenOutOrBack
		}) (app.KeptPage, error) {
			return s.app.TakeOutRecord(ctx, viewer(ctx), in.ID, in.Body)
		})},
		{method: "GET", path: "/api/wishes", action: app.OpenDesk, call: answer(s, func(ctx context.Context, _ *struct{}) (app.WishesPage, error) {
			return s.app.Wishes(ctx, viewer(ctx))
		})},
		{method: "POST", path: "/api/wishes/{id}/decline", action: app.KeepDesk, call: answer(s, func(ctx context.Context, in *struct {
			ByID
			Body struct {
				How trug.WishEnd `json:"how" doc:"One of the refusals that the list offers"`
			}
		}) (app.WishesPage, error) {
			return s.app.DeclineWish(ctx, viewer(ctx), in.ID, in.Body.How)
		})},
		{method: "GET", path: "/api/marks", action: app.OpenDesk, call: answer(s, func(ctx context.Context, q *struct {
			State string  `query:"state" doc:"waiting (the default), cleared, cropped or all"`
			By    trug.ID `query:"by" maxLength:"40" doc:"Marked by this person"`
			From  int     `query:"from" minimum:"0"`
			Limit int     `query:"limit" minimum:"0" maximum:"100"`
		}) (app.MarksPage, error) {
			return s.app.Marks(ctx, viewer(ctx), app.MarksAsked{State: q.State, By: q.By, From: q.From, Limit: q.Limit})
		})},
		{method: "POST", path: "/api/views/{id}/clear", action: app.KeepDesk, call: answer(s, func(ctx context.Context, in *struct {
			ByID
			Body app.GivenClear
		}) (nothing, error) {
			return nothing{}, s.app.ClearView(ctx, viewer(ctx), in.ID, in.Body)
		})},
		{method: "POST", path: "/api/views/{id}/crop", action: app.CropAView, call: answer(s, func(ctx context.Context, in *struct {
			ByID
			Body app.GivenCrop
		}) (nothing, error) {
			return nothing{}, s.app.CropView(ctx, viewer(ctx), in.ID, in.Body)
		})},
		{method: "GET", path: "/api/audit", action: app.SeeAudit, call: answer(s, func(ctx context.Context, q *auditQuery) (app.AuditPage, error) {
			return s.app.Audit(ctx, viewer(ctx), q.asked())
		})},
		{method: "GET", path: "/api/audit.csv", action: app.SeeAudit, serve: s.sendAudit, gives: "text/csv"},
	}
}

// sendKept hands somebody all that is kept about them, as it is written.
func (s *server) sendKept(w http.ResponseWriter, r *http.Request) {
	x, err := s.app.ExportKept(r.Context(), viewer(r.Context()), trug.ID(r.PathValue("id")))
	if err != nil {
		s.fail(w, r, err)
		return
	}
	w.Header().Set("Content-Type", "application/zip")
	w.Header().Set("Content-Disposition", mime.FormatMediaType("attachment", map[string]string{"filename": x.Name()}))
	if err := x.Write(r.Context(), w); err != nil {
		panic(fmt.Errorf("write what is kept: %w", err)) // the head is out: a zip that breaks off is seen to be broken
	}
}

// sendAudit hands lines of the audit out as CSV.
func (s *server) sendAudit(w http.ResponseWriter, r *http.Request) {
	q := r.URL.Query()
	text, err := s.app.AuditCSV(r.Context(), viewer(r.Context()), auditQuery{What: q.Get("what"), Act: q.Get("act"), Person: trug.ID(q.Get("person")), Thing: q.Get("thing"),
		From: trug.Date(q.Get("from")), Until: trug.Date(q.Get("until")), Before: q.Get("before")}.asked())
	if err != nil {
		s.fail(w, r, err)
		return
	}
	sendDownload(w, "text/csv; charset=utf-8", "audit.csv", text)
}

// sendDownload answers with a file for the visitor to keep.
func sendDownload(w http.ResponseWriter, kind, name string, data []byte) {
	w.Header().Set("Content-Type", kind)
	w.Header().Set("Content-Disposition", mime.FormatMediaType("attachment", map[string]string{"filename": name}))
	_, _ = w.Write(data)
}
