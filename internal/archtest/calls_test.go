package archtest

import (
	"go/ast"
	"go/parser"
	"go/token"
	"path/filepath"
	"strings"
	"testing"
)

// calls parses a package's files without tests and tells each call of the
// form name.Func.
func calls(t *testing.T, p pkg, fn func(file string, at token.Position, name string)) {
	t.Helper()
	set := token.NewFileSet()
	for _, f := range p.GoFiles {
		path := filepath.Join(p.Dir, f)
		tree, err := parser.ParseFile(set, path, nil, parser.SkipObjectResolution)
		if err != nil {
			t.Fatal(err)
		}
		ast.Inspect(tree, func(n ast.Node) bool {
			if s, ok := n.(*ast.SelectorExpr); ok {
				if x, ok := s.X.(*ast.Ident); ok {
					fn(f, set.Position(s.Pos()), x.Name+"."+s.Sel.Name)
				}
			}
			return true
		})
	}
}

// Imports alone don't tell who asks the machine for the time: the clock comes
// as an argument in science, in the words of a season and in the use cases.
func TestNobodyAsksTheMachineForTheTime(t *testing.T) {
	for _, p := range all(t) {
		if !under(p.ImportPath, "trug/science") && p.ImportPath != "trug" && p.ImportPath != "trug/internal/dwca" && p.ImportPath != "trug/internal/app" {
			continue
		}
		calls(t, p, func(file string, at token.Position, name string) {
			// How long the painter takes is the machine's time, not the season's.
			if (name == "time.Now" || name == "time.Since") && file != "demonstration.go" && file != "app.go" {
				t.Errorf("%s calls %s", at, name)
			}
		})
	}
}

// Rule 5: what shows a place goes through showPlace or whereabouts in app.
// Nobody else in app, and nobody at all in web and cli, formats a coordinate.
func TestPlacesAreWrittenInOnePlace(t *testing.T) {
	writers := []string{"place.FormatDecimal", "place.FormatDMS", "place.MGRS", "place.ToUTM"}
	for _, p := range all(t) {
		if p.ImportPath != "trug/internal/app" && !under(p.ImportPath, "trug/internal/web") && !under(p.ImportPath, "trug/internal/cli") {
			continue
		}
		calls(t, p, func(file string, at token.Position, name string) {
			allowed := map[string]bool{
				"locality.go": true,                                                       // the rule itself
				"save.go":     name == "place.FormatDecimal" || name == "place.FormatDMS", // echoes what its author typed
				"squares.go":  name == "place.ToUTM",                                      // the lines of the grid
			}
			for _, w := range writers {
				if name == w && !allowed[file] {
					t.Errorf("%s calls %s: places are written by the locality rule alone", at, name)
				}
			}
		})
	}
}

// Rule 9: who may do what is decided in app; adapters ask no role.
func TestAdaptersAskNoRole(t *testing.T) {
	for _, p := range all(t) {
		if !under(p.ImportPath, "trug/internal/store") && !under(p.ImportPath, "trug/internal/blob") && !under(p.ImportPath, "trug/internal/dwca") && !under(p.ImportPath, "trug/internal/web") {
			continue
		}
		calls(t, p, func(_ string, at token.Position, name string) {
			for _, role := range []string{"trug.Coordinator", "trug.DeterminerRole", "trug.Leader", "trug.RecorderRole", "trug.Outsider"} {
				if name == role && !strings.Contains(at.Filename, "storetest") {
					t.Errorf("%s asks for the role %s", at, name)
				}
			}
		})
	}
}
