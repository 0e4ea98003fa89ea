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

// routes is the table of every route: each area's stand in a file of its own.
func (s *server) routes() []route {
	pages := []route{
		{method: "GET", path: "/enter/{token}", serve: s.enter},
		{method: "GET", path: "/{path...}", serve: s.page},
	}
	return slices.Concat(s.seasonRoutes(), s.recordRoutes(), s.tableRoutes(), s.siteRoutes(), s.forayRoutes(), s.deskRoutes(), s.depositRoutes(),
		s.entryRoutes(), s.rightsRoutes(), s.keyRoutes(), s.sizesRoutes(), s.colourRoutes(), s.fieldRoutes(), pages)
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
