package web

import (
	"context"
	"net/http"
	"reflect"
	"regexp"
	"slices"

	"github.com/danielgtaylor/huma/v2"
	"github.com/danielgtaylor/huma/v2/adapters/humago"

	"trug"
	"trug/internal/app"
)

// route is a row of the table of routes: what is asked by it, of the one
// table of permissions in app, and what answers.
type route struct {
	method, path string
	// action is what app decides about; empty for what is neither season nor
	// person: entry, pages, assets.
	action app.Action
	// setup marks what belongs to setting up the first season.
	setup bool
	// serve answers by itself; call answers by huma.
	serve http.HandlerFunc
	call  func(api huma.API, op huma.Operation)
	// takes and gives describe a route that answers by itself: the media type
	// of its body, and either that of its answer or the struct that it is.
	takes string
	gives any
}

// maxJSON bounds a body of JSON; an outline drawn with every bend has 1 MB.
const maxJSON = 4 << 20

func (r route) register(s *server, api huma.API, mux *http.ServeMux) {
	op := huma.Operation{Method: r.method, Path: r.path, OperationID: operationID(r.method, r.path), Summary: string(r.action),
		MaxBodyBytes: maxJSON, BodyReadTimeout: usual.patience}
	if r.serve == nil {
		op.Middlewares = huma.Middlewares{func(ctx huma.Context, next func(huma.Context)) {
			if req, w := humago.Unwrap(ctx); s.guard(w, req, r.action) {
				next(ctx)
			}
		}}
		r.call(api, op)
		return
	}
	mux.HandleFunc(r.method+" "+r.path, func(w http.ResponseWriter, req *http.Request) {
		if s.guard(w, req, r.action) {
			r.serve(w, req)
		}
	})
	if r.gives != nil {
		r.describe(api, op)
	}
}

// guard answers whoever may not ask for the action, before anything of what
// they sent is read. The use case asks again: the web is not its only caller.
func (s *server) guard(w http.ResponseWriter, r *http.Request, action app.Action) bool {
	if action == "" {
		return true
	}
	err := viewer(r.Context()).Permit(action)
	if err != nil {
		s.fail(w, r, err)
	}
	return err == nil
}

var pathParameter = regexp.MustCompile(`\{(\w+)\}`)

// describe adds a route that answers by itself to the API's description.
func (r route) describe(api huma.API, op huma.Operation) {
	for _, p := range pathParameter.FindAllStringSubmatch(r.path, -1) {
		op.Parameters = append(op.Parameters, &huma.Param{Name: p[1], In: "path", Required: true, Schema: &huma.Schema{Type: "string"}})
	}
	if r.takes != "" {
		op.RequestBody = &huma.RequestBody{Required: true, Content: map[string]*huma.MediaType{r.takes: {}}}
		op.Parameters = append(op.Parameters, &huma.Param{Name: "name", In: "query", Description: "Name of the file", Schema: &huma.Schema{Type: "string"}})
	}
	content := map[string]*huma.MediaType{}
	if kind, plain := r.gives.(string); plain {
		content[kind] = &huma.MediaType{}
	} else {
		content["application/json"] = &huma.MediaType{Schema: huma.SchemaFromType(api.OpenAPI().Components.Schemas, reflect.TypeOf(r.gives))}
	}
	problem := huma.SchemaFromType(api.OpenAPI().Components.Schemas, reflect.TypeFor[Problem]())
	op.Responses = map[string]*huma.Response{"200": {Description: "OK", Content: content},
		"default": {Description: "Error", Content: map[string]*huma.MediaType{"application/problem+json": {Schema: problem}}}}
	api.OpenAPI().AddOperation(&op)
}

// operationID makes "get-api-records-id" of a route.
func operationID(method, path string) string {
	id := []byte(method + path)
	for i, c := range id {
		switch {
		case 'A' <= c && c <= 'Z':
			id[i] = c + 'a' - 'A'
		case c == '/' || c == '{' || c == '}':
			id[i] = '-'
		}
	}
	return string(id)
}

// routes is the table of every route.
func (s *server) routes() []route {
	table := []route{
		{method: "GET", path: "/api/season", action: app.SeeSeason, call: answer(s, func(ctx context.Context, _ *struct{}) (app.ShownSeason, error) {
			return s.app.Season(ctx, viewer(ctx))
		})},
		{method: "GET", path: "/api/setup", setup: true, call: answer(s, s.setupOpen)},
		{method: "POST", path: "/api/seasons", setup: true, call: answer(s, s.createSeason)},
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
		{method: "POST", path: "/api/records/{id}/flap", action: app.LiftTheFlap, call: answer(s, func(ctx context.Context, in *ByID) (app.RecordSheet, error) {
			return s.app.LiftFlap(ctx, viewer(ctx), in.ID)
		})},
		{method: "POST", path: "/api/records/{id}/determinations", action: app.PutName, call: answer(s, func(ctx context.Context, in *struct {
			ByID
			Body app.GivenName
		}) (app.RecordSheet, error) {
			return s.app.Determine(ctx, viewer(ctx), in.ID, in.Body)
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
		// In a body, since a place in an address ends up in logs on the way here.
		{method: "POST", path: "/api/place", action: app.ReadAPlace, call: answer(s, func(ctx context.Context, in *struct {
			Body struct {
				Text string `json:"text" maxLength:"200"`
			}
		}) (app.ReadPlace, error) {
			return s.app.ReadPlace(ctx, viewer(ctx), in.Body.Text)
		})},
		{method: "GET", path: "/api/ground", action: app.SeeGround, serve: s.sendGround, gives: "application/geo+json"},
		{method: "GET", path: "/api/squares", action: app.OpenSquares, call: answer(s, func(ctx context.Context, in *struct {
			Side int `query:"side" doc:"Metres; left out: the season's own grid"`
		}) (app.SquaresPage, error) {
			return s.app.Squares(ctx, viewer(ctx), in.Side)
		})},
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
		{method: "GET", path: "/api/settings", action: app.OpenDesk, call: answer(s, func(ctx context.Context, _ *struct{}) (app.Settings, error) {
			return s.app.Settings(ctx, viewer(ctx))
		})},
		{method: "PUT", path: "/api/settings", action: app.KeepDesk, call: answer(s, func(ctx context.Context, in *struct{ Body app.Settings }) (app.Settings, error) {
			return s.app.SaveSettings(ctx, viewer(ctx), in.Body)
		})},
		{method: "POST", path: "/api/settings/open", action: app.KeepDesk, call: answer(s, func(ctx context.Context, _ *struct{}) (app.Settings, error) {
			return s.app.OpenSeason(ctx, viewer(ctx))
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
		{method: "POST", path: "/api/outline", action: app.KeepDesk, serve: s.readOutline, takes: "application/octet-stream", gives: app.ReadShape{}},
		{method: "POST", path: "/api/outline/check", action: app.KeepDesk, call: answer(s, func(ctx context.Context, in *struct {
			Body struct {
				Rings [][][2]float64 `json:"rings"`
			}
		}) (app.ReadShape, error) {
			return s.app.CheckOutline(ctx, viewer(ctx), in.Body.Rings)
		})},
		{method: "POST", path: "/api/route", action: app.KeepForay, serve: s.readRoute, takes: "application/octet-stream", gives: app.ReadShape{}},
		{method: "GET", path: "/api/paper/{sheet}", action: app.KeepForay, serve: s.sendPaper, gives: "application/pdf"},
		{method: "GET", path: "/api/tables/{name}", action: app.OpenDesk, serve: s.sendTable, gives: "text/csv"},
		{method: "POST", path: "/api/tables/{name}", action: app.KeepDesk, serve: s.takeTable, takes: "text/csv", gives: app.TableDone{}},
		{method: "GET", path: "/api/drawing", action: app.SeeDrawing, call: answer(s, func(ctx context.Context, _ *struct{}) (app.DrawingProgress, error) {
			return s.app.DrawingProgress(ctx, viewer(ctx))
		})},
		{method: "POST", path: "/api/leave", action: app.LeaveSeason, serve: s.leave, gives: struct{}{}},
		{method: "GET", path: "/enter/{token}", serve: s.enter},
		{method: "GET", path: "/{path...}", serve: s.page},
	}
	return slices.Concat(table, s.entryRoutes(), s.rightsRoutes(), s.keyRoutes(), s.sizesRoutes(), s.colourRoutes(), s.fieldRoutes())
}

// ByID is the identifier in a path.
type ByID struct {
	ID trug.ID `path:"id"`
}

// nothing is the answer of what only does.
type nothing = struct{}

// answer makes a huma operation of a use case.
func answer[In, Out any](s *server, use func(context.Context, *In) (Out, error)) func(huma.API, huma.Operation) {
	type output struct{ Body Out }
	return func(api huma.API, op huma.Operation) {
		huma.Register(api, op, func(ctx context.Context, in *In) (*output, error) {
			out, err := use(ctx, in)
			if err != nil {
				return nil, s.asProblem(ctx, op.Method+" "+op.Path, err)
			}
			return &output{Body: out}, nil
		})
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
